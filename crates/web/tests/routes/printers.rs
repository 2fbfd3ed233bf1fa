//! Printers out of use and back, on the run sheet of their bench; and with a recall.

use partpledge_units::time::Minutes;
use partpledge_web::Site;

use super::{BENCH, COORDINATOR, NEWT, OTHER_BENCH, Served, leads_to, served, served_at, status};

const SHEET: &str = "/run-sheets/brindlemoor";

/// A printer of the bench.
fn printer(site: &Served) -> String {
    let terrain = &site.session.terrain;
    let school = &terrain.file.school("brindlemoor").unwrap().name;
    let own = (0..terrain.region.printers.len()).find(|i| {
        let ix = partpledge_planning_model::PrinterIx(*i);
        terrain.host_at(ix, site.session.minute()) == school
    });
    terrain.region.printers[own.unwrap()].name.clone()
}

/// The part of a page about its printers.
fn section(page: &str) -> &str {
    let (_, rest) = page.split_once("id=\"printers\"").unwrap();
    rest.split_once("</section>").unwrap().0
}

fn form(printer: &str, key: &str, more: &str) -> String {
    format!("printer={}&key={key}{more}", printer.replace(' ', "+"))
}

#[tokio::test(flavor = "multi_thread")]
async fn a_bench_says_that_its_printer_is_out_of_use_and_that_it_works_again() {
    let site = served().await;
    let name = printer(&site);
    let path = format!("{SHEET}/printer");
    let asked = format!("{path}?printer={}", name.replace(' ', "+"));
    let page = site.get(SHEET, BENCH).await;
    assert!(section(&page).contains(&format!("<b>{name}</b>: it can be used.")));
    assert!(!page.contains("is out of use until") && !page.contains("Works again"));
    let blank = site.get(&asked, BENCH).await;
    assert!(
        blank.contains("value=\"2027-03-10\"") && blank.contains("It is being cleaned or mended")
    );
    // Nothing is answered beforehand, and what is missing is asked for.
    let out = "&use=out&reason=The+power+went&until_day=2027-03-12&until_clock=12%3A00";
    for (more, field) in [
        (
            "&use=out&until_day=2027-03-12&until_clock=12%3A00",
            "reason",
        ),
        ("&use=out&reason=The+power+went", "until_day"),
        (
            "&use=out&reason=The+power+went&until_day=2027-03-01&until_clock=12%3A00",
            "until_day",
        ),
        (
            "&use=out&reason=The+power+went&until_day=2207-03-12&until_clock=12%3A00",
            "until_day",
        ),
    ] {
        let answer = site
            .post(&path, BENCH, &form(&name, "out-000001", more))
            .await;
        assert_eq!(status(&answer), "422", "{more}");
        assert!(
            answer.contains(&format!("href=\"#{field}\"")),
            "{more}: {answer}"
        );
    }
    for who in [NEWT, OTHER_BENCH] {
        let answer = site.post(&path, who, &form(&name, "out-000001", out)).await;
        assert_eq!(status(&answer), "403", "{who}");
    }
    assert!(site.books().await.floor.outages.is_empty());
    for _ in 0..2 {
        let answer = site
            .post(&path, BENCH, &form(&name, "out-000001", out))
            .await;
        assert_eq!(
            leads_to(&answer),
            Some("/run-sheets/brindlemoor#printers"),
            "{answer}"
        );
    }
    assert_eq!(
        site.books().await.floor.outages.len(),
        1,
        "sent twice, it is one"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_printer_out_of_use_stands_on_its_sheets_until_it_works_again() {
    let site = served().await;
    let name = printer(&site);
    let path = format!("{SHEET}/printer");
    let out = "&use=out&reason=The+power+went&until_day=2027-03-12&until_clock=12%3A00";
    let answer = site
        .post(&path, BENCH, &form(&name, "out-000001", out))
        .await;
    assert_eq!(status(&answer), "303");
    let page = site.get(SHEET, BENCH).await;
    let says = format!("<b>{name} is out of use until Friday 12 March, 12:00: the power went.</b>");
    assert!(page.contains(&says), "{page}");
    let night = page.split_once("class=\"dark\"").unwrap().1;
    assert!(night.contains(&format!(
        "{name} is out of use: see that it is off and cool."
    )));
    // The others are empty, and it is not among them.
    let (empty, _) = night.split_once(": empty, cool").unwrap();
    assert!(!empty.contains(&name), "{night}");
    // Its other days say so too, and offer nothing; the coordinator has the same line.
    let tomorrow = site.get(&format!("{SHEET}?day=2027-03-10"), BENCH).await;
    assert!(
        tomorrow.contains("is out of use until Friday 12 March, 12:00")
            && !tomorrow.contains("Works again")
    );
    let chief = site.get(SHEET, COORDINATOR).await;
    assert!(
        section(&chief).contains("out of use until Friday 12 March, 12:00")
            && chief.contains("Works again")
    );
    let region = site.get("/region", COORDINATOR).await;
    let says = format!("{name}, Brindlemoor School: out of use until Friday 12 March, 12:00");
    assert!(region.contains(&says), "{region}");
    let back = form(&name, "back-00001", "&use=back");
    let answer = site.post(&path, COORDINATOR, &back).await;
    assert_eq!(status(&answer), "303");
    let page = site.get(SHEET, BENCH).await;
    assert!(!page.contains("is out of use until"));
    // Said by mistake, it is taken back; and pressed on another page, nothing else is.
    let page = site.get(SHEET, BENCH).await;
    let (_, entry) = section(&page)
        .split_once("name=\"entry\" value=\"")
        .unwrap();
    let entry = entry.split('"').next().unwrap();
    for (key, told) in [("undo-00001", "303"), ("undo-00002", "409")] {
        let undo = form(&name, key, &format!("&use=undo&entry={entry}"));
        let done = site.post(&path, BENCH, &undo).await;
        assert_eq!(status(&done), told, "{done}");
    }
    let page = site.get(SHEET, BENCH).await;
    assert!(page.contains("is out of use until Friday 12 March, 12:00"));
    // What is not there is told so.
    let none = form("Nobody", "out-000009", out);
    assert_eq!(status(&site.post(&path, BENCH, &none).await), "404");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_recall_of_a_drifted_printer_asks_whether_it_goes_out_of_use() {
    let site = served().await;
    site.send_bracket("send-0000001").await;
    let books = site.books().await;
    let place = books.floor.plan.assignments[0];
    let terrain = &site.session.terrain;
    let name = terrain.region.printers[place.printer.0].name.clone();
    let code = site.code_at(&place);
    site.walk(&code, (place.plate.0, 1), &["start", "off"])
        .await;
    let page = site.get("/recalls", COORDINATOR).await;
    assert!(page.contains(r#"value="yes" id="out" checked"#), "{page}");
    assert!(page.contains(r#"name="out_day" value="2027-03-10""#));
    let asked = format!(
        "ask=printer&printer={}&from_day=2027-03-09&until_day=2027-03-09&out=yes",
        name.replace(' ', "+")
    );
    for (day, says) in [
        ("2027-03-01", "That time is over."),
        ("2207-03-11", "more than a year away"),
    ] {
        let wrong = format!("/recalls?{asked}&out_day={day}&out_clock=12:00");
        let wrong = site.get(&wrong, COORDINATOR).await;
        assert!(wrong.contains("href=\"#out_day\"") && wrong.contains(says));
    }
    // Nothing said is not no.
    let unsaid = format!("{}&key=recall-000", asked.replace("&out=yes", ""));
    let unsaid = site.post("/recalls", COORDINATOR, &unsaid).await;
    assert_eq!(status(&unsaid), "422");
    assert!(unsaid.contains("href=\"#out\""), "{unsaid}");
    let no = format!("/recalls?{}", asked.replace("out=yes", "out=no"));
    let no = site.get(&no, COORDINATOR).await;
    let says = format!(
        "{name} prints on. What starts on it after Tuesday 9 March, 23:59 is not recalled."
    );
    assert!(no.contains(&says), "{no}");
    let asked = format!("{asked}&out_day=2027-03-11&out_clock=12:00");
    let shown = site.get(&format!("/recalls?{asked}"), COORDINATOR).await;
    assert!(
        shown.contains(&format!(
            "{name} is out of use until Thursday 11 March, 12:00."
        )),
        "{shown}"
    );
    let done = site
        .post("/recalls", COORDINATOR, &format!("{asked}&key=recall-001"))
        .await;
    assert_eq!(leads_to(&done), Some("/recalls"), "{done}");
    let sheet = site.get(&format!("/run-sheets/{code}"), COORDINATOR).await;
    let says =
        format!("{name} is out of use until Thursday 11 March, 12:00: its sizes have drifted.");
    assert!(sheet.contains(&says), "{sheet}");
    assert!(sheet.contains(
        "What it had made was recalled today: make a small test part and measure it before you print parts on it."
    ));
}

/// What was said after people had left holds for that night too.
#[tokio::test(flavor = "multi_thread")]
async fn a_printer_put_out_of_use_in_the_evening_is_not_called_empty_and_cool() {
    let region = partpledge_testbed::ambrel_valley();
    let site = served_at("2027-03-09T21:00:00+01:00", region, Site::to_try).await;
    let name = printer(&site);
    let night = async || {
        let page = site.get(SHEET, BENCH).await;
        page.split_once("class=\"dark\"").unwrap().1.to_owned()
    };
    let says = format!("{name} is out of use: see that it is off and cool.");
    assert!(!night().await.contains(&says));
    let out = "&use=out&reason=The+power+went&until_day=2027-03-12&until_clock=12%3A00";
    let path = format!("{SHEET}/printer");
    let told = form(&name, "out-000001", out);
    let answer = site.post(&path, BENCH, &told).await;
    assert_eq!(status(&answer), "303", "{answer}");
    let night = night().await;
    assert!(night.contains(&says), "{night}");
    let empty = night.split_once(": empty, cool");
    assert!(
        empty.is_none_or(|(empty, _)| !empty.contains(&name)),
        "{night}"
    );
}

/// The queue of a tablet is answered as for any tick, and a deed that is sent twice is one.
#[tokio::test(flavor = "multi_thread")]
async fn a_tablet_tells_later_that_a_printer_is_out_of_use_or_works_again() {
    let site = served().await;
    let name = printer(&site);
    let queued = async |who: &str, key: &str, more: &str| {
        let cookie = site.cookie(who).await;
        let head = format!(
            "POST {SHEET}/printer HTTP/1.1\r\nHost: localhost\r\nCookie: {cookie}\r\n\
             Accept: application/json\r\nContent-Type: application/x-www-form-urlencoded"
        );
        let form = form(&name, key, more);
        String::from_utf8_lossy(&site.ask(&head, form.as_bytes()).await).into_owned()
    };
    let ago = |minutes: i64| format!("&occurred_at={}", site.session.now.0 - minutes * 60_000);
    let out = "&use=out&reason=The+power+went&until_day=2027-03-12&until_clock=12%3A00";
    let late = format!("{out}{}", ago(30));
    for _ in 0..2 {
        let done = queued(BENCH, "out-000001", &late).await;
        assert!(done.contains("{\"answer\":\"done\"}"), "{done}");
    }
    let outages = site.books().await.floor.outages;
    assert_eq!(outages.len(), 1);
    assert_eq!(outages[0].from, site.session.minute() - Minutes(30));
    let page = site.get(SHEET, BENCH).await;
    assert!(page.contains(&format!("data-printer=\"{name}\"")));
    assert!(section(&page).contains(&format!("data-queue=\"{name} works again\"")));
    let asked = format!("{SHEET}/printer?printer={}", name.replace(' ', "+"));
    let blank = site.get(&asked, BENCH).await;
    assert!(blank.contains(&format!("data-queue=\"{name} out of use\"")));
    let back = format!("&use=back{}", ago(10));
    let done = queued(BENCH, "back-00001", &back).await;
    assert!(done.contains("{\"answer\":\"done\"}"), "{done}");
    for (who, key, more, answer) in [
        (
            BENCH,
            "out-000002",
            "&use=out&until_day=2027-03-12&until_clock=12%3A00",
            "refused",
        ),
        (
            BENCH,
            "out-000003",
            "&use=back&occurred_at=yesterday",
            "refused",
        ),
        (OTHER_BENCH, "out-000004", out, "sign-in"),
    ] {
        let heard = queued(who, key, more).await;
        assert!(
            heard.contains(&format!("\"answer\":\"{answer}\"")),
            "{heard}"
        );
    }
}
