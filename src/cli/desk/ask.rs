//! Asks a table of questions, one line each: back, help, leave, and nothing typed is lost.
//!
//! Must not know what a question is about. Next: `review`.

use std::collections::BTreeMap;

use super::super::error::CliError;
use super::kind::{Kind, Taken};
use super::question::{Ask, Fallback, Group, Question};
use super::scene::{Cut, Scene};
use super::sitting::Sitting;
use super::terminal::{Desk, Said};

/// How asking ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ended {
    /// Every question that is asked has its answer.
    Answered,
    /// The person left.
    Left,
}

/// What one prompt led to.
enum Step {
    /// On to the next question.
    On,
    /// Back to the one before.
    Back,
    /// Out.
    Leave,
}

/// Asks what has no answer yet.
pub struct Asking<'q> {
    questions: &'q [Question],
    /// Questions asked here, in order, to go back through.
    path: Vec<usize>,
    /// What was typed at each, to be changed and not typed again.
    typed: BTreeMap<usize, String>,
    group: Option<Group>,
}

impl<'q> Asking<'q> {
    /// Begins at the first question.
    pub fn new(questions: &'q [Question]) -> Self {
        Self {
            questions,
            path: Vec::new(),
            typed: BTreeMap::new(),
            group: None,
        }
    }

    /// Asks until every question is answered or the person leaves.
    pub fn run(
        &mut self,
        sitting: &mut Sitting<'_>,
        scene: &mut Scene<'_>,
    ) -> Result<Ended, CliError> {
        let mut at = 0;
        while let Some(question) = self.questions.get(at) {
            if !is_open(question, scene) {
                if answered(question, scene) && !self.path.contains(&at) {
                    self.path.push(at);
                }
                at += 1;
                continue;
            }
            match self.one(sitting.desk, scene, at, question)? {
                Step::On => {
                    // Asked again after a page: the way back is the order of asking.
                    self.path.retain(|asked| *asked != at);
                    self.path.push(at);
                    at += 1;
                    // A full disk must not stop the visit; leaving says if nothing could be kept.
                    let _ = sitting.keeper.keep(&scene.answers);
                }
                Step::Back => at = self.back(sitting.desk, scene).unwrap_or(at),
                Step::Leave => return Ok(Ended::Left),
            }
        }
        Ok(Ended::Answered)
    }

    /// Takes the last answer back, so that `run` asks it again.
    pub fn back(&mut self, desk: &mut dyn Desk, scene: &mut Scene<'_>) -> Option<usize> {
        scene.cut = Cut::No;
        scene.told = Cut::No;
        let Some(at) = self.path.pop() else {
            desk.tell("  this is the first question");
            return None;
        };
        if let Some(question) = self.questions.get(at) {
            if let [flag] = question.flags
                && let Some(word) = scene.said(flag).filter(|word| !word.contains(['=', ',']))
            {
                // An answer that came from a draft was never typed here.
                self.typed.entry(at).or_insert_with(|| word.to_owned());
            }
            scene.answers.take_back(question.flags);
        }
        Some(at)
    }

    fn one(
        &mut self,
        desk: &mut dyn Desk,
        scene: &mut Scene<'_>,
        at: usize,
        question: &Question,
    ) -> Result<Step, CliError> {
        let ask = (question.ask)(scene);
        self.heading(desk, question.group, scene);
        for line in ask.above() {
            desk.tell(&line);
        }
        let mut typed = self.typed.get(&at).cloned().unwrap_or_default();
        loop {
            let line = match desk.ask(&ask.prompt(), &typed)? {
                Said::Line(line) => line,
                Said::Interrupted | Said::End => return Ok(Step::Leave),
            };
            match line.trim() {
                "<" => return Ok(Step::Back),
                "quit" => return Ok(Step::Leave),
                "?" => {
                    for line in help(&ask, question) {
                        desk.tell(&line);
                    }
                    typed = String::new();
                    continue;
                }
                _ => {}
            }
            match take(&ask, &line, scene) {
                Ok(taken) if meant(desk, &ask, &taken, scene)? => {
                    if let Some(echo) = &taken.echo {
                        desk.tell(&format!("  {echo}"));
                    }
                    self.typed.insert(at, line);
                    scene.answers.put(question.flags, taken.flags);
                    scene.look_at_screen();
                    return Ok(Step::On);
                }
                Ok(_) => {}
                Err(refused) => desk.tell(&format!("  {refused}")),
            }
            typed = plain(&line);
        }
    }

