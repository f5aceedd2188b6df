//! The keys of an exercise file.

use std::collections::BTreeSet;

use crate::domain::exercise::Peak;
use crate::domain::fact::Test;
use crate::domain::ids::{
    ConditionId, EquipmentId, ExerciseId, FamilyId, FlagId, HowId, OrderKind, RungId, StopSignId,
    TagId,
};
use crate::domain::quantity::{
    Centimetres, ChangeoverSeconds, DaysAWeek, Degrees, Effort, Grams, HoldSeconds, Minutes,
    PauseSeconds, Repetitions, RestSeconds, Sets, TempoSeconds, TimesADay, Weight,
};
use crate::domain::word::{
    Band, Fact, Joint, LegLoad, Lever, Mode, Motion, Position, Row, Sides, Support, Work, YesNo,
};

use super::super::control::STATUS;
use super::super::head::{KIND_KEY, SCHEMA_KEY};
use super::super::kind::{Keys, Kind, Kinded, may, may_as, need, need_as};
use super::super::values::{Hourly, Whole};
use super::super::vouch::Given;
use super::pose_keys::POSE;

/// Keys of the file.
pub static EXERCISE: Keys = Keys {
    what: "an exercise",
    keys: &[
        SCHEMA_KEY,
        KIND_KEY,
        need::<ExerciseId>("id", "Its id, equal to the file's name."),
        need::<String>("trade_name", "The clinician's name for it."),
        need::<String>("aim", "What it is for, in the clinician's words."),
        need_as(
            "status",
            Kind::Table(&STATUS),
            "Who stands behind the file.",
        ),
        need::<Row>("row", "Where it stands on the sheet."),
        may::<FamilyId>("family", "At most one of a family stands on a sheet."),
        need_as(
            "domains",
            Kind::Map(&Weight::KIND),
            "What it is good for, 1 a little to 3 most.",
        ),
        need::<Work>("work", "What kind of work it is while unloaded."),
        need::<Position>("position", "Body position."),
        need::<Sides>("sides", "Which leg does it."),
        need::<BTreeSet<EquipmentId>>("needs", "What the home must have."),
        may::<BTreeSet<OrderKind>>(
            "needs_orders",
            "Orders that must stand on every day of a sheet.",
        ),
        need::<YesNo>(
            "loaded",
            "Whether it is loaded work, unless a rung says else.",
        ),
        need::<Effort>("effort", "How tiring it is."),
        need::<TempoSeconds>("tempo_s", "Seconds a repetition takes besides its hold."),
        need::<ChangeoverSeconds>("changeover_s", "Seconds to get ready."),
        may::<Given>("source", "What vouches for its numbers."),
        need::<Vec<Test>>("entry", "All must hold before it may be given."),
        need::<Vec<Test>>(
            "leave",
            "When all hold it is done with; an empty list never is.",
        ),
        may_as(
            "behind",
            Kind::Table(&BEHIND),
            "More often while a measure is behind.",
        ),
        may_as(
            "aim_degrees",
            Kind::Table(&AIM),
            "How its printed aim is made.",
        ),
        may::<Vec<Test>>(
            "stay",
            "While all hold it comes on a first sheet, and stays on the one it was on.",
        ),
        may::<Fact>(
            "reported",
            "The minutes of it a day that people report: the dose is at most one rung above.",
        ),
        may::<BTreeSet<ConditionId>>(
            "unreported_kept",
            "With any of these conditions it does not go up while nobody reported the minutes.",
        ),
        need::<Vec<ExerciseId>>("swaps", "Other ways to the same end, first choice first."),
        may::<BTreeSet<ExerciseId>>(
            "gentler",
            "The gentler ones of them, all that may begin after work that was too much.",
        ),
        need_as(
            "demand",
            Kind::Tables(&DEMAND),
            "What it asks of each joint.",
        ),
        need_as("rung", Kind::Tables(&RUNG), "Its ladder, easy to hard."),
        may_as(
            "hands",
            Kind::Tables(&HANDS),
            "Ways that go with a hold of the hands, when a modifier asks for more.",
        ),
        need_as("stop", Kind::Table(&STOP), "When to stop."),
        need_as("pose", Kind::Table(&POSE), "How it is drawn."),
        need_as(
            "words",
            Kind::Either("a table by language"),
            "Patient words by language.",
        ),
    ],
};

/// Keys of `behind`.
pub static BEHIND: Keys = Keys {
    what: "`behind`",
    keys: &[
        need::<Fact>("fact", "The measure."),
        need::<TimesADay>("times_a_day", "Up to so many times a day."),
        may::<Given>("source", "What vouches for it."),
    ],
};

/// Keys of `aim_degrees`.
pub static AIM: Keys = Keys {
    what: "an aim",
    keys: &[
        need::<Fact>("fact", "The measure."),
        need::<Whole<1, 30>>("round_down_to", "Rounded down to a multiple of this."),
        need::<Degrees>("plus", "Then this is added."),
        need::<Degrees>("at_most", "Never above this."),
        may::<Given>("source", "What vouches for it."),
    ],
};

