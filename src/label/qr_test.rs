//! Tests of QR codes: against the qrcode crate's own modules, and by a reader that shares no code with it.

use proptest::prelude::*;
use qrcode::{Color, EcLevel, QrCode};

use super::qr::{Level, Matrix, QUIET_MODULES, TooLong};

/// The modules of our code and those of the crate's own, row by row.
fn both(text: &str, level: Level) -> (Vec<bool>, Vec<bool>) {
    let ours = Matrix::at_level(text, level).unwrap();
    let side = 0..ours.width();
    let places = side.clone().flat_map(|y| side.clone().map(move |x| (x, y)));
    let ours = places.map(|(x, y)| ours.is_dark(x, y)).collect();
    let level = match level {
        Level::L => EcLevel::L,
        Level::M => EcLevel::M,
        Level::Q => EcLevel::Q,
        Level::H => EcLevel::H,
    };
    let code = QrCode::with_error_correction_level(text, level).unwrap();
    let dark = |color| color == Color::Dark;
    (ours, code.into_colors().into_iter().map(dark).collect())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]
    #[test]
    fn the_modules_are_those_of_the_crates_own_choice(
        text in prop_oneof![
            "[A-Z0-9:/.-]{1,200}",
            "[ -~]{1,120}",
            "\\PC{1,60}",
            "[0-9]{1,300}",
            "P26[0-9]{3}-[0-9]{2}-[A-Z0-9]/[0-9]{4} [a-z]{3,40}",
        ],
        level in prop::sample::select(Level::ALL.to_vec()),
    ) {
        let (ours, crates_own) = both(&text, level);
        prop_assert_eq!(ours, crates_own);
    }
}

#[test]
fn every_version_up_to_the_slow_way_equals_the_crates_own() {
    for length in (1..420).step_by(7) {
        let text: String = (0..length)
            .map(|i| char::from(b'a' + (i * 7 % 26) as u8))
            .collect();
        let (ours, crates_own) = both(&text, Level::M);
        assert_eq!(ours, crates_own, "{length}");
    }
}

#[test]
fn a_reader_that_shares_no_code_reads_them_back() {
    for length in [1, 17, 60, 95, 200] {
        let text: String = "P26115-07-S/0012 Worm-worked "
            .chars()
            .cycle()
            .take(length)
            .collect();
        let matrix = Matrix::of(&text).unwrap();
        // Eight dots to a module and four modules around it.
        let side = usize::from(matrix.width() + 2 * QUIET_MODULES) * 8;
        let dark = |at: usize| {
            let module = u16::try_from(at / 8).unwrap().checked_sub(QUIET_MODULES)?;
            (module < matrix.width()).then_some(module)
        };
        let mut image = rqrr::PreparedImage::prepare_from_greyscale(side, side, |x, y| {
            match (dark(x), dark(y)) {
                (Some(x), Some(y)) if matrix.is_dark(x, y) => 0,
                (Some(_), Some(_)) | (None, _) | (_, None) => 255,
            }
        });
        let grids = image.detect_grids();
        assert_eq!(grids.len(), 1);
        assert_eq!(grids[0].decode().unwrap().1, text);
    }
}

#[test]
fn an_address_in_capitals_makes_a_smaller_code() {
    let capitals = Matrix::of("HTTPS://LOTS.MARLHYTHE.EXAMPLE/P26115-07-S?0012").unwrap();
    let small = Matrix::of("https://lots.marlhythe.example/p26115-07-s?0012").unwrap();
    assert!(capitals.width() < small.width());
    // reference/qr_capacity.csv: version 3 at level M holds 61 alphanumeric characters.
    assert_eq!(capitals.width(), 29);
}

#[test]
fn a_text_that_no_code_holds_is_refused() {
    assert_eq!(
        Matrix::of(&"x".repeat(2400)),
        Err(TooLong {
            level: Level::M,
            bytes: 2400
        })
    );
}

#[test]
fn a_matrix_reads_back_its_finder() {
    let matrix = Matrix::of("A07").unwrap();
    let row: String = (0..8)
        .map(|x| if matrix.is_dark(x, 1) { '#' } else { '.' })
        .collect();
    assert_eq!(row, "#.....#.");
    assert_eq!(
        matrix.bytes().len(),
        matrix.row_bytes() * usize::from(matrix.width())
    );
}
