//! The exact search for the best set of exercises.
//!
//! Branch and bound: a branch is dropped only when even its most hopeful score is beaten. Must
//! not know why an exercise is a candidate.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use crate::domain::ids::{ExerciseId, FamilyId};
use crate::domain::word::{Position, YesNo};

use super::need::STANDS_FOR;

/// One candidate.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Pick {
    pub(crate) id: ExerciseId,
    /// Weight for each domain, in the order of the needs; 0 is none.
    pub(crate) weights: Vec<i64>,
    pub(crate) family: Option<FamilyId>,
    pub(crate) position: Position,
    /// Seconds a day.
    pub(crate) seconds: i64,
    /// On the last sheet.
    pub(crate) kept: YesNo,
    /// The clinician wants it: it is in, whatever the room.
    pub(crate) forced: YesNo,
}

/// How much one domain is needed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Need {
    pub(crate) weight: i64,
    /// What covering it is worth before all else; 0 is no core domain.
    pub(crate) core: i64,
}

/// Room on the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Room {
    pub(crate) items: i64,
    /// Seconds a day.
    pub(crate) seconds: i64,
}

/// What a set is worth, first things first; equal scores are told apart by the ids.
pub(crate) type Score = (i64, i64, i64, Reverse<i64>, Reverse<i64>);

/// The three highest weights of one domain.
type Tops = [i64; 3];

/// A set of candidates on its way.
#[derive(Debug, Clone)]
struct Set {
    members: Vec<usize>,
    tops: Vec<Tops>,
    kept: i64,
    positions: BTreeSet<Position>,
    seconds: i64,
}

/// The search: candidates in the order tried, and the best set so far.
struct Search<'a> {
    picks: &'a [Pick],
    needs: &'a [Need],
    room: Room,
    order: Vec<usize>,
    best: Option<(Score, Reverse<Vec<ExerciseId>>, Vec<usize>)>,
}

/// Returns the places of the best set, in the order of the candidates.
pub(crate) fn best(picks: &[Pick], needs: &[Need], room: Room) -> Vec<usize> {
    let mut start = Set {
        members: Vec::new(),
        tops: vec![[0; 3]; needs.len()],
        kept: 0,
        positions: BTreeSet::new(),
        seconds: 0,
    };
    let mut order = Vec::new();
    for (at, pick) in picks.iter().enumerate() {
        match pick.forced {
            YesNo::Yes => start.put(at, pick),
            YesNo::No => order.push(at),
        }
    }
    let gain = |at: &usize| picks.get(*at).map_or(0, |pick| start.gain(pick, needs));
    order.sort_by_key(|at| (Reverse(gain(at)), *at));
    let mut search = Search {
        picks,
        needs,
        room,
        order,
        best: None,
    };
    search.walk(0, &start);
    let mut members = search.best.map_or(start.members, |(_, _, members)| members);
    members.sort_unstable();
    members
}

/// Returns what the three highest weights of one domain are worth.
fn worth(tops: Tops, need: i64) -> i64 {
    let [first, second, third] = tops;
    let sum = first
        .saturating_mul(4)
        .saturating_add(second.saturating_mul(2))
        .saturating_add(third);
    sum.saturating_mul(need)
}

/// Returns the three highest weights with one more.
fn with(tops: Tops, weight: i64) -> Tops {
    let [first, second, third] = tops;
    if weight > first {
        [weight, first, second]
    } else if weight > second {
        [first, weight, second]
    } else if weight > third {
        [first, second, weight]
    } else {
        tops
    }
}

fn count(length: usize) -> i64 {
    i64::try_from(length).unwrap_or(i64::MAX)
}

impl Set {
    fn put(&mut self, at: usize, pick: &Pick) {
        self.members.push(at);
        for (tops, weight) in self.tops.iter_mut().zip(&pick.weights) {
            *tops = with(*tops, *weight);
        }
        self.kept = self.kept.saturating_add(match pick.kept {
            YesNo::Yes => 1,
            YesNo::No => 0,
        });
        self.positions.insert(pick.position);
        self.seconds = self.seconds.saturating_add(pick.seconds);
    }

    /// Returns what one more candidate would add to the needs served; it never grows later.
    fn gain(&self, pick: &Pick, needs: &[Need]) -> i64 {
        self.tops
            .iter()
            .zip(&pick.weights)
            .zip(needs)
            .map(|((tops, weight), need)| {
                worth(with(*tops, *weight), need.weight).saturating_sub(worth(*tops, need.weight))
            })
            .fold(0, i64::saturating_add)
    }

