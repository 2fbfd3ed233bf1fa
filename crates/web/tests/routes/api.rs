//! What programs ask and are told: a part sent and made, problems, pages of lists, calendars.

use partpledge_records::TokenKind;
use partpledge_workshop::bench::{Act, act};
use partpledge_workshop::run_sheet::line;
use partpledge_workshop::{Actor, Role};
use serde_json::{Value, json};
use std::time::Duration;
use tokio::io::AsyncWriteExt;
use tokio::net::TcpStream;
use tokio::time::{sleep, timeout};

use super::{COORDINATOR, NEWT, SILT, Served, leads_to, served, status};

/// A program with its token.
pub(super) struct Program<'a> {
    site: &'a Served,
    token: String,
    /// The description of the interface.
    document: Value,
}

/// An answer, its head and body.
pub(super) struct Answer {
    head: String,
    pub(super) body: Value,
}

impl Answer {
    pub(super) fn status(&self) -> &str {
        status(&self.head)
    }

    fn header(&self, name: &str) -> Option<&str> {
        let mut lines = self.head.lines();
        lines.find_map(|line| line.strip_prefix(name)?.strip_prefix(": "))
    }

    pub(super) fn code(&self) -> &str {
        assert_eq!(
            self.header("content-type"),
            Some("application/problem+json")
        );
        let said = self.body["status"].as_u64().unwrap().to_string();
        assert_eq!(said, self.status());
        let code = self.body["code"].as_str().unwrap();
        assert_eq!(self.body["type"], format!("/api#{code}"));
        code
    }
}

impl<'a> Program<'a> {
    pub(super) async fn of(site: &'a Served, who: &str) -> Self {
        let token = site.token(who, TokenKind::Api).await;
        let document = site.ask("GET /api/v1/openapi.json HTTP/1.1\r\nHost: localhost", b"");
        let document = read(&document.await).body;
        Self {
            site,
            token,
            document,
        }
    }

    pub(super) async fn ask(&self, question: &str, headers: &str, body: &[u8]) -> Answer {
        let head = format!(
            "{question} HTTP/1.1\r\nHost: localhost\r\nAuthorization: Bearer {}{headers}",
            self.token
        );
        read(&self.site.ask(&head, body).await)
    }

    pub(super) async fn get(&self, path: &str) -> Answer {
        self.ask(&format!("GET {path}"), "", b"").await
    }

    pub(super) async fn deed(&self, path: &str, key: &str, body: &Value) -> Answer {
        let headers = format!("\r\nContent-Type: application/json\r\nIdempotency-Key: {key}");
        let body = body.to_string();
        self.ask(&format!("POST {path}"), &headers, body.as_bytes())
            .await
    }

    /// Does the same twice under one key: the second time it says that it was done before.
    pub(super) async fn deed_twice(&self, path: &str, key: &str, body: &Value) {
        for before in [false, true] {
            let answer = self.deed(path, key, body).await;
            assert_eq!(
                (answer.status(), &answer.body["before"]),
                ("200", &json!(before)),
                "{:#}",
                answer.body
            );
        }
    }

    /// A type of the description.
    pub(super) fn described(&self, name: &str) -> &Value {
        &self.document["components"]["schemas"][name]
    }

    pub(super) async fn send_bracket(&self, key: &str) -> Answer {
        let file = partpledge_testbed::files().swap_remove(0);
        let mut body = b"--sep\r\nContent-Disposition: form-data; name=\"copies\"\r\n\r\n2\r\n\
            --sep\r\nContent-Disposition: form-data; name=\"claim\"\r\n\r\nown\r\n\
            --sep\r\nContent-Disposition: form-data; name=\"again\"\r\n\r\nyes\r\n\
            --sep\r\nContent-Disposition: form-data; name=\"file\"; filename=\"hub_bracket.stl\"\r\n\r\n"
            .to_vec();
        body.extend(&file.bytes);
        body.extend(b"\r\n--sep--\r\n");
        let headers = format!(
            "\r\nContent-Type: multipart/form-data; boundary=sep\r\nIdempotency-Key: {key}"
        );
        self.ask("POST /api/v1/parts", &headers, &body).await
    }

    /// Holds a body against a schema of the description.
    pub(super) fn fits(&self, schema: &str, body: &Value) {
        let schema = json!({
            "$ref": format!("#/components/schemas/{schema}"),
            "components": self.document["components"],
        });
        let validator = jsonschema::validator_for(&schema).unwrap();
        let wrong: Vec<String> = validator
            .iter_errors(body)
            .map(|error| format!("{} at {}", error, error.instance_path()))
            .collect();
        assert!(wrong.is_empty(), "{wrong:#?}\n{body:#}");
    }
}

