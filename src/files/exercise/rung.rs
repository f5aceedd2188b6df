//! Reads one rung of a ladder.

use std::collections::BTreeSet;

use crate::domain::dose::{Amount, Often};
use crate::domain::exercise::Rung;
use crate::domain::ids::{EquipmentId, HowId, RungId, TagId};
use crate::domain::quantity::{
    HoldSeconds, Minutes, PauseSeconds, Repetitions, RestSeconds, Sets, TimesADay,
};
use crate::domain::word::YesNo;

use super::super::codes::Code;
use super::super::problem::Problem;
use super::super::reader::TableReader;
use super::super::reading::RungAt;
use super::super::values::{At, Hourly};
use super::{entry_tests, equipment};

/// A rung's id, wherever the rest could not be read.
pub struct ReadRung {
    /// Its id and place.
    pub id: At<RungId>,
    /// Where it stands.
    pub places: RungAt,
    /// Its way of being done.
    pub how: Option<At<HowId>>,
    /// The rung.
    pub rung: Option<Rung>,
}

/// Reads one rung; `loaded` is the exercise's own word.
pub fn read(table: &mut TableReader<'_>, loaded: Option<YesNo>) -> Option<ReadRung> {
    let id = table.need::<At<RungId>>("id");
    let how = table.may::<At<HowId>>("how");
    let mut rung = rung(table, id.as_ref().map(|id| id.value.clone()), loaded);
    if let Some(rung) = &mut rung {
        rung.how = how.as_ref().map(|how| how.value.clone());
    }
    let id = id?;
    let places = RungAt {
        id: id.at.clone(),
        lever: table.at_key("lever"),
    };
    Some(ReadRung {
        id,
        places,
        how,
        rung,
    })
}

fn rung(table: &mut TableReader<'_>, id: Option<RungId>, loaded: Option<YesNo>) -> Option<Rung> {
    let lever = table.may("lever");
    let amount = amount(table);
    let often = often(table);
    let days_a_week = table.need("days_a_week");
    let own_loaded = table.may("loaded");
    let taught = table.may("taught");
    let entry = entry_tests(table, "entry", false);
    let needs = table.may::<Vec<At<EquipmentId>>>("needs");
    let needs = needs.map(|needs| equipment(table, needs));
    let load_g = table.may("load_g");
    let band = table.may("band");
    let support = table.may("support");
    let height_cm = table.may("height_cm");
    let seat_cm = table.may("seat_cm");
    let range_degrees = table.may("range_degrees");
    let lower_s = table.may("lower_s");
    let weight_bearing = table.may("weight_bearing");
    let tags = table.may::<BTreeSet<TagId>>("tags");
    Some(Rung {
        id: id?,
        lever,
        amount: amount?,
        often: often?,
        days_a_week: days_a_week?,
        loaded: own_loaded.or(loaded)?,
        taught: taught.unwrap_or(YesNo::No),
        entry: entry?,
        needs: needs.unwrap_or_default(),
        load_g,
        band,
        support,
        height_cm,
        seat_cm,
        range_degrees,
        lower_s,
        how: None,
        weight_bearing,
        tags: tags.unwrap_or_default(),
        source: table.need_source()?,
        origin: table.at().origin(),
    })
}

/// Reads counted work or work by the clock, never both.
pub fn amount(table: &mut TableReader<'_>) -> Option<Amount> {
    let counted = ["sets", "repetitions", "hold_s", "pause_s", "rest_s"];
    let any_counted = counted.iter().any(|name| table.has(name));
    let timed = table.has("minutes");
    let minutes = table.may::<Minutes>("minutes");
    if timed && any_counted || !timed && !any_counted {
        skip_counted(table);
        let message = "work is counted (`sets`, `repetitions`, `hold_s`, `pause_s`, `rest_s`) or by the clock (`minutes`)";
        let label = if timed { "not both" } else { "neither is here" };
        table.tell(Problem::new(
            Code::KeysClash,
            table.at_key("minutes"),
            message,
            label,
        ));
        return None;
    }
    if timed {
        skip_counted(table);
        return minutes.map(|minutes| Amount::Timed { minutes });
    }
    let sets = table.need("sets");
    let repetitions = table.need("repetitions");
    let hold_s = table.need("hold_s");
    let pause_s = table.need("pause_s");
    let rest_s = table.need("rest_s");
    Some(Amount::Counted {
        sets: sets?,
        repetitions: repetitions?,
        hold_s: hold_s?,
        pause_s: pause_s?,
        rest_s: rest_s?,
    })
}

fn skip_counted(table: &mut TableReader<'_>) {
    table.may::<Sets>("sets");
    table.may::<Repetitions>("repetitions");
    table.may::<HoldSeconds>("hold_s");
    table.may::<PauseSeconds>("pause_s");
    table.may::<RestSeconds>("rest_s");
}

fn often(table: &mut TableReader<'_>) -> Option<Often> {
    let times = table.may::<TimesADay>("times_a_day");
    let hourly = table.may::<Hourly>("often");
    match (table.has("times_a_day"), table.has("often")) {
        (true, false) => times.map(Often::Times),
        (false, true) => hourly.map(|Hourly| Often::Hourly),
        (true, true) | (false, false) => {
            let message = "a rung needs `times_a_day` or `often`, and not both";
            table.tell(Problem::new(
                Code::KeysClash,
                table.at_key("often"),
                message,
                "",
            ));
            None
        }
    }
}
