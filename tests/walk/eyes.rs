//! The checker's own reading of what is in force and what an exercise asks for.
//!
//! Written from the files' own words, not through the engine: a slip there must not be made here.

use std::collections::BTreeSet;

use banister::domain::exercise::{Demand, Exercise, Peak, Rung};
use banister::domain::fact::FactValue;
use banister::domain::ids::{ConditionId, FlagId, Id as _, OrderKind};
use banister::domain::library::Library;
use banister::domain::limit::{Condition, Kinds, Limit, LimitDegrees, LimitRule, LimitSpan, When};
use banister::domain::order_kind::WEIGHT_BEARING;
use banister::domain::procedure::RedFlag;
use banister::domain::quantity::Quantity;
use banister::domain::record::{Order, OrderValue, Record, Until, Visit};
use banister::domain::recorded::Recorded;
use banister::domain::time::{Day, Window};
use banister::domain::verdict::Program;
use banister::domain::word::{
    Fact, KnownFlag, MissingRule, Mode, ScreenAnswer, WeightBearing, Word,
};
use chrono::NaiveDate;

/// A record, the visit decided and the program made for it.
#[derive(Clone, Copy)]
pub struct Scene<'a> {
    pub library: &'a Library,
    pub record: &'a Record,
    pub visit: &'a Visit,
    pub program: &'a Program,
}

/// A limit in force, and where its motion stops.
pub struct Stands<'a> {
    pub limit: &'a Limit,
    pub stop: i64,
}

impl<'a> Scene<'a> {
    /// Every day of the sheet.
    fn days(&self) -> impl Iterator<Item = NaiveDate> + use<> {
        let life = self.program.life;
        life.from
            .iter_days()
            .take_while(move |day| *day <= life.until)
    }

    fn in_window(&self, window: Window) -> bool {
        self.days().any(|date| window.holds(self.record.day(date)))
    }

