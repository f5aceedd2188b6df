//! Checks that each way of doing a rung has its line of words, and each line a rung.

use std::collections::BTreeMap;

use super::super::codes::Code;
use super::super::problem::Problem;
use super::super::reading::Reading;
use super::super::source::Span;
use super::rung::ReadRung;

/// The words of one language: their place, and the places of their `how` keys.
type Ways = (Span, BTreeMap<String, Span>);

/// Tells of ways without words and of words without a rung.
pub(super) fn check(rungs: &[ReadRung], ways: &[Ways], reading: &mut Reading) {
    for (words, lines) in ways {
        for how in rungs.iter().filter_map(|rung| rung.how.as_ref()) {
            if !lines.contains_key(&how.value.to_string()) {
                let message = format!("the way `{}` has no line in the words", how.value);
                let problem = Problem::new(Code::HowWords, how.at.clone(), message, "used here")
                    .also(words.clone(), "these words need it in `how`");
                reading.tell(problem);
            }
        }
        for (name, at) in lines {
            let used = |rung: &ReadRung| {
                rung.how
                    .as_ref()
                    .is_some_and(|how| how.value.to_string() == *name)
            };
            if !rungs.iter().any(used) {
                let message = format!("no rung is done the way `{name}`");
                let problem = Problem::new(Code::HowWords, at.clone(), message, "not used");
                reading.tell(problem.help("take the line out, or name it in a rung"));
            }
        }
    }
}