    fn heading(&mut self, desk: &mut dyn Desk, group: Group, scene: &Scene<'_>) {
        if self.group != Some(group) {
            let heading = if scene.by_phone() {
                group.heading_by_phone()
            } else {
                group.heading()
            };
            desk.tell(&format!("\n{heading}"));
            self.group = Some(group);
        }
    }
}

/// Says whether a question is asked and has no answer yet; one that is not asked loses its own.
fn is_open(question: &Question, scene: &mut Scene<'_>) -> bool {
    // The first flag of a question is its answer; the others go with it.
    let given = question.flags.first();
    if given.is_some_and(|flag| scene.answers.was_given(flag)) || scene.cut == Cut::RedFlag {
        return false;
    }
    if !(question.when)(scene) {
        scene.answers.take_back(question.flags);
        return false;
    }
    !answered(question, scene)
}

/// Says whether a question was asked here, or in the draft, and has its answer.
fn answered(question: &Question, scene: &Scene<'_>) -> bool {
    question
        .flags
        .iter()
        .all(|flag| scene.answers.is_answered(flag))
}

/// Takes a line and looks at it in the light of the other answers.
fn take(ask: &Ask, line: &str, scene: &Scene<'_>) -> Result<Taken, String> {
    let taken = understood(ask, line, scene)?;
    if let (Some(check), Some((_, value))) = (ask.check, taken.flags.first()) {
        check(scene, value)?;
    }
    Ok(taken)
}

/// Takes a line: Enter is the default, a hyphen is not asked.
fn understood(ask: &Ask, line: &str, scene: &Scene<'_>) -> Result<Taken, String> {
    let blank = Taken {
        flags: Vec::new(),
        echo: None,
    };
    match (line.trim(), &ask.fallback) {
        ("" | "-", Fallback::NotAsked) | ("-", Fallback::Typed(..)) => Ok(blank),
        ("", Fallback::Typed(typed, _) | Fallback::MustTyped(typed, _)) => {
            let taken = ask.kind.take(typed, scene.date)?;
            // The brackets said it already; only a date says more when it is read back.
            let echo = taken.echo.filter(|_| matches!(ask.kind, Kind::Date { .. }));
            Ok(Taken { echo, ..taken })
        }
        ("", Fallback::Must) => Err("this one must be typed; ? says what is allowed".to_owned()),
        ("-", Fallback::Must | Fallback::MustTyped(..)) => Err(
            "this one has to be asked before there is a sheet; quit keeps what you typed"
                .to_owned(),
        ),
        (typed, _) => ask.kind.take(typed, scene.date),
    }
}

/// Says what may be typed here, and which flag takes it.
fn help(ask: &Ask, question: &Question) -> Vec<String> {
    let mut lines: Vec<String> = ask.kind.allowed();
    lines.push(match &ask.fallback {
        Fallback::Must => "  Enter: nothing; it must be typed".to_owned(),
        Fallback::NotAsked => "  Enter or -: not asked, which is never the same as no".to_owned(),
        Fallback::Typed(_, shown) => format!("  Enter: {shown}   -: not asked"),
        Fallback::MustTyped(_, shown) => format!("  Enter: {shown}"),
    });
    let flags: Vec<String> = question
        .flags
        .iter()
        .filter(|flag| !flag.starts_with('.'))
        .map(|flag| format!("--{flag}"))
        .collect();
    if !flags.is_empty() {
        lines.push(format!("  as a flag: {}", flags.join(", ")));
    }
    lines.push("  <: one step back   quit: leave, nothing is written".to_owned());
    lines
}

/// Asks whether an odd answer is meant.
fn meant(
    desk: &mut dyn Desk,
    ask: &Ask,
    taken: &Taken,
    scene: &Scene<'_>,
) -> Result<bool, CliError> {
    let odd = ask.doubt.zip(taken.flags.first());
    let Some(doubt) = odd.and_then(|(doubt, (_, value))| doubt(scene, value)) else {
        return Ok(true);
    };
    let (above, question) = doubt.rsplit_once('\n').unwrap_or(("", &doubt));
    for line in above.lines() {
        desk.tell(&format!("  {line}"));
    }
    loop {
        let Said::Line(line) = desk.ask(&format!("  {question} (y/n): "), "")? else {
            return Ok(false);
        };
        match line.trim() {
            "y" | "yes" => return Ok(true),
            "n" | "no" | "<" => return Ok(false),
            _ => desk.tell("  y or n"),
        }
    }
}

/// Takes characters away that are none of a line: a pasted escape code must not reach the screen.
pub fn plain(line: &str) -> String {
    line.chars().filter(|c| !c.is_control()).collect()
}
