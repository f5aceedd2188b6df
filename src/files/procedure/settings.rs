//! Reads the numbers of a procedure that no single exercise owns.

use std::collections::BTreeSet;

use crate::domain::ids::{EquipmentId, TagId};
use crate::domain::procedure::{ByLoad, DueDays, Settings};
use crate::domain::quantity::{Days, FarMore, Items, Percent};
use crate::domain::time::Day;
use crate::domain::word::Slot;

use super::super::kind::{Key, Keys, Kind, may, need, need_as};
use super::super::reader::TableReader;
use super::super::values::Pair;
use super::SOURCE;

pub(super) const LAST_DAY: Key = need::<Day>("last_day", "Last day a program is made for.");
pub(super) const KIT: Key =
    need::<BTreeSet<EquipmentId>>("kit_if_unasked", "Equipment assumed when nobody asked.");
pub(super) const SLOTS: Key =
    need::<Vec<Slot>>("default_slots", "Times of day assumed when nobody asked.");
pub(super) const NEXT_VISIT: Key = need::<Days>(
    "next_visit_days",
    "Days a sheet lives when no next visit is known.",
);
pub(super) const WAIT: Key = need_as(
    "wait_days",
    Kind::Table(&BY_LOAD),
    "Days between rungs on the look-ahead.",
);
pub(super) const LOOK_AHEAD: Key = need_as(
    "look_ahead_rungs",
    Kind::Table(&BY_LOAD),
    "Rungs shown ahead at the most.",
);
pub(super) const ENOUGH: Key = need::<Percent>(
    "enough_done_percent",
    "Share of the sheet that counts as done.",
);
pub(super) const FAR_MORE: Key = need::<FarMore>(
    "far_more_percent",
    "From this share on, far more was done than asked.",
);
pub(super) const ITEMS: Key = need_as("items", Kind::Table(&ITEM_COUNT), "Items of a sheet.");
pub(super) const LAST_VALUE: Key =
    need::<Days>("last_value_days", "Days an earlier measure still counts.");
pub(super) const PROTECTED: Key = need::<Day>(
    "range_protected_before_day",
    "Range work is never eased for ordinary pain before this day.",
);
pub(super) const GAP: Key = need::<Days>(
    "gap_days",
    "A longer gap since the last sheet means entering by test again.",
);
pub(super) const REST: Key =
    need::<Days>("rest_days", "Rest of loaded work after an overdone answer.");

pub(super) const LOADING: Key = may::<BTreeSet<TagId>>(
    "loading_tags",
    "Work with any of these tags goes by the bands of loaded work.",
);

pub(super) const DUE: Key = need_as(
    "due",
    Kind::Table(&DUE_DAYS),
    "When the list of who is due speaks up.",
);

static BY_LOAD: Keys = Keys {
    what: "numbers by load",
    keys: &[
        need::<Days>("unloaded", "For unloaded work."),
        need::<Days>("loaded", "For loaded work."),
        SOURCE,
    ],
};

static ITEM_COUNT: Keys = Keys {
    what: "items",
    keys: &[
        need::<Items>("usual", "Items of a usual sheet."),
        need::<Items>("most", "Items of any sheet at the most."),
        SOURCE,
    ],
};

static DUE_DAYS: Keys = Keys {
    what: "days of the list of who is due",
    keys: &[
        need::<Pair<Days>>(
            "phone_check_days",
            "First and last day of the phone check, from the first sheet.",
        ),
        need::<Days>(
            "sheet_warn_days",
            "A sheet that ends in so many days is named.",
        ),
        need::<Days>(
            "order_warn_days",
            "An order that ends in so many days is named.",
        ),
        need::<Days>(
            "clearance_warn_days",
            "A clearance that ends in so many days is named.",
        ),
        SOURCE,
    ],
};

/// Reads them from the procedure's own table.
pub(super) fn read(table: &mut TableReader<'_>) -> Option<Settings> {
    let last_day = table.need("last_day");
    let kit_if_unasked = table.need::<BTreeSet<EquipmentId>>("kit_if_unasked");
    let default_slots = table.need::<BTreeSet<Slot>>("default_slots");
    let next_visit_days = table.need("next_visit_days");
    let wait_days = table.need_table("wait_days", &BY_LOAD, by_load);
    let look_ahead_rungs = table.need_table("look_ahead_rungs", &BY_LOAD, by_load);
    let enough_done = table.need("enough_done_percent");
    let far_more = table.need("far_more_percent");
    let items = table.need_table("items", &ITEM_COUNT, items);
    let last_value_days = table.need("last_value_days");
    let range_protected_before = table.need("range_protected_before_day");
    let gap_days = table.need("gap_days");
    let rest_days = table.need("rest_days");
    let loading_tags = table.may("loading_tags").unwrap_or_default();
    let due = table.need_table("due", &DUE_DAYS, due_days);
    let bounds = super::bounds::read(table);
    let stages = super::bounds::read_stages(table);
    let (items_usual, items_most) = items?;
    Some(Settings {
        last_day: last_day?,
        kit_if_unasked: kit_if_unasked?,
        default_slots: default_slots?.into_iter().collect(),
        next_visit_days: next_visit_days?,
        wait_days: wait_days?,
        look_ahead_rungs: look_ahead_rungs?,
        enough_done: enough_done?,
        far_more: far_more?,
        items_usual,
        items_most,
        last_value_days: last_value_days?,
        range_protected_before: range_protected_before?,
        gap_days: gap_days?,
        rest_days: rest_days?,
        loading_tags,
        due: due?,
        bounds: bounds?,
        stages: stages?,
    })
}

fn by_load(table: &mut TableReader<'_>) -> Option<ByLoad> {
    let unloaded = table.need("unloaded");
    let loaded = table.need("loaded");
    Some(ByLoad {
        unloaded: unloaded?,
        loaded: loaded?,
    })
}

fn items(table: &mut TableReader<'_>) -> Option<(Items, Items)> {
    let usual = table.need("usual");
    let most = table.need("most");
    Some((usual?, most?))
}

fn due_days(table: &mut TableReader<'_>) -> Option<DueDays> {
    let phone_check = table.need::<Pair<Days>>("phone_check_days");
    let sheet = table.need("sheet_warn_days");
    let order = table.need("order_warn_days");
    let clearance = table.need("clearance_warn_days");
    Some(DueDays {
        phone_check: phone_check?.0,
        sheet: sheet?,
        order: order?,
        clearance: clearance?,
    })
}
