//! Reads the phases of a procedure.

use std::collections::BTreeSet;

use crate::domain::fact::Test;
use crate::domain::ids::{CriterionId, DomainId, ExerciseId, PhaseId, RungId, StopSignId};
use crate::domain::procedure::{Candidate, Criterion, Phase, StartByTest};
use crate::domain::quantity::TimesADay;

use super::super::codes::Code;
use super::super::kind::{Keys, Kind, may, may_as, need, need_as};
use super::super::problem::Problem;
use super::super::reader::{TableReader, each_once};
use super::super::reading::{Link, PhaseAt};
use super::super::values::At;
use super::super::window;
use super::{BEFORE, FROM, SOURCE, once};

pub(super) static PHASE: Keys = Keys {
    what: "a phase",
    keys: &[
        need::<PhaseId>("id", "Its id."),
        need::<String>("name", "The clinician's name for it."),
        FROM,
        BEFORE,
        need::<Vec<DomainId>>(
            "core",
            "Domains a sheet of this phase should cover, the most important first.",
        ),
        need_as(
            "safety",
            Kind::Tables(&CRITERION),
            "All must hold to leave the phase.",
        ),
        need::<Vec<Test>>("targets", "Targets; they never lock the phase."),
        need_as(
            "candidates",
            Kind::Tables(&CANDIDATE),
            "Exercises of the phase.",
        ),
        may::<TimesADay>(
            "times_at_most",
            "Times a day that an exercise is asked for at the most.",
        ),
        may::<BTreeSet<StopSignId>>("no_signs", "Stop signs that cannot come up in this phase."),
        SOURCE,
    ],
};

static CRITERION: Keys = Keys {
    what: "a safety criterion",
    keys: &[
        need::<CriterionId>("id", "Its id."),
        need::<Test>("test", "What must hold."),
        need::<String>("ask", "What to ask when it is not recorded."),
        SOURCE,
    ],
};

static CANDIDATE: Keys = Keys {
    what: "a candidate",
    keys: &[
        need::<ExerciseId>("exercise", "The exercise."),
        need::<RungId>("rung", "The rung at which someone first starts."),
        may::<RungId>(
            "most",
            "The highest rung of the phase; needed before the operation.",
        ),
        may_as(
            "by_test",
            Kind::Tables(&START),
            "Higher starting rungs for somebody first seen here, easy to hard.",
        ),
    ],
};

static START: Keys = Keys {
    what: "a start by test",
    keys: &[
        need::<RungId>("rung", "The rung to start at."),
        need::<Vec<Test>>("tests", "All must hold; what is not recorded does not."),
    ],
};

/// Reads every phase.
pub(super) fn all(table: &mut TableReader<'_>) -> Vec<Phase> {
    let phases = table.tables("phase", &PHASE, |table| Some(phase(table)));
    table.not_empty("phase");
    once(table, "phase", phases)
}

fn phase(table: &mut TableReader<'_>) -> (Option<At<PhaseId>>, Option<Phase>) {
    let id = table.need::<At<PhaseId>>("id");
    let name = table.need("name");
    let window = window::need(table);
    if let Some(window) = window {
        let (from_at, before_at) = (table.at_key("from_day"), table.at_key("before_day"));
        table.reading().place_phase(PhaseAt {
            window,
            from_at,
            before_at,
        });
    }
    let core = table.need::<Vec<DomainId>>("core");
    let safety = table.tables("safety", &CRITERION, criterion);
    let targets = table.need::<Vec<Test>>("targets");
    let early = window.is_some_and(|window| window.from.is_before_operation());
    let candidates = candidates(table, id.as_ref(), early);
    let times_at_most = table.may("times_at_most");
    let no_signs = table.may("no_signs").unwrap_or_default();
    let phase = || {
        Some(Phase {
            id: id.as_ref()?.value.clone(),
            name: name?,
            window: window?,
            core: core?,
            safety,
            targets: targets?,
            candidates,
            times_at_most,
            no_signs,
        })
    };
    let phase = phase();
    (id, phase)
}

fn criterion(table: &mut TableReader<'_>) -> Option<Criterion> {
    let id = table.need("id");
    let test = table.need("test");
    let ask = table.need("ask");
    Some(Criterion {
        id: id?,
        test: test?,
        ask: ask?,
    })
}

/// Reads the candidates; `early` is a phase before the operation, in which no day holds a ladder.
fn candidates(
    table: &mut TableReader<'_>,
    phase: Option<&At<PhaseId>>,
    early: bool,
) -> Vec<Candidate> {
    let all = table.tables("candidates", &CANDIDATE, |table| candidate(table, early));
    let names = all.iter().map(|(name, _)| name.clone()).collect();
    each_once(names, "candidate", table.reading());
    let mut candidates = Vec::new();
    for (name, candidate) in all {
        if let Some(phase) = phase {
            let (phase, exercise) = (phase.value.clone(), name.value);
            table.reading().place_candidate(phase, exercise, name.at);
        }
        candidates.extend(candidate);
    }
    candidates
}

fn candidate(
    table: &mut TableReader<'_>,
    early: bool,
) -> Option<(At<ExerciseId>, Option<Candidate>)> {
    let exercise = table.need::<At<ExerciseId>>("exercise");
    let rung = table.need::<At<RungId>>("rung");
    let most = table.may::<At<RungId>>("most");
    let exercise = exercise?;
    if early && !table.has("most") {
        let message = format!(
            "`{}` has no highest rung before the operation",
            exercise.value
        );
        let label = "`most` is missing";
        let problem = Problem::new(Code::MissingKey, exercise.at.clone(), message, label);
        table.tell(problem.help("days of entry tests count from the operation, so `most` holds"));
    }
    if let Some(most) = &most {
        let link = Link::Rung(exercise.value.clone(), most.value.clone());
        table.reading().link(link, most.at.clone());
    }
    let link = Link::Exercise(exercise.value.clone());
    table.reading().link(link, exercise.at.clone());
    let by_test = table.tables("by_test", &START, |table| start(table, &exercise.value));
    let candidate = rung.map(|rung| {
        let link = Link::Rung(exercise.value.clone(), rung.value.clone());
        table.reading().link(link, rung.at);
        Candidate {
            exercise: exercise.value.clone(),
            rung: rung.value,
            by_test,
            most: most.map(|most| most.value),
        }
    });
    Some((exercise, candidate))
}

fn start(table: &mut TableReader<'_>, exercise: &ExerciseId) -> Option<StartByTest> {
    let rung = table.need::<At<RungId>>("rung");
    let tests = table.need::<Vec<Test>>("tests");
    table.not_empty("tests");
    let rung = rung?;
    let link = Link::Rung(exercise.clone(), rung.value.clone());
    table.reading().link(link, rung.at);
    Some(StartByTest {
        rung: rung.value,
        tests: tests?,
    })
}
