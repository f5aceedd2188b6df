//! The exact search for the best set of exercises.
//!
//! Branch and bound: a branch is dropped only when even its most hopeful score is beaten. Must
//! not know why an exercise is a candidate.

use std::cmp::Reverse;

use crate::domain::ids::{ExerciseId, FamilyId};
use crate::domain::quantity::{Percent, Quantity as _};
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
    /// For each measure past its review line, whether it is work for it.
    pub(crate) ends: Vec<YesNo>,
    /// Stays on the sheet by its own tests.
    pub(crate) stays: YesNo,
    /// On the last sheet.
    pub(crate) kept: YesNo,
    /// The clinician wants it: it is in, whatever the room.
    pub(crate) forced: YesNo,
}

impl Pick {
    fn counts_as_kept(&self) -> i64 {
        one(self.kept)
    }

    /// Returns the seconds a day it works at each measure past its review line.
    fn seconds_at_ends(&self) -> impl Iterator<Item = i64> {
        let seconds = self.seconds;
        self.ends
            .iter()
            .map(move |works| one(*works).saturating_mul(seconds))
    }
}

const fn one(word: YesNo) -> i64 {
    match word {
        YesNo::Yes => 1,
        YesNo::No => 0,
    }
}

/// What a set is held against.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Wanted<'a> {
    pub(crate) needs: &'a [Need],
    /// Seconds a day on the last sheet, for each measure past its review line.
    pub(crate) ends: &'a [i64],
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
///
/// Lines that must stay and measures past their review line that are worked at; seconds a day for
/// those, up to what the last sheet had; core domains; needs in steps of what is alike; exercises
/// kept; needs; positions; seconds.
pub(crate) type Score = ((i64, i64), i64, i64, i64, i64, Reverse<i64>, Reverse<i64>);

/// The three highest weights of one domain.
type Tops = [i64; 3];

/// A set of candidates on its way.
#[derive(Debug, Clone)]
struct Set {
    members: Vec<usize>,
    tops: Vec<Tops>,
    families: Vec<usize>,
    positions: Vec<Position>,
    kept: i64,
    /// Lines that stay by their own tests.
    stay: i64,
    /// Seconds a day for each measure past its review line.
    ends: Vec<i64>,
    seconds: i64,
}

/// The search, and the best set so far.
struct Search<'a> {
    picks: &'a [Pick],
    needs: &'a [Need],
    ends: &'a [i64],
    room: Room,
    /// Needs served that count as one step.
    step: i64,
    /// For each candidate the first one of its family.
    families: Vec<Option<usize>>,
    best: Option<(Score, Reverse<Vec<ExerciseId>>, Vec<usize>)>,
}

/// The best set: its places, in the order of the candidates, and what it is worth.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Best {
    pub(crate) members: Vec<usize>,
    score: Option<Score>,
}

impl Best {
    /// Says whether it serves better than another set, save for order and time.
    pub(crate) fn serves_better(&self, other: &Self) -> bool {
        let served = |best: &Self| {
            best.score
                .map(|(held, core, step, kept, ..)| (held, core, step, kept))
        };
        served(self) > served(other)
    }
}

/// Returns the best set.
///
/// Sets within one step of the needs are alike; a step is so many per cent, rounded down, of what
/// all candidates together would serve.
pub(crate) fn best(picks: &[Pick], wanted: Wanted<'_>, room: Room, alike: Percent) -> Best {
    let Wanted { needs, ends } = wanted;
    let mut all = Set::empty(wanted);
    for (at, pick) in picks.iter().enumerate() {
        all.put(at, pick, None);
    }
    let step = all.value(needs).saturating_mul(alike.get());
    let mut search = Search {
        picks,
        needs,
        ends,
        room,
        step: step.checked_div(100).unwrap_or(0).max(1),
        families: picks.iter().map(|pick| first_of(picks, pick)).collect(),
        best: None,
    };
    let mut start = Set::empty(wanted);
    let mut order = Vec::new();
    for (at, pick) in picks.iter().enumerate() {
        match pick.forced {
            YesNo::Yes => start.put(at, pick, search.family(at)),
            YesNo::No => order.push(at),
        }
    }
    let gain = |at: &usize| picks.get(*at).map_or(0, |pick| start.gain(pick, needs));
    order.sort_by_cached_key(|at| (Reverse(gain(at)), *at));
    search.walk(&order, &start);
    let (score, mut members) = match search.best {
        Some((score, _, members)) => (Some(score), members),
        None => (None, start.members),
    };
    members.sort_unstable();
    Best { members, score }
}

