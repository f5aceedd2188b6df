//! Closed lists of words that files may use.
//!
//! Each list is one enum; the reader offers the nearest word when one is unknown.
//! Must not hold sentences. Next: `fact` uses them for what was measured.

/// A closed list of words as files write them.
pub trait Word: Sized + Copy + 'static {
    /// Every word of the list, in the order people read it.
    const ALL: &'static [Self];

    /// Returns the word as files write it.
    fn as_str(self) -> &'static str;

    /// Finds the word, or none.
    fn find(text: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|word| word.as_str() == text)
    }
}

/// Writes closed lists of words as enums; also used for the phrases of a sheet.
macro_rules! words {
    ($($(#[$doc:meta])* $name:ident { $($variant:ident = $text:literal,)* })*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum $name {
            $(#[doc = concat!("Written `", $text, "`.")] $variant,)*
        }

        impl $crate::domain::word::Word for $name {
            const ALL: &'static [Self] = &[$(Self::$variant,)*];

            fn as_str(self) -> &'static str {
                match self { $(Self::$variant => $text,)* }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str($crate::domain::word::Word::as_str(*self))
            }
        }

        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str($crate::domain::word::Word::as_str(*self))
            }
        }
    )*};
}
pub(crate) use words;

words! {
    /// A yes-or-no answer, written out.
    YesNo { Yes = "yes", No = "no", }
    /// An answer on the red-flag screen: new or worse since last time?
    ScreenAnswer { Yes = "yes", No = "no", Known = "known", }
    /// The operated side.
    Side { Left = "left", Right = "right", Both = "both", }
    /// A joint.
    Joint { Hip = "hip", Knee = "knee", Ankle = "ankle", Spine = "spine", Shoulder = "shoulder", }
    /// A motion of a joint.
    Motion {
        Flexion = "flexion", Extension = "extension", Abduction = "abduction",
        Adduction = "adduction", Rotation = "rotation",
    }
    /// How a motion is made.
    Mode {
        Passive = "passive", Assisted = "assisted", Active = "active",
        Isometric = "isometric", Resisted = "resisted",
    }
    /// How much the operated leg bears, least first.
    LegLoad { None = "none", Partial = "partial", Full = "full", SingleLeg = "single-leg", }
    /// Body position of an exercise, in the order a day runs through them.
    Position {
        Lying = "lying", SideLying = "side-lying", Prone = "prone", Sitting = "sitting",
        Standing = "standing", Walking = "walking", Bike = "bike",
    }
    /// How many sides an operation is of.
    Operates { One = "one", Both = "both", }
    /// Which leg does it.
    Sides { Operated = "operated", Both = "both", Either = "either", }
    /// Where an exercise stands on the sheet.
    Row { Exercise = "exercise", Background = "background", Daily = "daily", Advice = "advice", }
    /// What kind of work an exercise is when it is not loaded.
    Work { Range = "range", Other = "other", }
    /// What kind of work the answer bands speak of.
    BandWork { Range = "range", Loaded = "loaded", Other = "other", }
    /// Hand support, most first.
    Support { TwoHands = "two-hands", OneHand = "one-hand", Fingertips = "fingertips", None = "none", }
    /// Elastic band, lightest first.
    Band { Light = "light", Medium = "medium", Firm = "firm", }
    /// What a rung makes harder than the rung before it.
    Lever {
        Repetitions = "repetitions", Hold = "hold", Minutes = "minutes", Sets = "sets",
        Range = "range", Height = "height", Load = "load", Band = "band", Support = "support",
        Seat = "seat", Tempo = "tempo", Times = "times", Days = "days", Task = "task",
    }
    /// A time of day at which exercises are done, in the order of the day.
    Slot {
        Breakfast = "breakfast", MidMorning = "mid-morning", Midday = "midday",
        Afternoon = "afternoon", Evening = "evening", Bedtime = "bedtime",
    }
    /// A fact that rules and entry tests may look at.
    Fact {
        Day = "day", Flexion = "flexion", ExtensionDeficit = "extension_deficit", Lag = "lag",
        Stance = "stance_s", WalkMinutes = "walk_minutes", LegLift = "leg_lift",
        WalkingAid = "walking_aid", WeightBearing = "weight_bearing", Swelling = "swelling",
        Morning = "morning", Limp = "limp", StairsPractised = "stairs_practised",
        BlockGone = "block_gone", Wound = "wound", GivingWay = "giving_way",
        Response = "response", How = "how", FloorSafe = "floor_safe",
        PainMedicine = "pain_medicine", RestPain = "rest_pain",
    }
    /// How far the operated leg lifts.
    LegLift { AloneStraight = "alone-straight", AloneLag = "alone-lag", WithHelp = "with-help", No = "no", }
    /// What someone walks with, most help first.
    WalkingAid {
        Frame = "frame", TwoCrutches = "two-crutches", TwoSticks = "two-sticks",
        OneStick = "one-stick", None = "none",
    }
    /// Weight-bearing status, as ordered.
    WeightBearing { AsTolerated = "as-tolerated", Partial = "partial", Touch = "touch", None = "none", }
    /// Swelling against last time.
    Swelling { Less = "less", Same = "same", More = "more", }
    /// Next morning against usual.
    Morning { Less = "less", Same = "same", More = "more", MuchMore = "much-more", }
    /// How much of the last sheet was done.
    Did {
        All = "all", Most = "most", Half = "half", Little = "little", None = "none", More = "more",
    }
    /// Whether an exercise was seen done today.
    Seen { Yes = "yes", Corrected = "corrected", No = "no", }
    /// How a visit was held.
    How { Seen = "seen", Phone = "phone", }
    /// How the body took the last dose, best first.
    Response { Settled = "settled", Tolerable = "tolerable", Overdone = "overdone", }
    /// How soon somebody must act, soonest first.
    Level {
        Emergency = "emergency", SameDay = "same-day", Within48Hours = "within-48-hours",
        NextVisit = "next-visit",
    }
    /// What a red flag does to the program.
    FlagEffect { Withhold = "withhold", Restrict = "restrict", Tell = "tell", }
    /// What "known, unchanged" does to a flag's limits.
    KnownFlag {
        Lift = "lift", KeepLimits = "keep-limits", KeepUntilAssessed = "keep-until-assessed",
    }
    /// Whether a limit may be set aside by the clinician.
    LimitLevel { Hard = "hard", Soft = "soft", }
    /// What to do with an entry test whose fact was not recorded.
    MissingRule {
        Pass = "pass", FirstRung = "first-rung", Fail = "fail", Usual = "usual", Ask = "ask",
    }
    /// Which way a measure gets better.
    Better { Higher = "higher", Lower = "lower", }
    /// Whom a review line tells.
    ReviewTell {
        Review = "review", SeeWithinAWeek = "see-within-a-week", Team = "team",
        SurgeonThisWeek = "surgeon-this-week", WithinTwoDays = "within-2-days",
    }
    /// What the clinician does with one exercise.
    AdjustAction { Set = "set", Add = "add", LeaveOut = "leave-out", AsDecided = "as-decided", }
    /// What of an episode can be put right.
    CorrectWhat { Side = "side", Operation = "operation", Moved = "operation-moved", }
    /// What closed a visit for which no sheet went out.
    ClosedWith { None = "none", }
    /// Paper size.
    Paper { A4 = "a4", Letter = "letter", }
    /// State of a controlled document.
    DocumentState { Draft = "draft", Approved = "approved", Due = "due", Expired = "expired", }
    /// How much of a source was seen.
    SeenAs { Full = "full", Abstract = "abstract", Secondary = "secondary", Memory = "memory", }
    /// A measure the prompts leave out unless the clinic or the clinician asks for it.
    Optional {
        Age = "age", HeightCm = "height-cm", Frailty = "frailty", Goal = "goal", Slots = "slots",
        Minutes = "minutes", FloorSafe = "floor-safe", PainRest = "pain-rest", Lag = "lag",
        StanceS = "stance-s", WalkMinutes = "walk-minutes", BadMornings = "bad-mornings",
        PainMedicine = "pain-medicine",
    }
    /// What a care row is part of.
    CareRow { Day = "day", Care = "care", }
    /// A need of the printed page.
    PrintNeed { LargePrint = "large-print", OtherLanguage = "other-language", HelpersPage = "helpers-page", }
}
