//! Every line of the table of rights, asked for as every column.

use std::collections::BTreeMap;
use std::sync::Mutex;

use partpledge_records::{
    Backup, Deed, Held, MessageKind, MessageState, NewMessage, NewPasskey, RoleKind, SiteClosure,
    TokenKind,
};
use partpledge_units::ids::{IdSource, PersonId};
use partpledge_units::time::{EventMs, Minutes};
use partpledge_workshop::Actor;
use partpledge_workshop::bench::{Act, act, recall};
use partpledge_workshop::hooks::{self, Reach};
use partpledge_workshop::people::inviting::NewAdult;
use partpledge_workshop::people::{Asked, Signed};
use partpledge_workshop::recalls::{Target, recalls};
use partpledge_workshop::rights::{About, Answer, Asker, LINES, Line};
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;

use super::{COORDINATOR, NEWT, SILT, Served, cookie_in, leads_to, served, status};

const TEAM: &str = "Newt Works";

/// What addresses are filled in with: things of Newt Works, and of the bench of one plate.
struct Things {
    plate: u64,
    /// The printer that it is planned on.
    printer: String,
    /// A plate of the first part.
    first_plate: u64,
    bench: String,
    other_bench: String,
    /// A bench that no students run.
    not_hub: String,
    asset: String,
    adult: PersonId,
    /// Tokens for programs, by whom the demo is tried as.
    tokens: Mutex<BTreeMap<String, String>>,
    /// A calendar's token.
    feed: String,
}

/// The bench of the demo region that students run, and a team of its school.
const HUB: &str = "otterquay";
const TEAM_OF_HUB: &str = "Bogwheel";

/// As whom the demo is tried.
fn tried(asker: Asker, line: &Line, things: &Things) -> Option<String> {
    let (role, other) = match asker {
        Asker::Nobody => return None,
        Asker::Own(role) => (role, false),
        Asker::Other(role) => (role, true),
    };
    let hub = HUB.to_owned();
    let (team, bench) = if other && line.about == About::Hub {
        ("Silt Sisters", &things.not_hub)
    } else if other {
        ("Silt Sisters", &things.other_bench)
    } else if line.about == About::Hub {
        (TEAM_OF_HUB, &hub)
    } else {
        (TEAM, &things.bench)
    };
    Some(match role {
        RoleKind::Student => format!("student:{team}"),
        RoleKind::Mentor => format!("mentor:{team}"),
        RoleKind::Operator => format!("operator:{bench}"),
        RoleKind::Coordinator => "coordinator".to_owned(),
    })
}

async fn things(site: &Served) -> Things {
    site.send_bracket("send-0000001").await;
    site.send_bracket("send-0000002").await;
    let books = site.books().await;
    let second = books.numbered(2).unwrap().request.id;
    let kept = books.plates_of(second).next().unwrap();
    let first = books.numbered(1).unwrap().request.id;
    let first_plate = books.plates_of(first).next().unwrap().plate.seq.0;
    let place = *books.place(kept).unwrap();
    // Copies that are there to be recalled.
    let first_copies = books.plate(first_plate).unwrap().plate.copies;
    let machine = Actor::at_the_machine();
    for what in [
        Act::Start,
        Act::TakeOff {
            good: first_copies.into(),
        },
        Act::Box,
    ] {
        let session = site.session.at(site.session.now).await.unwrap();
        act(&session, &machine, first_plate, &what, None)
            .await
            .unwrap();
    }
    let terrain = &site.session.terrain;
    let school = terrain.host_at(place.printer, place.start).to_owned();
    let is_there = |code: &str| terrain.file.school(code).unwrap().name == school;
    let mut hosts: Vec<String> = terrain
        .file
        .hosts
        .iter()
        .map(|h| h.school.clone())
        .collect();
    hosts.sort_by_key(|code| !is_there(code));
    let form = "key=receive-0001&act=receive&material=PLA&colour=white&spools=1&net_g=1000";
    let told = format!("/spools/{}/do", hosts[0]);
    site.post(&told, COORDINATOR, form).await;
    let start = site.get("/start", "").await;
    let (_, asset) = start.split_once("href=\"/assets/").unwrap();
    let people = site.session.people(site.session.now).unwrap();
    let held = Held::new(RoleKind::Mentor, TEAM);
    let token = people
        .invite(&Actor::at_the_machine(), &held)
        .await
        .unwrap();
    let new = NewAdult {
        name: "Wren",
        email: "wren@example.org",
        password: "four words by the weir",
    };
    let token = people.accept(&token, &new, "").await.unwrap();
    let signed = people
        .signed_in(&token.token, Asked::BySomebody)
        .await
        .unwrap()
        .unwrap();
    let mut things = Things {
        feed: String::new(),
        tokens: Mutex::default(),
        plate: kept.plate.seq.0,
        printer: terrain.region.printers[place.printer.0].name.clone(),
        first_plate,
        bench: hosts[0].clone(),
        other_bench: hosts[1].clone(),
        not_hub: "dunmarrow".to_owned(),
        asset: asset.split('"').next().unwrap().to_owned(),
        adult: signed.person.id,
    };
    things.feed = site.token(NEWT, TokenKind::Feed).await;
    things
}

