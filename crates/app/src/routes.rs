//! What the page may ask, by address. Reading is GET; what changes something is POST and not there for readers.

use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;

use axum::body::Bytes;
use axum::extract::rejection::{BytesRejection, JsonRejection, QueryRejection};
use axum::extract::{DefaultBodyLimit, FromRequest, FromRequestParts, Path, State};
use axum::http::header;
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use axum::{Router, middleware};
use percent_encoding::utf8_percent_encode;
use serde::Deserialize;
use serde_json::json;
use tokio::sync::broadcast::error::RecvError;
use tower_http::compression::CompressionLayer;

use crate::assets;
use crate::desk::{Desk, LONGEST};
use crate::guard;
use crate::home::{self, Questions};
use crate::look::Wanted;
use crate::open::{Asked, Back};
use crate::practice;
use crate::refusal::Refusal;
use crate::sheets::{self, Handed, PLAIN, Print};
use crate::shop::Shop;
use crate::underlay::{Change, LARGEST, Shelf};

/// A body or a query that does not read is said in our form.
#[derive(FromRequest)]
#[from_request(via(axum::Json), rejection(Refusal))]
pub(crate) struct Json<T>(pub T);

#[derive(FromRequestParts)]
#[from_request(via(axum::extract::Query), rejection(Refusal))]
pub(crate) struct Query<T>(pub T);

impl From<JsonRejection> for Refusal {
    fn from(rejection: JsonRejection) -> Self {
        if rejection.status() == axum::http::StatusCode::PAYLOAD_TOO_LARGE {
            return Self::too_large();
        }
        Self::wrong(rejection.body_text())
    }
}

impl From<QueryRejection> for Refusal {
    fn from(rejection: QueryRejection) -> Self {
        Self::wrong(rejection.body_text())
    }
}

/// All addresses.
pub fn routes(shop: Shop) -> Router {
    let page = Router::new()
        .route("/", get(|| async { assets::asset("index.html") }))
        .route(
            "/practice",
            get(|| async { assets::asset("practice.html") }),
        )
        .route("/job/{id}", get(|| async { assets::asset("index.html") }))
        .route("/enter", get(enter))
        .route(
            "/page/{*name}",
            get(|Path(name): Path<String>| async move { assets::asset(&name) }),
        )
        .route("/favicon.ico", get(|| async { assets::asset("mark.svg") }))
        .layer(CompressionLayer::new());
    let reading = Router::new()
        .route("/api/stock", get(stock))
        .route("/api/jobs/{id}", get(look))
        .route("/api/jobs/{id}/events", get(events))
        .route("/api/jobs/{id}/history", get(history))
        .route("/api/jobs/{id}/history/{version}", get(text_at))
        .route("/api/jobs/{id}/underlays", get(underlays))
        .route("/api/jobs/{id}/sheets", get(sheet_index))
        .route("/api/jobs/{id}/sheets/{name}", get(sheet))
        .route("/api/jobs/{id}/lists/{name}", get(list));
    let all = if shop.read_only {
        reading.route("/api/jobs/{id}/underlays/{level}", get(underlay))
    } else {
        reading
            .merge(practice::routes())
            .route("/api/home", get(home))
            .route("/api/new", post(new))
            .route("/api/open", post(open))
            .route("/api/jobs/{id}/change", post(change))
            .route("/api/jobs/{id}/back", post(back))
            .route(
                "/api/jobs/{id}/underlays/{level}",
                get(underlay)
                    .post(lay)
                    .layer(DefaultBodyLimit::max(LARGEST)),
            )
            .route("/api/jobs/{id}/underlays/{level}/place", post(place))
    };
    // On this machine packing takes longer than it saves.
    let all = if shop.guard.shared {
        all.layer(CompressionLayer::new())
    } else {
        all
    };
    // Twice the longest text: JSON may write a letter as two.
    all.layer(DefaultBodyLimit::max(2 * LONGEST + 1024))
        .merge(page)
        .layer(middleware::from_fn_with_state(
            shop.guard.clone(),
            guard::check,
        ))
        .with_state(shop)
}

#[derive(Deserialize)]
struct Key {
    #[serde(default)]
    key: String,
}

