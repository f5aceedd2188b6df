//! A sheet as lines, each with where it stands and which exercise it belongs to.

use banister::domain::word::Level;
use banister::handout::model::{Action, Block, Document, Handout, Led, Section, WithheldPage};

/// Where a line stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Place {
    /// What was found, in the clinician's voice or the patient's own.
    Finding,
    Action,
    Message,
    Plan,
    Tier(Level),
    Stage,
    /// A numbered exercise, by its place on the sheet.
    Block(usize),
    Daily,
    /// The words of a limit under a dose.
    Limit,
    Rule,
    BadDay,
    Care,
    Usual,
    NotUsual,
    Hope,
    Diary,
    Withheld,
}

/// One line of a sheet.
#[derive(Debug, Clone)]
pub struct Line {
    pub place: Place,
    pub text: String,
    /// The exercise of a block.
    pub of: Option<String>,
}

impl Line {
    /// The line with where it stands, for a report.
    pub fn said(&self) -> String {
        let of = self.of.as_deref().unwrap_or("");
        let place = match &self.place {
            Place::Block(_) => "Block".to_owned(),
            place => format!("{place:?}"),
        };
        format!("{place} {of}: {}", self.text)
    }
}

/// Splits at the ends of sentences; a number such as 100.4 is no end.
pub fn sentences(text: &str) -> Vec<&str> {
    let mut found = Vec::new();
    let mut from = 0;
    let bytes = text.as_bytes();
    for (at, byte) in bytes.iter().enumerate() {
        let ends = matches!(byte, b'.' | b'?' | b'!');
        let next = bytes.get(at + 1);
        if ends && next.is_none_or(u8::is_ascii_whitespace) {
            found.push(text[from..=at].trim());
            from = at + 1;
        }
    }
    let rest = text[from..].trim();
    if !rest.is_empty() {
        found.push(rest);
    }
    found
}

/// A text without numbers and days, to tell kinds of findings apart.
pub fn kind_of(text: &str) -> String {
    let day = |word: &&str| {
        let plain = word.trim_end_matches([':', ',', '.']);
        let numbered = plain.contains(|c: char| c.is_ascii_digit());
        let named = WEEKDAYS.contains(&plain) || MONTHS.contains(&plain);
        !(numbered || named || ["left", "right"].contains(&plain))
    };
    text.split(' ')
        .filter(day)
        .take(24)
        .collect::<Vec<_>>()
        .join(" ")
}

const WEEKDAYS: [&str; 7] = [
    "Monday",
    "Tuesday",
    "Wednesday",
    "Thursday",
    "Friday",
    "Saturday",
    "Sunday",
];
const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// All lines of a sheet.
#[derive(Debug, Default)]
pub struct Page {
    lines: Vec<Line>,
}

impl Page {
    /// Reads a document into lines.
    pub fn of(document: &Document) -> Self {
        let mut page = Self::default();
        match document {
            Document::Handout(handout) => page.handout(handout),
            Document::Withheld(withheld) => page.withheld(withheld),
            Document::Form(_) | Document::Figures(_) => {}
        }
        page
    }

    /// Its lines.
    pub fn lines(&self) -> impl Iterator<Item = &Line> {
        self.lines.iter()
    }

    /// Lines of one place.
    pub fn at(&self, place: &Place) -> impl Iterator<Item = &Line> {
        let place = place.clone();
        self.lines.iter().filter(move |line| line.place == place)
    }

    fn put(&mut self, place: Place, text: &str, of: Option<&str>) {
        if !text.is_empty() {
            self.lines.push(Line {
                place,
                text: text.replace('\u{a0}', " "),
                of: of.map(|of| of.replace('\u{a0}', " ")),
            });
        }
    }

