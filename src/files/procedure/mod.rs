//! Reads one procedure file.
//!
//! Each part of the file has a module of its own, with its keys beside its reader.
//! Next: `checks` follows what it points at.

mod answers;
mod bounds;
mod care;
mod course;
mod flag;
mod forbid;
mod kit;
mod limit;
mod modifier;
mod phase;
mod profile;
mod settings;
mod shift;
mod when;

use std::collections::BTreeMap;

use crate::domain::fact::{FactValue, Test};
use crate::domain::ids::{ConditionId, ExerciseId, OrderKind, ProcedureId};
use crate::domain::procedure::{Derive, Missing, Procedure, ProcedureWords};
use crate::domain::word::{Fact, Joint, MissingRule, Operates};

use super::control::{self, STATUS};
use super::exercise::own_id;
use super::head::{self, KIND_KEY, SCHEMA_KEY};
use super::kind::{Key, Keys, Kind, may, may_as, need, need_as};
use super::node::Node;
use super::plain_text::{self, SIDES};
use super::reader::{TableReader, each_once, in_table};
use super::reading::{Link, Reading};
use super::values::{AnyOrder, At, Operation};
use super::vouch::Given;
use super::{fact_test, window};

/// Declares `from_day` that must be there.
const FROM: Key = need::<crate::domain::time::Day>("from_day", "The first day.");
/// Declares `from_day` that may be left out.
const MAY_FROM: Key =
    may::<crate::domain::time::Day>("from_day", "The first day; missing is no beginning.");
/// Declares `before_day`.
const BEFORE: Key =
    may::<crate::domain::time::Day>("before_day", "The first day after it; missing is no end.");
/// Declares `source`.
const SOURCE: Key = may::<Given>("source", "What vouches for its numbers.");

/// Declares words by language.
const fn words(doc: &'static str) -> Key {
    need_as("words", Kind::Either("a table by language"), doc)
}

static PROCEDURE: Keys = Keys {
    what: "a procedure",
    keys: &[
        SCHEMA_KEY,
        KIND_KEY,
        need::<ProcedureId>("id", "Its id, equal to the file's name."),
        may::<ProcedureId>(
            "based_on",
            "The procedure it takes over, save for what it says itself and `without`.",
        ),
        need::<Joint>("joint", "The joint."),
        need::<String>("version", "Its own version."),
        need::<Operation>("anchor", "What day 0 is."),
        need::<Operates>("operates", "How many sides are operated on."),
        may::<Vec<OrderKind>>(
            "needs_orders",
            "Kinds of order without which there is no program.",
        ),
        may::<AnyOrder>(
            "default_profile",
            "The profile that counts when nobody picked one; left out, all of them do.",
        ),
        may_as("profile", Kind::Tables(&profile::PROFILE), "Profiles."),
        shift::SHIFT,
        SOURCE,
        need_as(
            "status",
            Kind::Table(&STATUS),
            "Who stands behind the file.",
        ),
        settings::LAST_DAY,
        need::<Vec<ExerciseId>>("exercises", "Every exercise file it reads."),
        settings::KIT,
        settings::SLOTS,
        settings::NEXT_VISIT,
        settings::WAIT,
        settings::LOOK_AHEAD,
        settings::ENOUGH,
        settings::FAR_MORE,
        settings::ITEMS,
        settings::LAST_VALUE,
        settings::PROTECTED,
        settings::GAP,
        settings::REST,
        settings::LOADING,
        bounds::BOUNDS,
        bounds::STAGES,
        settings::DUE,
        words("What a patient reads about the operation."),
        need_as(
            "phase",
            Kind::Tables(&phase::PHASE),
            "Phases in order of day.",
        ),
        may_as(
            "derive",
            Kind::Tables(&DERIVE),
            "Facts taken from other facts.",
        ),
        may_as(
            "missing",
            Kind::Tables(&MISSING),
            "What to do with facts nobody recorded.",
        ),
        may_as("limit", Kind::Tables(&limit::LIMIT), "Limits."),
        may_as(
            "modifier",
            Kind::Tables(&modifier::MODIFIER),
            "What lowers doses.",
        ),
        may_as("course", Kind::Tables(&course::COURSE), "Usual courses."),
        may_as(
            "review",
            Kind::Tables(&course::REVIEW),
            "Lines that ask for a look.",
        ),
        need_as(
            "bands",
            Kind::Tables(&answers::BANDS),
            "How pain during work is judged.",
        ),
        need_as(
            "answer",
            Kind::Tables(&answers::ANSWER),
            "How signs after work are judged.",
        ),
        need_as(
            "red_flag",
            Kind::Tables(&flag::RED_FLAG),
            "Red flags in the order asked.",
        ),
        may_as("home_care", Kind::Tables(&care::HOME_CARE), "Home care."),
        may_as("usual", Kind::Tables(&care::LINE), "What is usual."),
        may_as("not_usual", Kind::Tables(&care::LINE), "What is not usual."),
        may_as(
            "milestone",
            Kind::Tables(&care::MILESTONE),
            "Goals in plain words.",
        ),
        need_as(
            "equipment",
            Kind::Tables(&kit::EQUIPMENT),
            "What a home may have, in the order asked.",
        ),
        may_as(
            "condition",
            Kind::Tables(&care::CONDITION),
            "Conditions it knows.",
        ),
    ],
};

static DERIVE: Keys = Keys {
    what: "a derived fact",
    keys: &[
        need::<Fact>("fact", "The fact made."),
        need::<Test>("when", "When this holds."),
        need::<FactValue>("value", "Its value."),
        SOURCE,
    ],
};

