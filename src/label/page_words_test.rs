//! Tests of the words of PDF artwork, set in the ways in which programs set type.

use lopdf::{Stream, dictionary};

use super::*;

/// Reads a page with such a content, in a face with the usual letters.
fn words_of(content: &str) -> PageWords {
    let font = dictionary! {
        "Type" => "Font", "Subtype" => "Type1", "BaseFont" => "Courier", "Encoding" => "WinAnsiEncoding",
    };
    words_in(content, font, None)
}

fn words_in(content: &str, font: Dictionary, beside: Option<Stream>) -> PageWords {
    let mut document = Document::with_version("1.5");
    let font = document.add_object(font);
    let content = document.add_object(Stream::new(dictionary! {}, content.as_bytes().to_vec()));
    let list = document.new_object_id();
    let page = document.add_object(dictionary! {
        "Type" => "Page", "Parent" => list, "Contents" => content,
        "Resources" => dictionary! { "Font" => dictionary! { "F" => font } },
    });
    let pages = dictionary! { "Type" => "Pages", "Kids" => vec![page.into()], "Count" => 1 };
    document.objects.insert(list, pages.into());
    if let Some(stream) = beside {
        document.add_object(stream);
    }
    read(&document, page)
}

fn text_of(content: &str) -> String {
    let words = words_of(content);
    assert!(!words.unread, "{words:?}");
    words.text.unwrap_or_default()
}

#[test]
fn words_that_are_set_plainly_are_read_once() {
    assert_eq!(
        text_of("BT /F 9 Tf 10 30 Td (Quay mix,) Tj ( peat-free) Tj ET"),
        "Quay mix, peat-free"
    );
}

#[test]
fn a_new_line_is_as_good_as_a_space() {
    for lines in [
        "BT /F 9 Tf 10 30 Td (free from) Tj 0 -10 Td (any peat) Tj ET",
        "BT /F 9 Tf 10 TL 10 30 Td (free from) Tj T* (any peat) Tj ET",
        "BT /F 9 Tf 10 TL 10 30 Td (free from) Tj (any peat) ' ET",
        "BT /F 9 Tf 1 0 0 1 10 30 Tm (free from) Tj 1 0 0 1 10 20 Tm (any peat) Tj ET",
        "q 1 0 0 1 0 30 cm BT /F 9 Tf (free from) Tj ET Q q 1 0 0 1 0 20 cm BT /F 9 Tf (any peat) Tj ET Q",
        // A page that is written upwards.
        "BT /F 9 Tf 0 1 -1 0 30 10 Tm (free from) Tj 0 1 -1 0 40 10 Tm (any peat) Tj ET",
    ] {
        assert_eq!(text_of(lines), "free from any peat", "{lines}");
    }
}

#[test]
fn letters_that_are_set_one_by_one_or_spread_are_read_apart_and_joined() {
    for letters in [
        "BT /F 9 Tf 10 30 Td (s) Tj 6 0 Td (a) Tj 6 0 Td (fe) Tj ET",
        "BT /F 9 Tf 10 30 Td (s) Tj ET BT /F 9 Tf 16 30 Td (a) Tj ET BT /F 9 Tf 22 30.2 Td (fe) Tj ET",
        "BT /F 9 Tf 10 30 Td [(s) -250 (a) -250 (fe)] TJ ET",
    ] {
        assert_eq!(text_of(letters), "s a fe • safe", "{letters}");
    }
    let kerned = "BT /F 9 Tf 10 30 Td [(s) -20 (a) 30 (fe)] TJ ET";
    assert_eq!(text_of(kerned), "safe");
    let spaces_of_air = "BT /F 9 Tf 10 30 Td [(no) -278 (peat)] TJ ET";
    assert_eq!(text_of(spaces_of_air), "no peat • nopeat");
}

#[test]
fn a_word_that_was_parted_at_the_end_of_a_line_is_whole_again() {
    let lines = "BT /F 9 Tf 10 30 Td (certi-) Tj 0 -10 Td (fied) Tj ET";
    assert_eq!(text_of(lines), "certi- fied • certified");
}

#[test]
fn letters_that_do_not_say_what_they_are_are_not_passed_over() {
    let shown = "BT /F 9 Tf 10 30 Td <0102> Tj ET";
    let of_outlines =
        dictionary! { "Type" => "Font", "Subtype" => "Type0", "Encoding" => "Identity-H" };
    let own_names = dictionary! {
        "Type" => "Font", "Subtype" => "Type1", "Encoding" => dictionary! {
            "Type" => "Encoding", "Differences" => vec![1.into(), "one".into(), "nosuchglyph".into()],
        },
    };
    let symbolic = dictionary! {
        "Type" => "Font", "Subtype" => "TrueType", "FontDescriptor" => dictionary! { "Flags" => 4 },
    };
    for font in [of_outlines, own_names, symbolic] {
        let said = format!("{font:?}");
        assert!(words_in(shown, font, None).unread, "{said}");
    }
}

#[test]
fn a_table_of_what_codes_stand_for_goes_before_the_fonts_own_names() {
    let table = "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n/CIDSystemInfo\n<< /Registry (Adobe)\n\
                 /Ordering (UCS)\n/Supplement 0\n>> def\n/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n\
                 1 begincodespacerange\n<00> <ff>\nendcodespacerange\n2 beginbfchar\n<01> <0073>\n<02> <00610066>\n\
                 endbfchar\nendcmap\nCMapName currentdict /CMap defineresource pop\nend\nend";
    let mut document = Document::with_version("1.5");
    let table = document.add_object(Stream::new(dictionary! {}, table.as_bytes().to_vec()));
    let font = dictionary! {
        "Type" => "Font", "Subtype" => "Type3", "ToUnicode" => table, "Encoding" => dictionary! {
            "Type" => "Encoding", "Differences" => vec![1.into(), "g1".into(), "g2".into()],
        },
    };
    let resources = dictionary! { "Font" => dictionary! { "F" => font } };
    let fonts = fonts_of(&document, Some(&resources));
    let letters = letters_of(&document, &fonts[b"F".as_slice()]).unwrap();
    assert_eq!(letters.bytes_to_string(&[1, 2]).unwrap(), "saf");
}

#[test]
fn pictures_on_the_page_may_hold_words() {
    let text = "BT /F 9 Tf 10 30 Td (Quay mix) Tj ET";
    let font =
        dictionary! { "Type" => "Font", "Subtype" => "Type1", "Encoding" => "WinAnsiEncoding" };
    let image = Stream::new(
        dictionary! { "Type" => "XObject", "Subtype" => "Image" },
        Vec::new(),
    );
    let with = words_in(text, font.clone(), Some(image));
    assert_eq!(with.text.as_deref(), Some("Quay mix"));
    assert!(with.unread);
    assert!(!words_in(text, font, None).unread);
    let outlines = words_of("0 0 m 10 10 l S");
    assert_eq!((outlines.text, outlines.unread), (None, true));
}

#[test]
fn a_page_that_cannot_be_read_is_not_passed_over() {
    assert!(words_of("BT /F 9 Tf (no end").unread);
}
