//! Who is due, over copies of the examples on several days; every row was worked out by hand.

mod commands;
mod corrected;

use std::fs;
use std::path::Path;

use crate::support::{self, copy_tree, run};

/// The made-up clinic, its library adopted today's way, and the first seven examples under `records`.
fn clinic() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("shared")).unwrap();
    let digest = support::library().digests.built_in;
    let text: Vec<String> = support::read("shared/clinic.toml")
        .lines()
        .map(|line| {
            if line.starts_with("adopted") {
                format!(
                    "adopted = {{ library = \"{digest}\", by = \"clinical lead\", \
                     on = 2026-01-10, review_due = 2027-01-10 }}"
                )
            } else {
                line.to_owned()
            }
        })
        .collect();
    fs::write(folder.path().join("shared/clinic.toml"), text.join("\n")).unwrap();
    for example in support::examples().into_iter().take(7) {
        let name = example.file_name().unwrap();
        copy_tree(&example, &folder.path().join("records").join(name));
    }
    folder
}

fn due(folder: &Path, date: &str) -> String {
    let (code, printed, said) = run(folder, &format!("due records --date {date}"));
    assert_eq!(code, 0, "{said}");
    assert!(said.is_empty(), "a date that was given is not said: {said}");
    printed
}

/// The rows without the commands: token, and everything said of it, spaces made single.
fn rows(printed: &str) -> Vec<String> {
    let blocks = printed.split("\n\n").skip(1);
    blocks
        .map(|block| {
            let lines = block.lines().filter(|line| !line.contains("  banister "));
            let words: Vec<&str> = lines.flat_map(str::split_whitespace).collect();
            words.join(" ")
        })
        .collect()
}

/// The row of one person as printed.
fn block(printed: &str, token: &str) -> String {
    let mut blocks = printed.split("\n\n").map(str::trim_end);
    let found = blocks.find(|block| block.starts_with(token));
    found.unwrap().to_owned()
}

