//! Stage 3: which profiles count, the ways surgeons let people go on.
//!
//! Picked by an order of that name; the latest pick of the record counts, else the surgeon's
//! standing one. With none, the usual profile; with none usual, the union of all.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use crate::domain::ids::OrderKind;
use crate::domain::limit::Limit;
use crate::domain::record::Order;
use crate::domain::verdict::{ProfileBy, ProfileInForce};

use super::case::Case;
use super::dates::each;
use super::orders::{self, Standing};

/// Lists the profiles that count on any day of the sheet's life, in order of name.
pub(crate) fn in_force(case: &Case<'_>) -> Vec<ProfileInForce> {
    let days = each(case.life.from, case.life.until);
    let found: BTreeSet<ProfileInForce> = days.flat_map(|date| on(case, date)).collect();
    found.into_iter().collect()
}

/// Lists the profiles that count on one date.
fn on(case: &Case<'_>, date: NaiveDate) -> Vec<ProfileInForce> {
    let counts = |profile: &OrderKind, by| ProfileInForce {
        profile: profile.clone(),
        by,
    };
    let picked = picked(case, date);
    let picked = picked
        .iter()
        .map(|pick| counts(&pick.order.what, ProfileBy::Order));
    let picked: Vec<_> = picked.collect();
    if picked.is_empty() {
        unpicked(case)
            .map(|(profile, by)| counts(profile, by))
            .collect()
    } else {
        picked
    }
}

fn picked<'a>(case: &Case<'a>, date: NaiveDate) -> Vec<Standing<'a>> {
    let profiles = case.procedure().profiles.iter();
    let kinds: Vec<&OrderKind> = profiles.map(|profile| &profile.id).collect();
    orders::latest_of(case, &kinds, date)
}

/// Lists what counts when nobody picked one.
fn unpicked<'a>(case: &Case<'a>) -> impl Iterator<Item = (&'a OrderKind, ProfileBy)> + use<'a> {
    let procedure = case.procedure();
    let usual = procedure.default_profile.as_ref();
    let by = usual.map_or(ProfileBy::NobodyPicked, |_| ProfileBy::Usual);
    let profiles = procedure.profiles.iter().map(|profile| &profile.id);
    profiles
        .filter(move |id| usual.is_none_or(|usual| usual == *id))
        .map(move |id| (id, by))
}

/// Says whether a limit counts on a date, as far as profiles go.
pub(crate) fn counts_on(case: &Case<'_>, limit: &Limit, date: NaiveDate) -> bool {
    let own = limit.profile.as_ref();
    own.is_none_or(|own| on(case, date).iter().any(|counts| counts.profile == *own))
}

/// Says whether a limit counts on any day of the sheet's life, as far as profiles go.
pub(crate) fn counts(case: &Case<'_>, limit: &Limit) -> bool {
    each(case.life.from, case.life.until).any(|date| counts_on(case, limit, date))
}

/// Lists the orders that picked the profile of a limit.
pub(crate) fn behind<'a>(case: &Case<'a>, limit: &Limit) -> Vec<Standing<'a>> {
    let Some(own) = &limit.profile else {
        return Vec::new();
    };
    let mut found: Vec<Standing<'a>> = Vec::new();
    for date in each(case.life.from, case.life.until) {
        for pick in picked(case, date) {
            if pick.order.what == *own && !found.contains(&pick) {
                found.push(pick);
            }
        }
    }
    found
}

/// Says whether an order picks what counts without it too.
pub(crate) fn outlives(case: &Case<'_>, order: &Order) -> bool {
    unpicked(case).any(|(profile, _)| *profile == order.what)
}
