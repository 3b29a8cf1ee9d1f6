//! Who may ask: only pages that this program has handed out, on this machine.
//!
//! Every request has to name a host that is ours (against names that others point at this machine), and carry the secret of
//! this start; every request that changes something has to come from a page of ours. What is answered may load nothing from
//! elsewhere and stand in no other page. By the HTML standard's rules on origins and the Fetch standard's metadata headers.

use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

/// What makes a request ours.
#[derive(Clone, Debug)]
pub struct Guard {
    /// The secret of this start.
    pub secret: String,
    /// Hosts by which this program is called, with their port.
    pub hosts: Vec<String>,
    /// The cookie that carries the secret: one a port, since cookies know no ports.
    pub cookie: String,
    /// Others on the network are let in too, over plain HTTP.
    pub shared: bool,
}

/// A fresh secret: 128 random bits.
///
/// # Errors
/// The system has no random bits.
pub fn secret() -> Result<String, getrandom::Error> {
    let mut bytes = [0_u8; 16];
    getrandom::fill(&mut bytes)?;
    Ok(format!("{:032x}", u128::from_be_bytes(bytes)))
}

/// Nothing from elsewhere, no markup in scripts or styles, in no other page.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; \
    connect-src 'self'; object-src 'self'; frame-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'self'";

impl Guard {
    /// A guard for a port on this machine.
    pub fn loopback(secret: String, port: u16) -> Self {
        let hosts = ["127.0.0.1", "localhost", "[::1]"];
        Self {
            secret,
            hosts: hosts.iter().map(|host| format!("{host}:{port}")).collect(),
            cookie: format!("wyeline-{port}"),
            shared: false,
        }
    }

    /// Whether the words are the secret, in a time that tells nothing of how much of it is right.
    pub fn is_secret(&self, words: &str) -> bool {
        let (a, b) = (words.as_bytes(), self.secret.as_bytes());
        let differ = a.iter().zip(b).fold(0, |all, (a, b)| all | (a ^ b));
        a.len() == b.len() && differ == 0
    }

    /// The cookie that lets a browser in until it is closed.
    pub fn ticket(&self) -> String {
        format!(
            "{}={}; Path=/; HttpOnly; SameSite=Strict",
            self.cookie, self.secret
        )
    }

    fn has_ticket(&self, headers: &HeaderMap) -> bool {
        let cookies = headers
            .get_all(header::COOKIE)
            .iter()
            .filter_map(|value| value.to_str().ok());
        let mut pairs = cookies
            .flat_map(|line| line.split(';'))
            .filter_map(|pair| pair.trim().split_once('='));
        pairs.any(|(name, value)| name == self.cookie && self.is_secret(value))
    }

    fn refuses(&self, request: &Request) -> Option<(StatusCode, &'static str)> {
        let headers = request.headers();
        let word = |name: HeaderName| headers.get(name).and_then(|value| value.to_str().ok());
        let host = word(header::HOST).unwrap_or_default();
        if !self
            .hosts
            .iter()
            .any(|ours| ours.eq_ignore_ascii_case(host))
        {
            return Some((
                StatusCode::MISDIRECTED_REQUEST,
                "this program is not called by that name",
            ));
        }
        let site = word(HeaderName::from_static("sec-fetch-site"));
        if request.uri().path() == "/enter" {
            return None;
        }
        if !self.has_ticket(headers) {
            return Some((
                StatusCode::UNAUTHORIZED,
                "open the address that the program printed when it started: it lets this browser in",
            ));
        }
        let changes = !matches!(*request.method(), Method::GET | Method::HEAD);
        let origin = word(header::ORIGIN);
        let foreign = origin.is_some_and(|origin| origin.strip_prefix("http://") != Some(host))
            || site.is_some_and(|site| !matches!(site, "same-origin" | "none"));
        let unsaid = changes && origin.is_none();
        if foreign || unsaid {
            return Some((
                StatusCode::FORBIDDEN,
                "only this program's own page may ask that",
            ));
        }
        None
    }
}

/// Lets a request through, or refuses it; either way the answer carries the policy.
pub async fn check(State(guard): State<Guard>, request: Request<Body>, next: Next) -> Response {
    let shared = guard.shared;
    let mut response = match guard.refuses(&request) {
        Some(refusal) => refusal.into_response(),
        None => next.run(request).await,
    };
    let headers = response.headers_mut();
    for (name, value) in [
        ("content-security-policy", POLICY),
        ("x-content-type-options", "nosniff"),
        ("referrer-policy", "no-referrer"),
        ("cross-origin-resource-policy", "same-origin"),
        (
            "permissions-policy",
            "camera=(), microphone=(), geolocation=()",
        ),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    if !shared {
        // Browsers heed it on this machine and over TLS alone, and complain elsewhere.
        let alone = HeaderValue::from_static("same-origin");
        headers.insert("cross-origin-opener-policy", alone);
    }
    let kept = HeaderValue::from_static("no-store");
    headers.entry(header::CACHE_CONTROL).or_insert(kept);
    response
}
