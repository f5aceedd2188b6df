//! Your rules: what the limits in force say, why, until when, and who set them.
//!
//! One line a motion: of the limits that stop it the strictest alone is told.

use std::collections::BTreeSet;

use super::angle::{SetBy, set_by};
use super::dates;
use super::error::HandoutError;
use super::model::{Led, Table};
use super::numbers::{DEGREES, count};
use super::wording::Wording;
use crate::domain::ids::{Id, LimitId};
use crate::domain::limit::{LimitRule, LimitWords, When};
use crate::domain::phrase::Phrase;
use crate::domain::quantity::Quantity;
use crate::domain::record::Until;
use crate::domain::stop::{Stop, StopUntil};
use crate::domain::verdict::{LimitInForce, Program};

/// What is told of one limit.
struct Told<'a> {
    limit: &'a LimitInForce,
    /// Where a motion stops; none of a limit that stops no motion.
    stop: Option<Stop<'a>>,
    until: StopUntil,
}

/// Lists the limits that are told: the strictest of each motion, and each other one once.
fn told(program: &Program) -> Vec<Told<'_>> {
    let mut seen: BTreeSet<&LimitId> = BTreeSet::new();
    let mut all = Vec::new();
    for limit in &program.limits {
        let stop = match &limit.rule {
            LimitRule::Motion { of, .. } => program.stop(*of),
            LimitRule::Forbid(_) | LimitRule::AllOf(_) => None,
        };
        let limit = stop.map_or(limit, |stop| stop.set_by);
        if seen.insert(&limit.limit) {
            let until = StopUntil::Set(longest(program, limit));
            all.push(Told {
                limit,
                stop,
                until: stop.map_or(until, |stop| stop.until),
            });
        }
    }
    all
}

/// Returns until when a limit stands that more than one order brings.
fn longest(program: &Program, limit: &LimitInForce) -> Until {
    let same = program.limits.iter();
    let same = same.filter(|other| other.limit == limit.limit);
    let untils = same.map(|other| other.until);
    untils.fold(limit.until, Until::later)
}

/// Writes the table; limits without patient words are the clinician's business alone.
pub(super) fn rules(words: &Wording<'_>, program: &Program) -> Result<Option<Table>, HandoutError> {
    let mut rows = Vec::new();
    for told in told(program) {
        rows.extend(row(words, program, &told)?);
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

/// Writes for the first page where each motion stops, whoever set it, and the other rules of the
/// surgeon or of a fact; what else a flag brings has its own page.
pub(super) fn today(words: &Wording<'_>, program: &Program) -> Result<Vec<Led>, HandoutError> {
    let mut lines = Vec::new();
    for told in told(program) {
        let of_library = words.limit(&told.limit.limit)?;
        let ruled = match of_library.when {
            When::Order(_) | When::Fact(_) => true,
            When::Always | When::Condition(_) | When::Flag(_) | When::Raised(_) => {
                of_library.profile.is_some() || told.stop.is_some()
            }
        };
        if let (true, Some(texts)) = (ruled, texts(words, told.limit)?) {
            lines.push(Led {
                lead: Some(words.plain(Phrase::LeadRule)?),
                text: rule(words, texts, &told)?,
            });
        }
    }
    Ok(lines)
}

/// Finds the words of a limit; none when it is not printed for the patient.
fn texts<'a>(
    words: &Wording<'a>,
    limit: &LimitInForce,
) -> Result<Option<&'a LimitWords>, HandoutError> {
    let id = &limit.limit;
    let of_library = words.limit(id)?;
    if of_library.words.is_empty() {
        return Ok(None);
    }
    words.of(&of_library.words, "limit", id.as_str()).map(Some)
}

fn rule(words: &Wording<'_>, texts: &LimitWords, told: &Told<'_>) -> Result<String, HandoutError> {
    let number = told.stop.map(|stop| stop.degrees.get().to_string());
    let values: Vec<_> = number
        .iter()
        .map(|number| ("degrees", number.as_str()))
        .collect();
    words.tell(&texts.rule, &values)
}

fn row(
    words: &Wording<'_>,
    program: &Program,
    told: &Told<'_>,
) -> Result<Option<Vec<String>>, HandoutError> {
    let Some(texts) = texts(words, told.limit)? else {
        return Ok(None);
    };
    let mut why = words.tell(&texts.why, &[])?;
    if let Some(stop) = told.stop.filter(|stop| stop.stop_at != stop.degrees) {
        let degrees = count(words, DEGREES, stop.stop_at.get())?;
        why = words.say(Phrase::RulesMargin, &[("why", &why), ("degrees", &degrees)])?;
    }
    let until = match told.until {
        StopUntil::Set(Until::Date(date)) => {
            let last = dates::short(words, date)?;
            // Its doses do not change on the way, and nobody is told that they may.
            if told.stop.is_some() && date < program.life.slip_until {
                words.say(Phrase::RulesUntilThenStay, &[("date", &last)])?
            } else {
                last
            }
        }
        StopUntil::Set(Until::Asked) => words.plain(Phrase::RulesUntilAsked)?,
        StopUntil::Set(Until::Open) => words.plain(Phrase::RulesUntilOpen)?,
        StopUntil::SheetEnds => words.plain(Phrase::RulesUntilSheet)?,
    };
    let who = match set_by(words, told.limit)? {
        SetBy::Surgeon => Phrase::RulesSurgeon,
        SetBy::Therapist => Phrase::RulesTherapist,
        SetBy::Sign(_) => Phrase::RulesSign,
    };
    Ok(Some(vec![
        rule(words, texts, told)?,
        why,
        until,
        words.plain(who)?,
    ]))
}
