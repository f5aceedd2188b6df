//! Made-up people as records in memory, and the weeks they live through.

use std::collections::{BTreeMap, BTreeSet};

use banister::domain::correction::{Correction, PutRight};
use banister::domain::ids::{ClinicId, EquipmentId, FlagId, Id, OrderKind, ProcedureId, SurgeonId};
use banister::domain::library::Library;
use banister::domain::order_kind::OrderSays;
use banister::domain::quantity::{Degrees, PainScore, Quantity};
use banister::domain::record::{
    Episode, Issued, IssuedItem, Measured, NextVisit, Order, OrderValue, Pain, Patient, Record,
    Until, Visit,
};
use banister::domain::recorded::Recorded;
use banister::domain::source::Origin;
use banister::domain::time::{OperationDate, VisitDate};
use banister::domain::verdict::{Program, Verdict};
use banister::domain::word::{
    Did, How, LegLift, Morning, Operates, ScreenAnswer, Side, Swelling, WalkingAid, WeightBearing,
    YesNo,
};
use banister::handout::model::Document;
use banister::handout::{Issue, IssueKind};
use chrono::{Days, NaiveDate};

/// What a made-up person answers at one visit.
#[derive(Debug, Clone)]
pub struct Answers {
    pub day: u64,
    pub next_in: u64,
    pub flexion: Option<i64>,
    pub deficit: Option<i64>,
    pub leg_lift: Option<LegLift>,
    pub aid: Option<WalkingAid>,
    pub pain: Option<i64>,
    pub medicine: Option<YesNo>,
    pub morning: Option<Morning>,
    pub swelling: Option<Swelling>,
    pub did: Option<Did>,
    pub flags: Vec<(&'static str, ScreenAnswer)>,
}

impl Answers {
    /// A calm answer on a day.
    pub fn calm(day: u64, flexion: i64) -> Self {
        Self {
            day,
            next_in: 7,
            flexion: Some(flexion),
            deficit: Some(5),
            leg_lift: Some(LegLift::AloneStraight),
            aid: Some(WalkingAid::TwoSticks),
            pain: Some(2),
            medicine: Some(YesNo::Yes),
            morning: Some(Morning::Same),
            swelling: Some(Swelling::Same),
            did: Some(Did::All),
            flags: Vec::new(),
        }
    }
}

/// The operation day of every made-up person.
pub fn operation() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 3, 2).unwrap()
}

fn origin() -> Origin {
    Origin {
        path: "made-up".to_owned(),
        line: 1,
        column: 1,
    }
}

/// A person with a full kit, nothing else wrong, and SURG-A's standing orders.
pub fn person() -> Patient {
    let kit = [
        "bed",
        "chair",
        "chair-arms",
        "footstool",
        "towel",
        "strap",
        "sliding-sheet",
        "worktop",
        "step-10cm",
        "step-15cm",
        "step-20cm",
        "stair-rail",
        "bike",
        "ankle-weight",
        "band",
    ];
    Patient {
        age: Recorded::NotRecorded,
        height_cm: Recorded::NotRecorded,
        conditions: Recorded::Yes(BTreeSet::new()),
        frailty: Recorded::NotRecorded,
        surgeon: Recorded::Yes(SurgeonId::new("SURG-A").unwrap()),
        positions_no: Recorded::Yes(BTreeSet::new()),
        equipment: Recorded::Yes(kit.iter().map(|id| EquipmentId::new(id).unwrap()).collect()),
        home: Recorded::NotRecorded,
        day: Recorded::NotRecorded,
        pain_medicine: Recorded::NotRecorded,
        goal: Recorded::NotRecorded,
    }
}

/// A record without visits.
pub fn record(patient: Patient, side: Side) -> Record {
    Record {
        episode: Episode {
            token: "EX-9001-E1".to_owned(),
            clinic: ClinicId::new("alder-row").unwrap(),
            procedure: ProcedureId::new("knee-total").unwrap(),
            joint: banister::domain::word::Joint::Knee,
            side,
            operation: OperationDate(operation()),
            language: "en".to_owned(),
            needs: Recorded::NotRecorded,
        },
        patient,
        orders: Vec::new(),
        clearances: Vec::new(),
        overrides: Vec::new(),
        corrections: Vec::new(),
        visits: Vec::new(),
    }
}

/// Makes the operation that of a library, with every order it hangs on answered: none is in
/// force but those the record had already.
pub fn had(record: &mut Record, library: &Library) {
    record.episode.procedure = library.procedure.id.clone();
    if library.procedure.operates == Operates::Both {
        record.episode.side = Side::Both;
    }
    for kind in &library.procedure.needs_orders {
        let value = match library.procedure.order_says(kind.as_str()) {
            OrderSays::Bearing => OrderValue::WeightBearing(WeightBearing::AsTolerated),
            OrderSays::Degrees | OrderSays::Stands => OrderValue::NotOrdered,
        };
        record.orders.insert(0, order(3650, kind.as_str(), value));
    }
}

