//! Puts a block at the end of a record's bytes, in memory.
//!
//! Refuses what would bind to the wrong visit or would no longer parse. Next: `append` writes it.

use super::blocks::issued::seal_text;
use super::blocks::{Block, Place};
use super::error::RecordFault;
use super::seal::seal_of;
use super::shape::{SealShape, parse, plain, visits};

/// Longest record that is read, in bytes; a longer one is never written.
pub const MOST_BYTES: usize = 1_048_576;

/// Returns the record's bytes with a block after them; the old bytes are a prefix.
pub fn compose(seen: &[u8], block: &Block) -> Result<Vec<u8>, RecordFault> {
    let old = as_text(seen)?;
    check_place(old, block.place())?;
    let new = join(old, block.text())?;
    match block.sealed() {
        None => Ok(new.into_bytes()),
        Some(visit) => {
            let seal = seal_of(&new, visit)?;
            join(&new, &seal_text(&seal)).map(String::into_bytes)
        }
    }
}

/// Reads the bytes as text.
pub(super) fn as_text(bytes: &[u8]) -> Result<&str, RecordFault> {
    std::str::from_utf8(bytes).map_err(|_| RecordFault::NotText)
}

/// Puts text at the end of a record, on a line of its own.
pub(super) fn join(old: &str, added: &str) -> Result<String, RecordFault> {
    let mut new = String::with_capacity(old.len().saturating_add(added.len()).saturating_add(1));
    new.push_str(old);
    let end = line_end(old);
    if !old.is_empty() && !old.ends_with('\n') {
        new.push_str(end);
    }
    new.push_str(&added.replace('\n', end));
    check_text(&new)?;
    Ok(new)
}

/// Returns the line end a record has last: what is added has the same.
fn line_end(text: &str) -> &'static str {
    let last = text.rfind('\n').and_then(|at| text.get(..at));
    if last.is_some_and(|before| before.ends_with('\r')) {
        "\r\n"
    } else {
        "\n"
    }
}

/// Refuses a text that no reader would take.
pub(super) fn check_text(text: &str) -> Result<(), RecordFault> {
    if text.len() > MOST_BYTES {
        return Err(RecordFault::TooLong {
            bytes: text.len(),
            most: MOST_BYTES,
        });
    }
    parse(text).map(|_| ())
}

/// Refuses a block that does not fit the visits there are.
pub(super) fn check_place(old: &str, place: Place) -> Result<(), RecordFault> {
    let text = plain(old);
    let record = parse(&text)?;
    let all = visits(&text, &record)?;
    let last = all.last();
    match place {
        Place::Record => Ok(()),
        Place::NewVisit(asked) => {
            let next = last.map_or(0, |last| last.n).saturating_add(1);
            if asked == next {
                Ok(())
            } else {
                Err(RecordFault::WrongNumber { asked, next })
            }
        }
        Place::OpenVisit(asked) => match last {
            None => Err(RecordFault::NoVisit(asked)),
            Some(last) if last.n != asked => Err(if all.iter().any(|visit| visit.n == asked) {
                RecordFault::NotLast {
                    asked,
                    last: last.n,
                }
            } else {
                RecordFault::NoVisit(asked)
            }),
            Some(last) if last.is_closed() || last.seal != SealShape::None => {
                Err(RecordFault::Closed(asked))
            }
            Some(_) => Ok(()),
        },
    }
}

#[cfg(test)]
#[expect(clippy::arithmetic_side_effects, reason = "a test counts to twenty")]
mod tests {
    use proptest::prelude::proptest;
    use proptest::sample::select;

    use super::*;
    use crate::store::blocks::correction::correction_block;
    use crate::store::blocks::intake::{clear_block, order_block};
    use crate::store::blocks::visit::{
        NewVisit, adjust_block, closed_visit_block, kept_block, visit_block,
    };
    use crate::store::issue::compose_issue;
    use crate::store::samples::{
        adjust, blank_visit, clearance, closed_twice, correction, intake_text, new_issued,
        new_order,
    };
    use crate::store::seal::{SealState, first_broken, verify_all, verify_last};

