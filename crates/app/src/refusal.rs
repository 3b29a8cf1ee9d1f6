//! Why something is not done, as the page is told: a status, what is wrong, and what would help.

use axum::Json;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use serde_json::{Value, json};
use wyeline_keep::Trouble;

use crate::said::Said;

/// Something that is not done.
#[derive(Debug)]
pub struct Refusal {
    status: StatusCode,
    words: String,
    help: String,
    more: Value,
}

impl Refusal {
    fn new(status: StatusCode, words: String) -> Self {
        Self {
            status,
            words,
            help: String::new(),
            more: Value::Null,
        }
    }
    /// What is wrong.
    pub fn words(&self) -> &str {
        &self.words
    }
    /// What a trial shows that would not go.
    pub fn into_trial(self) -> Said {
        let mut shown = Said::default();
        shown.put("wrong", &self.words);
        shown.put("help", &self.help);
        shown
    }
    /// The request itself is wrong.
    pub fn wrong(words: String) -> Self {
        Self::new(StatusCode::BAD_REQUEST, words)
    }
    /// There is no such thing.
    pub fn missing(words: String) -> Self {
        Self::new(StatusCode::NOT_FOUND, words)
    }
    /// The disk would not.
    pub fn disk(error: &std::io::Error) -> Self {
        let status = match error.kind() {
            std::io::ErrorKind::NotFound => StatusCode::NOT_FOUND,
            _ => StatusCode::CONFLICT,
        };
        Self::new(status, error.to_string())
    }
    /// The text is longer than the page takes.
    pub fn too_large() -> Self {
        let words = format!(
            "the page takes jobs of up to {} MB",
            crate::desk::LONGEST >> 20
        );
        Self {
            help: "the command line takes longer ones".to_owned(),
            ..Self::new(StatusCode::PAYLOAD_TOO_LARGE, words)
        }
    }
    /// The version a change was made from is not known.
    pub fn long_gone() -> Self {
        Self::new(
            StatusCode::CONFLICT,
            "the job has changed since; look at it anew".to_owned(),
        )
    }
    /// There is more to do than this machine can at once.
    pub fn busy() -> Self {
        Self::new(
            StatusCode::SERVICE_UNAVAILABLE,
            "busy: try again in a moment".to_owned(),
        )
    }
    /// Nobody may do that from here.
    pub fn forbidden(words: &str) -> Self {
        Self::new(StatusCode::FORBIDDEN, words.to_owned())
    }
}

impl From<wyeline_edit::Refusal> for Refusal {
    fn from(refusal: wyeline_edit::Refusal) -> Self {
        let mut new = Self::new(StatusCode::UNPROCESSABLE_ENTITY, refusal.message);
        new.help = refusal.help;
        new
    }
}

impl From<Trouble> for Refusal {
    fn from(trouble: Trouble) -> Self {
        let mut refusal = Self::new(StatusCode::CONFLICT, trouble.to_string());
        if let Trouble::Conflict {
            base,
            ours,
            theirs,
            version,
        } = trouble
        {
            refusal.more =
                json!({ "base": base, "ours": ours, "theirs": theirs, "version": version });
        }
        refusal
    }
}

impl IntoResponse for Refusal {
    fn into_response(self) -> Response {
        let mut body = json!({ "wrong": self.words, "help": self.help });
        if !self.more.is_null() {
            body["conflict"] = self.more;
        }
        (self.status, Json(body)).into_response()
    }
}
