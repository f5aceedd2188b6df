//! The paper forms: every question of the library is on them, every flag exists, nothing overlaps.

mod flags;
mod pages;

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use banister::domain::ids::Id;
use banister::domain::library::Library;
use banister::handout::form::{VisitForm, visit};
use banister::handout::model::Document;
use banister::handout::model::form::{Answer, Form, FormField, Part};
use banister::render::text;

use crate::support::{self, clinic, run};

const BOTH: [VisitForm; 2] = [VisitForm::First, VisitForm::FollowUp];

fn form(document: Document) -> Form {
    match document {
        Document::Form(form) => *form,
        Document::Handout(_) | Document::Withheld(_) | Document::Figures(_) => panic!("not a form"),
    }
}

fn fields(form: &Form) -> Vec<&FormField> {
    let asked = form.sections.iter().flat_map(|section| &section.fields);
    form.head.iter().chain(asked).collect()
}

fn done(folder: &Path, line: &str) -> (String, String) {
    let (code, printed, said) = run(folder, line);
    assert_eq!(code, 0, "{line}: {said}");
    (printed, said)
}

const INTAKE: &str = "intake r.toml --token EX-0042-E1 --side right --operation 2026-03-02 \
    --conditions none --date 2026-03-05 --by PT-1 --screen none --block-gone yes";

#[test]
fn every_sign_condition_and_thing_of_the_library_is_on_its_form() {
    let library = support::plain_library();
    for which in BOTH {
        let text = text::text(&visit(&library, which));
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let later = |flag: &&banister::domain::procedure::RedFlag| {
            flag.window.before.is_none_or(|before| before.get() > 0)
        };
        for flag in library.procedure.red_flags.iter().filter(later) {
            let words = &flag.words["en"].ask;
            assert!(
                text.contains(&format!("{}: ", flag.id)),
                "{which:?} {}",
                flag.id
            );
            assert!(text.contains(words.as_str()), "{which:?} {words}");
        }
    }
    let first = form(visit(&library, VisitForm::First));
    let ticked: BTreeSet<&str> = fields(&first).into_iter().flat_map(words_to_tick).collect();
    for (condition, name) in &library.procedure.conditions {
        assert!(ticked.contains(condition.as_str()), "{condition}");
        assert!(
            text::text(&visit(&library, VisitForm::First))
                .replace("\n   ", " ")
                .contains(name),
            "{name}"
        );
    }
    let rungs = library
        .exercises
        .values()
        .flat_map(|exercise| &exercise.rungs);
    let needs = library.exercises.values().map(|exercise| &exercise.needs);
    for thing in needs.chain(rungs.map(|rung| &rung.needs)).flatten() {
        assert!(ticked.contains(thing.as_str()), "{thing}");
    }
}

fn words_to_tick(field: &FormField) -> Vec<&str> {
    match &field.answer {
        Answer::Beside(parts) => parts
            .iter()
            .filter_map(|part| match part {
                Part::Tick(word) => Some(word.as_str()),
                Part::Figures { .. } | Part::Line | Part::Words(_) => None,
            })
            .collect(),
        Answer::List(choices) => choices.iter().map(|choice| choice.word.as_str()).collect(),
        Answer::Table(_) => Vec::new(),
    }
}

#[test]
fn what_the_library_asks_for_is_marked_with_its_days() {
    let mut library = support::plain_library();
    let marks = |library: &Library, typed: &str| {
        let form = form(visit(library, VisitForm::FollowUp));
        let fields = fields(&form);
        let field = fields.iter().find(|field| field.typed == [typed]).unwrap();
        field.marks.clone()
    };
    assert_eq!(marks(&library, "--block-gone"), ["must days 0\u{2013}3"]);
    assert_eq!(marks(&library, "--swelling"), ["phone"]);
    assert_eq!(marks(&library, "--flexion"), Vec::<String>::new());
    library.procedure.missing.clear();
    assert_eq!(marks(&library, "--block-gone"), Vec::<String>::new());
}

#[test]
fn the_forms_read_like_this() {
    let library = support::plain_library();
    for (name, which) in [
        ("first", VisitForm::First),
        ("follow-up", VisitForm::FollowUp),
    ] {
        let text = text::text(&visit(&library, which));
        assert!(
            text.lines().all(|line| line.chars().count() <= 72),
            "{name}"
        );
        let mut settings = insta::Settings::clone_current();
        settings.add_filter("library [0-9a-f]{8}( \\(draft\\))?", "library DIGEST");
        settings.bind(|| insta::assert_snapshot!(format!("form-{name}"), text));
    }
}

