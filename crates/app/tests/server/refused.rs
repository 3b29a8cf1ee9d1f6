//! What cannot be done, and how that is said.

use axum::http::StatusCode;
use serde_json::{Value, json};

use crate::bench::{Bench, JOB};

#[tokio::test]
async fn a_text_that_is_too_long_is_refused_as_such() {
    let bench = Bench::new();
    let base = bench.version().await;
    let answer = bench.change(base, &"#".repeat((4 << 20) + 1)).await;
    assert_eq!(answer.status, StatusCode::PAYLOAD_TOO_LARGE);
    let answer = bench.change(base, &"#".repeat(9 << 20)).await;
    assert_eq!(answer.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert_eq!(bench.text(), JOB);
}

#[tokio::test]
async fn what_is_not_known_is_refused_not_passed_over() {
    let bench = Bench::new();
    let base = bench.version().await;
    for body in [
        json!({ "base": base, "text": JOB, "forse": true }),
        json!({ "base": base, "edit": { "do": "add", "words": "# x", "more": 1 } }),
        json!({ "base": base, "edit": { "do": "erase-all" } }),
        json!({ "base": base, "text": JOB, "show": { "part": "text" } }),
        json!({ "base": base }),
        json!({ "base": base, "text": JOB, "edit": { "do": "add", "words": "# x" } }),
        json!({ "base": -1, "text": JOB }),
        json!([]),
    ] {
        let status = bench.post("/api/jobs/job.wye/change", &body).await.status;
        assert!(status.is_client_error(), "{body}: {status}");
    }
    let status = bench
        .get("/api/jobs/job.wye?parts=text&more=1")
        .await
        .status;
    assert_eq!(status, StatusCode::BAD_REQUEST);
    assert_eq!(bench.text(), JOB);
}

#[tokio::test]
async fn where_nothing_can_be_drawn_there_is_no_picture() {
    let bench = Bench::new();
    let base = bench.version().await;
    let walls = "units ft-in\nlevel main floor 0' ceiling 8'\nwall main 0',0' 6',0' 6',8' 0',8' 0',0' thick 4-1/2\"\n";
    bench.change(base, walls).await;
    let seen = bench.get("/api/jobs/job.wye?parts=iso").await.json();
    assert_eq!(seen["iso"], Value::Null);
}
