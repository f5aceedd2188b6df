//! The made-up clinic.

use std::collections::BTreeSet;

use crate::domain::clinic::{Clinic, Control, Phones, StandingOrders};
use crate::domain::record::Until;
use crate::domain::time::Window;
use crate::domain::word::{DocumentState, Paper, WeightBearing};

use super::{id, n, on, record};

/// The made-up clinic with one surgeon's standing orders.
pub(super) fn clinic() -> Clinic {
    Clinic {
        id: id("clinic"),
        name: "Clinic".to_owned(),
        phones: Phones {
            same_day: "1".to_owned(),
            closed: "2".to_owned(),
        },
        hours: String::new(),
        emergency: None,
        paper: Paper::A4,
        language: "en".to_owned(),
        items: n(8),
        minutes_a_day: n(120),
        sheet_days: n(14),
        also_ask: BTreeSet::new(),
        status: Control {
            state: DocumentState::Draft,
            by: "Lead".to_owned(),
            on: on(0),
            review_due: on(360),
        },
        adopted: None,
        standing_orders: vec![StandingOrders {
            surgeon: id("surgeon"),
            procedure: id("made-up"),
            orders: vec![(
                Window::ALWAYS,
                record::bears(WeightBearing::AsTolerated, 0, Until::Open),
            )],
            review_due: on(360),
        }],
        usual_sets: Vec::new(),
        replaced: Vec::new(),
    }
}
