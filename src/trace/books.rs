//! The mass balance of every lot: what came in is what went out, is in store, was thrown out, lost, written off, or is
//! not accounted for. Whole grams, millilitres, pieces and packs, so that it closes exactly.
//!
//! What cannot be known is never filled in: a `?` counts nothing and is named as a gap, so that whoever reads the last
//! term knows why it may not be nothing.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::farm::{
    Amount, EntryNumber, Farm, FlowId, LotCode, LotId, LotSort, Mark, Moment, Much, Quantity, Rate,
    Unit,
};

use super::bed_books::{BedBook, bed_books};
use super::filling::{Filling, filling};
use super::terms::Terms;

/// What a lot is counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Counted {
    /// Grams, millilitres or pieces.
    In(Unit),
    /// Packs.
    Packs,
}

/// Why a balance may not tell all.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Gap {
    /// Nobody knows how much came in.
    UnknownIn {
        /// The entry.
        entry: EntryNumber,
    },
    /// Nobody knows how much went out.
    UnknownOut {
        /// The entry.
        entry: EntryNumber,
    },
    /// Amounts that were guessed, turned by a test, or divided over several beds.
    Guesses {
        /// How many.
        count: usize,
        /// How much they come to, in the lot's unit.
        amount: i64,
    },
    /// Litres for which there is no density: a litre was taken for a kilogram.
    NoDensity {
        /// The entry.
        entry: EntryNumber,
    },
    /// Animals counted in pieces for which there is no count to the kilogram: they weigh nothing here.
    NoWeight {
        /// The entry.
        entry: EntryNumber,
    },
    /// More went out than came in.
    Over,
    /// Nobody knows how much is left.
    UnknownLeft,
}

/// The balance of one lot.
#[derive(Clone, Debug, PartialEq)]
pub struct Account {
    /// Its code.
    pub code: LotCode,
    /// The grower's mark.
    pub mark: Option<Mark>,
    /// What it is.
    pub sort: LotSort,
    /// When it was made.
    pub when: Moment,
    /// What it is counted in.
    pub counted: Counted,
    /// The terms.
    pub terms: Terms,
    /// Why they may not tell all.
    pub gaps: Vec<Gap>,
    /// What a litre weighs, by the last test: a batch's grams can then be read as litres.
    pub density: Option<Rate>,
    /// For a run, what was put into its packs against what they are sold as.
    pub filling: Option<Filling>,
}

/// Balances every lot over all time, in the order of time.
pub fn books(farm: &Farm) -> Vec<Account> {
    let beds = bed_books(farm);
    let mut lots: Vec<LotId> = farm.lots().map(|(id, _)| id).collect();
    lots.sort_by_key(|id| {
        let when = farm.lot(*id).when;
        (when.earliest(), when.latest(), *id)
    });
    lots.into_iter()
        .map(|id| account(farm, id, &beds))
        .collect()
}

/// Balances every lot over a span of days, both of them in it; lots of which there was nothing then are left out.
pub fn books_between(farm: &Farm, first: Date, last: Date) -> Vec<Account> {
    let before = first
        .yesterday()
        .map(|day| books(&farm.until(day)))
        .unwrap_or_default();
    let before: BTreeMap<LotCode, Account> = before
        .into_iter()
        .map(|account| (account.code, account))
        .collect();
    let mut span = Vec::new();
    for mut account in books(&farm.until(last)) {
        if let Some(earlier) = before.get(&account.code) {
            account.terms = account.terms.since(earlier.terms);
            account.gaps = newer(account.gaps, &earlier.gaps);
            // What was filled earlier was balanced then.
            account.filling = None;
        }
        if account.terms != Terms::default() {
            span.push(account);
        }
    }
    span
}

/// Returns the gaps that an earlier day did not have.
fn newer(gaps: Vec<Gap>, earlier: &[Gap]) -> Vec<Gap> {
    let guessed = |gaps: &[Gap]| {
        gaps.iter().find_map(|gap| match gap {
            Gap::Guesses { count, amount } => Some((*count, *amount)),
            Gap::UnknownIn { .. }
            | Gap::UnknownOut { .. }
            | Gap::NoDensity { .. }
            | Gap::NoWeight { .. }
            | Gap::Over
            | Gap::UnknownLeft => None,
        })
    };
    let (known, sum) = guessed(earlier).unwrap_or_default();
    gaps.into_iter()
        .filter_map(|gap| match gap {
            Gap::Guesses { count, amount } if count > known => Some(Gap::Guesses {
                count: count - known,
                amount: amount.saturating_sub(sum),
            }),
            Gap::Guesses { .. } => None,
            gap if earlier.contains(&gap) => None,
            gap => Some(gap),
        })
        .collect()
}

