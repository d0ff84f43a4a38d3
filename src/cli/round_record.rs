//! `castlot round record`: takes a round sheet back, row by row at the terminal or as CSV. All that is told is recorded
//! together; rows that were left blank are named, and nothing is assumed of them.

use std::io::BufRead;
use std::path::PathBuf;

use crate::desk::answer::{Answer, KEYS};
use crate::farm::{Farm, LotId, Settings};
use crate::sheets::Row;
use crate::trade::{RoundName, Stop};

use super::failure::{Failure, Kind};
use super::phrase::{count, listed};
use super::shed::Shed;
use super::write_down::Typing;
use super::{round_filled, voice};
use crate::desk::round::Drawn;

/// Take a round sheet back.
///
/// Asks for each bed in walking order. A line holds the keys of what was circled (`n` none left, `s` some, `l` lots; `d` dry,
/// `r` drops, `t` stream; `e` earth, `o` sour, `a` ammonia; `u` worms up the side, `v` none), then `f` for fed as the sheet
/// says, `f 300` for so many grams, `f mix-17 300g`, or `k` and why it was skipped. `@R1/S1/P3` before it says where the bin
/// was found, and `at R1/S1/P3 A07` that of another. A line that begins with a bin's code is of that bin; an empty one leaves
/// the row blank; `q` ends, `x` gives up and records nothing. Everything is recorded together, under the day of the round.
///
/// Example: `castlot round record 2026-10-29/R2`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The round, as its sheet is headed.
    #[arg(value_name = "ROUND")]
    round: RoundName,
    /// Read the rows from a CSV file: bin, feed_left, squeeze, fed, skipped, smell, worms, place, note.
    #[arg(long, value_name = "FILE.csv")]
    sheet: Option<PathBuf>,
}

/// A round that is being taken back.
pub struct Taking<'a> {
    pub shed: &'a Shed,
    pub settings: &'a Settings,
    /// The farm as it is.
    pub farm: &'a Farm,
    /// The beds of the sheet, in its order.
    pub stops: &'a [Stop],
    /// Every bed of the farm: a bin of another rack may have been found on this one.
    pub all: &'a [Stop],
    /// The day, where it is not today.
    pub when: Option<String>,
    /// The rows so far, and the beds that they are of.
    pub rows: Vec<Row<'static>>,
    pub told: Vec<LotId>,
}

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let settings = shed.settings()?;
    let (whole, today) = (shed.open()?, shed.stamp(&settings).now.day());
    if args.round.day > today {
        return Err(Failure::refused(format!(
            "round {} is of a day to come",
            args.round
        )));
    }
    let everywhere = RoundName {
        rack: None,
        ..args.round.clone()
    };
    let all = Drawn::of(&whole, &settings, everywhere)?;
    let drawn = Drawn::of(&whole, &settings, args.round.clone())?;
    let mut taking = Taking {
        shed,
        settings: &settings,
        farm: &whole,
        stops: &drawn.stops,
        all: &all.stops,
        when: (args.round.day < today).then(|| args.round.day.to_string()),
        rows: Vec::new(),
        told: Vec::new(),
    };
    match &args.sheet {
        Some(path) => round_filled::read(&mut taking, path)?,
        None => taking.ask(&args.round)?,
    }
    let blank = taking.blank(&args.round);
    let rows = taking.rows;
    if !rows.is_empty() {
        shed.record(Typing::Words, |_, _| Ok(rows))?;
    }
    if blank.is_empty() {
        return Ok(());
    }
    let rows = count(blank.len(), "row is", "rows are");
    let mut failure = Failure::refused(format!("{rows} blank: {}", listed(&blank)));
    failure.kind = Kind::Found;
    Err(failure.hint(format!(
        "`castlot round record {}` asks for what is left",
        args.round
    )))
}

/// What a line at the terminal comes to.
enum Line {
    Next,
    Stay,
    End,
}