/// An address with the names that are the same for everybody.
fn named(path: &str) -> String {
    let path = path.replace("{team}", "Newt%20Works");
    path.replace("{table}", "teams")
}

/// The address of a line with its names filled in, for somebody with that cookie.
async fn filled(site: &Served, line: &Line, things: &Things, cookie: &str) -> String {
    let people = site.session.people(site.session.now).unwrap();
    let machine = Actor::at_the_machine();
    let mut path = named(line.path);
    if path.contains("/invited/") {
        let held = Held::new(RoleKind::Mentor, "Silt Sisters");
        let token = people.invite(&machine, &held).await.unwrap();
        path = path.replace("{token}", &token);
    } else if path.contains("/new-password/") {
        let (_, token) = people.reset_link(&machine, things.adult).await.unwrap();
        path = path.replace("{token}", &token);
    } else if path.contains("/account/tokens/") && !cookie.is_empty() {
        let form = "name=x&kind=api&days=9&role=".to_owned() + &role_of(site, cookie).await;
        site.post_with("/account/tokens", cookie, &form).await;
        let account = site.get_with("/account", cookie).await;
        let (_, rest) = account.split_once("/account/tokens/").unwrap();
        path = path.replace("{id}", rest.split('/').next().unwrap());
    } else if path.contains("/account/passkeys/{id}") && !cookie.is_empty() {
        path = path.replace("{id}", &a_passkey(site, cookie).await);
    } else if path.contains("/sign-ins/") && !cookie.is_empty() {
        // Two browsers more of the same person: the page lists those that it is not.
        let account = site.get_with("/account", cookie).await;
        let (_, rest) = account.split_once("/account/sign-ins/").unwrap();
        path = path.replace("{id}", rest.split('/').next().unwrap());
    } else if path.contains("/teams/") && path.contains("/codes/") {
        people.join_code(&machine, TEAM).await.unwrap();
        let codes = people.team(&machine, TEAM).await.unwrap().codes;
        path = path.replace("{id}", &codes[0].id.to_string());
    } else if path.contains("/people/codes/") {
        people
            .invite(&machine, &Held::new(RoleKind::Coordinator, ""))
            .await
            .unwrap();
        let found = people.everybody(&machine).await.unwrap().invitations;
        path = path.replace("{id}", &found[0].id.to_string());
    } else if path.contains("/recalls/{entry}") {
        path = path.replace("{entry}", &recalled(site).await.to_string());
    } else if path.contains("/{entry}/lift") {
        path = path.replace("{entry}", &closed(site).await.to_string());
    } else if path.starts_with("/told/") {
        let kinds = ["run.off"];
        let what = ("http://127.0.0.1:9/", &kinds[..]);
        let (id, _) = hooks::register(&site.session, &machine, what, Reach::Near)
            .await
            .unwrap();
        path = path.replace("{id}", &id.to_string());
    } else if path.starts_with("/outbox/") {
        path = path.replace("{id}", &given_up(site, things.adult).await);
    } else if path.starts_with("/teams/") {
        let students = people.team(&machine, TEAM).await.unwrap().students;
        path = path.replace("{id}", &students[0].id.to_string());
    }
    if line.about == About::Hub {
        path = path.replace("{code}", HUB).replace("{job}", "packer");
    }
    path.replace("{id}", &things.adult.to_string())
        .replace("{number}", "1")
        .replace("{seq}", &things.plate.to_string())
        .replace("{code}", &things.bench)
        .replace("{name}", &things.asset)
        .replace("{file}", &file(line, things))
        + &query(line, things)
}

