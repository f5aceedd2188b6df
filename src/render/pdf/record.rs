//! Keeps what stands where, so that checks need not read a file.
//!
//! Must not draw.

use super::face::{CAP, DROP, POINTS_A_MM, RISE};
use super::piece::{Line, Placed, Role};
use super::shape::{Area, Shape};
use super::sink::Sink;

/// What stands where on every page.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Recording {
    /// The pages, first to last.
    pub pages: Vec<PageRecord>,
}

/// What stands where on one page.
#[derive(Debug, Clone, PartialEq)]
pub struct PageRecord {
    /// Width in millimetres.
    pub width: f64,
    /// Height in millimetres.
    pub height: f64,
    /// Lines of words, in reading order.
    pub texts: Vec<TextRecord>,
    /// Paths, in the order they are painted.
    pub paths: Vec<PathRecord>,
    /// Pictures, in reading order.
    pub pictures: Vec<PictureRecord>,
}

/// A line of words.
#[derive(Debug, Clone, PartialEq)]
pub struct TextRecord {
    /// The words.
    pub text: String,
    /// The room the letters take, accents and descenders included, in millimetres.
    pub area: Area,
    /// Top of the capitals, millimetres down.
    pub cap: f64,
    /// Baseline, millimetres down.
    pub baseline: f64,
    /// Type size in points.
    pub size: f64,
    /// Elements it stands in, outermost first.
    pub within: Vec<Role>,
    /// Number of the innermost element, unique in the document.
    pub element: usize,
}

impl TextRecord {
    /// Returns the innermost element the line stands in.
    pub fn role(&self) -> Role {
        self.within.last().copied().unwrap_or(Role::Artifact)
    }

    /// Returns whether the line belongs to the page and not to the text.
    pub fn is_artifact(&self) -> bool {
        self.within
            .first()
            .is_none_or(|role| *role == Role::Artifact)
    }
}

/// A path.
#[derive(Debug, Clone, PartialEq)]
pub struct PathRecord {
    /// The area it fills, half the line weight included, in millimetres.
    pub area: Area,
    /// Elements it stands in, outermost first.
    pub within: Vec<Role>,
}

/// A picture.
#[derive(Debug, Clone, PartialEq)]
pub struct PictureRecord {
    /// The area of its frame, in millimetres.
    pub area: Area,
    /// Its words for those who cannot see it.
    pub alt: String,
    /// Elements it stands in, outermost first.
    pub within: Vec<Role>,
}

impl PageRecord {
    /// Returns the text of the page in reading order, one element a line, without head and foot.
    pub fn text(&self) -> String {
        let mut text = String::new();
        let mut last = None;
        for record in self.texts.iter().filter(|record| !record.is_artifact()) {
            if let Some(element) = last {
                text.push(if element == record.element { ' ' } else { '\n' });
            }
            text.push_str(record.text.trim_end());
            last = Some(record.element);
        }
        text
    }
}

/// The sink that records.
#[derive(Debug, Default)]
pub struct Recorder {
    recording: Recording,
    open: Vec<(Role, usize)>,
    elements: usize,
}

impl Recorder {
    /// Returns what was recorded.
    pub fn finish(self) -> Recording {
        self.recording
    }

    fn within(&self) -> Vec<Role> {
        self.open.iter().map(|(role, _)| *role).collect()
    }
}

impl Sink for Recorder {
    fn page(&mut self, width: f64, height: f64) {
        let page = PageRecord {
            width,
            height,
            texts: Vec::new(),
            paths: Vec::new(),
            pictures: Vec::new(),
        };
        self.recording.pages.push(page);
    }

    fn open(&mut self, role: Role) {
        self.elements += 1;
        self.open.push((role, self.elements));
    }

    fn close(&mut self) {
        self.open.pop();
    }

    fn text(&mut self, line: &Line) {
        let within = self.within();
        let element = self.open.last().map_or(0, |(_, element)| *element);
        let em = line.size / POINTS_A_MM;
        let area = Area {
            left: line.x,
            top: line.baseline - RISE * em,
            width: line.width,
            height: (RISE + DROP) * em,
        };
        let record = TextRecord {
            text: line.runs.iter().map(|run| run.text.as_str()).collect(),
            area,
            cap: line.baseline - CAP * em,
            baseline: line.baseline,
            size: line.size,
            within,
            element,
        };
        if let Some(page) = self.recording.pages.last_mut() {
            page.texts.push(record);
        }
    }

    fn path(&mut self, shape: &Shape) {
        let within = self.within();
        let half = shape
            .stroke
            .map_or(0.0, |stroke| stroke.weight / POINTS_A_MM / 2.0);
        if let Some(page) = self.recording.pages.last_mut() {
            page.paths.push(PathRecord {
                area: shape.bounds().inset(-half),
                within,
            });
        }
    }

    fn picture(&mut self, placed: &Placed) {
        let within = self.within();
        let mm = |micro: i32| f64::from(micro) / 1000.0;
        let area = Area {
            left: placed.x,
            top: placed.y,
            width: mm(placed.drawing.width),
            height: mm(placed.drawing.height),
        };
        if let Some(page) = self.recording.pages.last_mut() {
            page.pictures.push(PictureRecord {
                area,
                alt: placed.alt.clone(),
                within,
            });
        }
    }
}
