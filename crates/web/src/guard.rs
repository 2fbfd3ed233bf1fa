//! What stands before every page: the site's own name only, its own forms only, strict headers, and
//! the table of rights.

use std::net::{IpAddr, SocketAddr};

use axum::extract::{ConnectInfo, FromRequestParts, MatchedPath, Request, State};
use axum::http::request::Parts;
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_words::{Speaking, Tongue, say, within};
use partpledge_workshop::people::Asked;
use partpledge_workshop::people::passkeys::Here;
use partpledge_workshop::rights::{Answer, line};

use crate::routes::tongue::{of_browser, of_visitor};
use crate::routes::{failed, trouble};
use crate::site::{Front, Site};
use crate::who::Visitor;

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
    let front = site.front();
    // A token is never sent by itself, as a cookie is: where the interface is asked from is free.
    let token = crate::api::is_api(request.uri().path());
    if own_host(headers, front) && (reads || token || own_form(headers, front)) {
        return next.run(request).await;
    }
    let title = say!("head-other-site");
    let what_to_do = say!("head-other-site-do");
    trouble(&site, StatusCode::FORBIDDEN, &title, &what_to_do).into_response()
}

fn text(headers: &HeaderMap, name: header::HeaderName) -> Option<&str> {
    headers.get(name).and_then(|value| value.to_str().ok())
}

/// Whether the site was asked for by a name of its own: of this machine, or of the front behind
/// which it stands.
fn own_host(headers: &HeaderMap, front: Option<&Front>) -> bool {
    let Some(host) = text(headers, header::HOST) else {
        return false;
    };
    if let Some(front) = front {
        return host.eq_ignore_ascii_case(front.host());
    }
    let name = match host.rsplit_once(':') {
        Some((name, port)) if port.chars().all(|c| c.is_ascii_digit()) => name,
        _ => host,
    };
    OWN_NAMES.contains(&name)
}

/// Whether a form was sent by a page of this site: browsers say so in `Sec-Fetch-Site`, older ones
/// in `Origin`. A program that sends neither is at this machine; behind a front it need not be, and
/// has to say where its form is from.
fn own_form(headers: &HeaderMap, front: Option<&Front>) -> bool {
    const FETCH_SITE: header::HeaderName = header::HeaderName::from_static("sec-fetch-site");
    if let Some(site) = text(headers, FETCH_SITE) {
        return matches!(site, "same-origin" | "none");
    }
    match (text(headers, header::ORIGIN), text(headers, header::HOST)) {
        (Some(origin), Some(host)) => match front {
            Some(front) => origin.eq_ignore_ascii_case(front.origin()),
            None => origin.split_once("://").is_some_and(|(_, o)| o == host),
        },
        _ => front.is_none(),
    }
}

/// The network address that somebody asks from, for counting wrong tries.
#[derive(Clone, Debug)]
pub(crate) struct From(pub(crate) String);

impl<S: Sync> FromRequestParts<S> for From {
    type Rejection = std::convert::Infallible;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Self::Rejection> {
        let found = parts.extensions.get::<Self>();
        Ok(found.cloned().unwrap_or_else(|| Self(String::new())))
    }
}

/// The network address that a request is from.
pub(crate) fn from(request: &Request, front: Option<&Front>) -> From {
    const FORWARDED: header::HeaderName = header::HeaderName::from_static("x-forwarded-for");
    // The front adds the address that it saw at the end; what stands before it anybody can write.
    // It may do so in a line of its own: the last line counts. What is no address is none.
    let told = request.headers().get_all(FORWARDED).iter().next_back();
    let told = told.filter(|_| front.is_some());
    let told = told.and_then(|line| line.to_str().ok());
    let last = told.and_then(|list| list.rsplit(',').next());
    let last = last.and_then(|last| last.trim().parse::<IpAddr>().ok());
    let socket = request.extensions().get::<ConnectInfo<SocketAddr>>();
    From(match (last, socket) {
        (Some(last), _) => last.to_string(),
        (None, Some(ConnectInfo(socket))) => socket.ip().to_string(),
        (None, None) => String::new(),
    })
}

