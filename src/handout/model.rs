//! What a sheet says, in order and in words, without any layout.
//!
//! Every renderer draws from these types, so paper, phone and text cannot disagree.
//! All strings are final patient words. Next: `render`.

use crate::domain::word::{Level, Paper};
use crate::figure::Drawing;

pub mod form;

/// A printable document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Document {
    /// A home program.
    Handout(Box<Handout>),
    /// No exercises today.
    Withheld(Box<WithheldPage>),
    /// A blank form for the clinician.
    Form(Box<form::Form>),
    /// Every picture of the library.
    Figures(Box<FigureSheet>),
}

/// Every picture of the library, for the clinician.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FigureSheet {
    /// Head and foot.
    pub frame: Frame,
    /// Title.
    pub title: String,
    /// One row an exercise and way.
    pub rows: Vec<FigureRow>,
}

/// One exercise of the contact sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FigureRow {
    /// The exercise's id.
    pub name: String,
    /// The way of doing it; empty for the usual one.
    pub way: String,
    /// Start and end.
    pub pictures: [Picture; 2],
}

/// What stands in the head and foot of every page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Frame {
    /// Paper size.
    pub paper: Paper,
    /// Language tag.
    pub language: String,
    /// Title of the document, for its properties: no name in it.
    pub document_title: String,
    /// Clinic, left of the head.
    pub clinic: String,
    /// "Ring us" and the number, right of the head and in the foot.
    pub ring_us: Labelled,
    /// Foot, left: token, date, digest.
    pub foot_id: String,
    /// Words of the page count, with `{page}` and `{pages}`.
    pub page_words: String,
    /// "Preview, not issued", when it is one.
    pub preview: Option<String>,
    /// "Draft library …" and other standing notes, on every page.
    pub notes: Vec<String>,
    /// The sentence that puts surgeon, local policy and licensed practice first.
    pub deference: String,
    /// Date in the document's properties: the program's own date, `YYYY-MM-DD`; a blank form has none.
    pub date: Option<String>,
}

/// A label and its value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Labelled {
    /// The label.
    pub label: String,
    /// The value.
    pub value: String,
}

/// Words with an optional bold lead-in, such as "New:".
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Led {
    /// Bold lead-in.
    pub lead: Option<String>,
    /// The words.
    pub text: String,
}

/// Says that the sheet before this one is void; nobody may miss it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VoidNote {
    /// Which sheet, bold and big.
    pub title: String,
    /// What was wrong, what is right, what to do with it.
    pub lines: Vec<String>,
}

/// A home program in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Handout {
    /// Head and foot.
    pub frame: Frame,
    /// Title of page 1.
    pub title: String,
    /// Words in the box for a name or sticker.
    pub name_box: String,
    /// For, operation, today, next visit; sheet number and what it replaces.
    pub meta: Vec<Labelled>,
    /// The sheet before is void; stands on the first page.
    pub void: Option<VoidNote>,
    /// Things to do first, on a page of their own when there are any.
    pub actions: Vec<Action>,
    /// Heading over the actions.
    pub actions_title: String,
    /// Main message.
    pub message: Message,
    /// Your day.
    pub plan: Plan,
    /// Heading over the three boxes of signs.
    pub tiers_title: String,
    /// The three boxes of signs, most urgent first.
    pub tiers: Vec<Tier>,
    /// Your next weeks, when no visit is booked and the program goes on in stages.
    pub stages: Option<Stages>,
    /// One block an exercise, in the order of the plan.
    pub blocks: Vec<Block>,
    /// Walking and other rows that have steps but no number.
    pub daily: Vec<Block>,
    /// Heading over the daily blocks.
    pub daily_title: String,
    /// Your rules.
    pub rules: Option<Table>,
    /// A bad day.
    pub bad_day: Section,
    /// If the visit moves.
    pub visit_moves: Section,
    /// Home care.
    pub care: Section,
    /// What is usual.
    pub usual: Section,
    /// What is not usual.
    pub not_usual: Section,
    /// Goals.
    pub hope: Section,
    /// What we know and what we do not know: two boxes.
    pub know: [Section; 2],
    /// Heading over the two boxes.
    pub know_title: String,
    /// Label of the line to sign on.
    pub sign: String,
    /// Diary.
    pub diary: Diary,
}

/// A heading with rows under it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Section {
    /// Heading.
    pub title: String,
    /// Rows; a lead is the left cell of a care row, or a bold lead-in.
    pub rows: Vec<Led>,
}

/// A table with a header row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// Heading.
    pub title: String,
    /// Header cells, at most three words each.
    pub head: Vec<String>,
    /// Rows, as many cells each as the head.
    pub rows: Vec<Vec<String>>,
}

/// Something to do before anything else.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Action {
    /// How soon.
    pub level: Level,
    /// What to do, bold.
    pub action: String,
    /// What was found.
    pub finding: String,
    /// What it may be.
    pub consequence: String,
    /// What changes in the program.
    pub restrict: Option<String>,
    /// What to do until it has been seen; at a visit, also where to go.
    pub until: Vec<String>,
    /// What to say to whom they ring or are sent, in the patient's own voice; empty when nobody.
    pub say: String,
}

/// The main message of page 1.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Message {
    /// The message, one sentence.
    pub headline: String,
    /// In short: at most five lines.
    pub bullets: Vec<Led>,
}

/// The plan of the day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Plan {
    /// Heading.
    pub title: String,
    /// Slots of the day: name and hint, such as "Morning" and "after breakfast". At most four.
    pub slots: Vec<Labelled>,
    /// Rows.
    pub rows: Vec<PlanRow>,
    /// Lines under the grid.
    pub notes: Vec<String>,
}

