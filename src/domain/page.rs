//! The numbers of the printed page, as `templates/page.toml` writes them.
//!
//! Whole numbers only; must not know how anything is drawn. Next: `render`.

use std::num::ParseIntError;

use serde::Deserialize;

use crate::domain::word::Paper;

/// A length in hundredths of a millimetre, never negative.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(transparent)]
pub struct Length(u16);

impl Length {
    /// Returns the hundredths of a millimetre.
    pub const fn hundredths(self) -> u16 {
        self.0
    }
}

/// A type size or line weight in hundredths of a point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(transparent)]
pub struct Points(u16);

impl Points {
    /// Returns the hundredths of a point.
    pub const fn hundredths(self) -> u16 {
        self.0
    }
}

/// A distance from line to line, in thousandths of the type size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(transparent)]
pub struct Pitch(u16);

impl Pitch {
    /// Returns the thousandths of the type size.
    pub const fn thousandths(self) -> u16 {
        self.0
    }
}

/// A colour, written `#RRGGBB`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(try_from = "String")]
pub struct Colour {
    /// Red.
    pub red: u8,
    /// Green.
    pub green: u8,
    /// Blue.
    pub blue: u8,
}

/// Why a colour was not understood.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("a colour is written #RRGGBB, not {0}")]
pub struct NotAColour(String);

impl TryFrom<String> for Colour {
    type Error = NotAColour;

    fn try_from(text: String) -> Result<Self, NotAColour> {
        let digits = text
            .strip_prefix('#')
            .filter(|rest| rest.len() == 6 && rest.bytes().all(|byte| byte.is_ascii_hexdigit()));
        match digits.map(channels) {
            Some(Ok([red, green, blue])) => Ok(Self { red, green, blue }),
            Some(Err(_)) | None => Err(NotAColour(text)),
        }
    }
}

fn channels(digits: &str) -> Result<[u8; 3], ParseIntError> {
    let [_, red, green, blue] = u32::from_str_radix(digits, 16)?.to_be_bytes();
    Ok([red, green, blue])
}

