//! Review over the wire: held, refused, appealed, passed; reported and taken down; names in files.

use std::collections::BTreeMap;

use partpledge_formats::RawPart;
use partpledge_formats::write::three_mf;
use partpledge_records::State;
use partpledge_units::length::LengthUnit;
use partpledge_units::time::EventMs;
use partpledge_workshop::notices::look;
use partpledge_workshop::review::undecided;
use partpledge_workshop::{Actor, Books, Role};

use super::{BENCH, COORDINATOR, NEWT, SILT, Served, leads_to, served, status};

fn prism(size_mm: f64) -> Vec<u8> {
    let mesh = partpledge_testbed::parts::hex_prism(size_mm, size_mm / 2.0);
    partpledge_formats::write::stl_binary(&mesh)
}

async fn sent(site: &Served, key: &str, name: &str, more: &[(&str, &str)]) -> String {
    let mut fields = vec![("key", key), ("copies", "1"), ("material", "PLA")];
    fields.extend(more);
    site.send(NEWT, &fields, &[(name, &prism(24.0))]).await
}

fn state(books: &Books, number: i64) -> State {
    books.numbered(number).unwrap().request.state
}

#[tokio::test(flavor = "multi_thread")]
#[expect(clippy::too_many_lines, reason = "one walk, told in its order")]
async fn a_guess_waits_for_a_person_who_refuses_or_lets_through_and_the_team_reads_why() {
    let site = served().await;
    sent(&site, "send-0000001", "knife.stl", &[]).await;
    let page = site.get("/parts/1", NEWT).await;
    assert!(page.contains("We look at this part before we promise anything."));
    assert!(
        !page.contains("holds the word"),
        "guesses are for the reviewer"
    );
    assert!(!page.contains("We could promise"));
    let list = site.get("/parts", NEWT).await;
    assert!(list.contains("Being looked at") && !list.contains("Needs you"));
    let queue = site.get("/review", COORDINATOR).await;
    assert!(queue.contains("One part waits for your review."));
    assert!(queue.contains("holds the word"));
    let one = site.get("/review/1", COORDINATOR).await;
    for words in [
        "We drew it ourselves.",
        "knife.stl",
        "mm",
        "Newt Works",
        "You decide.",
        "/parts/1/part-1.png",
    ] {
        assert!(one.contains(words), "{words}");
    }
    for (who, path) in [
        ("mentor:Newt Works", "pass"),
        (NEWT, "pass"),
        (BENCH, "refuse"),
    ] {
        let path = format!("/review/1/{path}");
        assert_eq!(
            status(&site.post(&path, who, "key=passpass-1").await),
            "403",
            "{who}"
        );
    }
    let none = site
        .post(
            "/review/1/refuse",
            COORDINATOR,
            "key=refuse-01&words=pointed",
        )
        .await;
    assert_eq!(status(&none), "422");
    assert!(
        none.contains("href=\"#refuse\"") && none.contains("pointed"),
        "said, and kept"
    );
    let long = format!("key=refuse-02&reason=could-hurt&words={}", "x".repeat(301));
    assert_eq!(
        status(&site.post("/review/1/refuse", COORDINATOR, &long).await),
        "422"
    );
    let no = "key=refuse-03&reason=could-hurt&words=The+point+is+sharp.";
    for _ in 0..2 {
        let answer = site.post("/review/1/refuse", COORDINATOR, no).await;
        assert_eq!(leads_to(&answer), Some("/review/1"), "{answer}");
    }
    assert_eq!(state(&site.books().await, 1), State::Refused);
    let page = site.get("/parts/1", NEWT).await;
    for words in [
        "The coordinator decided",
        "It could hurt somebody.",
        "The point is sharp.",
        "Round off points",
        "second look",
    ] {
        assert!(page.contains(words), "{words}");
    }
    assert_eq!(status(&site.get("/parts/1/appeal", SILT).await), "404");
    let empty = site
        .post("/parts/1/appeal", NEWT, "key=appeal-01&words=")
        .await;
    assert_eq!(status(&empty), "422");
    let said = "key=appeal-02&words=It+cuts+butter.";
    let answer = site.post("/parts/1/appeal", NEWT, said).await;
    assert_eq!(leads_to(&answer), Some("/parts/1"));
    let one = site.get("/review/1", COORDINATOR).await;
    assert!(one.contains("It cuts butter.") && one.contains("This decision is final"));
    let passed = site
        .post("/review/1/pass", COORDINATOR, "key=passpass-2")
        .await;
    assert_eq!(leads_to(&passed), Some("/parts/1"), "{passed}");
    let page = site.get("/parts/1", NEWT).await;
    assert!(page.contains("Yes, we can print this part."));
    assert_eq!(status(&site.get("/parts/1/appeal", NEWT).await), "409");
}

