//! What must hold of the file: equal bytes, fonts inside, words that come out again, said errors.

use super::super::face::Face;
use super::sample::{design, handout};
use super::*;

#[test]
fn equal_documents_give_equal_bytes() {
    for (name, document) in documents() {
        let first = pdf(&document, &design()).unwrap();
        let other = document.clone();
        let second = std::thread::spawn(move || pdf(&other, &design()).unwrap())
            .join()
            .unwrap();
        assert!(first == second, "{name}");
    }
    let one = pdf(&program(handout(1, Paper::A4)), &design()).unwrap();
    let two = pdf(&program(handout(2, Paper::A4)), &design()).unwrap();
    let id = |bytes: &[u8]| {
        format!(
            "{:?}",
            lopdf::Document::load_mem(bytes)
                .unwrap()
                .trailer
                .get(b"ID")
                .unwrap()
        )
    };
    assert_ne!(id(&one), id(&two));
}

#[test]
fn the_file_embeds_its_fonts_and_its_words_come_out_again() {
    for (name, document) in documents() {
        let file = lopdf::Document::load_mem(&pdf(&document, &design()).unwrap()).unwrap();
        let recording = recorded(&document);
        assert_eq!(file.get_pages().len(), recording.pages.len());
        for (number, id) in file.get_pages() {
            let fonts = file.get_page_fonts(id).unwrap();
            assert_eq!(fonts.len(), 2, "{name}");
            for font in fonts.values() {
                assert!(font.has(b"ToUnicode"), "{name}");
                let below = font.get(b"DescendantFonts").unwrap().as_array().unwrap();
                let descriptor = below[0].as_dict().unwrap().get(b"FontDescriptor").unwrap();
                let descriptor = file
                    .get_dictionary(descriptor.as_reference().unwrap())
                    .unwrap();
                let program = descriptor
                    .get(b"FontFile2")
                    .unwrap()
                    .as_reference()
                    .unwrap();
                let program = file.get_object(program).unwrap().as_stream().unwrap();
                let bytes = program.decompressed_content().unwrap();
                assert!(
                    bytes == Face::Regular.bytes() || bytes == Face::Bold.bytes(),
                    "{name}"
                );
            }
            let out: String = file
                .extract_text(&[number])
                .unwrap()
                .split_whitespace()
                .collect();
            let page = &recording.pages[usize::try_from(number).unwrap() - 1];
            for text in &page.texts {
                let words: String = text.text.split_whitespace().collect();
                assert!(out.contains(&words), "{name} page {number}: {words}");
            }
        }
    }
}

#[test]
fn what_cannot_be_printed_is_said() {
    let mut missing = handout(1, Paper::A4);
    missing.blocks[0].feel = "Feel → here".to_owned();
    let error = pdf(&program(missing), &design()).unwrap_err();
    assert!(
        matches!(
            error,
            RenderError::MissingGlyph {
                character: '→', ..
            }
        ),
        "{error}"
    );

    let mut wide = handout(1, Paper::A4);
    wide.plan.rows[0].name = "Quadricepsstrengthening".to_owned();
    let error = pdf(&program(wide), &design()).unwrap_err();
    assert!(matches!(error, RenderError::WordTooWide { .. }), "{error}");

    let mut tall = handout(1, Paper::A4);
    tall.blocks[0].steps = vec!["Push the back of your knee down.".to_owned(); 40];
    let error = pdf(&program(tall), &design()).unwrap_err();
    assert_eq!(
        error,
        RenderError::TooTall {
            what: "Squeeze your thigh".to_owned()
        }
    );

    let mut undated = handout(1, Paper::A4);
    undated.frame.date = Some("today".to_owned());
    let error = pdf(&program(undated), &design()).unwrap_err();
    assert_eq!(error, RenderError::Date("today".to_owned()));
}

#[test]
fn an_unknown_number_of_the_page_is_refused() {
    let written = include_str!("../../../../templates/page.toml");
    let unknown = written.replace("[plan]", "[plan]\nnmae = 1");
    assert!(toml::from_str::<PageDesign>(&unknown).is_err());
    let colour = written.replace("#111111", "#11111");
    assert!(toml::from_str::<PageDesign>(&colour).is_err());
}