/// Returns the first candidate of the same family.
fn first_of(picks: &[Pick], pick: &Pick) -> Option<usize> {
    let family = pick.family.as_ref()?;
    picks
        .iter()
        .position(|other| other.family.as_ref() == Some(family))
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
    fn empty(wanted: Wanted<'_>) -> Self {
        Self {
            members: Vec::new(),
            tops: vec![[0; 3]; wanted.needs.len()],
            families: Vec::new(),
            positions: Vec::new(),
            kept: 0,
            stay: 0,
            ends: vec![0; wanted.ends.len()],
            seconds: 0,
        }
    }

    fn put(&mut self, at: usize, pick: &Pick, family: Option<usize>) {
        self.members.push(at);
        for (tops, weight) in self.tops.iter_mut().zip(&pick.weights) {
            *tops = with(*tops, *weight);
        }
        self.families.extend(family);
        if !self.positions.contains(&pick.position) {
            self.positions.push(pick.position);
        }
        self.kept = self.kept.saturating_add(pick.counts_as_kept());
        self.stay = self.stay.saturating_add(one(pick.stays));
        for (own, seconds) in self.ends.iter_mut().zip(pick.seconds_at_ends()) {
            *own = own.saturating_add(seconds);
        }
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

    /// Says for each domain whether something in the set stands for it.
    fn covered(&self) -> Vec<bool> {
        self.tops
            .iter()
            .map(|[first, _, _]| *first >= STANDS_FOR)
            .collect()
    }

    fn score(&self, wanted: Wanted<'_>, step: i64) -> Score {
        let value = self.value(wanted.needs);
        let covered = self.covered().into_iter().zip(wanted.needs);
        (
            held(self.stay, &self.ends, wanted.ends),
            covered
                .filter(|(covered, _)| *covered)
                .map(|(_, need)| need.core)
                .fold(0, i64::saturating_add),
            value.checked_div(step).unwrap_or(value),
            self.kept,
            value,
            Reverse(count(self.positions.len())),
            Reverse(self.seconds),
        )
    }
}

/// Returns how many lines that stay and measures past their review line are held, and the seconds
/// a day for those measures, none counted beyond what the last sheet had.
fn held(stay: i64, seconds: &[i64], before: &[i64]) -> (i64, i64) {
    let worked = seconds.iter().filter(|seconds| **seconds > 0).count();
    let up_to = seconds.iter().zip(before);
    let seconds = up_to
        .map(|(own, most)| *own.min(most))
        .fold(0, i64::saturating_add);
    (stay.saturating_add(count(worked)), seconds)
}

impl Search<'_> {
    fn wanted(&self) -> Wanted<'_> {
        Wanted {
            needs: self.needs,
            ends: self.ends,
        }
    }

    fn family(&self, at: usize) -> Option<usize> {
        self.families.get(at).copied().flatten()
    }

    /// Tries every set that holds this one and some of the candidates given.
    fn walk(&mut self, candidates: &[usize], set: &Set) {
        self.keep(set);
        let left = self.room.items.saturating_sub(count(set.members.len()));
        let Ok(left @ 1..) = usize::try_from(left) else {
            return;
        };
        let fitting: Vec<(usize, &Pick)> = candidates
            .iter()
            .filter_map(|at| Some((*at, self.picks.get(*at)?)))
            .filter(|(at, pick)| self.fits(set, *at, pick))
            .collect();
        let places: Vec<usize> = fitting.iter().map(|(at, _)| *at).collect();
        let hopes = self.hopes(&fitting, left, set);
        for (next, ((at, pick), hope)) in (1..).zip(fitting.iter().zip(hopes)) {
            if self.best.as_ref().is_some_and(|(best, _, _)| hope < *best) {
                return;
            }
            let mut with = set.clone();
            with.put(*at, pick, self.family(*at));
            self.walk(places.get(next..).unwrap_or_default(), &with);
        }
    }

    /// Keeps the set when it is better than the best so far.
    fn keep(&mut self, set: &Set) {
        let score = set.score(self.wanted(), self.step);
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

    fn fits(&self, set: &Set, at: usize, pick: &Pick) -> bool {
        let family_taken = self
            .family(at)
            .is_some_and(|family| set.families.contains(&family));
        !family_taken && set.seconds.saturating_add(pick.seconds) <= self.room.seconds
    }

    /// Returns for each candidate what no set can surpass that adds some of it and those after it.
    fn hopes(&self, fitting: &[(usize, &Pick)], left: usize, set: &Set) -> Vec<Score> {
        let (_, mut core, _, kept, value, positions, seconds) = set.score(self.wanted(), self.step);
        let (mut stay, mut ends) = (set.stay, set.ends.clone());
        let mut covered = set.covered();
        let mut highest: Vec<i64> = Vec::with_capacity(left.saturating_add(1));
        let mut more_kept = 0_i64;
        let mut hopes: Vec<Score> = fitting
            .iter()
            .rev()
            .map(|(_, pick)| {
                let gain = set.gain(pick, self.needs);
                let place = highest.partition_point(|higher| *higher >= gain);
                highest.insert(place, gain);
                highest.truncate(left);
                let open = covered.iter_mut().zip(&pick.weights).zip(self.needs);
                for ((covered, weight), need) in open {
                    if !*covered && *weight >= STANDS_FOR {
                        *covered = true;
                        core = core.saturating_add(need.core);
                    }
                }
                more_kept = more_kept.saturating_add(pick.counts_as_kept());
                stay = stay.saturating_add(one(pick.stays));
                for (own, more) in ends.iter_mut().zip(pick.seconds_at_ends()) {
                    *own = own.saturating_add(more);
                }
                let value = highest.iter().copied().fold(value, i64::saturating_add);
                (
                    held(stay, &ends, self.ends),
                    core,
                    value.checked_div(self.step).unwrap_or(value),
                    kept.saturating_add(more_kept.min(count(left))),
                    value,
                    positions,
                    seconds,
                )
            })
            .collect();
        hopes.reverse();
        hopes
    }
}

#[cfg(test)]
#[path = "search_tests.rs"]
mod tests;
