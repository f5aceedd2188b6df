//! A visit, and the clinician's word on one exercise, as text.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::domain::ids::{FlagId, Id};
use crate::domain::record::{Adjust, Done, Measured, NextVisit, Pain, Patient, PhaseSet};
use crate::domain::recorded::Recorded;
use crate::domain::word::{ClosedWith, Did, How, ScreenAnswer, Swelling, YesNo};

use super::intake::patient_keys;
use super::text::{Keys, date, id, number, text, whole, word};
use super::{Block, Place};

/// What is otherwise about the person from a visit on.
///
/// A recorded key replaces that key whole; a blank one leaves it as it was.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Changes(pub Patient);

impl Changes {
    /// Says that nothing is otherwise.
    pub fn none() -> Self {
        Self(Patient {
            age: Recorded::NotRecorded,
            height_cm: Recorded::NotRecorded,
            conditions: Recorded::NotRecorded,
            frailty: Recorded::NotRecorded,
            surgeon: Recorded::NotRecorded,
            positions_no: Recorded::NotRecorded,
            equipment: Recorded::NotRecorded,
            home: Recorded::NotRecorded,
            day: Recorded::NotRecorded,
            pain_medicine: Recorded::NotRecorded,
            goal: Recorded::NotRecorded,
        })
    }
}

/// A visit to be written down.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewVisit {
    /// One more than the last visit's.
    pub n: i64,
    /// The date.
    pub date: NaiveDate,
    /// Seen or by phone.
    pub how: How,
    /// Who.
    pub by: String,
    /// The visit this one corrects.
    pub corrects: Option<i64>,
    /// The screen; an answer missing in it was not given.
    pub screen: Recorded<BTreeMap<FlagId, ScreenAnswer>>,
    /// Who cleared the person for home.
    pub cleared_for_home_by: Recorded<String>,
    /// The nerve block has worn off and the knee holds in standing.
    pub block_gone: Recorded<YesNo>,
    /// How much of the last sheet was done.
    pub did: Recorded<Did>,
    /// Measures.
    pub measured: Measured,
    /// Pain.
    pub pain: Pain,
    /// Swelling against last time.
    pub swelling: Recorded<Swelling>,
    /// Next visit.
    pub next_visit: Recorded<NextVisit>,
    /// What is otherwise about the person.
    pub changes: Changes,
    /// The clinician's word on the phase.
    pub phase: Option<PhaseSet>,
    /// What was really done, exercise by exercise.
    pub done: Vec<Done>,
    /// The clinician's word, exercise by exercise.
    pub adjust: Vec<Adjust>,
}

/// Returns the block of a new visit, which stays open until a handout is issued for it.
pub fn visit_block(visit: &NewVisit) -> Block {
    Block::new(Place::NewVisit(visit.n), visit_text(visit))
}

/// Returns the block of a visit for which no sheet goes out: closed and sealed as it is written.
pub fn closed_visit_block(visit: &NewVisit) -> Block {
    let keys = Keys::none().put("sheet", word(ClosedWith::None));
    let closed = format!("\n[visit.closed]\n{}", keys.lines());
    let text = format!("{}{closed}", visit_text(visit));
    Block::new(Place::NewVisit(visit.n), text).and_sealed(visit.n)
}

/// Returns the block that closes and seals a call which leaves a sheet at home as it is.
pub fn kept_block(visit: i64, sheet: i64) -> Block {
    let keys = Keys::none().put("sheet", sheet);
    let text = format!("\n[visit.kept]\n{}", keys.lines());
    Block::new(Place::OpenVisit(visit), text).and_sealed(visit)
}

fn visit_text(visit: &NewVisit) -> String {
    let mut out = format!("\n[[visit]]\n{}", visit_keys(visit).lines());
    for done in &visit.done {
        out.push_str("[[visit.done]]\n");
        out.push_str(&done_keys(done).lines());
    }
    for adjust in &visit.adjust {
        out.push_str(&adjust_text(adjust));
    }
    out
}

/// Returns the block of the clinician's word on one exercise, for an open visit.
pub fn adjust_block(visit: i64, adjust: &Adjust) -> Block {
    Block::new(
        Place::OpenVisit(visit),
        format!("\n{}", adjust_text(adjust)),
    )
}

fn adjust_text(adjust: &Adjust) -> String {
    let keys = Keys::none()
        .put("exercise", id(&adjust.exercise))
        .put("action", word(adjust.action))
        .recorded("rung", adjust.rung.as_ref(), id)
        .put("because", text(&adjust.because))
        .put("by", text(&adjust.by));
    format!("[[visit.adjust]]\n{}", keys.lines())
}

fn visit_keys(visit: &NewVisit) -> Keys {
    let screen = visit
        .screen
        .as_ref()
        .known()
        .map_or(Keys::none(), |screen| {
            screen.iter().fold(Keys::none(), |keys, (flag, answer)| {
                keys.put(flag.as_str(), word(*answer))
            })
        });
    let phase = visit.phase.as_ref().map_or(Keys::none(), phase_keys);
    Keys::none()
        .put("n", visit.n)
        .put("date", date(visit.date))
        .put("how", word(visit.how))
        .put("by", text(&visit.by))
        .may("corrects", visit.corrects, whole)
        .table("screen", &screen)
        .recorded(
            "cleared_for_home_by",
            visit.cleared_for_home_by.as_ref(),
            |by| text(by),
        )
        .recorded("block_gone", visit.block_gone, word)
        .recorded("did", visit.did, word)
        .table("measured", &measured_keys(&visit.measured))
        .table("pain", &pain_keys(&visit.pain))
        .recorded("swelling", visit.swelling, word)
        .recorded("next_visit", visit.next_visit, next_visit)
        .table("changes", &patient_keys(&visit.changes.0))
        .table("phase", &phase)
}

