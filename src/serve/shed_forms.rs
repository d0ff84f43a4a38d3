//! What is sent to the shed: forms, each recorded once, and answered with a page that says what was written down.

use std::sync::Arc;

use axum::Router;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::post;
use jiff::SignedDuration;

use crate::diary::DiaryError;
use crate::farm::{EntryNumber, LotCode};

use super::complaint_page::what_then;
use super::forms::Deed;
use super::not_recorded::{NotRecorded, Reason};
use super::posted::Posted;
use super::recorder::{Act, record};
use super::routes::{Here, Serving};
use super::sent::Once;
use super::told_page::{RefusedPage, Told, ToldPage};
use super::turned_away::{TurnedAway, private};
use super::way::Way;

/// Returns the routes.
pub fn routes() -> Router<Here> {
    let deeds = Deed::ALL.map(|(name, deed)| (name, Act::Deed(deed)));
    let acts = deeds
        .into_iter()
        .chain([("complaint", Act::Complaint), ("taken-back", Act::TakeBack)]);
    let routes = Router::new().route("/shed/use", post(choose));
    acts.fold(routes, |routes, (name, act)| {
        let answer = async move |State(serving): State<Arc<Serving>>, posted: Posted| {
            take(serving, posted, act).await
        };
        routes.route(&format!("/shed/{name}"), post(answer))
    })
}

/// Takes a form where waiting for the disk keeps nobody else waiting.
async fn take(serving: Arc<Serving>, posted: Posted, act: Act) -> Result<Response, TurnedAway> {
    let done = tokio::task::spawn_blocking(move || answered(&serving, &posted, act)).await;
    done.unwrap_or_else(|died| std::panic::resume_unwind(died.into_panic()))
}

fn answered(serving: &Serving, posted: &Posted, act: Act) -> Result<Response, TurnedAway> {
    let snapshot = serving.live.snapshot();
    let today = serving.shed.today(&snapshot);
    let rack = today.with(&snapshot.farm, &snapshot.settings);
    match record(serving, posted, act, (&snapshot, rack)) {
        Ok(recorded) => match recorded.once {
            Once::Recorded(entries) => told(serving, posted, act, (&entries, recorded.warnings)),
            Once::RecordedBefore(entries) => {
                told(serving, posted, act, (&entries, vec![BEFORE.to_owned()]))
            }
            Once::OtherContent => {
                let why = vec![Reason::of(&OTHER, Some(ANEW.to_owned()))];
                refused(serving, posted, (StatusCode::CONFLICT, why))
            }
        },
        Err(error) => not_recorded(serving, posted, error),
    }
}

const BEFORE: &str = "This form had come before; it was recorded once";
const OTHER: &str = "this form was sent before, with something else in it";
const ANEW: &str = "Open the page again, and send it from there.";

/// Answers with what was written down.
fn told(
    serving: &Serving,
    posted: &Posted,
    act: Act,
    (entries, notes): (&[EntryNumber], Vec<String>),
) -> Result<Response, TurnedAway> {
    // The farm with the new entries in it.
    let snapshot = serving.live.snapshot();
    let today = serving.shed.today(&snapshot);
    let rack = today.with(&snapshot.farm, &snapshot.settings);
    let worker = serving.shed.worker(&posted.by)?;
    let mut then = Vec::new();
    if act == Act::Complaint {
        for entry in entries {
            then.extend(what_then(&snapshot.farm, &snapshot.settings, *entry));
        }
    }
    let told = Told {
        farm: &snapshot.farm,
        entries,
        warnings: notes,
        then,
        bin: bin(posted),
        next: rack.next().map(|stop| stop.bin.to_string()),
    };
    let page = ToldPage::of(&snapshot.settings.name, told, &worker);
    Ok(private(StatusCode::OK, &page))
}

/// Answers with why nothing was.
fn refused(
    serving: &Serving,
    posted: &Posted,
    (status, why): (StatusCode, Vec<Reason>),
) -> Result<Response, TurnedAway> {
    let worker = serving.shed.worker(&posted.by)?;
    let name = &serving.live.snapshot().settings.name;
    let page = RefusedPage::of(name, why, bin(posted), &worker);
    Ok(private(status, &page))
}

fn not_recorded(
    serving: &Serving,
    posted: &Posted,
    error: NotRecorded,
) -> Result<Response, TurnedAway> {
    if let Some(why) = error.reasons() {
        return refused(serving, posted, (StatusCode::UNPROCESSABLE_ENTITY, why));
    }
    Err(match error {
        NotRecorded::Diary {
            source: DiaryError::Busy,
        } => TurnedAway::later(BUSY.to_owned(), WAIT),
        NotRecorded::Phones { source } => {
            (serving.live.surroundings.note)(&format!("a form was not recorded: {source}"));
            source.into()
        }
        NotRecorded::Diary { source } => {
            (serving.live.surroundings.note)(&format!("a form was not recorded: {source}"));
            TurnedAway::words(
                StatusCode::INTERNAL_SERVER_ERROR,
                "The diary cannot be written",
                DAMAGED.to_owned(),
            )
        }
        NotRecorded::Form { .. } | NotRecorded::Rows { .. } | NotRecorded::Stands { .. } => {
            unreachable!("these have words for whoever sent it")
        }
    })
}

const BUSY: &str = "Another castlot is writing to the diary. Nothing was recorded; send it again in a few seconds.";
const DAMAGED: &str =
    "Nothing was recorded; tell whoever looks after castlot to run `castlot verify`.";
const WAIT: SignedDuration = SignedDuration::from_secs(5);

/// Returns the bin that a form is of.
fn bin(posted: &Posted) -> Option<String> {
    let typed = posted.fields().said("bin")?;
    let bin: Option<crate::farm::BinCode> = typed.parse().ok();
    bin.map(|bin| bin.to_string())
}

/// Notes the feed that is in use from now on.
async fn choose(
    State(serving): State<Arc<Serving>>,
    posted: Posted,
) -> Result<Response, TurnedAway> {
    let lot = posted.fields().said("lot");
    let code: Option<LotCode> = lot.and_then(|lot| lot.parse().ok());
    let known = code.filter(|code| serving.live.snapshot().farm.lot_of(*code).is_some());
    if lot.is_some() && known.is_none() {
        let why = vec![Reason::of(&"there is no such lot", Some(ANEW.to_owned()))];
        return refused(&serving, &posted, (StatusCode::UNPROCESSABLE_ENTITY, why));
    }
    let back = Way::of(posted.fields().text("back"));
    let chosen =
        tokio::task::spawn_blocking(move || serving.shed.chosen.choose(&posted.by.initials, known));
    chosen
        .await
        .unwrap_or_else(|died| std::panic::resume_unwind(died.into_panic()))?;
    Ok(Redirect::to(back.as_str()).into_response())
}
