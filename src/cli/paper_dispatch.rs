//! `castlot paper dispatch-note`: what one buyer got, or what went to one market, on one day.

use std::path::PathBuf;

use jiff::civil::Date;

use crate::farm::{EntryNumber, Event, Farm, SaleTo};
use crate::papers::{Dispatch, dispatch_file_name};

use super::failure::Failure;
use super::paper::{Desk, put};
use super::whom::{self, Whom};

/// Write the dispatch note of what a buyer got on a day, or the list of what went to a market.
///
/// Packs by run and serials, with packed and best-by days, the cautions in full, room to sign, and the diary's seal.
/// A run that is held or asked back since stands at the top. Without a day, the last on which they bought.
///
/// Example: castlot paper dispatch-note --buyer "a nursery at the ferry landing" --out note.pdf
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The buyer, or a part of the name that no other buyer has.
    #[arg(long, value_name = "BUYER", required_unless_present_any = ["market", "entry"], conflicts_with = "market")]
    buyer: Option<String>,
    /// The market.
    #[arg(long, value_name = "MARKET")]
    market: Option<String>,
    /// The day; the last one where it is not given.
    #[arg(long, value_name = "DAY", conflicts_with = "entry")]
    day: Option<String>,
    /// The entries of the sales, by number.
    #[arg(long, value_name = "NUMBER", num_args = 1.., conflicts_with_all = ["buyer", "market"])]
    entry: Vec<EntryNumber>,
    /// The file to write; named after day and entry where it is not given.
    #[arg(long, value_name = "FILE.pdf")]
    out: Option<PathBuf>,
}

/// Runs the command.
pub fn run(desk: &Desk, args: &Args) -> Result<(), Failure> {
    let farm = &desk.farm;
    let sales = if args.entry.is_empty() {
        args.found(farm)?
    } else {
        args.numbered(farm)?
    };
    let note = Dispatch {
        farm,
        settings: &desk.settings,
        sales: &sales,
    };
    let bytes = note.to_pdf(desk.imprint())?;
    let named = || PathBuf::from(dispatch_file_name(farm, &sales));
    put(&args.out.clone().unwrap_or_else(named), &bytes)
}

/// Who got a sale: the buyer, else the market.
fn got_by(to: &SaleTo) -> Option<String> {
    to.buyer
        .as_ref()
        .or(to.market.as_ref())
        .map(ToString::to_string)
}

fn sale(farm: &Farm, place: usize) -> Option<&SaleTo> {
    match &farm.entries()[place].event {
        Some(Event::Sale { to, .. }) => Some(to),
        _ => None,
    }
}

impl Args {
    /// Returns the sales of the entries named, which must be of one buyer or market and one day.
    fn numbered(&self, farm: &Farm) -> Result<Vec<usize>, Failure> {
        let mut places = Vec::new();
        for number in &self.entry {
            let place = farm
                .order()
                .iter()
                .copied()
                .find(|place| farm.entries()[*place].number == *number);
            match place.filter(|place| sale(farm, *place).is_some()) {
                Some(place) => places.push(place),
                None => {
                    return Err(
                        Failure::refused(format!("entry {number} is no sale that stands"))
                            .hint("find the sales with `castlot log`"),
                    );
                }
            }
        }
        let one = |place: &usize| {
            let day = farm.entries()[*place].when.day();
            (sale(farm, *place).and_then(got_by), day)
        };
        if places.windows(2).any(|two| one(&two[0]) != one(&two[1])) {
            return Err(
                Failure::refused("these sales are not of one buyer or market and one day")
                    .hint("make a note for each"),
            );
        }
        Ok(places)
    }

    /// Returns the sales to a buyer or at a market on a day.
    fn found(&self, farm: &Farm) -> Result<Vec<usize>, Failure> {
        let mut names: Vec<String> = farm
            .order()
            .iter()
            .filter_map(|place| self.name_of(farm, *place))
            .collect();
        names.sort();
        names.dedup();
        let name = self.one_of(&names)?;
        let ours = farm.order().iter().copied();
        let ours = ours.filter(|place| self.name_of(farm, *place).as_deref() == Some(name));
        self.of_the_day(farm, name, &ours.collect::<Vec<_>>())
    }

    /// Returns the buyer of a sale, or the market of one without, whichever is asked for.
    fn name_of(&self, farm: &Farm, place: usize) -> Option<String> {
        let to = sale(farm, place)?;
        let name = match &self.buyer {
            Some(_) => to.buyer.as_ref(),
            None => to.market.as_ref().filter(|_| to.buyer.is_none()),
        };
        name.map(ToString::to_string)
    }

    /// Returns the name that was meant.
    fn one_of<'a>(&self, names: &'a [String]) -> Result<&'a str, Failure> {
        let asked = self.buyer.as_ref().or(self.market.as_ref());
        let asked = asked.map(|asked| asked.trim()).unwrap_or_default();
        match whom::whom(asked, names) {
            Whom::One(name) => Ok(name),
            Whom::Nobody => Err(
                Failure::refused(format!("nothing was sold to or at `{asked}`"))
                    .hint("find the sales with `castlot log`"),
            ),
            Whom::Several(names) => Err(whom::which(asked, &names)),
        }
    }

    /// Returns those sales that are of the day asked for, or of the last.
    fn of_the_day(&self, farm: &Farm, name: &str, sales: &[usize]) -> Result<Vec<usize>, Failure> {
        let day_of = |place: &usize| farm.entries()[*place].when.day();
        let last = sales.iter().map(day_of).max().unwrap_or_default();
        let day = match &self.day {
            None => last,
            Some(day) => day.parse::<Date>().map_err(|_| {
                let wanted = format!("`{day}` is not a day; write one as in `2026-10-24`");
                Failure::refused(wanted)
            })?,
        };
        let of_day = sales.iter().copied().filter(|place| day_of(place) == day);
        let of_day: Vec<usize> = of_day.collect();
        if of_day.is_empty() {
            let wanted = format!("nothing was sold to or at `{name}` on {day}");
            return Err(Failure::refused(wanted)
                .hint(format!("the last was on {last}: say `--day {last}`")));
        }
        Ok(of_day)
    }
}
