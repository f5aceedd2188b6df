//! One answer for one sign: whoever reads of it anywhere on a sheet is told the same.

use banister::domain::library::Library;
use banister::domain::word::Level;
use banister::handout::model::Document;
use banister::render::text::text;

use super::super::check::{Property, Wrong};
use super::known_signs::SIGNS;
use super::page::{Page, Place, sentences};

/// Words that say how soon, soonest first; the plain "ring us" says today at the soonest.
const ANSWERS: &[(Level, &[&str])] = &[
    (
        Level::Emergency,
        &[
            "emergency number",
            "ambulance",
            "an emergency",
            "get help now",
        ],
    ),
    (
        Level::SameDay,
        &[
            "ring us today",
            "ring us the same day",
            "looked at today",
            "ring today",
        ],
    ),
    (Level::Within48Hours, &["within 2 days", "within two days"]),
    (Level::NextVisit, &["at your next visit"]),
];

fn spoken_of(sentence: &str) -> Vec<&'static str> {
    let text = sentence.to_lowercase();
    let signs = SIGNS.iter();
    let spoken = signs.filter(|(_, ways)| ways.iter().any(|words| text.contains(words)));
    spoken.map(|(flag, _)| *flag).collect()
}

fn answered(sentence: &str) -> Option<Level> {
    let text = sentence.to_lowercase();
    let said = |words: &&[&str]| words.iter().any(|word| text.contains(word));
    ANSWERS
        .iter()
        .find(|(_, words)| said(words))
        .map(|(level, _)| *level)
}

/// Holds every sentence about a sign against the level of its row.
pub fn one_answer(library: &Library, page: &Page, wrong: &mut Vec<Wrong>) {
    let level_of = |flag: &str| {
        let rows = &library.procedure.red_flags;
        rows.iter()
            .find(|row| row.id.to_string() == flag)
            .map(|row| row.level)
    };
    for line in page.lines() {
        let sentences = sentences(&line.text);
        for (at, sentence) in sentences.iter().enumerate() {
            for flag in spoken_of(sentence) {
                let told = match &line.place {
                    Place::Tier(level) => Some(*level),
                    Place::Finding => None,
                    _ => answer_beside(&sentences, at),
                };
                let (Some(told), Some(row)) = (told, level_of(flag)) else {
                    continue;
                };
                if told != row {
                    let what = format!("{flag} is {row}, here {told}: {}", line.said());
                    wrong.push((Property::OneAnswerASign, what));
                }
            }
        }
    }
}

/// The answer in the sentence itself, else in the one after a question.
fn answer_beside(sentences: &[&str], at: usize) -> Option<Level> {
    let own = sentences.get(at)?;
    answered(own).or_else(|| {
        let led = sentences[..at].iter().any(|before| before.ends_with(':'));
        let next = sentences.get(at + 1);
        let next = next.filter(|_| own.ends_with('?') || led || own.starts_with("Stop this one"));
        next.and_then(|next| answered(next))
    })
}

/// On an emergency page nothing stands above the emergency line.
pub fn emergency_first(document: &Document, wrong: &mut Vec<Wrong>) {
    let emergency = match document {
        Document::Withheld(page) => page.level == Level::Emergency,
        Document::Handout(handout) => {
            let first = handout.actions.first();
            first.is_some_and(|action| action.level == Level::Emergency)
        }
        Document::Form(_) | Document::Figures(_) => false,
    };
    if emergency && let Some(above) = above_the_emergency_line(&text(document)) {
        let what = format!("above the emergency line: {above}");
        wrong.push((Property::OneAnswerASign, what));
    }
}

/// The first line of a page when it is not the emergency line.
pub fn above_the_emergency_line(text: &str) -> Option<String> {
    let mut lines = text.lines().map(str::trim);
    let first = lines.find(|line| !line.is_empty()).unwrap_or("");
    (!rings_emergency(first)).then(|| first.to_owned())
}

/// "Ring 999 now": a number of three digits is an emergency number.
fn rings_emergency(line: &str) -> bool {
    let number = |word: &str| word.len() == 3 && word.parse::<u16>().is_ok();
    let rung = line.strip_prefix("Ring ");
    line.to_lowercase().contains("emergency number")
        || rung.is_some_and(|rung| rung.split(' ').next().is_some_and(number))
}
