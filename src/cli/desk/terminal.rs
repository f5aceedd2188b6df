//! One typed line at a time, on a terminal.
//!
//! Lines are only ever added, nothing is drawn over: scroll-back and screen readers keep working.
//! Must not know what is asked. Next: `ask`.

use std::io::IsTerminal;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use rustyline::config::Behavior;
use rustyline::error::ReadlineError;
use rustyline::{
    Cmd, ConditionalEventHandler, Config, DefaultEditor, Event, EventContext, EventHandler,
    KeyCode, KeyEvent, Modifiers, Movement, RepeatCount,
};

use super::super::error::CliError;
use super::super::say;

/// What came back from the person.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Said {
    /// A line, without its end.
    Line(String),
    /// Control-C.
    Interrupted,
    /// The end of the input: control-D, or a terminal that went away.
    End,
}

/// Somebody who can be asked.
pub trait Desk {
    /// Asks for one line; `typed` stands there already and can be changed.
    fn ask(&mut self, prompt: &str, typed: &str) -> Result<Said, CliError>;

    /// Shows text; lines end with a line end.
    fn tell(&mut self, text: &str);
}

/// Says whether there is somebody to ask: prompts never wait where nobody can answer.
pub fn somebody_is_there() -> bool {
    std::io::stdin().is_terminal() && std::io::stderr().is_terminal()
}

/// The person at the terminal.
pub struct Terminal {
    editor: DefaultEditor,
    /// A line stands there to be changed, and nobody has touched it.
    untouched: Arc<AtomicBool>,
}

impl Terminal {
    /// Opens the terminal.
    pub fn open() -> Result<Self, CliError> {
        let config = Config::builder()
            .behavior(Behavior::PreferTerm)
            .auto_add_history(false)
            .build();
        let mut editor = DefaultEditor::with_config(config).map_err(|error| no_terminal(&error))?;
        let untouched = Arc::new(AtomicBool::new(false));
        let replacing = Replacing(Arc::clone(&untouched));
        editor.bind_sequence(Event::Any, EventHandler::Conditional(Box::new(replacing)));
        Ok(Self { editor, untouched })
    }
}

/// The first letter typed takes the place of a line that was put there to be changed; an arrow
/// or the backspace key edits it instead.
struct Replacing(Arc<AtomicBool>);

impl ConditionalEventHandler for Replacing {
    fn handle(&self, event: &Event, _: RepeatCount, _: bool, _: &EventContext<'_>) -> Option<Cmd> {
        let untouched = self.0.swap(false, Ordering::Relaxed);
        match event.get(0) {
            Some(KeyEvent(KeyCode::Char(letter), Modifiers::NONE | Modifiers::SHIFT))
                if untouched && !letter.is_control() =>
            {
                Some(Cmd::Replace(Movement::WholeLine, Some(letter.to_string())))
            }
            _ => None,
        }
    }
}

fn no_terminal(error: &ReadlineError) -> CliError {
    CliError::Usage(format!(
        "the terminal cannot be used for questions: {error}"
    ))
}

impl Desk for Terminal {
    fn ask(&mut self, prompt: &str, typed: &str) -> Result<Said, CliError> {
        self.untouched.store(!typed.is_empty(), Ordering::Relaxed);
        match self.editor.readline_with_initial(prompt, (typed, "")) {
            Ok(line) => Ok(Said::Line(line)),
            Err(ReadlineError::Interrupted) => Ok(Said::Interrupted),
            Err(ReadlineError::Eof) => Ok(Said::End),
            Err(error) => Err(no_terminal(&error)),
        }
    }

    fn tell(&mut self, text: &str) {
        say::talk(text);
    }
}
