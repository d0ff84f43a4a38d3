//! Reads what people type, say or scan in place of a code, and finds the nearest codes to a wrong one.
//!
//! It accepts only what the check character confirms; it never picks one of several.

use super::bin_code::{BinCode, Mark, is_place_part};
use super::code::{CodeError, LotCode, LotLetter, PackCode, Serial};
use super::naming::LotName;

/// What a text names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Named {
    /// A lot, by its code.
    Lot(LotCode),
    /// One pack.
    Pack(PackCode),
    /// A lot or a pack of it, by the grower's mark.
    Mark(Mark, Option<Serial>),
    /// A bin.
    Bin(BinCode),
    /// A rack.
    Rack(String),
}

impl LotCode {
    /// Reads a code as people type it: any case, without hyphens, with spaces, `O` for `0`, `I` for `1`.
    pub fn read(text: &str) -> Result<Self, CodeError> {
        let typed = text.trim();
        if let Ok(code) = typed.parse() {
            return Ok(code);
        }
        let shape = || CodeError::Shape {
            typed: typed.to_owned(),
        };
        let bare: Vec<char> = typed
            .chars()
            .filter(|c| !matches!(c, '-' | ' '))
            .map(|c| c.to_ascii_uppercase())
            .collect();
        // Letter, two and three digits, a running number of one digit or more, check character.
        if bare.len() < 8 || bare.len() > 14 {
            return Err(shape());
        }
        let letter = LotLetter::of(bare[0]).ok_or_else(shape)?;
        let digits: String = bare[1..bare.len() - 1]
            .iter()
            .map(|c| as_digit(*c))
            .collect();
        if !digits.bytes().all(|b| b.is_ascii_digit()) {
            return Err(shape());
        }
        let check = as_digit(bare[bare.len() - 1]);
        let slip = || CodeError::Check {
            typed: typed.to_owned(),
        };
        let part =
            |range: std::ops::Range<usize>| digits[range].parse::<u32>().map_err(|_| shape());
        let year = u8::try_from(part(0..2)?).map_err(|_| slip())?;
        let day = u16::try_from(part(2..5)?).map_err(|_| slip())?;
        let code = Self::from_parts(letter, year, day, part(5..digits.len())?).ok_or_else(slip)?;
        // A nought may be left out of a number, never put in: the check character is of the number as it is written,
        // and would confirm by chance what it was not made for.
        let spelled = bare.len() <= code.body().len() + 1;
        if spelled && code.check() == check {
            Ok(code)
        } else {
            Err(slip())
        }
    }
}

/// Returns the digit that a letter is easily taken for.
fn as_digit(c: char) -> char {
    match c {
        'O' => '0',
        'I' => '1',
        other => other,
    }
}

impl Serial {
    /// Reads a serial: digits, with `O` and `I` taken as digits.
    pub fn read(text: &str) -> Result<Self, CodeError> {
        let digits: String = text
            .trim()
            .chars()
            .map(|c| as_digit(c.to_ascii_uppercase()))
            .collect();
        let number = digits
            .parse()
            .ok()
            .filter(|_| digits.bytes().all(|b| b.is_ascii_digit()));
        number.and_then(Self::new).ok_or_else(|| CodeError::Serial {
            typed: text.to_owned(),
        })
    }
}

impl LotName {
    /// Reads a lot's code or mark.
    pub fn read(text: &str) -> Result<Self, CodeError> {
        let typed = text.trim();
        match LotCode::read(typed) {
            Ok(code) => Ok(Self::Code(code)),
            Err(slip) => match typed.parse() {
                // `p26115-07-x` could be a mark by its letters, but is plainly a code with a slip in it.
                Ok(mark) if !matches!(slip, CodeError::Check { .. }) => Ok(Self::Mark(mark)),
                Ok(_) => Err(slip),
                Err(_) if typed.chars().any(|c| c.is_ascii_uppercase()) => Err(slip),
                Err(mark) => Err(mark),
            },
        }
    }
}