    /// The record's own orders of a kind that run on a date; none at all when the record is silent.
    ///
    /// Struck out one by one: what another one replaces, what was asked and has its answer, what
    /// is lifted. The words of the format, not the engine's way.
    fn own_on(&self, date: NaiveDate, kind: &OrderKind) -> Option<Vec<&'a Order>> {
        let runs = |order: &Order| {
            let begun = order.from.is_none_or(|from| from <= date) && order.on <= date;
            begun && !matches!(order.until, Until::Date(last) if last < date)
        };
        let known: Vec<(usize, &Order)> = self
            .record
            .orders
            .iter()
            .enumerate()
            .filter(|(_, order)| order.what == *kind && order.on <= self.visit.date)
            .collect();
        let begun = |order: &Order| order.from.is_none_or(|from| from <= date) && order.on <= date;
        let mut left: Vec<(usize, &Order)> = known.iter().copied().filter(|o| runs(o.1)).collect();
        let lifts = |order: &Order| order.value == OrderValue::NotOrdered;
        for (place, taker) in known.iter().filter(|(_, taker)| begun(taker)) {
            left.retain(|(at, order)| {
                let named = taker.replaces.is_some() && taker.replaces == order.id;
                let open = taker.replaces.is_none() || named;
                let after = taker.on > order.on || (taker.on == order.on && place > at);
                let answered =
                    order.until == Until::Asked && lifts(taker) && place > at && after && open;
                let lifted = lifts(taker) && runs(taker) && after && open;
                let replaced = named && !lifts(taker);
                place == at || !(answered || lifted || replaced)
            });
        }
        let said = !left.is_empty();
        let standing = left.into_iter().map(|(_, order)| order);
        said.then(|| standing.filter(|order| !lifts(order)).collect())
    }

    /// Orders of a kind that stand on a date: the record's own, else the surgeon's standing one.
    fn orders_on(&self, date: NaiveDate, kind: &OrderKind) -> Vec<&'a Order> {
        if let Some(own) = self.own_on(date, kind) {
            return own;
        }
        let Recorded::Yes(surgeon) = &self.visit.patient.surgeon else {
            return Vec::new();
        };
        let sets = self.library.clinic.standing_orders.iter();
        let orders = sets
            .filter(|set| set.surgeon == *surgeon)
            .filter(|set| set.procedure == self.library.procedure.id)
            .flat_map(|set| &set.orders);
        let day = self.record.day(date);
        let standing = orders.filter(|(window, order)| window.holds(day) && order.what == *kind);
        let standing = standing.max_by_key(|(window, _)| window.from);
        standing.map(|(_, order)| order).into_iter().collect()
    }

    fn of_kind(&self, kind: &OrderKind) -> Vec<&'a Order> {
        self.days()
            .flat_map(|date| self.orders_on(date, kind))
            .collect()
    }

    /// Says whether a profile counts on a date: picked last, else usual, else none is usual.
    fn profile_on(&self, profile: &OrderKind, date: NaiveDate) -> bool {
        let procedure = &self.library.procedure;
        let names = procedure.profiles.iter().map(|row| &row.id);
        let latest = |name| {
            let given = self.orders_on(date, name).into_iter();
            given.max_by_key(|order| order.on)
        };
        let picks = names.filter_map(latest);
        let (own, of_clinic): (Vec<_>, Vec<_>) =
            picks.partition(|order| self.record.orders.contains(order));
        let latest = own.iter().map(|order| order.on).max();
        let own: Vec<_> = own
            .into_iter()
            .filter(|order| Some(order.on) == latest)
            .collect();
        let picked = if own.is_empty() { of_clinic } else { own };
        let usual = procedure.default_profile.as_ref();
        if picked.is_empty() {
            usual.is_none_or(|usual| usual == profile)
        } else {
            picked.iter().any(|order| order.what == *profile)
        }
    }

    /// Names an order an exercise waits for that does not stand, with an end that is known, on every day.
    pub fn not_allowed(&self, exercise: &Exercise) -> Option<OrderKind> {
        let stands = |kind: &OrderKind| {
            self.days().all(|date| {
                let given = self.orders_on(date, kind);
                !given.is_empty() && given.iter().all(|order| order.until != Until::Asked)
            })
        };
        let mut needed = exercise.needs_orders.iter();
        needed.find(|kind| !stands(kind)).cloned()
    }

    fn bearing_on(&self, date: NaiveDate) -> Option<WeightBearing> {
        let kind = OrderKind::new(WEIGHT_BEARING).ok()?;
        let given = self.orders_on(date, &kind).into_iter();
        let bears = given.filter_map(|order| match order.value {
            OrderValue::WeightBearing(bearing) => Some(bearing),
            OrderValue::Degrees(_) | OrderValue::Stands | OrderValue::NotOrdered => None,
        });
        bears.max()
    }

    fn has(&self, condition: &ConditionId) -> bool {
        matches!(&self.visit.patient.conditions, Recorded::Yes(all) if all.contains(condition))
    }

    /// The answer of the screen to one flag.
    pub fn screened(&self, flag: &FlagId) -> Option<ScreenAnswer> {
        match &self.visit.screen {
            Recorded::Yes(screen) => screen.get(flag).copied(),
            Recorded::NotRecorded => None,
        }
    }

    fn flag_narrows(&self, id: &FlagId) -> bool {
        let Some(flag) = self.library.procedure.red_flag(id) else {
            return false;
        };
        match self.screened(id) {
            Some(ScreenAnswer::Yes) => true,
            Some(ScreenAnswer::Known) => match flag.known {
                KnownFlag::KeepLimits => true,
                KnownFlag::KeepUntilAssessed => {
                    !assessed(self.library, self.record, self.visit, flag)
                }
                KnownFlag::Lift => false,
            },
            Some(ScreenAnswer::No) | None => false,
        }
    }

    /// A fact on a date, as the record has it; others as the decision found them.
    fn fact_on(&self, fact: Fact, date: NaiveDate) -> Option<FactValue> {
        match fact {
            Fact::Day => Some(FactValue::Number(self.record.day(date).get())),
            Fact::WeightBearing => self
                .bearing_on(date)
                .map(|bearing| FactValue::Word(bearing.as_str().to_owned())),
            Fact::BlockGone => match self.visit.block_gone {
                Recorded::Yes(gone) => Some(FactValue::Word(gone.as_str().to_owned())),
                Recorded::NotRecorded => self.found(fact),
            },
            _ => self.found(fact),
        }
    }

    fn found(&self, fact: Fact) -> Option<FactValue> {
        self.program
            .facts
            .0
            .get(&fact)
            .map(|dated| dated.value.clone())
    }

    fn blank_passes(&self, fact: Fact, day: Day) -> bool {
        let rows = &self.library.procedure.missing;
        let row = rows
            .iter()
            .find(|row| row.fact == fact && row.window.holds(day));
        row.is_some_and(|row| row.then == MissingRule::Pass)
    }

    /// Says whether what brings a rule into force is known to hold on any day of the sheet.
    pub fn holds(&self, when: &When) -> bool {
        match when {
            When::Always => true,
            When::Order(kind) => !self.of_kind(kind).is_empty(),
            When::Condition(id) => self.has(id),
            When::Flag(id) => self.flag_narrows(id),
            When::Raised(id) => {
                self.screened(id) == Some(ScreenAnswer::Yes) && self.flag_narrows(id)
            }
            When::Fact(test) => self.days().any(|date| {
                self.fact_on(test.fact, date)
                    .is_some_and(|value| test.passes(&value))
            }),
        }
    }

    /// Says whether a fact that must be known to lift a limit is not recorded.
    fn unknown(&self, when: &When) -> bool {
        let When::Fact(test) = when else {
            return false;
        };
        self.days().any(|date| {
            self.fact_on(test.fact, date).is_none()
                && !self.blank_passes(test.fact, self.record.day(date))
        })
    }

    /// Lists the limits that stand on any day of the sheet; what nobody knows stands.
    pub fn limits(&self) -> Vec<Stands<'a>> {
        let library = self.library;
        let mut found = Vec::new();
        for limit in &library.procedure.limits {
            let in_time = match limit.span {
                LimitSpan::Days(window) => self.in_window(window),
                LimitSpan::Order => true,
            };
            let own = limit.profile.as_ref();
            let profile = own.is_none_or(|own| self.days().any(|date| self.profile_on(own, date)));
            let unknown = self.unknown(&limit.when) && !matches!(limit.span, LimitSpan::Order);
            if in_time && profile && (self.holds(&limit.when) || unknown) {
                found.push(Stands {
                    limit,
                    stop: self.stop(limit),
                });
            }
        }
        found
    }

    fn stop(&self, limit: &Limit) -> i64 {
        let LimitRule::Motion {
            degrees, margin, ..
        } = &limit.rule
        else {
            return i64::MAX;
        };
        let most = match (degrees, &limit.when) {
            (LimitDegrees::Fixed(most), _) => most.get(),
            (LimitDegrees::FromOrder, When::Order(kind)) => {
                let orders = self.of_kind(kind);
                let angles = orders.iter().map(|order| match order.value {
                    OrderValue::Degrees(most) => most.get(),
                    OrderValue::WeightBearing(_) | OrderValue::Stands | OrderValue::NotOrdered => {
                        i64::MIN / 2
                    }
                });
                angles.min().unwrap_or(i64::MIN / 2)
            }
            (LimitDegrees::FromOrder, _) => i64::MIN / 2,
        };
        most - margin.get()
    }
}

