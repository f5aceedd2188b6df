//! Trade shorthand: doses, facts, tests, dates and sources as a clinician writes them.

use chrono::NaiveDate;

use crate::domain::dose::{Amount, Dose, Often};
use crate::domain::fact::{Comparison, FactValue, Test};
use crate::domain::procedure::ReviewLine;
use crate::domain::quantity::Quantity;
use crate::domain::record::Until;
use crate::domain::recorded::Recorded;
use crate::domain::source::{Decision, Source};
use crate::domain::verdict::ReviewDue;
use crate::domain::word::{Fact, Word};

/// Writes a dose: `2 x 8, hold 5 s, rest 60 s, 2/day`.
pub(in crate::handout) fn dose(dose: &Dose) -> String {
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
    parts.extend(dose.limit.map(|stop| format!("stops at {}°", stop.get())));
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
        Fact::PainMedicine => "takes medicine for pain",
        Fact::RestPain => "pain at rest",
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
        | Fact::FloorSafe
        | Fact::PainMedicine
        | Fact::RestPain => "",
    }
}

/// Writes a number of a fact with its unit; less than nothing short of straight is beyond it.
pub(in crate::handout) fn number(of: Fact, value: i64) -> String {
    if of == Fact::ExtensionDeficit && value < 0 {
        return format!("{}{} beyond straight", value.saturating_neg(), unit(of));
    }
    format!("{value}{}", unit(of))
}

/// Says how a measure stands past a review line.
pub(in crate::handout) fn crossed(due: &ReviewDue) -> String {
    let number = |value| number(due.fact, value);
    let lost = due
        .before
        .map(|before| before.value.saturating_sub(due.value));
    let line = match due.line {
        ReviewLine::Below(line) => format!("is below {}", number(line)),
        ReviewLine::Above(line) => format!("is above {}", number(line)),
        ReviewLine::NoGain { below, gain, .. } if lost >= Some(gain) => {
            format!("is {} and below {}", changed(due), number(below))
        }
        ReviewLine::NoGain { below, gain, .. } => format!(
            "is no change you can rely on ({}; under {} may be the error of measuring) and below \
             {}",
            earlier(due),
            number(gain),
            number(below)
        ),
        ReviewLine::Fell(_) | ReviewLine::Rose(_) => format!("is {}", changed(due)),
    };
    format!("{} {} {line}", fact(due.fact), number(due.value))
}

/// Writes the earlier value and its age: `115° 14 days before`.
fn earlier(due: &ReviewDue) -> String {
    due.before.map_or_else(String::new, |before| {
        let value = number(due.fact, before.value);
        format!("{value} {} days before", before.days_ago)
    })
}

/// Writes how much a measure has changed: `25° less than 115° 14 days before`.
fn changed(due: &ReviewDue) -> String {
    let then = due.before.map_or(due.value, |before| before.value);
    let by = format!("{}{}", due.value.abs_diff(then), unit(due.fact));
    let way = if due.value < then { "less" } else { "more" };
    format!("{by} {way} than {}", earlier(due))
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
pub(super) fn source(vouching: &Source) -> String {
    match vouching {
        Source::Work { key, at: Some(at) } => format!("{key}, {at}"),
        Source::Work { key, at: None } => key.to_string(),
        Source::Practice => "practice".to_owned(),
        Source::Clinic => "clinic".to_owned(),
        Source::Decided { values, rest } => {
            let each = values
                .iter()
                .map(|(key, decision)| format!("{} ({key})", decided(decision)));
            let rest = rest
                .as_deref()
                .map(|rest| format!("the rest {}", source(rest)));
            each.chain(rest).collect::<Vec<_>>().join("; ")
        }
    }
}

/// Writes a decision of the clinic: why, who and when.
pub(super) fn decided(decision: &Decision) -> String {
    let because = decision.because.trim_end_matches('.');
    format!("clinic: {because}, {}, {}", decision.by, decision.on)
}

/// Lists words of a closed list.
pub(super) fn words<'a, W: Word>(list: impl IntoIterator<Item = &'a W>) -> String {
    list.into_iter()
        .map(|word| word.as_str())
        .collect::<Vec<_>>()
        .join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::quantity::Quantity;
    use crate::domain::verdict::Earlier;
    use crate::domain::word::{ReviewTell, YesNo};

    fn said(value: i64, line: ReviewLine, before: i64) -> String {
        let days_ago = 14;
        crossed(&ReviewDue {
            fact: Fact::Flexion,
            value,
            line,
            before: Some(Earlier {
                value: before,
                days_ago,
            }),
            tell: ReviewTell::Team,
            keeps: YesNo::No,
        })
    }

    #[test]
    fn a_loss_is_never_said_to_be_an_error_of_measuring() {
        let no_gain = ReviewLine::NoGain {
            days: Quantity::nearest(14),
            below: 110,
            gain: 5,
        };
        for (now, before) in [(90, 95), (90, 115), (105, 110), (70, 130)] {
            let said = said(now, no_gain, before);
            let lost = format!("{}° less than {before}° 14 days before", before - now);
            assert!(said.contains(&lost) && !said.contains("error"), "{said}");
        }
        for (now, before) in [(90, 94), (90, 90), (94, 90)] {
            let said = said(now, no_gain, before);
            assert!(said.contains("no change you can rely on"), "{said}");
        }
    }

    #[test]
    fn a_change_for_the_worse_says_how_much_and_since_when() {
        let fell = said(104, ReviewLine::Fell(15), 130);
        assert_eq!(fell, "flexion 104° is 26° less than 130° 14 days before");
        let rose = said(18, ReviewLine::Rose(10), 3);
        assert_eq!(rose, "flexion 18° is 15° more than 3° 14 days before");
    }
}
