//! Reads the `[product.KEY]` tables of castlot.toml: what a pack holds, and how it is labelled.

use std::collections::BTreeMap;

use serde::Deserialize;
use toml::Spanned;

use crate::farm::{Gtin, Measures, PackKind, Product, ProductSetting, Quantity, Unit};
use crate::label::{Sheet, Template};

use super::settings_label::{WordingTable, across};
use super::settings_permission::Wrong;

/// `[product.KEY]`.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ProductTable {
    name: Spanned<String>,
    kind: Spanned<String>,
    net: Spanned<String>,
    #[serde(default)]
    label: Vec<Spanned<String>>,
    sheet: Option<Spanned<String>>,
    gtin: Option<Spanned<String>>,
    best_by_days: Option<u32>,
    best_by_month_end: Option<Spanned<bool>>,
    tub_across: Option<Spanned<String>>,
    statement: Option<String>,
    #[serde(rename = "use")]
    using: Option<String>,
    store: Option<String>,
    trouble: Option<String>,
    made_from: Option<String>,
    #[serde(default)]
    caution: BTreeMap<Spanned<String>, String>,
}

/// What the tables may name.
#[derive(Clone, Copy, Debug)]
pub struct Known<'a> {
    /// The farm's own measures.
    pub measures: &'a Measures,
    /// The names of the farm's own label templates.
    pub own_templates: &'a [String],
}

/// Reads every product, by its key.
pub fn read(
    tables: &BTreeMap<String, ProductTable>,
    known: Known<'_>,
) -> Result<BTreeMap<String, ProductSetting>, Wrong> {
    let mut products = BTreeMap::new();
    let mut gtins: BTreeMap<Gtin, &str> = BTreeMap::new();
    for (key, table) in tables {
        let setting = table.read(key, known)?;
        if let Some((gtin, typed)) = setting.product.gtin.clone().zip(table.gtin.as_ref())
            && let Some(other) = gtins.insert(gtin, key)
        {
            let message = format!(
                "`{}` is the gtin of product `{other}` and of `{key}`; each product has a number of its own",
                typed.get_ref()
            );
            return Err((typed.span(), message));
        }
        products.insert(key.clone(), setting);
    }
    Ok(products)
}

impl ProductTable {
    fn read(&self, key: &str, known: Known<'_>) -> Result<ProductSetting, Wrong> {
        if self.name.get_ref().trim().is_empty() {
            return Err((self.name.span(), format!("product `{key}` has no name")));
        }
        let kind: PackKind = value(&self.kind, |text| text.parse())?;
        let net = value(&self.net, |text| Quantity::read(text, known.measures))?;
        if let Some(message) = misfit(key, kind, net) {
            return Err((self.net.span(), message));
        }
        let gtin = self.gtin.as_ref();
        let gtin = gtin
            .map(|gtin| value(gtin, |text| text.parse::<Gtin>()))
            .transpose()?;
        for template in &self.label {
            if !known.own_templates.contains(template.get_ref()) {
                value(template, Template::built_in)?;
            }
        }
        if let Some(sheet) = &self.sheet {
            value(sheet, |text| text.parse::<Sheet>())?;
        }
        let product = Product {
            key: key.into(),
            name: self.name.get_ref().as_str().into(),
            kind,
            net,
            gtin,
            best_by_days: self.best_by_days,
            best_by_month_end: self.month_end()?,
        };
        Ok(ProductSetting {
            labels: self
                .label
                .iter()
                .map(|name| name.get_ref().clone())
                .collect(),
            sheet: self.sheet.as_ref().map(|sheet| sheet.get_ref().clone()),
            across_um: self.tub_across.as_ref().map(across).transpose()?,
            wording: self.wording().read()?,
            ..ProductSetting::of(product)
        })
    }

    /// Reads whether a best by is cut back to a month's end, which needs days to cut back from.
    fn month_end(&self) -> Result<bool, Wrong> {
        let Some(typed) = &self.best_by_month_end else {
            return Ok(false);
        };
        match (typed.get_ref(), self.best_by_days) {
            (true, None) => {
                let message = "`best_by_month_end` goes with `best_by_days`, which says how long a pack keeps";
                Err((typed.span(), message.to_owned()))
            }
            (is_wanted, _) => Ok(*is_wanted),
        }
    }

    /// Returns the words that stand on its labels in place of castlot's.
    fn wording(&self) -> WordingTable {
        WordingTable {
            statement: self.statement.clone(),
            using: self.using.clone(),
            keeping: self.store.clone(),
            trouble: self.trouble.clone(),
            made_from: self.made_from.clone(),
            caution: self.caution.clone(),
        }
    }
}

