//! Every route over a real socket: status, kind, headers, who may see what, and what forms do.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

#[path = "routes/access.rs"]
mod access;
#[path = "routes/api.rs"]
mod api;
#[path = "routes/bench.rs"]
mod bench;
#[path = "routes/boxes.rs"]
mod boxes;
#[path = "routes/found.rs"]
mod found;
#[path = "routes/ground.rs"]
mod ground;
#[path = "routes/hooks.rs"]
mod hooks;
#[path = "routes/hubs.rs"]
mod hubs;
#[path = "routes/machines.rs"]
mod machines;
#[path = "routes/measuring.rs"]
mod measuring;
#[path = "routes/notices.rs"]
mod notices;
#[path = "routes/pages.rs"]
mod pages;
#[path = "routes/parts.rs"]
mod parts;
#[path = "routes/passkeys.rs"]
mod passkeys;
#[path = "routes/people.rs"]
mod people;
#[path = "routes/printers.rs"]
mod printers;
#[path = "routes/programs.rs"]
mod programs;
#[path = "routes/recalls.rs"]
mod recalls;
#[path = "routes/review.rs"]
mod review;
#[path = "routes/sharing.rs"]
mod sharing;
#[path = "routes/spares.rs"]
mod spares;
#[path = "routes/spools.rs"]
mod spools;
#[path = "routes/tongues.rs"]
mod tongues;

use std::collections::BTreeMap;
use std::net::SocketAddr;
use std::sync::{Arc, Mutex};

use partpledge_planning_model::Assignment;
use partpledge_records::TokenKind;
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::FixedClock;
use partpledge_web::{Site, bind, serve};
use partpledge_workshop::people::Asked;
use partpledge_workshop::{Books, Session};
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;

/// A server on a free port of loopback, over the demo region with nothing planned.
struct Served {
    address: SocketAddr,
    site: Site,
    session: Session,
    /// Cookies of whom a test has been.
    cookies: Mutex<BTreeMap<String, String>>,
    _dir: tempfile::TempDir,
}

async fn served() -> Served {
    served_as(Site::to_try).await
}

/// The same, set up by `set_up`.
async fn served_as(set_up: impl FnOnce(Site) -> Site) -> Served {
    served_in(partpledge_testbed::ambrel_valley(), set_up).await
}

/// The same over another region.
async fn served_in(region: &str, set_up: impl FnOnce(Site) -> Site) -> Served {
    served_at("2027-03-09T10:02:00+01:00", region, set_up).await
}

/// The same at another time.
async fn served_at(now: &str, region: &str, set_up: impl FnOnce(Site) -> Site) -> Served {
    let dir = tempfile::tempdir().unwrap();
    let now = parse_rfc3339(now).unwrap();
    let data = dir.path().join("data");
    let session = Session::open(&data, region, now).await.unwrap();
    let own = Session::open(&data, region, now).await.unwrap();
    let site = Site::new(session, Arc::new(FixedClock(now))).unwrap();
    let site = set_up(site);
    let listener = bind(0).await.unwrap();
    let address = listener.local_addr().unwrap();
    tokio::spawn(serve(listener, site.clone(), std::future::pending()));
    Served {
        address,
        site,
        session: own,
        cookies: Mutex::default(),
        _dir: dir,
    }
}

/// Whom the demo is tried as; nobody is `""`.
const NEWT: &str = "student:Newt Works";
const SILT: &str = "student:Silt Sisters";
const BENCH: &str = "operator:brindlemoor";
const OTHER_BENCH: &str = "operator:dunmarrow";
const COORDINATOR: &str = "coordinator";

impl Served {
    /// The whole answer, head and body, as bytes.
    async fn ask(&self, head: &str, body: &[u8]) -> Vec<u8> {
        let mut socket = TcpStream::connect(self.address).await.unwrap();
        let head = format!(
            "{head}\r\nConnection: close\r\nContent-Length: {}\r\n\r\n",
            body.len()
        );
        socket.write_all(head.as_bytes()).await.unwrap();
        // A server that has heard enough may hang up before all is sent.
        let _ = socket.write_all(body).await;
        let mut answer = Vec::new();
        let _ = socket.read_to_end(&mut answer).await;
        answer
    }

