//! Every kind of problem a file can have, with a title and an explanation.
//!
//! Numbers are never used again for something else. Next: `problem` shows one.

macro_rules! codes {
    ($($name:ident = $id:literal, $title:literal, $text:literal;)*) => {
        /// A kind of problem.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Code {
            $(#[doc = $title] $name,)*
        }

        impl Code {
            /// Returns the number people see, such as `BN010`.
            pub const fn id(self) -> &'static str {
                match self { $(Self::$name => $id,)* }
            }
        }

        /// Every code in order of number.
        pub static CODES: &[Entry] = &[
            $(Entry { code: Code::$name, title: $title, explanation: $text },)*
        ];
    };
}

/// One row of the table of problems.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Entry {
    /// The code.
    pub code: Code,
    /// One sentence.
    pub title: &'static str,
    /// What it means and what to do.
    pub explanation: &'static str,
}

/// Finds a row by its number, such as `BN010`.
pub fn find(id: &str) -> Option<&'static Entry> {
    CODES.iter().find(|entry| entry.code.id() == id)
}

codes! {
    Unreadable = "BN001", "A file cannot be read.",
        "The path is wrong, or the file may not be read. Nothing was changed.";
    TooLarge = "BN002", "A file is too large.",
        "A record may have 1 MiB, a library or clinic file 256 KiB. A larger file is refused before it is read, since it is nearly always the wrong file.";
    NotUtf8 = "BN003", "A file is not UTF-8 text.",
        "Files are text in UTF-8, with or without a byte-order mark. Some editors save in an older encoding, most often Windows-1252, or in UTF-16; save the file again, choose UTF-8, and look at every letter with an accent.";
    NotText = "BN004", "A file is not text.",
        "The file holds bytes that no text has, so it is a picture, a PDF or a word processor file, or it is damaged.";
    Empty = "BN005", "A file is empty.",
        "There is nothing in the file. It may have been cut short while it was copied; take it back from a backup.";
    TooDeep = "BN006", "Tables stand too deep inside each other.",
        "No file needs more than 8 levels. A deeper one is refused before it is read.";
    Syntax = "BN007", "A line is not TOML.",
        "The line breaks the rules of TOML: a quotation mark or bracket is missing, a text has no quotation marks, or the same key stands twice in one table. Other checks wait until this is put right.";
    BrokenTable = "BN008", "An inline table runs over more than one line.",
        "A table in braces stays on one line. Use a table with a heading in brackets when it gets too long.";
    Typeset = "BN009", "A character of a word processor stands where a plain one belongs.",
        "Curly quotation marks, no-break and zero-width spaces, dashes and full-width digits are fine inside a text and in a comment. Everywhere else they look like the plain character and are not read as one. Each is named with its place and what to type instead; other checks wait until this is put right.";
    Schema = "BN010", "The schema is missing or not known.",
        "Each file says which form it is written in: `schema = 1`. A newer number needs a newer banister; nothing is guessed.";
    FileKind = "BN011", "The file is of another kind.",
        "Each file says what it is, such as `kind = \"record\"`. This one is not what is read here.";
    UnknownKey = "BN020", "A key is not known here.",
        "Only keys that are read may stand in a file, so that a slip in a name is never taken for a blank.";
    MissingKey = "BN021", "A key is missing.",
        "This key has no default: it must be written.";
    WrongKind = "BN022", "A value is of the wrong kind.",
        "A number was written where a word belongs, or the like. Numbers have no quotation marks and no fraction, words have them, dates are 2026-03-05 without quotation marks or time.";
    OutOfRange = "BN023", "A number is out of range.",
        "The number is lower or higher than this key may ever be. The range guards against slips of the keyboard; it is not a clinical limit.";
    UnknownWord = "BN024", "A word is not on the list.",
        "This key takes words of a fixed list only. An unknown word is never taken for something near it.";
    BadId = "BN025", "A name has letters it may not have.",
        "Names have lower-case letters, digits and single hyphens, at most 48 of them. The token of a record and the names of its orders may have capitals too, and 64 of them.";
    BadDate = "BN026", "A date is wrong.",
        "Dates are calendar dates as 2026-03-05, without time or zone, from 1990 to 2099.";
    NotYesNo = "BN027", "Yes or no is written as true or false.",
        "Answers are the words \"yes\" and \"no\". A key that is not there means that nobody asked.";
    BadText = "BN028", "A text is empty, too long or holds control characters.",
        "Texts stand on one line and are printed as written.";
    KeysClash = "BN029", "Keys do not go together.",
        "Of these keys only one may be used, or one needs the other.";
    Twice = "BN030", "The same name stands twice.",
        "A name is used for one thing only, so that a pointer to it is never in doubt.";
    FileName = "BN031", "A file's id is not its name.",
        "The id in the file equals the file's name without `.toml`.";
    EmptyList = "BN032", "A list is empty that may not be.",
        "This list must name at least one thing.";
    Window = "BN033", "A span of days ends before it begins.",
        "`from_day` is in the span and `before_day` is not, so `before_day` is the larger one. An order or clearance ends on `until`, which is in the span.";
    UnknownName = "BN040", "Something is named that does not exist.",
        "An exercise, rung, condition, flag, phase or file is pointed at, but no file has it.";
    UnknownSource = "BN041", "A source is not in the bibliography.",
        "A source is a key of sources.toml, or one of the words \"practice\" and \"clinic\".";
    NoSource = "BN042", "A number has no source.",
        "Every number of the library says what vouches for it: `source` in its own table or in a table above it.";
    Lever = "BN043", "A rung does not raise exactly the one thing it names.",
        "A ladder climbs by one lever at a time. The named lever must be harder than on the rung before, and no other may be. A rung with the lever `task` changes the way it is done and is not compared.";
    Order = "BN044", "Things are out of order.",
        "Points of a course and phases stand in order of day.";
    Placeholder = "BN045", "A placeholder in a text is not known.",
        "A text in braces is filled in on printing. Only the listed ones can be filled in here.";
    HowWords = "BN046", "The ways of doing a rung and their words differ.",
        "Each `how` of a rung needs its line in the words, and each line in the words needs a rung that uses it.";
    PlainWords = "BN047", "Patient words are too many or too long.",
        "An exercise has 3 to 5 steps of at most 12 words, and a short name of at most 16 characters.";
    NoMissingRule = "BN048", "Nothing says what to do when a fact is not recorded.",
        "An entry test looks at a fact that may be blank. The procedure's `missing` rows must say for each day what then counts.";
    OwnLimit = "BN049", "An exercise breaks a hard limit of its own procedure.",
        "The procedure offers the exercise on days on which its own limit forbids it.";
    OverrideWas = "BN050", "An override does not replace the value it names.",
        "`was` must equal the value in the library. If it does not, the library has changed since the override was written: read the new value, then decide again.";
    OverrideAt = "BN051", "An override points at nothing.",
        "`path` is a file of the library, and `at` the way to one value in it: keys, and the ids of table rows, with dots between.";
    NoClinic = "BN052", "There is no clinic file.",
        "A clinic file gives the telephone numbers and the standing orders. It is the one named on the command line, else the nearest `shared/clinic.toml` at or above the record.";
    TestKind = "BN053", "A test does not fit its fact.",
        "Facts that are numbers are tested with `at_least` or `at_most`, facts that are words with `is` and words of that fact.";
    BasedOnItself = "BN054", "Files are based on each other in a circle.",
        "A procedure takes over what `based_on` names, and that file may do the same; somewhere a file must stand on its own.";
    Urgent = "BN055", "Words say how soon to ring beside the red flag's own level.",
        "How soon somebody must act on a sign stands once, as the `level` of its red flag. Words that name the sign say `{ring:<flag>}`, and the level's own words are printed there. What is no red flag says \"tell us\".";
    OtherClinic = "BN060", "The record belongs to another clinic.",
        "The clinic named in the record is not the clinic of the file in use. The record or the folder is the wrong one.";
    OtherOperation = "BN061", "The record does not fit the operation.",
        "The joint or the side is not one this operation has.";
    VisitNumber = "BN062", "Visits are not numbered 1, 2, 3 and so on.",
        "Visits are numbered without gaps in the order in which they stand.";
    DateBack = "BN063", "Dates go back.",
        "Visits stand in order of date; two on one day are allowed. A correcting visit stands in the place of the one it corrects, between the visits before and after that. The next visit is later than the one that names it.";
    OperationDay = "BN064", "What was written does not fit the day of the operation.",
        "This program is made for days from the operation on.";
    OpenVisit = "BN065", "A visit is open that may not be.",
        "Only the last visit may be open. Earlier ones are closed, or corrected by the visit after them.";
    Seal = "BN066", "What closes a visit is not sealed, or a seal stands without it.",
        "`[visit.issued]` and `[visit.seal]` are written together when a sheet goes out, `[visit.closed]` and the seal when none does, `[visit.kept]` and the seal when a call leaves the sheet at home. None is written by hand.";
    Corrects = "BN067", "A correction points at a visit it cannot correct.",
        "A visit corrects an earlier one that no other visit has corrected yet.";
    OrderValue = "BN068", "An order has the wrong value.",
        "Each kind of order takes one value: `weight-bearing` a word, `flexion-cap` degrees; the others take none. `ordered = \"no\"` says that nothing of the kind is ordered, and stands alone.";
    NoLanguage = "BN069", "There are no words in this language.",
        "The library holds patient words in some languages only. A sheet is never printed half in one and half in another.";
    SheetNumber = "BN070", "Sheets are not numbered upwards.",
        "Each sheet that goes out has a higher number than the one before, so that two sheets are never mistaken for each other.";
    Measures = "BN071", "Two measures contradict each other.",
        "A joint bends at least as far as it is short of straight. Most often the two numbers have been exchanged.";
    Correction = "BN075", "A correction does not fit the record.",
        "`was` is the value in force when the correction was made, `now` another one, and `visits` the number of visits that stood above it then. A visit that was open then is given again and not closed any more.";
    NoSheet = "BN076", "A visit is closed without a sheet that may not be, or is not that must be.",
        "The correction of a visit that is not the latest is closed at once and no sheet goes out for it. A call may leave the sheet given last at home as it is, if that has exercises. Every other visit is closed by its sheet.";
    NotToLift = "BN078", "A limit is set aside that is not the clinician's to lift.",
        "A hard limit of a surgeon's order is lifted by a newer order, a limit of a red flag once somebody has assessed it. All others a clinician may set aside, by name, with a reason and a last day.";
    Replaces = "BN082", "An order replaces one that it cannot.",
        "`replaces` names an order of the same kind that stands above, was not given later and that no other order has replaced. Without it orders of one kind stand beside each other, and the strictest holds.";
    HardPull = "BN083", "An exercise asks for a firm pull beside a limit.",
        "A surgeon's limit or a wound may stop any motion earlier, and a firm pull goes past it. Words that ask for one have another wording while a limit stands: `steps_if_limited`, `feel_if_limited`, `how_if_limited`.";
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_in_order_and_explained() {
        let ids: Vec<&str> = CODES.iter().map(|entry| entry.code.id()).collect();
        assert!(ids.is_sorted_by(|a, b| a < b));
        for entry in CODES {
            assert!(entry.code.id().starts_with("BN") && entry.code.id().len() == 5);
            assert!(entry.title.ends_with('.') && entry.explanation.ends_with('.'));
            assert_eq!(find(entry.code.id()), Some(entry));
        }
        assert_eq!(find("BN000"), None);
    }
}