fn measured_keys(measured: &Measured) -> Keys {
    Keys::none()
        .recorded("flexion", measured.flexion, number)
        .recorded("extension_deficit", measured.extension_deficit, number)
        .recorded("leg_lift", measured.leg_lift, word)
        .recorded("lag", measured.lag, number)
        .recorded("walking_aid", measured.walking_aid, word)
        .recorded("stance_s", measured.stance_s, whole)
        .recorded("walk_minutes", measured.walk_minutes, number)
        .recorded("limp", measured.limp, word)
        .recorded("stairs_practised", measured.stairs_practised, word)
}

fn pain_keys(pain: &Pain) -> Keys {
    Keys::none()
        .recorded("rest", pain.rest, number)
        .recorded("exercise", pain.exercise, number)
        .recorded("medicine_before", pain.medicine_before, word)
        .recorded("morning", pain.morning, word)
        .recorded("bad_mornings", pain.bad_mornings, whole)
}

fn next_visit(next: NextVisit) -> String {
    match next {
        NextVisit::Date(day) => date(day),
        NextVisit::None => text("none"),
        NextVisit::Unknown => text("unknown"),
    }
}

fn phase_keys(phase: &PhaseSet) -> Keys {
    Keys::none()
        .put("id", id(&phase.id))
        .put("because", text(&phase.because))
        .put("by", text(&phase.by))
}

fn done_keys(done: &Done) -> Keys {
    let felt = Keys::none()
        .recorded("during", done.during, number)
        .recorded("morning", done.morning, word);
    Keys::none()
        .put("exercise", id(&done.exercise))
        .recorded("done", done.done, whole)
        .recorded("asked", done.asked, whole)
        .recorded("seen", done.seen, word)
        .recorded("well_at", done.well_at.as_ref(), id)
        .table("felt", &felt)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::{any, proptest};

    use super::*;
    use crate::store::samples::{adjust, blank_visit, full_visit};

    #[test]
    fn a_full_visit() {
        let block = visit_block(&full_visit(2));
        assert_eq!(block.place(), Place::NewVisit(2));
        assert_eq!(
            block.text(),
            r#"
[[visit]]
n = 2
date = 2026-05-11
how = "seen"
by = "PT-9"
corrects = 1
screen = { calf = "no", wound = "known" }
cleared_for_home_by = "Nurse Test"
block_gone = "yes"
did = "most"
measured = { flexion = 82, extension_deficit = -2, leg_lift = "alone-lag", lag = 6, walking_aid = "frame", stance_s = 4, walk_minutes = 10, limp = "yes", stairs_practised = "no" }
pain = { rest = 2, exercise = 6, medicine_before = "no", morning = "same", bad_mornings = 1 }
swelling = "same"
next_visit = 2026-05-18
changes = { equipment = ["chair", "towel"], goal = "Walk\nthe dog." }
phase = { id = "motion", because = "Ahead.", by = "PT-9" }
[[visit.done]]
exercise = "quad-set"
done = 18
asked = 21
seen = "yes"
well_at = "q2"
felt = { during = 2, morning = "same" }
[[visit.adjust]]
exercise = "leg-raise"
action = "leave-out"
because = "Sore hip."
by = "PT-9"
"#
        );
    }

    #[test]
    fn a_visit_where_nothing_was_recorded() {
        assert_eq!(
            visit_block(&blank_visit(1)).text(),
            "\n[[visit]]\nn = 1\ndate = 2026-05-06\nhow = \"seen\"\nby = \"PT-9\"\n"
        );
    }

    #[test]
    fn a_screen_without_an_answer_is_no_screen() {
        let mut visit = blank_visit(1);
        visit.screen = Recorded::Yes(BTreeMap::new());
        assert!(!visit_block(&visit).text().contains("screen"));
    }

    #[test]
    fn the_next_visit_in_three_ways() {
        let mut visit = blank_visit(1);
        visit.next_visit = Recorded::Yes(NextVisit::None);
        assert!(
            visit_block(&visit)
                .text()
                .ends_with("next_visit = \"none\"\n")
        );
        visit.next_visit = Recorded::Yes(NextVisit::Unknown);
        assert!(
            visit_block(&visit)
                .text()
                .ends_with("next_visit = \"unknown\"\n")
        );
    }

    proptest! {
        #[test]
        fn free_words_come_back_the_same(by in any::<String>(), goal in any::<String>(), because in any::<String>()) {
            let mut visit = full_visit(2);
            visit.by.clone_from(&by);
            visit.changes.0.goal = Recorded::Yes(goal.clone());
            visit.adjust = vec![adjust("leg-raise")];
            visit.adjust[0].because.clone_from(&because);
            let table: toml::Table = visit_block(&visit).text().parse().unwrap();
            let read = &table["visit"][0];
            assert_eq!(read["by"].as_str(), Some(by.as_str()));
            assert_eq!(read["changes"]["goal"].as_str(), Some(goal.as_str()));
            assert_eq!(read["adjust"][0]["because"].as_str(), Some(because.as_str()));
        }
    }
}
