//! From a row to a draft, or everything that is wrong with the row.

use super::cell::Cells;
use super::error::CellProblem;
use super::known::Known;
use super::row::Row;
use super::{read_goods, read_rack, read_shop};
use crate::farm::{Draft, Event, Moment, Noun, Settings, Typed};

/// What rows are read with.
#[derive(Clone, Debug)]
pub struct Reader<'a> {
    pub(super) settings: &'a Settings,
    pub(super) known: &'a Known<'a>,
    pub(super) bases: Vec<String>,
    pub(super) otherwise: Moment,
}

impl<'a> Reader<'a> {
    /// Reads rows with the farm's settings and the names it knows; `otherwise` is when a bin was set up of which no
    /// row says so.
    pub fn new(settings: &'a Settings, known: &'a Known<'a>, otherwise: Moment) -> Self {
        Self {
            settings,
            known,
            bases: settings.bases(),
            otherwise,
        }
    }

    /// Reads a row; every problem of it is told.
    pub fn read(&self, row: &Row) -> Result<Draft, Vec<CellProblem>> {
        let mut cells = Cells {
            row,
            reader: self,
            problems: Vec::new(),
        };
        let when = match row.noun() {
            Noun::Bin if cells.text("when").is_none() => Some(self.otherwise),
            _ => cells.must("when", Reader::moment),
        };
        let event = event(&mut cells, when);
        let draft = when.zip(event).map(|(when, event)| Draft {
            when,
            by: cells.word("by"),
            note: cells.word("note"),
            event,
        });
        match draft {
            Some(draft) if cells.problems.is_empty() => Ok(draft),
            _ => Err(cells.problems),
        }
    }
}

fn event(cells: &mut Cells, when: Option<Moment>) -> Option<Event<Typed>> {
    match cells.row.noun() {
        Noun::Bin => read_rack::bin(cells),
        Noun::Delivery => read_goods::delivery(cells),
        Noun::Bed => read_rack::bed(cells),
        Noun::Feed => read_rack::feed(cells),
        Noun::Skip => read_rack::skip(cells),
        Noun::Check => read_rack::check(cells),
        Noun::Split => read_rack::split(cells),
        Noun::Tip => read_rack::tip(cells),
        Noun::Move => read_rack::moved(cells),
        Noun::Sieving => read_rack::sieving(cells),
        Noun::Blend => read_goods::blend(cells),
        Noun::Test => read_goods::test(cells),
        Noun::Pack => read_goods::pack(cells, when),
        Noun::Weighing => read_shop::weighing(cells),
        Noun::Sale => read_shop::sale(cells),
        Noun::Return => read_shop::returned(cells),
        Noun::Count => read_goods::count(cells),
        Noun::Thrown => read_goods::thrown(cells),
        Noun::Complaint => read_shop::complaint(cells),
        Noun::Settlement => read_shop::settlement(cells),
        Noun::Hold => read_shop::hold(cells),
        Noun::Recall => read_shop::recall(cells),
        Noun::Print => read_shop::print(cells),
    }
}

#[cfg(test)]
#[path = "read_test.rs"]
pub(super) mod tests;
