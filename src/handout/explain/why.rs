//! Each reason for a dose in one line, with both sides of its comparison and its source.

use super::trade;
use super::why_not::why_not;
use crate::domain::exercise::Exercise;
use crate::domain::fact::Test;
use crate::domain::library::Library;
use crate::domain::quantity::Quantity;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{BadSign, NeededFact, Step, Why};
use crate::domain::word::{Did, Fact, Morning};

/// Writes one step: rule, reason, source, and the dose after it when it changed.
pub(super) fn step(step: &Step, library: &Library, exercise: &Exercise) -> String {
    let line = format!("{:<5} {}", step.rule.0, why(&step.why));
    let line = match source(step, library, exercise) {
        Some(source) => format!("{line} [{source}]"),
        None => line,
    };
    match &step.before {
        Some(before) if *before == step.after => line,
        Some(_) | None => {
            format!(
                "{line} → {}: {}",
                step.after.rung,
                trade::dose(&step.after.dose)
            )
        }
    }
}

fn easier(tested: &str) -> String {
    format!("easier rung: the starting rung {tested}")
}

fn climbed(pain: &str, line: i64, did: &str) -> String {
    format!("climbed: pain {pain}, settled up to {line}, done {did}")
}

/// Says why.
pub(super) fn why(why: &Why) -> String {
    match why {
        Why::FitsToday { test } => fits_today(test.as_ref()),
        Why::StartBlank { fact } => start_blank(*fact),
        Why::PhaseStart { phase } => format!("first time: starting rung of phase {phase}"),
        Why::StartByTest { tests } => format!("first time, by test: {}", trade::tests(tests)),
        Why::EasierByTest { test, value } => easier(&trade::tested(test, value)),
        Why::LastSheet { sheet, days_ago } => format!("as on sheet {sheet}, {days_ago} days ago"),
        Why::StartEasiest => "first time, while little else may begin: its first rung".to_owned(),
        Why::LongGap { days, line, rungs } => long_gap(*days, *line, *rungs),
        Why::EarlierSheet { sheet, days } => earlier_sheet(*sheet, *days),
        Why::VoidSheet { sheet } => {
            format!("sheet {sheet} counted the days wrongly and is void: entered by test again")
        }
        Why::SeenDoneWell => "seen done well today at this rung".to_owned(),
        Why::Climbed { pain, line, did } => {
            climbed(&trade::or_blank(pain), line.get(), &trade::or_blank(did))
        }
        Why::PhaseTimes { most, asked } => {
            format!("no more often than the phase asks: {asked} on the rung, {most} in the phase")
        }
        Why::SlotsOfTheDay { slots, asked } => slots_of_the_day(*slots, *asked),
        Why::KeptLowestRung { sign } => format!(
            "kept: {}, but lowest rung of a row of every day",
            bad_sign(*sign)
        ),
        Why::Eased { sign } => format!("eased: {}", bad_sign(*sign)),
        Why::Rests { sign, until } => {
            format!("rests until {}: {}", trade::date(*until), bad_sign(*sign))
        }
        Why::RangeShorterMoreOften { sign } => {
            format!(
                "range: same bend, shorter hold, more often: {}",
                bad_sign(*sign)
            )
        }
        Why::KeptForRoom => {
            "kept: on the next rung it would push other work off the sheet".to_owned()
        }
        Why::KeptEndOfRange { sign, fact } => kept_end_of_range(*sign, *fact),
        Why::BehindCourse { fact, value, line } => behind_course(*fact, *value, *line),
        Why::Modified { modifier } => format!("lowered by modifier {modifier}"),
        Why::AimFromMeasure { fact, value } => {
            format!(
                "aim made from {} {}",
                trade::fact(*fact),
                trade::number(*fact, *value)
            )
        }
        Why::Clipped {
            limit,
            degrees,
            margin,
        } => format!(
            "clipped by limit {limit}: {}° less a margin of {}°",
            degrees.get(),
            margin.get()
        ),
        Why::Clinician { because, by } => format!("set by {by}: {because}"),
        Why::LowerRungOffered { reason } => {
            format!(
                "nearest easier rung, because the one asked for is {}",
                why_not(reason)
            )
        }
        Why::KeptTolerable { sign } => {
            format!("kept: tolerable, not settled: {}", bad_sign(*sign))
        }
        Why::KeptMedicineFirst { pain, line } => format!(
            "kept: pain {} over {}, but pain medicine was not taken before: that first",
            pain.get(),
            line.get()
        ),
        Why::KeptNotRecorded { fact } => format!("kept: {} not recorded", needed(*fact)),
        Why::KeptFarMore { done_percent, line } => far_more(*done_percent, *line),
        Why::KeptLittleDone {
            done_percent,
            line,
            did,
        } => little_done(*done_percent, *line, *did),
        Why::KeptTooSoon { days, line } => {
            format!("kept: {days} days at this rung, at least {line} wanted")
        }
        Why::KeptNotSeen => "kept: loaded work, not seen done well".to_owned(),
        Why::KeptTopRung => "kept: highest rung".to_owned(),
        Why::KeptByTest { test, value } => {
            format!("kept: the next rung {}", trade::tested(test, value))
        }
        Why::KeptNotAllowed { reason } => format!("kept: the next rung is {}", why_not(reason)),
        Why::StageUp {
            stage,
            days,
            pain_at_most,
        } => format!(
            "stage {stage}, when its check holds: {days} days on the one before, pain up to {}",
            pain_at_most.get()
        ),
    }
}

