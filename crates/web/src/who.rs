//! Who somebody looks as: a plain choice, kept in a cookie, until accounts exist.

use axum::extract::FromRequestParts;
use axum::http::request::Parts;
use axum::http::{HeaderMap, header};
use partpledge_units::time::Minute;
use partpledge_workshop::{Actor, Role, Session};

use crate::assets;
use crate::site::Site;

/// Name of the cookie.
const COOKIE: &str = "look_as";

/// Somebody looking, by their own choice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Visitor {
    /// Has not chosen yet.
    Nobody,
    /// A team, by name.
    Team(String),
    /// A host's bench, by its school's code.
    Host(String),
    /// The coordinator.
    Coordinator,
}

impl Visitor {
    /// Reads what [`Visitor::to_text`] wrote, if it names somebody of the region.
    pub(crate) fn parse(text: &str, session: &Session) -> Option<Self> {
        let file = &session.terrain.file;
        match text.split_once(':') {
            Some(("team", name)) => file
                .teams
                .iter()
                .any(|team| team.name == name)
                .then(|| Self::Team(name.to_owned())),
            Some(("host", code)) => file
                .hosts
                .iter()
                .any(|host| host.school == code)
                .then(|| Self::Host(code.to_owned())),
            None if text == "coordinator" => Some(Self::Coordinator),
            _ => None,
        }
    }

    /// As forms have it.
    pub(crate) fn to_text(&self) -> String {
        match self {
            Self::Nobody => String::new(),
            Self::Team(name) => format!("team:{name}"),
            Self::Host(code) => format!("host:{code}"),
            Self::Coordinator => "coordinator".to_owned(),
        }
    }

    /// The cookie that keeps the choice: only for this site, not for scripts.
    pub(crate) fn cookie(&self) -> String {
        let value = escape(&self.to_text());
        format!("{COOKIE}={value}; Path=/; HttpOnly; SameSite=Strict; Max-Age=31536000")
    }

    /// The first page for them.
    pub(crate) fn home(&self) -> &'static str {
        match self {
            Self::Nobody => "/start",
            Self::Team(_) => "/parts",
            Self::Host(_) => "/run-sheet",
            Self::Coordinator => "/region",
        }
    }

    /// Who acts, for the workshop.
    pub(crate) fn actor(&self) -> Actor {
        match self {
            Self::Nobody => Actor::at_the_machine(),
            Self::Team(name) => Actor::new(Role::Team(name.clone())),
            Self::Host(code) => Actor::new(Role::Host(code.clone())),
            Self::Coordinator => Actor::new(Role::Coordinator),
        }
    }

    /// The team whose pages these are, if they are a team's.
    pub(crate) fn team(&self) -> Option<&str> {
        match self {
            Self::Team(name) => Some(name),
            _ => None,
        }
    }

    fn of(headers: &HeaderMap, session: &Session) -> Self {
        let cookies = headers.get_all(header::COOKIE).iter();
        let pairs = cookies.filter_map(|value| value.to_str().ok());
        let mut pairs = pairs.flat_map(|text| text.split(';'));
        let found = pairs.find_map(|pair| {
            let (name, value) = pair.trim().split_once('=')?;
            (name == COOKIE).then(|| unescape(value))
        });
        found
            .and_then(|text| Self::parse(&text, session))
            .unwrap_or(Self::Nobody)
    }
}

impl FromRequestParts<Site> for Visitor {
    type Rejection = std::convert::Infallible;

    async fn from_request_parts(parts: &mut Parts, site: &Site) -> Result<Self, Self::Rejection> {
        Ok(Self::of(&parts.headers, site.base()))
    }
}

/// Percent-encodes all but letters, digits and a few marks that cookies take as they are.
fn escape(text: &str) -> String {
    let one = |byte: u8| {
        let plain = byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_' | b'.' | b':');
        if plain {
            char::from(byte).to_string()
        } else {
            format!("%{byte:02X}")
        }
    };
    text.bytes().map(one).collect()
}

