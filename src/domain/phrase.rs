//! Every sentence of a sheet that no exercise or procedure file owns, by key.
//!
//! The texts stand in `templates/words.<language>.toml`, never in Rust.
//! Must not know where a phrase is printed. Next: `handout` fills them in.

use std::collections::{BTreeMap, BTreeSet};

use super::word::words;

words! {
    /// A phrase, by its key in the words file.
    Phrase {
        // Days and dates
        Monday = "monday", Tuesday = "tuesday", Wednesday = "wednesday", Thursday = "thursday",
        Friday = "friday", Saturday = "saturday", Sunday = "sunday", January = "january",
        February = "february", March = "march", April = "april", May = "may", June = "june",
        July = "july", August = "august", September = "september", October = "october",
        November = "november", December = "december", DateWeekday = "date_weekday",
        DateShort = "date_short", DateYear = "date_year",
        // Slots of the day: name, hint, clock and within a sentence
        SlotBreakfast = "slot_breakfast", SlotBreakfastHint = "slot_breakfast_hint",
        SlotBreakfastClock = "slot_breakfast_clock", SlotBreakfastInline = "slot_breakfast_inline",
        SlotMidMorning = "slot_mid_morning", SlotMidMorningHint = "slot_mid_morning_hint",
        SlotMidMorningClock = "slot_mid_morning_clock",
        SlotMidMorningInline = "slot_mid_morning_inline", SlotMidday = "slot_midday",
        SlotMiddayHint = "slot_midday_hint", SlotMiddayClock = "slot_midday_clock",
        SlotMiddayInline = "slot_midday_inline", SlotAfternoon = "slot_afternoon",
        SlotAfternoonHint = "slot_afternoon_hint", SlotAfternoonClock = "slot_afternoon_clock",
        SlotAfternoonInline = "slot_afternoon_inline", SlotEvening = "slot_evening",
        SlotEveningHint = "slot_evening_hint", SlotEveningClock = "slot_evening_clock",
        SlotEveningInline = "slot_evening_inline", SlotBedtime = "slot_bedtime",
        SlotBedtimeHint = "slot_bedtime_hint", SlotBedtimeClock = "slot_bedtime_clock",
        SlotBedtimeInline = "slot_bedtime_inline",
        // Joining words
        SideLeft = "side_left", SideRight = "side_right", JointHip = "joint_hip",
        JointKnee = "joint_knee", JointAnkle = "joint_ankle", JointSpine = "joint_spine",
        JointShoulder = "joint_shoulder", ListAnd = "list_and", FromTo = "from_to",
        LedNumber = "led_number", LedDose = "led_dose",
        // Numbers with their nouns
        TimesOne = "times_one", TimesMany = "times_many", TimesUnitOne = "times_unit_one",
        TimesUnitMany = "times_unit_many", MinutesOne = "minutes_one", MinutesMany = "minutes_many",
        MinutesUnitOne = "minutes_unit_one", MinutesUnitMany = "minutes_unit_many",
        SecondsOne = "seconds_one", SecondsMany = "seconds_many", Rounds = "rounds",
        RoundsWithRest = "rounds_with_rest", Sentence = "sentence", ExercisesOne = "exercises_one",
        ExercisesMany = "exercises_many", DegreesOne = "degrees_one", DegreesMany = "degrees_many",
        // Head and foot
        RingUs = "ring_us", DocumentTitle = "document_title", WithheldTitle = "withheld_title",
        FootId = "foot_id", PageWords = "page_words", Preview = "preview",
        NoteLibraryDraft = "note_library_draft", NoteLibraryOverdue = "note_library_overdue",
        NoteClinicDraft = "note_clinic_draft", NoteClinicDue = "note_clinic_due",
        NoteClinicExpired = "note_clinic_expired", Deference = "deference",
        SignTherapist = "sign_therapist", NameBox = "name_box",
        // Who, when, which sheet
        MetaFor = "meta_for", MetaOperation = "meta_operation", MetaToday = "meta_today",
        MetaBeforeOne = "meta_before_one", MetaBeforeMany = "meta_before_many",
        MetaNextVisit = "meta_next_visit", MetaSheet = "meta_sheet",
        SheetReplaces = "sheet_replaces", NextVisitNone = "next_visit_none",
        NextVisitUnknown = "next_visit_unknown",
        // The sheet before is void
        VoidOne = "void_one", VoidMany = "void_many", VoidSide = "void_side",
        VoidSideWithheld = "void_side_withheld", VoidOperation = "void_operation", VoidOperationAhead = "void_operation_ahead",
        VoidAwayOne = "void_away_one", VoidAwayMany = "void_away_many",
        // How soon to act, by level
        RingEmergency = "ring_emergency", RingEmergencyLocal = "ring_emergency_local",
        RingSameDay = "ring_same_day", RingWithin48Hours = "ring_within_48_hours",
        RingNextVisit = "ring_next_visit",
        // Things to do first
        ActionsTitle = "actions_title", ActionRing = "action_ring",
        ActionTold = "action_told", ActionGoToday = "action_go_today",
        ActionGo48 = "action_go_48", SayScript = "say_script",
        SayScriptGo = "say_script_go", SayScriptBefore = "say_script_before",
        // Main message
        HeadlineOne = "headline_one", HeadlineMany = "headline_many",
        HeadlineMixed = "headline_mixed", BulletBefore = "bullet_before", BulletCount = "bullet_count", BulletPain = "bullet_pain",
        BulletPainShort = "bullet_pain_short", BulletNextVisit = "bullet_next_visit",
        BulletRanOut = "bullet_ran_out", BulletFarMore = "bullet_far_more",
        BulletStairs = "bullet_stairs", LeadRule = "lead_rule",
        LeadNew = "lead_new", LeadChanged = "lead_changed", LeadStop = "lead_stop",
        LeadNotNow = "lead_not_now", LeadRest = "lead_rest", ChangedAim = "changed_aim",
        ChangedLimit = "changed_limit", RestUntil = "rest_until",
        RestWholeSheet = "rest_whole_sheet",
        LeadNoVisit = "lead_no_visit", BulletNoVisit = "bullet_no_visit",
        BulletStages = "bullet_stages",
        // Your next weeks, when no visit is booked
        StagesTitle = "stages_title", StagesHow = "stages_how", StagesStay = "stages_stay",
        StagesSigns = "stages_signs", StageNumber = "stage_number", StageToday = "stage_today",
        StageTodayDo = "stage_today_do", StageFrom = "stage_from", StageCheck = "stage_check",
        StageCheckPain = "stage_check_pain", StageCheckMorning = "stage_check_morning",
        StageCheckSwelling = "stage_check_swelling", StageCheckWalking = "stage_check_walking",
        StageCheckDid = "stage_check_did", StageUp = "stage_up", StageSame = "stage_same",
        StageFailLead = "stage_fail_lead", StageFail = "stage_fail",
        StagesAfter = "stages_after", StagesAfterRingLead = "stages_after_ring_lead",
        StagesAfterRing = "stages_after_ring", StagesAfterStayLead = "stages_after_stay_lead",
        StagesAfterStay = "stages_after_stay", StagesAfterDays = "stages_after_days",
        StagesAfterEveryDay = "stages_after_every_day", StagesAfterEnd = "stages_after_end",
        // Pictures
        PictureStart = "picture_start", PictureEnd = "picture_end", PictureAim = "picture_aim",
        PictureLimit = "picture_limit", PictureSeconds = "picture_seconds",
        PictureMinutes = "picture_minutes", PictureAlt = "picture_alt",
        PictureBends = "picture_bends", PictureHipBack = "picture_hip_back",
        PictureIn = "picture_in", BentStraight = "bent_straight", BentLittle = "bent_little",
        BentHalf = "bent_half", BentSquare = "bent_square", BentFar = "bent_far",
        PictureOut = "picture_out", PictureThings = "picture_things", PostureBack = "posture_back",
        PostureFront = "posture_front", PostureSide = "posture_side",
        PostureOnBed = "posture_on_bed", PostureSitting = "posture_sitting",
        PostureStanding = "posture_standing", PostureKneeling = "posture_kneeling", ThingPillow = "thing_pillow",
        ThingLegPillow = "thing_leg_pillow", ThingChair = "thing_chair",
        ThingArmChair = "thing_arm_chair", ThingTowel = "thing_towel", ThingRoll = "thing_roll",
        ThingStrap = "thing_strap", ThingBand = "thing_band", ThingWeight = "thing_weight",
        ThingWorktop = "thing_worktop", ThingWall = "thing_wall", ThingStep = "thing_step",
        ThingStairs = "thing_stairs", ThingRail = "thing_rail", ThingStool = "thing_stool", ThingFacingChair = "thing_facing_chair",
        ThingStick = "thing_stick", ThingSticks = "thing_sticks", ThingFrame = "thing_frame",
        ThingBike = "thing_bike", ThingTableLeg = "thing_table_leg", ThingLine = "thing_line",
        ThingCushion = "thing_cushion", ThingBedEdge = "thing_bed_edge",
        // Your day
        PlanTitle = "plan_title", PlanAwake = "plan_awake",
        PlanMedicine = "plan_medicine", PlanWeekdays = "plan_weekdays", PlanRest = "plan_rest",
        PlanPerWeek = "plan_per_week", PlanCareGap = "plan_care_gap",
        PlanCareTimes = "plan_care_times", PlanCareAny = "plan_care_any",
        // The three boxes of signs
        TiersTitle = "tiers_title", TierEmergencyWhy = "tier_emergency_why",
        TierSameDayWhy = "tier_same_day_why", TierLeaveOut = "tier_leave_out",
        TierLeaveOutSigns = "tier_leave_out_signs", TierLeaveOutWhy = "tier_leave_out_why",
        // Marks of a block
        MarkNew = "mark_new", MarkChanged = "mark_changed", MarkSame = "mark_same",
        // The dose
        HoldOne = "hold_one", HoldMany = "hold_many", LowerOne = "lower_one",
        LowerMany = "lower_many", PauseOne = "pause_one", PauseMany = "pause_many", Again = "again",
        AgainRest = "again_rest", RoundsDo = "rounds_do", RoundsRest = "rounds_rest",
        EachLeg = "each_leg", EachLegInTurn = "each_leg_in_turn", LoadGrams = "load_grams", LoadKilogram = "load_kilogram",
        LoadKilograms = "load_kilograms", BandLight = "band_light", BandMedium = "band_medium",
        BandFirm = "band_firm", SupportTwoHands = "support_two_hands",
        SupportOneHand = "support_one_hand", SupportFingertips = "support_fingertips",
        SupportNone = "support_none", StepHeight = "step_height", SeatHeight = "seat_height",
        RangeShown = "range_shown", OftenOne = "often_one", OftenMany = "often_many",
        OftenHourly = "often_hourly", HourlyWhen = "hourly_when", OftenWeekOne = "often_week_one",
        OftenWeekMany = "often_week_many", OnlyOn = "only_on", FirstOn = "first_on",
        Total = "total", TotalOpen = "total_open", TotalEachLeg = "total_each_leg",
        // Blocks
        NotLikeThis = "not_like_this", MakeDo = "make_do", AimAny = "aim_any",
        AimKneeSittingBefore = "aim_knee_sitting_before",
        AimKneeSittingUpright = "aim_knee_sitting_upright",
        AimKneeSittingPast = "aim_knee_sitting_past", AimUnderLimit = "aim_under_limit",
        LimitLead = "limit_lead", LimitUntil = "limit_until", LimitUntilAsked = "limit_until_asked",
        LimitUntilOpen = "limit_until_open", LimitUntilSheet = "limit_until_sheet",
        LimitSign = "limit_sign", LimitSurgeon = "limit_surgeon",
        LimitTherapist = "limit_therapist", RestFirst = "rest_first",
        RestFirstWholeSheet = "rest_first_whole_sheet", NextRung = "next_rung",
        NextRungLoaded = "next_rung_loaded", DailyTitle = "daily_title",
        // Equipment, for make-do lines
        KitBed = "kit_bed", KitChair = "kit_chair", KitChairArms = "kit_chair_arms",
        KitFootstool = "kit_footstool", KitTowel = "kit_towel", KitStrap = "kit_strap",
        KitSlidingSheet = "kit_sliding_sheet", KitWorktop = "kit_worktop",
        KitStep10cm = "kit_step_10cm", KitStep15cm = "kit_step_15cm", KitStep20cm = "kit_step_20cm",
        KitStairRail = "kit_stair_rail", KitBike = "kit_bike", KitAnkleWeight = "kit_ankle_weight",
        KitBand = "kit_band", KitHelper = "kit_helper",
        // Stop signs of single exercises; the three boxes cover pain
        StopBackPain = "stop_back_pain", StopCalfPain = "stop_calf_pain", StopCramp = "stop_cramp",
        StopDizzy = "stop_dizzy", StopFrontPain = "stop_front_pain",
        StopGivingWay = "stop_giving_way", StopHipPain = "stop_hip_pain",
        StopLimpGrows = "stop_limp_grows", StopNearFall = "stop_near_fall",
        StopNumbFoot = "stop_numb_foot", StopOtherKneePain = "stop_other_knee_pain",
        StopShoulderPain = "stop_shoulder_pain", StopWoundLeaks = "stop_wound_leaks",
        // Your rules
        RulesTitle = "rules_title", RulesHeadRule = "rules_head_rule",
        RulesHeadWhy = "rules_head_why", RulesHeadUntil = "rules_head_until",
        RulesHeadWho = "rules_head_who", RulesMargin = "rules_margin",
        RulesUntilAsked = "rules_until_asked", RulesUntilOpen = "rules_until_open",
        RulesUntilSheet = "rules_until_sheet", RulesUntilThenStay = "rules_until_then_stay", RulesSign = "rules_sign",
        RulesSurgeon = "rules_surgeon", RulesTherapist = "rules_therapist",
        // A bad day
        BadTitle = "bad_title", BadOneLead = "bad_one_lead", BadOne = "bad_one",
        BadAllLead = "bad_all_lead", BadAllLimited = "bad_all_limited",
        BadAllRest = "bad_all_rest", BadAll = "bad_all", BadMedicineLead = "bad_medicine_lead",
        BadMedicine = "bad_medicine", BadMissedLead = "bad_missed_lead", BadMissed = "bad_missed",
        BadRingLead = "bad_ring_lead", BadRing = "bad_ring", BadNumbersLead = "bad_numbers_lead",
        BadNumbers = "bad_numbers", BadNumberLeave = "bad_number_leave",
        // If the visit moves
        MovesTitle = "moves_title", MovesTitleNone = "moves_title_none",
        MovesTitleBefore = "moves_title_before", MovesUntilAtMost = "moves_until_at_most",
        MovesAfterOperation = "moves_after_operation", MovesPutOff = "moves_put_off",
        MovesCarryOn = "moves_carry_on", MovesUntil = "moves_until",
        // Home care and what is usual
        CareTitle = "care_title", CareTitleBefore = "care_title_before", CareFrom = "care_from", CareUntil = "care_until", UsualTitle = "usual_title", NotUsualTitle = "not_usual_title",
        HopeTitle = "hope_title", HopeGoal = "hope_goal", KnowTitle = "know_title",
        KnowYesTitle = "know_yes_title", KnowYes = "know_yes", KnowNoTitle = "know_no_title",
        KnowNo = "know_no", KnowNoMore = "know_no_more",
        // Diary
        DiaryTitle = "diary_title", DiaryHow = "diary_how", DiaryTicked = "diary_ticked",
        DiaryBring = "diary_bring", DiaryKeep = "diary_keep", DiaryDay = "diary_day",
        DiaryPain = "diary_pain", DiaryPainScale = "diary_pain_scale", DiaryVisit = "diary_visit",
        DiaryNotesLead = "diary_notes_lead", DiaryNotes = "diary_notes",
        DiaryQuestions = "diary_questions",
        // When no exercises are given
        WithheldBar = "withheld_bar", WithheldRung = "withheld_rung",
        WithheldGoToday = "withheld_go_today",
        WithheldGo48 = "withheld_go_48", WithheldTake = "withheld_take",
        WithheldNoExercise = "withheld_no_exercise", WithheldSeen = "withheld_seen",
        WithheldClosed = "withheld_closed", WithheldWhy = "withheld_why",
        WithheldSay = "withheld_say", WithheldUntil = "withheld_until",
        WithheldDrive = "withheld_drive", WithheldAgain = "withheld_again",
        WithheldOldSheet = "withheld_old_sheet", WithheldThinner = "withheld_thinner",
        WithheldSignWho = "withheld_sign_who", WithheldSignTime = "withheld_sign_time",
    }
}

