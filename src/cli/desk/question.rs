//! One question: when it is asked, how it reads, what Enter means.
//!
//! Questions stand in tables, in the order of chart, chair, bed, standing, home.
//! Next: `first` and `follow` hold the tables, `ask` asks them.

use super::kind::{Choice, Kind};
use super::scene::Scene;
use crate::domain::word::Word;

/// Where the clinician is when it is asked; printed when it changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Group {
    /// From the chart.
    Chart,
    /// The screen and what the person tells, sitting.
    Chair,
    /// Measured lying down.
    Bed,
    /// Seen standing and walking.
    Standing,
    /// About home and what comes next.
    Home,
}

impl Group {
    /// Returns the heading on the phone.
    pub const fn heading_by_phone(self) -> &'static str {
        match self {
            Self::Chair => "On the phone",
            Self::Chart | Self::Bed | Self::Standing | Self::Home => self.heading(),
        }
    }

    /// Returns the heading.
    pub const fn heading(self) -> &'static str {
        match self {
            Self::Chart => "Chart",
            Self::Chair => "In the chair",
            Self::Bed => "On the bed",
            Self::Standing => "Standing",
            Self::Home => "Home, and next time",
        }
    }
}

/// What Enter alone means.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fallback {
    /// Nothing: it must be typed, and "not asked" is no answer.
    Must,
    /// Not asked.
    NotAsked,
    /// As if this had been typed; the second text is what the brackets show.
    Typed(String, String),
    /// The same, and "not asked" is no answer.
    MustTyped(String, String),
}

/// How a question reads now.
#[derive(Debug, Clone)]
pub struct Ask {
    /// Lines above the prompt.
    pub before: Vec<String>,
    /// The prompt, without default and colon.
    pub words: String,
    /// What may be typed.
    pub kind: Kind,
    /// What Enter means.
    pub fallback: Fallback,
    /// The last value and its date.
    pub last: Option<String>,
    /// The few words to choose from, in brackets where there is room, else on a line above.
    pub list: Option<String>,
    /// What else must hold of the answer, besides its kind.
    pub check: Option<Check>,
    /// What makes an answer odd enough to ask whether it is meant.
    pub doubt: Option<Doubt>,
}

