//! Bounds as a person writes them: `at most 6`, `at least 3`, `exactly 10`, `2 to 4`, `none`.

/// What a number must be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bound {
    /// From the first to the second, both included.
    Within(i64, i64),
    /// There must be no number.
    Absent,
}

impl Bound {
    /// Reads a bound.
    pub fn read(text: &str) -> Self {
        let number = |text: &str| {
            text.parse::<i64>()
                .unwrap_or_else(|_| panic!("bound `{text}`"))
        };
        if text == "none" {
            Self::Absent
        } else if let Some(most) = text.strip_prefix("at most ") {
            Self::Within(i64::MIN, number(most))
        } else if let Some(least) = text.strip_prefix("at least ") {
            Self::Within(number(least), i64::MAX)
        } else if let Some(exact) = text.strip_prefix("exactly ") {
            Self::Within(number(exact), number(exact))
        } else {
            let (least, most) = text.split_once(" to ").expect("a bound");
            Self::Within(number(least), number(most))
        }
    }

    /// Says whether a number, or none, is within it.
    pub fn holds(self, value: Option<i64>) -> bool {
        match (self, value) {
            (Self::Within(least, most), Some(value)) => (least..=most).contains(&value),
            (Self::Absent, None) => true,
            (Self::Within(..), None) | (Self::Absent, Some(_)) => false,
        }
    }
}

#[test]
fn bounds_are_read_as_written() {
    for (text, value, holds) in [
        ("at most 6", Some(6), true),
        ("at most 6", Some(7), false),
        ("at least 3", Some(2), false),
        ("exactly 10", Some(10), true),
        ("exactly 10", Some(9), false),
        ("2 to 4", Some(4), true),
        ("2 to 4", Some(5), false),
        ("2 to 4", None, false),
        ("none", None, true),
        ("none", Some(1), false),
    ] {
        assert_eq!(Bound::read(text).holds(value), holds, "{text}, {value:?}");
    }
}
