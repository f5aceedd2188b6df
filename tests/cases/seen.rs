//! What the program decided, in the words expectations use.

use std::collections::{BTreeMap, BTreeSet};

use banister::domain::exercise::Rung;
use banister::domain::ids::{ExerciseId, Id, RungId};
use banister::domain::library::Library;
use banister::domain::verdict::{Item, LeftOut, Notice, Program, Question, Verdict, WhyNot};

/// A case, decided.
pub struct Seen<'a> {
    pub library: &'a Library,
    pub verdict: Verdict,
    /// The rungs of the last sheet.
    pub last: BTreeMap<ExerciseId, RungId>,
}

impl Seen<'_> {
    /// The program, or what came instead.
    pub fn program(&self) -> Result<&Program, String> {
        match &self.verdict {
            Verdict::Program(program) => Ok(program),
            Verdict::Withheld(_) | Verdict::Unanswered(_) => Err(self.outcome()),
        }
    }

    /// The verdict in a few words.
    pub fn outcome(&self) -> String {
        match &self.verdict {
            Verdict::Program(program) => {
                let items: Vec<String> = rows(program)
                    .map(|item| format!("{} {}", item.exercise, item.rung))
                    .collect();
                format!("a program: {}", items.join(", "))
            }
            Verdict::Withheld(withheld) => {
                let flags: Vec<String> = withheld
                    .flags
                    .iter()
                    .map(|flag| flag.flag.to_string())
                    .collect();
                format!("withheld, {}, for {}", withheld.level, flags.join(", "))
            }
            Verdict::Unanswered(_) => {
                let asked: Vec<String> = self.asked().into_iter().collect();
                format!("questions: {}", asked.join(", "))
            }
        }
    }

    /// What is asked: the question's kind, or the criterion, order or fact it is about.
    pub fn asked(&self) -> BTreeSet<String> {
        let Verdict::Unanswered(unanswered) = &self.verdict else {
            return BTreeSet::new();
        };
        let questions = unanswered.questions.iter();
        questions.map(|(question, _)| about(question)).collect()
    }

    /// The id of an exercise that some operation has; a name nobody knows is a fault of the case.
    pub fn id(&self, name: &str) -> ExerciseId {
        let known = self.library.exercises.keys().any(|id| id.as_str() == name);
        if !known {
            crate::support::read(&format!("protocols/exercises/{name}.toml"));
        }
        ExerciseId::new(name).unwrap()
    }

    /// The rung an item stands on.
    pub fn rung(&self, item: &Item) -> &Rung {
        let exercise = &self.library.exercises[&item.exercise];
        exercise.rung(&item.rung).unwrap().1
    }

    /// How many rungs an item is above its rung on the last sheet; none when it was not there.
    pub fn moved(&self, item: &Item) -> Option<i64> {
        let exercise = &self.library.exercises[&item.exercise];
        let place = |rung: &RungId| i64::try_from(exercise.rung(rung).unwrap().0).unwrap();
        let last = self.last.get(&item.exercise)?;
        Some(place(&item.rung) - place(last))
    }

    /// Says whether an exercise is on the sheet, or was left out by choice alone.
    pub fn offered(&self, program: &Program, name: &str) -> bool {
        let id = &self.id(name);
        find(program, name).is_some()
            || program
                .left_out
                .iter()
                .any(|left| left.exercise == *id && by_choice(left))
    }

    /// Why an exercise is not on the sheet.
    pub fn why_not(program: &Program, name: &str) -> String {
        let left = program
            .left_out
            .iter()
            .find(|left| left.exercise.as_str() == name);
        match left {
            Some(left) => format!("{name} is left out: {:?}", left.reason),
            None if find(program, name).is_some() => format!("{name} is on the sheet"),
            None => format!("{name} was not looked at"),
        }
    }
}

/// Left out because others served more or there was no room, not because it may not be done.
fn by_choice(left: &LeftOut) -> bool {
    matches!(
        left.reason,
        WhyNot::SameFamily { .. }
            | WhyNot::NoRoom { .. }
            | WhyNot::NoMinutes { .. }
            | WhyNot::LessNeeded
    )
}

/// Every line of the sheet.
pub fn rows(program: &Program) -> impl Iterator<Item = &Item> {
    let beside = program.background.iter().chain(&program.daily);
    program.items.iter().chain(beside)
}

/// The line of an exercise.
pub fn find<'a>(program: &'a Program, name: &str) -> Option<&'a Item> {
    rows(program).find(|item| item.exercise.as_str() == name)
}

fn about(question: &Question) -> String {
    match question {
        Question::NoVisit => "no-visit".to_owned(),
        Question::Screen { .. } => "screen".to_owned(),
        Question::Conditions => "conditions".to_owned(),
        Question::WeightBearing => "weight-bearing".to_owned(),
        Question::StandingOrders => "standing-orders".to_owned(),
        Question::OpenOrder { what } => what.to_string(),
        Question::Criterion { criterion, .. } => criterion.to_string(),
        Question::Fact { fact } => fact.to_string(),
        Question::BeyondLibrary { .. } => "beyond-library".to_owned(),
    }
}

/// The facts and keys a program says were not recorded.
pub fn not_recorded(program: &Program) -> BTreeSet<String> {
    let said = program.notices.iter().filter_map(|notice| match notice {
        Notice::NotRecorded { fact, .. }
        | Notice::UsualTaken { fact, .. }
        | Notice::EarlierTaken { fact, .. } => Some(fact.to_string()),
        Notice::Blank { key, .. } => Some((*key).to_owned()),
        _ => None,
    });
    said.collect()
}

/// Says whether the team is told of a second overdone answer.
pub fn tells_team(program: &Program) -> bool {
    program
        .notices
        .iter()
        .any(|notice| matches!(notice, Notice::TellTeam { .. }))
}

/// The names of the notices of a program.
pub fn notices(program: &Program) -> BTreeSet<String> {
    let named = program.notices.iter().map(|notice| {
        let value = serde_json::to_value(notice).unwrap();
        value["notice"].as_str().unwrap().to_owned()
    });
    named.collect()
}
