//! What one reading of files gathers besides the values: problems, pointers, numbers.
//!
//! Must not know any file kind. Next: `checks` follows the pointers.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::domain::fact::Test;
use crate::domain::ids::{
    ConditionId, EquipmentId, ExerciseId, FlagId, OrderKind, PhaseId, ProcedureId, RungId,
    SourceKey, StopSignId,
};
use crate::domain::source::{Decision, Source};
use crate::domain::time::Window;
use crate::domain::word::Operates;

use super::codes::Code;
use super::problem::{Problem, Problems};
use super::source::{SourceFile, Span, whole};

/// A pointer from one file to something another file must have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Link {
    /// An exercise the procedure reads.
    Exercise(ExerciseId),
    /// An exercise of the whole library, read or not.
    ExerciseFile(ExerciseId),
    /// A procedure of the whole library, read or not.
    Procedure(ProcedureId),
    /// A rung of an exercise.
    Rung(ExerciseId, RungId),
    /// A condition of the procedure.
    Condition(ConditionId),
    /// A thing at home the clinician is asked about.
    Equipment(EquipmentId),
    /// A red flag of the procedure.
    Flag(FlagId),
    /// A stop sign: some exercise of the procedure stops for it.
    Stop(StopSignId),
    /// A profile, of the procedure that is read or of one by name.
    Profile(Option<ProcedureId>, OrderKind),
    /// The name of a profile: no other order may go by it.
    OwnKind(OrderKind),
    /// A kind of order an exercise waits for: somebody must be able to give it.
    Waits(OrderKind),
    /// A work of the bibliography.
    Work(SourceKey),
    /// An entry test, whose fact needs a rule for a blank.
    Entry(Test),
}

/// Where a rung stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RungAt {
    /// Its id.
    pub id: Span,
    /// Its lever, or the rung itself when it names none.
    pub lever: Span,
}

/// Where a phase stands, and its days.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PhaseAt {
    /// Its days.
    pub window: Window,
    /// Where its first day stands.
    pub from_at: Span,
    /// Where its end stands, or the phase itself when it has none.
    pub before_at: Span,
}

/// What a file says vouches for its numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Vouching {
    /// Each number needs a source.
    Asked,
    /// Numbers of this kind of file need none.
    NotAsked,
}

/// Problems, pointers and numbers gathered while files are read.
#[derive(Debug)]
pub struct Reading {
    problems: Vec<Problem>,
    links: Vec<(Link, Span)>,
    rungs: BTreeMap<(ExerciseId, RungId), RungAt>,
    phases: Vec<PhaseAt>,
    candidates: BTreeMap<(PhaseId, ExerciseId), Span>,
    numbers: BTreeMap<String, usize>,
    without_source: Vec<Span>,
    vouching: Vouching,
    /// The source of the table being read.
    pub(super) source: Option<Source>,
    /// The clinic's file: it vouches for the values it puts into the library.
    pub(super) clinic: Option<Arc<SourceFile>>,
    /// Where each of those values stands in it, and the decision behind it.
    pub(super) decided: BTreeMap<usize, Decision>,
    /// How many sides the procedure that is read operates on.
    pub(super) operates: Operates,
    /// The key being read, for messages.
    pub(super) key: String,
}

impl Reading {
    /// Starts with nothing gathered.
    pub fn new(vouching: Vouching) -> Self {
        Self {
            problems: Vec::new(),
            links: Vec::new(),
            rungs: BTreeMap::new(),
            phases: Vec::new(),
            candidates: BTreeMap::new(),
            numbers: BTreeMap::new(),
            without_source: Vec::new(),
            vouching,
            source: None,
            clinic: None,
            decided: BTreeMap::new(),
            operates: Operates::One,
            key: String::new(),
        }
    }

    /// Notes a problem.
    pub fn tell(&mut self, problem: Problem) {
        self.problems.push(problem);
    }

    /// Returns how many problems were noted.
    pub fn told(&self) -> usize {
        self.problems.len()
    }