/// Adds a visit with these answers.
pub fn see(library: &Library, record: &mut Record, answers: &Answers) -> VisitDate {
    let date = record.episode.operation.0 + Days::new(answers.day);
    let day = record.day(date);
    let mut screen: BTreeMap<FlagId, ScreenAnswer> = library
        .procedure
        .red_flags
        .iter()
        .filter(|flag| flag.window.holds(day))
        .map(|flag| (flag.id.clone(), ScreenAnswer::No))
        .collect();
    for (flag, answer) in &answers.flags {
        screen.insert(FlagId::new(flag).unwrap(), *answer);
    }
    let degrees = |value: Option<i64>| Recorded::from(value.map(Degrees::nearest));
    let blank_measure = Measured {
        flexion: degrees(answers.flexion),
        extension_deficit: degrees(answers.deficit),
        lag: Recorded::NotRecorded,
        leg_lift: answers.leg_lift.into(),
        walking_aid: answers.aid.into(),
        stance_s: Recorded::Yes(10),
        walk_minutes: Recorded::NotRecorded,
        limp: Recorded::Yes(YesNo::No),
        stairs_practised: Recorded::Yes(YesNo::Yes),
    };
    record.visits.push(Visit {
        n: i64::try_from(record.visits.len()).unwrap() + 1,
        date,
        how: How::Seen,
        by: "PT-1".to_owned(),
        corrects: None,
        screen: Recorded::Yes(screen),
        cleared_for_home_by: Recorded::NotRecorded,
        block_gone: Recorded::Yes(YesNo::Yes),
        did: answers.did.into(),
        measured: blank_measure,
        pain: Pain {
            rest: Recorded::NotRecorded,
            exercise: answers.pain.map(PainScore::nearest).into(),
            medicine_before: answers.medicine.into(),
            morning: answers.morning.into(),
            bad_mornings: Recorded::NotRecorded,
        },
        swelling: answers.swelling.into(),
        next_visit: Recorded::Yes(NextVisit::Date(date + Days::new(answers.next_in))),
        patient: record.patient.clone(),
        done: Vec::new(),
        adjust: Vec::new(),
        phase: None,
        issued: None,
        closed: None,
        kept: None,
        seal: None,
        origin: origin(),
    });
    VisitDate(date)
}

/// Decides the last visit and, when it is a program, closes it with what was issued.
pub fn decide_and_issue(library: &Library, record: &mut Record, date: VisitDate) -> Verdict {
    let verdict = banister::engine::decide(library, record, date);
    let sheets = record
        .visits
        .iter()
        .filter(|visit| visit.issued.is_some())
        .count();
    let sheet = i64::try_from(sheets).unwrap() + 1;
    if let Verdict::Program(program) = &verdict {
        let issued = issued(program, sheet);
        let visit = record.visits.last_mut().unwrap();
        visit.issued = Some(issued);
        visit.seal = Some(String::new());
    }
    verdict
}

fn issued(program: &Program, sheet: i64) -> Issued {
    let all = program
        .items
        .iter()
        .chain(&program.background)
        .chain(&program.daily);
    Issued {
        sheet,
        use_from: program.life.from,
        use_until: program.life.until,
        program: "0".to_owned(),
        library: String::new(),
        clinic_files: String::new(),
        phase: Some(program.phase.clone()),
        items: all
            .map(|item| IssuedItem {
                exercise: item.exercise.clone(),
                rung: item.rung.clone(),
                dose: item.dose.clone(),
                slots: item.slots.clone(),
                may_reach: program.may_reach(item),
            })
            .collect(),
        files: Vec::new(),
        origin: origin(),
    }
}

/// Puts a verdict into words, as an issued first sheet.
pub fn document(library: &Library, record: &Record, verdict: &Verdict) -> Document {
    let issue = Issue {
        sheet: 1,
        replaces: None,
        kind: IssueKind::Issued,
    };
    document_as(library, record, verdict, issue)
}

/// Puts a verdict into words, as some sheet.
pub fn document_as(
    library: &Library,
    record: &Record,
    verdict: &Verdict,
    issue: Issue,
) -> Document {
    let phrases = banister::files::words::load("en").unwrap();
    banister::handout::build(verdict, library, record, &phrases, &issue).unwrap()
}

/// The side put right after the visits that stand now; the record holds the right one already.
pub fn side_put_right(record: &Record) -> Correction {
    Correction {
        what: PutRight::Side {
            was: match record.episode.side {
                Side::Left => Side::Right,
                Side::Right | Side::Both => Side::Left,
            },
            now: record.episode.side,
        },
        because: "Typed wrongly.".to_owned(),
        by: "PT-1".to_owned(),
        on: record.visits.last().map_or(operation(), |visit| visit.date),
        visits: i64::try_from(record.visits.len()).unwrap(),
        origin: origin(),
    }
}

/// An order of the day of the operation that stands for so many days.
pub fn order(days: u64, kind: &str, value: OrderValue) -> Order {
    Order {
        id: None,
        what: OrderKind::new(kind).unwrap(),
        value,
        by: "Mx Example, surgeon".to_owned(),
        on: operation(),
        from: None,
        document: "operation note".to_owned(),
        until: Until::Date(operation() + Days::new(days)),
        replaces: None,
        origin: origin(),
    }
}
