#![doc = include_str!("d710_ease.md")]

use crate::domain::quantity::Quantity;
use crate::domain::verdict::{BadSign, RuleId, Why};
use crate::domain::word::{BandWork, Response, Row};
use crate::engine::dates::later;
use crate::engine::dose::{Dosing, Proposal, Working};

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D710"),
    name: "ease",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Eases unloaded work one rung when it was overdone.",
    sources: &["practice"],
    doc: include_str!("d710_ease.md"),
};

/// Returns the sign when the exercise was overdone and nothing else has lowered it yet.
pub(crate) fn overdone(dosing: &Dosing<'_>, at: usize) -> Option<BadSign> {
    let sign = dosing.answer?.sign?;
    let here = dosing.last_at().is_some_and(|last| at >= last);
    (dosing.response()? == Response::Overdone && here).then_some(sign)
}

/// Proposes one rung down.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    let given = working.given.as_ref()?;
    let at = dosing.at(given)?;
    let sign = overdone(dosing, at)?;
    let rests = dosing.last_work() == Some(BandWork::Loaded);
    if dosing.protected() || (rests && dosing.exercise().row == Row::Exercise) {
        return None;
    }
    if let Some(lower) = dosing.highest_below(at) {
        return Some((dosing.easier(lower, given)?, Why::Eased { sign }));
    }
    match dosing.exercise().row {
        Row::Exercise => {}
        Row::Background | Row::Daily | Row::Advice => {
            return Some((given.clone(), Why::KeptLowestRung { sign }));
        }
    }
    let days = dosing.case.settings().rest_days.get();
    let until = later(dosing.case.date, days);
    Some((given.clone(), Why::Rests { sign, until }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    fn rung(from: &str, pain: i64) -> (String, bool, bool) {
        let mut record = sample::record(10);
        sample::earlier(&mut record, 8, &[("rise", from)]);
        record.visits[1].pain.exercise = sample::pain(Some(pain));
        let program = sample::program(&sample::library(), &record);
        let item = sample::item(&program, "rise");
        let rests = item.rests_until == Some(sample::on(12));
        (
            item.rung.to_string(),
            rests,
            program.fired.contains(&RULE.id),
        )
    }

    #[test]
    fn overdone_goes_one_rung_down() {
        assert_eq!(rung("r3", 8), ("r2".to_owned(), false, true));
    }

    #[test]
    fn the_lowest_rung_rests_first() {
        assert_eq!(rung("r1", 8), ("r1".to_owned(), true, true));
    }

    #[test]
    fn a_row_of_every_day_goes_on_at_its_lowest_rung() {
        let mut library = sample::library();
        sample::exercise(&mut library, "rise").row = Row::Daily;
        let mut record = sample::record(10);
        sample::earlier(&mut record, 8, &[("rise", "r1")]);
        record.visits[1].pain.exercise = sample::pain(Some(8));
        let program = sample::program(&library, &record);
        let row = program
            .daily
            .iter()
            .find(|item| item.exercise == sample::id("rise"));
        let row = row.unwrap();
        assert_eq!(
            (row.rung.to_string(), row.rests_until),
            ("r1".to_owned(), None)
        );
        assert!(matches!(row.steps[1].why, Why::KeptLowestRung { .. }));
    }

    #[test]
    fn up_to_the_line_it_is_silent() {
        assert_eq!(rung("r3", 7), ("r3".to_owned(), false, false));
    }
}
