//! Kinds of answers: what may be typed, and the flags it becomes.
//!
//! A refusal says what is allowed and what was typed; nothing is ever guessed from a wrong word.
//! Must not know a question. Next: `question`.

use chrono::NaiveDate;

use crate::domain::line::check;
use crate::domain::quantity::Quantity;

use super::answers::Flag;
use super::dates::{self, Lean};
use super::numbers::{Picked, picked};

/// One answer of a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// The flag it belongs to.
    pub flag: &'static str,
    /// The word the flag takes.
    pub word: String,
    /// What the person reads.
    pub shown: String,
}

/// What may be typed.
#[derive(Debug, Clone)]
pub enum Kind {
    /// One of a few words, by number, word or beginning.
    One(Vec<Choice>),
    /// None or several of a numbered list.
    Many(Vec<Choice>),
    /// What is missing of what most homes have, and `+` what is there besides.
    Home {
        /// What most homes have.
        usual: Vec<Choice>,
        /// What few homes have.
        besides: Vec<Choice>,
    },
    /// Red flags by number; `k` after a number says that it is known and unchanged.
    Screen(Vec<Choice>),
    /// Exercises not done well by number, `c` after a number: corrected; the rest was done well.
    Sight(Vec<Choice>),
    /// A whole number, both ends included.
    Whole {
        /// The flag.
        flag: &'static str,
        /// Smallest.
        least: i64,
        /// Largest.
        most: i64,
        /// Unit word.
        unit: &'static str,
    },
    /// A date, or one of these words.
    Date {
        /// The flag.
        flag: &'static str,
        /// Which way a date without a year leans.
        lean: Lean,
        /// Words allowed besides a date.
        words: &'static [&'static str],
    },
    /// One line of text.
    Line {
        /// The flag.
        flag: &'static str,
    },
    /// The same word once more, in full.
    Again {
        /// What must be typed.
        word: String,
    },
}

/// An answer understood.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Taken {
    /// Flags and values.
    pub flags: Vec<(Flag, String)>,
    /// What was understood, when it is not what was typed.
    pub echo: Option<String>,
}

impl Kind {
    /// Makes the kind for a bounded number.
    pub fn whole<Q: Quantity>(flag: &'static str) -> Self {
        Self::Whole {
            flag,
            least: Q::MIN,
            most: Q::MAX,
            unit: Q::MANY,
        }
    }

    /// Makes the kind for a number whose ends are the record's own.
    pub const fn between(flag: &'static str, ends: [i64; 2], unit: &'static str) -> Self {
        let [least, most] = ends;
        Self::Whole {
            flag,
            least,
            most,
            unit,
        }
    }

    /// Understands what was typed on a day, or says what is allowed.
    pub fn take(&self, typed: &str, today: NaiveDate) -> Result<Taken, String> {
        match self {
            Self::One(choices) => one(choices, typed),
            Self::Many(choices) => {
                let picked = picked(choices, typed, "")?;
                Ok(joined(choices, &picked, "none"))
            }
            Self::Home { usual, besides } => home(usual, besides, typed),
            Self::Screen(choices) => screen(choices, typed),
            Self::Sight(choices) => sight(choices, typed),
            Self::Whole {
                flag,
                least,
                most,
                unit,
            } => whole(flag, *least, *most, unit, typed),
            Self::Date { flag, lean, words } => date(flag, *lean, words, typed, today),
            Self::Line { flag } => line(flag, typed),
            Self::Again { word } => again(word, typed),
        }
    }
}

fn one(choices: &[Choice], typed: &str) -> Result<Taken, String> {
    let choice = find(choices, typed)?;
    // What was typed as a number or cut short is read back; y and n need no reading back.
    let plain = typed.trim() == choice.word || ["yes", "no"].contains(&choice.word.as_str());
    let echo = (!plain).then(|| choice.shown.clone());
    Ok(Taken {
        flags: vec![(choice.flag.to_owned(), choice.word.clone())],
        echo,
    })
}

/// Finds a choice by number, word or the beginning of either form.
pub fn find<'a>(choices: &'a [Choice], typed: &str) -> Result<&'a Choice, String> {
    let typed = typed.trim().to_lowercase();
    if let Ok(n) = typed.parse::<usize>() {
        let found = n.checked_sub(1).and_then(|at| choices.get(at));
        return found.ok_or_else(|| format!("there are numbers 1 to {} here", choices.len()));
    }
    if let Some(exact) = choices
        .iter()
        .find(|choice| choice.word == typed || choice.shown.to_lowercase() == typed)
    {
        return Ok(exact);
    }
    let mut begin = choices.iter().filter(|choice| {
        !typed.is_empty()
            && (choice.word.starts_with(&typed) || choice.shown.to_lowercase().starts_with(&typed))
    });
    match (begin.next(), begin.next()) {
        (Some(only), None) => Ok(only),
        (Some(first), Some(second)) => Err(format!(
            "`{typed}` begins both `{}` and `{}`; type one more letter, or its number",
            first.shown, second.shown
        )),
        (None, _) => Err(unknown(choices, &typed)),
    }
}