/// Lets in whom the table of rights lets in by that address; whose thing it is, the handler and the
/// use case look at. What has no line is refused.
pub(crate) async fn rights(State(site): State<Site>, mut request: Request, next: Next) -> Response {
    let path = request.extensions().get::<MatchedPath>();
    let path = path.map(|path| path.as_str().to_owned());
    let path = path.unwrap_or_default();
    let Some(line) = line(request.method().as_str(), &path) else {
        let title = say!("head-not-asked-here");
        let what_to_do = say!("head-not-asked-here-do");
        let status = StatusCode::METHOD_NOT_ALLOWED;
        return trouble(&site, status, &title, &what_to_do).into_response();
    };
    if path.starts_with("/assets/") {
        return next.run(request).await;
    }
    let asked = asked_by(&path, request.headers());
    let visitor = match site.visitor(request.headers(), asked).await {
        Ok(visitor) => visitor,
        Err(error) => return failed(&site, &error).into_response(),
    };
    match line.admits(visitor.kind()) {
        Answer::Yes => {}
        Answer::SignIn => return Redirect::to("/start").into_response(),
        Answer::No | Answer::NotThere => {
            let tongue = of_visitor(&visitor, request.headers());
            let answer = within(tongue, || not_for_you(&site, &visitor).into_response());
            return in_tongue(tongue, answer);
        }
    }
    let tongue = of_visitor(&visitor, request.headers());
    let from = from(&request, site.front());
    request.extensions_mut().insert(from);
    let visitor = visitor.at(Here::at(&site.link(request.headers(), "")));
    let visitor = crate::routes::notices::with_unseen(&site, visitor).await;
    let visitor = crate::routes::review::with_waiting(&site, visitor).await;
    request.extensions_mut().insert(visitor.clone());
    let answer = Speaking::new(tongue, next.run(request)).await;
    let answer = if is_unread(&answer) {
        let status = answer.status();
        within(tongue, || unread(&site, &visitor, status).into_response())
    } else {
        answer
    };
    in_tongue(tongue, answer)
}

/// Whether what was sent was refused before a page of ours looked at it, in the words of the library that reads it.
fn is_unread(answer: &Response) -> bool {
    let kind = answer.headers().get(header::CONTENT_TYPE);
    let plain = kind.is_some_and(|kind| kind.as_bytes().starts_with(b"text/plain"));
    plain && answer.status().is_client_error()
}

fn unread(site: &Site, visitor: &Visitor, status: StatusCode) -> impl IntoResponse {
    let (title, what_to_do) = (say!("head-unread"), say!("head-unread-do"));
    trouble(site, status, &title, &what_to_do).seen_by(site, visitor)
}

/// Pages speak the tongue of their reader; what programs read is English.
pub(crate) async fn tongue(request: Request, next: Next) -> Response {
    let programs = crate::api::is_api(request.uri().path());
    let tongue = (!programs).then(|| of_browser(request.headers()));
    let tongue = tongue.unwrap_or_default();
    in_tongue(tongue, Speaking::new(tongue, next.run(request)).await)
}

/// A page says its tongue (RFC 9110, section 8.5): an open one is loaded anew when a part of it comes in another.
fn in_tongue(tongue: Tongue, mut response: Response) -> Response {
    let headers = response.headers_mut();
    let kind = headers.get(header::CONTENT_TYPE);
    let page = kind.is_some_and(|kind| kind.as_bytes().starts_with(b"text/html"));
    // What is further in knows who reads, and has said it.
    if page && !headers.contains_key(header::CONTENT_LANGUAGE) {
        let tag = HeaderValue::from_static(tongue.tag());
        headers.insert(header::CONTENT_LANGUAGE, tag);
    }
    response
}

/// Whether somebody asked, or a page that lies open: it says so of what it fetches by itself, and
/// nothing else asks for the stream.
fn asked_by(path: &str, headers: &HeaderMap) -> Asked {
    if path == "/live" || by_itself(headers) {
        Asked::ByThePage
    } else {
        Asked::BySomebody
    }
}

/// Whether a page fetches it by itself, with nobody asking.
pub(crate) fn by_itself(headers: &HeaderMap) -> bool {
    headers.contains_key("partpledge-unasked")
}