#[tokio::test(flavor = "multi_thread")]
async fn whose_it_is_must_be_said_and_what_was_typed_is_kept() {
    let site = served().await;
    let none = sent(&site, "send-0000001", "arm.stl", &[("claim", "")]).await;
    assert_eq!(status(&none), "422");
    assert!(none.contains("href=\"#claim\""));
    let which = [("claim", "licence"), ("claim_words", " ")];
    let none = sent(&site, "send-0000001", "arm.stl", &which).await;
    assert!(none.contains("href=\"#claim_words\""));
    assert!(none.contains("value=\"licence\" checked"), "still chosen");
    let which = [("claim", "licence"), ("claim_words", "CC BY 4.0")];
    let ok = sent(&site, "send-0000001", "arm.stl", &which).await;
    assert_eq!(leads_to(&ok), Some("/parts/1"), "{ok}");
    let page = site.get("/parts/1", BENCH).await;
    assert!(page.contains("CC BY 4.0"), "those who make it read it too");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_part_reported_and_taken_down_has_no_files_for_anybody_but_the_coordinator() {
    let site = served().await;
    sent(&site, "send-0000001", "arm.stl", &[]).await;
    let books = site.books().await;
    let id = books.numbered(1).unwrap().request.id;
    let plate = books.plates_of(id).next().unwrap().plate.seq.0;
    let thanks = "Thank you. The coordinator looks at it.";
    for number in ["1", "999"] {
        let form = format!("key=report-{number}0000&number={number}&reason=mine&words=my+arm");
        let answer = site.post("/report", SILT, &form).await;
        assert!(
            status(&answer) == "200" && answer.contains(thanks),
            "{number}"
        );
    }
    let bad = site
        .post("/report", SILT, "key=report-bad1&number=x&words=w")
        .await;
    assert!(status(&bad) == "422" && bad.contains("href=\"#number\""));
    let queue = site.get("/review", COORDINATOR).await;
    assert!(queue.contains("Reported.") && queue.contains("my arm"));
    let team = site.get("/parts/1", NEWT).await;
    assert!(
        !team.contains("my arm"),
        "the team is not told who reported what"
    );
    let down = "key=takedown-1&reason=not-theirs&words=";
    let answer = site.post("/review/1/down", COORDINATOR, down).await;
    assert_eq!(leads_to(&answer), Some("/review/1"), "{answer}");
    let files = [
        "part-1.stl",
        "part-1-light.stl",
        "part-1.png",
        "picture.png",
        "turn",
        "layer",
        "layer.svg",
    ];
    for who in [NEWT, BENCH, COORDINATOR] {
        let wanted = if who == COORDINATOR { "200" } else { "404" };
        for file in files {
            let answer = site.get(&format!("/parts/1/{file}"), who).await;
            assert_eq!(status(&answer), wanted, "{who} {file}");
        }
    }
    let page = site.get("/parts/1", NEWT).await;
    assert!(page.contains("This part was taken down.") && !page.contains("part-1.png"));
    let three_mf = format!("/plates/{plate}/plate-{plate}.3mf");
    assert_eq!(status(&site.get(&three_mf, BENCH).await), "404");
    assert!(site.books().await.open_pledges().is_empty());
    let again = site.post("/parts/1/again", NEWT, "key=again-0001").await;
    assert_eq!(status(&again), "409");
}

#[tokio::test(flavor = "multi_thread")]
async fn the_same_again_is_asked_about_and_one_tap_sends_it() {
    let site = served().await;
    sent(&site, "send-0000001", "arm.stl", &[]).await;
    let asked = sent(&site, "send-0000002", "arm.stl", &[("sure", "")]).await;
    assert!(asked.contains("Again, or a mistake?"), "{asked}");
    assert!(asked.contains("action=\"/parts/1/again\""));
    assert_eq!(site.books().await.requests.len(), 1);
    for _ in 0..2 {
        let tap = site.post("/parts/1/again", NEWT, "key=again-0001").await;
        assert_eq!(leads_to(&tap), Some("/parts/2"), "{tap}");
    }
    assert_eq!(site.books().await.requests.len(), 2);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_host_passes_a_plate_on_with_a_reason() {
    let site = served().await;
    sent(&site, "send-0000001", "arm.stl", &[]).await;
    let books = site.books().await;
    let id = books.numbered(1).unwrap().request.id;
    let kept = books.plates_of(id).next().unwrap();
    let place = books.place(kept).unwrap();
    let terrain = &site.session.terrain;
    let name = terrain.host_at(place.printer, place.start);
    let mut schools = terrain.file.schools.iter();
    let code = &schools.find(|school| school.name == name).unwrap().code;
    let (who, plate) = (format!("operator:{code}"), kept.plate.seq.0);
    let form = site
        .get(&format!("/run-sheets/{code}/decline?plate={plate}"), &who)
        .await;
    assert!(form.contains("Pass it on"), "{form}");
    let path = format!("/run-sheets/{code}/decline");
    let none = site
        .post(&path, &who, &format!("key=decline-1&plate={plate}"))
        .await;
    assert!(status(&none) == "422" && none.contains("href=\"#reason\""));
    let why = format!("key=decline-2&plate={plate}&reason=no-hands");
    for _ in 0..2 {
        let answer = site.post(&path, &who, &why).await;
        assert!(matches!(status(&answer), "303" | "200"), "{answer}");
    }
    let books = site.books().await;
    let new = books.plates_of(id).last().unwrap();
    assert_ne!(new.plate.seq.0, plate);
    let place = books.place(new).unwrap();
    assert_ne!(terrain.host_at(place.printer, place.start), name);
    let team = site.get("/parts/1", NEWT).await;
    assert!(
        !team.contains("Nobody here has time"),
        "that is for the coordinator"
    );
    let review = site.get("/review/1", COORDINATOR).await;
    assert!(review.contains("Nobody here has time"));
}

/// The bytes between the head of an answer and its end.
fn body(answer: &[u8]) -> &[u8] {
    let at = answer.windows(4).position(|four| four == b"\r\n\r\n");
    &answer[at.unwrap() + 4..]
}

const NAME: &str = "Wigeonella Marshfield";

/// A 3MF that names its maker wherever the format lets it.
fn named_3mf() -> Vec<u8> {
    let part = RawPart {
        name: "arm".to_owned(),
        mesh: partpledge_testbed::parts::hex_prism(24.0, 12.0),
    };
    let plain = three_mf(&[part], LengthUnit::Millimetre);
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(plain)).unwrap();
    let mut out = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    let (mut named, how) = (0, zip::write::SimpleFileOptions::default());
    for i in 0..archive.len() {
        let mut file = archive.by_index(i).unwrap();
        let name = file.name().unwrap().into_owned();
        let mut text = String::new();
        std::io::Read::read_to_string(&mut file, &mut text).unwrap();
        let meta = ["Designer", "Copyright", "Title", "LicenseTerms"]
            .map(|what| format!("<metadata name=\"{what}\">{NAME}</metadata>"));
        named += text.matches("<resources>").count();
        let text = text.replacen("<resources>", &(meta.concat() + "<resources>"), 1);
        out.start_file(name, how).unwrap();
        std::io::Write::write_all(&mut out, text.as_bytes()).unwrap();
    }
    assert_eq!(named, 1);
    out.finish().unwrap().into_inner()
}

/// Everything in the members of a zip.
fn unzipped(bytes: &[u8]) -> Vec<u8> {
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(bytes)).unwrap();
    let mut out = Vec::new();
    for i in 0..archive.len() {
        let mut file = archive.by_index(i).unwrap();
        std::io::Read::read_to_end(&mut file, &mut out).unwrap();
    }
    out
}

