//! What is on disk when a change has been answered.

use std::fs;

use axum::http::StatusCode;
use serde_json::json;

use crate::bench::{Bench, JOB, everything};

#[tokio::test]
async fn a_change_is_on_disk_when_it_is_answered() {
    let bench = Bench::new();
    let base = bench.version().await;
    let text = JOB.replace("# first", "# first floor");
    let answer = bench.change(base, &text).await;
    assert_eq!(answer.status, StatusCode::OK);
    assert_eq!(bench.text(), text);
    assert_eq!(answer.json()["text"], text.as_str());
    assert_eq!(answer.json()["undo"], true);
    let back = json!({ "base": answer.json()["version"] });
    assert_eq!(
        bench.post("/api/jobs/job.wye/back", &back).await.status,
        StatusCode::OK
    );
    assert_eq!(bench.text(), JOB);
}

#[tokio::test]
async fn a_gesture_is_on_disk_in_words() {
    let bench = Bench::new();
    let base = bench.version().await;
    let edit =
        json!({ "base": base, "edit": { "do": "add", "words": "room \"WASH\" main 3',4'" } });
    let answer = bench.post("/api/jobs/job.wye/change", &edit).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.json());
    assert!(
        bench.text().contains("\nroom \"WASH\" main 3',4'\n"),
        "{}",
        bench.text()
    );
    assert_eq!(answer.json()["told"]["said"], "room \"WASH\" main 3',4'");
}

#[tokio::test]
async fn a_trial_changes_nothing_on_disk() {
    let bench = Bench::new();
    let base = bench.version().await;
    let before = everything(bench.folder.path());
    let edit = json!({ "do": "add", "words": "room \"WASH\" main 3',4'" });
    let trial = json!({ "base": base, "trial": true, "edit": edit, "show": { "parts": "text" } });
    let seen = bench.post("/api/jobs/job.wye/change", &trial).await.json();
    assert!(seen["text"].as_str().expect("the text").contains("WASH"));
    assert_eq!(seen["version"], base);
    assert_eq!(everything(bench.folder.path()), before);
    assert_eq!(bench.version().await, base);
}

#[tokio::test]
async fn a_change_made_from_an_older_version_is_merged() {
    let bench = Bench::new();
    let base = bench.version().await;
    assert_eq!(
        bench
            .change(base, &JOB.replace("# first", "# one"))
            .await
            .status,
        StatusCode::OK
    );
    let answer = bench.change(base, &JOB.replace("# third", "# three")).await;
    assert_eq!(answer.status, StatusCode::OK);
    let both = JOB
        .replace("# first", "# one")
        .replace("# third", "# three");
    assert_eq!(bench.text(), both);
    assert_eq!(answer.json()["text"], both.as_str());
}

#[tokio::test]
async fn a_line_changed_in_two_ways_is_told_and_not_overwritten() {
    let bench = Bench::new();
    let base = bench.version().await;
    let (ours, theirs) = (
        JOB.replace("# first", "# mine"),
        JOB.replace("# first", "# theirs"),
    );
    fs::write(bench.folder.path().join("job.wye"), &theirs).expect("another program writes");
    let answer = bench.change(base, &ours).await;
    assert_eq!(answer.status, StatusCode::CONFLICT);
    let told = answer.json();
    assert_eq!(told["conflict"]["base"], JOB);
    assert_eq!(told["conflict"]["ours"], ours.as_str());
    assert_eq!(told["conflict"]["theirs"], theirs.as_str());
    assert_eq!(bench.text(), theirs);
    // Theirs is what is shown from here on.
    let seen = bench.get("/api/jobs/job.wye?parts=text").await.json();
    assert_eq!(seen["text"], theirs.as_str());
    assert_eq!(seen["version"], told["conflict"]["version"]);
    // What the user says then is made from theirs.
    let base = told["conflict"]["version"].as_u64().expect("a version");
    assert_eq!(bench.change(base, &ours).await.status, StatusCode::OK);
    assert_eq!(bench.text(), ours);
}

#[tokio::test]
async fn a_step_back_past_what_nobody_has_seen_is_refused() {
    let bench = Bench::new();
    let base = bench.version().await;
    bench.change(base, &JOB.replace("# first", "# one")).await;
    let answer = bench
        .post("/api/jobs/job.wye/back", &json!({ "base": base }))
        .await;
    assert_eq!(answer.status, StatusCode::CONFLICT);
    assert!(bench.text().contains("# one"));
}
