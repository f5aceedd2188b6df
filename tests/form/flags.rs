//! Every flag a form names exists, and every flag of its command is on the form.

use std::collections::BTreeSet;

use banister::cli::args::Cli;
use banister::handout::form::{VisitForm, visit};
use clap::{Command, CommandFactory};

use super::{BOTH, fields, form};
use crate::support;

#[test]
fn every_flag_named_on_a_form_exists_in_its_command() {
    let cli = Cli::command();
    for which in BOTH {
        let form = form(visit(&support::plain_library(), which));
        for field in fields(&form) {
            for typed in &field.typed {
                check(&cli, &form.command, typed);
            }
        }
        if let Some((_, typed)) = form.subtitle.split_once(": ") {
            check(&cli, &form.command, typed);
        }
    }
}

/// Checks a text such as `--flexion` or `order --until` against the commands there are.
pub(super) fn check(cli: &Command, own: &str, typed: &str) {
    let mut words = typed.split(' ').peekable();
    let is_command = |word: &&str| cli.find_subcommand(word).is_some();
    let other = words.next_if(is_command);
    let name = other.unwrap_or(own);
    let command = cli
        .find_subcommand(name)
        .unwrap_or_else(|| panic!("`{typed}`: there is no command `{name}`"));
    for word in words {
        let known = match word.strip_prefix("--") {
            Some(flag) => command
                .get_arguments()
                .any(|arg| arg.get_long() == Some(flag)),
            None if word == "RECORD" => command.get_arguments().any(|arg| arg.get_id() == "record"),
            None => order_kind(command, word) || typed == format!("--procedure {word}"),
        };
        assert!(known, "`{typed}`: {name} has no `{word}`");
    }
}

/// Says whether the help of `order` names this kind of order.
fn order_kind(command: &Command, word: &str) -> bool {
    let what = command.get_arguments().find(|arg| arg.get_id() == "what");
    let help = what.and_then(|arg| arg.get_help()).map(ToString::to_string);
    help.is_some_and(|help| help.contains(word))
}

/// Flags that a form leaves out on purpose.
const NOT_ON_FIRST: &[&str] = &[
    // Orders are typed one at a time, each with its own end.
    "--order",
    "--order-by",
    "--order-document",
    "--language",
    "--did",
    "--medicine-before",
    "--morning",
    "--bad-mornings",
    "--seen",
    "--corrected",
    "--not-well",
    "--done",
    "--felt",
    "--well-at",
    "--phase",
    "--because",
    "--limp",
    "--stance-s",
    "--walk-minutes",
    "--full",
    "--output",
];

const NOT_ON_FOLLOW_UP: &[&str] = &[
    "--corrects",
    "--cleared-for-home-by",
    "--felt",
    "--well-at",
    "--phase",
    "--because",
    "--age",
    "--height-cm",
    "--frailty",
    "--surgeon",
    "--positions-no",
    "--alone",
    "--stairs",
    "--bed",
    "--floor-safe",
    "--slots",
    "--minutes",
    "--pain-medicine",
    "--goal",
    "--full",
    "--output",
];

#[test]
fn every_other_flag_of_the_command_is_on_its_form() {
    let cli = Cli::command();
    for (which, left_out) in [
        (VisitForm::First, NOT_ON_FIRST),
        (VisitForm::FollowUp, NOT_ON_FOLLOW_UP),
    ] {
        let form = form(visit(&support::plain_library(), which));
        let mut typed: BTreeSet<String> = fields(&form)
            .iter()
            .flat_map(|field| &field.typed)
            .filter(|typed| typed.starts_with("--"))
            .flat_map(|typed| typed.split(' ').map(str::to_owned))
            .collect();
        typed.extend(form.subtitle.split(' ').map(str::to_owned));
        let command = cli.find_subcommand(&form.command).unwrap();
        for flag in command.get_arguments().filter_map(|arg| arg.get_long()) {
            let flag = format!("--{flag}");
            let expected = !left_out.contains(&flag.as_str());
            assert_eq!(typed.contains(&flag), expected, "{which:?} {flag}");
        }
    }
}