#[tokio::test(flavor = "multi_thread")]
async fn names_in_a_files_own_metadata_come_out_in_no_download() {
    let site = served().await;
    let mut binary = prism(30.0);
    binary[..NAME.len()].copy_from_slice(NAME.as_bytes());
    let mesh = partpledge_testbed::parts::hex_prism(36.0, 12.0);
    let ascii = partpledge_formats::write::stl_ascii(&mesh, NAME);
    let holds = |bytes: &[u8]| bytes.windows(NAME.len()).any(|w| w == NAME.as_bytes());
    let made = named_3mf();
    assert!(holds(&binary) && holds(&ascii) && holds(&unzipped(&made)));
    let files = [("arm.3mf", made), ("leg.stl", binary), ("toe.stl", ascii)];
    for (n, (name, bytes)) in (1..).zip(&files) {
        let key = format!("send-000000{n}");
        let fields = [("key", key.as_str()), ("copies", "1"), ("material", "PLA")];
        let sent = site.send(NEWT, &fields, &[(name, bytes)]).await;
        assert_eq!(
            leads_to(&sent),
            Some(format!("/parts/{n}").as_str()),
            "{sent}"
        );
        let books = site.books().await;
        let id = books.numbered(n).unwrap().request.id;
        let plate = books.plates_of(id).next().unwrap().on().0;
        for (who, path) in [
            (NEWT, format!("/parts/{n}/part-1.stl")),
            (NEWT, format!("/parts/{n}/part-1-light.stl")),
            (NEWT, format!("/parts/{n}/part-1.png")),
            (NEWT, format!("/parts/{n}")),
            (COORDINATOR, format!("/review/{n}")),
            (BENCH, format!("/plates/{plate}/plate-{plate}.3mf")),
        ] {
            let cookie = site.cookie(who).await;
            let head = format!("GET {path} HTTP/1.1\r\nHost: localhost\r\nCookie: {cookie}");
            let answer = site.ask(&head, &[]).await;
            assert_eq!(status(&String::from_utf8_lossy(&answer)), "200", "{path}");
            assert!(!holds(&answer), "{name}: {path}");
            if path.to_lowercase().ends_with(".3mf") {
                assert!(!holds(&unzipped(body(&answer))), "{name}: {path}");
            }
        }
    }
}

