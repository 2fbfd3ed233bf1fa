//! The table: every address of the server, and what it answers to whom.
//!
//! The server refuses what has no line here, and a web test walks every line as every asker.

use std::fmt::Write as _;

use partpledge_records::RoleKind;

use RoleKind::{Coordinator, Mentor, Operator, Student};

/// Whose thing an address is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum About {
    /// Nobody's in particular, or one's own.
    Page,
    /// A team's: to other teams it is not there, so that numbers and ids can't be probed.
    Team,
    /// A host's bench. Hosts are known to all, so others are told that it is not theirs.
    Bench,
    /// A bench that students run: the adults of its school are those who work there and mentors of its
    /// teams.
    Hub,
}

/// Who is let in at all.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Whom {
    /// Signed in or not.
    Anybody,
    /// Whoever is signed in.
    SignedIn,
    /// Only while one of these roles is worn.
    Only(&'static [RoleKind]),
}

/// One line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Line {
    /// `GET` or `POST`.
    pub method: &'static str,
    /// The address, with names for what varies.
    pub path: &'static str,
    /// Whose thing it is about.
    pub about: About,
    /// Who is let in.
    pub whom: Whom,
}

/// Who asks, as the columns of the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asker {
    /// Not signed in.
    Nobody,
    /// In that role, at the team or host that the address is about.
    Own(RoleKind),
    /// In that role, at another team or host.
    Other(RoleKind),
}

impl Asker {
    /// All columns.
    pub const ALL: [Self; 8] = [
        Self::Nobody,
        Self::Own(Student),
        Self::Other(Student),
        Self::Own(Mentor),
        Self::Other(Mentor),
        Self::Own(Operator),
        Self::Other(Operator),
        Self::Own(Coordinator),
    ];
}

/// What an asker gets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// It is done or shown.
    Yes,
    /// They are led to sign in.
    SignIn,
    /// They are told that it is not for them (403).
    No,
    /// They are told that there is no such thing (404).
    NotThere,
}

impl Line {
    /// Whether a role is let in, as far as that goes without looking whose thing it is.
    #[must_use]
    pub fn admits(&self, role: Option<RoleKind>) -> Answer {
        match (self.whom, role) {
            (Whom::Anybody, _) | (Whom::SignedIn, Some(_)) => Answer::Yes,
            (_, None) => Answer::SignIn,
            (Whom::Only(roles), Some(role)) if roles.contains(&role) => Answer::Yes,
            _ => Answer::No,
        }
    }

    /// What an asker gets.
    #[must_use]
    pub fn answer(&self, asker: Asker) -> Answer {
        let (role, other) = match asker {
            Asker::Nobody => (None, false),
            Asker::Own(role) => (Some(role), false),
            Asker::Other(role) => (Some(role), true),
        };
        match (self.admits(role), self.about, role) {
            (Answer::Yes, About::Team, Some(Student | Mentor)) if other => Answer::NotThere,
            (Answer::Yes, About::Bench | About::Hub, Some(Operator))
            | (Answer::Yes, About::Hub, Some(Mentor))
                if other =>
            {
                Answer::No
            }
            (answer, ..) => answer,
        }
    }
}

const fn on(method: &'static str, path: &'static str, about: About, whom: Whom) -> Line {
    Line {
        method,
        path,
        about,
        whom,
    }
}

const fn open(method: &'static str, path: &'static str) -> Line {
    on(method, path, About::Page, Whom::Anybody)
}

const fn signed_in(method: &'static str, path: &'static str) -> Line {
    on(method, path, About::Page, Whom::SignedIn)
}

const fn only(method: &'static str, path: &'static str, who: &'static [RoleKind]) -> Line {
    on(method, path, About::Page, Whom::Only(who))
}

/// A part of a team.
const fn part(path: &'static str) -> Line {
    const WHO: Whom = Whom::Only(&[Student, Mentor, Operator, Coordinator]);
    on("GET", path, About::Team, WHO)
}

/// What a team does with its part.
const fn deed(method: &'static str, path: &'static str) -> Line {
    on(method, path, About::Team, Whom::Only(TEAM))
}

/// A team's people.
const fn lead(method: &'static str, path: &'static str) -> Line {
    on(
        method,
        path,
        About::Team,
        Whom::Only(&[Mentor, Coordinator]),
    )
}

/// A host's bench.
const fn bench(method: &'static str, path: &'static str) -> Line {
    on(method, path, About::Bench, Whom::Only(FLOOR))
}

/// A bench that students run, for the adults of its school.
const fn hub(method: &'static str, path: &'static str) -> Line {
    on(method, path, About::Hub, Whom::Only(ADULTS))
}

