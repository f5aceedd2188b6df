//! Weeks that go badly, typed as somebody types them: what the sheet and the explanation then say.

use std::path::Path;

use crate::support::{banister_in, copy_of, flat, left_out, out, root, talk};

/// A copy of the person who went home on day 2 (4 March) with sheet 1, next visit 16 March.
fn home() -> tempfile::TempDir {
    copy_of(&root().join("examples/01-discharge-day-2"))
}

/// A copy of the stiff knee of day 14 (23 March) with sheet 2, next visit 30 March.
fn stiff() -> tempfile::TempDir {
    copy_of(&root().join("examples/02-behind-day-14"))
}

fn run(folder: &Path, line: &str) -> String {
    let words: Vec<&str> = line.split_whitespace().collect();
    let run = banister_in(folder, &words);
    assert_eq!(run.status.code(), Some(0), "{line}: {}", talk(&run));
    out(&run)
}

/// What came of one visit.
struct Week {
    sheet: String,
    why: String,
}

/// Adds a visit, issues its sheet and keeps both.
fn week(folder: &Path, date: &str, flags: &str) -> Week {
    let measured = "--flexion 85 --extension-deficit 6 --leg-lift alone-lag";
    run(
        folder,
        &format!(
            "visit record/record.toml --date {date} --by PT-1 --screen none {measured} {flags}"
        ),
    );
    let sheet = run(folder, "handout record/record.toml --as text");
    let why = run(folder, "explain record/record.toml");
    Week { sheet, why }
}

impl Week {
    /// The rung of an exercise and how it is marked, such as `q2, changed`.
    fn rung(&self, exercise: &str) -> &str {
        let wanted = format!("({exercise}), rung ");
        let line = self.why.lines().find(|line| line.contains(&wanted));
        let line = line.unwrap_or_else(|| panic!("{exercise} is not there\n{}", self.why));
        line.split(&wanted).nth(1).unwrap()
    }

    /// The lines under an exercise, up to the next one.
    fn steps(&self, exercise: &str) -> String {
        let wanted = format!("({exercise}), rung ");
        let mut lines = self.why.lines().skip_while(|line| !line.contains(&wanted));
        lines.next();
        let own = lines.take_while(|line| line.starts_with("     "));
        own.collect::<Vec<_>>().join("\n")
    }

