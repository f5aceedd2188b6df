#![doc = include_str!("d1002_loaded_ahead.md")]

use crate::domain::recorded::Recorded;
use crate::domain::verdict::RuleId;
use crate::domain::word::{Lever, Seen};
use crate::engine::ahead::loaded;
use crate::engine::dose::Dosing;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D1002"),
    name: "loaded-ahead",
    stage: Stage::Ahead,
    since: "0.1",
    summary: "Lets loaded work grow alone by repetitions and sets only.",
    sources: &["practice"],
    doc: include_str!("d1002_loaded_ahead.md"),
};

/// Says whether a rung may follow without somebody who watches.
pub(crate) fn allows(dosing: &Dosing<'_>, at: usize, next: usize, log: &mut Log) -> bool {
    if !loaded(dosing, next) {
        return true;
    }
    log.fire(&RULE);
    let lever = dosing
        .exercise()
        .rungs
        .get(next)
        .and_then(|rung| rung.lever);
    let seen = dosing.done.map(|done| done.seen) == Some(Recorded::Yes(Seen::Yes));
    loaded(dosing, at) && seen && adds_work_only(lever)
}

fn adds_work_only(lever: Option<Lever>) -> bool {
    match lever {
        Some(Lever::Repetitions | Lever::Sets) => true,
        Some(
            Lever::Hold
            | Lever::Minutes
            | Lever::Range
            | Lever::Height
            | Lever::Load
            | Lever::Band
            | Lever::Support
            | Lever::Seat
            | Lever::Tempo
            | Lever::Times
            | Lever::Days
            | Lever::Task,
        )
        | None => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    fn next(rung: &str, seen: Seen) -> (Vec<String>, bool) {
        let mut record = sample::record(40);
        sample::earlier(&mut record, 38, &[("lift", rung)]);
        record.visits[1].measured.lag = sample::degrees(Some(0));
        record.visits[1].phase = Some(sample::stay("middle"));
        sample::done(&mut record, 1, "lift").seen = Recorded::Yes(seen);
        let program = sample::program(&sample::library(), &record);
        let item = sample::item(&program, "lift");
        let rungs = item.next.iter().map(|next| next.rung.to_string()).collect();
        (rungs, program.fired.contains(&RULE.id))
    }

    #[test]
    fn repetitions_may_follow_when_seen() {
        assert_eq!(next("l5", Seen::Yes), (vec!["l6".to_owned()], true));
        assert_eq!(next("l5", Seen::Corrected).0, Vec::<String>::new());
    }

    #[test]
    fn a_first_load_never_follows() {
        assert_eq!(next("l4", Seen::Yes).0, Vec::<String>::new());
    }

    #[test]
    fn unloaded_work_is_none_of_its_business() {
        assert_eq!(
            next("l1", Seen::Yes),
            (["l2", "l3", "l4"].map(str::to_owned).to_vec(), false)
        );
    }
}
