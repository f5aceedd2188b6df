//! The ten stages, one after the other.
//!
//! Must not hold a rule of its own.

use std::collections::BTreeSet;

use crate::domain::exercise::Exercise;
use crate::domain::fact::Dated;
use crate::domain::ids::ExerciseId;
use crate::domain::library::Library;
use crate::domain::record::Record;
use crate::domain::time::VisitDate;
use crate::domain::verdict::{
    Asked, FlagRaised, Item, LeftOut, Life, LimitInForce, Program, Question, SetAside, Unanswered,
    Verdict,
};
use crate::domain::word::{Fact, Row};

use super::case::Case;
use super::dose::Dosed;
use super::gate::{self, Gate};
use super::log::Log;
use super::modify::Modifiers;
use super::place::{self, Place};
use super::plan::{Day, Planned};
use super::rules::{
    d112_wrong_side, d301_sheet_life, d304_slipped_visit, d412_kept_by_review, d702_long_gap,
    d804_clinicians_choice, d906_stairs_not_practised, d1003_ahead_minutes, d1004_stages,
};
use super::search::Room;
use super::{
    allow, answer, choose, dose, facts, limit, need, orders, plan, profile, program, stages,
};

/// Decides the program for one visit, or says who must be rung, or what must be asked first.
pub fn decide(library: &Library, record: &Record, date: VisitDate) -> Verdict {
    let mut log = Log::new();
    let Some(mut case) = Case::open(library, record, date) else {
        let questions = vec![(Question::NoVisit, Asked::Clinician)];
        return unanswered(record, date, questions, Vec::new());
    };
    d112_wrong_side::note(&case, &mut log);
    case.facts = facts::gather(&case, &mut log);
    case.answers = answer::hear(&case, &mut log);
    if let Some(value) = answer::as_fact(&case.answers) {
        let on = case.day;
        case.facts.0.insert(Fact::Response, Dated { value, on });
    }
    let gate = gate::check(&case, &mut log);
    if let Some(withheld) = gate.withheld(&case) {
        return Verdict::Withheld(Box::new(withheld));
    }
    case.answers.narrowed_by = gate.narrowed_by();
    let place = place::place(&case, &mut log);
    case.keeps = place
        .as_ref()
        .map_or(Vec::new(), d412_kept_by_review::crossed);
    match place {
        Some(place) if log.questions.is_empty() => {
            Verdict::Program(Box::new(program_for(&case, &gate, &place, log)))
        }
        Some(_) | None => unanswered(record, date, asked(&case, log), gate.raised),
    }
}

/// Returns the questions; a library without phases covers no day.
fn asked(case: &Case<'_>, log: Log) -> Vec<(Question, Asked)> {
    if log.questions.is_empty() {
        let question = Question::BeyondLibrary {
            first_day: case.procedure().first_day(),
            last_day: case.settings().last_day,
        };
        return vec![(question, Asked::Clinician)];
    }
    log.questions
}

fn unanswered(
    record: &Record,
    date: VisitDate,
    questions: Vec<(Question, Asked)>,
    flags: Vec<FlagRaised>,
) -> Verdict {
    Verdict::Unanswered(Box::new(Unanswered {
        date,
        day: record.day(date.0),
        questions,
        flags,
    }))
}

/// Makes the program: in stages where those may be, else for one sheet.
fn program_for(case: &Case<'_>, gate: &Gate, place: &Place<'_>, log: Log) -> Program {
    if let Some((life, stages)) = d1004_stages::life(case, gate) {
        let staged = Case {
            life,
            stages,
            ..case.clone()
        };
        let program = make(&staged, gate.clone(), place, log.clone());
        if program.stages.len() > 1 {
            return program;
        }
    }
    make(case, gate.clone(), place, log)
}

