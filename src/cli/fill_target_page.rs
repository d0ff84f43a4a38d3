//! How `castlot fill-target` tells what to aim at.

use serde::Serialize;

use crate::desk::called;
use crate::desk::fills_check::plain;
use crate::farm::{Farm, LotId, Product, RateTest, Settings, Tenths, Unit};
use crate::trade::{Margin, Rule, rule, tne};

use super::fill_target::on_the_scales;
use super::out;
use super::phrase::{count, paragraph};

/// What to aim at.
#[derive(Serialize)]
struct Target {
    product: String,
    lot: String,
    net: u64,
    unit: &'static str,
    packs: u32,
    rate: Option<String>,
    rate_on: Option<String>,
    rate_method: Option<String>,
    past_packs: usize,
    past_runs: usize,
    spread: Option<f64>,
    settling: f64,
    for_mean: f64,
    for_each: f64,
    margin: f64,
    /// In the unit declared.
    aim: f64,
    /// On the scales, in whole grams, rounded up; as declared where nothing is weighed.
    fill: u64,
    fill_unit: &'static str,
}

/// A target and all it rests on.
pub(super) struct Aimed<'a> {
    pub(super) farm: &'a Farm,
    pub(super) product: &'a Product,
    pub(super) lot: LotId,
    pub(super) packs: u32,
    pub(super) margin: &'a Margin,
    pub(super) rate: Option<RateTest<'a>>,
    pub(super) aim: f64,
    pub(super) fill: u64,
    pub(super) fill_unit: Unit,
}

impl Aimed<'_> {
    /// Writes it as one JSON object.
    pub(super) fn json(&self) -> String {
        out::json(&Target {
            product: self.product.key.to_string(),
            lot: self.farm.lot(self.lot).code.to_string(),
            net: self.product.net.value(),
            unit: super::stock::unit_word(self.product.net.unit()),
            packs: self.packs,
            rate: self.rate.map(|test| test.rate.to_string()),
            rate_on: self.rate.map(|test| test.when.to_string()),
            rate_method: self
                .rate
                .and_then(|test| test.facts.method.as_ref().map(ToString::to_string)),
            past_packs: self.margin.packs,
            past_runs: self.margin.runs,
            spread: self.margin.spread,
            settling: self.margin.settling,
            for_mean: self.margin.for_mean,
            for_each: self.margin.for_each,
            margin: self.margin.total,
            aim: self.aim,
            fill: self.fill,
            fill_unit: super::stock::unit_word(self.fill_unit),
        })
    }

    /// Writes it for people.
    pub(super) fn page(&self, settings: &Settings) -> String {
        let unit = self.product.net.unit();
        let net = self.product.net;
        let mut text = format!(
            "{} {net} of {}\n",
            self.product.name,
            called(self.farm, self.lot)
        );
        if let Some(test) = self.rate {
            let (net_grams, _) = on_the_scales(Tenths::of(net).to_units(), unit, Some(test));
            let grams = plain(net_grams as f64, Unit::Grams);
            let each = match unit {
                Unit::Pieces => "to the kilogram",
                Unit::Grams | Unit::Millilitres => "g to the litre",
            };
            let day = test.when.day();
            let method = test.facts.method.as_ref();
            let method = method.map_or_else(String::new, |method| format!(" ({method})"));
            let told = format!(
                "{net} weigh ~{grams}, at {} {each}, measured {day}{method}",
                test.rate
            );
            text += &paragraph(&told, 2);
        }
        text += &paragraph(&self.ground(settings), 2);
        let aim = plain(self.aim, unit);
        text + &match self.rate {
            Some(_) => format!(
                "Fill in {} a pack (~{aim}).\n",
                plain(self.fill as f64, self.fill_unit)
            ),
            None => format!("Fill in {aim} a pack.\n"),
        }
    }

    /// Says what the margin rests on.
    fn ground(&self, settings: &Settings) -> String {
        let unit = self.product.net.unit();
        let (margin, total) = (self.margin, plain(self.margin.total, unit));
        let Some(spread) = margin.spread else {
            return format!(
                "margin {total}: a hundredth, to begin with (common practice, no source), as too few packs of {} have been weighed to tell",
                self.product.key
            );
        };
        let settling = if margin.settling > 0.0 {
            let settling = plain(margin.settling, unit);
            format!(", and {settling} by which packs were found to hold less than the scales said")
        } else {
            String::new()
        };
        format!(
            "margin {total}: {}{settling}; the spread of {} of the last {} is {}",
            self.wanted(settings),
            count(margin.packs, "pack", "packs"),
            count(margin.runs, "run weighed", "runs weighed"),
            plain(spread, unit)
        )
    }

    /// Says what asks for the most.
    fn wanted(&self, settings: &Settings) -> String {
        let (margin, unit, net) = (self.margin, self.product.net.unit(), self.product.net);
        let each = plain(margin.for_each, unit);
        let error = tne(net).map(|tne| tne.with_unit(unit));
        match (rule(&settings.country, net), error) {
            (Rule::Average(_), _) if margin.for_mean >= margin.for_each => format!(
                "{} so that the mean of {} is full",
                plain(margin.for_mean, unit),
                count(self.packs, "pack", "packs")
            ),
            (Rule::Average(_), Some(error)) => {
                format!("{each} so that few are short by more than the TNE of {error}")
            }
            (Rule::Average(_), None) | (Rule::EachPack(_), _) => {
                format!("{each} so that no more than 1 in 200 is short")
            }
        }
    }
}
