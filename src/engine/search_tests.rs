//! The search against trying every set.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use proptest::prelude::*;

use super::*;
use crate::domain::ids::Id;
use crate::domain::word::Word;

fn yes_no(yes: bool) -> YesNo {
    if yes { YesNo::Yes } else { YesNo::No }
}

prop_compose! {
    fn picks()(rows in prop::collection::vec(
        (prop::collection::vec(0_i64..=3, 4), 0_usize..5, 0_usize..4, prop::sample::select(vec![60_i64, 120, 240]), any::<bool>(), 0_u8..12, prop::collection::vec(any::<bool>(), 2), 0_u8..6),
        0..=14,
    )) -> Vec<Pick> {
        rows.into_iter().enumerate().map(|(at, (weights, family, position, seconds, kept, forced, ends, stays))| Pick {
            id: ExerciseId::new(&format!("e{at:02}")).unwrap(),
            weights,
            family: (family < 3).then(|| FamilyId::new(&format!("f{family}")).unwrap()),
            position: Position::ALL[position],
            seconds,
            ends: ends.into_iter().map(yes_no).collect(),
            stays: yes_no(stays == 0),
            kept: yes_no(kept),
            forced: yes_no(forced == 0),
        }).collect()
    }
}

fn needs() -> impl Strategy<Value = Vec<Need>> {
    prop::collection::vec((1_i64..8, prop::sample::select(vec![0_i64, 1, 2, 4])), 4).prop_map(
        |rows| {
            rows.into_iter()
                .map(|(weight, core)| Need { weight, core })
                .collect()
        },
    )
}

/// Needs and no measure past its review line.
fn only(needs: &[Need]) -> Wanted<'_> {
    Wanted { needs, ends: &[] }
}

fn allowed(picks: &[Pick], room: Room, members: &[usize]) -> bool {
    let forced = |at: &&usize| picks[**at].forced == YesNo::Yes;
    let every_forced = (0..picks.len())
        .filter(|at| picks[*at].forced == YesNo::Yes)
        .all(|at| members.contains(&at));
    let free = members.iter().filter(|at| !forced(at));
    let family_twice = free.clone().any(|at| {
        picks[*at].family.is_some()
            && members
                .iter()
                .any(|other| other != at && picks[*other].family == picks[*at].family)
    });
    let seconds: i64 = members.iter().map(|at| picks[*at].seconds).sum();
    let fits = count(members.len()) <= room.items && seconds <= room.seconds;
    every_forced && !family_twice && (fits || free.count() == 0)
}

fn value(picks: &[Pick], needs: &[Need], members: &[usize]) -> i64 {
    let mut value = 0;
    for (domain, need) in needs.iter().enumerate() {
        let mut weights: Vec<i64> = members
            .iter()
            .map(|at| picks[*at].weights[domain])
            .collect();
        weights.sort_unstable_by_key(|weight| Reverse(*weight));
        weights.resize(weights.len().max(3), 0);
        value += need.weight * (4 * weights[0] + 2 * weights[1] + weights[2]);
    }
    value
}

fn score(
    picks: &[Pick],
    (needs, ends): (&[Need], &[i64]),
    members: &[usize],
    percent: i64,
) -> (Score, Reverse<Vec<ExerciseId>>) {
    let all: Vec<usize> = (0..picks.len()).collect();
    let step = (value(picks, needs, &all) * percent / 100).max(1);
    let value = value(picks, needs, members);
    let covers = |domain: usize| {
        let mut members = members.iter();
        members.any(|at| picks[*at].weights[domain] >= STANDS_FOR)
    };
    let covered = (0..needs.len()).filter(|domain| covers(*domain));
    let core = covered.map(|domain| needs[domain].core).sum();
    let at_end = |end: usize| -> i64 {
        let members = members.iter();
        let works = members.filter(|at| picks[**at].ends[end] == YesNo::Yes);
        works.map(|at| picks[*at].seconds).sum()
    };
    let worked = (0..ends.len()).filter(|end| at_end(*end) > 0).count();
    let stay = members.iter().filter(|at| picks[**at].stays == YesNo::Yes);
    let at_ends = (0..ends.len()).map(|end| at_end(end).min(ends[end])).sum();
    let held = (count(worked + stay.count()), at_ends);
    let kept = members
        .iter()
        .filter(|at| picks[**at].kept == YesNo::Yes)
        .count();
    let positions: BTreeSet<Position> = members.iter().map(|at| picks[*at].position).collect();
    let seconds = members.iter().map(|at| picks[*at].seconds).sum();
    let ids = members.iter().map(|at| picks[*at].id.clone()).collect();
    (
        (
            held,
            core,
            value / step,
            count(kept),
            value,
            Reverse(count(positions.len())),
            Reverse(seconds),
        ),
        Reverse(ids),
    )
}