fn file(line: &Line, things: &Things) -> String {
    if line.path.starts_with("/region/data/") {
        "teams.csv".to_owned()
    } else if line.path.starts_with("/calendar/") {
        format!("{}.ics", things.feed)
    } else if line.path.starts_with("/parts/") {
        "part-1.png".to_owned()
    } else {
        format!("plate-{}.3mf", things.plate)
    }
}

fn query(line: &Line, things: &Things) -> String {
    match line.path {
        "/run-sheets/{code}/trouble"
        | "/run-sheets/{code}/inspect"
        | "/run-sheets/{code}/box"
        | "/run-sheets/{code}/decline" => format!("?plate={}", things.plate),
        "/parts/{number}/box" => format!("?plate={}", things.first_plate),
        "/run-sheets/{code}/printer" if line.method == "GET" => {
            format!("?printer={}", things.printer.replace(' ', "+"))
        }
        _ => String::new(),
    }
}

/// A recall that is open, of the first part's copies: its number.
async fn recalled(site: &Served) -> i64 {
    let now = site.session.now;
    let session = site.session.at(now).await.unwrap();
    let machine = Actor::at_the_machine();
    let books = site.books().await;
    let seq = books.floor.steps[0].plate;
    let printer = books.floor.steps[0].printer.clone();
    let target = Target::Printer {
        name: printer,
        from: EventMs(now.0 - 60_000),
        until: EventMs(now.0 + 60_000),
    };
    // A walk through the lines before may have left one open.
    let _ = recall(&session, &machine, &target, None).await;
    let all = recalls(&site.books().await);
    let open = all.iter().find(|one| one.open());
    open.unwrap_or_else(|| panic!("no good copy of plate {seq}"))
        .entry
}

/// A closure to lift: its number.
async fn closed(site: &Served) -> i64 {
    let session = site.session.at(site.session.now).await.unwrap();
    let told = SiteClosure {
        schools: vec!["brindlemoor".to_owned()],
        from: session.minute(),
        until: session.minute() + Minutes(60),
        reason: "a test".to_owned(),
    };
    let machine = Actor::at_the_machine();
    partpledge_workshop::bench::close(&session, &machine, (&told, None), None)
        .await
        .unwrap();
    let after = session.at(session.now).await.unwrap();
    after.closures.last().unwrap().entry
}

/// The id of a message that was given up.
async fn given_up(site: &Served, person: PersonId) -> String {
    let (store, region) = site.session.store().unwrap();
    let now = site.session.now;
    let new = NewMessage {
        person,
        kind: MessageKind::Urgent,
        key: uuid_like(),
        subject: String::new(),
        body: String::new(),
    };
    let ids = &mut IdSource::Os;
    // Nobody is there any more once the walk has erased them: then there is no such message.
    let _ = store.add_message(region, (&new, &[]), ids, now).await;
    let all = store.messages(region, 200).await.unwrap();
    let Some(kept) = all.iter().find(|one| one.said.key == new.key) else {
        return new.key;
    };
    let over = (MessageState::Failed, "", now);
    store.message_waits(region, kept, over).await.unwrap();
    kept.id.to_string()
}

fn uuid_like() -> String {
    PersonId::fresh(&mut IdSource::Os, EventMs(0)).to_string()
}

/// Who is signed in with a cookie.
async fn signed(site: &Served, cookie: &str) -> Signed {
    let (_, token) = cookie.split_once('=').unwrap();
    let people = site.session.people(site.session.now).unwrap();
    let found = people.signed_in(token, Asked::BySomebody).await.unwrap();
    found.unwrap()
}

/// The id of a passkey of whoever is signed in with a cookie; a student has none.
async fn a_passkey(site: &Served, cookie: &str) -> String {
    let (store, region) = site.session.store().unwrap();
    let signed = signed(site, cookie).await;
    let new = NewPasskey {
        person: signed.person.id,
        made_in: signed.sign_in.id,
        credential: uuid_like(),
        public_key: String::new(),
        counter: 0,
        backup: Backup::Never,
        name: "a test".to_owned(),
    };
    let now = site.session.now;
    let deed = Deed {
        actor: signed.actor().reference(),
        occurred_at: now,
        received_at: now,
        idempotency_key: None,
    };
    let ids = &mut IdSource::Os;
    let made = store.add_passkey(region, &new, &deed, ids).await;
    made.map_or_else(|_| uuid_like(), |id| id.to_string())
}

