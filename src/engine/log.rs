//! What a decision leaves behind besides its answer: rules that took part, notices, questions.
//!
//! Must not decide anything.

use std::collections::BTreeSet;

use crate::domain::record::LimitOverride;
use crate::domain::verdict::{Asked, Notice, Question, RuleId};

use super::rules::Rule;

/// Rules that took part, what was not known, and what must be asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Log {
    pub(crate) notices: BTreeSet<Notice>,
    pub(crate) fired: BTreeSet<RuleId>,
    pub(crate) questions: Vec<(Question, Asked)>,
    /// Limits set aside, in the procedure's order.
    pub(crate) overridden: Vec<LimitOverride>,
}

impl Log {
    /// Starts an empty log.
    pub(crate) const fn new() -> Self {
        Self {
            notices: BTreeSet::new(),
            fired: BTreeSet::new(),
            questions: Vec::new(),
            overridden: Vec::new(),
        }
    }

    /// Notes that a rule took part.
    pub(crate) fn fire(&mut self, rule: &Rule) {
        #[cfg(test)]
        HEARD.with_borrow_mut(|heard| heard.insert(rule.id.0));
        self.fired.insert(rule.id);
    }

    /// Leaves a notice and notes its rule.
    pub(crate) fn notice(&mut self, rule: &Rule, notice: Notice) {
        self.fire(rule);
        self.notices.insert(notice);
    }

    /// Asks a question once and notes its rule.
    pub(crate) fn ask(&mut self, rule: &Rule, question: Question, who: Asked) {
        self.fire(rule);
        if !self.questions.iter().any(|(asked, _)| *asked == question) {
            self.questions.push((question, who));
        }
    }
}

#[cfg(test)]
thread_local! {
    /// Every rule that fired on this thread: a refusal and questions do not tell theirs.
    static HEARD: std::cell::RefCell<BTreeSet<&'static str>> =
        const { std::cell::RefCell::new(BTreeSet::new()) };
}

/// Returns the rules that fired on this thread since it was last asked.
#[cfg(test)]
pub(crate) fn heard() -> BTreeSet<&'static str> {
    HEARD.take()
}
