//! Judges what is to be recorded, with what castlot.toml says goes with it, and says what is to be said beside it.
//!
//! Whatever takes rows from a person, a command or a phone, goes through here, inside the diary's one writer.

use jiff::Timestamp;

use crate::farm::{
    Draft, EntryNumber, Farm, Moment, Problem, Recording, Settings, Stamp, Strike, Word,
};
use crate::sheets::{Known, Reader, Row};

use super::rows::put;
use super::{Unrecorded, beside, densities, fill_doubt, fills_hold, incoming, permission_words};

/// Who records, when, and under which settings.
pub struct Clerk<'a> {
    /// The farm's settings.
    pub settings: &'a Settings,
    /// Who, and when.
    pub stamp: Stamp,
}

impl<'a> Clerk<'a> {
    /// Stands ready at an instant for a person.
    pub fn new(settings: &'a Settings, written: Timestamp, by: Option<Word>) -> Self {
        let local = settings.zone.to_datetime(written);
        let now = Moment::minute_of(local);
        let stamp = Stamp { written, now, by };
        Self { settings, stamp }
    }

    /// Judges rows as if they were recorded now, with the holds and releases that go with them; writes nothing.
    ///
    /// # Errors
    /// Says which cells do not read, or which rules refuse which rows.
    pub fn judge(&self, farm: &Farm, rows: Vec<Row<'static>>) -> Result<Recording, Unrecorded> {
        let drafts = self.drafts(farm, rows)?;
        let written = self.stamp.written;
        let recording = farm.record(drafts, written);
        let recording = recording
            .and_then(|recording| incoming::with_holds(recording, &self.settings.hold, written));
        recording.map_err(|problems| Unrecorded::Refused { problems })
    }

    /// Adds the holds and releases of runs whose weighings a recording changes.
    pub fn and_holds(&self, recording: Recording) -> Recording {
        fills_hold::beside(recording, self.settings, &self.stamp)
    }

    /// Draws a line through an entry, with the holds and releases that this changes.
    ///
    /// # Errors
    /// Says what names it still, or that there is nothing to strike.
    pub fn strike(
        &self,
        farm: &Farm,
        entry: EntryNumber,
        why: Word,
    ) -> Result<Recording, Vec<Problem>> {
        let recording = farm.strike(Strike { entry, why }, &self.stamp)?;
        Ok(self.and_holds(recording))
    }

    /// Returns what nothing refuses and a person would want to know of a recording, a line each.
    pub fn beside(&self, recording: &Recording) -> Vec<String> {
        let (farm, entries) = (&recording.farm, recording.entries());
        let mut lines = beside::words(recording, self.settings, self.stamp.now);
        lines.extend(densities::words(farm, entries, self.settings));
        lines.extend(fill_doubt::words(farm, entries));
        lines.extend(permission_words::about_packs(farm, self.settings, entries));
        let lines = lines.into_iter().map(|line| format!("warning: {line}"));
        lines
            .chain(fills_hold::words(farm, entries, self.settings))
            .collect()
    }

    /// Reads rows, each of which happened now and by whoever records unless it says otherwise.
    fn drafts(&self, farm: &Farm, rows: Vec<Row<'static>>) -> Result<Vec<Draft>, Unrecorded> {
        let stamp = &self.stamp;
        let known = Known::of(farm);
        let reader = Reader::new(self.settings, &known, stamp.now);
        let (mut drafts, mut problems) = (Vec::new(), Vec::new());
        for mut row in rows {
            if row.cell("when").is_empty() {
                put(&mut row, "when", stamp.now.to_string());
            }
            match reader.read(&row) {
                Ok(draft) => drafts.push(Draft {
                    by: draft.by.or_else(|| stamp.by.clone()),
                    ..draft
                }),
                Err(wrong) => problems.extend(wrong),
            }
        }
        if problems.is_empty() {
            Ok(drafts)
        } else {
            Err(Unrecorded::Misread { problems })
        }
    }
}