/// Lets a browser in that brings the secret: from here on it has its ticket.
async fn enter(State(shop): State<Shop>, Query(Key { key }): Query<Key>) -> Response {
    if !shop.guard.is_secret(&key) {
        return Refusal::forbidden("that is not the address that the program printed")
            .into_response();
    }
    let first = shop.first.as_ref().map_or_else(
        || "/".to_owned(),
        |id| format!("/job/{}", utf8_percent_encode(id, PLAIN)),
    );
    (
        [(header::SET_COOKIE, shop.guard.ticket())],
        Redirect::to(&first),
    )
        .into_response()
}

async fn home(State(shop): State<Shop>) -> Result<Response, Refusal> {
    let home = shop.work(|desk| Ok(home::home(desk))).await?;
    Ok(axum::Json(home).into_response())
}

async fn stock(State(shop): State<Shop>) -> Response {
    let mut stock = home::stock();
    stock["read_only"] = json!(shop.read_only);
    axum::Json(stock).into_response()
}

async fn new(State(shop): State<Shop>, Json(asked): Json<Questions>) -> Result<Response, Refusal> {
    let id = shop.work(move |desk| {
        let (file, text) = home::begun(&asked)?;
        Ok(desk.create(&file, &text)?.id.clone())
    });
    Ok(axum::Json(json!({ "job": id.await? })).into_response())
}

/// Which job to open.
#[derive(Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
enum Which {
    /// One of the folder, by its file's name.
    File(String),
    /// One lately opened, by its place in the list.
    Recent(usize),
    /// A shipped example, as a job of one's own.
    Example(String),
}

async fn open(State(shop): State<Shop>, Json(which): Json<Which>) -> Result<Response, Refusal> {
    let id = shop.work(move |desk| {
        let open = match which {
            Which::File(name) => desk.open(&name)?,
            Which::Recent(at) => desk.open_recent(at)?,
            Which::Example(name) => {
                let text = wyeline_whole::examples::ALL
                    .iter()
                    .find(|(known, _)| *known == name);
                let (name, text) =
                    text.ok_or_else(|| Refusal::missing(format!("there is no example {name}")))?;
                desk.create(&format!("{name}.wye"), text)?
            }
        };
        Ok(open.id.clone())
    });
    Ok(axum::Json(json!({ "job": id.await? })).into_response())
}

async fn look(
    State(shop): State<Shop>,
    Path(id): Path<String>,
    Query(wanted): Query<Wanted>,
) -> Result<Response, Refusal> {
    let seen = shop.job(id, move |job| Ok(job.look(&wanted))).await?;
    Ok(axum::Json(seen).into_response())
}

async fn change(
    State(shop): State<Shop>,
    Path(id): Path<String>,
    Json(asked): Json<Asked>,
) -> Result<Response, Refusal> {
    let seen = shop.job(id, move |job| job.change(&asked)).await?;
    Ok(axum::Json(seen).into_response())
}

async fn back(
    State(shop): State<Shop>,
    Path(id): Path<String>,
    Json(asked): Json<Back>,
) -> Result<Response, Refusal> {
    let seen = shop.job(id, move |job| job.back(&asked)).await?;
    Ok(axum::Json(seen).into_response())
}

async fn history(State(shop): State<Shop>, Path(id): Path<String>) -> Result<Response, Refusal> {
    let past = shop.job(id, |job| Ok(job.history())).await?;
    Ok(axum::Json(past).into_response())
}

async fn text_at(
    State(shop): State<Shop>,
    Path((id, version)): Path<(String, u64)>,
) -> Result<Response, Refusal> {
    let text = shop.job(id, move |job| {
        let text = job.text_at(version);
        text.ok_or_else(|| Refusal::missing(format!("there is no version {version}")))
    });
    Ok(axum::Json(json!({ "text": text.await? })).into_response())
}

async fn sheet_index(
    State(shop): State<Shop>,
    Path(id): Path<String>,
    Query(print): Query<Print>,
) -> Result<Response, Refusal> {
    let index = shop.job(id, move |job| {
        Ok(sheets::index(&sheets::layout(&job.work().1, &print)?))
    });
    Ok(axum::Json(index.await?).into_response())
}

