//! What to type for each warning; words in capitals are to be filled in.

use crate::domain::due::{Listed, OrderState, Warning};
use crate::domain::ids::FlagId;

/// Writes the command for a warning of a record.
pub fn command(warning: &Warning, one: &Listed) -> String {
    let path = quoted(&one.path);
    match warning {
        Warning::Withheld { flags, .. } | Warning::Restricted { flags, .. } => {
            match flags.first() {
                Some(flag) => clear(flag, &path),
                None => visit(one, &path, ""),
            }
        }
        Warning::Clearance { flag, .. } => clear(flag, &path),
        Warning::Void { .. }
        | Warning::NeverSeen
        | Warning::NextVisitPast { .. }
        | Warning::Sheet { .. } => visit(one, &path, ""),
        Warning::VisitOpen { questions, .. } => close(*questions, &path),
        Warning::VisitOvertaken { n, .. } => again(*n, &path),
        Warning::NotInRecord { .. } => format!("banister check {path}"),
        Warning::ScreenUnanswered { .. } | Warning::Review { .. } | Warning::SameToken { .. } => {
            format!("banister explain {path}")
        }
        Warning::Overtaken(_) | Warning::PhoneCheck { .. } => visit(one, &path, " --phone"),
        Warning::Order { what, state } => match state {
            OrderState::Asked { .. } | OrderState::Ends { .. } => format!(
                "banister order {path} {what} [VALUE] --by WHO --document WHICH --until DATE"
            ),
            OrderState::Ended { .. } => visit(one, &path, ""),
        },
        Warning::BeyondLibrary { .. } => "banister protocol list".to_owned(),
    }
}

/// Adds a visit; while one is open no other can be added, and that one is closed first.
fn visit(one: &Listed, path: &str, how: &str) -> String {
    let mut warnings = one.due.warnings.iter();
    let open = warnings.find_map(|warning| {
        if let Warning::VisitOpen { questions, .. } = warning {
            Some(close(*questions, path))
        } else if let Warning::VisitOvertaken { n, .. } = warning {
            Some(again(*n, path))
        } else {
            None
        }
    });
    open.unwrap_or_else(|| format!("banister visit {path}{how}"))
}

/// Closes the open visit, or says what it waits for.
fn close(questions: usize, path: &str) -> String {
    match questions {
        0 => format!("banister handout {path}"),
        _ => format!("banister explain {path}"),
    }
}

/// Gives an open visit again.
fn again(n: i64, path: &str) -> String {
    format!("banister visit {path} --corrects {n}")
}

fn clear(flag: &FlagId, path: &str) -> String {
    format!("banister clear {path} {flag} --by WHO --on DATE")
}

/// Puts a path between quotation marks when a shell would not take it as one word.
pub fn quoted(path: &str) -> String {
    let plain = |letter: char| letter.is_alphanumeric() || "/._-+:@%,=".contains(letter);
    if !path.is_empty() && path.chars().all(plain) {
        path.to_owned()
    } else {
        format!("'{}'", path.replace('\'', "'\\''"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_stays_one_word() {
        for (path, typed) in [
            ("a/b-1.toml", "a/b-1.toml"),
            ("my records/b.toml", "'my records/b.toml'"),
            ("it's.toml", "'it'\\''s.toml'"),
        ] {
            assert_eq!(quoted(path), typed);
        }
    }
}
