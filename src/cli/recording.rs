//! The commands that write the diary, and those that start, fill, check and copy it.

use clap::Subcommand;

use super::failure::Failure;
use super::shed::Shed;
use super::{
    bed, blend, check, complaint, correct, count, export, feed, forget, give_back, hold, import,
    move_bin, new, pack, record, release, sell, sieve, skip, split, strike, throw, tip, undo,
    verify, weigh,
};

/// A command of the diary.
#[derive(Debug, Subcommand)]
pub enum Recording {
    New(new::Args),
    Import(import::Args),
    Export(export::Args),
    Record(record::Args),
    Bed(bed::Args),
    Feed(feed::Args),
    Skip(skip::Args),
    Check(check::Args),
    Split(split::Args),
    Tip(tip::Args),
    Move(move_bin::Args),
    Sieve(sieve::Args),
    #[command(visible_alias = "mix")]
    Blend(blend::Args),
    Pack(pack::Args),
    Weigh(weigh::Args),
    Sell(sell::Args),
    Return(give_back::Args),
    Throw(throw::Args),
    Count(count::Args),
    Complaint(complaint::Args),
    Hold(hold::Args),
    Release(release::Args),
    Strike(strike::Args),
    Correct(correct::Args),
    Undo(undo::Args),
    Forget(forget::Args),
    Verify(verify::Args),
}

impl Recording {
    /// Does what it says.
    pub fn run(&self, shed: &Shed) -> Result<(), Failure> {
        match self {
            Self::New(args) => new::run(args),
            Self::Import(args) => import::run(shed, args),
            Self::Export(args) => export::run(shed, args),
            Self::Record(args) => record::run(shed, args),
            Self::Bed(args) => bed::run(shed, args),
            Self::Feed(args) => feed::run(shed, args),
            Self::Skip(args) => skip::run(shed, args),
            Self::Check(args) => check::run(shed, args),
            Self::Split(args) => split::run(shed, args),
            Self::Tip(args) => tip::run(shed, args),
            Self::Move(args) => move_bin::run(shed, args),
            Self::Sieve(args) => sieve::run(shed, args),
            Self::Blend(args) => blend::run(shed, args),
            Self::Pack(args) => pack::run(shed, args),
            Self::Weigh(args) => weigh::run(shed, args),
            Self::Sell(args) => sell::run(shed, args),
            Self::Return(args) => give_back::run(shed, args),
            Self::Throw(args) => throw::run(shed, args),
            Self::Count(args) => count::run(shed, args),
            Self::Complaint(args) => complaint::run(shed, args),
            Self::Hold(args) => hold::run(shed, args),
            Self::Release(args) => release::run(shed, args),
            Self::Strike(args) => strike::run(shed, args),
            Self::Correct(args) => correct::run(shed, args),
            Self::Undo(args) => undo::run(shed, args),
            Self::Forget(args) => forget::run(shed, args),
            Self::Verify(args) => verify::run(shed, args),
        }
    }
}