/// Says why a text could not be filled in.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PhraseError {
    /// The words file has no such phrase.
    #[error("the words have no phrase `{0}`")]
    Missing(Phrase),
    /// A placeholder that nothing fills.
    #[error("nothing fills {{{name}}} in \"{text}\"")]
    Unfilled {
        /// The text.
        text: String,
        /// The placeholder.
        name: String,
    },
    /// A value that the phrase leaves out.
    #[error("the phrase `{phrase}` must say {{{name}}}")]
    Unused {
        /// The phrase.
        phrase: Phrase,
        /// The placeholder it lacks.
        name: String,
    },
    /// A brace without its partner.
    #[error("a brace without its partner in \"{0}\"")]
    Brace(String),
}

/// All phrases in one language.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Phrases {
    /// Language tag of the words.
    pub language: String,
    /// Text by phrase.
    pub texts: BTreeMap<Phrase, String>,
}

impl Phrases {
    /// Returns a text as it stands, placeholders and all.
    pub fn raw(&self, phrase: Phrase) -> Result<&str, PhraseError> {
        let text = self.texts.get(&phrase);
        text.map(String::as_str).ok_or(PhraseError::Missing(phrase))
    }

    /// Fills a phrase in; it must use each value, and have no other placeholder.
    ///
    /// A value left out by a translation would be a number the patient never reads.
    pub fn fill(&self, phrase: Phrase, values: &[(&str, &str)]) -> Result<String, PhraseError> {
        let text = self.raw(phrase)?;
        let named = placeholders(text)?;
        if let Some((name, _)) = values.iter().find(|(name, _)| !named.contains(name)) {
            return Err(PhraseError::Unused {
                phrase,
                name: (*name).to_owned(),
            });
        }
        fill(text, values)
    }
}