    fn all<'t>(&mut self, place: &Place, texts: impl IntoIterator<Item = &'t String>) {
        for text in texts {
            self.put(place.clone(), text, None);
        }
    }

    fn led(&mut self, place: &Place, row: &Led) {
        let lead = row.lead.as_deref().unwrap_or("");
        self.put(place.clone(), format!("{lead} {}", row.text).trim(), None);
    }

    fn section(&mut self, place: &Place, section: &Section) {
        for row in &section.rows {
            self.led(place, row);
        }
    }

    fn handout(&mut self, handout: &Handout) {
        for action in &handout.actions {
            self.action(action);
        }
        self.put(Place::Message, &handout.message.headline, None);
        for bullet in &handout.message.bullets {
            self.led(&Place::Message, bullet);
        }
        for row in &handout.plan.rows {
            self.put(Place::Plan, &format!("{} {}", row.name, row.how_much), None);
        }
        self.all(&Place::Plan, &handout.plan.notes);
        for tier in &handout.tiers {
            let place = Place::Tier(tier.level);
            self.put(place.clone(), &tier.hazard, None);
            self.put(place, &tier.consequence, None);
        }
        for card in handout.stages.iter().flat_map(|stages| &stages.cards) {
            self.section(&Place::Stage, &card.check);
            self.section(&Place::Stage, &card.up);
        }
        if let Some(stages) = &handout.stages {
            self.all(&Place::Stage, &stages.intro);
            self.section(&Place::Stage, &stages.after);
        }
        for (at, block) in handout.blocks.iter().enumerate() {
            self.block(&Place::Block(at), block);
        }
        for block in &handout.daily {
            self.block(&Place::Daily, block);
        }
        for row in handout.rules.iter().flat_map(|rules| &rules.rows) {
            self.put(Place::Rule, &row.join(" "), None);
        }
        self.section(&Place::BadDay, &handout.bad_day);
        self.section(&Place::BadDay, &handout.visit_moves);
        self.section(&Place::Care, &handout.care);
        self.section(&Place::Usual, &handout.usual);
        self.section(&Place::NotUsual, &handout.not_usual);
        self.section(&Place::Hope, &handout.hope);
        self.put(Place::Diary, &handout.diary.how_to, None);
    }

    fn action(&mut self, action: &Action) {
        self.put(Place::Action, &action.action, None);
        self.put(Place::Finding, &action.finding, None);
        self.put(Place::Finding, &action.consequence, None);
        self.all(&Place::Action, &action.restrict);
        self.put(Place::Finding, &action.say, None);
    }

    fn block(&mut self, place: &Place, block: &Block) {
        let of = Some(block.name.as_str());
        let dose = &block.dose;
        let number = format!("{} {}", dose.number, dose.unit);
        let texts = [&number, &dose.often, &dose.when, &block.why, &block.set_up];
        let more = [&block.feel];
        let lists = [&dose.lines, &block.make_do, &block.steps, &block.next];
        let maybe = [
            &block.how,
            &block.aim,
            &block.rest_first,
            &block.caution,
            &dose.total,
        ];
        let plain = texts.into_iter().chain(more);
        let plain = plain.chain(lists.into_iter().flatten());
        let plain: Vec<&String> = plain.chain(maybe.into_iter().flatten()).collect();
        for text in plain {
            self.put(place.clone(), text, of);
        }
        self.put(place.clone(), &block.error.text, of);
        if let Some(limit) = &block.limit {
            let lead = limit.lead.as_deref().unwrap_or("");
            self.put(Place::Limit, &format!("{lead} {}", limit.text), of);
        }
        for picture in block.pictures.iter().flatten() {
            self.put(place.clone(), &picture.caption, of);
        }
    }

    fn withheld(&mut self, page: &WithheldPage) {
        let place = Place::Withheld;
        self.put(place.clone(), &page.bar, None);
        self.put(place.clone(), &page.action, None);
        self.all(&place, &page.phone_lines);
        self.section(&Place::Finding, &page.why);
        self.section(&Place::Finding, &page.say);
        self.section(&place, &page.until);
        if let Some(tier) = &page.tier {
            self.put(Place::Tier(tier.level), &tier.hazard, None);
        }
    }
}
