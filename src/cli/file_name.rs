//! Names of new records: only such as every common system can keep, copy and print.
//!
//! Records that are there already keep whatever name they have. Next: `intake` asks.

use std::path::Path;

/// Most bytes of a record's name, so that its lock and its folder of sheets have room.
const MOST_BYTES: usize = 200;

/// Names that belong to devices on some systems, whatever follows a dot.
const DEVICES: &[&str] = &["con", "prn", "aux", "nul"];

/// Says which rule a new record's name breaks and offers another name; none when it is fine.
pub fn refused(path: &Path) -> Option<String> {
    let Some(name) = path.file_name() else {
        return Some("this is no file name: say such as record.toml".to_owned());
    };
    let Some(name) = name.to_str() else {
        let offered = offer(&name.to_string_lossy().replace('\u{FFFD}', "-"));
        return Some(said(
            "a name in UTF-8 letters is the same everywhere",
            &offered,
        ));
    };
    broken_rule(name).map(|rule| said(&rule, &offer(name)))
}

fn said(rule: &str, offered: &str) -> String {
    format!("some systems cannot keep this name: {rule}. Try `{offered}`")
}

fn broken_rule(name: &str) -> Option<String> {
    if let Some(c) = name.chars().find(|c| c.is_control()) {
        let number = u32::from(c);
        return Some(format!("it holds a control character (U+{number:04X})"));
    }
    if let Some(c) = name.chars().find(|c| is_reserved(*c)) {
        return Some(format!("it holds {c}, one of < > : \" | ? * \\"));
    }
    if name.starts_with('-') {
        return Some("it begins with -, like a flag".to_owned());
    }
    if name.ends_with(['.', ' ']) {
        return Some("it ends with a dot or a space".to_owned());
    }
    if is_device(name) {
        let device = base(name);
        return Some(format!("{device} is the name of a device, with any ending"));
    }
    let bytes = name.len();
    (bytes > MOST_BYTES).then(|| format!("it is {bytes} bytes long, and {MOST_BYTES} is the most"))
}

fn is_reserved(c: char) -> bool {
    matches!(c, '<' | '>' | ':' | '"' | '|' | '?' | '*' | '\\' | '/')
}

/// The name up to its first dot, without the spaces that some systems pass over.
fn base(name: &str) -> &str {
    name.split('.')
        .next()
        .unwrap_or_default()
        .trim_end_matches(' ')
}

fn is_device(name: &str) -> bool {
    let base = base(name).to_ascii_lowercase();
    let port = base.strip_prefix("com").or(base.strip_prefix("lpt"));
    let one = |rest: &str| rest.chars().count() == 1;
    let numbered = |rest: &str| one(rest) && rest.starts_with(|c| "123456789¹²³".contains(c));
    DEVICES.contains(&base.as_str()) || port.is_some_and(numbered)
}

/// Makes a name near the one given that breaks no rule.
fn offer(name: &str) -> String {
    let plain = |c: char| {
        if c.is_control() || is_reserved(c) {
            '-'
        } else {
            c
        }
    };
    let name: String = name.chars().map(plain).collect();
    let name = name
        .trim_start_matches(['-', ' '])
        .trim_end_matches(['.', ' ']);
    let (stem, end) = match name.rsplit_once('.') {
        Some((stem, end)) if end.len() < 10 => (stem, format!(".{end}")),
        Some(_) | None => (name, String::new()),
    };
    let mut stem = stem.to_owned();
    if is_device(&stem) {
        stem = format!("record-{stem}");
    }
    while stem.len() + end.len() > MOST_BYTES {
        stem.pop();
    }
    let stem = stem.trim_end_matches(['.', ' ', '-']);
    if stem.is_empty() {
        return "record.toml".to_owned();
    }
    format!("{stem}{end}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_rule_is_named_and_the_name_offered_is_fine() {
        let long = format!("{}.toml", "é".repeat(120));
        for (name, rule, offered) in [
            ("CON", "CON is the name of a device", "record-CON"),
            ("nul.toml", "nul is the name of a device", "record-nul.toml"),
            (
                "Com1.old.toml",
                "Com1 is the name of a device",
                "record-Com1.old.toml",
            ),
            ("lpt9 .toml", "lpt9 is the name", "record-lpt9.toml"),
            ("LPT¹.toml", "LPT¹ is the name", "record-LPT¹.toml"),
            ("r.toml.", "ends with a dot or a space", "r.toml"),
            ("r.toml ", "ends with a dot or a space", "r.toml"),
            ("a:b?.toml", "it holds :", "a-b.toml"),
            ("a\\b.toml", "it holds \\", "a-b.toml"),
            ("a\tb.toml", "control character (U+0009)", "a-b.toml"),
            ("-r.toml", "begins with -", "r.toml"),
            ("-", "begins with -", "record.toml"),
            ("***", "it holds *", "record.toml"),
            (
                &long,
                "245 bytes long, and 200 is the most",
                &format!("{}.toml", "é".repeat(97)),
            ),
        ] {
            let told = refused(Path::new(name)).unwrap_or_else(|| panic!("{name} is not refused"));
            assert!(told.contains(rule), "{name}: {told}");
            assert!(
                told.ends_with(&format!("Try `{offered}`")),
                "{name}: {told}"
            );
            assert_eq!(refused(Path::new(offered)), None, "{offered}");
        }
        assert!(refused(Path::new("a/..")).is_some_and(|told| told.contains("no file name")));
    }

    #[test]
    fn names_of_every_day_are_fine() {
        for name in [
            "r.toml",
            "Frau Müller 2.toml",
            "com10.toml",
            "console.toml",
            "ä",
            "./x/1.toml",
            ".r.toml",
        ] {
            assert_eq!(refused(Path::new(name)), None, "{name}");
        }
        assert_eq!(refused(Path::new(&"a".repeat(200))), None);
    }
}