/// Keys of a demand.
pub static DEMAND: Keys = Keys {
    what: "a demand",
    keys: &[
        need::<Joint>("joint", "The joint."),
        need::<Motion>("motion", "The motion."),
        need::<Peak>(
            "peak_degrees",
            "Largest angle reached, or \"rung\" for the rung's own range.",
        ),
        need::<Mode>("mode", "How the motion is made."),
        need::<LegLoad>("weight_bearing", "What the operated leg bears."),
        need::<YesNo>("arm_load", "Whether the arms bear weight."),
        need::<BTreeSet<TagId>>("tags", "Words a limit may forbid."),
        may::<Degrees>(
            "clip_floor",
            "It may be clipped to a limit, but not below this.",
        ),
        may::<Given>("source", "What vouches for its numbers."),
    ],
};

/// Keys of a rung.
pub static RUNG: Keys = Keys {
    what: "a rung",
    keys: &[
        need::<RungId>("id", "Stable for ever: records point at it."),
        may::<Lever>("lever", "What is harder than on the rung before."),
        may::<Sets>("sets", "Sets in one session."),
        may::<Repetitions>("repetitions", "Repetitions in one set."),
        may::<HoldSeconds>("hold_s", "Hold of each repetition."),
        may::<PauseSeconds>("pause_s", "Between repetitions."),
        may::<RestSeconds>("rest_s", "Between sets."),
        may::<Minutes>(
            "minutes",
            "Work by the clock, instead of sets and repetitions.",
        ),
        may::<TimesADay>("times_a_day", "Sessions in a day."),
        may::<Hourly>("often", "Each waking hour, instead of times a day."),
        need::<DaysAWeek>("days_a_week", "Days in a week."),
        may::<YesNo>("loaded", "Whether this rung is loaded work."),
        may::<YesNo>("taught", "Whether it must be shown before its first use."),
        may::<Vec<Test>>("entry", "Its own entry tests."),
        may::<BTreeSet<EquipmentId>>("needs", "Equipment besides the exercise's."),
        may::<Grams>("load_g", "External weight."),
        may::<Band>("band", "Elastic band."),
        may::<Support>("support", "Hand support."),
        may::<Centimetres>("height_cm", "Step height."),
        may::<Centimetres>("seat_cm", "Seat height."),
        may::<Degrees>("range_degrees", "Range of the motion."),
        may::<HoldSeconds>("lower_s", "Seconds going down."),
        may::<HowId>("how", "A key of the `how` words."),
        may::<LegLoad>(
            "weight_bearing",
            "Leg load, where it differs from the demands'.",
        ),
        may::<BTreeSet<TagId>>("tags", "Tags besides the demands'."),
        may::<Given>("source", "What vouches for its numbers."),
    ],
};

/// Keys of a way that goes with a hold of the hands.
pub static HANDS: Keys = Keys {
    what: "a way with its hands",
    keys: &[
        need::<Support>("support", "The hold."),
        need::<HowId>("how", "The way, a key of the `how` words."),
    ],
};

/// Keys of `stop`.
pub static STOP: Keys = Keys {
    what: "`stop`",
    keys: &[need::<Vec<StopSignId>>("signs", "Signs to stop at.")],
};

/// Keys of the words in one language.
pub static WORDS: Keys = Keys {
    what: "the words of an exercise",
    keys: &[
        need::<String>("name", "Title of its block."),
        need::<String>(
            "short",
            "Name in the plan of the day, at most 16 characters.",
        ),
        need::<String>("why", "Why."),
        need::<String>("why_if_no_pain", "Why, even when nothing hurts."),
        need::<String>("set_up", "How to set up."),
        need::<Vec<String>>("steps", "3 to 5 steps of at most 12 words."),
        need::<Vec<String>>("errors", "Usual errors; the first one is printed."),
        may::<Vec<String>>(
            "steps_if_stopped",
            "Steps while a limit allows a joint no motion at all.",
        ),
        may::<Vec<String>>("errors_if_stopped", "Usual errors then."),
        may::<Vec<String>>(
            "steps_if_limited",
            "Steps while a limit stops the motion earlier.",
        ),
        need::<String>("feel", "What should be felt."),
        may::<String>("feel_if_limited", "What should be felt then."),
        may_as(
            "how",
            Kind::Map(&String::KIND),
            "How a rung is done, by key.",
        ),
        may_as(
            "how_if_limited",
            Kind::Map(&String::KIND),
            "The same while a limit stops the motion earlier.",
        ),
        may_as(
            "make_do",
            Kind::Map(&String::KIND),
            "Make-do things, by equipment.",
        ),
        may_as(
            "for",
            Kind::Tables(&FOR),
            "Words for some people, in the place of these; a later one over an earlier.",
        ),
    ],
};

/// Keys of words for some people.
pub static FOR: Keys = Keys {
    what: "words for some people",
    keys: &[
        may::<Vec<Test>>("facts", "All must be known and hold."),
        may::<Vec<ConditionId>>("conditions", "They have one of these."),
        may::<Vec<FlagId>>("flags", "One of these red flags stands."),
        may::<BTreeSet<Support>>("support", "The hands of the dose: one of these."),
        may::<BTreeSet<HowId>>("ways", "The way of the dose: one of these."),
        may::<String>("set_up", "How to set up."),
        may::<Vec<String>>("steps", "3 to 5 steps of at most 12 words."),
        may::<Vec<String>>("errors", "Usual errors; the first one is printed."),
        may::<String>("feel", "What should be felt."),
        may_as(
            "how",
            Kind::Map(&String::KIND),
            "How a rung is done, by key.",
        ),
    ],
};
