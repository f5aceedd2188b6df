//! The seals of a record that has only grown, checked in one pass.
//!
//! Each stretch between two seals is parsed once by itself. If it holds nothing but new tables at
//! the end of lists, the text before any seal says just what the whole record says up to there,
//! and its digest is taken from the whole. Anything else is left to the slow way in `seal`.

use std::collections::BTreeMap;

use toml::de::{DeTable, DeValue};

use super::canonical::{json_without, value_json};
use super::digest::sha256;
use super::error::RecordFault;
use super::shape::{SealShape, VisitShape, parse};

/// What makes a stretch that begins with a seal a text of its own.
const OWNER: &str = "[[visit]]\n";

/// The digests of what stands before each seal, and the bytes parsed for them.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Chain {
    /// By the place of the visit in the record.
    pub(super) digests: BTreeMap<usize, String>,
    /// How many bytes were parsed.
    pub(super) parsed: usize,
}

/// How many tables of each list stand before a seal.
type Counts = BTreeMap<String, usize>;

/// Takes the digests of a record; none if it did more than grow, or a seal stands out of place.
pub(super) fn chain(
    text: &str,
    record: &DeTable<'_>,
    visits: &[VisitShape],
) -> Result<Option<Chain>, RecordFault> {
    let Some(starts) = starts(visits) else {
        return Ok(None);
    };
    let parts = Parts::of(record)?;
    let mut chain = Chain {
        digests: BTreeMap::new(),
        parsed: 0,
    };
    let mut counts = Counts::new();
    let mut from = 0;
    for (index, start) in &starts {
        let Some(stretch) = text.get(from..*start) else {
            return Ok(None);
        };
        if !counts_with(stretch, from > 0, &mut counts, &mut chain.parsed)
            || counts.get("visit") != Some(&index.saturating_add(1))
        {
            return Ok(None);
        }
        let Some(sealed) = parts.up_to(&counts, *index) else {
            return Ok(None);
        };
        chain.digests.insert(*index, sha256(sealed.as_bytes()));
        from = *start;
    }
    let rest = text.get(from..).unwrap_or_default();
    let grown = counts_with(rest, from > 0, &mut counts, &mut chain.parsed);
    Ok(grown.then_some(chain))
}

/// The seals in their order, by the place of their visits; none if one is out of place.
fn starts(visits: &[VisitShape]) -> Option<Vec<(usize, usize)>> {
    let mut starts: Vec<(usize, usize)> = Vec::new();
    for (index, visit) in visits.iter().enumerate() {
        match &visit.seal {
            SealShape::None => {}
            SealShape::Misplaced { .. } => return None,
            SealShape::At { start, .. } => {
                if starts.last().is_some_and(|(_, before)| before >= start) {
                    return None;
                }
                starts.push((index, *start));
            }
        }
    }
    Some(starts)
}

/// Adds the tables of a stretch; false if it holds anything but a seal and whole new tables.
fn counts_with(
    stretch: &str,
    begins_with_seal: bool,
    counts: &mut Counts,
    parsed: &mut usize,
) -> bool {
    *parsed = parsed.saturating_add(stretch.len());
    let with_owner;
    let stretch = if begins_with_seal {
        with_owner = format!("{OWNER}{stretch}");
        &with_owner
    } else {
        stretch
    };
    let Ok(table) = parse(stretch) else {
        return false;
    };
    for (key, value) in &table {
        let key = key.get_ref().as_ref();
        let Some(list) = value.get_ref().as_array() else {
            if begins_with_seal {
                return false;
            }
            continue;
        };
        let mut new = list.len();
        if begins_with_seal && key == "visit" {
            // The first is the owner put before the seal: it must hold the seal and no more.
            let owner = list.first().and_then(|owner| owner.get_ref().as_table());
            if owner.is_none_or(|owner| owner.len() != 1) {
                return false;
            }
            new = new.saturating_sub(1);
        }
        let sum = counts.entry(key.to_owned()).or_insert(0);
        *sum = sum.saturating_add(new);
    }
    true
}

/// The canonical JSON of a record, in parts: values, and lists table by table.
struct Parts {
    values: BTreeMap<String, String>,
    lists: BTreeMap<String, Vec<String>>,
    /// Each visit as it was before its seal.
    unsealed: Vec<String>,
}

