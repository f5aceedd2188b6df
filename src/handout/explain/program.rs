//! Why this program: each exercise with its steps, what was left out, what holds, what to do.

use super::corrections;
use super::head::{DEFERENCE, flags, head, section, stood};
use super::limit;
use super::questions::notice;
use super::stages;
use super::trade;
use super::why::step;
use super::why_not::{by_reason, left_out, why_not};
use crate::domain::ids::ExerciseId;
use crate::domain::library::Library;
use crate::domain::record::{NextVisit, Record};
use crate::domain::verdict::{
    Item, Mark, ProfileBy, ProfileInForce, Program, ReviewDue, SetAside, Why, WhyNot,
};
use crate::domain::word::{ReviewTell, YesNo};

/// Explains a program.
pub(super) fn lines(program: &Program, library: &Library, record: &Record) -> Vec<String> {
    let mut lines = head(library, record, program.date.0, program.day);
    lines.extend(place(program, library));
    section(&mut lines, "Corrections", corrections::lines(record));
    section(&mut lines, "Flags", flags(&program.flags, library));
    section(&mut lines, "Assessed or known", stood(&program.stood));
    section(&mut lines, "Actions", actions(program, library));
    section(&mut lines, "Exercises", numbered(&program.items, library));
    section(&mut lines, "Every day", unnumbered(&program.daily, library));
    section(
        &mut lines,
        "In the background",
        unnumbered(&program.background, library),
    );
    section(&mut lines, "Stages", stages::lines(program, library));
    section(&mut lines, "Left out", by_reason(&program.left_out));
    let orders = program.orders.iter();
    let orders = orders.map(|standing| limit::standing(standing, program));
    section(&mut lines, "Orders", orders.collect());
    section(
        &mut lines,
        "Limits in force",
        limit::lines(program, library),
    );
    section(
        &mut lines,
        "The clinic's own values",
        replaced(library, |_| true),
    );
    section(
        &mut lines,
        "The clinician's own word",
        clinician(program, record),
    );
    section(
        &mut lines,
        "Not recorded or assumed",
        program
            .notices
            .iter()
            .filter(|each| !each.is_to_act_on())
            .map(notice)
            .collect(),
    );
    section(&mut lines, "Facts looked at", facts(program));
    section(&mut lines, "Minutes a day", minutes(program));
    lines.push(String::new());
    lines.push(DEFERENCE.to_owned());
    lines
}

/// Lists what the clinic has replaced in the library, in some of its files.
pub(super) fn replaced(library: &Library, of: impl Fn(&str) -> bool) -> Vec<String> {
    let all = library.clinic.replaced.iter();
    all.filter(|each| of(&each.path))
        .map(|each| {
            format!(
                "{}, {}: {}, was {} [{}]",
                each.path,
                each.at,
                each.now,
                each.was,
                trade::decided(&each.decision)
            )
        })
        .collect()
}

fn place(program: &Program, library: &Library) -> Vec<String> {
    let phase = library
        .procedure
        .phase(&program.phase)
        .map(|(_, phase)| phase);
    let name = phase.map_or("", |phase| phase.name.as_str());
    let life = &program.life;
    let next = match life.next_visit {
        NextVisit::Date(date) => trade::date(date),
        NextVisit::None => "none".to_owned(),
        NextVisit::Unknown => "unknown".to_owned(),
    };
    let mut lines = vec![
        format!(
            "In use {} to {}; next visit {next}; if it slips, same dose until {}",
            trade::date(life.from),
            trade::date(life.until),
            trade::date(life.slip_until)
        ),
        format!("Phase {} ({name})", program.phase),
    ];
    lines.extend(profiles(program, library));
    for id in &program.held_by {
        let known = phase.and_then(|phase| phase.safety.iter().find(|each| each.id == *id));
        let test = known.map_or_else(String::new, |known| trade::test(&known.test));
        lines.push(format!("Held in it by {id}: needs {test}"));
    }
    for test in &program.targets_unmet {
        lines.push(format!("Target not met, review: {}", trade::test(test)));
    }
    lines.push(format!(
        "Response to the last dose: {}",
        trade::or_blank(&program.response)
    ));
    lines
}

