//! Which template, which sheet and which printer a label takes where nobody says.

use crate::farm::{PackKind, Printer, Product, Settings};
use crate::trade::is_large;

use super::error::LabelError;
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

/// Returns the templates of a product whose settings name none.
pub fn templates(product: &Product) -> Vec<String> {
    let names: &[&str] = match product.kind {
        PackKind::Bag if is_large(product) => &["bag-front", "bag-back"],
        PackKind::Bag => &["bag-small"],
        PackKind::Tub => &["tub", "tub-lid"],
        PackKind::Bottle => &["bottle"],
    };
    names.iter().map(|name| (*name).to_owned()).collect()
}

/// Tells whether a template is for lids, which lie flat and may be parted from what they close.
pub fn is_lid(template: &str) -> bool {
    template.ends_with("lid")
}

/// Returns the templates of a product's labels: those of castlot.toml, else the usual ones.
pub fn of_product(settings: &Settings, product: &Product) -> Vec<String> {
    let now = settings.products.get(&*product.key);
    let own = now.map(|setting| setting.labels.clone());
    own.filter(|names| !names.is_empty())
        .unwrap_or_else(|| templates(product))
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

/// Returns the printer that a sheet goes to: the one that is named; else the one whose sheets it is among; else the one
/// that names no sheets. `None` where castlot.toml has none for it.
pub fn printer<'a>(
    settings: &'a Settings,
    sheet: Sheet,
    named: Option<&str>,
) -> Result<Option<(&'a str, &'a Printer)>, LabelError> {
    let all = || settings.printers.iter().map(|(name, p)| (name.as_str(), p));
    let names = |of: Vec<(&str, &Printer)>| of.iter().map(|(name, _)| (*name).to_owned()).collect();
    if let Some(named) = named {
        let found = all().find(|(name, _)| *name == named);
        return found.map(Some).ok_or_else(|| LabelError::NoSuchPrinter {
            name: named.to_owned(),
            known: names(all().collect()),
        });
    }
    let lists = |printer: &Printer| printer.sheets.iter().any(|name| name == sheet.name());
    let of_it: Vec<_> = all().filter(|(_, printer)| lists(printer)).collect();
    let candidates = match of_it.is_empty() {
        true => all().filter(|(_, p)| p.sheets.is_empty()).collect(),
        false => of_it,
    };
    match candidates[..] {
        [] => Ok(None),
        [one] => Ok(Some(one)),
        [..] => Err(LabelError::WhichPrinter {
            sheet: sheet.name(),
            names: names(candidates),
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn farm(printers: &[(&str, &[&str])]) -> Settings {
        let mut settings = Settings::of("x", "GB", jiff::tz::TimeZone::UTC);
        for (name, sheets) in printers {
            let sheets = sheets.iter().map(|sheet| (*sheet).to_owned()).collect();
            let printer = Printer {
                sheets,
                ..Printer::default()
            };
            settings.printers.insert((*name).to_owned(), printer);
        }
        settings
    }

    fn chosen(printers: &[(&str, &[&str])], named: Option<&str>) -> Result<String, String> {
        let sheet = "roll-57x32".parse().unwrap();
        let settings = farm(printers);
        let found = printer(&settings, sheet, named).map_err(|error| error.to_string())?;
        Ok(found.map_or("none", |(name, _)| name).to_owned())
    }

    #[test]
    fn the_named_printer_goes_before_the_one_that_lists_the_sheet_and_that_before_any_other() {
        let (roll, laser) = (
            ("roll", ["roll-57x32"].as_slice()),
            ("laser", [].as_slice()),
        );
        assert_eq!(chosen(&[roll, laser], Some("laser")).unwrap(), "laser");
        assert_eq!(chosen(&[roll, laser], None).unwrap(), "roll");
        assert_eq!(chosen(&[laser], None).unwrap(), "laser");
        let other = ("old", ["a4-1x2-199x143"].as_slice());
        assert_eq!(chosen(&[other], None).unwrap(), "none");
        assert_eq!(chosen(&[], None).unwrap(), "none");
    }

    #[test]
    fn a_printer_that_is_not_there_and_a_choice_that_is_open_are_told() {
        let (a, b) = (("a", [].as_slice()), ("b", [].as_slice()));
        let said = chosen(&[a, b], Some("c")).unwrap_err();
        assert_eq!(said, "castlot.toml has no printer `c`; there are a, b");
        let said = chosen(&[a, b], None).unwrap_err();
        assert_eq!(said, "`roll-57x32` may go to more than one printer: a, b");
    }

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
