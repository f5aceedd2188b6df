#![doc = include_str!("d602_medicine_first.md")]

use crate::domain::recorded::Recorded;
use crate::domain::verdict::RuleId;
use crate::domain::word::{Response, YesNo};
use crate::engine::answer::{Answer, Heard, Judged};
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D602"),
    name: "medicine-first",
    stage: Stage::Answer,
    since: "0.1",
    summary: "Keeps the dose when pain was high only because the medicine was not taken.",
    sources: &["practice"],
    doc: include_str!("d602_medicine_first.md"),
};

/// Says whether the medicine is what has to be put right first.
pub(crate) fn applies(heard: &Heard<'_>, by_pain: Judged, after: &[Judged]) -> YesNo {
    let bad = |judged: &Judged| judged.is_some_and(|(response, _)| response > Response::Settled);
    let not_taken = heard.visit.pain.medicine_before == Recorded::Yes(YesNo::No);
    if not_taken && bad(&by_pain) && !after.iter().any(bad) {
        YesNo::Yes
    } else {
        YesNo::No
    }
}

/// Notes that it applied.
pub(crate) fn note(answer: &Answer, log: &mut Log) {
    if answer.medicine_first == YesNo::Yes {
        log.fire(&RULE);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::verdict::Why;
    use crate::domain::word::Morning;
    use crate::engine::sample;

    fn run(medicine: Recorded<YesNo>, morning: Morning) -> crate::domain::verdict::Program {
        let mut record = sample::record(10);
        sample::earlier(&mut record, 5, &[("bend", "b2")]);
        record.visits[1].pain.exercise = sample::pain(Some(8));
        record.visits[1].pain.medicine_before = medicine;
        record.visits[1].pain.morning = Recorded::Yes(morning);
        sample::program(&sample::library(), &record)
    }

    #[test]
    fn the_dose_is_kept() {
        let program = run(Recorded::Yes(YesNo::No), Morning::Same);
        assert_eq!(program.response, Recorded::Yes(Response::Tolerable));
        assert!(program.fired.contains(&RULE.id));
        let steps = &sample::item(&program, "bend").steps;
        assert!(
            steps
                .iter()
                .any(|step| matches!(step.why, Why::KeptMedicineFirst { .. }))
        );
    }

    #[test]
    fn with_another_bad_sign_or_no_answer_it_is_silent() {
        for program in [
            run(Recorded::Yes(YesNo::No), Morning::More),
            run(Recorded::Yes(YesNo::Yes), Morning::Same),
            run(Recorded::NotRecorded, Morning::Same),
        ] {
            assert_eq!(program.response, Recorded::Yes(Response::Overdone));
            assert!(!program.fired.contains(&RULE.id));
        }
    }

    #[test]
    fn without_medicine_the_pain_of_one_line_holds_back_every_line() {
        let mut library = sample::library();
        library.procedure.settings.loading_tags = [sample::id("deep")].into();
        let bend = |pain: i64, medicine: YesNo| {
            let mut record = sample::record(19);
            sample::earlier(&mut record, 5, &[("bend", "b1"), ("rise", "r1")]);
            sample::done(&mut record, 1, "rise").during = sample::pain(Some(pain));
            record.visits[1].pain.medicine_before = Recorded::Yes(medicine);
            let program = sample::program(&library, &record);
            sample::item(&program, "bend").rung.to_string()
        };
        assert_eq!(bend(2, YesNo::Yes), "b2");
        assert_eq!(bend(4, YesNo::Yes), "b2", "holds back what loads");
        for pain in [4, 6, 8, 9] {
            assert_eq!(bend(pain, YesNo::No), "b1", "{pain}");
        }
    }
}
