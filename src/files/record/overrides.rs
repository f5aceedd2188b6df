//! Reads the limits a named clinician sets aside.

use chrono::NaiveDate;

use crate::domain::ids::{Id, LimitId};
use crate::domain::limit::{LiftedBy, Limit, When};
use crate::domain::order_kind::WEIGHT_BEARING;
use crate::domain::record::LimitOverride;

use super::super::codes::Code;
use super::super::kind::{Keys, need};
use super::super::nearest;
use super::super::problem::Problem;
use super::super::reader::TableReader;
use super::super::values::At;
use super::known::Known;
use super::orders::not_before;

/// Keys of an override.
pub static OVERRIDE: Keys = Keys {
    what: "an override of a limit",
    keys: &[
        need::<LimitId>("limit", "The limit that is set aside."),
        need::<String>("by", "Who sets it aside."),
        need::<NaiveDate>("on", "When."),
        need::<String>("because", "Why."),
        need::<NaiveDate>("until", "The last day it is set aside."),
    ],
};

/// Reads one override.
pub fn read(table: &mut TableReader<'_>, known: Known<'_>) -> Option<LimitOverride> {
    let limit = table.need::<At<LimitId>>("limit");
    if let Some(limit) = &limit {
        check(table, known, limit);
    }
    let by = table.need("by");
    let on = table.need::<At<NaiveDate>>("on");
    let because = table.need("because");
    let until = table.need::<NaiveDate>("until");
    if let (Some(on), Some(until)) = (&on, until) {
        not_before(table, on, until);
    }
    Some(LimitOverride {
        limit: limit?.value,
        by: by?,
        on: on?.value,
        because: because?,
        until: until?,
    })
}

/// Checks that there is such a limit, and that it is the clinician's to lift.
fn check(table: &mut TableReader<'_>, known: Known<'_>, name: &At<LimitId>) {
    let limits = &known.library().procedure.limits;
    let Some(limit) = limits.iter().find(|limit| limit.id == name.value) else {
        let words: Vec<&str> = limits.iter().map(|limit| limit.id.as_str()).collect();
        let given = name.value.as_str();
        let message = format!("there is no limit `{given}`");
        let problem = Problem::new(Code::UnknownName, name.at.clone(), message, "not known");
        table.tell(problem.help(nearest::help(given, &words)));
        return;
    };
    if let Some(help) = not_the_clinicians(limit) {
        let message = format!("the limit `{}` is not the clinician's to lift", limit.id);
        let problem = Problem::new(Code::NotToLift, name.at.clone(), message, "");
        table.tell(problem.help(help));
    }
}

/// Says who lifts a limit that is not the clinician's, and how.
fn not_the_clinicians(limit: &Limit) -> Option<String> {
    match limit.lifted_by() {
        LiftedBy::Clinician => None,
        LiftedBy::Assessment => {
            let help = "a red flag brings it, and it goes when the sign is answered no; some go for the \
                        assessed sign too: `banister clear`, then `known` at the visit";
            Some(help.to_owned())
        }
        LiftedBy::Surgeon => Some(match (&limit.profile, &limit.when) {
            (Some(profile), _) => format!(
                "it belongs to the profile `{profile}`, which is for the surgeon to pick: `banister \
                 order RECORD OTHER-PROFILE`"
            ),
            (None, When::Order(kind)) => format!(
                "the surgeon ordered it; a newer order ends it: `banister order RECORD {kind} \
                 lifted`"
            ),
            (
                None,
                When::Fact(_) | When::Always | When::Condition(_) | When::Flag(_) | When::Raised(_),
            ) => format!(
                "the surgeon ordered it; a newer order replaces it: `banister order RECORD \
                 {WEIGHT_BEARING} VALUE`"
            ),
        }),
    }
}
