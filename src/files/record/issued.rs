//! Reads what closed a visit: what was issued, which sheet a call left at home, or that no sheet
//! went out; and its seal.
//!
//! Whether the seal and the files kept are whole is the store's business.

use chrono::NaiveDate;

use crate::domain::exercise::Exercise;
use crate::domain::ids::{ExerciseId, PhaseId, RungId};
use crate::domain::record::{Issued, IssuedFile, IssuedItem};
use crate::domain::word::ClosedWith;

use super::super::codes::Code;
use super::super::control::{digest, plain_digest};
use super::super::kind::{Keys, Kind, may, may_as, need, need_as};
use super::super::problem::Problem;
use super::super::reader::TableReader;
use super::super::source::Span;
use super::super::values::{At, Whole};
use super::dose::{self, DOSE};
use super::known::Known;

type Sheet = Whole<1, 999>;

/// Keys of `issued`.
pub static ISSUED: Keys = Keys {
    what: "`issued`",
    keys: &[
        need::<Sheet>("sheet", "The number of the sheet, counting up."),
        need::<NaiveDate>("use_from", "The first day of use."),
        need::<NaiveDate>("use_until", "The last day of use."),
        need::<String>("program", "The version of banister."),
        need::<String>("library", "The digest of the built-in library."),
        need::<String>("clinic_files", "The digest of the clinic's files."),
        may::<PhaseId>("phase", "The phase; a page without a program has none."),
        may_as("item", Kind::Tables(&ITEM), "What was printed, in order."),
        need_as("file", Kind::Tables(&FILE), "The files that went out."),
    ],
};

static ITEM: Keys = Keys {
    what: "an issued item",
    keys: &[
        need::<ExerciseId>("exercise", "The exercise."),
        need::<RungId>("rung", "The rung."),
        need_as("dose", Kind::Table(&DOSE), "The dose as printed."),
        may::<Vec<RungId>>(
            "may_reach",
            "Rungs the person may have reached alone by the stages of the sheet.",
        ),
    ],
};

static FILE: Keys = Keys {
    what: "an issued file",
    keys: &[
        need::<String>("name", "Its name in the record's folder of sheets."),
        need::<String>("sha256", "Its digest."),
    ],
};

/// Keys of what closes a visit without a sheet.
pub static CLOSED: Keys = Keys {
    what: "`closed`",
    keys: &[need::<ClosedWith>(
        "sheet",
        "That no sheet goes out: the visit corrects one that is not the latest.",
    )],
};

/// Keys of what closes a call that leaves a sheet at home.
pub static KEPT: Keys = Keys {
    what: "`kept`",
    keys: &[need::<Sheet>(
        "sheet",
        "The number of the sheet that stays at home as it is.",
    )],
};

/// Keys of a seal.
pub static SEAL: Keys = Keys {
    what: "a seal",
    keys: &[need::<String>(
        "sha256",
        "The digest of all that stands above it.",
    )],
};

/// What was issued, and the number of the sheet wherever the rest could not be read.
pub struct ReadIssued {
    /// The number of the sheet and its place.
    pub sheet: Option<At<i64>>,
    /// What was issued.
    pub issued: Option<Issued>,
}

/// Reads what was issued.
pub fn read(table: &mut TableReader<'_>, known: Known<'_>) -> ReadIssued {
    let sheet = table.need::<At<Sheet>>("sheet").map(plain);
    ReadIssued {
        issued: issued(table, known, sheet.as_ref().map(|sheet| sheet.value)),
        sheet,
    }
}

fn plain(sheet: At<Sheet>) -> At<i64> {
    At {
        value: sheet.value.0,
        at: sheet.at,
    }
}

/// Reads what closed a visit without a sheet.
pub fn closed(table: &mut TableReader<'_>) -> Option<ClosedWith> {
    table.need("sheet")
}

/// Reads which sheet a call left at home.
pub fn kept(table: &mut TableReader<'_>) -> Option<At<i64>> {
    table.need::<At<Sheet>>("sheet").map(plain)
}

/// Reads a seal.
pub fn seal(table: &mut TableReader<'_>) -> Option<String> {
    plain_digest(table, "sha256")
}

fn issued(table: &mut TableReader<'_>, known: Known<'_>, sheet: Option<i64>) -> Option<Issued> {
    let use_from = table.need::<At<NaiveDate>>("use_from");
    let use_until = table.need::<NaiveDate>("use_until");
    if let (Some(from), Some(until)) = (&use_from, use_until)
        && until < from.value
    {
        let at = table.at_key("use_until");
        let message = "`use_until` lies before `use_from`";
        let problem = Problem::new(Code::Window, at, message, "the last day");
        table.tell(problem.also(from.at.clone(), "the first day"));
    }
    let program = table.need("program");
    let library = digest(table, "library");
    let clinic_files = digest(table, "clinic_files");
    let phase = phase(table, known);
    let items = table.tables("item", &ITEM, |table| item(table, known));
    let files = files(table);
    Some(Issued {
        sheet: sheet?,
        use_from: use_from?.value,
        use_until: use_until?,
        program: program?,
        library: library?,
        clinic_files: clinic_files?,
        phase,
        items,
        files,
        origin: table.at().origin(),
    })
}

