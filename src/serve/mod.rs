//! HTTP for phones on the local network: who may, and what a form may do once.
//!
//! Promises to look at no clock and no environment (they come in as values), to keep no PIN and no cookie, only what
//! can be told from them, and to let no form through that is not a signed-in worker's own.
//!
//! - **PIN**: the digits by which a worker signs in on a phone; only its hash is kept.
//! - **door**: all that is asked before a page of the shed is shown or a form is taken.
//! - **sent**: forms that came, by their keys, so that each is recorded once however often it is sent.

mod answer_boxes;
mod bin_page;
mod card;
mod clock;
mod complaint_page;
mod door;
mod find_page;
mod form_key;
mod forms;
mod frame;
mod hashing;
mod in_use;
mod initials;
mod instant;
mod journal;
mod lockout;
mod looks;
mod phones;
mod pin;
mod pins_file;
mod posted;
mod random;
mod round_page;
mod sent;
mod session;
mod sign_in;
mod signed_in;
mod tapped;
mod today;
mod token;
mod told_page;
mod trace_page;
mod turned_away;
mod way;

pub use clock::Clock;
pub use door::{Asked, Door, DoorOptions};
pub use form_key::FormKey;
pub use initials::{Initials, InitialsError};
pub use phones::{Phones, PhonesError};
pub use pin::{Pin, PinError, PinHash};
pub use pins_file::Pins;
pub use posted::{Fields, Posted};
pub use sent::{Once, Sent, entries_written};
pub use sign_in::routes as sign_in_routes;
pub use signed_in::SignedIn;
pub use token::FormToken;
pub use turned_away::TurnedAway;

pub use bin_page::BinPage;
pub use complaint_page::ComplaintPage;
pub use find_page::{FindPage, Leads};
pub use forms::{Deed, FormError};
pub use frame::{Frame, Worker};
pub use in_use::InUse;
pub use round_page::RoundPage;
pub use today::{Rack, Today};
pub use told_page::{RefusedPage, Told, ToldPage};
pub use trace_page::TracePage;
