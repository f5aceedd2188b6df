//! Reads usual courses and review lines.

use crate::domain::procedure::{Course, CoursePoint, Review, ReviewLine};
use crate::domain::quantity::Days;
use crate::domain::time::Day;
use crate::domain::word::{Better, Fact, ReviewTell, YesNo};

use super::super::codes::Code;
use super::super::kind::{Keys, Kind, may, need, need_as};
use super::super::problem::Problem;
use super::super::reader::TableReader;
use super::super::values::{At, Whole};
use super::super::window;
use super::{BEFORE, FROM, SOURCE, once};

/// A value a measure may have.
type Measure = Whole<-30, 3600>;

/// How much a measure changes.
type Change = Whole<1, 3600>;

pub(super) static COURSE: Keys = Keys {
    what: "a course",
    keys: &[
        need::<Fact>("measure", "The measure."),
        need::<String>("unit", "Its unit in words."),
        need::<Better>("better", "Which way is better."),
        need_as("points", Kind::Tables(&POINT), "Points in order of day."),
        SOURCE,
    ],
};

static POINT: Keys = Keys {
    what: "a point of a course",
    keys: &[
        need::<Day>("day", "The day."),
        need::<Measure>("usual", "What is usual."),
        need::<Measure>("review", "The review line."),
    ],
};

pub(super) static REVIEW: Keys = Keys {
    what: "a review line",
    keys: &[
        need::<Fact>("fact", "The measure."),
        FROM,
        BEFORE,
        may::<Measure>("below", "Less than this asks for a look."),
        may::<Measure>("above", "More than this asks for a look."),
        may::<Days>(
            "no_gain_days",
            "With `below`: asks for a look only when nothing was gained in so many days.",
        ),
        may::<Change>(
            "gain",
            "With `no_gain_days`: less than this is no gain, but may be the error of measuring.",
        ),
        may::<Change>("fell", "So much less than last time asks for a look."),
        may::<Change>("rose", "So much more than last time asks for a look."),
        need::<ReviewTell>("tell", "Whom it tells."),
        may::<YesNo>(
            "keeps",
            "Work that is no motion work keeps at most while the line is crossed: yes or no; no.",
        ),
        SOURCE,
    ],
};

/// Reads every course.
pub(super) fn courses(table: &mut TableReader<'_>) -> Vec<Course> {
    let courses = table.tables("course", &COURSE, |table| Some(course(table)));
    once(table, "the course of", courses)
}

fn course(table: &mut TableReader<'_>) -> (Option<At<Fact>>, Option<Course>) {
    let measure = table.need::<At<Fact>>("measure");
    let unit = table.need("unit");
    let better = table.need("better");
    let points = table.tables("points", &POINT, point);
    let source = table.need_source();
    table.not_empty("points");
    in_order(table, &points);
    let course = || {
        Some(Course {
            measure: measure.as_ref()?.value,
            unit: unit?,
            better: better?,
            points: points.into_iter().map(|point| point.1).collect(),
            source: source?,
        })
    };
    let course = course();
    (measure, course)
}

type Point = (super::super::source::Span, CoursePoint);

fn point(table: &mut TableReader<'_>) -> Option<Point> {
    let day = table.need("day");
    let usual = table.need::<Measure>("usual");
    let review = table.need::<Measure>("review");
    let at = table.at_key("day");
    let point = CoursePoint {
        day: day?,
        usual: usual?.0,
        review: review?.0,
    };
    Some((at, point))
}

fn in_order(table: &mut TableReader<'_>, points: &[Point]) {
    for (before, after) in points.iter().zip(points.iter().skip(1)) {
        if before.1.day >= after.1.day {
            let problem = Problem::new(
                Code::Order,
                after.0.clone(),
                "the points of a course must go forward in time",
                "not later",
            );
            table.tell(problem.also(before.0.clone(), "than this"));
        }
    }
}

/// Reads one review line.
pub(super) fn review(table: &mut TableReader<'_>) -> Option<Review> {
    let fact = table.need("fact");
    let window = window::need(table);
    let line = line(table);
    let tell = table.need("tell");
    let keeps = table.may::<YesNo>("keeps");
    let source = table.need_source();
    Some(Review {
        fact: fact?,
        window: window?,
        line: line?,
        tell: tell?,
        keeps: keeps.unwrap_or(YesNo::No),
        source: source?,
    })
}

/// Reads which line it is: one of four, and a gain where none in some days asks for a look.
fn line(table: &mut TableReader<'_>) -> Option<ReviewLine> {
    let below = table.may::<Measure>("below");
    let above = table.may::<Measure>("above");
    let no_gain = table.may::<Days>("no_gain_days");
    let gain = table.may::<Change>("gain");
    let fell = table.may::<Change>("fell");
    let rose = table.may::<Change>("rose");
    let kinds = ["below", "above", "fell", "rose"];
    if kinds.iter().filter(|kind| table.has(kind)).count() != 1 {
        let message = "a review line needs one of `below`, `above`, `fell` and `rose`";
        clash(table, "above", message);
    }
    if table.has("no_gain_days") && !table.has("below") {
        let message = "`no_gain_days` goes with `below`: it is for a measure that should grow";
        clash(table, "no_gain_days", message);
    }
    if table.has("no_gain_days") != table.has("gain") {
        let message = "`no_gain_days` and `gain` go together: how long, and how much is a gain";
        clash(table, "gain", message);
    }
    match (below, above, fell, rose) {
        (Some(below), None, None, None) => Some(match (no_gain, gain) {
            (Some(days), Some(gain)) => ReviewLine::NoGain {
                days,
                below: below.0,
                gain: gain.0,
            },
            (Some(_) | None, _) => ReviewLine::Below(below.0),
        }),
        (None, Some(above), None, None) => Some(ReviewLine::Above(above.0)),
        (None, None, Some(fell), None) => Some(ReviewLine::Fell(fell.0)),
        (None, None, None, Some(rose)) => Some(ReviewLine::Rose(rose.0)),
        _ => None,
    }
}

fn clash(table: &mut TableReader<'_>, key: &'static str, message: &str) {
    let at = table.at_key(key);
    table.tell(Problem::new(Code::KeysClash, at, message, ""));
}
