//! One rule, one small file and its page: the table a clinician can read, in the order applied.
//!
//! To add a rule: its `.md` and `.rs` here, one line in `ALL`, a test where it speaks and one
//! where it is silent. Numbers live in the library, never here. Ids are never used again.

use crate::domain::verdict::RuleId;

pub mod d1001_next_rungs;
pub mod d1002_loaded_ahead;
pub mod d1003_ahead_minutes;
pub mod d1004_stages;
pub mod d1005_stage_up;
pub mod d101_earlier_value;
pub mod d102_derived_value;
pub mod d103_days_covered;
pub mod d104_screen_asked;
pub mod d105_flag_raised;
pub mod d106_flag_cleared;
pub mod d107_flag_known;
pub mod d108_flag_never_there;
pub mod d109_conditions_asked;
pub mod d110_weight_bearing_ordered;
pub mod d111_fact_asked;
pub mod d112_wrong_side;
pub mod d113_needed_orders;
pub mod d201_floor_day;
pub mod d202_safety_criteria;
pub mod d203_clinicians_phase;
pub mod d204_targets;
pub mod d205_review_lines;
pub mod d301_sheet_life;
pub mod d302_limits_in_force;
pub mod d303_unknown_fact_limit;
pub mod d304_slipped_visit;
pub mod d305_limit_overridden;
pub mod d401_forbidden_work;
pub mod d402_motion_limit;
pub mod d403_demand_unknown;
pub mod d404_position;
pub mod d405_equipment;
pub mod d406_done_with;
pub mod d407_entry_test;
pub mod d408_missing_fact;
pub mod d409_taught;
pub mod d410_phase_top;
pub mod d411_surgeon_allowed;
pub mod d412_kept_by_review;
pub mod d413_as_reported;
pub mod d501_core_domains;
pub mod d502_behind;
pub mod d601_pain_bands;
pub mod d602_medicine_first;
pub mod d603_next_morning;
pub mod d604_swelling;
pub mod d605_tell_team;
pub mod d606_amount_done;
pub mod d701_last_sheet;
pub mod d702_long_gap;
pub mod d703_phase_start;
pub mod d704_lower_rung_offered;
pub mod d705_easier_by_test;
pub mod d706_other_way_by_test;
pub mod d707_seen_done_well;
pub mod d708_climb;
pub mod d709_keep_tolerable;
pub mod d710_ease;
pub mod d711_rest_loaded;
pub mod d712_range_more_often;
pub mod d713_clinician_set;
pub mod d714_behind_more_often;
pub mod d715_modifiers;
pub mod d716_no_more_than_last;
pub mod d717_slots_of_the_day;
pub mod d718_clip;
pub mod d719_aim;
pub mod d720_nothing_new;
pub mod d721_void_sheet;
pub mod d722_phase_times;
pub mod d723_earlier_sheet;
pub mod d801_best_set;
pub mod d802_one_of_a_family;
pub mod d803_room_and_minutes;
pub mod d804_clinicians_choice;
pub mod d805_core_empty;
pub mod d806_end_of_range;
pub mod d901_order;
pub mod d902_slots;
pub mod d903_weekdays;
pub mod d904_rows_beside;
pub mod d905_advice_that_fits;
pub mod d906_stairs_not_practised;
pub mod d907_orders_left_out;

/// A stage of the decision, in the order run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// Facts, red flags, orders: may there be a program at all.
    Gate,
    /// The phase.
    Place,
    /// The limits in force during the life of the sheet.
    Limit,
    /// Which exercises and rungs are allowed.
    Allow,
    /// What the person needs most.
    Need,
    /// How the body took the last dose.
    Answer,
    /// The dose of each exercise.
    Dose,
    /// Which exercises stand on the sheet.
    Choose,
    /// The day.
    Plan,
    /// What may follow on the same sheet.
    Ahead,
}

/// What people may read about one rule.
#[derive(Debug)]
pub struct Rule {
    /// Its id, such as `D704`.
    pub id: RuleId,
    /// Its name.
    pub name: &'static str,
    /// The stage it works in.
    pub stage: Stage,
    /// The version that first had it.
    pub since: &'static str,
    /// One sentence.
    pub summary: &'static str,
    /// Keys of the bibliography, or `practice`.
    pub sources: &'static [&'static str],
    /// Its page.
    pub doc: &'static str,
}

