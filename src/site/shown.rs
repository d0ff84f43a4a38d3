//! The gate between the farm and its public pages: whatever a page says of a lot, it asks here, and is told no more than
//! the farm's list of public facts lets out.

use crate::farm::{
    Amount, DeliveryKind, Farm, LotId, LotSort, PackKind, Public, PublicFact, Settings,
};
use crate::trace::Layer;

use super::facts::{self, Test};
use super::frame::Known;
use super::kind::Kind;
use super::wording;

/// A farm as the public may see it.
#[derive(Clone, Copy)]
pub struct Shown<'a> {
    /// The farm, for what is public of every farm: codes of pages, days of packing, holds and recalls.
    pub farm: &'a Farm,
    public: &'a Public,
}

impl<'a> Shown<'a> {
    /// Looks at a farm through the list in its settings.
    pub fn of(farm: &'a Farm, settings: &'a Settings) -> Self {
        Self {
            farm,
            public: &settings.public,
        }
    }

    /// Tells whether a fact is shown.
    pub fn lets_out(self, fact: PublicFact) -> bool {
        self.public.shows(fact)
    }

    /// Returns what a lot is; an animal and a species are named where they are public.
    pub fn what(self, lot: LotId) -> String {
        self.kind(lot).to_string()
    }

    /// Returns the same, to be compared.
    pub fn kind(self, lot: LotId) -> Kind<'a> {
        let named = match self.farm.lot(lot).sort {
            LotSort::Delivery(kind) => match kind {
                DeliveryKind::Worms => self.lets_out(PublicFact::Species),
                DeliveryKind::Manure => self.lets_out(PublicFact::Animals),
                DeliveryKind::Feedstock
                | DeliveryKind::Bedding
                | DeliveryKind::Grit
                | DeliveryKind::Packing => true,
            },
            LotSort::Bed | LotSort::Batch(_) | LotSort::Run(_) => true,
        };
        let kind = Kind::of(self.farm, lot);
        if named { kind } else { kind.plain() }
    }

    /// Tells whether the lots of a layer of the drawing are named in it.
    pub fn names(self, layer: Layer) -> bool {
        match layer {
            Layer::Goods => self.lets_out(PublicFact::Deliveries),
            Layer::Beds => self.lets_out(PublicFact::Beds),
            Layer::Mixed | Layer::Taken | Layer::Subject => true,
        }
    }

    /// Returns the code by which the drawing names a lot.
    pub fn code(self, lot: LotId) -> Option<String> {
        let lot = self.farm.lot(lot);
        self.names(Layer::of(lot.sort))
            .then(|| lot.code.to_string())
    }

    /// Returns when lots of a layer, in the order of time, were made, for narrow places: of a lot that is named, the day.
    pub fn made(self, layer: Layer, lots: &[LotId]) -> Option<String> {
        let day = |lot: &LotId| self.farm.lot(*lot).when.day();
        let (first, last) = lots.first().zip(lots.last())?;
        if layer == Layer::Goods && !self.lets_out(PublicFact::Months) {
            return None;
        }
        Some(match lots {
            [only] if self.names(layer) => wording::brief_date(day(only)),
            _ => wording::brief_months(day(first), day(last)),
        })
    }

    /// Returns the rack that a bed's last bin stands on now.
    pub fn rack(self, bed: LotId) -> Option<&'a str> {
        let stay = self.farm.lot(bed).stays.last();
        let stay = stay.filter(|_| self.lets_out(PublicFact::Places))?;
        let bin = self.farm.bins().get(&stay.bin)?;
        Some(bin.standing.as_ref()?.place.rack())
    }

    /// Returns the species of a lot.
    pub fn species(self, lot: LotId) -> Option<&'a str> {
        self.farm
            .species(lot)
            .filter(|_| self.lets_out(PublicFact::Species))
    }

    /// Returns what is known of a lot itself.
    pub fn known(self, lot: LotId) -> Vec<Known> {
        facts::known(self, lot)
    }

    /// Returns the day by which a run is best.
    pub fn best_by(self, run: LotId) -> Option<jiff::civil::Date> {
        self.farm
            .best_by(run)
            .filter(|_| self.lets_out(PublicFact::BestBy))
    }

    /// Returns the months that deliveries came in.
    pub fn months(self, first: LotId, last: LotId) -> Option<String> {
        let day = |lot: LotId| self.farm.lot(lot).when.day();
        self.lets_out(PublicFact::Months)
            .then(|| wording::months(day(first), day(last)))
    }

    /// Returns how much there is of a batch.
    pub fn amount(self, batch: LotId) -> Option<String> {
        let amount = self.farm.made_amount(batch);
        let amount = amount.filter(|_| self.lets_out(PublicFact::Amounts))?;
        // The kind of pack matters for pieces alone.
        let said = |quantity| wording::quantity(quantity, PackKind::Bag);
        Some(match amount {
            Amount::Weighed(quantity) => said(quantity),
            Amount::Guess(quantity) => format!("about {}", said(quantity)),
            Amount::Unknown => "not known".to_owned(),
        })
    }

    /// Returns the tests of a lot and of the batches that went straight into it, the latest first.
    pub fn tests(self, lot: LotId) -> Vec<Test> {
        match self.lets_out(PublicFact::Tests) {
            true => facts::tests(self, lot),
            false => Vec::new(),
        }
    }
}