fn read(answer: &[u8]) -> Answer {
    let text = String::from_utf8_lossy(answer);
    let (head, body) = text.split_once("\r\n\r\n").unwrap();
    Answer {
        head: head.to_owned(),
        body: serde_json::from_str(body).unwrap_or(Value::Null),
    }
}

#[tokio::test(flavor = "multi_thread")]
#[expect(clippy::too_many_lines, reason = "one walk, told in its order")]
async fn a_program_sends_a_part_and_follows_it_to_the_bench() {
    let site = served().await;
    let team = Program::of(&site, NEWT).await;
    let me = team.get("/api/v1/me").await;
    team.fits("Me", &me.body);
    assert_eq!(
        (me.body["role"].as_str(), me.body["at"].as_str()),
        (Some("student"), Some("Newt Works"))
    );

    let sent = team.send_bracket("api-send-1").await;
    assert_eq!(sent.status(), "201", "{:#}", sent.body);
    assert_eq!(sent.header("location"), Some("/api/v1/parts/1"));
    team.fits("Part", &sent.body);
    assert_eq!(sent.body["pledge"]["given"], true);
    let again = team.send_bracket("api-send-1").await;
    assert_eq!(again.body["number"], 1, "sent twice, it is one");

    let one = team.get("/api/v1/parts/1").await;
    team.fits("Part", &one.body);
    let tag = one.header("etag").unwrap();
    let same = team
        .ask(
            "GET /api/v1/parts/1",
            &format!("\r\nIf-None-Match: {tag}"),
            b"",
        )
        .await;
    assert_eq!(same.status(), "304");

    let books = site.books().await;
    let request = books.numbered(1).unwrap().request.id;
    let kept = books.plates_of(request).next().unwrap().clone();
    let place = line(&site.session, &books, &kept).await.unwrap().unwrap();
    let mut schools = site.session.terrain.file.schools.iter();
    let code = &schools
        .find(|school| school.name == place.host)
        .unwrap()
        .code;
    let bench = Program::of(&site, &format!("operator:{code}")).await;
    let start = place.place.unwrap().start;
    let day = site.session.terrain.zone.date(start);
    let sheet = bench
        .get(&format!("/api/v1/run-sheets/{code}?day={day}"))
        .await;
    bench.fits("RunSheet", &sheet.body);
    assert_eq!(sheet.body["jobs"][0]["plate"], kept.plate.seq.0);
    let plates = bench.get("/api/v1/plates").await;
    bench.fits("Plates", &plates.body);
    let listed = plates.body["items"].as_array().unwrap();
    let own = |row: &Value| row["host"] == place.host.as_str();
    assert!(!listed.is_empty() && listed.iter().all(own), "{listed:#?}");

    // The demo's clock stands at 10:02; the plate was started at 09:50.
    let deeds = format!("/api/v1/run-sheets/{code}/deeds");
    let told = json!({
        "deed": "start", "plate": kept.plate.seq.0, "occurred_at": "2027-03-09T09:50:00+01:00",
    });
    let did = bench.deed(&deeds, "api-start-1", &told).await;
    assert_eq!(did.status(), "200", "{:#}", did.body);
    bench.fits("Done", &did.body);
    let twice = bench.deed(&deeds, "api-start-1", &told).await;
    assert_eq!(
        (twice.status(), &twice.body["before"]),
        ("200", &json!(true))
    );
    let books = site.books().await;
    let step = books.floor.steps.first().unwrap();
    assert_eq!(site.session.now.0 - step.at.0, 12 * 60_000);
    let other = bench.deed(&deeds, "api-start-2", &told).await;
    assert_eq!(other.status(), "409");
    other.code();

    let mut look = json!({
        "deed": "look", "plate": kept.plate.seq.0, "occurred_at": "2027-03-01T09:40:00+01:00",
    });
    let refused = bench.deed(&deeds, "api-look-1", &look).await;
    assert_eq!((refused.status(), refused.code()), ("422", "wrong-time"));
    look["occurred_at"] = json!("2027-03-09T09:40:00+01:00");
    let looked = bench.deed(&deeds, "api-look-2", &look).await;
    assert_eq!(looked.status(), "200", "{:#}", looked.body);
    let steps = site.books().await.floor.steps;
    assert_eq!(steps[1].at, steps[0].at, "never before what comes first");
    let late = team
        .deed("/api/v1/parts/1/withdraw", "api-back-1", &json!(null))
        .await;
    assert_eq!((late.status(), late.code()), ("409", "no-such-step"));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_list_comes_in_pages_and_other_teams_parts_are_not_there() {
    let site = served().await;
    let team = Program::of(&site, NEWT).await;
    for key in ["api-send-1", "api-send-2", "api-send-3"] {
        team.send_bracket(key).await;
    }
    let first = team.get("/api/v1/parts?limit=2").await;
    team.fits("Parts", &first.body);
    let numbers = |page: &Value| {
        let items = page["items"].as_array().unwrap();
        items
            .iter()
            .map(|row| row["number"].as_i64().unwrap())
            .collect::<Vec<_>>()
    };
    assert_eq!(numbers(&first.body), [1, 2]);
    let next = first.body["next"].as_str().unwrap();
    let second = team.get(&format!("/api/v1/parts?cursor={next}")).await;
    assert_eq!(
        (numbers(&second.body), &second.body["next"]),
        (vec![3], &Value::Null)
    );

    let other = Program::of(&site, SILT).await;
    assert_eq!(
        numbers(&other.get("/api/v1/parts").await.body),
        Vec::<i64>::new()
    );
    for deed in ["", "/offer"] {
        let theirs = other.get(&format!("/api/v1/parts/1{deed}")).await;
        let nowhere = other.get(&format!("/api/v1/parts/999{deed}")).await;
        assert_eq!((theirs.status(), theirs.code()), ("404", "not-there"));
        assert_eq!(theirs.body, nowhere.body);
    }
    for deed in ["take", "withdraw", "came"] {
        let ask = |n| format!("/api/v1/parts/{n}/{deed}");
        let theirs = other.deed(&ask(1), "api-other-1", &json!(null)).await;
        let nowhere = other.deed(&ask(999), "api-other-1", &json!(null)).await;
        assert_eq!((theirs.status(), &theirs.body), ("404", &nowhere.body));
    }
    let withdrawn = team
        .deed("/api/v1/parts/3/withdraw", "api-back-3", &json!(null))
        .await;
    assert_eq!(withdrawn.body["state"], "withdrawn");
    team.fits("Part", &withdrawn.body);
}

#[tokio::test(flavor = "multi_thread")]
async fn every_error_is_a_problem() {
    let site = served().await;
    let team = Program::of(&site, NEWT).await;
    let json = "\r\nContent-Type: application/json\r\nIdempotency-Key: api-key-1";
    let form = "\r\nContent-Type: multipart/form-data; boundary=sep\r\nIdempotency-Key: api-key-1";
    let large = vec![b'x'; 70_000];
    let field = "--sep\r\nContent-Disposition: form-data; name=\"critical_dimensions\"\r\n\r\n";
    let long = format!("{field}{}\r\n--sep--\r\n", "0".repeat(2_001)).into_bytes();
    for (question, headers, body, expected, code) in [
        ("GET /api/v1/nothing", "", &b""[..], "404", "not-there"),
        ("GET /api/v1", "", b"", "404", "not-there"),
        ("GET /api/v1/parts/x", "", b"", "404", "not-there"),
        ("DELETE /api/v1/parts", "", b"", "405", "wrong-method"),
        ("GET /api/v1/parts?limit=0", "", b"", "422", "bad-value"),
        ("GET /api/v1/parts?limit=x", "", b"", "422", "bad-value"),
        ("GET /api/v1/parts?cursor=x", "", b"", "422", "bad-value"),
        ("GET /api/v1/parts?cursor=-1", "", b"", "422", "bad-value"),
        ("GET /api/v1/parts?lmit=5", "", b"", "422", "bad-value"),
        ("GET /api/v1/parts/%FF", "", b"", "400", "bad-request"),
        ("POST /api/v1/parts", json, b"{}", "415", "wrong-kind"),
        (
            "POST /api/v1/parts",
            form,
            b"--sep--\r\n",
            "422",
            "bad-value",
        ),
        ("POST /api/v1/parts", form, b"--sep", "400", "bad-request"),
        ("POST /api/v1/parts", form, &long, "422", "bad-value"),
        ("POST /api/v1/parts", "", b"", "400", "no-key"),
        ("GET /api/v1/region/risks", "", b"", "403", "not-allowed"),
    ] {
        let answer = team.ask(question, headers, body).await;
        assert_eq!(
            (answer.status(), answer.code()),
            (expected, code),
            "{question}"
        );
    }
    let bench = Program::of(&site, "operator:brindlemoor").await;
    let deeds = "POST /api/v1/run-sheets/brindlemoor/deeds";
    for (body, expected, code) in [
        (&large[..], "413", "too-large"),
        (b"{", "400", "bad-json"),
        (b"{\"deed\": \"dance\", \"plate\": 1}", "422", "bad-json"),
        (b"{\"deed\": \"start\", \"plate\": 1}", "404", "not-there"),
    ] {
        let answer = bench.ask(deeds, json, body).await;
        assert_eq!((answer.status(), answer.code()), (expected, code));
    }
    let text = "\r\nContent-Type: text/plain\r\nIdempotency-Key: api-key-1";
    assert_eq!(bench.ask(deeds, text, b"{}").await.code(), "wrong-kind");
    let allow = team.ask("DELETE /api/v1/parts", "", b"").await;
    assert!(
        allow.header("allow").unwrap().contains("POST"),
        "{}",
        allow.head
    );
    let head = "GET /api/v1/me HTTP/1.1\r\nHost: evil.example";
    assert_eq!(read(&site.ask(head, b"").await).code(), "wrong-host");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_token_that_does_not_work_lets_nobody_in_and_many_are_too_many() {
    let site = served().await;
    let mut team = Program::of(&site, NEWT).await;
    let works = team.token.clone();
    for wrong in [
        "",
        "pp_",
        &"pp_0".repeat(16),
        &site.token(NEWT, TokenKind::Feed).await,
    ] {
        wrong.clone_into(&mut team.token);
        let answer = team.get("/api/v1/me").await;
        assert_eq!((answer.status(), answer.code()), ("401", "no-token"));
        assert!(
            answer
                .header("www-authenticate")
                .unwrap()
                .starts_with("Bearer")
        );
    }
    let mut seen = "401".to_owned();
    for _ in 0..70 {
        let answer = team.get("/api/v1/me").await;
        seen = answer.status().to_owned();
        if seen == "429" {
            assert_eq!(answer.code(), "too-many");
            assert!(
                answer
                    .header("retry-after")
                    .unwrap()
                    .parse::<u32>()
                    .unwrap()
                    > 0
            );
        }
    }
    assert_eq!(seen, "429");
    team.token = works;
    assert_eq!(
        team.get("/api/v1/me").await.status(),
        "200",
        "it is let in all the same"
    );

    let account = site.get("/account", NEWT).await;
    let ids = account.split("/account/tokens/").skip(1);
    let ids: Vec<&str> = ids.map(|rest| rest.split('/').next().unwrap()).collect();
    assert_eq!(ids.len(), 2, "one for the program, one for a calendar");
    for id in ids {
        let stop = format!("/account/tokens/{id}/stop");
        assert_eq!(
            status(&site.post(&stop, SILT, "").await),
            "404",
            "not theirs"
        );
        site.post(&stop, NEWT, "").await;
    }
    assert_ne!(team.get("/api/v1/me").await.status(), "200", "stopped");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_calendar_is_read_by_its_address_alone() {
    let site = served().await;
    site.send_bracket("send-0000001").await;
    let bench = {
        let books = site.books().await;
        let kept = books.floor.kept.first().unwrap().clone();
        let place = line(&site.session, &books, &kept).await.unwrap().unwrap();
        let mut schools = site.session.terrain.file.schools.iter();
        schools
            .find(|school| school.name == place.host)
            .unwrap()
            .code
            .clone()
    };
    for (who, has) in [
        (NEWT, "UID:request-1@"),
        (&format!("operator:{bench}"), "UID:plate-1-start@"),
        ("coordinator", "UID:closed-2027-03-26@"),
    ] {
        let token = site.token(who, TokenKind::Feed).await;
        let answer = site.get(&format!("/calendar/{token}.ics"), "").await;
        assert_eq!(status(&answer), "200", "{answer}");
        assert!(answer.contains("content-type: text/calendar"), "{answer}");
        let unfolded = answer.replace("\r\n ", "");
        assert!(unfolded.contains(has), "{who}: {unfolded}");
    }
    let silt = site.token(SILT, TokenKind::Feed).await;
    let theirs = site.get(&format!("/calendar/{silt}.ics"), "").await;
    assert!(
        !theirs.contains("BEGIN:VEVENT"),
        "nothing was promised to them"
    );
    let program = site.token(NEWT, TokenKind::Api).await;
    for wrong in [format!("{program}.ics"), "x.ics".to_owned(), silt] {
        let answer = site.get(&format!("/calendar/{wrong}"), "").await;
        assert_eq!(status(&answer), "404");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn the_coordinators_answers_fit_their_description() {
    let site = served().await;
    site.send_bracket("send-0000001").await;
    let own = Program::of(&site, "coordinator").await;
    for (path, schema) in [
        ("promises", "Promises"),
        ("risks", "Risks"),
        ("plan", "Plan"),
        ("capacity?days=3", "Capacity"),
        ("outages", "Outages"),
    ] {
        let answer = own.get(&format!("/api/v1/region/{path}")).await;
        assert_eq!(answer.status(), "200", "{path}");
        own.fits(schema, &answer.body);
    }
    let places = own.get("/api/v1/places").await;
    let first = &places.body["features"][0]["geometry"]["coordinates"];
    assert!((first[1].as_f64().unwrap() - 45.0).abs() < 1.0, "{first}");
    let ask = json!({ "ask": "closed", "host": "brindlemoor", "day": "2027-03-10" });
    let then = own.deed("/api/v1/region/if", "api-if-1", &ask).await;
    assert_eq!(then.status(), "200", "{:#}", then.body);
    own.fits("WhatIf", &then.body);
    let books = site.books().await;
    assert!(
        books.floor.steps.is_empty() && books.floor.revision == 1,
        "only a question"
    );
    let printer = site.session.terrain.region.printers[0].name.clone();
    let out = json!({
        "printer": printer, "reason": "the belt is worn", "until": "2027-03-10T12:00:00+01:00",
    });
    own.deed_twice("/api/v1/region/outages", "api-out-1", &out)
        .await;
    let outages = own.get("/api/v1/region/outages").await;
    own.fits("Outages", &outages.body);
    assert_eq!(outages.body["items"][0]["printer"], printer.as_str());
    assert_eq!(outages.body["items"].as_array().unwrap().len(), 1);
    let end = json!({ "printer": printer });
    own.deed_twice("/api/v1/region/outages/end", "api-out-2", &end)
        .await;
    let outages = own.get("/api/v1/region/outages").await;
    assert_eq!(outages.body["items"], json!([]));
    let stale = json!({ "number": 1, "plan_revision": 77 });
    let moved = own.deed("/api/v1/region/move", "api-move-1", &stale).await;
    assert_eq!((moved.status(), moved.code()), ("409", "stale"));
}

#[tokio::test(flavor = "multi_thread")]
async fn the_example_on_the_page_for_programs_has_every_field_that_is_needed() {
    let site = served().await;
    let team = Program::of(&site, NEWT).await;
    let page = site.get("/api", "").await;
    let example = page.split("-F file=@arm.stl").nth(1).unwrap();
    let example = example.split("</code>").next().unwrap();
    let form = &team.document["paths"]["/api/v1/parts"]["post"]["requestBody"]["content"];
    let schema = form["multipart/form-data"]["schema"]["$ref"]
        .as_str()
        .unwrap();
    let schema = team
        .document
        .pointer(schema.trim_start_matches('#'))
        .unwrap();
    let needed: Vec<&str> = schema["required"]
        .as_array()
        .unwrap()
        .iter()
        .map(|name| name.as_str().unwrap())
        .collect();
    assert!(needed.contains(&"claim"), "{needed:?}");
    for name in needed.iter().filter(|name| **name != "file") {
        assert!(
            example.contains(&format!("-F {name}=")),
            "{name}: {example}"
        );
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn one_who_sends_slowly_or_often_leaves_a_turn_to_others() {
    let site = served().await;
    let slow = Program::of(&site, NEWT).await;
    let other = Program::of(&site, SILT).await;
    let head = format!(
        "POST /api/v1/parts HTTP/1.1\r\nHost: localhost\r\nAuthorization: Bearer {}\r\n\
         Content-Type: multipart/form-data; boundary=sep\r\nIdempotency-Key: slow-0001\r\n\
         Content-Length: 90000\r\n\r\n--sep\r\n",
        slow.token
    );
    let mut open = Vec::new();
    for _ in 0..4 {
        let mut socket = TcpStream::connect(site.address).await.unwrap();
        socket.write_all(head.as_bytes()).await.unwrap();
        open.push(socket);
    }
    sleep(Duration::from_millis(300)).await;
    let sent = timeout(Duration::from_secs(10), other.send_bracket("api-send-1")).await;
    let sent = sent.expect("no more than one turn is taken");
    assert_eq!(sent.status(), "201", "{:#}", sent.body);
}

#[tokio::test(flavor = "multi_thread")]
async fn what_was_taken_down_is_out_of_a_programs_reach_too() {
    let site = served().await;
    site.send_bracket("send-0000001").await;
    let faulty = partpledge_testbed::parts::teaching_plate_with(0.4, 0.2);
    let faulty = partpledge_formats::write::stl_binary(&faulty);
    let fields = [
        ("key", "send-0000002"),
        ("copies", "1"),
        ("material", "PLA"),
    ];
    site.send(NEWT, &fields, &[("plate.stl", &faulty)]).await;
    let books = site.books().await;
    let request = books.numbered(1).unwrap().request.id;
    let kept = books.plates_of(request).next().unwrap().clone();
    let start = books.place(&kept).unwrap().start;
    let then = site.session.at(start.to_ms()).await.unwrap();
    let coordinator = Actor::new(Role::Coordinator);
    let seq = kept.plate.seq.0;
    act(&then, &coordinator, seq, &Act::Start, None)
        .await
        .unwrap();
    let team = Program::of(&site, NEWT).await;
    let bench = Program::of(&site, "operator:brindlemoor").await;
    let region = Program::of(&site, COORDINATOR).await;
    let three_mf = format!("/api/v1/plates/{seq}/plate.3mf");
    assert_eq!(bench.get(&three_mf).await.status(), "200");
    let verdict = |part: &Answer| part.body["findings"].as_array().unwrap().len();
    assert!(verdict(&team.get("/api/v1/parts/2").await) > 0);
    for number in [1, 2] {
        let page = format!("/review/{number}");
        let down = format!("key=takedown-{number}&reason=not-theirs&words=");
        let answer = site.post(&format!("{page}/down"), COORDINATOR, &down).await;
        assert_eq!(leads_to(&answer), Some(page.as_str()), "{answer}");
    }
    assert_eq!(bench.get(&three_mf).await.status(), "404");
    assert_eq!(region.get(&three_mf).await.status(), "200");
    let part = team.get("/api/v1/parts/2").await;
    team.fits("Part", &part.body);
    assert_eq!(verdict(&part), 0, "{:#}", part.body);
    assert_eq!(team.get("/api/v1/parts/1/offer").await.status(), "404");
    let nothing = json!({});
    let taken = team.deed("/api/v1/parts/1/take", "api-take-1", &nothing);
    assert_eq!(taken.await.code(), "taken-down");
    let again = team.send_bracket("api-send-1").await;
    assert_eq!(again.code(), "taken-down");
    assert_eq!(site.books().await.requests.len(), 2);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_program_reads_its_owners_notices_and_says_that_they_were_seen() {
    let site = served().await;
    let mentor = Program::of(&site, "mentor:Newt Works").await;
    let other = Program::of(&site, "mentor:Silt Sisters").await;
    site.site.notify().await.unwrap();
    for key in ["send-0000001", "send-0000002"] {
        site.send_bracket(key).await;
    }
    site.site.notify().await.unwrap();
    // The first is of the token that reads them.
    let token = mentor.get("/api/v1/notices?limit=1").await;
    mentor.fits("Notices", &token.body);
    assert_eq!(token.body["unseen"], 3);
    assert_eq!(token.body["items"][0]["kind"], "account.token-made");
    let next = token.body["next"].as_str().unwrap();
    let first = format!("/api/v1/notices?limit=1&cursor={next}");
    let first = mentor.get(&first).await;
    assert_eq!(first.body["items"][0]["page"], "/parts/1");
    assert_eq!(first.body["items"][0]["kind"], "part.promised");
    let next = first.body["next"].as_str().unwrap();
    let second = mentor.get(&format!("/api/v1/notices?cursor={next}")).await;
    assert_eq!(second.body["items"][0]["page"], "/parts/2");
    let upto = json!({ "upto": first.body["items"][0]["number"] });
    for _ in 0..2 {
        let left = mentor
            .deed("/api/v1/notices/seen", "unused-01", &upto)
            .await;
        mentor.fits("NoticesUnseen", &left.body);
        assert_eq!(left.body["unseen"], 1);
    }
    let theirs = other.get("/api/v1/notices").await;
    assert_eq!(theirs.body["unseen"], 1);
    assert_eq!(theirs.body["items"][0]["kind"], "account.token-made");
}
