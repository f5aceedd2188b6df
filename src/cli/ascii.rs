//! Plain ASCII for terminals that show nothing else.
//!
//! For the eye alone: never for files, pipes or PDF. Next: `say` chooses.

use super::fold::{JOIN, is_excerpt};

/// Signs and what is printed in their place.
const SIGNS: &[(&str, &str)] = &[
    ("→", "->"),
    ("←", "<-"),
    ("°", " deg"),
    ("…", "..."),
    ("‘’‚‛‹›′", "'"),
    ("“”„‟«»″", "\""),
    ("‐‑‒–—―−", "-"),
    ("•·", "-"),
    ("×", "x"),
    ("÷", "/"),
    ("±", "+/-"),
    ("≤", "<="),
    ("≥", ">="),
    ("¹", "1"),
    ("²", "2"),
    ("³", "3"),
    ("½", "1/2"),
    ("¼", "1/4"),
    ("¾", "3/4"),
    ("☐□", "[ ]"),
    ("✓", "v"),
    ("\u{A0}\u{2007}\u{2009}\u{202F}\u{3000}", " "),
    ("\u{AD}\u{200B}\u{200C}\u{200D}\u{FEFF}", ""),
];

/// Letters with an accent and the letter without it.
const LETTERS: &[(&str, &str)] = &[
    ("ÀÁÂÃÄÅĀĂĄ", "A"),
    ("àáâãäåāăą", "a"),
    ("Æ", "AE"),
    ("æ", "ae"),
    ("ÇĆĈĊČ", "C"),
    ("çćĉċč", "c"),
    ("ÐĎĐ", "D"),
    ("ðďđ", "d"),
    ("ÈÉÊËĒĔĖĘĚ", "E"),
    ("èéêëēĕėęě", "e"),
    ("ĜĞĠĢ", "G"),
    ("ĝğġģ", "g"),
    ("ĤĦ", "H"),
    ("ĥħ", "h"),
    ("ÌÍÎÏĨĪĬĮİ", "I"),
    ("ìíîïĩīĭįı", "i"),
    ("Ĵ", "J"),
    ("ĵ", "j"),
    ("Ķ", "K"),
    ("ķ", "k"),
    ("ĹĻĽŁ", "L"),
    ("ĺļľł", "l"),
    ("ÑŃŅŇ", "N"),
    ("ñńņň", "n"),
    ("ÒÓÔÕÖØŌŎŐ", "O"),
    ("òóôõöøōŏő", "o"),
    ("Œ", "OE"),
    ("œ", "oe"),
    ("ŔŖŘ", "R"),
    ("ŕŗř", "r"),
    ("ŚŜŞŠȘ", "S"),
    ("śŝşšș", "s"),
    ("ß", "ss"),
    ("ŢŤŦȚ", "T"),
    ("ţťŧț", "t"),
    ("Þ", "Th"),
    ("þ", "th"),
    ("ÙÚÛÜŨŪŬŮŰŲ", "U"),
    ("ùúûüũūŭůűų", "u"),
    ("Ŵ", "W"),
    ("ŵ", "w"),
    ("ÝŶŸ", "Y"),
    ("ýŷÿ", "y"),
    ("ŹŻŽ", "Z"),
    ("źżž", "z"),
];

/// Returns what is printed for a character that is not ASCII; none when nothing like it is.
pub fn plain(c: char) -> Option<&'static str> {
    if ('\u{300}'..='\u{36F}').contains(&c) {
        // An accent that follows its letter.
        return Some("");
    }
    let mut rows = SIGNS.iter().chain(LETTERS);
    rows.find(|(from, _)| from.contains(c)).map(|(_, to)| *to)
}

/// Writes a text in ASCII; a question mark stands for what has no plain form.
pub fn ascii(text: &str) -> String {
    text.split_inclusive('\n').map(line).collect()
}

/// Marks under an excerpt count its characters, so each stays one character there.
fn line(line: &str) -> String {
    let excerpt = is_excerpt(line);
    let mut out = String::with_capacity(line.len());
    for c in line.chars() {
        match plain(c) {
            _ if c.is_ascii() || c == JOIN => out.push(c),
            Some(to) if !excerpt || to.len() == 1 => out.push_str(to),
            Some(_) | None => out.push('?'),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;
    use std::fs;
    use std::path::Path;

    #[test]
    fn signs_and_letters_become_plain() {
        assert_eq!(
            ascii("flexion 74° → “Zoë’s” – 3 × 10…"),
            "flexion 74 deg -> \"Zoe's\" - 3 x 10..."
        );
        assert_eq!(ascii("Zoe\u{308} 日本"), "Zoe ??");
        assert_eq!(ascii("a\tb\n"), "a\tb\n");
    }

    #[test]
    fn an_excerpt_keeps_its_columns() {
        assert_eq!(
            ascii("3 | a = “74° ß”\n  |     ^\n"),
            "3 | a = \"74? ?\"\n  |     ^\n"
        );
    }

    /// Every text file at or under a path.
    fn texts(path: &Path, found: &mut Vec<String>) {
        if path.is_dir() {
            for entry in fs::read_dir(path).unwrap() {
                texts(&entry.unwrap().path(), found);
            }
        } else if !path.ends_with("ascii.rs") && !path.ends_with("fold.rs") {
            found.extend(fs::read_to_string(path));
        }
    }

    #[test]
    fn whatever_we_write_has_a_plain_form() {
        let mut found = Vec::new();
        for part in [
            "src/handout/explain",
            "src/handout/explain.rs",
            "src/cli",
            "src/render/text",
            "src/render/text.rs",
            "src/engine/rules",
            "templates/words.en.toml",
            "protocols",
            "shared",
        ] {
            texts(
                &Path::new(env!("CARGO_MANIFEST_DIR")).join(part),
                &mut found,
            );
        }
        let odd: BTreeSet<char> = found
            .iter()
            .flat_map(|text| text.chars())
            .filter(|c| !c.is_ascii())
            .collect();
        assert!(odd.contains(&'→') && odd.contains(&'°'), "nothing was read");
        let missing: Vec<&char> = odd.iter().filter(|c| plain(**c).is_none()).collect();
        assert!(missing.is_empty(), "no plain form of {missing:?}");
    }
}
