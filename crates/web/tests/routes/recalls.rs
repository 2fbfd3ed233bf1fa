//! Recalls on pages and for programs; parts in the wrong unit; deeds while others send slowly.

use std::time::Duration;

use partpledge_records::{State, TokenKind};
use tokio::io::AsyncWriteExt;
use tokio::net::TcpStream;

use super::{COORDINATOR, NEWT, SILT, Served, leads_to, served, status};

/// Part 1 of Newt Works, of that file of the demo's, off the bed: its plate, printer, bench's code.
async fn made(site: &Served, which: usize) -> (u64, String, String) {
    let file = partpledge_testbed::files().swap_remove(which);
    let fields = [
        ("key", "send-0000001"),
        ("copies", "1"),
        ("material", "PETG"),
    ];
    let sent = site.send(NEWT, &fields, &[(file.name, &file.bytes)]).await;
    assert_eq!(leads_to(&sent), Some("/parts/1"), "{sent}");
    let books = site.books().await;
    let terrain = &site.session.terrain;
    let place = books.floor.plan.assignments[0];
    let printer = terrain.region.printers[place.printer.0].name.clone();
    let (code, plate) = (site.code_at(&place), place.plate.0);
    site.walk(&code, (plate, 1), &["start", "off"]).await;
    (plate, printer, code)
}

fn stretch(printer: &str) -> String {
    let printer = printer.replace(' ', "+");
    format!("ask=printer&printer={printer}&from_day=2027-03-09&until_day=2027-03-09&out=no")
}