/// Each date with rows that must stand on it, in this order; others may stand between.
const EXPECTED: &[(&str, &[&str])] = &[
    // The second has its operation on the 9th, the third its visit that day: by token then.
    // The first went home on the 4th: the phone check opens two days later.
    (
        "2026-03-05",
        &[
            "EX-0002-E1 knee-total, right 4 days before no sheet yet last visit none yet; next \
             visit not recorded",
            "EX-0003-E1 knee-total, left day 24 (week 4) phase motion last visit 2026-02-23, \
             10 days ago, seen; next visit 2026-03-09, in 4 days",
            "EX-0001-E1 knee-total, left day 3 (week 1) phase protect last visit 2026-03-04, \
             yesterday, seen; next visit 2026-03-16, in 11 days",
        ],
    ),
    // A day later the check is due until the 9th, the third is seen that day too: by token.
    (
        "2026-03-06",
        &[
            "EX-0001-E1 knee-total, left day 4 (week 1) phase protect last visit 2026-03-04, \
             2 days ago, seen; next visit 2026-03-16, in 10 days - The phone check of the first \
             days at home is due: 2026-03-06 to 2026-03-09. Ring the patient, ask the red \
             flags, and add the call as a visit.",
            "EX-0003-E1 knee-total, left day 25 (week 4) phase motion last visit 2026-02-23, \
             11 days ago, seen; next visit 2026-03-09, in 3 days",
        ],
    ),
    // Day 14 of the second: bend 74, line 80. Its sheet runs to 30 March, its visit is that day.
    (
        "2026-03-30",
        &[
            "EX-0001-E1 knee-total, left day 28 (week 5) phase protect last visit 2026-03-04, \
             26 days ago, seen; next visit 2026-03-16, 14 days late - The next visit was to be \
             on 2026-03-16, 14 days ago. Ring the patient; add the visit when it is held. - The \
             phone check of the first days at home is overdue by 21 days: 2026-03-06 to \
             2026-03-09. Ring the patient, ask the red flags, and add the call as a visit. - \
             Sheet 1 ended on 2026-03-16. The same dose may go on until 2026-03-30, no further: \
             see the patient before then.",
            "EX-0002-E1 knee-total, right day 21 (week 4) phase motion last visit 2026-03-23, \
             7 days ago, seen; next visit 2026-03-30, today - Sheet 2 is for use until \
             2026-03-30, today. Make the next one at a visit. - At the visit of 2026-03-23 the \
             flexion was 74°; the review line is below 80°. See the patient again within a week \
             of it.",
        ],
    ),
    // A calf withheld on the 26th and never assessed; another withheld by phone on 3 May.
    (
        "2026-05-03",
        &[
            "EX-0004-E1 knee-total, right day 27 (week 4) phase motion last visit 2026-04-26, \
             7 days ago, seen; next visit 2026-04-27, 6 days late - No exercises since \
             2026-04-26: calf not yet assessed. Find out what was found, and enter who assessed \
             it. - The next visit was to be on 2026-04-27, 6 days ago. Ring the patient; add the \
             visit when it is held.",
            "EX-0005-E1 knee-total, left day 20 (week 3) phase motion last visit 2026-05-03, \
             today, by phone; next visit 2026-05-04, tomorrow - No exercises since 2026-05-03: \
             calf not yet assessed. Find out what was found, and enter who assessed it.",
        ],
    ),
    // Assessed on 4 May until the 11th, and the sign was still there that day.
    (
        "2026-05-09",
        &[
            "EX-0005-E1 knee-total, left day 26 (week 4) phase motion last visit 2026-05-04, \
             5 days ago, seen; next visit 2026-05-18, in 9 days - The assessment of calf counts \
             until 2026-05-11, in 2 days. Sign still there? Have it assessed again before then.",
        ],
    ),
    // A wet wound narrows the sheet: no days are given for a visit that slips.
    (
        "2026-05-23",
        &[
            "EX-0006-E1 knee-total, left day 12 (week 2) phase protect last visit 2026-05-20, \
             3 days ago, seen; next visit 2026-05-22, 1 day late - The next visit was to be on \
             2026-05-22, 1 day ago. Ring the patient; add the visit when it is held. - Sheet 2 \
             stood until 2026-05-22, 1 day ago: the patient has no program. Ring the patient, \
             and see them.",
        ],
    ),
    // A bend limit to 28 June: named from the 21st on, and over the day after.
    (
        "2026-06-21",
        &[
            "EX-0007-E1 knee-total, right day 20 (week 3) phase protect last visit 2026-06-11, \
             10 days ago, seen; next visit 2026-06-18, 3 days late - The next visit was to be \
             on 2026-06-18, 3 days ago. Ring the patient; add the visit when it is held. - \
             Sheet 2 ended on 2026-06-18. The same dose may go on until 2026-07-02, no further: \
             see the patient before then. - The order flexion-cap ends on 2026-06-28, in 7 days. \
             Ask the surgeon whether it goes on; if it does, enter it anew.",
        ],
    ),
    (
        "2026-06-29",
        &[
            "EX-0007-E1 knee-total, right day 28 (week 5) phase protect last visit 2026-06-11, \
             18 days ago, seen; next visit 2026-06-18, 11 days late - The next visit was to be \
             on 2026-06-18, 11 days ago. Ring the patient; add the visit when it is held. - \
             Sheet 2 ended on 2026-06-18. The same dose may go on until 2026-07-02, no further: \
             see the patient before then. - The order flexion-cap ended on 2026-06-28, and sheet \
             2 still holds to it. Make a new sheet at a visit.",
        ],
    ),
    // Day 181 of the first: the library ends at 180 and nothing is said of the old sheet.
    (
        "2026-08-30",
        &[
            "EX-0001-E1 knee-total, left day 181 (week 26) phase protect last visit 2026-03-04, \
             179 days ago, seen; next visit 2026-03-16, 167 days late - The next visit was to be \
             on 2026-03-16, 167 days ago. Ring the patient; add the visit when it is held. - The \
             library ends at day 180: it makes no new sheet for this patient.",
        ],
    ),
];

#[test]
fn rows_on_several_days_are_those_worked_out_by_hand() {
    let folder = clinic();
    for (date, expected) in EXPECTED {
        let printed = due(folder.path(), date);
        let found = rows(&printed);
        let mut places = Vec::new();
        for row in *expected {
            let place = found.iter().position(|own| own == row);
            places.push(place.unwrap_or_else(|| panic!("{date}: no row\n{row}\nin\n{printed}")));
        }
        assert!(places.is_sorted(), "{date}: {places:?}\n{printed}");
    }
}