fn long_gap(days: i64, line: i64, rungs: i64) -> String {
    let lower = match rungs {
        0 => "not climbed from".to_owned(),
        1 => "1 rung lower".to_owned(),
        _ => format!("{rungs} rungs lower"),
    };
    format!("last sheet ended {days} days ago, more than {line}: {lower}")
}

fn earlier_sheet(sheet: i64, days: i64) -> String {
    format!("back from sheet {sheet}, ended {days} days ago: not above where it stood")
}

fn behind_course(fact: Fact, value: i64, line: i64) -> String {
    format!(
        "past its review line, so more often: {} {}, line {}",
        trade::fact(fact),
        trade::number(fact, value),
        trade::number(fact, line)
    )
}

fn kept_end_of_range(sign: BadSign, fact: Fact) -> String {
    format!(
        "kept: {}, but {} is past its review line: its minutes do not fall",
        bad_sign(sign),
        trade::fact(fact)
    )
}

fn slots_of_the_day(slots: i64, asked: i64) -> String {
    format!("no more often than the day has slots: {asked} asked, {slots} slots")
}

fn fits_today(test: Option<&Test>) -> String {
    let now = "as the person does it now";
    test.map_or_else(
        || now.to_owned(),
        |test| format!("{now}: {}", trade::test(test)),
    )
}

fn start_blank(fact: Fact) -> String {
    let fact = trade::fact(fact);
    format!("first time: its first rung, because {fact} is not recorded")
}

fn far_more(percent: Recorded<i64>, line: i64) -> String {
    let done = match percent {
        Recorded::Yes(percent) => {
            format!("{percent} % of what was asked, far more from {line} %")
        }
        Recorded::NotRecorded => "more was done than asked".to_owned(),
    };
    format!("kept: {done}: ask why; one rung up once two visits running are settled")
}

fn little_done(percent: Recorded<i64>, line: i64, did: Recorded<Did>) -> String {
    let (done, of) = match (percent, did) {
        (Recorded::Yes(percent), _) => (format!("{percent} %"), "this exercise"),
        (Recorded::NotRecorded, did) => (trade::or_blank(&did), "the sheet"),
    };
    format!("kept: too little done: {done} of {of}, {line} % wanted")
}

fn needed(fact: NeededFact) -> &'static str {
    match fact {
        NeededFact::Pain => "pain in exercise",
        NeededFact::Morning => "the next morning",
        NeededFact::Did => "how much was done",
        NeededFact::Seen => "whether it was seen",
    }
}

fn bad_sign(sign: BadSign) -> String {
    match sign {
        BadSign::Pain { pain, line } => {
            format!("pain {} over {}", pain.get(), line.get())
        }
        BadSign::PainUnheard { pain, line } => format!(
            "pain {} over {}, and nobody recorded the next morning: taken as too much",
            pain.get(),
            line.get()
        ),
        BadSign::Morning { word } => format!("{} pain the next morning", morning(word)),
        BadSign::Mornings { bad } => format!("more pain on {bad} of the last 3 mornings"),
        BadSign::Swelling => "more swelling".to_owned(),
    }
}

fn morning(word: Morning) -> &'static str {
    match word {
        Morning::Less => "less",
        Morning::Same => "as much",
        Morning::More => "more",
        Morning::MuchMore => "much more",
    }
}

/// Finds what vouches for a step: the modifier, limit, course or aim behind it, else the rung.
fn source(step: &Step, library: &Library, exercise: &Exercise) -> Option<String> {
    let procedure = &library.procedure;
    let found = match &step.why {
        Why::Modified { modifier } => {
            let known = procedure
                .modifiers
                .iter()
                .find(|known| known.id == *modifier);
            known.map(|known| &known.source)
        }
        Why::Clipped { limit, .. } => {
            let known = procedure.limits.iter().find(|known| known.id == *limit);
            known.map(|known| &known.source)
        }
        Why::BehindCourse { fact, .. } => procedure.course(*fact).map(|course| &course.source),
        Why::AimFromMeasure { .. } => exercise.aim_rule.as_ref().map(|rule| &rule.source),
        Why::Clinician { .. } => return None,
        Why::PhaseStart { .. }
        | Why::StartByTest { .. }
        | Why::StartBlank { .. }
        | Why::StartEasiest
        | Why::FitsToday { .. }
        | Why::EasierByTest { .. }
        | Why::LastSheet { .. }
        | Why::LongGap { .. }
        | Why::EarlierSheet { .. }
        | Why::VoidSheet { .. }
        | Why::SeenDoneWell
        | Why::StageUp { .. }
        | Why::Climbed { .. }
        | Why::KeptTolerable { .. }
        | Why::KeptMedicineFirst { .. }
        | Why::KeptNotRecorded { .. }
        | Why::KeptFarMore { .. }
        | Why::KeptLowestRung { .. }
        | Why::KeptEndOfRange { .. }
        | Why::KeptForRoom
        | Why::KeptLittleDone { .. }
        | Why::KeptTooSoon { .. }
        | Why::KeptNotSeen
        | Why::KeptTopRung
        | Why::KeptByTest { .. }
        | Why::KeptNotAllowed { .. }
        | Why::Eased { .. }
        | Why::Rests { .. }
        | Why::RangeShorterMoreOften { .. }
        | Why::SlotsOfTheDay { .. }
        | Why::PhaseTimes { .. }
        | Why::LowerRungOffered { .. } => exercise
            .rung(&step.after.rung)
            .map(|(_, rung)| &rung.source),
    };
    found.map(trade::source)
}
