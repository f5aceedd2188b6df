//! Reads who stands behind a file and when it must be read again.

use chrono::NaiveDate;

use crate::domain::clinic::{Adopted, Control};
use crate::domain::word::DocumentState;

use super::codes::Code;
use super::kind::{Keys, may, need};
use super::problem::Problem;
use super::reader::TableReader;

/// Keys of a library file's `status`.
pub static STATUS: Keys = Keys {
    what: "a status",
    keys: &[
        need::<DocumentState>("state", "Draft until a clinic adopts it."),
        need::<NaiveDate>("written", "The day it was written."),
        may::<String>("by", "By whom."),
    ],
};

/// Keys of a clinic file's `status`.
pub static CONTROL: Keys = Keys {
    what: "a status",
    keys: &[
        need::<DocumentState>("state", "Where the clinic's own files stand."),
        need::<String>("by", "By whom."),
        need::<NaiveDate>("on", "Since when."),
        need::<NaiveDate>("review_due", "When they must be read again."),
    ],
};

/// Keys of `adopted`.
pub static ADOPTED: Keys = Keys {
    what: "an adopted library",
    keys: &[
        need::<String>("library", "The digest of the built-in library."),
        need::<String>("by", "By whom."),
        need::<NaiveDate>("on", "When."),
        need::<NaiveDate>("review_due", "When it must be read again."),
    ],
};

/// Checks a library file's status; the library itself does not use it.
pub fn status(table: &mut TableReader<'_>) {
    table.need_table("status", &STATUS, |table| {
        let state = table.need::<DocumentState>("state");
        let written = table.need::<NaiveDate>("written");
        table.may::<String>("by");
        state.and(written)
    });
}

/// Reads a clinic file's status.
pub fn control(table: &mut TableReader<'_>) -> Option<Control> {
    let state = table.need("state");
    let by = table.need("by");
    let on = table.need("on");
    let review_due = table.need("review_due");
    Some(Control {
        state: state?,
        by: by?,
        on: on?,
        review_due: review_due?,
    })
}

/// Reads the library a clinic takes on.
pub fn adopted(table: &mut TableReader<'_>) -> Option<Adopted> {
    let library = digest(table, "library");
    let by = table.need("by");
    let on = table.need("on");
    let review_due = table.need("review_due");
    Some(Adopted {
        library: library?,
        by: by?,
        on: on?,
        review_due: review_due?,
    })
}

/// Reads a digest: `sha256:` and 64 hex digits.
pub fn digest(table: &mut TableReader<'_>, name: &'static str) -> Option<String> {
    let text = table.need::<String>(name)?;
    let hex = text.strip_prefix("sha256:").unwrap_or_default();
    if is_hex(hex) {
        return Some(text);
    }
    not_hex(table, name, "`sha256:` and 64 hex digits");
    None
}

/// Reads a digest without its prefix: 64 hex digits.
pub fn plain_digest(table: &mut TableReader<'_>, name: &'static str) -> Option<String> {
    let text = table.need::<String>(name)?;
    if is_hex(&text) {
        return Some(text);
    }
    not_hex(table, name, "64 hex digits");
    None
}

fn is_hex(text: &str) -> bool {
    let hex = |byte: u8| byte.is_ascii_digit() || (b'a'..=b'f').contains(&byte);
    text.len() == 64 && text.bytes().all(hex)
}

fn not_hex(table: &mut TableReader<'_>, name: &str, form: &str) {
    let message = format!("`{name}` must be {form}, in lower case");
    table.tell(Problem::new(Code::BadText, table.at_key(name), message, ""));
}
