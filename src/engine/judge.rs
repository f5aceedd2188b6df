//! Tests on facts, and what a blank field means by the procedure's own rules.
//!
//! Must not leave notices: the rule that asked does.

use crate::domain::fact::{FactValue, Test};
use crate::domain::recorded::Recorded;
use crate::domain::time::Day;
use crate::domain::word::{Fact, MissingRule};

use super::case::Case;

/// How a test came out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Judged {
    /// The fact is known and passes.
    Passes,
    /// Not recorded; the procedure lets it pass.
    PassesBlank,
    /// Not recorded; the procedure lets it pass, and a start is at the first rung.
    PassesFirst,
    /// Not recorded; the usual value of the day passes.
    PassesUsual(i64),
    /// Fails; not recorded when a blank is what failed it.
    Fails(Recorded<FactValue>),
    /// Not recorded; the usual value of the day fails.
    FailsUsual(i64),
}

/// Looks a fact up as it will be known on a day: only the day itself is known ahead.
pub(crate) fn value_on(case: &Case<'_>, fact: Fact, day: Day) -> Recorded<FactValue> {
    if fact == Fact::Day {
        return Recorded::Yes(FactValue::Number(day.get()));
    }
    match case.facts.get(fact) {
        Recorded::Yes(dated) => Recorded::Yes(dated.value.clone()),
        Recorded::NotRecorded => Recorded::NotRecorded,
    }
}

/// Judges a test on a day; no rule for a blank field means it fails.
///
/// A test of the day counts from the operation: before it, the phase's own highest rungs hold.
pub(crate) fn judge(case: &Case<'_>, test: &Test, day: Day) -> Judged {
    if test.fact == Fact::Day && day.is_before_operation() {
        return Judged::Passes;
    }
    let value = value_on(case, test.fact, day);
    match &value {
        Recorded::Yes(known) if test.passes(known) => Judged::Passes,
        Recorded::Yes(_) => Judged::Fails(value),
        Recorded::NotRecorded => blank(case, test, day),
    }
}

fn blank(case: &Case<'_>, test: &Test, day: Day) -> Judged {
    match case.procedure().when_blank(test.fact, day) {
        Some(MissingRule::Pass) => Judged::PassesBlank,
        Some(MissingRule::FirstRung) => Judged::PassesFirst,
        Some(MissingRule::Usual) => usual(case, test, day),
        Some(MissingRule::Fail | MissingRule::Ask) | None => Judged::Fails(Recorded::NotRecorded),
    }
}

fn usual(case: &Case<'_>, test: &Test, day: Day) -> Judged {
    let usual = case
        .procedure()
        .course(test.fact)
        .and_then(|course| course.at(day))
        .map(|(usual, _)| usual);
    match usual {
        Some(value) if test.passes(&FactValue::Number(value)) => Judged::PassesUsual(value),
        Some(value) => Judged::FailsUsual(value),
        None => Judged::Fails(Recorded::NotRecorded),
    }
}
