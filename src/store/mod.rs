//! Writes to disk: blocks appended to a record, seals, issued sheets, output files.
//!
//! A record only ever grows: the new file is the old bytes and a block after them.
//! Must not decide a dose, read a clock or print. Next: `blocks` for the text, `append` for the file.
#![deny(
    clippy::arithmetic_side_effects,
    clippy::as_conversions,
    clippy::float_arithmetic,
    clippy::indexing_slicing,
    clippy::string_slice
)]

mod append;
mod blocks;
mod canonical;
mod chain;
mod compose;
mod digest;
mod disk;
mod error;
#[cfg(test)]
mod faults;
mod issue;
mod lock;
mod names;
mod output;
#[cfg(test)]
mod samples;
mod seal;
mod shape;
mod sheets;
mod unsaved;
mod write;

pub use append::{append, append_all, create_record};
pub use blocks::correction::{NewCorrection, correction_block};
pub use blocks::intake::{
    NewOrder, NewRecord, clear_block, new_record, order_block, override_block,
};
pub use blocks::issued::NewIssued;
pub use blocks::visit::{
    Changes, NewVisit, adjust_block, closed_visit_block, kept_block, visit_block,
};
pub use blocks::{Block, Place};
pub use compose::{MOST_BYTES, compose};
pub use digest::sha256;
#[cfg(test)]
pub(crate) use disk::{Fault, steps_under};
pub use error::{RecordFault, StoreError};
pub use issue::{IssuedRecord, compose_issue, issue};
pub use output::{Existing, write_output};
pub use seal::{SealState, VisitSeal, first_broken, seal_of, verify_all, verify_last};
pub use shape::next_order_id;
pub use sheets::{Sheet, SheetKind, give_back, not_in_record, sheets_folder};
pub use unsaved::take_unsaved;
