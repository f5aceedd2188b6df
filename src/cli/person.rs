//! The person and the visit, from flags to typed values.
//!
//! A flag not given stays "not recorded". Next: `append` puts them into a record.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::domain::fact::FactValue;
use crate::domain::ids::{ConditionId, ExerciseId, FlagId, Id};
use crate::domain::library::Library;
use crate::domain::procedure::RedFlag;
use crate::domain::quantity::{Degrees, Frailty, Quantity};
use crate::domain::record::{
    Done, Home, LiftAndLag, Measured, NextVisit, Pain, Patient, PatientDay, PhaseSet, Visit,
};
use crate::domain::recorded::Recorded;
use crate::domain::word::{Fact, How, LegLift, ScreenAnswer, Seen, Word};

use super::args::{PatientArgs, VisitArgs};
use super::typed::{Typed, listed};

/// Takes the person from the flags.
pub fn patient(typed: &mut Typed, args: &PatientArgs) -> Patient {
    Patient {
        age: typed.number("age", args.age),
        height_cm: typed.number("height-cm", args.height_cm),
        conditions: typed.id_list("conditions", args.conditions.as_ref()),
        frailty: typed.number("frailty", args.frailty),
        surgeon: args
            .surgeon
            .as_ref()
            .and_then(|text| typed.id("surgeon", text))
            .into(),
        positions_no: typed.word_list("positions-no", args.positions_no.as_ref()),
        equipment: typed.id_list("equipment", args.equipment.as_ref()),
        home: home(typed, args),
        day: day(typed, args),
        pain_medicine: typed.maybe_word("pain-medicine", args.pain_medicine.as_ref()),
        goal: typed.maybe_line("goal", args.goal.as_ref()),
    }
}

fn home(typed: &mut Typed, args: &PatientArgs) -> Recorded<Home> {
    let home = Home {
        alone: typed.maybe_word("alone", args.alone.as_ref()),
        stairs: typed.maybe_word("stairs", args.stairs.as_ref()),
        bed: typed.maybe_word("bed", args.bed.as_ref()),
        floor_safe: typed.maybe_word("floor-safe", args.floor_safe.as_ref()),
    };
    let answers = [&home.alone, &home.stairs, &home.bed, &home.floor_safe];
    let any = answers.iter().any(|answer| answer.is_recorded());
    if any {
        Recorded::Yes(home)
    } else {
        Recorded::NotRecorded
    }
}

fn day(typed: &mut Typed, args: &PatientArgs) -> Recorded<PatientDay> {
    let minutes = typed.number("minutes", args.minutes);
    let slots = typed.word_list("slots", args.slots.as_ref());
    match slots {
        Recorded::Yes(slots) if slots.is_empty() => {
            typed.slip("--slots needs at least one slot".to_owned());
            Recorded::NotRecorded
        }
        Recorded::Yes(slots) => Recorded::Yes(PatientDay {
            slots: slots.into_iter().collect(),
            minutes,
        }),
        Recorded::NotRecorded => {
            if minutes.is_recorded() {
                typed.slip("--minutes goes with --slots".to_owned());
            }
            Recorded::NotRecorded
        }
    }
}

/// Takes the screen: every flag asked is "no" unless named; nothing typed is not asked. Those that
/// are asked of other people may be named, and are blank otherwise.
pub fn screen(
    typed: &mut Typed,
    args: &VisitArgs,
    asked: &[&RedFlag],
    others: &[&RedFlag],
) -> Recorded<BTreeMap<FlagId, ScreenAnswer>> {
    let Some(texts) = args.screen.as_ref() else {
        return Recorded::NotRecorded;
    };
    let mut answers: BTreeMap<FlagId, ScreenAnswer> = asked
        .iter()
        .map(|flag| (flag.id.clone(), ScreenAnswer::No))
        .collect();
    let mut named = BTreeSet::new();
    for text in listed(texts) {
        let Some((flag, answer)) = typed.pair("screen", text, "`none` or such as calf=yes") else {
            continue;
        };
        let all = || asked.iter().chain(others).map(|each| &each.id);
        let Some(known) = all().find(|known| known.as_str() == flag) else {
            let known: Vec<&str> = all().map(FlagId::as_str).collect();
            typed.unknown("screen", flag, &known);
            continue;
        };
        if !named.insert(known.clone()) {
            typed.slip(format!("--screen answers {flag} twice"));
        }
        if let Recorded::Yes(answer) = typed.word::<ScreenAnswer>("screen", answer) {
            answers.insert(known.clone(), answer);
        }
    }
    Recorded::Yes(answers)
}

