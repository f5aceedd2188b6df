#![doc = include_str!("d205_review_lines.md")]

use crate::domain::fact::FactValue;
use crate::domain::procedure::{Review, ReviewLine};
use crate::domain::quantity::Quantity;
use crate::domain::record::Visit;
use crate::domain::recorded::Recorded;
use crate::domain::time::Day;
use crate::domain::verdict::{Earlier, ReviewDue, RuleId};
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

/// Says whether any line of a measure is due.
pub(crate) fn is_due(case: &Case<'_>, fact: Fact) -> bool {
    let mut reviews = case.procedure().reviews.iter();
    reviews.any(|review| {
        review.fact == fact && review.window.holds(case.day) && past(case, review).is_some()
    })
}

fn past(case: &Case<'_>, review: &Review) -> Option<ReviewDue> {
    let Recorded::Yes(dated) = case.facts.get(review.fact) else {
        return None;
    };
    let value = match dated.value {
        FactValue::Number(number) if review.window.holds(dated.on) => number,
        FactValue::Number(_) | FactValue::Word(_) => return None,
    };
    if !is_told(case, review, dated.on) {
        return None;
    }
    let before = before(case, review, dated.on);
    let than = before.map(|before| before.value);
    let is_past = match review.line {
        ReviewLine::Below(line) => value < line,
        ReviewLine::Above(line) => value > line,
        ReviewLine::NoGain { below, gain, .. } => {
            value < below && than.is_some_and(|than| value.saturating_sub(than) < gain)
        }
        ReviewLine::Fell(by) => than.is_some_and(|than| than.saturating_sub(value) >= by),
        ReviewLine::Rose(by) => than.is_some_and(|than| value.saturating_sub(than) >= by),
    };
    is_past.then_some(ReviewDue {
        fact: review.fact,
        value,
        line: review.line,
        before,
        tell: review.tell,
        keeps: review.keeps,
    })
}

/// Says whether a line looks back: then what follows from a word, such as a lag from how the leg
/// lifts, counts too, since the word itself has changed.
const fn looks_back(line: ReviewLine) -> bool {
    match line {
        ReviewLine::Fell(_) | ReviewLine::Rose(_) => true,
        ReviewLine::Below(_) | ReviewLine::Above(_) | ReviewLine::NoGain { .. } => false,
    }
}

/// Returns what one visit told of a line's measure.
fn told(case: &Case<'_>, review: &Review, visit: &Visit) -> Option<i64> {
    let derives = &case.procedure().derives;
    let derives = if looks_back(review.line) {
        &derives[..]
    } else {
        &[]
    };
    match facts::at_visit(visit, derives).remove(&review.fact)? {
        FactValue::Number(number) => Some(number),
        FactValue::Word(_) => None,
    }
}

/// Says whether a visit of that day told the measure; what only follows from another fact calls
/// nobody to a line that does not look back.
fn is_told(case: &Case<'_>, review: &Review, on: Day) -> bool {
    let visits = std::iter::once(case.visit).chain(case.history.iter().copied());
    visits
        .filter(|visit| case.day_of(visit.date) == on)
        .any(|visit| told(case, review, visit).is_some())
}