static MISSING: Keys = Keys {
    what: "a rule for a missing fact",
    keys: &[
        need::<Fact>("fact", "The fact."),
        FROM,
        BEFORE,
        need::<MissingRule>("then", "What a test on it then counts as."),
        SOURCE,
    ],
};

static WORDS: Keys = Keys {
    what: "the words of a procedure",
    keys: &[
        need::<String>("title", "Title of page 1, with a side."),
        may::<String>("title_before", "Title of page 1 before the operation."),
        need::<String>("operation", "The operation."),
        need::<String>("part", "The part operated on."),
    ],
};

pub use shift::move_entry_days;

/// Reads a procedure from its file's tree; `name` is what the file's name says its id is.
pub fn read(node: &Node, name: &str, reading: &mut Reading) -> Option<Procedure> {
    let procedure = in_table(node, &PROCEDURE, reading, |table| procedure(table, name));
    reading.end_of_file();
    procedure.flatten()
}

fn procedure(table: &mut TableReader<'_>, name: &str) -> Option<Procedure> {
    head::check(table, "procedure");
    let id = own_id::<ProcedureId>(table, name);
    let based_on = table.may("based_on");
    let joint = table.need("joint");
    let version = table.need("version");
    let anchor = table.need::<Operation>("anchor");
    let operates = table.need::<Operates>("operates");
    // Every text read from here on, exercises' too, is one that can be said for so many sides.
    table.reading().operates = operates.unwrap_or(Operates::One);
    let needs_orders = table.may("needs_orders").unwrap_or_default();
    let default_profile = profile::named(table, "default_profile");
    let profiles = profile::all(table);
    let shift = shift::read(table);
    control::status(table);
    let settings = settings::read(table);
    let exercises = exercises(table);
    let words = table.by_language("words", &WORDS, procedure_words);
    table.not_empty("words");
    let phases = phase::all(table);
    let derives = table.tables("derive", &DERIVE, derive);
    let missing = table.tables("missing", &MISSING, missing);
    let limits = limit::all(table);
    let modifiers = modifier::all(table);
    let courses = course::courses(table);
    let reviews = table.tables("review", &course::REVIEW, course::review);
    let bands = answers::all_bands(table);
    let answers = answers::all_answers(table);
    let red_flags = flag::all(table);
    let home_care = care::all(table);
    let usual = care::lines(table, "usual", &care::LINE);
    let not_usual = care::lines(table, "not_usual", &care::LINE);
    let milestones = care::lines(table, "milestone", &care::MILESTONE);
    let conditions = care::conditions(table);
    let equipment = kit::all(table);
    anchor?;
    Some(Procedure {
        id: id?,
        based_on,
        joint: joint?,
        version: version?,
        operates: operates?,
        needs_orders,
        profiles,
        default_profile,
        shift,
        settings: settings?,
        exercises: exercises?,
        phases,
        derives,
        missing,
        limits,
        modifiers,
        courses,
        reviews,
        bands,
        answers,
        red_flags,
        home_care,
        usual,
        not_usual,
        milestones,
        conditions: conditions.names,
        frail_from: conditions.frail_from,
        equipment,
        words,
        origin: table.at().origin(),
    })
}

fn exercises(table: &mut TableReader<'_>) -> Option<Vec<ExerciseId>> {
    let exercises = table.need::<Vec<At<ExerciseId>>>("exercises")?;
    table.not_empty("exercises");
    for exercise in &exercises {
        let link = Link::Exercise(exercise.value.clone());
        table.reading().link(link, exercise.at.clone());
    }
    each_once(exercises.clone(), "exercise", table.reading());
    Some(
        exercises
            .into_iter()
            .map(|exercise| exercise.value)
            .collect(),
    )
}

fn procedure_words(table: &mut TableReader<'_>) -> Option<ProcedureWords> {
    let title = plain_text::need(table, "title", SIDES);
    let title_before = plain_text::may(table, "title_before", SIDES);
    let operation = plain_text::need(table, "operation", SIDES);
    let part = plain_text::need(table, "part", SIDES);
    Some(ProcedureWords {
        title: title?,
        title_before,
        operation: operation?,
        part: part?,
    })
}

fn derive(table: &mut TableReader<'_>) -> Option<Derive> {
    let fact = table.need("fact");
    let when = table.need("when");
    let value = table.need::<At<FactValue>>("value");
    let (fact, value) = (fact?, value?);
    let fits = fact_test::fits(fact, &value.value, &value.at, table.reading());
    fits.then_some(Derive {
        fact,
        when: when?,
        value: value.value,
    })
}

fn missing(table: &mut TableReader<'_>) -> Option<Missing> {
    let fact = table.need("fact");
    let window = window::need(table);
    let then = table.need("then");
    Some(Missing {
        fact: fact?,
        window: window?,
        then: then?,
    })
}

/// Reads conditions and notes each as a pointer.
fn condition_names(
    table: &mut TableReader<'_>,
    name: &'static str,
) -> std::collections::BTreeSet<ConditionId> {
    let all = table.may::<Vec<At<ConditionId>>>(name).unwrap_or_default();
    for condition in &all {
        let link = Link::Condition(condition.value.clone());
        table.reading().link(link, condition.at.clone());
    }
    all.into_iter().map(|condition| condition.value).collect()
}

/// Keeps what was read and tells when an id stands twice.
fn once<K: Ord + std::fmt::Display, T>(
    table: &mut TableReader<'_>,
    what: &str,
    all: Vec<(Option<At<K>>, Option<T>)>,
) -> Vec<T> {
    let (ids, values): (Vec<_>, Vec<_>) = all.into_iter().unzip();
    each_once(ids.into_iter().flatten().collect(), what, table.reading());
    values.into_iter().flatten().collect()
}

/// Words by language, when there are any.
type ByLanguage<T> = BTreeMap<String, T>;
