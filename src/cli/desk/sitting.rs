//! One conversation: somebody is asked, what they type is kept, and in the end it is written.
//!
//! Must not know a question. Next: `intake` and `visit` say what it is about.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use crate::domain::record::Adjust;

use super::super::error::{CliError, USAGE};
use super::super::pending::Pending;
use super::super::say;
use super::answers::Answers;
use super::ask::{Asking, Ended};
use super::draft::{Draft, Found, Keeper, Purpose};
use super::orders;
use super::print::{Finished, finish};
use super::question::Question;
use super::review::{self, Outcome};
use super::scene::{Cut, Scene};
use super::terminal::{Desk, Said};

/// Makes the visit of the answers; nothing is written.
pub type Build<'b> = dyn Fn(&Scene<'_>) -> Result<Pending, CliError> + 'b;

/// A person at the desk, and the draft of what they type.
pub struct Sitting<'d> {
    /// Who is asked.
    pub desk: &'d mut dyn Desk,
    /// Where the answers are kept meanwhile.
    pub keeper: Keeper,
}

/// What the person did with a draft.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Offered {
    /// Go on, with it or without one.
    GoOn,
    /// Left; the draft stays as it is.
    Left,
}

impl Sitting<'_> {
    /// Asks, shows the sheet, and goes back and forth until it is written or left.
    pub fn hold(
        &mut self,
        scene: &mut Scene<'_>,
        questions: &'static [Question],
        build: &Build<'_>,
        output: Option<&Path>,
    ) -> Result<ExitCode, CliError> {
        match self.converse(scene, questions, build) {
            Ok(Some((pending, how))) => self.write(scene, pending, how, output),
            Ok(None) => {
                self.leave(&scene.answers)?;
                Ok(ExitCode::from(USAGE))
            }
            Err(error) => {
                self.say_kept(&scene.answers);
                Err(error)
            }
        }
    }

    fn write(
        &mut self,
        scene: &Scene<'_>,
        pending: Pending,
        how: Finished,
        output: Option<&Path>,
    ) -> Result<ExitCode, CliError> {
        let later = !pending.later().is_empty();
        let opened = match pending.write() {
            Ok(opened) => opened,
            Err(error) => {
                self.say_kept(&scene.answers);
                return Err(error);
            }
        };
        // From here on the answers stand in the record.
        self.keeper.discard();
        finish(
            self.desk,
            &opened,
            if later { Finished::Late } else { how },
            output,
        )
    }

    fn converse(
        &mut self,
        scene: &mut Scene<'_>,
        questions: &'static [Question],
        build: &Build<'_>,
    ) -> Result<Option<(Pending, Finished)>, CliError> {
        let mut asking = Asking::new(questions);
        let mut changes = Vec::new();
        loop {
            if asking.run(self, scene)? == Ended::Left {
                return Ok(None);
            }
            let Some((pending, outcome)) = self.look(scene, build, &mut changes)? else {
                asking.back(self.desk, scene);
                continue;
            };
            match outcome {
                Outcome::Print => return Ok(Some((pending, Finished::Issue))),
                Outcome::Keep => return Ok(Some((pending, Finished::Keep))),
                Outcome::Save => return Ok(Some((pending, Finished::Save))),
                Outcome::Leave => return Ok(None),
                Outcome::More => scene.go_on(),
                Outcome::Back => {
                    changes = pending.adjusts;
                    asking.back(self.desk, scene);
                }
                Outcome::Again(flags) => {
                    changes = pending.adjusts;
                    self.ask_again(scene, questions, &flags);
                }
            }
        }
    }

    /// Takes the answers back that a sheet hangs on, so that they are asked again.
    fn ask_again(&mut self, scene: &mut Scene<'_>, questions: &[Question], flags: &[String]) {
        let hangs = |question: &&Question| {
            let own = question.flags.iter();
            let mut own = own.filter(|flag| flags.iter().any(|again| again == *flag));
            own.next().is_some() && (question.when)(scene)
        };
        let again: Vec<_> = questions.iter().filter(hangs).map(|q| q.flags).collect();
        if again.is_empty() {
            let flags: Vec<String> = flags.iter().map(|flag| format!("--{flag}")).collect();
            self.desk.tell(&match flags.as_slice() {
                [] => "  Nothing typed here answers that: s saves the visit, to be printed later."
                    .to_owned(),
                flags => format!(
                    "  That is not asked here: s saves the visit; answer with {}.",
                    flags.join(", ")
                ),
            });
        }
        for flags in again {
            scene.answers.take_back(flags);
        }
    }

    /// Makes the visit and shows it; none when the answers do not fit together.
    fn look(
        &mut self,
        scene: &mut Scene<'_>,
        build: &Build<'_>,
        changes: &mut Vec<Adjust>,
    ) -> Result<Option<(Pending, Outcome)>, CliError> {
        orders::put_together(scene);
        let pending = build(scene).and_then(|pending| pending.read().map(|_| pending));
        let mut pending = match pending {
            Ok(pending) => pending,
            Err(error @ (CliError::Typed(_) | CliError::Usage(_) | CliError::Files(_))) => {
                self.desk.tell(&error.told());
                self.desk
                    .tell("Nothing was written. The last question again; < goes further back.");
                return Ok(None);
            }
            Err(error) => return Err(error),
        };
        pending.adjusts.append(changes);
        if scene.cut == Cut::RedFlag && !pending.is_withheld()? {
            return Ok(Some((pending, Outcome::More)));
        }
        let outcome = review::run(self.desk, &mut pending)?;
        Ok(Some((pending, outcome)))
    }

    /// Offers to go on from a draft; there is no default, since it may be somebody else's.
    pub fn offer(
        &mut self,
        paths: &[PathBuf],
        purpose: &Purpose,
        record: &[u8],
        answers: &mut Answers,
    ) -> Result<Offered, CliError> {
        let mut drafts = Vec::new();
        for path in paths {
            match Draft::find(path, purpose) {
                Found::Nothing => {}
                Found::Draft(draft) => drafts.push((path.clone(), *draft)),
                Found::Unreadable(aside) => self.desk.tell(&format!(
                    "Answers kept earlier cannot be read; they were moved to {}",
                    say::shown(&aside)
                )),
            }
        }
        if drafts.is_empty() {
            return Ok(Offered::GoOn);
        }
        self.desk.tell("Typed before and not written:");
        for (n, (_, draft)) in (1_usize..).zip(&drafts) {
            self.desk.tell(&format!("  {n:>2} {}", draft.shown()));
        }
        let Some(chosen) = self.choose(drafts.len())? else {
            return Ok(Offered::Left);
        };
        let taken = chosen
            .checked_sub(1)
            .and_then(|at| drafts.into_iter().nth(at));
        if let Some((path, draft)) = taken {
            if !draft.is_for(record) {
                self.desk.tell(
                    "The record has changed since: what hangs on the last sheet is asked again.",
                );
            }
            draft.resume(answers, record);
            self.keeper.took(path);
        }
        Ok(Offered::GoOn)
    }

    /// Asks which draft; 0 is none of them, and none is leaving.
    fn choose(&mut self, drafts: usize) -> Result<Option<usize>, CliError> {
        let prompt = "Go on with which? its number, or n to begin anew: ";
        loop {
            let Said::Line(line) = self.desk.ask(prompt, "")? else {
                return Ok(None);
            };
            match (line.trim(), line.trim().parse::<usize>()) {
                ("quit" | "<", _) => return Ok(None),
                ("n" | "no", _) => return Ok(Some(0)),
                ("y" | "yes", _) if drafts == 1 => return Ok(Some(1)),
                (_, Ok(n)) if (1..=drafts).contains(&n) => return Ok(Some(n)),
                (typed, _) => self.desk.tell(&format!(
                    "  a number from 1 to {drafts}, or n; not `{typed}`"
                )),
            }
        }
    }

    /// Says that nothing was written, and where the answers are.
    fn leave(&mut self, answers: &Answers) -> Result<(), CliError> {
        let kept = self.keeper.keep(answers)?;
        self.desk.tell(&match kept {
            Some(path) => format!(
                "Nothing was written to the record. Your answers are kept in\n{}\n\
                 and offered again next time.",
                say::shown(&path)
            ),
            None => "Nothing was written.".to_owned(),
        });
        Ok(())
    }

    /// Says where the answers are, when something else went wrong.
    fn say_kept(&mut self, answers: &Answers) {
        if let Ok(Some(path)) = self.keeper.keep(answers) {
            self.desk
                .tell(&format!("Your answers are kept in {}", say::shown(&path)));
        }
    }
}
