//! The page's own files, part of the program: nothing is fetched from anywhere else.

use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use rust_embed::Embed;

#[derive(Embed)]
#[folder = "page/"]
struct Page;

#[derive(Embed)]
#[folder = "../../assets/fonts/"]
#[include = "*.ttf"]
struct Fonts;

/// A file of the page.
pub fn asset(name: &str) -> Response {
    let file = match name.strip_prefix("fonts/") {
        Some(font) => Fonts::get(font),
        None => Page::get(name),
    };
    let Some(file) = file else {
        return (StatusCode::NOT_FOUND, "there is no such page").into_response();
    };
    let ending = name.rsplit('.').next().unwrap_or_default();
    let kind = match ending {
        "html" => "text/html; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "svg" => "image/svg+xml",
        "ttf" => "font/ttf",
        "webmanifest" => "application/manifest+json",
        _ => "text/plain; charset=utf-8",
    };
    // Fonts never change under their name.
    let kept = if ending == "ttf" {
        "private, max-age=31536000, immutable"
    } else {
        "no-store"
    };
    (
        [(header::CONTENT_TYPE, kind), (header::CACHE_CONTROL, kept)],
        file.data,
    )
        .into_response()
}