fn by_trying_all(
    picks: &[Pick],
    wanted: (&[Need], &[i64]),
    room: Room,
    percent: i64,
) -> Vec<usize> {
    (0_u32..1 << picks.len())
        .map(|bits| {
            (0..picks.len())
                .filter(|at| bits >> at & 1 == 1)
                .collect::<Vec<usize>>()
        })
        .filter(|members| allowed(picks, room, members))
        .max_by_key(|members| score(picks, wanted, members, percent))
        .unwrap_or_default()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]
    #[test]
    fn the_search_finds_the_best_set(
        picks in picks(),
        needs in needs(),
        ends in prop::collection::vec(0_i64..500, 2),
        items in 1_i64..=8,
        seconds in 1_i64..3600,
        percent in 1_i64..=60,
    ) {
        let room = Room { items, seconds };
        let alike = Percent::new(percent).unwrap();
        prop_assert_eq!(
            best(&picks, Wanted { needs: &needs, ends: &ends }, room, alike).members,
            by_trying_all(&picks, (&needs, &ends), room, percent)
        );
    }
}

#[test]
fn what_serves_a_core_domain_by_the_way_does_not_cover_it() {
    let pick = |id: &str, weights: [i64; 2]| Pick {
        id: ExerciseId::new(id).unwrap(),
        weights: weights.to_vec(),
        family: None,
        position: Position::ALL[0],
        seconds: 60,
        ends: Vec::new(),
        stays: YesNo::No,
        kept: YesNo::No,
        forced: YesNo::No,
    };
    let picks = [pick("by-the-way", [3, 1]), pick("stands-for", [0, 2])];
    let alike = Percent::new(10).unwrap();
    let need = |weight, core| Need { weight, core };
    let needs = [need(7, 0), need(1, 1)];
    let room = |items| Room {
        items,
        seconds: 600,
    };
    assert_eq!(best(&picks, only(&needs), room(1), alike).members, [1]);
    let plain = [need(7, 0), need(1, 0)];
    assert_eq!(best(&picks, only(&plain), room(1), alike).members, [0]);
}

#[test]
fn no_candidates_is_an_empty_sheet() {
    let room = Room {
        items: 6,
        seconds: 2700,
    };
    assert!(
        best(&[], only(&[]), room, Percent::new(10).unwrap())
            .members
            .is_empty()
    );
}

#[test]
fn what_is_known_stays_while_something_else_serves_hardly_better() {
    let pick = |id: &str, weight: i64, kept: YesNo| Pick {
        id: ExerciseId::new(id).unwrap(),
        weights: vec![weight],
        family: None,
        position: Position::ALL[0],
        seconds: 60,
        ends: Vec::new(),
        stays: YesNo::No,
        kept,
        forced: YesNo::No,
    };
    let picks = [pick("known", 2, YesNo::Yes), pick("new", 3, YesNo::No)];
    let needs = [Need { weight: 1, core: 1 }];
    let room = Room {
        items: 1,
        seconds: 600,
    };
    // All together serve 4 x 3 + 2 x 2 = 16; the known one alone 8, the new one 12.
    let chosen = |percent| best(&picks, only(&needs), room, Percent::new(percent).unwrap()).members;
    assert_eq!(chosen(50), [0], "8 and 12 lie in the same step of 8");
    assert_eq!(chosen(25), [1], "8 and 12 lie a step of 4 apart");
}

#[test]
fn work_for_a_stiff_joint_comes_before_core_domains_and_keeps_its_minutes() {
    let pick = |id: &str, weight: i64, seconds, at_end| Pick {
        id: ExerciseId::new(id).unwrap(),
        weights: vec![weight],
        family: None,
        position: Position::ALL[0],
        seconds,
        ends: vec![yes_no(at_end)],
        stays: YesNo::No,
        kept: YesNo::No,
        forced: YesNo::No,
    };
    let picks = [
        pick("core", 3, 60, false),
        pick("short", 0, 60, true),
        pick("long", 0, 120, true),
    ];
    let needs = [Need { weight: 1, core: 1 }];
    let room = |items| Room {
        items,
        seconds: 600,
    };
    let alike = Percent::new(10).unwrap();
    let chosen = |items, before| {
        let wanted = Wanted {
            needs: &needs,
            ends: &[before],
        };
        best(&picks, wanted, room(items), alike).members
    };
    assert_eq!(chosen(1, 0), [1]);
    assert_eq!(chosen(1, 100), [2]);
    assert_eq!(chosen(2, 100), [0, 2]);
    assert_eq!(chosen(2, 150), [1, 2], "the minutes of the last sheet");
}

#[test]
fn what_stays_by_its_own_tests_stays() {
    let pick = |id: &str, weight: i64, stays| Pick {
        id: ExerciseId::new(id).unwrap(),
        weights: vec![weight],
        family: None,
        position: Position::ALL[0],
        seconds: 60,
        ends: Vec::new(),
        stays,
        kept: YesNo::No,
        forced: YesNo::No,
    };
    let picks = [pick("core", 3, YesNo::No), pick("stays", 0, YesNo::Yes)];
    let needs = [Need { weight: 1, core: 1 }];
    let room = Room {
        items: 1,
        seconds: 600,
    };
    let alike = Percent::new(10).unwrap();
    assert_eq!(best(&picks, only(&needs), room, alike).members, [1]);
}
