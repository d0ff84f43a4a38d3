//! Tests of what the proof finds out about a run: each rule broken, and kept.

use super::*;
use crate::farm::Serial;
use crate::farm::{BatchKind, Draw, LotName, Moment, QrForm, Quantity, TestFacts, Typed};
use crate::label::example::{delivery, draw, farm_of, id, new, settings};
use crate::label::look::sheet_of;
use crate::label::words_of_packs::WordsOfPacks;
use crate::label::{Template, lay_out};

/// A run of one product from one blend of straw, and more rows about it.
struct Bench {
    farm: Farm,
    settings: Settings,
}

fn product(kind: PackKind, net: &str) -> Product {
    Product {
        key: "it".into(),
        name: "Worm-worked compost".into(),
        kind,
        net: Quantity::read(net, &Default::default()).unwrap(),
        gtin: None,
        best_by_days: Some(14),
        best_by_month_end: false,
    }
}

fn test(lot: &str, name: &str, value: &str) -> Event<Typed> {
    Event::Test {
        lot: LotName::Mark(lot.parse().unwrap()),
        facts: Box::new(TestFacts {
            test: name.into(),
            value: value.into(),
            unit: None,
            method: None,
            lab: None,
            result: None,
        }),
    }
}

fn pack(product: Product, from: Vec<Draw<Typed>>) -> Event<Typed> {
    Event::Pack {
        lot: new("run-1"),
        product: Box::new(product),
        count: 2,
        from,
        best_by: None,
        despite: None,
    }
}

impl Bench {
    fn of(product: Product, more: Vec<Event<Typed>>) -> Self {
        let mut rows = vec![
            delivery("straw-1", "barley straw"),
            Event::Blend {
                lot: new("heap"),
                kind: BatchKind::Castings,
                from: vec![draw("straw-1", 9000)],
            },
            pack(product, vec![draw("heap", 4000)]),
        ];
        rows.extend(more);
        Self {
            farm: farm_of(rows),
            settings: settings(QrForm::Text, None, None),
        }
    }

    fn facts(&self) -> RunFacts<'_> {
        let run = id(&self.farm, "run-1");
        RunFacts {
            farm: &self.farm,
            settings: &self.settings,
            run,
            product: self.farm.product(run).unwrap(),
        }
    }

    /// The labels of the first pack on these templates, each with its sheet.
    fn set(&self, templates: &[(&str, &str)]) -> Vec<OnPack> {
        let lay = |(name, cut): &(&str, &str)| {
            OnPack::of(self.lay(&Template::built_in(name).unwrap(), cut), name)
        };
        templates.iter().map(lay).collect()
    }

    fn lay(&self, template: &Template, cut: &str) -> Layout {
        let run = id(&self.farm, "run-1");
        let words = WordsOfPacks::of(&self.farm, run, &self.settings).unwrap();
        let first = words.pack(Serial::new(1).unwrap());
        lay_out(template, &first, sheet_of(cut).cell()).unwrap()
    }

    fn refused(&self, set: &[OnPack]) -> Vec<String> {
        let (refused, _) = look(&self.facts(), Some(set));
        refused.iter().map(ToString::to_string).collect()
    }

    fn keys(&self, set: &[OnPack]) -> Vec<&'static str> {
        let (refused, _) = look(&self.facts(), Some(set));
        refused.iter().map(Refused::key).collect()
    }
}

fn tub_template(line: &str) -> Template {
    template_of(line, 17)
}

fn template_of(line: &str, size: u8) -> Template {
    let text = format!(
        "[[size]]\nwidth = 38\nheight = 21\n[[size.text]]\nat = {{ left = 3, width = 33, top = 3, bottom = 3 }}\n\
         lines = [{{ text = \"{line}\", size = {size} }}]\n"
    );
    Template::parse("x", "x.toml", &text, &Default::default()).unwrap()
}

const BOTH_SIDES: &[(&str, &str)] = &[("bag-front", "99x139"), ("bag-back", "99x139")];

fn density() -> Event<Typed> {
    test("heap", "density", "600")
}

