//! What was written, while the disk could not promise to keep it through a power cut.
//!
//! The file is in its place and is read by everybody; undoing it would lose what is there. So it
//! is no error of the command that wrote it, but it is said once the command has ended.

use std::cell::RefCell;
use std::path::Path;

use super::error::StoreError;
use super::write::{folder_of, sync_folder};

thread_local! {
    static UNSAVED: RefCell<Vec<StoreError>> = const { RefCell::new(Vec::new()) };
}

/// Saves the folder of a file that stands in its place, or notes that this failed.
pub(super) fn save_or_note(path: &Path) {
    if let Err(error) = sync_folder(folder_of(path)) {
        UNSAVED.with_borrow_mut(|all| all.push(error));
    }
}

/// Takes what could not be saved since this was last asked.
pub fn take_unsaved() -> Vec<StoreError> {
    UNSAVED.take()
}