/// A cell of the plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PlanCell {
    /// Due at this slot.
    Due,
    /// Not at this slot.
    Free,
}

/// A row of the plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlanRow {
    /// Number of the exercise; rows such as walks and cold have none.
    pub number: Option<u8>,
    /// Short name.
    pub name: String,
    /// How much, such as "10 times".
    pub how_much: String,
    /// One cell a slot; empty when `across` stands.
    pub cells: Vec<PlanCell>,
    /// Words across all slots, such as "each hour you are awake".
    pub across: Option<String>,
}

/// One of the three boxes of signs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tier {
    /// Which frame and sign: emergency, same day, or next visit for "leave that one out".
    pub level: Level,
    /// What to do.
    pub action: String,
    /// Number under the action.
    pub phone: Option<String>,
    /// Signs, bold.
    pub hazard: String,
    /// What it may be and what next.
    pub consequence: String,
}

/// The stages of a sheet with no next visit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stages {
    /// Heading.
    pub title: String,
    /// How to use them.
    pub intro: Vec<String>,
    /// One card a stage, the first one being today.
    pub cards: Vec<StageCard>,
    /// After the last one.
    pub after: Section,
}

/// One stage.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StageCard {
    /// Which stage.
    pub title: String,
    /// From when.
    pub date: String,
    /// What today's stage asks for; later stages say it by check and changes.
    pub today: Option<String>,
    /// What must be true first, each line with a box to tick.
    pub check: Section,
    /// What goes up.
    pub up: Section,
    /// What to do when not all is true.
    pub fail: Option<Led>,
}

/// How a block differs from the last sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BlockMark {
    /// Not marked.
    None,
    /// "New".
    New(String),
    /// "Changed".
    Changed(String),
    /// "Same as before".
    Same(String),
}

/// The dose of a block, in words, in this order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DoseWords {
    /// The number, biggest.
    pub number: String,
    /// Its unit, such as "times" or "minutes".
    pub unit: String,
    /// Hold, rest, sets.
    pub lines: Vec<String>,
    /// How often a day, bold.
    pub often: String,
    /// Slots or hours.
    pub when: String,
    /// The day's total and the ceiling.
    pub total: Option<String>,
}

/// A picture with its words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// The shapes.
    pub drawing: Drawing,
    /// Under it.
    pub caption: String,
    /// For those who cannot see it.
    pub alt: String,
}

/// One exercise.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Block {
    /// Number; daily blocks have none.
    pub number: Option<u8>,
    /// Title.
    pub name: String,
    /// New, changed or same.
    pub mark: BlockMark,
    /// Start and end, when they can be drawn within the limits.
    pub pictures: Option<[Picture; 2]>,
    /// Dose.
    pub dose: DoseWords,
    /// Why.
    pub why: String,
    /// How this rung is done, when it says so.
    pub how: Option<String>,
    /// A goal in landmarks; never looks like a limit.
    pub aim: Option<String>,
    /// A stop with who set it; never looks like a goal.
    pub limit: Option<Led>,
    /// Rest first, until a date.
    pub rest_first: Option<String>,
    /// A caution of this exercise.
    pub caution: Option<String>,
    /// How to set up.
    pub set_up: String,
    /// Make-do things.
    pub make_do: Vec<String>,
    /// Steps.
    pub steps: Vec<String>,
    /// "Not like this".
    pub error: Led,
    /// What should be felt.
    pub feel: String,
    /// Next rungs with date and plain condition.
    pub next: Vec<String>,
}

/// The diary.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diary {
    /// Title.
    pub title: String,
    /// How to use it.
    pub how_to: String,
    /// Slot names, in the plan's order.
    pub slots: Vec<String>,
    /// Column heads: day and waking pain, with its scale.
    pub day_head: String,
    /// Head of the pain column.
    pub pain_head: Labelled,
    /// One row a day.
    pub rows: Vec<DiaryRow>,
    /// Prompt over the empty lines.
    pub notes: Led,
    /// Title of the questions page.
    pub questions_title: String,
}

/// One day of the diary.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DiaryRow {
    /// Day of the week.
    pub day: String,
    /// Date.
    pub date: String,
    /// Numbers due at each slot, with a tick when already done at the visit.
    pub slots: Vec<Vec<DiaryBox>>,
    /// Words instead of later slots, such as "your visit".
    pub words: Option<String>,
}

/// One box of the diary.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DiaryBox {
    /// Number of the exercise.
    pub number: u8,
    /// Whether it is printed ticked.
    pub state: BoxState,
}

/// Whether a diary box is printed ticked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BoxState {
    /// To be ticked.
    Empty,
    /// Done at the visit.
    Ticked,
}

/// The page that replaces a program.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WithheldPage {
    /// Head and foot.
    pub frame: Frame,
    /// Words in the box for a name or sticker.
    pub name_box: String,
    /// The sheet before is void; stands under the bar.
    pub void: Option<VoidNote>,
    /// How soon to act: in an emergency nothing stands above the bar.
    pub level: Level,
    /// The bar, such as "Do not exercise today."
    pub bar: String,
    /// What to do.
    pub action: String,
    /// The number to ring, big; none when the clinic has already rung.
    pub phone: Option<String>,
    /// Lines under it: when closed, or "We have rung …", "Go to …" with room to write.
    pub phone_lines: Vec<String>,
    /// Heading and findings with what they may be.
    pub why: Section,
    /// Heading and the script.
    pub say: Section,
    /// Heading and lines.
    pub until: Section,
    /// The emergency box; none when the bar says it already.
    pub tier: Option<Tier>,
    /// Labels of the lines to write on.
    pub sign: Vec<String>,
}
