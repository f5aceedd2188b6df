//! A fact that was asked, apart from one that nobody asked.
//!
//! Not `Option`: a rule must decide what to do with a blank field.

/// A value as recorded, or the plain statement that it was not.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Recorded<T> {
    /// Asked and answered.
    Yes(T),
    /// Nobody asked, or the answer was not written down.
    NotRecorded,
}

impl<T> Recorded<T> {
    /// Borrows the value.
    pub fn as_ref(&self) -> Recorded<&T> {
        match self {
            Self::Yes(value) => Recorded::Yes(value),
            Self::NotRecorded => Recorded::NotRecorded,
        }
    }

    /// Makes another value of the one recorded; a blank stays one.
    pub fn map<U>(self, make: impl FnOnce(T) -> U) -> Recorded<U> {
        match self {
            Self::Yes(value) => Recorded::Yes(make(value)),
            Self::NotRecorded => Recorded::NotRecorded,
        }
    }

    /// Returns the value for code that has already decided what a blank means.
    pub fn known(self) -> Option<T> {
        match self {
            Self::Yes(value) => Some(value),
            Self::NotRecorded => None,
        }
    }

    /// Says whether the fact was recorded.
    pub fn is_recorded(&self) -> bool {
        matches!(self, Self::Yes(_))
    }
}

impl<T> From<Option<T>> for Recorded<T> {
    fn from(value: Option<T>) -> Self {
        value.map_or(Self::NotRecorded, Self::Yes)
    }
}