    fn text(bytes: Vec<u8>) -> String {
        String::from_utf8(bytes).unwrap()
    }

    fn with(old: &str, block: &Block) -> String {
        let new = text(compose(old.as_bytes(), block).unwrap());
        assert!(new.starts_with(old), "the old bytes are a prefix");
        new
    }

    #[test]
    fn a_line_end_is_added_only_when_missing() {
        let block = clear_block(&clearance());
        assert!(with("schema = 1", &block).starts_with("schema = 1\n\n[[clear]]\n"));
        assert!(with("schema = 1\n", &block).starts_with("schema = 1\n\n[[clear]]\n"));
        assert!(with("schema = 1 # by hand", &block).contains("# by hand\n\n[[clear]]\n"));
        assert!(with("schema = 1\r\n", &block).starts_with("schema = 1\r\n\r\n[[clear]]\r\n"));
        assert!(with("\u{feff}schema = 1\n", &block).ends_with("until = 2026-05-17\n"));
    }

    #[test]
    fn what_does_not_parse_is_not_added_to() {
        let block = clear_block(&clearance());
        for old in [
            "a = ",
            "a = '''",
            "a = \"",
            "clear = []\n",
            "[clear]\n",
            "a = 1\ra = 2",
        ] {
            let fault = compose(old.as_bytes(), &block).unwrap_err();
            assert!(
                matches!(fault, RecordFault::NotToml { .. }),
                "{old}: {fault}"
            );
        }
        assert_eq!(compose(b"\xff", &block), Err(RecordFault::NotText));
    }

    #[test]
    fn a_record_never_outgrows_its_reader() {
        let old = format!("# {}\n", "x".repeat(MOST_BYTES));
        let fault = compose(old.as_bytes(), &clear_block(&clearance())).unwrap_err();
        assert!(matches!(
            fault,
            RecordFault::TooLong {
                most: MOST_BYTES,
                ..
            }
        ));
    }

    #[test]
    fn a_correction_without_a_sheet_is_sealed_at_once() {
        let late = NewVisit {
            corrects: Some(1),
            ..blank_visit(3)
        };
        let old = closed_twice();
        let new = with(&old, &closed_visit_block(&late));
        let end = new.split("\n[visit.closed]\n").nth(1).unwrap();
        assert!(
            end.starts_with("sheet = \"none\"\n[visit.seal]\nsha256 = \""),
            "{end}"
        );
        let seals = verify_all(&new).unwrap();
        assert_eq!((seals.len(), first_broken(&seals)), (3, None));
        assert_eq!(verify_last(&new).unwrap().unwrap().visit, 3);
        let altered = new.replace(
            "[visit.closed]\nsheet = \"none\"",
            "[visit.closed]\nsheet = \"no\"",
        );
        assert_eq!(
            first_broken(&verify_all(&altered).unwrap()).unwrap().visit,
            3
        );
        let bare = new
            .split("[visit.seal]\nsha256")
            .take(3)
            .collect::<Vec<_>>();
        let bare = bare.join("[visit.seal]\nsha256");
        assert_eq!(
            first_broken(&verify_all(&bare).unwrap()).unwrap().state,
            SealState::Missing
        );
        let adjust = compose(new.as_bytes(), &adjust_block(3, &adjust("quad-set")));
        assert_eq!(adjust, Err(RecordFault::Closed(3)));
        assert!(with(&new, &visit_block(&blank_visit(4))).len() > new.len());
    }

