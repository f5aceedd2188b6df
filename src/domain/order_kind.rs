//! Which kinds of surgeon's orders a procedure acts on, and what each kind says.
//!
//! One list for the reader, the prompts and the paper forms. Must not hold an order.

use std::collections::BTreeSet;

use super::ids::{Id, OrderKind};
use super::limit::{LimitDegrees, LimitRule, When};
use super::procedure::Procedure;

/// The kind of order that says how much the leg may bear.
pub const WEIGHT_BEARING: &str = "weight-bearing";
/// The kind of order that says how far the joint may bend.
pub const FLEXION_CAP: &str = "flexion-cap";

/// What is typed when the answer is that nothing of a kind is ordered.
pub const NOT_ORDERED: &str = "not-ordered";
/// The same, typed when an order that stood no longer holds.
pub const LIFTED: &str = "lifted";

/// What an order of one kind says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OrderSays {
    /// How much the leg may bear.
    Bearing,
    /// An angle.
    Degrees,
    /// Nothing more: the kind says it all.
    Stands,
}

impl Procedure {
    /// Lists the kinds of order it acts on, in order of name.
    pub fn order_kinds(&self) -> BTreeSet<&str> {
        let profiles = self.profiles.iter().map(|profile| profile.id.as_str());
        self.kinds_beside_profiles()
            .into_iter()
            .chain(profiles)
            .collect()
    }

    /// Lists the kinds of order it acts on that pick no profile, in order of name.
    pub fn kinds_beside_profiles(&self) -> BTreeSet<&str> {
        let limits = self.limits.iter().map(|limit| &limit.when);
        let modifiers = self.modifiers.iter().map(|modifier| &modifier.when);
        let care = self.home_care.iter();
        let care = care.filter_map(|care| care.when_order.as_ref());
        let named = limits.chain(modifiers).filter_map(ordered).chain(care);
        let mut kinds: BTreeSet<&str> = named.map(Id::as_str).collect();
        kinds.extend([WEIGHT_BEARING, FLEXION_CAP]);
        kinds.extend(self.needs_orders.iter().map(Id::as_str));
        kinds
    }

    /// Says what an order of a kind says.
    pub fn order_says(&self, kind: &str) -> OrderSays {
        let angle = self.limits.iter().any(|limit| {
            let from_order = match limit.rule {
                LimitRule::Motion { degrees, .. } => degrees == LimitDegrees::FromOrder,
                LimitRule::Forbid(_) | LimitRule::AllOf(_) => false,
            };
            from_order && ordered(&limit.when).is_some_and(|of| of.as_str() == kind)
        });
        if kind == WEIGHT_BEARING {
            OrderSays::Bearing
        } else if angle || kind == FLEXION_CAP {
            OrderSays::Degrees
        } else {
            OrderSays::Stands
        }
    }
}

impl Procedure {
    /// Says whether there is no program without an answer to this kind of order.
    pub fn needs_order(&self, kind: &str) -> bool {
        self.needs_orders
            .iter()
            .any(|needed| needed.as_str() == kind)
    }
}

fn ordered(when: &When) -> Option<&OrderKind> {
    match when {
        When::Order(kind) => Some(kind),
        When::Always | When::Condition(_) | When::Fact(_) | When::Flag(_) | When::Raised(_) => None,
    }
}