#[test]
fn the_list_is_eighty_columns_wide_and_read_only() {
    let folder = clinic();
    let before = digest_of(folder.path());
    for date in ["2026-03-06", "2026-05-03", "2026-06-29", "2027-02-01"] {
        let printed = due(folder.path(), date);
        for line in printed.lines() {
            let command = line.starts_with("      banister ");
            assert!(command || line.chars().count() <= 80, "{date}: {line}");
        }
    }
    assert_eq!(digest_of(folder.path()), before);
}

/// Every file below a folder with its bytes.
fn digest_of(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut all = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            all.extend(digest_of(&path));
        } else {
            all.push((path.display().to_string(), fs::read(&path).unwrap()));
        }
    }
    all.sort();
    all
}

#[test]
fn every_command_it_names_is_one_that_stands_in_the_program() {
    let folder = clinic();
    let help = run(folder.path(), "--help").1;
    let mut seen = 0;
    for date in [
        "2026-03-06",
        "2026-05-03",
        "2026-05-09",
        "2026-06-21",
        "2026-08-30",
    ] {
        for line in due(folder.path(), date).lines() {
            if let Some(typed) = line.strip_prefix("      banister ") {
                let verb = typed.split(' ').next().unwrap();
                assert!(help.contains(&format!("\n  {verb} ")), "{typed}");
                let (code, _, said) = run(folder.path(), &format!("{verb} --help"));
                assert_eq!(code, 0, "{said}");
                seen += 1;
            }
        }
    }
    assert!(seen > 20, "{seen}");
}

#[test]
fn today_is_said_when_no_date_is_given() {
    let folder = clinic();
    let (code, printed, said) = run(folder.path(), "due records");
    assert_eq!(code, 0);
    let today = said.trim().rsplit(' ').next().unwrap();
    assert!(said.starts_with("who is due on: today, "), "{said}");
    assert!(
        printed.starts_with(&format!("Due on {today}: 7 records")),
        "{printed}"
    );
}

#[test]
fn an_empty_folder_and_no_folder_end_with_two() {
    let folder = clinic();
    fs::create_dir(folder.path().join("nothing")).unwrap();
    fs::write(folder.path().join("nothing/clinic.toml"), "").unwrap();
    for (line, says) in [
        (
            "due nothing --date 2026-03-06",
            "there is no record in nothing",
        ),
        (
            "due shared --date 2026-03-06",
            "there is no record in shared",
        ),
        ("due nowhere --date 2026-03-06", "nowhere is not a folder"),
        (
            "due records/01-discharge-day-2/record.toml --date 2026-03-06",
            "is not a folder",
        ),
    ] {
        let (code, printed, said) = run(folder.path(), line);
        assert_eq!((code, printed.as_str()), (2, ""), "{line}");
        assert!(said.contains(says), "{line}: {said}");
    }
}

#[test]
fn wrong_files_stand_last_with_their_first_problem_and_end_with_one() {
    let folder = clinic();
    let records = folder.path().join("records");
    let text = support::read("examples/01-discharge-day-2/record.toml");
    fs::write(
        records.join("a.toml"),
        text.replace("side = \"left\"", "side = \"lefft\""),
    )
    .unwrap();
    fs::write(
        records.join("b.toml"),
        text.replace("exercise = 5", "exercise = 4"),
    )
    .unwrap();
    let sheets = records.join("c.sheets");
    fs::create_dir(&sheets).unwrap();
    fs::write(sheets.join("kept.toml"), "not a record").unwrap();
    let (code, printed, said) = run(folder.path(), "due records --date 2026-03-06");
    assert_eq!(code, 1, "{said}");
    assert!(printed.starts_with("Due on 2026-03-06: 7 records, soonest first; 2 wrong"));
    let (_, last) = printed.split_once("Files that are wrong").unwrap();
    assert!(
        last.contains("lefft") && last.contains("banister check records/a.toml"),
        "{last}"
    );
    assert!(last.contains("seal of visit 1") && last.contains("banister check records/b.toml"));
    assert!(
        !last.contains("EX-00") && !printed.contains("kept.toml"),
        "{printed}"
    );
}