    /// The cookie of somebody whom the demo is tried as, signed in at first need.
    async fn cookie(&self, who: &str) -> String {
        if who.is_empty() {
            return String::new();
        }
        if let Some(known) = self.cookies.lock().unwrap().get(who) {
            return known.clone();
        }
        let cookie = self.fresh_cookie(who).await;
        let mut known = self.cookies.lock().unwrap();
        known.entry(who.to_owned()).or_insert(cookie).clone()
    }

    async fn fresh_cookie(&self, who: &str) -> String {
        let head = "POST /try-as HTTP/1.1\r\nHost: localhost\r\n\
                    Content-Type: application/x-www-form-urlencoded";
        let form = format!("who={}", who.replace(' ', "+"));
        let answer = self.ask(head, form.as_bytes()).await;
        let answer = String::from_utf8_lossy(&answer).into_owned();
        cookie_in(&answer).unwrap_or_else(|| panic!("{who}: {answer}"))
    }

    /// A token of somebody whom the demo is tried as.
    async fn token(&self, who: &str, kind: TokenKind) -> String {
        let cookie = self.fresh_cookie(who).await;
        let (_, secret) = cookie.split_once('=').unwrap();
        let people = self.session.people(self.session.now).unwrap();
        let signed = people
            .signed_in(secret, Asked::BySomebody)
            .await
            .unwrap()
            .unwrap();
        let held = signed.sign_in.held.clone();
        let made = people
            .make_token(&signed, (kind, &held), ("a test", 9))
            .await;
        made.unwrap()
    }

    async fn get(&self, path: &str, who: &str) -> String {
        let cookie = self.cookie(who).await;
        self.get_with(path, &cookie).await
    }

    async fn get_with(&self, path: &str, cookie: &str) -> String {
        let head = format!("GET {path} HTTP/1.1\r\nHost: localhost\r\nCookie: {cookie}");
        as_shown(&self.ask(&head, &[]).await)
    }

    async fn post(&self, path: &str, who: &str, form: &str) -> String {
        let cookie = self.cookie(who).await;
        self.post_with(path, &cookie, form).await
    }

    async fn post_with(&self, path: &str, cookie: &str, form: &str) -> String {
        let head = format!(
            "POST {path} HTTP/1.1\r\nHost: localhost\r\nCookie: {cookie}\r\n\
             Content-Type: application/x-www-form-urlencoded"
        );
        as_shown(&self.ask(&head, form.as_bytes()).await)
    }

    /// Sends parts by the form, with these other fields.
    async fn send(&self, who: &str, fields: &[(&str, &str)], files: &[(&str, &[u8])]) -> String {
        // What most tests are not about: it is the team's own, and meant to be sent again.
        let said = |name: &str| fields.iter().any(|(known, _)| *known == name);
        let mut all = fields.to_vec();
        for (name, value) in [("claim", "own"), ("sure", "yes")] {
            if !said(name) {
                all.push((name, value));
            }
        }
        self.upload("/parts/send", who, &all, files).await
    }

    /// Sends files by a form, with these other fields.
    async fn upload(
        &self,
        path: &str,
        who: &str,
        fields: &[(&str, &str)],
        files: &[(&str, &[u8])],
    ) -> String {
        let cookie = self.cookie(who).await;
        let mut body = Vec::new();
        for (name, value) in fields {
            let part = format!(
                "--sep\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n"
            );
            body.extend(part.as_bytes());
        }
        for (name, bytes) in files {
            let part = format!(
                "--sep\r\nContent-Disposition: form-data; name=\"file\"; filename=\"{name}\"\r\n\
                 Content-Type: model/stl\r\n\r\n"
            );
            body.extend(part.as_bytes());
            body.extend(*bytes);
            body.extend(b"\r\n");
        }
        body.extend(b"--sep--\r\n");
        let head = format!(
            "POST {path} HTTP/1.1\r\nHost: localhost\r\nCookie: {cookie}\r\n\
             Content-Type: multipart/form-data; boundary=sep"
        );
        as_shown(&self.ask(&head, &body).await)
    }

    async fn send_bracket(&self, key: &str) -> String {
        let file = partpledge_testbed::files().swap_remove(0);
        let fields = [("key", key), ("copies", "2"), ("material", "PETG")];
        self.send(NEWT, &fields, &[(file.name, &file.bytes)]).await
    }

    async fn books(&self) -> Books {
        Books::open(&self.session).await.unwrap()
    }