const TEAM: &[RoleKind] = &[Student, Mentor];
const FLOOR: &[RoleKind] = &[Operator, Coordinator];
const ADULTS: &[RoleKind] = &[Mentor, Operator, Coordinator];
const RUNS: &[RoleKind] = &[Coordinator];

/// Every address there is.
pub const LINES: &[Line] = &[
    open("GET", "/"),
    open("GET", "/start"),
    open("GET", "/how"),
    open("GET", "/api"),
    open("GET", "/calendar/{file}"),
    open("GET", "/api/v1/openapi.json"),
    open("GET", "/assets/{name}"),
    open("GET", "/worker.js"),
    open("GET", "/sign-in"),
    open("POST", "/sign-in"),
    open("POST", "/sign-in/passkey/ask"),
    open("POST", "/sign-in/passkey"),
    open("GET", "/join"),
    open("POST", "/join"),
    open("GET", "/come-back"),
    open("POST", "/come-back"),
    open("GET", "/invited/{token}"),
    open("POST", "/invited/{token}"),
    open("GET", "/new-password/{token}"),
    open("POST", "/new-password/{token}"),
    open("POST", "/try-as"),
    open("POST", "/tongue"),
    signed_in("POST", "/sign-out"),
    signed_in("POST", "/wear"),
    signed_in("GET", "/account"),
    only("POST", "/account/password", ADULTS),
    only("POST", "/account/passkeys/ask", ADULTS),
    only("POST", "/account/passkeys", ADULTS),
    only("POST", "/account/passkeys/{id}/remove", ADULTS),
    only("POST", "/account/mail", ADULTS),
    signed_in("POST", "/account/sign-ins/{id}/end"),
    signed_in("POST", "/account/tokens"),
    signed_in("POST", "/account/tokens/{id}/stop"),
    signed_in("GET", "/account/export.json"),
    signed_in("GET", "/account/leave"),
    signed_in("POST", "/account/leave"),
    signed_in("GET", "/live"),
    signed_in("GET", "/notices"),
    signed_in("POST", "/notices/seen"),
    only("GET", "/outbox", RUNS),
    only("POST", "/outbox/{id}/again", RUNS),
    signed_in("GET", "/shares"),
    signed_in("GET", "/season"),
    signed_in("GET", "/season.csv"),
    only("GET", "/parts", TEAM),
    only("GET", "/parts/send", TEAM),
    only("POST", "/parts/send", TEAM),
    part("/parts/{number}"),
    part("/parts/{number}/turn"),
    part("/parts/{number}/layer"),
    part("/parts/{number}/layer.svg"),
    part("/parts/{number}/{file}"),
    deed("POST", "/parts/{number}/take"),
    deed("GET", "/parts/{number}/otherwise"),
    deed("POST", "/parts/{number}/otherwise"),
    deed("GET", "/parts/{number}/spare"),
    deed("POST", "/parts/{number}/spare"),
    deed("GET", "/parts/{number}/withdraw"),
    deed("POST", "/parts/{number}/withdraw"),
    deed("POST", "/parts/{number}/unit"),
    deed("POST", "/parts/{number}/came"),
    deed("GET", "/parts/{number}/appeal"),
    deed("POST", "/parts/{number}/appeal"),
    deed("POST", "/parts/{number}/again"),
    deed("POST", "/parts/{number}/recall"),
    deed("POST", "/parts/{number}/wrong-unit"),
    deed("GET", "/parts/{number}/box"),
    deed("POST", "/parts/{number}/box"),
    signed_in("GET", "/report"),
    signed_in("POST", "/report"),
    lead("GET", "/teams/{team}"),
    lead("POST", "/teams/{team}/join-code"),
    lead("POST", "/teams/{team}/codes/{id}/stop"),
    lead("POST", "/teams/{team}/invite"),
    lead("POST", "/teams/{team}/people/{id}/return-code"),
    lead("GET", "/teams/{team}/people/{id}/remove"),
    lead("POST", "/teams/{team}/people/{id}/remove"),
    lead("GET", "/teams/{team}/export.json"),
    lead("GET", "/teams/{team}/erase"),
    lead("POST", "/teams/{team}/erase"),
    only("GET", "/run-sheet", FLOOR),
    only("GET", "/run-sheets", RUNS),
    bench("GET", "/run-sheets/{code}"),
    bench("POST", "/run-sheets/{code}/do"),
    bench("POST", "/run-sheets/{code}/undo"),
    bench("GET", "/run-sheets/{code}/trouble"),
    on(
        "POST",
        "/run-sheets/{code}/here",
        About::Hub,
        Whom::Only(FLOOR),
    ),
    bench("GET", "/run-sheets/{code}/boxes"),
    only("GET", "/boxes", RUNS),
    part("/boxes/{seq}"),
    bench("GET", "/run-sheets/{code}/box"),
    bench("POST", "/run-sheets/{code}/box"),
    bench("GET", "/run-sheets/{code}/inspect"),
    bench("POST", "/run-sheets/{code}/trouble"),
    bench("GET", "/run-sheets/{code}/printer"),
    bench("POST", "/run-sheets/{code}/printer"),
    hub("GET", "/hubs/{code}"),
    hub("POST", "/hubs/{code}/do"),
    hub("GET", "/hubs/{code}/cards/{job}"),
    hub("GET", "/hubs/{code}/figures"),
    only("GET", "/spools", FLOOR),
    bench("GET", "/spools/{code}"),
    bench("POST", "/spools/{code}/do"),
    bench("GET", "/spool/{number}"),
    bench("GET", "/run-sheets/{code}/decline"),
    bench("POST", "/run-sheets/{code}/decline"),
    only("GET", "/plates", FLOOR),
    only("GET", "/plates/{seq}", FLOOR),
    only("GET", "/plates/{seq}/{file}", FLOOR),
    bench("POST", "/plates/{seq}/program"),
    only("GET", "/promises", RUNS),
    only("GET", "/recalls", RUNS),
    only("POST", "/recalls", RUNS),
    only("GET", "/recalls/{entry}", RUNS),
    only("POST", "/recalls/{entry}/lift", RUNS),
    only("GET", "/region", RUNS),
    only("GET", "/region/if", RUNS),
    only("POST", "/region/move", RUNS),
    only("GET", "/region/calendar", RUNS),
    only("GET", "/region/data", RUNS),
    only("POST", "/region/data", RUNS),
    only("POST", "/region/data/do", RUNS),
    only("GET", "/region/data/{file}", RUNS),
    only("GET", "/region/closed", RUNS),
    only("POST", "/region/closed", RUNS),
    only("GET", "/region/closed/{entry}/lift", RUNS),
    only("POST", "/region/closed/{entry}/lift", RUNS),
    only("GET", "/people", RUNS),
    only("GET", "/told", RUNS),
    only("POST", "/told", RUNS),
    only("POST", "/told/{id}/stop", RUNS),
    only("POST", "/people/invite", RUNS),
    only("POST", "/people/stand-in", RUNS),
    only("POST", "/people/codes/{id}/stop", RUNS),
    only("POST", "/people/{id}/reset", RUNS),
    only("POST", "/people/{id}/end-role", RUNS),
    only("GET", "/people/{id}/export.json", RUNS),
    only("GET", "/people/{id}/erase", RUNS),
    only("POST", "/people/{id}/erase", RUNS),
    signed_in("GET", "/api/v1/me"),
    signed_in("GET", "/api/v1/places"),
    signed_in("GET", "/api/v1/notices"),
    signed_in("POST", "/api/v1/notices/seen"),
    only("GET", "/api/v1/parts", TEAM),
    only("POST", "/api/v1/parts", TEAM),
    part("/api/v1/parts/{number}"),
    deed("GET", "/api/v1/parts/{number}/offer"),
    deed("POST", "/api/v1/parts/{number}/take"),
    deed("GET", "/api/v1/parts/{number}/otherwise"),
    deed("POST", "/api/v1/parts/{number}/otherwise"),
    deed("GET", "/api/v1/parts/{number}/spare"),
    deed("POST", "/api/v1/parts/{number}/spare"),
    deed("POST", "/api/v1/parts/{number}/withdraw"),
    deed("POST", "/api/v1/parts/{number}/came"),
    deed("POST", "/api/v1/parts/{number}/box"),
    deed("POST", "/api/v1/parts/{number}/recall"),
    deed("POST", "/api/v1/parts/{number}/wrong-unit"),
    bench("GET", "/api/v1/run-sheets/{code}"),
    bench("POST", "/api/v1/run-sheets/{code}/deeds"),
    bench("GET", "/api/v1/run-sheets/{code}/boxes"),
    hub("GET", "/api/v1/hubs/{code}"),
    on(
        "POST",
        "/api/v1/hubs/{code}/present",
        About::Hub,
        Whom::Only(FLOOR),
    ),
    hub("GET", "/api/v1/hubs/{code}/figures"),
    only("GET", "/api/v1/plates", FLOOR),
    only("GET", "/api/v1/plates/{seq}", FLOOR),
    only("GET", "/api/v1/plates/{seq}/plate.3mf", FLOOR),
    bench("POST", "/api/v1/plates/{seq}/program"),
    only("GET", "/api/v1/region/promises", RUNS),
    only("GET", "/api/v1/region/risks", RUNS),
    only("GET", "/api/v1/region/plan", RUNS),
    only("GET", "/api/v1/region/capacity", RUNS),
    only("GET", "/api/v1/region/outages", RUNS),
    only("POST", "/api/v1/region/outages", RUNS),
    only("POST", "/api/v1/region/outages/end", RUNS),
    only("GET", "/api/v1/region/closures", RUNS),
    only("POST", "/api/v1/region/closures/if", RUNS),
    only("POST", "/api/v1/region/closures", RUNS),
    only("POST", "/api/v1/region/closures/{entry}/lift", RUNS),
    only("GET", "/api/v1/region/data/{table}", RUNS),
    only("POST", "/api/v1/region/data/{table}/check", RUNS),
    only("POST", "/api/v1/region/data/{table}", RUNS),
    only("GET", "/api/v1/region/calendar", RUNS),
    signed_in("GET", "/api/v1/region/season"),
    only("POST", "/api/v1/region/if", RUNS),
    only("POST", "/api/v1/region/move", RUNS),
    only("GET", "/api/v1/region/boxes", RUNS),
    only("POST", "/api/v1/region/boxes", RUNS),
    only("GET", "/api/v1/region/recalls", RUNS),
    only("POST", "/api/v1/region/recalls/if", RUNS),
    only("POST", "/api/v1/region/recalls", RUNS),
    only("POST", "/api/v1/region/recalls/{entry}/lift", RUNS),
    only("GET", "/review", RUNS),
    only("GET", "/review/{number}", RUNS),
    only("POST", "/review/{number}/pass", RUNS),
    only("POST", "/review/{number}/refuse", RUNS),
    only("POST", "/review/{number}/hold", RUNS),
    only("POST", "/review/{number}/keep", RUNS),
    only("POST", "/review/{number}/down", RUNS),
    only("POST", "/review/{number}/box", RUNS),
];