#[test]
fn the_same_token_in_two_files_is_told_at_both() {
    let folder = clinic();
    let records = folder.path().join("records");
    copy_tree(&records.join("06-wet-wound-day-9"), &records.join("again"));
    let printed = due(folder.path(), "2026-05-21");
    assert_eq!(
        printed.matches("The same token stands in").count(),
        2,
        "{printed}"
    );
    assert_eq!(printed.matches("EX-0006-E1 ").count(), 2);
}

#[test]
fn the_clinics_papers_are_told_once_on_top() {
    let folder = clinic();
    let printed = due(folder.path(), "2027-01-10");
    assert!(!printed.contains("read again by 2027-01-10"), "{printed}");
    let printed = due(folder.path(), "2027-01-11");
    let (top, rows) = printed.split_once("\n\n").unwrap();
    assert_eq!(
        top.matches("2027-01-10. Read it again.").count(),
        2,
        "{top}"
    );
    assert_eq!(top.matches("standing orders of").count(), 2, "{top}");
    assert!(!rows.contains("standing orders of"));
    let clinic = folder.path().join("shared/clinic.toml");
    let digest = support::library().digests.built_in;
    let other = fs::read_to_string(&clinic).unwrap().replace(
        &digest,
        "sha256:0000000000000000000000000000000000000000000000000000000000000000",
    );
    fs::write(&clinic, other).unwrap();
    let printed = due(folder.path(), "2026-03-06");
    let (top, _) = printed.split_once("\n\n").unwrap();
    assert_eq!(
        top.matches("is not the one clinical lead adopted").count(),
        1,
        "{top}"
    );
    assert!(top.contains("banister protocol check --clinic "), "{top}");
}

#[test]
fn an_open_visit_its_questions_and_an_order_asked_after_are_told() {
    let folder = clinic();
    let folder = folder.path();
    let record = "records/01-discharge-day-2/record.toml";
    for line in [
        format!("visit {record} --date 2026-03-16 --by PT-1 --next-visit unknown"),
        format!(
            "order {record} flexion-cap 90 --by Surgeon --on 2026-03-17 --document note \
             --until asked"
        ),
    ] {
        let (code, _, said) = run(folder, &line);
        assert_eq!(code, 0, "{said}");
    }
    let printed = due(folder, "2026-03-18");
    let found = rows(&printed);
    let row = found.iter().find(|row| row.starts_with("EX-0001")).unwrap();
    for says in [
        "last visit 2026-03-16, 2 days ago, seen; next visit unknown",
        "The visit of 2026-03-16 is open: no sheet went out.",
        "3 questions must be answered first.",
        "Nobody asked about these red flags at the open visit: chest, ",
        "The order flexion-cap of 2026-03-17 has no end: the surgeon was asked.",
        "Sheet 1 at home does not hold to what was written since: new limit flexion-cap",
        "Sheet 1 ended on 2026-03-16.",
    ] {
        assert!(row.contains(says), "{says}\n{row}");
    }
    assert!(
        !row.contains("phone check"),
        "the visit of day 14 is a contact: {row}"
    );
    assert!(printed.contains(&format!("banister explain {record}")));
    let answered = format!("visit {record} --date 2026-03-16 --by PT-1");
    assert_eq!(run(folder, &answered).0, 2, "the visit is still open");
}

#[test]
fn json_holds_the_same_facts() {
    let folder = clinic();
    let (code, printed, _) = run(folder.path(), "due records --date 2026-05-03 --as json");
    assert_eq!(code, 0);
    let json: serde_json::Value = serde_json::from_str(&printed).unwrap();
    assert_eq!(json["date"], "2026-05-03");
    let records = json["records"].as_array().unwrap();
    assert_eq!(records.len(), 7);
    let calf = records
        .iter()
        .find(|one| one["token"] == "EX-0004-E1")
        .unwrap();
    assert_eq!(calf["day"], 27);
    assert_eq!(calf["warnings"][0]["warning"], "withheld");
    assert_eq!(calf["warnings"][0]["flags"][0], "calf");
    let text = due(folder.path(), "2026-05-03");
    let words = rows(&text).join(" ");
    for one in records {
        for warning in one["warnings"].as_array().unwrap() {
            assert!(words.contains(warning["words"].as_str().unwrap()));
            assert!(text.contains(warning["command"].as_str().unwrap()));
        }
    }
}
