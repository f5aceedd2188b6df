//! Eyes for words: the sheet of a seeded sample of states is made, and its lines are read for
//! what a clinic must never find on one.
//!
//! One limit a motion and the strictest; no line that a limit, an order, a flag, an aid, an
//! illness, the day or the operated side contradicts; one answer for one sign; and every sheet can
//! be made at all. Written from the files' own words, not through the rooms that make the sheet.

pub mod known_signs;
pub mod limits;
pub mod page;
pub mod person;
pub mod sample;
pub mod signs;

use banister::domain::phrase::Phrases;
use banister::domain::verdict::Verdict;
use banister::handout::model::Document;
use banister::handout::{Issue, IssueKind, build};

use super::check::{Property, Wrong};
use super::eyes::Scene;
use super::read::{self, Decided, NoRecord};
use super::run::Walked;
use super::state::State;
use super::walker::{Case, Finding};
use super::world::World;
use page::Page;

/// One sheet of so many is also laid out as a PDF.
const LAID_OUT: usize = 8;
/// Lines that were wrong whose records are printed.
const SHOWN: usize = 3;

/// What every sheet is made with.
pub struct Press {
    phrases: Phrases,
    design: banister::domain::page::PageDesign,
}

impl Press {
    /// Loads the words and the design of the page.
    pub fn load(world: &World) -> Self {
        Self {
            phrases: banister::files::words::load(&world.library.clinic.language).unwrap(),
            design: banister::files::page::load().unwrap(),
        }
    }

    /// Makes the sheet of an answer; questions are no sheet.
    pub fn sheet(&self, world: &World, decided: &Decided) -> Option<Result<Document, String>> {
        if matches!(decided.verdict, Verdict::Unanswered(_)) {
            return None;
        }
        let issue = Issue {
            sheet: 2,
            replaces: Some(1),
            kind: IssueKind::Issued,
        };
        let (library, record) = (&world.library, &decided.record);
        let made = build(&decided.verdict, library, record, &self.phrases, &issue);
        Some(made.map_err(|error| error.to_string()))
    }
}

/// Reads the sheet of one answer.
pub fn look(world: &World, press: &Press, decided: &Decided) -> Vec<Wrong> {
    match press.sheet(world, decided) {
        None => Vec::new(),
        Some(Err(told)) => vec![(Property::SheetIsMade, told)],
        Some(Ok(document)) => read_sheet(world, decided, &document),
    }
}

/// Reads a sheet that was made.
pub fn read_sheet(world: &World, decided: &Decided, document: &Document) -> Vec<Wrong> {
    let mut wrong = Vec::new();
    let page = Page::of(document);
    for line in page.lines() {
        if line.text.contains(['{', '}']) {
            wrong.push((Property::SheetIsMade, line.said()));
        }
    }
    signs::one_answer(&world.library, &page, &mut wrong);
    signs::emergency_first(document, &mut wrong);
    if let Verdict::Program(program) = &decided.verdict {
        let scene = Scene {
            library: &world.library,
            record: &decided.record,
            visit: decided.visit(),
            program,
        };
        limits::one_a_motion(&scene, &page, &mut wrong);
        person::fits(&scene, &page, &mut wrong);
    }
    wrong
}

/// Makes and reads the sheets of a sample; the same numbers give the same people.
pub fn walk(worlds: &[World], slice: [usize; 2], sheets: usize, walked: &mut Walked) {
    let begun = std::time::Instant::now();
    let (mut made, mut at) = (0, slice[0] - 1);
    let presses: Vec<Press> = worlds.iter().map(Press::load).collect();
    while made < sheets {
        let which = at % worlds.len();
        let (world, press) = (&worlds[which], &presses[which]);
        let state = sample::person(world, at);
        at += slice[1];
        let decided = match read::decide(world, &state) {
            Ok(decided) => decided,
            Err(NoRecord::Refused | NoRecord::NoSheet) => continue,
            Err(NoRecord::Wrong(told)) => {
                keep(walked, world, (Property::Readable, told), state);
                continue;
            }
        };
        let mut wrong = look(world, press, &decided);
        if let Some(Ok(document)) = press.sheet(world, &decided) {
            made += 1;
            if made % LAID_OUT == 0
                && let Err(error) = banister::render::pdf::pdf(&document, &press.design)
            {
                wrong.push((Property::SheetIsMade, error.to_string()));
            }
        }
        for wrong in wrong {
            keep(walked, world, wrong, state.clone());
        }
        if at.is_multiple_of(64) {
            read::forget();
        }
    }
    walked.sheets += made as u64;
    walked.sheet_seconds = begun.elapsed().as_secs();
}

/// Keeps what was wrong, one row a line that is wrong in one way.
fn keep(walked: &mut Walked, world: &World, (property, what): Wrong, state: State) {
    let row = walked.words.entry((property, page::kind_of(&what)));
    let told = row.or_insert_with(|| Told {
        times: 0,
        world: world.name.clone(),
        finding: Finding {
            note: format!("{}, the words of its sheet", world.name),
            wrong: (property, what),
            case: Case::One(state),
        },
    });
    told.times += 1;
}

/// A line that was found wrong, how often, and on whose sheet first.
pub struct Told {
    pub times: u64,
    pub world: String,
    pub finding: Finding,
}

/// Prints every line that was wrong, and the smallest records of the first few.
pub fn print(worlds: &[World], walked: &Walked) {
    for ((property, _), told) in &walked.words {
        let (times, what) = (told.times, &told.finding.wrong.1);
        println!(
            "VIOLATED {property:?}, {times} times: {}, {what}",
            told.world
        );
    }
    for told in walked.words.values().take(SHOWN) {
        if let Some(world) = worlds.iter().find(|world| world.name == told.world) {
            super::run::show(world, &told.finding);
        }
    }
}