#[test]
fn a_blank_form_is_written_once_and_the_same_each_time() {
    let folder = clinic();
    let folder = folder.path();
    done(folder, "form visit -o one.pdf");
    done(folder, "form visit -o two.pdf");
    let one = fs::read(folder.join("one.pdf")).unwrap();
    assert!(one.starts_with(b"%PDF") && one == fs::read(folder.join("two.pdf")).unwrap());
    let (code, _, said) = run(folder, "form visit --first -o one.pdf");
    assert_eq!(code, 2, "{said}");
    assert!(said.contains("--force"), "{said}");
    assert!(fs::read(folder.join("one.pdf")).unwrap() == one);
    done(folder, "form visit --first -o one.pdf --force");
    assert!(fs::read(folder.join("one.pdf")).unwrap() != one);
    let (code, _, said) = run(folder, "form visit -o shared/clinic.toml --force");
    assert_eq!(code, 2, "{said}");
    let (text, _) = done(folder, "form visit --first --as text");
    assert!(text.contains("[ ] left  [ ] right"), "{text}");
    let (code, _, said) = run(folder, "form visit --procedure knee-totl --as text");
    assert_ne!(code, 0, "{said}");
}

#[test]
fn a_record_without_any_order_asks_what_the_leg_may_bear() {
    let folder = clinic();
    let folder = folder.path();
    done(folder, INTAKE);
    let before = fs::read(folder.join("r.toml")).unwrap();
    let (slip, _) = done(folder, "form orders r.toml --as text");
    for words in [
        "Record: EX-0042-E1",
        "Side: RIGHT knee",
        "Operation (day 0): Mon 2 Mar 2026",
        "Visit: day 3, Thu 5 Mar 2026",
        "Asked by: PT-1",
        "[ ] as-tolerated  [ ] partial  [ ] touch  [ ] none",
        "banister order RECORD weight-bearing VALUE",
        "Signature",
    ] {
        assert!(slip.contains(words), "{words}: {slip}");
    }
    assert!(!slip.contains("flexion-cap"), "{slip}");
    assert_eq!(fs::read(folder.join("r.toml")).unwrap(), before);
}

#[test]
fn an_answer_typed_as_the_slip_says_closes_it() {
    let folder = clinic();
    let folder = folder.path();
    done(folder, INTAKE);
    done(
        folder,
        "order r.toml weight-bearing partial --by S --on 2026-03-02 --document note",
    );
    let (printed, said) = done(folder, "form orders r.toml -o slip.pdf");
    assert!(
        printed.is_empty() && said.contains("nothing is open"),
        "{said}"
    );
    assert!(!folder.join("slip.pdf").exists());
    for what in ["flexion-cap 90", "brace-locked"] {
        done(
            folder,
            &format!("order r.toml {what} --by S --on 2026-03-02 --document note --until asked"),
        );
    }
    let (slip, _) = done(folder, "form orders r.toml --as text");
    for words in [
        "In the record: 90 degrees",
        "order RECORD brace-locked --by",
    ] {
        assert!(slip.contains(words), "{words}: {slip}");
    }
    assert!(!slip.contains("weight-bearing"), "{slip}");
    for what in ["flexion-cap 90", "brace-locked"] {
        done(
            folder,
            &format!("order r.toml {what} --by S --on 2026-03-06 --document l --until 2026-03-20"),
        );
    }
    let (_, said) = done(folder, "form orders r.toml -o slip.pdf");
    assert!(said.contains("nothing is open"), "{said}");
}

#[test]
fn an_answer_given_after_the_visit_is_not_asked_again() {
    let folder = clinic();
    let folder = folder.path();
    done(folder, INTAKE);
    done(
        folder,
        "order r.toml weight-bearing touch --by S --on 2026-03-06 --document letter",
    );
    let (_, said) = done(folder, "form orders r.toml -o slip.pdf");
    assert!(said.contains("nothing is open"), "{said}");
}

#[test]
fn a_record_without_a_visit_says_so() {
    let folder = clinic();
    let folder = folder.path();
    let head = INTAKE.split(" --date").next().unwrap();
    done(folder, head);
    let (_, said) = done(folder, "form orders r.toml -o slip.pdf");
    assert!(said.contains("no visit yet"), "{said}");
    assert!(!folder.join("slip.pdf").exists());
    done(
        folder,
        "order r.toml flexion-cap 80 --by S --on 2026-03-02 --document note --until asked",
    );
    done(folder, "form orders r.toml -o slip.pdf");
    assert!(
        fs::read(folder.join("slip.pdf"))
            .unwrap()
            .starts_with(b"%PDF")
    );
}

#[test]
fn a_slip_never_writes_over_its_record() {
    let folder = clinic();
    let folder = folder.path();
    done(folder, INTAKE);
    let before = fs::read(folder.join("r.toml")).unwrap();
    let (code, _, said) = run(folder, "form orders r.toml -o r.toml --force");
    assert_eq!(code, 2, "{said}");
    assert_eq!(fs::read(folder.join("r.toml")).unwrap(), before);
}
