//! Stored lines of packs: runs, weighings, sales, returns, complaints, recalls, prints.
//!
//! Promises never to change what is written; a later version may add.

use jiff::civil::Date;

use super::error::{DiaryError, WireError};
use super::ink::Ink;
use super::pieces::{DrawLine, PackLine, PickLine, ProductLine, code, list, mark, new_lot, unlist};
use super::rows::row;
use super::values::{QuantityLine, Text};
use super::wire::need;
use super::words::{Reader, WordRef};
use crate::farm::{
    ComplaintFacts, Draw, Event, LotCode, Mark, Meant, NewLot, PackName, PackPick, PrintFacts,
    Product, Quantity, RecallStep, ReturnState, SaleTo, Word,
};

row! {
    /// Packs are filled.
    Pack = "pack" {
        "best_by" best_by: Text<Date>,
        "code" code: Text<LotCode>,
        "count" count: u32,
        "despite" despite: Box<str>,
        "from" from: Vec<DrawLine>,
        "product" product: ProductLine,
        "ref" mark: Text<Mark>,
    }
}

impl Pack {
    pub(super) fn of(
        lot: &NewLot<Meant>,
        product: &Product,
        count: u32,
        from: &[Draw<Meant>],
    ) -> Self {
        Self {
            code: code(lot),
            count: Some(count),
            from: list(from, DrawLine::of),
            product: Some(ProductLine::of(product)),
            mark: mark(lot),
            ..Self::default()
        }
    }

    /// Adds the day it is best by, and why a held lot was used.
    pub(super) fn until(self, best_by: Option<Date>, despite: Option<&str>) -> Self {
        Self {
            best_by: best_by.map(Text),
            despite: despite.map(Into::into),
            ..self
        }
    }

    fn meant(self, _: &mut Reader<'_>) -> Result<Event<Meant>, WireError> {
        Ok(Event::Pack {
            lot: new_lot(self.code, self.mark)?,
            product: Box::new(need(self.product, "product")?.read()),
            count: need(self.count, "count")?,
            from: unlist(self.from, DrawLine::read)?,
            best_by: self.best_by.map(|day| day.0),
            despite: self.despite,
        })
    }
}

row! {
    /// Packs are weighed, measured or counted out.
    Weighing = "weighing" {
        "run" run: Text<LotCode>,
        "tare" tare: QuantityLine,
        "values" values: Vec<QuantityLine>,
    }
}

impl Weighing {
    pub(super) fn of(run: LotCode, values: &[Quantity], tare: Option<Quantity>) -> Self {
        Self {
            run: Some(Text(run)),
            tare: tare.map(QuantityLine),
            values: list(values, |value| QuantityLine(*value)),
        }
    }

    fn meant(self, _: &mut Reader<'_>) -> Result<Event<Meant>, WireError> {
        Ok(Event::Weighing {
            run: need(self.run, "run")?.0,
            values: unlist(self.values, |value| Ok(value.0))?,
            tare: self.tare.map(|tare| tare.0),
        })
    }
}

row! {
    /// Packs are sold.
    Sale = "sale" {
        "buyer" buyer: WordRef,
        "contact" contact: WordRef,
        "despite" despite: Box<str>,
        "document" document: Box<str>,
        "market" market: WordRef,
        "packs" packs: Vec<PickLine>,
    }
}

impl Sale {
    pub(super) fn of(
        packs: &[PackPick<Meant>],
        to: &SaleTo,
        despite: Option<&str>,
        ink: &mut Ink<'_>,
    ) -> Result<Self, DiaryError> {
        Ok(Self {
            buyer: ink.maybe(to.buyer.as_ref())?,
            contact: ink.maybe(to.contact.as_ref())?,
            despite: despite.map(Into::into),
            document: to.document.clone(),
            market: ink.maybe(to.market.as_ref())?,
            packs: list(packs, PickLine::of),
        })
    }

    fn meant(self, words: &mut Reader<'_>) -> Result<Event<Meant>, WireError> {
        Ok(Event::Sale {
            packs: unlist(self.packs, PickLine::read)?,
            to: Box::new(SaleTo {
                buyer: words.maybe(self.buyer)?,
                market: words.maybe(self.market)?,
                contact: words.maybe(self.contact)?,
                document: self.document,
            }),
            despite: self.despite,
        })
    }
}

row! {
    /// Packs come back.
    Return = "return" {
        "buyer" buyer: WordRef,
        "market" market: WordRef,
        "packs" packs: Vec<PickLine>,
        "state" state: Text<ReturnState>,
    }
}

impl Return {
    pub(super) fn of(packs: &[PackPick<Meant>], state: ReturnState) -> Self {
        Self {
            packs: list(packs, PickLine::of),
            state: Some(Text(state)),
            ..Self::default()
        }
    }

    /// Adds who they come from.
    pub(super) fn from(
        self,
        buyer: Option<&Word>,
        market: Option<&Word>,
        ink: &mut Ink<'_>,
    ) -> Result<Self, DiaryError> {
        Ok(Self {
            buyer: ink.maybe(buyer)?,
            market: ink.maybe(market)?,
            ..self
        })
    }

    fn meant(self, words: &mut Reader<'_>) -> Result<Event<Meant>, WireError> {
        Ok(Event::Return {
            packs: unlist(self.packs, PickLine::read)?,
            state: need(self.state, "state")?.0,
            buyer: words.maybe(self.buyer)?,
            market: words.maybe(self.market)?,
        })
    }
}

