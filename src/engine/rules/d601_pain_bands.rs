#![doc = include_str!("d601_pain_bands.md")]

use crate::domain::procedure::PainBands;
use crate::domain::quantity::PainScore;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{BadSign, Notice, RuleId};
use crate::domain::word::{Response, YesNo};
use crate::engine::answer::{Answer, Heard, Judged, worst};
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

/// Judges the pain, and what came after it, and returns the settled line of the band.
pub(crate) fn judge(
    heard: &Heard<'_>,
    pain: Recorded<PainScore>,
    after: [Judged; 2],
) -> (Judged, Option<PainScore>) {
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
        Recorded::Yes(pain) if pain <= band.tolerable => Some(tolerable(band, pain, after)),
        Recorded::Yes(pain) => {
            let line = band.tolerable;
            Some((Response::Overdone, Some(BadSign::Pain { pain, line })))
        }
    };
    (judged, Some(band.settled))
}

/// Judges pain between the two lines: where the band asks for calm afterwards, a sign of more
/// makes it overdone, and so does a morning that nobody recorded.
fn tolerable(band: &PainBands, pain: PainScore, after: [Judged; 2]) -> (Response, Option<BadSign>) {
    let line = band.settled;
    let pain_alone = (Response::Tolerable, Some(BadSign::Pain { pain, line }));
    let [morning, _] = after;
    if band.calm_after == YesNo::No {
        return pain_alone;
    }
    match worst(after.into_iter().flatten()) {
        Some((response, sign)) if response > Response::Settled => (Response::Overdone, sign),
        Some(_) | None if morning.is_none() => (
            Response::Overdone,
            Some(BadSign::PainUnheard { pain, line }),
        ),
        Some(_) | None => pain_alone,
    }
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
    use crate::domain::verdict::Why;
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

    /// The answer to pain of 6 where the band asks for calm afterwards, and the sign printed.
    fn calm(
        morning: Option<crate::domain::word::Morning>,
        swelling: crate::domain::word::Swelling,
    ) -> (Response, BadSign) {
        let mut library = sample::library();
        for band in &mut library.procedure.bands {
            band.calm_after = YesNo::Yes;
        }
        let mut record = sample::record(10);
        sample::earlier(&mut record, 5, &[("bend", "b2")]);
        record.visits[1].pain.exercise = sample::pain(Some(6));
        record.visits[1].pain.morning = Recorded::from(morning);
        record.visits[1].swelling = Recorded::Yes(swelling);
        let program = sample::program(&library, &record);
        let steps = &sample::item(&program, "bend").steps;
        let sign = steps.iter().find_map(|step| {
            let (Why::KeptTolerable { sign } | Why::RangeShorterMoreOften { sign }) = step.why
            else {
                return None;
            };
            Some(sign)
        });
        (program.response.known().unwrap(), sign.unwrap())
    }

    #[test]
    fn pain_between_the_lines_needs_a_calm_morning_and_no_more_swelling() {
        use crate::domain::word::{Morning, Swelling};
        let (pain, line) = (sample::n(6), sample::n(5));
        let cases = [
            (
                Some(Morning::Same),
                Swelling::Same,
                Response::Tolerable,
                BadSign::Pain { pain, line },
            ),
            (
                Some(Morning::Less),
                Swelling::Less,
                Response::Tolerable,
                BadSign::Pain { pain, line },
            ),
            (
                Some(Morning::More),
                Swelling::Same,
                Response::Overdone,
                BadSign::Morning {
                    word: Morning::More,
                },
            ),
            (
                Some(Morning::Same),
                Swelling::More,
                Response::Overdone,
                BadSign::Swelling,
            ),
            (
                None,
                Swelling::Same,
                Response::Overdone,
                BadSign::PainUnheard { pain, line },
            ),
            (None, Swelling::More, Response::Overdone, BadSign::Swelling),
        ];
        for (morning, swelling, response, sign) in cases {
            assert_eq!(
                calm(morning, swelling),
                (response, sign),
                "{morning:?} {swelling:?}"
            );
        }
    }

    #[test]
    fn work_that_loads_goes_by_the_loaded_band_on_every_day() {
        let mut library = sample::library();
        library.procedure.settings.loading_tags = [sample::id("deep")].into();
        let answer = |library: &crate::domain::library::Library, line| {
            let mut record = sample::record(10);
            sample::earlier(&mut record, 5, &[line]);
            record.visits[1].pain.exercise = sample::pain(Some(6));
            sample::program(library, &record).response
        };
        let (rise, lift) = (("rise", "r1"), ("lift", "l1"));
        assert_eq!(answer(&library, rise), Recorded::Yes(Response::Overdone));
        assert_eq!(answer(&library, lift), Recorded::Yes(Response::Tolerable));
        assert_eq!(
            answer(&sample::library(), rise),
            Recorded::Yes(Response::Tolerable)
        );
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