macro_rules! table {
    ($($(#[$doc:meta])* $name:ident of $kind:ty { $($(#[$field_doc:meta])* $field:ident,)* })*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
        #[serde(deny_unknown_fields)]
        pub struct $name {
            $($(#[$field_doc])* pub $field: $kind,)*
        }
    )*};
}

/// Every number of the printed page.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PageDesign {
    /// The two papers.
    pub paper: Papers,
    /// Type sizes and pitches.
    #[serde(rename = "type")]
    pub types: TypeSizes,
    /// Colours.
    pub colour: Colours,
    /// Line weights.
    pub rule: Rules,
    /// White space, wide and narrow.
    pub space: Spaces,
    /// Head of page 1.
    pub head: Head,
    /// Main message.
    pub message: MessageBox,
    /// Your day.
    pub plan: PlanGrid,
    /// Boxes of signs.
    pub tier: TierBox,
    /// Exercise blocks.
    pub block: BlockShape,
    /// Sections with rows.
    pub section: SectionShape,
    /// Diary.
    pub diary: DiaryShape,
    /// The page that replaces a program.
    pub withheld: WithheldShape,
}

impl Papers {
    /// Returns the shape of a paper.
    pub const fn of(&self, paper: Paper) -> &PaperShape {
        match paper {
            Paper::A4 => &self.a4,
            Paper::Letter => &self.letter,
        }
    }
}

/// Type sizes and pitches.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TypeSizes {
    /// Title of a page.
    pub title: Points,
    /// Number in the dose box.
    pub dose: Points,
    /// Headings and the main message.
    pub heading: Points,
    /// Unit of the dose, what to do in a box of signs.
    pub unit: Points,
    /// The script to say on the phone.
    pub script: Points,
    /// Everything that must be read.
    pub body: Points,
    /// Labels, dates under days, marks.
    pub label: Points,
    /// Foot of the page and digits of the diary: the smallest.
    pub foot: Points,
    /// The bar of the withheld page.
    pub bar: Points,
    /// The number to ring on the withheld page.
    pub phone: Points,
    /// Line to line, text.
    pub pitch: Pitch,
    /// Line to line, titles and headings.
    pub title_pitch: Pitch,
}

table! {
    /// The two papers.
    Papers of PaperShape {
        /// A4.
        a4,
        /// US Letter.
        letter,
    }

    /// White space, wide and narrow.
    Spaces of Space {
        /// First choice on A4.
        normal,
        /// First choice on Letter, second on A4.
        tight,
    }

    /// A paper and its margins, measured down from the top and in from the edges.
    PaperShape of Length {
        /// Width of the paper.
        width,
        /// Height of the paper.
        height,
        /// Left margin.
        left,
        /// Right margin.
        right,
        /// Top of the body.
        top,
        /// Baseline of the last line of the foot.
        foot,
        /// Top of the preview stamp.
        preview,
    }

    /// Colours.
    Colours of Colour {
        /// Text, frames, signs.
        ink,
        /// Discs, step numbers, bullets.
        accent,
        /// Labels over values.
        soft,
        /// Hairlines.
        line,
        /// Message and dose boxes.
        tint,
        /// Boxes of what is known.
        warm,
        /// Paper, and words on ink.
        paper,
    }

    /// Line weights.
    Rules of Points {
        /// Rows, head and foot.
        hair,
        /// Frame of the least urgent signs.
        thin,
        /// Boxes to tick and lines to sign on.
        tick,
        /// Opens a block; header of a table.
        opener,
        /// Outline of "Changed".
        mark,
        /// Frame of a limit.
        limit,
        /// Outer line of the double frame.
        double_outer,
        /// Inner line of the double frame.
        double_inner,
        /// Frame of the most urgent signs.
        heavy,
        /// Frame of the withheld page.
        withheld,
    }

    /// White space.
    Space of Length {
        /// Between two sections, at least.
        section,
        /// Between two sections, at most.
        section_max,
        /// Between two blocks, at least.
        block,
        /// Between two blocks, at most.
        block_max,
        /// Above and below the words of a plan row.
        plan_pad,
        /// Above and below the words of a box of signs.
        tier_pad,
        /// Between two boxes of signs.
        tier_gap,
        /// Between two steps or list items.
        step,
        /// Steps to what follows them.
        after,
        /// Between two paragraphs.
        paragraph,
        /// Above and below the words of a table row.
        row_pad,
        /// Above and below the words of a diary row.
        diary_pad,
    }

    /// Head of page 1.
    Head of Length {
        /// Width of the box for a name or sticker.
        name_width,
        /// Height of the box for a name or sticker.
        name_height,
        /// Edge of that box to its words.
        name_pad,
        /// Least gap between two facts.
        meta_gap,
        /// Between two rows of facts.
        meta_row,
        /// Rule to title.
        title_gap,
        /// Label to the value under it.
        label_gap,
    }

    /// Main message.
    MessageBox of Length {
        /// Edge to words.
        pad,
        /// Left edge of a bullet to its words.
        bullet,
        /// Width of a bullet.
        bullet_size,
        /// Headline to the first bullet.
        headline_gap,
    }

    /// Your day.
    PlanGrid of Length {
        /// Column of names, disc included.
        name,
        /// Column of doses.
        how_much,
        /// Numbered disc.
        disc,
        /// Disc to name.
        disc_gap,
        /// Disc of a due cell.
        due,
        /// Dash of a free cell.
        free,
    }

    /// Boxes of signs.
    TierBox of Length {
        /// Column of what to do.
        action,
        /// Edge to words, sideways.
        pad,
        /// Size of the sign.
        sign,
        /// Sign to words.
        gap,
    }

    /// Exercise blocks.
    BlockShape of Length {
        /// Rule to the top of the text, for a title of one line.
        title,
        /// Numbered disc.
        disc,
        /// Disc to title.
        disc_gap,
        /// Width of the dose box.
        dose,
        /// Text to dose box.
        dose_gap,
        /// Edge of the dose box to its words.
        dose_pad,
        /// Left edge of a step number to its text.
        number,
        /// Widest line of a paragraph.
        text,
        /// Size of a sign in a line.
        sign,
        /// Edge of a mark to its words.
        mark_pad,
    }

    /// Sections with rows.
    SectionShape of Length {
        /// Column of labels.
        label,
        /// Between the two boxes of what is known.
        pair_gap,
        /// Edge of such a box to its words.
        pair_pad,
        /// Length of a line to sign on.
        sign,
        /// Between two lines to write on.
        write,
    }

    /// Diary.
    DiaryShape of Length {
        /// Column of days.
        day,
        /// Column of pain.
        pain,
        /// Box to tick.
        tick,
        /// Between two boxes.
        tick_gap,
        /// Between two slots.
        slot_gap,
        /// Box for the pain number.
        pain_box,
        /// Slot name, when each slot has a row of its own.
        slot,
        /// Between two such rows.
        row,
    }

    /// The page that replaces a program.
    WithheldShape of Length {
        /// Edge of the frame to its words.
        pad,
        /// Sign in the bar.
        bar_sign,
        /// Sign beside the number.
        phone_sign,
        /// Sign to words.
        sign_gap,
    }
}
