//! Follows every pointer of a library to what it points at.

use std::collections::BTreeSet;

use crate::domain::ids::{Id as _, StopSignId};

use super::super::codes::Code;
use super::super::nearest;
use super::super::problem::Problem;
use super::super::reading::{Link, Reading};
use super::super::source::Span;
use super::Files;

/// Tells of every pointer that leads nowhere.
pub(super) fn check(files: &Files<'_>, reading: &mut Reading) {
    let links = reading.links().to_vec();
    for (link, at) in &links {
        if let Some(problem) = follow(files, link, at) {
            reading.tell(problem);
        }
    }
}

fn follow(files: &Files<'_>, link: &Link, at: &Span) -> Option<Problem> {
    let procedure = files.procedure;
    match link {
        Link::Exercise(id) if procedure.exercises.contains(id) => in_library(
            files,
            "exercise",
            &id.to_string(),
            "protocols/exercises",
            at,
        ),
        Link::Exercise(id) => {
            let known: Vec<String> = procedure
                .exercises
                .iter()
                .map(ToString::to_string)
                .collect();
            missing("exercise", &id.to_string(), &known, at)
        }
        Link::ExerciseFile(id) => in_library(
            files,
            "exercise",
            &id.to_string(),
            "protocols/exercises",
            at,
        ),
        Link::Procedure(id) => in_library(
            files,
            "procedure",
            &id.to_string(),
            "protocols/procedures",
            at,
        ),
        Link::Rung(exercise, rung) => {
            let exercise = files.exercises.get(exercise)?;
            if exercise.rung(rung).is_some() {
                return None;
            }
            let known: Vec<String> = exercise
                .rungs
                .iter()
                .map(|rung| rung.id.to_string())
                .collect();
            let message = format!("`{}` has no rung `{rung}`", exercise.id);
            Some(nearest::unknown(message, &rung.to_string(), &known, at))
        }
        Link::Condition(id) => {
            let known: Vec<String> = procedure
                .conditions
                .keys()
                .map(ToString::to_string)
                .collect();
            missing("condition", &id.to_string(), &known, at)
        }
        Link::Equipment(id) => {
            let things = procedure.equipment.iter();
            let known: Vec<String> = things.map(|thing| thing.id.to_string()).collect();
            missing("thing at home", &id.to_string(), &known, at)
        }
        Link::Flag(id) => {
            let flags = procedure.red_flags.iter();
            let known: Vec<String> = flags.map(|flag| flag.id.to_string()).collect();
            missing("red flag", &id.to_string(), &known, at)
        }
        Link::Stop(id) => stop_sign(files, id, at),
        Link::Profile(Some(of), _) if *of != procedure.id => None,
        Link::Profile(_, id) => {
            let profiles = procedure.profiles.iter();
            let known: Vec<String> = profiles.map(|profile| profile.id.to_string()).collect();
            missing("profile", &id.to_string(), &known, at)
        }
        Link::OwnKind(kind) => {
            let kinds = procedure.kinds_beside_profiles();
            let taken = kinds.contains(kind.as_str());
            taken.then(|| {
                let message = format!("`{kind}` is a kind of order already");
                let problem = Problem::new(Code::Twice, at.clone(), message, "also a profile");
                problem.help("an order of a profile's name picks it: give it a name of its own")
            })
        }
        Link::Waits(kind) => {
            let given = procedure.order_kinds().contains(kind.as_str());
            (!given).then(|| {
                let message = format!("no rule of {} names an order of `{kind}`", procedure.id);
                let problem = Problem::new(Code::UnknownName, at.clone(), message, "not known");
                problem.help("name it in a limit or in a row of advice (`when_order`)")
            })
        }
        Link::Work(key) => {
            let works = files.works?;
            if works.contains_key(key) {
                return None;
            }
            let known: Vec<&str> = works.keys().map(crate::domain::ids::Id::as_str).collect();
            let message = format!("`{key}` is not in the bibliography");
            let problem = Problem::new(Code::UnknownSource, at.clone(), message, "no such work");
            Some(problem.help(nearest::help(&key.to_string(), &known)))
        }
        Link::Entry(_) => None,
    }
}

fn stop_sign(files: &Files<'_>, id: &StopSignId, at: &Span) -> Option<Problem> {
    let all = files.exercises.values().flat_map(|each| &each.stop);
    let known: BTreeSet<String> = all.map(ToString::to_string).collect();
    let known: Vec<String> = known.into_iter().collect();
    missing("stop sign", &id.to_string(), &known, at)
}

fn in_library(files: &Files<'_>, what: &str, id: &str, folder: &str, at: &Span) -> Option<Problem> {
    let known: Vec<String> = files
        .shelf
        .ids(folder)
        .into_iter()
        .map(str::to_owned)
        .collect();
    missing(what, id, &known, at)
}

fn missing(what: &str, id: &str, known: &[String], at: &Span) -> Option<Problem> {
    let found = known.iter().any(|name| name == id);
    (!found).then(|| {
        let message = format!("there is no {what} `{id}`");
        nearest::unknown(message, id, known, at)
    })
}
