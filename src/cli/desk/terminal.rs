//! One typed line at a time, on a terminal.
//!
//! Lines are only ever added, nothing is drawn over: scroll-back and screen readers keep working.
//! Must not know what is asked. Next: `ask`.

use std::io::IsTerminal;
use std::sync::Arc;
use std::sync::atomic::{AtomicU8, Ordering};

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

/// Asks for a plain yes; anything else is no.
pub fn agreed(desk: &mut dyn Desk, prompt: &str) -> Result<bool, CliError> {
    Ok(match desk.ask(prompt, "")? {
        Said::Line(line) => matches!(line.trim(), "y" | "yes"),
        Said::Interrupted | Said::End => false,
    })
}

/// The person at the terminal.
pub struct Terminal {
    editor: DefaultEditor,
    /// What became of a line that was put there to be changed.
    given: Arc<AtomicU8>,
}

impl Terminal {
    /// Opens the terminal.
    pub fn open() -> Result<Self, CliError> {
        let config = Config::builder()
            .behavior(Behavior::PreferTerm)
            .auto_add_history(false)
            .build();
        let mut editor = DefaultEditor::with_config(config).map_err(|error| no_terminal(&error))?;
        let given = Arc::new(AtomicU8::new(OWN));
        let replacing = Replacing(Arc::clone(&given));
        editor.bind_sequence(Event::Any, EventHandler::Conditional(Box::new(replacing)));
        Ok(Self { editor, given })
    }
}

/// The first letter typed takes the place of a line that was put there to be changed; an arrow
/// or the backspace key edits it instead.
///
/// What replaces a line leaves the cursor before it, so the letters that follow are put at its end
/// here, until another key is pressed.
struct Replacing(Arc<AtomicU8>);

/// Nothing stands there that was put there.
const OWN: u8 = 0;
/// A line stands there to be changed, and nobody has touched it.
const UNTOUCHED: u8 = 1;
/// It was replaced, and the cursor stands before what is typed.
const REPLACED: u8 = 2;

impl ConditionalEventHandler for Replacing {
    fn handle(&self, event: &Event, _: RepeatCount, _: bool, at: &EventContext<'_>) -> Option<Cmd> {
        let state = self.0.swap(OWN, Ordering::Relaxed);
        let key = event.get(0)?;
        let whole = |line: String| Some(Cmd::Replace(Movement::WholeLine, Some(line)));
        match (state, key) {
            (UNTOUCHED, KeyEvent(KeyCode::Char(letter), Modifiers::NONE | Modifiers::SHIFT))
                if !letter.is_control() =>
            {
                self.0.store(REPLACED, Ordering::Relaxed);
                whole(letter.to_string())
            }
            (REPLACED, KeyEvent(KeyCode::Char(letter), Modifiers::NONE | Modifiers::SHIFT))
                if !letter.is_control() =>
            {
                self.0.store(REPLACED, Ordering::Relaxed);
                whole(format!("{}{letter}", at.line()))
            }
            (REPLACED, KeyEvent(KeyCode::Backspace, _)) => {
                self.0.store(REPLACED, Ordering::Relaxed);
                let mut line = at.line().to_owned();
                line.pop();
                whole(line)
            }
            (
                REPLACED,
                KeyEvent(KeyCode::Left | KeyCode::Right | KeyCode::Home | KeyCode::End, _),
            ) => Some(Cmd::Move(Movement::EndOfLine)),
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
        let given = if typed.is_empty() { OWN } else { UNTOUCHED };
        self.given.store(given, Ordering::Relaxed);
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
