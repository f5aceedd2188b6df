//! The shapes of a picture: thousandths of a millimetre from the top left, y down.
//!
//! Whole numbers, so that equal poses give equal bytes everywhere, and a mirrored picture is exact.
//! Must not know bodies. Next: renderers put them on paper or screen.

/// What a shape stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// Bed, chair, step and the like.
    Prop,
    /// The other limbs.
    Limb,
    /// The operated limb.
    Operated,
    /// Trunk and clothes.
    Trunk,
    /// Head and face.
    Head,
    /// Arrows.
    Arrow,
    /// The mark of an aim.
    Aim,
    /// The mark of a limit.
    Limit,
    /// The clock of a hold.
    Hold,
}

/// The five inks; all but black and white may vanish without loss.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Ink {
    /// Outlines.
    Black,
    /// Skin and clothes.
    White,
    /// Under the pattern of the operated limb.
    Operated,
    /// Hair.
    Hair,
    /// Surfaces of things.
    Surface,
}

impl Ink {
    /// Returns its grey, 0 black to 255 white.
    pub const fn grey(self) -> u8 {
        match self {
            Self::Black => 0x11,
            Self::White => 0xFF,
            Self::Operated => 0xD9,
            Self::Hair => 0x77,
            Self::Surface => 0xE2,
        }
    }
}

/// A point: right, down.
pub type Spot = (i32, i32);

/// How a shape is painted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Paint {
    /// Filled where any ring goes round.
    Fill(Ink),
    /// Filled where any ring goes round, with a black edge round all of them together.
    Edged {
        /// Ink inside.
        ink: Ink,
        /// Width of the edge; it lies outside.
        edge: i32,
    },
    /// Drawn along with round ends: width, and dash and gap when broken.
    Line {
        /// Ink.
        ink: Ink,
        /// Width.
        width: i32,
        /// Length of a dash and of a gap.
        dash: Option<(i32, i32)>,
    },
}

/// A shape: one or more rings of points.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Shape {
    /// What it stands for.
    pub role: Role,
    /// Its rings; a line has open ones.
    pub rings: Vec<Vec<Spot>>,
    /// How it is painted.
    pub paint: Paint,
}

/// A number on a picture; never mirrored.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Label {
    /// What it stands for.
    pub role: Role,
    /// Middle of its baseline.
    pub at: Spot,
    /// Type size.
    pub size: i32,
    /// Ink.
    pub ink: Ink,
    /// The number.
    pub text: String,
}

/// One picture.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Drawing {
    /// Width.
    pub width: i32,
    /// Height.
    pub height: i32,
    /// Shapes, back to front.
    pub shapes: Vec<Shape>,
    /// Numbers, on top.
    pub labels: Vec<Label>,
}

impl Drawing {
    /// Returns the picture as a mirror shows it.
    #[must_use]
    pub fn mirrored(mut self) -> Self {
        let width = self.width;
        for spot in self
            .shapes
            .iter_mut()
            .flat_map(|shape| &mut shape.rings)
            .flatten()
        {
            spot.0 = width - spot.0;
        }
        for label in &mut self.labels {
            label.at.0 = width - label.at.0;
        }
        self
    }

    /// Returns the picture as text, one shape a line.
    pub fn listing(&self) -> String {
        let mut out = format!("{} x {}\n", self.width, self.height);
        for shape in &self.shapes {
            out.push_str(&format!("{:?} {:?}", shape.role, shape.paint));
            for ring in &shape.rings {
                out.push_str(" :");
                for (x, y) in ring {
                    out.push_str(&format!(" {x},{y}"));
                }
            }
            out.push('\n');
        }
        for label in &self.labels {
            let Label { role, at, size, .. } = label;
            out.push_str(&format!("{role:?} {at:?} {size} {}\n", label.text));
        }
        out
    }
}
