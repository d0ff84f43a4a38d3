//! `castlot scan`: a loop for a scanner that types what it reads, at the bench or at the rack.

use std::io::{BufRead, IsTerminal, Write};

use crate::desk::answer::{Answer, KEYS, taking};
use crate::desk::rows::put;
use crate::desk::{Subject, called};
use crate::farm::{BinCode, EntryNumber, Farm, Measures, Noun, Place, Settings, Strike, Word};
use crate::sheets::Row;
use crate::trade::lot_name;

use super::failure::{Failure, Kind};
use super::named::Asking;
use super::refusing::refused;
use super::scan_line::Ask;
use super::scan_look::Look;
use super::shed::Shed;
use super::voice;
use super::write_down::Typing;

/// Feed, skip, move and look at beds by scanning their bins.
///
/// Reads lines until `q` or the end of what is piped in, and answers each in one. Scan a bin (or type its code, or its
/// bed's), then: `f` feeds it as the round says, `f 300` so many grams of the lot in use, `f mix-17 300g` another; `s why`
/// notes that it was passed over; `c n d` notes what is seen, by the keys of the round sheet; `m R2/S1/P3` moves the bin;
/// `?` shows it. `use mix-17` says which lot is in use; a place alone (`R2/S1/P3`) says where you stand, so that a bin in the
/// wrong place is found out; `undo` takes the last entry of this loop back. An error is told and ends nothing.
///
/// Example: `castlot scan`
#[derive(Debug, clap::Args)]
pub struct Args {}

/// Runs it.
pub fn run(shed: &Shed, _args: &Args) -> Result<(), Failure> {
    let settings = shed.settings()?;
    shed.open()?;
    let mut bench = Bench {
        settings: &settings,
        bin: None,
        lot: None,
        place: None,
        done: Vec::new(),
    };
    let stdin = std::io::stdin();
    let asks = stdin.is_terminal();
    let mut lines = stdin.lock();
    loop {
        if asks {
            // The prompt is no answer, and goes where answers are not read.
            let _ = write!(
                std::io::stderr(),
                "{}> ",
                bench.bin.map(|bin| bin.to_string()).unwrap_or_default()
            );
        }
        let mut line = Vec::new();
        let read = lines.read_until(b'\n', &mut line);
        let read =
            read.map_err(|error| Failure::refused(format!("cannot read what is typed: {error}")))?;
        let line = String::from_utf8_lossy(&line);
        let ask = Ask::read(&line, &settings.bases());
        if read == 0 || ask == Ask::Quit {
            return Ok(());
        }
        match bench.answer(&shed.later(), ask) {
            Ok(answer) if answer.is_empty() => {}
            Ok(answer) => voice::say(answer),
            Err(failure) if failure.kind == Kind::Diary => return Err(failure),
            Err(failure) => voice::say(format!("no: {}", failure.texts.join("; "))),
        }
    }
}

/// What is at hand.
struct Bench<'a> {
    settings: &'a Settings,
    bin: Option<BinCode>,
    /// The lot in use, by its mark or else its code.
    lot: Option<String>,
    /// Where one stands.
    place: Option<Place>,
    /// What this loop has recorded, the last at the end: the entries of a line together.
    done: Vec<Vec<EntryNumber>>,
}

const HELP: &str = "scan a bin; f, f 300, f mix-17 300g | s why | c n d | m R2/S1/P3 | ? shows it | use mix-17 | \
    R2/S1/P3: where you stand | undo | q";

