//! Your rules: what the limits in force say, why, until when, and who set them.

use std::collections::BTreeSet;

use super::dates;
use super::error::HandoutError;
use super::model::{Led, Table};
use super::numbers::{DEGREES, count};
use super::wording::{Wording, unknown};
use crate::domain::ids::Id;
use crate::domain::limit::{Limit, When};
use crate::domain::phrase::Phrase;
use crate::domain::quantity::{Degrees, Quantity};
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

/// Writes the surgeon's rules, and what a fact brings, for the first page; a flag has its own page.
pub(super) fn today(words: &Wording<'_>, program: &Program) -> Result<Vec<Led>, HandoutError> {
    let mut told = BTreeSet::new();
    let mut lines = Vec::new();
    for limit in &program.limits {
        let of_library = known(words, limit)?;
        let ruled = match of_library.when {
            When::Order(_) | When::Fact(_) => true,
            When::Always | When::Condition(_) | When::Flag(_) => of_library.profile.is_some(),
        };
        if ruled && !of_library.words.is_empty() && told.insert(&limit.limit) {
            let texts = words.of(&of_library.words, "limit", limit.limit.as_str())?;
            let most = strictest(program, limit).map(|degrees| degrees.get().to_string());
            let values: Vec<_> = most.iter().map(|most| ("degrees", most.as_str())).collect();
            lines.push(Led {
                lead: Some(words.plain(Phrase::LeadRule)?),
                text: words.tell(&texts.rule, &values)?,
            });
        }
    }
    Ok(lines)
}

/// Returns the least that any order of one limit allows.
fn strictest(program: &Program, limit: &LimitInForce) -> Option<Degrees> {
    let same = program.limits.iter();
    let same = same.filter(|other| other.limit == limit.limit);
    same.filter_map(|other| other.degrees).min()
}

fn known<'a>(words: &Wording<'a>, limit: &LimitInForce) -> Result<&'a Limit, HandoutError> {
    let mut limits = words.library.procedure.limits.iter();
    let found = limits.find(|known| known.id == limit.limit);
    found.ok_or_else(|| unknown("limit", limit.limit.as_str()))
}

fn row(words: &Wording<'_>, limit: &LimitInForce) -> Result<Option<Vec<String>>, HandoutError> {
    let id = limit.limit.as_str();
    let of_library = known(words, limit)?;
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
