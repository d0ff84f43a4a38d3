//! The farm's pages over HTTP, and the shed's view behind a sign-in, for phones on the local network.
//!
//! Promises to serve no file, whatever address is asked for: every page is made from the farm in memory. Nothing that the
//! terminal could not do is done here: forms are read into rows, which the desk judges and the diary's one writer writes.
//! It never looks at the clock, the environment or a setting: `Surroundings` hands these in. It keeps no PIN and no
//! cookie, only what can be told from them, and lets no form through that is not a signed-in worker's own.
//!
//! - **snapshot**: the farm, its settings and its pages as the diary stood at one moment; a request sees one and no other.
//! - **address**: what stands after the host, read as a code that a label can carry.
//! - **PIN**: the digits by which a worker signs in on a phone; only its hash is kept.
//! - **door**: all that is asked before a page of the shed is shown or a form is taken.
//! - **sent**: forms that came, by their keys, so that each is recorded once however often it is sent.

mod address;
#[cfg(test)]
mod address_test;
mod answer_boxes;
mod bin_page;
mod card;
mod chosen;
mod clock;
mod complaint_page;
mod crowd;
mod door;
#[cfg(test)]
mod door_testing;
mod error;
mod find_page;
mod form_key;
mod forms;
mod frame;
#[cfg(test)]
mod guessing_test;
mod hashing;
mod headers;
mod hello;
mod host;
mod in_use;
mod initials;
mod instant;
mod journal;
mod kept;
mod limits;
mod live;
mod lockout;
mod looks;
mod not_recorded;
mod packed;
#[cfg(test)]
mod phone_testing;
mod phones;
mod photo;
mod photo_form;
mod pin;
mod pins_file;
mod plain;
mod posted;
#[cfg(test)]
mod posted_test;
mod public;
#[cfg(test)]
mod public_test;
mod random;
mod recorder;
mod round_page;
mod routes;
mod run;
mod sent;
mod session;
mod shed;
#[cfg(test)]
mod shed_attacks_test;
mod shed_files;
mod shed_forms;
#[cfg(test)]
mod shed_more_test;
mod shed_pages;
#[cfg(test)]
mod shed_test;
mod sign_in;
#[cfg(test)]
mod sign_in_test;
mod signed_in;
#[cfg(test)]
mod socket_test;
mod surroundings;
mod tapped;
#[cfg(test)]
mod testing;
mod tls;
mod today;
mod token;
mod told_page;
mod trace_page;
mod turned_away;
mod way;
mod what_next;

pub use bin_page::BinPage;
pub use clock::Clock;
pub use complaint_page::ComplaintPage;
pub use door::{Asked, Door, DoorOptions};
pub use error::ServeError;
pub use find_page::{FindPage, Leads};
pub use form_key::FormKey;
pub use forms::{Deed, FormError};
pub use frame::{Frame, Worker};
pub use in_use::InUse;
pub use initials::{Initials, InitialsError};
pub use phones::{Phones, PhonesError};
pub use photo::{PhotoError, code_in_photo};
pub use pin::{Pin, PinError, PinHash};
pub use pins_file::Pins;
pub use posted::{Fields, Posted};
pub use round_page::RoundPage;
pub use run::run;
pub use sent::{Once, Sent, entries_written};
pub use sign_in::routes as sign_in_routes;
pub use signed_in::SignedIn;
pub use surroundings::{Options, SettingsRead, Surroundings, TlsFiles};
pub use today::{Rack, Today};
pub use token::FormToken;
pub use told_page::{RefusedPage, Told, ToldPage};
pub use trace_page::TracePage;
pub use turned_away::TurnedAway;
