//! The checker's own reading of what is in force and what an exercise asks for.
//!
//! Written from the files' own words, not through the engine: a slip there must not be made here.

use banister::domain::exercise::{Demand, Exercise, Peak, Rung};
use banister::domain::fact::FactValue;
use banister::domain::ids::{ConditionId, FlagId, OrderKind};
use banister::domain::library::Library;
use banister::domain::limit::{Limit, LimitDegrees, LimitRule, LimitSpan, When};
use banister::domain::procedure::RedFlag;
use banister::domain::quantity::Quantity;
use banister::domain::record::{Order, OrderValue, Record, Until, Visit};
use banister::domain::recorded::Recorded;
use banister::domain::time::{Day, Window};
use banister::domain::verdict::Program;
use banister::domain::word::{Fact, KnownFlag, MissingRule, ScreenAnswer, WeightBearing, Word};
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
        life.from.iter_days().take_while(move |day| *day <= life.until)
    }

    fn in_window(&self, window: Window) -> bool {
        self.days().any(|date| window.holds(self.record.day(date)))
    }

    /// Orders that count on a date: the record's own latest, else the surgeon's standing one.
    fn order_on(&self, date: NaiveDate, picks: &dyn Fn(&Order) -> bool) -> Option<&'a Order> {
        let stands = |order: &&'a Order| {
            let not_over = match order.until {
                Until::Date(last) => date <= last,
                Until::Asked | Until::Open => true,
            };
            picks(order) && not_over
        };
        let own = self.record.orders.iter().filter(stands);
        let given = own.filter(|order| order.on <= self.visit.date);
        let latest = given.max_by_key(|order| order.on);
        latest.or_else(|| {
            let Recorded::Yes(surgeon) = &self.visit.patient.surgeon else {
                return None;
            };
            let sets = self.library.clinic.standing_orders.iter();
            let orders = sets
                .filter(|set| set.surgeon == *surgeon)
                .filter(|set| set.procedure == self.library.procedure.id)
                .flat_map(|set| &set.orders);
            let day = self.record.day(date);
            let standing = orders.filter(|(window, order)| window.holds(day) && stands(&order));
            standing.max_by_key(|(window, _)| window.from).map(|(_, order)| order)
        })
    }

    fn of_kind(&self, kind: &OrderKind) -> Vec<&'a Order> {
        let found = self.days().filter_map(|date| self.order_on(date, &|order| order.what == *kind));
        found.collect()
    }

    fn bearing_on(&self, date: NaiveDate) -> Option<WeightBearing> {
        let bears = |order: &Order| matches!(order.value, OrderValue::WeightBearing(_));
        match self.order_on(date, &bears)?.value {
            OrderValue::WeightBearing(bearing) => Some(bearing),
            OrderValue::Degrees(_) | OrderValue::Stands => None,
        }
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
            Some(ScreenAnswer::Yes) => !assessed(self.record, self.visit, flag),
            Some(ScreenAnswer::Known) => flag.known == KnownFlag::KeepLimits,
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
        self.program.facts.0.get(&fact).map(|dated| dated.value.clone())
    }

    fn blank_passes(&self, fact: Fact, day: Day) -> bool {
        let rows = &self.library.procedure.missing;
        let row = rows.iter().find(|row| row.fact == fact && row.window.holds(day));
        row.is_some_and(|row| row.then == MissingRule::Pass)
    }

    /// Says whether what brings a rule into force is known to hold on any day of the sheet.
    pub fn holds(&self, when: &When) -> bool {
        match when {
            When::Always => true,
            When::Order(kind) => !self.of_kind(kind).is_empty(),
            When::Condition(id) => self.has(id),
            When::Flag(id) => self.flag_narrows(id),
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
            let unknown = self.unknown(&limit.when) && !matches!(limit.span, LimitSpan::Order);
            if in_time && (self.holds(&limit.when) || unknown) {
                found.push(Stands {
                    limit,
                    stop: self.stop(limit),
                });
            }
        }
        found
    }

    fn stop(&self, limit: &Limit) -> i64 {
        let LimitRule::Motion { degrees, margin, .. } = &limit.rule else {
            return i64::MAX;
        };
        let most = match (degrees, &limit.when) {
            (LimitDegrees::Fixed(most), _) => most.get(),
            (LimitDegrees::FromOrder, When::Order(kind)) => {
                let orders = self.of_kind(kind);
                let angles = orders.iter().map(|order| match order.value {
                    OrderValue::Degrees(most) => most.get(),
                    OrderValue::WeightBearing(_) | OrderValue::Stands => i64::MIN / 2,
                });
                angles.min().unwrap_or(i64::MIN / 2)
            }
            (LimitDegrees::FromOrder, _) => i64::MIN / 2,
        };
        most - margin.get()
    }
}

/// Says whether somebody has assessed a flag and that still counts.
pub fn assessed(record: &Record, visit: &Visit, flag: &RedFlag) -> bool {
    record.clearances.iter().any(|clear| {
        clear.flag == flag.id && clear.on <= visit.date && visit.date <= clear.until
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
        LimitRule::Motion { joint, motion, .. } => {
            if exercise.demands.is_empty() {
                return Some(format!("{id}: it does not say what it asks for"));
            }
            let mut of = exercise
                .demands
                .iter()
                .filter(|demand| demand.joint == *joint && demand.motion == *motion);
            let far = of.find_map(|demand| {
                let reach = reach(demand, rung).min(dose_stop.unwrap_or(i64::MAX));
                let most = reach.max(aim.unwrap_or(i64::MIN));
                (most > stands.stop).then_some(most)
            })?;
            Some(format!("{id}: {joint} {motion} to {far}, stop at {}", stands.stop))
        }
        LimitRule::Forbid {
            weight_bearing,
            tags,
            modes,
            positions,
        } => {
            let by_demand = !(weight_bearing.is_empty() && tags.is_empty() && modes.is_empty());
            if exercise.demands.is_empty() && by_demand {
                return Some(format!("{id}: it does not say what it asks for"));
            }
            let demands = exercise.demands.iter();
            let load = demands.clone().any(|demand| {
                weight_bearing.contains(&rung.weight_bearing.unwrap_or(demand.weight_bearing))
            });
            let own_tags = demands.clone().flat_map(|demand| &demand.tags);
            let tag = own_tags.chain(&rung.tags).find(|tag| tags.contains(*tag));
            let mode = demands.clone().any(|demand| modes.contains(&demand.mode));
            let position = positions.contains(&exercise.position);
            let why = if load {
                "its load on the leg"
            } else if mode {
                "its mode"
            } else if position {
                "its position"
            } else {
                return tag.map(|tag| format!("{id}: {tag}"));
            };
            Some(format!("{id}: {why}"))
        }
    }
}
