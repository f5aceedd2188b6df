//! Every way of writing, with the disk failing at every step: nothing is lost, nothing is half.

#[cfg(test)]
#[cfg(unix)]
mod tests {
    use std::collections::BTreeMap;
    use std::fs;
    use std::path::{Path, PathBuf};

    use crate::domain::record::LimitOverride;
    use crate::store::append::{append, append_all, create_record};
    use crate::store::blocks::Block;
    use crate::store::blocks::correction::correction_block;
    use crate::store::blocks::intake::{clear_block, order_block, override_block};
    use crate::store::blocks::visit::{adjust_block, closed_visit_block, kept_block, visit_block};
    use crate::store::compose::compose;
    use crate::store::disk::{Fault, steps_under};
    use crate::store::error::StoreError;
    use crate::store::issue::{compose_issue, issue};
    use crate::store::output::{Existing, write_output};
    use crate::store::samples;
    use crate::store::seal::{first_broken, verify_all};
    use crate::store::sheets::{not_in_record, sheets_folder};
    use crate::store::unsaved::take_unsaved;

    const TOKEN: &str = "TE-0007-E1";
    const PAPER: &str = "paper.pdf";

    type WriteAt<'a> = dyn Fn(&Path) -> Result<(), StoreError> + 'a;

    /// One way of writing: what stands there before, and what it does.
    struct Writer {
        name: &'static str,
        before: Vec<u8>,
        after: Vec<u8>,
        write: Box<WriteAt<'static>>,
    }

    fn adding(name: &'static str, before: &[u8], block: Block) -> Writer {
        let before = before.to_vec();
        let after = compose(&before, &block).unwrap();
        let seen = before.clone();
        Writer {
            name,
            before,
            after,
            write: Box::new(move |path| append(path, &seen, &block).map(drop)),
        }
    }

    fn issuing(name: &'static str, before: &[u8], visit: i64, sheet: i64) -> Writer {
        let new = samples::new_issued(visit, sheet);
        let after = compose_issue(before, &new).unwrap().bytes;
        let seen = before.to_vec();
        Writer {
            name,
            before: before.to_vec(),
            after,
            write: Box::new(move |path| issue(path, &seen, &new).map(drop)),
        }
    }

    fn set_aside() -> LimitOverride {
        LimitOverride {
            limit: samples::id("flexion-early"),
            by: "Dr Test".to_owned(),
            on: samples::day(2026, 5, 6),
            because: "seen".to_owned(),
            until: samples::day(2026, 5, 20),
        }
    }

    /// Every way in which the commands write into a record.
    fn writers() -> Vec<Writer> {
        let intake = samples::intake_text().into_bytes();
        let open = compose(&intake, &visit_block(&samples::blank_visit(1))).unwrap();
        let closed = compose_issue(&open, &samples::new_issued(1, 1))
            .unwrap()
            .bytes;
        let again = compose(&closed, &visit_block(&samples::blank_visit(2))).unwrap();
        let orders = ["O8", "O9"].map(|id| order_block(&samples::new_order(id)));
        let seen = intake.clone();
        vec![
            adding("visit", &closed, visit_block(&samples::blank_visit(2))),
            adding(
                "visit closed",
                &closed,
                closed_visit_block(&samples::blank_visit(2)),
            ),
            adding("kept", &again, kept_block(2, 1)),
            adding("order", &open, order_block(&samples::new_order("O9"))),
            adding("clear", &closed, clear_block(&samples::clearance())),
            adding("override", &closed, override_block(&set_aside())),
            adding(
                "adjust",
                &again,
                adjust_block(2, &samples::adjust("quad-set")),
            ),
            adding("correct", &closed, correction_block(&samples::correction())),
            issuing("handout", &open, 1, 1),
            issuing("next handout", &again, 2, 2),
            Writer {
                name: "several at once",
                after: compose(&compose(&intake, &orders[0]).unwrap(), &orders[1]).unwrap(),
                before: intake.clone(),
                write: Box::new(move |path| append_all(path, &seen, &orders).map(drop)),
            },
        ]
    }