    /// The code of the bench that has a place of the plan.
    fn code_at(&self, place: &Assignment) -> String {
        let code = self
            .session
            .terrain
            .host_code_at(place.printer, place.start);
        code.unwrap().to_owned()
    }

    /// The coordinator ticks these for a plate, with so many good copies.
    async fn walk(&self, code: &str, (plate, good): (u64, u32), acts: &[&str]) {
        let path = format!("/run-sheets/{code}/do");
        for act in acts {
            let form = format!(
                "plate={plate}&act={act}&key=walk-{act}-1&good-{plate}={good}&without=taken-for-them"
            );
            let done = self.post(&path, COORDINATOR, &form).await;
            assert_eq!(status(&done), "303", "{act}: {done}");
        }
    }
}

/// An answer without the words that a page brings along for its scripts: nobody sees them there.
fn as_shown(answer: &[u8]) -> String {
    let text = String::from_utf8_lossy(answer);
    let words = text.split_once("<script type=\"application/json\" id=\"words\">");
    let cut = words.and_then(|(before, rest)| Some((before, rest.split_once("</script>")?.1)));
    cut.map_or_else(
        || text.to_string(),
        |(before, after)| format!("{before}{after}"),
    )
}

fn status(answer: &str) -> &str {
    answer.get(9..12).unwrap_or("cut off")
}

/// The cookie that an answer sets.
fn cookie_in(answer: &str) -> Option<String> {
    let mut lines = answer.lines();
    let set = lines.find_map(|line| line.strip_prefix("set-cookie: "))?;
    set.split(';').next().map(str::to_owned)
}

fn leads_to(answer: &str) -> Option<&str> {
    let lines = answer.lines();
    let mut found = lines.filter_map(|line| line.strip_prefix("location: "));
    found.next()
}

/// Who asks for what that is somebody else's.
const HIDDEN: &[(&str, &str)] = &[
    (SILT, "/parts/1"),
    (SILT, "/parts/1/part-1.png"),
    (SILT, "/parts/1/part-1-way-1.png"),
    (NEWT, "/parts/1/part-1-way-99.png"),
    (SILT, "/parts/1/part-1.stl"),
    (SILT, "/parts/1/finding-1.svg"),
    (SILT, "/parts/1/part-1-light.stl"),
    (SILT, "/parts/1/part-1-front.png"),
    (SILT, "/parts/1/layer?layer=3"),
    (SILT, "/parts/1/layer.svg?layer=3"),
    (SILT, "/parts/1/turn"),
    (SILT, "/parts/send?again=1"),
];

