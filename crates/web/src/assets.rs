//! Files inside the binary: the look's own style sheets and sign, and the client's scripts and
//! fonts as `build.rs` found them.
//!
//! Addresses change with the content (a hash in the name, or `?v=`), so browsers keep files for
//! good and ask again only for what is new.

use std::collections::BTreeMap;

use axum::http::header::{
    ACCEPT_ENCODING, CACHE_CONTROL, CONTENT_ENCODING, CONTENT_TYPE, ETAG, IF_NONE_MATCH, VARY,
};
use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use partpledge_words::{Tongue, area};

include!(concat!(env!("OUT_DIR"), "/assets/files.rs"));

/// One file as it was embedded.
struct File {
    name: &'static str,
    /// Path under which pages name it, with a version unless the name itself has one.
    address: &'static str,
    kind: &'static str,
    etag: &'static str,
    bytes: &'static [u8],
    gz: Option<&'static [u8]>,
}

fn file(name: &str) -> Option<&'static File> {
    let at = FILES.binary_search_by(|file| file.name.cmp(name)).ok()?;
    FILES.get(at)
}

/// The answer to `GET /assets/{name}`, gzipped where the client takes it; `None` if there is no
/// such file. A name is looked up in a list and never becomes a path.
pub(crate) fn serve(name: &str, asked: &HeaderMap) -> Option<Response> {
    let file = file(name)?;
    let keep: [(HeaderName, &str); 3] = [
        (CACHE_CONTROL, "public, max-age=31536000, immutable"),
        (ETAG, file.etag),
        (VARY, "accept-encoding"),
    ];
    if asked.get(IF_NONE_MATCH).is_some_and(|has| has == file.etag) {
        return Some((StatusCode::NOT_MODIFIED, keep).into_response());
    }
    let kind = [(CONTENT_TYPE, file.kind)];
    Some(match file.gz.filter(|_| takes_gzip(asked)) {
        Some(gz) => (keep, kind, [(CONTENT_ENCODING, "gzip")], gz).into_response(),
        None => (keep, kind, file.bytes).into_response(),
    })
}

/// The answer to `GET /worker.js`: the service worker of a bench's tablet, which browsers look for
/// under one name and ask for again and again. `None` when the client is not built in.
pub(crate) fn worker(asked: &HeaderMap) -> Option<Response> {
    let mut answer = serve("worker.js", asked)?;
    let again = HeaderValue::from_static("no-cache");
    answer.headers_mut().insert(CACHE_CONTROL, again);
    Some(answer)
}

/// Does the client take gzip? `gzip;q=0` is a refusal.
fn takes_gzip(asked: &HeaderMap) -> bool {
    let listed = asked
        .get_all(ACCEPT_ENCODING)
        .iter()
        .filter_map(|value| value.to_str().ok());
    listed
        .flat_map(|list| list.split(','))
        .any(|one| match one.split_once(';') {
            Some((name, weight)) => name.trim() == "gzip" && !refused(weight),
            None => one.trim() == "gzip",
        })
}

fn refused(weight: &str) -> bool {
    let number = weight.trim().trim_start_matches("q=");
    number.starts_with('0') && number.chars().all(|c| matches!(c, '0' | '.'))
}

/// Where pages find one of the files in `crates/web/assets`, its version included:
/// `/assets/paper.css?v=6d2f…`.
///
/// # Panics
/// If there is no such file; every page's test would say so.
pub(crate) fn url(name: &str) -> &'static str {
    file(name)
        .expect("named in our own source and embedded at compile time")
        .address
}