    /// A folder with a record, the sheet it names, a file somebody asked for, and a file left over.
    fn laid_out(before: &[u8]) -> (tempfile::TempDir, PathBuf) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("one.toml");
        fs::write(&path, before).unwrap();
        if String::from_utf8_lossy(before).contains("sheet-01.pdf") {
            let sheets = sheets_folder(&path);
            fs::create_dir(&sheets).unwrap();
            fs::write(sheets.join("TE-0007-E1-sheet-01.pdf"), b"%PDF sheet 1").unwrap();
        }
        fs::write(folder.path().join(".banister-left00.tmp"), b"half").unwrap();
        (folder, path)
    }

    /// Holds a record against its sheets: each one it names is there, and every seal holds.
    fn whole(path: &Path, what: &str) {
        let text = fs::read_to_string(path).unwrap();
        let seals = verify_all(&text).unwrap();
        assert!(first_broken(&seals).is_none(), "{what}");
        for sheet in [1, 2] {
            let name = format!("{TOKEN}-sheet-{sheet:02}.pdf");
            if text.contains(&name) {
                let bytes = fs::read(sheets_folder(path).join(&name)).unwrap();
                assert_eq!(bytes, format!("%PDF sheet {sheet}").as_bytes(), "{what}");
            }
        }
    }

    /// What one writer does under one fault; returns whether it wrote.
    fn one(writer: &Writer, fault: Fault) -> bool {
        let what = format!("{} {fault:?}", writer.name);
        let (folder, path) = laid_out(&writer.before);
        let (done, _) = steps_under(Some(fault), || (writer.write)(&path));
        let noted = take_unsaved();
        let now = fs::read(&path).unwrap();
        let wrote = now == writer.after;
        assert!(wrote || now == writer.before, "{what}: neither old nor new");
        assert_eq!(done.is_ok(), wrote, "{what}: {done:?}");
        assert!(wrote || noted.is_empty(), "{what}");
        whole(&path, &what);
        if !wrote {
            try_again(writer, &path, &what);
        }
        let left = samples::names(folder.path());
        assert!(
            !left.iter().any(|name| name.contains(".tmp")),
            "{what}: {left:?}"
        );
        wrote
    }

    /// The disk is well again: the same is written, unless a sheet that was left blocks its number.
    fn try_again(writer: &Writer, path: &Path, what: &str) {
        let stray = not_in_record(path, TOKEN, named(&writer.before)).unwrap();
        match (writer.write)(path) {
            Ok(()) => assert_eq!(fs::read(path).unwrap(), writer.after, "{what}"),
            Err(StoreError::SheetTaken { .. }) => {
                assert!(!stray.is_empty(), "{what}");
                assert_eq!(fs::read(path).unwrap(), writer.before, "{what}");
                // The next sheet takes a higher number.
                let visit = if named(&writer.before).is_empty() {
                    1
                } else {
                    2
                };
                issue(path, &writer.before, &samples::new_issued(visit, 3)).unwrap();
            }
            Err(error) => panic!("{what}: {error}"),
        }
        whole(path, what);
    }

    fn named(record: &[u8]) -> Vec<i64> {
        let text = String::from_utf8_lossy(record);
        if text.contains("sheet-01.pdf") {
            vec![1]
        } else {
            Vec::new()
        }
    }

    #[test]
    fn nothing_is_lost_whatever_step_fails() {
        let mut count: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
        for writer in writers() {
            let (_folder, path) = laid_out(&writer.before);
            let (done, steps) = steps_under(None, || (writer.write)(&path));
            done.unwrap();
            assert!(steps >= 7, "{}: {steps} steps", writer.name);
            for step in 0..steps {
                for fault in [Fault::Once(step), Fault::From(step)] {
                    let counted = count.entry(writer.name).or_default();
                    counted.0 += 1;
                    counted.1 += usize::from(one(&writer, fault));
                }
            }
        }
        let faults: usize = count.values().map(|(faults, _)| faults).sum();
        println!(
            "{faults} faults in {} ways of writing, 0 lost: {count:?}",
            count.len()
        );
        assert!(faults > 150, "{faults}");
    }

    /// New records and files that somebody asked for: whole or not there.
    #[test]
    fn a_new_file_is_whole_or_not_there() {
        let record = samples::intake_text().into_bytes();
        let writes: [(&str, &WriteAt<'_>); 3] = [
            ("new record", &|path| create_record(path, &record)),
            ("output", &|path| {
                write_output(path, &record, Existing::Refuse)
            }),
            ("output over another", &|path| {
                write_output(path, &record, Existing::Replace)
            }),
        ];
        let mut faults = 0;
        for (name, write) in writes {
            for step in 0..12 {
                for fault in [Fault::Once(step), Fault::From(step)] {
                    let folder = tempfile::tempdir().unwrap();
                    let path = folder.path().join(PAPER);
                    if name == "output over another" {
                        fs::write(&path, b"old").unwrap();
                    }
                    let before = fs::read(&path).ok();
                    let (done, _) = steps_under(Some(fault), || write(&path));
                    take_unsaved();
                    let now = fs::read(&path).ok();
                    let wrote = now.as_deref() == Some(&*record);
                    assert!(wrote || now == before, "{name} {fault:?}");
                    assert_eq!(done.is_ok(), wrote, "{name} {fault:?}");
                    faults += 1;
                }
            }
        }
        println!("{faults} faults in 3 ways of making a file, 0 lost");
    }

    #[test]
    fn a_folder_that_cannot_be_saved_is_noted_and_no_error() {
        let writer = writers().swap_remove(0);
        let (_folder, path) = laid_out(&writer.before);
        let (_, steps) = steps_under(None, || (writer.write)(&path));
        let (_folder, path) = laid_out(&writer.before);
        let last = Fault::Once(steps.checked_sub(1).unwrap());
        let (done, _) = steps_under(Some(last), || (writer.write)(&path));
        done.unwrap();
        assert_eq!(fs::read(&path).unwrap(), writer.after);
        let noted = take_unsaved();
        assert!(
            noted[0].to_string().contains("cannot save the folder"),
            "{noted:?}"
        );
        assert!(take_unsaved().is_empty());
    }
}
