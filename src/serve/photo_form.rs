//! Takes the photo of a label and leads to what its code names: for a phone whose own camera opens nothing, or a code that
//! leads elsewhere. Nothing is recorded, and the photo is gone with the answer.

use std::sync::Arc;

use axum::Router;
use axum::extract::State;
use axum::extract::multipart::{Field, Multipart, MultipartError, MultipartRejection};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::post;

use super::find_page::{FindPage, Leads};
use super::photo::{PhotoError, code_in_photo};
use super::routes::{Here, Serving};
use super::signed_in::SignedIn;
use super::token::{self, is_from_here};
use super::turned_away::{TurnedAway, private};

/// Returns the route, which has limits of its own.
pub fn routes() -> Router<Here> {
    Router::new().route("/shed/photo", post(photo))
}

/// The field of the photo.
const PHOTO: &str = "photo";

async fn photo(
    State(serving): State<Arc<Serving>>,
    by: SignedIn,
    headers: HeaderMap,
    form: Result<Multipart, MultipartRejection>,
) -> Result<Response, TurnedAway> {
    let form = form.map_err(|rejection| TurnedAway::unread(rejection.status()))?;
    let bytes = sent(form, &by, &headers).await?;
    // One at a time: a photo takes a hundred times its size while it is looked at.
    let shed = Arc::clone(&serving);
    let turn = shed.shed.photos.acquire().await;
    let _turn = turn.expect("nobody closes it");
    let look = tokio::task::spawn_blocking(move || code_in_photo(&bytes)).await;
    // What the reader of codes cannot bear is no photo of a label.
    let said = look.unwrap_or(Err(PhotoError::Broken));
    let answer = move || answered(&serving, &by, said);
    let done = tokio::task::spawn_blocking(answer).await;
    done.unwrap_or_else(|died| std::panic::resume_unwind(died.into_panic()))
}

/// Returns the photo of a form that is theirs. The token stands before it, so a strange form is not read to its end.
async fn sent(
    mut form: Multipart,
    by: &SignedIn,
    headers: &HeaderMap,
) -> Result<Vec<u8>, TurnedAway> {
    let mut is_ours = false;
    while let Some(field) = form.next_field().await.map_err(|error| unread(&error))? {
        match field.name() {
            Some(token::FIELD) => {
                let given = bytes_of(field).await?;
                let given = String::from_utf8(given).unwrap_or_default();
                is_ours = is_from_here(headers) && by.token.is(&given);
            }
            Some(PHOTO) if is_ours => return bytes_of(field).await,
            Some(_) | None => return Err(TurnedAway::not_ours()),
        }
    }
    Err(TurnedAway::not_ours())
}

async fn bytes_of(field: Field<'_>) -> Result<Vec<u8>, TurnedAway> {
    let bytes = field.bytes().await.map_err(|error| unread(&error))?;
    Ok(bytes.into())
}

fn unread(error: &MultipartError) -> TurnedAway {
    TurnedAway::unread(error.status())
}

fn answered(
    serving: &Serving,
    by: &SignedIn,
    said: Result<String, PhotoError>,
) -> Result<Response, TurnedAway> {
    let snapshot = serving.live.snapshot();
    let today = serving.shed.today(&snapshot);
    let rack = today.with(&snapshot.farm, &snapshot.settings);
    let worker = serving.shed.worker(by)?;
    Ok(match said {
        Ok(text) => match FindPage::of(rack, Some(&text), &worker) {
            Leads::To(address) => Redirect::to(&address).into_response(),
            Leads::List(page) => private(StatusCode::OK, &*page),
        },
        Err(error) => {
            let page = FindPage::without_code(rack, &error, &worker);
            private(StatusCode::UNPROCESSABLE_ENTITY, &page)
        }
    })
}
