//! The review screen: what will be printed, and one key each to change it.
//!
//! Every change is decided on anew by the engine; what a hard limit forbids stays out.

mod change;
mod keys;
#[cfg(test)]
mod tests;

use std::collections::BTreeSet;

use crate::domain::ids::ExerciseId;
use crate::domain::keep::{AtHome, NotKept};
use crate::domain::library::Library;
use crate::domain::record::Record;
use crate::domain::verdict::{Asked, Question, Unanswered, Verdict};
use crate::domain::word::{Fact, How, Word};
use crate::engine::keep::keep;
use crate::handout::explain::{
    Review, explain_exercise, explain_program, ladder, not_kept, review,
};

use super::super::error::CliError;
use super::super::pending::Pending;
use super::super::say;
use super::terminal::{Desk, Said};
use change::{change, usual_line};
use keys::Key;

/// How the review ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outcome {
    /// Issue the sheet.
    Print,
    /// Leave the sheet at home as it is.
    Keep,
    /// Write the visit, leave it open.
    Save,
    /// Back to the answers.
    Back,
    /// The questions of these flags again: the sheet hangs on them.
    Again(Vec<String>),
    /// On with the questions that wait.
    More,
    /// Leave without writing.
    Leave,
}

/// The screen now.
struct Screen {
    record: Record,
    verdict: Verdict,
    shown: Option<Review>,
    /// For a call: the sheet that may stay at home, or why none may.
    home: Option<Result<AtHome, Vec<NotKept>>>,
}

/// Shows the sheet until somebody decides.
pub fn run(desk: &mut dyn Desk, pending: &mut Pending) -> Result<Outcome, CliError> {
    if !pending.later().is_empty() {
        return late(desk, pending);
    }
    let mut screen = look(pending)?;
    show(desk, pending, &screen);
    loop {
        let Said::Line(line) = desk.ask("> ", "")? else {
            return Ok(Outcome::Leave);
        };
        let shown = screen.shown.as_ref();
        let numbered = shown.map_or(&[][..], |shown| &shown.numbered);
        let key = match keys::read(&line, numbered, &pending.opened.library) {
            Ok(key) => key,
            Err(refused) => {
                desk.tell(&format!("  {refused}"));
                continue;
            }
        };
        if let Some(outcome) = ended(desk, pending, &screen, &key) {
            return Ok(outcome);
        }
        let Key::Change(wanted) = key else {
            continue;
        };
        if let Some(next) = change(desk, pending, &screen, wanted)? {
            let moved = moved(&screen, &next);
            screen = next;
            show(desk, pending, &screen);
            for line in moved {
                desk.tell(&line);
            }
        }
    }
}

/// Answers a key that changes nothing: ends the review, or shows something.
fn ended(desk: &mut dyn Desk, pending: &Pending, screen: &Screen, key: &Key) -> Option<Outcome> {
    let library = &pending.opened.library;
    match (key, &screen.verdict) {
        (Key::Back, _) => return Some(Outcome::Back),
        (Key::Leave, _) => return Some(Outcome::Leave),
        (Key::Keep, _) => match &screen.home {
            Some(Ok(_)) => return Some(Outcome::Keep),
            Some(Err(_)) => tell(desk, &at_home(pending, screen)),
            None => desk.tell("  k is for calls: a visit in person has a sheet of its own"),
        },
        (Key::Save, _) => return Some(Outcome::Save),
        (Key::More, Verdict::Withheld(_)) => return Some(Outcome::More),
        (Key::Print, Verdict::Program(_) | Verdict::Withheld(_)) => return Some(Outcome::Print),
        (Key::Again, Verdict::Unanswered(page)) => {
            return Some(Outcome::Again(asked_again(page, library)));
        }
        (Key::More, Verdict::Program(_) | Verdict::Unanswered(_)) => {
            desk.tell("  every question has been asked");
        }
        (Key::Print, Verdict::Unanswered(_)) => {
            desk.tell("  there is no sheet before these are answered: a asks them again");
        }
        (Key::Again, Verdict::Program(_) | Verdict::Withheld(_)) => {
            desk.tell("  nothing is open; p prints");
        }
        (Key::Nothing, Verdict::Unanswered(_)) => {
            desk.tell("  a asks these again; ? lists the keys");
        }
        (Key::Nothing, Verdict::Program(_) | Verdict::Withheld(_)) => {
            let keeps = matches!(screen.home, Some(Ok(_)));
            desk.tell(if keeps {
                "  k keeps the sheet at home, p prints a new one; ? lists the keys"
            } else {
                "  p prints; ? lists the keys"
            });
        }
        (Key::Help, verdict) => {
            tell(desk, &at_home(pending, screen));
            tell(desk, words_of(verdict));
        }
        (Key::Why(exercise), _) => why(desk, pending, screen, exercise),
        (Key::Ladder(exercise), _) => {
            desk.tell(&format!("  {exercise}"));
            tell(desk, &ladder(library, exercise));
        }
        (Key::LeftOut, _) => {
            let shown = screen.shown.as_ref();
            tell(desk, shown.map_or(&[][..], |shown| &shown.left_out));
        }
        (Key::Change(_), _) => {}
    }
    None
}

