//! Sheets and lists as files.

use axum::http::{StatusCode, header};
use serde_json::json;

use crate::bench::Bench;

#[tokio::test]
async fn sheets_are_handed_out_with_their_types_and_names() {
    let bench = Bench::new();
    let index = bench
        .get("/api/jobs/job.wye/sheets?paper=letter&way=portrait")
        .await
        .json();
    // ANSI/ASME Y14.1, A: 8.5 x 11 in.
    assert_eq!(index["sheets"][0]["size"], json!([215.9, 279.4]));
    // Signatures: SVG is XML; PNG, PNG specification 5.2; PDF, ISO 32000-1 7.5.2.
    for (file, kind, name, begins) in [
        ("1.svg", "image/svg+xml", "", b"<svg".as_slice()),
        (
            "1.png",
            "image/png",
            "attachment; filename=\"job-1.png\"; filename*=UTF-8''job-1.png",
            b"\x89PNG\r\n\x1a\n",
        ),
        (
            "all.pdf",
            "application/pdf",
            "attachment; filename=\"job.pdf\"; filename*=UTF-8''job.pdf",
            b"%PDF-1.",
        ),
    ] {
        let answer = bench.get(&format!("/api/jobs/job.wye/sheets/{file}")).await;
        assert_eq!(answer.status, StatusCode::OK, "{file}");
        assert_eq!(answer.header(header::CONTENT_TYPE), kind);
        assert_eq!(answer.header(header::CONTENT_DISPOSITION), name);
        let bytes = answer
            .bytes
            .strip_prefix(b"<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n")
            .unwrap_or(&answer.bytes);
        assert!(
            bytes.starts_with(begins),
            "{file}: {:?}",
            String::from_utf8_lossy(&bytes[..20])
        );
    }
    for file in [
        "0.svg",
        "99.svg",
        "1.exe",
        "x.svg",
        "-1.png",
        "..%2fjob.wye",
    ] {
        let status = bench
            .get(&format!("/api/jobs/job.wye/sheets/{file}"))
            .await
            .status;
        assert_eq!(status, StatusCode::NOT_FOUND, "{file}");
    }
}

#[tokio::test]
async fn lists_are_handed_out_with_their_types_and_names() {
    let bench = Bench::new();
    let seen = bench.get("/api/jobs/job.wye?parts=lists").await.json();
    let lists = seen["lists"]["lists"].as_array().expect("lists");
    assert!(!lists.is_empty());
    for list in lists {
        let id = list["id"].as_str().expect("a name");
        let answer = bench
            .get(&format!("/api/jobs/job.wye/lists/{id}.csv"))
            .await;
        assert_eq!(answer.status, StatusCode::OK, "{id}");
        assert_eq!(
            answer.header(header::CONTENT_TYPE),
            "text/csv; charset=utf-8"
        );
        let name = answer.header(header::CONTENT_DISPOSITION);
        assert!(
            name.starts_with(&format!("attachment; filename=\"job-{id}.csv\"")),
            "{name}"
        );
    }
    let book = bench.get("/api/jobs/job.wye/lists/lists.xlsx").await;
    assert_eq!(
        book.header(header::CONTENT_TYPE),
        "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
    );
    // A workbook is a ZIP archive (ECMA-376 part 2).
    assert!(book.bytes.starts_with(b"PK\x03\x04"));
    assert_eq!(
        bench.get("/api/jobs/job.wye/lists/none.csv").await.status,
        StatusCode::NOT_FOUND
    );
}