/// Every rule in the order applied.
pub static ALL: &[&Rule] = &[
    &d101_earlier_value::RULE,
    &d102_derived_value::RULE,
    &d103_days_covered::RULE,
    &d104_screen_asked::RULE,
    &d105_flag_raised::RULE,
    &d106_flag_cleared::RULE,
    &d107_flag_known::RULE,
    &d108_flag_never_there::RULE,
    &d109_conditions_asked::RULE,
    &d110_weight_bearing_ordered::RULE,
    &d111_fact_asked::RULE,
    &d112_wrong_side::RULE,
    &d113_needed_orders::RULE,
    &d201_floor_day::RULE,
    &d202_safety_criteria::RULE,
    &d203_clinicians_phase::RULE,
    &d204_targets::RULE,
    &d205_review_lines::RULE,
    &d301_sheet_life::RULE,
    &d302_limits_in_force::RULE,
    &d303_unknown_fact_limit::RULE,
    &d304_slipped_visit::RULE,
    &d305_limit_overridden::RULE,
    &d401_forbidden_work::RULE,
    &d402_motion_limit::RULE,
    &d403_demand_unknown::RULE,
    &d404_position::RULE,
    &d405_equipment::RULE,
    &d406_done_with::RULE,
    &d407_entry_test::RULE,
    &d408_missing_fact::RULE,
    &d409_taught::RULE,
    &d410_phase_top::RULE,
    &d411_surgeon_allowed::RULE,
    &d412_kept_by_review::RULE,
    &d413_as_reported::RULE,
    &d501_core_domains::RULE,
    &d502_behind::RULE,
    &d601_pain_bands::RULE,
    &d602_medicine_first::RULE,
    &d603_next_morning::RULE,
    &d604_swelling::RULE,
    &d605_tell_team::RULE,
    &d606_amount_done::RULE,
    &d701_last_sheet::RULE,
    &d702_long_gap::RULE,
    &d703_phase_start::RULE,
    &d704_lower_rung_offered::RULE,
    &d705_easier_by_test::RULE,
    &d706_other_way_by_test::RULE,
    &d707_seen_done_well::RULE,
    &d708_climb::RULE,
    &d709_keep_tolerable::RULE,
    &d710_ease::RULE,
    &d711_rest_loaded::RULE,
    &d712_range_more_often::RULE,
    &d713_clinician_set::RULE,
    &d714_behind_more_often::RULE,
    &d715_modifiers::RULE,
    &d716_no_more_than_last::RULE,
    &d717_slots_of_the_day::RULE,
    &d718_clip::RULE,
    &d719_aim::RULE,
    &d720_nothing_new::RULE,
    &d721_void_sheet::RULE,
    &d722_phase_times::RULE,
    &d723_earlier_sheet::RULE,
    &d801_best_set::RULE,
    &d802_one_of_a_family::RULE,
    &d803_room_and_minutes::RULE,
    &d804_clinicians_choice::RULE,
    &d805_core_empty::RULE,
    &d806_end_of_range::RULE,
    &d901_order::RULE,
    &d902_slots::RULE,
    &d903_weekdays::RULE,
    &d904_rows_beside::RULE,
    &d905_advice_that_fits::RULE,
    &d906_stairs_not_practised::RULE,
    &d907_orders_left_out::RULE,
    &d1001_next_rungs::RULE,
    &d1002_loaded_ahead::RULE,
    &d1003_ahead_minutes::RULE,
    &d1004_stages::RULE,
    &d1005_stage_up::RULE,
];

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    fn number(rule: &Rule) -> i64 {
        rule.id.0.trim_start_matches('D').parse().unwrap()
    }

    #[test]
    fn ids_are_unique_and_in_order() {
        for pair in ALL.windows(2) {
            assert!(number(pair[0]) < number(pair[1]), "{}", pair[1].id.0);
        }
    }

    #[test]
    fn an_id_tells_its_stage() {
        for rule in ALL {
            let stage = match rule.stage {
                Stage::Gate => 1,
                Stage::Place => 2,
                Stage::Limit => 3,
                Stage::Allow => 4,
                Stage::Need => 5,
                Stage::Answer => 6,
                Stage::Dose => 7,
                Stage::Choose => 8,
                Stage::Plan => 9,
                Stage::Ahead => 10,
            };
            assert_eq!(number(rule) / 100, stage, "{}", rule.id.0);
        }
    }

    #[test]
    fn names_are_unique() {
        let names: BTreeSet<&str> = ALL.iter().map(|rule| rule.name).collect();
        assert_eq!(names.len(), ALL.len());
    }

    #[test]
    fn pages_have_every_heading() {
        for rule in ALL {
            let title = format!("# {} {}\n", rule.id.0, rule.name);
            assert!(rule.doc.starts_with(&title), "{}", rule.id.0);
            for heading in [
                "What it does.",
                "Why.",
                "Numbers.",
                "Does not.",
                "Example.",
                "Source.",
            ] {
                let bold = format!("\n**{heading}** ");
                assert_eq!(
                    rule.doc.matches(&bold).count(),
                    1,
                    "{} {heading}",
                    rule.id.0
                );
            }
        }
    }

    #[test]
    fn summaries_are_one_short_sentence() {
        for rule in ALL {
            assert!(rule.summary.len() <= 90, "{}", rule.id.0);
            assert!(rule.summary.ends_with('.'), "{}", rule.id.0);
            assert!(!rule.sources.is_empty(), "{}", rule.id.0);
        }
    }

    #[test]
    fn every_file_is_listed_and_starts_with_its_id() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/src/engine/rules");
        let mut stems: Vec<String> = std::fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.file_stem().is_some_and(|stem| stem != "mod"))
            .map(|path| path.file_stem().unwrap().to_string_lossy().into_owned())
            .collect();
        stems.sort();
        stems.dedup();
        let mut wanted: Vec<String> = ALL
            .iter()
            .map(|rule| format!("{}_{}", rule.id.0, rule.name.replace('-', "_")).to_lowercase())
            .collect();
        wanted.sort();
        assert_eq!(stems, wanted);
    }
}