    #[test]
    fn a_call_that_leaves_the_sheet_at_home_is_sealed_and_names_no_file() {
        let open = with(&closed_twice(), &visit_block(&blank_visit(3)));
        let new = with(&open, &kept_block(3, 2));
        let end = new.strip_prefix(&open).unwrap();
        assert!(
            end.starts_with("\n[visit.kept]\nsheet = 2\n[visit.seal]\nsha256 = \""),
            "{end}"
        );
        assert_eq!(first_broken(&verify_all(&new).unwrap()), None);
        let altered = new.replace("[visit.kept]\nsheet = 2", "[visit.kept]\nsheet = 1");
        assert_eq!(
            first_broken(&verify_all(&altered).unwrap()).unwrap().visit,
            3
        );
        let fault = compose_issue(new.as_bytes(), &new_issued(3, 3)).unwrap_err();
        assert_eq!(fault, RecordFault::Closed(3));
        let next = with(&new, &visit_block(&blank_visit(4)));
        assert!(compose_issue(next.as_bytes(), &new_issued(4, 3)).is_ok());
    }

    #[test]
    fn a_correction_of_the_episode_breaks_no_seal() {
        let old = closed_twice();
        let new = with(&old, &correction_block(&correction()));
        assert!(
            new.ends_with(
                "[[correction]]\nwhat = \"side\"\nwas = \"left\"\nnow = \"right\"\n\
             because = \"Typed wrongly at intake.\"\nby = \"PT-9\"\non = 2026-05-12\nvisits = 2\n"
            ),
            "{new}"
        );
        assert_eq!(first_broken(&verify_all(&new).unwrap()), None);
        let later = with(&new, &visit_block(&blank_visit(3)));
        let later = text(
            compose_issue(later.as_bytes(), &new_issued(3, 3))
                .unwrap()
                .bytes,
        );
        assert_eq!(first_broken(&verify_all(&later).unwrap()), None);
        let altered = later.replace("now = \"right\"", "now = \"both\"");
        assert_eq!(
            first_broken(&verify_all(&altered).unwrap()).unwrap().visit,
            3
        );
    }

    #[test]
    fn blocks_for_the_wrong_visit_are_refused() {
        let adjusted =
            |old: &str, n| compose(old.as_bytes(), &adjust_block(n, &adjust("quad-set")));
        let intake = intake_text();
        assert_eq!(adjusted(&intake, 1), Err(RecordFault::NoVisit(1)));
        assert_eq!(adjusted(&closed_twice(), 2), Err(RecordFault::Closed(2)));
        assert_eq!(
            adjusted(&closed_twice(), 1),
            Err(RecordFault::NotLast { asked: 1, last: 2 })
        );
        assert_eq!(
            compose(intake.as_bytes(), &visit_block(&blank_visit(2))),
            Err(RecordFault::WrongNumber { asked: 2, next: 1 })
        );
        assert_eq!(
            compose(closed_twice().as_bytes(), &visit_block(&blank_visit(2))),
            Err(RecordFault::WrongNumber { asked: 2, next: 3 })
        );
    }

    /// What the parser must find after some appends, kept apart from the text.
    #[derive(Default)]
    struct Expected {
        orders: usize,
        clears: usize,
        /// Adjusted exercises of each visit, and what closed it.
        visits: Vec<(usize, Option<&'static str>)>,
    }

    #[derive(Debug, Clone, Copy)]
    enum Act {
        Visit,
        Order,
        Clear,
        Adjust,
        Issue,
        Keep,
        Comment,
        BlankLines,
        NoLineEnd,
    }

    const ACTS: [Act; 9] = [
        Act::Visit,
        Act::Order,
        Act::Clear,
        Act::Adjust,
        Act::Issue,
        Act::Keep,
        Act::Comment,
        Act::BlankLines,
        Act::NoLineEnd,
    ];

    impl Expected {
        fn open(&self) -> bool {
            self.visits.last().is_some_and(|(_, by)| by.is_none())
        }

        fn sheets(&self) -> usize {
            let issued = |visit: &&(_, Option<&str>)| visit.1 == Some("issued");
            self.visits.iter().filter(issued).count()
        }

