//! Who is looking: whoever is signed in in this browser, in the role that they wear.

use std::sync::Arc;

use axum::extract::FromRequestParts;
use axum::http::request::Parts;
use partpledge_records::{Held, RoleKind};
use partpledge_units::time::Minute;
use partpledge_words::{Said, Tongue, said, say};
use partpledge_workshop::people::Signed;
use partpledge_workshop::people::passkeys::Here;
use partpledge_workshop::{Actor, Role, Session};

use crate::assets;

/// Somebody looking.
#[derive(Clone, Debug)]
pub(crate) struct Visitor {
    signed: Option<Arc<Signed>>,
    role: Role,
    /// Notices that they have not seen, in the role that they wear.
    unseen: usize,
    /// What waits for the coordinator's word, if that is who looks.
    waiting: usize,
    /// The server as their browser knows it, where there can be passkeys.
    here: Option<Here>,
}

impl Visitor {
    /// Not signed in.
    pub(crate) fn nobody() -> Self {
        Self {
            signed: None,
            role: Role::Nobody,
            unseen: 0,
            waiting: 0,
            here: None,
        }
    }

    /// Signed in.
    pub(crate) fn known(signed: Signed) -> Self {
        Self {
            role: Role::of(&signed.sign_in.held),
            signed: Some(Arc::new(signed)),
            unseen: 0,
            waiting: 0,
            here: None,
        }
    }

    /// With so many decisions that wait for them.
    pub(crate) fn with_waiting(self, waiting: usize) -> Self {
        Self { waiting, ..self }
    }

    /// With so many notices that they have not seen.
    pub(crate) fn with_unseen(self, unseen: usize) -> Self {
        Self { unseen, ..self }
    }

    /// Asking for the server by that address.
    pub(crate) fn at(self, here: Option<Here>) -> Self {
        Self { here, ..self }
    }

    /// The server as their browser knows it, where there can be passkeys.
    pub(crate) fn here(&self) -> Option<&Here> {
        self.here.as_ref()
    }

    /// What they do.
    pub(crate) fn role(&self) -> &Role {
        &self.role
    }

    /// Which kind of role is worn, if they are signed in.
    pub(crate) fn kind(&self) -> Option<RoleKind> {
        self.signed.as_ref().map(|signed| signed.sign_in.held.kind)
    }

    /// Who it is.
    pub(crate) fn signed(&self) -> Option<&Signed> {
        self.signed.as_deref()
    }

    /// Whether the region's pages are theirs.
    pub(crate) fn coordinates(&self) -> bool {
        self.role == Role::Coordinator
    }

    /// The first page for them.
    pub(crate) fn home(&self) -> &'static str {
        home(self.kind())
    }

    /// Who acts, for the workshop.
    pub(crate) fn actor(&self) -> Actor {
        match &self.signed {
            Some(signed) => signed.actor(),
            None => Actor::new(Role::Nobody),
        }
    }

    /// The team whose pages these are, if they are a team's.
    pub(crate) fn team(&self) -> Option<&str> {
        self.role.team()
    }
}

/// The first page for a role.
pub(crate) fn home(kind: Option<RoleKind>) -> &'static str {
    match kind {
        None => "/start",
        Some(RoleKind::Student | RoleKind::Mentor) => "/parts",
        Some(RoleKind::Operator) => "/run-sheet",
        Some(RoleKind::Coordinator) => "/region",
    }
}

/// The guard has found out who it is, and put it with the request.
impl<S: Sync> FromRequestParts<S> for Visitor {
    type Rejection = std::convert::Infallible;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Self::Rejection> {
        let found = parts.extensions.get::<Self>();
        Ok(found.cloned().unwrap_or_else(Self::nobody))
    }
}

/// A role in words: `student of Newt Works`.
pub(crate) fn role_words(session: &Session, held: &Held) -> String {
    let file = &session.terrain.file;
    let school = |code: &str| {
        file.school(code)
            .map_or_else(|| code.to_owned(), |school| school.name.clone())
    };
    match held.kind {
        RoleKind::Student => say!("head-student-of", team = &held.scope),
        RoleKind::Mentor => say!("head-mentor-of", team = &held.scope),
        RoleKind::Operator => say!("head-at-bench-of", school = school(&held.scope)),
        RoleKind::Coordinator => say!("head-coordinator"),
    }
}

/// A role as forms have it: `mentor:Newt Works`.
pub(crate) fn role_value(held: &Held) -> String {
    match held.scope.as_str() {
        "" => held.kind.as_str().to_owned(),
        scope => format!("{}:{scope}", held.kind.as_str()),
    }
}

/// Percent-encodes a text for a step of a path or for a query (RFC 3986, 2.1).
pub(crate) fn escape(text: &str) -> String {
    let one = |byte: u8| {
        let plain = byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_' | b'.');
        if plain {
            char::from(byte).to_string()
        } else {
            format!("%{byte:02X}")
        }
    };
    text.bytes().map(one).collect()
}

