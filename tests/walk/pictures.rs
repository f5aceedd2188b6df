//! How quickly pictures are drawn, and a handout that carries them.

use std::time::{Duration, Instant};

use banister::domain::time::VisitDate;
use banister::domain::word::Side;
use banister::engine::decide;
use banister::figure::{Drawing, cases, pair};
use banister::files::words;
use banister::handout::model::Document;
use banister::handout::{Issue, IssueKind, build};
use banister::render::pdf::pdf;

use super::read;
use super::state::{date, operation};
use super::world::{Measures, World};

/// Handouts made after the first one.
const WARM: u32 = 100;
/// The day of the handout.
const DAY: i64 = 20;

/// Prints drawings a second on one core, and the time of the first and of a later handout.
pub fn measure(worlds: &[World]) {
    for world in worlds {
        // The handout comes first: nothing is drawn yet.
        handout(world);
    }
    for world in worlds {
        drawings(world);
    }
}

/// Every exercise, way and end of a range, on all sides.
fn drawings(world: &World) {
    let (mut count, begun, mut points) = (0_usize, Spent::begin(), 0_usize);
    for exercise in world.library.exercises.values() {
        for case in cases(exercise) {
            for side in [Side::Left, Side::Right, Side::Both] {
                let pair = pair(&exercise.pose, side, &case.shown).unwrap();
                points += of(&pair.start) + of(&pair.end);
                count += 2;
            }
        }
    }
    let spent = begun.end();
    println!(
        "{}: {:.0} pictures a second ({count} of {} points each)",
        world.name,
        count as f64 / spent.as_secs_f64(),
        points / count,
    );
}

fn of(drawing: &Drawing) -> usize {
    let rings = drawing.shapes.iter().flat_map(|shape| &shape.rings);
    rings.map(Vec::len).sum()
}

fn handout(world: &World) {
    let state = world.on(&world.usual, DAY, Measures::Usual);
    let Ok(decided) = read::decide(world, &state) else {
        return;
    };
    if decided.program().is_none() {
        println!("{}: no handout on day {DAY}", world.name);
        return;
    }
    let when = VisitDate(date(operation(), DAY));
    let (phrases, page) = (
        words::load(&world.library.clinic.language).unwrap(),
        banister::files::page::load().unwrap(),
    );
    let issue = Issue {
        sheet: 1,
        replaces: None,
        kind: IssueKind::Preview,
    };
    let record = &decided.record;
    let decided = || decide(&world.library, record, when);
    let verdict = decided();
    let worded = || build(&verdict, &world.library, record, &phrases, &issue).unwrap();
    let begun = Instant::now();
    let document = worded();
    let first_words = begun.elapsed();
    let bytes = pdf(&document, &page).unwrap();
    let first_paper = begun.elapsed().saturating_sub(first_words);
    let bare = without_pictures(&document);
    println!(
        "{}: a handout with pictures, {} kB: the first one {first_words:.1?} worded and {first_paper:.1?} on paper; \
         later {:.1?} decided, {:.1?} worded and {:.1?} on paper ({:.1?} without the pictures)",
        world.name,
        bytes.len() / 1000,
        each(|| drop(decided())),
        each(|| drop(worded())),
        each(|| drop(pdf(&document, &page).unwrap())),
        each(|| drop(pdf(&bare, &page).unwrap())),
    );
}

/// CPU time of one of many.
fn each(made: impl Fn()) -> Duration {
    let begun = Spent::begin();
    for _ in 0..WARM {
        made();
    }
    begun.end() / WARM
}

fn without_pictures(document: &Document) -> Document {
    let Document::Handout(handout) = document else {
        panic!("a program is a handout");
    };
    let mut handout = handout.clone();
    for block in handout.blocks.iter_mut().chain(&mut handout.daily) {
        block.pictures = None;
    }
    Document::Handout(handout)
}

/// Time this thread was on a processor: waiting for others does not count.
struct Spent(Duration, Instant);

impl Spent {
    fn begin() -> Self {
        Self(on_processor().unwrap_or_default(), Instant::now())
    }

    fn end(&self) -> Duration {
        on_processor().map_or_else(|| self.1.elapsed(), |now| now.saturating_sub(self.0))
    }
}

/// Linux alone tells it; elsewhere the clock on the wall must do.
fn on_processor() -> Option<Duration> {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    let nanos = text.split_whitespace().next()?.parse().ok()?;
    Some(Duration::from_nanos(nanos))
}