        fn act(&mut self, old: &str, act: Act) -> String {
            let n = i64::try_from(self.visits.len()).unwrap();
            match act {
                Act::Visit => {
                    self.visits.push((0, None));
                    with(old, &visit_block(&blank_visit(n + 1)))
                }
                Act::Order => {
                    self.orders += 1;
                    with(old, &order_block(&new_order("O2")))
                }
                Act::Clear => {
                    self.clears += 1;
                    with(old, &clear_block(&clearance()))
                }
                Act::Adjust if self.open() => {
                    self.visits.last_mut().unwrap().0 += 1;
                    with(old, &adjust_block(n, &adjust("quad-set")))
                }
                Act::Issue if self.open() => {
                    let sheet = i64::try_from(self.sheets()).unwrap() + 1;
                    self.visits.last_mut().unwrap().1 = Some("issued");
                    let new = compose_issue(old.as_bytes(), &new_issued(n, sheet)).unwrap();
                    assert!(new.bytes.starts_with(old.as_bytes()));
                    text(new.bytes)
                }
                Act::Keep if self.open() => {
                    self.visits.last_mut().unwrap().1 = Some("kept");
                    with(old, &kept_block(n, 1))
                }
                Act::Keep => {
                    assert!(compose(old.as_bytes(), &kept_block(n, 1)).is_err());
                    old.to_owned()
                }
                Act::Adjust => {
                    assert!(
                        compose(old.as_bytes(), &adjust_block(n, &adjust("quad-set"))).is_err()
                    );
                    old.to_owned()
                }
                Act::Issue => {
                    assert!(compose_issue(old.as_bytes(), &new_issued(n, 99)).is_err());
                    old.to_owned()
                }
                Act::Comment => format!("{old}\n# [[visit]] [visit.seal] by hand\n"),
                Act::BlankLines => format!("{old}\n\r\n\n"),
                Act::NoLineEnd => old.trim_end().to_owned(),
            }
        }

        fn check(&self, new: &str) {
            let table: toml::Table = new.parse().unwrap();
            let count = |value: Option<&toml::Value>| {
                value.map_or(0, |value| value.as_array().unwrap().len())
            };
            assert_eq!(count(table.get("order")), self.orders + 1, "{new}");
            assert_eq!(count(table.get("clear")), self.clears, "{new}");
            assert_eq!(count(table.get("visit")), self.visits.len(), "{new}");
            for (at, (adjusts, by)) in self.visits.iter().enumerate() {
                let visit = table["visit"][at].as_table().unwrap();
                assert_eq!(count(visit.get("adjust")), *adjusts, "{new}");
                for way in ["issued", "kept"] {
                    assert_eq!(visit.contains_key(way), *by == Some(way), "{new}");
                }
                assert_eq!(visit.contains_key("seal"), by.is_some(), "{new}");
                if *by == Some("issued") {
                    let issued = &visit["issued"];
                    assert_eq!(count(issued.get("item")), 1);
                    assert_eq!(count(issued.get("file")), 1);
                }
            }
            assert_eq!(first_broken(&verify_all(new).unwrap()), None, "{new}");
        }
    }

    fn run(acts: &[Act]) {
        let mut expected = Expected::default();
        let mut text = intake_text();
        for act in acts {
            text = expected.act(&text, *act);
            expected.check(&text);
        }
    }

    #[test]
    fn every_order_of_four_acts_binds_where_it_should() {
        for a in ACTS {
            for b in ACTS {
                for c in ACTS {
                    run(&[Act::Visit, a, b, c, Act::Issue]);
                }
            }
        }
    }

    proptest! {
        #[test]
        fn any_order_of_acts_binds_where_it_should(acts in proptest::collection::vec(select(&ACTS[..]), 0..14)) {
            run(&acts);
        }
    }
}
