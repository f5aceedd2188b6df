//! Profiles: limits that hold only for the way a surgeon picked to go on.

use banister::domain::ids::{Id, OrderKind, ProcedureId};
use banister::domain::library::Library;
use banister::domain::record::{Order, OrderValue, Until};
use banister::domain::verdict::{ProfileBy, ProfileInForce, Program, Verdict};
use banister::domain::word::Side;
use banister::engine::decide;
use banister::files::library::load_from;
use banister::files::shelf::Shelf;
use banister::files::source::SourceFile;
use banister::handout::explain::explain_program;
use chrono::Days;

use crate::support;
use crate::support::people::{Answers, operation, order, person, record, see};

const CAREFUL: &str = "careful";
const OPEN: &str = "open";

/// An order of a name, given so many days after the operation; it has no end.
fn pick(name: &str, day: u64, value: OrderValue) -> Order {
    let mut order = order(0, name, value);
    order.on = operation() + Days::new(day);
    order.until = Until::Open;
    order
}

fn stands(name: &str) -> Order {
    pick(name, 0, OrderValue::Stands)
}

/// The program of a day with some orders; the sheet lives for seven days after it.
fn program_of(library: &Library, day: u64, orders: &[Order]) -> Program {
    let mut record = record(person(), Side::Left);
    record.orders.extend(orders.iter().cloned());
    let date = see(library, &mut record, &Answers::calm(day, 80));
    match decide(library, &record, date) {
        Verdict::Program(program) => *program,
        other => panic!("{other:?}"),
    }
}

fn program(day: u64, orders: &[Order]) -> Program {
    program_of(&support::plain_library(), day, orders)
}

/// The library, with another profile as the usual one.
fn with_usual(usual: Option<&str>) -> Library {
    let mut library = support::plain_library();
    library.procedure.default_profile = usual.map(|name| OrderKind::new(name).unwrap());
    library
}

fn kept(program: &Program) -> bool {
    let mut limits = program.limits.iter();
    limits.any(|limit| limit.limit.as_str() == "careful-bend")
}

fn counts(program: &Program) -> Vec<(&str, ProfileBy)> {
    let profiles = program.profiles.iter();
    profiles
        .map(|ProfileInForce { profile, by }| (profile.as_str(), *by))
        .collect()
}

#[test]
fn the_careful_one_keeps_the_bend_until_the_stitches_are_out() {
    for (day, stands_now) in [(6, true), (12, true), (13, true), (14, false), (15, false)] {
        let careful = program(day, &[stands(CAREFUL)]);
        assert_eq!(kept(&careful), stands_now, "day {day}");
        assert_eq!(counts(&careful), [(CAREFUL, ProfileBy::Order)]);
    }
    let early = program(6, &[stands(CAREFUL)]);
    let limits = early.items.iter().filter_map(|item| item.dose.limit);
    let bends: Vec<i64> = limits
        .map(banister::domain::quantity::Quantity::get)
        .collect();
    assert!(
        !bends.is_empty() && bends.iter().all(|bend| *bend <= 85),
        "{bends:?}"
    );
}

#[test]
fn nobody_who_picked_none_is_kept_back() {
    for day in [3, 13] {
        let usual = program(day, &[]);
        assert!(!kept(&usual), "day {day}");
        assert_eq!(counts(&usual), [(OPEN, ProfileBy::Usual)]);
        let picked = program(day, &[stands(OPEN)]);
        assert!(!kept(&picked), "day {day}");
        assert_eq!(counts(&picked), [(OPEN, ProfileBy::Order)]);
        let lifted = [stands(CAREFUL), pick(CAREFUL, 1, OrderValue::NotOrdered)];
        let lifted = program(day, &lifted);
        assert!(!kept(&lifted), "day {day}");
        assert_eq!(counts(&lifted), [(OPEN, ProfileBy::Usual)]);
    }
}

