//! Looks at a run: what the diary knows of its packs, and what one pack's labels say taken together.

use crate::farm::{Class, Event, Farm, LotId, LotSort, PackKind, Product, Settings, Unit, Wording};
use crate::trade::{Asked, Statement, cautions, figure_height_um, statements};

use super::field::Field;
use super::finding::{Refused, Warned};
use super::item::Layout;
use super::length::Length;
use super::proof_made;
use super::proof_said::{figures_of, stands_in, text_of, units_given};
use super::quantity::of_packs;
use super::said::Said;
use super::usual::is_lid;
use super::wording::heeded;

/// The test that says how many pieces make a kilogram: whoever made it counted and weighed.
const COUNTED: &str = "per_kg";

/// A run, and what is known of it.
pub struct RunFacts<'a> {
    /// The farm.
    pub farm: &'a Farm,
    /// Its settings.
    pub settings: &'a Settings,
    /// The run.
    pub run: LotId,
    /// Its product, as it was when it was packed.
    pub product: &'a Product,
}

/// A label of a pack, and where on it.
pub struct OnPack {
    label: Layout,
    is_lid: bool,
}

impl OnPack {
    /// Puts a label where its template says.
    pub fn of(label: Layout, template: &str) -> Self {
        Self {
            label,
            is_lid: is_lid(template),
        }
    }
}

/// Looks at a run, and at one pack's labels where all of them can be laid out.
pub fn look(facts: &RunFacts, set: Option<&[OnPack]>) -> (Vec<Refused>, Vec<Warned>) {
    let mut refused = facts.without_density();
    let mut warned: Vec<Warned> = facts.late_best_by().into_iter().collect();
    let (made_refused, made_warned) = proof_made::look(facts);
    refused.extend(made_refused);
    warned.extend(made_warned);
    if let Some(set) = set {
        refused.extend(lot_on_lid(set));
        let set: Vec<&Layout> = set.iter().map(|one| &one.label).collect();
        refused.extend(facts.not_said(&set));
        refused.extend(facts.low_figures(&set));
        refused.extend(facts.count_and_weight(&set));
    }
    (refused, warned)
}