impl Named {
    /// Reads a code, a mark, a bin or the text of a QR code in any of its forms.
    ///
    /// `bases` are the addresses that the farm's codes carry or have carried.
    pub fn read(text: &str, bases: &[String]) -> Result<Self, CodeError> {
        let typed = text.trim();
        if let Some(rest) = after_base(typed, bases) {
            return from_path(rest, typed);
        }
        // A farm without an address prints the path alone.
        if let Some(named) = from_shed_path(typed) {
            return named;
        }
        let plain = from_plain(typed);
        // The text form of a QR code has the code first, then a space and words.
        let first = typed.split_whitespace().next().unwrap_or_default();
        plain.or_else(|error| match from_plain(first) {
            Ok(named @ (Self::Lot(_) | Self::Pack(_))) => Ok(named),
            Ok(_) | Err(_) => Err(error),
        })
    }
}

/// Returns what follows one of the farm's addresses, whatever the case it was printed in: of an address and
/// another that begins with it, the longer one.
fn after_base<'a>(typed: &'a str, bases: &[String]) -> Option<&'a str> {
    let rests = bases.iter().filter_map(|base| {
        let base = base.trim_end_matches('/');
        let head = typed.get(..base.len())?;
        head.eq_ignore_ascii_case(base)
            .then(|| typed[base.len()..].strip_prefix('/'))?
    });
    rests.min_by_key(|rest| rest.len())
}

fn from_shed_path(typed: &str) -> Option<Result<Named, CodeError>> {
    let (kind, _) = typed.split_once('/')?;
    let shed = kind.eq_ignore_ascii_case("BIN") || kind.eq_ignore_ascii_case("RACK");
    shed.then(|| from_path(typed, typed))
}

fn from_path(path: &str, typed: &str) -> Result<Named, CodeError> {
    let shape = || CodeError::Shape {
        typed: typed.to_owned(),
    };
    let (path, query) = path
        .split_once('?')
        .map_or((path, None), |(path, query)| (path, Some(query)));
    let parts: Vec<&str> = path.split('/').filter(|part| !part.is_empty()).collect();
    match (parts.as_slice(), query) {
        ([kind, bin], None) if kind.eq_ignore_ascii_case("BIN") => Ok(Named::Bin(bin.parse()?)),
        ([kind, rack], None) if kind.eq_ignore_ascii_case("RACK") => {
            rack_of(rack).ok_or_else(shape)
        }
        (["01", _, "10", code], None) => Ok(Named::Lot(LotCode::read(code)?)),
        (["01", _, "10", code, "21", serial], None) => pack(code, serial),
        ([code], None) => Ok(Named::Lot(LotCode::read(code)?)),
        ([code], Some(serial)) => pack(code, serial),
        _ => Err(shape()),
    }
}

fn pack(code: &str, serial: &str) -> Result<Named, CodeError> {
    Ok(Named::Pack(PackCode {
        run: LotCode::read(code)?,
        serial: Serial::read(serial)?,
    }))
}

fn rack_of(text: &str) -> Option<Named> {
    let upper = text.to_ascii_uppercase();
    is_place_part(&upper).then_some(Named::Rack(upper))
}