    /// The sheet with its lines joined, so that a sentence may run over an end of line.
    fn flat(&self) -> String {
        self.sheet.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    fn says(&self, sentence: &str) {
        assert!(self.flat().contains(sentence), "{sentence}\n{}", self.sheet);
    }

    fn is_silent_about(&self, sentence: &str) {
        assert!(
            !self.flat().contains(sentence),
            "{sentence}\n{}",
            self.sheet
        );
    }
}

const OLD: [(&str, &str); 5] = [
    ("quad-set", "q1"),
    ("heel-slide-strap", "s1"),
    ("heel-prop", "hp1"),
    ("chair-bend", "c3"),
    ("balance", "z1"),
];

const CALM: &str = "--pain 2 --morning same --swelling less";

#[test]
fn nothing_done_and_calm_keeps_every_rung_and_blames_nobody() {
    let folder = home();
    let flags = format!("--did none {CALM} --next-visit 2026-03-30");
    let week = week(folder.path(), "2026-03-16", &flags);
    assert!(week.why.contains("Response to the last dose: settled"));
    for (exercise, rung) in OLD {
        assert!(
            week.rung(exercise).starts_with(rung),
            "{exercise}: {}",
            week.rung(exercise)
        );
        let steps = week.steps(exercise);
        assert!(steps.contains("D708  kept: too little done: none of the sheet, 75 % wanted"));
        assert!(
            !steps.contains("climbed") && !steps.contains("eased"),
            "{steps}"
        );
    }
    week.says("Exercise 3 times every day until Monday 30 March.");
    week.is_silent_about("Rest first");
    week.is_silent_about("too little");
}

#[test]
fn nothing_done_with_some_pain_keeps_and_adds_only_what_replaces_something() {
    let folder = home();
    let flags = "--did none --pain 7 --medicine-before yes --morning same --swelling same \
                 --next-visit 2026-03-30";
    let week = week(folder.path(), "2026-03-16", flags);
    assert!(week.why.contains("Response to the last dose: tolerable"));
    for (exercise, rung) in OLD {
        assert!(week.rung(exercise).starts_with(rung), "{exercise}");
        let steps = week.steps(exercise);
        assert!(steps.contains("D709  kept: tolerable, not settled: pain 7 over 5"));
    }
    let left = left_out(&week.why, "sit-to-stand").unwrap();
    assert!(left.starts_with("not started: nothing new"), "{left}");
    week.says("Above that, push less, but do not stop.");
    week.is_silent_about("Rest first");
}

#[test]
fn nothing_done_with_a_flare_eases_and_never_rests_bending_walking_or_the_ankles() {
    let folder = home();
    let flags = "--did none --pain 9 --medicine-before yes --morning much-more --swelling more \
                 --next-visit 2026-03-30";
    let week = week(folder.path(), "2026-03-16", flags);
    assert!(week.why.contains("Response to the last dose: overdone"));
    assert!(week.rung("chair-bend").starts_with("c3"));
    assert!(
        week.steps("chair-bend")
            .contains("D712  range: same bend, shorter hold, more often")
    );
    assert!(
        week.steps("quad-set")
            .contains("D710  rests until Wed 18 Mar 2026")
    );
    assert!(week.steps("walking").contains("D710  eased"));
    for row in ["stairs", "ankle-pump"] {
        let steps = week.steps(row);
        assert!(!steps.contains("rests until"), "{row}: {steps}");
        assert!(steps.contains("lowest rung of a row"), "{row}: {steps}");
    }
    week.says("2 Squeeze thigh. Start again on Wednesday 18 March.");
    assert!(!week.steps("walking").contains("rests until"));
    week.is_silent_about("Walk. Start again");
    week.is_silent_about("Pump ankles. Start again");
    week.says("Walk, 3 minutes: Morning, Midday, Evening");
}

#[test]
fn double_done_is_kept_and_asked_about_and_climbs_once_two_visits_are_calm() {
    let folder = home();
    let flags = format!("--did all --done quad-set=40/20 {CALM} --next-visit 2026-03-16");
    let first = week(folder.path(), "2026-03-10", &flags);
    assert!(
        first.rung("quad-set").starts_with("q1, same"),
        "{}",
        first.why
    );
    assert!(flat(&first.steps("quad-set")).contains(
        "D708 kept: 200 % of what was asked, far more from 150 %: ask why; one rung up once two \
         visits running are settled"
    ));
    assert!(
        first.rung("chair-bend").starts_with("c4"),
        "the others go by their own"
    );
    first.says("Squeeze thigh, 10 times: Morning, Evening");
    let flags = format!("--did all --done quad-set=40/20 {CALM} --next-visit 2026-03-23");
    let second = week(folder.path(), "2026-03-16", &flags);
    assert!(
        second.rung("quad-set").starts_with("q2, changed"),
        "{}",
        second.why
    );
    assert!(
        second
            .steps("quad-set")
            .contains("D708  climbed: pain 2, settled up to 5")
    );
}

#[test]
fn double_done_after_a_bad_visit_is_kept_again() {
    let folder = home();
    let bad = "--did all --pain 7 --morning more --swelling same --next-visit 2026-03-16";
    week(folder.path(), "2026-03-10", bad);
    let flags = format!("--did all --done quad-set=40/20 {CALM} --next-visit 2026-03-23");
    let second = week(folder.path(), "2026-03-16", &flags);
    assert!(
        second.rung("quad-set").starts_with("q1, same"),
        "{}",
        second.why
    );
    assert!(second.steps("quad-set").contains("ask why"));
}

#[test]
fn a_lost_diary_lets_unloaded_work_climb_one_rung_by_pain_alone() {
    let folder = home();
    let flags = format!("{CALM} --next-visit 2026-03-30");
    let week = week(folder.path(), "2026-03-16", &flags);
    for (exercise, rung) in [
        ("quad-set", "q2"),
        ("heel-slide-strap", "s2"),
        ("heel-prop", "hp2"),
        ("chair-bend", "c4"),
        ("balance", "z2"),
    ] {
        assert!(
            week.rung(exercise).starts_with(rung),
            "{exercise}: {}",
            week.rung(exercise)
        );
        let steps = week.steps(exercise);
        assert!(
            steps.contains("climbed: pain 2, settled up to 5, done not recorded"),
            "{steps}"
        );
    }
    week.says("Changed:");
    week.is_silent_about("not recorded");
}

#[test]
fn a_visit_a_week_late_goes_on_as_the_sheet_allowed() {
    let folder = home();
    let before = run(
        folder.path(),
        "handout record/record.toml --sheet 1 --as text",
    );
    let before: String = before.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        before.contains("until Monday 30 March"),
        "the sheet says how long it goes on"
    );
    let flags = format!("--did all --walking-aid two-crutches {CALM} --next-visit 2026-04-06");
    let week = week(folder.path(), "2026-03-23", &flags);
    assert!(
        week.steps("chair-bend")
            .contains("D701  as on sheet 1, 19 days ago")
    );
    assert!(
        week.rung("chair-bend").starts_with("c4"),
        "one rung, not two"
    );
    assert!(week.rung("balance").starts_with("z2"));
    assert!(!week.why.contains("D702"));
    week.says("Sheet: 2, replaces 1");
    week.says("Exercise 3 times every day until Monday 6 April.");
}

