//! The page's addresses. In: requests of the page itself. Out: the page, its parts, answers as JSON, and the news.

use std::convert::Infallible;
use std::sync::Arc;

use axum::extract::{DefaultBodyLimit, Path, State};
use axum::http::StatusCode;
use axum::http::header::CONTENT_TYPE;
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Json, Router, middleware};
use tokio_stream::wrappers::BroadcastStream;
use tokio_stream::{Stream, StreamExt};

use super::asking::Asking;
use super::bench::Bench;
use super::guard;
use super::looking::{Look, look};
use super::ticking::{Tick, Ticked, tick};
use crate::{book, render};

/// Files of the page: address, kind, content.
const FILES: &[(&str, &str, &str)] = &[
    ("/", HTML, include_str!("assets/page.html")),
    (
        "/page.css",
        "text/css; charset=utf-8",
        include_str!("assets/page.css"),
    ),
    ("/main.js", SCRIPT, include_str!("assets/main.js")),
    ("/ask.js", SCRIPT, include_str!("assets/ask.js")),
    ("/figures.js", SCRIPT, include_str!("assets/figures.js")),
    ("/drawing.js", SCRIPT, include_str!("assets/drawing.js")),
];
const HTML: &str = "text/html; charset=utf-8";
const SCRIPT: &str = "text/javascript; charset=utf-8";

/// All addresses.
pub(super) fn router(bench: Arc<Bench>, port: u16) -> Router {
    let mut router = Router::new()
        .route("/look", post(ask_look))
        .route("/stage", post(ask_tick))
        .route("/news", get(news))
        .route("/book", get(whole_book))
        .route("/paper/{command}", get(paper))
        .route("/font.ttf", get(font));
    for (address, kind, content) in FILES.iter().copied() {
        let file = move || async move { ([(CONTENT_TYPE, kind)], content) };
        router = router.route(address, get(file));
    }
    router
        .layer(DefaultBodyLimit::max(guard::LARGEST_REQUEST))
        .layer(middleware::from_fn_with_state(port, guard::only_own))
        .with_state(bench)
}

async fn ask_look(State(bench): State<Arc<Bench>>, Json(asking): Json<Asking>) -> Response {
    work(move || -> Json<Look> { Json(look(&bench.seen(), &asking)) }).await
}

/// The book, or a paper of it, of what was read last.
async fn printed(bench: Arc<Bench>, command: Option<String>) -> Response {
    work(move || {
        let seen = bench.seen();
        let Some(ground) = &seen.stated else {
            return (StatusCode::NOT_FOUND, "there is no layout yet\n").into_response();
        };
        let (loaded, plan) = (&ground.loaded, &ground.plan);
        let made = match &command {
            None => book::of(loaded, plan).map(|book| Some(book.html)),
            Some(command) => book::paper_of(loaded, plan, command),
        };
        match made {
            Ok(Some(html)) => ([(CONTENT_TYPE, HTML)], html).into_response(),
            Ok(None) => (StatusCode::NOT_FOUND, "there is no such paper\n").into_response(),
            Err(refused) => {
                (StatusCode::CONFLICT, render::fault::plain(&refused, 90)).into_response()
            }
        }
    })
    .await
}

async fn whole_book(State(bench): State<Arc<Bench>>) -> Response {
    printed(bench, None).await
}

async fn paper(State(bench): State<Arc<Bench>>, Path(command): Path<String>) -> Response {
    printed(bench, Some(command)).await
}

async fn ask_tick(State(bench): State<Arc<Bench>>, Json(ticked): Json<Tick>) -> Response {
    work(move || -> Json<Ticked> { Json(tick(&bench, ticked)) }).await
}

/// Works something out beside the answering of requests.
async fn work<T: IntoResponse + Send + 'static>(
    what: impl FnOnce() -> T + Send + 'static,
) -> Response {
    match tokio::task::spawn_blocking(what).await {
        Ok(answer) => answer.into_response(),
        Err(_) => (
            StatusCode::INTERNAL_SERVER_ERROR,
            "it could not be worked out\n",
        )
            .into_response(),
    }
}

async fn news(
    State(bench): State<Arc<Bench>>,
) -> Sse<impl Stream<Item = Result<Event, Infallible>>> {
    let told = BroadcastStream::new(bench.news.subscribe()).filter_map(Result::ok);
    let events = told.map(|version| Ok(Event::default().event("read").data(version.to_string())));
    Sse::new(events).keep_alive(KeepAlive::default())
}

async fn font() -> impl IntoResponse {
    ([(CONTENT_TYPE, "font/ttf")], crate::picture::font::FONT)
}
