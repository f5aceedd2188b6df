#![doc = include_str!("d412_kept_by_review.md")]

use crate::domain::exercise::{Exercise, Rung};
use crate::domain::verdict::{RuleId, WhyNot};
use crate::domain::word::{BandWork, Fact, Position, Row, YesNo};
use crate::engine::allow::Bar;
use crate::engine::answer::work_of;
use crate::engine::case::Case;
use crate::engine::place::Place;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D412"),
    name: "kept-by-review",
    stage: Stage::Allow,
    since: "0.1",
    summary: "Holds some work at the last sheet's rung while a review line is crossed.",
    sources: &["practice"],
    doc: include_str!("d412_kept_by_review.md"),
};

/// Lists the measures past a line at which all but motion work keeps.
pub(crate) fn crossed(place: &Place<'_>) -> Vec<Fact> {
    let crossed = place.reviews.iter().filter(|due| due.keeps == YesNo::Yes);
    crossed.map(|due| due.fact).collect()
}

/// Returns the bar of a rung above the last sheet's, or of work that would begin, when it keeps.
pub(crate) fn bar(case: &Case<'_>, exercise: &Exercise, index: usize, rung: &Rung) -> Option<Bar> {
    let fact = *case.keeps.first()?;
    let last = case.last_item(&exercise.id);
    let at = last.and_then(|item| exercise.rung(&item.rung));
    let work = work_of(case.library, exercise, &rung.id);
    let keeps = match at {
        Some((at, _)) => exercise.row != Row::Advice && index > at && work != BandWork::Range,
        None => exercise.row == Row::Exercise && (work == BandWork::Loaded || on_feet(exercise)),
    };
    keeps.then_some(Bar {
        reason: WhyNot::KeptByReview { fact },
        rule: RULE.id,
    })
}

const fn on_feet(exercise: &Exercise) -> bool {
    matches!(exercise.position, Position::Standing | Position::Walking)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::library::Library;
    use crate::domain::procedure::ReviewLine;
    use crate::domain::record::Record;
    use crate::domain::word::AdjustAction;
    use crate::engine::sample;

    const BOTH: [(&str, &str); 3] = [("lift", "l1"), ("bend", "b1"), ("stroll", "w1")];

    /// A library in which all but motion work keeps when the bend fell.
    fn library() -> Library {
        let mut library = sample::library();
        let review = &mut library.procedure.reviews[0];
        review.line = ReviewLine::Fell(15);
        review.keeps = YesNo::Yes;
        library.procedure.settings.loading_tags = [sample::id("held")].into();
        library
    }

    /// Somebody with these lines on the last sheet, whose bend was 110 and now is less.
    fn record(now: i64, lines: &[(&str, &str)]) -> Record {
        let mut record = sample::record(20);
        sample::earlier(&mut record, 10, lines);
        record.visits[0].measured.flexion = sample::degrees(Some(110));
        record.visits[1].measured.flexion = sample::degrees(Some(now));
        record.visits[1].measured.lag = sample::degrees(Some(0));
        record
    }

    fn rungs(now: i64) -> Vec<(String, usize)> {
        let program = sample::program(&library(), &record(now, &BOTH));
        let items = BOTH[..2].iter().map(|(id, _)| sample::item(&program, id));
        let daily = program.daily.iter();
        let row = daily.filter(|row| row.exercise == sample::id("stroll"));
        items
            .chain(row)
            .map(|item| (item.rung.to_string(), item.next.len()))
            .collect()
    }

    #[test]
    fn motion_goes_on_and_all_else_stays_with_nothing_ahead() {
        let only = |all: &[(String, usize)]| -> Vec<String> {
            all.iter().map(|(rung, _)| rung.clone()).collect()
        };
        let [steady, fell] = [rungs(100), rungs(95)];
        assert_eq!(only(&steady), ["l2", "b2", "w2"]);
        assert_eq!(only(&fell), ["l1", "b2", "w1"]);
        let [lift, bend, walk] = [fell[0].1, fell[1].1, fell[2].1];
        assert_eq!([lift, walk], [0, 0], "nothing ahead");
        assert!(bend > 0);
    }

    #[test]
    fn nothing_that_loads_or_stands_is_new_but_by_the_clinicians_word() {
        let kept = Some(WhyNot::KeptByReview {
            fact: Fact::Flexion,
        });
        let bend = [("bend", "b1")];
        let mut library = library();
        let left = |library: &Library, now, id| {
            sample::left_out(&sample::program(library, &record(now, &bend)), id)
        };
        assert_ne!(left(&library, 95, "lift"), kept, "no load, lying");
        assert_eq!(left(&library, 95, "poise"), kept, "on the feet");
        assert_ne!(left(&library, 96, "poise"), kept);
        for rung in &mut sample::exercise(&mut library, "lift").rungs {
            rung.tags.insert(sample::id("held"));
        }
        assert_eq!(left(&library, 95, "lift"), kept);
        assert_ne!(left(&library, 96, "lift"), kept);
        let mut wanted = record(95, &bend);
        sample::adjust(&mut wanted, "lift", AdjustAction::Add, None);
        assert!(sample::has(&sample::program(&library, &wanted), "lift"));
    }

    #[test]
    fn a_daily_row_may_begin() {
        let bend = [("bend", "b1")];
        let program = sample::program(&library(), &record(95, &bend));
        let mut daily = program.daily.iter();
        assert!(daily.any(|row| row.exercise == sample::id("stroll")));
    }
}