impl Bench<'_> {
    fn answer(&mut self, shed: &Shed, ask: Ask) -> Result<String, Failure> {
        match ask {
            Ask::Nothing | Ask::Quit => Ok(String::new()),
            Ask::Help => Ok(HELP.to_owned()),
            Ask::Use(words) => self.take_up(shed, &words),
            Ask::At(place) => {
                self.place = Some(place.clone());
                Ok(format!("at {place}: scan the bin that stands here"))
            }
            Ask::Scan(text) => self.scan(shed, &text),
            Ask::Show => self.show(shed),
            Ask::Feed(words) => self.feed(shed, &words),
            Ask::Skip(why) => {
                let mut row = self.row(shed, Noun::Skip)?;
                put(&mut row, "why", why);
                self.write(shed, vec![row])
            }
            Ask::Check(keys) => self.check(shed, &keys),
            Ask::Move(place) => {
                let bin = self.at_hand()?;
                let mut row = Row::new(Noun::Move);
                put(&mut row, "bin", bin.as_str());
                put(&mut row, "place", place);
                self.write(shed, vec![row])
            }
            Ask::Undo => self.undo(shed),
        }
    }

    fn at_hand(&self) -> Result<BinCode, Failure> {
        self.bin
            .ok_or_else(|| Failure::refused("no bin is at hand; scan one"))
    }

    /// Takes a lot up to feed from.
    fn take_up(&mut self, shed: &Shed, words: &[String]) -> Result<String, Failure> {
        let [name] = words else {
            return Err(Failure::refused("name one lot, as in `use mix-17`"));
        };
        let farm = shed.open()?;
        let (lot, _) = self.asking(&farm).find_lot(name, None)?;
        self.lot = Some(lot_name(&farm, lot));
        let left = farm.lot(lot).stock.left();
        let left = left.map_or_else(String::new, |left| format!(", {left} left"));
        Ok(format!("using {}{left}", called(&farm, lot)))
    }

    fn asking<'a>(&'a self, farm: &'a Farm) -> Asking<'a> {
        Asking {
            farm,
            settings: self.settings,
            command: "show",
        }
    }

    /// Takes a bin in hand, and tells what is in it and whether it stands where it should.
    fn scan(&mut self, shed: &Shed, text: &str) -> Result<String, Failure> {
        let farm = shed.open()?;
        let bin = match self.asking(&farm).find(text)? {
            Subject::Bin(bin) => bin,
            Subject::Lot(lot) => farm.lot(lot).bin().ok_or_else(|| {
                Failure::refused(format!(
                    "{} is in no bin; scan a bin, or say `use {text}`",
                    called(&farm, lot)
                ))
            })?,
            Subject::Rack(rack) => return Ok(self.look(shed, &farm).rack(&rack)),
            Subject::Pack(..) | Subject::Struck(..) => {
                return Err(Failure::refused(format!("`{text}` is no bin")));
            }
        };
        self.bin = Some(bin);
        let shown = self.look(shed, &farm).bin(bin);
        let stands = farm.bins()[&bin]
            .standing
            .as_ref()
            .map(|standing| &standing.place);
        match self.place.take() {
            Some(here) if stands != Some(&here) => {
                let belongs =
                    stands.map_or_else(|| "at no place".to_owned(), |place| format!("at {place}"));
                Ok(format!(
                    "{shown}; it is noted {belongs}: `m {here}` puts it here"
                ))
            }
            Some(_) | None => Ok(shown),
        }
    }

    fn show(&self, shed: &Shed) -> Result<String, Failure> {
        let (bin, farm) = (self.at_hand()?, shed.open()?);
        Ok(self.look(shed, &farm).bin(bin))
    }

    /// Returns what there is to show of a farm.
    fn look<'a>(&'a self, shed: &Shed, farm: &'a Farm) -> Look<'a> {
        let day = shed.stamp(self.settings).now.day();
        Look {
            farm,
            settings: self.settings,
            day,
        }
    }

    /// Starts a row about the bed in the bin at hand, by its code: another that is put in meanwhile is not meant.
    fn row(&self, shed: &Shed, noun: Noun) -> Result<Row<'static>, Failure> {
        let (bin, farm) = (self.at_hand()?, shed.open()?);
        let bed = farm.bins().get(&bin).and_then(|bin| bin.bed);
        let bed = bed.ok_or_else(|| Failure::refused(format!("{bin} is empty")))?;
        let mut row = Row::new(noun);
        put(&mut row, "bin", farm.lot(bed).code.to_string());
        Ok(row)
    }

    fn feed(&mut self, shed: &Shed, words: &[String]) -> Result<String, Failure> {
        let mut row = self.row(shed, Noun::Feed)?;
        let farm = shed.open()?;
        let stop = self.look(shed, &farm).stop(self.at_hand()?);
        if let Some(stop) = stop
            .as_ref()
            .filter(|stop| words.is_empty() && !stop.is_due())
        {
            // A second scan of the same bin is no second feed.
            let (bin, why) = (stop.bin, stop.why());
            return Err(Failure::refused(format!(
                "{bin} is not due ({why}); say how much, as in `f 300`"
            )));
        }
        let give = stop.map(|stop| stop.give).unwrap_or_default();
        let said = give.lot.map(|lot| lot_name(&farm, lot));
        let lot = self.lot.clone().or(said);
        let takes = match (words, give.amount) {
            ([], Some(amount)) => taking(&[amount.to_string()], lot.as_deref(), &Measures::new())?,
            ([], None) => return Err(Failure::refused("say how much, as in `f 300`")),
            (words, _) => taking(words, lot.as_deref(), &self.settings.measures)?,
        };
        put(&mut row, "takes", takes);
        self.write(shed, vec![row])
    }

    fn check(&mut self, shed: &Shed, keys: &str) -> Result<String, Failure> {
        if keys.is_empty() {
            return Err(Failure::refused(KEYS));
        }
        let (bin, farm) = (self.at_hand()?, shed.open()?);
        let stop = self.look(shed, &farm).stop(bin);
        let stop = stop.ok_or_else(|| Failure::refused(format!("{bin} is empty")))?;
        let rows =
            Answer::read(keys)?.rows(&farm, (&stop).into(), &self.settings.measures, None)?;
        self.write(shed, rows)
    }

    /// Records rows, and tells the last entry and what was warned of.
    fn write(&mut self, shed: &Shed, rows: Vec<Row<'static>>) -> Result<String, Failure> {
        let bin = self.at_hand()?;
        let said: Vec<String> = rows.iter().map(in_words).collect();
        let recording = shed.write_rows(self.settings, Typing::Words, |_| Ok(rows))?;
        let numbers: Vec<EntryNumber> = recording
            .entries()
            .iter()
            .map(|entry| entry.number)
            .collect();
        let entries: Vec<String> = numbers.iter().map(ToString::to_string).collect();
        let warned: String = recording
            .warnings()
            .map(|(_, warning)| format!("; warning: {warning}"))
            .collect();
        self.done.push(numbers);
        let word = if entries.len() == 1 {
            "entry"
        } else {
            "entries"
        };
        Ok(format!(
            "{bin}: {}{warned}: {word} {}",
            said.join(", "),
            entries.join(", ")
        ))
    }

    /// Strikes the entries of the last line that recorded any.
    fn undo(&mut self, shed: &Shed) -> Result<String, Failure> {
        let last = self.done.last().cloned();
        let last = last.ok_or_else(|| Failure::refused("nothing of this loop is left to undo"))?;
        let stamp = shed.stamp(self.settings);
        let why = Word::of("taken back").expect("there is a reason");
        for number in last.iter().rev() {
            let strike = Strike {
                entry: *number,
                why: why.clone(),
            };
            shed.write(self.settings, |farm| {
                farm.strike(strike, &stamp).map_err(refused)
            })?;
        }
        self.done.pop();
        let numbers: Vec<String> = last.iter().map(ToString::to_string).collect();
        let (word, are) = if last.len() == 1 {
            ("entry", "is")
        } else {
            ("entries", "are")
        };
        Ok(format!("{word} {} {are} struck out", numbers.join(", ")))
    }
}

/// Writes what a row says, as it is answered.
fn in_words(row: &Row<'_>) -> String {
    match row.noun() {
        Noun::Feed => format!("fed {}", row.cell("takes")),
        Noun::Skip => format!("skipped, {}", row.cell("why")),
        Noun::Move => format!("moved to {}", row.cell("place")),
        noun => {
            let cells = row
                .cells()
                .map(str::trim)
                .filter(|cell| !cell.is_empty())
                .skip(1);
            let cells: Vec<&str> = cells.collect();
            format!("{} {}", noun.word(), cells.join(", "))
        }
    }
}
