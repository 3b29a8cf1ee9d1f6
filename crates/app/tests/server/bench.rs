//! A folder with a job, served without a port.

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
use wyeline_app::routes::routes;
use wyeline_app::shop::Shop;

pub const SECRET: &str = "00112233445566778899aabbccddeeff";
pub const HOST: &str = "127.0.0.1:8000";
pub const ORIGIN: &str = "http://127.0.0.1:8000";

/// A room with a lavatory on a drain, and remarks to be changed.
pub const JOB: &str = "job    Otter Row
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
pub struct Bench {
    pub folder: TempDir,
    pub router: Router,
}

/// An answer.
pub struct Answer {
    pub status: StatusCode,
    pub headers: axum::http::HeaderMap,
    pub bytes: Vec<u8>,
}

impl Answer {
    pub fn json(&self) -> Value {
        serde_json::from_slice(&self.bytes).expect("the answer is JSON")
    }

    pub fn header(&self, name: header::HeaderName) -> &str {
        self.headers
            .get(name)
            .map_or("", |value| value.to_str().expect("plain letters"))
    }
}

impl Bench {
    pub fn new() -> Self {
        Self::with(false)
    }

    pub fn with(read_only: bool) -> Self {
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

    pub fn text(&self) -> String {
        fs::read_to_string(self.folder.path().join("job.wye")).expect("the job's file")
    }

    pub async fn ask(&self, request: Request<Body>) -> Answer {
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

    pub async fn get(&self, path: &str) -> Answer {
        self.ask(
            ours(Method::GET, path)
                .body(Body::empty())
                .expect("a request"),
        )
        .await
    }

    pub async fn post(&self, path: &str, body: &Value) -> Answer {
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
    pub async fn change(&self, base: u64, text: &str) -> Answer {
        let body = json!({ "base": base, "text": text, "show": { "parts": "text" } });
        self.post("/api/jobs/job.wye/change", &body).await
    }

    pub async fn version(&self) -> u64 {
        let seen = self.get("/api/jobs/job.wye?parts=text").await.json();
        seen["version"].as_u64().expect("a version")
    }
}

/// A request of our own page.
pub fn ours(method: Method, path: &str) -> axum::http::request::Builder {
    Request::builder()
        .method(method)
        .uri(path)
        .header(header::HOST, HOST)
        .header(header::COOKIE, format!("other=1; wyeline-8000={SECRET}"))
}

/// A request that carries nothing but where it goes.
pub fn bare(path: &str) -> Request<Body> {
    let request = Request::builder().uri(path).header(header::HOST, HOST);
    request.body(Body::empty()).expect("a request")
}

/// Names and bytes of all files below a folder, in order.
pub fn everything(folder: &Path) -> Vec<(String, Vec<u8>)> {
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