fn phase(table: &mut TableReader<'_>, known: Known<'_>) -> Option<PhaseId> {
    let phase = table.may::<At<PhaseId>>("phase")?;
    if known.library().procedure.phase(&phase.value).is_none() {
        gone(table, &format!("phase `{}`", phase.value), phase.at);
    }
    Some(phase.value)
}

fn files(table: &mut TableReader<'_>) -> Vec<IssuedFile> {
    let files = table.tables("file", &FILE, file);
    if !table.has("file") {
        let message = "what was issued names the files that went out";
        table.tell(Problem::new(
            Code::MissingKey,
            table.at(),
            message,
            "no `file`",
        ));
    }
    files
}

/// Reads a file's name, which never leads out of the record's own folder of sheets.
fn file(table: &mut TableReader<'_>) -> Option<IssuedFile> {
    let name = table.need::<At<String>>("name");
    let sha256 = plain_digest(table, "sha256");
    let name = name?;
    let fits = |byte: u8| byte.is_ascii_alphanumeric() || byte == b'-' || byte == b'.';
    if !name.value.bytes().all(fits) || name.value.starts_with('.') {
        let message = "the name of a sheet has letters, digits, hyphens and dots only";
        table.tell(Problem::new(
            Code::BadText,
            name.at,
            message,
            "not a file name",
        ));
    }
    Some(IssuedFile {
        name: name.value,
        sha256: sha256?,
    })
}

fn item(table: &mut TableReader<'_>, known: Known<'_>) -> Option<IssuedItem> {
    let exercise = table.need::<At<ExerciseId>>("exercise");
    let rung = table.need::<At<RungId>>("rung");
    let dose = table.need_table("dose", &DOSE, dose::read);
    let may_reach = table
        .may::<Vec<At<RungId>>>("may_reach")
        .unwrap_or_default();
    let (exercise, rung) = (exercise?, rung?);
    match known.library().exercises.get(&exercise.value) {
        Some(found) => {
            for each in may_reach.iter().chain([&rung]) {
                check_rung(table, found, each);
            }
        }
        None => gone(
            table,
            &format!("exercise `{}`", exercise.value),
            exercise.at,
        ),
    }
    let (dose, slots) = dose?;
    Some(IssuedItem {
        exercise: exercise.value,
        rung: rung.value,
        dose,
        slots,
        may_reach: may_reach.into_iter().map(|rung| rung.value).collect(),
    })
}

fn check_rung(table: &mut TableReader<'_>, exercise: &Exercise, rung: &At<RungId>) {
    if exercise.rung(&rung.value).is_none() {
        let what = format!("rung `{}` of {}", rung.value, exercise.id);
        gone(table, &what, rung.at.clone());
    }
}

/// Tells that the library no longer has something that was issued.
fn gone(table: &mut TableReader<'_>, what: &str, at: Span) {
    let message = format!("{what} was issued, but the library does not have it");
    let problem = Problem::new(Code::UnknownName, at, message, "not in the library");
    table.tell(problem.help(
        "what was issued is never edited: use the library it was issued from, or put the name \
         back into the library",
    ));
}

#[cfg(test)]
mod tests {
    use super::super::samples::{RECORD, line, only, told};

    #[test]
    fn what_was_issued_is_sealed_and_the_other_way_round() {
        let seal = "[visit.seal]\nsha256 = \"ffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff\"\n";
        only(seal, "", "BN066", "not sealed");
        let text = format!("{RECORD}{seal}");
        line(&told(&text), "BN066", "nothing was issued");
        only(
            "sheet = 3",
            "sheet = 1",
            "BN070",
            "sheet 1 cannot follow sheet 1",
        );
        only(
            "use_until = 2026-05-25",
            "use_until = 2026-05-10",
            "BN033",
            "`use_until`",
        );
        only(
            "\"TE-0007-E1-sheet-03.pdf\"",
            "\"../sheet.pdf\"",
            "BN028",
            "letters",
        );
        only(
            "sha256 = \"dddd",
            "sha256 = \"DDDD",
            "BN028",
            "64 hex digits",
        );
    }

    #[test]
    fn a_dose_the_library_no_longer_has_says_what_to_do() {
        only(
            "\"ankle-pump\"\nrung = \"a1\"",
            "\"foot-roll\"\nrung = \"a1\"",
            "BN040",
            "`foot-roll` was issued",
        );
        only(
            "rung = \"wk1\"",
            "rung = \"wk99\"",
            "BN040",
            "rung `wk99` of walking was issued",
        );
        only(
            "phase = \"protect\"",
            "phase = \"guard\"",
            "BN040",
            "phase `guard` was issued",
        );
    }
}
