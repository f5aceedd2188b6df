//! Asks a table of questions, one line each: back, help, leave, and nothing typed is lost.
//!
//! Must not know what a question is about. Next: `review`.

use std::collections::BTreeMap;

use super::super::error::CliError;
use super::kind::{Kind, Taken};
use super::question::{Ask, Fallback, Group, Question};
use super::scene::{Cut, Scene};
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
    pub fn run(&mut self, desk: &mut dyn Desk, scene: &mut Scene<'_>) -> Result<Ended, CliError> {
        let mut at = 0;
        while let Some(question) = self.questions.get(at) {
            if !is_open(question, scene) {
                if answered(question, scene) && !self.path.contains(&at) {
                    self.path.push(at);
                }
                at += 1;
                continue;
            }
            match self.one(desk, scene, at, question)? {
                Step::On => {
                    self.path.push(at);
                    at += 1;
                }
                Step::Back => at = self.back(desk, scene).unwrap_or(at),
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
        self.heading(desk, question.group);
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
                }
                _ => match take(&ask, &line, scene) {
                    Ok(taken) => {
                        if let Some(echo) = &taken.echo {
                            desk.tell(&wrapped(echo));
                        }
                        self.typed.insert(at, line);
                        scene.answers.put(question.flags, taken.flags);
                        scene.look_at_screen();
                        return Ok(Step::On);
                    }
                    Err(refused) => {
                        desk.tell(&wrapped(&refused));
                        typed = line;
                    }
                },
            }
        }
    }

    fn heading(&mut self, desk: &mut dyn Desk, group: Group) {
        if self.group != Some(group) {
            desk.tell(&format!("\n{}", group.heading()));
            self.group = Some(group);
        }
    }
}

/// Says whether a question is asked and has no answer yet; one that is not asked loses its own.
fn is_open(question: &Question, scene: &mut Scene<'_>) -> bool {
    let given = question
        .flags
        .iter()
        .any(|flag| scene.answers.was_given(flag));
    if given || scene.cut == Cut::RedFlag {
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
        ("", Fallback::Typed(typed, _)) => {
            let taken = ask.kind.take(typed, scene.date)?;
            // The brackets said it already; only a date says more when it is read back.
            let echo = taken.echo.filter(|_| matches!(ask.kind, Kind::Date { .. }));
            Ok(Taken { echo, ..taken })
        }
        ("", Fallback::Must) => Err("this one must be typed; ? says what is allowed".to_owned()),
        ("-", Fallback::Must) => Err(
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

/// Indents and wraps an answer of ours to 80 columns.
pub fn wrapped(text: &str) -> String {
    let mut lines = vec![String::from(" ")];
    for word in text.split_whitespace() {
        let full = lines
            .last()
            .is_some_and(|line| line.chars().count() + word.chars().count() + 1 > 78);
        if full {
            lines.push(String::from("   "));
        }
        if let Some(line) = lines.last_mut() {
            line.push(' ');
            line.push_str(word);
        }
    }
    lines.join("\n")
}