/// Says whether somebody has assessed a flag and that still counts: not for longer than the
/// procedure lets it.
pub fn assessed(library: &Library, record: &Record, visit: &Visit, flag: &RedFlag) -> bool {
    let most = library.procedure.settings.bounds.clearance_days_most.get();
    record.clearances.iter().any(|clear| {
        let days = (visit.date - clear.on).num_days();
        clear.flag == flag.id && (0..=most).contains(&days) && visit.date <= clear.until
    })
}

/// The angle a demand reaches on a rung; what nobody wrote down reaches all the way.
fn reach(demand: &Demand, rung: &Rung) -> i64 {
    match demand.peak {
        Peak::Fixed(degrees) => degrees.get(),
        Peak::OfRung => rung.range_degrees.map_or(180, Quantity::get),
    }
}

/// Says what in an exercise at a rung breaks a limit, with where its own dose stops it.
pub fn breaks(
    exercise: &Exercise,
    rung: &Rung,
    stands: &Stands<'_>,
    dose_stop: Option<i64>,
    aim: Option<i64>,
) -> Option<String> {
    let id = &stands.limit.id;
    match &stands.limit.rule {
        LimitRule::Motion { of, modes, .. } => {
            if exercise.demands.is_empty() {
                return Some(format!("{id}: it does not say what it asks for"));
            }
            let mut motions = exercise
                .demands
                .iter()
                .filter(|demand| demand.joint == of.joint && demand.motion == of.motion)
                .filter(|demand| modes.is_empty() || made_in(demand, rung, modes));
            let far = motions.find_map(|demand| {
                let reach = reach(demand, rung).min(dose_stop.unwrap_or(i64::MAX));
                let most = reach.max(aim.unwrap_or(i64::MIN));
                (most > stands.stop).then_some(most)
            })?;
            Some(format!(
                "{id}: {} {} to {far}, stop at {}",
                of.joint, of.motion, stands.stop
            ))
        }
        LimitRule::Forbid(kinds) => {
            of_kinds(exercise, rung, kinds).map(|why| format!("{id}: {why}"))
        }
        LimitRule::AllOf(conditions) => {
            let met = conditions.iter().all(|condition| match condition {
                Condition::Beyond { of, degrees } => exercise.demands.iter().any(|demand| {
                    let same = demand.joint == of.joint && demand.motion == of.motion;
                    same && reach(demand, rung) > degrees.get()
                }),
                Condition::Kinds(kinds) => of_kinds(exercise, rung, kinds).is_some(),
            });
            met.then(|| format!("{id}: all of it at once"))
        }
    }
}