async fn sheet(
    State(shop): State<Shop>,
    Path((id, name)): Path<(String, String)>,
    Query(print): Query<Print>,
) -> Result<Response, Refusal> {
    let file = shop.job(id, move |job| {
        sheets::file(&job.id, &sheets::layout(&job.work().1, &print)?, &name)
    });
    Ok(handed(file.await?))
}

async fn list(
    State(shop): State<Shop>,
    Path((id, name)): Path<(String, String)>,
) -> Result<Response, Refusal> {
    let file = shop.job(id, move |job| sheets::lists(&job.id, &job.work().1, &name));
    Ok(handed(file.await?))
}

async fn underlays(State(shop): State<Shop>, Path(id): Path<String>) -> Result<Response, Refusal> {
    let all = shop.job(id, |job| Ok(Shelf::of(&job.file()).all())).await?;
    Ok(axum::Json(all).into_response())
}

async fn underlay(
    State(shop): State<Shop>,
    Path((id, level)): Path<(String, u32)>,
) -> Result<Response, Refusal> {
    let (bytes, kind) = shop
        .job(id, move |job| Shelf::of(&job.file()).read(level))
        .await?;
    Ok(([(header::CONTENT_TYPE, kind)], bytes).into_response())
}

async fn lay(
    State(shop): State<Shop>,
    Path((id, level)): Path<(String, u32)>,
    bytes: Result<Bytes, BytesRejection>,
) -> Result<Response, Refusal> {
    let bytes = bytes.map_err(|_| {
        Refusal::wrong(format!(
            "a plan to lie underneath has up to {} MB",
            LARGEST >> 20
        ))
    })?;
    let all = shop
        .job(id, move |job| Shelf::of(&job.file()).put(level, &bytes))
        .await?;
    Ok(axum::Json(all).into_response())
}

async fn place(
    State(shop): State<Shop>,
    Path((id, level)): Path<(String, u32)>,
    Json(change): Json<Change>,
) -> Result<Response, Refusal> {
    let all = shop.job(id, move |job| {
        let units = job.work().1.built.network.units;
        Shelf::of(&job.file()).change(level, &change, units)
    });
    Ok(axum::Json(all.await?).into_response())
}

fn handed(file: Handed) -> Response {
    let kind = [(header::CONTENT_TYPE, file.kind)];
    match file.name {
        Some(name) => (
            kind,
            [(header::CONTENT_DISPOSITION, sheets::disposition(&name))],
            file.bytes,
        )
            .into_response(),
        None => (kind, file.bytes).into_response(),
    }
}

/// Tells a tab of every new version, until it is closed.
async fn events(State(shop): State<Shop>, Path(id): Path<String>) -> Result<Response, Refusal> {
    let open = shop.job(id, |job| Ok(job.clone())).await?;
    let mut news = open.news.subscribe();
    let (send, stream) = tokio::sync::mpsc::channel::<Result<Event, Infallible>>(16);
    tokio::spawn(async move {
        loop {
            let event = match news.recv().await {
                Ok(news) => Event::default().event("version").json_data(&news),
                // The tab has missed some: it looks anew whatever they were.
                Err(RecvError::Lagged(_)) => Event::default()
                    .event("version")
                    .json_data(json!({ "version": 0, "by": "" })),
                Err(RecvError::Closed) => break,
            };
            let Ok(event) = event else { break };
            if send.send(Ok(event)).await.is_err() {
                break;
            }
        }
    });
    let stream = tokio_stream::wrappers::ReceiverStream::new(stream);
    Ok(Sse::new(stream)
        .keep_alive(KeepAlive::new().interval(Duration::from_secs(15)))
        .into_response())
}

/// Looks at the disk for what other programs have done to the open jobs, for ever.
pub async fn watch(desk: Arc<Desk>) {
    let mut tick = tokio::time::interval(Duration::from_millis(400));
    loop {
        tick.tick().await;
        let desk = desk.clone();
        let looked = tokio::task::spawn_blocking(move || {
            for open in desk.all() {
                // A file that cannot be read now is looked at again; whoever saves is told.
                let _ = open.look_at_disk();
            }
        });
        let _ = looked.await;
    }
}
