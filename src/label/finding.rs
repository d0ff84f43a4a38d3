//! What a proof can find on labels: what it refuses, and what it only warns of.

use jiff::civil::Date;

use crate::farm::LotCode;
use crate::trade::{Asked, FIGURES_SOURCE};

use super::field::Field;
use super::finding_words::{hundredths, list, name_of, tenths, unchecked, words_of};
use super::length::Length;
use super::problem::Problem;
use super::standing::Stop;

/// Something that a proof found, and where.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding<W> {
    /// The labels, or the run, that it is about, as a person would say it.
    pub on: String,
    /// What was found.
    pub what: W,
}

/// What keeps labels from being printed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Refused {
    /// A label cannot be laid out.
    #[error("{0}")]
    Layout(Problem),
    /// A code is too fine for the printer.
    #[error(
        "the QR code's modules are {module}, {} dots of the printer; castlot asks for {least} or more",
        hundredths(*dots)
    )]
    FineCode {
        /// The width of a module.
        module: Length,
        /// The same in hundredths of a dot.
        dots: i64,
        /// The fewest dots.
        least: i64,
    },
    /// A code's edges fall between the dots of a thermal printer.
    #[error(
        "the QR code's modules are {module}, {} dots of a thermal printer, which prints whole dots alone",
        hundredths(*dots)
    )]
    BrokenDots {
        /// The width of a module.
        module: Length,
        /// The same in hundredths of a dot.
        dots: i64,
    },
    /// A bar code's edges fall between the dots of a thermal printer.
    #[error(
        "the bar code's modules are {module}, {} dots of a thermal printer, which prints whole dots alone",
        hundredths(*dots)
    )]
    BrokenBars {
        /// The width of a module.
        module: Length,
        /// The same in hundredths of a dot.
        dots: i64,
    },
    /// A bar code has not enough white around it.
    #[error("the bar code has something in the white that it needs left and right")]
    BarsQuietZone,
    /// A code has not enough white around it.
    #[error("the QR code has less than {least} modules of white around it")]
    QuietZone {
        /// The fewest modules of white.
        least: u16,
    },
    /// Text stands where the cut may take it.
    #[error("{} is {near} from the cut edge; castlot asks for {least}", words_of(*field, text))]
    NearCut {
        /// The field the text is of, unless it is the template's own.
        field: Option<Field>,
        /// The template's own text.
        text: String,
        /// How near it is.
        near: Length,
        /// How near it may be.
        least: Length,
    },
    /// A statement is not on any of a pack's labels.
    #[error("{} is not on the labels, which castlot asks for ({})", name_of(asked), asked.source)]
    NotSaid {
        /// The statement, and who asks for it.
        asked: Asked,
    },
    /// The lot is on nothing but the lid.
    #[error(
        "the lot is on the lid alone; castlot asks for it on the pack too, from which a lid may be parted (common practice, no source)"
    )]
    LotOnLid,
    /// The figures of the quantity are too low.
    #[error(
        "the figures of `{net}` are {height} high; {least} is usually expected ({FIGURES_SOURCE})"
    )]
    LowFigures {
        /// The quantity, as it stands there.
        net: String,
        /// How high its figures are where they are highest.
        height: Length,
        /// How high they are expected to be.
        least: Length,
    },
    /// The estimated sign is too low.
    #[error("the sign ℮ is {height} high; {least} is usually expected (SI 2006/659 reg 2)")]
    LowSign {
        /// How high it is.
        height: Length,
        /// How high it is expected to be.
        least: Length,
    },
    /// The estimated sign on a pack that it does not reach.
    #[error(
        "the sign ℮ is for packs of 5 g or mL to 10 kg or L (Directive 76/211/EEC Art 1); this is `{net}`"
    )]
    NotForSign {
        /// The quantity.
        net: String,
    },
    /// A label gives a count and a weight, and not both were checked.
    #[error("the labels give a count and a weight, and the diary has no check of {}", unchecked(*count, *weight))]
    CountAndWeight {
        /// Whether the count was checked.
        count: bool,
        /// Whether the weight was checked.
        weight: bool,
    },
    /// Bagged by the litre from a batch of which nobody knows what a litre weighs.
    #[error("bagged by the litre from {batch}, which has no density test")]
    NoDensity {
        /// The batch.
        batch: LotCode,
    },
    /// A label to sell a lot with that is held or recalled.
    #[error("no label to sell it with: {} ({})", stop.line, stop.reason)]
    Stopped {
        /// Since when, because of which lot, and why.
        stop: Stop,
    },
    /// A claim without ground.
    #[error("`{words}` is a claim that needs ground (`{claim}`)")]
    NoGround {
        /// The claim.
        claim: String,
        /// The words that make it.
        words: String,
    },
    /// A claim whose ground no longer holds.
    #[error("`{words}`: the ground for `{claim}` held until {until}")]
    OldGround {
        /// The claim.
        claim: String,
        /// The words that make it.
        words: String,
        /// The last day of its ground.
        until: Date,
    },
    /// A claim that the deliveries upstream speak against.
    #[error("`{words}` (`{claim}`): {lot} {against} is upstream")]
    SpokenAgainst {
        /// The claim.
        claim: String,
        /// The words that make it.
        words: String,
        /// The lot that speaks against it.
        lot: LotCode,
        /// How.
        against: Against,
    },
    /// The farm's wording names something that is not in it.
    #[error(
        "`made_from` names `{named}`, which is not among what it was made from: {}",
        list(parts)
    )]
    NotInIt {
        /// What it names.
        named: String,
        /// What the trace finds.
        parts: Vec<String>,
    },
    /// The farm's wording leaves something out.
    #[error("`made_from` leaves out {part}, which is {} % of it", tenths(*per_mille))]
    LeftOut {
        /// What it leaves out.
        part: String,
        /// How much of it there is, in thousandths.
        per_mille: u32,
    },
}