    fn value(&self, needs: &[Need]) -> i64 {
        self.tops
            .iter()
            .zip(needs)
            .map(|(tops, need)| worth(*tops, need.weight))
            .fold(0, i64::saturating_add)
    }

    /// Adds up the core domains that something stands for, in the set or among more candidates.
    fn core<'p>(&self, more: &(impl Iterator<Item = &'p Pick> + Clone), needs: &[Need]) -> i64 {
        let stands_for = |weight: Option<&i64>| weight.is_some_and(|weight| *weight >= STANDS_FOR);
        self.tops
            .iter()
            .zip(needs)
            .enumerate()
            .filter(|(domain, ([first, _, _], _))| {
                let by_more = || {
                    more.clone()
                        .any(|pick| stands_for(pick.weights.get(*domain)))
                };
                stands_for(Some(first)) || by_more()
            })
            .map(|(_, (_, need))| need.core)
            .fold(0, i64::saturating_add)
    }

    fn score(&self, needs: &[Need]) -> Score {
        (
            self.core(&std::iter::empty(), needs),
            self.value(needs),
            self.kept,
            Reverse(count(self.positions.len())),
            Reverse(self.seconds),
        )
    }
}

impl Search<'_> {
    fn walk(&mut self, next: usize, set: &Set) {
        self.keep(set);
        let left = self.room.items.saturating_sub(count(set.members.len()));
        if left <= 0 {
            return;
        }
        for place in next..self.order.len() {
            if self.beaten(place, left, set) {
                return;
            }
            let found = self
                .order
                .get(place)
                .and_then(|at| Some((*at, self.picks.get(*at)?)));
            let Some((at, pick)) = found else {
                continue;
            };
            if self.fits(set, pick) {
                let mut with = set.clone();
                with.put(at, pick);
                self.walk(place.saturating_add(1), &with);
            }
        }
    }

    /// Keeps the set when it is better than the best so far.
    fn keep(&mut self, set: &Set) {
        let score = set.score(self.needs);
        let better = match &self.best {
            None => true,
            Some((best, ids, _)) => {
                score > *best || (score == *best && Reverse(self.ids(set)) > *ids)
            }
        };
        if better {
            self.best = Some((score, Reverse(self.ids(set)), set.members.clone()));
        }
    }

    fn ids(&self, set: &Set) -> Vec<ExerciseId> {
        let mut ids: Vec<ExerciseId> = set
            .members
            .iter()
            .filter_map(|at| self.picks.get(*at).map(|pick| pick.id.clone()))
            .collect();
        ids.sort();
        ids
    }

    fn fits(&self, set: &Set, pick: &Pick) -> bool {
        let family_taken = pick.family.is_some()
            && set
                .members
                .iter()
                .filter_map(|at| self.picks.get(*at))
                .any(|member| member.family == pick.family);
        !family_taken && set.seconds.saturating_add(pick.seconds) <= self.room.seconds
    }

    /// Says whether even the most hopeful end of this branch is worse than the best so far.
    fn beaten(&self, place: usize, left: i64, set: &Set) -> bool {
        let Some((best, _, _)) = &self.best else {
            return false;
        };
        let rest = self
            .order
            .iter()
            .skip(place)
            .filter_map(|at| self.picks.get(*at))
            .filter(|pick| self.fits(set, pick));
        let room = usize::try_from(left).unwrap_or(usize::MAX);
        let mut gains: Vec<i64> = rest
            .clone()
            .map(|pick| set.gain(pick, self.needs))
            .collect();
        gains.sort_unstable_by_key(|gain| Reverse(*gain));
        let more = gains
            .iter()
            .take(room)
            .copied()
            .fold(0, i64::saturating_add);
        let kept = rest.clone().filter(|pick| pick.kept == YesNo::Yes).count();
        let hopeful: Score = (
            set.core(&rest, self.needs),
            set.value(self.needs).saturating_add(more),
            set.kept.saturating_add(count(kept.min(room))),
            Reverse(count(set.positions.len())),
            Reverse(set.seconds),
        );
        hopeful < *best
    }
}

#[cfg(test)]
#[path = "search_tests.rs"]
mod tests;
