//! A visit that is not written yet: the record as it would become, decided on and changed.
//!
//! Nothing reaches the disk before `write`. Next: `desk::review` shows it.

use std::sync::Arc;

use crate::domain::ids::ExerciseId;
use crate::domain::record::{Adjust, Record, Visit};
use crate::domain::recorded::Recorded;
use crate::domain::time::VisitDate;
use crate::domain::verdict::Verdict;
use crate::domain::word::AdjustAction;
use crate::engine::decide;
use crate::files::record;
use crate::files::source::{RECORD_BYTES, SourceFile};
use crate::store::{
    Block, NewVisit, adjust_block, append as append_block, append_all, compose, create_record,
};

use super::append::{block_of, corrected};
use super::error::CliError;
use super::open::{Opened, Telling, told};

/// Where the record is so far.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Start {
    /// Nowhere: its file is made with the visit.
    NewFile,
    /// On the disk.
    OnDisk,
}

/// A record, and what would be added to it.
#[derive(Debug)]
pub struct Pending {
    /// The record as it is, with its library.
    pub opened: Opened,
    /// Where it is.
    pub start: Start,
    /// The visit to be added; none when the open visit is reviewed.
    pub visit: Option<NewVisit>,
    /// The clinician's changes so far.
    pub adjusts: Vec<Adjust>,
}

impl Pending {
    /// Returns the record's bytes as they would become.
    fn bytes(&self) -> Result<Vec<u8>, CliError> {
        let fault = |fault: crate::store::RecordFault| CliError::Usage(fault.to_string());
        if let Some(visit) = &self.visit {
            return compose(&self.opened.bytes, &self.block(visit)).map_err(fault);
        }
        let n = self.opened.record.visits.last().map_or(0, |visit| visit.n);
        let mut bytes = self.opened.bytes.clone();
        for adjust in &self.adjusts {
            bytes = compose(&bytes, &adjust_block(n, adjust)).map_err(fault)?;
        }
        Ok(bytes)
    }

    fn block(&self, visit: &NewVisit) -> Block {
        let mut visit = visit.clone();
        visit.adjust.extend(self.adjusts.iter().cloned());
        block_of(&self.opened.record, &visit)
    }

    /// Takes the clinician's word on an exercise back; what stands on the disk is answered by a
    /// later word, which is returned.
    pub fn take_word_back(&mut self, exercise: &ExerciseId) -> Vec<Adjust> {
        let of_it = |change: &Adjust| change.exercise == *exercise;
        self.adjusts.retain(|change| !of_it(change));
        if let Some(visit) = &mut self.visit {
            visit.adjust.retain(|change| !of_it(change));
            return Vec::new();
        }
        let open = self.opened.record.open_visit();
        let written = open.filter(|visit| visit.adjust.iter().any(of_it));
        let word = written.map(|visit| Adjust {
            exercise: exercise.clone(),
            action: AdjustAction::AsDecided,
            rung: Recorded::NotRecorded,
            because: "Taken back before printing.".to_owned(),
            by: visit.by.clone(),
        });
        word.into_iter().collect()
    }

    /// Lists the visits after the one that is corrected: with any, no sheet goes out for it.
    pub fn later(&self) -> Vec<&Visit> {
        let corrects = self.visit.as_ref().and_then(|visit| visit.corrects);
        let old = corrected(&self.opened.record, corrects);
        old.map_or(Vec::new(), |old| self.opened.record.after(old))
    }

    /// Reads the record as it would become.
    pub fn read(&self) -> Result<Record, CliError> {
        let shown = format!("{} (as it would be)", self.opened.path.display());
        let full = |problems| told(&problems, Telling::Full);
        let bytes = self.bytes()?;
        let file: Arc<SourceFile> =
            SourceFile::from_bytes(&shown, &bytes, RECORD_BYTES).map_err(full)?;
        record::read(&file, &self.opened.library).map_err(full)
    }

    /// Decides on the record as it would become.
    pub fn decide(&self, record: &Record) -> Option<Verdict> {
        let visit: &Visit = record.visits.last()?;
        Some(decide(&self.opened.library, record, VisitDate(visit.date)))
    }

    /// Says whether a red flag withholds the program.
    pub fn is_withheld(&self) -> Result<bool, CliError> {
        let record = self.read()?;
        Ok(matches!(self.decide(&record), Some(Verdict::Withheld(_))))
    }

    /// Writes what was pending, all of it or nothing, and opens the record anew.
    pub fn write(self) -> Result<Opened, CliError> {
        let record = self.read()?;
        let bytes = match (&self.visit, self.start) {
            (_, Start::NewFile) => {
                let bytes = self.bytes()?;
                create_record(&self.opened.path, &bytes)?;
                bytes
            }
            (Some(visit), Start::OnDisk) => {
                let block = self.block(visit);
                append_block(&self.opened.path, &self.opened.bytes, &block)?
            }
            (None, Start::OnDisk) => {
                let n = record.visits.last().map_or(0, |visit| visit.n);
                let words = self.adjusts.iter().map(|adjust| adjust_block(n, adjust));
                let blocks: Vec<Block> = words.collect();
                append_all(&self.opened.path, &self.opened.bytes, &blocks)?
            }
        };
        Ok(Opened {
            bytes,
            record,
            ..self.opened
        })
    }
}
