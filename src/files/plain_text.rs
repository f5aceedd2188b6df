//! Reads patient words: which places may be filled in, how many words, how many steps.
//!
//! Must not know what the words are about. Next: the readers of exercises and procedures.

use super::codes::Code;
use super::problem::Problem;
use super::reader::TableReader;
use super::values::At;

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
    let known: Vec<String> = places.iter().map(|place| format!("{{{place}}}")).collect();
    for found in braces(&text.value) {
        let message = match found {
            Brace::Alone => "a brace stands alone in this text".to_owned(),
            Brace::Place(name) if is_known(name, places) => continue,
            Brace::Place(name) => format!("nothing can be filled in for {{{name}}} here"),
        };
        let problem = Problem::new(Code::Placeholder, text.at.clone(), message, "");
        table.tell(problem.help(format!("known here: {}", known.join(", "))));
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