/// Asks whether an answer is meant, when it is odd; lines above the last one are only told.
pub type Doubt = fn(&Scene<'_>, &str) -> Option<String>;

/// Says what is wrong with an answer in the light of the others.
pub type Check = fn(&Scene<'_>, &str) -> Result<(), String>;

/// Columns a prompt may take, so that there is room to type.
const PROMPT: usize = 74;

impl Ask {
    /// Makes a question that Enter leaves unanswered.
    pub fn new(words: &str, kind: Kind) -> Self {
        Self {
            before: Vec::new(),
            words: words.to_owned(),
            kind,
            fallback: Fallback::NotAsked,
            last: None,
            list: None,
            check: None,
            doubt: None,
        }
    }

    /// Says what else must hold of the answer.
    #[must_use]
    pub fn check(mut self, check: Check) -> Self {
        self.check = Some(check);
        self
    }

    /// Says when an answer is odd enough to ask whether it is meant.
    #[must_use]
    pub fn doubt(mut self, doubt: Doubt) -> Self {
        self.doubt = Some(doubt);
        self
    }

    /// Shows another text for Enter than what it stands for.
    #[must_use]
    pub fn showing(mut self, shown: &str) -> Self {
        if let Fallback::Typed(_, brackets) | Fallback::MustTyped(_, brackets) = &mut self.fallback
        {
            shown.clone_into(brackets);
        }
        self
    }

    /// Says that it must be typed.
    #[must_use]
    pub fn must(mut self) -> Self {
        self.fallback = Fallback::Must;
        self
    }

    /// Gives what Enter takes.
    #[must_use]
    pub fn or(mut self, typed: &str) -> Self {
        let (typed, shown) = (typed.to_owned(), typed.to_owned());
        self.fallback = match self.fallback {
            Fallback::Must | Fallback::MustTyped(..) => Fallback::MustTyped(typed, shown),
            Fallback::NotAsked | Fallback::Typed(..) => Fallback::Typed(typed, shown),
        };
        self
    }

    /// Gives what Enter takes, if there is anything.
    #[must_use]
    pub fn or_last(self, typed: Option<String>) -> Self {
        match typed {
            Some(typed) => self.or(&typed),
            None => self,
        }
    }

    /// Shows the last value and its date.
    #[must_use]
    pub fn last(mut self, last: Option<String>) -> Self {
        self.last = last;
        self
    }

    /// Puts lines above the prompt.
    #[must_use]
    pub fn below(mut self, lines: Vec<String>) -> Self {
        self.before = lines;
        self
    }

    /// Puts the numbered list of its choices above the prompt.
    #[must_use]
    pub fn numbered(self, heading: &str, choices: &[Choice]) -> Self {
        self.numbered_from(1, heading, choices)
    }

    /// Puts a list above the prompt that counts on from an earlier one.
    #[must_use]
    pub fn numbered_from(mut self, first: usize, heading: &str, choices: &[Choice]) -> Self {
        self.before.push(heading.to_owned());
        let lines = (first..).zip(choices);
        self.before
            .extend(lines.map(|(n, choice)| format!("  {n:>2} {}", choice.shown)));
        self
    }

    /// Returns the lines above the prompt.
    pub fn above(&self) -> Vec<String> {
        let mut lines = self.before.clone();
        if let Some(list) = self.list.as_ref().filter(|_| !self.list_fits()) {
            lines.push(format!("  {list}"));
        }
        lines
    }

    fn list_fits(&self) -> bool {
        let list = self
            .list
            .as_ref()
            .map_or(0, |list| list.chars().count() + 3);
        self.bare().chars().count() + list <= PROMPT
    }

    /// Returns the prompt as shown.
    pub fn prompt(&self) -> String {
        match &self.list {
            Some(list) if self.list_fits() => {
                let bare = self.bare();
                let rest = bare.strip_prefix(self.words.as_str()).unwrap_or_default();
                format!("{} ({list}){rest}", self.words)
            }
            Some(_) | None => self.bare(),
        }
    }

    /// Returns the prompt without the words to choose from.
    fn bare(&self) -> String {
        let last = self
            .last
            .as_ref()
            .map_or(String::new(), |last| format!(" ({last})"));
        let default = match &self.fallback {
            Fallback::Must => String::new(),
            Fallback::NotAsked => " [-]".to_owned(),
            Fallback::Typed(_, shown) | Fallback::MustTyped(_, shown) => format!(" [{shown}]"),
        };
        format!("{}{last}{default}: ", self.words)
    }
}

/// One question of a table.
pub struct Question {
    /// Where it is asked.
    pub group: Group,
    /// The flags it answers; the first one given on the command line is answer enough.
    pub flags: &'static [&'static str],
    /// Whether it is asked at all.
    pub when: fn(&Scene<'_>) -> bool,
    /// How it reads.
    pub ask: fn(&Scene<'_>) -> Ask,
}

/// Always asked.
pub fn always(_: &Scene<'_>) -> bool {
    true
}

/// The words of a closed list as choices, read as written.
pub fn words<W: Word>(flag: &'static str) -> Vec<Choice> {
    W::ALL
        .iter()
        .map(|word| Choice {
            flag,
            word: word.as_str().to_owned(),
            shown: word.as_str().replace('-', " "),
        })
        .collect()
}

/// A question with a few words to choose from: `Swelling (1 less, 2 same, 3 more)`.
pub fn one_of(words: &str, choices: Vec<Choice>) -> Ask {
    let list: Vec<String> = (1_usize..)
        .zip(&choices)
        .map(|(n, choice)| format!("{n} {}", choice.shown))
        .collect();
    let mut ask = Ask::new(words, Kind::One(choices));
    ask.list = Some(list.join(", "));
    ask
}

/// Yes and no as choices.
pub fn yes_no(flag: &'static str) -> Vec<Choice> {
    ["yes", "no"]
        .into_iter()
        .map(|word| Choice {
            flag,
            word: word.to_owned(),
            shown: word.to_owned(),
        })
        .collect()
}

/// A yes-or-no question.
pub fn yes_or_no(words: &str, flag: &'static str) -> Ask {
    Ask::new(&format!("{words} (y/n)"), Kind::One(yes_no(flag)))
}
