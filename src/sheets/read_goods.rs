//! Reads what is done with goods: deliveries, blends, tests, packs, counts and what is thrown out.

use super::cell::{Cells, items, kind, whole};
use super::error::SheetError;
use super::read::Reader;
use crate::farm::{
    Amount, AmountError, DeliveryFacts, Event, Found, KindError, Moment, Product, TestFacts,
    Thrown, Typed,
};

pub(super) fn delivery(cells: &mut Cells) -> Option<Event<Typed>> {
    let lot = cells.new_lot();
    let kind_ = cells.must("kind", kind);
    let name = cells.must_plain("name");
    let supplier = cells.must_word("supplier");
    let amount = cells.must("amount", Reader::amount);
    let age_days = cells.may("age_days", whole(0));
    let heat_treated = cells.may("heat_treated", kind);
    let hay_sprayed = cells.may("hay_sprayed", kind);
    let wormed_on = cells.may("wormed_on", Reader::date);
    let said_on = cells.may("said_on", Reader::date);
    let facts = DeliveryFacts {
        kind: kind_?,
        name: name?,
        supplier: supplier?,
        supplier_lot: cells.plain("supplier_lot"),
        species: cells.plain("species"),
        animal: cells.plain("animal"),
        origin: cells.plain("origin"),
        age_days,
        heat_treated,
        hay_from: cells.plain("hay_from"),
        hay_sprayed,
        wormer: cells.plain("wormer"),
        wormed_on,
        said_by: cells.word("said_by"),
        said_on,
        kept_sample: cells.plain("kept_sample"),
        certificate: cells.plain("certificate"),
    };
    Some(Event::Delivery {
        lot,
        amount: amount?,
        facts: Box::new(facts),
    })
}

pub(super) fn blend(cells: &mut Cells) -> Option<Event<Typed>> {
    let lot = cells.new_lot();
    let kind = cells.must("kind", kind);
    let from = cells.must_list("from", Reader::draw);
    Some(Event::Blend {
        lot,
        kind: kind?,
        from: from?,
    })
}

pub(super) fn test(cells: &mut Cells) -> Option<Event<Typed>> {
    let lot = cells.must("lot", Reader::lot);
    let test = cells.must_plain("test");
    let bean = test
        .as_deref()
        .is_some_and(|test| test.eq_ignore_ascii_case("bean"));
    let value = cells.must("value", |_, text| finding(bean, text));
    let facts = TestFacts {
        test: test?,
        value: value?,
        unit: cells.plain("unit"),
        method: cells.plain("method"),
        lab: cells.plain("lab"),
        result: cells.plain("result"),
    };
    Some(Event::Test {
        lot: lot?,
        facts: Box::new(facts),
    })
}

/// Reads the value of a test; a bean test passes or fails.
fn finding(bean: bool, text: &str) -> Result<Box<str>, SheetError> {
    const KNOWN: &[&str] = &["pass", "fail"];
    if !bean {
        return Ok(text.into());
    }
    let word = KNOWN.iter().find(|word| word.eq_ignore_ascii_case(text));
    let unknown = || KindError {
        typed: text.to_owned(),
        known: KNOWN,
    };
    Ok((*word.ok_or_else(unknown)?).into())
}

pub(super) fn pack(cells: &mut Cells, when: Option<Moment>) -> Option<Event<Typed>> {
    let lot = cells.new_lot();
    let product = cells.must("product", product);
    let count = cells.must("count", whole(1));
    let from = cells.must_list("from", Reader::draw);
    let typed = cells.may("best_by", Reader::date);
    let product = product?;
    let best_by = typed.or_else(|| product.best_by(when?.day()));
    Some(Event::Pack {
        lot,
        product: Box::new(product),
        count: count?,
        from: from?,
        best_by,
        despite: cells.plain("despite"),
    })
}

/// Finds a product of castlot.toml by its key.
fn product(reader: &Reader, text: &str) -> Result<Product, SheetError> {
    let products = &reader.settings.products;
    let found = products.get(text).or_else(|| {
        let mut near = products
            .iter()
            .filter(|(key, _)| key.eq_ignore_ascii_case(text));
        near.next().map(|(_, setting)| setting)
    });
    let setting = found.ok_or_else(|| SheetError::NoSuchProduct {
        typed: text.to_owned(),
        known: products.keys().cloned().collect(),
    })?;
    Ok(setting.product.clone())
}

pub(super) fn count(cells: &mut Cells) -> Option<Event<Typed>> {
    let lot = cells.must("lot", Reader::lot);
    let found = cells.must("found", found);
    let why = cells.must_word("why");
    Some(Event::Count {
        lot: lot?,
        found: found?,
        why: why?,
    })
}

/// Reads what a count found: an amount, or nothing.
fn found(reader: &Reader, text: &str) -> Result<Found, SheetError> {
    match Amount::read(text, &reader.settings.measures) {
        Ok(amount) => Ok(Found::Some(amount)),
        Err(AmountError::Nothing { .. }) => Ok(Found::Nothing),
        Err(error) => Err(error.into()),
    }
}

pub(super) fn thrown(cells: &mut Cells) -> Option<Event<Typed>> {
    let what = match cells.text("what") {
        Some(text) if items(text).nth(1).is_some() => thrown_packs(cells),
        _ => cells.must("what", thrown_one),
    };
    let why = cells.must_word("why");
    Some(Event::Thrown {
        what: what?,
        why: why?,
    })
}

/// Reads several picks of packs.
fn thrown_packs(cells: &mut Cells) -> Option<Thrown<Typed>> {
    let pick = |reader: &Reader, item: &str| {
        reader.pick(item).map_err(|error| match reader.draw(item) {
            Ok(_) => SheetError::OneLotARow,
            Err(_) => error,
        })
    };
    cells.list("what", pick).map(Thrown::Packs)
}

/// Reads packs, some of a lot, or a bin whose bed ends.
fn thrown_one(reader: &Reader, text: &str) -> Result<Thrown<Typed>, SheetError> {
    let item = items(text).next().ok_or(SheetError::Empty)?;
    let no_packs = match reader.pick(item) {
        Ok(pick) => return Ok(Thrown::Packs(vec![pick])),
        Err(error) => error,
    };
    let no_draw = match reader.draw(item) {
        Ok(draw) => return Ok(Thrown::Some(draw)),
        Err(error) => error,
    };
    match reader.bed(item) {
        Ok(bed) => Ok(Thrown::Bed(bed)),
        Err(_) if item.contains(['#', '/']) => Err(no_packs),
        Err(_) if item.contains([' ', '\t', ':']) => Err(no_draw),
        Err(error) => Err(error),
    }
}
