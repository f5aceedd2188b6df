//! Says whether what a record names exists in the library, with the near word when not.
//!
//! A name nobody knows is never taken for one that is near it.

use std::collections::BTreeSet;

use crate::domain::exercise::Exercise;
use crate::domain::ids::{
    ConditionId, ExerciseId, FlagId, Id, OrderKind, PhaseId, RungId, SurgeonId,
};
use crate::domain::library::Library;
use crate::domain::order_kind::WEIGHT_BEARING;

use super::super::codes::Code;
use super::super::nearest;
use super::super::problem::Problem;
use super::super::reader::TableReader;
use super::super::source::Span;
use super::super::values::At;
use super::orders::ReadOrder;

/// Whether the record itself orders how much the leg may bear.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum OwnBearing {
    Ordered,
    NotOrdered,
}

/// The names a record may use.
#[derive(Debug, Clone, Copy)]
pub struct Known<'a> {
    library: &'a Library,
    own_bearing: OwnBearing,
}

impl<'a> Known<'a> {
    /// Takes the names of a library.
    pub fn of(library: &'a Library) -> Self {
        Self {
            library,
            own_bearing: OwnBearing::NotOrdered,
        }
    }

    /// Takes in the record's own orders.
    pub fn with_orders(self, orders: &[ReadOrder]) -> Self {
        let bearing = |order: &ReadOrder| order.what.as_ref().is_some_and(says_bearing);
        let own_bearing = if orders.iter().any(bearing) {
            OwnBearing::Ordered
        } else {
            OwnBearing::NotOrdered
        };
        Self {
            own_bearing,
            ..self
        }
    }

    /// Returns the library.
    pub fn library(self) -> &'a Library {
        self.library
    }

    /// Finds an exercise, or tells that there is none.
    pub fn exercise(
        self,
        table: &mut TableReader<'_>,
        name: &At<ExerciseId>,
    ) -> Option<&'a Exercise> {
        let found = self.library.exercises.get(&name.value);
        if found.is_none() {
            let words = self.library.exercises.keys().map(Id::as_str).collect();
            unknown(table, "exercise", name.value.as_str(), &name.at, &words);
        }
        found
    }

    /// Checks a rung of an exercise; an exercise that is not known has been told already.
    pub fn rung(table: &mut TableReader<'_>, of: Option<&Exercise>, name: &At<RungId>) {
        if let Some(exercise) = of
            && exercise.rung(&name.value).is_none()
        {
            let what = format!("rung of {}", exercise.id);
            let words = exercise.rungs.iter().map(|rung| rung.id.as_str()).collect();
            unknown(table, &what, name.value.as_str(), &name.at, &words);
        }
    }

    /// Checks a condition.
    pub fn condition(self, table: &mut TableReader<'_>, name: &At<ConditionId>) {
        let conditions = &self.library.procedure.conditions;
        if !conditions.contains_key(&name.value) {
            let words = conditions.keys().map(Id::as_str).collect();
            unknown(table, "condition", name.value.as_str(), &name.at, &words);
        }
    }

    /// Checks a red flag.
    pub fn flag(self, table: &mut TableReader<'_>, name: &FlagId, at: &Span) {
        if self.library.procedure.red_flag(name).is_none() {
            let flags = &self.library.procedure.red_flags;
            let words = flags.iter().map(|flag| flag.id.as_str()).collect();
            unknown(table, "red flag", name.as_str(), at, &words);
        }
    }

    /// Checks a phase.
    pub fn phase(self, table: &mut TableReader<'_>, name: &At<PhaseId>) {
        if self.library.procedure.phase(&name.value).is_none() {
            let phases = &self.library.procedure.phases;
            let words = phases.iter().map(|phase| phase.id.as_str()).collect();
            unknown(table, "phase", name.value.as_str(), &name.at, &words);
        }
    }

    /// Checks a kind of order: one that no rule looks at would change nothing in silence.
    pub fn order(self, table: &mut TableReader<'_>, name: &At<OrderKind>) {
        let words = self.library.procedure.order_kinds();
        let given = name.value.as_str();
        if words.contains(given) {
            return;
        }
        let procedure = &self.library.procedure.id;
        let message = format!("no rule of {procedure} acts on an order of `{given}`");
        let problem = Problem::new(Code::UnknownName, name.at.clone(), message, "not known");
        let words: Vec<&str> = words.into_iter().collect();
        table.tell(problem.help(nearest::help(given, &words)));
    }

    /// Checks that the orders of a surgeon can be known.
    pub fn surgeon(self, table: &mut TableReader<'_>, name: &At<SurgeonId>) {
        let procedure = &self.library.procedure.id;
        let standing = self.library.clinic.standing_orders.iter();
        let surgeons: BTreeSet<&str> = standing
            .filter(|orders| orders.procedure == *procedure)
            .map(|orders| orders.surgeon.as_str())
            .collect();
        let given = name.value.as_str();
        if surgeons.contains(given) || self.own_bearing == OwnBearing::Ordered {
            return;
        }
        let message =
            format!("the clinic file has no standing orders of `{given}` for {procedure}");
        let words: Vec<&str> = surgeons.into_iter().collect();
        let help = format!(
            "{}; or write the surgeon's own order into the record: [[order]] with what = \"{WEIGHT_BEARING}\"",
            nearest::help(given, &words)
        );
        let problem = Problem::new(Code::UnknownName, name.at.clone(), message, "whose orders?");
        table.tell(problem.help(help));
    }
}

