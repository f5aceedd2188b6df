//! What was issued, and the seal that closes a visit, as text.

use chrono::NaiveDate;

use crate::domain::ids::PhaseId;
use crate::domain::record::{IssuedFile, IssuedItem};
use crate::store::error::RecordFault;
use crate::store::sheets::Sheet;

use super::dose::dose_keys;
use super::text::{Keys, date, id, list, text};

/// A handout to be issued; it closes the visit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewIssued {
    /// The visit it is for: the last one, still open.
    pub visit: i64,
    /// Sheet number, from 1, counting up over the episode.
    pub sheet: i64,
    /// First day of use.
    pub use_from: NaiveDate,
    /// Last day of use, included.
    pub use_until: NaiveDate,
    /// Program version.
    pub program: String,
    /// Digest of the built-in library, with its `sha256:`.
    pub library: String,
    /// Digest of the clinic's files, with its `sha256:`.
    pub clinic_files: String,
    /// Phase; a withheld page has none.
    pub phase: Option<PhaseId>,
    /// Lines in the order printed.
    pub items: Vec<IssuedItem>,
    /// The very bytes that go out, one file of each kind.
    pub sheets: Vec<Sheet>,
}

/// Returns the text of what is issued, with its items and files.
pub(in crate::store) fn issued_text(
    issued: &NewIssued,
    files: &[IssuedFile],
) -> Result<String, RecordFault> {
    let mut out = format!("\n[visit.issued]\n{}", issued_keys(issued).lines());
    for item in &issued.items {
        let dose = dose_keys(&item.exercise, &item.dose, &item.slots)?;
        let keys = Keys::none()
            .put("exercise", id(&item.exercise))
            .put("rung", id(&item.rung))
            .table("dose", &dose);
        let keys = if item.may_reach.is_empty() {
            keys
        } else {
            keys.put("may_reach", list(&item.may_reach, id))
        };
        out.push_str("[[visit.issued.item]]\n");
        out.push_str(&keys.lines());
    }
    for file in files {
        let keys = Keys::none()
            .put("name", text(&file.name))
            .put("sha256", text(&file.sha256));
        out.push_str("[[visit.issued.file]]\n");
        out.push_str(&keys.lines());
    }
    Ok(out)
}

/// Returns the text of a seal.
pub(in crate::store) fn seal_text(seal: &str) -> String {
    let keys = Keys::none().put("sha256", text(seal));
    format!("[visit.seal]\n{}", keys.lines())
}

fn issued_keys(issued: &NewIssued) -> Keys {
    Keys::none()
        .put("sheet", issued.sheet)
        .put("use_from", date(issued.use_from))
        .put("use_until", date(issued.use_until))
        .put("program", text(&issued.program))
        .put("library", text(&issued.library))
        .put("clinic_files", text(&issued.clinic_files))
        .may("phase", issued.phase.as_ref(), id)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::samples::new_issued;

    #[test]
    fn an_issued_handout() {
        let files = [IssuedFile {
            name: "TE-0007-E1-sheet-01.pdf".to_owned(),
            sha256: "00ff".to_owned(),
        }];
        let mut issued = new_issued(1, 1);
        assert_eq!(
            issued_text(&issued, &files).unwrap(),
            r#"
[visit.issued]
sheet = 1
use_from = 2026-05-06
use_until = 2026-05-11
program = "0.1.0"
library = "sha256:aa"
clinic_files = "sha256:bb"
phase = "protect"
[[visit.issued.item]]
exercise = "quad-set"
rung = "q1"
dose = { sets = 1, repetitions = 10, hold_s = 5, pause_s = 5, rest_s = 0, slots = ["breakfast", "evening"], days_a_week = 7 }
[[visit.issued.file]]
name = "TE-0007-E1-sheet-01.pdf"
sha256 = "00ff"
"#
        );
        issued.phase = None;
        issued.items.clear();
        let withheld = issued_text(&issued, &files).unwrap();
        assert!(!withheld.contains("phase") && !withheld.contains("item"));
        assert_eq!(seal_text("ab"), "[visit.seal]\nsha256 = \"ab\"\n");
    }
}
