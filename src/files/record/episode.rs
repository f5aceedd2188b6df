//! Reads what the episode is about, and checks that it fits the operation and the clinic.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use crate::domain::ids::{ClinicId, ProcedureId};
use crate::domain::library::Library;
use crate::domain::line::{TOKEN, is_token};
use crate::domain::record::Episode;
use crate::domain::time::OperationDate;
use crate::domain::word::{Joint, Operates, PrintNeed, Side};

use super::super::codes::Code;
use super::super::kind::{Keys, may, need};
use super::super::language;
use super::super::nearest;
use super::super::problem::Problem;
use super::super::reader::TableReader;
use super::super::source::Span;
use super::super::values::At;
use super::known::Known;
use super::recorded;

/// Keys of the episode.
pub static EPISODE: Keys = Keys {
    what: "an episode",
    keys: &[
        need::<String>(
            "token",
            "A random or counted name of the episode, never made from a person.",
        ),
        need::<ClinicId>("clinic", "The clinic, as its own file names it."),
        need::<ProcedureId>("procedure", "The operation."),
        need::<Joint>("joint", "The joint."),
        need::<Side>("side", "The operated side."),
        need::<NaiveDate>("operation", "The day of the operation, day 0."),
        need::<String>("language", "The language of the sheet, such as \"en\"."),
        may::<BTreeSet<PrintNeed>>("needs", "Needs of the printed page; [] is none."),
    ],
};

/// The episode, and what can be corrected wherever the rest could not be read.
pub struct ReadEpisode {
    /// The day of the operation and its place.
    pub operation: Option<At<NaiveDate>>,
    /// The operated side and its place.
    pub side: Option<At<Side>>,
    /// The episode.
    pub episode: Option<Episode>,
}

/// Reads the episode.
pub fn read(table: &mut TableReader<'_>, known: Known<'_>) -> ReadEpisode {
    let operation = table.need::<At<NaiveDate>>("operation");
    let side = side(table, known.library());
    ReadEpisode {
        episode: episode(table, known.library(), side.as_ref(), operation.as_ref()),
        operation,
        side,
    }
}

fn episode(
    table: &mut TableReader<'_>,
    library: &Library,
    side: Option<&At<Side>>,
    operation: Option<&At<NaiveDate>>,
) -> Option<Episode> {
    let token = token(table, "token");
    let clinic = clinic(table, library);
    let procedure = procedure(table, library);
    let joint = joint(table, library);
    let language = language(table, library);
    let needs = recorded(table, "needs");
    Some(Episode {
        token: token?.value,
        clinic: clinic?,
        procedure: procedure?,
        joint: joint?,
        side: side?.value,
        operation: OperationDate(operation?.value),
        language: language?,
        needs,
    })
}

/// Reads a short name of letters, digits and hyphens, capitals allowed; it may name a file.
pub fn token(table: &mut TableReader<'_>, name: &'static str) -> Option<At<String>> {
    let token = table.need::<At<String>>(name)?;
    if is_token(&token.value) {
        return Some(token);
    }
    let message =
        format!("`{name}` has plain letters, digits and hyphens only, at most {TOKEN} of them");
    let problem = Problem::new(Code::BadId, token.at, message, "not so");
    table.tell(problem.help("it is never made from a person's name or birth date"));
    None
}

fn clinic(table: &mut TableReader<'_>, library: &Library) -> Option<ClinicId> {
    let clinic = table.need::<At<ClinicId>>("clinic")?;
    let own = &library.clinic.id;
    if clinic.value != *own {
        let message = format!(
            "the record is of clinic `{}`, but the clinic file is of `{own}`",
            clinic.value
        );
        let problem = Problem::new(Code::OtherClinic, clinic.at, message, "another clinic");
        table.tell(problem.help("check that the record lies in the right folder"));
    }
    Some(clinic.value)
}

fn procedure(table: &mut TableReader<'_>, library: &Library) -> Option<ProcedureId> {
    let procedure = table.need::<At<ProcedureId>>("procedure")?;
    let own = &library.procedure.id;
    if procedure.value != *own {
        let message = format!("the record is about `{}`, not `{own}`", procedure.value);
        let problem = Problem::new(Code::OtherOperation, procedure.at, message, "another one");
        table.tell(problem.help(nearest::help(
            &procedure.value.to_string(),
            &[&own.to_string()],
        )));
    }
    Some(procedure.value)
}

fn joint(table: &mut TableReader<'_>, library: &Library) -> Option<Joint> {
    let joint = table.need::<At<Joint>>("joint")?;
    let own = library.procedure.joint;
    if joint.value != own {
        let message = format!("{} is an operation of the {own}", library.procedure.id);
        let problem = Problem::new(Code::OtherOperation, joint.at, message, "another joint");
        table.tell(problem.help("check both the joint and the operation"));
    }
    Some(joint.value)
}

fn side(table: &mut TableReader<'_>, library: &Library) -> Option<At<Side>> {
    let side = table.need::<At<Side>>("side")?;
    side_fits(table, library, side.value, &side.at);
    Some(side)
}

/// Checks a side: both for an operation of both, and for no other.
pub fn side_fits(table: &mut TableReader<'_>, library: &Library, side: Side, at: &Span) {
    let operates = library.procedure.operates;
    if (side == Side::Both) == (operates == Operates::Both) {
        return;
    }
    let (of, label) = match operates {
        Operates::One => ("one side", "left or right"),
        Operates::Both => ("both sides", "both"),
    };
    let message = format!("{} is an operation of {of}", library.procedure.id);
    let problem = Problem::new(Code::OtherOperation, at.clone(), message, label);
    table.tell(problem.help(
        "both sides have an operation file of their own: a plan for one leg leans on the other, \
         which is not sound when both are operated on",
    ));
}

/// Reads the language; words in `en` serve `en-GB` too.
fn language(table: &mut TableReader<'_>, library: &Library) -> Option<String> {
    let language = language::need(table)?;
    let main = language.split('-').next().unwrap_or_default();
    let words = &library.procedure.words;
    if !words.contains_key(&language) && !words.contains_key(main) {
        let known: Vec<&str> = words.keys().map(String::as_str).collect();
        let message = format!(
            "{} has no patient words in \"{language}\"",
            library.procedure.id
        );
        let at = table.at_key("language");
        let problem = Problem::new(Code::NoLanguage, at, message, "no words");
        // Languages are short: the near one is another language, not a slip of the keyboard.
        table.tell(problem.help(format!("known here: {}", known.join(", "))));
    }
    Some(language)
}

#[cfg(test)]
mod tests {
    use super::super::samples::only;

    #[test]
    fn the_episode_fits_the_clinic_and_the_operation() {
        only(
            "\"alder-row\"",
            "\"mill-lane\"",
            "BN060",
            "the clinic file is of `alder-row`",
        );
        only(
            "\"knee-total\"",
            "\"knee-totl\"",
            "BN061",
            "the record is about `knee-totl`",
        );
        only(
            "joint = \"knee\"",
            "joint = \"hip\"",
            "BN061",
            "an operation of the knee",
        );
        only(
            "side = \"left\"",
            "side = \"both\"",
            "BN061",
            "an operation of one side",
        );
        only(
            "language = \"en\"",
            "language = \"xx\"",
            "BN069",
            "no patient words in \"xx\"",
        );
        for token in ["A B", "-A", "Zoë", "a/b", &"x".repeat(65)] {
            only(
                "token = \"TE-0007-E1\"",
                &format!("token = \"{token}\""),
                "BN025",
                "`token`",
            );
        }
    }
}
