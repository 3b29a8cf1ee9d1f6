//! Requests and their answers, without a port: who is let in, what is refused, what is on disk when it has been answered.

use std::fs;
use std::path::Path;
use std::sync::Arc;

use axum::Router;
use axum::body::Body;
use axum::http::{Method, Request, StatusCode, header};
use http_body_util::BodyExt;
use serde_json::{Value, json};
use tempfile::TempDir;
use tower::ServiceExt;
use wyeline_app::desk::Desk;
use wyeline_app::guard::Guard;
use wyeline_app::routes::{Shop, routes};

const SECRET: &str = "00112233445566778899aabbccddeeff";
const HOST: &str = "127.0.0.1:8000";
const ORIGIN: &str = "http://127.0.0.1:8000";

/// A room with a lavatory on a drain, and remarks to be changed.
const JOB: &str = "job    Otter Row
units  ft-in
code   ipc-2021
slope  1/4 in per ft

level main floor 0' ceiling 8'

# first
# second

wall main 0',0' 6',0' 6',8' 0',8' 0',0' thick 4-1/2\"
fixture LAV1 lavatory main 3',0' faces north

# third
waste drain
  start    3',8' main floor -2'
  size     2\"
  material pvc
  south    to abreast LAV1.tee
  end      LAV1
";

/// A folder with a job, and the addresses on it.
struct Bench {
    folder: TempDir,
    router: Router,
}

/// An answer.
struct Answer {
    status: StatusCode,
    headers: axum::http::HeaderMap,
    bytes: Vec<u8>,
}

impl Answer {
    fn json(&self) -> Value {
        serde_json::from_slice(&self.bytes).expect("the answer is JSON")
    }

    fn header(&self, name: header::HeaderName) -> &str {
        self.headers
            .get(name)
            .map_or("", |value| value.to_str().expect("plain letters"))
    }
}

impl Bench {
    fn new() -> Self {
        Self::with(false)
    }

    fn with(read_only: bool) -> Self {
        let folder = TempDir::new().expect("a folder");
        fs::write(folder.path().join("job.wye"), JOB).expect("a job");
        fs::write(folder.path().join("other.wye"), JOB).expect("another job");
        let real = folder.path().canonicalize().expect("the folder is there");
        let desk = Arc::new(Desk::new(real, None));
        let guard = Guard::loopback(SECRET.to_owned(), 8000);
        let shop = Shop::new(desk, guard, read_only, Some("job.wye".to_owned()));
        Self {
            folder,
            router: routes(shop),
        }
    }

    fn text(&self) -> String {
        fs::read_to_string(self.folder.path().join("job.wye")).expect("the job's file")
    }

    async fn ask(&self, request: Request<Body>) -> Answer {
        let response = self
            .router
            .clone()
            .oneshot(request)
            .await
            .expect("an answer");
        let (head, body) = response.into_parts();
        let bytes = body.collect().await.expect("the whole answer").to_bytes();
        Answer {
            status: head.status,
            headers: head.headers,
            bytes: bytes.to_vec(),
        }
    }

    async fn get(&self, path: &str) -> Answer {
        self.ask(
            ours(Method::GET, path)
                .body(Body::empty())
                .expect("a request"),
        )
        .await
    }

    async fn post(&self, path: &str, body: &Value) -> Answer {
        let request = ours(Method::POST, path)
            .header(header::ORIGIN, ORIGIN)
            .header(header::CONTENT_TYPE, "application/json");
        self.ask(
            request
                .body(Body::from(body.to_string()))
                .expect("a request"),
        )
        .await
    }

    /// Changes the job from a version.
    async fn change(&self, base: u64, text: &str) -> Answer {
        let body = json!({ "base": base, "text": text, "show": { "parts": "text" } });
        self.post("/api/jobs/job.wye/change", &body).await
    }

    async fn version(&self) -> u64 {
        let seen = self.get("/api/jobs/job.wye?parts=text").await.json();
        seen["version"].as_u64().expect("a version")
    }
}

/// A request of our own page.
fn ours(method: Method, path: &str) -> axum::http::request::Builder {
    Request::builder()
        .method(method)
        .uri(path)
        .header(header::HOST, HOST)
        .header(header::COOKIE, format!("other=1; wyeline-8000={SECRET}"))
}

/// A request that carries nothing but where it goes.
fn bare(path: &str) -> Request<Body> {
    let request = Request::builder().uri(path).header(header::HOST, HOST);
    request.body(Body::empty()).expect("a request")
}

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

/// Names and bytes of all files below a folder, in order.
fn everything(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut all = Vec::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).expect("a folder").flatten() {
            if entry.path().is_dir() {
                folders.push(entry.path());
            } else {
                let bytes = fs::read(entry.path()).expect("a file");
                all.push((entry.path().display().to_string(), bytes));
            }
        }
    }
    all.sort();
    all
}
