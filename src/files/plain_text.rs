//! Reads patient words: which places may be filled in, how many words, how many steps.
//!
//! Must not know what the words are about. Next: the readers of exercises and procedures.

use crate::domain::ids::{FlagId, Id as _};
use crate::domain::phrase::of_both_sides;
use crate::domain::procedure::RING;
use crate::domain::word::Operates;

use super::codes::Code;
use super::problem::Problem;
use super::reader::TableReader;
use super::reading::Link;
use super::values::At;
use super::vocabulary::URGENT;

/// Places any patient text may have.
pub const SIDES: &[&str] = &["side", "other"];

/// Reads a text that must be there and checks its places.
pub fn need(table: &mut TableReader<'_>, name: &'static str, places: &[&str]) -> Option<String> {
    let text = table.need::<At<String>>(name)?;
    check(table, &text, places);
    Some(text.value)
}

/// Reads a text that may be left out and checks its places.
pub fn may(table: &mut TableReader<'_>, name: &'static str, places: &[&str]) -> Option<String> {
    let text = table.may::<At<String>>(name)?;
    check(table, &text, places);
    Some(text.value)
}

/// Reads texts that must be there and checks their places.
pub fn need_all(
    table: &mut TableReader<'_>,
    name: &'static str,
    places: &[&str],
) -> Option<Vec<At<String>>> {
    let texts = table.need::<Vec<At<String>>>(name)?;
    for text in &texts {
        check(table, text, places);
    }
    Some(texts)
}

/// Tells when a text has more words than it may.
pub fn at_most_words(table: &mut TableReader<'_>, text: &At<String>, most: usize) {
    let words = text.value.split_whitespace().count();
    if words > most {
        let message = format!("this step has {words} words; {most} is the most");
        let problem = Problem::new(Code::PlainWords, text.at.clone(), message, "too long");
        table.tell(problem.help("say one thing only; make two steps of it if need be"));
    }
}

/// Tells of every place that cannot be filled in, and of braces that do not match.
pub fn check(table: &mut TableReader<'_>, text: &At<String>, places: &[&str]) {
    if table.reading().operates == Operates::Both {
        check_of_both(table, text);
    }
    let known: Vec<String> = places.iter().map(|place| shown(place)).collect();
    for found in braces(&text.value) {
        let message = match found {
            Brace::Alone => "a brace stands alone in this text".to_owned(),
            Brace::Place(name) if is_known(name, places) => continue,
            Brace::Place(name) if names_a_flag(table, name, places, text) => continue,
            Brace::Place(name) => format!("nothing can be filled in for {{{name}}} here"),
        };
        let problem = Problem::new(Code::Placeholder, text.at.clone(), message, "");
        table.tell(problem.help(format!("known here: {}", known.join(", "))));
    }
    says_no_urgency(table, text);
}

/// Shows a place as it is written; the one of a red flag takes the flag's id.
fn shown(place: &str) -> String {
    if place == RING {
        return format!("{{{RING}<red flag>}}");
    }
    format!("{{{place}}}")
}

/// Tells when a text says whom to ring or how soon in its own words.
fn says_no_urgency(table: &mut TableReader<'_>, text: &At<String>) {
    let lower = text.value.to_lowercase();
    let Some(found) = URGENT.iter().find(|words| stands_alone(&lower, words)) else {
        return;
    };
    let message = format!("\"{found}\" says how soon to act: only a red flag's level may");
    let problem = Problem::new(Code::Urgent, text.at.clone(), message, "");
    table.tell(
        problem.help("name the red flag as {ring:<its id>}; what is none of them says \"tell us\""),
    );
}

/// Says whether words stand in a text, and not as the end of a longer word: "bring your".
fn stands_alone(text: &str, words: &str) -> bool {
    text.match_indices(words).any(|(at, _)| {
        let before = text.get(..at).unwrap_or_default();
        !before.ends_with(char::is_alphabetic)
    })
}

/// Says whether a place is of the words of a red flag's level, where such a place may stand.
fn names_a_flag(
    table: &mut TableReader<'_>,
    name: &str,
    places: &[&str],
    text: &At<String>,
) -> bool {
    let flag = name.strip_prefix(RING).map(FlagId::new);
    let Some(Ok(flag)) = flag.filter(|_| places.contains(&RING)) else {
        return false;
    };
    table.reading().link(Link::Flag(flag), text.at.clone());
    true
}

/// Tells of sides a text names where both are operated on: there is no other one, and the
/// operated one can only fall away before a noun.
fn check_of_both(table: &mut TableReader<'_>, text: &At<String>) {
    for found in braces(&of_both_sides(&text.value)) {
        let Brace::Place(name) = found else { continue };
        let base = name.split('.').next().unwrap_or(name);
        if SIDES.contains(&base) {
            let message = format!("nothing fills {{{name}}} here where both sides are operated on");
            let problem = Problem::new(Code::Placeholder, text.at.clone(), message, "");
            table.tell(problem.help(
                "an exercise says it another way under `[both]`; a row of a procedure for both \
                 sides has words of its own, or is named in `without`",
            ));
        }
    }
}

/// A gender after a dot may follow where a language needs it, such as `{side.f}`.
fn is_known(name: &str, places: &[&str]) -> bool {
    let base = name.strip_suffix(".f").or(name.strip_suffix(".m"));
    places.contains(&base.unwrap_or(name))
}

enum Brace<'a> {
    Place(&'a str),
    Alone,
}

fn braces(text: &str) -> Vec<Brace<'_>> {
    let mut found = Vec::new();
    let mut rest = text;
    while let Some(at) = rest.find(['{', '}']) {
        let (_, tail) = rest.split_at(at);
        let inside = tail
            .strip_prefix('{')
            .and_then(|after| after.split_once('}'));
        if let Some((name, after)) = inside.filter(|(name, _)| !name.contains('{')) {
            found.push(Brace::Place(name));
            rest = after;
        } else {
            found.push(Brace::Alone);
            rest = tail.get(1..).unwrap_or_default();
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn places(text: &str) -> Vec<String> {
        let found = braces(text);
        found
            .into_iter()
            .map(|brace| match brace {
                Brace::Place(name) => name.to_owned(),
                Brace::Alone => "alone".to_owned(),
            })
            .collect()
    }

    #[test]
    fn places_and_lone_braces_are_found() {
        assert_eq!(places("Your {side} knee, {other.f}."), ["side", "other.f"]);
        assert_eq!(places("a { b"), ["alone"]);
        assert_eq!(places("a } b"), ["alone"]);
        assert_eq!(places("{a{b}"), ["alone", "b"]);
        assert!(places("none").is_empty());
    }
}
