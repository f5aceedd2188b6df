//! Names of things in files: lower case with hyphens, checked once, never bare strings.
//!
//! Must not know what a name stands for. Next: `exercise`, `procedure`, `record` use them.

use std::fmt;

/// Says why a word cannot be an id.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("an id has lower-case letters, digits and single hyphens only, not `{0}`")]
pub struct BadId(pub String);

fn is_plain(text: &str) -> bool {
    text.len() <= 48
        && !text.is_empty()
        && text.split('-').all(|part| {
            !part.is_empty()
                && part
                    .bytes()
                    .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit())
        })
}

/// A checked name; made by the reader, never by hand in the engine.
pub trait Id: Sized + Ord + Clone {
    /// Makes the id, or says why the word cannot be one.
    fn new(text: &str) -> Result<Self, BadId>;

    /// Returns the id as written in files.
    fn as_str(&self) -> &str;
}

/// Says whether a word can be a surgeon's code, such as `SURG-A`.
fn is_code(text: &str) -> bool {
    is_plain(&text.to_ascii_lowercase())
}

macro_rules! ids {
    ($check:ident: $($(#[$doc:meta])* $name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
        #[serde(transparent)]
        pub struct $name(String);

        impl Id for $name {
            fn new(text: &str) -> Result<Self, BadId> {
                if $check(text) { Ok(Self(text.to_owned())) } else { Err(BadId(text.to_owned())) }
            }

            fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }
    )*};
}

ids! {
    is_plain:
    /// An exercise file.
    ExerciseId;
    /// A rung of an exercise's ladder; stable for ever.
    RungId;
    /// A group of exercises of which a sheet holds at most one.
    FamilyId;
    /// A procedure file.
    ProcedureId;
    /// A phase of a procedure.
    PhaseId;
    /// What an exercise is good for.
    DomainId;
    /// A thing the home must have.
    EquipmentId;
    /// Another illness or circumstance that changes the program.
    ConditionId;
    /// A red flag of the screen.
    FlagId;
    /// A limit of a procedure.
    LimitId;
    /// A modifier of a procedure.
    ModifierId;
    /// A safety criterion that holds a phase.
    CriterionId;
    /// A word that a limit may forbid.
    TagId;
    /// A stop sign of an exercise.
    StopSignId;
    /// A key of an exercise's `how` words.
    HowId;
    /// A home care row, usual line or milestone.
    CareId;
    /// A kind of surgeon's order.
    OrderKind;
    /// A clinic.
    ClinicId;
    /// A bibliography key of `sources.toml`.
    SourceKey;
    /// A hazard of `hazards.toml`.
    HazardId;
    /// A named set of exercises of a clinic.
    SetId;
}

ids! {
    is_code:
    /// A surgeon whose standing orders stand in the clinic file; capitals are allowed.
    SurgeonId;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_surgeons_code_may_have_capitals() {
        for text in ["SURG-A", "surg-a", "dr2"] {
            assert_eq!(SurgeonId::new(text).unwrap().as_str(), text);
        }
        for text in ["", "SURG--A", "SURG A", "-A", "Ä"] {
            assert!(SurgeonId::new(text).is_err(), "{text}");
        }
        assert!(ClinicId::new("Alder-Row").is_err());
        assert!(RungId::new("q1").is_ok());
    }
}
