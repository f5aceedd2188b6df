//! A sign answered yes is a new one, whatever was assessed before.

use banister::domain::ids::{FlagId, Id};
use banister::domain::library::Library;
use banister::domain::record::{Clearance, Record};
use banister::domain::verdict::Verdict;
use banister::domain::word::{FlagEffect, ScreenAnswer, Side};
use banister::engine::decide;
use chrono::Days;

use crate::support;
use crate::support::people::{
    Answers, decide_and_issue, had, operation, order, person, record, see,
};

const PROCEDURES: [&str; 4] = ["knee-total", "knee-partial", "knee-revision", "knee-both"];

/// Adds a visit on a day with one answer to one sign, and closes it with what comes of it.
fn visit(
    library: &Library,
    record: &mut Record,
    day: u64,
    sign: &str,
    answer: ScreenAnswer,
) -> Verdict {
    let mut answers = Answers::calm(day, 100);
    answers.flags = vec![(leaked(sign), answer)];
    let date = see(library, record, &answers);
    decide_and_issue(library, record, date)
}

fn leaked(sign: &str) -> &'static str {
    Box::leak(sign.to_owned().into_boxed_str())
}

fn assessed(record: &mut Record, sign: &str, day: u64, until: u64) {
    record.clearances.push(Clearance {
        flag: FlagId::new(sign).unwrap(),
        by: "hospital".to_owned(),
        on: operation() + Days::new(day),
        until: operation() + Days::new(until),
        visits: i64::try_from(record.visits.len()).unwrap(),
    });
}

fn is_program(verdict: &Verdict) -> bool {
    matches!(verdict, Verdict::Program(_))
}

fn is_withheld(verdict: &Verdict) -> bool {
    matches!(verdict, Verdict::Withheld(_))
}

/// Everybody who has the operation, and each sign of it that withholds on a day.
fn every_withholding_sign(day: i64) -> Vec<(Library, String)> {
    let mut found = Vec::new();
    for procedure in PROCEDURES {
        let library = support::plain_library_of(procedure);
        let flags = library.procedure.red_flags.iter();
        let signs: Vec<String> = flags
            .filter(|flag| flag.effect == FlagEffect::Withhold)
            .filter(|flag| flag.window.holds(banister::domain::time::Day::new(day)))
            .map(|flag| flag.id.to_string())
            .collect();
        assert!(signs.len() >= 7, "{procedure}: {signs:?}");
        found.extend(signs.into_iter().map(|sign| (library.clone(), sign)));
    }
    found
}

fn somebody(library: &Library) -> Record {
    let mut record = record(person(), Side::Right);
    had(&mut record, library);
    record
}

#[test]
fn a_new_sign_withholds_whatever_was_assessed_before() {
    for (library, sign) in every_withholding_sign(50) {
        let whose = format!("{} {sign}", library.procedure.id);
        let mut record = somebody(&library);
        let first = visit(&library, &mut record, 44, &sign, ScreenAnswer::Yes);
        assert!(is_withheld(&first), "{whose}: the first yes");
        assessed(&mut record, &sign, 44, 51);
        let next_day = record.clone();
        let known = visit(&library, &mut record, 45, &sign, ScreenAnswer::Known);
        assert!(
            is_program(&known),
            "{whose}: assessed and unchanged\n{known:?}"
        );
        let none = visit(&library, &mut record, 46, &sign, ScreenAnswer::No);
        assert!(is_program(&none), "{whose}: gone");
        let again = visit(&library, &mut record, 47, &sign, ScreenAnswer::Yes);
        assert!(
            is_withheld(&again),
            "{whose}: back, under the old assessment"
        );
        let still = visit(&library, &mut record, 48, &sign, ScreenAnswer::Known);
        assert!(
            is_withheld(&still),
            "{whose}: known, but not since the new one"
        );
        let silent = visit(&library, &mut record, 49, &sign, ScreenAnswer::No);
        assert!(is_withheld(&silent), "{whose}: a no does not assess it");
        assessed(&mut record, &sign, 49, 56);
        let free = visit(&library, &mut record, 50, &sign, ScreenAnswer::Known);
        assert!(is_program(&free), "{whose}: assessed once more");

        let mut record = next_day;
        let worse = visit(&library, &mut record, 45, &sign, ScreenAnswer::Yes);
        assert!(is_withheld(&worse), "{whose}: worse on the day after");
    }
}

