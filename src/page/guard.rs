//! Who may ask: those who know the word in the address, from a page of this server, by a name of this
//! machine.
//!
//! A foreign page in the same browser can send requests here, and a foreign name can be made to lead here
//! (DNS rebinding). Neither knows the word, and both are told by `Origin` (RFC 6454, 7) and `Host` (RFC 9110,
//! 7.2).

use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use rand::TryRng;
use rand::rngs::SysRng;

/// The port that an address without one means (RFC 9110, 4.2.1).
const HTTP: u16 = 80;
/// Bytes of chance in the word: 128 bits can't be guessed (common practice).
const WORD_BYTES: usize = 16;

/// What every answer says: nothing from elsewhere, no script but the page's own files (CSP Level 3).
const HEADERS: [(HeaderName, &str); 7] = [
    (
        header::CONTENT_SECURITY_POLICY,
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; \
         frame-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'self'",
    ),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::X_FRAME_OPTIONS, "SAMEORIGIN"),
    (header::REFERRER_POLICY, "no-referrer"),
    (header::CACHE_CONTROL, "no-store"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
];

/// Names under which this server may be asked.
#[derive(Clone, Debug)]
pub(super) struct Guard {
    hosts: Vec<String>,
}

impl Guard {
    /// A guard of a server at some names with its port. Of 80, HTTP's own, browsers say the names alone.
    pub(super) fn new(names: &[String], port: u16) -> Self {
        let with_port = names.iter().map(|name| format!("{name}:{port}"));
        let alone = names.iter().filter(|_| port == HTTP).cloned();
        Self { hosts: with_port.chain(alone).collect() }
    }

    /// Whether a request is one of our own page, or the first one of an address that was typed in.
    fn allows(&self, method: &Method, headers: &HeaderMap) -> Result<(), &'static str> {
        let text = |name: HeaderName| headers.get(name).map(|value| value.to_str().unwrap_or("?"));
        let is_ours = |host: &str| self.hosts.iter().any(|ours| ours == host);
        if headers.get_all(header::HOST).iter().count() != 1
            || !text(header::HOST).is_some_and(is_ours)
        {
            return Err("this server doesn't go by that name");
        }
        let origin = text(header::ORIGIN);
        let is_own_origin = |origin: &str| origin.strip_prefix("http://").is_some_and(is_ours);
        if origin.is_some_and(|origin| !is_own_origin(origin)) {
            return Err("pages from elsewhere may not ask here");
        }
        if text(HeaderName::from_static("sec-fetch-site"))
            .is_some_and(|site| !matches!(site, "same-origin" | "none"))
        {
            return Err("pages from elsewhere may not ask here");
        }
        if method == Method::POST {
            if origin.is_none() {
                return Err("a change comes from the page itself");
            }
            if text(header::CONTENT_TYPE) != Some("application/json") {
                return Err("a change is written as JSON");
            }
        }
        Ok(())
    }
}

/// Lets through what the guard allows, and adds the headers that every answer has.
pub(super) async fn guarded(State(guard): State<Guard>, request: Request, next: Next) -> Response {
    let mut response = match guard.allows(request.method(), request.headers()) {
        Ok(()) => next.run(request).await,
        Err(reason) => (StatusCode::FORBIDDEN, reason).into_response(),
    };
    for (name, value) in HEADERS {
        // A page of its own, such as a built proof, comes with a policy of its own.
        response.headers_mut().entry(name).or_insert(HeaderValue::from_static(value));
    }
    response
}

/// A word that nobody can guess.
pub(super) fn word() -> std::io::Result<String> {
    let mut bytes = [0; WORD_BYTES];
    SysRng.try_fill_bytes(&mut bytes).map_err(std::io::Error::other)?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

/// Whether two words are the same, in a time that does not tell how much of them is.
pub(super) fn is_same(one: &str, other: &str) -> bool {
    one.len() == other.len()
        && one
            .bytes()
            .zip(other.bytes())
            .fold(0, |different, (one, other)| different | (one ^ other))
            == 0
}