#[test]
fn with_no_usual_one_all_of_them_hold_until_one_is_picked() {
    let library = with_usual(None);
    let all = program_of(&library, 5, &[]);
    assert!(kept(&all));
    let by = ProfileBy::NobodyPicked;
    assert_eq!(counts(&all), [(CAREFUL, by), (OPEN, by)]);
    assert!(!kept(&program_of(&library, 5, &[stands(OPEN)])));
}

#[test]
fn the_latest_pick_counts_and_of_two_on_one_day_both() {
    let later = program(6, &[stands(CAREFUL), pick(OPEN, 3, OrderValue::Stands)]);
    assert!(!kept(&later));
    assert_eq!(counts(&later), [(OPEN, ProfileBy::Order)]);
    let both = program(6, &[stands(CAREFUL), stands(OPEN)]);
    assert!(kept(&both), "two words on one day: the stricter counts");
    let by = ProfileBy::Order;
    assert_eq!(counts(&both), [(CAREFUL, by), (OPEN, by)]);
}

#[test]
fn when_a_pick_ends_within_the_sheet_the_usual_one_counts_too() {
    let library = with_usual(Some(CAREFUL));
    let until = |day: u64| {
        let mut open = stands(OPEN);
        open.until = Until::Date(operation() + Days::new(day));
        open
    };
    // The sheet lives from day 3 to day 10.
    let within = program_of(&library, 3, &[until(6)]);
    assert!(kept(&within));
    let by_both = [(CAREFUL, ProfileBy::Usual), (OPEN, ProfileBy::Order)];
    assert_eq!(counts(&within), by_both);
    let last_day = program_of(&library, 3, &[until(10)]);
    assert!(!kept(&last_day));
    assert_eq!(
        last_day.life.slip_until, last_day.life.until,
        "stricter from tomorrow"
    );
    let longer = program_of(&library, 3, &[until(12)]);
    assert_eq!(longer.life.slip_until, longer.life.until + Days::new(2));
    let open = program_of(&library, 3, &[stands(OPEN)]);
    assert!(open.life.slip_until > longer.life.slip_until);
}

#[test]
fn a_limit_ends_with_the_order_only_when_the_profile_does() {
    let mut ordered = stands(CAREFUL);
    ordered.until = Until::Date(operation() + Days::new(8));
    let until = |library: &Library| {
        let program = program_of(library, 3, std::slice::from_ref(&ordered));
        let mut limits = program.limits.iter();
        let limit = limits.find(|limit| limit.limit.as_str() == "careful-bend");
        limit.unwrap().until
    };
    assert_eq!(until(&support::plain_library()), ordered.until);
    let window = Until::Date(operation() + Days::new(13));
    assert_eq!(until(&with_usual(Some(CAREFUL))), window);
}

#[test]
fn the_surgeons_standing_one_counts_until_the_record_says_otherwise() {
    let mut library = support::plain_library();
    for set in &mut library.clinic.standing_orders {
        let window = set.orders[0].0;
        set.orders.push((window, stands(CAREFUL)));
    }
    assert!(kept(&program_of(&library, 5, &[])));
    assert!(!kept(&program_of(&library, 5, &[stands(OPEN)])));
    let not = pick(CAREFUL, 0, OrderValue::NotOrdered);
    let not = program_of(&library, 5, &[not]);
    assert_eq!(counts(&not), [(OPEN, ProfileBy::Usual)]);
}

#[test]
fn what_counts_is_told_with_why() {
    let library = support::plain_library();
    for (orders, told) in [
        (
            vec![],
            "open (no bend limit but those ordered): the usual one, no other stands",
        ),
        (
            vec![stands(CAREFUL)],
            "careful (bend to 90 degrees until the stitches are out): ordered",
        ),
    ] {
        let mut record = record(person(), Side::Left);
        record.orders.extend(orders);
        let date = see(&library, &mut record, &Answers::calm(5, 80));
        let verdict = decide(&library, &record, date);
        let said = support::flat(&explain_program(&verdict, &library, &record));
        assert!(said.contains(&format!("Profile {told}")), "{said}");
    }
}

