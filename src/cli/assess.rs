//! Which signs are there to be assessed, and what an assessment then means at a visit.
//!
//! Must not write. Next: `append` adds the assessment, the desk asks about answers it touches.

use chrono::{Days, NaiveDate};

use crate::domain::ids::FlagId;
use crate::domain::library::Library;
use crate::domain::quantity::Quantity;
use crate::domain::record::{Clearance, Record, Visit};
use crate::domain::word::{FlagEffect, ScreenAnswer};

/// Says why a sign cannot be assessed on a day: nobody raised it, or it came after that day.
pub fn not_raised(record: &Record, flag: &FlagId, on: NaiveDate, path: &str) -> Option<String> {
    let answers: Vec<(&Visit, ScreenAnswer)> = record
        .effective()
        .into_iter()
        .rev()
        .filter_map(|visit| Some((visit, visit.screened(flag)?)))
        .collect();
    let newest = answers
        .iter()
        .find(|(_, answer)| *answer == ScreenAnswer::Yes)
        .map(|(visit, _)| *visit);
    let Some((last, answer)) = answers.first() else {
        return Some(format!(
            "{flag} was not asked at any visit, so there is nothing to assess. If the sign is \
             there, write the visit first: banister visit {path} --screen {flag}=yes"
        ));
    };
    let too_early = |new: &Visit| {
        (on < new.date).then(|| {
            format!(
                "{flag} was answered yes on {}, after that assessment of {on}: it is a new sign, \
                 to be assessed again. If it is the assessed one, unchanged, the answer is \
                 `known`: banister visit {path} --corrects {} --screen {flag}=known",
                new.date, new.n
            )
        })
    };
    let open = newest.filter(|new| !record.assessed_after(flag, new, NaiveDate::MAX));
    match (answer, newest, open) {
        (ScreenAnswer::Yes, Some(new), _) | (_, _, Some(new)) => too_early(new),
        (ScreenAnswer::Known, _, None) | (ScreenAnswer::Yes, None, None) => None,
        (ScreenAnswer::No, _, None) => Some(format!(
            "{flag} was answered no on {}, so there is nothing to assess. If the sign is there, \
             write the visit first: banister visit {path} --screen {flag}=yes",
            last.date
        )),
    }
}

/// Says that an assessment would count for longer than the procedure lets it.
pub fn too_long(library: &Library, on: NaiveDate, until: NaiveDate) -> Option<String> {
    let bounds = &library.procedure.settings.bounds;
    let most = bounds.clearance_days_most;
    let days = u64::try_from(most.get()).unwrap_or_default();
    let last = on.checked_add_days(Days::new(days))?;
    (until > last).then(|| {
        format!(
            "--until {until}: an assessment of {on} counts for {} days at the most, until {last}; \
             left out, it counts for {}. A sign that is still there then is assessed again",
            most.get(),
            bounds.clearance_days.get()
        )
    })
}

/// Says how the assessed sign is answered from now on.
pub fn answered_from_now_on(record: &Record, flag: &FlagId, path: &str) -> Vec<String> {
    let mut lines = vec![format!(
        "At a visit the assessed sign, unchanged, is `known`; `yes` is new or worse since, and is \
         raised again."
    )];
    let open = record.open_visit();
    if let Some(visit) = open.filter(|visit| visit.screened(flag) == Some(ScreenAnswer::Yes)) {
        lines.push(format!(
            "Visit {} of {} is open and says yes. If that is the assessed sign:\n  banister visit \
             {path} --corrects {} --screen {flag}=known",
            visit.n, visit.date, visit.n
        ));
    }
    lines
}

