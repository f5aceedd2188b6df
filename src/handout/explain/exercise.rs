//! One exercise on one page: its dose step by step, its ladder, its tests, its place.

use super::head::{DEFERENCE, head, section};
use super::program::{dose_line, replaced};
use super::trade;
use super::why::step;
use super::why_not::why_not;
use crate::domain::dose::Dose;
use crate::domain::exercise::{Demand, Exercise, Peak, Rung};
use crate::domain::fact::{Facts, Test};
use crate::domain::ids::RungId;
use crate::domain::library::Library;
use crate::domain::quantity::Quantity;
use crate::domain::record::Record;
use crate::domain::recorded::Recorded;
use crate::domain::verdict::{Item, Program, Verdict};
use crate::domain::word::YesNo;

/// Explains one exercise in the light of a verdict.
pub(super) fn lines(
    verdict: &Verdict,
    library: &Library,
    record: &Record,
    exercise: &Exercise,
) -> Vec<String> {
    let (date, day) = match verdict {
        Verdict::Program(program) => (program.date.0, program.day),
        Verdict::Withheld(withheld) => (withheld.date.0, withheld.day),
        Verdict::Unanswered(unanswered) => (unanswered.date.0, unanswered.day),
    };
    let mut lines = head(library, record, date, day);
    lines.push(String::new());
    lines.push(format!("{} ({})", exercise.trade_name, exercise.id));
    lines.push(format!("For: {}", exercise.aim));
    let mut now = None;
    match verdict {
        Verdict::Program(program) => {
            let item = find(program, exercise);
            now = item.map(|item| &item.rung);
            section(
                &mut lines,
                "On this sheet",
                place(program, item, library, exercise),
            );
            section(
                &mut lines,
                "Entry tests",
                tests(&exercise.entry, &program.facts),
            );
            section(
                &mut lines,
                "Done with when all hold",
                tests(&exercise.leave, &program.facts),
            );
        }
        Verdict::Withheld(_) => lines.push("No exercises: the program is withheld.".to_owned()),
        Verdict::Unanswered(_) => lines.push("No program yet: questions first.".to_owned()),
    }
    section(
        &mut lines,
        "Asks of the operated side",
        exercise.demands.iter().map(demand).collect(),
    );
    let rungs = exercise.rungs.iter().map(|each| rung(each, now)).collect();
    section(&mut lines, "Ladder, easy to hard", rungs);
    let own = format!("exercises/{}.toml", exercise.id);
    section(
        &mut lines,
        "The clinic's own values",
        replaced(library, |path| path == own),
    );
    let swaps = exercise.swaps.iter().map(ToString::to_string).collect();
    section(&mut lines, "Other ways to the same end", swaps);
    lines.push(String::new());
    lines.push(DEFERENCE.to_owned());
    lines
}

fn find<'a>(program: &'a Program, exercise: &Exercise) -> Option<&'a Item> {
    let mut all = program
        .items
        .iter()
        .chain(&program.daily)
        .chain(&program.background);
    all.find(|item| item.exercise == exercise.id)
}

fn place(
    program: &Program,
    item: Option<&Item>,
    library: &Library,
    exercise: &Exercise,
) -> Vec<String> {
    if let Some(item) = item {
        let mut lines = vec![dose_line(item)];
        lines.extend(item.steps.iter().map(|each| step(each, library, exercise)));
        lines.extend(item.next.iter().map(|next| {
            let dose = trade::dose(&next.dose);
            format!(
                "then {} from {} ({}): {dose}",
                next.rung,
                trade::date(next.from),
                next.lever
            )
        }));
        return lines;
    }
    let left = program
        .left_out
        .iter()
        .find(|left| left.exercise == exercise.id);
    let Some(left) = left else {
        return vec!["not considered in this phase".to_owned()];
    };
    let mut lines = vec![format!("no: {} [{}]", why_not(&left.reason), left.rule.0)];
    lines.extend(left.offered.as_ref().map(|offered| {
        let dose = trade::dose(&offered.dose);
        format!("it would be {}: {dose}", offered.rung)
    }));
    lines
}

fn tests(tests: &[Test], facts: &Facts) -> Vec<String> {
    let line = |test: &Test| match facts.get(test.fact) {
        Recorded::Yes(dated) => {
            let holds = if test.passes(&dated.value) {
                "holds"
            } else {
                "fails"
            };
            format!(
                "{}: {holds}, found {}",
                trade::test(test),
                trade::value(test.fact, &dated.value)
            )
        }
        Recorded::NotRecorded => format!("{}: {}", trade::test(test), trade::NOT_RECORDED),
    };
    tests.iter().map(line).collect()
}

fn demand(demand: &Demand) -> String {
    let peak = match demand.peak {
        Peak::Fixed(degrees) => format!("{}°", degrees.get()),
        Peak::OfRung => "the rung's range".to_owned(),
    };
    let mut parts = vec![
        format!(
            "{} {} to {peak}, {}",
            demand.joint, demand.motion, demand.mode
        ),
        format!("leg bears {}", demand.weight_bearing),
    ];
    if demand.arm_load == YesNo::Yes {
        parts.push("arms bear weight".to_owned());
    }
    parts.extend(demand.tags.iter().map(ToString::to_string));
    parts.extend(
        demand
            .clip_floor
            .map(|floor| format!("clipped no lower than {}°", floor.get())),
    );
    parts.join(", ")
}

/// Writes a rung: its lever, dose and source, and what it needs.
pub(super) fn rung(rung: &Rung, now: Option<&RungId>) -> String {
    let here = if now == Some(&rung.id) { ">" } else { " " };
    let lever = rung
        .lever
        .map_or_else(String::new, |lever| format!(" ({lever})"));
    let source = trade::source(&rung.source);
    let mut parts = vec![format!(
        "{here} {}{lever}: {} [{source}]",
        rung.id,
        trade::dose(&dose(rung))
    )];
    if rung.loaded == YesNo::Yes {
        parts.push("loaded".to_owned());
    }
    if rung.taught == YesNo::Yes {
        parts.push("shown by the clinician first".to_owned());
    }
    parts.extend(
        rung.entry
            .iter()
            .map(|test| format!("needs {}", trade::test(test))),
    );
    parts.join("; ")
}

fn dose(rung: &Rung) -> Dose {
    Dose {
        amount: rung.amount,
        often: rung.often,
        days_a_week: rung.days_a_week,
        aim: None,
        limit: None,
        range_degrees: rung.range_degrees,
        height_cm: rung.height_cm,
        seat_cm: rung.seat_cm,
        load_g: rung.load_g,
        band: rung.band,
        support: rung.support,
        lower_s: rung.lower_s,
        how: rung.how.clone(),
    }
}
