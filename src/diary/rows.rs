//! The kinds of stored lines: which type writes and reads which event.

use super::error::{DiaryError, WireError};
use super::ink::Ink;
use super::line::Line;
use super::pieces::bed;
use super::rows_of_goods::{Blend, Delivery, Sieving};
use super::rows_of_packs::{Complaint, Pack, Print, Recall, Return, Sale, Settlement, Weighing};
use super::rows_of_rack::{Bed, Bin, Check, Feed, Move, Skip, Split, Tip};
use super::rows_of_store::{Count, Hold, Test, Thrown};
use super::wire::{Row, Writer, read_as};
use super::words::Reader;
use crate::farm::{Entry, Event, Meant};

/// Makes the type of one kind of line: under each key a value, or none.
///
/// The type must have a function `meant`, which makes an event of it.
macro_rules! row {
    ($(#[$doc:meta])* $name:ident = $kind:literal { $($key:literal $field:ident: $type:ty,)* }) => {
        $(#[$doc])*
        #[derive(Debug, Default)]
        pub(super) struct $name { $($field: Option<$type>,)* }

        impl crate::diary::wire::Row for $name {
            const KIND: &'static str = $kind;

            fn take<'de, A: serde::de::MapAccess<'de>>(
                &mut self,
                key: &str,
                map: &mut A,
            ) -> Result<bool, A::Error> {
                match key {
                    $($key => crate::diary::wire::take(&mut self.$field, map)?,)*
                    _ => return Ok(false),
                }
                Ok(true)
            }

            fn put(&self, line: &mut crate::diary::line::Line) {
                $(line.put($key, self.$field.as_ref());)*
            }

            fn event(
                self,
                words: &mut crate::diary::words::Reader<'_>,
            ) -> Result<Option<Event<Meant>>, crate::diary::error::WireError> {
                self.meant(words).map(Some)
            }
        }
    };
}
pub(super) use row;

/// Puts an event on a line.
pub(super) fn put_event(
    event: &Event<Meant>,
    ink: &mut Ink<'_>,
    line: &mut Line,
) -> Result<(), DiaryError> {
    match event {
        Event::Bin { bin, place, facts } => Bin::of(*bin, place, facts).put(line),
        Event::Delivery { lot, amount, facts } => {
            Delivery::of(lot, *amount, facts, ink)?.put(line);
        }
        Event::Bed {
            lot,
            bin,
            takes,
            species,
        } => {
            Bed::of(lot, *bin, takes, species.as_deref()).put(line);
        }
        Event::Feed { bed: b, takes } => Feed::of(b, takes, ink)?.put(line),
        Event::Skip { bed: b, why } => Skip::of(b, why, ink)?.put(line),
        Event::Check { bed: b, facts } => Check::of(b, facts, ink)?.put(line),
        Event::Split {
            bed: b,
            share,
            to,
            lot,
        } => {
            Split::of(bed(b, ink)?, *share, *to, lot).put(line);
        }
        Event::Tip { bed: b, to } => Tip::of(b, to, ink)?.put(line),
        Event::Move { bin, place } => Move::of(*bin, place).put(line),
        Event::Sieving {
            lot,
            kind,
            from,
            whole,
            clears,
        } => {
            let sieving = Sieving::of(lot, *kind, from, ink)?;
            sieving.clears(*whole, clears, ink)?.put(line);
        }
        Event::Blend { lot, kind, from } => Blend::of(lot, *kind, from).put(line),
        Event::Test { lot, facts } => Test::of(*lot, facts).put(line),
        Event::Pack {
            lot,
            product,
            count,
            from,
            best_by,
            despite,
        } => {
            let pack = Pack::of(lot, product, *count, from);
            pack.until(*best_by, despite.as_deref()).put(line);
        }
        Event::Weighing { run, values, tare } => Weighing::of(*run, values, *tare).put(line),
        Event::Sale { packs, to, despite } => {
            Sale::of(packs, to, despite.as_deref(), ink)?.put(line);
        }
        Event::Return {
            packs,
            state,
            buyer,
            market,
        } => {
            let back = Return::of(packs, *state);
            back.from(buyer.as_ref(), market.as_ref(), ink)?.put(line);
        }
        Event::Count { lot, found, why } => Count::of(*lot, *found, why, ink)?.put(line),
        Event::Thrown { what, why } => Thrown::of(what, why, ink)?.put(line),
        Event::Complaint { pack, facts } => Complaint::of(pack.as_ref(), facts, ink)?.put(line),
        Event::Settlement { complaint, why } => Settlement::of(complaint, why, ink)?.put(line),
        Event::Hold { lot, step, reason } => Hold::of(*lot, *step, reason, ink)?.put(line),
        Event::Recall {
            recall,
            step,
            lots,
            packs,
            buyer,
            why,
        } => {
            let step = Recall::of(recall, *step, lots, packs);
            step.told(buyer.as_ref(), why.as_ref(), ink)?.put(line);
        }
        Event::Print { packs, facts } => Print::of(packs, facts, ink)?.put(line),
    }
    Ok(())
}

/// Reads the line of an event.
pub(super) fn read_event(
    kind: &str,
    line: &str,
    words: &mut Reader<'_>,
    check: Option<&mut Writer>,
) -> Result<Entry, WireError> {
    let read = match kind {
        Feed::KIND => read_as::<Feed>,
        Bin::KIND => read_as::<Bin>,
        Delivery::KIND => read_as::<Delivery>,
        Bed::KIND => read_as::<Bed>,
        Skip::KIND => read_as::<Skip>,
        Check::KIND => read_as::<Check>,
        Split::KIND => read_as::<Split>,
        Tip::KIND => read_as::<Tip>,
        Move::KIND => read_as::<Move>,
        Sieving::KIND => read_as::<Sieving>,
        Blend::KIND => read_as::<Blend>,
        Test::KIND => read_as::<Test>,
        Pack::KIND => read_as::<Pack>,
        Weighing::KIND => read_as::<Weighing>,
        Sale::KIND => read_as::<Sale>,
        Return::KIND => read_as::<Return>,
        Count::KIND => read_as::<Count>,
        Thrown::KIND => read_as::<Thrown>,
        Complaint::KIND => read_as::<Complaint>,
        Settlement::KIND => read_as::<Settlement>,
        Hold::KIND => read_as::<Hold>,
        Recall::KIND => read_as::<Recall>,
        Print::KIND => read_as::<Print>,
        _ => return Err(WireError::Kind),
    };
    read(line, words, check)
}
