//! A new record, a surgeon's order and an assessed red flag as text.

use chrono::NaiveDate;

use crate::domain::ids::OrderKind;
use crate::domain::record::{
    Clearance, Episode, Home, LimitOverride, OrderValue, Patient, PatientDay, Until,
};
use crate::domain::word::YesNo;

use super::text::{Keys, date, id, list, number, text, word};
use super::{Block, Place};

/// A surgeon's order to be written down.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewOrder {
    /// Its name in this record, such as `O1`; see `next_order_id`.
    pub id: String,
    /// Kind.
    pub what: OrderKind,
    /// Value.
    pub value: OrderValue,
    /// Who ordered it.
    pub by: String,
    /// When.
    pub on: NaiveDate,
    /// Its first day, when that is another.
    pub from: Option<NaiveDate>,
    /// In which document.
    pub document: String,
    /// Until when; a date is included.
    pub until: Until,
    /// The order of this record whose place it takes.
    pub replaces: Option<String>,
}

/// What intake writes down: the episode, the patient and the first orders.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewRecord {
    /// What the record is about.
    pub episode: Episode,
    /// What is known of the person.
    pub patient: Patient,
    /// Orders that stand from the start.
    pub orders: Vec<NewOrder>,
}

/// Returns the text of a new record; visits are appended to it.
pub fn new_record(record: &NewRecord) -> String {
    let orders: String = record.orders.iter().map(order_text).collect();
    format!(
        "schema = 1\nkind = \"record\"\n\n[episode]\n{}\n[patient]\n{}{orders}",
        episode_keys(&record.episode).lines(),
        patient_keys(&record.patient).lines(),
    )
}

/// Returns the block of a surgeon's order.
pub fn order_block(order: &NewOrder) -> Block {
    Block::new(Place::Record, order_text(order))
}

/// Returns the block of an assessed red flag.
pub fn clear_block(clearance: &Clearance) -> Block {
    let keys = Keys::none()
        .put("flag", id(&clearance.flag))
        .put("by", text(&clearance.by))
        .put("on", date(clearance.on))
        .put("until", date(clearance.until));
    Block::new(Place::Record, format!("\n[[clear]]\n{}", keys.lines()))
}

/// Returns the block of a limit that is set aside.
pub fn override_block(said: &LimitOverride) -> Block {
    let keys = Keys::none()
        .put("limit", id(&said.limit))
        .put("by", text(&said.by))
        .put("on", date(said.on))
        .put("because", text(&said.because))
        .put("until", date(said.until));
    Block::new(Place::Record, format!("\n[[override]]\n{}", keys.lines()))
}

fn order_text(order: &NewOrder) -> String {
    let keys = Keys::none()
        .put("id", text(&order.id))
        .put("what", id(&order.what));
    let keys = match &order.value {
        OrderValue::WeightBearing(status) => keys.put("weight_bearing", word(*status)),
        OrderValue::Degrees(degrees) => keys.put("degrees", number(*degrees)),
        OrderValue::Stands => keys,
        OrderValue::NotOrdered => keys.put("ordered", word(YesNo::No)),
    };
    let keys = keys
        .put("by", text(&order.by))
        .put("on", date(order.on))
        .may("from", order.from, date)
        .put("document", text(&order.document));
    let keys = match order.until {
        Until::Date(day) => keys.put("until", date(day)),
        Until::Asked => keys.put("until", text("asked")),
        Until::Open => keys,
    };
    let keys = keys.may("replaces", order.replaces.as_ref(), |id| text(id));
    format!("\n[[order]]\n{}", keys.lines())
}

fn episode_keys(episode: &Episode) -> Keys {
    Keys::none()
        .put("token", text(&episode.token))
        .put("clinic", id(&episode.clinic))
        .put("procedure", id(&episode.procedure))
        .put("joint", word(episode.joint))
        .put("side", word(episode.side))
        .put("operation", date(episode.operation.0))
        .put("language", text(&episode.language))
        .recorded("needs", episode.needs.as_ref(), |needs| {
            list(needs.iter().copied(), word)
        })
}

