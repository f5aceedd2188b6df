#![doc = include_str!("d601_pain_bands.md")]

use crate::domain::quantity::PainScore;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{Notice, OverdoneSign, RuleId};
use crate::domain::word::Response;
use crate::engine::answer::{Answer, Heard, Judged};
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D601"),
    name: "pain-bands",
    stage: Stage::Answer,
    since: "0.1",
    summary: "Judges pain during the work by the band for that kind of work and day.",
    sources: &["practice"],
    doc: include_str!("d601_pain_bands.md"),
};

/// Returns the pain of one exercise: its own, else the worst of the visit.
pub(crate) fn pain(heard: &Heard<'_>) -> Recorded<PainScore> {
    match heard.done.map(|done| done.during) {
        Some(Recorded::Yes(own)) => Recorded::Yes(own),
        Some(Recorded::NotRecorded) | None => heard.visit.pain.exercise,
    }
}

/// Judges the pain and returns the settled line of the band.
pub(crate) fn judge(heard: &Heard<'_>, pain: Recorded<PainScore>) -> (Judged, Option<PainScore>) {
    let band = heard
        .library
        .procedure
        .bands
        .iter()
        .find(|band| band.work == heard.work && band.window.holds(heard.day));
    let Some(band) = band else {
        return (None, None);
    };
    let judged = match pain {
        Recorded::NotRecorded => None,
        Recorded::Yes(pain) if pain <= band.settled => Some((Response::Settled, None)),
        Recorded::Yes(pain) if pain <= band.tolerable => Some((Response::Tolerable, None)),
        Recorded::Yes(pain) => {
            let sign = OverdoneSign::Pain {
                pain,
                line: band.tolerable,
            };
            Some((Response::Overdone, Some(sign)))
        }
    };
    (judged, Some(band.settled))
}

/// Notes that pain was judged, or was not recorded.
pub(crate) fn note(answer: &Answer, log: &mut Log) {
    match answer.pain {
        Recorded::Yes(_) => log.fire(&RULE),
        Recorded::NotRecorded => {
            log.notice(
                &RULE,
                Notice::Blank {
                    rule: RULE.id,
                    key: "pain.exercise",
                },
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    fn response(pain: Option<i64>, day: i64) -> Recorded<Response> {
        let mut record = sample::record(day);
        sample::earlier(&mut record, 5, &[("bend", "b1")]);
        record.visits[1].pain.exercise = sample::pain(pain);
        sample::program(&sample::library(), &record).response
    }

    #[test]
    fn each_side_of_each_line() {
        assert_eq!(response(Some(5), 10), Recorded::Yes(Response::Settled));
        assert_eq!(response(Some(6), 10), Recorded::Yes(Response::Tolerable));
        assert_eq!(response(Some(7), 10), Recorded::Yes(Response::Tolerable));
        assert_eq!(response(Some(8), 10), Recorded::Yes(Response::Overdone));
    }

    #[test]
    fn the_band_goes_by_the_day() {
        let mut record = sample::record(28);
        sample::earlier(&mut record, 20, &[("bend", "b1")]);
        record.visits[1].pain.exercise = sample::pain(Some(7));
        record.visits[1].phase = Some(sample::stay("early"));
        let program = sample::program(&sample::library(), &record);
        assert_eq!(program.response, Recorded::Yes(Response::Overdone));
        assert!(program.fired.contains(&RULE.id));
    }

    #[test]
    fn a_blank_is_no_answer() {
        assert_eq!(response(None, 10), Recorded::NotRecorded);
    }

    #[test]
    fn without_a_sheet_it_is_silent() {
        let program = sample::program(&sample::library(), &sample::record(10));
        assert!(!program.fired.contains(&RULE.id));
    }

    #[test]
    fn each_exercise_has_its_own_answer_and_walks_do_not_judge_the_sheet() {
        let mut record = sample::record(10);
        sample::earlier(&mut record, 5, &[("bend", "b1"), ("stroll", "w1")]);
        sample::done(&mut record, 1, "stroll").during = sample::pain(Some(9));
        let program = sample::program(&sample::library(), &record);
        assert_eq!(program.response, Recorded::Yes(Response::Settled));
        let mut steps = program.daily.iter().flat_map(|row| &row.steps);
        assert!(
            steps
                .any(|step| matches!(step.why, crate::domain::verdict::Why::KeptLowestRung { .. }))
        );
    }
}
