//! The trace: what could have reached a lot, what a lot could have reached, how much of it, and by what way.
//!
//! Follows time and mixture. It errs towards naming too much, says what is unknown, and never invents a share.
//! It uses the farm alone.

mod answer;
mod balance;
mod buyers;
mod exposed;
mod held;
mod mass;
mod mix;
mod odds;
mod reach;
mod recalled;
mod suspects;
mod verdict;

pub use answer::{Question, Side, Source, Trace, Use, trace};
pub use balance::{Balance, Balances, balance, balances};
pub use buyers::{Buyer, buyers};
pub use exposed::{EndSet, Exposed};
pub use held::{HeldBy, held};
pub use odds::Odds;
pub use reach::{Reached, Relation, Start, back, forward};
pub use recalled::{Opening, Recall, Recalled, RecalledBy, recalled, recalls};
pub use suspects::{Charge, Complained, Lineup, Pack, Suspect, suspects};
pub use verdict::{Sample, TELLING, Tested, Verdict, tested};
