//! What a QR code holds: a line of text, the address of a page, or a GS1 Digital Link.
//!
//! Addresses are written in capitals as far as case does not count (scheme and host), because a code of
//! capitals and digits has fewer modules. `farm::Named::read` reads every text made here back.

use crate::farm::{
    BinCode, Farm, LotCode, LotId, LotSort, Named, QrForm, Quantity, Serial, Settings,
};

use super::quantity::{of_packs, spaced};

/// The marks that a GS1 Digital Link holds as they are; `gs1-syntax-engine` writes all others with a per cent sign.
const PLAIN: [char; 3] = ['-', '.', '_'];

/// Returns what the code of a lot holds, or of one pack of a run.
pub fn of_lot(farm: &Farm, id: LotId, serial: Option<Serial>, settings: &Settings) -> String {
    let code = farm.lot(id).code;
    let gtin = farm.product(id).and_then(|product| product.gtin.as_ref());
    match (settings.form, &settings.base, gtin) {
        (QrForm::Gs1, Some(base), Some(gtin)) => {
            digital_link(&capitals(base), gtin.digits(), &code.to_string(), serial)
        }
        (QrForm::Web | QrForm::Gs1, Some(base), _) => {
            let pack = serial.map(|serial| format!("?{serial}"));
            format!("{}/{code}{}", capitals(base), pack.unwrap_or_default())
        }
        // A farm without an address has only its words to give.
        (QrForm::Text, _, _) | (_, None, _) => one_line(farm, id, serial, settings),
    }
}

/// Returns what the code of a bin holds; its own code alone on a farm without any address, or the path alone where
/// the bin is called what a lot's code with a slip in it looks like.
pub fn of_bin(bin: BinCode, settings: &Settings) -> String {
    let alone = bin.to_string();
    match shed(settings) {
        None if Named::read(&alone, &[]) == Ok(Named::Bin(bin)) => alone,
        Some(_) | None => in_shed(format!("BIN/{bin}"), settings),
    }
}

/// Returns what the code of a rack holds.
pub fn of_rack(rack: &str, settings: &Settings) -> String {
    in_shed(format!("RACK/{rack}"), settings)
}

fn in_shed(path: String, settings: &Settings) -> String {
    match shed(settings) {
        Some(shed) => format!("{shed}/{path}"),
        None => path,
    }
}

fn shed(settings: &Settings) -> Option<String> {
    let address = settings.shed.as_ref().or(settings.base.as_ref());
    address.map(|address| capitals(address))
}

/// Writes scheme and host in capitals. A path is so already, or castlot.toml is refused.
fn capitals(address: &str) -> String {
    address.trim_end_matches('/').to_ascii_uppercase()
}

/// Writes a GS1 Digital Link: `BASE/01/GTIN14/10/LOT/21/SERIAL` (GS1 Digital Link: URI Syntax).
pub(super) fn digital_link(base: &str, gtin: &str, lot: &str, serial: Option<Serial>) -> String {
    let pack = serial.map(|serial| format!("/21/{serial}"));
    let lot = escaped(lot);
    format!("{base}/01/{gtin}/10/{lot}{}", pack.unwrap_or_default())
}

/// Writes a value for a path, with `%2F` and the like for whatever is no letter, digit or plain mark.
pub(super) fn escaped(value: &str) -> String {
    let mut path = String::new();
    for c in value.chars() {
        if c.is_ascii_alphanumeric() || PLAIN.contains(&c) {
            path.push(c);
        } else {
            let mut bytes = [0; 4];
            for byte in c.encode_utf8(&mut bytes).bytes() {
                path.push_str(&format!("%{byte:02X}"));
            }
        }
    }
    path
}

/// Writes the code, what the lot is, its day, and whom to ring. Never who it came from.
fn one_line(farm: &Farm, id: LotId, serial: Option<Serial>, settings: &Settings) -> String {
    let lot = farm.lot(id);
    let code = pack_or_lot(lot.code, serial);
    let day = lot.when.day();
    let what = match (lot.sort, farm.product(id), farm.delivery(id)) {
        (LotSort::Run(kind), Some(product), _) => {
            let net = of_packs(product.net, kind);
            format!("{} {net}, packed {day}", product.name)
        }
        (LotSort::Delivery(kind), _, Some(facts)) => {
            format!("{kind}: {}, received {day}", facts.name)
        }
        (LotSort::Bed, _, _) => format!("bed, started {day}"),
        (LotSort::Batch(kind), _, _) => {
            let amount = lot.made.and_then(|made| made.quantity());
            let amount = amount.map(|amount: Quantity| format!(" {}", spaced(amount)));
            format!("{kind}{}, made {day}", amount.unwrap_or_default())
        }
        (sort @ (LotSort::Run(_) | LotSort::Delivery(_)), None, None | Some(_))
        | (sort @ LotSort::Delivery(_), Some(_), None) => format!("{}, {day}", sort.word()),
    };
    let phone = settings.phone.as_deref().unwrap_or_default();
    let text = format!("{code} {what}, {} {phone}", settings.name);
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Returns the code in the clear: of the pack, or of the lot.
pub fn pack_or_lot(code: LotCode, serial: Option<Serial>) -> String {
    serial.map_or_else(|| code.to_string(), |serial| format!("{code}/{serial}"))
}
