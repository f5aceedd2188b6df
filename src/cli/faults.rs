//! Every command that writes into a record, with the disk failing at every step.

#[cfg(test)]
#[cfg(unix)]
mod tests {
    use std::ffi::OsString;
    use std::fs;
    use std::path::{Path, PathBuf};

    use crate::store::{Fault, first_broken, steps_under, verify_all};

    const INTAKE: &str = "intake RECORD --token EX-7004-E1 --side right --operation 2026-03-02 \
        --surgeon SURG-A --needs none --conditions none --positions-no none \
        --equipment bed,chair,chair-arms,towel,strap --alone no --slots breakfast,evening \
        --minutes 45 --date 2026-03-09 --by PT-1 --screen none --walking-aid frame --pain 3 \
        --flexion 80 --next-visit 2026-03-16";

    /// Commands, each on the record that those before it have left.
    const LINES: &[&str] = &[
        INTAKE,
        "order RECORD flexion-cap 95 --by Surgeon --on 2026-03-09 --document note",
        "adjust RECORD heel-prop --leave-out --because sore --by PT-1",
        "handout RECORD -o OUT",
        "correct RECORD side left --because typo --by PT-1",
        "visit RECORD --date 2026-03-16 --by PT-1 --screen none --did most --flexion 86 --pain 3",
    ];

    fn run(folder: &Path, line: &str, fault: Option<Fault>) -> (bool, usize) {
        let word = |word: &str| match word {
            "RECORD" => folder.join("r.toml").into_os_string(),
            "OUT" => folder.join("out.pdf").into_os_string(),
            other => OsString::from(other),
        };
        let words = ["banister"].into_iter().chain(line.split_whitespace());
        let words: Vec<OsString> = words.map(word).collect();
        let (code, steps) = steps_under(fault, || crate::cli::run(words));
        (code == std::process::ExitCode::SUCCESS, steps)
    }

    fn whole(folder: &Path, what: &str) -> Option<String> {
        let text = fs::read_to_string(folder.join("r.toml")).ok()?;
        let seals = verify_all(&text).unwrap();
        assert!(first_broken(&seals).is_none(), "{what}");
        for line in text.lines().filter(|line| line.contains("-sheet-")) {
            let name = line.split('"').nth(1).unwrap();
            assert!(
                folder.join("r.sheets").join(name).exists(),
                "{what}: {name}"
            );
        }
        Some(text)
    }

    fn copy(from: &Path) -> tempfile::TempDir {
        let folder = tempfile::tempdir().unwrap();
        for inner in ["", "shared", "r.sheets"] {
            let Ok(entries) = fs::read_dir(from.join(inner)) else {
                continue;
            };
            fs::create_dir_all(folder.path().join(inner)).unwrap();
            let files = entries.flatten().filter(|entry| entry.path().is_file());
            for file in files {
                let to = folder.path().join(inner).join(file.file_name());
                fs::copy(file.path(), to).unwrap();
            }
        }
        folder
    }

    #[test]
    fn no_command_loses_anything() {
        let root = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
        let base = tempfile::tempdir().unwrap();
        fs::create_dir(base.path().join("shared")).unwrap();
        let clinic = "shared/clinic.toml";
        fs::copy(root.join(clinic), base.path().join(clinic)).unwrap();
        let (mut faults, mut wrote) = (0, 0);
        for line in LINES {
            let before = whole(base.path(), line);
            let untouched = copy(base.path());
            let (done, steps) = run(base.path(), line, None);
            assert!(done && steps >= 4, "{line}: {steps} steps");
            let after = whole(base.path(), line);
            for step in 0..steps {
                let folder = copy(untouched.path());
                let what = format!("{line} step {step}");
                let (done, _) = run(folder.path(), line, Some(Fault::From(step)));
                let now = whole(folder.path(), &what);
                assert!(now == before || now == after, "{what}: neither old nor new");
                // What was written and cannot be handed over is an error too; never the reverse.
                assert!(!done || now == after, "{what}");
                faults += 1;
                wrote += usize::from(now == after);
            }
        }
        println!(
            "{faults} faults in {} commands, {wrote} had written, 0 lost",
            LINES.len()
        );
    }
}