/// The role that is worn with a cookie, as forms have it.
async fn role_of(site: &Served, cookie: &str) -> String {
    let held = signed(site, cookie).await.sign_in.held;
    let scope = held.scope.replace(' ', "+");
    match scope.as_str() {
        "" => held.kind.as_str().to_owned(),
        scope => format!("{}:{scope}", held.kind.as_str()),
    }
}

/// The token of somebody, made at first need: pages that are walked before erase people.
async fn token_of(site: &Served, things: &Things, who: &str) -> String {
    let known = things.tokens.lock().unwrap().get(who).cloned();
    if let Some(known) = known {
        return known;
    }
    let token = site.token(who, TokenKind::Api).await;
    let mut tokens = things.tokens.lock().unwrap();
    tokens.insert(who.to_owned(), token.clone());
    token
}

/// What a program asks, with a token of that kind of asker.
async fn by_token(
    site: &Served,
    line: &Line,
    things: &Things,
    (who, n): (Option<&str>, usize),
) -> String {
    let path = filled(site, line, things, "").await;
    let token = match who {
        Some(who) => format!(
            "\r\nAuthorization: Bearer {}",
            token_of(site, things, who).await
        ),
        None => String::new(),
    };
    let (kind, body) = match line.path {
        "/api/v1/parts"
        | "/api/v1/plates/{seq}/program"
        | "/api/v1/region/data/{table}"
        | "/api/v1/region/data/{table}/check" => (
            "multipart/form-data; boundary=sep",
            "--sep--\r\n".to_owned(),
        ),
        "/api/v1/hubs/{code}/present" => ("application/json", "{\"crew\": []}".to_owned()),
        "/api/v1/notices/seen" => ("application/json", "{\"upto\": 1}".to_owned()),
        "/api/v1/region/move" => (
            "application/json",
            "{\"number\": 1, \"plan_revision\": 1}".to_owned(),
        ),
        _ => (
            "application/json",
            format!("{{\"deed\": \"look\", \"plate\": {}}}", things.plate),
        ),
    };
    let head = format!(
        "{} {path} HTTP/1.1{token}\r\nContent-Type: {kind}\r\nIdempotency-Key: walk-{n:06}",
        line.method
    );
    head_of(site, &head, if line.method == "GET" { "" } else { &body }).await
}

/// The head of an answer; what comes behind it may have no end.
async fn head_of(site: &Served, head: &str, body: &str) -> String {
    let mut socket = TcpStream::connect(site.address).await.unwrap();
    let text = format!(
        "{head}\r\nHost: localhost\r\nConnection: close\r\nContent-Length: {}\r\n\r\n{body}",
        body.len()
    );
    socket.write_all(text.as_bytes()).await.unwrap();
    let (mut answer, mut chunk) = (Vec::new(), [0_u8; 4_096]);
    while !answer.windows(4).any(|four| four == b"\r\n\r\n") {
        let many = socket.read(&mut chunk).await.unwrap();
        assert!(many > 0, "{head}: {}", String::from_utf8_lossy(&answer));
        answer.extend(&chunk[..many]);
    }
    String::from_utf8_lossy(&answer).into_owned()
}

async fn asked(
    site: &Served,
    line: &Line,
    things: &Things,
    (who, n): (Option<&str>, usize),
) -> String {
    let cookie = match who {
        Some(who) => {
            site.fresh_cookie(who).await;
            site.fresh_cookie(who).await
        }
        None => String::new(),
    };
    let path = filled(site, line, things, &cookie).await;
    let files = line.path == "/plates/{seq}/program"
        || matches!(
            (line.method, line.path),
            ("POST", "/parts/send" | "/region/data")
        );
    let (kind, body) = if files {
        (
            "multipart/form-data; boundary=sep",
            "--sep--\r\n".to_owned(),
        )
    } else {
        let role = match line.path {
            "/people/{id}/end-role" => "mentor:Newt Works",
            _ => who.unwrap_or_default(),
        };
        let act = match line.path {
            "/spools/{code}/do" => "open",
            _ => "start",
        };
        let plate = if line.path.ends_with("{number}/box") {
            things.first_plate
        } else {
            things.plate
        };
        let form = format!(
            "key=walk-{n:06}&who=coordinator&role={role}&plate={plate}&act={act}&good=1&number=1&revision=1\
             &step=started&reason=x&out=yes&until_day=2027-03-01&until_clock=12%3A00"
        );
        let form = if line.path.ends_with("{code}/printer") {
            format!("{form}&use=out&printer={}", things.printer)
        } else {
            form
        };
        ("application/x-www-form-urlencoded", form.replace(' ', "+"))
    };
    let head = format!(
        "{} {path} HTTP/1.1\r\nCookie: {cookie}\r\nContent-Type: {kind}",
        line.method
    );
    head_of(site, &head, if line.method == "GET" { "" } else { &body }).await
}

