#![doc = include_str!("d205_review_lines.md")]

use crate::domain::fact::FactValue;
use crate::domain::procedure::{Review, ReviewLine};
use crate::domain::quantity::Quantity;
use crate::domain::recorded::Recorded;
use crate::domain::time::Day;
use crate::domain::verdict::{ReviewDue, RuleId};
use crate::domain::word::Fact;
use crate::engine::case::Case;
use crate::engine::facts;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D205"),
    name: "review-lines",
    stage: Stage::Place,
    since: "0.1",
    summary: "Names measures past a review line and whom the line tells.",
    sources: &["practice"],
    doc: include_str!("d205_review_lines.md"),
};

/// Lists the review lines that are due.
pub(crate) fn due(case: &Case<'_>, log: &mut Log) -> Vec<ReviewDue> {
    let due: Vec<ReviewDue> = case
        .procedure()
        .reviews
        .iter()
        .filter(|review| review.window.holds(case.day))
        .filter_map(|review| past(case, review))
        .collect();
    if !due.is_empty() {
        log.fire(&RULE);
    }
    due
}

fn past(case: &Case<'_>, review: &Review) -> Option<ReviewDue> {
    let Recorded::Yes(dated) = case.facts.get(review.fact) else {
        return None;
    };
    if !was_measured(case, review.fact, dated.on) {
        return None;
    }
    let value = match dated.value {
        FactValue::Number(number) if review.window.holds(dated.on) => number,
        FactValue::Number(_) | FactValue::Word(_) => return None,
    };
    let is_past = match review.line {
        ReviewLine::Below(line) => value < line,
        ReviewLine::Above(line) => value > line,
        ReviewLine::NoGain { days, below } => {
            value < below
                && earlier(
                    case,
                    review.fact,
                    dated.on.plus(days.get().saturating_neg()),
                )
                .is_some_and(|before| value <= before)
        }
    };
    is_past.then_some(ReviewDue {
        fact: review.fact,
        value,
        line: review.line,
        tell: review.tell,
    })
}

/// Returns the last number measured on or before a day.
fn earlier(case: &Case<'_>, fact: Fact, day: Day) -> Option<i64> {
    case.history
        .iter()
        .filter(|visit| case.day_of(visit.date) <= day)
        .find_map(|visit| match facts::measured(visit).get(&fact) {
            Some(FactValue::Number(number)) => Some(*number),
            Some(FactValue::Word(_)) | None => None,
        })
}

/// Says whether somebody measured the fact on that day; what only follows from another fact, such
/// as a lag from how the leg lifts, calls nobody.
fn was_measured(case: &Case<'_>, fact: Fact, on: Day) -> bool {
    let visits = std::iter::once(case.visit).chain(case.history.iter().copied());
    visits
        .filter(|visit| case.day_of(visit.date) == on)
        .any(|visit| facts::measured(visit).contains_key(&fact))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    fn fires(day: i64, flexion: i64) -> bool {
        let mut record = sample::record(day);
        record.visits[0].measured.flexion = sample::degrees(Some(flexion));
        let program = sample::program(&sample::library(), &record);
        program.fired.contains(&RULE.id)
    }

    #[test]
    fn a_measure_past_the_line_is_due() {
        assert!(fires(14, 79));
    }

    #[test]
    fn a_measure_on_the_line_is_not() {
        assert!(!fires(14, 80));
    }

    fn fires_without_a_gain(days_ago: i64, before: i64, now: i64) -> bool {
        let mut library = sample::library();
        let review = &mut library.procedure.reviews[0];
        review.line = ReviewLine::NoGain {
            days: sample::n(14),
            below: 110,
        };
        let mut record = sample::record(27);
        sample::earlier(&mut record, 27 - days_ago, &[("bend", "b1")]);
        record.visits[0].measured.flexion = sample::degrees(Some(before));
        record.visits[1].measured.flexion = sample::degrees(Some(now));
        sample::program(&library, &record).fired.contains(&RULE.id)
    }

    #[test]
    fn two_weeks_without_a_gain_are_due() {
        assert!(fires_without_a_gain(14, 95, 95));
        assert!(fires_without_a_gain(15, 96, 95));
        assert!(!fires_without_a_gain(14, 94, 95), "a gain");
        assert!(!fires_without_a_gain(13, 95, 95), "too soon to tell");
        assert!(fires_without_a_gain(14, 109, 109));
        assert!(!fires_without_a_gain(14, 110, 110), "far enough");
    }

    #[test]
    fn before_its_days_a_line_is_silent() {
        assert!(!fires(13, 79));
    }
}