/// How a lot speaks against a claim.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Against {
    /// By what it is called, or where it is from.
    Called(String),
    /// It is manure.
    Manure(String),
    /// Its hay was sprayed, as was said.
    Sprayed(String),
    /// Nobody says that its hay was not sprayed, and no bean test of it passed.
    NotSaid(String),
    /// A bean test of it failed.
    BeanFailed,
    /// Its animals had a wormer.
    Wormed(String),
}

/// What a packer is told of, and prints all the same.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Warned {
    /// A code that scans worse than it could.
    #[error(
        "the QR code's modules are {module}, {} dots of the printer; {least} or more scan better",
        hundredths(*dots)
    )]
    FewDots {
        /// The width of a module.
        module: Length,
        /// The same in hundredths of a dot.
        dots: i64,
        /// From how many dots on there is nothing to say.
        least: i64,
    },
    /// A code that goes round a curve.
    #[error(
        "the QR code is {code} wide on a pack {across} across, and loses {} % at its edges",
        tenths(*per_mille)
    )]
    Curved {
        /// The width of the code.
        code: Length,
        /// The pack's diameter.
        across: Length,
        /// What a module at the edge loses of its width, in thousandths.
        per_mille: u32,
    },
    /// A best-by day that is past the product's own limit.
    #[error("best by {best_by} is past the product's own limit, {limit}")]
    LateBestBy {
        /// The day on the label.
        best_by: Date,
        /// The day by the product's rule.
        limit: Date,
    },
    /// A print that fades on a label that lives out of doors.
    #[error("printed by heat alone, it fades; {}", place.reason())]
    Fades {
        /// Where it lives.
        place: Outdoors,
    },
    /// A picture with words, or some, that cannot be looked at.
    #[error("there may be words in `{file}` that cannot be read; look for claims in it yourself")]
    UnreadPicture {
        /// The picture's file.
        file: String,
    },
    /// A held or recalled lot that is labelled all the same.
    #[error("{} ({}); labelled despite that: {why}", stop.line, stop.reason)]
    Despite {
        /// Since when, because of which lot, and why.
        stop: Stop,
        /// Why it is labelled.
        why: String,
    },
    /// A lot to which something that is on hold may have been carried; it is not stopped for that.
    #[error(
        "may have been carried over from {origin}, on hold since {since}; that is flagged, and stops no label"
    )]
    Flagged {
        /// The lot on hold.
        origin: LotCode,
        /// Since when.
        since: Date,
    },
    /// The farm's wording has another order than the shares.
    #[error("`made_from` names {first} before {then}, of which there is more")]
    Order {
        /// What stands first.
        first: String,
        /// What there is more of.
        then: String,
    },
    /// The farm's wording cannot be held against shares that nobody knows.
    #[error("`made_from` cannot be held against the trace: how much of each is not known")]
    NotHeld,
}

/// Labels that live out of doors.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outdoors {
    /// On a bag, in a garden.
    Bag,
    /// On a bin, for years.
    Bin,
    /// On a rack, for years.
    Rack,
}

impl Outdoors {
    /// Says why it matters (common practice, no source).
    pub fn reason(self) -> &'static str {
        match self {
            Self::Bag => "a bag stands in gardens and sheds for a year",
            Self::Bin => "a bin's label is read for years, in the damp and in the sun",
            Self::Rack => "a rack's label is read for years, in the damp and in the sun",
        }
    }
}