fn is_for_programs(line: &Line) -> bool {
    line.path.starts_with("/api/v1/") && line.path != "/api/v1/openapi.json"
}

#[tokio::test(flavor = "multi_thread")]
async fn every_address_answers_everybody_as_the_table_says() {
    let site = served().await;
    let things = things(&site).await;
    site.fresh_cookie(NEWT).await;
    let (mut n, mut wrong) = (0, Vec::new());
    for line in LINES {
        for asker in Asker::ALL {
            n += 1;
            let who = tried(asker, line, &things);
            let program = is_for_programs(line);
            let answer = if program {
                by_token(&site, line, &things, (who.as_deref(), n)).await
            } else {
                asked(&site, line, &things, (who.as_deref(), n)).await
            };
            if program && !answer.starts_with("HTTP/1.1 2") {
                let problem = answer.contains("content-type: application/problem+json");
                assert!(problem, "{} {}: {answer}", line.method, line.path);
            }
            let said = (status(&answer), leads_to(&answer));
            // Out, or never in: both lead to the start.
            let to_start = matches!(line.path, "/" | "/sign-out");
            let right = match line.answer(asker) {
                Answer::Yes => {
                    let let_in = said != ("303", Some("/start")) || to_start;
                    let_in && !matches!(said.0, "401" | "403" | "404" | "405" | "500")
                }
                Answer::SignIn if program => said.0 == "401",
                Answer::SignIn => said == ("303", Some("/start")),
                Answer::No => said.0 == "403",
                Answer::NotThere => said.0 == "404",
            };
            if !right {
                wrong.push(format!(
                    "{} {} as {asker:?}: {said:?}",
                    line.method, line.path
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(n > 700, "{n} were asked");
}

#[tokio::test(flavor = "multi_thread")]
async fn another_teams_thing_answers_word_for_word_like_one_that_is_not_there() {
    let site = served().await;
    site.send_bracket("send-0000001").await;
    let team = LINES
        .iter()
        .filter(|line| line.about == About::Team && line.method == "GET");
    let numbered = |line: &&Line| line.path.contains("{number}") && !is_for_programs(line);
    for line in team.filter(numbered) {
        let file = line.path.replace("{file}", "part-1.png");
        let there = site.get(&file.replace("{number}", "1"), SILT).await;
        let nowhere = site.get(&file.replace("{number}", "999"), SILT).await;
        assert_eq!(status(&there), "404", "{file}");
        assert_eq!(body(&there), body(&nowhere), "{file}");
    }
    let lead = "mentor:Silt Sisters";
    let theirs = site.get("/teams/Newt%20Works", lead).await;
    let nowhere = site.get("/teams/No%20such%20team", lead).await;
    assert_eq!((status(&theirs), body(&theirs)), ("404", body(&nowhere)));
}

fn body(answer: &str) -> &str {
    answer.split_once("\r\n\r\n").unwrap().1
}

#[tokio::test(flavor = "multi_thread")]
async fn methods_and_cookies_that_are_not_ours_get_nowhere() {
    let site = served().await;
    let cookie = site.cookie(NEWT).await;
    let head = format!("DELETE /parts HTTP/1.1\r\nCookie: {cookie}");
    assert_eq!(status(&head_of(&site, &head, "").await), "405");
    for cookie in [
        "partpledge_here=x",
        "partpledge_here=",
        &"0".repeat(64),
        "look_as=coordinator",
    ] {
        let answer = site.get_with("/parts", cookie).await;
        assert_eq!(leads_to(&answer), Some("/start"), "{cookie}");
    }
    assert!(
        cookie_in(&site.get("/parts", NEWT).await).is_none(),
        "set once"
    );
}