impl Parts {
    fn of(record: &DeTable<'_>) -> Result<Self, RecordFault> {
        let mut parts = Self {
            values: BTreeMap::new(),
            lists: BTreeMap::new(),
            unsealed: Vec::new(),
        };
        for (key, value) in record {
            let (key, value) = (key.get_ref().as_ref().to_owned(), value.get_ref());
            let Some(list) = value.as_array() else {
                parts.values.insert(key, value_json(value)?);
                continue;
            };
            if key == "visit" {
                let unsealed = list
                    .iter()
                    .map(|visit| json_without(visit.get_ref(), "seal"));
                parts.unsealed = unsealed.collect::<Result<_, _>>()?;
            }
            let tables = list.iter().map(|table| value_json(table.get_ref()));
            parts.lists.insert(key, tables.collect::<Result<_, _>>()?);
        }
        Ok(parts)
    }

    /// Returns the JSON of what stood before the seal of a visit.
    fn up_to(&self, counts: &Counts, sealed: usize) -> Option<String> {
        let mut keys: Vec<&String> = self.values.keys().chain(counts.keys()).collect();
        keys.sort();
        let mut out = String::from("{");
        for key in keys {
            if out.len() > 1 {
                out.push(',');
            }
            out.push_str(&value_json(&DeValue::String(key.as_str().into())).ok()?);
            out.push(':');
            match self.values.get(key) {
                Some(value) => out.push_str(value),
                None => self.list_up_to(key, *counts.get(key)?, sealed, &mut out)?,
            }
        }
        out.push('}');
        Some(out)
    }

    fn list_up_to(&self, key: &str, count: usize, sealed: usize, out: &mut String) -> Option<()> {
        out.push('[');
        for (at, whole) in self.lists.get(key)?.get(..count)?.iter().enumerate() {
            if at > 0 {
                out.push(',');
            }
            let is_sealed = key == "visit" && at == sealed;
            out.push_str(if is_sealed {
                self.unsealed.get(at)?
            } else {
                whole
            });
        }
        out.push(']');
        Some(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::blocks::visit::visit_block;
    use crate::store::compose::compose;
    use crate::store::issue::compose_issue;
    use crate::store::samples::{blank_visit, closed_twice, new_issued};
    use crate::store::seal::{verify_all, verify_each};
    use crate::store::shape::{plain, visits};

    fn chain_of(text: &str) -> Option<Chain> {
        let text = plain(text);
        let record = parse(&text).unwrap();
        chain(&text, &record, &visits(&text, &record).unwrap()).unwrap()
    }

    fn closed(visits: i64) -> String {
        let mut bytes = closed_twice().into_bytes();
        for n in 3..=visits {
            bytes = compose(&bytes, &visit_block(&blank_visit(n))).unwrap();
            bytes = compose_issue(&bytes, &new_issued(n, n)).unwrap().bytes;
        }
        String::from_utf8(bytes).unwrap()
    }

    #[test]
    fn every_byte_is_parsed_once_however_many_visits_there_are() {
        for visits in [2, 10, 40] {
            let text = closed(visits);
            let chain = chain_of(&text).unwrap();
            assert_eq!(chain.digests.len(), usize::try_from(visits).unwrap());
            assert_eq!(chain.parsed, text.len());
        }
    }

    /// Every line taken out, put in twice, or changed: both ways find the same.
    #[test]
    fn it_finds_what_the_slow_way_finds() {
        let text = closed(4);
        let lines: Vec<&str> = text.lines().collect();
        let extra = [
            "",
            "[visit.extra]\nnote = \"x\"",
            "[episode.extra]",
            "[[order]]\nid = \"O7\"",
            "more = 1",
            "[order.extra]",
            "[[visit]]\nn = 9",
            "[visit.seal]",
            "[[visit.adjust]]",
            "[[visit.issued.item]]",
            "visit = []",
            "[a]",
        ];
        let (mut read, mut grown) = (0, 0);
        for at in 0..lines.len() {
            let swapped = lines[at].replace('1', "2");
            let twice = format!("{0}\n{0}", lines[at]);
            let put = extra.iter().map(|extra| format!("{extra}\n{}", lines[at]));
            for new in put.chain([String::new(), swapped, twice]) {
                let mut changed: Vec<&str> = lines.clone();
                changed[at] = &new;
                let changed = changed.join("\n");
                let Ok(slow) = verify_each(&changed) else {
                    continue;
                };
                read += 1;
                grown += usize::from(chain_of(&changed).is_some());
                assert_eq!(verify_all(&changed).unwrap(), slow, "{changed}");
            }
        }
        println!("{read} changed records compared, {grown} of them the fast way");
        assert!(read > 500 && grown > 200 && grown < read, "{read} {grown}");
    }
}
