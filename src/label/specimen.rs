//! A pack's label as its buyers have it, to be shown on a paper with its code ringed; never one to stick on.
//!
//! It asks nobody whether the run may be sold: papers show labels just because it may not.

use crate::farm::{Farm, LotId, Serial, Settings};

use super::error::LabelError;
use super::field::Field;
use super::item::{Item, Layout};
use super::layout::lay_out;
use super::length::Area;
use super::proof::Proof;
use super::templates::Templates;
use super::usual;
use super::words_of_packs::WordsOfPacks;

/// A label, and where its code stands.
#[derive(Clone, Debug)]
pub struct Specimen {
    /// The label.
    pub label: Layout,
    /// The code in the clear.
    pub code: Option<Area>,
}

/// Lays out the label of one pack: of the templates that its product has, the first that says the code.
pub fn specimen(
    farm: &Farm,
    (run, serial): (LotId, Serial),
    settings: &Settings,
    templates: &Templates,
) -> Result<Option<Specimen>, LabelError> {
    let Some(product) = farm.product(run) else {
        return Ok(None);
    };
    let setting = settings.products.get(&*product.key);
    let own = setting.map(|setting| setting.labels.clone());
    let names = own
        .filter(|names| !names.is_empty())
        .unwrap_or_else(|| usual::templates(product));
    let sheet = setting.and_then(|setting| setting.sheet.as_deref());
    let sheet = sheet.map(str::parse).transpose()?;
    let Some(words) = WordsOfPacks::of(farm, run, settings) else {
        return Ok(None);
    };
    let words = words.pack(serial);
    let mut shown = None;
    for name in names {
        let template = templates.find(&name)?;
        let cell = usual::sheet(&template, sheet).cell();
        let label = lay_out(&template, &words, cell).map_err(Proof::not_laid_out)?;
        let code = code(&label);
        match code {
            Some(_) => return Ok(Some(Specimen { label, code })),
            None => shown = shown.or(Some(Specimen { label, code })),
        }
    }
    Ok(shown)
}

/// Returns where the largest writing of a label's code stands.
fn code(label: &Layout) -> Option<Area> {
    let runs = label.items.iter().filter_map(|item| match item {
        Item::Text(run) => Some(run),
        _ => None,
    });
    runs.filter(|run| run.fields.has(Field::Code) || run.fields.has(Field::Lot))
        .max_by_key(|run| (run.size, std::cmp::Reverse(run.area.at.y)))
        .map(|run| run.area)
}