#[test]
fn two_visits_missed_climb_nothing_and_nothing_is_taken_away_for_a_blank() {
    let folder = home();
    let flags = format!("--did little {CALM} --next-visit 2026-04-20");
    let week = week(folder.path(), "2026-04-06", &flags);
    for (exercise, rung, lower) in [
        ("heel-slide-strap", "s1", "not climbed from"),
        ("chair-bend", "c3", "not climbed from"),
        ("balance", "z1", "1 rung lower"),
    ] {
        assert!(week.rung(exercise).starts_with(rung), "{exercise}");
        let steps = week.steps(exercise);
        let why = format!("D702  last sheet ended 21 days ago, more than 14: {lower}");
        assert!(steps.contains(&why), "{steps}");
    }
    week.says("Your last sheet ran out. Start again with this one.");
    let told = "sheet 1 ran out: its last day was 21 days ago";
    assert!(week.why.contains(told), "{}", week.why);
    assert!(
        week.why.contains("D408  walking aid not recorded"),
        "{}",
        week.why
    );
    assert!(week.rung("stairs").starts_with("st1, same"));
    assert!(week.rung("walking-aid").starts_with("aid2, same"));
    week.is_silent_about("Do not do for now");
}

#[test]
fn after_a_gap_of_weeks_bending_is_neither_climbed_nor_lowered() {
    for (date, ago) in [("2026-04-27", 28), ("2026-04-28", 29)] {
        let folder = stiff();
        let flags = format!("--did none {CALM} --next-visit 2026-05-11");
        let week = week(folder.path(), date, &flags);
        for (exercise, rung) in [("heel-slide-strap", "s1"), ("chair-bend", "c3")] {
            assert!(week.rung(exercise).starts_with(rung), "{exercise}");
            let steps = week.steps(exercise);
            let why = format!("D702  last sheet ended {ago} days ago, more than 14: not climbed");
            assert!(steps.contains(&why), "{date}: {steps}");
            assert!(!steps.contains("climbed: "), "{steps}");
        }
        week.says("Sheet: 3, replaces 2");
    }
}

#[test]
fn who_is_due_follows_the_weeks_that_slip() {
    let folder = home();
    let row = |date: &str| run(folder.path(), &format!("due record --date {date}"));
    assert!(row("2026-03-16").contains("next visit 2026-03-16, today"));
    assert!(row("2026-03-23").contains("The same dose may go on until 2026-03-30"));
    assert!(row("2026-03-31").contains("the patient has no program"));
}