fn from_plain(typed: &str) -> Result<Named, CodeError> {
    if let Some((lot, serial)) = typed.split_once(['/', '#']) {
        let serial = Serial::read(serial.trim().trim_start_matches('#'))?;
        // A mark typed in capitals is a mark still.
        let lower = || lot.trim().to_ascii_lowercase().parse().map(LotName::Mark);
        let name = LotName::read(lot.trim()).or_else(|error| match error {
            CodeError::Shape { .. } => lower().map_err(|_: CodeError| error),
            _ => Err(error),
        })?;
        return Ok(match name {
            LotName::Code(run) => Named::Pack(PackCode { run, serial }),
            LotName::Mark(mark) => Named::Mark(mark, Some(serial)),
        });
    }
    match LotCode::read(typed) {
        Ok(code) => Ok(Named::Lot(code)),
        Err(slip @ CodeError::Check { .. }) => Err(slip),
        Err(slip) => match (typed.parse::<Mark>(), typed.parse::<BinCode>()) {
            (Ok(mark), _) => Ok(Named::Mark(mark, None)),
            (Err(_), Ok(bin)) => Ok(Named::Bin(bin)),
            (Err(_), Err(_)) => Err(slip),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lot(text: &str) -> LotCode {
        text.parse().expect("a right code")
    }

    #[test]
    fn a_code_typed_badly_is_read_where_its_check_character_confirms_it() {
        for typed in [
            "p26115-07-s",
            "P2611507S",
            " P26115 07 S",
            "P26II5-O7-S",
            "P26115-7-S",
        ] {
            assert_eq!(LotCode::read(typed), Ok(lot("P26115-07-S")), "{typed}");
        }
        assert!(matches!(
            LotCode::read("P26115-07-T"),
            Err(CodeError::Check { .. })
        ));
        assert!(matches!(
            LotCode::read("15-07"),
            Err(CodeError::Shape { .. })
        ));
    }

    /// `H44120-2861-8` with its 2 misread as a nought is not the lot 861, whose check character happens to be the same.
    #[test]
    fn a_number_with_a_nought_too_many_is_a_slip_and_not_another_lot() {
        assert_eq!(lot("H44120-861-8").number(), 861);
        assert!(matches!(
            LotCode::read("H44120-0861-8"),
            Err(CodeError::Check { .. })
        ));
        assert!(LotCode::read("P26115-007-S").is_err());
    }

    #[test]
    fn every_form_of_qr_text_is_read() {
        let bases = [
            "https://lots.marlhythe.example".to_owned(),
            "http://192.168.1.20:8080".to_owned(),
        ];
        let pack = Named::Pack(PackCode {
            run: lot("P26115-07-S"),
            serial: Serial::new(12).expect("not 0"),
        });
        for text in [
            "P26115-07-S/0012 Worm-worked compost 20 L, packed 2026-04-25, Marlhythe Wormery 01632 960123",
            "HTTPS://LOTS.MARLHYTHE.EXAMPLE/P26115-07-S?0012",
            "https://lots.marlhythe.example/01/09520123456788/10/P26115-07-S/21/0012",
            "p26115-07-s/12",
            "P26115-07-S #12",
        ] {
            assert_eq!(Named::read(text, &bases), Ok(pack.clone()), "{text}");
        }
        let bin = Named::Bin("A07".parse().expect("a bin"));
        assert_eq!(
            Named::read("HTTP://192.168.1.20:8080/BIN/A07", &bases),
            Ok(bin)
        );
        assert_eq!(
            Named::read("http://192.168.1.20:8080/RACK/R1", &bases),
            Ok(Named::Rack("R1".to_owned()))
        );
        assert!(Named::read("https://elsewhere.example/P26115-07-S", &bases).is_err());
    }

    #[test]
    fn a_path_without_an_address_is_a_bin_or_a_rack_and_the_longer_address_counts() {
        let bin = Named::Bin("A07".parse().expect("a bin"));
        assert_eq!(Named::read("bin/A07", &[]), Ok(bin.clone()));
        let rack = Named::Rack("R1".to_owned());
        assert_eq!(Named::read("RACK/R1", &[]), Ok(rack));
        let bases = ["http://a.example", "http://a.example/SHED"].map(str::to_owned);
        assert_eq!(
            Named::read("HTTP://A.EXAMPLE/SHED/BIN/A07", &bases),
            Ok(bin)
        );
    }

    #[test]
    fn a_mark_is_a_mark_and_a_code_with_a_slip_is_not() {
        assert_eq!(
            LotName::read("straw-may"),
            Ok(LotName::Mark("straw-may".parse().expect("a mark")))
        );
        assert!(matches!(
            LotName::read("p26115-07-x"),
            Err(CodeError::Check { .. })
        ));
    }
}