/// Every set of built-in labels says all that is asked for, in figures that are high enough, on every sheet that the
/// labels are drawn for.
#[test]
fn the_built_in_labels_say_all_that_is_asked_for_on_every_sheet() {
    let sets: &[(PackKind, &str, &[&str], &str)] = &[
        (
            PackKind::Bag,
            "20L",
            &["bag-front", "bag-back"],
            "99x93 99x139 199x143 100x150",
        ),
        (
            PackKind::Bag,
            "5L",
            &["bag-small"],
            "63x72 99x67 99x93 99x139 100x150",
        ),
        (
            PackKind::Bag,
            "2.5kg",
            &["bag-small"],
            "63x72 99x67 99x93 99x139 100x150",
        ),
        (
            PackKind::Tub,
            "50",
            &["tub", "tub-lid"],
            "57x32 63x33 63x38",
        ),
        (
            PackKind::Tub,
            "250g",
            &["tub", "tub-lid"],
            "57x32 63x33 63x38",
        ),
        (
            PackKind::Tub,
            "250g",
            &["tub"],
            "99x38 63x72 99x67 99x93 99x139 100x150",
        ),
        (
            PackKind::Bottle,
            "500mL",
            &["bottle"],
            "57x32 63x33 63x38 99x38 63x72 99x67 99x93 99x139 100x150",
        ),
        (
            PackKind::Bottle,
            "1L",
            &["bottle"],
            "57x32 63x33 63x38 99x38 63x72 99x67 99x93 99x139 100x150",
        ),
    ];
    for (kind, net, names, sheets) in sets {
        for country in ["GB", "IE", "US"] {
            let mut bench = Bench::of(
                product(*kind, net),
                vec![density(), test("run-1", "species", "Eisenia fetida")],
            );
            country.clone_into(&mut bench.settings.country);
            for cut in sheets.split(' ') {
                let templates: Vec<_> = names.iter().map(|name| (*name, cut)).collect();
                assert_eq!(
                    bench.refused(&bench.set(&templates)),
                    [""; 0],
                    "{names:?} {net} {cut} {country}"
                );
            }
        }
    }
}

#[test]
fn front_and_back_count_as_one_and_a_front_alone_lacks_statements() {
    let bench = Bench::of(product(PackKind::Bag, "20L"), vec![density()]);
    assert_eq!(bench.refused(&bench.set(BOTH_SIDES)), [""; 0]);
    let alone = bench.refused(&bench.set(&BOTH_SIDES[..1]));
    let said = "what it was made from is not on the labels, which castlot asks for (common practice, no source)";
    assert_eq!(alone[0], said);
    assert!(
        alone
            .iter()
            .any(|said| said.starts_with("the caution `gloves` is not on the labels")),
        "{alone:?}"
    );
}

#[test]
fn a_caution_that_the_farm_took_away_is_missed_and_one_it_reworded_is_not() {
    let mut bench = Bench::of(product(PackKind::Bag, "20L"), vec![density()]);
    let cautions = &mut bench.settings.wording.cautions;
    cautions.insert("gloves".to_owned(), "Gloves on.".to_owned());
    assert_eq!(bench.refused(&bench.set(BOTH_SIDES)), [""; 0]);
    let cautions = &mut bench.settings.wording.cautions;
    cautions.insert("gloves".to_owned(), String::new());
    let refused = bench.refused(&bench.set(BOTH_SIDES));
    let [said] = &refused[..] else {
        panic!("{refused:?}")
    };
    assert!(
        said.starts_with("the caution `gloves` is not on the labels"),
        "{said}"
    );
}

#[test]
fn figures_lower_than_the_published_height_are_refused() {
    let bench = Bench::of(product(PackKind::Bag, "20L"), vec![density()]);
    // On the back alone the quantity stands in a band, 14 pt.
    let refused = bench.refused(&bench.set(&BOTH_SIDES[1..]));
    let low = refused
        .iter()
        .find(|said| said.starts_with("the figures"))
        .unwrap();
    assert!(low.starts_with("the figures of `20 L` are 3."), "{low}");
    assert!(low.contains("6 mm is usually expected"), "{low}");
    let refused = bench.refused(&bench.set(&BOTH_SIDES[..1]));
    assert!(
        !refused.iter().any(|said| said.starts_with("the figures")),
        "{refused:?}"
    );
}

#[test]
fn figures_in_the_templates_own_words_are_measured_too() {
    let bench = Bench::of(product(PackKind::Tub, "250g"), Vec::new());
    let low = |line: &str, size| {
        let label = bench.lay(&template_of(line, size), "63x38");
        bench
            .keys(&[OnPack::of(label, "x")])
            .contains(&"low-figures")
    };
    for line in ["{net}", "Worms: 250 g"] {
        // 4 mm are usually expected for 250 g; figures are about 0.67 of their size.
        assert!(low(line, 16), "{line}");
        assert!(!low(line, 18), "{line}");
    }
    assert!(!low("Worms from 1250 g of bedding", 8), "another quantity");
}

