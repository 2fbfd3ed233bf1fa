//! In which tongue somebody reads: their own choice, their browser's, or English.

use axum::Form;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_words::Tongue;
use partpledge_workshop::rights::LINES;
use serde::Deserialize;

use super::{Trouble, failed, people, trouble};
use crate::site::Site;
use crate::who::Visitor;

/// The cookie that keeps the choice in a browser where nobody is signed in. It says nothing of anybody.
const COOKIE: &str = "partpledge_tongue";
/// How long it is kept, s: a year.
const KEPT_S: i64 = 31_536_000;

/// What was chosen.
#[derive(Deserialize)]
pub(crate) struct Chosen {
    #[serde(default)]
    tongue: String,
}

/// What was chosen in a browser, if anything.
pub(crate) fn chosen_in(headers: &HeaderMap) -> Option<Tongue> {
    let cookies = headers.get_all(header::COOKIE).iter();
    let pairs = cookies.filter_map(|value| value.to_str().ok());
    pairs.flat_map(|text| text.split(';')).find_map(|pair| {
        let (name, value) = pair.trim().split_once('=')?;
        (name == COOKIE).then(|| Tongue::tagged(value)).flatten()
    })
}

/// The tongue for a browser, as far as its headers say: what was chosen in it, or what it asks for.
pub(crate) fn of_browser(headers: &HeaderMap) -> Tongue {
    let wanted = headers.get(header::ACCEPT_LANGUAGE);
    let wanted = wanted.and_then(|value| value.to_str().ok());
    chosen_in(headers)
        .or_else(|| wanted.and_then(Tongue::wanted))
        .unwrap_or_default()
}

/// The tongue for somebody: their own, or that of their browser.
pub(crate) fn of_visitor(visitor: &Visitor, headers: &HeaderMap) -> Tongue {
    let browser = of_browser(headers);
    if browser == Tongue::Marked {
        return browser;
    }
    let own = visitor.signed().map(|signed| &signed.person.language);
    own.and_then(|tag| Tongue::chosen(tag)).unwrap_or(browser)
}

/// Whether an address of the table, with its names in braces, is one of `path`.
fn leads_to(address: &str, path: &str) -> bool {
    let (mut names, mut steps) = (address.split('/'), path.split('/'));
    loop {
        match (names.next(), steps.next()) {
            (None, None) => return true,
            (Some(name), Some(step)) if name == step || name.starts_with('{') => {}
            _ => return false,
        }
    }
}

/// The page that somebody came from, of this site and such as can be asked for: a form that was sent has
/// the page above it.
fn came_from(headers: &HeaderMap) -> String {
    let from = headers.get(header::REFERER);
    let from = from.and_then(|from| from.to_str().ok()).unwrap_or_default();
    // It leads to a path of this site whatever host it names.
    let whole = from
        .split_once("://")
        .and_then(|(_, rest)| rest.find('/').map(|at| &rest[at..]));
    let whole = whole.unwrap_or("/");
    let plain = !whole.starts_with("//") && !whole.contains('\\') && whole.len() <= 500;
    if !plain {
        return "/".to_owned();
    }
    let (mut path, query) = whole.split_once('?').unwrap_or((whole, ""));
    let readable = |path: &str| {
        let mut pages = LINES.iter().filter(|line| line.method == "GET");
        pages.any(|line| leads_to(line.path, path))
    };
    if readable(path) {
        let mark = if query.is_empty() { "" } else { "?" };
        return format!("{path}{mark}{query}");
    }
    while let Some((above, _)) = path.rsplit_once('/') {
        path = above;
        if readable(path) {
            return path.to_owned();
        }
    }
    "/".to_owned()
}

/// `POST /tongue`: kept with whoever is signed in, and in this browser.
pub(crate) async fn choose(
    State(site): State<Site>,
    visitor: Visitor,
    headers: HeaderMap,
    Form(chosen): Form<Chosen>,
) -> Result<Response, Trouble> {
    let Some(tongue) = Tongue::chosen(&chosen.tongue) else {
        let title = partpledge_words::say!("head-no-tongue");
        let what_to_do = partpledge_words::say!("head-no-tongue-do");
        let status = StatusCode::UNPROCESSABLE_ENTITY;
        return Err(trouble(&site, status, &title, &what_to_do));
    };
    if let Some(signed) = visitor.signed() {
        let people = people(&site)?;
        let kept = people.speak(signed.person.id, tongue).await;
        kept.map_err(|error| failed(&site, &error))?;
    }
    let secure = if site.front().is_some() {
        "; Secure"
    } else {
        ""
    };
    let cookie = format!(
        "{COOKIE}={}; Path=/; HttpOnly; SameSite=Lax{secure}; Max-Age={KEPT_S}",
        tongue.tag()
    );
    let back = Redirect::to(&came_from(&headers));
    Ok(([(header::SET_COOKIE, cookie)], back).into_response())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(pairs: &[(header::HeaderName, &'static str)]) -> Tongue {
        let pairs = pairs
            .iter()
            .map(|(name, value)| (name.clone(), value.parse().unwrap()));
        of_browser(&pairs.collect())
    }

    #[test]
    fn what_was_chosen_in_a_browser_goes_before_what_it_asks_for() {
        assert_eq!(asked(&[]), Tongue::English);
        assert_eq!(asked(&[(header::ACCEPT_LANGUAGE, "de")]), Tongue::German);
        let both = [
            (header::ACCEPT_LANGUAGE, "de"),
            (header::COOKIE, "a=b; partpledge_tongue=en-GB"),
        ];
        assert_eq!(asked(&both), Tongue::English);
        let odd = [(header::COOKIE, "partpledge_tongue=tlh")];
        assert_eq!(asked(&odd), Tongue::English);
    }

    #[test]
    fn the_way_back_leads_to_a_page_of_this_site_that_can_be_asked_for() {
        let back = |from: &str| {
            let mut headers = HeaderMap::new();
            if let Ok(from) = from.parse() {
                headers.insert(header::REFERER, from);
            }
            came_from(&headers)
        };
        let here = "http://localhost:8717";
        for (from, to) in [
            ("/parts/7/turn?part=2", "/parts/7/turn?part=2"),
            ("/account/mail", "/account"),
            ("/teams/Newt%20Works/invite", "/teams/Newt%20Works"),
            ("/", "/"),
            ("/no/such/page", "/"),
            ("//evil.example/", "/"),
            ("/\\evil.example", "/"),
        ] {
            assert_eq!(back(&format!("{here}{from}")), to, "{from}");
        }
        assert_eq!(back("https://evil.example"), "/");
        assert_eq!(back(""), "/");
    }
}
