#![doc = include_str!("d715_modifiers.md")]

use crate::domain::dose::{Amount, Dose, Often};
use crate::domain::limit::Modifier;
use crate::domain::quantity::{Quantity, Repetitions};
use crate::domain::verdict::{Given, RuleId, Why};
use crate::engine::amount::with_hands;
use crate::engine::dose::{Dosing, Proposal, Working};

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D715"),
    name: "modifiers",
    stage: Stage::Dose,
    since: "0.1",
    summary: "Lowers the dose for another illness, a red flag or a fact.",
    sources: &["practice"],
    doc: include_str!("d715_modifiers.md"),
};

/// Proposes the next modifier that changes the dose.
pub(crate) fn propose(dosing: &Dosing<'_>, working: &Working) -> Proposal {
    let given = working.given.as_ref()?;
    let fresh = |modifier: &&&Modifier| {
        !working.took(|why| {
            *why == Why::Modified {
                modifier: modifier.id.clone(),
            }
        })
    };
    dosing.modifiers.iter().filter(fresh).find_map(|modifier| {
        let dose = lowered(&given.dose, modifier);
        let dose = if dose.support == given.dose.support {
            dose
        } else {
            with_hands(dosing.exercise(), dose)
        };
        let why = Why::Modified {
            modifier: modifier.id.clone(),
        };
        (dose != given.dose).then(|| {
            (
                Given {
                    rung: given.rung.clone(),
                    dose,
                },
                why,
            )
        })
    })
}

/// Returns the dose after one modifier.
pub(crate) fn lowered(dose: &Dose, modifier: &Modifier) -> Dose {
    let most = |own, cap: Option<_>| cap.map_or(own, |cap| std::cmp::min(own, cap));
    Dose {
        amount: amount(dose.amount, modifier),
        often: match (dose.often, modifier.times_at_most) {
            (Often::Times(times), cap) => Often::Times(most(times, cap)),
            (Often::Hourly, _) => Often::Hourly,
        },
        load_g: dose
            .load_g
            .map(|own| modifier.load_g_at_most.map_or(own, |cap| own.min(cap))),
        height_cm: dose
            .height_cm
            .map(|own| modifier.height_cm_at_most.map_or(own, |cap| own.min(cap))),
        support: dose
            .support
            .map(|own| modifier.support_at_least.map_or(own, |cap| own.min(cap))),
        ..dose.clone()
    }
}

fn amount(amount: Amount, modifier: &Modifier) -> Amount {
    match amount {
        Amount::Counted {
            sets,
            repetitions,
            hold_s,
            pause_s,
            rest_s,
        } => {
            let sets = modifier.sets_at_most.map_or(sets, |cap| sets.min(cap));
            let rest = modifier.rest_s_at_least.filter(|_| sets.get() > 1);
            Amount::Counted {
                sets,
                repetitions: share(repetitions, modifier),
                hold_s: modifier
                    .hold_s_at_most
                    .map_or(hold_s, |cap| hold_s.min(cap)),
                pause_s,
                rest_s: rest.map_or(rest_s, |least| rest_s.max(least)),
            }
        }
        Amount::Timed { minutes } => Amount::Timed {
            minutes: modifier
                .minutes_at_most
                .map_or(minutes, |cap| minutes.min(cap)),
        },
    }
}

