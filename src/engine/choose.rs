//! Stage 8: which exercises stand on the sheet.
//!
//! Room and need decide; the search is exact.

use crate::domain::dose::Dose;
use crate::domain::exercise::Exercise;
use crate::domain::ids::DomainId;
use crate::domain::quantity::{Percent, Quantity};
use crate::domain::recorded::Recorded;
use crate::domain::verdict::LeftOut;
use crate::domain::word::{Fact, PrintNeed, YesNo};

use super::allow::Bar;
use super::amount;
use super::case::Case;
use super::dose::Dosed;
use super::log::Log;
use super::modify::Modifiers;
use super::need::Needs;
use super::rules::{
    d801_best_set, d802_one_of_a_family, d803_room_and_minutes, d804_clinicians_choice,
    d805_core_empty, d806_end_of_range,
};
use super::search::{Need, Pick, Room, Wanted, best};

/// Returns the seconds a dose takes in one day.
pub(crate) fn seconds_a_day(exercise: &Exercise, dose: &Dose) -> i64 {
    seconds(exercise, dose).saturating_mul(amount::times(dose))
}

/// Returns the seconds of one session, sides and changeover included.
pub(crate) fn seconds(exercise: &Exercise, dose: &Dose) -> i64 {
    dose.seconds(
        exercise.tempo_s,
        exercise.changeover_s,
        exercise.sides_worked(),
    )
}

/// Returns the room on the sheet and in the day.
pub(crate) fn room(case: &Case<'_>, modifiers: &Modifiers<'_>) -> Room {
    let clinic = &case.library.clinic;
    let large = match &case.record.episode.needs {
        Recorded::Yes(needs) => needs.contains(&PrintNeed::LargePrint),
        Recorded::NotRecorded => false,
    };
    let items = clinic.items.min(case.settings().items_most).get();
    let capped = modifiers
        .max_items
        .map_or(items, |most| items.min(most.get()));
    let minutes = match &case.patient().day {
        Recorded::Yes(day) => match day.minutes {
            Recorded::Yes(own) => clinic.minutes_a_day.min(own),
            Recorded::NotRecorded => clinic.minutes_a_day,
        },
        Recorded::NotRecorded => clinic.minutes_a_day,
    };
    Room {
        items: if large {
            capped.min(case.settings().bounds.large_print_items.get())
        } else {
            capped
        },
        seconds: minutes.get().saturating_mul(60),
    }
}

/// Chooses among the dosed exercises and says why each other one is left out.
pub(crate) fn choose<'a>(
    case: &Case<'_>,
    dosed: Vec<Dosed<'a>>,
    needs: &Needs,
    (room, alike): (Room, Percent),
    log: &mut Log,
) -> (Vec<Dosed<'a>>, Vec<LeftOut>) {
    let (dosed, chosen) = best_set(case, dosed, needs, room, alike);
    log.fire(&d801_best_set::RULE);
    let (inside, outside): (Vec<_>, Vec<_>) = dosed
        .into_iter()
        .enumerate()
        .partition(|(at, _)| chosen.contains(at));
    let inside: Vec<Dosed<'a>> = inside.into_iter().map(|(_, item)| item).collect();
    for item in &inside {
        d804_clinicians_choice::note(item, log);
    }
    d805_core_empty::note(needs, &inside, log);
    d806_end_of_range::note(case, &inside, log);
    let left_out = outside
        .iter()
        .map(|(_, item)| left_out(item, &inside, room, log))
        .collect();
    (inside, left_out)
}

/// Returns what covering a domain is worth: two core domains more than any one, and of as many
/// the first of the phase before all after it together.
fn core(needs: &Needs, id: &DomainId) -> i64 {
    let power = |exponent: usize| {
        let exponent = u32::try_from(exponent).unwrap_or(u32::MAX);
        2_i64.checked_pow(exponent).unwrap_or(i64::MAX)
    };
    let after = needs.core.iter().rev().position(|core| core == id);
    after.map_or(0, |after| {
        power(needs.core.len()).saturating_add(power(after))
    })
}

