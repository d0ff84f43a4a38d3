//! Where each page stands in the folder, as diary.md's QR forms point to it.

use crate::farm::{BinCode, Farm, Gtin, LotId, QrForm, Serial, Settings};

/// The file of a folder that a server shows for the folder itself.
const INDEX: &str = "index.html";

/// The path of the front page.
pub const FRONT: &str = INDEX;

/// The path of the page for an address that leads nowhere.
pub const MISSING: &str = "404.html";

/// Returns the path of a lot's page.
pub fn lot(farm: &Farm, lot: LotId) -> String {
    format!("{}/{INDEX}", farm.lot(lot).code)
}

/// Returns the path of a bin's page.
pub fn bin(bin: BinCode) -> String {
    format!("BIN/{bin}/{INDEX}")
}

/// Returns the path of a rack's page.
pub fn rack(rack: &str) -> String {
    format!("RACK/{rack}/{INDEX}")
}

/// Returns the path of a run's page by its trade item number, as a GS1 Digital Link spells it.
pub fn linked_run(farm: &Farm, gtin: &Gtin, run: LotId) -> String {
    format!("01/{}/10/{}/{INDEX}", gtin.digits(), farm.lot(run).code)
}

/// Returns the path of one pack's page, as a GS1 Digital Link spells it.
pub fn linked_pack(farm: &Farm, gtin: &Gtin, run: LotId, serial: Serial) -> String {
    let code = farm.lot(run).code;
    format!("01/{}/10/{code}/21/{serial}/{INDEX}", gtin.digits())
}

/// Returns the trade item number that a run's codes carry, where the farm's codes are Digital Links.
pub fn linked<'a>(farm: &'a Farm, settings: &Settings, run: LotId) -> Option<&'a Gtin> {
    match settings.form {
        QrForm::Gs1 => farm.product(run)?.gtin.as_ref(),
        QrForm::Text | QrForm::Web => None,
    }
}

/// Returns the way from a page up to the folder's top, ending in a slash where there is one.
pub fn up_from(path: &str) -> String {
    "../".repeat(path.matches('/').count())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_way_up_has_a_step_for_each_folder() {
        assert_eq!(up_from("index.html"), "");
        assert_eq!(up_from("P26115-07-S/index.html"), "../");
        assert_eq!(
            up_from("01/09520123456788/10/P26115-07-S/21/0012/index.html"),
            "../../../../../../"
        );
    }
}
