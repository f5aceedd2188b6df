#![doc = include_str!("d102_derived_value.md")]

use crate::domain::verdict::RuleId;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D102"),
    name: "derived-value",
    stage: Stage::Gate,
    since: "0.1",
    summary: "Works a fact out from another one when it was not recorded itself.",
    sources: &["practice"],
    doc: include_str!("d102_derived_value.md"),
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::fact::FactValue;
    use crate::domain::quantity::{Degrees, Quantity};
    use crate::domain::recorded::Recorded;
    use crate::domain::word::{Fact, LegLift};
    use crate::engine::sample;

    #[test]
    fn a_derived_fact_is_known() {
        let mut record = sample::record(5);
        record.visits[0].measured.leg_lift = Recorded::Yes(LegLift::AloneStraight);
        let program = sample::program(&sample::library(), &record);
        assert_eq!(program.facts.0[&Fact::Lag].value, FactValue::Number(0));
        assert!(program.fired.contains(&RULE.id));
    }

    #[test]
    fn a_recorded_value_stays() {
        let mut record = sample::record(5);
        record.visits[0].measured.leg_lift = Recorded::Yes(LegLift::AloneStraight);
        record.visits[0].measured.lag = Recorded::Yes(Degrees::new(7).unwrap());
        let program = sample::program(&sample::library(), &record);
        assert_eq!(program.facts.0[&Fact::Lag].value, FactValue::Number(7));
        assert!(!program.fired.contains(&RULE.id));
    }
}