fn says_bearing(kind: &OrderKind) -> bool {
    kind.as_str() == WEIGHT_BEARING
}

fn unknown(
    table: &mut TableReader<'_>,
    what: &str,
    given: &str,
    at: &Span,
    words: &BTreeSet<&str>,
) {
    let words: Vec<String> = words.iter().map(|word| (*word).to_owned()).collect();
    let message = format!("there is no {what} `{given}`");
    table.tell(nearest::unknown(message, given, &words, at));
}

#[cfg(test)]
mod tests {
    use super::super::samples::{only, read, with};

    #[rustfmt::skip]
    const SLIPS: &[(&str, &str, &str, &str)] = &[
        ("[\"osteoporosis\"]", "[\"osteoporosi\"]", "BN040", "condition `osteoporosi`"),
        ("[\"osteoporosis\"]", "[\"heart\", \"heart\"]", "BN030", "condition `heart`"),
        ("[\"chair\", \"towel\"]", "[\"chair\", \"sofa\"]", "BN024", "\"sofa\""),
        ("SURG-A", "SURG-Z", "BN040", "`SURG-Z`"),
        ("{ calf = \"no\",", "{ calv = \"no\",", "BN040", "red flag `calv`"),
        ("{ calf = \"no\",", "{ calf = \"none\",", "BN024", "`calf` cannot be \"none\""),
        ("flag = \"calf\"", "flag = \"hip\"", "BN040", "red flag `hip`"),
        ("id = \"motion\"", "id = \"emotion\"", "BN040", "phase `emotion`"),
        ("well_at = \"q2\"", "well_at = \"s1\"", "BN040", "rung of quad-set `s1`"),
        ("rung = \"u1\"", "rung = \"u99\"", "BN040", "rung of step-up `u99`"),
        ("\"straight-leg-raise\"", "\"straight-leg-rais\"", "BN040", "`straight-leg-rais`"),
        ("\"no-active-extension\"", "\"brace\"", "BN040", "acts on an order of `brace`"),
    ];

    #[test]
    fn names_nobody_knows_are_refused() {
        for (old, new, code, text) in SLIPS {
            only(old, new, code, text);
        }
    }

    #[test]
    fn the_near_name_is_offered() {
        let problems = read(&with("\"osteoporosis\"", "\"osteoporosi\"")).unwrap_err();
        let help = problems.iter().next().unwrap().help.clone().unwrap();
        assert!(help.contains("did you mean `osteoporosis`"), "{help}");
    }

    #[test]
    fn a_surgeon_without_standing_orders_needs_an_order_of_the_record() {
        let own = "[[order]]\nid = \"O9\"\nwhat = \"weight-bearing\"\nweight_bearing = \"partial\"\n\
                   by = \"Dr Test\"\non = 2026-05-04\ndocument = \"letter\"\n\n[[clear]]";
        let text = with("[[clear]]", own).replace("SURG-A", "SURG-Z");
        assert_eq!(read(&text).unwrap().orders.len(), 3);
    }
}
