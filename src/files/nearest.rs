//! Finds the word somebody probably meant.

use super::codes::Code;
use super::problem::Problem;
use super::source::Span;

/// Finds the nearest word, if one is near enough to be a slip of the keyboard.
pub fn nearest<'a>(given: &str, words: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let most = given.chars().count().div_euclid(3).max(1);
    words
        .into_iter()
        .map(|word| (strsim::damerau_levenshtein(given, word), word))
        .filter(|(distance, _)| *distance <= most)
        .min()
        .map(|(_, word)| word)
}

/// Says what to do about an unknown word: the near one, and the list when it is short.
pub fn help(given: &str, words: &[&str]) -> String {
    let list = words.join(", ");
    match nearest(given, words.iter().copied()) {
        Some(near) if words.len() > 12 => format!("did you mean `{near}`?"),
        Some(near) => format!("did you mean `{near}`? Known here: {list}"),
        None if words.is_empty() => "none is known here".to_owned(),
        None => format!("known here: {list}"),
    }
}

/// Says that a name leads nowhere, and which there are.
pub fn unknown(message: String, id: &str, known: &[String], at: &Span) -> Problem {
    let known: Vec<&str> = known.iter().map(String::as_str).collect();
    Problem::new(Code::UnknownName, at.clone(), message, "not known").help(help(id, &known))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_is_found_and_another_word_is_not() {
        assert_eq!(nearest("quad-sett", ["quad-set", "bike"]), Some("quad-set"));
        assert_eq!(nearest("stairs", ["quad-set", "bike"]), None);
        assert_eq!(help("x", &[]), "none is known here");
    }
}
