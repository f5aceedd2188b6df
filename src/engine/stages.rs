//! Stage 10 with no next visit: the program goes on by itself in dated stages.
//!
//! Each stage is decided anew with every limit, window and modifier of its own days. Somebody may
//! stay on a stage to the end of the sheet, so a stage's days run from its first to that end.
//! Must not open a stage by date alone, nor bring anything the sheet does not hold today.

use chrono::NaiveDate;

use crate::domain::exercise::Exercise;
use crate::domain::quantity::{PainScore, Quantity};
use crate::domain::time;
use crate::domain::verdict::{Given, LimitInForce, Stage, StageCheck, StageLine, Step, Why};
use crate::domain::word::YesNo;

use super::ahead;
use super::allow;
use super::answer::work_of;
use super::case::Case;
use super::choose::seconds_a_day;
use super::dates::{days_between, later};
use super::dose::{Dosing, FINISH};
use super::gate::Gate;
use super::limit;
use super::log::Log;
use super::modify::Modifiers;
use super::plan::{Day, Planned};
use super::rules::{
    d409_taught, d1001_next_rungs, d1002_loaded_ahead, d1004_stages, d1005_stage_up,
};
use super::search::Room;

/// One line of the program on its way up.
#[derive(Debug, Clone)]
struct Runner<'a> {
    line: &'a Planned<'a>,
    /// Its place in the ladder today.
    base: usize,
    now: Given,
    /// First day of the rung it stands on.
    since: NaiveDate,
    climbs: usize,
    /// Whether its minutes count for the day.
    counts: YesNo,
}

/// One stage's own days, with all that is in force on them.
struct Ahead<'a> {
    case: &'a Case<'a>,
    limits: &'a [LimitInForce],
    modifiers: &'a Modifiers<'a>,
    number: i64,
    check: StageCheck,
}

/// Lists the stages, the program itself first; none when nothing may go up.
pub(crate) fn of(
    case: &Case<'_>,
    gate: &Gate,
    day: &Day<'_>,
    room: Room,
    log: &mut Log,
) -> Vec<Stage> {
    if case.stages < 2 {
        return Vec::new();
    }
    let mut runners = runners(case, day);
    let most = room.seconds.max(seconds(&runners, None));
    let mut stages = vec![Stage {
        from: case.date,
        ring_by: case.life.until,
        check: None,
        lines: runners
            .iter()
            .map(|runner| line(runner, Vec::new()))
            .collect(),
    }];
    for wait in 1..case.stages {
        let number =
            i64::try_from(stages.len()).map_or(i64::MAX, |stages| stages.saturating_add(1));
        stages.extend(next(case, gate, &mut runners, (wait, number, most), log));
    }
    if stages.len() < 2 {
        return Vec::new();
    }
    log.fire(&d1004_stages::RULE);
    stages
}

fn runners<'a>(case: &Case<'_>, day: &'a Day<'a>) -> Vec<Runner<'a>> {
    let groups = [
        (&day.items, YesNo::Yes),
        (&day.background, YesNo::No),
        (&day.daily, YesNo::No),
    ];
    let all = groups
        .into_iter()
        .flat_map(|(lines, counts)| lines.iter().map(move |line| (line, counts)));
    all.filter_map(|(line, counts)| {
        Some(Runner {
            line,
            base: line.dosed.dosing.at(&line.dosed.given)?,
            now: line.dosed.given.clone(),
            since: case.date,
            climbs: 0,
            counts,
        })
    })
    .collect()
}

