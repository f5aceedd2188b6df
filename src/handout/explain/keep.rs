//! Why a call cannot leave the sheet at home as it is.

use super::trade;
use crate::domain::keep::NotKept;
use crate::domain::library::Library;
use crate::handout::overtaken::line;

/// Says one reason.
pub fn not_kept(why: &NotKept, library: &Library) -> String {
    match why {
        NotKept::Seen => "the visit was in person, and has a sheet of its own".to_owned(),
        NotKept::Corrects => {
            "the visit corrects one that had a sheet: that was decided with what was wrong"
                .to_owned()
        }
        NotKept::NothingAtHome => "no sheet was given yet".to_owned(),
        NotKept::NoExercises { sheet } => {
            format!("sheet {sheet} withholds exercises: there is nothing to go on with")
        }
        NotKept::PutRight { sheet } => {
            format!("the record was put right after sheet {sheet}, or the operation was moved")
        }
        NotKept::Over { sheet, until } => {
            format!(
                "sheet {sheet} ended, and stood until {}",
                trade::date(*until)
            )
        }
        NotKept::NextVisit { on, until } => format!(
            "the next visit is on {}, and the sheet stands until {} at the latest",
            trade::date(*on),
            trade::date(*until)
        ),
        NotKept::NoNextVisit => {
            "there will be no next visit: a sheet for that has stages".to_owned()
        }
        NotKept::Unanswered => "questions must be answered first; `explain` lists them".to_owned(),
        NotKept::Withheld => "exercises are withheld".to_owned(),
        NotKept::Sign { flag } => format!("a sign is new or worse: {flag}"),
        NotKept::Order { what, on } => {
            format!("the order {what} of {} is newer than it", trade::date(*on))
        }
        NotKept::Overdone => "the last dose was too much: it must be eased".to_owned(),
        NotKept::Action => {
            "what was said or measured asks for something to be done; `explain` says what"
                .to_owned()
        }
        NotKept::Word => "the program was changed by hand at this visit".to_owned(),
        NotKept::Person => {
            "other conditions, frailty, surgeon or positions are not what they were".to_owned()
        }
        NotKept::Line(what) => line(what, library),
    }
}