/// Says what does not fit of how the leg lifts and its lag, if anything; both are named.
pub fn lift_and_lag(library: &Library, lift: LegLift, lag: Degrees) -> Option<String> {
    let error = library.procedure.settings.bounds.angle_error;
    let found = LiftAndLag::of(lift, lag, error)?;
    let why = match found {
        LiftAndLag::StraightWithLag => format!(
            "a leg that lifts straight has no lag above {}: alone-lag, or another lag",
            error.get()
        ),
        LiftAndLag::LagOfNothing => {
            "a leg that lifts with a lag has one: alone-straight, or another lag".to_owned()
        }
        LiftAndLag::NotByItself => {
            "lag is measured on a leg that lifts by itself: leave it out, or say alone-lag"
                .to_owned()
        }
    };
    Some(format!(
        "leg lift {lift} and lag {} cannot both be: {why}",
        lag.get()
    ))
}

/// Says which condition a judged frailty is that is not among those named, if any.
pub fn frailty_unnamed(
    library: &Library,
    frailty: Recorded<Frailty>,
    conditions: Recorded<&BTreeSet<ConditionId>>,
) -> Option<String> {
    let frailty = frailty.known()?;
    let named = |id: &ConditionId| conditions.known().is_some_and(|all| all.contains(id));
    let mut frail = library.procedure.frail_from.iter();
    let (id, from) = frail.find(|(id, from)| frailty >= **from && !named(id))?;
    Some(format!(
        "frailty {} counts as {id} from {} on: name {id} among --conditions, or judge it again",
        frailty.get(),
        from.get()
    ))
}

/// Names the sign that a leg lift measured now is, when it was answered no: the leg lifted at the
/// latest of the earlier visits after the operation that looked, and now does not.
pub fn lost_but_denied(
    library: &Library,
    earlier: &[&Visit],
    lift: LegLift,
    denied: impl Fn(&FlagId) -> bool,
) -> Option<String> {
    let lifts = |lift: LegLift| FactValue::Word(lift.as_str().to_owned());
    let mut looked = earlier.iter();
    let (before, on) = looked.find_map(|visit| {
        let lift = visit.measured.leg_lift.known()?;
        Some((lift, visit.date))
    })?;
    let lost = |flag: &&RedFlag| {
        let mut was = flag.only_if_before.iter();
        was.any(|was| {
            was.fact == Fact::LegLift && was.passes(&lifts(before)) && !was.passes(&lifts(lift))
        })
    };
    let mut flags = library.procedure.red_flags.iter().filter(lost);
    let flag = flags.find(|flag| denied(&flag.id))?;
    Some(format!(
        "leg lift {lift} now and {before} on {on}: that is the sign {}, answered no. Answer it \
         yes, or known once it was assessed",
        flag.id
    ))
}

/// Takes what was measured.
pub fn measured(typed: &mut Typed, args: &VisitArgs) -> Measured {
    Measured {
        flexion: typed.number("flexion", args.flexion),
        extension_deficit: typed.number("extension-deficit", args.extension_deficit),
        lag: typed.number("lag", args.lag),
        leg_lift: typed.maybe_word("leg-lift", args.leg_lift.as_ref()),
        walking_aid: typed.maybe_word("walking-aid", args.walking_aid.as_ref()),
        stance_s: args.stance_s.into(),
        walk_minutes: typed.number("walk-minutes", args.walk_minutes),
        limp: typed.maybe_word("limp", args.limp.as_ref()),
        stairs_practised: typed.maybe_word("stairs-practised", args.stairs_practised.as_ref()),
    }
}

/// Takes the pain and what goes with it.
pub fn pain(typed: &mut Typed, args: &VisitArgs) -> Pain {
    Pain {
        rest: typed.number("pain-rest", args.pain_rest),
        exercise: typed.number("pain", args.pain),
        medicine_before: typed.maybe_word("medicine-before", args.medicine_before.as_ref()),
        morning: typed.maybe_word("morning", args.morning.as_ref()),
        bad_mornings: args.bad_mornings.into(),
    }
}

