//! The shed's pages by their addresses, for whoever is signed in.

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;

use crate::desk::{Finder, Subject};
use crate::farm::{BinCode, LotId, Serial};

use super::bin_page::BinPage;
use super::complaint_page::ComplaintPage;
use super::find_page::{FindPage, Leads};
use super::frame::Worker;
use super::in_use::InUse;
use super::packed::packed;
use super::posted::Pairs;
use super::round_page::RoundPage;
use super::routes::{Here, Serving};
use super::signed_in::SignedIn;
use super::today::Rack;
use super::trace_page::TracePage;
use super::turned_away::{TurnedAway, private};

/// Returns the routes.
pub fn routes() -> Router<Here> {
    let rounds = Router::new()
        .route("/RACK/{rack}", get(rack))
        .route("/shed/round", get(round));
    packed(rounds)
        .route("/BIN/{bin}", get(bin))
        .route("/shed/find", get(find))
        .route("/shed/complaint", get(complaint))
        .route("/shed/trace/{code}", get(trace))
        .route("/shed/trace/{code}/{serial}", get(trace_pack))
}

/// What a page is made from.
struct Asked<'a> {
    serving: &'a Serving,
    by: &'a SignedIn,
    rack: Rack<'a>,
    worker: &'a Worker,
}

impl Asked<'_> {
    /// Returns what whoever asks feeds from, on a page of that address.
    fn in_use(&self, back: String) -> InUse {
        let chosen = self.serving.shed.chosen.of(&self.by.initials);
        InUse::of(self.rack, chosen, back)
    }

    /// Makes the answer for a text that leads to no page: what it may have meant.
    fn lost(&self, typed: &str) -> Response {
        match FindPage::of(self.rack, Some(typed), self.worker) {
            Leads::To(address) => Redirect::to(&address).into_response(),
            Leads::List(page) => private(StatusCode::NOT_FOUND, &*page),
        }
    }
}

/// Makes a page where waiting for it keeps nobody else waiting.
async fn made(
    serving: Arc<Serving>,
    by: SignedIn,
    make: impl FnOnce(Asked<'_>) -> Response + Send + 'static,
) -> Result<Response, TurnedAway> {
    let work = move || {
        let snapshot = serving.live.snapshot();
        let today = serving.shed.today(&snapshot);
        let worker = serving.shed.worker(&by)?;
        Ok(make(Asked {
            serving: &serving,
            by: &by,
            rack: today.with(&snapshot.farm, &snapshot.settings),
            worker: &worker,
        }))
    };
    let done = tokio::task::spawn_blocking(work).await;
    done.unwrap_or_else(|died| std::panic::resume_unwind(died.into_panic()))
}

fn shown(page: &impl Template) -> Response {
    private(StatusCode::OK, page)
}

async fn bin(
    State(serving): State<Arc<Serving>>,
    by: SignedIn,
    Path(typed): Path<String>,
) -> Result<Response, TurnedAway> {
    made(serving, by, move |asked| {
        let bin: Option<BinCode> = typed.parse().ok();
        let page = bin.and_then(|bin| {
            let in_use = asked.in_use(format!("/BIN/{bin}"));
            BinPage::of(asked.rack, bin, in_use, asked.worker)
        });
        page.map_or_else(|| asked.lost(&typed), |page| shown(&page))
    })
    .await
}

async fn rack(
    serving: State<Arc<Serving>>,
    by: SignedIn,
    Path(typed): Path<String>,
) -> Result<Response, TurnedAway> {
    let back = format!("/RACK/{typed}");
    round_of(serving, by, Some(typed), back).await
}

async fn round(
    serving: State<Arc<Serving>>,
    by: SignedIn,
    Query(asks): Query<Pairs>,
) -> Result<Response, TurnedAway> {
    match of(asks, "rack") {
        Some(rack) => {
            let rack = rack.to_uppercase();
            let back = format!("/shed/round?rack={rack}");
            round_of(serving, by, Some(rack), back).await
        }
        None => round_of(serving, by, None, "/shed/round".to_owned()).await,
    }
}

async fn round_of(
    State(serving): State<Arc<Serving>>,
    by: SignedIn,
    rack: Option<String>,
    back: String,
) -> Result<Response, TurnedAway> {
    made(serving, by, move |asked| {
        let in_use = asked.in_use(back);
        let page = RoundPage::of(asked.rack, rack.as_deref(), in_use, asked.worker);
        match page {
            Some(page) => shown(&page),
            None => asked.lost(rack.as_deref().unwrap_or_default()),
        }
    })
    .await
}

async fn find(
    State(serving): State<Arc<Serving>>,
    by: SignedIn,
    Query(asks): Query<Pairs>,
) -> Result<Response, TurnedAway> {
    let typed = of(asks, "q");
    made(serving, by, move |asked| {
        match FindPage::of(asked.rack, typed.as_deref(), asked.worker) {
            Leads::To(address) => Redirect::to(&address).into_response(),
            Leads::List(page) => shown(&*page),
        }
    })
    .await
}

async fn complaint(
    State(serving): State<Arc<Serving>>,
    by: SignedIn,
    Query(asks): Query<Pairs>,
) -> Result<Response, TurnedAway> {
    let pack = of(asks, "pack");
    made(serving, by, move |asked| {
        shown(&ComplaintPage::of(
            asked.rack,
            pack.as_deref(),
            asked.worker,
        ))
    })
    .await
}

async fn trace(
    State(serving): State<Arc<Serving>>,
    by: SignedIn,
    Path(code): Path<String>,
) -> Result<Response, TurnedAway> {
    traced(serving, by, code).await
}

async fn trace_pack(
    State(serving): State<Arc<Serving>>,
    by: SignedIn,
    Path((code, serial)): Path<(String, String)>,
) -> Result<Response, TurnedAway> {
    traced(serving, by, format!("{code}/{serial}")).await
}

async fn traced(serving: Arc<Serving>, by: SignedIn, code: String) -> Result<Response, TurnedAway> {
    made(serving, by, move |asked| match lot(asked.rack, &code) {
        Some(lot) => {
            let name = &asked.rack.settings.name;
            shown(&TracePage::of(asked.rack.farm, name, lot, asked.worker))
        }
        None => asked.lost(&code),
    })
    .await
}

fn lot(rack: Rack<'_>, code: &str) -> Option<(LotId, Option<Serial>)> {
    let finder = Finder {
        farm: rack.farm,
        settings: rack.settings,
    };
    match finder.find(code).ok()? {
        Subject::Lot(lot) => Some((lot, None)),
        Subject::Pack(run, serial) => Some((run, Some(serial))),
        Subject::Struck(..) | Subject::Bin(_) | Subject::Rack(_) => None,
    }
}

/// Returns what an address asks under a name.
fn of(asks: Pairs, name: &str) -> Option<String> {
    let found = asks.into_iter().find(|(known, _)| known == name);
    found
        .map(|(_, text)| text.trim().to_owned())
        .filter(|text| !text.is_empty())
}
