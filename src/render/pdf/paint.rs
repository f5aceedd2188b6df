//! The sink that writes a file: turns marks into the operators of the page.
//!
//! Must not measure. Next: `finish` puts the file together.

use printpdf::{
    Color, FontId, Line as OpenPath, LineCapStyle, LineJoinStyle, LinePoint, Mm, Op, PaintMode,
    PdfFontHandle, PdfPage, Point, Polygon, PolygonRing, Pt, Rgb, TextItem, WindingOrder,
    XObjectId, XObjectTransform,
};

use crate::domain::page::Colour;

use super::error::RenderError;
use super::face::POINTS_A_MM;
use super::picture::{Forms, form};
use super::piece::{Line, Placed, Role};
use super::shape::{Ends, Node, NodeKind, Shape, Stroke, Tip};
use super::sink::Sink;

/// The sink that paints.
#[derive(Debug, Default)]
pub struct Painter {
    pages: Vec<PdfPage>,
    pictures: Forms,
    wrong: Option<RenderError>,
    state: State,
    height: f64,
}

/// What the page was last told, so that it is not told again.
#[derive(Debug, Default)]
struct State {
    fill: Option<Colour>,
    stroke: Option<Stroke>,
}

impl Painter {
    /// Returns the painted pages, and the pictures on them by name.
    pub fn finish(self) -> Result<(Vec<PdfPage>, Forms), RenderError> {
        match self.wrong {
            Some(error) => Err(error),
            None => Ok((self.pages, self.pictures)),
        }
    }

    fn push(&mut self, op: Op) {
        if let Some(page) = self.pages.last_mut() {
            page.ops.push(op);
        }
    }

    fn point(&self, x: f64, y: f64) -> Point {
        Point {
            x: points(x),
            y: points(self.height - y),
        }
    }

    fn fill(&mut self, colour: Colour) {
        if self.state.fill != Some(colour) {
            self.state.fill = Some(colour);
            self.push(Op::SetFillColor { col: rgb(colour) });
        }
    }

    fn stroke(&mut self, stroke: Stroke) {
        let before = self.state.stroke;
        if before.map(|old| old.colour) != Some(stroke.colour) {
            self.push(Op::SetOutlineColor {
                col: rgb(stroke.colour),
            });
        }
        if before.is_none_or(|old| (old.weight - stroke.weight).abs() > 1e-9) {
            self.push(Op::SetOutlineThickness {
                pt: hundredth(stroke.weight),
            });
        }
        if before.map(|old| old.tip) != Some(stroke.tip) {
            let (cap, join) = match stroke.tip {
                Tip::Butt => (LineCapStyle::Butt, LineJoinStyle::Miter),
                Tip::Round => (LineCapStyle::Round, LineJoinStyle::Round),
            };
            self.push(Op::SetLineCapStyle { cap });
            self.push(Op::SetLineJoinStyle { join });
        }
        self.state.stroke = Some(stroke);
    }

    fn line_points(&self, nodes: &[Node]) -> Vec<LinePoint> {
        nodes
            .iter()
            .map(|node| LinePoint {
                p: self.point(node.x, node.y),
                bezier: node.kind == NodeKind::Control,
            })
            .collect()
    }
}

impl Sink for Painter {
    fn page(&mut self, width: f64, height: f64) {
        self.height = height;
        self.state = State::default();
        self.pages.push(PdfPage::new(
            Mm(single(width)),
            Mm(single(height)),
            Vec::new(),
        ));
    }

    // Roles become tags of the file once it is tagged; the order is already that of reading.
    fn open(&mut self, _role: Role) {}

    fn close(&mut self) {}

    fn text(&mut self, line: &Line) {
        self.fill(line.colour);
        self.push(Op::StartTextSection);
        let mut placed = false;
        for run in &line.runs {
            let FontId(id) = run.face.id();
            self.push(Op::SetFont {
                font: PdfFontHandle::External(FontId(id)),
                size: hundredth(line.size),
            });
            if !placed {
                let pos = self.point(line.x, line.baseline);
                self.push(Op::SetTextCursor { pos });
                placed = true;
            }
            self.push(Op::ShowText {
                items: vec![TextItem::Text(run.text.clone())],
            });
        }
        self.push(Op::EndTextSection);
    }

    fn path(&mut self, shape: &Shape) {
        if let Some(colour) = shape.fill {
            self.fill(colour);
        }
        if let Some(stroke) = shape.stroke {
            self.stroke(stroke);
        }
        let points = self.line_points(&shape.nodes);
        let mode = match (shape.fill, shape.stroke) {
            (Some(_), Some(_)) => PaintMode::FillStroke,
            (Some(_), None) => PaintMode::Fill,
            (None, Some(_)) => PaintMode::Stroke,
            (None, None) => return,
        };
        self.push(match shape.ends {
            Ends::Open => Op::DrawLine {
                line: OpenPath {
                    points,
                    is_closed: false,
                },
            },
            Ends::Closed => Op::DrawPolygon {
                polygon: Polygon {
                    rings: vec![PolygonRing { points }],
                    mode,
                    winding_order: WindingOrder::NonZero,
                },
            },
        });
    }

    // The same picture on several pages is one object of the file.
    fn picture(&mut self, placed: &Placed) {
        let form = match form(&placed.drawing) {
            Ok(form) => form,
            Err(error) => {
                self.wrong = Some(error);
                return;
            }
        };
        let height = f64::from(placed.drawing.height) / 1000.0;
        let corner = self.point(placed.x, placed.y + height);
        self.push(Op::UseXobject {
            id: XObjectId(form.name.clone()),
            transform: XObjectTransform {
                translate_x: Some(corner.x),
                translate_y: Some(corner.y),
                no_auto_scale: true,
                ..XObjectTransform::default()
            },
        });
        self.pictures.insert(form.name.clone(), form);
    }
}

fn rgb(Colour { red, green, blue }: Colour) -> Color {
    let part = |byte: u8| single((f64::from(byte) / 255.0 * 1000.0).round() / 1000.0);
    Color::Rgb(Rgb {
        r: part(red),
        g: part(green),
        b: part(blue),
        icc_profile: None,
    })
}

/// Millimetres as points, to a hundredth.
fn points(mm: f64) -> Pt {
    hundredth(mm * POINTS_A_MM)
}

fn hundredth(points: f64) -> Pt {
    Pt(single((points * 100.0).round() / 100.0))
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "the file holds numbers to a hundredth"
)]
fn single(number: f64) -> f32 {
    number as f32
}
