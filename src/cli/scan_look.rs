//! What the scan loop shows of a bin or a rack, in one line.

use jiff::civil::Date;

use crate::desk::round::worms;
use crate::farm::{BinCode, Farm, Settings};
use crate::trade::{Round, Stop, short_species};

/// A farm on a day.
#[derive(Clone, Copy)]
pub struct Look<'a> {
    /// The farm.
    pub farm: &'a Farm,
    /// Its settings.
    pub settings: &'a Settings,
    /// The day.
    pub day: Date,
}

impl Look<'_> {
    fn stops(self, rack: Option<&str>) -> Vec<Stop> {
        let round = Round {
            farm: self.farm,
            settings: self.settings,
            day: self.day,
            worms: &worms(self.farm),
        };
        round.stops(rack)
    }

    /// Returns the bed in a bin, as the round sees it.
    pub fn stop(self, bin: BinCode) -> Option<Stop> {
        self.stops(None).into_iter().find(|stop| stop.bin == bin)
    }

    /// Tells what is in a bin, and what is due there.
    pub fn bin(self, bin: BinCode) -> String {
        let Some(stop) = self.stop(bin) else {
            return format!("{bin}: empty");
        };
        let species = short_species(stop.species.as_deref().unwrap_or("worms"));
        let code = self.farm.lot(stop.bed).code;
        format!(
            "{bin}: {species}, {} days, {}, {}, {code}",
            stop.days,
            stop.to_do(self.farm),
            stop.why()
        )
    }

    /// Tells what is due on a rack.
    pub fn rack(self, rack: &str) -> String {
        let stops = self.stops(Some(rack));
        let due = stops.iter().filter(|stop| stop.is_due());
        let due: Vec<String> = due.map(|stop| stop.bin.to_string()).collect();
        match due.as_slice() {
            [] => format!("rack {rack}: nothing due"),
            due => format!("rack {rack}: due {}", due.join(", ")),
        }
    }
}