    /// Notes a pointer.
    pub fn link(&mut self, link: Link, at: Span) {
        self.links.push((link, at));
    }

    /// Notes where a rung stands.
    pub fn place_rung(&mut self, exercise: ExerciseId, rung: RungId, at: RungAt) {
        self.rungs.insert((exercise, rung), at);
    }

    /// Says where a rung stands.
    pub fn rung_at(&self, exercise: &ExerciseId, rung: &RungId) -> Option<RungAt> {
        self.rungs.get(&(exercise.clone(), rung.clone())).cloned()
    }

    /// Notes where a phase stands.
    pub fn place_phase(&mut self, at: PhaseAt) {
        self.phases.push(at);
    }

    /// Goes through the phases in the order of the file.
    pub fn phases(&self) -> &[PhaseAt] {
        &self.phases
    }

    /// Notes where a candidate of a phase stands.
    pub fn place_candidate(&mut self, phase: PhaseId, exercise: ExerciseId, at: Span) {
        self.candidates.insert((phase, exercise), at);
    }

    /// Says where a candidate of a phase stands.
    pub fn candidate_at(&self, phase: &PhaseId, exercise: &ExerciseId) -> Option<Span> {
        self.candidates
            .get(&(phase.clone(), exercise.clone()))
            .cloned()
    }

    /// Counts a number under the source that vouches for it.
    pub fn count(&mut self, at: &Span) {
        if self.vouching == Vouching::NotAsked {
            return;
        }
        let name = match &self.source {
            Some(Source::Clinic | Source::Decided { .. }) => "clinic".to_owned(),
            Some(Source::Practice) => "practice".to_owned(),
            Some(Source::Work { key, .. }) => key.to_string(),
            None => {
                self.unvouched(at.clone());
                return;
            }
        };
        let n = self.numbers.entry(name).or_insert(0);
        *n = n.saturating_add(1);
    }

    /// Notes a number or a table that nothing vouches for.
    pub fn unvouched(&mut self, at: Span) {
        self.without_source.push(at);
    }

    /// Takes in what another reading gathered.
    pub fn take_in(&mut self, other: Self) {
        self.problems.extend(other.problems);
        self.links.extend(other.links);
        self.rungs.extend(other.rungs);
        self.phases.extend(other.phases);
        self.candidates.extend(other.candidates);
        self.without_source.extend(other.without_source);
        for (name, n) in other.numbers {
            let sum = self.numbers.entry(name).or_insert(0);
            *sum = sum.saturating_add(n);
        }
    }

    /// Goes through the pointers.
    pub fn links(&self) -> &[(Link, Span)] {
        &self.links
    }

    /// Returns how many numbers rest on each source.
    pub fn numbers(&self) -> &BTreeMap<String, usize> {
        &self.numbers
    }

    /// Ends the reading of one file: what has no source is a problem, told once a file.
    pub fn end_of_file(&mut self) {
        let spans = std::mem::take(&mut self.without_source);
        let Some(first) = spans.iter().min_by_key(|span| span.start) else {
            return;
        };
        let message = match spans.len().saturating_sub(1) {
            0 => "this has no source".to_owned(),
            1 => "this has no source, nor has one place more in this file".to_owned(),
            n => format!("this has no source, nor have {n} places more in this file"),
        };
        let problem = Problem::new(
            Code::NoSource,
            first.clone(),
            message,
            "nothing vouches for it",
        );
        self.tell(problem.help(
            "give its table, or the file, a `source`: a key of sources.toml, \"practice\" or \"clinic\"",
        ));
    }

    /// Gives the value if nothing is wrong, else every problem.
    pub fn settle<T>(self, file: &Arc<SourceFile>, value: Option<T>) -> Result<T, Problems> {
        let incomplete = || {
            let text = "something this file needs is missing";
            Problems::from(Problem::new(Code::MissingKey, whole(file), text, ""))
        };
        match Problems::collect(self.problems) {
            Some(problems) => Err(problems),
            None => value.ok_or_else(incomplete),
        }
    }
}