/// What scripts say, in the tongue being spoken: the messages of `client.ftl` as they stand there, as JSON
/// that can lie in a page. Scripts fill in the rest.
pub(crate) fn words() -> String {
    let tongue = Tongue::spoken();
    let lines = area(tongue, "client").unwrap_or_default().lines();
    let message = |line: &'static str| {
        let (id, text) = line.split_once(" = ")?;
        let marked = || format!("⟦{}⟧", text.replace("{ $", "⟧{ $").replace(" }", " }⟦"));
        let text = match tongue {
            Tongue::Marked => marked().replace("⟦⟧", ""),
            _ => text.to_owned(),
        };
        Some((id, text))
    };
    let all: BTreeMap<&str, String> = lines.filter_map(message).collect();
    // Texts only: they always serialise. Nothing in them ends the element that they lie in.
    let json = serde_json::to_string(&all).unwrap_or_default();
    json.replace('<', "\\u003c")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(pairs: &[(HeaderName, &str)]) -> HeaderMap {
        pairs
            .iter()
            .map(|(name, value)| (name.clone(), value.parse().unwrap()))
            .collect()
    }

    fn header(response: &Response, name: HeaderName) -> &str {
        response
            .headers()
            .get(name)
            .map_or("", |value| value.to_str().unwrap())
    }

    #[test]
    fn scripts_get_every_message_whole_in_each_tongue() {
        for tongue in Tongue::ALL {
            let json = partpledge_words::within(tongue, words);
            let all: BTreeMap<String, String> = serde_json::from_str(&json).unwrap();
            let file = area(tongue, "client").unwrap();
            let messages = file.lines().filter(|line| line.starts_with("client-"));
            assert_eq!(all.len(), messages.count());
            assert!(!json.contains('<'));
            for (id, text) in &all {
                // A choice between plurals, or a text on several lines, would not come through.
                assert!(!text.is_empty() && !text.contains("->"), "{id}: {text}");
                assert_eq!(
                    text.matches('{').count(),
                    text.matches("{ $").count(),
                    "{id}"
                );
            }
            assert!(file.lines().all(|line| !line.starts_with(' ')));
        }
    }

    #[test]
    fn a_style_sheet_goes_gzipped_to_those_who_take_it() {
        let plain = serve("paper.css", &HeaderMap::new()).unwrap();
        assert_eq!(header(&plain, CONTENT_TYPE), "text/css; charset=utf-8");
        assert_eq!(header(&plain, CONTENT_ENCODING), "");
        for (accepts, sent) in [
            ("gzip, deflate, br", "gzip"),
            ("br;q=1.0, gzip;q=0.8", "gzip"),
            ("gzip;q=0", ""),
            ("gzip; q=0.0, br", ""),
            ("br", ""),
        ] {
            let response = serve("paper.css", &asked(&[(ACCEPT_ENCODING, accepts)])).unwrap();
            assert_eq!(header(&response, CONTENT_ENCODING), sent, "{accepts}");
            assert!(header(&response, CACHE_CONTROL).contains("immutable"));
            assert_eq!(header(&response, VARY), "accept-encoding");
        }
    }

    #[test]
    fn a_file_that_the_browser_has_is_not_sent_again() {
        let first = serve("tokens.css", &HeaderMap::new()).unwrap();
        let etag = header(&first, ETAG);
        let again = serve("tokens.css", &asked(&[(IF_NONE_MATCH, etag)])).unwrap();
        assert_eq!(again.status(), StatusCode::NOT_MODIFIED);
        let other = serve("tokens.css", &asked(&[(IF_NONE_MATCH, "\"other\"")])).unwrap();
        assert_eq!(other.status(), StatusCode::OK);
    }

    #[test]
    fn only_embedded_names_are_served() {
        for name in ["", "manifest.json", "../Cargo.toml", "/etc/hostname", "x"] {
            assert!(serve(name, &HeaderMap::new()).is_none(), "{name}");
        }
    }

    #[test]
    fn an_address_carries_the_version_of_the_content() {
        let address = url("paper.css");
        let (path, version) = address.split_once("?v=").unwrap();
        assert_eq!(path, "/assets/paper.css");
        assert_eq!(version.len(), 12);
        assert_ne!(url("tokens.css").split_once("?v=").unwrap().1, version);
    }

    /// A rural school's line carries about 60 kB in a second or two; that is the bound of the look.
    #[test]
    fn a_first_view_is_under_60_kb() {
        const PAGE: usize = 8_000;
        let sent = |file: &File| file.gz.map_or(file.bytes.len(), <[u8]>::len);
        let named = |address: Option<&str>| {
            address.map(|address| file(address.trim_start_matches("/assets/")).unwrap())
        };
        let sheets = FILES
            .iter()
            .filter(|file| file.address.contains(".css?v="))
            .map(sent);
        let client = [MAIN_JS, FONTS_CSS].map(|address| named(address).map(sent));
        if client.iter().any(Option::is_none) {
            assert!(
                std::env::var("CI").as_deref() != Ok("true"),
                "CI builds the client first"
            );
            eprintln!("SKIPPED: the client is not built, so only the style sheets are weighed");
        }
        let whole = PAGE + sheets.sum::<usize>() + client.into_iter().flatten().sum::<usize>();
        assert!(whole > PAGE + 5_000, "style sheets are embedded");
        assert!(whole < 60_000, "{whole} bytes");
    }
}
