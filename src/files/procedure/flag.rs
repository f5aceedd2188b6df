//! Reads the red flags of the screen.

use std::collections::BTreeSet;

use crate::domain::fact::Test;
use crate::domain::ids::{ConditionId, ExerciseId, FlagId, StopSignId};
use crate::domain::procedure::{FlagWords, RING, RedFlag};
use crate::domain::word::{FlagEffect, KnownFlag, Level, YesNo};

use super::super::codes::Code;
use super::super::kind::{Keys, may, need};
use super::super::plain_text::{self, SIDES};
use super::super::problem::Problem;
use super::super::reader::{TableReader, each_once};
use super::super::reading::Link;
use super::super::values::At;
use super::super::window;
use super::{BEFORE, ByLanguage, FROM, SOURCE, condition_names, once, words};

pub(super) static RED_FLAG: Keys = Keys {
    what: "a red flag",
    keys: &[
        need::<FlagId>("id", "Its id, the key of the screen."),
        need::<Level>("level", "How soon to act."),
        need::<FlagEffect>("effect", "What it does to the program."),
        FROM,
        BEFORE,
        need::<KnownFlag>("known", "What \"known, unchanged\" does to its limits."),
        may::<Test>(
            "only_if_before",
            "Counts only when this held at an earlier visit.",
        ),
        may::<BTreeSet<ExerciseId>>(
            "calls_for",
            "The only exercises that may begin while it stands.",
        ),
        may::<Vec<ConditionId>>("only_if", "Only for people with one of these."),
        may::<Vec<StopSignId>>("stops", "Stop signs of exercises that are this sign."),
        may::<YesNo>(
            "lasts",
            "`yes`: once there it stays, so no exercise is stopped for it again.",
        ),
        words("What people read of it."),
        SOURCE,
    ],
};

static WORDS: Keys = Keys {
    what: "the words of a red flag",
    keys: &[
        need::<String>("ask", "The sign, as asked on the screen."),
        need::<String>("hazard", "The sign, as printed on page 1."),
        need::<String>("consequence", "What it may be."),
        need::<String>("finding", "What was found."),
        need::<String>("say", "What the patient says on the phone."),
        need::<Vec<String>>("until", "What to do until seen."),
        may::<String>("restrict", "What changes in the program."),
    ],
};

/// Reads every red flag.
pub(super) fn all(table: &mut TableReader<'_>) -> Vec<RedFlag> {
    let mut claimed = Vec::new();
    let flags = table.tables("red_flag", &RED_FLAG, |table| {
        Some(flag(table, &mut claimed))
    });
    // Over all of them: one sign has one answer.
    each_once(claimed, "stop sign", table.reading());
    table.not_empty("red_flag");
    once(table, "red flag", flags)
}

/// Reads the stop signs that are this sign.
fn stops(table: &mut TableReader<'_>) -> Vec<At<StopSignId>> {
    let stops = table
        .may::<Vec<At<StopSignId>>>("stops")
        .unwrap_or_default();
    for stop in &stops {
        let link = Link::Stop(stop.value.clone());
        table.reading().link(link, stop.at.clone());
    }
    stops
}

/// With an emergency nothing goes on.
fn emergencies_withhold(
    table: &mut TableReader<'_>,
    level: Option<Level>,
    effect: Option<FlagEffect>,
) {
    let goes_on = matches!(effect, Some(FlagEffect::Restrict | FlagEffect::Tell));
    if level == Some(Level::Emergency) && goes_on {
        let message = "an emergency withholds the program";
        let problem = Problem::new(Code::KeysClash, table.at_key("effect"), message, "");
        table.tell(problem.help("`effect = \"withhold\"`, or a level that can wait"));
    }
}

fn flag(
    table: &mut TableReader<'_>,
    claimed: &mut Vec<At<StopSignId>>,
) -> (Option<At<FlagId>>, Option<RedFlag>) {
    let id = table.need::<At<FlagId>>("id");
    let level = table.need("level");
    let effect = table.need::<FlagEffect>("effect");
    let window = window::need(table);
    let known = table.need("known");
    let only_if_before = table.may("only_if_before");
    let calls_for = table.may::<Vec<At<ExerciseId>>>("calls_for");
    let calls_for = calls_for.unwrap_or_default();
    for exercise in &calls_for {
        let link = Link::Exercise(exercise.value.clone());
        table.reading().link(link, exercise.at.clone());
    }
    let only_if = condition_names(table, "only_if");
    let stops = stops(table);
    let lasts = table.may("lasts").unwrap_or(YesNo::No);
    claimed.extend(stops.iter().cloned());
    let words = table.by_language("words", &WORDS, flag_words);
    table.not_empty("words");
    says_what_changes(table, effect, &words);
    emergencies_withhold(table, level, effect);
    let flag = || {
        Some(RedFlag {
            id: id.as_ref()?.value.clone(),
            level: level?,
            effect: effect?,
            window: window?,
            known: known?,
            only_if_before,
            calls_for: calls_for.into_iter().map(|each| each.value).collect(),
            only_if,
            stops: stops.into_iter().map(|stop| stop.value).collect(),
            lasts,
            words,
        })
    };
    let flag = flag();
    (id, flag)
}

/// A flag that restricts says what changes; others do not.
fn says_what_changes(
    table: &mut TableReader<'_>,
    effect: Option<FlagEffect>,
    words: &ByLanguage<FlagWords>,
) {
    let restricts = effect == Some(FlagEffect::Restrict);
    if effect.is_some()
        && words
            .values()
            .any(|words| words.restrict.is_some() != restricts)
    {
        let message = if restricts {
            "a flag that restricts needs `restrict` in its words"
        } else {
            "only a flag that restricts has `restrict` in its words"
        };
        table.tell(Problem::new(
            Code::KeysClash,
            table.at_key("effect"),
            message,
            "",
        ));
    }
}

fn flag_words(table: &mut TableReader<'_>) -> Option<FlagWords> {
    let ask = plain_text::need(table, "ask", SIDES);
    let hazard = plain_text::need(table, "hazard", SIDES);
    let consequence = plain_text::need(table, "consequence", SIDES);
    let finding = plain_text::need(table, "finding", SIDES);
    let say = plain_text::need(table, "say", SIDES);
    let until = plain_text::need_all(table, "until", &["side", "other", RING]);
    let restrict = plain_text::may(table, "restrict", SIDES);
    Some(FlagWords {
        ask: ask?,
        hazard: hazard?,
        consequence: consequence?,
        finding: finding?,
        say: say?,
        until: until?.into_iter().map(|line| line.value).collect(),
        restrict,
    })
}
