//! The trade's own tables: what a label says and warns of, how high its figures stand, which words need ground, how a
//! product is used and kept, the worms by name, how they grow, how densely and in what heat they are kept, what goes wrong
//! and how it is seen, packers' checks, fills and densities, what is to be expected of beds; each with its source.
//!
//! Promises to stay pure, and that nothing here reads as law or as a clearance.

mod advice;
mod bean;
mod cautions;
mod claims;
mod claims_table;
mod climate;
mod curve;
mod density;
mod dice;
mod feeding;
mod figures;
mod fills;
mod forecast;
mod hatching;
mod life_cycle;
mod margin;
mod packers;
mod permissions;
mod phrase;
mod place;
mod quantile;
mod round;
mod round_due;
mod round_name;
mod round_warmth;
mod round_words;
mod sample;
mod sampling;
mod sign_table;
mod signs;
mod species;
mod statements;
mod stocking;
mod student;
mod tne;

pub use advice::{how_to_store, how_to_store_in_short, how_to_use, in_trouble};
pub use bean::{BEAN, Bean, passed};
pub use cautions::{CAUTION_KEYS, COMMON, Caution, NO_SUBSTITUTE, cautions, handled_like};
pub use claims::{About, ClaimFound, Claims, Constituent};
pub use climate::{Climate, Range, Standing, climate};
pub use curve::curve_loss;
pub use density::{DensityDoubt, DensityLimits, WaterTest, density_doubts};
pub use feeding::{BedLike, Feeding, LONGEST_DAYS};
pub use figures::{E_MARK_HEIGHT_UM, FIGURES_SOURCE, figure_height_um};
pub use fills::{Check, Judged, Outcome, Point, Ruling, Verdict, judge};
pub use forecast::{DRAWS, FEW, Forecast, Growing, Past, Week, forecast, practice, waits};
pub use hatching::{Expected, Laid, Seen, Window, around, by_practice, expected};
pub use life_cycle::{Days, LifeCycle, life_cycles};
pub use margin::{Margin, PastRun, margin};
pub use packers::{Because, Ground, INSPECTORS_TEST, Rule, e_mark_reaches, rule};
pub use permissions::{Said, in_words, material, said_of, whom_to_ask};
pub use quantile::{Spread, quantile};
pub use round::{Due, FeedWhy, Give, LookWhy, Round, Stop, WaitWhy, together};
pub use round_name::{RoundName, RoundNameError};
pub use round_words::{PastFeed, name as lot_name};
pub use sampling::{Measuring, Plan, Stage};
pub use sign_table::SIGNS;
pub use signs::{Lag, Sign};
pub use species::{Species, short_species};
pub use statements::{Asked, Statement, is_large, statements};
pub use stocking::{CROWDED_FROM, Floor, Stocking, THIN_BELOW};
pub use tne::tne;