/// Makes the stage that begins so many stage lengths from today; none when nothing goes up.
fn next(
    case: &Case<'_>,
    gate: &Gate,
    runners: &mut [Runner<'_>],
    (wait, number, most): (i64, i64, i64),
    log: &mut Log,
) -> Option<Stage> {
    let rules = case.settings().stages;
    let from = later(case.date, rules.days.get().saturating_mul(wait));
    let mut here = case.clone();
    here.date = from;
    here.day = case.day_of(from);
    here.life.from = from;
    let check = StageCheck {
        pain_at_most: pain(case, &here, runners)?,
        days_before: rules.days,
    };
    let ahead = Ahead {
        case: &here,
        limits: &limit::in_force(&here, gate, &mut Log::new()),
        modifiers: &Modifiers::gather(&here, gate),
        number,
        check,
    };
    let mut steps: Vec<Vec<Step>> = vec![Vec::new(); runners.len()];
    let mut order: Vec<usize> = (0..runners.len()).collect();
    order.sort_by_key(|at| (runners.get(*at).map(|runner| runner.climbs), *at));
    let mut raised = 0_i64;
    for at in order {
        if raised >= rules.raised_most.get() {
            break;
        }
        let Some((given, took)) = runners.get(at).and_then(|runner| ahead.up(runner, log)) else {
            continue;
        };
        if seconds(runners, Some((at, &given))) > most {
            continue;
        }
        if let (Some(runner), Some(own)) = (runners.get_mut(at), steps.get_mut(at)) {
            runner.now = given;
            runner.since = from;
            runner.climbs = runner.climbs.saturating_add(1);
            *own = took;
            raised = raised.saturating_add(1);
        }
    }
    let ring_by = later(from, rules.days.get().saturating_sub(1)).min(case.life.until);
    let lines = runners.iter().zip(steps);
    (raised > 0).then(|| Stage {
        from,
        ring_by,
        check: Some(check),
        lines: lines.map(|(runner, steps)| line(runner, steps)).collect(),
    })
}

impl Ahead<'_> {
    /// Returns one rung further for a line, when it may be given on every day from the stage on.
    fn up(&self, runner: &Runner<'_>, log: &mut Log) -> Option<(Given, Vec<Step>)> {
        let exercise = runner.line.dosed.dosing.exercise();
        let phase = runner.line.dosed.dosing.phase;
        let mut aside = Log::new();
        let ladder = allow::check(self.case, phase, exercise, None, self.limits, &mut aside);
        let dosing = Dosing {
            case: self.case,
            ladder: &ladder,
            limits: self.limits,
            modifiers: self.modifiers.of(exercise),
            ..runner.line.dosed.dosing
        };
        let at = dosing.at(&runner.now)?.saturating_add(1);
        self.may(&dosing, runner, at, log).then_some(())?;
        let mut working = d1005_stage_up::start(&dosing, runner.now.clone(), at, self.why())?;
        working.run(FINISH, &dosing, &mut Log::new());
        let given = working.given?;
        let as_planned = given.dose.often == runner.now.dose.often
            && given.dose.days_a_week == runner.now.dose.days_a_week
            && given.dose.support == runner.now.dose.support;
        if !as_planned || given.dose == runner.now.dose {
            return None;
        }
        log.fire(&d1005_stage_up::RULE);
        Some((given, working.steps))
    }

    fn why(&self) -> Why {
        Why::StageUp {
            stage: self.number,
            days: self.check.days_before.get(),
            pain_at_most: self.check.pain_at_most,
        }
    }

    /// Says whether nothing stands against a rung from the stage's first day to the sheet's last.
    fn may(&self, dosing: &Dosing<'_>, runner: &Runner<'_>, at: usize, log: &mut Log) -> bool {
        let Some(rung) = dosing.exercise().rungs.get(at) else {
            return false;
        };
        let until = self.case.life.until;
        let waited = days_between(runner.since, self.case.date);
        let taught =
            rung.taught == YesNo::No || d409_taught::given_before(self.case, dosing.exercise(), at);
        d1001_next_rungs::applies(dosing)
            && runner.line.rests_until.is_none()
            && !d1001_next_rungs::enough(dosing, runner.base, runner.climbs)
            && waited >= d1001_next_rungs::wait(dosing, runner.base, at)
            && dosing.ladder.bar.is_none()
            && dosing.ladder.barred_to(at).is_none()
            && dosing.entry(at).is_none()
            && ahead::holds_on(dosing, rung, self.case.date)
            && ahead::holds_on(dosing, rung, until)
            && taught
            && d1002_loaded_ahead::allows(dosing, runner.base, at, log)
    }
}

fn line(runner: &Runner<'_>, steps: Vec<Step>) -> StageLine {
    StageLine {
        exercise: runner.line.dosed.dosing.exercise().id.clone(),
        rung: runner.now.rung.clone(),
        dose: runner.now.dose.clone(),
        steps,
    }
}

/// Returns the seconds of a day, with one line tried at another dose.
fn seconds(runners: &[Runner<'_>], tried: Option<(usize, &Given)>) -> i64 {
    let of = |exercise: &Exercise, given: &Given| seconds_a_day(exercise, &given.dose);
    runners
        .iter()
        .enumerate()
        .filter(|(_, runner)| runner.counts == YesNo::Yes)
        .map(|(at, runner)| {
            let exercise = runner.line.dosed.dosing.exercise();
            match tried {
                Some((line, given)) if line == at => of(exercise, given),
                Some(_) | None => of(exercise, &runner.now),
            }
        })
        .fold(0, i64::saturating_add)
}

/// Returns the pain that is still settled for every line, on every day from today to the stage.
fn pain(case: &Case<'_>, here: &Case<'_>, runners: &[Runner<'_>]) -> Option<PainScore> {
    let bands = &case.procedure().bands;
    let works: Vec<_> = runners
        .iter()
        .map(|runner| {
            let exercise = runner.line.dosed.dosing.exercise();
            work_of(case.library, exercise, &runner.now.rung)
        })
        .collect();
    let days = case.day.get()..=here.day.get();
    days.flat_map(|day| {
        let works = works.iter();
        works.filter_map(move |work| {
            let day = time::Day::new(day);
            let mut known = bands.iter();
            known.find(|band| band.work == *work && band.window.holds(day))
        })
    })
    .map(|band| band.settled)
    .min()
}