/// What a review page has been shown of.
fn seen(page: &str) -> String {
    let (_, after) = page.split_once("name=\"seen\" value=\"").unwrap();
    after.split_once('"').unwrap().0.to_owned()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_decision_on_an_old_page_is_told_and_changes_nothing() {
    let site = served().await;
    sent(&site, "send-0000001", "knife.stl", &[]).await;
    let old = seen(&site.get("/review/1", COORDINATOR).await);
    let no = format!("key=refuse-01&seen={old}&reason=could-hurt&words=");
    for _ in 0..2 {
        let answer = site.post("/review/1/refuse", COORDINATOR, &no).await;
        assert_eq!(leads_to(&answer), Some("/review/1"), "{answer}");
    }
    site.post("/parts/1/appeal", NEWT, "key=appeal-01&words=Butter.")
        .await;
    // Whoever has the first page open has not read the appeal, and would decide for good.
    for (path, more) in [("refuse", "&reason=could-hurt"), ("pass", "")] {
        let form = format!("key={path}-late&seen={old}{more}");
        let answer = site
            .post(&format!("/review/1/{path}"), COORDINATOR, &form)
            .await;
        assert_eq!(status(&answer), "409", "{path}");
        assert_eq!(state(&site.books().await, 1), State::HeldForReview);
    }
    let new = seen(&site.get("/review/1", COORDINATOR).await);
    let yes = format!("key=passpass-1&seen={new}");
    let passed = site.post("/review/1/pass", COORDINATOR, &yes).await;
    assert_eq!(leads_to(&passed), Some("/parts/1"), "{passed}");
}

#[tokio::test(flavor = "multi_thread")]
async fn before_taking_down_it_is_said_what_goes_with_it_and_what_stays() {
    let site = served().await;
    sent(&site, "send-0000001", "arm.stl", &[]).await;
    sent(&site, "send-0000002", "strut.stl", &[("sure", "yes")]).await;
    let theirs = [
        ("key", "send-0000003"),
        ("copies", "1"),
        ("material", "PLA"),
    ];
    site.send(SILT, &theirs, &[("arm.stl", &prism(24.0))]).await;
    let page = site.get("/review/1", COORDINATOR).await;
    assert!(page.contains("with the same file go with it: 2."), "{page}");
    assert!(page.contains("these stay, so look at them too: 3."));
    let none = site.post("/review/1/down", COORDINATOR, "key=takedown-1");
    assert_eq!(status(&none.await), "422", "no reason, no deed");
    assert_eq!(state(&site.books().await, 1), State::Pledged);
    let down = "key=takedown-2&reason=not-theirs&words=";
    site.post("/review/1/down", COORDINATOR, down).await;
    let books = site.books().await;
    let states = [1, 2, 3].map(|number| state(&books, number));
    assert_eq!(states, [State::Recalled, State::Recalled, State::Pledged]);
    let queue = site.get("/review", COORDINATOR).await;
    assert_eq!(queue.matches("Taken down.").count(), 2);
}

#[tokio::test(flavor = "multi_thread")]
async fn what_nobody_decided_is_no_word_about_the_part() {
    let site = served().await;
    sent(&site, "send-0000001", "knife.stl", &[]).await;
    let held = site.get("/parts/1", NEWT).await;
    assert!(
        held.contains("If nobody decides within 7 days, the answer is no by itself"),
        "{held}"
    );
    let clock = Actor::new(Role::Clock);
    for hours in [1, 26, 24 * 7 + 2] {
        let at = EventMs(site.session.now.0 + hours * 3_600_000);
        let later = site.session.at(at).await.unwrap();
        undecided::close(&later, &clock).await.unwrap();
        let books = Books::open(&later).await.unwrap();
        look(&later, &clock, &books, &BTreeMap::new())
            .await
            .unwrap();
    }
    assert_eq!(state(&site.books().await, 1), State::Refused);
    let list = site.get("/parts", NEWT).await;
    assert!(list.contains("Nobody decided in time"), "{list}");
    assert!(!list.contains("We don’t print it as it is"), "{list}");
    let queue = site.get("/review", COORDINATOR).await;
    assert!(
        queue.contains("Nobody decided in time: the answer was no by itself."),
        "{queue}"
    );
    assert!(!queue.contains("Refused."), "{queue}");
}