fn account(farm: &Farm, id: LotId, beds: &BTreeMap<LotId, BedBook>) -> Account {
    let lot = farm.lot(id);
    let (counted, terms, mut gaps) = match lot.sort {
        LotSort::Run(_) => (Counted::Packs, of_packs(farm, id), Vec::new()),
        LotSort::Bed => {
            let book = beds.get(&id).cloned().unwrap_or_default();
            let (terms, gaps) = book.settled(lot.ended.is_some());
            (Counted::In(Unit::Grams), terms, gaps)
        }
        LotSort::Delivery(_) | LotSort::Batch(_) => of_stuff(farm, id),
    };
    if terms.unaccounted < 0 && !gaps.contains(&Gap::Over) {
        gaps.push(Gap::Over);
    }
    Account {
        code: lot.code,
        mark: lot.mark.clone(),
        sort: lot.sort,
        when: lot.when,
        counted,
        terms,
        gaps,
        density: lot.density(Moment::day_only(Date::MAX)),
        filling: filling(farm, id),
    }
}

fn of_packs(farm: &Farm, id: LotId) -> Terms {
    let Some(shelf) = &farm.lot(id).shelf else {
        return Terms::default();
    };
    let terms = Terms {
        came_in: i64::from(shelf.made()),
        used: i64::from(shelf.opened()),
        sold: i64::from(shelf.out()),
        thrown: i64::from(shelf.thrown()),
        lost: shelf.lost(),
        apart: i64::from(shelf.complained()),
        in_store: i64::from(shelf.in_store()),
        ..Terms::default()
    };
    terms.closed()
}

/// Balances a delivery or a batch in its own unit.
fn of_stuff(farm: &Farm, id: LotId) -> (Counted, Terms, Vec<Gap>) {
    let lot = farm.lot(id);
    let unit = lot.stock.unit.unwrap_or(Unit::Grams);
    let mut tally = Tally::new(unit);
    let made = farm.entries()[lot.entry].number;
    let came_in = tally.add(
        lot.made.unwrap_or(Amount::Unknown),
        Gap::UnknownIn { entry: made },
    );
    let (mut used, mut thrown) = (0_i64, 0_i64);
    for flow in lot.outflows.iter().map(|id: &FlowId| farm.flow(*id)) {
        let amount = match flow.much {
            Much::Amount(amount) | Much::Divided(amount) => amount,
            // Only beds are split or tipped.
            Much::Portion(_) | Much::All => Amount::Unknown,
        };
        let entry = farm.entries()[flow.entry].number;
        let value = tally.add(amount, Gap::UnknownOut { entry });
        let sum = if flow.to.is_some() {
            &mut used
        } else {
            &mut thrown
        };
        *sum = sum.saturating_add(value);
    }
    let left = lot.stock.left();
    if left.is_none() {
        tally.gaps.push(Gap::UnknownLeft);
    }
    let terms = Terms {
        came_in,
        used,
        thrown,
        lost: lot.stock.lost,
        in_store: left.map_or(0, |left| whole(left.value())),
        ..Terms::default()
    };
    (Counted::In(unit), terms.closed(), tally.gaps())
}

/// Adds amounts of one unit up, and keeps what is not known.
struct Tally {
    unit: Unit,
    gaps: Vec<Gap>,
    guesses: (usize, i64),
}

impl Tally {
    fn new(unit: Unit) -> Self {
        Self {
            unit,
            gaps: Vec::new(),
            guesses: (0, 0),
        }
    }

    /// Returns an amount in whole units: nothing where it is not known, and then `gap` is kept.
    fn add(&mut self, amount: Amount, gap: Gap) -> i64 {
        let known = amount
            .quantity()
            .filter(|quantity| quantity.unit() == self.unit);
        let Some(value) = known.map(Quantity::value) else {
            self.gaps.push(gap);
            return 0;
        };
        if !amount.is_weighed() {
            self.guess(whole(value));
        }
        whole(value)
    }

    /// Notes that so much rests on a guess.
    fn guess(&mut self, amount: i64) {
        self.guesses.0 += 1;
        self.guesses.1 = self.guesses.1.saturating_add(amount);
    }

    /// Returns all that is not known, guesses last.
    fn gaps(mut self) -> Vec<Gap> {
        let (count, amount) = self.guesses;
        if count > 0 {
            self.gaps.push(Gap::Guesses { count, amount });
        }
        self.gaps
    }
}

/// Whole units with a sign.
pub(super) fn whole(value: u64) -> i64 {
    i64::try_from(value).unwrap_or(i64::MAX)
}