/// Names the profiles that count, each with why.
fn profiles(program: &Program, library: &Library) -> Vec<String> {
    let line = |counts: &ProfileInForce| {
        let id = &counts.profile;
        let mut known = library.procedure.profiles.iter();
        let known = known.find(|profile| profile.id == *id);
        let name = known.map_or_else(String::new, |known| format!(" ({})", known.name));
        let why = match counts.by {
            ProfileBy::Order => "ordered",
            ProfileBy::Usual => "the usual one, no other stands",
            ProfileBy::NobodyPicked => "none stands and none is usual, so each counts",
        };
        format!("Profile {id}{name}: {why}")
    };
    program.profiles.iter().map(line).collect()
}

/// Lists what somebody has to do: what a limit asks of the clinician, reviews, telling the team.
pub(super) fn actions(program: &Program, library: &Library) -> Vec<String> {
    let reviews = program.reviews.iter().map(review);
    limits_to_act_on(program, library)
        .chain(reviews)
        .chain(
            program
                .notices
                .iter()
                .filter(|each| each.is_to_act_on())
                .map(notice),
        )
        .collect()
}

/// Lists what the limits in force ask of the clinician, each once.
fn limits_to_act_on(program: &Program, library: &Library) -> impl Iterator<Item = String> {
    let known = library.procedure.limits.iter();
    let in_force = known.filter(|known| {
        let mut limits = program.limits.iter();
        limits.any(|limit| limit.limit == known.id)
    });
    in_force.filter_map(|known| Some(format!("{}: {}", known.id, known.act.as_ref()?)))
}

fn review(due: &ReviewDue) -> String {
    let tell = match due.tell {
        ReviewTell::Review => "review",
        ReviewTell::SeeWithinAWeek => "see again within a week",
        ReviewTell::Team => "tell the team",
        ReviewTell::SurgeonThisWeek => "tell the surgeon this week",
        ReviewTell::WithinTwoDays => "a clinician looks within 2 days",
    };
    let keeps = match due.keeps {
        YesNo::No => "",
        YesNo::Yes => "; all but motion work keeps at most",
    };
    format!("{}: {tell}{keeps}", trade::crossed(due))
}

/// Writes the numbered exercises; their numbers are those of the sheet.
fn numbered(items: &[Item], library: &Library) -> Vec<String> {
    let counted = items.iter().zip(1_usize..);
    counted
        .flat_map(|(item, n)| item_lines(item, &format!("{n}."), library))
        .collect()
}

fn unnumbered(items: &[Item], library: &Library) -> Vec<String> {
    items
        .iter()
        .flat_map(|item| item_lines(item, "-", library))
        .collect()
}

fn item_lines(item: &Item, n: &str, library: &Library) -> Vec<String> {
    let Some(exercise) = library.exercises.get(&item.exercise) else {
        return vec![format!("{n} {}: not in the library", item.exercise)];
    };
    let mark = match item.mark {
        Mark::First => "first sheet",
        Mark::New => "new",
        Mark::Changed { .. } => "changed",
        Mark::Same => "same",
    };
    let name = &exercise.trade_name;
    let mut lines = vec![
        format!("{n} {name} ({}), rung {}, {mark}", item.exercise, item.rung),
        format!("   {}", dose_line(item)),
    ];
    lines.extend(
        item.steps
            .iter()
            .map(|each| format!("   {}", step(each, library, exercise))),
    );
    lines.extend(item.next.iter().map(|next| {
        let dose = trade::dose(&next.dose);
        format!(
            "   then {} from {} ({}): {dose}",
            next.rung,
            trade::date(next.from),
            next.lever
        )
    }));
    lines
}

