//! Your rules: what the limits in force say, why, until when, and who set them.

use super::dates;
use super::error::HandoutError;
use super::model::Table;
use super::numbers::{DEGREES, count};
use super::wording::{Wording, unknown};
use crate::domain::ids::Id;
use crate::domain::phrase::Phrase;
use crate::domain::quantity::Quantity;
use crate::domain::record::Until;
use crate::domain::verdict::{LimitInForce, Program};

/// Writes the table; limits without patient words are the clinician's business alone.
pub(super) fn rules(words: &Wording<'_>, program: &Program) -> Result<Option<Table>, HandoutError> {
    let mut rows = Vec::new();
    for limit in &program.limits {
        rows.extend(row(words, limit)?);
    }
    if rows.is_empty() {
        return Ok(None);
    }
    let head = [
        Phrase::RulesHeadRule,
        Phrase::RulesHeadWhy,
        Phrase::RulesHeadUntil,
        Phrase::RulesHeadWho,
    ];
    let head: Result<Vec<_>, _> = head.into_iter().map(|phrase| words.plain(phrase)).collect();
    Ok(Some(Table {
        title: words.plain(Phrase::RulesTitle)?,
        head: head?,
        rows,
    }))
}

fn row(words: &Wording<'_>, limit: &LimitInForce) -> Result<Option<Vec<String>>, HandoutError> {
    let id = limit.limit.as_str();
    let mut limits = words.library.procedure.limits.iter();
    let of_library = limits.find(|known| known.id == limit.limit);
    let of_library = of_library.ok_or_else(|| unknown("limit", id))?;
    if of_library.words.is_empty() {
        return Ok(None);
    }
    let texts = words.of(&of_library.words, "limit", id)?;
    let number = limit.degrees.map(|degrees| degrees.get().to_string());
    let values: Vec<_> = number
        .iter()
        .map(|number| ("degrees", number.as_str()))
        .collect();
    let mut why = words.tell(&texts.why, &values)?;
    if let Some(stop_at) = limit
        .stop_at
        .filter(|stop_at| Some(*stop_at) != limit.degrees)
    {
        let degrees = count(words, DEGREES, stop_at.get())?;
        why = words.say(Phrase::RulesMargin, &[("why", &why), ("degrees", &degrees)])?;
    }
    let until = match limit.until {
        Until::Date(date) => dates::short(words, date)?,
        Until::Asked => words.plain(Phrase::RulesUntilAsked)?,
        Until::Open => words.plain(Phrase::RulesUntilOpen)?,
    };
    let who = match limit.order {
        Some(_) => Phrase::RulesSurgeon,
        None => Phrase::RulesTherapist,
    };
    Ok(Some(vec![
        words.tell(&texts.rule, &values)?,
        why,
        until,
        words.plain(who)?,
    ]))
}
