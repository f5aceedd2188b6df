//! Seals: a digest of everything that stood in a record when a visit was closed.
//!
//! A seal covers values, not bytes: comments, blank lines, line ends and a byte-order mark are
//! free. It shows accidents; it does not stop a forger. Nothing is repaired here.

use toml::de::DeTable;

use super::canonical::{json_without, table_json, value_json};
use super::chain::chain;
use super::digest::sha256;
use std::fmt;

use super::error::RecordFault;
use super::shape::{SealShape, VisitShape, line_of, parse, plain, visits};

/// How a visit and its seal stand to each other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SealState {
    /// Nothing has closed the visit yet, so there is nothing to seal.
    Open,
    /// The seal holds.
    Holds,
    /// Something before the seal is no longer what was sealed.
    Differs {
        /// The digest written in the record.
        written: String,
        /// The digest of what stands there now.
        computed: String,
    },
    /// Something was added, after the seal, to a part of the record that it had closed.
    AddedAfter,
    /// The visit was closed, but the seal is missing.
    Missing,
    /// There is a seal, but nothing has closed the visit.
    NothingIssued,
    /// The seal is not a `[visit.seal]` table of its own with one digest of 64 hex digits.
    Misplaced,
}

impl fmt::Display for SealState {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Open => "nothing was issued yet",
            Self::Holds => "it holds",
            Self::Differs { .. } => "something before it was changed after the visit was closed",
            Self::AddedAfter => "something was added later to a part that was already closed",
            Self::Missing => "the visit was closed, but the seal is missing",
            Self::NothingIssued => "there is a seal, but nothing was issued",
            Self::Misplaced => "it is not a `[visit.seal]` table with one digest",
        })
    }
}

/// A visit, and whether its seal holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VisitSeal {
    /// Number of the visit.
    pub visit: i64,
    /// Line of the seal, from 1; none when there is no seal.
    pub line: Option<usize>,
    /// How it stands.
    pub state: SealState,
}

impl VisitSeal {
    /// Says whether nothing is wrong: the seal holds, or the visit is still open.
    pub fn is_sound(&self) -> bool {
        matches!(self.state, SealState::Holds | SealState::Open)
    }
}

/// Returns the seal that belongs to a visit: of the text up to its `[visit.seal]`.
///
/// Without a seal the visit must be the last one, and the whole text counts.
pub fn seal_of(text: &str, visit: i64) -> Result<String, RecordFault> {
    let text = plain(text);
    let record = parse(&text)?;
    let all = visits(&text, &record)?;
    let found = all
        .iter()
        .find(|shape| shape.n == visit)
        .ok_or(RecordFault::NoVisit(visit))?;
    match &found.seal {
        SealShape::At { start, .. } => digest_of(&parse(before(&text, *start))?),
        SealShape::Misplaced { .. } => Err(RecordFault::Shape("visit.seal")),
        SealShape::None => match all.last() {
            Some(last) if last.n != visit => Err(RecordFault::NotLast {
                asked: visit,
                last: last.n,
            }),
            Some(_) | None => digest_of(&record),
        },
    }
}

/// Checks the seal of the last visit that was closed; none was closed is none.
pub fn verify_last(text: &str) -> Result<Option<VisitSeal>, RecordFault> {
    let text = plain(text);
    let record = parse(&text)?;
    let all = visits(&text, &record)?;
    all.iter()
        .enumerate()
        .rfind(|(_, visit)| visit.is_closed() || visit.seal != SealShape::None)
        .map(|(index, visit)| verify(&text, &record, index, visit))
        .transpose()
}

/// Checks every seal; the answers stand in the order of the visits.
pub fn verify_all(text: &str) -> Result<Vec<VisitSeal>, RecordFault> {
    let text = plain(text);
    let record = parse(&text)?;
    let all = visits(&text, &record)?;
    let chain = chain(&text, &record, &all)?;
    let digest = |index: usize| chain.as_ref().and_then(|chain| chain.digests.get(&index));
    let each = all.iter().enumerate();
    each.map(|(index, visit)| match (&visit.seal, digest(index)) {
        // What has only grown cannot have been added to: the digest alone decides.
        (SealShape::At { start, sha256 }, Some(computed)) if visit.is_closed() => Ok(VisitSeal {
            visit: visit.n,
            line: Some(line_of(&text, *start)),
            state: held_against(computed.clone(), sha256),
        }),
        _ => verify(&text, &record, index, visit),
    })
    .collect()
}

/// Checks every seal by parsing the text before each of them anew.
#[cfg(test)]
pub(super) fn verify_each(text: &str) -> Result<Vec<VisitSeal>, RecordFault> {
    let text = plain(text);
    let record = parse(&text)?;
    let all = visits(&text, &record)?;
    let each = all.iter().enumerate();
    each.map(|(index, visit)| verify(&text, &record, index, visit))
        .collect()
}

/// Returns the first visit whose seal does not hold: what was changed stands before that seal.
pub fn first_broken(seals: &[VisitSeal]) -> Option<&VisitSeal> {
    seals.iter().find(|seal| !seal.is_sound())
}

