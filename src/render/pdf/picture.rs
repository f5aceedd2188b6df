//! A picture on paper: a form object of the file, its frame, its numbers and its caption.
//!
//! Must not change a shape. Next: `block` puts a pair above the words.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::sync::{Arc, LazyLock, Mutex, PoisonError};

use flate2::Compression;
use printpdf::{DictItem, ExternalStream, ExternalXObject, XObject};
use sha2::{Digest, Sha256};

use crate::figure::{Drawing, Ink, Paint, Shape as Drawn};
use crate::handout::model::Picture;

use super::error::RenderError;
use super::face::{POINTS_A_MM, deflate};
use super::piece::{Mark, Piece, Placed, Role};
use super::shape::{Area, Shape};
use super::sheet::{InPoints, Sheet, Type, bold};

/// White between the two pictures, millimetres.
pub const BETWEEN: f64 = 8.0;
/// Frame to caption, millimetres.
const CAPTION: f64 = 2.6;

/// A picture as an object of the file.
#[derive(Debug)]
pub struct Form {
    /// Its name in the file: equal pictures have one name.
    pub name: String,
    size: (f32, f32),
    packed: Vec<u8>,
}

/// The pictures on the pages of a file, by name.
pub type Forms = BTreeMap<String, Arc<Form>>;

/// Pictures kept at most; then it begins again with none.
const KEPT: usize = 1000;

/// Returns the object of a picture; what was made before is not made again.
pub fn form(drawing: &Drawing) -> Result<Arc<Form>, RenderError> {
    static MADE: LazyLock<Mutex<BTreeMap<Drawing, Arc<Form>>>> = LazyLock::new(Mutex::default);
    let lock = || MADE.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(form) = lock().get(drawing) {
        return Ok(Arc::clone(form));
    }
    let operators = operators(drawing).into_bytes();
    let mut name = "F".to_owned();
    for byte in Sha256::digest(&operators).iter().take(8) {
        // Writing to a string cannot fail.
        let _ = write!(name, "{byte:02x}");
    }
    let form = Arc::new(Form {
        name,
        size: (points(drawing.width), points(drawing.height)),
        packed: deflate(&operators, Compression::new(6))?,
    });
    let mut made = lock();
    if made.len() >= KEPT {
        made.clear();
    }
    made.insert(drawing.clone(), Arc::clone(&form));
    Ok(form)
}

impl Form {
    /// Returns the object; its frame cuts off what is outside.
    pub fn object(&self) -> XObject {
        let numbers =
            |all: &[f32]| DictItem::Array(all.iter().map(|n| DictItem::Real(*n)).collect());
        let name = |text: &str| DictItem::Name(text.as_bytes().to_vec());
        let dict = BTreeMap::from([
            ("Type".to_owned(), name("XObject")),
            ("Subtype".to_owned(), name("Form")),
            ("Filter".to_owned(), name("FlateDecode")),
            (
                "BBox".to_owned(),
                numbers(&[0.0, 0.0, self.size.0, self.size.1]),
            ),
            (
                "Resources".to_owned(),
                DictItem::Dict {
                    map: BTreeMap::new(),
                },
            ),
        ]);
        XObject::External(ExternalXObject {
            stream: ExternalStream {
                dict,
                content: self.packed.clone(),
                compress: false,
            },
            width: None,
            height: None,
            dpi: None,
        })
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "the file holds numbers to a hundredth"
)]
fn points(micro: i32) -> f32 {
    ((f64::from(micro) / 1000.0 * POINTS_A_MM * 100.0).round() / 100.0) as f32
}

/// Writes the shapes as operators, in hundredths of a millimetre from the top left.
fn operators(drawing: &Drawing) -> String {
    let scale = format!("{:.8}", POINTS_A_MM / 100.0);
    let top = points(drawing.height);
    let mut out = format!("{scale} 0 0 -{scale} 0 {top} cm 1 J 1 j\n");
    for shape in &drawing.shapes {
        draw(&mut out, shape);
    }
    out
}

