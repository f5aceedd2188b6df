//! How much pain is fine and how much is a reason to leave an exercise out, from the bands.

use super::error::HandoutError;
use super::wording::{Wording, unknown};
use crate::domain::fact::FactValue;
use crate::domain::ids::Id;
use crate::domain::quantity::Quantity;
use crate::domain::recorded::Recorded;
use crate::domain::time::Day;
use crate::domain::verdict::Program;
use crate::domain::word::{BandWork, Fact, Word, YesNo};

/// The two numbers of the 0 to 10 scale that a sheet prints.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct PainLines {
    /// Up to and including this, pain is fine for every kind of work.
    pub(super) fine: i64,
    /// From this on, the exercise is left out, whatever its kind of work.
    pub(super) stop: i64,
}

/// Says whether the sheet speaks of medicine for pain: not to somebody who takes none. Where nobody
/// asked it does.
pub(super) fn takes_medicine(program: &Program) -> bool {
    let taken = program.facts.get(Fact::PainMedicine);
    !matches!(taken, Recorded::Yes(dated) if dated.value == FactValue::Word(YesNo::No.as_str().to_owned()))
}

/// Reads both numbers; the strictest of any day of the sheet counts.
pub(super) fn pain_lines(
    words: &Wording<'_>,
    first: Day,
    last: Day,
) -> Result<PainLines, HandoutError> {
    let mut strictest: Option<PainLines> = None;
    for day in (first.get()..=last.get()).map(Day::new) {
        let Some(here) = on(words, day) else { continue };
        strictest = Some(strictest.map_or(here, |before| PainLines {
            fine: before.fine.min(here.fine),
            stop: before.stop.min(here.stop),
        }));
    }
    strictest.ok_or_else(|| unknown("pain bands of", words.library.procedure.id.as_str()))
}

fn on(words: &Wording<'_>, day: Day) -> Option<PainLines> {
    let bands = &words.library.procedure.bands;
    let mut tolerable = Vec::new();
    for work in BandWork::ALL {
        let band = bands
            .iter()
            .find(|band| band.work == *work && band.window.holds(day));
        tolerable.extend(band.map(|band| band.tolerable.get()));
    }
    Some(PainLines {
        fine: *tolerable.iter().min()?,
        stop: tolerable.iter().max()?.saturating_add(1).min(10),
    })
}