fn verify(
    text: &str,
    record: &DeTable<'_>,
    index: usize,
    visit: &VisitShape,
) -> Result<VisitSeal, RecordFault> {
    let (start, state) = match (&visit.seal, visit.is_closed()) {
        (SealShape::None, false) => (None, SealState::Open),
        (SealShape::None, true) => (None, SealState::Missing),
        (SealShape::Misplaced { start }, _) => (Some(*start), SealState::Misplaced),
        (SealShape::At { start, .. }, false) => (Some(*start), SealState::NothingIssued),
        (SealShape::At { start, sha256 }, true) => {
            let sealed = parse(before(text, *start))?;
            (Some(*start), compare(&sealed, record, index, sha256)?)
        }
    };
    Ok(VisitSeal {
        visit: visit.n,
        line: start.map(|byte| line_of(text, byte)),
        state,
    })
}

fn compare(
    sealed: &DeTable<'_>,
    record: &DeTable<'_>,
    index: usize,
    written: &str,
) -> Result<SealState, RecordFault> {
    let state = held_against(digest_of(sealed)?, written);
    if state == SealState::Holds && !has_only_grown(sealed, record, index)? {
        return Ok(SealState::AddedAfter);
    }
    Ok(state)
}

fn held_against(computed: String, written: &str) -> SealState {
    if computed == written {
        SealState::Holds
    } else {
        SealState::Differs {
            written: written.to_owned(),
            computed,
        }
    }
}

/// Says whether everything sealed still stands unaltered in the whole record.
///
/// TOML lets a later header add to an earlier table, so the text before a seal can be untouched
/// and yet mean something else. Lists at the top may get longer; the visit gets its seal.
fn has_only_grown(
    sealed: &DeTable<'_>,
    record: &DeTable<'_>,
    index: usize,
) -> Result<bool, RecordFault> {
    for (key, old) in sealed {
        let Some(new) = record.get(key.get_ref().as_ref()) else {
            return Ok(false);
        };
        let (Some(olds), Some(news)) = (old.get_ref().as_array(), new.get_ref().as_array()) else {
            if value_json(old.get_ref())? != value_json(new.get_ref())? {
                return Ok(false);
            }
            continue;
        };
        if news.len() < olds.len() {
            return Ok(false);
        }
        for (at, (old, new)) in olds.iter().zip(news.iter()).enumerate() {
            let closed_here = key.get_ref() == "visit" && at == index;
            let new = if closed_here {
                json_without(new.get_ref(), "seal")?
            } else {
                value_json(new.get_ref())?
            };
            if value_json(old.get_ref())? != new {
                return Ok(false);
            }
        }
    }
    Ok(true)
}

fn digest_of(record: &DeTable<'_>) -> Result<String, RecordFault> {
    Ok(sha256(table_json(record)?.as_bytes()))
}