/// Returns the keys of what is known of the person.
pub(super) fn patient_keys(patient: &Patient) -> Keys {
    let home = patient.home.known().map_or(Keys::none(), home_keys);
    let day = patient.day.as_ref().known().map_or(Keys::none(), day_keys);
    Keys::none()
        .recorded("age", patient.age, number)
        .recorded("height_cm", patient.height_cm, number)
        .recorded("conditions", patient.conditions.as_ref(), |all| {
            list(all, id)
        })
        .recorded("frailty", patient.frailty, number)
        .recorded("surgeon", patient.surgeon.as_ref(), id)
        .recorded("positions_no", patient.positions_no.as_ref(), |all| {
            list(all.iter().copied(), word)
        })
        .recorded("equipment", patient.equipment.as_ref(), |all| list(all, id))
        .table("home", &home)
        .table("day", &day)
        .recorded("pain_medicine", patient.pain_medicine, word)
        .recorded("goal", patient.goal.as_ref(), |goal| text(goal))
}

fn home_keys(home: Home) -> Keys {
    Keys::none()
        .recorded("alone", home.alone, word)
        .recorded("stairs", home.stairs, word)
        .recorded("bed", home.bed, word)
        .recorded("floor_safe", home.floor_safe, word)
}

fn day_keys(day: &PatientDay) -> Keys {
    let slots = (!day.slots.is_empty()).then_some(day.slots.iter().copied());
    Keys::none()
        .may("slots", slots, |slots| list(slots, word))
        .recorded("minutes", day.minutes, number)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::quantity::{Degrees, Quantity};
    use crate::domain::word::WeightBearing;
    use crate::store::samples::{blank_patient, clearance, day, full_patient, new_order, record};

    #[test]
    fn a_full_intake() {
        let text = new_record(&NewRecord {
            patient: full_patient(),
            orders: vec![new_order("O1")],
            ..record()
        });
        assert_eq!(
            text,
            r#"schema = 1
kind = "record"

[episode]
token = "TE-0007-E1"
clinic = "mill-lane"
procedure = "knee-total"
joint = "knee"
side = "left"
operation = 2026-05-04
language = "en"
needs = ["large-print"]

[patient]
age = 70
height_cm = 171
conditions = []
frailty = 3
surgeon = "S1"
positions_no = ["prone"]
equipment = ["chair", "towel"]
home = { alone = "no", stairs = "yes", floor_safe = "no" }
day = { slots = ["breakfast", "evening"], minutes = 30 }
pain_medicine = "yes"
goal = "Dance at the \"Palais\"."

[[order]]
id = "O1"
what = "flexion-cap"
degrees = 90
by = "Dr Test"
on = 2026-05-04
document = "operation note"
until = 2026-06-01
"#
            .replace("\"S1\"", "\"s1\"")
        );
        assert!(text.parse::<toml::Table>().is_ok());
    }

    #[test]
    fn a_blank_field_is_not_written() {
        let text = new_record(&NewRecord {
            patient: blank_patient(),
            ..record()
        });
        assert!(text.ends_with("needs = [\"large-print\"]\n\n[patient]\n"));
    }

    #[test]
    fn orders_write_their_own_value_and_end() {
        let mut order = new_order("O2");
        order.value = OrderValue::WeightBearing(WeightBearing::Partial);
        order.until = Until::Asked;
        let text = order_block(&order).text().to_owned();
        assert!(text.contains("\nweight_bearing = \"partial\"\n"));
        assert!(text.ends_with("\nuntil = \"asked\"\n"));
        order.value = OrderValue::Stands;
        order.until = Until::Open;
        let text = order_block(&order).text().to_owned();
        assert!(!text.contains("until") && !text.contains("degrees"));
        order.value = OrderValue::Degrees(Degrees::nearest(-5));
        assert!(order_block(&order).text().contains("\ndegrees = -5\n"));
    }

    #[test]
    fn a_cleared_flag() {
        assert_eq!(
            clear_block(&clearance()).text(),
            "\n[[clear]]\nflag = \"calf\"\nby = \"ultrasound\"\non = 2026-05-10\nuntil = 2026-05-17\n"
        );
        assert_eq!(clearance().on, day(2026, 5, 10));
    }
}