/// The operated side as an adjective: where both are, "your left knee" is "your knee".
const SIDE: &str = "{side} ";

/// Returns a text as it is said where both sides are operated on: the side falls away before a
/// noun. In any other place it is left, and nothing fills it in.
pub fn of_both_sides(text: &str) -> String {
    text.replace(SIDE, "")
}

/// Lists the placeholders of a text.
pub fn placeholders(text: &str) -> Result<BTreeSet<&str>, PhraseError> {
    let parts = split(text)?;
    Ok(parts.into_iter().filter_map(|(_, name)| name).collect())
}

/// Fills a text in; values it does not use are left out, unknown placeholders are an error.
///
/// Values are put in as they are: braces within a value are plain text.
pub fn fill(text: &str, values: &[(&str, &str)]) -> Result<String, PhraseError> {
    let mut filled = String::with_capacity(text.len());
    for (plain, name) in split(text)? {
        filled.push_str(plain);
        if let Some(name) = name {
            let value = values.iter().find(|(known, _)| *known == name);
            let (_, value) = value.ok_or_else(|| PhraseError::Unfilled {
                text: text.to_owned(),
                name: name.to_owned(),
            })?;
            filled.push_str(value);
        }
    }
    Ok(filled)
}

/// Cuts a text into plain parts, each with the placeholder after it.
fn split(text: &str) -> Result<Vec<(&str, Option<&str>)>, PhraseError> {
    let broken = || PhraseError::Brace(text.to_owned());
    let mut parts = Vec::new();
    let mut rest = text;
    while let Some((plain, after)) = rest.split_once('{') {
        let (name, tail) = after.split_once('}').ok_or_else(broken)?;
        if plain.contains('}') || name.contains('{') {
            return Err(broken());
        }
        parts.push((plain, Some(name)));
        rest = tail;
    }
    if rest.contains('}') {
        return Err(broken());
    }
    parts.push((rest, None));
    Ok(parts)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn phrases(text: &str) -> Phrases {
        Phrases {
            language: "en".to_owned(),
            texts: BTreeMap::from([(Phrase::HoldMany, text.to_owned())]),
        }
    }

    #[test]
    fn fills_each_value_once_and_leaves_braces_in_values_alone() {
        let words = phrases("Hold for {n} seconds.");
        let filled = words.fill(Phrase::HoldMany, &[("n", "{x}")]);
        assert_eq!(filled, Ok("Hold for {x} seconds.".to_owned()));
    }

    #[test]
    fn a_placeholder_without_a_value_is_an_error() {
        let words = phrases("Hold for {n} seconds, {who}.");
        let filled = words.fill(Phrase::HoldMany, &[("n", "5")]);
        assert!(matches!(filled, Err(PhraseError::Unfilled { name, .. }) if name == "who"));
    }

    #[test]
    fn a_phrase_that_drops_a_number_is_an_error() {
        let words = phrases("Hold for a while.");
        let filled = words.fill(Phrase::HoldMany, &[("n", "5")]);
        assert!(matches!(filled, Err(PhraseError::Unused { name, .. }) if name == "n"));
    }

    #[test]
    fn lone_braces_and_missing_phrases_are_errors() {
        for text in ["a { b", "a } b", "a {b{c}", "{a} }"] {
            let filled = phrases(text).fill(Phrase::HoldMany, &[]);
            assert!(matches!(filled, Err(PhraseError::Brace(_))), "{text}");
        }
        let missing = phrases("x").fill(Phrase::HoldOne, &[]);
        assert_eq!(missing, Err(PhraseError::Missing(Phrase::HoldOne)));
    }
}