/// The line of an address; `HEAD` is asked like `GET`.
#[must_use]
pub fn line(method: &str, path: &str) -> Option<&'static Line> {
    let method = if method == "HEAD" { "GET" } else { method };
    LINES
        .iter()
        .find(|line| line.method == method && line.path == path)
}

/// The table as `docs/access.md` has it.
#[must_use]
pub fn as_markdown() -> String {
    let mut out = String::from(HEAD);
    for line in LINES {
        let _ = write!(out, "| {} `{}` |", line.method, line.path);
        for asker in Asker::ALL {
            let cell = match line.answer(asker) {
                Answer::Yes => "yes",
                Answer::SignIn => "sign in",
                Answer::No => "no",
                Answer::NotThere => "not there",
            };
            let _ = write!(out, " {cell} |");
        }
        out.push('\n');
    }
    out
}

const HEAD: &str = "\
# Who may ask for what

Made from the table in `crates/workshop/src/rights/table.rs`; a test fails when the two differ
(`PARTPLEDGE_WRITE_DOCS=1 cargo test -p partpledge-workshop --test workshop access` writes it anew). The
server lets nobody in by an address that has no line, and a web test asks for every line as every
column.

- **yes**: done or shown. **sign in**: led to the page to sign in. **no**: told that it is not for
  them (403). **not there**: the same answer as for a thing that does not exist (404), so that
  numbers and ids of other teams can't be probed.
- *own* is the team or host that the address is about, *other* is another one. Where an address is
  about no team and no host, both are the same.
- One role is worn at a time. Whoever holds several changes over on their account page.
- `/try-as` answers only on the demo region, and only when no other machine can reach the server.
- `/account/sign-ins/{id}/end` finds only one's own sign-ins, `/account/tokens/{id}/stop` only one's
  own tokens, `/account/passkeys/{id}/remove` only one's own passkeys; others are not there. What adds
  a passkey takes the password as well.
- `/calendar/{file}` asks for no session: the file's name is a token for a calendar, and shows what
  its role may see.
- Under `/api/v1` a program asks with a token for one role; *sign in* is 401 there.
- `/hubs/…` and `/run-sheets/{code}/here` are there only where students run the bench; *own* mentors
  are those of teams of its school. What an adult says there takes their password as well.
- `/report` answers the same whether there is such a part or not.
- What was taken down has no files for anybody but the coordinator: they are not there.

| | nobody | student, own | student, other | mentor, own | mentor, other | operator, own | operator, other | coordinator |
|---|---|---|---|---|---|---|---|---|
";
