//! Recognises text in encodings other than UTF-8, so that people are told which one it is.
//!
//! Nothing is converted: a guess about letters must not end up on a sheet. Next: `source` tells.

/// Bytes looked at when no byte-order mark says what they are.
const LOOKED_AT: usize = 512;

/// Names the wide encoding of a file: by its byte-order mark, or by where its zero bytes stand.
pub fn wide(bytes: &[u8]) -> Option<&'static str> {
    if bytes.starts_with(&[0xFF, 0xFE, 0, 0]) || bytes.starts_with(&[0, 0, 0xFE, 0xFF]) {
        return Some("UTF-32 text");
    }
    if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
        return Some("UTF-16 text");
    }
    let pairs = || bytes.chunks_exact(2).take(LOOKED_AT);
    let high = |c: u8| c.is_ascii_graphic() || c.is_ascii_whitespace();
    let all = pairs().count();
    let little = pairs()
        .filter(|pair| matches!(pair, [c, 0] if high(*c)))
        .count();
    let big = pairs()
        .filter(|pair| matches!(pair, [0, c] if high(*c)))
        .count();
    // Plain letters make up most of any file of ours; pictures never look like this.
    let most = |n: usize| all > 1 && n.saturating_mul(4) >= all.saturating_mul(3);
    if most(little) || most(big) {
        return Some("UTF-16 text without a byte-order mark");
    }
    None
}

/// The characters of Windows-1252 from 0x80 to 0x9F; a blank where it has none.
const FROM_80: &str = "€ ‚ƒ„…†‡ˆ‰Š‹Œ Ž  ‘’“”•–—˜\u{2122}š›œ žŸ";

/// Returns the visible character a byte stands for in Windows-1252; none for plain bytes.
pub fn windows_1252(byte: u8) -> Option<char> {
    match byte {
        0x80..=0x9F => {
            let place = usize::from(byte.saturating_sub(0x80));
            FROM_80.chars().nth(place).filter(|c| *c != ' ')
        }
        0xA1..=0xAC | 0xAE..=0xFF => Some(char::from(byte)),
        0x00..=0x7F | 0xA0 | 0xAD => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bytes_of_windows_1252_are_named() {
        assert_eq!(FROM_80.chars().count(), 32);
        assert_eq!(windows_1252(0x80), Some('€'));
        assert_eq!(windows_1252(0x81), None);
        assert_eq!(windows_1252(0x93), Some('“'));
        assert_eq!(windows_1252(0x96), Some('–'));
        assert_eq!(windows_1252(0x9F), Some('Ÿ'));
        assert_eq!(windows_1252(0xE9), Some('é'));
        assert_eq!(windows_1252(b'a'), None);
    }

    #[test]
    fn wide_text_is_known_with_and_without_its_mark() {
        let wide_bytes = |text: &str, swap: bool| -> Vec<u8> {
            let order = |unit: u16| {
                if swap {
                    unit.to_be_bytes()
                } else {
                    unit.to_le_bytes()
                }
            };
            text.encode_utf16().flat_map(order).collect()
        };
        let text = "schema = 1\r\nby = \"Zoë\"\r\n";
        for swap in [false, true] {
            let bytes = wide_bytes(text, swap);
            assert_eq!(wide(&bytes), Some("UTF-16 text without a byte-order mark"));
            let marked = wide_bytes(&format!("\u{feff}{text}"), swap);
            assert_eq!(wide(&marked), Some("UTF-16 text"));
        }
        assert_eq!(wide(b"\xFF\xFE\0\0a\0\0\0"), Some("UTF-32 text"));
        assert_eq!(wide(text.as_bytes()), None);
        assert_eq!(wide(&[0; 64]), None);
        assert_eq!(wide(b"a\0"), None);
    }
}