fn before(text: &str, start: usize) -> &str {
    text.get(..start).unwrap_or(text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::samples::{closed_twice, intake_text};

    fn states(text: &str) -> Vec<SealState> {
        verify_all(text)
            .unwrap()
            .into_iter()
            .map(|seal| seal.state)
            .collect()
    }

    fn broken_visit(text: &str) -> Option<i64> {
        first_broken(&verify_all(text).unwrap()).map(|seal| seal.visit)
    }

    #[test]
    fn a_fresh_record_holds() {
        let text = closed_twice();
        assert_eq!(states(&text), [SealState::Holds, SealState::Holds]);
        assert_eq!(verify_last(&text).unwrap().unwrap().visit, 2);
        assert_eq!(verify_last(&intake_text()).unwrap(), None);
    }

    #[test]
    fn the_seal_is_the_digest_of_the_canonical_json() {
        let text = "schema = 1\n[[visit]]\nn = 1\ndate = 2026-05-06\n[visit.issued]\nsheet = 1\n";
        let json = r#"{"schema":1,"visit":[{"date":"2026-05-06","issued":{"sheet":1},"n":1}]}"#;
        assert_eq!(seal_of(text, 1).unwrap(), sha256(json.as_bytes()));
        let sealed = format!(
            "{text}[visit.seal]\nsha256 = \"{}\"\n",
            sha256(json.as_bytes())
        );
        assert_eq!(seal_of(&sealed, 1).unwrap(), sha256(json.as_bytes()));
        assert_eq!(states(&sealed), [SealState::Holds]);
    }

    #[test]
    fn comments_blanks_line_ends_and_byte_order_marks_are_free() {
        let text = closed_twice();
        let commented = format!(
            "# [visit.seal]\n\n{}# end",
            text.replace("\n[visit.seal]", "\n\n# mine\n  [ visit . \"seal\" ] # x")
        );
        let respaced = text.replace("how = \"seen\"", "how  =  'seen'");
        for free in [
            text.replace('\n', "\r\n"),
            format!("\u{feff}{text}"),
            format!("\u{feff}{}", commented.replace('\n', "\r\n")),
            commented,
            respaced,
        ] {
            assert_ne!(free, text);
            assert_eq!(
                states(&free),
                [SealState::Holds, SealState::Holds],
                "{free}"
            );
        }
    }

    #[test]
    fn a_string_over_several_lines_keeps_its_seal_when_line_ends_change() {
        let open = "schema = 1\n[[visit]]\nn = 1\nby = \"\"\"two\nlines\"\"\"\n[visit.issued]\nsheet = 1\n";
        let seal = seal_of(open, 1).unwrap();
        assert_eq!(seal_of(&open.replace('\n', "\r\n"), 1).unwrap(), seal);
    }

    #[test]
    fn a_changed_value_is_named_by_the_first_seal_after_it() {
        let text = closed_twice();
        let intake = text.replacen("side = \"left\"", "side = \"right\"", 1);
        assert_eq!(broken_visit(&intake), Some(1));
        let first = text.replacen("flexion = 70", "flexion = 75", 1);
        assert_eq!(broken_visit(&first), Some(1));
        assert!(!verify_last(&first).unwrap().unwrap().is_sound());
        let second = text.replacen("flexion = 82", "flexion = 83", 1);
        assert_eq!(broken_visit(&second), Some(2));
        let resealed = text.replacen("sheet-02.pdf", "sheet-03.pdf", 1);
        assert_eq!(broken_visit(&resealed), Some(2));
        let order = text.replacen("id = \"O1\"", "id = \"O7\"", 1);
        assert_eq!(broken_visit(&order), Some(1));
    }

    #[test]
    fn a_look_alike_fools_nobody() {
        let open = "schema = 1\n# [visit.seal]\n[[visit]]\nn = 1\nby = '''\n[visit.seal]\nsha256 = \"00\"\n'''\n[visit.issued]\nsheet = 1\nprogram = \"\\n[visit.seal]\"\n";
        let seal = seal_of(open, 1).unwrap();
        let text =
            format!("{open}  # [visit.seal]\n[visit.seal]\nsha256 = \"{seal}\"\n# [visit.seal]\n");
        assert_eq!(states(&text), [SealState::Holds]);
        let sealed = verify_last(&text).unwrap().unwrap();
        assert_eq!(sealed.line, Some(13));
        let altered = text.replace("sheet = 1", "sheet = 2");
        assert!(matches!(states(&altered)[..], [SealState::Differs { .. }]));
    }

    #[test]
    fn what_is_added_to_a_closed_part_afterwards_shows() {
        let text = closed_twice();
        for added in [
            "[[visit.adjust]]\nexercise = \"quad-set\"\n",
            "[visit.extra]\nnote = \"x\"\n",
            "[[visit.issued.item]]\nexercise = \"quad-set\"\n",
            "[episode.extra]\nnote = \"x\"\n",
            "[patient.home]\nalone = \"yes\"\n",
            "[order.extra]\nnote = \"x\"\n",
        ] {
            let text = format!("{text}{added}");
            assert_eq!(
                states(&text).last(),
                Some(&SealState::AddedAfter),
                "{added}"
            );
        }
        let order =
            format!("{text}[[order]]\nid = \"O9\"\n[[visit]]\nn = 3\n[[clear]]\nflag = \"calf\"\n");
        assert_eq!(
            states(&order),
            [SealState::Holds, SealState::Holds, SealState::Open]
        );
    }

    #[test]
    fn a_seal_of_another_shape_is_said() {
        let open = "[[visit]]\nn = 1\n[visit.issued]\nsheet = 1\n";
        let hex = "0".repeat(64);
        for (text, state) in [
            (open.to_owned(), SealState::Missing),
            (
                format!("[[visit]]\nn = 1\n[visit.seal]\nsha256 = \"{hex}\"\n"),
                SealState::NothingIssued,
            ),
            (
                format!(
                    "[[visit]]\nn = 1\nseal = {{ sha256 = \"{hex}\" }}\n[visit.issued]\nsheet = 1\n"
                ),
                SealState::Misplaced,
            ),
            (
                format!("[[visit]]\nn = 1\nseal.sha256 = \"{hex}\"\n[visit.issued]\nsheet = 1\n"),
                SealState::Misplaced,
            ),
            (
                format!("{open}[visit.seal]\nsha256 = \"{}\"\n", "A".repeat(64)),
                SealState::Misplaced,
            ),
            (
                format!("{open}[visit.seal]\nsha256 = \"{hex}\"\nmore = 1\n"),
                SealState::Misplaced,
            ),
            (format!("{open}[visit.seal]\n"), SealState::Misplaced),
        ] {
            assert_eq!(states(&text), std::slice::from_ref(&state), "{text}");
            assert!(first_broken(&verify_all(&text).unwrap()).is_some());
        }
    }

    #[test]
    fn only_the_last_visit_can_be_sealed() {
        let text = "[[visit]]\nn = 1\n[[visit]]\nn = 2\n";
        assert_eq!(
            seal_of(text, 1),
            Err(RecordFault::NotLast { asked: 1, last: 2 })
        );
        assert_eq!(seal_of(text, 3), Err(RecordFault::NoVisit(3)));
        assert!(seal_of(text, 2).is_ok());
    }
}
