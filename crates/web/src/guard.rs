//! What stands before every page: this machine only, this site's own forms only, strict headers.

use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use crate::routes::trouble;
use crate::site::Site;

/// Names under which this machine may be asked. Another name that leads here is somebody's trick.
const OWN_NAMES: [&str; 3] = ["localhost", "127.0.0.1", "[::1]"];

/// Strict headers on every answer.
pub(crate) async fn headers(request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    let set = [
        (
            header::CONTENT_SECURITY_POLICY,
            "default-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'self'; \
             object-src 'none'",
        ),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "same-origin"),
    ];
    for (name, value) in set {
        response
            .headers_mut()
            .insert(name, HeaderValue::from_static(value));
    }
    response
}

/// Refuses what another page sends in the name of whoever sits at this machine.
pub(crate) async fn same_origin(
    State(site): State<Site>,
    request: Request,
    next: Next,
) -> Response {
    let headers = request.headers();
    let reads = matches!(*request.method(), Method::GET | Method::HEAD);
    if own_host(headers) && (reads || own_form(headers)) {
        return next.run(request).await;
    }
    let title = "That did not come from this site.";
    let what_to_do = "Open Partpledge in this browser and use its own buttons.";
    trouble(&site, StatusCode::FORBIDDEN, title, what_to_do).into_response()
}

fn text(headers: &HeaderMap, name: header::HeaderName) -> Option<&str> {
    headers.get(name).and_then(|value| value.to_str().ok())
}

/// Whether the site was asked for by a name of this machine.
fn own_host(headers: &HeaderMap) -> bool {
    let Some(host) = text(headers, header::HOST) else {
        return false;
    };
    let name = match host.rsplit_once(':') {
        Some((name, port)) if port.chars().all(|c| c.is_ascii_digit()) => name,
        _ => host,
    };
    OWN_NAMES.contains(&name)
}

/// Whether a form was sent by a page of this site: browsers say so in `Sec-Fetch-Site`, older ones
/// in `Origin`; a program that sends neither is at this machine anyway.
fn own_form(headers: &HeaderMap) -> bool {
    const FETCH_SITE: header::HeaderName = header::HeaderName::from_static("sec-fetch-site");
    if let Some(site) = text(headers, FETCH_SITE) {
        return matches!(site, "same-origin" | "none");
    }
    match (text(headers, header::ORIGIN), text(headers, header::HOST)) {
        (Some(origin), Some(host)) => origin.split_once("://").is_some_and(|(_, o)| o == host),
        _ => true,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn with(pairs: &[(&'static str, &str)]) -> HeaderMap {
        let pairs = pairs
            .iter()
            .map(|(name, value)| (name.parse().unwrap(), value.parse().unwrap()));
        pairs
            .collect::<Vec<(header::HeaderName, HeaderValue)>>()
            .into_iter()
            .collect()
    }

    #[test]
    fn only_names_of_this_machine_are_its_own() {
        for own in [
            "localhost",
            "localhost:8717",
            "127.0.0.1:8717",
            "[::1]:80",
            "[::1]",
        ] {
            assert!(own_host(&with(&[("host", own)])), "{own}");
        }
        for other in [
            "evil.example",
            "localhost.evil.example:8717",
            "127.0.0.1.evil.example",
            "",
        ] {
            assert!(!own_host(&with(&[("host", other)])), "{other}");
        }
        assert!(!own_host(&HeaderMap::new()));
    }

    #[test]
    fn forms_of_other_sites_are_refused() {
        let host = ("host", "localhost:8717");
        assert!(own_form(&with(&[host, ("sec-fetch-site", "same-origin")])));
        assert!(!own_form(&with(&[host, ("sec-fetch-site", "cross-site")])));
        assert!(!own_form(&with(&[host, ("sec-fetch-site", "same-site")])));
        assert!(own_form(&with(&[
            host,
            ("origin", "http://localhost:8717")
        ])));
        assert!(!own_form(&with(&[host, ("origin", "http://evil.example")])));
        assert!(!own_form(&with(&[host, ("origin", "null")])));
        assert!(own_form(&with(&[host])));
    }
}
