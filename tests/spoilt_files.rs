//! Files as editors, word processors and copying leave them: what is taken and what is told.

use std::fs;
use std::path::Path;

use crate::support::{banister_in, copy_of, examples, flat, out, talk};

const RECORD: &str = "record/record.toml";

/// The first example as it was before its sheet was issued, as other bytes.
fn spoilt(change: impl Fn(&str) -> Vec<u8>) -> (tempfile::TempDir, Vec<u8>) {
    let folder = copy_of(&examples()[0]);
    let path = folder.path().join(RECORD);
    let closed = fs::read_to_string(&path).unwrap();
    let open = &closed[..=closed.rfind("\n[visit.issued]").unwrap()];
    fs::remove_dir_all(folder.path().join("record/record.sheets")).unwrap();
    let bytes = change(open);
    fs::write(&path, &bytes).unwrap();
    (folder, bytes)
}

fn utf16(text: &str, big: bool) -> Vec<u8> {
    let order = |unit: u16| {
        if big {
            unit.to_be_bytes()
        } else {
            unit.to_le_bytes()
        }
    };
    text.encode_utf16().flat_map(order).collect()
}

/// One byte in place of the first one of a word.
fn byte_in(text: &str, word: &str, byte: u8) -> Vec<u8> {
    let mut bytes = text.as_bytes().to_vec();
    bytes[text.find(word).unwrap()] = byte;
    bytes
}

type Change = fn(&str) -> Vec<u8>;

/// What happened to the file, its bytes then, and what is told of it.
const REFUSED: &[(&str, Change, &[&str])] = &[
    (
        "saved as Windows-1252",
        |text| byte_in(text, "allotment", 0xE9),
        &[
            "BN003",
            "line ",
            "byte 0xE9, which is é in Windows-1252",
            "UTF-8",
        ],
    ),
    (
        "saved with a quote of Windows-1252",
        |text| byte_in(text, "allotment", 0x93),
        &["BN003", "which is “ in Windows-1252"],
    ),
    (
        "a byte no encoding has",
        |text| byte_in(text, "allotment", 0x81),
        &["BN003", "byte 0x81"],
    ),
    (
        "saved as UTF-16 with its mark",
        |text| utf16(&format!("\u{feff}{text}"), false),
        &["BN003", "UTF-16 text, not UTF-8"],
    ),
    (
        "saved as UTF-16 the other way round",
        |text| utf16(&format!("\u{feff}{text}"), true),
        &["BN003", "UTF-16 text, not UTF-8"],
    ),
    (
        "saved as UTF-16 without its mark",
        |text| utf16(text, false),
        &["BN003", "UTF-16 text without a byte-order mark"],
    ),
    (
        "saved as UTF-16 without its mark, the other way round",
        |text| utf16(text, true),
        &["BN003", "UTF-16 text without a byte-order mark"],
    ),
    (
        "cut short in the middle of a letter",
        |text| [text.as_bytes(), b"# Zo\xC3"].concat(),
        &["BN003", "ends in the middle of a letter"],
    ),
    (
        "filled up with zeros by a failing disk",
        |text| [text.as_bytes(), &[0; 512]].concat(),
        &["BN004", "is zero"],
    ),
    (
        "nothing but a byte-order mark",
        |_| b"\xEF\xBB\xBF".to_vec(),
        &["BN005", "empty"],
    ),
    (
        "two byte-order marks",
        |text| format!("\u{feff}\u{feff}{text}").into_bytes(),
        &["BN009", "U+FEFF"],
    ),
    (
        "line ends of old Macs",
        |text| text.replace('\n', "\r").into_bytes(),
        &["BN007"],
    ),
    (
        "an end-of-file sign of old systems",
        |text| format!("{text}\u{1a}").into_bytes(),
        &["BN007"],
    ),
    (
        "quotation marks made curly by a word processor",
        |text| {
            text.replacen("side = \"left\"", "side = “left”", 1)
                .into_bytes()
        },
        &[
            "BN009",
            "“ (U+201C)",
            "” (U+201D)",
            "type \" instead",
            "smart quotes",
            "2 problems",
        ],
    ),
    (
        "dates made pretty by a word processor",
        |text| {
            text.replacen("date = 2026-03-04", "date\u{a0}= 2026–03–04", 1)
                .into_bytes()
        },
        &[
            "BN009",
            "U+00A0",
            "– (U+2013)",
            "type - instead",
            "3 problems",
        ],
    ),
];

