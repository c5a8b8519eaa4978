//! Who may ask: a page that this program served, on this computer. In: a request. Out: the answer, or a refusal.
//!
//! Another site's page may send requests to a local port; its browser says so by `Origin`, and a name that was made to lead here stands
//! in `Host` (RFC 9110, 7.2; RFC 6454).

use axum::extract::{Request, State};
use axum::http::header::{HOST, HeaderMap, HeaderName, ORIGIN};
use axum::http::{HeaderValue, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

/// The largest request, in bytes: a list of changes is a few hundred.
pub(super) const LARGEST_REQUEST: usize = 64 * 1024;

/// Refuses strangers, and tells the browser to keep to what it got from here.
pub(super) async fn only_own(State(port): State<u16>, request: Request, next: Next) -> Response {
    if !is_own(request.headers(), port) {
        return (StatusCode::FORBIDDEN, "this page answers only to itself\n").into_response();
    }
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    for (name, value) in [
        (
            "content-security-policy",
            "default-src 'self'; img-src 'self' data:; style-src 'self' 'unsafe-inline'; frame-ancestors 'none'; base-uri 'none'",
        ),
        ("x-content-type-options", "nosniff"),
        ("referrer-policy", "no-referrer"),
        ("cache-control", "no-store"),
    ] {
        headers.insert(
            HeaderName::from_static(name),
            HeaderValue::from_static(value),
        );
    }
    response
}

fn is_own(headers: &HeaderMap, port: u16) -> bool {
    let hosts = [format!("127.0.0.1:{port}"), format!("localhost:{port}")];
    let host = headers.get(HOST).and_then(|host| host.to_str().ok());
    let from_here = match headers.get(ORIGIN) {
        None => true,
        Some(origin) => origin
            .to_str()
            .ok()
            .and_then(|origin| origin.strip_prefix("http://"))
            .is_some_and(|origin| hosts.iter().any(|host| host == origin)),
    };
    from_here && host.is_some_and(|host| hosts.iter().any(|own| own == host))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_this_page_may_ask() {
        let asked = |host: Option<&str>, origin: Option<&str>| {
            let mut headers = HeaderMap::new();
            for (name, value) in [(HOST, host), (ORIGIN, origin)] {
                if let Some(value) = value.and_then(|value| HeaderValue::from_str(value).ok()) {
                    headers.insert(name, value);
                }
            }
            is_own(&headers, 4321)
        };
        assert!(asked(Some("127.0.0.1:4321"), None));
        assert!(asked(Some("localhost:4321"), Some("http://localhost:4321")));
        for (host, origin) in [
            (None, None),
            (Some("127.0.0.1"), None),
            (Some("127.0.0.1:80"), None),
            (Some("example.org:4321"), None),
            (Some("127.0.0.1:4321"), Some("http://example.org")),
            (Some("127.0.0.1:4321"), Some("https://127.0.0.1:4321")),
            (Some("127.0.0.1:4321"), Some("null")),
            (Some("127.0.0.1:4321"), Some("http://127.0.0.1:4322")),
        ] {
            assert!(!asked(host, origin), "{host:?} {origin:?}");
        }
    }
}