#[tokio::test(flavor = "multi_thread")]
async fn nobody_sees_or_does_what_is_not_theirs() {
    let site = served().await;
    site.send_bracket("send-0000001").await;
    let form = "key=abcdefgh1&plate=1&act=start&good=1&number=1&revision=1&reason=x";
    for &(who, path) in HIDDEN {
        let answer = site.get(path, who).await;
        assert_eq!(
            status(&answer),
            "404",
            "{who} {path}: as if it were not there"
        );
    }
    for path in [
        "/parts",
        "/parts/1",
        "/parts/1/layer",
        "/region",
        "/promises?q=a",
        "/shares",
    ] {
        let answer = site.get(path, "").await;
        let to = (status(&answer), leads_to(&answer));
        assert_eq!(to, ("303", Some("/start")), "{path}");
    }
    for (who, path) in [
        (NEWT, "/region"),
        (BENCH, "/region"),
        (NEWT, "/region/if"),
        (
            BENCH,
            "/region/if?ask=closed&host=brindlemoor&day=2027-03-10",
        ),
        (NEWT, "/promises"),
        (NEWT, "/plates"),
        (NEWT, "/plates/1"),
        (NEWT, "/plates/1/plate-1.3mf"),
        (NEWT, "/run-sheet"),
        (NEWT, "/run-sheets/brindlemoor"),
        (OTHER_BENCH, "/run-sheets/brindlemoor"),
    ] {
        assert_eq!(status(&site.get(path, who).await), "403", "{who} {path}");
    }
    for (who, path) in [
        (SILT, "/parts/1/withdraw"),
        (BENCH, "/parts/1/withdraw"),
        (SILT, "/parts/1/came"),
        (COORDINATOR, "/parts/1/take"),
        (NEWT, "/run-sheets/brindlemoor/do"),
        (OTHER_BENCH, "/run-sheets/brindlemoor/do"),
        (OTHER_BENCH, "/run-sheets/dunmarrow/do"),
        (NEWT, "/run-sheets/brindlemoor/trouble"),
        (BENCH, "/region/move"),
        (NEWT, "/region/move"),
    ] {
        let answer = site.post(path, who, form).await;
        assert!(
            matches!(status(&answer), "403" | "404"),
            "{who} {path}: {}",
            status(&answer)
        );
    }
    let books = site.books().await;
    assert_eq!(
        (books.open_pledges().len(), books.floor.steps.len()),
        (1, 0),
        "nothing happened"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn other_sites_and_other_names_are_refused() {
    let site = served().await;
    for head in [
        "GET /start HTTP/1.1\r\nHost: evil.example",
        "POST /try-as HTTP/1.1\r\nHost: localhost\r\nOrigin: http://evil.example",
        "POST /try-as HTTP/1.1\r\nHost: localhost\r\nSec-Fetch-Site: cross-site",
    ] {
        let answer = site.ask(head, b"").await;
        assert_eq!(status(&String::from_utf8_lossy(&answer)), "403", "{head}");
    }
    let chosen = site.post("/try-as", "", "who=student%3ANewt+Works").await;
    assert_eq!(
        (status(&chosen), leads_to(&chosen)),
        ("303", Some("/parts"))
    );
    let cookie = chosen.lines().find(|line| line.starts_with("set-cookie: "));
    let cookie = cookie.unwrap();
    assert!(
        cookie.starts_with("set-cookie: partpledge_here="),
        "{cookie}"
    );
    assert!(
        cookie.ends_with("; Path=/; HttpOnly; SameSite=Lax"),
        "{cookie}"
    );
    let nobody = site.post("/try-as", "", "who=student%3ANobody").await;
    assert_eq!(status(&nobody), "422");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_double_click_is_one_request() {
    let site = served().await;
    let (first, second) = tokio::join!(
        site.send_bracket("send-0000001"),
        site.send_bracket("send-0000001")
    );
    assert_eq!(
        (leads_to(&first), leads_to(&second)),
        (Some("/parts/1"), Some("/parts/1"))
    );
    let books = site.books().await;
    assert_eq!((books.requests.len(), books.open_pledges().len()), (1, 1));
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_wrong_with_a_form_is_said_and_what_was_typed_is_kept() {
    let site = served().await;
    let bad = [
        ("key", "send-0000001"),
        ("copies", "many"),
        ("material", "wood"),
        ("need_by", "2027-03-01"),
        ("name", "Left <arm>"),
        ("unit", "furlong"),
    ];
    let answer = site.send(NEWT, &bad, &[]).await;
    assert_eq!(status(&answer), "422");
    for text in [
        "There is a problem",
        "Choose the file of your part.",
        "Give a number of copies from 1 to 100.",
        "Choose what the part must stand.",
        "Monday 1 March is over. Give a day that’s still to come.",
        "Choose the unit from the list.",
        "value=\"many\"",
        "Left &#60;arm&#62;",
    ] {
        assert!(answer.contains(text), "{text}");
    }
    assert!(site.books().await.requests.is_empty());
}

#[tokio::test(flavor = "multi_thread")]
async fn hostile_and_huge_files_get_a_clear_page_and_leave_nothing() {
    let site = served().await;
    let fields = [
        ("key", "send-0000001"),
        ("copies", "1"),
        ("material", "PLA"),
    ];
    let mut liar = vec![0_u8; 84];
    liar[80..84].copy_from_slice(&u32::MAX.to_le_bytes());
    let files: [(&str, &[u8], &str); 4] = [
        ("liar.stl", &liar, "liar.stl"),
        ("empty.stl", b"", "empty"),
        ("page.stl", b"<script>alert(1)</script>", "page.stl"),
        ("part.step", b"ISO-10303-21;\nHEADER;\n", "export"),
    ];
    for (name, bytes, says) in files {
        let answer = site.send(NEWT, &fields, &[(name, bytes)]).await;
        assert_eq!(status(&answer), "422", "{name}");
        assert!(
            answer.contains("There is a problem") && answer.contains(says),
            "{name}"
        );
        assert!(!answer.contains("<script>alert"), "{name}");
    }
    let huge = vec![b'x'; 101_000_000];
    let answer = site.send(NEWT, &fields, &[("huge.stl", &huge)]).await;
    assert_eq!(status(&answer), "413");
    assert!(answer.contains("more than 100 MB") && answer.contains("Nothing was kept."));
    let long = "x".repeat(5_000);
    let answer = site.send(NEWT, &[("name", &long)], &[]).await;
    assert_eq!(status(&answer), "413");
    assert!(answer.contains("Something that you typed is far too long."));
    let cookie = site.cookie(NEWT).await;
    let broken = format!(
        "POST /parts/send HTTP/1.1\r\nHost: localhost\r\nCookie: {cookie}\r\n\
         Content-Type: multipart/form-data; boundary=sep"
    );
    let answer = site
        .ask(
            &broken,
            b"--sep\r\nContent-Disposition: form-data; name=\"file\"",
        )
        .await;
    assert_eq!(status(&String::from_utf8_lossy(&answer)), "400");
    assert!(site.books().await.requests.is_empty(), "nothing was kept");
}

#[tokio::test(flavor = "multi_thread")]
async fn several_files_are_several_requests_and_a_bad_one_is_named() {
    let site = served().await;
    let files = partpledge_testbed::files();
    let fields = [
        ("key", "send-0000001"),
        ("copies", "1"),
        ("material", "PLA"),
    ];
    let two = [
        (files[2].name, files[2].bytes.as_slice()),
        (files[4].name, &files[4].bytes),
    ];
    let answer = site.send(NEWT, &fields, &two).await;
    assert_eq!(
        (status(&answer), leads_to(&answer)),
        ("303", Some("/parts"))
    );
    assert_eq!(site.books().await.requests.len(), 2);
    let mixed = [
        ("bad.stl", b"nothing".as_slice()),
        (files[7].name, &files[7].bytes),
    ];
    let fields = [
        ("key", "send-0000002"),
        ("copies", "1"),
        ("material", "PLA"),
    ];
    let answer = site.send(NEWT, &fields, &mixed).await;
    assert_eq!(status(&answer), "422");
    assert!(answer.contains("1 of your files arrived") && answer.contains("bad.stl"));
    assert_eq!(site.books().await.requests.len(), 3);
}

#[tokio::test(flavor = "multi_thread")]
async fn how_long_a_plate_takes_is_said_with_its_spread() {
    let site = served().await;
    site.send_bracket("send-0000001").await;
    let books = site.books().await;
    let plate = books.floor.plan.assignments[0].plate.0;
    let page = site.get(&format!("/plates/{plate}"), BENCH).await;
    assert!(page.contains("<dt>Takes</dt>") && page.contains(", 9 in 10 under "));
    let page = site.get("/run-sheets/brindlemoor", BENCH).await;
    assert!(page.contains("It takes ") || page.contains("Takes "));
    let region = site.get("/region", COORDINATOR).await;
    assert!(
        !region.contains("What the printers really do"),
        "none has run"
    );
}

/// Nothing is answered beforehand: what a trouble form leaves out is asked for.
async fn what_is_missing_is_asked(site: &Served, fail: &str) {
    for (said, asks) in [
        ("reason=The+power+went&", "Choose what happened."),
        ("out=yes&", "Say whether the printer can print again now."),
    ] {
        let without = fail.replace(said, "");
        let asked = site.post("/run-sheets/brindlemoor/trouble", BENCH, &without);
        let asked = asked.await;
        assert!(status(&asked) == "422" && asked.contains(asks), "{said}");
    }
    for (day, says) in [
        ("2027-03-01", "That time is over."),
        ("2207-03-12", "more than a year away"),
    ] {
        let wrong = fail.replace("2027-03-12", day);
        let path = "/run-sheets/brindlemoor/trouble";
        let refused = site.post(path, BENCH, &wrong).await;
        assert_eq!(status(&refused), "422", "{day}");
        assert!(refused.contains(says), "{day}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_failed_run_on_the_sheet_reaches_ticket_and_coordinator() {
    let site = served().await;
    site.send_bracket("send-0000001").await;
    let (did, sheet) = ("/run-sheets/brindlemoor/do", "/run-sheets/brindlemoor");
    let books = site.books().await;
    let open = books.floor.plan.assignments.iter();
    let plates: Vec<u64> = open.map(|place| place.plate.0).collect();
    for (i, plate) in plates.iter().enumerate() {
        let form = format!("plate={plate}&act=start&key=start-0000{i}&day=2027-03-09");
        for _ in 0..2 {
            let answer = site.post(did, BENCH, &form).await;
            let to = Some("/run-sheets/brindlemoor?day=2027-03-09");
            assert_eq!(
                (status(&answer), leads_to(&answer)),
                ("303", to),
                "twice is once"
            );
        }
    }
    let page = site.get("/parts/1", NEWT).await;
    assert!(
        page.contains("Your part is being printed."),
        "the page says where it is"
    );
    assert!(
        page.contains("data-live=\"/live?after="),
        "and keeps itself up to date"
    );
    assert_eq!(
        status(&site.get("/parts/1/withdraw", NEWT).await),
        "409",
        "too late"
    );
    let odd = site
        .post(
            did,
            BENCH,
            &format!("plate={0}&act=off&good-{0}=9&key=off-000001", plates[0]),
        )
        .await;
    assert_eq!(status(&odd), "422");
    let fail = format!(
        "plate={0}&reason=The+power+went&good-{0}=0&out=yes&until_day=2027-03-12&until_clock=12%3A00&key=fail-00001",
        plates[0]
    );
    what_is_missing_is_asked(&site, &fail).await;
    let answer = site
        .post("/run-sheets/brindlemoor/trouble", BENCH, &fail)
        .await;
    assert_eq!(status(&answer), "303");
    let page = site.get(sheet, BENCH).await;
    assert!(page.contains("The power went. Put what’s left in the scrap tin."));
    let region = site.get("/region", COORDINATOR).await;
    assert!(
        region.contains("failed: the power went"),
        "why the plan changed"
    );
    assert!(region.contains("What the printers really do"));
    assert!(region.contains("has no run whose time counts") && region.contains("1 stopped early"));
    let books = site.books().await;
    assert_eq!(books.floor.outages.len(), 1);
    let page = site.get("/parts/1", NEWT).await;
    assert!(
        page.contains(">failed, took "),
        "the lost plate stays on record"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn withdrawing_asks_first_and_is_done_once() {
    let site = served().await;
    site.send_bracket("send-0000001").await;
    for _ in 0..2 {
        let answer = site.post("/parts/1/withdraw", NEWT, "key=withdraw-1").await;
        assert_eq!(
            (status(&answer), leads_to(&answer)),
            ("303", Some("/parts/1"))
        );
    }
    let page = site.get("/parts/1", NEWT).await;
    assert!(page.contains("You called this part back."));
    assert!(
        site.get("/parts", NEWT)
            .await
            .contains("You called it back.")
    );
    assert!(site.books().await.open_pledges().is_empty());
    let again = site.post("/parts/1/withdraw", NEWT, "key=withdraw-2").await;
    assert_eq!(status(&again), "409");
}

#[tokio::test(flavor = "multi_thread")]
async fn an_open_page_hears_of_what_happens() {
    let site = served().await;
    let mut socket = TcpStream::connect(site.address).await.unwrap();
    let cookie = site.cookie(NEWT).await;
    let ask = format!("GET /live?after=0 HTTP/1.1\r\nHost: localhost\r\nCookie: {cookie}\r\n\r\n");
    socket.write_all(ask.as_bytes()).await.unwrap();
    site.send_bracket("send-0000001").await;
    let mut heard = String::new();
    let mut chunk = [0_u8; 1_024];
    while !heard.contains("event: change") {
        let many = socket.read(&mut chunk).await.unwrap();
        assert!(many > 0, "the stream stays open");
        heard.push_str(&String::from_utf8_lossy(&chunk[..many]));
    }
    assert!(heard.contains("text/event-stream") && heard.contains("{\"entry\":"));
    let out = site.post("/sign-out", NEWT, "").await;
    assert_eq!(status(&out), "303");
    let file = partpledge_testbed::files().swap_remove(0);
    let fields = [
        ("key", "send-0000002"),
        ("copies", "2"),
        ("material", "PETG"),
    ];
    site.send(SILT, &fields, &[(file.name, &file.bytes)]).await;
    heard.clear();
    while !heard.ends_with("0\r\n\r\n") && !heard.contains("event:") {
        let many = socket.read(&mut chunk).await.unwrap();
        heard.push_str(&String::from_utf8_lossy(&chunk[..many]));
    }
    assert!(
        !heard.contains("event:"),
        "who is signed out is told nothing: {heard}"
    );
}