/// Says whether a demand is made in one of some ways; a weight or a band resists active work.
fn made_in(demand: &Demand, rung: &Rung, modes: &BTreeSet<Mode>) -> bool {
    let resisted = rung.load_g.is_some() || rung.band.is_some();
    modes.contains(&demand.mode)
        || (demand.mode == Mode::Active && resisted && modes.contains(&Mode::Resisted))
}

/// Says why an exercise at a rung is of some kinds of work.
fn of_kinds(exercise: &Exercise, rung: &Rung, kinds: &Kinds) -> Option<String> {
    let by_demand =
        !(kinds.weight_bearing.is_empty() && kinds.tags.is_empty() && kinds.modes.is_empty());
    if exercise.demands.is_empty() && by_demand {
        return Some("it does not say what it asks for".to_owned());
    }
    let demands = || exercise.demands.iter();
    let load = demands().any(|demand| {
        let own = rung.weight_bearing.unwrap_or(demand.weight_bearing);
        kinds.weight_bearing.contains(&own)
    });
    let of = |demand: &&Demand| match kinds.of {
        Some(of) => demand.joint == of.joint && demand.motion == of.motion,
        None => true,
    };
    let mode = demands()
        .filter(of)
        .any(|demand| made_in(demand, rung, &kinds.modes));
    let weight = kinds
        .load_above
        .is_some_and(|most| rung.band.is_some() || rung.load_g.is_some_and(|load| load > most));
    let mut tags = demands().flat_map(|demand| &demand.tags).chain(&rung.tags);
    if load {
        Some("its load on the leg".to_owned())
    } else if mode {
        Some("its mode".to_owned())
    } else if weight {
        Some("its weight".to_owned())
    } else if kinds.positions.contains(&exercise.position) {
        Some("its position".to_owned())
    } else {
        tags.find(|tag| kinds.tags.contains(*tag))
            .map(ToString::to_string)
    }
}
