//! What to type for each warning; words in capitals are to be filled in.

use crate::domain::due::{OrderState, Warning};
use crate::domain::ids::FlagId;

/// Writes the command for a warning about the record at a path.
pub fn command(warning: &Warning, path: &str) -> String {
    let path = quoted(path);
    match warning {
        Warning::Withheld { flags, .. } | Warning::Restricted { flags, .. } => {
            clear_or_visit(flags.first(), &path)
        }
        Warning::Clearance { flag, .. } => clear_or_visit(Some(flag), &path),
        Warning::NeverSeen | Warning::NextVisitPast { .. } | Warning::Sheet { .. } => visit(&path),
        Warning::VisitOpen { questions: 0, .. } => format!("banister handout {path}"),
        Warning::VisitOpen { .. } | Warning::ScreenUnanswered { .. } | Warning::Review { .. } => {
            format!("banister explain {path}")
        }
        Warning::PhoneCheck { .. } => {
            format!("banister visit {path} --phone")
        }
        Warning::Order { what, state } => match state {
            OrderState::Asked { .. } | OrderState::Ends { .. } => format!(
                "banister order {path} {what} [VALUE] --by WHO --document WHICH --until DATE"
            ),
            OrderState::Ended { .. } | OrderState::New { .. } => visit(&path),
        },
        Warning::SameToken { .. } => format!("banister explain {path}"),
        Warning::BeyondLibrary { .. } => "banister protocol list".to_owned(),
    }
}

fn visit(path: &str) -> String {
    format!("banister visit {path}")
}

fn clear_or_visit(flag: Option<&FlagId>, path: &str) -> String {
    match flag {
        Some(flag) => format!("banister clear {path} {flag} --by WHO --on DATE"),
        None => visit(path),
    }
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
