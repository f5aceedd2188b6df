//! Answers that are odd in the light of the record or of each other: asked, never taken silently.

use std::path::Path;

use super::{Script, ask, day, near, new_scene};
use crate::cli::desk::follow;
use crate::cli::desk::scene::Scene;
use crate::cli::open::{Opened, open};

/// The person of the shipped example whose calf was newly sore on 3 May, and assessed on 4 May.
fn assessed() -> Opened {
    let path = Path::new("examples/05-calf-cleared-day-21/record.toml");
    let mut opened = open(path, None).unwrap();
    opened.record.visits.retain(|visit| visit.n <= 3);
    opened
}

fn on<'a>(opened: &'a Opened, near: &'a super::Nearby, date: &str) -> Scene<'a> {
    let mut scene = new_scene(&opened.library, near, &[("by", "PT-1")]);
    scene.record = Some(&opened.record);
    scene.date = day(date);
    scene
}

/// What is typed, the screen that comes of it, and what was asked besides.
fn screened(opened: &Opened, date: &str, typed: &[&str]) -> (Option<String>, String) {
    let near = near();
    let mut scene = on(opened, &near, date);
    let mut script = Script::of(typed);
    ask(&mut script, &mut scene, follow::QUESTIONS);
    let prompts = script.prompts.iter().map(|(prompt, _)| prompt.as_str());
    let told = script.shown.iter().map(String::as_str).chain(prompts);
    let told: Vec<&str> = told.collect();
    (scene.said("screen").map(str::to_owned), told.join("\n"))
}

#[test]
fn a_sign_that_was_assessed_is_asked_about_the_assessed_one_or_a_new_one() {
    let opened = assessed();
    let (screen, told) = screened(&opened, "2026-05-08", &["4", "n", "4k"]);
    assert_eq!(screen.as_deref(), Some("calf=known"));
    let line = "calf was assessed on 2026-05-04 by ultrasound, vascular lab; that counts until";
    assert!(told.contains(line), "{told}");
    assert!(told.contains("NEW or worse since then?"), "{told}");
    let (screen, _) = screened(&opened, "2026-05-08", &["4", "y"]);
    assert_eq!(screen.as_deref(), Some("calf=yes"));
    let (screen, told) = screened(&opened, "2026-05-12", &["4"]);
    assert_eq!(screen.as_deref(), Some("calf=yes"), "it counts no more");
    assert!(!told.contains("since then"), "{told}");
}

#[test]
fn a_block_is_asked_about_until_it_has_gone() {
    use crate::cli::desk::asked::BLOCK;
    use crate::domain::recorded::Recorded;
    use crate::domain::word::YesNo;

    let asked = |last: YesNo| {
        let mut opened = assessed();
        opened.record.visits[0].block_gone = Recorded::Yes(last);
        let near = near();
        let scene = on(&opened, &near, "2026-05-08");
        (BLOCK.when)(&scene)
    };
    assert!(asked(YesNo::No) && !asked(YesNo::Yes));
}

#[test]
fn what_is_called_known_and_not_assessed_is_asked_about() {
    let opened = assessed();
    let (screen, told) = screened(&opened, "2026-05-08", &["5k", "y"]);
    assert_eq!(screen.as_deref(), Some("fever=known"));
    assert!(told.contains("fever is known, but no assessment is on record: no exercises"));
    let (_, told) = screened(&opened, "2026-05-12", &["4k", "n"]);
    assert!(
        told.contains("its assessment counted until 2026-05-11"),
        "{told}"
    );
    let (screen, _) = screened(&opened, "2026-05-08", &["4k"]);
    assert_eq!(
        screen.as_deref(),
        Some("calf=known"),
        "assessed, and counts"
    );
    let (screen, _) = screened(&opened, "2026-05-08", &["9k"]);
    assert_eq!(
        screen.as_deref(),
        Some("foot=known"),
        "it withholds nothing"
    );
    let mut again = assessed();
    again.record.clearances[0].visits = 2;
    again.record.clearances[0].on = day("2026-05-03");
    let (_, told) = screened(&again, "2026-05-08", &["4k", "n"]);
    assert!(
        told.contains("it was new again on 2026-05-03, after that"),
        "{told}"
    );
}

#[test]
fn how_the_leg_lifts_and_its_lag_must_fit() {
    use crate::cli::desk::asked::LAG;

    let opened = assessed();
    let near = near();
    for (lift, lag, taken) in [
        ("alone-straight", 5, true),
        ("alone-straight", 6, false),
        ("alone-lag", 0, false),
        ("alone-lag", 1, true),
        ("with-help", 9, false),
        ("no", 0, false),
    ] {
        let mut scene = on(&opened, &near, "2026-05-08");
        let check = (LAG.ask)(&scene).check.unwrap();
        assert!(check(&scene, "90").is_ok(), "nothing to hold it against");
        scene.answers.add("leg-lift", lift.to_owned());
        let said = check(&scene, &lag.to_string());
        let named = format!("leg lift {lift} and lag {lag} cannot both be");
        match said {
            Ok(()) => assert!(taken, "{lift} {lag}"),
            Err(said) => assert!(!taken && said.contains(&named), "{said}"),
        }
    }
}

#[test]
fn a_knee_that_goes_beyond_straight_is_said_to() {
    use crate::cli::desk::asked::EXTENSION;
    use crate::domain::quantity::{Degrees, Quantity};
    use crate::domain::recorded::Recorded;

    let mut opened = assessed();
    let last = &mut opened.record.visits[2].measured;
    last.extension_deficit = Recorded::Yes(Degrees::new(-7).unwrap());
    let near = near();
    let scene = on(&opened, &near, "2026-05-08");
    let prompt = (EXTENSION.ask)(&scene).prompt();
    assert!(prompt.contains("(7 beyond straight on 3 May)"), "{prompt}");
    let mut again = on(&opened, &near, "2026-05-03");
    again.corrects = opened.record.visits.last();
    let prompt = (EXTENSION.ask)(&again).prompt();
    assert!(prompt.contains("[7 beyond straight]"), "{prompt}");
}
