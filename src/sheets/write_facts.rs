//! Writes the columns that stand beside the stuff a row moves.

use super::row::Row;
use super::write::{put, some};
use crate::farm::{
    BinFacts, CheckFacts, ComplaintFacts, DeliveryFacts, PrintFacts, SaleTo, TestFacts,
};

pub(super) fn bin(row: &mut Row<'static>, facts: &BinFacts) {
    some(row, "species", facts.species.as_ref());
    some(row, "length_mm", facts.length_mm);
    some(row, "width_mm", facts.width_mm);
    some(row, "depth_mm", facts.depth_mm);
    some(row, "material", facts.material.as_ref());
}

pub(super) fn delivery(row: &mut Row<'static>, facts: &DeliveryFacts) {
    put(row, "kind", facts.kind);
    put(row, "name", &facts.name);
    put(row, "supplier", &facts.supplier);
    some(row, "supplier_lot", facts.supplier_lot.as_ref());
    some(row, "species", facts.species.as_ref());
    some(row, "animal", facts.animal.as_ref());
    some(row, "origin", facts.origin.as_ref());
    some(row, "age_days", facts.age_days);
    some(row, "heat_treated", facts.heat_treated);
    some(row, "hay_from", facts.hay_from.as_ref());
    some(row, "hay_sprayed", facts.hay_sprayed);
    some(row, "wormer", facts.wormer.as_ref());
    some(row, "wormed_on", facts.wormed_on);
    some(row, "said_by", facts.said_by.as_ref());
    some(row, "said_on", facts.said_on);
    some(row, "kept_sample", facts.kept_sample.as_ref());
    some(row, "certificate", facts.certificate.as_ref());
}

pub(super) fn check(row: &mut Row<'static>, facts: &CheckFacts) {
    some(row, "feed_left", facts.feed_left);
    some(row, "squeeze", facts.squeeze);
    some(row, "moisture", facts.moisture.as_ref());
    some(row, "temperature_c", facts.temperature_c.as_ref());
    some(row, "ph", facts.ph.as_ref());
    some(row, "worms", facts.worms.as_ref());
    some(row, "cocoons", facts.cocoons.as_ref());
    some(row, "smell", facts.smell.as_ref());
    some(row, "pests", facts.pests.as_ref());
}

pub(super) fn test(row: &mut Row<'static>, facts: &TestFacts) {
    put(row, "test", &facts.test);
    put(row, "value", &facts.value);
    some(row, "unit", facts.unit.as_ref());
    some(row, "method", facts.method.as_ref());
    some(row, "lab", facts.lab.as_ref());
    some(row, "result", facts.result.as_ref());
}

pub(super) fn sale(row: &mut Row<'static>, to: &SaleTo) {
    some(row, "buyer", to.buyer.as_ref());
    some(row, "market", to.market.as_ref());
    some(row, "contact", to.contact.as_ref());
    some(row, "document", to.document.as_ref());
}

pub(super) fn complaint(row: &mut Row<'static>, facts: &ComplaintFacts) {
    put(row, "sign", &facts.sign);
    some(row, "heard", facts.heard.as_ref());
    some(row, "product", facts.product.as_ref());
    some(row, "bought_at", facts.bought_at.as_ref());
    some(row, "bought_about", facts.bought_about.as_ref());
    some(row, "contact", facts.contact.as_ref());
    some(row, "complaint", facts.name.as_ref());
}

pub(super) fn print(row: &mut Row<'static>, facts: &PrintFacts) {
    put(row, "template", &facts.template);
    put(row, "printer", &facts.printer);
    put(row, "printed", facts.printed);
    put(row, "spoiled", facts.spoiled);
    put(row, "digest", &facts.digest);
    some(row, "why", facts.why.as_ref());
}
