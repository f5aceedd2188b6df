//! A stop sign of a sign that lasts, such as a wet wound, is not said while the sign is there; one that
//! may come again, such as a leg that gives way, is.

use banister::domain::ids::Id;
use banister::domain::library::Library;
use banister::domain::phrase::Phrase;
use banister::domain::record::Record;
use banister::domain::recorded::Recorded;
use banister::domain::time::VisitDate;
use banister::domain::verdict::{FlagStood, Verdict};
use banister::domain::word::{How, ScreenAnswer, Word as _, YesNo};
use banister::engine::decide;
use banister::handout::model::Document;

use crate::support;

use super::ALL;
use super::eye::SIGNS;
use super::made::{page, with};

/// Everybody who has a sign, new or known and standing, and every stop sign that it claims.
#[test]
fn a_stop_sign_is_said_unless_its_sign_is_there_to_stay() {
    let phrases = banister::files::words::load("en").unwrap();
    let mut looked = 0;
    for id in ALL {
        let library = support::plain_library_of(id);
        for flag in &library.procedure.red_flags {
            for stop in &flag.stops {
                let key = format!("stop_{}", stop.as_str().replace('-', "_"));
                let words = phrases
                    .raw(*Phrase::ALL.iter().find(|one| one.as_str() == key).unwrap())
                    .unwrap();
                let (name, _) = SIGNS
                    .iter()
                    .find(|(id, _)| *id == flag.id.as_str())
                    .unwrap();
                let calm = blocks(&library, &with(&library, 20, &[], &[], How::Seen));
                assert!(calm.contains(words), "{id}, {stop}: {calm}");
                for answer in [ScreenAnswer::Yes, ScreenAnswer::Known] {
                    let mut record = with(&library, 20, &[], &[name], How::Seen);
                    let visit = record.visits.last_mut().unwrap();
                    if let Recorded::Yes(screen) = &mut visit.screen {
                        screen.insert(flag.id.clone(), answer);
                    }
                    let date = VisitDate(visit.date);
                    let Verdict::Program(program) = decide(&library, &record, date) else {
                        continue;
                    };
                    let raised = program.flags.iter().any(|raised| raised.flag == flag.id);
                    let stands = |stood: &FlagStood| stood.flag == flag.id && stood.limits_stand;
                    if raised || program.stood.iter().any(stands) {
                        looked += 1;
                        let said = blocks(&library, &record);
                        let stays = flag.lasts == YesNo::Yes;
                        let about = said.is_empty() || said.contains(words) != stays;
                        assert!(about, "{id}, {stop}, {answer}: {said}");
                    }
                }
            }
        }
    }
    assert!(looked >= ALL.len() * 2, "{looked}");
}

/// The stop signs of every block.
fn blocks(library: &Library, record: &Record) -> String {
    match page(library, record) {
        Document::Handout(handout) => {
            let all = handout.blocks.iter().chain(&handout.daily);
            all.filter_map(|block| block.caution.clone())
                .collect::<Vec<_>>()
                .join(" ")
                .replace('\u{a0}', " ")
        }
        other => panic!("{other:?}"),
    }
}