#[test]
fn what_cannot_be_read_is_told_with_its_place_and_nothing_is_written() {
    for (what, change, expected) in REFUSED {
        let (folder, before) = spoilt(change);
        for words in [
            vec!["check", RECORD],
            vec!["handout", RECORD, "-o", "sheet.pdf"],
            vec![
                "order",
                RECORD,
                "brace-locked",
                "--by",
                "X",
                "--document",
                "Y",
            ],
        ] {
            let run = banister_in(folder.path(), &words);
            let said = flat(&format!("{}{}", out(&run), talk(&run)));
            assert_eq!(run.status.code(), Some(1), "{what}: {words:?}: {said}");
            for text in *expected {
                assert!(
                    said.contains(text),
                    "{what}: {words:?} does not say `{text}`:\n{said}"
                );
            }
            assert_eq!(
                fs::read(folder.path().join(RECORD)).unwrap(),
                before,
                "{what}"
            );
            assert!(!folder.path().join("sheet.pdf").exists(), "{what}");
            assert!(
                !folder.path().join("record/record.sheets").exists(),
                "{what}"
            );
        }
    }
}

/// What happened to a file that is still the same record.
const TAKEN: &[(&str, Change)] = &[
    ("as it was", |text| text.as_bytes().to_vec()),
    ("a byte-order mark", |text| {
        format!("\u{feff}{text}").into_bytes()
    }),
    ("line ends of Windows", |text| {
        text.replace('\n', "\r\n").into_bytes()
    }),
    ("both", |text| {
        format!("\u{feff}{}", text.replace('\n', "\r\n")).into_bytes()
    }),
    ("mixed line ends", |text| {
        let ended = |(index, line): (usize, &str)| {
            let end = if index % 3 == 0 { "\r\n" } else { "\n" };
            format!("{line}{end}")
        };
        text.lines()
            .enumerate()
            .map(ended)
            .collect::<String>()
            .into_bytes()
    }),
    ("no end of the last line", |text| {
        text.trim_end().as_bytes().to_vec()
    }),
    ("both, and no end of the last line", |text| {
        format!("\u{feff}{}", text.trim_end().replace('\n', "\r\n")).into_bytes()
    }),
    ("blanks at the end", |text| {
        format!("{text} \t\r\n\n\r\n  ").into_bytes()
    }),
    ("typeset characters in a text and a comment", |text| {
        let goal = "goal = \"Walk to Zoë’s “plot” – and\u{a0}back…\" # “own” – words";
        let old = text
            .lines()
            .find(|line| line.starts_with("goal = "))
            .unwrap();
        text.replacen(old, goal, 1).into_bytes()
    }),
];

/// Runs a line that must succeed on the record; returns what it printed.
fn done(folder: &Path, what: &str, line: &str) -> String {
    let words: Vec<&str> = line.split_whitespace().collect();
    let run = banister_in(folder, &words);
    assert_eq!(
        run.status.code(),
        Some(0),
        "{what}: {line}: {}{}",
        out(&run),
        talk(&run)
    );
    out(&run)
}

#[test]
fn marks_and_line_ends_change_nothing_and_what_is_added_reads_back() {
    for (what, change) in TAKEN {
        let (folder, mut bytes) = spoilt(change);
        let folder = folder.path();
        let run = |line: &str| done(folder, what, &line.replace("RECORD", RECORD));
        run("check RECORD");
        assert!(run("handout RECORD --preview --as text").contains("Preview, not issued"));
        let now = || fs::read(folder.join(RECORD)).unwrap();
        assert_eq!(now(), bytes, "{what}: a preview writes nothing");
        for line in [
            "order RECORD flexion-cap 90 --by Surgeon --on 2026-03-04 --document note",
            "handout RECORD --as text",
            "visit RECORD --date 2026-03-16 --by PT-1 --screen none --did most --flexion 84 --pain 4 --swelling less",
        ] {
            run(line);
            let after = now();
            assert!(
                after.len() > bytes.len() && after.starts_with(&bytes),
                "{what}: {line}"
            );
            bytes = after;
            run("check RECORD");
        }
        let why = run("explain RECORD");
        assert!(why.contains("limit") && why.contains("84"), "{what}: {why}");
        let sheet = run("handout RECORD --sheet 1 --as text");
        assert!(sheet.contains("90 degrees"), "{what}: {sheet}");
    }
}
