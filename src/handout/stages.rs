//! Your next weeks: the stages of a program with no next visit, one card each.
//!
//! Only what goes up is said; each dose is set against the one of the stage before.

use super::change::differences;
use super::dates;
use super::entry::{Entries, Entry};
use super::error::HandoutError;
use super::model::{Led, Section, StageCard, Stages};
use super::wording::Wording;
use crate::domain::phrase::Phrase;
use crate::domain::quantity::Quantity;
use crate::domain::verdict::{Program, Stage, StageCheck, StageLine};

/// Writes the stages; nothing when the program has none.
pub(super) fn stages(
    words: &Wording<'_>,
    entries: &Entries<'_>,
    program: &Program,
) -> Result<Option<Stages>, HandoutError> {
    if program.stages.is_empty() {
        return Ok(None);
    }
    let rules = words.library.procedure.settings.stages;
    let days = rules.days.get().to_string();
    let mut cards = Vec::new();
    let mut before: Option<&Stage> = None;
    for (stage, number) in program.stages.iter().zip(1_i64..) {
        cards.push(card(words, entries, (before, stage), number)?);
        before = Some(stage);
    }
    Ok(Some(Stages {
        title: words.plain(Phrase::StagesTitle)?,
        intro: vec![
            words.plain(Phrase::StagesHow)?,
            words.say(Phrase::StagesStay, &[("days", &days)])?,
            words.plain(Phrase::StagesSigns)?,
        ],
        cards,
        after: after(words, program)?,
    }))
}

fn card(
    words: &Wording<'_>,
    entries: &Entries<'_>,
    (before, stage): (Option<&Stage>, &Stage),
    number: i64,
) -> Result<StageCard, HandoutError> {
    let title = words.say(Phrase::StageNumber, &[("n", &number.to_string())])?;
    let date = dates::full(words, stage.from)?;
    let nothing = Section {
        title: String::new(),
        rows: Vec::new(),
    };
    let (Some(before), Some(asked)) = (before, stage.check) else {
        return Ok(StageCard {
            title,
            date: words.say(Phrase::StageToday, &[("date", &date)])?,
            today: Some(words.plain(Phrase::StageTodayDo)?),
            check: nothing.clone(),
            up: nothing,
            fail: None,
        });
    };
    Ok(StageCard {
        title,
        date: words.say(Phrase::StageFrom, &[("date", &date)])?,
        today: None,
        check: check(words, asked)?,
        up: up(words, entries, before, stage)?,
        fail: Some(fail(words, stage, number)?),
    })
}

fn check(words: &Wording<'_>, check: StageCheck) -> Result<Section, HandoutError> {
    let pain = check.pain_at_most.get().to_string();
    let lines = [
        words.say(Phrase::StageCheckPain, &[("pain", &pain)])?,
        words.plain(Phrase::StageCheckMorning)?,
        words.plain(Phrase::StageCheckSwelling)?,
        words.plain(Phrase::StageCheckWalking)?,
        words.plain(Phrase::StageCheckDid)?,
    ];
    Ok(Section {
        title: words.plain(Phrase::StageCheck)?,
        rows: lines.into_iter().map(unled).collect(),
    })
}

fn up(
    words: &Wording<'_>,
    entries: &Entries<'_>,
    before: &Stage,
    stage: &Stage,
) -> Result<Section, HandoutError> {
    let mut rows = Vec::new();
    let all = [&entries.numbered, &entries.daily, &entries.background];
    for entry in all.into_iter().flatten().chain(&entries.advice) {
        let of = |stage: &Stage| -> Option<StageLine> {
            let mut lines = stage.lines.iter();
            lines
                .find(|line| line.exercise == entry.item.exercise)
                .cloned()
        };
        if let (Some(was), Some(now)) = (of(before), of(stage))
            && !now.steps.is_empty()
        {
            rows.push(raised(words, entry, &was, &now)?);
        }
    }
    rows.push(unled(words.plain(Phrase::StageSame)?));
    Ok(Section {
        title: words.plain(Phrase::StageUp)?,
        rows,
    })
}

fn raised(
    words: &Wording<'_>,
    entry: &Entry<'_>,
    was: &StageLine,
    now: &StageLine,
) -> Result<Led, HandoutError> {
    Ok(Led {
        lead: Some(entry.short_name(words)?),
        text: differences(words, entry, &was.dose, &now.dose)?.join(" "),
    })
}

fn fail(words: &Wording<'_>, stage: &Stage, number: i64) -> Result<Led, HandoutError> {
    let before = number.saturating_sub(1).to_string();
    let text = words.say(
        Phrase::StageFail,
        &[
            ("before", &before),
            ("n", &number.to_string()),
            ("date", &dates::full(words, stage.ring_by)?),
            ("phone", &words.library.clinic.phones.same_day),
        ],
    )?;
    Ok(Led {
        lead: Some(words.plain(Phrase::StageFailLead)?),
        text,
    })
}

/// Writes what comes after the last stage: ring, stay, how often, and the end.
fn after(words: &Wording<'_>, program: &Program) -> Result<Section, HandoutError> {
    let settings = &words.library.procedure.settings;
    let until = dates::full(words, program.life.until)?;
    let phone = &words.library.clinic.phones.same_day;
    let early = words.record.day(program.life.until) < settings.range_protected_before;
    let often = if early {
        words.plain(Phrase::StagesAfterEveryDay)?
    } else {
        let days = settings.stages.after_days_a_week.get().to_string();
        words.say(Phrase::StagesAfterDays, &[("n", &days)])?
    };
    let slip = dates::full(words, program.life.slip_until)?;
    let rows = vec![
        Led {
            lead: Some(words.say(Phrase::StagesAfterRingLead, &[("date", &until)])?),
            text: words.say(Phrase::StagesAfterRing, &[("phone", phone)])?,
        },
        Led {
            lead: Some(words.plain(Phrase::StagesAfterStayLead)?),
            text: format!("{} {often}", words.plain(Phrase::StagesAfterStay)?),
        },
        unled(words.say(Phrase::StagesAfterEnd, &[("date", &slip)])?),
    ];
    Ok(Section {
        title: words.say(Phrase::StagesAfter, &[("date", &until)])?,
        rows,
    })
}

fn unled(text: String) -> Led {
    Led { lead: None, text }
}
