//! The form of a first visit: everything a new record needs, in the order chart, chair, bed, home.

use super::ask::{ask, date, line, say, then, ticks};
use super::follow_up::{
    block_gone, lag, leg_lift, measures, next_visit, rest_pain, stairs_practised, swelling,
    walks_with, worst_pain,
};
use super::home::{conditions, equipment, home, more, positions, print_needs, stairs};
use super::orders;
use super::signs::{NOTE, screen};
use super::{section, written};
use crate::domain::library::Library;
use crate::domain::order_kind::{OrderSays, WEIGHT_BEARING};
use crate::domain::word::{Operates, Side, Word};
use crate::handout::model::form::{FormField, FormSection};

/// Makes the questions.
pub(super) fn sections(library: &Library) -> Vec<FormSection> {
    vec![
        section("The operation", None, operation(library)),
        section("Orders", Some(ORDERS_NOTE), ordered(library)),
        section("Signs", Some(NOTE), vec![screen(library), cleared()]),
        section(
            "Conditions and positions",
            None,
            vec![conditions(library), positions()],
        ),
        section("Today", None, today(library)),
        section("Home", None, at_home(library)),
        section("If there is time", None, more()),
    ]
}

/// What to know before orders are written down.
const ORDERS_NOTE: &str = "Standing orders of a surgeon in the clinic\u{2019}s file need no copy. \
    What differs goes into the record afterwards, one order at a time: banister order RECORD WHAT \
    VALUE. With neither, no program can be made.";

fn operation(library: &Library) -> Vec<FormField> {
    let side = |side: Side| ticks([side.as_str()]);
    let again = match library.procedure.operates {
        Operates::Both => side(Side::Both),
        Operates::One => then([
            side(Side::Left),
            side(Side::Right),
            say("again, in words:"),
            line(),
        ]),
    };
    vec![
        ask("Record number", "--token", line()).must(),
        ask("Date of operation", "--operation", date()).must(),
        ask("Operated side", "--side", again).must(),
    ]
}

fn ordered(library: &Library) -> Vec<FormField> {
    let standing = library.clinic.standing_orders.iter();
    let surgeons = standing
        .filter(|orders| orders.procedure == library.procedure.id)
        .map(|orders| &orders.surgeon);
    let mut fields = vec![
        ask("Standing orders of", "--surgeon", ticks(written(surgeons))),
        ask("Anything different?", "", ticks(["nothing", "as below"])),
        ask(
            &orders::name(&library.procedure, WEIGHT_BEARING),
            "order weight-bearing",
            orders::value(OrderSays::Bearing),
        ),
    ];
    let (angles, others): (Vec<String>, Vec<String>) = orders::other_kinds(&library.procedure)
        .into_iter()
        .partition(|kind| library.procedure.order_says(kind) == OrderSays::Degrees);
    fields.extend(angles.iter().map(|kind| {
        let typed = format!("order {kind}");
        ask(
            &orders::name(&library.procedure, kind),
            &typed,
            orders::value(OrderSays::Degrees),
        )
    }));
    let profiles = orders::unusual_profiles(&library.procedure);
    let others = others.into_iter().chain(profiles);
    fields.push(ask("Also ordered", "order", ticks(others)));
    fields.extend([
        ask("Until", "order --until", orders::until()),
        ask("Ordered by", "order --by", line()),
        ask("On", "order --on", date()),
        ask("In which document", "order --document", line()),
    ]);
    fields
}

fn cleared() -> FormField {
    ask("Cleared for home by", "--cleared-for-home-by", line())
}

fn today(library: &Library) -> Vec<FormField> {
    let mut fields = vec![rest_pain(), worst_pain()];
    fields.extend(measures());
    fields.extend([
        lag(),
        block_gone(library),
        leg_lift(),
        stairs(),
        walks_with(),
        stairs_practised(),
        swelling(library),
    ]);
    fields
}

fn at_home(library: &Library) -> Vec<FormField> {
    let mut fields = vec![equipment(library)];
    fields.extend(home());
    fields.extend([next_visit(), print_needs()]);
    fields
}
