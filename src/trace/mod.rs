//! The trace: what could have reached a lot, what a lot could have reached, how much of it, and by what way.
//!
//! Follows time and mixture. It errs towards naming too much, says what is unknown, and never invents a share.
//! It uses the farm alone.

mod answer;
mod awaited;
mod balance;
mod bed_books;
mod books;
#[cfg(test)]
mod books_test;
mod buyers;
mod channels;
mod drill;
mod exposed;
mod filling;
mod held;
mod lanes;
mod layer;
mod listed;
mod listing;
mod lives;
#[cfg(test)]
mod lives_test;
mod manner;
mod mass;
mod mix;
mod odds;
mod out;
mod pack_count;
mod reach;
mod recall_file;
mod recall_rows;
#[cfg(test)]
mod recall_test;
mod recalled;
mod scope;
mod suspects;
mod terms;
mod tonnage;
mod verdict;
mod ways;

pub use crate::farm::Relation;
pub use answer::{Question, Side, Source, Trace, Use, trace};
pub use awaited::{Awaited, awaited, due, found_since, is_held_for_the_test_alone, is_incoming};
pub use balance::{Balance, Balances, balance, balances};
pub use books::{Account, Counted, Gap, books, books_between};
pub use buyers::{Buyer, buyers};
pub use channels::Channels;
pub use drill::{DrillLot, drill_lot};
pub use exposed::{EndSet, Exposed};
pub use filling::{Filling, filling};
pub use held::{HeldBy, flagged, held};
pub use lanes::{Line, lane_count, lanes};
pub use layer::{Layer, rank};
pub use listed::{ListedLot, ListedPacks, ListedRun, ListedSale, SoldPacks, Whereabouts};
pub use listing::Listing;
pub use lives::{Cycle, Life, Moved, cycles, fed, gaps, lives, weighed_worms};
pub use odds::Odds;
pub use out::{Out, still_out};
pub use pack_count::PackCount;
pub use reach::{Reached, Start, back, forward, forward_of_all};
pub use recall_file::{Figures, RecallFile, recall_file};
pub use recall_rows::{Closing, Reply, is_of};
pub use recalled::{Opening, Recall, Recalled, RecalledBy, recalled, recalls};
pub use scope::{Carried, Scope, beginnings};
pub use suspects::{Charge, Complained, Lineup, Pack, Suspect, suspects};
pub use terms::Terms;
pub use tonnage::{Level, Tonnage, highest_with, tonnage};
pub use verdict::{Sample, TELLING, Tested, Verdict, tested};
pub use ways::{Link, Way, links, ways};