/// Finds the earlier value a line looks back to: the latest that is old enough, or for a change for
/// the worse the best of that one and of those that still count, so that small steps add up.
fn before(case: &Case<'_>, review: &Review, on: Day) -> Option<Earlier> {
    let days = match review.line {
        ReviewLine::Fell(_) | ReviewLine::Rose(_) => 1,
        ReviewLine::NoGain { days, .. } => days.get(),
        ReviewLine::Below(_) | ReviewLine::Above(_) => return None,
    };
    let newest = on.plus(days.saturating_neg());
    let mut earlier = case
        .history
        .iter()
        .filter(|visit| case.day_of(visit.date) <= newest)
        .filter_map(|visit| {
            Some(Earlier {
                value: told(case, review, visit)?,
                days_ago: on.get().saturating_sub(case.day_of(visit.date).get()),
            })
        });
    let last = earlier.next()?;
    let still_counts = case.settings().last_value_days.get();
    let counts = earlier.filter(|earlier| earlier.days_ago <= still_counts);
    let best = |better: fn(i64, i64) -> bool| {
        counts.fold(last, |best, next| {
            if better(next.value, best.value) {
                next
            } else {
                best
            }
        })
    };
    Some(match review.line {
        ReviewLine::Fell(_) => best(|next, best| next > best),
        ReviewLine::Rose(_) => best(|next, best| next < best),
        ReviewLine::NoGain { .. } | ReviewLine::Below(_) | ReviewLine::Above(_) => last,
    })
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
            gain: 5,
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
        assert!(fires_without_a_gain(14, 94, 95), "no gain to rely on");
        assert!(fires_without_a_gain(14, 91, 95));
        assert!(!fires_without_a_gain(14, 90, 95), "a gain");
        assert!(!fires_without_a_gain(13, 95, 95), "too soon to tell");
        assert!(fires_without_a_gain(14, 109, 109));
        assert!(!fires_without_a_gain(14, 110, 110), "far enough");
    }

    fn changed(line: ReviewLine, before: &[(i64, i64)], now: i64) -> Option<ReviewDue> {
        let mut library = sample::library();
        library.procedure.reviews[0].line = line;
        let mut record = sample::record(20);
        for (day, bend) in before {
            sample::earlier(&mut record, *day, &[]);
            let mut visits = record.visits.iter_mut();
            let visit = visits.find(|visit| visit.date == sample::on(*day));
            visit.unwrap().measured.flexion = sample::degrees(Some(*bend));
        }
        let today = record.visits.last_mut().unwrap();
        today.measured.flexion = sample::degrees(Some(now));
        let program = sample::program(&library, &record);
        program.reviews.into_iter().next()
    }

    #[test]
    fn a_change_for_the_worse_is_held_against_the_last_value_however_old() {
        let fell = |before: &[(i64, i64)], now| changed(ReviewLine::Fell(15), before, now);
        assert_eq!(fell(&[], 80), None, "nothing to look back to");
        assert_eq!(fell(&[(15, 110)], 96), None);
        assert_eq!(fell(&[(15, 95)], 110), None, "a gain");
        let due = fell(&[(15, 110)], 95).unwrap();
        let (value, days_ago) = (110, 5);
        assert_eq!(due.before, Some(Earlier { value, days_ago }));
        assert!(fell(&[(2, 110)], 95).is_some(), "nothing newer");
        let rose = |now| changed(ReviewLine::Rose(10), &[(15, 90)], now);
        assert!(rose(100).is_some() && rose(99).is_none() && rose(80).is_none());
    }

    #[test]
    fn what_is_lost_in_steps_is_lost() {
        let earlier = |value, days_ago| Some(Earlier { value, days_ago });
        let before = |line, before: &[(i64, i64)], now| {
            changed(line, before, now).and_then(|due| due.before)
        };
        let fell = |visits: &[(i64, i64)], now| before(ReviewLine::Fell(15), visits, now);
        assert_eq!(fell(&[(6, 130), (13, 117)], 104), earlier(130, 14));
        assert_eq!(fell(&[(6, 117), (13, 130)], 104), earlier(130, 7));
        assert_eq!(fell(&[(5, 130), (13, 117)], 104), None, "too long ago");
        assert_eq!(
            fell(&[(6, 130), (13, 117)], 116),
            None,
            "most of it is back"
        );
        assert_eq!(
            fell(&[(6, 130), (13, 130)], 104),
            earlier(130, 7),
            "the later"
        );
        let rose = |visits: &[(i64, i64)], now| before(ReviewLine::Rose(10), visits, now);
        assert_eq!(rose(&[(6, 2), (13, 8)], 13), earlier(2, 14));
        assert_eq!(rose(&[(5, 2), (13, 8)], 13), None, "too long ago");
    }

    #[test]
    fn a_word_that_changed_for_the_worse_is_a_change_of_what_follows_from_it() {
        use crate::domain::fact::Comparison;
        use crate::domain::word::LegLift;

        let run = |before: LegLift, now: LegLift| {
            let mut library = sample::library();
            library.procedure.reviews[0].fact = crate::domain::word::Fact::Lag;
            library.procedure.reviews[0].line = ReviewLine::Rose(10);
            let mut with_lag = library.procedure.derives[0].clone();
            with_lag.when.comparison = Comparison::Is(vec!["alone-lag".to_owned()]);
            with_lag.value = FactValue::Number(10);
            library.procedure.derives.push(with_lag);
            let mut record = sample::record(20);
            sample::earlier(&mut record, 15, &[]);
            for (visit, lift) in record.visits.iter_mut().zip([before, now]) {
                visit.measured.leg_lift = Recorded::Yes(lift);
            }
            !sample::program(&library, &record).reviews.is_empty()
        };
        assert!(run(LegLift::AloneStraight, LegLift::AloneLag));
        assert!(!run(LegLift::AloneLag, LegLift::AloneStraight));
    }

    #[test]
    fn before_its_days_a_line_is_silent() {
        assert!(!fires(13, 79));
    }
}
