//! Which template and which sheet a label takes where nobody says.

use crate::farm::{PackKind, Product, Unit};

use super::sheet::Sheet;
use super::template::Template;

/// The sheet that each built-in template is at its best on, as an ordinary sheet printer has it.
const SHEETS: [(&str, &str); 11] = [
    ("bag-front", "a4-2x2-99x139"),
    ("bag-back", "a4-2x2-99x139"),
    ("bag-small", "a4-2x4-99x67"),
    ("tub", "a4-3x4-63x72"),
    ("tub-lid", "a4-3x7-63x38"),
    ("bottle", "a4-3x4-63x72"),
    ("bin", "a4-2x7-99x38"),
    ("rack", "a4-2x2-99x139"),
    ("delivery", "a4-2x4-99x67"),
    ("batch", "a4-2x4-99x67"),
    ("hold", "a4-2x2-99x139"),
];

/// A bag of so many litres or kilograms has room for a label on each side (a choice of ours).
const LARGE_BAG: u64 = 10_000;

/// Returns the templates of a product whose settings name none.
pub fn templates(product: &Product) -> Vec<String> {
    let large = product.net.unit() != Unit::Pieces && product.net.value() >= LARGE_BAG;
    let names: &[&str] = match product.kind {
        PackKind::Bag if large => &["bag-front", "bag-back"],
        PackKind::Bag => &["bag-small"],
        PackKind::Tub => &["tub", "tub-lid"],
        PackKind::Bottle => &["bottle"],
    };
    names.iter().map(|name| (*name).to_owned()).collect()
}

/// Returns the sheet that a template is printed on: the product's own where it suits, else the usual one, else the
/// first that suits; a template that suits none keeps the first sheet, and is refused on it by name.
pub fn sheet(template: &Template, own: Option<Sheet>) -> Sheet {
    let usual = SHEETS.iter().find(|(name, _)| *name == template.name);
    let usual = usual.and_then(|(_, sheet)| sheet.parse().ok());
    let all = Sheet::ALL.iter().copied();
    let mut candidates = own.into_iter().chain(usual).chain(all);
    candidates
        .find(|sheet| template.layout_for(sheet.cell()).is_some())
        .unwrap_or(Sheet::ALL[0])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_built_in_template_suits_its_usual_sheet() {
        for name in Template::BUILT_IN {
            let template = Template::built_in(name).unwrap();
            let usual = SHEETS.iter().find(|(known, _)| *known == name).unwrap().1;
            assert_eq!(sheet(&template, None).name(), usual);
        }
    }

    #[test]
    fn a_products_sheet_counts_where_the_template_suits_it() {
        let own: Sheet = "a4-2x4-99x67".parse().unwrap();
        let on = |name: &str| sheet(&Template::built_in(name).unwrap(), Some(own));
        assert_eq!(on("tub"), own);
        assert_eq!(on("tub-lid").name(), "a4-3x7-63x38");
    }
}