/// Asks about the answers to a screen on a day that an assessment touches, in lines of which the
/// last one is the question; none when there is nothing odd.
pub fn doubtful(
    library: &Library,
    record: &Record,
    earlier: &[&Visit],
    date: NaiveDate,
    screen: &[(FlagId, ScreenAnswer)],
) -> Option<String> {
    let looked = Looked {
        library,
        record,
        earlier,
        date,
    };
    let of = |wanted: ScreenAnswer| {
        let asked = screen.iter().filter(move |(_, answer)| *answer == wanted);
        asked.map(|(flag, _)| flag)
    };
    let new: Vec<String> = of(ScreenAnswer::Yes)
        .filter_map(|flag| looked.new_since(flag))
        .collect();
    let known: Vec<String> = of(ScreenAnswer::Known)
        .filter_map(|flag| looked.unassessed(flag))
        .collect();
    let answered = |flag: &FlagId| {
        let mut own = screen.iter().filter(|(id, _)| id == flag);
        own.next().map_or(ScreenAnswer::No, |(_, answer)| *answer)
    };
    let gone = gone_unassessed(library, record, earlier, answered);
    let question = match (new.is_empty(), known.is_empty() && gone.is_empty()) {
        (true, true) => return None,
        (true, false) => "Meant so? n asks again: 4k is there, unchanged",
        (false, _) => "NEW or worse since then? n asks again: 4k is the assessed one",
    };
    let lines = new.iter().chain(&known).chain(&gone);
    let lines: Vec<&str> = lines.map(String::as_str).collect();
    Some(format!("{}\n{question}", lines.join("\n")))
}

/// Names the signs that narrow a program, were there at the last visit, were assessed by nobody
/// since, and are answered no now: no says that they are gone.
pub fn gone_unassessed(
    library: &Library,
    record: &Record,
    earlier: &[&Visit],
    answered: impl Fn(&FlagId) -> ScreenAnswer,
) -> Vec<String> {
    let Some(last) = earlier.first() else {
        return Vec::new();
    };
    let flags = library.procedure.red_flags.iter();
    flags
        .filter(|flag| flag.effect == FlagEffect::Restrict)
        .map(|flag| &flag.id)
        .filter(|flag| last.screened(flag) == Some(ScreenAnswer::Yes))
        .filter(|flag| !record.assessed_after(flag, last, NaiveDate::MAX))
        .filter(|flag| answered(flag) == ScreenAnswer::No)
        .map(|flag| {
            format!(
                "{flag} was yes on {} and nobody is on record as having assessed it: no says that \
                 it is gone. Still there and unchanged is `known`.",
                last.date
            )
        })
        .collect()
}

/// What the answers to a screen are held against.
struct Looked<'a> {
    library: &'a Library,
    record: &'a Record,
    /// Visits before this one, latest first.
    earlier: &'a [&'a Visit],
    date: NaiveDate,
}

impl Looked<'_> {
    /// Finds the assessment that counts longest of those made by the day, and its last day.
    fn longest(&self, flag: &FlagId) -> Option<(NaiveDate, &Clearance)> {
        let most = self.library.procedure.settings.bounds.clearance_days_most;
        let known = self.record.assessments(flag, self.date);
        known
            .map(|clear| (clear.last_day(most), clear))
            .max_by_key(|(until, _)| *until)
    }

    /// Says when a sign was assessed, while that counts.
    fn new_since(&self, flag: &FlagId) -> Option<String> {
        let (until, clear) = self.longest(flag)?;
        (self.date <= until).then(|| {
            format!(
                "{flag} was assessed on {} by {}; that counts until {until}.",
                clear.on, clear.by
            )
        })
    }

    /// Says why "known" does not let the exercises go on.
    fn unassessed(&self, flag: &FlagId) -> Option<String> {
        let known = self.library.procedure.red_flag(flag)?;
        if known.effect != FlagEffect::Withhold {
            return None;
        }
        let mut earlier = self.earlier.iter();
        let newest = earlier.find(|visit| visit.screened(flag) == Some(ScreenAnswer::Yes));
        let again = newest.filter(|new| !self.record.assessed_after(flag, new, self.date));
        let why = match (self.longest(flag), again) {
            (None, _) => "no assessment is on record".to_owned(),
            (Some(_), Some(new)) => format!("it was new again on {}, after that", new.date),
            (Some((until, _)), None) if self.date > until => {
                format!("its assessment counted until {until}")
            }
            (Some(_), None) => return None,
        };
        Some(format!(
            "{flag} is known, but {why}: no exercises until it is assessed."
        ))
    }
}
