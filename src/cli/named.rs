//! What a command's words name, and what to type next where they name nothing.

use crate::desk::{Finder, Lost, Subject, called};
use crate::farm::{CodeError, Farm, LotCode, LotId, Moment, Serial, Settings};

use super::failure::Failure;

/// Who asks: the farm, its settings, and the command that a hint should name.
#[derive(Clone, Copy)]
pub struct Asking<'a> {
    /// The farm.
    pub farm: &'a Farm,
    /// Its settings.
    pub settings: &'a Settings,
    /// The command's name, as in `castlot show`.
    pub command: &'static str,
}

impl Asking<'_> {
    /// Finds what a text names, or offers the nearest names there are.
    pub fn find(self, text: &str) -> Result<Subject, Failure> {
        let found = self.finder().find(text);
        found.map_err(|lost| self.hinted(&lost))
    }

    /// Finds the lot that a text names, a bin standing for the bed that is in it (or was, then).
    pub fn find_lot(
        self,
        text: &str,
        when: Option<Moment>,
    ) -> Result<(LotId, Option<Serial>), Failure> {
        let found = self.finder().find_lot(text, when);
        found.map_err(|lost| self.hinted(&lost))
    }

    fn finder(&self) -> Finder<'_> {
        Finder {
            farm: self.farm,
            settings: self.settings,
        }
    }

    /// Adds what to type next.
    fn hinted(self, lost: &Lost) -> Failure {
        let failure = Failure::refused(lost.to_string());
        let command = self.command;
        match lost {
            Lost::NoSuchLot { nearest, .. } => self.offer(failure, nearest),
            Lost::NoSuchSerial { .. } | Lost::NoSuchRack { .. } => failure,
            Lost::Struck { code, .. } => {
                failure.hint(format!("read what was struck with `castlot show {code}`"))
            }
            Lost::NotARun { code, .. } => {
                failure.hint(format!("leave the serial out: `castlot {command} {code}`"))
            }
            Lost::NoSuchMark { mark, nearest } if nearest.is_empty() => {
                failure.hint(format!("look for half a code with `castlot find {mark}`"))
            }
            Lost::NoSuchMark { nearest, .. } => self.offer(failure, nearest),
            Lost::NearlyBin { near, .. } => {
                failure.hint(format!("bin {near}: `castlot {command} {near}`"))
            }
            Lost::NoSuchBin { bin, with } if with.is_empty() => {
                let piece = bin.as_str();
                let like_a_code = piece.len() > 3 && piece.starts_with(['G', 'B', 'H', 'P']);
                failure.hint(if like_a_code {
                    format!("look for half a code with `castlot find {piece}`")
                } else {
                    "see every bin with `castlot beds`".to_owned()
                })
            }
            Lost::NoSuchBin { with, .. } => self.offer(failure, with),
            Lost::IsRack { rack } => {
                failure.hint(format!("see what stands on it with `castlot show {rack}`"))
            }
            Lost::NoBedIn { last, .. } => match last {
                None => failure,
                Some(last) => failure.hint(format!("its last bed: `castlot {command} {last}`")),
            },
            Lost::StrangeAddress { code, .. } => {
                let failure =
                    failure.hint("if labels carry it, add it to `old_bases` in castlot.toml");
                match code {
                    Some(code) => {
                        failure.hint(format!("the code in it: `castlot {command} {code}`"))
                    }
                    None => failure,
                }
            }
            Lost::Misread {
                error,
                slip,
                nearest,
            } => self.misread(failure, error, slip, nearest),
        }
    }

    fn misread(
        self,
        failure: Failure,
        error: &CodeError,
        slip: &str,
        nearest: &[LotCode],
    ) -> Failure {
        match error {
            _ if !nearest.is_empty() => self.offer(failure, nearest),
            CodeError::Shape { .. } | CodeError::Check { .. } => {
                let typed = slip.trim().replace('\'', "");
                failure.hint(format!(
                    "look for half a code with `castlot find '{typed}'`"
                ))
            }
            CodeError::Bin { .. }
            | CodeError::Place { .. }
            | CodeError::Mark { .. }
            | CodeError::Serial { .. } => failure,
        }
    }

    /// Adds the codes that may have been meant, each with what it is.
    fn offer(self, failure: Failure, codes: &[LotCode]) -> Failure {
        let command = self.command;
        codes.iter().fold(failure, |failure, code| {
            let what = match self.farm.lot_of(*code) {
                None => "struck out since".to_owned(),
                Some(lot) => called(self.farm, lot),
            };
            failure.hint(format!("{what}: `castlot {command} {code}`"))
        })
    }
}
