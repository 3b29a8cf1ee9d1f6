//! Who is let in, and what nobody may do.

use std::fs;

use axum::body::Body;
use axum::http::{Method, Request, StatusCode, header};
use serde_json::json;
use tempfile::TempDir;

use crate::bench::{Bench, JOB, ORIGIN, SECRET, bare, ours};

#[tokio::test]
async fn the_printed_address_lets_a_browser_in() {
    let bench = Bench::new();
    let answer = bench.ask(bare(&format!("/enter?key={SECRET}"))).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER);
    assert_eq!(answer.header(header::LOCATION), "/job/job.wye");
    let ticket = answer.header(header::SET_COOKIE);
    assert!(
        ticket.starts_with(&format!("wyeline-8000={SECRET};")),
        "{ticket}"
    );
    assert!(
        ticket.contains("HttpOnly") && ticket.contains("SameSite=Strict"),
        "{ticket}"
    );
}

#[tokio::test]
async fn another_key_lets_nobody_in() {
    let bench = Bench::new();
    for key in [
        "",
        "0",
        &SECRET[1..],
        &SECRET.to_uppercase(),
        &format!("{SECRET}0"),
    ] {
        let answer = bench.ask(bare(&format!("/enter?key={key}"))).await;
        assert_eq!(answer.status, StatusCode::FORBIDDEN, "{key}");
        assert_eq!(answer.header(header::SET_COOKIE), "", "{key}");
    }
}

#[tokio::test]
async fn nothing_is_shown_without_the_ticket() {
    let bench = Bench::new();
    for path in [
        "/",
        "/job/job.wye",
        "/page/main.js",
        "/api/home",
        "/api/jobs/job.wye?parts=text",
        "/nowhere",
    ] {
        let answer = bench.ask(bare(path)).await;
        assert_eq!(answer.status, StatusCode::UNAUTHORIZED, "{path}");
        assert!(
            !String::from_utf8_lossy(&answer.bytes).contains("Otter"),
            "{path}"
        );
    }
}

#[tokio::test]
async fn a_name_that_others_point_at_this_machine_is_refused() {
    let bench = Bench::new();
    for host in [
        "rebound.example:8000",
        "127.0.0.1:8001",
        "127.0.0.1",
        "localhost.rebound.example:8000",
        "",
    ] {
        let request = Request::builder()
            .uri("/")
            .header(header::HOST, host)
            .header(header::COOKIE, format!("wyeline-8000={SECRET}"));
        let answer = bench
            .ask(request.body(Body::empty()).expect("a request"))
            .await;
        assert_eq!(answer.status, StatusCode::MISDIRECTED_REQUEST, "{host}");
    }
}

#[tokio::test]
async fn only_our_own_page_changes_anything() {
    let bench = Bench::new();
    let body = json!({ "base": 1, "text": "taken over" }).to_string();
    let origins = [
        None,
        Some("http://rebound.example:8000"),
        Some("null"),
        Some("https://127.0.0.1:8000"),
        Some("http://localhost:8000"),
    ];
    for origin in origins {
        let mut request = ours(Method::POST, "/api/jobs/job.wye/change")
            .header(header::CONTENT_TYPE, "application/json");
        if let Some(origin) = origin {
            request = request.header(header::ORIGIN, origin);
        }
        let answer = bench
            .ask(request.body(Body::from(body.clone())).expect("a request"))
            .await;
        assert_eq!(answer.status, StatusCode::FORBIDDEN, "{origin:?}");
    }
    let request = ours(Method::POST, "/api/jobs/job.wye/change")
        .header(header::ORIGIN, ORIGIN)
        .header("sec-fetch-site", "cross-site");
    let answer = bench
        .ask(request.body(Body::from(body)).expect("a request"))
        .await;
    assert_eq!(answer.status, StatusCode::FORBIDDEN);
    assert_eq!(bench.text(), JOB);
}