/// Reads what [`escape`] wrote; anything else stays as it is.
fn unescape(text: &str) -> String {
    let bytes = text.as_bytes();
    let mut out = Vec::with_capacity(bytes.len());
    let mut i = 0;
    while i < bytes.len() {
        let code = bytes.get(i + 1..i + 3).filter(|_| bytes[i] == b'%');
        let code = code.and_then(|code| std::str::from_utf8(code).ok());
        match code.and_then(|code| u8::from_str_radix(code, 16).ok()) {
            Some(byte) => {
                out.push(byte);
                i += 3;
            }
            None => {
                out.push(bytes[i]);
                i += 1;
            }
        }
    }
    String::from_utf8_lossy(&out).into_owned()
}

/// What the head and the foot of every page say.
#[derive(Clone, Debug)]
pub(crate) struct Head {
    /// Beside the name: the region and who is looking.
    pub(crate) place: String,
    /// Pages for them.
    pub(crate) nav: Vec<NavItem>,
    /// `You look as Newt Works.`
    pub(crate) looks_as: String,
    /// When the page was made, in words.
    pub(crate) made: String,
    /// Entry of the log that the page was made after, for pages that keep themselves up to date.
    pub(crate) live: Option<i64>,
    /// Addresses of the scripts and style sheets.
    pub(crate) files: Files,
}

/// One of the pages in the head.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct NavItem {
    pub(crate) href: &'static str,
    pub(crate) text: &'static str,
    pub(crate) here: bool,
}

/// Addresses of files that every page names.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Files {
    pub(crate) tokens: &'static str,
    pub(crate) paper: &'static str,
    pub(crate) extra: &'static str,
    pub(crate) sign: &'static str,
    pub(crate) main_js: Option<&'static str>,
    pub(crate) fonts_css: Option<&'static str>,
}

impl Files {
    pub(crate) fn embedded() -> Self {
        Self {
            tokens: assets::url("tokens.css"),
            paper: assets::url("paper.css"),
            extra: assets::url("extra.css"),
            sign: assets::url("partpledge.svg"),
            main_js: assets::MAIN_JS,
            fonts_css: assets::FONTS_CSS,
        }
    }
}

impl Head {
    /// The head of the page at `here`, for `visitor`.
    pub(crate) fn new(session: &Session, visitor: &Visitor, here: &str) -> Self {
        let file = &session.terrain.file;
        let (place, looks_as, pages): (String, String, &[(&str, &str)]) = match visitor {
            Visitor::Nobody => (
                format!("{}, {}", file.name, file.league),
                "Nobody is chosen yet.".to_owned(),
                &[("/start", "Start"), ("/how", "How it works")],
            ),
            Visitor::Team(name) => (
                format!("{}, {}", file.name, file.league),
                format!("You look as {name}."),
                &[
                    ("/parts", "Your parts"),
                    ("/parts/send", "Send a part"),
                    ("/how", "How it works"),
                ],
            ),
            Visitor::Host(code) => {
                let school = file.school(code).map_or(code.as_str(), |s| s.name.as_str());
                (
                    format!("{school} bench"),
                    format!("You look as the bench of {school}."),
                    &[
                        ("/run-sheet", "Run sheet"),
                        ("/plates", "Plates"),
                        ("/spools", "Spools"),
                        ("/how", "How it works"),
                    ],
                )
            }
            Visitor::Coordinator => (
                format!("{}, coordinator", file.name),
                "You look as the coordinator.".to_owned(),
                &[
                    ("/region", "Region"),
                    ("/promises", "Promises"),
                    ("/plates", "Plates"),
                    ("/run-sheets", "Run sheets"),
                    ("/spools", "Spools"),
                    ("/shares", "Shares"),
                    ("/how", "How it works"),
                ],
            ),
        };
        let item = |&(href, text): &(&'static str, &'static str)| NavItem {
            href,
            text,
            here: href == here,
        };
        let zone = &session.terrain.zone;
        let now = Minute(session.now.0.div_euclid(60_000));
        Self {
            place,
            nav: pages.iter().map(item).collect(),
            looks_as,
            made: format!("{}, {}", zone.long_day(now), zone.clock(now)),
            live: None,
            files: Files::embedded(),
        }
    }

    /// The head of a page that keeps itself up to date.
    pub(crate) fn live(self, after: i64) -> Self {
        Self {
            live: Some(after),
            ..self
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn any_name_survives_the_cookie() {
        for name in ["Newt Works", "Å; b=c, \"d\" %41", "", "100%"] {
            let text = escape(name);
            assert_eq!(unescape(&text), name);
            assert!(!text.contains([' ', ';', ',', '"']), "{text}");
        }
    }
}