fn draw(out: &mut String, shape: &Drawn) {
    match shape.paint {
        Paint::Fill(ink) => {
            out.push_str(&format!("{} g\n", grey(ink)));
            path(out, shape, true);
            out.push_str("f\n");
        }
        Paint::Edged { ink, edge } => {
            // The edge is twice as wide; the filling covers its inner half.
            pen(out, Ink::Black, 2 * edge, None);
            path(out, shape, true);
            out.push_str(&format!("S {} g\n", grey(ink)));
            path(out, shape, true);
            out.push_str("f\n");
        }
        Paint::Line { ink, width, dash } => {
            pen(out, ink, width, dash);
            path(out, shape, false);
            out.push_str("S\n");
        }
    }
}

/// Sets the colour, width and dashes of a line; a broken one has flat ends.
fn pen(out: &mut String, ink: Ink, width: i32, dash: Option<(i32, i32)>) {
    let (broken, cap) = match dash {
        Some((on, off)) => (format!("{} {}", hundredths(on), hundredths(off)), 0),
        None => (String::new(), 1),
    };
    out.push_str(&format!(
        "{} G {} w [{broken}] 0 d {cap} J\n",
        grey(ink),
        hundredths(width)
    ));
}

fn path(out: &mut String, shape: &Drawn, closed: bool) {
    for ring in &shape.rings {
        for (index, (x, y)) in ring.iter().enumerate() {
            let op = if index == 0 { 'm' } else { 'l' };
            out.push_str(&format!("{} {} {op}\n", hundredths(*x), hundredths(*y)));
        }
        if closed {
            out.push_str("h\n");
        }
    }
}

fn grey(ink: Ink) -> String {
    format!("{:.3}", f64::from(ink.grey()) / 255.0)
}

/// Thousandths of a millimetre as hundredths, to a tenth of one.
fn hundredths(micro: i32) -> String {
    if micro % 10 == 0 {
        (micro / 10).to_string()
    } else {
        format!("{:.1}", f64::from(micro) / 10.0)
    }
}

/// Puts both pictures beside each other, an arrow between, captions under them.
pub fn pair(sheet: &Sheet, [start, end]: &[Picture; 2]) -> Result<Piece, RenderError> {
    let mut piece = Piece::blank(0.0);
    let first = one(sheet, start)?;
    let width = f64::from(start.drawing.width) / 1000.0;
    let frame = f64::from(start.drawing.height) / 1000.0;
    let second = one(sheet, end)?;
    piece.height = first.height.max(second.height);
    piece.put(0.0, 0.0, first);
    let ink = sheet.design.colour.accent;
    let (left, middle) = (width + 0.8, frame / 2.0);
    piece.draw(Shape::line(&[(left, middle), (left + 3.4, middle)]).stroked(2.2, ink));
    let tip = left + BETWEEN - 1.6;
    let head = [
        (tip, middle),
        (tip - 4.2, middle - 2.4),
        (tip - 4.2, middle + 2.4),
    ];
    piece.draw(Shape::polygon(&head).filled(ink));
    piece.put(width + BETWEEN, 0.0, second);
    Ok(piece)
}

/// One picture in its frame with its caption.
fn one(sheet: &Sheet, picture: &Picture) -> Result<Piece, RenderError> {
    let drawing = &picture.drawing;
    let mm = |micro: i32| f64::from(micro) / 1000.0;
    let area = Area {
        left: 0.0,
        top: 0.0,
        width: mm(drawing.width),
        height: mm(drawing.height),
    };
    let mut piece = Piece::blank(area.height);
    piece.open(Role::Figure);
    piece.marks.push(Mark::Picture(Placed {
        x: 0.0,
        y: 0.0,
        drawing: drawing.clone(),
        alt: picture.alt.clone(),
    }));
    for label in &drawing.labels {
        let colour = if label.ink == Ink::White {
            sheet.design.colour.paper
        } else {
            sheet.design.colour.ink
        };
        let kind = Type {
            size: mm(label.size) * POINTS_A_MM,
            colour,
            ..sheet.label()
        };
        let (words, width) = sheet.single(&bold(&label.text), kind)?;
        let (x, baseline) = (mm(label.at.0), mm(label.at.1));
        piece.put(x - width / 2.0, baseline - kind.cap(), words);
    }
    let frame = Shape::rounded(area.inset(0.1), 1.0);
    piece.draw(frame.stroked(sheet.design.rule.thin.pt(), sheet.design.colour.line));
    let caption = sheet.single(&bold(&picture.caption), sheet.label())?.0;
    piece.stack(0.5, CAPTION, caption);
    piece.close();
    Ok(piece)
}
