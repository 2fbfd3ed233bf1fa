//! Benches that students run: the run sheet, the crew's page, cards, figures, programs.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use partpledge_records::{Held, RoleKind, StepKind, TokenKind};
use partpledge_units::ids::PersonId;
use partpledge_web::Site;
use partpledge_workshop::Actor;
use partpledge_workshop::hub::Hub;
use partpledge_workshop::people::inviting::NewAdult;

use super::{COORDINATOR, Served, leads_to, served_in, status};

/// The bench that makes the one plate there is.
struct Bench {
    site: Served,
    code: String,
    plate: u64,
    printer: String,
    class: String,
}

/// The demo region with every bench run by students.
async fn hubs() -> Bench {
    let text = partpledge_testbed::ambrel_valley();
    let own =
        "student_run = true\nadult_for = [\"unattended\", \"hot-material\", \"battery-area\"]\n";
    let plain = text.replace(own, "").replace("battery_area = true\n", "");
    let all = plain.replace(
        "no_show = 0.02\n",
        "no_show = 0.02\nstudent_run = true\nadult_for = []\n",
    );
    let site = served_in(&all, Site::to_try).await;
    site.send_bracket("send-0000001").await;
    let books = site.books().await;
    let terrain = &site.session.terrain;
    let place = books.floor.plan.assignments[0];
    Bench {
        code: site.code_at(&place),
        plate: place.plate.0,
        printer: terrain.region.printers[place.printer.0].name.clone(),
        class: terrain.classes[place.printer.0].clone(),
        site,
    }
}

impl Bench {
    fn operator(&self) -> String {
        format!("operator:{}", self.code)
    }

    async fn hub(&self) -> Hub {
        Hub::open(&self.site.session, &self.code)
            .await
            .unwrap()
            .unwrap()
    }

    /// The bench's operator does something about the crew.
    async fn crew(&self, form: &str) -> String {
        let path = format!("/hubs/{}/do", self.code);
        self.site.post(&path, &self.operator(), form).await
    }

    /// Somebody new, signed off to load and start.
    async fn starter(&self, name: &str) -> String {
        let n = name.len();
        let added = self
            .crew(&format!("key=add-{name}-0{n}&act=add&name={name}"))
            .await;
        assert_eq!(status(&added), "303", "{added}");
        let hub = self.hub().await;
        let id = hub.crew().find(|one| one.name == name).unwrap().id;
        let class = &self.class;
        let form = format!(
            "key=sign-{name}-{n}&act=sign&member={id}&sign=load%3A{class}&sign=start%3A{class}&until=2027-06-01"
        );
        assert_eq!(status(&self.crew(&form).await), "303");
        id.to_string()
    }

    /// The sheet of the day on which the plate is loaded.
    async fn sheet(&self) -> String {
        let books = self.site.books().await;
        let place = books.floor.plan.assignments[0];
        let day = self.site.session.terrain.zone.date(place.start);
        let path = format!("/run-sheets/{}?day={day}", self.code);
        self.site.get(&path, &self.operator()).await
    }

