//! What to type: a command that several warnings of one person need stands once.

use super::{block, clinic, due, run};

#[test]
fn one_command_of_two_warnings_stands_once_after_the_last_of_them() {
    let folder = clinic();
    let printed = block(&due(folder.path(), "2026-05-23"), "EX-0006-E1");
    let typed = "      banister visit records/06-wet-wound-day-9/record.toml";
    assert_eq!(printed.matches(typed).count(), 1, "{printed}");
    assert!(printed.contains("The next visit was to be") && printed.contains("Sheet 2 stood"));
    assert!(printed.ends_with(typed), "{printed}");
    let (_, json, _) = run(folder.path(), "due records --date 2026-05-23 --as json");
    assert!(
        json.matches(typed.trim()).count() >= 2,
        "each has its own there"
    );
}
