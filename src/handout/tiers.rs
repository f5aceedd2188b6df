//! The three boxes of signs: emergency, ring us today, leave that one out.

use super::error::HandoutError;
use super::model::Tier;
use super::numbers::join;
use super::pain::PainLines;
use super::wording::Wording;
use crate::domain::ids::Id;
use crate::domain::phrase::Phrase;
use crate::domain::time::Day;
use crate::domain::word::Level;

/// Writes the three boxes, most urgent first.
pub(super) fn tiers(
    words: &Wording<'_>,
    pain: PainLines,
    first: Day,
    last: Day,
) -> Result<Vec<Tier>, HandoutError> {
    let phones = &words.library.clinic.phones;
    let mut tiers = Vec::new();
    tiers.extend(emergency(words, first, last)?);
    if let Some(hazard) = hazards(words, Level::SameDay, first, last)? {
        tiers.push(Tier {
            level: Level::SameDay,
            action: words.plain(Phrase::TierSameDay)?,
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
pub(super) fn emergency(
    words: &Wording<'_>,
    first: Day,
    last: Day,
) -> Result<Option<Tier>, HandoutError> {
    let Some(hazard) = hazards(words, Level::Emergency, first, last)? else {
        return Ok(None);
    };
    let action = match &words.library.clinic.emergency {
        Some(number) => words.say(Phrase::TierEmergency, &[("emergency", number)])?,
        None => words.plain(Phrase::TierEmergencyLocal)?,
    };
    Ok(Some(Tier {
        level: Level::Emergency,
        action,
        phone: None,
        hazard,
        consequence: words.plain(Phrase::TierEmergencyWhy)?,
    }))
}

/// Joins the signs of one level that are asked on any of the days.
pub(super) fn hazards(
    words: &Wording<'_>,
    level: Level,
    first: Day,
    last: Day,
) -> Result<Option<String>, HandoutError> {
    let flags = words.library.procedure.red_flags.iter();
    let mut signs = Vec::new();
    for flag in flags.filter(|flag| flag.level == level && flag.window.touches(first, last)) {
        let texts = words.of(&flag.words, "red flag", flag.id.as_str())?;
        signs.push(words.tell(&texts.hazard, &[])?);
    }
    Ok((!signs.is_empty()).then(|| signs.join(" ")))
}
