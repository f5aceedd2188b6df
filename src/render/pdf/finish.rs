//! Puts the file together: fonts, properties and identity, so that equal words give equal bytes.
//!
//! Must not know what the pages say.

use flate2::Compression;
use lopdf::{Dictionary, Document, Object, ObjectId, StringFormat};
use printpdf::{PdfDocument, PdfFont, PdfPage, PdfSaveOptions, XObjectId};
use sha2::{Digest, Sha256};

use crate::handout::model::Frame;

use super::error::RenderError;
use super::face::{Face, Fonts, deflate};
use super::picture::Forms;

/// What the properties of the file name as its maker.
const MAKER: &str = "banister";

/// Makes the bytes of the file.
pub fn file(
    fonts: &Fonts,
    frame: &Frame,
    pages: Vec<PdfPage>,
    pictures: Forms,
) -> Result<Vec<u8>, RenderError> {
    let date = frame.date.as_deref().map(date).transpose()?;
    let mut document = PdfDocument::new(&frame.document_title);
    for face in [Face::Regular, Face::Bold] {
        let font = PdfFont::new(fonts.of(face).parsed.clone());
        document.resources.fonts.map.insert(face.id(), font);
    }
    for (name, form) in pictures {
        document
            .resources
            .xobjects
            .map
            .insert(XObjectId(name), form.object());
    }
    document.with_pages(pages);
    let options = PdfSaveOptions {
        subset_fonts: false,
        optimize: false,
        ..PdfSaveOptions::default()
    };
    let mut warnings = Vec::new();
    let mut file = document.to_lopdf_document(&options, &mut warnings);
    // Tags, links and the outline need no more than this.
    "1.7".clone_into(&mut file.version);
    embed(&mut file, fonts)?;
    catalog(&mut file, &frame.language)?;
    information(&mut file, frame, date.as_deref())?;
    pages_plain(&mut file)?;
    identity(&mut file, frame);
    pack(&mut file)?;
    let mut bytes = Vec::with_capacity(64 * 1024);
    file.save_to(&mut bytes)
        .map_err(|error| RenderError::Assemble(error.to_string()))?;
    Ok(bytes)
}

#[expect(clippy::needless_pass_by_value, reason = "given to map_err")]
fn assembling(error: lopdf::Error) -> RenderError {
    RenderError::Assemble(error.to_string())
}

/// Puts the deflated font programs where the writer left their place.
fn embed(file: &mut Document, fonts: &Fonts) -> Result<(), RenderError> {
    let mut places: Vec<(ObjectId, Face)> = Vec::new();
    for object in file.objects.values() {
        let Ok(descriptor) = object.as_dict() else {
            continue;
        };
        let Ok(place) = descriptor.get(b"FontFile2").and_then(Object::as_reference) else {
            continue;
        };
        let name = descriptor
            .get(b"FontName")
            .and_then(Object::as_name)
            .map_err(assembling)?;
        let face = if name.ends_with(b"Bold") {
            Face::Bold
        } else {
            Face::Regular
        };
        places.push((place, face));
    }
    for (place, face) in places {
        let font = fonts.of(face);
        let length = i64::try_from(face.bytes().len()).unwrap_or(i64::MAX);
        let stream = file
            .get_object_mut(place)
            .and_then(Object::as_stream_mut)
            .map_err(assembling)?;
        stream.set_content(font.packed.clone());
        stream.dict.set("Length1", length);
        stream
            .dict
            .set("Filter", Object::Name(b"FlateDecode".to_vec()));
    }
    Ok(())
}

fn catalog(file: &mut Document, language: &str) -> Result<(), RenderError> {
    let mut viewer = Dictionary::new();
    viewer.set("DisplayDocTitle", true);
    let catalog = file.catalog_mut().map_err(assembling)?;
    catalog.set("Lang", text(language));
    catalog.set("ViewerPreferences", viewer);
    Ok(())
}

fn information(file: &mut Document, frame: &Frame, date: Option<&str>) -> Result<(), RenderError> {
    let id = file
        .trailer
        .get(b"Info")
        .and_then(Object::as_reference)
        .map_err(assembling)?;
    let mut information = Dictionary::new();
    information.set("Title", text(&frame.document_title));
    information.set("Creator", text(MAKER));
    information.set("Producer", text(MAKER));
    if let Some(date) = date {
        information.set("CreationDate", text(date));
        information.set("ModDate", text(date));
    }
    file.objects.insert(id, Object::Dictionary(information));
    Ok(())
}

/// A text of the file: plain when it is ASCII, else UTF-16 with its mark.
fn text(words: &str) -> Object {
    if words.is_ascii() {
        return Object::String(words.as_bytes().to_vec(), StringFormat::Literal);
    }
    let units = std::iter::once(0xFEFF).chain(words.encode_utf16());
    let bytes = units.flat_map(u16::to_be_bytes).collect();
    Object::String(bytes, StringFormat::Hexadecimal)
}

/// Drops the empty lists of annotations.
fn pages_plain(file: &mut Document) -> Result<(), RenderError> {
    let pages: Vec<ObjectId> = file.get_pages().into_values().collect();
    for id in pages {
        let page = file
            .get_object_mut(id)
            .and_then(Object::as_dict_mut)
            .map_err(assembling)?;
        page.remove(b"Annots");
    }
    Ok(())
}

/// Names the file by what is in it, so that the same words have the same name.
fn identity(file: &mut Document, frame: &Frame) {
    let mut hash = Sha256::new();
    let pages: Vec<ObjectId> = file.get_pages().into_values().collect();
    for id in pages {
        hash.update(file.get_page_content(id));
    }
    let date = frame.date.as_deref().unwrap_or_default();
    for part in [&frame.document_title, &frame.language, date] {
        hash.update(part);
        hash.update([0]);
    }
    let name: Vec<u8> = hash.finalize().into_iter().take(16).collect();
    let name = Object::String(name, StringFormat::Hexadecimal);
    file.trailer
        .set("ID", Object::Array(vec![name.clone(), name]));
}

/// Deflates what is not yet deflated.
fn pack(file: &mut Document) -> Result<(), RenderError> {
    for object in file.objects.values_mut() {
        if let Object::Stream(stream) = object
            && !stream.dict.has(b"Filter")
        {
            let packed = deflate(&stream.content, Compression::new(6))?;
            stream
                .dict
                .set("Filter", Object::Name(b"FlateDecode".to_vec()));
            stream.set_content(packed);
        }
    }
    Ok(())
}

/// The date of the properties, at midnight, from `YYYY-MM-DD`.
fn date(written: &str) -> Result<String, RenderError> {
    let parts: Vec<&str> = written.split('-').collect();
    match parts.as_slice() {
        [year, month, day]
            if [(year, 4), (month, 2), (day, 2)]
                .iter()
                .all(|(part, length)| {
                    part.len() == *length && part.bytes().all(|byte| byte.is_ascii_digit())
                }) =>
        {
            Ok(format!("D:{year}{month}{day}000000Z"))
        }
        _ => Err(RenderError::Date(written.to_owned())),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panicking")]
mod tests {
    use super::*;

    #[test]
    fn only_a_date_is_a_date() {
        assert_eq!(date("2026-11-24").unwrap(), "D:20261124000000Z");
        for wrong in ["24 November 2026", "2026-11-2", "", "2026-11-24-1"] {
            assert_eq!(date(wrong), Err(RenderError::Date(wrong.to_owned())));
        }
    }
}
