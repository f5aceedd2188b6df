//! Reads how the body's answer to the last dose is judged.

use crate::domain::fact::FactValue;
use crate::domain::procedure::{AnswerSign, PainBands};
use crate::domain::quantity::PainScore;
use crate::domain::word::{BandWork, Fact, Response, YesNo};

use super::super::codes::Code;
use super::super::kind::{Keys, may, need};
use super::super::problem::Problem;
use super::super::reader::TableReader;
use super::super::values::At;
use super::super::{fact_test, window};
use super::{BEFORE, MAY_FROM, SOURCE};

pub(super) static BANDS: Keys = Keys {
    what: "a row of pain bands",
    keys: &[
        need::<BandWork>("work", "Which work."),
        MAY_FROM,
        BEFORE,
        need::<PainScore>("settled", "Settled up to and including this."),
        need::<PainScore>(
            "tolerable",
            "Tolerable up to and including this; above is overdone.",
        ),
        may::<YesNo>(
            "calm_after",
            "Whether tolerable pain must be usual again next morning, with no more swelling; left out, no.",
        ),
        SOURCE,
    ],
};

pub(super) static ANSWER: Keys = Keys {
    what: "a sign after work",
    keys: &[
        need::<Fact>("sign", "`morning` or `swelling`."),
        need::<String>("word", "The word recorded."),
        need::<Response>("means", "What it means."),
    ],
};

/// Reads every row of bands.
pub(super) fn all_bands(table: &mut TableReader<'_>) -> Vec<PainBands> {
    let bands = table.tables("bands", &BANDS, bands);
    table.not_empty("bands");
    bands
}

/// Reads every sign.
pub(super) fn all_answers(table: &mut TableReader<'_>) -> Vec<AnswerSign> {
    let answers = table.tables("answer", &ANSWER, answer);
    table.not_empty("answer");
    answers
}

fn bands(table: &mut TableReader<'_>) -> Option<PainBands> {
    let work = table.need("work");
    let window = window::may(table);
    let settled = table.need::<PainScore>("settled");
    let tolerable = table.need::<PainScore>("tolerable");
    let calm_after = table.may("calm_after").unwrap_or(YesNo::No);
    let source = table.need_source();
    if let (Some(settled), Some(tolerable)) = (settled, tolerable)
        && tolerable < settled
    {
        let message = "`tolerable` must not be below `settled`";
        let problem = Problem::new(Code::Order, table.at_key("tolerable"), message, "lower");
        table.tell(problem.also(table.at_key("settled"), "than this"));
    }
    Some(PainBands {
        work: work?,
        window: window?,
        settled: settled?,
        tolerable: tolerable?,
        calm_after,
        source: source?,
    })
}

fn answer(table: &mut TableReader<'_>) -> Option<AnswerSign> {
    let sign = table.need::<At<Fact>>("sign");
    let word = table.need::<At<String>>("word");
    let means = table.need("means");
    let (sign, word) = (sign?, word?);
    if !matches!(sign.value, Fact::Morning | Fact::Swelling) {
        let message = format!("`sign` cannot be \"{}\"", sign.value);
        let problem = Problem::new(Code::UnknownWord, sign.at, message, "not a sign after work");
        table.tell(problem.help("known here: morning, swelling"));
        return None;
    }
    let value = FactValue::Word(word.value.clone());
    let fits = fact_test::fits(sign.value, &value, &word.at, table.reading());
    fits.then_some(AnswerSign {
        sign: sign.value,
        word: word.value,
        means: means?,
    })
}