row! {
    /// Somebody complains.
    Complaint = "complaint" {
        "bought_about" bought_about: Box<str>,
        "bought_at" bought_at: Box<str>,
        "complaint" name: Text<Mark>,
        "contact" contact: WordRef,
        "heard" heard: WordRef,
        "pack" pack: PackLine,
        "product" product: Box<str>,
        "sign" sign: WordRef,
    }
}

impl Complaint {
    pub(super) fn of(
        pack: Option<&PackName<Meant>>,
        facts: &ComplaintFacts,
        ink: &mut Ink<'_>,
    ) -> Result<Self, DiaryError> {
        Ok(Self {
            bought_about: facts.bought_about.clone(),
            bought_at: facts.bought_at.clone(),
            name: facts.name.clone().map(Text),
            contact: ink.maybe(facts.contact.as_ref())?,
            heard: ink.maybe(facts.heard.as_ref())?,
            pack: pack.map(PackLine::of),
            product: facts.product.clone(),
            sign: Some(ink.word(&facts.sign)?),
        })
    }

    fn meant(self, words: &mut Reader<'_>) -> Result<Event<Meant>, WireError> {
        Ok(Event::Complaint {
            pack: self.pack.map(PackLine::read).transpose()?,
            facts: Box::new(ComplaintFacts {
                name: self.name.map(|name| name.0),
                sign: words.word(need(self.sign, "sign")?)?,
                heard: words.maybe(self.heard)?,
                product: self.product,
                bought_at: self.bought_at,
                bought_about: self.bought_about,
                contact: words.maybe(self.contact)?,
            }),
        })
    }
}

row! {
    /// A complaint is settled.
    Settlement = "settlement" {
        "complaint" complaint: Text<Mark>,
        "why" why: WordRef,
    }
}

impl Settlement {
    pub(super) fn of(complaint: &Mark, why: &Word, ink: &mut Ink<'_>) -> Result<Self, DiaryError> {
        Ok(Self {
            complaint: Some(Text(complaint.clone())),
            why: Some(ink.word(why)?),
        })
    }

    fn meant(self, words: &mut Reader<'_>) -> Result<Event<Meant>, WireError> {
        Ok(Event::Settlement {
            complaint: need(self.complaint, "complaint")?.0,
            why: words.word(need(self.why, "why")?)?,
        })
    }
}

row! {
    /// A recall goes a step on.
    Recall = "recall" {
        "buyer" buyer: WordRef,
        "lots" lots: Vec<Text<LotCode>>,
        "packs" packs: Vec<PickLine>,
        "recall" recall: Box<str>,
        "step" step: Text<RecallStep>,
        "why" why: WordRef,
    }
}

impl Recall {
    pub(super) fn of(
        recall: &str,
        step: RecallStep,
        lots: &[LotCode],
        packs: &[PackPick<Meant>],
    ) -> Self {
        Self {
            lots: list(lots, |lot| Text(*lot)),
            packs: list(packs, PickLine::of),
            recall: Some(recall.into()),
            step: Some(Text(step)),
            ..Self::default()
        }
    }

    /// Adds who was told, and why.
    pub(super) fn told(
        self,
        buyer: Option<&Word>,
        why: Option<&Word>,
        ink: &mut Ink<'_>,
    ) -> Result<Self, DiaryError> {
        Ok(Self {
            buyer: ink.maybe(buyer)?,
            why: ink.maybe(why)?,
            ..self
        })
    }

    fn meant(self, words: &mut Reader<'_>) -> Result<Event<Meant>, WireError> {
        Ok(Event::Recall {
            recall: need(self.recall, "recall")?,
            step: need(self.step, "step")?.0,
            lots: unlist(self.lots, |lot| Ok(lot.0))?,
            packs: unlist(self.packs, PickLine::read)?,
            buyer: words.maybe(self.buyer)?,
            why: words.maybe(self.why)?,
        })
    }
}

row! {
    /// Labels were printed.
    Print = "print" {
        "digest" digest: Box<str>,
        "packs" packs: Vec<PickLine>,
        "printed" printed: u32,
        "printer" printer: Box<str>,
        "spoiled" spoiled: u32,
        "template" template: Box<str>,
        "why" why: WordRef,
    }
}

impl Print {
    pub(super) fn of(
        packs: &[PackPick<Meant>],
        facts: &PrintFacts,
        ink: &mut Ink<'_>,
    ) -> Result<Self, DiaryError> {
        let why = facts.why.as_deref().map(|why| ink.said(why));
        Ok(Self {
            digest: Some(facts.digest.clone()),
            packs: list(packs, PickLine::of),
            printed: Some(facts.printed),
            printer: Some(facts.printer.clone()),
            spoiled: Some(facts.spoiled),
            template: Some(facts.template.clone()),
            why: why.transpose()?,
        })
    }

    fn meant(self, words: &mut Reader<'_>) -> Result<Event<Meant>, WireError> {
        // The farm keeps this one as plain text; one that was forgotten is shown by its key, as everywhere.
        let why = words.maybe(self.why)?.map(|why| why.to_string().into());
        Ok(Event::Print {
            packs: unlist(self.packs, PickLine::read)?,
            facts: Box::new(PrintFacts {
                template: need(self.template, "template")?,
                printer: need(self.printer, "printer")?,
                printed: need(self.printed, "printed")?,
                spoiled: need(self.spoiled, "spoiled")?,
                digest: need(self.digest, "digest")?,
                why,
            }),
        })
    }
}