#[test]
fn a_clinic_picks_it_for_a_surgeon_and_a_wrong_name_is_told() {
    let folder = support::clinic();
    let path = folder.path().join("shared/clinic.toml");
    let text = std::fs::read_to_string(&path).unwrap();
    let row = "weight_bearing = \"as-tolerated\"\n";
    let with = |name: &str| text.replacen(row, &format!("{row}profile = \"{name}\"\n"), 1);
    std::fs::write(&path, with(CAREFUL)).unwrap();
    let (code, _, talk) = support::run(folder.path(), "protocol check");
    assert_eq!(code, 0, "{talk}");
    std::fs::write(&path, with("carefull")).unwrap();
    let (code, said, talk) = support::run(folder.path(), "protocol check");
    assert_ne!(code, 0);
    let told = support::flat(&format!("{said}{talk}"));
    assert!(told.contains("there is no profile `carefull`"), "{told}");
    assert!(told.contains(CAREFUL), "{told}");
}

/// Reads the partial replacement with more lines in its file; says what is told.
fn partial_with(without: &str, more: &str) -> Result<Library, String> {
    let path = "protocols/procedures/knee-partial.toml";
    let text = support::read(path);
    let text = text
        .split("# ---- Profiles")
        .next()
        .unwrap()
        .replace("[without]\n", &format!("[without]\n{without}\n"));
    let shelf = Shelf::built_in().with(path, path, format!("{text}\n{more}").into_bytes());
    let clinic = support::read("shared/clinic.toml");
    let clinic = clinic.split("[[override]]").next().unwrap();
    let clinic = SourceFile::from_bytes("clinic.toml", clinic.as_bytes(), 1 << 20).unwrap();
    let id = ProcedureId::new("knee-partial").unwrap();
    let loaded = load_from(&shelf, &id, &clinic);
    let plain = banister::files::problem::Colour::Plain;
    let loaded = loaded.map_err(|problems| problems.render(plain))?;
    Ok(loaded.library)
}

#[test]
fn profiles_are_taken_over_changed_added_and_left_out_row_by_row() {
    let same = support::plain_library_of("knee-both");
    let total = support::plain_library();
    assert_eq!(same.procedure.profiles, total.procedure.profiles);
    let none = support::plain_library_of("knee-revision");
    assert!(none.procedure.profiles.is_empty() && none.procedure.default_profile.is_none());
    assert!(!none.procedure.order_kinds().contains(CAREFUL));

    let renamed = "[[profile]]\nid = \"careful\"\n[profile.words.en]\nname = \"slowly\"\n";
    let third =
        "[[profile]]\nid = \"slow\"\nsource = \"practice\"\n[profile.words.en]\nname = \"slow\"\n";
    let library = partial_with("", &format!("{renamed}{third}")).unwrap();
    let names: Vec<&str> = library
        .procedure
        .profiles
        .iter()
        .map(|p| p.name.as_str())
        .collect();
    assert_eq!(names, ["no bend limit but those ordered", "slowly", "slow"]);

    // The usual one goes with its row; a limit that hangs on a row must be named too.
    let no_usual = partial_with("profile = [\"open\"]", "").unwrap();
    assert_eq!(no_usual.procedure.default_profile, None);
    let hangs = partial_with("profile = [\"careful\"]", "").unwrap_err();
    assert!(hangs.contains("there is no profile `careful`"), "{hangs}");
    assert!(hangs.contains("knee-total.toml"), "{hangs}");
    let both = "profile = [\"careful\"]\nlimit = [\"careful-bend\"]";
    let gone = partial_with(both, "").unwrap();
    let usual = gone.procedure.default_profile.unwrap();
    assert_eq!(usual.as_str(), OPEN);
}