#[tokio::test]
async fn every_answer_carries_the_policy() {
    let bench = Bench::new();
    for answer in [
        bench.get("/").await,
        bench.get("/nowhere").await,
        bench.ask(bare("/")).await,
    ] {
        let policy = answer.header(header::CONTENT_SECURITY_POLICY);
        assert!(
            policy.starts_with("default-src 'none'; script-src 'self';"),
            "{policy}"
        );
        assert_eq!(answer.header(header::X_CONTENT_TYPE_OPTIONS), "nosniff");
    }
}

#[tokio::test]
async fn no_name_leads_out_of_the_folder() {
    let bench = Bench::new();
    let outside = TempDir::new().expect("a folder");
    fs::write(outside.path().join("secret.wye"), "job elsewhere\n").expect("a file");
    let absolute = outside.path().join("secret.wye").display().to_string();
    let inside: Vec<String> = [
        "../secret.wye",
        "..%2fsecret.wye",
        "%2e%2e%2fsecret.wye",
        "%2e%2e%5csecret.wye",
        "..%5Csecret.wye",
        "job.wye%00",
        "%00.wye",
        ".hidden.wye",
        "Cargo.toml",
        "job",
        "sub%2fjob.wye",
    ]
    .map(str::to_owned)
    .into_iter()
    .chain([absolute.replace('/', "%2f")])
    .collect();
    for name in inside {
        let answer = bench.get(&format!("/api/jobs/{name}?parts=text")).await;
        assert!(
            matches!(
                answer.status,
                StatusCode::BAD_REQUEST | StatusCode::NOT_FOUND
            ),
            "{name}: {}",
            answer.status
        );
        let answer = bench
            .post("/api/open", &json!({ "file": name.replace("%2f", "/") }))
            .await;
        assert!(
            matches!(
                answer.status,
                StatusCode::BAD_REQUEST | StatusCode::NOT_FOUND
            ),
            "{name}: {}",
            answer.status
        );
    }
    for asset in [
        "../src/lib.rs",
        "..%2fsrc%2flib.rs",
        "%2e%2e%2fCargo.toml",
        "fonts%2f..%2f..%2f..%2fCargo.toml",
        "%2fetc%2fpasswd",
        "main.js%00",
    ] {
        let answer = bench.get(&format!("/page/{asset}")).await;
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "{asset}");
    }
}

#[cfg(unix)]
#[tokio::test]
async fn a_link_that_leads_out_of_the_folder_is_not_followed() {
    let bench = Bench::new();
    let outside = TempDir::new().expect("a folder");
    let secret = outside.path().join("secret.wye");
    fs::write(&secret, "job elsewhere\n").expect("a file");
    std::os::unix::fs::symlink(&secret, bench.folder.path().join("link.wye")).expect("a link");
    let answer = bench.get("/api/jobs/link.wye?parts=text").await;
    assert_eq!(answer.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn readers_see_one_job_and_change_nothing() {
    let bench = Bench::with(true);
    assert_eq!(
        bench.get("/api/jobs/job.wye?parts=text").await.json()["text"],
        JOB
    );
    assert_eq!(bench.get("/api/stock").await.json()["read_only"], true);
    for path in [
        "/api/jobs/other.wye?parts=text",
        "/api/home",
        "/api/jobs/other.wye/history",
        "/api/jobs/other.wye/lists/lists.xlsx",
    ] {
        assert_eq!(
            bench.get(path).await.status,
            StatusCode::NOT_FOUND,
            "{path}"
        );
    }
    let change = json!({ "base": 1, "text": "" });
    for (path, body) in [
        ("/api/jobs/job.wye/change", change.clone()),
        ("/api/jobs/job.wye/back", json!({ "base": 1 })),
        (
            "/api/new",
            json!({ "name": "x", "units": "ft-in", "levels": [] }),
        ),
        ("/api/open", json!({ "file": "other.wye" })),
        ("/api/jobs/job.wye/underlays/0", change),
        (
            "/api/jobs/job.wye/underlays/0/place",
            json!({ "gone": true }),
        ),
    ] {
        let status = bench.post(path, &body).await.status;
        assert!(
            matches!(
                status,
                StatusCode::NOT_FOUND | StatusCode::METHOD_NOT_ALLOWED
            ),
            "{path}: {status}"
        );
    }
    assert_eq!(bench.text(), JOB);
}
