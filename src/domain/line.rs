//! Free text as a record holds it: one line, not blank, not too long.
//!
//! The same rule for what stands in a file and for what is typed after a flag.

/// Most characters of a text.
pub const MOST: usize = 600;

/// Most letters of a token or of the name of an order.
pub const TOKEN: usize = 64;

/// Says whether a text is a token: letters, digits and hyphens, capitals allowed; it may name a
/// file.
pub fn is_token(text: &str) -> bool {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || byte == b'-';
    !text.is_empty() && text.len() <= TOKEN && text.bytes().all(plain) && !text.starts_with('-')
}

/// Says why a text cannot be kept; to follow the name of its key or flag.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum BadLine {
    /// Nothing but blanks.
    #[error("must not be empty")]
    Empty,
    /// It would not stand on one line.
    #[error("must stand on one line, without tabs or control characters")]
    NotOneLine,
    /// Longer than anybody reads.
    #[error("must have at most {MOST} characters")]
    TooLong,
}

/// Checks a text; accents, curly quotes and anything else that can be printed are fine.
pub fn check(text: &str) -> Result<(), BadLine> {
    // Two separators of Unicode break a line and are not counted as control characters.
    let breaks = |c: char| c.is_control() || matches!(c, '\u{2028}' | '\u{2029}');
    if text.trim().is_empty() {
        Err(BadLine::Empty)
    } else if text.chars().any(breaks) {
        Err(BadLine::NotOneLine)
    } else if text.chars().count() > MOST {
        Err(BadLine::TooLong)
    } else {
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_printable_line_is_fine_and_nothing_else() {
        assert_eq!(check("Zoë’s “own” – goal…"), Ok(()));
        assert_eq!(check(&"é".repeat(MOST)), Ok(()));
        assert_eq!(check(&"é".repeat(MOST + 1)), Err(BadLine::TooLong));
        assert_eq!(check(" \u{a0}"), Err(BadLine::Empty));
        for text in [
            "a\tb",
            "a\nb",
            "a\r",
            "a\u{7f}",
            "a\u{1b}[1m",
            "a\u{85}b",
            "a\u{2028}b",
        ] {
            assert_eq!(check(text), Err(BadLine::NotOneLine), "{text:?}");
        }
    }
}