#[test]
fn a_lot_on_the_lid_alone_is_refused() {
    let bench = Bench::of(
        product(PackKind::Tub, "50"),
        vec![test("run-1", "species", "Eisenia fetida")],
    );
    let lid = || bench.lay(&Template::built_in("tub-lid").unwrap(), "63x38");
    let tub = |line: &str| OnPack::of(bench.lay(&template_of(line, 12), "63x38"), "tub");
    let lot_on_lid = |set: &[OnPack]| bench.keys(set).contains(&"lot-on-lid");
    assert!(lot_on_lid(&[tub("{count}"), OnPack::of(lid(), "tub-lid")]));
    assert!(lot_on_lid(&[OnPack::of(lid(), "tub-lid")]));
    assert!(!lot_on_lid(&[tub("{lot}"), OnPack::of(lid(), "tub-lid")]));
}

#[test]
fn a_bag_filled_by_the_litre_needs_a_density_of_its_batch() {
    let without = Bench::of(product(PackKind::Bag, "20L"), Vec::new());
    let heap = without.farm.lot(id(&without.farm, "heap")).code;
    let said = format!("bagged by the litre from {heap}, which has no density test");
    assert_eq!(without.refused(&without.set(BOTH_SIDES)), [said]);
    let with = Bench::of(product(PackKind::Bag, "20L"), vec![density()]);
    assert_eq!(with.keys(&with.set(BOTH_SIDES)), [""; 0]);
    let by_weight = Bench::of(product(PackKind::Bag, "20kg"), Vec::new());
    assert_eq!(by_weight.keys(&by_weight.set(BOTH_SIDES)), [""; 0]);
}

#[test]
fn a_count_and_a_weight_need_a_check_of_each() {
    let weighing = |values: &[&str]| Event::Weighing {
        run: LotName::Mark("run-1".parse().unwrap()),
        values: values
            .iter()
            .map(|v| Quantity::read(v, &Default::default()).unwrap())
            .collect(),
        tare: None,
    };
    let refused = |more: Vec<Event<Typed>>, line: &str| {
        let bench = Bench::of(product(PackKind::Tub, "50"), more);
        let set = [OnPack::of(bench.lay(&tub_template(line), "63x38"), "x")];
        let all = bench.refused(&set);
        all.into_iter()
            .find(|said| said.contains("a count and a weight"))
    };
    let said = |what: &str| {
        Some(format!(
            "the labels give a count and a weight, and the diary has no check of {what}"
        ))
    };
    assert_eq!(refused(Vec::new(), "{count}, 25 g"), said("either"));
    assert_eq!(refused(Vec::new(), "{count}"), None);
    assert_eq!(
        refused(vec![weighing(&["50"])], "{count}, 25 g"),
        said("the weight")
    );
    assert_eq!(
        refused(vec![weighing(&["25g"])], "{count}, 25 g"),
        said("the count")
    );
    assert_eq!(
        refused(vec![weighing(&["50"]), weighing(&["25g"])], "{count}, 25 g"),
        None
    );
    let counted = test("heap", "per_kg", "800");
    assert_eq!(
        refused(vec![counted, weighing(&["25g"])], "{count}, 25 g"),
        None
    );
}

#[test]
fn a_best_by_past_the_products_own_limit_is_warned_of() {
    let bench = Bench::of(product(PackKind::Tub, "50"), Vec::new());
    let warned = |bench: &Bench| look(&bench.facts(), None).1;
    assert_eq!(warned(&bench), []);
    let mut late = Bench::of(product(PackKind::Tub, "50"), Vec::new());
    let mut shorter = product(PackKind::Tub, "50");
    shorter.best_by_days = Some(10);
    late.settings
        .products
        .insert("it".to_owned(), crate::farm::ProductSetting::of(shorter));
    let packed = late.farm.lot(id(&late.farm, "run-1")).when;
    assert_eq!(packed, Moment::day_only(jiff::civil::date(2026, 4, 22)));
    let said = "best by 2026-05-06 is past the product's own limit, 2026-05-02";
    assert_eq!(warned(&late)[0].to_string(), said);
}

#[test]
fn the_farms_own_made_from_is_held_against_the_trace() {
    let mut bench = Bench::of(product(PackKind::Bag, "20L"), vec![density()]);
    bench.settings.wording.made_from = Some("Barley straw".to_owned());
    let set = bench.set(BOTH_SIDES);
    assert!(
        text_of(&set[1].label).contains("Barley straw • "),
        "{}",
        text_of(&set[1].label)
    );
    assert_eq!(bench.keys(&set), [""; 0]);
    bench.settings.wording.made_from = Some("Horse manure".to_owned());
    assert_eq!(
        bench.keys(&bench.set(BOTH_SIDES)),
        ["not-in-it", "left-out"]
    );
}