/// Writes dose, slots, named days, rest, the day's total and the seconds of a session.
pub(super) fn dose_line(item: &Item) -> String {
    let mut parts = vec![trade::dose(&item.dose)];
    if !item.slots.is_empty() {
        parts.push(format!("at {}", trade::words(&item.slots)));
    }
    if !item.weekdays.is_empty() {
        let days: Vec<_> = item.weekdays.iter().map(ToString::to_string).collect();
        parts.push(format!("on {}", days.join(", ")));
    }
    parts.extend(
        item.rests_until
            .map(|until| format!("rests until {}", trade::date(until))),
    );
    parts.extend(
        item.dose
            .daily_repetitions()
            .map(|total| format!("{total} a day")),
    );
    parts.push(format!("{} s a session", item.seconds));
    parts.join("; ")
}

/// Gathers every override of this visit.
fn clinician(program: &Program, record: &Record) -> Vec<String> {
    let mut lines = Vec::new();
    let visits = record.effective();
    let visit = visits
        .iter()
        .rev()
        .find(|visit| visit.date == program.date.0);
    if let Some(phase) = visit.and_then(|visit| visit.phase.as_ref()) {
        lines.push(format!(
            "phase {} by {}: {}",
            phase.id, phase.by, phase.because
        ));
    }
    lines.extend(program.overridden.iter().map(limit::set_aside));
    for item in program
        .items
        .iter()
        .chain(&program.daily)
        .chain(&program.background)
    {
        for each in &item.steps {
            if let Why::Clinician { because, by } = &each.why {
                lines.push(format!(
                    "{} at {} by {by}: {because}",
                    item.exercise, each.after.rung
                ));
            }
        }
    }
    for left in &program.left_out {
        if let WhyNot::Clinician { because, by } = &left.reason {
            lines.push(format!("{} left out by {by}: {because}", left.exercise));
        }
    }
    lines.extend(program.set_aside.iter().map(set_aside));
    lines
}

fn set_aside(aside: &SetAside) -> String {
    format!(
        "{}: sets aside [{}]: {}",
        aside.exercise,
        aside.rule.0,
        why_not(&aside.reason)
    )
}

/// Says what becomes of the clinician's word on one exercise.
pub(super) fn word(program: &Program, library: &Library, exercise: &ExerciseId) -> Vec<String> {
    let left = program.left_out.iter().filter(|l| l.exercise == *exercise);
    let mut lines: Vec<String> = left
        .filter(|left| !matches!(left.reason, WhyNot::Clinician { .. }))
        .map(|left| format!("it is left out all the same: {}", left_out(left, library)))
        .collect();
    let mut items = program
        .items
        .iter()
        .chain(&program.daily)
        .chain(&program.background);
    let steps = items
        .find(|item| item.exercise == *exercise)
        .map_or(&[][..], |item| &item.steps);
    let taken = steps
        .iter()
        .any(|step| matches!(step.why, Why::Clinician { .. }));
    for step in steps.iter().filter(|_| !taken) {
        if let Why::LowerRungOffered { reason } = &step.why {
            let given = &step.after.rung;
            lines.push(format!(
                "that rung is {}: given at {given}",
                why_not(reason)
            ));
        }
    }
    let aside = program.set_aside.iter().filter(|a| a.exercise == *exercise);
    lines.extend(aside.map(set_aside));
    lines
}

fn facts(program: &Program) -> Vec<String> {
    let known = program.facts.0.iter();
    let line = |(fact, dated): (&_, &crate::domain::fact::Dated)| {
        let value = trade::value(*fact, &dated.value);
        format!(
            "{} {value}, seen on day {}",
            trade::fact(*fact),
            dated.on.get()
        )
    };
    known.map(line).collect()
}

fn minutes(program: &Program) -> Vec<String> {
    let load = program.load;
    vec![format!(
        "exercises {}, walks {}, cold and leg up {}; longest session {}",
        load.exercises, load.walks, load.care, load.session
    )]
}
