//! The page that replaces a program, in two forms: at a visit, and by phone.
//!
//! At a visit the clinic has rung; by phone the patient rings.

use super::Issue;
use super::actions::{Spoken, script};
use super::error::HandoutError;
use super::frame::frame;
use super::model::{Led, Section, VoidNote, WithheldPage};
use super::numbers::join;
use super::tiers::emergency;
use super::void;
use super::wording::{Wording, unknown};
use crate::domain::ids::Id;
use crate::domain::phrase::Phrase;
use crate::domain::verdict::Withheld;
use crate::domain::word::{FlagEffect, How, Level};

/// The condition of someone who takes a blood thinner, as procedures name it.
const BLOOD_THINNER: &str = "blood-thinner";

/// Writes the page.
pub(super) fn withheld(
    words: &Wording<'_>,
    withheld: &Withheld,
    issue: Issue,
) -> Result<WithheldPage, HandoutError> {
    let date = withheld.date.0;
    let title = words.say(
        Phrase::WithheldTitle,
        &[
            ("token", &words.record.episode.token),
            ("sheet", &issue.sheet.to_string()),
        ],
    )?;
    let call = call(words, withheld)?;
    let signs = emergency(words, withheld.day, withheld.day)?;
    let labels = [
        Phrase::WithheldSignWho,
        Phrase::WithheldSignTime,
        Phrase::SignTherapist,
    ];
    let sign: Result<Vec<_>, _> = labels.into_iter().map(|label| words.plain(label)).collect();
    let void = void::note(words, date, issue, void::Under::Withheld)?;
    Ok(WithheldPage {
        frame: frame(words, date, issue, title)?,
        name_box: words.plain(Phrase::NameBox)?,
        bar: call.bar,
        action: call.action,
        phone: call.phone,
        phone_lines: call.lines,
        why: why(words, withheld)?,
        say: say(words, withheld)?,
        until: until(words, withheld, issue, void.as_ref())?,
        void,
        tier: signs.ok_or_else(|| unknown("red flag of level", "emergency"))?,
        sign: sign?,
    })
}

/// Who rings whom.
struct Call {
    bar: String,
    action: String,
    phone: Option<String>,
    lines: Vec<String>,
}

fn call(words: &Wording<'_>, withheld: &Withheld) -> Result<Call, HandoutError> {
    match withheld.how {
        How::Seen => at_a_visit(words, withheld.level),
        How::Phone if withheld.level == Level::Emergency => by_phone_emergency(words),
        How::Phone => by_phone(words, withheld.level),
    }
}

fn at_a_visit(words: &Wording<'_>, level: Level) -> Result<Call, HandoutError> {
    let go = match level {
        Level::Emergency => Phrase::WithheldGoNow,
        Level::SameDay => Phrase::WithheldGoToday,
        Level::Within48Hours | Level::NextVisit => Phrase::WithheldGo48,
    };
    Ok(Call {
        bar: words.plain(Phrase::WithheldBar)?,
        action: words.plain(Phrase::WithheldRung)?,
        phone: None,
        lines: vec![words.plain(go)?, words.plain(Phrase::WithheldTake)?],
    })
}

fn by_phone_emergency(words: &Wording<'_>) -> Result<Call, HandoutError> {
    let number = words.library.clinic.emergency.as_deref();
    let bar = match number {
        Some(number) => words.say(Phrase::WithheldBarEmergency, &[("emergency", number)])?,
        None => words.plain(Phrase::WithheldBarEmergencyLocal)?,
    };
    Ok(Call {
        bar,
        action: words.plain(Phrase::WithheldNoExercise)?,
        phone: number.map(join),
        lines: vec![words.plain(Phrase::WithheldTake)?],
    })
}

fn by_phone(words: &Wording<'_>, level: Level) -> Result<Call, HandoutError> {
    let phones = &words.library.clinic.phones;
    let action = match level {
        Level::Emergency | Level::SameDay => Phrase::WithheldRingToday,
        Level::Within48Hours => Phrase::WithheldRing48,
        Level::NextVisit => Phrase::WithheldRingNext,
    };
    Ok(Call {
        bar: words.plain(Phrase::WithheldBar)?,
        action: words.plain(action)?,
        phone: Some(join(&phones.same_day)),
        lines: vec![words.say(Phrase::WithheldClosed, &[("closed", &phones.closed)])?],
    })
}

fn why(words: &Wording<'_>, withheld: &Withheld) -> Result<Section, HandoutError> {
    let mut rows = Vec::new();
    for raised in &withheld.flags {
        let (_, texts) = words.flag(&raised.flag)?;
        rows.push(Led {
            lead: Some(words.tell(&texts.finding, &[])?),
            text: words.tell(&texts.consequence, &[])?,
        });
    }
    Ok(Section {
        title: words.plain(Phrase::WithheldWhy)?,
        rows,
    })
}

fn say(words: &Wording<'_>, withheld: &Withheld) -> Result<Section, HandoutError> {
    let mut said = Vec::new();
    for raised in &withheld.flags {
        let (_, texts) = words.flag(&raised.flag)?;
        said.push(words.tell(&texts.say, &[])?);
    }
    let spoken = match withheld.how {
        How::Seen => Spoken::There,
        How::Phone => Spoken::Phone,
    };
    let text = script(words, withheld.day, spoken, &said.join(" "))?;
    let rows = vec![Led { lead: None, text }];
    Ok(Section {
        title: words.plain(Phrase::WithheldSay)?,
        rows,
    })
}

/// Writes what holds until they are seen; a void sheet is not put by for later.
fn until(
    words: &Wording<'_>,
    withheld: &Withheld,
    issue: Issue,
    void: Option<&VoidNote>,
) -> Result<Section, HandoutError> {
    let mut lines: Vec<String> = Vec::new();
    for raised in withheld
        .flags
        .iter()
        .filter(|flag| flag.effect == FlagEffect::Withhold)
    {
        let (_, texts) = words.flag(&raised.flag)?;
        for text in &texts.until {
            let line = words.tell(text, &[])?;
            if !lines.contains(&line) {
                lines.push(line);
            }
        }
    }
    let patient = words.patient(withheld.date.0);
    let conditions = patient.conditions.as_ref().known();
    if conditions.is_none_or(|all| all.iter().any(|each| each.as_str() == BLOOD_THINNER)) {
        lines.push(words.plain(Phrase::WithheldThinner)?);
    }
    lines.push(words.plain(Phrase::WithheldDrive)?);
    lines.push(words.plain(Phrase::WithheldAgain)?);
    if let Some(old) = issue.replaces.filter(|_| void.is_none()) {
        lines.push(words.say(Phrase::WithheldOldSheet, &[("old", &old.to_string())])?);
    }
    let rows = lines
        .into_iter()
        .map(|text| Led { lead: None, text })
        .collect();
    Ok(Section {
        title: words.plain(Phrase::WithheldUntil)?,
        rows,
    })
}