impl RunFacts<'_> {
    /// Returns the farm's words on these labels.
    pub fn wording(&self) -> Wording {
        self.settings.wording_of(&self.product.key)
    }

    fn without_density(&self) -> Vec<Refused> {
        let by_volume = self.product.net.unit() == Unit::Millilitres;
        if self.product.kind != PackKind::Bag || !by_volume {
            return Vec::new();
        }
        let run = self.farm.lot(self.run);
        let flows = run.inflows.iter().map(|flow| self.farm.flow(*flow));
        let mut batches: Vec<LotId> = Vec::new();
        for flow in flows.filter(|flow| matches!(flow.class, Class::Bulk | Class::Whole)) {
            let lot = self.farm.lot(flow.from);
            let is_batch = matches!(lot.sort, LotSort::Batch(_));
            if is_batch && lot.density(run.when).is_none() && !batches.contains(&flow.from) {
                batches.push(flow.from);
            }
        }
        let code = |batch: LotId| self.farm.lot(batch).code;
        let refused = batches
            .into_iter()
            .map(|batch| Refused::NoDensity { batch: code(batch) });
        refused.collect()
    }

    /// The product's rule as castlot.toml has it now is the farm's limit.
    fn late_best_by(&self) -> Option<Warned> {
        let best_by = self.farm.best_by(self.run)?;
        let now = self.settings.products.get(&*self.product.key);
        let product = now.map_or(self.product, |setting| &setting.product);
        let limit = product.best_by(self.farm.lot(self.run).when.day())?;
        (best_by > limit).then_some(Warned::LateBestBy { best_by, limit })
    }

    fn not_said(&self, set: &[&Layout]) -> Vec<Refused> {
        let mut said = Said::default();
        set.iter().for_each(|label| said.join(label.said));
        let texts: Vec<String> = set.iter().map(|label| text_of(label)).collect();
        let text = texts.join(" • ");
        let asked = statements(self.product, &self.settings.country);
        let missing = asked
            .into_iter()
            .filter(|asked| !self.is_said(asked, said, &text));
        missing.map(|asked| Refused::NotSaid { asked }).collect()
    }

    /// Tells whether a statement is on the labels: by its field, or as the template's or a picture's own words.
    fn is_said(&self, asked: &Asked, said: Said, text: &str) -> bool {
        let any = |fields: &[Field]| fields.iter().any(|field| said.has(*field));
        let (product, settings) = (self.product, self.settings);
        match asked.statement {
            Statement::Name => any(&[Field::Product]) || stands_in(&product.name, text),
            Statement::Quantity => {
                let words = of_packs(product.net, product.kind);
                any(&[Field::Net, Field::Count]) || stands_in(&words, text)
            }
            Statement::MadeFrom => any(&[Field::MadeFrom]),
            Statement::Use => any(&[Field::Use]),
            Statement::Keeping => any(&[Field::Store]),
            Statement::Lot => any(&[Field::Lot, Field::Code]),
            Statement::Packed => any(&[Field::Packed]),
            Statement::BestBy => any(&[Field::BestBy]),
            Statement::Species => any(&[Field::Species, Field::Latin]),
            Statement::Producer => any(&[Field::Farm]) || stands_in(&settings.name, text),
            Statement::Address => {
                let line = settings.address.join(", ");
                any(&[Field::Address]) || stands_in(&line, text)
            }
            Statement::Caution(key) => {
                let own: Vec<_> = heeded(product.kind, &settings.country, &self.wording())
                    .into_iter()
                    .map(|caution| (caution.key, caution.short))
                    .collect();
                let is_in_field =
                    any(&[Field::Cautions]) && own.iter().any(|(known, _)| *known == key);
                let usual = cautions(product.kind, &settings.country)
                    .into_iter()
                    .map(|caution| (caution.key, caution.short.to_owned()));
                let words = own.iter().cloned().chain(usual);
                is_in_field
                    || words
                        .filter(|(known, _)| *known == key)
                        .any(|(_, words)| stands_in(&words, text))
            }
        }
    }

    fn low_figures(&self, set: &[&Layout]) -> Option<Refused> {
        let least = figure_height_um(self.product.net, &self.settings.country)?;
        let least = Length::of_micrometres(least);
        let net = of_packs(self.product.net, self.product.kind);
        let heights = set.iter().filter_map(|label| figures_of(label, &net));
        let height = heights.max()?;
        (height < least).then_some(Refused::LowFigures { net, height, least })
    }

    /// A count and a weight on a tub, where not both were checked.
    fn count_and_weight(&self, set: &[&Layout]) -> Option<Refused> {
        if self.product.kind != PackKind::Tub {
            return None;
        }
        let given = set.iter().map(|label| units_given(label));
        let both = given.fold((false, false), |all, one| (all.0 || one.0, all.1 || one.1));
        let (count, weight) = self.checked();
        (both == (true, true) && !(count && weight))
            .then_some(Refused::CountAndWeight { count, weight })
    }

    /// Whether packs of the run were counted out, or the worms in it counted to the kilogram; and whether packs were
    /// weighed or measured.
    fn checked(&self) -> (bool, bool) {
        let code = self.farm.lot(self.run).code;
        let mut checked = (self.worms_were_counted(), false);
        for place in self.farm.order() {
            let Some(Event::Weighing { run, values, .. }) = &self.farm.entries()[*place].event
            else {
                continue;
            };
            if *run == code {
                for value in values {
                    match value.unit() {
                        Unit::Pieces => checked.0 = true,
                        Unit::Grams | Unit::Millilitres => checked.1 = true,
                    }
                }
            }
        }
        checked
    }

    fn worms_were_counted(&self) -> bool {
        let flows = self.farm.lot(self.run).inflows.iter();
        let sources = flows
            .map(|flow| self.farm.flow(*flow).from)
            .chain([self.run]);
        let mut tests = sources.flat_map(|lot| &self.farm.lot(lot).tests);
        tests.any(|place| match &self.farm.entries()[*place].event {
            Some(Event::Test { facts, .. }) => &*facts.test == COUNTED,
            _ => false,
        })
    }
}

/// A lid may be parted from its tub, which then bears no lot.
fn lot_on_lid(set: &[OnPack]) -> Option<Refused> {
    let has_lot = |one: &OnPack| {
        [Field::Lot, Field::Code]
            .iter()
            .any(|f| one.label.said.has(*f))
    };
    let (mut lids, mut others) = (false, false);
    for one in set.iter().filter(|one| has_lot(one)) {
        match one.is_lid {
            true => lids = true,
            false => others = true,
        }
    }
    (lids && !others).then_some(Refused::LotOnLid)
}

#[cfg(test)]
#[path = "proof_run_test.rs"]
mod tests;
