#![doc = include_str!("d501_core_domains.md")]

use crate::domain::ids::DomainId;
use crate::domain::verdict::RuleId;
use crate::engine::log::Log;
use crate::engine::need::CORE;

use super::{Rule, Stage};

/// The rule as listed.
pub static RULE: Rule = Rule {
    id: RuleId("D501"),
    name: "core-domains",
    stage: Stage::Need,
    since: "0.1",
    summary: "Weighs the core domains of the phase more than the others.",
    sources: &["practice"],
    doc: include_str!("d501_core_domains.md"),
};

/// Returns how much more a domain is needed for being core.
pub(crate) fn more(core: &[DomainId], domain: &DomainId, log: &mut Log) -> i64 {
    if !core.contains(domain) {
        return 0;
    }
    log.fire(&RULE);
    CORE
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::sample;

    fn fires(core: &[&str]) -> bool {
        let mut library = sample::library();
        library.procedure.phases[0].core = core.iter().map(|id| sample::id(id)).collect();
        sample::program(&library, &sample::record(5))
            .fired
            .contains(&RULE.id)
    }

    #[test]
    fn a_core_domain_counts_more() {
        assert!(fires(&["range"]));
    }

    #[test]
    fn without_core_domains_it_is_silent() {
        assert!(!fires(&[]));
    }
}
