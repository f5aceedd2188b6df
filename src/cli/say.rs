//! Printing, and the clock.

use std::io::{ErrorKind, IsTerminal, Write};
use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use super::ascii::ascii;
use super::error::CliError;
use super::fold::{fold, joined, unjoined};

/// Letters a stream can show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Letters {
    /// All of them: a file, a pipe, or a terminal that says UTF-8.
    All,
    /// A terminal that shows ASCII alone.
    Ascii,
}

/// Writes a result in words, folded to 80 columns.
pub fn words(text: &str) -> Result<(), CliError> {
    result(fold(&shown_in(text, letters(&std::io::stdout()))).as_bytes())
}

/// Writes a result that is laid out already, line by line.
pub fn laid_out(text: &str) -> Result<(), CliError> {
    let text = shown_in(text, letters(&std::io::stdout()));
    result(unjoined(&text).as_bytes())
}

/// Writes a result to standard output as it is; a reader that closed the pipe has had enough.
pub fn result(bytes: &[u8]) -> Result<(), CliError> {
    let mut out = std::io::stdout().lock();
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Ok(()) => Ok(()),
        Err(cause) if cause.kind() == ErrorKind::BrokenPipe => Ok(()),
        Err(cause) => Err(CliError::Disk {
            path: PathBuf::from("standard output"),
            cause,
        }),
    }
}

/// Talks to the person on standard error, folded to 80 columns; silence is no reason to fail.
pub fn talk(text: &str) {
    let text = fold(&shown_in(text.trim_end(), letters(&std::io::stderr())));
    let _ = writeln!(std::io::stderr().lock(), "{text}");
}

/// Puts a text into the letters a stream can show.
pub fn shown_in(text: &str, letters: Letters) -> String {
    // A file's name may hold anything; a terminal must not obey it.
    let obeyed = |c: char| c.is_control() && !matches!(c, '\n' | '\t');
    let text = text.replace(obeyed, "?");
    match letters {
        Letters::All => text,
        Letters::Ascii => ascii(&text),
    }
}

/// Returns the letters a stream can show; only a terminal can show too few.
pub fn letters(stream: &impl IsTerminal) -> Letters {
    if cfg!(unix) && stream.is_terminal() {
        let [all, ctype, lang, term] = ["LC_ALL", "LC_CTYPE", "LANG", "TERM"].map(environment);
        letters_of_terminal([all, ctype, lang], term.as_deref())
    } else {
        Letters::All
    }
}

/// The first setting that is there counts; none is the old ASCII one.
fn letters_of_terminal(settings: [Option<String>; 3], term: Option<&str>) -> Letters {
    let said = settings
        .into_iter()
        .flatten()
        .find(|value| !value.is_empty());
    let said = said.unwrap_or_default().to_ascii_lowercase();
    if term != Some("dumb") && (said.contains("utf-8") || said.contains("utf8")) {
        Letters::All
    } else {
        Letters::Ascii
    }
}

#[expect(
    clippy::disallowed_methods,
    reason = "the command line is where the environment is read"
)]
fn environment(name: &str) -> Option<String> {
    std::env::var_os(name).map(|value| value.to_string_lossy().into_owned())
}

/// Returns today's date and says so, because the clock decided something.
pub fn today_said(what: &str) -> NaiveDate {
    let today = today();
    talk(&format!("{what}: today, {today}"));
    today
}

/// Says of something dated ahead of today that it is.
pub fn if_ahead(what: &str, on: NaiveDate) {
    let today = today();
    if on > today {
        talk(&format!(
            "{what} is dated ahead of today, {today}: it counts from {on}, and not before"
        ));
    }
}

/// Returns today's date.
#[expect(
    clippy::disallowed_methods,
    reason = "the command line is where the clock is read"
)]
pub fn today() -> NaiveDate {
    chrono::Local::now().date_naive()
}

/// Returns the clinic's path from the environment, if it is set.
#[expect(
    clippy::disallowed_methods,
    reason = "the command line is where the environment is read"
)]
pub fn clinic_from_environment() -> Option<PathBuf> {
    std::env::var_os("BANISTER_CLINIC")
        .filter(|value| !value.is_empty())
        .map(PathBuf::from)
}

/// Returns a path as people read it, for `words` and `talk`: no line breaks inside it.
pub fn shown(path: &Path) -> String {
    joined(&path.display().to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_setting_that_is_there_says_what_a_terminal_shows() {
        let of = |all: &str, ctype: &str, lang: &str, term: &str| {
            let set = |text: &str| (text != "-").then(|| text.to_owned());
            letters_of_terminal([set(all), set(ctype), set(lang)], set(term).as_deref())
        };
        for utf8 in ["en_GB.UTF-8", "C.utf8", "de_DE.utf8@euro"] {
            assert_eq!(of("-", "-", utf8, "xterm"), Letters::All);
            assert_eq!(of(utf8, "C", "C", "-"), Letters::All);
            assert_eq!(of("", utf8, "C", "xterm"), Letters::All);
            assert_eq!(of("C", utf8, utf8, "xterm"), Letters::Ascii);
            assert_eq!(of("-", "de_DE.ISO-8859-1", utf8, "xterm"), Letters::Ascii);
            assert_eq!(of(utf8, "-", "-", "dumb"), Letters::Ascii);
        }
        assert_eq!(of("-", "-", "-", "-"), Letters::Ascii);
    }

    #[test]
    fn no_escape_code_of_a_name_reaches_a_terminal() {
        assert_eq!(shown_in("a\u{1b}[2Jb\tc\n", Letters::All), "a?[2Jb\tc\n");
    }

    #[test]
    fn a_path_stays_whole_in_any_letters() {
        let path = shown(Path::new("Zoë Q/r 1.toml"));
        assert_eq!(unjoined(&shown_in(&path, Letters::All)), "Zoë Q/r 1.toml");
        assert_eq!(unjoined(&shown_in(&path, Letters::Ascii)), "Zoe Q/r 1.toml");
    }
}
