//! Trade shorthand: doses, facts, tests, dates and sources as a clinician writes them.

use chrono::NaiveDate;

use crate::domain::dose::{Amount, Dose, Often};
use crate::domain::fact::{Comparison, FactValue, Test};
use crate::domain::quantity::Quantity;
use crate::domain::record::Until;
use crate::domain::recorded::Recorded;
use crate::domain::source::Source;
use crate::domain::word::{Fact, Word};

/// Writes a dose: `2 x 8, hold 5 s, rest 60 s, 2/day`.
pub(super) fn dose(dose: &Dose) -> String {
    let mut parts = amount(dose.amount);
    parts.extend(dose.lower_s.map(|lower| format!("lower {} s", lower.get())));
    parts.push(match dose.often {
        Often::Times(times) => format!("{}/day", times.get()),
        Often::Hourly => "each waking hour".to_owned(),
    });
    if dose.days_a_week.get() < 7 {
        parts.push(format!("{}/week", dose.days_a_week.get()));
    }
    parts.extend(dose.load_g.map(|load| format!("{} g", load.get())));
    parts.extend(dose.band.map(|band| format!("{band} band")));
    parts.extend(dose.support.map(|support| format!("support {support}")));
    parts.extend(
        dose.height_cm
            .map(|height| format!("step {} cm", height.get())),
    );
    parts.extend(dose.seat_cm.map(|seat| format!("seat {} cm", seat.get())));
    parts.extend(
        dose.range_degrees
            .map(|range| format!("range {}°", range.get())),
    );
    parts.extend(dose.aim.map(|aim| format!("aim {}°", aim.get())));
    parts.extend(dose.limit.map(|limit| format!("limit {}°", limit.get())));
    parts.extend(dose.how.as_ref().map(|how| format!("how {how}")));
    parts.join(", ")
}

fn amount(amount: Amount) -> Vec<String> {
    match amount {
        Amount::Timed { minutes } => vec![format!("{} min", minutes.get())],
        Amount::Counted {
            sets,
            repetitions,
            hold_s,
            pause_s,
            rest_s,
        } => {
            let mut parts = vec![format!("{} x {}", sets.get(), repetitions.get())];
            let rest = if sets.get() > 1 { rest_s.get() } else { 0 };
            for (name, seconds) in [
                ("hold", hold_s.get()),
                ("pause", pause_s.get()),
                ("rest", rest),
            ] {
                if seconds > 0 {
                    parts.push(format!("{name} {seconds} s"));
                }
            }
            parts
        }
    }
}

/// Names a fact.
pub(in crate::handout) fn fact(fact: Fact) -> &'static str {
    match fact {
        Fact::Day => "day",
        Fact::Flexion => "flexion",
        Fact::ExtensionDeficit => "extension deficit",
        Fact::Lag => "lag",
        Fact::Stance => "stance on the operated leg",
        Fact::WalkMinutes => "walking a day",
        Fact::LegLift => "leg lift",
        Fact::WalkingAid => "walking aid",
        Fact::WeightBearing => "weight bearing",
        Fact::Swelling => "swelling",
        Fact::Morning => "next morning",
        Fact::Limp => "limp",
        Fact::StairsPractised => "stairs practised",
        Fact::BlockGone => "block gone",
        Fact::Wound => "wound",
        Fact::GivingWay => "giving way",
        Fact::Response => "response",
        Fact::How => "how seen",
        Fact::FloorSafe => "gets to the floor and up safely",
    }
}

fn unit(fact: Fact) -> &'static str {
    match fact {
        Fact::Flexion | Fact::ExtensionDeficit | Fact::Lag => "°",
        Fact::Stance => " s",
        Fact::WalkMinutes => " min",
        Fact::Day
        | Fact::LegLift
        | Fact::WalkingAid
        | Fact::WeightBearing
        | Fact::Swelling
        | Fact::Morning
        | Fact::Limp
        | Fact::StairsPractised
        | Fact::BlockGone
        | Fact::Wound
        | Fact::GivingWay
        | Fact::Response
        | Fact::How
        | Fact::FloorSafe => "",
    }
}

/// Writes a number of a fact with its unit.
pub(in crate::handout) fn number(of: Fact, value: i64) -> String {
    format!("{value}{}", unit(of))
}

/// Writes the value of a fact.
pub(super) fn value(of: Fact, value: &FactValue) -> String {
    match value {
        FactValue::Number(n) => number(of, *n),
        FactValue::Word(word) => word.clone(),
    }
}

/// What stands where nothing was recorded.
pub(super) const NOT_RECORDED: &str = "not recorded";

/// Writes anything that may not be recorded.
pub(super) fn or_blank<T: ToString>(found: &Recorded<T>) -> String {
    match found {
        Recorded::Yes(found) => found.to_string(),
        Recorded::NotRecorded => NOT_RECORDED.to_owned(),
    }
}

/// Writes tests that must all hold.
pub(super) fn tests(tests: &[Test]) -> String {
    let each: Vec<String> = tests.iter().map(test).collect();
    each.join(", ")
}

/// Writes a test: `flexion at least 70°`.
pub(super) fn test(test: &Test) -> String {
    let name = fact(test.fact);
    match &test.comparison {
        Comparison::AtLeast(least) => format!("{name} at least {}", number(test.fact, *least)),
        Comparison::AtMost(most) => format!("{name} at most {}", number(test.fact, *most)),
        Comparison::Is(words) => format!("{name} {}", words.join(" or ")),
    }
}

/// Writes a test and the value it met: `needs flexion at least 70°, found 65°`.
pub(super) fn tested(looked: &Test, found: &Recorded<FactValue>) -> String {
    let needs = test(looked);
    match found {
        Recorded::Yes(found) => format!("needs {needs}, found {}", value(looked.fact, found)),
        Recorded::NotRecorded => format!("needs {needs}, {NOT_RECORDED}"),
    }
}

/// Names things by their numbers, as the subject of a sentence: `visit 1 was`, `visits 1, 2 were`.
pub(super) fn counted(noun: &str, numbers: &[i64]) -> String {
    let all: Vec<String> = numbers.iter().map(ToString::to_string).collect();
    match all.as_slice() {
        [only] => format!("{noun} {only} was"),
        several => format!("{noun}s {} were", several.join(", ")),
    }
}

/// Writes a date.
pub(in crate::handout) fn date(date: NaiveDate) -> String {
    date.format("%a %-d %b %Y").to_string()
}

/// Writes when an order ends.
pub(super) fn until(until: Until) -> String {
    match until {
        Until::Date(end) => format!("until {}", date(end)),
        Until::Asked => "until asked of the surgeon".to_owned(),
        Until::Open => "no end set".to_owned(),
    }
}

/// Writes what vouches for a number.
pub(super) fn source(source: &Source) -> String {
    match source {
        Source::Work { key, at: Some(at) } => format!("{key}, {at}"),
        Source::Work { key, at: None } => key.to_string(),
        Source::Practice => "practice".to_owned(),
        Source::Clinic => "clinic".to_owned(),
    }
}

/// Lists words of a closed list.
pub(super) fn words<'a, W: Word>(list: impl IntoIterator<Item = &'a W>) -> String {
    list.into_iter()
        .map(|word| word.as_str())
        .collect::<Vec<_>>()
        .join(", ")
}
