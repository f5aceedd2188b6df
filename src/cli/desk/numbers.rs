//! Numbers of a list: `none`, `2 5`, `10-16`, `4k`.

use super::kind::{Choice, find};

/// One thing picked from a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Picked<'a> {
    /// Which.
    pub choice: &'a Choice,
    /// The letter after its number.
    pub mark: Option<char>,
}

/// Reads which of a list were typed; `marks` are letters allowed after a number.
///
/// The word `none` has no shorter form: it must be meant.
pub fn picked<'a>(
    choices: &'a [Choice],
    typed: &str,
    marks: &str,
) -> Result<Vec<Picked<'a>>, String> {
    let text = typed.trim().to_lowercase();
    if text == "none" {
        return Ok(Vec::new());
    }
    let mut found: Vec<Picked<'a>> = Vec::new();
    for word in text.split([' ', ',', ';']).filter(|word| !word.is_empty()) {
        let picks = one_word(choices, word, marks).map_err(|error| {
            format!("{error}; several numbers stand with spaces between, or type none")
        })?;
        for pick in picks {
            if found.iter().any(|other| other.choice == pick.choice) {
                return Err(format!("`{word}` names the same one twice"));
            }
            found.push(pick);
        }
    }
    if found.is_empty() {
        return Err("type none, or numbers".to_owned());
    }
    Ok(found)
}

fn one_word<'a>(choices: &'a [Choice], word: &str, marks: &str) -> Result<Vec<Picked<'a>>, String> {
    if let Some((from, to)) = span(word) {
        if from == 0 || from > to || to > choices.len() {
            return Err(format!("there are numbers 1 to {} here", choices.len()));
        }
        let part = choices.get(from - 1..to).unwrap_or_default();
        return Ok(part
            .iter()
            .map(|choice| Picked { choice, mark: None })
            .collect());
    }
    let digits = word.trim_end_matches(char::is_alphabetic);
    let mark = word.chars().last().filter(|c| c.is_alphabetic());
    let numbered = digits.len() + 1 == word.len() && digits.parse::<usize>().is_ok();
    match mark.filter(|mark| numbered && marks.contains(*mark)) {
        Some(mark) => Ok(vec![Picked {
            choice: find(choices, digits)?,
            mark: Some(mark),
        }]),
        None => Ok(vec![Picked {
            choice: find(choices, word)?,
            mark: None,
        }]),
    }
}

fn span(word: &str) -> Option<(usize, usize)> {
    let (from, to) = word.split_once('-')?;
    Some((from.parse().ok()?, to.parse().ok()?))
}
