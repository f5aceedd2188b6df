//! Reads the bounds of a sheet that no rung and no phase owns.

use crate::domain::procedure::{Bounds, StageRules};
use crate::domain::quantity::{
    Days, DaysAWeek, Degrees, Effort, Items, PainScore, Percent, TimesADay,
};

use super::super::codes::Code;
use super::super::kind::{Key, Keys, Kind, need, need_as};
use super::super::problem::Problem;
use super::super::reader::TableReader;
use super::super::values::{Pair, Whole};
use super::SOURCE;

pub(super) const BOUNDS: Key = need_as(
    "bounds",
    Kind::Table(&KEYS),
    "Bounds that no rung and no phase owns.",
);

static KEYS: Keys = Keys {
    what: "bounds",
    keys: &[
        need::<crate::domain::quantity::Days>("sheet_days_most", "Days a sheet lives at the most."),
        need::<crate::domain::quantity::Days>("slip_days", "Days more while a visit slips."),
        need::<Items>(
            "large_print_items",
            "Items of a sheet in large print at the most.",
        ),
        need::<Percent>(
            "alike_percent",
            "Share of the needs within which two sets of exercises serve them alike.",
        ),
        need::<TimesADay>(
            "times_a_day_most",
            "Times a day that early range work is asked for at the most.",
        ),
        need::<Whole<1, 3>>(
            "bad_mornings",
            "Bad mornings of the last three that are too many.",
        ),
        need::<crate::domain::quantity::Days>(
            "flare_days",
            "Days within which a second overdone answer is told to the team.",
        ),
        need::<crate::domain::quantity::Days>("clearance_days", "Days an assessment counts."),
        need::<crate::domain::quantity::Days>(
            "clearance_days_most",
            "Days an assessment counts at the most, whatever end it names.",
        ),
        need::<Degrees>(
            "angle_error_degrees",
            "Degrees that measuring an angle may err by.",
        ),
        need::<PainScore>(
            "little_pain",
            "Pain up to this is hardly a reason of its own.",
        ),
        need::<crate::domain::quantity::Days>(
            "missed_days",
            "Not done for so many days, work begins one rung lower; twice as many, two.",
        ),
        need::<Whole<0, 9>>("missed_rungs_most", "Rungs lower for that at the most."),
        need::<Effort>(
            "gentle_effort",
            "How tiring work may be on a first sheet that a red flag narrows.",
        ),
        need::<Pair<Degrees>>(
            "shin_upright_degrees",
            "Bend at which the shin of someone sitting is upright: from, and no longer from.",
        ),
        SOURCE,
    ],
};

pub(super) const STAGES: Key = need_as(
    "stages",
    Kind::Table(&STAGE_KEYS),
    "How a program goes on by itself when no next visit is booked.",
);

static STAGE_KEYS: Keys = Keys {
    what: "stages",
    keys: &[
        need::<crate::domain::quantity::Days>("days", "Days on each stage at the least."),
        need::<Items>("most", "Stages at the most, the first one included."),
        need::<Items>(
            "most_first",
            "Stages at the most for somebody who has answered to no sheet yet.",
        ),
        need::<Items>("raised_most", "Lines that go up at one stage at the most."),
        need::<DaysAWeek>("after_days_a_week", "Days a week after the last stage."),
        SOURCE,
    ],
};

/// Reads how a program goes on in stages.
pub(super) fn read_stages(table: &mut TableReader<'_>) -> Option<StageRules> {
    table.need_table("stages", &STAGE_KEYS, stages)
}

fn stages(table: &mut TableReader<'_>) -> Option<StageRules> {
    let days = table.need("days");
    let most = table.need("most");
    let most_first = table.need("most_first");
    let raised_most = table.need("raised_most");
    let after_days_a_week = table.need("after_days_a_week");
    Some(StageRules {
        days: days?,
        most: most?,
        most_first: most_first?,
        raised_most: raised_most?,
        after_days_a_week: after_days_a_week?,
    })
}

/// Reads them.
pub(super) fn read(table: &mut TableReader<'_>) -> Option<Bounds> {
    table.need_table("bounds", &KEYS, bounds)
}

fn bounds(table: &mut TableReader<'_>) -> Option<Bounds> {
    let sheet_days_most = table.need("sheet_days_most");
    let slip_days = table.need("slip_days");
    let large_print_items = table.need("large_print_items");
    let alike_percent = table.need("alike_percent");
    let times_a_day_most = table.need("times_a_day_most");
    let bad_mornings = table.need::<Whole<1, 3>>("bad_mornings");
    let flare_days = table.need("flare_days");
    let clearance_days = table.need("clearance_days");
    let clearance_days_most = table.need("clearance_days_most");
    assessed_no_longer(table, clearance_days, clearance_days_most);
    let angle_error = table.need("angle_error_degrees");
    let little_pain = table.need("little_pain");
    let missed_days = table.need("missed_days");
    let missed_rungs_most = table.need::<Whole<0, 9>>("missed_rungs_most");
    let gentle_effort = table.need("gentle_effort");
    let shin_upright = table.need::<Pair<Degrees>>("shin_upright_degrees");
    Some(Bounds {
        sheet_days_most: sheet_days_most?,
        slip_days: slip_days?,
        large_print_items: large_print_items?,
        alike_percent: alike_percent?,
        times_a_day_most: times_a_day_most?,
        bad_mornings: bad_mornings?.0,
        flare_days: flare_days?,
        clearance_days: clearance_days?,
        clearance_days_most: clearance_days_most?,
        angle_error: angle_error?,
        little_pain: little_pain?,
        missed_days: missed_days?,
        missed_rungs_most: missed_rungs_most?.0,
        gentle_effort: gentle_effort?,
        shin_upright: shin_upright?.0,
    })
}

/// An assessment that names no end lasts no longer than one that does.
fn assessed_no_longer(table: &mut TableReader<'_>, usual: Option<Days>, most: Option<Days>) {
    if usual > most && most.is_some() {
        let at = table.at_key("clearance_days");
        let message = "an assessment counts for longer than it may";
        let problem = Problem::new(Code::KeysClash, at, message, "as a rule")
            .also(table.at_key("clearance_days_most"), "at the most");
        table.tell(problem.help("lower the first, or raise the second"));
    }
}