impl Taking<'_> {
    /// Adds what was said of a bed, once the farm's rules let it pass beside all that was said before.
    pub fn add(&mut self, stop: &Stop, answer: &Answer) -> Result<(), Failure> {
        let rows = answer.rows(
            self.farm,
            stop.into(),
            &self.settings.measures,
            self.when.as_deref(),
        )?;
        let mut together = self.rows.clone();
        together.extend(rows);
        self.shed
            .judged(self.farm, self.settings, together.clone(), Typing::Words)?;
        self.rows = together;
        if !answer.is_blank() {
            self.told.push(stop.bed);
        }
        Ok(())
    }

    /// Finds the bed that a bin, a bed's code or a scan names.
    pub fn stop(&self, typed: &str) -> Option<&Stop> {
        let bases = self.settings.bases();
        let named = crate::farm::Named::read(typed, &bases).ok()?;
        self.all.iter().find(|stop| match &named {
            crate::farm::Named::Bin(bin) => *bin == stop.bin,
            crate::farm::Named::Lot(code) => *code == self.farm.lot(stop.bed).code,
            crate::farm::Named::Mark(mark, None) => {
                let bed = self.farm.lot(stop.bed);
                bed.mark.as_ref() == Some(mark)
                    || mark.as_str().eq_ignore_ascii_case(stop.bin.as_str())
            }
            crate::farm::Named::Mark(_, Some(_))
            | crate::farm::Named::Pack(_)
            | crate::farm::Named::Rack(_) => false,
        })
    }

    /// Asks for every bed at which nobody has been that day, or which is due all the same.
    fn ask(&mut self, round: &RoundName) -> Result<(), Failure> {
        let open = self
            .stops
            .iter()
            .filter(|stop| stop.is_due() || !self.was_visited(stop, round));
        let open: Vec<&Stop> = open.collect();
        voice::note(format!(
            "round {round}: {}; `?` tells the keys",
            count(open.len(), "bed", "beds")
        ));
        let mut lines = std::io::stdin().lock().lines();
        for stop in open {
            // A bed that was told of out of its turn is not asked for again.
            while !self.told.contains(&stop.bed) {
                voice::note(self.question(stop));
                let Some(line) = lines.next() else {
                    return Ok(());
                };
                let line = line.map_err(|error| {
                    Failure::refused(format!("cannot read what is typed: {error}"))
                })?;
                match self.line(stop, line.trim()) {
                    Ok(Line::Next) => break,
                    Ok(Line::Stay) => {}
                    Ok(Line::End) => return Ok(()),
                    Err(failure) if line.trim() == "x" => return Err(failure),
                    Err(failure) => failure.tell(),
                }
            }
        }
        Ok(())
    }

    fn question(&self, stop: &Stop) -> String {
        let place = stop
            .place
            .as_ref()
            .map(|place| format!(" {place}"))
            .unwrap_or_default();
        let code = self.farm.lot(stop.bed).code;
        format!(
            "{}{place} {code} {}, {}",
            stop.bin,
            stop.to_do(self.farm),
            stop.why()
        )
    }

    fn line(&mut self, stop: &Stop, line: &str) -> Result<Line, Failure> {
        match line {
            "" => return Ok(Line::Next),
            "q" => return Ok(Line::End),
            "x" => return Err(Failure::refused("given up; nothing was recorded")),
            "?" => {
                voice::note(KEYS);
                return Ok(Line::Stay);
            }
            _ => {}
        }
        let (first, rest) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
        if first.eq_ignore_ascii_case("at") {
            let (place, bin) = rest
                .trim()
                .split_once(char::is_whitespace)
                .unwrap_or((rest, ""));
            let found = self.stop(bin.trim()).cloned();
            let found = found.ok_or_else(|| self.no_such(bin))?;
            let mut answer = Answer::default();
            answer.found_at(place);
            self.add(&found, &answer)?;
            return Ok(Line::Stay);
        }
        let is_keys = first.starts_with('@') || first.chars().all(char::is_alphabetic);
        let other = (!is_keys)
            .then(|| self.stop(first.trim_end_matches(':')).cloned())
            .flatten();
        let (stop, keys, then) = match other {
            Some(other) if other.bed == stop.bed => (stop.clone(), rest, Line::Next),
            Some(other) => (other, rest, Line::Stay),
            None if !is_keys => return Err(self.no_such(first)),
            None => (stop.clone(), line, Line::Next),
        };
        if self.told.contains(&stop.bed) {
            return Err(Failure::refused(format!(
                "{} has been told already",
                stop.bin
            )));
        }
        self.add(&stop, &Answer::read(keys)?)?;
        Ok(then)
    }

    /// Makes the failure of a bed that there is not.
    pub fn no_such(&self, typed: &str) -> Failure {
        Failure::refused(format!("no bed is in `{}`", typed.trim()))
            .hint("see every bed with `castlot beds`")
    }

    fn was_visited(&self, stop: &Stop, round: &RoundName) -> bool {
        let visits = &stop.visits;
        let last = [
            visits.feeds.first().copied(),
            visits.checked,
            visits.skipped,
        ];
        let mut days = last.iter().flatten().map(|place| self.day_of(*place));
        days.any(|day| day == round.day)
    }

    fn day_of(&self, place: usize) -> jiff::civil::Date {
        self.farm.entries()[place].when.day()
    }

    /// Returns the bins whose beds are due on the sheet, and of which nothing is said.
    fn blank(&self, round: &RoundName) -> Vec<String> {
        let due = self.stops.iter().filter(|stop| stop.is_due());
        let open = due.filter(|stop| {
            let fed = stop
                .visits
                .feeds
                .first()
                .is_some_and(|place| self.day_of(*place) == round.day);
            !fed && !self.told.contains(&stop.bed)
        });
        open.map(|stop| stop.bin.to_string()).collect()
    }
}
