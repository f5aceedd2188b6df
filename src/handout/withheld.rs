//! The page that replaces a program, in two forms: at a visit, and by phone.
//!
//! At a visit the clinic has rung; by phone the patient rings. In an emergency both say first which
//! number to ring.

use super::Issue;
use super::actions::{Spoken, script};
use super::error::HandoutError;
use super::frame::frame;
use super::model::{Led, Section, Tier, VoidNote, WithheldPage};
use super::numbers::join;
use super::ring;
use super::tiers::{Days, emergency};
use super::void;
use super::wording::{Wording, unknown};
use chrono::NaiveDate;

use crate::domain::ids::Id;
use crate::domain::phrase::Phrase;
use crate::domain::record::Record;
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
    let days = Days {
        date,
        first: withheld.day,
        last: withheld.day,
    };
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
        level: withheld.level,
        bar: call.bar,
        action: call.action,
        phone: call.phone,
        phone_lines: call.lines,
        why: why(words, withheld)?,
        say: say(words, withheld)?,
        until: until(words, withheld, issue, void.as_ref())?,
        void,
        tier: tier(words, withheld, days)?,
        sign: sign?,
    })
}

/// Writes the emergency box, save on the page of an emergency: its bar says whom to ring.
fn tier(
    words: &Wording<'_>,
    withheld: &Withheld,
    days: Days,
) -> Result<Option<Tier>, HandoutError> {
    if withheld.level == Level::Emergency {
        return Ok(None);
    }
    let signs = emergency(words, days)?;
    let signs = signs.ok_or_else(|| unknown("red flag of level", "emergency"))?;
    Ok(Some(signs))
}

/// Who rings whom.
struct Call {
    bar: String,
    action: String,
    phone: Option<String>,
    lines: Vec<String>,
}

fn call(words: &Wording<'_>, withheld: &Withheld) -> Result<Call, HandoutError> {
    match (withheld.level, withheld.how) {
        (Level::Emergency, how) => in_an_emergency(words, how),
        (Level::SameDay, How::Seen) => at_a_visit(words, Phrase::WithheldGoToday),
        (Level::Within48Hours | Level::NextVisit, How::Seen) => {
            at_a_visit(words, Phrase::WithheldGo48)
        }
        (level, How::Phone) => by_phone(words, level),
    }
}

fn at_a_visit(words: &Wording<'_>, go: Phrase) -> Result<Call, HandoutError> {
    Ok(Call {
        bar: words.plain(Phrase::WithheldBar)?,
        action: words.plain(Phrase::WithheldRung)?,
        phone: None,
        lines: vec![words.plain(go)?, words.plain(Phrase::WithheldTake)?],
    })
}

/// The emergency line first, whoever rings: at a visit a line left unfilled must ring nobody less.
fn in_an_emergency(words: &Wording<'_>, how: How) -> Result<Call, HandoutError> {
    let number = words.library.clinic.emergency.as_deref();
    let take = words.plain(Phrase::WithheldTake)?;
    let (action, lines) = match how {
        How::Seen => {
            let stop = words.plain(Phrase::WithheldBar)?;
            (words.plain(Phrase::WithheldRung)?, vec![stop, take])
        }
        How::Phone => (words.plain(Phrase::WithheldNoExercise)?, vec![take]),
    };
    Ok(Call {
        bar: ring::sentence(words, Level::Emergency)?,
        action,
        phone: number.map(join),
        lines,
    })
}

fn by_phone(words: &Wording<'_>, level: Level) -> Result<Call, HandoutError> {
    let phones = &words.library.clinic.phones;
    let ring = ring::ring(words, level)?;
    Ok(Call {
        bar: words.plain(Phrase::WithheldBar)?,
        action: words.say(Phrase::WithheldSeen, &[("ring", &ring)])?,
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
    let spoken = match (withheld.level, withheld.how) {
        (Level::SameDay | Level::Within48Hours | Level::NextVisit, How::Seen) => Spoken::There,
        (Level::Emergency, _) | (_, How::Phone) => Spoken::Phone,
    };
    let text = script(words, withheld.day, spoken, &said.join(" "))?;
    let rows = vec![Led { lead: None, text }];
    Ok(Section {
        title: words.plain(Phrase::WithheldSay)?,
        rows,
    })
}

/// Finds the last sheet with exercises given before a day: a page that held them back is none, and a
/// void one is not put by for later.
fn with_exercises(record: &Record, date: NaiveDate) -> Option<i64> {
    let before = record.visits.iter().filter(|visit| visit.date <= date);
    let stand = before.filter(|visit| record.voided_by(visit).next().is_none());
    let issued = stand.flat_map(|visit| &visit.issued);
    let sheets = issued.filter(|issued| issued.phase.is_some());
    sheets.map(|issued| issued.sheet).max()
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
    let old = issue.replaces.filter(|_| void.is_none());
    if let Some(old) = old.and_then(|_| with_exercises(words.record, withheld.date.0)) {
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