#[test]
fn a_sign_answered_yes_after_its_assessment_of_the_same_day_is_a_new_one() {
    for (library, sign) in every_withholding_sign(50) {
        let whose = format!("{} {sign}", library.procedure.id);
        let mut record = somebody(&library);
        visit(&library, &mut record, 44, &sign, ScreenAnswer::Yes);
        assessed(&mut record, &sign, 44, 51);
        let called = visit(&library, &mut record, 44, &sign, ScreenAnswer::Yes);
        assert!(is_withheld(&called), "{whose}");
        let known = visit(&library, &mut record, 45, &sign, ScreenAnswer::Known);
        assert!(
            is_withheld(&known),
            "{whose}: nobody has assessed the second one"
        );
    }
}

#[test]
fn an_assessment_counts_to_its_last_day_and_no_longer_than_the_procedure_lets_it() {
    for (library, sign) in every_withholding_sign(70) {
        let whose = format!("{} {sign}", library.procedure.id);
        let mut record = somebody(&library);
        visit(&library, &mut record, 44, &sign, ScreenAnswer::Yes);
        assessed(&mut record, &sign, 44, 48);
        assessed(&mut record, &sign, 44, 400);
        let most = library.procedure.settings.bounds.clearance_days_most;
        let most = u64::try_from(banister::domain::quantity::Quantity::get(most)).unwrap();
        let on = |day, clearances: &[usize]| {
            let mut then = record.clone();
            then.clearances = clearances
                .iter()
                .map(|at| record.clearances[*at].clone())
                .collect();
            visit(&library, &mut then, day, &sign, ScreenAnswer::Known)
        };
        assert!(is_program(&on(48, &[0])), "{whose}: its last day");
        assert!(is_withheld(&on(49, &[0])), "{whose}: the day after");
        assert!(
            is_program(&on(44 + most, &[1])),
            "{whose}: the last day it may have"
        );
        assert!(is_withheld(&on(45 + most, &[1])), "{whose}: one day more");
    }
}

#[test]
fn known_means_nothing_where_nobody_assessed_the_sign() {
    for (library, sign) in every_withholding_sign(50) {
        let mut record = somebody(&library);
        let known = visit(&library, &mut record, 50, &sign, ScreenAnswer::Known);
        assert!(is_withheld(&known), "{} {sign}", library.procedure.id);
    }
}

#[test]
fn a_lost_leg_lift_is_set_aside_only_where_a_visit_looked_not_long_ago_and_never_found_it() {
    use banister::domain::word::LegLift;
    let library = support::plain_library();
    let lost = |earlier: &[(u64, Option<LegLift>)]| {
        let mut record = somebody(&library);
        record.orders.push(order(
            60,
            "weight-bearing",
            banister::domain::record::OrderValue::WeightBearing(
                banister::domain::word::WeightBearing::AsTolerated,
            ),
        ));
        for (day, lift) in earlier {
            let mut answers = Answers::calm(*day, 70);
            answers.leg_lift = *lift;
            let date = see(&library, &mut record, &answers);
            decide_and_issue(&library, &mut record, date);
        }
        let mut answers = Answers::calm(20, 80);
        answers.leg_lift = Some(LegLift::WithHelp);
        answers.flags = vec![("leg-lift-lost", ScreenAnswer::Yes)];
        let date = see(&library, &mut record, &answers);
        is_withheld(&decide(&library, &record, date))
    };
    let never = Some(LegLift::WithHelp);
    assert!(
        !lost(&[(13, never)]),
        "looked a week ago, and it was never there"
    );
    assert!(lost(&[]), "no visit looked");
    assert!(
        lost(&[(6, never), (13, None)]),
        "the last visit did not look"
    );
    assert!(lost(&[(5, never)]), "15 days ago is too long ago");
    assert!(!lost(&[(6, never)]), "14 days ago still counts");
    assert!(
        lost(&[(6, None), (13, Some(LegLift::AloneLag))]),
        "it was there"
    );
}

const INTAKE: &str = "intake r.toml --token EX-7001-E1 --side right --operation 2026-03-02 \
     --surgeon SURG-A --needs none --conditions none --positions-no none \
     --equipment bed,chair,chair-arms,towel,strap --alone no --slots breakfast,midday,evening \
     --minutes 45 --date 2026-03-06 --by PT-1 --screen none --block-gone yes --flexion 70 \
     --extension-deficit 6 --leg-lift alone-lag --walking-aid frame --pain 3 --next-visit 2026-03-16";

