//! The trace: what could have reached a lot, what a lot could have reached, how much of it, and by what way.
//!
//! Follows time and mixture. It errs towards naming too much, says what is unknown, and never invents a share.
//! It uses the farm alone.

mod answer;
mod balance;
mod bed_books;
mod books;
mod buyers;
mod filling;
mod held;
mod lanes;
mod layer;
mod listing;
mod mass;
mod mix;
mod out;
mod reach;
mod recall_file;
mod recalled;
mod ways;

pub use answer::{Question, Side, Source, Trace, Use, trace};
pub use balance::{Balance, Balances, balance, balances};
pub use books::{Account, Counted, Gap, Terms, books, books_between};
pub use buyers::{Buyer, buyers};
pub use filling::Filling;
pub use held::{HeldBy, held};
pub use lanes::{Line, lane_count, lanes};
pub use layer::{Layer, rank};
pub use listing::{
    Carried, ListedLot, ListedPack, ListedRun, ListedSale, Listing, PackCount, Scope, SoldPacks,
    Whereabouts, beginnings,
};
pub use out::{Out, still_out};
pub use reach::{Reached, Relation, Start, back, forward, forward_of_all};
pub use recall_file::{Closing, Figures, RecallFile, Reply, recall_file};
pub use recalled::{Opening, Recall, Recalled, RecalledBy, recalled, recalls};
pub use ways::{Way, ways};