fn entry_in(page: &str) -> String {
    let (_, rest) = page.split_once("href=\"/recalls/").unwrap();
    rest.split('"').next().unwrap().to_owned()
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_wrong_with_the_form_of_a_recall_is_said_where_it_is() {
    let site = served().await;
    let ask = stretch(&site.session.terrain.region.printers[0].name);
    let bare = site.get("/recalls?ask=printer", COORDINATOR).await;
    for field in ["printer", "from_day", "until_day", "out"] {
        assert!(bare.contains(&format!("href=\"#{field}\"")), "{field}");
    }
    assert!(bare.contains("Say whether the printer goes out of use."));
    assert!(
        bare.contains(r#"value="yes" id="out" checked"#),
        "whoever comes by a link has it chosen beforehand"
    );
    for (typed, field) in [
        ("&from_clock=never", "from_clock"),
        ("&until_clock=25:00", "until_clock"),
        ("&from_clock=02:00&until_clock=01:00", "until_day"),
    ] {
        let page = format!("/recalls?{ask}{typed}");
        let page = site.get(&page, COORDINATOR).await;
        assert!(page.contains(&format!("href=\"#{field}\"")), "{field}");
        assert_eq!(page.matches("class=\"field__err\"").count(), 1, "{field}");
    }
    let ahead = ask.replace("2027-03-09", "2031-03-09");
    let ahead = site.get(&format!("/recalls?{ahead}"), COORDINATOR).await;
    assert!(ahead.contains("href=\"#from_day\"") && ahead.contains("not still to come"));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_recall_is_shown_done_checked_at_the_bench_and_seen_by_the_coordinator() {
    let site = served().await;
    let (plate, printer, code) = made(&site, 0).await;
    let ask = stretch(&printer);
    let shown = site.get(&format!("/recalls?{ask}"), COORDINATOR).await;
    assert!(shown.contains("One copy of one part would be recalled: 1 at the host."));
    assert!(shown.contains("Nothing is done yet.") && shown.contains("No recall is open."));
    let bench = format!("operator:{code}");
    assert_eq!(status(&site.get("/recalls", &bench).await), "403");
    for n in [1, 1, 2] {
        let form = format!("{ask}&key=recall-000{n}");
        let done = site.post("/recalls", COORDINATOR, &form).await;
        // Sent again it is done once; another is told that nothing is left.
        assert_eq!(status(&done), if n == 1 { "303" } else { "422" });
    }
    let region = site.get("/region", COORDINATOR).await;
    assert!(region.contains("Recalled, and not all checked"));
    assert!(region.contains("1 copy: 1 at the host."));
    let entry = entry_in(&region);
    let sheet = site.get(&format!("/run-sheets/{code}"), &bench).await;
    assert!(sheet.contains("1 to be checked again: it was recalled."));
    assert!(!sheet.contains("name=\"act\" value=\"box\""));
    let inspect = format!("/run-sheets/{code}/inspect?plate={plate}");
    let inspect = site.get(&inspect, &bench).await;
    assert_eq!(inspect.matches("value=\"settle\"").count(), 1);
    assert!(inspect.contains("was not right when it was made."));
    assert!(inspect.contains("name=\"about\" value=\"printer-drifted\""));
    assert!(
        !inspect.contains(" checked>"),
        "nothing is ticked beforehand"
    );
    let settle = |found: &str, n: u32| {
        format!(
            "plate={plate}&act=settle&copy=1&copy-{plate}-1={found}\
             &why-copy-{plate}-1=The+wrong+size&about=printer-drifted&key=settle-00{n}"
        )
    };
    let path = format!("/run-sheets/{code}/do");
    // Held a second time it can't be.
    let rework = site.post(&path, &bench, &settle("rework", 1)).await;
    assert_eq!(status(&rework), "422");
    let scrap = site.post(&path, &bench, &settle("scrap", 2)).await;
    assert_eq!(status(&scrap), "303");
    let page = site.get(&format!("/recalls/{entry}"), COORDINATOR).await;
    assert!(page.contains("Nothing is left to be checked."));
    assert!(page.contains("1 checked and not good"));
    let region = site.get("/region", COORDINATOR).await;
    assert!(!region.contains("Recalled, and not all checked"));
    let books = site.books().await;
    let copies = books.copies(books.numbered(1).unwrap().request.id);
    assert_eq!(copies[0].state, State::Pledged);
    assert_ne!(copies[0].plate, plate, "a plate of its own");
    let lift = format!("/recalls/{entry}/lift");
    let over = site.post(&lift, COORDINATOR, "key=lift-00001").await;
    assert_eq!(status(&over), "409");
    for path in ["/recalls/999", "/recalls/x"] {
        assert_eq!(status(&site.get(path, COORDINATOR).await), "404");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_team_reads_that_its_copies_are_recalled_and_says_what_it_found() {
    let site = served().await;
    let (plate, printer, code) = made(&site, 0).await;
    site.walk(&code, (plate, 1), &["box", "leave", "hand"])
        .await;
    let ask = stretch(&printer);
    let form = format!("{ask}&key=recall-0001");
    let done = site.post("/recalls", COORDINATOR, &form).await;
    assert_eq!(leads_to(&done), Some("/recalls"));
    let own = site.get("/parts/1", NEWT).await;
    assert!(own.contains("We recall this part"));
    assert!(own.contains("do not use it until somebody has checked it."));
    assert_eq!(own.matches("action=\"/parts/1/recall\"").count(), 2);
    assert_eq!(own.matches("value=\"printer-drifted\"").count(), 2);
    let bench = format!("operator:{code}");
    let seen = site.get("/parts/1", &bench).await;
    assert!(seen.contains("We recall this part") && !seen.contains("/parts/1/recall"));
    let answer =
        |found: &str, n: u32| format!("found={found}&about=printer-drifted&key=answer-00{n}");
    let path = "/parts/1/recall";
    let other = "found=good&about=file-replaced&key=answer-009";
    assert_eq!(status(&site.post(path, NEWT, other).await), "409");
    assert_eq!(
        status(&site.post(path, SILT, &answer("good", 1)).await),
        "404"
    );
    assert_eq!(
        status(&site.post(path, &bench, &answer("good", 2)).await),
        "403"
    );
    assert_eq!(status(&site.post(path, NEWT, &answer("", 3)).await), "422");
    for _ in 0..2 {
        let done = site.post(path, NEWT, &answer("not-good", 4)).await;
        assert_eq!(leads_to(&done), Some("/parts/1"));
    }
    let late = site.post(path, NEWT, &answer("good", 5)).await;
    assert_eq!(status(&late), "409");
    let own = site.get("/parts/1", NEWT).await;
    assert!(!own.contains("We recall this part"));
    assert!(own.contains("checked recalled copies: they are not good"));
    // It happened all the same: on the day's sheet, among the boxes, on the part's page.
    let gone = "What was in it doesn’t count any more.";
    assert!(own.contains(gone), "{own}");
    let sheet = site.get(&format!("/run-sheets/{code}"), COORDINATOR).await;
    for row in [format!("box:{plate}"), format!("hand:{plate}")] {
        let done = format!("data-over=\"{row}\"");
        assert!(sheet.contains(&done), "{row}: {sheet}");
    }
    assert!(!sheet.contains("value=\"boxed\"") && !sheet.contains("value=\"handed-over\""));
    let boxes = site
        .get(&format!("/run-sheets/{code}/boxes"), COORDINATOR)
        .await;
    assert!(boxes.contains(&format!("data-over=\"hand:{plate}\"")) && boxes.contains(gone));
    let books = site.books().await;
    let copies = books.copies(books.numbered(1).unwrap().request.id).iter();
    let copies = copies.map(|copy| (copy.state, copy.plate == plate));
    assert_eq!(copies.collect::<Vec<_>>(), vec![(State::Pledged, false)]);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_box_with_recalled_copies_is_checked_from_the_list_of_boxes_or_let_go() {
    let site = served().await;
    let (plate, printer, code) = made(&site, 0).await;
    site.walk(&code, (plate, 1), &["box"]).await;
    let ask = stretch(&printer);
    for n in 1..=2 {
        let form = format!("{ask}&key=recall-000{n}");
        assert_eq!(
            status(&site.post("/recalls", COORDINATOR, &form).await),
            "303"
        );
        let boxes = site
            .get(&format!("/run-sheets/{code}/boxes"), COORDINATOR)
            .await;
        assert!(boxes.contains("Copies in it were recalled."));
        assert!(!boxes.contains("name=\"act\" value=\"leave\""));
        let own = site.get("/parts/1", NEWT).await;
        assert!(own.contains("It comes when somebody has checked them."));
        assert!(!own.contains("/parts/1/came"), "it lies at its host");
        assert!(boxes.contains("was not right when it was made."));
        assert_eq!(boxes.matches("value=\"printer-drifted\"").count(), 2);
        let label = site.get(&format!("/boxes/{plate}"), COORDINATOR).await;
        assert!(label.contains("Keep the box until they are checked."));
        assert!(!label.contains("Hand it over, or say") && !label.contains("It leaves"));
        let path = format!("/run-sheets/{code}/do");
        let leave = format!("plate={plate}&act=leave&key=leave-000{n}");
        let held = site.post(&path, COORDINATOR, &leave).await;
        assert_eq!(status(&held), "409");
        assert!(held.contains("were recalled."));
        if n == 1 {
            let entry = entry_in(&site.get("/recalls", COORDINATOR).await);
            let lift = format!("/recalls/{entry}/lift");
            let done = site.post(&lift, COORDINATOR, "key=lift-00001").await;
            assert_eq!(leads_to(&done), Some(&*format!("/recalls/{entry}")));
        } else {
            let good = format!(
                "plate={plate}&act=checked-good&about=printer-drifted&from=boxes&key=good-0001"
            );
            let done = site.post(&path, COORDINATOR, &good).await;
            assert_eq!(leads_to(&done), Some(&*format!("/run-sheets/{code}/boxes")));
        }
    }
    site.walk(&code, (plate, 1), &["leave"]).await;
}

/// What a program of somebody's is answered.
async fn asked(site: &Served, who: &str, (head, n, body): (&str, u32, &str)) -> String {
    let token = site.token(who, TokenKind::Api).await;
    let head = format!(
        "{head} HTTP/1.1\r\nHost: localhost\r\nAuthorization: Bearer {token}\r\n\
         Idempotency-Key: program-{n}\r\nContent-Type: application/json"
    );
    let answer = site.ask(&head, body.as_bytes()).await;
    String::from_utf8_lossy(&answer).into_owned()
}

#[tokio::test(flavor = "multi_thread")]
async fn programs_recall_check_and_lift() {
    let site = served().await;
    let (plate, printer, code) = made(&site, 0).await;
    let bench = format!("operator:{code}");
    let told = format!(
        "{{\"printer\":\"{printer}\",\"from\":\"2027-03-09T08:00:00+01:00\",\
         \"until\":\"2027-03-09T18:00:00+01:00\"}}"
    );
    let base = "/api/v1/region/recalls";
    let open = format!("POST {base}");
    let what_if = format!("POST {base}/if");
    let shown = asked(&site, COORDINATOR, (&what_if, 1, &told)).await;
    assert!(
        status(&shown) == "200" && shown.contains("\"stands\":\"at-host\""),
        "{shown}"
    );
    let neither = asked(&site, COORDINATOR, (&open, 2, "{}")).await;
    assert_eq!(status(&neither), "422");
    let old = asked(&site, COORDINATOR, (&open, 3, "{\"part\":1}")).await;
    assert!(
        status(&old) == "409" && old.contains("not-replaced"),
        "{old}"
    );
    assert_eq!(
        status(&asked(&site, &bench, (&open, 4, &told)).await),
        "403"
    );
    let done = asked(&site, COORDINATOR, (&open, 5, &told)).await;
    assert_eq!(status(&done), "200", "{done}");
    let nothing = asked(&site, COORDINATOR, (&open, 15, &told)).await;
    assert!(nothing.contains("nothing-to-recall"), "{nothing}");
    let sheet = format!("GET /api/v1/run-sheets/{code}");
    let sheet = asked(&site, &bench, (&sheet, 6, "")).await;
    assert!(sheet.contains("\"stopped\":\"recalled\""), "{sheet}");
    let deeds = format!("POST /api/v1/run-sheets/{code}/deeds");
    let deed = |deed: &str| format!("{{\"deed\":\"{deed}\",\"plate\":{plate}}}");
    let boxed = asked(&site, &bench, (&deeds, 7, &deed("box"))).await;
    assert!(
        status(&boxed) == "409" && boxed.contains("box-recalled"),
        "{boxed}"
    );
    let about =
        |code: &str| format!("{{\"deed\":\"recall-good\",\"plate\":{plate},\"about\":\"{code}\"}}");
    let other = asked(&site, &bench, (&deeds, 16, &about("file-replaced"))).await;
    assert!(status(&other) == "409" && other.contains("recall-over"));
    let good = asked(&site, &bench, (&deeds, 8, &about("printer-drifted"))).await;
    assert_eq!(status(&good), "200", "{good}");
    let all = asked(&site, COORDINATOR, (&format!("GET {base}"), 9, "")).await;
    assert!(all.contains("\"counts\":{\"good\":1}") && all.contains("\"open\":false"));
    let team = asked(
        &site,
        NEWT,
        ("POST /api/v1/parts/1/recall", 10, "{\"good\":true}"),
    )
    .await;
    assert!(
        status(&team) == "409" && team.contains("recall-over"),
        "{team}"
    );
    let again = asked(&site, COORDINATOR, (&open, 11, &told)).await;
    assert_eq!(status(&again), "200", "what was good can be recalled anew");
    let all = asked(&site, COORDINATOR, (&format!("GET {base}"), 12, "")).await;
    let (_, entry) = all.split_once("\"entry\":").unwrap();
    let entry = entry.split(',').next().unwrap();
    let lift = format!("POST {base}/{entry}/lift");
    let lifted = asked(&site, COORDINATOR, (&lift, 13, "")).await;
    assert_eq!(status(&lifted), "200", "{lifted}");
    assert_eq!(
        status(&asked(&site, COORDINATOR, (&lift, 14, "")).await),
        "409"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_program_that_says_a_time_that_is_over_is_told_which() {
    let site = served().await;
    let printer = &site.session.terrain.region.printers[0].name;
    let told = format!(
        "{{\"printer\":\"{printer}\",\"from\":\"2027-03-09T08:00:00+01:00\",\
         \"until\":\"2027-03-09T18:00:00+01:00\",\"out_until\":\"2027-03-01T18:00:00+01:00\"}}"
    );
    let open = "POST /api/v1/region/recalls";
    let over = asked(&site, COORDINATOR, (open, 1, &told)).await;
    assert!(
        status(&over) == "422" && over.contains("out_until"),
        "{over}"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_part_in_the_wrong_unit_is_asked_for_anew_from_its_page_or_by_a_program() {
    let site = served().await;
    // A small STL: the file says no unit.
    let (plate, _, code) = made(&site, 7).await;
    site.walk(&code, (plate, 1), &["box", "leave", "hand"])
        .await;
    let own = site.get("/parts/1", NEWT).await;
    assert!(own.contains("Did it come out in the wrong size?"));
    assert!(own.contains("stay in your team’s share."));
    let seen = site.get("/parts/1", COORDINATOR).await;
    assert!(!seen.contains("Did it come out in the wrong size?"));
    let path = "/parts/1/wrong-unit";
    let said = |unit: &str, n: u32| format!("unit={unit}&key=unit-000{n}");
    assert_eq!(status(&site.post(path, SILT, &said("cm", 1)).await), "404");
    assert_eq!(status(&site.post(path, NEWT, &said("", 2)).await), "422");
    assert_eq!(status(&site.post(path, NEWT, &said("m", 3)).await), "422");
    for _ in 0..2 {
        let done = site.post(path, NEWT, &said("in", 4)).await;
        assert_eq!(leads_to(&done), Some("/parts/2"), "{done}");
    }
    let own = site.get("/parts/1", NEWT).await;
    assert!(own.contains("It came out in the wrong unit: mm, and it should be in."));
    assert!(own.contains("href=\"/parts/2\"") && own.contains("The promise was kept."));
    assert!(own.contains("in 10, and it came in time.") && !own.contains("it is there by then"));
    assert!(!own.contains("Did it come out in the wrong size?"));
    let twice = "POST /api/v1/parts/1/wrong-unit";
    let late = asked(&site, NEWT, (twice, 5, "{\"unit\":\"cm\"}")).await;
    assert!(
        status(&late) == "409" && late.contains("not-made-yet"),
        "{late}"
    );
    let shares = site.get("/shares", NEWT).await;
    assert!(shares.contains("of it in the wrong unit"));
    assert_eq!(site.books().await.requests.len(), 2);
}

/// Begins to send a file and stops in the middle of it.
async fn slow(site: &Served, who: &str) -> TcpStream {
    let cookie = site.cookie(who).await;
    let mut socket = TcpStream::connect(site.address).await.unwrap();
    let head = format!(
        "POST /parts/send HTTP/1.1\r\nHost: localhost\r\nCookie: {cookie}\r\n\
         Content-Type: multipart/form-data; boundary=sep\r\nContent-Length: 1000000\r\n\r\n\
         --sep\r\nContent-Disposition: form-data; name=\"key\"\r\n\r\n"
    );
    socket.write_all(head.as_bytes()).await.unwrap();
    socket
}

#[tokio::test(flavor = "multi_thread")]
async fn deeds_without_a_body_do_not_wait_for_those_who_send_slowly() {
    let site = served().await;
    site.send_bracket("send-0000001").await;
    // All turns there are, held by two others.
    let held = [
        slow(&site, SILT).await,
        slow(&site, "mentor:Newt Works").await,
    ];
    tokio::time::sleep(Duration::from_millis(300)).await;
    let again = site.post("/parts/1/again", NEWT, "key=again-0001");
    let again = tokio::time::timeout(Duration::from_secs(12), again).await;
    assert_eq!(leads_to(&again.unwrap()), Some("/parts/2"));
    drop(held);
}