/// Reads a value, or says what is wrong with it and where.
fn value<T, E: std::fmt::Display>(
    typed: &Spanned<String>,
    read: impl FnOnce(&str) -> Result<T, E>,
) -> Result<T, Wrong> {
    read(typed.get_ref()).map_err(|error| (typed.span(), error.to_string()))
}

/// Says why a pack of a kind cannot hold so much; `None` where it can.
fn misfit(key: &str, kind: PackKind, net: Quantity) -> Option<String> {
    let wanted = match (kind, net.unit()) {
        (PackKind::Tub, Unit::Millilitres) => "a tub holds worms, by count or by weight",
        (PackKind::Bottle, Unit::Pieces) => "a bottle holds litres or grams",
        (PackKind::Bag | PackKind::Tub, Unit::Grams | Unit::Pieces)
        | (PackKind::Bag, Unit::Millilitres)
        | (PackKind::Bottle, Unit::Grams | Unit::Millilitres) => return None,
    };
    Some(format!(
        "product `{key}` has the net quantity `{net}`; {wanted}"
    ))
}

#[cfg(test)]
mod tests {
    use crate::cli::settings_file::parse;

    const FARM: &str = "[farm]\nname = \"x\"\ncountry = \"GB\"\ntimezone = \"UTC\"\n";
    const BAG: &str = "[product.bag5]\nname = \"Castings\"\nkind = \"bag\"\nnet = \"5L\"\n\
                       label = [\"bag-small\"]\nsheet = \"a4-2x4-99x67\"\ngtin = \"09520123456795\"\n";

    fn said(tables: &str) -> Option<String> {
        parse(&format!("{FARM}{tables}"))
            .err()
            .map(|failure| failure.texts.join("\n"))
    }

    #[test]
    fn a_template_or_sheet_that_is_none_is_told_with_its_line() {
        assert_eq!(said(BAG), None);
        let wrong = said(&BAG.replace("bag-small", "bag-smal")).unwrap();
        assert!(
            wrong.starts_with(
                "castlot.toml, line 9: `bag-smal` is not a label template; there are "
            ),
            "{wrong}"
        );
        let wrong = said(&BAG.replace("a4-2x4", "a4-2x5")).unwrap();
        assert!(
            wrong.starts_with("castlot.toml, line 10: `a4-2x5-99x67` is not a sheet"),
            "{wrong}"
        );
    }

    #[test]
    fn a_months_end_without_days_is_told_with_its_line() {
        let ended = format!("{BAG}best_by_month_end = true\n");
        assert_eq!(
            said(&ended).as_deref(),
            Some(
                "castlot.toml, line 12: `best_by_month_end` goes with `best_by_days`, which says how long a pack keeps"
            )
        );
        assert_eq!(said(&format!("{ended}best_by_days = 365\n")), None);
    }

    #[test]
    fn a_gtin_of_any_length_names_one_product() {
        // The same number with and without the leading nought is one trade item (GS1 General Specifications, 3.3.2).
        let second = BAG
            .replace("bag5", "bag6")
            .replace("09520123456795", "9520123456795");
        assert_eq!(
            said(&format!("{BAG}{second}")).as_deref(),
            Some(
                "castlot.toml, line 18: `9520123456795` is the gtin of product `bag5` and of `bag6`; each product has a number of its own"
            )
        );
        // Of 8 digits: 9×3 + 5 + 2×3 + 0 + 1×3 + 2 + 3×3 = 52, and 60 − 52 = 8.
        assert_eq!(said(&BAG.replace("09520123456795", "95201238")), None);
        assert!(said(&BAG.replace("09520123456795", "95201237")).is_some());
    }

    #[test]
    fn what_a_pack_cannot_hold_is_refused_and_a_bag_by_count_is_not() {
        let net = |kind: &str, net: &str| {
            said(
                &BAG.replace("\"bag\"", &format!("\"{kind}\""))
                    .replace("5L", net),
            )
        };
        assert_eq!(net("bag", "40"), None);
        assert_eq!(net("tub", "250g"), None);
        assert!(
            net("tub", "1L")
                .unwrap()
                .contains("line 8: product `bag5` has the net quantity `1L`")
        );
        assert!(
            net("bottle", "3")
                .unwrap()
                .ends_with("a bottle holds litres or grams")
        );
    }
}