/// Says what else came and went with a change.
fn moved(before: &Screen, now: &Screen) -> Vec<String> {
    let on = |screen: &Screen| {
        let shown = screen.shown.as_ref();
        shown.map_or(Vec::new(), |shown| shown.numbered.clone())
    };
    let (before, now) = (on(before), on(now));
    let list = |what: &str, from: &[ExerciseId], not: &[ExerciseId]| {
        let new: Vec<String> = from
            .iter()
            .filter(|id| !not.contains(id))
            .map(ToString::to_string)
            .collect();
        (!new.is_empty()).then(|| format!("{what}: {}", new.join(", ")))
    };
    [
        list("Now on the sheet", &now, &before),
        list("No longer on it", &before, &now),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Shows a correction of a visit that others follow: no sheet goes out for it.
fn late(desk: &mut dyn Desk, pending: &Pending) -> Result<Outcome, CliError> {
    desk.tell("\nOther visits follow this one: no sheet goes out for it.");
    for visit in pending.later() {
        if let Some(issued) = &visit.issued {
            desk.tell(&format!(
                "  Sheet {} (visit {} of {}) was decided with what was typed before.",
                issued.sheet, visit.n, visit.date
            ));
        }
    }
    desk.tell("\np write it   < back to the answers   quit leave, nothing is written");
    loop {
        match desk.ask("> ", "")? {
            Said::Interrupted | Said::End => return Ok(Outcome::Leave),
            Said::Line(line) => match line.trim() {
                "p" | "s" => return Ok(Outcome::Save),
                "<" => return Ok(Outcome::Back),
                "quit" => return Ok(Outcome::Leave),
                other => desk.tell(&format!("  `{other}` is no key here")),
            },
        }
    }
}

/// Finds the flags that would answer what a sheet hangs on.
fn asked_again(page: &Unanswered, library: &Library) -> Vec<String> {
    let of_fact = |fact: Fact| {
        if matches!(fact, Fact::Wound | Fact::GivingWay) {
            vec!["screen".to_owned()]
        } else if fact == Fact::Response {
            ["pain", "morning", "swelling"].map(str::to_owned).to_vec()
        } else {
            vec![fact.as_str().replace('_', "-")]
        }
    };
    let one = |flag: &str| Some(vec![flag.to_owned()]);
    let flag = |question: &Question| match question {
        Question::Screen { .. } => one("screen"),
        Question::Conditions => one("conditions"),
        Question::WeightBearing | Question::StandingOrders => one("surgeon"),
        Question::Fact { fact } => Some(of_fact(*fact)),
        Question::Criterion { criterion, phase } => {
            let (_, phase) = library.procedure.phase(phase)?;
            let known = phase.safety.iter().find(|known| known.id == *criterion)?;
            Some(of_fact(known.test.fact))
        }
        Question::NoVisit | Question::OpenOrder { .. } | Question::BeyondLibrary { .. } => None,
    };
    let asked = page.questions.iter().map(|(question, _)| question);
    let flags: BTreeSet<String> = asked.filter_map(flag).flatten().collect();
    flags.into_iter().collect()
}

fn look(pending: &Pending) -> Result<Screen, CliError> {
    let record = pending.read()?;
    let Some(verdict) = pending.decide(&record) else {
        return Err(CliError::Usage("there is no visit to look at".to_owned()));
    };
    let shown = match &verdict {
        Verdict::Program(program) => Some(review(program, &pending.opened.library, &record)),
        Verdict::Withheld(_) | Verdict::Unanswered(_) => None,
    };
    let call = record.visits.last().filter(|visit| visit.how == How::Phone);
    let home = call.map(|call| keep(&pending.opened.library, &record, call));
    Ok(Screen {
        record,
        verdict,
        shown,
        home,
    })
}

fn show(desk: &mut dyn Desk, pending: &Pending, screen: &Screen) {
    desk.tell("");
    match &screen.shown {
        Some(shown) => tell(desk, &shown.lines),
        None => desk.tell(&explain_program(
            &screen.verdict,
            &pending.opened.library,
            &screen.record,
        )),
    }
    if let Some(line) = usual_line(pending, screen) {
        desk.tell(&format!("  {line}"));
    }
    for line in next_commands(pending, screen) {
        desk.tell(&line);
    }
    desk.tell("");
    tell(desk, &at_home(pending, screen));
    tell(desk, words_of(&screen.verdict));
}

/// Says of a call whether the sheet at home may stay, which is the usual end, or why not.
fn at_home(pending: &Pending, screen: &Screen) -> Vec<String> {
    match &screen.home {
        Some(Ok(home)) => vec![format!(
            "k keep sheet {} at home, as it is until {}: nothing is printed",
            home.sheet, home.until
        )],
        Some(Err(against)) => {
            let reasons: Vec<String> = against
                .iter()
                .map(|why| not_kept(why, &pending.opened.library))
                .collect();
            vec![format!(
                "The sheet at home does not stay: {}.",
                reasons.join("; ")
            )]
        }
        None => Vec::new(),
    }
}

/// Says which command goes on from here, where one does.
fn next_commands(pending: &Pending, screen: &Screen) -> Vec<String> {
    let path = say::shown(&pending.opened.path);
    match &screen.verdict {
        Verdict::Program(_) => Vec::new(),
        Verdict::Withheld(page) => {
            let mut lines = vec!["Once somebody has assessed it:".to_owned()];
            let flags = page.flags.iter();
            lines.extend(
                flags.map(|raised| format!("  banister clear {path} {} --by WHO", raised.flag)),
            );
            lines
        }
        Verdict::Unanswered(page) => {
            let surgeon = |(_, asked): &&(Question, Asked)| *asked == Asked::Surgeon;
            if page.questions.iter().any(|question| surgeon(&question)) {
                vec![
                    "The question slip for the surgical team, once the visit is saved:".to_owned(),
                    format!("  banister form orders {path} -o slip.pdf"),
                ]
            } else {
                Vec::new()
            }
        }
    }
}

fn words_of(verdict: &Verdict) -> &'static [&'static str] {
    match verdict {
        Verdict::Program(_) => keys::PROGRAM,
        Verdict::Withheld(_) => keys::WITHHELD,
        Verdict::Unanswered(_) => keys::UNANSWERED,
    }
}

fn tell<L: AsRef<str>>(desk: &mut dyn Desk, lines: &[L]) {
    for line in lines {
        desk.tell(line.as_ref());
    }
}

fn why(desk: &mut dyn Desk, pending: &Pending, screen: &Screen, exercise: &ExerciseId) {
    let library = &pending.opened.library;
    let words = explain_exercise(&screen.verdict, library, &screen.record, exercise);
    desk.tell(&words.unwrap_or_default());
}