fn not_for_you(site: &Site, visitor: &Visitor) -> impl IntoResponse {
    let role = visitor
        .signed()
        .map(|signed| crate::who::role_words(site.base(), &signed.sign_in.held));
    let title = say!("head-not-for-you", role = role.unwrap_or_default());
    let what_to_do = say!("head-not-for-you-do");
    trouble(site, StatusCode::FORBIDDEN, &title, &what_to_do).seen_by(site, visitor)
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
            assert!(own_host(&with(&[("host", own)]), None), "{own}");
        }
        for other in [
            "evil.example",
            "localhost.evil.example:8717",
            "127.0.0.1.evil.example",
            "",
        ] {
            assert!(!own_host(&with(&[("host", other)]), None), "{other}");
        }
        assert!(!own_host(&HeaderMap::new(), None));
    }

    #[test]
    fn forms_of_other_sites_are_refused() {
        let host = ("host", "localhost:8717");
        assert!(own_form(
            &with(&[host, ("sec-fetch-site", "same-origin")]),
            None
        ));
        assert!(!own_form(
            &with(&[host, ("sec-fetch-site", "cross-site")]),
            None
        ));
        assert!(!own_form(
            &with(&[host, ("sec-fetch-site", "same-site")]),
            None
        ));
        let own = with(&[host, ("origin", "http://localhost:8717")]);
        assert!(own_form(&own, None));
        assert!(!own_form(
            &with(&[host, ("origin", "http://evil.example")]),
            None
        ));
        assert!(!own_form(&with(&[host, ("origin", "null")]), None));
        assert!(own_form(&with(&[host]), None));
    }

    #[test]
    fn what_a_page_fetches_or_sends_by_itself_keeps_nobody_signed_in() {
        let by_itself = with(&[("partpledge-unasked", "1")]);
        for path in ["/run-sheets/brindlemoor", "/run-sheets/{code}/do", "/live"] {
            assert_eq!(asked_by(path, &by_itself), Asked::ByThePage, "{path}");
        }
        let asked = with(&[("host", "localhost")]);
        assert_eq!(asked_by("/run-sheets/{code}/do", &asked), Asked::BySomebody);
    }

    #[test]
    fn only_what_the_front_itself_adds_says_from_where_somebody_asks() {
        let front = Front::named("https://parts.example").unwrap();
        let asked = |lines: &[&str], front: Option<&Front>| {
            let mut request = Request::new(axum::body::Body::empty());
            for line in lines {
                let line = HeaderValue::from_str(line).unwrap();
                request.headers_mut().append("x-forwarded-for", line);
            }
            let socket: SocketAddr = "127.0.0.1:5000".parse().unwrap();
            request.extensions_mut().insert(ConnectInfo(socket));
            from(&request, front).0
        };
        let made_up = "198.51.100.1";
        let seen = "192.0.2.7";
        let one_line = format!("{made_up}, {seen}");
        for lines in [&[one_line.as_str()][..], &[made_up, seen], &[seen]] {
            assert_eq!(asked(lines, Some(&front)), seen, "{lines:?}");
            assert_eq!(asked(lines, None), "127.0.0.1", "no front: {lines:?}");
        }
        assert_eq!(asked(&["whatever"], Some(&front)), "127.0.0.1");
        assert_eq!(asked(&[], Some(&front)), "127.0.0.1");
    }

    #[test]
    fn behind_a_front_only_its_name_and_its_forms_count() {
        let front = Front::named("https://parts.example").unwrap();
        let front = Some(&front);
        assert!(own_host(&with(&[("host", "parts.example")]), front));
        assert!(!own_host(&with(&[("host", "localhost:8717")]), front));
        let host = ("host", "parts.example");
        let form = |origin| with(&[host, ("origin", origin)]);
        assert!(own_form(&form("https://parts.example"), front));
        assert!(!own_form(&form("http://parts.example"), front));
        assert!(!own_form(&with(&[host]), front), "from where is not said");
        for bad in [
            "http://parts.example",
            "https://",
            "https://a/b",
            "parts.example",
        ] {
            assert!(Front::named(bad).is_none(), "{bad}");
        }
    }
}
