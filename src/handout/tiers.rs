//! The three boxes of signs: emergency, ring us today, leave that one out.

use chrono::NaiveDate;

use super::error::HandoutError;
use super::model::Tier;
use super::numbers::join;
use super::pain::PainLines;
use super::ring::ring;
use super::wording::Wording;
use crate::domain::ids::Id;
use crate::domain::phrase::Phrase;
use crate::domain::time::Day;
use crate::domain::verdict::Program;
use crate::domain::word::Level;

/// The days a page is for, and the date of its visit.
#[derive(Debug, Clone, Copy)]
pub(super) struct Days {
    /// The visit: who the person is goes by it.
    pub(super) date: NaiveDate,
    /// First day.
    pub(super) first: Day,
    /// Last day.
    pub(super) last: Day,
}

impl Days {
    /// Returns those of a program.
    pub(super) fn of(words: &Wording<'_>, program: &Program) -> Self {
        Self {
            date: program.date.0,
            first: words.record.day(program.life.from),
            last: words.record.day(program.life.until),
        }
    }
}

/// Writes the three boxes, most urgent first.
pub(super) fn tiers(
    words: &Wording<'_>,
    pain: PainLines,
    days: Days,
) -> Result<Vec<Tier>, HandoutError> {
    let phones = &words.library.clinic.phones;
    let mut tiers = Vec::new();
    tiers.extend(emergency(words, days)?);
    if let Some(hazard) = hazards(words, Level::SameDay, days)? {
        tiers.push(Tier {
            level: Level::SameDay,
            action: ring(words, Level::SameDay)?,
            phone: Some(join(&phones.same_day)),
            hazard,
            consequence: words.say(Phrase::TierSameDayWhy, &[("closed", &phones.closed)])?,
        });
    }
    tiers.push(Tier {
        level: Level::NextVisit,
        action: words.plain(Phrase::TierLeaveOut)?,
        phone: None,
        hazard: words.say(
            Phrase::TierLeaveOutSigns,
            &[("stop", &pain.stop.to_string())],
        )?,
        consequence: words.plain(Phrase::TierLeaveOutWhy)?,
    });
    Ok(tiers)
}

/// Writes the emergency box, with the clinic's own number or none.
pub(super) fn emergency(words: &Wording<'_>, days: Days) -> Result<Option<Tier>, HandoutError> {
    let Some(hazard) = hazards(words, Level::Emergency, days)? else {
        return Ok(None);
    };
    Ok(Some(Tier {
        level: Level::Emergency,
        action: ring(words, Level::Emergency)?,
        phone: None,
        hazard,
        consequence: words.plain(Phrase::TierEmergencyWhy)?,
    }))
}

/// Joins the signs of one level that this person is asked on any of the days.
pub(super) fn hazards(
    words: &Wording<'_>,
    level: Level,
    days: Days,
) -> Result<Option<String>, HandoutError> {
    let flags = words.library.procedure.red_flags.iter();
    let conditions = words.patient(days.date).conditions.as_ref();
    let asked = flags
        .filter(|flag| flag.level == level && flag.window.touches(days.first, days.last))
        .filter(|flag| flag.concerns(conditions));
    let mut signs = Vec::new();
    for flag in asked {
        let texts = words.of(&flag.words, "red flag", flag.id.as_str())?;
        signs.push(words.tell(&texts.hazard, &[])?);
    }
    Ok((!signs.is_empty()).then(|| signs.join(" ")))
}
