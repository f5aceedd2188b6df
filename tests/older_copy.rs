//! A record that ends before its sheets, and files that are none: said, and never built upon.
#![cfg(unix)]

use std::fs;
use std::os::unix::fs::symlink;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::support::{self, copy_tree, flat};

const INTAKE: &str = "intake r.toml --token EX-7003-E1 --side right --operation 2026-03-02 \
     --surgeon SURG-A --needs none --conditions none --positions-no none \
     --equipment bed,chair,chair-arms,towel,strap --alone no --slots breakfast,midday,evening \
     --minutes 45 --date 2026-03-09 --by PT-1 --screen none --walking-aid frame --pain 3 \
     --flexion 80 --next-visit 2026-03-16";
const VISIT: &str = "visit r.toml --date 2026-03-16 --by PT-1 --screen none --did most \
     --flexion 86 --pain 3 --next-visit 2026-03-23";
const SAID: &str = "is here but not in the record: a crash, or an older copy";

fn run(folder: &Path, line: &str) -> (i32, String) {
    let (code, told, said) = support::run(folder, line);
    (code, flat(&format!("{told} {said}")))
}

fn done(folder: &Path, line: &str) -> String {
    let (code, said) = run(folder, line);
    assert_eq!(code, 0, "{line}: {said}");
    said
}

/// A record with two sheets, put back as it was after the first one.
fn older_copy() -> (tempfile::TempDir, PathBuf) {
    let folder = support::clinic();
    let record = folder.path().join("r.toml");
    done(folder.path(), INTAKE);
    done(folder.path(), "handout r.toml --as text");
    let older = fs::read(&record).unwrap();
    done(folder.path(), VISIT);
    done(folder.path(), "handout r.toml --as text");
    fs::write(&record, older).unwrap();
    (folder, record)
}

#[test]
fn an_older_copy_is_said_by_every_command_that_reads_it() {
    let (folder, _) = older_copy();
    let path = folder.path();
    let said = format!("sheet 2 {SAID}");
    let (code, checked) = run(path, "check r.toml");
    assert!(code == 1 && checked.contains(&said), "{checked}");
    for line in ["due . --date 2026-03-17", "explain r.toml", VISIT] {
        let (_, told) = run(path, line);
        let told = told.to_lowercase();
        assert!(told.contains(&said), "{line}: {told}");
    }
    let issued = done(path, "handout r.toml --as text");
    assert!(issued.contains(&said), "{issued}");
    assert!(issued.contains("sheet 3 issued"), "{issued}");
}

#[test]
fn a_number_that_is_kept_is_never_given_again() {
    let (folder, record) = older_copy();
    let path = folder.path();
    let kept = path.join("r.sheets/EX-7003-E1-sheet-02.txt");
    let bytes = fs::read(&kept).unwrap();
    done(path, VISIT);
    done(path, "handout r.toml --as text");
    assert_eq!(fs::read(&kept).unwrap(), bytes);
    let text = fs::read_to_string(&record).unwrap();
    assert!(
        text.contains("sheet = 3") && !text.contains("sheet-02"),
        "{text}"
    );
    // A later sheet stepped over it: worth knowing, and no longer wrong.
    let checked = done(path, "check r.toml");
    assert!(
        checked.contains(&format!("remark: sheet 2 {SAID}")),
        "{checked}"
    );
    let due = done(path, "due . --date 2026-03-17");
    assert!(!due.contains(SAID), "{due}");
}

/// Every record of the examples, cut after each of its lines beside its sheets.
#[test]
fn a_record_that_was_cut_is_sound_only_behind_its_last_seal() {
    let folder = support::clinic();
    let (mut cuts, mut sound) = (0, 0);
    for example in ["05-calf-cleared-day-21", "08-no-next-visit-day-40"] {
        let from = support::root().join("examples").join(example);
        let text = fs::read_to_string(from.join("record.toml")).unwrap();
        let place = folder.path().join(example);
        fs::create_dir(&place).unwrap();
        copy_tree(&from.join("record.sheets"), &place.join("all.sheets"));
        let sealed = text.lines().position(|line| line == "[visit.seal]");
        assert!(sealed.is_some());
        let last = text.rfind("[visit.seal]\n").unwrap();
        let behind = text[..last].lines().count() + 2;
        let lines: Vec<&str> = text.lines().collect();
        for at in 1..lines.len() {
            let name = format!("c{at:03}");
            symlink("all.sheets", place.join(format!("{name}.sheets"))).unwrap();
            fs::write(place.join(format!("{name}.toml")), lines[..at].join("\n")).unwrap();
            cuts += 1;
            sound += usize::from(at >= behind);
        }
        let (_, told) = run(folder.path(), &format!("check --short {example}"));
        for at in 1..behind {
            let name = format!("c{at:03}.toml: sound");
            assert!(
                !told.contains(&name),
                "{example} cut after line {at} is sound"
            );
        }
    }
    println!("{cuts} cut records, {sound} of them behind the last seal, 0 others sound");
    assert!(cuts > 150, "{cuts}");
}