    /// What a tablet hears that sends a start which was done so many minutes ago.
    async fn start(&self, key: &str, minutes_ago: i64) -> (String, String) {
        let cookie = self.site.cookie(&self.operator()).await;
        let at = self.site.session.now.0 - minutes_ago * 60_000;
        let (plate, printer, code) = (self.plate, &self.printer, &self.code);
        let form = format!("plate={plate}&act=start&key={key}&printer={printer}&occurred_at={at}");
        let head = format!(
            "POST /run-sheets/{code}/do HTTP/1.1\r\nHost: localhost\r\nCookie: {cookie}\r\n\
             Accept: application/json\r\nContent-Type: application/x-www-form-urlencoded"
        );
        let answer = self.site.ask(&head, form.as_bytes()).await;
        let answer = String::from_utf8_lossy(&answer).into_owned();
        let body = answer.split_once("\r\n\r\n").unwrap().1.to_owned();
        (status(&answer).to_owned(), body)
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn the_sheet_offers_only_what_somebody_there_may_do() {
    let bench = hubs().await;
    let start = "name=\"act\" value=\"start\"";
    let sheet = bench.sheet().await;
    assert_eq!(status(&sheet), "200");
    assert!(sheet.contains("Nobody has said who is at the bench now."));
    assert!(sheet.contains("Ask an adult: nobody is signed off to load a"));
    let on_paper =
        |sheet: &str, says: &str| sheet.contains(&format!("<p class=\"paper-only\"><b>{says}"));
    assert!(on_paper(
        &sheet,
        "Ask an adult: nobody is signed off to load a"
    ));
    assert!(
        !sheet.contains(start) && sheet.contains(">Trouble<"),
        "trouble is told by anybody"
    );
    let boxes = format!("/run-sheets/{}/boxes", bench.code);
    let asks = "nobody is signed off to pack and hand over";
    assert!(
        bench
            .site
            .get(&boxes, &bench.operator())
            .await
            .contains(asks)
    );
    let adult = bench.site.get(&boxes, COORDINATOR).await;
    assert!(!adult.contains(asks), "an adult by themselves");
    let id = bench.starter("Newt").await;
    let sheet = bench.sheet().await;
    assert!(
        sheet.contains("Say who is at the bench. Newt may load"),
        "{sheet}"
    );
    let here = format!("/run-sheets/{}/here", bench.code);
    let form = format!("key=here-00001&act=here&crew={id}");
    let told = bench.site.post(&here, &bench.operator(), &form).await;
    assert_eq!(
        leads_to(&told),
        Some(format!("/run-sheets/{}", bench.code).as_str())
    );
    let sheet = bench.sheet().await;
    assert!(
        sheet.contains("At the bench now: Newt.") && sheet.contains(start),
        "{sheet}"
    );
    assert!(
        on_paper(&sheet, "Newt may load"),
        "the sheet on the wall hangs there whoever comes"
    );
    assert!(!sheet.contains("Pass it on"), "nobody there may plan");
    assert!(sheet.contains(&format!("/hubs/{}/cards/packer?day=", bench.code)));
    let (code, heard) = bench.start("tablet-start", 0).await;
    assert_eq!(
        (code.as_str(), heard.as_str()),
        ("200", r#"{"answer":"done"}"#)
    );
    let cookie = bench.site.cookie(&bench.operator()).await;
    let page = bench.site.get_with("/run-sheet", &cookie).await;
    assert_eq!(
        leads_to(&page),
        Some(format!("/run-sheets/{}", bench.code).as_str())
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_tablet_hears_no_at_once_and_what_it_kept_is_taken_and_looked_at() {
    let bench = hubs().await;
    let (code, heard) = bench.start("tablet-00001", 0).await;
    assert_eq!(code, "409");
    assert!(
        heard.starts_with(
            r#"{"answer":"refused","title":"Nobody who is at the bench may do that.""#
        ),
        "{heard}"
    );
    assert!(bench.site.books().await.floor.steps.is_empty());
    let (code, heard) = bench.start("tablet-00002", 30).await;
    assert_eq!(
        (code.as_str(), heard.as_str()),
        ("200", r#"{"answer":"done"}"#)
    );
    let books = bench.site.books().await;
    assert!(books.step(bench.plate, StepKind::Started).is_some());
    let page = format!("/hubs/{}", bench.code);
    let crew = bench.site.get(&page, &bench.operator()).await;
    assert!(
        crew.contains("For an adult to look at")
            && crew.contains("nobody had said who was at the bench")
    );
    let sheet = bench.sheet().await;
    assert!(sheet.contains("<b>1 deed waits for an adult to look at it.</b>"));
    let entry = bench.hub().await.book.to_look[0].entry;
    let looked = bench
        .crew(&format!("key=looked-0001&act=looked&entry={entry}"))
        .await;
    assert_eq!(leads_to(&looked), Some(page.as_str()));
    assert!(bench.hub().await.book.to_look.is_empty());
}

#[tokio::test(flavor = "multi_thread")]
async fn an_adult_says_so_with_their_password_and_may_everything() {
    let bench = hubs().await;
    let people = bench.site.session.people(bench.site.session.now).unwrap();
    let held = Held::new(RoleKind::Operator, &bench.code);
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
    let cookie = format!("partpledge_here={}", token.token);
    let path = format!("/hubs/{}/do", bench.code);
    let says =
        |key: &str, password: &str| format!("key={key}&act=here&clock=11%3A30&password={password}");
    for wrong in ["", "four+words+by+the+dam"] {
        let answer = bench
            .site
            .post_with(&path, &cookie, &says("here-00001", wrong))
            .await;
        assert_eq!(status(&answer), "422");
        assert!(
            answer.contains("That is not your password.") && answer.contains("value=\"11:30\"")
        );
    }
    assert_eq!(bench.hub().await.adult_until(bench.site.session.now), None);
    // Of any form, what is wrong is said at that form.
    let form = "key=wrong-0001&password=no&act=add&name=Teal";
    let answer = bench.site.post_with(&path, &cookie, form).await;
    assert_eq!(status(&answer), "422");
    assert!(answer.contains("<a href=\"#password-n\">That is not your password.</a>"));
    let (_, own) = answer.split_once("<label for=\"password-n\">").unwrap();
    let own = own.split("</form>").next().unwrap();
    assert!(own.contains("That is not your password."), "{own}");
    assert_eq!(answer.matches("class=\"field__err\"").count(), 1);
    let right = says("here-00002", "four+words+by+the+weir");
    assert_eq!(
        status(&bench.site.post_with(&path, &cookie, &right).await),
        "303"
    );
    let crew = bench
        .site
        .get_with(&format!("/hubs/{}", bench.code), &cookie)
        .await;
    assert!(crew.contains("An adult is here until 11:30.") && crew.contains("I am leaving"));
    assert!(bench.sheet().await.contains("name=\"act\" value=\"start\""));
    let gone = bench
        .site
        .post_with(&path, &cookie, "key=gone-00001&act=gone")
        .await;
    assert_eq!(status(&gone), "303", "leaving takes no password");
    assert_eq!(bench.hub().await.adult_until(bench.site.session.now), None);
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_wrong_with_a_form_is_said_and_what_was_typed_is_kept() {
    let bench = hubs().await;
    let id = bench.starter("Newt").await;
    let signs = format!("member={id}&sign=load%3Aswift&until=2029-01-01");
    for (form, says) in [
        (
            "act=add&name=newt".to_owned(),
            "Another of the crew has that nickname",
        ),
        (
            "act=add&name=otter%40example.org".to_owned(),
            "without an address or a number",
        ),
        (format!("act=sign&{signs}"), "within a year"),
        (
            format!("act=sign&member={id}&until=2027-06-01"),
            "Tick at least one thing",
        ),
        (
            "act=sign&member=nobody&sign=load%3Aswift".to_owned(),
            "Choose somebody of the crew",
        ),
        ("act=here&clock=soon".to_owned(), "Give a time, like 15:30."),
        (
            "act=here&clock=09%3A00".to_owned(),
            "Choose a time later today, within 12 hours.",
        ),
        (
            format!("act=withdraw&member={id}&sign=pack%3A"),
            "None of these is signed off now.",
        ),
        ("act=remove&member=nobody".to_owned(), "href=\"#leaver\""),
        ("act=dance".to_owned(), "Use the buttons of this page."),
    ] {
        let answer = bench.crew(&format!("key=wrong-0001&{form}")).await;
        assert_eq!(status(&answer), "422", "{form}");
        assert!(
            answer.contains("There is a problem") && answer.contains(says),
            "{form}"
        );
    }
    let answer = bench
        .crew(&format!("key=wrong-0001&act=sign&{signs}"))
        .await;
    assert!(
        answer.contains("value=\"load:swift\" checked") && answer.contains("value=\"2029-01-01\"")
    );
    let no_key = bench.crew("act=add&name=Teal").await;
    assert_eq!(status(&no_key), "403");
    assert_eq!(bench.hub().await.crew().count(), 1);
    let off = bench
        .crew(&format!("key=remove-001&act=remove&member={id}"))
        .await;
    assert_eq!(status(&off), "303");
    let page = bench
        .site
        .get(&format!("/hubs/{}", bench.code), &bench.operator())
        .await;
    assert!(page.contains("Nobody is on the crew yet.") && page.contains("somebody who has left"));
    let ids = &mut partpledge_units::ids::IdSource::seeded(1);
    let nobody = PersonId::fresh(ids, partpledge_units::time::EventMs(0));
    let none = bench
        .crew(&format!("key=remove-002&act=remove&member={nobody}"))
        .await;
    assert_eq!(status(&none), "404");
}

#[tokio::test(flavor = "multi_thread")]
async fn cards_and_figures_are_there_and_other_benches_have_none() {
    let bench = hubs().await;
    bench.starter("Newt").await;
    let own = bench.operator();
    for job in ["operator", "inspector", "packer", "planner"] {
        let path = format!("/hubs/{}/cards/{job}", bench.code);
        let card = bench.site.get(&path, &own).await;
        assert_eq!(status(&card), "200", "{job}");
        assert!(
            card.contains("In this order") && card.contains("Never alone"),
            "{job}"
        );
    }
    let figures = format!("/hubs/{}/figures", bench.code);
    let page = bench.site.get(&figures, &own).await;
    assert!(
        page.contains("On time in full") && page.contains("What moved them"),
        "{page}"
    );
    let week = "<th scope=\"col\" class=\"r\">This week</th>";
    assert!(page.contains("Nothing was due this week.") && page.contains(week));
    for word in ["Start to hand-over", "Points"] {
        let meaning = format!("<li><b>{word}:</b>");
        assert!(page.contains(&meaning), "{word}");
    }
    // Of a week that is over, nothing is said as of this one.
    let before = format!("{figures}?week=2027-03-02");
    let before = bench.site.get(&before, &own).await;
    assert!(before.contains("Nothing was due that week."), "{before}");
    assert!(!before.to_lowercase().contains("this week"), "{before}");
    let ahead = bench
        .site
        .get(&format!("{figures}?week=2027-04-01"), &own)
        .await;
    assert_eq!(status(&ahead), "422");
    let none = format!("/hubs/{}/cards/pilot", bench.code);
    assert_eq!(status(&bench.site.get(&none, &own).await), "404");
    let plain = super::served().await;
    for path in [
        "/hubs/dunmarrow",
        "/hubs/dunmarrow/figures",
        "/api/v1/hubs/dunmarrow",
    ] {
        assert_ne!(status(&plain.get(path, COORDINATOR).await), "200", "{path}");
    }
    let sheet = plain.get("/run-sheets/dunmarrow", COORDINATOR).await;
    for word in ["hubbox", "/hubs/", "at the bench now"] {
        assert!(!sheet.contains(word), "as before: {word}");
    }
    let crew = plain.get("/hubs/otterquay", "mentor:Bogwheel").await;
    assert_eq!(status(&crew), "200", "a mentor of the school");
    assert!(crew.contains("<a href=\"/hubs/otterquay\" aria-current=\"page\">Crew</a>"));
}

#[tokio::test(flavor = "multi_thread")]
async fn programs_read_who_may_do_what_and_say_who_is_there() {
    let bench = hubs().await;
    let id = bench.starter("Newt").await;
    let token = bench.site.token(&bench.operator(), TokenKind::Api).await;
    let ask = async |question: String, more: &str, body: &str| {
        let head = format!(
            "{question} HTTP/1.1\r\nHost: localhost\r\nAuthorization: Bearer {token}{more}"
        );
        let answer = bench.site.ask(&head, body.as_bytes()).await;
        let answer = String::from_utf8_lossy(&answer).into_owned();
        let body = answer.split_once("\r\n\r\n").unwrap().1;
        (
            status(&answer).to_owned(),
            serde_json::from_str::<serde_json::Value>(body).unwrap(),
        )
    };
    let base = format!("/api/v1/hubs/{}", bench.code);
    let (code, hub) = ask(format!("GET {base}"), "", "").await;
    assert_eq!(
        (code.as_str(), &hub["told"]),
        ("200", &serde_json::json!(false))
    );
    assert_eq!(hub["crew"][0]["nickname"], "Newt");
    assert_eq!(hub["crew"][0]["may"][0]["class"], bench.class);
    let headers =
        |key: &str| format!("\r\nContent-Type: application/json\r\nIdempotency-Key: {key}");
    let body = format!("{{\"crew\": [\"{id}\"]}}");
    for before in [false, true] {
        let (code, done) = ask(format!("POST {base}/present"), &headers("here-0001"), &body).await;
        assert_eq!(
            (code.as_str(), &done["before"]),
            ("200", &serde_json::json!(before))
        );
    }
    let (_, hub) = ask(format!("GET {base}"), "", "").await;
    assert_eq!(hub["crew"][0]["here"], true);
    let sheet = format!("/api/v1/run-sheets/{}", bench.code);
    let books = bench.site.books().await;
    let day = bench
        .site
        .session
        .terrain
        .zone
        .date(books.floor.plan.assignments[0].start);
    let (_, found) = ask(format!("GET {sheet}?day={day}"), "", "").await;
    let jobs = found["jobs"].as_array().unwrap();
    let of = |kind: &str| jobs.iter().find(|job| job["kind"] == kind).unwrap();
    assert!(of("load").get("ask").is_none(), "Newt may");
    assert!(
        of("clear")["ask"]
            .as_str()
            .unwrap()
            .starts_with("Ask an adult")
    );
    let (code, problem) = ask(
        format!("POST {sheet}/deeds"),
        &headers("clear-0001"),
        &format!("{{\"deed\": \"leave\", \"plate\": {}}}", bench.plate),
    )
    .await;
    assert_eq!(code, "409", "{problem}");
    let (code, week) = ask(format!("GET {base}/figures?week=2027-03-09"), "", "").await;
    assert_eq!(
        (code.as_str(), &week["week"]),
        ("200", &serde_json::json!("2027-03-08"))
    );
    assert_eq!(week["now"]["on_time_in_full"]["of"], 0);
    let (code, _) = ask(format!("GET {base}/figures?weeks=1"), "", "").await;
    assert_eq!(code, "422", "a name that is not known");
}
