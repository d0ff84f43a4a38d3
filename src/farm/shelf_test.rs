//! Tests of the shelf: what comes back, what is kept apart, and that nothing is counted twice.

use super::*;

#[test]
fn more_packs_than_can_be_counted_are_told_and_stop_nothing() {
    let mut shelf = Shelf::new(3);
    for _ in 0..2 {
        for fate in [Fate::Sold, Fate::Thrown, Fate::Opened] {
            let faults = shelf.take(Which::Unnumbered(u32::MAX), fate, 0);
            assert!(matches!(faults[..], [ShelfFault::TooMany { .. }]));
        }
        let faults = shelf.put_back(Which::Unnumbered(u32::MAX), Fate::Complained, 0);
        assert!(faults.is_empty());
    }
    assert_eq!((shelf.sold(), shelf.in_store()), (u32::MAX, 0));
}

#[test]
fn a_count_of_more_than_can_be_counted_stops_nothing() {
    let mut shelf = Shelf::new(3);
    assert!(shelf.take(Which::Unnumbered(3), Fate::Sold, 0).is_empty());
    shelf.recount(u32::MAX);
    assert!(
        shelf
            .put_back(Which::Unnumbered(3), Fate::InStore, 0)
            .is_empty()
    );
    assert_eq!(shelf.in_store(), u32::MAX);
}

fn serials(first: u32, last: u32) -> Which {
    let serial = |number| Serial::new(number).expect("above nothing");
    Which::Serials(SerialRange::new(serial(first), serial(last)).expect("in order"))
}

/// Whether made and over are with buyers, in store, thrown out, opened, complained of and lost.
fn closes(shelf: &Shelf) -> bool {
    let there = [
        shelf.out(),
        shelf.in_store(),
        shelf.thrown(),
        shelf.opened(),
        shelf.complained(),
    ];
    let there: i64 = there.into_iter().map(i64::from).sum();
    i64::from(shelf.made()) + i64::from(shelf.over()) == there + shelf.lost()
        && shelf.sold() - shelf.returned() == shelf.out()
}

#[test]
fn packs_sold_by_serial_may_come_back_without() {
    let mut shelf = Shelf::new(4);
    assert!(shelf.take(serials(1, 3), Fate::Sold, 0).is_empty());
    assert!(
        shelf
            .put_back(Which::Unnumbered(2), Fate::InStore, 1)
            .is_empty()
    );
    assert_eq!((shelf.out(), shelf.in_store(), shelf.returned()), (1, 3, 2));
    // One of those goes out again by its serial, and comes home once.
    assert!(shelf.take(serials(2, 2), Fate::Sold, 2).is_empty());
    assert_eq!((shelf.out(), shelf.sold()), (2, 4));
    assert!(shelf.put_back(serials(1, 2), Fate::InStore, 3).is_empty());
    assert_eq!((shelf.out(), shelf.in_store()), (0, 4));
    // The last of the two was home already, and is told of.
    let faults = shelf.put_back(serials(3, 3), Fate::InStore, 4);
    assert!(matches!(
        faults[..],
        [ShelfFault::Elsewhere {
            fate: Fate::InStore,
            ..
        }]
    ));
    assert_eq!((shelf.out(), shelf.in_store(), shelf.returned()), (0, 4, 4));
    assert!(closes(&shelf));
}

#[test]
fn a_complained_pack_is_kept_apart_until_it_is_put_back() {
    let mut shelf = Shelf::new(3);
    assert!(shelf.take(serials(1, 3), Fate::Sold, 0).is_empty());
    assert!(
        shelf
            .put_back(serials(1, 2), Fate::Complained, 1)
            .is_empty()
    );
    assert_eq!(
        (shelf.out(), shelf.in_store(), shelf.complained()),
        (1, 0, 2)
    );
    let faults = shelf.take(serials(1, 1), Fate::Sold, 2);
    assert!(matches!(faults[..], [ShelfFault::KeptApart { .. }]));
    assert!(closes(&shelf));
    assert!(shelf.put_back(serials(2, 2), Fate::InStore, 3).is_empty());
    assert_eq!((shelf.in_store(), shelf.complained()), (1, 0));
    assert!(shelf.take(serials(2, 2), Fate::Sold, 4).is_empty());
    assert!(closes(&shelf));
}

#[test]
fn a_sold_pack_that_is_opened_had_come_back() {
    let mut shelf = Shelf::new(2);
    assert!(shelf.take(serials(1, 1), Fate::Sold, 0).is_empty());
    let faults = shelf.take(serials(1, 1), Fate::Opened, 1);
    assert!(matches!(
        faults[..],
        [ShelfFault::Elsewhere {
            fate: Fate::Sold,
            ..
        }]
    ));
    assert_eq!((shelf.sold(), shelf.returned(), shelf.opened()), (1, 1, 1));
    assert!(closes(&shelf));
}