/// Makes the program: stages 3 to 10 of the engine.
fn make(case: &Case<'_>, gate: Gate, place: &Place<'_>, mut log: Log) -> Program {
    log.fire(&d301_sheet_life::RULE);
    d702_long_gap::note(case, &mut log);
    let limits = limit::in_force(case, &gate, &mut log);
    let life = Life {
        slip_until: d304_slipped_visit::slip_until(case, &gate, &mut log),
        ..case.life
    };
    let ladders = allow::ladders(case, place, &limits, &mut log);
    let needs = need::weigh(case, place, &mut log);
    let modifiers = Modifiers::gather(case, &gate);
    let (dosed, mut left_out) =
        dose::all(case, place.phase, &ladders, &limits, &modifiers, &mut log);
    let set_aside = dosed
        .iter()
        .flat_map(d804_clinicians_choice::set_aside)
        .collect();
    let (exercises, beside): (Vec<Dosed<'_>>, Vec<Dosed<'_>>) = dosed
        .into_iter()
        .partition(|item| item.dosing.exercise().row == Row::Exercise);
    let room = choose::room(case, &modifiers);
    let alike = case.settings().bounds.alike_percent;
    let (chosen, not_chosen) = choose::choose(case, exercises, &needs, (room, alike), &mut log);
    left_out.extend(not_chosen);
    left_out.sort_by(|one, other| one.exercise.cmp(&other.exercise));
    let day = plan::plan(case, &chosen, beside, &mut log);
    let made = Made {
        gate,
        place,
        limits: &limits,
        life,
        left_out,
        set_aside,
        room,
    };
    assemble(case, made, &day, log)
}

/// What the stages before the last one have made.
struct Made<'a> {
    gate: Gate,
    place: &'a Place<'a>,
    limits: &'a [LimitInForce],
    life: Life,
    left_out: Vec<LeftOut>,
    set_aside: Vec<SetAside>,
    room: Room,
}

/// Makes the lines and fills in the rest.
fn assemble(case: &Case<'_>, made: Made<'_>, day: &Day<'_>, mut log: Log) -> Program {
    let mut items = lines(case, &day.items, &mut log);
    let exercises: Vec<&Exercise> = day
        .items
        .iter()
        .map(|line| line.dosed.dosing.exercise())
        .collect();
    d1003_ahead_minutes::fit(&mut items, &exercises, made.room, &mut log);
    let mut background = lines(case, &day.background, &mut log);
    let mut daily = lines(case, &day.daily, &mut log);
    let stages = stages::of(case, &made.gate, day, made.room, &mut log);
    if !stages.is_empty() {
        let all = items.iter_mut().chain(&mut background).chain(&mut daily);
        all.for_each(|item| item.next.clear());
    }
    let now = named([&items, &background, &daily]);
    let home_care = program::care(case, &made.gate, made.limits, &mut log);
    let [usual, not_usual, milestones] = program::all_lines(case, made.limits, &mut log);
    d906_stairs_not_practised::note(case, &made.left_out, &mut log);
    Program {
        date: VisitDate(case.date),
        day: case.day,
        life: made.life,
        phase: made.place.phase.id.clone(),
        held_by: made.place.held_by.clone(),
        targets_unmet: made.place.targets_unmet.clone(),
        response: case.answers.overall,
        flags: made.gate.raised,
        stood: made.gate.stood,
        orders: orders::in_force(case),
        limits: made.limits.to_vec(),
        profiles: profile::in_force(case),
        overridden: log.overridden,
        reviews: made.place.reviews.clone(),
        gone: program::gone(case, &now),
        left_out: made.left_out,
        set_aside: made.set_aside,
        slots: day.slots.clone(),
        load: plan::load(day, &home_care),
        care: home_care.iter().map(|row| row.id.clone()).collect(),
        usual,
        not_usual,
        milestones,
        items,
        background,
        daily,
        stages,
        notices: log.notices,
        facts: case.facts.clone(),
        fired: log.fired,
    }
}

/// Lists the exercises of some groups of lines.
fn named(groups: [&Vec<Item>; 3]) -> BTreeSet<ExerciseId> {
    let lines = groups.into_iter().flatten();
    lines.map(|item| item.exercise.clone()).collect()
}

fn lines(case: &Case<'_>, planned: &[Planned<'_>], log: &mut Log) -> Vec<Item> {
    planned
        .iter()
        .map(|line| program::item(case, line, log))
        .collect()
}
