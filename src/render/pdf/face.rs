//! The two faces of the page: widths for measuring, bytes for embedding.
//!
//! Read once and shared. Must not know of lines or pages. Next: `wrap`.

use std::io::Write;
use std::sync::LazyLock;

use flate2::Compression;
use flate2::write::ZlibEncoder;
use printpdf::{FontId, ParsedFont};

use super::error::RenderError;

/// One millimetre in points.
pub const POINTS_A_MM: f64 = 72.0 / 25.4;

/// Cap height as a part of the type size.
pub const CAP: f64 = 0.668;

/// Room above the baseline that letters take, accents included, as a part of the type size.
pub const RISE: f64 = 0.80;

/// Room below the baseline that letters take, as a part of the type size.
pub const DROP: f64 = 0.22;

/// Weight of the type.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Face {
    /// For reading.
    Regular,
    /// For leads, numbers and headings.
    Bold,
}

impl Face {
    /// Returns the name of the face among the resources of the file.
    pub fn id(self) -> FontId {
        FontId(
            match self {
                Self::Regular => "R",
                Self::Bold => "B",
            }
            .to_owned(),
        )
    }

    const fn base_name(self) -> &'static str {
        match self {
            Self::Regular => "HSREGU+HandoutSans-Regular",
            Self::Bold => "HSBOLD+HandoutSans-Bold",
        }
    }

    /// Returns the font program.
    pub const fn bytes(self) -> &'static [u8] {
        match self {
            Self::Regular => include_bytes!("../../../templates/fonts/HandoutSans-Regular.ttf"),
            Self::Bold => include_bytes!("../../../templates/fonts/HandoutSans-Bold.ttf"),
        }
    }
}

/// One face, read.
#[derive(Debug)]
pub struct Font {
    /// The face as the writer wants it.
    pub parsed: ParsedFont,
    /// The font program, deflated.
    pub packed: Vec<u8>,
    /// Advance of each character, by code point, in thousandths of the type size.
    advances: Vec<Option<u16>>,
}

impl Font {
    fn read(face: Face) -> Result<Self, RenderError> {
        let mut warnings = Vec::new();
        let mut parsed = ParsedFont::from_bytes(face.bytes(), 0, &mut warnings)
            .ok_or_else(|| RenderError::Font(face.base_name().to_owned()))?;
        parsed.font_name = Some(face.base_name().to_owned());
        if parsed.units_per_em != 1000 {
            return Err(RenderError::Font(format!("{}: units", face.base_name())));
        }
        let mut advances = Vec::new();
        for (&code, &glyph) in &parsed.codepoint_to_glyph {
            let at = usize::try_from(code).map_err(|_| RenderError::Font(code.to_string()))?;
            if advances.len() <= at {
                advances.resize(at + 1, None);
            }
            advances[at] = parsed.get_glyph_width(glyph);
        }
        let packed = deflate(face.bytes(), Compression::best())?;
        // The writer copies the program several times a document; `finish` puts it in place.
        parsed.original_bytes.truncate(4);
        Ok(Self {
            parsed,
            packed,
            advances,
        })
    }

    /// Returns the advance of a character in thousandths of the type size, or none without a glyph.
    pub fn advance(&self, character: char) -> Option<u16> {
        self.advances
            .get(usize::try_from(u32::from(character)).ok()?)
            .copied()
            .flatten()
    }
}

/// Both faces.
#[derive(Debug)]
pub struct Fonts {
    regular: Font,
    bold: Font,
}

impl Fonts {
    /// Returns both faces, read at the first call.
    pub fn get() -> Result<&'static Self, RenderError> {
        static FONTS: LazyLock<Result<Fonts, RenderError>> = LazyLock::new(|| {
            Ok(Fonts {
                regular: Font::read(Face::Regular)?,
                bold: Font::read(Face::Bold)?,
            })
        });
        FONTS.as_ref().map_err(Clone::clone)
    }

    /// Returns one face.
    pub const fn of(&self, face: Face) -> &Font {
        match face {
            Face::Regular => &self.regular,
            Face::Bold => &self.bold,
        }
    }

    /// Measures a text on one line, in millimetres, at a type size in points.
    pub fn width(&self, face: Face, text: &str, size: f64) -> Result<f64, RenderError> {
        let font = self.of(face);
        let mut units: u32 = 0;
        for character in text.chars() {
            let advance = font
                .advance(character)
                .ok_or_else(|| RenderError::MissingGlyph {
                    character,
                    text: text.to_owned(),
                })?;
            units += u32::from(advance);
        }
        Ok(f64::from(units) / 1000.0 * size / POINTS_A_MM)
    }
}

/// Deflates bytes for a stream of the file.
pub fn deflate(bytes: &[u8], level: Compression) -> Result<Vec<u8>, RenderError> {
    let mut encoder = ZlibEncoder::new(Vec::with_capacity(bytes.len() / 2), level);
    encoder
        .write_all(bytes)
        .and_then(|()| encoder.finish())
        .map_err(|error| RenderError::Assemble(error.to_string()))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests {
    use super::*;

    #[test]
    fn the_zero_is_as_wide_as_in_the_original() {
        let fonts = Fonts::get().unwrap();
        assert_eq!(fonts.of(Face::Regular).advance('0'), Some(648));
        assert_eq!(fonts.of(Face::Bold).advance('0'), Some(659));
    }

    #[test]
    fn what_the_words_need_has_a_glyph() {
        let fonts = Fonts::get().unwrap();
        for character in "•–—‘’“”…≤≥½¼¾×°éüñß£€\u{a0}".chars() {
            for face in [Face::Regular, Face::Bold] {
                assert!(fonts.of(face).advance(character).is_some(), "{character}");
            }
        }
    }

    #[test]
    fn a_character_without_a_glyph_is_an_error() {
        let error = Fonts::get()
            .unwrap()
            .width(Face::Regular, "tick ✓", 15.0)
            .unwrap_err();
        assert_eq!(
            error,
            RenderError::MissingGlyph {
                character: '✓',
                text: "tick ✓".to_owned()
            }
        );
    }
}
