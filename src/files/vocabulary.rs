//! Closed lists of names that no file declares: equipment, domains, tags, kinds of order.
//!
//! A new name starts here, so that a slip in a file is never taken for a new thing.

/// What a home may have.
pub static EQUIPMENT: &[&str] = &[
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
    "helper",
];

/// What an exercise can be good for.
pub static DOMAINS: &[&str] = &[
    "knee-extension-range",
    "knee-flexion-range",
    "quadriceps-activation",
    "quadriceps-strength",
    "hip-strength",
    "calf-strength",
    "balance",
    "function",
    "endurance",
    "circulation",
    "gait",
];

/// What a limit can forbid besides joints and loads.
pub static TAGS: &[&str] = &[
    "step",
    "bike",
    "balance",
    "squat",
    "single-leg",
    "strap-pull",
    "other-leg-press",
    "long-lever",
    "back-arch",
    "nerve-pull",
    "deep-lunge",
    "chair-rise",
    "hands-free",
    "heel-to-toe",
    "resisted",
    "resisted-extension",
    "active-extension",
    "standing",
    "hip-load",
    "kneel",
    "floor",
    "chair-rise",
    "straight-hold",
    "heel-rest",
    "foot-over-foot",
    "aid-down",
    "scar",
];

/// What a surgeon can order.
pub static ORDERS: &[&str] = &[
    "weight-bearing",
    "flexion-cap",
    "no-active-extension",
    "brace",
    "brace-locked",
    "compression",
    "kneeling-allowed",
];

/// English words of whom to ring and how soon, in small letters. Only a red flag's own level says
/// them, by its `{ring:<flag>}`, so that one sign has one answer wherever it is named.
pub static URGENT: &[&str] = &[
    "ring us",
    "ring for",
    "ring the",
    "ring your",
    "call us",
    "call the",
    "call for an",
    "phone us",
    "ambulance",
    "emergency",
    "to hospital now",
    "same day",
    "us today",
    "us now",
    "us at once",
    "within 2 days",
];