#[test]
fn pipes_and_devices_are_not_read() {
    let folder = support::clinic();
    let pipe = folder.path().join("pipe.toml");
    assert!(
        Command::new("mkfifo")
            .arg(&pipe)
            .status()
            .unwrap()
            .success()
    );
    symlink("/dev/zero", folder.path().join("zero.toml")).unwrap();
    for line in [
        "check pipe.toml zero.toml",
        "due . --date 2026-03-17",
        "handout zero.toml",
    ] {
        let (code, said) = run(folder.path(), line);
        assert!(code == 1 || code == 2, "{line}: {said}");
        assert!(said.contains("a pipe or a device"), "{line}: {said}");
    }
}

#[test]
fn links_that_lead_back_end_and_no_kept_sheet_is_a_pipe() {
    let (folder, _) = older_copy();
    let path = folder.path();
    for name in ["a", "b", "c"] {
        symlink(".", path.join(name)).unwrap();
    }
    let sheet = path.join("r.sheets/EX-7003-E1-sheet-01.pdf");
    fs::remove_file(&sheet).unwrap();
    assert!(
        Command::new("mkfifo")
            .arg(&sheet)
            .status()
            .unwrap()
            .success()
    );
    let (code, said) = run(path, "check .");
    assert!(code == 1 && said.contains("is not a plain file"), "{said}");
    assert!(said.contains("1 sound, 1 wrong"), "{said}");
}

#[test]
fn forcing_never_writes_over_the_sheet_of_any_record() {
    let (folder, _) = older_copy();
    let path = folder.path();
    fs::rename(path.join("r.sheets"), path.join("another.sheets")).unwrap();
    let kept = path.join("another.sheets/EX-7003-E1-sheet-02.pdf");
    symlink(&kept, path.join("link.pdf")).unwrap();
    let bytes = fs::read(&kept).unwrap();
    for to in [
        "another.sheets/EX-7003-E1-sheet-02.pdf",
        "link.pdf",
        "another.sheets/new.pdf",
    ] {
        let (code, said) = run(path, &format!("form visit -o {to} --force"));
        assert!(code != 0, "{to}: {said}");
        assert_eq!(fs::read(&kept).unwrap(), bytes, "{to}");
    }
    assert!(!path.join("another.sheets/new.pdf").exists());
}

#[test]
fn what_is_added_to_lines_of_windows_has_lines_of_windows() {
    let folder = support::clinic();
    let path = folder.path();
    done(path, INTAKE);
    let record = path.join("r.toml");
    let text = fs::read_to_string(&record).unwrap();
    fs::write(&record, text.replace('\n', "\r\n")).unwrap();
    done(path, "handout r.toml --as text");
    done(path, VISIT);
    done(path, "check r.toml");
    let text = fs::read_to_string(&record).unwrap();
    assert_eq!(text.matches('\n').count(), text.matches("\r\n").count());
}

#[test]
fn problems_stop_at_fifty() {
    let folder = support::clinic();
    let path = folder.path();
    done(path, INTAKE);
    let record = path.join("r.toml");
    let mut text = fs::read_to_string(&record).unwrap();
    for n in 0..500 {
        text.push_str(&format!("odd-{n} = 1\n"));
    }
    fs::write(&record, text).unwrap();
    for (line, mark) in [
        ("check r.toml", "error[BN"),
        ("check --short r.toml", "error[BN"),
    ] {
        let (code, said) = run(path, line);
        assert_eq!(code, 1, "{said}");
        assert_eq!(said.matches(mark).count(), 50, "{line}");
        assert!(said.contains("450 more are not"), "{line}: {said}");
    }
}
