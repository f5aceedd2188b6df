//! Folds what is printed to 80 columns, with the next lines hanging under the first.
//!
//! Breaks at spaces alone, and not between a number and its unit, inside a date or inside a path.
//! Excerpts of files and commands to type keep their lines. Must not know what a line says. Next: `say` prints.

/// Most columns of a printed line.
pub const WIDTH: usize = 80;
/// Stands for a space at which no line may break; `unfold` makes it a plain one.
pub const JOIN: char = '\u{FDD0}';
/// A column that begins further right than this is not hung under.
const FAR: usize = 48;

/// Units and the like that stay with the number before them.
const UNITS: &[&str] = &[
    "s", "min", "minutes", "cm", "mm", "g", "kg", "deg", "degrees", "day", "days", "week", "weeks",
    "times", "per", "KiB", "bytes", "x", "rungs", "items", "a",
];
const WEEKDAYS: &[&str] = &["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
const MONTHS: &[&str] = &[
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

/// Marks a path or another name so that no line breaks inside it.
pub fn joined(name: &str) -> String {
    name.replace(' ', &JOIN.to_string())
}

/// Folds every line of a text, and makes joined names plain again.
pub fn fold(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for line in text.split_inclusive('\n') {
        let (line, end) = match line.strip_suffix('\n') {
            Some(line) => (line, "\n"),
            None => (line, ""),
        };
        out.push_str(&fold_line(line));
        out.push_str(end);
    }
    unjoined(&out)
}

/// Makes joined names plain again.
pub fn unjoined(text: &str) -> String {
    text.replace(JOIN, " ")
}

/// Says whether a line shows a file: its place, or a line of it with a mark under it.
pub fn is_excerpt(line: &str) -> bool {
    let rest = line.trim_start_matches([' ', '0', '1', '2', '3', '4', '5', '6', '7', '8', '9']);
    ["|", "-->", ":::"]
        .iter()
        .any(|mark| rest.starts_with(mark))
}

/// Says whether a line is a command to type: one that is broken does something else.
fn is_command(line: &str) -> bool {
    line.starts_with(' ') && line.trim_start().starts_with("banister ")
}

fn width(text: &str) -> usize {
    text.chars().count()
}

fn fold_line(line: &str) -> String {
    if width(line) <= WIDTH || is_excerpt(line) || is_command(line) {
        return line.to_owned();
    }
    let (head, hang) = hang(line);
    let (head, rest) = line.split_at_checked(head).unwrap_or(("", line));
    let under = format!("\n{}", " ".repeat(hang));
    let mut out = head.to_owned();
    let mut column = width(head);
    let mut fresh = true;
    for piece in pieces(rest) {
        let long = width(&piece);
        if fresh {
            fresh = false;
        } else if column.saturating_add(long) < WIDTH {
            out.push(' ');
            column = column.saturating_add(1);
        } else {
            out.truncate(out.trim_end().len());
            out.push_str(&under);
            column = hang;
        }
        out.push_str(&piece);
        column = column.saturating_add(long);
    }
    out
}

/// Returns the byte up to which a line is not broken, and the column its next lines begin at.
fn hang(line: &str) -> (usize, usize) {
    let indent = line
        .len()
        .saturating_sub(line.trim_start_matches(' ').len());
    let body = line.get(indent..).unwrap_or_default();
    let beside = |at: usize| {
        let at = indent.saturating_add(at);
        (at, width(line.get(..at).unwrap_or_default()))
    };
    for label in ["= help: ", "error: ", "warning: "] {
        if body.starts_with(label) {
            return beside(label.len());
        }
    }
    if let Some(at) = body
        .strip_prefix("error[")
        .and_then(|rest| rest.find("]: "))
    {
        return beside(at.saturating_add("error[]: ".len()));
    }
    if body.starts_with("> ") {
        // Marks one line among others that stand two columns further in.
        return (indent, indent.saturating_add(4));
    }
    let gap = last_gap(body, FAR.saturating_sub(indent));
    if let Some(at) = gap.or_else(|| after_marker(body)) {
        return beside(at);
    }
    (indent, indent.saturating_add(2))
}

/// Finds where the last column of a line begins: after two spaces or more, not too far right.
fn last_gap(body: &str, most: usize) -> Option<usize> {
    let mut found = None;
    for (at, _) in body.match_indices("  ") {
        let next = body.get(at..)?.trim_start_matches(' ');
        let start = body.len().saturating_sub(next.len());
        if start <= most {
            found = Some(start);
        }
    }
    found
}

/// Finds where the words after a dash, a number or a rule's id begin.
fn after_marker(body: &str) -> Option<usize> {
    let (word, _) = body.split_once(' ')?;
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let marks = word == "-"
        || word.strip_suffix('.').is_some_and(digits)
        || word.strip_prefix('D').is_some_and(digits)
        || word.strip_prefix("BN").is_some_and(digits);
    marks.then(|| word.len().saturating_add(1))
}

/// Splits a text at the spaces at which it may break.
fn pieces(text: &str) -> Vec<String> {
    let mut pieces: Vec<String> = Vec::new();
    let mut before = "";
    for word in text.split(' ') {
        match pieces.last_mut() {
            Some(piece) if stays(before, word) => {
                piece.push(' ');
                piece.push_str(word);
            }
            Some(_) | None => pieces.push(word.to_owned()),
        }
        before = word;
    }
    pieces
}

/// Says whether a word stays on the line of the word before it.
fn stays(before: &str, word: &str) -> bool {
    let signs: &[char] = &['.', ',', ';', ':', '(', ')', '[', ']'];
    let (start, bare) = (
        before.trim_start_matches(signs),
        word.trim_end_matches(signs),
    );
    let number = |text: &str| text.starts_with(|c: char| c.is_ascii_digit());
    let counted = number(start) && before.ends_with(|c: char| c.is_ascii_digit());
    word.is_empty()
        || (counted && (UNITS.contains(&bare) || MONTHS.contains(&bare)))
        || (start == "x" && number(word))
        || (before == "a" && ["day", "week", "session"].contains(&bare))
        || (before.starts_with("--") && word.starts_with('<'))
        || (WEEKDAYS.contains(&start) && number(word))
        || (MONTHS.contains(&start) && number(word))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn short_lines_and_excerpts_stay() {
        let excerpt = format!(
            "35 | by = \"{}\"\n   | ^^^ here\n  --> a b.toml:1:2\n",
            "x ".repeat(60)
        );
        assert_eq!(fold(&excerpt), excerpt);
        assert_eq!(fold("a\n\nb\n"), "a\n\nb\n");
    }

    #[test]
    fn lines_hang_under_their_own_words() {
        let text = "word ".repeat(24);
        for (start, hang) in [
            ("", 2),
            ("  ", 4),
            ("  12. ", 6),
            ("  - ", 4),
            ("  D709  ", 8),
            ("  D1001 ", 8),
            ("D709   kept-tolerable             ", 34),
            ("error[BN023]: ", 14),
            ("   = help: ", 11),
        ] {
            let folded = fold(&format!("{start}{}", text.trim_end()));
            let lines: Vec<&str> = folded.lines().collect();
            assert!(lines.len() > 1 && lines[0].starts_with(start), "{folded}");
            for line in &lines[1..] {
                assert!(
                    line.starts_with(&format!("{}word", " ".repeat(hang))),
                    "{folded}"
                );
            }
            assert!(lines.iter().all(|line| width(line) <= WIDTH), "{folded}");
            let words = |text: &str| {
                text.split_whitespace()
                    .map(str::to_owned)
                    .collect::<Vec<_>>()
            };
            assert_eq!(
                words(&folded),
                words(&format!("{start}{text}")),
                "nothing is lost"
            );
        }
    }

    #[test]
    fn numbers_dates_ids_and_paths_are_not_broken() {
        let kept = [
            "10 s",
            "2 min,",
            "3 x 10",
            "75 degrees.",
            "Mon 30 Mar 2026",
            "(12 days",
            "heel-dig-buttock-squeeze",
        ];
        for part in kept {
            for before in 40..80 {
                let line = format!("{} {part} and more", "y".repeat(before));
                assert!(fold(&line).contains(part), "{}", fold(&line));
            }
        }
        let path = "a folder with spaces/and a long name of a record.toml";
        let line = format!("{}: written {}: done", joined(path), joined(path));
        assert!(fold(&line).matches(path).count() == 2, "{}", fold(&line));
    }
}