/// Says that a word is not known here, with the nearest one and all that are.
fn unknown(choices: &[Choice], typed: &str) -> String {
    let words: Vec<&str> = choices.iter().map(|choice| choice.word.as_str()).collect();
    let near = crate::cli::typed::nearest(typed, &words);
    let near = near.map_or_else(
        || ".".to_owned(),
        |word| format!("; did you mean `{word}`?"),
    );
    let list = if choices.len() > 6 {
        format!("its number, 1 to {}", choices.len())
    } else {
        words.join(", ")
    };
    format!("`{typed}` is not known here{near} Allowed: {list}")
}

/// Joins what was picked, flag by flag; a flag with nothing picked takes `empty`.
fn joined(choices: &[Choice], picked: &[Picked<'_>], empty: &str) -> Taken {
    let mut flags: Vec<(Flag, String)> = Vec::new();
    for choice in choices {
        if !flags.iter().any(|(flag, _)| flag == choice.flag) {
            let words: Vec<&str> = picked
                .iter()
                .filter(|pick| pick.choice.flag == choice.flag)
                .map(|pick| pick.choice.word.as_str())
                .collect();
            let value = if words.is_empty() {
                empty.to_owned()
            } else {
                words.join(",")
            };
            flags.push((choice.flag.to_owned(), value));
        }
    }
    Taken {
        flags,
        echo: listed(picked),
    }
}

/// Reads back what was picked by number.
fn listed(picked: &[Picked<'_>]) -> Option<String> {
    let shown: Vec<String> = picked
        .iter()
        .map(|pick| match pick.mark {
            Some('k') => format!("{} (known)", pick.choice.shown),
            Some('c') => format!("{} (corrected)", pick.choice.shown),
            Some(_) | None => pick.choice.shown.clone(),
        })
        .collect();
    (!shown.is_empty()).then(|| shown.join("; "))
}

/// Takes away what is missing, adds what is there besides, and reads both back.
fn home(usual: &[Choice], besides: &[Choice], typed: &str) -> Result<Taken, String> {
    let all: Vec<Choice> = usual.iter().chain(besides).cloned().collect();
    let (mut gone, mut there) = (Vec::new(), Vec::new());
    for word in typed.to_lowercase().split([' ', ',', ';']) {
        match word.strip_prefix('+') {
            _ if word.is_empty() || word == "none" => {}
            Some(more) => there.extend(picked(&all, more, "")?),
            None => gone.extend(picked(&all, word, "")?),
        }
    }
    if let Some(pick) = gone.iter().find(|pick| besides.contains(pick.choice)) {
        return Err(format!(
            "{} counts as missing already; + before its number says that it is there",
            pick.choice.shown
        ));
    }
    let mut kept: Vec<&Choice> = usual
        .iter()
        .filter(|choice| !gone.iter().any(|pick| pick.choice == *choice))
        .collect();
    kept.extend(there.iter().map(|pick| pick.choice));
    let words: Vec<&str> = kept.iter().map(|choice| choice.word.as_str()).collect();
    let value = if words.is_empty() {
        "none".to_owned()
    } else {
        words.join(",")
    };
    let flag = all.first().map_or("equipment", |choice| choice.flag);
    let said = [("missing", &gone), ("there besides", &there)];
    let said: Vec<String> = said
        .into_iter()
        .filter_map(|(what, picks)| Some(format!("{what}: {}", listed(picks)?)))
        .collect();
    Ok(Taken {
        flags: vec![(flag.to_owned(), value)],
        echo: (!said.is_empty()).then(|| said.join(". ")),
    })
}

fn screen(choices: &[Choice], typed: &str) -> Result<Taken, String> {
    let picked = picked(choices, typed, "k")?;
    let echo = listed(&picked);
    let pairs: Vec<String> = picked
        .iter()
        .map(|pick| {
            let answer = if pick.mark == Some('k') {
                "known"
            } else {
                "yes"
            };
            format!("{}={answer}", pick.choice.word)
        })
        .collect();
    let value = if pairs.is_empty() {
        "none".to_owned()
    } else {
        pairs.join(",")
    };
    Ok(Taken {
        flags: vec![("screen".to_owned(), value)],
        echo,
    })
}

fn sight(choices: &[Choice], typed: &str) -> Result<Taken, String> {
    let picked = picked(choices, typed, "c")?;
    let of = |mark: Option<char>| -> Vec<&str> {
        let picks = picked.iter().filter(|pick| pick.mark == mark);
        picks.map(|pick| pick.choice.word.as_str()).collect()
    };
    let well = choices
        .iter()
        .filter(|choice| !picked.iter().any(|pick| pick.choice == *choice))
        .map(|choice| choice.word.as_str())
        .collect::<Vec<_>>();
    let flags = [
        ("seen", well),
        ("corrected", of(Some('c'))),
        ("not-well", of(None)),
    ];
    Ok(Taken {
        flags: flags
            .into_iter()
            .filter(|(_, words)| !words.is_empty())
            .map(|(flag, words)| (flag.to_owned(), words.join(",")))
            .collect(),
        echo: listed(&picked).or_else(|| Some("all seen and done well".to_owned())),
    })
}

fn whole(flag: &str, least: i64, most: i64, unit: &str, typed: &str) -> Result<Taken, String> {
    let digits = typed.trim().trim_end_matches('°').trim_end();
    let unit = if unit.is_empty() {
        String::new()
    } else {
        format!(" {unit}")
    };
    let allowed = format!("a whole number from {least} to {most}{unit}");
    let Ok(value) = digits.parse::<i64>() else {
        return Err(format!("this takes {allowed}, not `{}`", typed.trim()));
    };
    if !(least..=most).contains(&value) {
        return Err(format!("this takes {allowed}, and {value} was typed"));
    }
    Ok(Taken {
        flags: vec![(flag.to_owned(), value.to_string())],
        echo: None,
    })
}

fn date(
    flag: &str,
    lean: Lean,
    words: &[&str],
    typed: &str,
    today: NaiveDate,
) -> Result<Taken, String> {
    let typed = typed.trim();
    if let Some(word) = words
        .iter()
        .find(|word| typed.len() > 1 && word.starts_with(typed))
    {
        return Ok(Taken {
            flags: vec![(flag.to_owned(), (*word).to_owned())],
            echo: (*word != typed).then(|| (*word).to_owned()),
        });
    }
    let date = dates::read(typed, today, lean).map_err(|error| {
        let words = words.join(", or ");
        if words.is_empty() {
            error
        } else {
            format!("{error}, or {words}")
        }
    })?;
    Ok(Taken {
        flags: vec![(flag.to_owned(), date.to_string())],
        echo: Some(dates::shown(date, today)),
    })
}

fn line(flag: &str, typed: &str) -> Result<Taken, String> {
    let typed = typed.trim();
    check(typed).map_err(|why| format!("this {why}"))?;
    Ok(Taken {
        flags: vec![(flag.to_owned(), typed.to_owned())],
        echo: None,
    })
}

fn again(word: &str, typed: &str) -> Result<Taken, String> {
    if typed.trim().eq_ignore_ascii_case(word) {
        return Ok(Taken {
            flags: Vec::new(),
            echo: None,
        });
    }
    Err(format!(
        "`{}` is not the side typed before. Look at the leg: < changes the first answer",
        typed.trim()
    ))
}

impl Kind {
    /// Says what may be typed, for help.
    pub fn allowed(&self) -> Vec<String> {
        let words = |choices: &[Choice]| -> Vec<String> {
            (1_usize..)
                .zip(choices)
                .map(|(n, choice)| format!("  {n:>2} {}", choice.shown))
                .collect()
        };
        match self {
            Self::One(choices) => {
                let mut lines = words(choices);
                lines.push("  its number, its word, or the beginning of it".to_owned());
                lines
            }
            Self::Many(_) => vec!["  none, or numbers of the list: 2 5, or 10-16".to_owned()],
            Self::Home { .. } => vec![
                "  numbers of what is missing: 3 9".to_owned(),
                "  + before a number: it is there: +12".to_owned(),
                "  none: nothing is missing, and nothing is there besides".to_owned(),
            ],
            Self::Screen(_) => vec![
                "  none, in full, or numbers of the list: 4 7".to_owned(),
                "  4k: sign 4 is old, has been assessed, and is unchanged".to_owned(),
            ],
            Self::Sight(_) => vec![
                "  numbers not done well; 2c: corrected; none: all seen and done well".to_owned(),
            ],
            Self::Whole {
                least, most, unit, ..
            } => vec![format!("  a whole number from {least} to {most} {unit}")],
            Self::Date { words, .. } => {
                let mut forms = vec!["2026-03-02", "2 mar", "today", "-2 (two days ago)", "+14"];
                forms.extend(*words);
                let mut lines = vec![format!("  {}", forms.join(", "))];
                if words.contains(&"asked") {
                    lines
                        .push("  asked: nobody knows yet; it goes on the question slip".to_owned());
                    lines.push("  open: until further notice, as ordered".to_owned());
                }
                lines
            }
            Self::Line { .. } => vec!["  one line of text, printed as typed".to_owned()],
            Self::Again { .. } => vec!["  the side once more, as a word".to_owned()],
        }
    }
}
