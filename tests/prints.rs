//! Every sheet prints: whoever the person is, whatever stands in the record, on either paper.

pub mod everybody;

use std::collections::BTreeMap;

use banister::domain::ids::Id;
use banister::domain::page::PageDesign;
use banister::domain::phrase::Phrases;
use banister::domain::word::Paper;

use everybody::{Change, DAYS, Pick, changes, document, usual};

use crate::walk::state::State;
use crate::walk::world::{self, World};

/// Pairs of changes tried for each procedure, besides each change alone.
const PAIRS: usize = 150;

/// What a sheet is made with, and what could not be made, by its fault.
struct Press {
    design: PageDesign,
    phrases: Phrases,
    printed: usize,
    faults: BTreeMap<String, Vec<String>>,
}

impl Press {
    fn new() -> Self {
        Self {
            design: banister::files::page::load().unwrap(),
            phrases: banister::files::words::load("en").unwrap(),
            printed: 0,
            faults: BTreeMap::new(),
        }
    }

    /// Puts somebody's sheet into words and on paper.
    fn print(&mut self, world: &World, state: &State, who: &str) {
        let made = document(world, state, &self.phrases);
        let fault = match made {
            Ok(None) => return,
            Ok(Some(document)) => {
                self.printed += 1;
                assert!(!banister::render::text::text(&document).is_empty());
                let placed = banister::render::pdf::record(&document, &self.design);
                match placed {
                    Ok(_) => return,
                    Err(fault) => fault.to_string(),
                }
            }
            Err(fault) => fault,
        };
        let who = format!("{}, day {}, {who}", world.name, state.day);
        self.faults.entry(fault).or_default().push(who);
    }

    /// Fails with every fault and the first ones it came to.
    fn done(self, at_least: usize) {
        let told: String = self
            .faults
            .iter()
            .fold(String::new(), |told, (fault, who)| {
                let first = &who[..who.len().min(3)];
                told + &format!(
                    "{} sheets: {fault}\n    {}\n",
                    who.len(),
                    first.join("\n    ")
                )
            });
        assert!(told.is_empty(), "{told}");
        assert!(self.printed >= at_least, "only {} sheets", self.printed);
    }
}

/// Reads both knees with one file of the library changed.
fn both_knees_with(path: &str, change: impl Fn(&str) -> String) -> String {
    let text = change(&crate::support::read(path));
    let shelf = banister::files::shelf::Shelf::built_in().with(path, path, text.into_bytes());
    let procedure = Id::new("knee-both").unwrap();
    let clinic = crate::support::read("shared/clinic.toml");
    let clinic = banister::files::source::SourceFile::new("clinic.toml", &clinic);
    match banister::files::library::load_from(&shelf, &procedure, &clinic) {
        Ok(_) => String::new(),
        Err(problems) => problems.short(),
    }
}

#[test]
fn the_check_tells_of_a_side_that_two_knees_have_not() {
    let procedure = "protocols/procedures/knee-both.toml";
    assert_eq!(both_knees_with(procedure, str::to_owned), "");
    let other = |text: &str| text.replace("Going up: your stronger leg", "Up: your {other} leg");
    let told = both_knees_with(procedure, other);
    assert!(told.contains("BN045") && told.contains("{other}"), "{told}");
    let side = |text: &str| text.replace("Turn with small steps. Do not twist.", "Not {side}.");
    let told = both_knees_with(procedure, side);
    assert!(told.contains("BN045") && told.contains("{side}"), "{told}");
    let exercise = "protocols/exercises/walking.toml";
    let stick =
        |text: &str| text.replace("Stick away from your sorer knee", "In your {other} hand");
    let told = both_knees_with(exercise, stick);
    assert!(
        told.contains("BN045") && told.contains("walking.toml"),
        "{told}"
    );
}

#[test]
fn words_for_some_people_are_for_somebody_and_say_something() {
    let exercise = "protocols/exercises/walking-aid.toml";
    for (was, now, code) in [
        ("ways = [\"none\"]\n", "", "BN"),
        ("ways = [\"none\"]", "way = [\"none\"]", "BN"),
        (
            "conditions = [\"memory\"]",
            "conditions = [\"memries\"]",
            "BN",
        ),
        (
            "how = { frame = \"Use your frame.\",",
            "how = { scooter = \"Ride.\",",
            "scooter",
        ),
    ] {
        let told = both_knees_with(exercise, |text| {
            assert!(text.contains(was), "{was}");
            text.replace(was, now)
        });
        assert!(told.contains(code), "{was}: {told}");
    }
}

#[test]
fn the_check_tells_of_a_label_too_long_for_its_column() {
    let design = banister::files::page::load().unwrap();
    let fault = |label| banister::render::pdf::label_fault(label, &design);
    assert!(
        fault("Lymphoedema")
            .unwrap_err()
            .to_string()
            .contains("Lymphoedema")
    );
    assert!(fault("Swelling you had before").is_ok());
}

fn paper(n: usize) -> Paper {
    [Paper::A4, Paper::Letter][n % 2]
}

#[test]
fn every_thing_alone_prints() {
    let mut press = Press::new();
    for mut world in world::all() {
        let all = changes(&world);
        for (at, day) in DAYS.iter().enumerate() {
            // Every change on every second of the days: each phase but one, on both papers.
            for (index, change) in all.iter().enumerate().skip(at % 2).step_by(2) {
                world.library.clinic.paper = paper(at / 2 + index / 2);
                let state = change.of(&usual(&world, *day));
                press.print(&world, &state, &change.name);
            }
        }
    }
    press.done(1300);
}

#[test]
fn two_things_together_print() {
    let mut press = Press::new();
    let mut pick = Pick::seeded(11);
    for mut world in world::all() {
        let all: Vec<Change> = changes(&world);
        for n in 0..PAIRS {
            let (one, other) = (pick.one(&all), pick.one(&all));
            let day = *pick.one(&DAYS);
            if one.about == other.about {
                continue;
            }
            world.library.clinic.paper = paper(n);
            let state = other.of(&one.of(&usual(&world, day)));
            let who = format!("{} and {}", one.name, other.name);
            press.print(&world, &state, &who);
        }
    }
    press.done(400);
}

#[test]
fn every_clinic_prints() {
    let names = [
        "Alder",
        "The Regional Centre for Joint Replacement, Rehabilitation and Physiotherapy of the North",
        "Donaudampfschifffahrtsgesellschaftsrehabilitationszentrum",
        "Physio-and-Rehabilitation-Services-of-the-Greater-Metropolitan-Northern-District-Hospital-Trust",
    ];
    let phones = ["112", "+44 (0)1632 960 210, extension 4711"];
    let mut press = Press::new();
    for mut world in world::all() {
        for (n, name) in names.into_iter().enumerate() {
            for (at, phone) in phones.into_iter().enumerate() {
                let clinic = &mut world.library.clinic;
                clinic.paper = paper(n + at);
                name.clone_into(&mut clinic.name);
                phone.clone_into(&mut clinic.phones.same_day);
                phone.clone_into(&mut clinic.phones.closed);
                clinic.emergency = Some(phone.to_owned()).filter(|_| at > 0);
                for day in [-10, 3, 50] {
                    let state = usual(&world, day);
                    press.print(&world, &state, &format!("clinic {name}, {phone}"));
                }
            }
        }
    }
    press.done(80);
}
