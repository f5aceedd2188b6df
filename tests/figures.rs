//! The pictures: every exercise, every way, both sides, at both ends of what a dose may ask.

use std::collections::BTreeSet;

use banister::domain::exercise::Exercise;
use banister::domain::ids::Id;
use banister::domain::pose::{Amount, ArmPose, Footing, Grasp, Place, Pose, Surface, View};
use banister::domain::source::Origin;
use banister::domain::word::{Joint, Motion, Side};
use banister::figure::{
    Cap, Drawing, FigureError, Ink, LegFacts, Paint, Role, Shown, cases, facts, fault, pair,
};

use banister::files::library::load_from;
use banister::files::shelf::Shelf;
use banister::files::source::SourceFile;

use crate::support;

fn exercises() -> Vec<Exercise> {
    support::plain_library().exercises.into_values().collect()
}

#[test]
fn every_picture_a_library_may_ask_for_can_be_drawn_on_both_sides() {
    let all = exercises();
    assert!(all.len() > 40);
    let mut wrong = Vec::new();
    for exercise in &all {
        for case in cases(exercise) {
            if let Some(fault) = fault(&exercise.pose, &case) {
                wrong.push(format!("{} ({}): {fault}", exercise.id, case.name));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_left_is_the_mirror_image_of_the_right() {
    for exercise in exercises() {
        let shown = Shown::default();
        let right = pair(&exercise.pose, Side::Right, &shown).unwrap();
        let left = pair(&exercise.pose, Side::Left, &shown).unwrap();
        assert_ne!(right.end, left.end, "{}", exercise.id);
        assert_eq!(right.start.mirrored(), left.start, "{}", exercise.id);
        assert_eq!(right.end.mirrored(), left.end, "{}", exercise.id);
    }
}

#[test]
fn start_and_end_differ() {
    for exercise in exercises() {
        let drawn = pair(&exercise.pose, Side::Right, &Shown::default()).unwrap();
        assert_ne!(drawn.start, drawn.end, "{}", exercise.id);
    }
}

#[test]
fn no_black_line_is_thinner_than_a_copier_keeps() {
    for exercise in exercises() {
        let drawn = pair(&exercise.pose, Side::Right, &Shown::default()).unwrap();
        for shape in drawn.start.shapes.iter().chain(&drawn.end.shapes) {
            if let Paint::Line {
                ink: Ink::Black,
                width,
                ..
            } = shape.paint
            {
                assert!(width >= 350, "{}: {width} {:?}", exercise.id, shape.role);
            }
        }
    }
}

/// Returns how many hatched limbs a picture has: each has its own fill.
fn operated(drawing: &Drawing) -> usize {
    let fills = drawing.shapes.iter().filter(|shape| {
        matches!(
            shape.paint,
            Paint::Edged {
                ink: Ink::Operated,
                ..
            }
        )
    });
    fills.count()
}

#[test]
fn one_leg_is_marked_and_both_when_both_are_operated() {
    for exercise in exercises() {
        for (side, legs) in [(Side::Right, 1), (Side::Left, 1), (Side::Both, 2)] {
            let drawn = pair(&exercise.pose, side, &Shown::default()).unwrap();
            assert_eq!(operated(&drawn.start), legs, "{}", exercise.id);
            assert_eq!(operated(&drawn.end), legs, "{}", exercise.id);
        }
    }
}

/// The knee bends of both pictures.
fn knees(pose: &Pose, shown: &Shown) -> Vec<i64> {
    let both = facts(pose, shown).unwrap();
    both.iter()
        .filter_map(|facts| match facts.leg {
            LegFacts::Bends { knee, .. } => Some(knee),
            LegFacts::Out(_) => None,
        })
        .collect()
}

#[test]
fn a_knee_is_never_drawn_past_its_limit() {
    let mut tried = 0;
    for exercise in exercises() {
        let floors = exercise.demands.iter().filter_map(|demand| {
            let knee = demand.joint == Joint::Knee && demand.motion == Motion::Flexion;
            demand.clip_floor.filter(|_| knee)
        });
        let Some(floor) = floors.map(banister::domain::quantity::Quantity::get).min() else {
            continue;
        };
        for stop in (floor..=120).step_by(5) {
            let cap = Cap {
                joint: Joint::Knee,
                motion: Motion::Flexion,
                most: stop,
            };
            let shown = Shown {
                aim: Some(125),
                limit: Some(stop),
                caps: vec![cap],
                ..Shown::default()
            };
            let drawn = pair(&exercise.pose, Side::Right, &shown);
            assert!(drawn.is_ok(), "{} at {stop}: {drawn:?}", exercise.id);
            for knee in knees(&exercise.pose, &shown) {
                assert!(knee <= stop + 2, "{} at {stop}: {knee}", exercise.id);
            }
            tried += 1;
        }
    }
    assert!(tried > 50, "{tried}");
}

#[test]
fn the_bend_drawn_is_the_bend_aimed_at() {
    let all = exercises();
    for name in ["heel-slide", "heel-slide-strap", "chair-bend"] {
        let exercise = all
            .iter()
            .find(|exercise| exercise.id.to_string() == name)
            .unwrap();
        for aim in [75, 90, 105, 120] {
            let shown = Shown {
                aim: Some(aim),
                ..Shown::default()
            };
            assert_eq!(knees(&exercise.pose, &shown).last(), Some(&aim), "{name}");
        }
    }
}

#[test]
fn an_aim_and_a_limit_never_look_alike() {
    let all = exercises();
    let slide = all
        .iter()
        .find(|exercise| exercise.id.to_string() == "heel-slide")
        .unwrap();
    let roles = |shown: &Shown| -> (BTreeSet<Role>, Vec<String>) {
        let end = pair(&slide.pose, Side::Right, shown).unwrap().end;
        let roles = end.shapes.iter().map(|shape| shape.role);
        let labels = end
            .labels
            .iter()
            .map(|label| format!("{:?} {}", label.ink, label.text));
        (roles.collect(), labels.collect())
    };
    let (aim, said) = roles(&Shown {
        aim: Some(90),
        ..Shown::default()
    });
    assert!(aim.contains(&Role::Aim) && !aim.contains(&Role::Limit));
    assert_eq!(said, [""; 0], "a picture carries no number of degrees");
    let (limit, said) = roles(&Shown {
        aim: Some(110),
        limit: Some(85),
        ..Shown::default()
    });
    assert!(limit.contains(&Role::Limit) && !limit.contains(&Role::Aim));
    assert_eq!(said, [""; 0]);
    let (short, _) = roles(&Shown {
        aim: Some(70),
        limit: Some(85),
        ..Shown::default()
    });
    let stops = short.contains(&Role::Limit);
    assert!(
        short.contains(&Role::Aim) && !stops,
        "its pose ends before the stop"
    );
}

#[test]
fn numbers_stand_inside_the_frame_and_a_weight_is_seen() {
    for exercise in exercises() {
        for case in cases(&exercise) {
            let end = pair(&exercise.pose, Side::Left, &case.shown).unwrap().end;
            for label in &end.labels {
                let (x, y) = label.at;
                let inside = x > 1_500 && x < end.width - 1_500 && y > label.size / 2;
                assert!(inside && y < end.height, "{}: {label:?}", exercise.id);
            }
        }
        let without = pair(&exercise.pose, Side::Right, &Shown::default()).unwrap();
        let weight = Shown {
            weight: true,
            ..Shown::default()
        };
        let with = pair(&exercise.pose, Side::Right, &weight).unwrap();
        assert_ne!(without.end, with.end, "{}", exercise.id);
    }
}

fn plain() -> Pose {
    Pose::plain(Origin {
        path: "made-up.toml".to_owned(),
        line: 1,
        column: 1,
    })
}

fn drawn(pose: &Pose) -> Result<(), FigureError> {
    pair(pose, Side::Right, &Shown::default()).map(|_| ())
}

#[test]
fn what_cannot_be_reached_is_an_error_and_never_moved_nearer() {
    assert_eq!(drawn(&plain()), Ok(()));
    let mut far = plain();
    let point = Place {
        x: Amount::fixed(900),
        y: Amount::fixed(66),
    };
    far.scene.start.near_arm = ArmPose::At(point, Grasp::Flat);
    let hand = drawn(&far);
    assert!(
        matches!(hand, Err(FigureError::OutOfReach { what: "hand", .. })),
        "{hand:?}"
    );
    let mut leg = plain();
    leg.scene.end.near.on = Footing::Sole;
    leg.scene.end.near.x = Amount::fixed(700);
    let foot = drawn(&leg);
    assert!(
        matches!(foot, Err(FigureError::OutOfReach { what: "foot", .. })),
        "{foot:?}"
    );
    let mut roll = plain();
    roll.scene.end.near.on = Footing::Roll;
    roll.scene.end.near.y = Amount::fixed(600);
    assert_eq!(drawn(&roll), Err(FigureError::NoContact { what: "knee" }));
    let mut lost = plain();
    lost.scene.start.hip = None;
    assert_eq!(drawn(&lost), Err(FigureError::NoHip));
}

#[test]
fn no_joint_is_drawn_past_what_joints_do() {
    for (knee, motion) in [(150, Motion::Flexion), (-12, Motion::Extension)] {
        let mut pose = plain();
        pose.scene.end.near.knee = Amount::fixed(knee);
        let wrong = drawn(&pose);
        let fits = matches!(&wrong, Err(FigureError::TooFar { joint: Joint::Knee, motion: m, .. }) if *m == motion);
        assert!(fits, "{wrong:?}");
    }
    let mut other = plain();
    other.scene.end.far.hip = Amount::fixed(130);
    assert!(matches!(
        drawn(&other),
        Err(FigureError::TooFar {
            joint: Joint::Hip,
            ..
        })
    ));
}

#[test]
fn no_arm_and_no_leg_aside_goes_where_none_goes() {
    let mut pose = plain();
    pose.scene.end.far_arm = ArmPose::Free {
        shoulder: Amount::fixed(0),
        elbow: Amount::fixed(160),
        seen: Amount::fixed(100),
        hand: Grasp::Flat,
    };
    assert_eq!(
        drawn(&pose),
        Err(FigureError::ArmTooFar {
            what: "elbow",
            got: 160
        })
    );
    let mut aside = plain();
    aside.scene.view = View::Above;
    aside.scene.end.near.on = Footing::Out;
    aside.scene.end.near.out = Amount::fixed(50);
    let wide = drawn(&aside);
    assert!(
        matches!(
            wide,
            Err(FigureError::TooFar {
                motion: Motion::Abduction,
                got: 50,
                most: 45,
                ..
            })
        ),
        "{wide:?}"
    );
}

#[test]
fn a_limit_of_the_hip_holds_in_every_view() {
    let all = exercises();
    let tried = |name: &str, motion: Motion, most: i64| {
        let exercise = all
            .iter()
            .find(|exercise| exercise.id.to_string() == name)
            .unwrap();
        let cap = Cap {
            joint: Joint::Hip,
            motion,
            most,
        };
        let shown = Shown {
            caps: vec![cap],
            ..Shown::default()
        };
        pair(&exercise.pose, Side::Left, &shown).map(|_| ())
    };
    assert!(tried("march-sitting", Motion::Flexion, 105).is_ok());
    let lifted = tried("march-sitting", Motion::Flexion, 70);
    assert!(
        matches!(lifted, Err(FigureError::TooFar { most: 70, .. })),
        "{lifted:?}"
    );
    assert!(tried("hip-lift-standing", Motion::Abduction, 30).is_ok());
    let aside = tried("hip-lift-standing", Motion::Abduction, 10);
    assert!(
        matches!(aside, Err(FigureError::TooFar { most: 10, .. })),
        "{aside:?}"
    );
}

#[test]
fn no_segment_is_drawn_longer_than_it_is() {
    let mut leg = plain();
    leg.scene.view = View::Above;
    leg.scene.end.near.on = Footing::Out;
    leg.scene.end.near.thigh_long = Amount::fixed(101);
    assert_eq!(drawn(&leg), Err(FigureError::Stretched { what: "leg" }));
    let mut arm = plain();
    arm.scene.end.near_arm = ArmPose::Free {
        shoulder: Amount::fixed(0),
        elbow: Amount::fixed(5),
        seen: Amount::fixed(110),
        hand: Grasp::Flat,
    };
    assert_eq!(drawn(&arm), Err(FigureError::Stretched { what: "arm" }));
}

#[test]
fn a_foot_rests_on_the_floor_and_never_goes_through_it() {
    let mut pose = plain();
    pose.surface = Surface::Floor;
    pose.scene.start.trunk = Amount::fixed(90);
    pose.scene.end.trunk = Amount::fixed(90);
    let seat = |height: i64| {
        let mut pose = pose.clone();
        for stance in [&mut pose.scene.start, &mut pose.scene.end] {
            stance.hip = Some(Place {
                x: Amount::fixed(0),
                y: Amount::fixed(height),
            });
            for leg in [&mut stance.near, &mut stance.far] {
                leg.on = Footing::Seat;
                leg.knee = Amount::fixed(80);
            }
        }
        drawn(&pose)
    };
    assert_eq!(seat(340), Ok(()));
    assert_eq!(seat(420), Err(FigureError::NoContact { what: "foot" }));
    let mut sunk = plain();
    sunk.scene.end.far.on = Footing::Air;
    sunk.scene.end.far.hip = Amount::fixed(-20);
    let through = drawn(&sunk);
    assert!(
        matches!(through, Err(FigureError::Sunk { by }) if by > 100.0),
        "{through:?}"
    );
}

#[test]
fn what_cannot_be_drawn_is_told_with_its_place() {
    let path = "protocols/exercises/march-sitting.toml";
    let text = support::read(path);
    let line = 1 + text.lines().position(|line| line == "[pose]").unwrap();
    let wrong = text.replace("hip = 99,", "hip = 140,");
    assert_ne!(text, wrong);
    let shelf = Shelf::built_in().with(path, path, wrong.into_bytes());
    let clinic = SourceFile::new("clinic.toml", &support::read("shared/clinic.toml"));
    let library = load_from(&shelf, &Id::new("knee-total").unwrap(), &clinic).unwrap();
    let told = banister::handout::figures::faults(&[&library.library]);
    assert!(!told.is_empty());
    for fault in told {
        assert!(fault.starts_with(&format!("{path}:{line}:")), "{fault}");
        assert!(fault.contains("140 degrees of flexion"), "{fault}");
    }
}

#[test]
fn a_pose_in_which_nothing_moves_must_say_so() {
    let mut pose = plain();
    pose.still = false;
    assert_eq!(drawn(&pose), Err(FigureError::NoChange));
}

/// The box round the shapes of a role, in tenths of a millimetre.
fn extent(drawing: &Drawing, role: Role) -> String {
    let spots: Vec<(i32, i32)> = drawing
        .shapes
        .iter()
        .filter(|shape| shape.role == role)
        .flat_map(|shape| shape.rings.iter().flatten().copied())
        .collect();
    if spots.is_empty() {
        return "none".to_owned();
    }
    let least = |pick: fn(&(i32, i32)) -> i32| spots.iter().map(pick).min().unwrap() / 100;
    let most = |pick: fn(&(i32, i32)) -> i32| spots.iter().map(pick).max().unwrap() / 100;
    format!(
        "{},{}-{},{}",
        least(|p| p.0),
        least(|p| p.1),
        most(|p| p.0),
        most(|p| p.1)
    )
}

#[test]
fn where_everything_stands_in_every_picture() {
    let mut out = String::new();
    for exercise in exercises() {
        for case in cases(&exercise).iter().filter(|case| case.usual) {
            let drawn = pair(&exercise.pose, Side::Right, &case.shown).unwrap();
            out.push_str(&format!("{} {}\n", exercise.id, case.name));
            for (name, drawing) in [("start", &drawn.start), ("end", &drawn.end)] {
                let part = |role| extent(drawing, role);
                out.push_str(&format!(
                    "  {name}: {} shapes, operated {}, head {}, arrow {}\n",
                    drawing.shapes.len(),
                    part(Role::Operated),
                    part(Role::Head),
                    part(Role::Arrow)
                ));
            }
        }
    }
    insta::assert_snapshot!(out);
}

#[test]
fn the_shapes_of_one_picture() {
    let all = exercises();
    let raise = all
        .iter()
        .find(|exercise| exercise.id.to_string() == "straight-leg-raise")
        .unwrap();
    let drawn = pair(&raise.pose, Side::Right, &Shown::default()).unwrap();
    insta::assert_snapshot!(drawn.end.listing());
}

#[test]
fn the_contact_sheet_is_written_once_and_never_over_unasked() {
    let folder = support::clinic();
    let (code, _, said) = support::run(folder.path(), "figures -o pictures");
    assert_eq!(code, 0, "{said}");
    let pictures = folder.path().join("pictures");
    let svg = std::fs::read_to_string(pictures.join("figures-right.svg")).unwrap();
    assert!(svg.starts_with("<svg ") && svg.contains("straight-leg-raise"));
    assert!(
        std::fs::read(pictures.join("figures-right.pdf"))
            .unwrap()
            .starts_with(b"%PDF")
    );
    let (code, _, said) = support::run(folder.path(), "figures -o pictures");
    assert_eq!(code, 2);
    assert!(said.contains("exists already"), "{said}");
    let (code, _, _) = support::run(folder.path(), "figures -o pictures --side left --force");
    assert_eq!(code, 0);
    let left = std::fs::read_to_string(pictures.join("figures-left.svg")).unwrap();
    assert_ne!(svg, left);
}
