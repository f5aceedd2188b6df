#![doc = include_str!("d107_flag_known.md")]

use crate::domain::procedure::RedFlag;
use crate::domain::verdict::{FlagStood, RuleId};
use crate::domain::word::KnownFlag;
use crate::engine::log::Log;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D107"),
    name: "flag-known",
    stage: Stage::Gate,
    since: "0.1",
    summary: "Lets an old, unchanged sign stand; its limits may stay.",
    sources: &["practice"],
    doc: include_str!("d107_flag_known.md"),
};

/// Lets a known flag stand that nobody has assessed.
pub(crate) fn stand(flag: &RedFlag, log: &mut Log) -> FlagStood {
    log.fire(&RULE);
    FlagStood {
        flag: flag.id.clone(),
        cleared: None,
        limits_stand: match flag.known {
            KnownFlag::KeepLimits | KnownFlag::KeepUntilAssessed => true,
            KnownFlag::Lift => false,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::word::ScreenAnswer;
    use crate::engine::sample;

    #[test]
    fn a_known_sign_keeps_its_limits_when_the_flag_says_so() {
        let mut record = sample::record(9);
        sample::answer(&mut record, "wound", ScreenAnswer::Known);
        let program = sample::program(&sample::library(), &record);
        assert!(program.fired.contains(&RULE.id));
        assert!(program.flags.is_empty());
        assert!(
            program
                .limits
                .iter()
                .any(|limit| limit.limit == sample::id("wet-wound"))
        );
    }

    #[test]
    fn a_known_sign_may_be_lifted() {
        use crate::domain::word::KnownFlag;

        let mut library = sample::library();
        for flag in &mut library.procedure.red_flags {
            flag.known = KnownFlag::Lift;
        }
        let mut record = sample::record(9);
        sample::answer(&mut record, "wound", ScreenAnswer::Known);
        let program = sample::program(&library, &record);
        assert!(program.fired.contains(&RULE.id));
        assert!(program.limits.is_empty());
    }

    #[test]
    fn a_sign_that_is_absent_is_silent() {
        let program = sample::program(&sample::library(), &sample::record(9));
        assert!(!program.fired.contains(&RULE.id));
    }
}
