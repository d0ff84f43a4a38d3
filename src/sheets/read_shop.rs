//! Reads what happens to packs and what is said of lots: weighings, sales, returns, complaints, holds, recalls, prints.

use super::cell::{Cells, kind, whole};
use super::error::SheetError;
use super::read::Reader;
use crate::farm::{
    ComplaintFacts, Event, HoldStep, KindError, Mark, PackPick, PrintFacts, Reach, SaleTo, Typed,
};

pub(super) fn weighing(cells: &mut Cells) -> Option<Event<Typed>> {
    let run = cells.must("run", Reader::lot);
    let values = cells.must_list("values", Reader::quantity);
    let tare = cells.may("tare", Reader::quantity);
    Some(Event::Weighing {
        run: run?,
        values: values?,
        tare,
    })
}

pub(super) fn sale(cells: &mut Cells) -> Option<Event<Typed>> {
    let packs = cells.must_list("packs", Reader::pick);
    let to = SaleTo {
        buyer: cells.word("buyer"),
        market: cells.word("market"),
        contact: cells.word("contact"),
        document: cells.plain("document"),
    };
    if to.buyer.is_none() && to.market.is_none() {
        cells.problem("buyer", SheetError::NoBuyer);
    }
    Some(Event::Sale {
        packs: packs?,
        to: Box::new(to),
        despite: cells.plain("despite"),
    })
}

pub(super) fn returned(cells: &mut Cells) -> Option<Event<Typed>> {
    let packs = cells.must_list("packs", Reader::pick);
    let state = cells.must("state", kind);
    Some(Event::Return {
        packs: packs?,
        state: state?,
        buyer: cells.word("buyer"),
        market: cells.word("market"),
    })
}

pub(super) fn complaint(cells: &mut Cells) -> Option<Event<Typed>> {
    let pack = cells.may("pack", Reader::pack);
    let sign = cells.must_word("sign");
    let facts = ComplaintFacts {
        name: cells.may("complaint", |_, text| Ok(text.parse::<Mark>()?)),
        sign: sign?,
        heard: cells.word("heard"),
        product: cells.plain("product"),
        bought_at: cells.plain("bought_at"),
        bought_about: cells.plain("bought_about"),
        contact: cells.word("contact"),
    };
    Some(Event::Complaint {
        pack,
        facts: Box::new(facts),
    })
}

pub(super) fn settlement(cells: &mut Cells) -> Option<Event<Typed>> {
    let complaint = cells.must("complaint", |_, text| Ok(text.parse::<Mark>()?));
    let why = cells.must_word("why");
    Some(Event::Settlement {
        complaint: complaint?,
        why: why?,
    })
}

pub(super) fn hold(cells: &mut Cells) -> Option<Event<Typed>> {
    let lot = cells.must("lot", Reader::lot);
    let reach: Option<Reach> = cells.may("reach", kind);
    let step = cells.must("state", |_, text| state(text, reach));
    let reason = cells.must_word("reason");
    Some(Event::Hold {
        lot: lot?,
        step: step?,
        reason: reason?,
    })
}

/// Reads `hold` or `release`; a hold reaches the parts, unless the row says otherwise.
fn state(text: &str, reach: Option<Reach>) -> Result<HoldStep, SheetError> {
    if text.eq_ignore_ascii_case("hold") {
        Ok(HoldStep::Hold(reach.unwrap_or(Reach::Parts)))
    } else if text.eq_ignore_ascii_case("release") {
        Ok(HoldStep::Release)
    } else {
        let typed = text.to_owned();
        let known = &["hold", "release"];
        Err(KindError { typed, known }.into())
    }
}

pub(super) fn recall(cells: &mut Cells) -> Option<Event<Typed>> {
    let recall = cells.must_plain("recall");
    let step = cells.must("step", kind);
    let lots = cells.must_list("lots", Reader::lot);
    let packs = optional_packs(cells);
    Some(Event::Recall {
        recall: recall?,
        step: step?,
        lots: lots?,
        packs: packs?,
        buyer: cells.word("buyer"),
        why: cells.word("why"),
    })
}

fn optional_packs(cells: &mut Cells) -> Option<Vec<PackPick<Typed>>> {
    match cells.text("packs") {
        Some(_) => cells.list("packs", Reader::pick),
        None => Some(Vec::new()),
    }
}

pub(super) fn print(cells: &mut Cells) -> Option<Event<Typed>> {
    let packs = cells.must_list("packs", Reader::pick);
    let template = cells.must_plain("template");
    let printer = cells.must_plain("printer");
    let printed = cells.must("printed", whole(0));
    let spoiled = cells.must("spoiled", whole(0));
    let digest = cells.must_plain("digest");
    let facts = PrintFacts {
        template: template?,
        printer: printer?,
        printed: printed?,
        spoiled: spoiled?,
        digest: digest?,
        why: cells.plain("why"),
    };
    Some(Event::Print {
        packs: packs?,
        facts: Box::new(facts),
    })
}
