//! Names of what stands beside a record: its lock and its folder of sheets.
//!
//! A record's own name may be as long as the system allows, and theirs are longer still.

use std::ffi::{OsStr, OsString};

use super::digest::sha256;

/// Most bytes a file's name has on any common system.
const MOST_BYTES: usize = 255;
/// Digits of the digest that stands for the end of a name.
const DIGITS: usize = 16;

/// Puts something before and after a name; a name too long for that keeps its beginning, and a
/// digest stands for the rest.
pub(super) fn beside(before: &str, name: &OsStr, after: &str) -> OsString {
    let around = before.len().saturating_add(after.len());
    let mut whole = OsString::from(before);
    if name.len().saturating_add(around) <= MOST_BYTES {
        whole.push(name);
    } else {
        let digest = sha256(name.as_encoded_bytes());
        let room = MOST_BYTES.saturating_sub(around).saturating_sub(DIGITS);
        whole.push(beginning(&name.to_string_lossy(), room.saturating_sub(1)));
        whole.push("-");
        whole.push(digest.get(..DIGITS).unwrap_or_default());
    }
    whole.push(after);
    whole
}

/// Returns as much of a text as fits into so many bytes.
fn beginning(text: &str, most: usize) -> &str {
    let mut end = most.min(text.len());
    while !text.is_char_boundary(end) {
        end = end.saturating_sub(1);
    }
    text.get(..end).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(name: &str) -> String {
        beside(".", OsStr::new(name), ".lock")
            .into_string()
            .unwrap()
    }

    #[test]
    fn a_name_that_fits_is_kept_and_a_longer_one_ends_in_its_digest() {
        assert_eq!(of("r.toml"), ".r.toml.lock");
        let fits = "a".repeat(249);
        assert_eq!(of(&fits), format!(".{fits}.lock"));
        for long in ["a".repeat(250), "é".repeat(127), "a".repeat(255)] {
            let name = of(&long);
            assert!(
                name.len() <= MOST_BYTES && name.len() >= MOST_BYTES - 1,
                "{name}"
            );
            let kept = name.chars().skip(1).zip(long.chars());
            assert!(kept.take(100).all(|(now, then)| now == then), "{name}");
        }
        let other = format!("{}b", "a".repeat(254));
        assert_ne!(of(&"a".repeat(255)), of(&other));
    }
}