/// The pages about a team's people.
pub(crate) fn team_path(team: &str) -> String {
    format!("/teams/{}", escape(team))
}

/// What the head and the foot of every page say.
#[derive(Clone, Debug)]
pub(crate) struct Head {
    /// Beside the name: the region and who is looking.
    pub(crate) place: String,
    /// Pages for them.
    pub(crate) nav: Vec<NavItem>,
    /// The page of their notices, with how many they have not seen, if they are signed in.
    pub(crate) notices: Option<NoticesItem>,
    /// `You are Otter, student of Newt Works.`
    pub(crate) looks_as: String,
    /// Whether somebody is signed in, nobody is, or the page does not say.
    pub(crate) signed_in: Option<bool>,
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
    pub(crate) href: String,
    pub(crate) text: String,
    pub(crate) here: bool,
    /// How much waits there.
    pub(crate) waiting: usize,
}

/// The way to one's notices, in the head.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct NoticesItem {
    /// How many were not seen.
    pub(crate) many: usize,
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

/// Which pages a role has in its head.
fn pages(session: &Session, role: &Role) -> Vec<(String, String)> {
    let fixed: &[(&str, Said)] = match role {
        Role::Team(_) | Role::Mentor(_) => &[
            ("/parts", said!("head-your-parts")),
            ("/parts/send", said!("head-send")),
        ],
        Role::Host(_) => &[
            ("/run-sheet", said!("head-run-sheet")),
            ("/plates", said!("head-plates")),
            ("/spools", said!("head-spools")),
        ],
        Role::Coordinator => &[
            ("/region", said!("head-region")),
            ("/review", said!("head-review")),
            ("/promises", said!("head-promises")),
            ("/plates", said!("head-plates")),
            ("/run-sheets", said!("head-run-sheets")),
            ("/spools", said!("head-spools")),
            ("/shares", said!("head-shares")),
            ("/people", said!("head-people")),
        ],
        Role::Nobody | Role::Machine | Role::Clock | Role::Printer(_) => {
            &[("/start", said!("head-start"))]
        }
    };
    let mut all: Vec<(String, String)> = (fixed.iter())
        .map(|(href, text)| ((*href).to_owned(), text.to_string()))
        .collect();
    if let Role::Mentor(team) = role {
        all.push((team_path(team), say!("head-your-team")));
    }
    if let Some(path) = crate::routes::hub::crew_path(session, role) {
        all.push((path, say!("head-crew")));
    }
    all.push(("/how".to_owned(), say!("head-how")));
    all
}

impl Head {
    /// The head of the page at `here`, for `visitor`.
    pub(crate) fn new(session: &Session, visitor: &Visitor, here: &str) -> Self {
        let file = &session.terrain.file;
        let place = match visitor.role() {
            Role::Host(code) => {
                let school = file.school(code).map_or(code.as_str(), |s| s.name.as_str());
                say!("head-bench-of", school = school)
            }
            Role::Coordinator => say!("head-coordinator-of", region = &file.name),
            _ => format!("{}, {}", file.name, file.league),
        };
        let looks_as = match visitor.signed() {
            Some(signed) => say!(
                "head-you-are",
                name = &signed.person.name,
                role = role_words(session, &signed.sign_in.held)
            ),
            None => say!("head-not-signed-in"),
        };
        let item = |(href, text): (String, String)| NavItem {
            here: href == here,
            waiting: if href == "/review" {
                visitor.waiting
            } else {
                0
            },
            href,
            text,
        };
        let zone = &session.terrain.zone;
        let now = Minute::at_or_before(session.now);
        Self {
            place,
            nav: pages(session, visitor.role())
                .into_iter()
                .map(item)
                .collect(),
            notices: visitor.signed().map(|_| NoticesItem {
                many: visitor.unseen,
                here: here == "/notices",
            }),
            looks_as,
            signed_in: Some(visitor.signed().is_some()),
            made: say!(
                "head-made",
                day = zone.long_day(now),
                time = zone.clock(now)
            ),
            live: None,
            files: Files::embedded(),
        }
    }

    /// The tongue that is spoken, as a tag.
    pub(crate) fn tongue() -> &'static str {
        Tongue::spoken().tag()
    }

    /// The tongues that can be chosen instead.
    pub(crate) fn other_tongues() -> Vec<Tongue> {
        let all = Tongue::ALL.into_iter();
        all.filter(|one| *one != Tongue::spoken()).collect()
    }

    /// The head of a page of trouble, which does not know who is looking.
    pub(crate) fn unsaid(session: &Session) -> Self {
        Self {
            looks_as: String::new(),
            signed_in: None,
            ..Self::new(session, &Visitor::nobody(), "")
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
    fn a_team_of_any_name_has_an_address() {
        assert_eq!(team_path("Newt Works"), "/teams/Newt%20Works");
        assert_eq!(team_path("Å/;?#%"), "/teams/%C3%85%2F%3B%3F%23%25");
    }
}