/// A person whose calf is newly sore on 16 March, page given.
fn sore_calf() -> tempfile::TempDir {
    let folder = support::clinic();
    for line in [
        INTAKE,
        "handout r.toml --as text",
        "visit r.toml --date 2026-03-16 --by PT-1 --screen calf=yes",
    ] {
        let (code, _, said) = support::run(folder.path(), line);
        assert_eq!(code, 0, "{said}");
    }
    support::run(folder.path(), "handout r.toml --as text");
    folder
}

/// Runs a line that is refused, writes nothing, and returns what was said.
fn refused(folder: &std::path::Path, line: &str) -> String {
    let before = std::fs::read(folder.join("r.toml")).unwrap();
    let (code, _, said) = support::run(folder, line);
    assert_eq!(code, 2, "{line}: {said}");
    assert_eq!(std::fs::read(folder.join("r.toml")).unwrap(), before);
    support::flat(&said)
}

#[test]
fn only_a_sign_that_was_raised_can_be_assessed() {
    let folder = sore_calf();
    let path = folder.path();
    let chest = refused(path, "clear r.toml chest --by ward --on 2026-03-17");
    assert!(
        chest.contains("chest was answered no on 2026-03-16"),
        "{chest}"
    );
    assert!(chest.contains("--screen chest=yes"), "{chest}");
    let infection = refused(path, "clear r.toml infection --by ward --on 2026-03-17");
    assert!(
        infection.contains("infection was not asked at any visit"),
        "{infection}"
    );
    let early = refused(path, "clear r.toml calf --by ward --on 2026-03-15");
    assert!(
        early.contains("answered yes on 2026-03-16, after that assessment"),
        "{early}"
    );
    let (code, _, said) = support::run(path, "clear r.toml calf --by ward --on 2026-03-17");
    assert_eq!(code, 0, "{said}");
    let said = support::flat(&said);
    assert!(
        said.contains("calf counts as assessed until 2026-03-24"),
        "{said}"
    );
    assert!(
        said.contains("unchanged, is `known`; `yes` is new or worse since"),
        "{said}"
    );
}

#[test]
fn an_assessment_never_ends_later_than_the_procedure_lets_it() {
    let folder = sore_calf();
    let line = |until: &str| format!("clear r.toml calf --by ward --on 2026-03-17 --until {until}");
    let said = refused(folder.path(), &line("2030-01-01"));
    assert!(
        said.contains("14 days at the most, until 2026-03-31"),
        "{said}"
    );
    refused(folder.path(), &line("2026-04-01"));
    let (code, _, said) = support::run(folder.path(), &line("2026-03-31"));
    assert_eq!(code, 0, "{said}");
}

#[test]
fn an_assessment_that_was_written_with_a_later_end_is_read_and_counts_no_longer() {
    let folder = sore_calf();
    let record = folder.path().join("r.toml");
    let text = std::fs::read_to_string(&record).unwrap();
    let clear =
        "\n[[clear]]\nflag = \"calf\"\nby = \"ward\"\non = 2026-03-17\nuntil = 2030-01-01\n";
    std::fs::write(&record, text + clear).unwrap();
    let on = |date: &str| {
        let line = format!("visit r.toml --date {date} --by PT-1 --screen calf=known --pain 3");
        let (code, _, said) = support::run(folder.path(), &line);
        assert_eq!(code, 0, "{said}");
        let (_, told, said) = support::run(folder.path(), "explain r.toml");
        let (_, page, _) = support::run(folder.path(), "handout r.toml --as text");
        assert!(!page.is_empty());
        support::flat(&format!("{told}{said}"))
    };
    let inside = on("2026-03-31");
    assert!(
        inside.contains("the assessed one, unchanged; by ward, counts until Tue 31 Mar"),
        "{inside}"
    );
    let outside = on("2026-04-01");
    assert!(outside.contains("NO EXERCISES"), "{outside}");
    assert!(
        outside.contains("its assessment counted until Tue 31 Mar 2026"),
        "{outside}"
    );
    assert!(
        outside.contains("`banister clear RECORD calf --by WHO`"),
        "{outside}"
    );
}