fn share(repetitions: Repetitions, modifier: &Modifier) -> Repetitions {
    modifier.repetitions_percent.map_or(repetitions, |percent| {
        Repetitions::nearest(
            repetitions
                .get()
                .saturating_mul(percent.get())
                .div_euclid(100),
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::word::Support;
    use crate::engine::sample;

    fn repetitions(dose: &Dose) -> i64 {
        match dose.amount {
            Amount::Counted { repetitions, .. } => repetitions.get(),
            Amount::Timed { .. } => 0,
        }
    }

    #[test]
    fn a_condition_lowers_the_dose() {
        let mut record = sample::record(10);
        sample::condition(&mut record, "weak");
        sample::adjust(
            &mut record,
            "rise",
            crate::domain::word::AdjustAction::Set,
            Some("r3"),
        );
        let program = sample::program(&sample::library(), &record);
        assert_eq!(repetitions(&sample::item(&program, "bend").dose), 7);
        let rise = &sample::item(&program, "rise").dose;
        assert_eq!(rise.support, Some(Support::Fingertips));
        assert!(program.fired.contains(&RULE.id));
        assert!(program.items.len() <= 5);
    }

    #[test]
    fn a_firmer_hold_changes_the_way_with_it() {
        use crate::domain::exercise::Hands;
        use crate::domain::word::Support::{Fingertips, None, OneHand, TwoHands};

        let mut library = sample::library();
        let rise = sample::exercise(&mut library, "rise");
        let way = |support, how| Hands {
            support,
            how: sample::id(how),
        };
        rise.hands = vec![
            way(TwoHands, "arms"),
            way(OneHand, "arm"),
            way(None, "none"),
        ];
        let dose = |support| {
            let mut dose = crate::engine::amount::of_rung(&rise.rungs[0]);
            dose.support = Some(support);
            let dose = crate::engine::amount::with_hands(rise, dose);
            (dose.support, dose.how)
        };
        assert_eq!(dose(TwoHands), (Some(TwoHands), Some(sample::id("arms"))));
        assert_eq!(dose(OneHand), (Some(OneHand), Some(sample::id("arm"))));
        assert_eq!(dose(Fingertips), (Some(OneHand), Some(sample::id("arm"))));
        assert_eq!(dose(None), (Some(None), Some(sample::id("none"))));
        let mut record = sample::record(10);
        let set = crate::domain::word::AdjustAction::Set;
        sample::adjust(&mut record, "rise", set, Some("r3"));
        let of = |record: &_| {
            let program = sample::program(&library, record);
            sample::item(&program, "rise").dose.clone()
        };
        let before = of(&record);
        sample::condition(&mut record, "weak");
        let after = of(&record);
        assert_ne!(before.how, after.how);
        assert_eq!(
            (after.support, after.how),
            (Some(OneHand), Some(sample::id("arm")))
        );
    }

    #[test]
    fn repetitions_never_fall_below_one() {
        let mut library = sample::library();
        let rung = &mut sample::exercise(&mut library, "bend").rungs[0];
        rung.amount = sample::counted(1, 1, 3);
        let mut record = sample::record(10);
        sample::condition(&mut record, "weak");
        let program = sample::program(&library, &record);
        assert_eq!(repetitions(&sample::item(&program, "bend").dose), 1);
    }

    #[test]
    fn without_the_condition_it_is_silent() {
        let program = sample::program(&sample::library(), &sample::record(10));
        assert_eq!(repetitions(&sample::item(&program, "bend").dose), 10);
        assert!(!program.fired.contains(&RULE.id));
    }

    #[test]
    fn every_number_is_held() {
        use crate::domain::word::Fact;

        let library = sample::library();
        let modifier = &library.procedure.modifiers[0];
        let lift = &library.exercises[&sample::id("lift")];
        let mut dose = crate::engine::amount::of_rung(&lift.rungs[5]);
        dose.height_cm = Some(sample::n(15));
        let after = lowered(&dose, modifier);
        let Amount::Counted {
            sets,
            hold_s,
            rest_s,
            ..
        } = after.amount
        else {
            panic!("counted");
        };
        assert_eq!((sets.get(), hold_s.get(), rest_s.get()), (2, 2, 90));
        assert_eq!(after.load_g, Some(sample::n(400)));
        assert_eq!(after.height_cm, Some(sample::n(10)));
        let mut timed = dose.clone();
        timed.amount = Amount::Timed {
            minutes: sample::n(9),
        };
        assert_eq!(
            lowered(&timed, modifier).amount,
            Amount::Timed {
                minutes: sample::n(5)
            }
        );
        let test = sample::at_least(Fact::Stance, 5);
        let mut library = sample::library();
        library.procedure.modifiers[0].when = crate::domain::limit::When::Fact(test);
        let program = sample::program(&library, &sample::record(10));
        assert_eq!(
            repetitions(&sample::item(&program, "bend").dose),
            10,
            "protected"
        );
        assert_eq!(
            repetitions(&sample::item(&program, "push").dose),
            7,
            "a blank counts"
        );
    }

    #[test]
    fn the_fewest_items_count() {
        let mut library = sample::library();
        let mut other = library.procedure.modifiers[0].clone();
        other.id = sample::id("weaker");
        other.max_items = Some(sample::n(3));
        library.procedure.modifiers.push(other);
        let mut record = sample::record(10);
        sample::condition(&mut record, "weak");
        assert_eq!(sample::program(&library, &record).items.len(), 3);
    }
}