/// Takes the next visit.
pub fn next_visit(typed: &mut Typed, args: &VisitArgs) -> Recorded<NextVisit> {
    let Some(text) = args.next_visit.as_ref() else {
        return Recorded::NotRecorded;
    };
    match (text.as_str(), text.parse::<NaiveDate>()) {
        ("none", _) => Recorded::Yes(NextVisit::None),
        ("unknown", _) => Recorded::Yes(NextVisit::Unknown),
        (_, Ok(date)) => Recorded::Yes(NextVisit::Date(date)),
        (_, Err(_)) => {
            typed.slip(format!(
                "--next-visit takes a date such as 2026-03-11, `none` or `unknown`, not `{text}`"
            ));
            Recorded::NotRecorded
        }
    }
}

/// Takes the clinician's word on the phase.
pub fn phase(typed: &mut Typed, args: &VisitArgs, by: &str) -> Option<PhaseSet> {
    let text = args.phase.as_ref()?;
    let Some(because) = args.because.as_ref() else {
        typed.slip("--phase needs its reason: --because".to_owned());
        return None;
    };
    let because = typed.line("because", because);
    let id = typed.id("phase", text)?;
    Some(PhaseSet {
        id,
        because: because?,
        by: by.to_owned(),
    })
}

/// Takes what was really done, exercise by exercise.
pub fn done(typed: &mut Typed, args: &VisitArgs) -> Vec<Done> {
    let mut rows = BTreeMap::new();
    let seen = [
        ("seen", &args.seen, Seen::Yes),
        ("corrected", &args.corrected, Seen::Corrected),
        ("not-well", &args.not_well, Seen::No),
    ];
    for (flag, texts, word) in seen {
        for text in texts.iter().flat_map(|texts| listed(texts)) {
            if let Some(row) = row(typed, &mut rows, flag, text) {
                row.seen = Recorded::Yes(word);
            }
        }
    }
    for text in args.done.iter().flatten() {
        let Some((name, value)) = typed.pair("done", text, "such as quad-set=18/21") else {
            continue;
        };
        let counts = value.split_once('/').and_then(|(done, asked)| {
            Some((done.parse::<i64>().ok()?, asked.parse::<i64>().ok()?))
        });
        let Some((times, asked)) = counts.filter(|(done, asked)| *done >= 0 && *asked > 0) else {
            typed.slip(format!("--done takes such as quad-set=18/21, not `{text}`"));
            continue;
        };
        if let Some(row) = row(typed, &mut rows, "done", name) {
            row.done = Recorded::Yes(times);
            row.asked = Recorded::Yes(asked);
        }
    }
    for text in args.felt.iter().flatten() {
        let Some((name, value)) = typed.pair("felt", text, "such as chair-bend=6") else {
            continue;
        };
        let Ok(score) = value.parse::<i64>() else {
            typed.slip(format!("--felt takes such as chair-bend=6, not `{text}`"));
            continue;
        };
        let score = typed.number("felt", Some(score));
        if let Some(row) = row(typed, &mut rows, "felt", name) {
            row.during = score;
        }
    }
    for text in args.well_at.iter().flatten() {
        let Some((name, value)) = typed.pair("well-at", text, "such as sit-to-stand=r4") else {
            continue;
        };
        let rung = typed.id("well-at", value);
        if let Some(row) = row(typed, &mut rows, "well-at", name) {
            row.well_at = rung.into();
        }
    }
    rows.into_values().collect()
}

fn row<'a>(
    typed: &mut Typed,
    rows: &'a mut BTreeMap<ExerciseId, Done>,
    flag: &str,
    name: &str,
) -> Option<&'a mut Done> {
    let exercise: ExerciseId = typed.id(flag, name)?;
    Some(rows.entry(exercise.clone()).or_insert(Done {
        exercise,
        done: Recorded::NotRecorded,
        asked: Recorded::NotRecorded,
        seen: Recorded::NotRecorded,
        well_at: Recorded::NotRecorded,
        during: Recorded::NotRecorded,
        morning: Recorded::NotRecorded,
    }))
}

/// Takes how a visit was held.
pub fn how(args: &VisitArgs) -> How {
    if args.phone { How::Phone } else { How::Seen }
}
