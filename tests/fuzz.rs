//! Records and clinic files spoilt at random, always the same way: never a panic.

use std::panic::{AssertUnwindSafe, catch_unwind};

use banister::domain::ids::{Id, ProcedureId};
use banister::domain::library::Library;
use banister::files::shelf::Shelf;
use banister::files::source::{LIBRARY_BYTES, RECORD_BYTES, SourceFile};
use banister::files::{library, record};
use banister::store::verify_all;

use crate::support;

/// Words that are at home in these files, and some that never are.
const WORDS: &[&str] = &[
    "[[visit]]\n",
    "[visit.seal]\n",
    "[visit.issued]\n",
    "[[order]]\n",
    "[episode.x]\n",
    "\n",
    "=",
    "\"",
    "\"\"\"",
    "'''",
    "[",
    "]",
    "{",
    "}",
    ",",
    "#",
    "-1",
    "0",
    "99999999999999999999",
    "0x7fffffffffffffff",
    "1e9",
    "nan",
    "2026-02-30",
    "0000-01-01",
    "9999-12-31",
    "true",
    "\r",
    "\u{feff}",
    "\u{202e}",
    "\u{0}",
    "é",
    "n = 1\n",
    "n = 9223372036854775807\n",
    ".",
];

/// Numbers that look like chance and are the same each time.
struct Chance(u64);

impl Chance {
    fn below(&mut self, most: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % u64::try_from(most.max(1)).unwrap()).unwrap()
    }

    /// Spoils some bytes in one to four places.
    fn spoil(&mut self, bytes: &[u8]) -> Vec<u8> {
        let mut bytes = bytes.to_vec();
        for _ in 0..=self.below(4) {
            let at = self.below(bytes.len());
            let to = (at + self.below(60)).min(bytes.len());
            match self.below(7) {
                0 => bytes.truncate(at),
                1 => drop(bytes.drain(at..to)),
                2 if at < bytes.len() => bytes[at] ^= 1 << self.below(8),
                3 => {
                    let piece = bytes[at..to].to_vec();
                    let place = self.below(bytes.len());
                    bytes.splice(place..place, piece);
                }
                4 => {
                    let line = bytes[..at].iter().rposition(|byte| *byte == b'\n');
                    let from = line.map_or(0, |line| line + 1);
                    let end = bytes[at..].iter().position(|byte| *byte == b'\n');
                    drop(bytes.drain(from..end.map_or(bytes.len(), |end| at + end)));
                }
                _ => {
                    let word = WORDS[self.below(WORDS.len())];
                    bytes.splice(at..at, word.bytes());
                }
            }
        }
        bytes
    }
}

/// Spoils a file so many times; returns how many were still taken, and which made the reader fall.
fn fuzz(
    chance: &mut Chance,
    bytes: &[u8],
    times: usize,
    read: impl Fn(&[u8]) -> bool,
) -> (usize, Vec<String>) {
    let (mut taken, mut fallen) = (0, Vec::new());
    for _ in 0..times {
        let spoilt = chance.spoil(bytes);
        match catch_unwind(AssertUnwindSafe(|| read(&spoilt))) {
            Ok(fine) => taken += usize::from(fine),
            Err(_) => fallen.push(String::from_utf8_lossy(&spoilt).into_owned()),
        }
    }
    (taken, fallen)
}

/// Reads a record as `check` does; says whether it is taken.
fn record_is_taken(bytes: &[u8], library: &Library) -> bool {
    let file = match SourceFile::from_bytes("r.toml", bytes, RECORD_BYTES) {
        Ok(file) => file,
        Err(problems) => return problems.to_string().is_empty(),
    };
    let seals = verify_all(file.text());
    match record::head(&file).and_then(|_| record::read(&file, library)) {
        Ok(_) => seals.is_ok(),
        Err(problems) => (problems.to_string() + &problems.short()).is_empty(),
    }
}

#[test]
fn no_spoilt_record_makes_the_reader_fall() {
    let library = support::library();
    let mut chance = Chance(20_260_302);
    let (mut files, mut taken, mut fallen) = (0, 0, Vec::new());
    for name in [
        "01-discharge-day-2",
        "04-hot-calf-day-20",
        "08-no-next-visit-day-40",
    ] {
        let text = support::read(&format!("examples/{name}/record.toml"));
        let read = |bytes: &[u8]| record_is_taken(bytes, &library);
        let (fine, down) = fuzz(&mut chance, text.as_bytes(), 400, read);
        files += 400;
        taken += fine;
        fallen.extend(down);
    }
    println!(
        "{files} spoilt records, {taken} still taken, {} panics",
        fallen.len()
    );
    assert!(fallen.is_empty(), "{}", fallen[0]);
    assert!(
        taken > 0 && taken < files / 2,
        "{taken} of {files} were taken"
    );
}

#[test]
fn no_spoilt_clinic_file_makes_the_reader_fall() {
    let procedure = ProcedureId::new("knee-total").unwrap();
    let shelf = Shelf::built_in();
    let text = support::read("shared/clinic.toml");
    let mut chance = Chance(77);
    let read = |bytes: &[u8]| match SourceFile::from_bytes("clinic.toml", bytes, LIBRARY_BYTES) {
        Ok(file) => match library::load_from(&shelf, &procedure, &file) {
            Ok(_) => true,
            Err(problems) => (problems.to_string() + &problems.short()).is_empty(),
        },
        Err(problems) => problems.to_string().is_empty(),
    };
    let (taken, fallen) = fuzz(&mut chance, text.as_bytes(), 60, read);
    println!(
        "60 spoilt clinic files, {taken} still taken, {} panics",
        fallen.len()
    );
    assert!(fallen.is_empty(), "{}", fallen[0]);
    assert!(taken < 60, "{taken}");
}
