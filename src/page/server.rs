//! The page over HTTP: its own files, the state as JSON, news as server-sent events, changes that come in.
//!
//! Every address but one begins with a word that only the person who started it was told.

use std::convert::Infallible;
use std::path::{Component, Path as FilePath};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use axum::body::{Body, Bytes};
use axum::extract::{DefaultBodyLimit, Path, Request, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::middleware::{Next, from_fn, from_fn_with_state};
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use axum::{Json, Router};
use serde::Deserialize;
use serde_json::json;

use super::assets::asset;
use super::desk::Unsaved;
use super::guard::{Guard, guarded, is_same};
use super::room::{Room, Wish};
use super::workshop::Done;

/// The largest body that is taken in: a story is far smaller.
const LARGEST_BODY: usize = 256 * 1024;
/// Wrong words after which the one that is shared ends: of 32 bits of chance, nobody guesses right in as
/// many.
const MOST_WRONG: u32 = 100;
/// How often a sign of life is sent when there is no news.
const SIGN_OF_LIFE: Duration = Duration::from_secs(15);

/// What every request is answered from.
#[derive(Clone)]
pub(super) struct Served {
    pub room: Arc<Room>,
    pub word: Arc<str>,
    /// A word that another device types in once, if the page is shared.
    pub once: Arc<Mutex<Once>>,
}

/// A word that works once, and how often a wrong one was tried.
#[derive(Debug, Default)]
pub(super) struct Once {
    pub word: Option<String>,
    pub wrong: u32,
}

/// All addresses.
pub(super) fn router(served: Served, guard: Guard) -> Router {
    let page = Router::new()
        .route("/page/{file}", get(file_of_page))
        .route("/state", get(state))
        .route("/spread.svg", get(picture))
        .route("/copies/{name}", get(copy))
        .route("/sheets", get(sheets))
        .route("/stock", get(stock))
        .route("/schema", get(schema))
        .route("/events", get(events))
        .route("/files/{*path}", get(built_file))
        .route("/change", post(change))
        .route("/undo", post(undo))
        .route("/redo", post(redo))
        .route("/build", post(build))
        .route("/again", post(again))
        .route("/cut", post(cut))
        .layer(DefaultBodyLimit::max(LARGEST_BODY));
    Router::new()
        .route("/join/{once}", get(join))
        .route("/{word}/", get(index))
        .nest("/{word}", page)
        .fallback(nothing_here)
        .layer(from_fn_with_state(served.clone(), with_word))
        .layer(from_fn_with_state(guard, guarded))
        .layer(from_fn(without_upgrades))
        .with_state(served)
}

/// Refuses whoever doesn't know the word.
async fn with_word(State(served): State<Served>, request: Request, next: Next) -> Response {
    let parts: Vec<&str> = request.uri().path().split('/').collect();
    let knows_it = match parts[..] {
        ["", "join", once] => !once.is_empty(),
        ["", first, ..] => is_same(first, &served.word),
        _ => false,
    };
    if knows_it {
        return next.run(request).await;
    }
    (StatusCode::FORBIDDEN, "this address needs the word that was shown when the page was started")
        .into_response()
}

/// Nothing here is anything but HTTP.
async fn without_upgrades(mut request: Request, next: Next) -> Response {
    request.headers_mut().remove(header::UPGRADE);
    next.run(request).await
}

async fn nothing_here() -> Response {
    (StatusCode::NOT_FOUND, "there is nothing here").into_response()
}

/// Lets another device in, once.
async fn join(State(served): State<Served>, Path(once): Path<String>) -> Response {
    let mut known = served.once.lock().unwrap_or_else(PoisonError::into_inner);
    if known.word.as_ref().is_some_and(|known| is_same(known, &once)) {
        known.word = None;
        return Redirect::to(&format!("/{}/", served.word)).into_response();
    }
    // It is short, for her fingers: whoever guesses ends it.
    known.wrong += 1;
    if known.wrong >= MOST_WRONG {
        known.word = None;
    }
    (StatusCode::FORBIDDEN, "this word was used already, or never given").into_response()
}

fn of_type(kind: &'static str, body: impl Into<Body>) -> Response {
    ([(header::CONTENT_TYPE, kind)], body.into()).into_response()
}

async fn index() -> Response {
    file_of_page(Path((String::new(), "index.html".to_owned()))).await
}

async fn file_of_page(Path((_, name)): Path<(String, String)>) -> Response {
    match asset(&name) {
        Some((kind, text)) => of_type(kind, text),
        None => nothing_here().await,
    }
}

async fn state(State(served): State<Served>) -> Response {
    off_the_loop(served.room, |_| Ok(())).await
}

async fn picture(State(served): State<Served>) -> Response {
    match served.room.picture() {
        Some((version, view)) => {
            let tag = HeaderValue::from_str(&format!("\"{version}\""));
            let mut response = of_type("image/svg+xml", view.picture.clone());
            response.headers_mut().extend(tag.ok().map(|tag| (header::ETAG, tag)));
            response
        }
        None => nothing_here().await,
    }
}

/// A photo's copy. Its name says what is in it, so the browser need not ask twice.
async fn copy(State(served): State<Served>, Path((_, name)): Path<(String, String)>) -> Response {
    let Some(bytes) = served.room.picture().and_then(|(_, view)| view.copy(&name)) else {
        return nothing_here().await;
    };
    let mut response = of_type("image/jpeg", bytes);
    let kept = HeaderValue::from_static("private, max-age=86400, immutable");
    response.headers_mut().insert(header::CACHE_CONTROL, kept);
    response
}

async fn sheets(State(served): State<Served>) -> Response {
    Json(served.room.sheets().as_ref()).into_response()
}

async fn schema() -> Response {
    Json(crate::description::schema()).into_response()
}

/// A page of its own within the page: its style is in it, and it runs nothing.
const PAGE_WITHIN: &str =
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; frame-ancestors 'self'; sandbox";
/// A built file: the proof's script is its own, in a frame of its own origin.
const BUILT: &str = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:; \
                     object-src 'self'; frame-ancestors 'self'; sandbox allow-scripts allow-modals";

async fn stock(State(served): State<Served>) -> Response {
    let workshop = Arc::clone(served.room.workshop());
    let page = tokio::task::spawn_blocking(move || workshop.stock()).await.ok().flatten();
    let Some(page) = page else { return nothing_here().await };
    let mut response = of_type("text/html; charset=utf-8", page);
    response
        .headers_mut()
        .insert(header::CONTENT_SECURITY_POLICY, HeaderValue::from_static(PAGE_WITHIN));
    response
}

/// A file of the build, and none beside it.
async fn built_file(
    State(served): State<Served>,
    Path((_, path)): Path<(String, String)>,
) -> Response {
    let names = FilePath::new(&path);
    let plain = names.components().all(|part| matches!(part, Component::Normal(_)));
    let out = served.room.workshop().out();
    let read = move || {
        let (out, file) = (out.canonicalize().ok()?, out.join(path).canonicalize().ok()?);
        if !file.starts_with(&out) || !file.is_file() {
            return None;
        }
        let kind = match file.extension()?.to_str()? {
            "html" => "text/html; charset=utf-8",
            "svg" => "image/svg+xml",
            "png" => "image/png",
            "pdf" => "application/pdf",
            "json" => "application/json",
            _ => return None,
        };
        Some((kind, std::fs::read(file).ok()?))
    };
    let found = if plain { tokio::task::spawn_blocking(read).await.ok().flatten() } else { None };
    let Some((kind, bytes)) = found else { return nothing_here().await };
    let mut response = of_type(kind, bytes);
    response.headers_mut().insert(header::CONTENT_SECURITY_POLICY, HeaderValue::from_static(BUILT));
    response
}

/// News as they come: the first at once.
async fn events(State(served): State<Served>) -> impl IntoResponse {
    let told = |room: &Room| Event::default().json_data(room.news()).unwrap_or_default();
    let mut listener = served.room.listen();
    listener.mark_changed();
    let stream = futures_util::stream::unfold(
        (listener, served.room),
        move |(mut listener, room)| async move {
            listener.changed().await.ok()?;
            let event = told(&room);
            Some((Ok::<_, Infallible>(event), (listener, room)))
        },
    );
    Sse::new(stream).keep_alive(KeepAlive::new().interval(SIGN_OF_LIFE))
}

/// The state after a change, or why there was none.
fn answered(room: &Arc<Room>, result: Result<(), Unsaved>) -> Response {
    match result {
        Ok(()) => Json(room.state()).into_response(),
        Err(Unsaved::Changed) => {
            let told = json!({
                "message": "the file was changed elsewhere meanwhile, so nothing was saved",
                "help": "the page shows it as it is now: look, and do it again if it still fits",
            });
            (StatusCode::CONFLICT, Json(told)).into_response()
        }
        Err(Unsaved::Fault(fault)) => {
            let told = json!({"message": fault.message, "help": fault.help});
            (StatusCode::UNPROCESSABLE_ENTITY, Json(told)).into_response()
        }
    }
}

async fn off_the_loop(
    worker: Arc<Room>,
    work: impl FnOnce(&Arc<Room>) -> Result<(), Unsaved> + Send + 'static,
) -> Response {
    // The state waits for whoever changes it: that is off the loop, too.
    match tokio::task::spawn_blocking(move || answered(&worker, work(&worker))).await {
        Ok(answer) => answer,
        Err(_) => {
            (StatusCode::INTERNAL_SERVER_ERROR, "the change failed; the file stands as it was")
                .into_response()
        }
    }
}

async fn change(State(served): State<Served>, Json(wish): Json<Wish>) -> Response {
    off_the_loop(served.room, move |room| room.change(&wish)).await
}

/// The version that the page showed, if it says one.
#[derive(Debug, Default, Deserialize)]
struct Seen {
    version: Option<u64>,
}

impl Seen {
    /// What a body says; nothing at all is no version.
    fn of(body: &[u8]) -> Result<Self, Unsaved> {
        if body.is_empty() {
            return Ok(Self::default());
        }
        serde_json::from_slice(body).map_err(|_| {
            Unsaved::Fault(crate::model::Fault::new(
                "what was sent can't be read",
                "send a version, or nothing",
            ))
        })
    }
}

async fn undo(State(served): State<Served>, body: Bytes) -> Response {
    off_the_loop(served.room, move |room| room.step(true, Seen::of(&body)?.version)).await
}

async fn redo(State(served): State<Served>, body: Bytes) -> Response {
    off_the_loop(served.room, move |room| room.step(false, Seen::of(&body)?.version)).await
}

fn begun(begun: bool) -> Response {
    if begun {
        return StatusCode::ACCEPTED.into_response();
    }
    let told = json!({"message": "something is being done already", "help": "wait for it to end"});
    (StatusCode::CONFLICT, Json(told)).into_response()
}

async fn build(State(served): State<Served>) -> Response {
    begun(served.room.work("build", |workshop, stage| workshop.build(stage)))
}

/// Names of pieces and sheets.
#[derive(Debug, Default, Deserialize)]
struct Named {
    #[serde(default)]
    pieces: Vec<String>,
    #[serde(default)]
    sheets: Vec<String>,
}

async fn again(State(served): State<Served>, Json(named): Json<Named>) -> Response {
    if named.pieces.is_empty() && named.sheets.is_empty() {
        let fault =
            crate::model::Fault::new("nothing is named to cut again", "choose a piece or a sheet");
        return answered(&served.room, Err(Unsaved::Fault(fault)));
    }
    begun(served.room.work("cut again", move |workshop, stage| {
        workshop.cut_again(&named.pieces, &named.sheets, stage)
    }))
}

async fn cut(State(served): State<Served>, Json(named): Json<Named>) -> Response {
    let work = move |workshop: &dyn super::workshop::Workshop, _| -> Done {
        workshop.enter_cut(&named.sheets)
    };
    begun(served.room.work("cut", work))
}
