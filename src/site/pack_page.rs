//! The page of one pack of a run whose codes are Digital Links: small, and the way to the run's own page.

use askama::Template;

use crate::farm::{LotId, PackCode, Serial};
use crate::label::Heeded;
use crate::trace::Start;
use crate::trade::NO_SUBSTITUTE;

use super::banner::{Banner, status};
use super::frame::{Frame, Known};
use super::lot_page::{Subject, cautions};
use super::shown::Shown;
use super::sources::Sources;
use super::standing::Standing;
use super::wording;

/// What the packs of a run have in common.
pub struct Packs<'a> {
    shown: Shown<'a>,
    run: LotId,
    standing: &'a Standing,
    sources: Sources,
}

/// The page of a pack.
#[derive(Template)]
#[template(path = "pages/pack.html")]
pub struct PackPage<'a> {
    frame: Frame<'a>,
    sort: &'static str,
    what: String,
    code: String,
    run: String,
    banner: Option<Banner>,
    status: String,
    known: Vec<Known>,
    sources: &'a Sources,
    cautions: Vec<Heeded>,
    no_substitute: &'static str,
}

impl<'a> Packs<'a> {
    /// Traces a run once for all its packs.
    pub fn of(shown: Shown<'a>, run: Subject<'a>) -> Self {
        let Subject {
            farm,
            lot,
            standing,
            balance,
            ways_back,
        } = run;
        let start = Start {
            lot,
            serial: None,
            when: None,
        };
        let sources = Sources::of(shown, &ways_back.trace(farm, start), &balance);
        Self {
            shown,
            run: lot,
            standing,
            sources,
        }
    }

    /// Makes the page of one of them.
    pub fn page(&'a self, serial: Serial, frame: Frame<'a>) -> PackPage<'a> {
        let lot = self.shown.farm.lot(self.run);
        let mut standing = self.standing.clone();
        let among = standing
            .recall
            .as_ref()
            .map(|recall| recall.is_about(serial));
        let status = match (&mut standing.recall, among) {
            (Some(recall), Some(true)) => {
                recall.only.clear();
                status(&standing)
            }
            (recall @ Some(_), Some(false)) => {
                *recall = None;
                "Some packs of the same run are recalled; this one is not among them.".to_owned()
            }
            (_, _) => status(&standing),
        };
        let run = lot.code;
        PackPage {
            sort: wording::sort(lot.sort),
            what: self.shown.what(self.run),
            code: PackCode { run, serial }.to_string(),
            run: run.to_string(),
            banner: Banner::of(&standing, lot.sort, &frame),
            status,
            known: self.shown.known(self.run),
            sources: &self.sources,
            cautions: cautions(self.shown.farm, self.run, frame.settings),
            no_substitute: NO_SUBSTITUTE,
            frame,
        }
    }
}
