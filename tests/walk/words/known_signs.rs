//! Words by which a sign is known on a page, whoever writes them: the one table of them.

/// Each red flag, and words that speak of it.
pub const SIGNS: &[(&str, &[&str])] = &[
    ("chest", &["chest pain", "hard to breathe"]),
    ("cannot-wake", &["be woken", "hard to wake"]),
    (
        "foot-cold",
        &["cold, white or blue", "foot cold", "foot is cold"],
    ),
    (
        "wound-open",
        &["wound that opens", "wound opens", "bleeding that does not"],
    ),
    ("fall-bad", &["leg out of shape", "hit head"]),
    ("seat-numb", &["numb between"]),
    ("calf", &["calf", "calves"]),
    ("fever", &["temperature of 38", "shivers"]),
    ("hot-knee", &["suddenly hot"]),
    ("fall-hurt", &["cannot walk as before", "fall that hurt"]),
    ("fall", &["a fall, even"]),
    ("pop", &["a pop"]),
    ("leg-lift-lost", &["could lift your leg"]),
    ("wound", &["wet, red", "wet or red", "wound leaks"]),
    ("foot", &["will not lift"]),
    ("giving-way", &["gives way", "gave way", "giving way"]),
    ("drowsy", &["sleepy"]),
    ("heart-worse", &["breathless lying"]),
    ("foot-sore", &["blister"]),
    ("rest-pain", &["at rest that still"]),
];