#[test]
fn what_an_answer_does_is_said_where_no_assessment_counts() {
    let folder = sore_calf();
    let path = folder.path();
    let (_, told, _) = support::run(path, "explain r.toml");
    assert!(
        !support::flat(&told).contains("assess"),
        "a plain yes needs no reason\n{told}"
    );
    for answer in ["calf=known", "none"] {
        let line = format!("visit r.toml --date 2026-03-17 --by PT-1 --screen {answer} --pain 3");
        let (code, _, said) = support::run(path, &line);
        assert_eq!(code, 0, "{said}");
        let (_, told, _) = support::run(path, "explain r.toml");
        let told = support::flat(&told);
        assert!(told.contains("NO EXERCISES"), "{told}");
        assert!(
            told.contains("It was new or worse on Mon 16 Mar 2026"),
            "{answer}: {told}"
        );
        support::run(path, "handout r.toml --as text");
    }
    support::run(path, "clear r.toml calf --by ward --on 2026-03-17");
    support::run(
        path,
        "visit r.toml --date 2026-03-18 --by PT-1 --screen calf=yes --pain 3",
    );
    let told = support::flat(&support::run(path, "explain r.toml").1);
    assert!(
        told.contains("New or worse since the assessment of Tue 17 Mar 2026"),
        "{told}"
    );
    let folder = support::clinic();
    let never = INTAKE.replace("--screen none", "--screen calf=known");
    support::run(folder.path(), &never);
    let told = support::flat(&support::run(folder.path(), "explain r.toml").1);
    assert!(
        told.contains("Answered known, and no assessment is on record"),
        "{told}"
    );
}

/// A record whose sheet is at home, and a week later a visit with these answers to the screen.
fn a_week_later(screen: &str) -> (tempfile::TempDir, String, String) {
    let folder = support::clinic();
    let mut examples = support::examples().into_iter();
    let stiff = examples.find(|example| example.ends_with("02-behind-day-14"));
    support::copy_tree(&stiff.unwrap(), folder.path());
    let line = format!(
        "visit record.toml --date 2026-03-30 --by PT-2 --screen {screen} --did most --pain 3 \
         --medicine-before no --morning same --swelling same --flexion 88 --extension-deficit 5 \
         --leg-lift alone-straight --lag 0 --walking-aid two-sticks --stance-s 12 \
         --next-visit 2026-04-06"
    );
    let (code, _, said) = support::run(folder.path(), &line);
    assert_eq!(code, 0, "{said}");
    let (_, page, _) = support::run(folder.path(), "handout record.toml --as text");
    let (_, why, _) = support::run(folder.path(), "explain record.toml");
    (folder, page, why)
}

#[test]
fn nothing_new_and_nothing_harder_comes_under_any_raised_sign() {
    let harder = |why: &str| why.contains("D708  climbed") || why.contains(", new\n");
    let (_folder, _, calm) = a_week_later("none");
    assert!(harder(&calm), "the calm sheet climbs: {calm}");
    let library = support::library();
    let flags = library.procedure.red_flags.iter();
    let raised = flags.filter(|flag| flag.effect != FlagEffect::Withhold);
    let on_the_day = raised.filter(|flag| flag.window.holds(banister::domain::time::Day::new(21)));
    let mut tells = 0;
    for flag in on_the_day {
        let (_folder, _, why) = a_week_later(&format!("{}=yes", flag.id));
        let called_for = flag.calls_for.iter().map(ToString::to_string);
        let new: Vec<&str> = why.lines().filter(|line| line.ends_with(", new")).collect();
        let own = |line: &&str| {
            called_for
                .clone()
                .any(|id| line.contains(&format!("({id})")))
        };
        assert!(new.iter().all(own), "{}: {new:?}", flag.id);
        assert!(!why.contains("D708  climbed"), "{}: {why}", flag.id);
        tells += usize::from(flag.effect == FlagEffect::Tell);
    }
    assert!(tells > 1, "{tells}");
}

#[test]
fn a_foot_that_does_not_lift_is_not_pulled_and_walks_in_words_of_its_own() {
    let (_folder, page, _) = a_week_later("foot=yes");
    let page = support::flat(&page);
    assert!(
        page.contains("Do not do for now: Slide with strap"),
        "{page}"
    );
    assert!(!page.contains("pull the strap"), "{page}");
    assert!(page.contains("to clear the toes"), "{page}");
    assert!(!page.contains("heel down first"), "{page}");
}

#[test]
fn a_second_page_that_withholds_names_the_sheet_with_the_exercises() {
    let (folder, _, _) = a_week_later("calf=yes");
    let line = "visit record.toml --date 2026-03-31 --by PT-2 --screen calf=yes --next-visit \
                2026-04-06";
    let (code, _, said) = support::run(folder.path(), line);
    assert_eq!(code, 0, "{said}");
    let (_, page, _) = support::run(folder.path(), "handout record.toml --as text");
    let page = support::flat(&page);
    assert!(page.contains("Do not use sheet 2 for now"), "{page}");
    assert!(!page.contains("Do not use sheet 3"), "{page}");
}
