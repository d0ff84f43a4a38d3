//! The words of labels that packs are sold with. They name no supplier.

use crate::farm::{Event, Farm, LotId, PackKind, Product, Serial, Settings, Wording};
use crate::trace::{Relation, Start, back};
use crate::trade::Species;

use super::field::{Content, Field};
use super::made_from::{capital, made_from};
use super::quantity::of_packs;
use super::scan_text::{of_lot, pack_or_lot};
use super::wording::{heeded, keeping_on_label, statement, trouble, using};

/// The test that finds out what worms are.
const SPECIES_TEST: &str = "species";

/// What the packs of a run say: most of it once for all of them, and the rest when a pack is asked for, so that a
/// hundred thousand packs take no more room than one.
#[derive(Clone)]
pub struct WordsOfPacks<'a> {
    farm: &'a Farm,
    settings: &'a Settings,
    run: LotId,
    shared: Content,
}

impl<'a> WordsOfPacks<'a> {
    /// Writes what all packs of a run say; `None` for a lot that is no run.
    pub fn of(farm: &'a Farm, run: LotId, settings: &'a Settings) -> Option<Self> {
        let product = farm.product(run)?;
        Some(Self {
            farm,
            settings,
            run,
            shared: shared(farm, run, product, settings),
        })
    }

    /// Writes what one pack says.
    pub fn pack(&self, serial: Serial) -> Content {
        let code = pack_or_lot(self.farm.lot(self.run).code, Some(serial));
        let mut content = self.shared.clone();
        content.name.clone_from(&code);
        content.fields.insert(Field::Code, code);
        content.fields.insert(Field::Serial, serial.to_string());
        let text = of_lot(self.farm, self.run, Some(serial), self.settings);
        content.qr = Some(text);
        content
    }
}

/// Writes what all packs of a run have in common.
fn shared(farm: &Farm, run: LotId, product: &Product, settings: &Settings) -> Content {
    let lot = farm.lot(run);
    let mut content = Content {
        gtin: product.gtin.clone(),
        ..Content::default()
    };
    content.say(Field::Lot, Some(lot.code));
    content.say(Field::Ref, lot.mark.as_ref());
    content.say(Field::Product, Some(&product.name));
    let wording = settings.wording_of(&product.key);
    content.say(Field::Net, Some(of_packs(product.net, product.kind)));
    content.say(Field::Count, Some(of_packs(product.net, product.kind)));
    content.say(Field::Packed, Some(lot.when.day()));
    content.say(Field::BestBy, farm.best_by(run));
    say_advice(&mut content, product.kind, &settings.country, &wording);
    match (product.kind, &wording.made_from) {
        (PackKind::Bag | PackKind::Bottle, None) => {
            content.say(Field::MadeFrom, made_from(farm, run, settings));
        }
        (PackKind::Bag | PackKind::Bottle, Some(own)) => content.say(Field::MadeFrom, Some(own)),
        (PackKind::Tub, _) => say_species(&mut content, species(farm, run).as_deref()),
    }
    content.say_farm(settings);
    content
}

/// Says what a pack is, how to use and keep it, and what to take care of in that country; in the farm's words where it
/// has its own.
pub fn say_advice(content: &mut Content, kind: PackKind, country: &str, wording: &Wording) {
    let cautions = heeded(kind, country, wording);
    let cautions: Vec<String> = cautions.into_iter().map(|caution| caution.short).collect();
    content.say(Field::Statement, Some(statement(kind, wording)));
    content.say(Field::Use, Some(using(kind, wording)));
    content.say(Field::Store, Some(keeping_on_label(kind, wording)));
    content.say(Field::Trouble, Some(trouble(kind, wording)));
    content.say(Field::Cautions, Some(cautions.join("\n")));
}

/// Writes a species in plain words and in Latin; one that no table has stands as the farm wrote it.
pub fn say_species(content: &mut Content, species: Option<&str>) {
    match species.map(|name| (name, Species::named(name))) {
        Some((_, Some(known))) => {
            content.say(Field::Species, Some(known.plain));
            content.say(Field::Latin, Some(known.latin));
        }
        Some((name, None)) => content.say(Field::Species, Some(capital(name))),
        None => {}
    }
}

/// Returns the species of a lot's animals: by the latest test of it or of its stock, else as it was recorded.
pub fn species(farm: &Farm, id: LotId) -> Option<String> {
    let start = Start {
        lot: id,
        serial: None,
        when: None,
    };
    let stock = back(farm, start).into_iter();
    let stock = stock.filter(|reached| reached.relation != Relation::Carried);
    let lots = stock.map(|reached| reached.lot).chain([id]);
    let tests = lots.flat_map(|lot| &farm.lot(lot).tests);
    let found = tests.filter_map(|place| {
        let entry = &farm.entries()[*place];
        match &entry.event {
            Some(Event::Test { facts, .. }) if &*facts.test == SPECIES_TEST => {
                Some((entry.when.latest(), entry.number, facts.value.to_string()))
            }
            _ => None,
        }
    });
    let latest = found.max().map(|(_, _, species)| species);
    latest.or_else(|| farm.species(id).map(str::to_owned))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::farm::{DeliveryFacts, DeliveryKind, TestFacts};
    use crate::label::example::{farm_of, grams, id, new};

    fn worms(found: &[&str]) -> Option<String> {
        let mut facts = DeliveryFacts::of(DeliveryKind::Worms, "bait worms", "a breeder");
        facts.species = Some("Dendrobaena veneta".into());
        let delivery = Event::Delivery {
            lot: new("worms-1"),
            amount: grams(1000),
            facts: Box::new(facts),
        };
        let tests = found.iter().map(|species| Event::Test {
            lot: crate::farm::LotName::Mark("worms-1".parse().unwrap()),
            facts: Box::new(TestFacts {
                test: SPECIES_TEST.into(),
                value: (*species).into(),
                unit: None,
                method: None,
                lab: None,
                result: None,
            }),
        });
        let farm = farm_of([delivery].into_iter().chain(tests));
        species(&farm, id(&farm, "worms-1"))
    }

    #[test]
    fn the_latest_finding_counts_more_than_what_the_seller_said() {
        assert_eq!(worms(&[]).as_deref(), Some("Dendrobaena veneta"));
        let found = worms(&["Eisenia andrei", "Eisenia fetida"]);
        assert_eq!(found.as_deref(), Some("Eisenia fetida"));
    }

    #[test]
    fn a_species_that_no_table_has_stands_as_it_was_written() {
        let mut content = Content::default();
        say_species(&mut content, Some("lob worms"));
        assert_eq!(content.fields[&Field::Species], "Lob worms");
        assert!(!content.fields.contains_key(&Field::Latin));
    }

    #[test]
    fn the_farms_words_stand_on_its_labels() {
        let wording = Wording {
            using: Some("Dig it in.".to_owned()),
            ..Wording::default()
        };
        let mut content = Content::default();
        say_advice(&mut content, PackKind::Bag, "GB", &wording);
        assert_eq!(content.fields[&Field::Use], "Dig it in.");
        let cautions = content.fields[&Field::Cautions].lines();
        assert!(cautions.count() > 4);
    }
}
