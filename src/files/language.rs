//! Reads language tags such as `en` or `en-GB`.

use super::codes::Code;
use super::problem::Problem;
use super::reader::TableReader;
use super::source::Span;
use super::values::At;

/// Says whether a text is a language tag.
pub fn is_tag(text: &str) -> bool {
    let letters = |part: &str| part.bytes().all(|byte| byte.is_ascii_alphabetic());
    let mut parts = text.split('-');
    let main = parts.next().unwrap_or_default();
    (2..=3).contains(&main.len())
        && letters(main)
        && parts.all(|part| !part.is_empty() && letters(part))
}

/// Tells that something is no language tag.
pub fn not_a_tag(at: Span, text: &str) -> Problem {
    let message = format!("`{text}` is not a language tag");
    Problem::new(Code::BadText, at, message, "").help("write it like this: en or en-GB")
}

/// Reads the key `language`.
pub fn need(table: &mut TableReader<'_>) -> Option<String> {
    let tag = table.need::<At<String>>("language")?;
    if is_tag(&tag.value) {
        return Some(tag.value);
    }
    table.tell(not_a_tag(tag.at, &tag.value));
    None
}
