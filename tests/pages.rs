//! Real sheets as they are placed on paper: nothing outside, overlapping, too small or out of order.

use banister::domain::word::{Paper, Side};
use banister::render::pdf::{self, Area};

use crate::hazards::lives;
use crate::support;
use crate::support::people::document;

/// Smallest type in points: as large to the eye as 12 pt Arial.
const SMALLEST: f64 = 12.5;
/// Ink stays this far from the edge of the paper, in millimetres.
const EDGE: f64 = 5.0;

fn right(area: &Area) -> f64 {
    area.left + area.width
}

#[test]
fn nothing_is_outside_overlapping_or_too_small_on_either_paper() {
    let design = banister::files::page::load().unwrap();
    for paper in [Paper::A4, Paper::Letter] {
        let mut library = support::plain_library();
        library.clinic.paper = paper;
        for (record, verdict) in lives(Side::Left) {
            let recording = pdf::record(&document(&library, &record, &verdict), &design).unwrap();
            for (number, page) in recording.pages.iter().enumerate() {
                for text in &page.texts {
                    let area = &text.area;
                    let inside = area.left >= EDGE
                        && right(area) <= page.width - EDGE
                        && area.top >= EDGE
                        && (area.top + area.height) <= page.height - EDGE;
                    assert!(
                        inside,
                        "page {}: `{}` leaves the paper",
                        number + 1,
                        text.text
                    );
                    assert!(text.size >= SMALLEST, "`{}` is {} pt", text.text, text.size);
                }
                for (index, one) in page.texts.iter().enumerate() {
                    for other in &page.texts[index + 1..] {
                        // Letters, not the room for accents: from the capitals to the baseline.
                        let apart = right(&one.area) <= other.area.left + 0.01
                            || right(&other.area) <= one.area.left + 0.01
                            || one.baseline <= other.cap
                            || other.baseline <= one.cap;
                        assert!(
                            apart,
                            "page {}: `{}` on `{}`",
                            number + 1,
                            one.text,
                            other.text
                        );
                    }
                }
            }
        }
    }
}

#[test]
fn discs_on_page_one_blocks_and_text_name_the_same_exercises() {
    let design = banister::files::page::load().unwrap();
    let library = support::plain_library();
    for (record, verdict) in lives(Side::Right) {
        let document = document(&library, &record, &verdict);
        let plain = banister::render::text::text(&document);
        let recording = pdf::record(&document, &design).unwrap();
        let printed: String = recording
            .pages
            .iter()
            .map(|page| page.text() + "\n")
            .collect();
        let folded = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        let printed = folded(&printed);
        for title in plain
            .lines()
            .collect::<Vec<_>>()
            .windows(2)
            .filter(|pair| pair[1].starts_with("---"))
        {
            let name = title[0].split_once(". ").map_or(title[0], |(_, name)| name);
            let name = name.split(" (").next().unwrap();
            assert!(
                printed.contains(&folded(name)),
                "the PDF does not say `{name}`"
            );
        }
    }
}
