//! From the forms of the shed's pages to rows of the diary: the same rows that a round sheet taken back at the terminal
//! makes, so that the same rules judge them.

use crate::desk::Unsaid;
use crate::desk::answer::{Answer, OfBed, taking};
use crate::desk::rows::{maybe, put};
use crate::farm::{CodeError, EntryNumber, Farm, LotCode, Noun, Word};
use crate::sheets::Row;
use crate::trade::Give;

use super::answer_boxes::BOXES;
use super::posted::Fields;
use super::today::Rack;

/// Why a form says nothing that could be written down.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum FormError {
    /// A field that has to say something says nothing.
    #[error("nothing is said of {what}")]
    Missing {
        /// What it is about.
        what: &'static str,
    },
    /// A code does not read.
    #[error(transparent)]
    Code {
        /// What is wrong with it.
        #[from]
        source: CodeError,
    },
    /// It is of no bed of the farm.
    #[error("{code} is no bed of this farm")]
    NoBed {
        /// The code.
        code: LotCode,
    },
    /// What was said of a bed does not read.
    #[error(transparent)]
    Unsaid {
        /// What is wrong.
        #[from]
        source: Unsaid,
    },
    /// No page of castlot's names so many entries to be taken back.
    #[error("more than {MOST_TAKEN_BACK} entries cannot be taken back at once")]
    TooMany,
    /// Somebody else wrote the entry, or nobody did.
    #[error("entry {entry} is not yours to take back here")]
    NotYours {
        /// The entry.
        entry: String,
    },
}

/// A form makes a handful of entries at most; each that is struck out makes all others that write wait.
const MOST_TAKEN_BACK: usize = 20;

/// What a form of a bed or a bin says was done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Deed {
    /// A bed was fed.
    Fed,
    /// It was passed over.
    Skipped,
    /// It was looked at.
    Checked,
    /// A bin was put elsewhere.
    Moved,
    /// Something is to be remembered of a bed.
    Noted,
}

impl Deed {
    /// Every deed, with the last part of the address that its form is sent to.
    pub const ALL: [(&'static str, Self); 5] = [
        ("fed", Self::Fed),
        ("skipped", Self::Skipped),
        ("checked", Self::Checked),
        ("moved", Self::Moved),
        ("noted", Self::Noted),
    ];

    /// Reads a form as rows of the diary.
    ///
    /// # Errors
    /// Says what the form leaves open.
    pub fn rows(
        self,
        rack: Rack<'_>,
        fields: &Fields,
        when: Option<&str>,
    ) -> Result<Vec<Row<'static>>, FormError> {
        match self {
            Self::Fed | Self::Skipped | Self::Checked => {
                let of = bed(rack, fields)?;
                let answer = self.answer(rack, fields)?;
                if answer.is_blank() {
                    return Err(FormError::Missing {
                        what: "what was seen",
                    });
                }
                Ok(answer.rows(rack.farm, of, &rack.settings.measures, when)?)
            }
            Self::Moved => {
                let mut row = Row::new(Noun::Move);
                maybe(&mut row, "when", when);
                put(&mut row, "bin", must(fields, "bin", "the bin")?);
                put(&mut row, "place", must(fields, "place", "the place")?);
                Ok(vec![row])
            }
            Self::Noted => {
                let of = bed(rack, fields)?;
                let mut row = Row::new(Noun::Check);
                maybe(&mut row, "when", when);
                put(&mut row, "bin", rack.farm.lot(of.bed).code.to_string());
                put(
                    &mut row,
                    "note",
                    must(fields, "note", "what is to be remembered")?,
                );
                Ok(vec![row])
            }
        }
    }

    /// Reads what a bed's form says, as a row of a round sheet says it: boxes that were circled go with any of the three.
    fn answer(self, rack: Rack<'_>, fields: &Fields) -> Result<Answer, FormError> {
        let mut answer = Answer::default();
        for boxes in &BOXES {
            if let Some(circled) = fields.said(boxes.column) {
                answer.say(boxes.column, circled)?;
            }
        }
        if let Some(degrees) = fields.said("temperature_c") {
            answer.say("temperature_c", degrees)?;
        }
        if let Some(note) = fields.said("note") {
            answer.remark(note);
        }
        match self {
            Self::Fed => answer.feed(&takes(rack, fields)?),
            Self::Skipped => {
                let own = fields.said("why").or(fields.said("own_why"));
                answer.skip(own.ok_or(FormError::Missing {
                    what: "why it was skipped",
                })?);
            }
            Self::Checked | Self::Moved | Self::Noted => {}
        }
        Ok(answer)
    }
}

/// Returns what a field says that has to say something.
fn must<'a>(fields: &'a Fields, name: &str, what: &'static str) -> Result<&'a str, FormError> {
    fields.said(name).ok_or(FormError::Missing { what })
}

/// Finds the bed that a form is of, by its code: another that is in the bin by now is not meant. One that has left its bin
/// since may be meant by a form that was kept on the phone; the rules judge it at the form's own moment.
fn bed(rack: Rack<'_>, fields: &Fields) -> Result<OfBed, FormError> {
    let code = LotCode::read(must(fields, "bed", "the bed")?)?;
    if let Some(stop) = rack.bed(code) {
        return Ok(stop.into());
    }
    let bed = rack.farm.lot_of(code).ok_or(FormError::NoBed { code })?;
    let last = rack.farm.lot(bed).stays.last();
    let bin = last.ok_or(FormError::NoBed { code })?.bin;
    Ok(OfBed {
        bed,
        bin,
        give: Give::default(),
    })
}

/// Returns what was fed: as the tapped button says, or an amount that was typed.
fn takes(rack: Rack<'_>, fields: &Fields) -> Result<String, FormError> {
    if let Some(takes) = fields.said("takes") {
        return Ok(takes.to_owned());
    }
    let amount = must(fields, "amount", "how much")?;
    let words: Vec<String> = amount.split_whitespace().map(str::to_owned).collect();
    Ok(taking(&words, fields.said("lot"), &rack.settings.measures)?)
}

/// Reads which entries are to be taken back: a worker's own, that still stand.
///
/// # Errors
/// Names the one that is not.
pub fn own_entries(farm: &Farm, fields: &Fields, by: &Word) -> Result<Vec<EntryNumber>, FormError> {
    let typed = must(fields, "entries", "which entries")?;
    if typed.split_whitespace().count() > MOST_TAKEN_BACK {
        return Err(FormError::TooMany);
    }
    let numbers = typed.split_whitespace().map(|word| {
        let number = word.parse::<EntryNumber>().ok();
        let entry = number.and_then(|number| farm.entry(number));
        let own = entry.filter(|entry| entry.by.as_ref() == Some(by));
        own.map(|entry| entry.number).ok_or(FormError::NotYours {
            entry: word.to_owned(),
        })
    });
    numbers.collect()
}