/// Finds the best set; longer work for a stiff joint gives way where the set is better without.
fn best_set<'a>(
    case: &Case<'_>,
    mut dosed: Vec<Dosed<'a>>,
    needs: &Needs,
    room: Room,
    alike: Percent,
) -> (Vec<Dosed<'a>>, Vec<usize>) {
    let facts = d806_end_of_range::ends(case);
    let ends: Vec<End> = facts.into_iter().map(|fact| End::of(case, fact)).collect();
    let before: Vec<i64> = ends.iter().map(|end| end.seconds).collect();
    let domains = needs.domains.iter();
    let weights: Vec<Need> = domains
        .map(|(id, weight)| Need {
            weight: *weight,
            core: core(needs, id),
        })
        .collect();
    let wanted = Wanted {
        needs: &weights,
        ends: &before,
    };
    let set = |dosed: &[Dosed<'_>]| {
        let picks = dosed.iter().map(|item| pick(case, item, needs, &ends));
        best(&picks.collect::<Vec<Pick>>(), wanted, room, alike)
    };
    let longer = set(&dosed);
    if dosed.iter().all(|item| item.shorter.is_none()) {
        return (dosed, longer.members);
    }
    let mut without = dosed.clone();
    for item in &mut without {
        if let Some((given, steps)) = item
            .shorter
            .take()
            .and_then(|kept| Some((kept.given?, kept.steps)))
        {
            (item.given, item.steps) = (given, steps);
        }
    }
    let shorter = set(&without);
    if shorter.serves_better(&longer) {
        return (without, shorter.members);
    }
    for item in &mut dosed {
        item.shorter = None;
    }
    (dosed, longer.members)
}

/// A measure past its review line, and the seconds a day that work for it had.
struct End {
    fact: Fact,
    seconds: i64,
}

impl End {
    fn of(case: &Case<'_>, fact: Fact) -> Self {
        let seconds = d806_end_of_range::seconds_before(case, fact);
        Self { fact, seconds }
    }
}

fn pick(case: &Case<'_>, item: &Dosed<'_>, needs: &Needs, ends: &[End]) -> Pick {
    let exercise = item.dosing.exercise();
    let word = |holds: bool| if holds { YesNo::Yes } else { YesNo::No };
    Pick {
        id: exercise.id.clone(),
        weights: needs
            .domains
            .keys()
            .map(|id| exercise.domains.get(id).map_or(0, |weight| weight.get()))
            .collect(),
        family: exercise.family.clone(),
        position: exercise.position,
        seconds: seconds_a_day(exercise, &item.given.dose),
        ends: ends
            .iter()
            .map(|end| word(d806_end_of_range::works_at(case, exercise, end.fact)))
            .collect(),
        stays: d806_end_of_range::stays(case, exercise),
        kept: word(item.dosing.last.is_some()),
        forced: word(item.dosing.wanted.is_some()),
    }
}

fn left_out(item: &Dosed<'_>, inside: &[Dosed<'_>], room: Room, log: &mut Log) -> LeftOut {
    let bar: Bar = d802_one_of_a_family::bar(item, inside)
        .or_else(|| d803_room_and_minutes::bar(item, inside, room))
        .unwrap_or_else(d801_best_set::bar);
    log.fired.insert(bar.rule);
    LeftOut {
        exercise: item.dosing.exercise().id.clone(),
        reason: bar.reason,
        rule: bar.rule,
        was_issued: item.dosing.last.is_some(),
        offered: Some(item.given.clone()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::ids::Id as _;

    #[test]
    fn more_core_domains_beat_the_first_ones_and_of_as_many_the_first_counts() {
        let ids = ["range", "strength", "balance", "gait"].map(|id| DomainId::new(id).unwrap());
        let needs = Needs {
            domains: ids.iter().map(|id| (id.clone(), 1)).collect(),
            core: ids[..3].to_vec(),
        };
        let [range, strength, balance, gait] = ids.map(|id| core(&needs, &id));
        assert!(strength + balance > range);
        assert!(range > strength && strength > balance && balance > gait);
        assert!(range + balance > strength + balance);
        assert_eq!(gait, 0);
    }
}
