//! A plate with parts of two teams, at the bench.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use partpledge_records::{State, StepKind};
use partpledge_web::Site;

use super::{COORDINATOR, NEWT, Served, leads_to, served_in, status};

/// One printer, at a school with one courier round a day to each of two teams.
const REGION: &str = include_str!("../../../workshop/tests/workshop/sharing/region.toml");
const EEL: &str = "student:Eel Drive";
const SHEET: &str = "/run-sheets/rushford";

/// Two copies of one team and one of another on one plate: plate 1, with share 2.
async fn two_on_one() -> Served {
    let site = served_in(REGION, Site::to_try).await;
    let file = partpledge_testbed::files().swap_remove(1);
    for (who, copies, key) in [(NEWT, "2", "send-0000001"), (EEL, "1", "send-0000002")] {
        let fields = [("key", key), ("copies", copies), ("material", "PLA")];
        let answer = site.send(who, &fields, &[(file.name, &file.bytes)]).await;
        assert_eq!(status(&answer), "303", "{answer}");
    }
    let books = site.books().await;
    let second = books.plate(2).unwrap();
    assert_eq!(second.joins.map(|seq| seq.0), Some(1));
    site
}

impl Served {
    /// Does something at the bench and says where it led to.
    async fn does(&self, path: &str, form: &str) -> String {
        let answer = self
            .post(&format!("{SHEET}{path}"), COORDINATOR, form)
            .await;
        let to = leads_to(&answer).map(str::to_owned);
        to.unwrap_or_else(|| panic!("{form}: {answer}"))
    }

    async fn states(&self, number: i64) -> Vec<State> {
        let books = self.books().await;
        let id = books.numbered(number).unwrap().request.id;
        books.copies(id).iter().map(|copy| copy.state).collect()
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn each_team_is_counted_and_inspected_by_itself_on_the_sheet() {
    let site = two_on_one().await;
    let sheet = site.get(SHEET, COORDINATOR).await;
    assert_eq!(sheet.matches(r#"name="act" value="start""#).count(), 1);
    assert!(sheet.contains("Newt Works") && sheet.contains("Eel Drive"));
    site.does("/do", "plate=1&act=start&key=tick-start-1").await;
    site.does("/do", "plate=1&act=look&key=tick-look-01").await;
    let inspect = site
        .get(&format!("{SHEET}/inspect?plate=1"), COORDINATOR)
        .await;
    for copy in ["copy-1-1", "copy-1-2", "copy-2-1"] {
        assert!(inspect.contains(copy), "{copy}: {inspect}");
    }
    let trouble = site
        .get(&format!("{SHEET}/trouble?plate=1"), COORDINATOR)
        .await;
    assert!(trouble.contains(r#"name="good-1""#) && trouble.contains(r#"name="good-2""#));
    // One of the first team's is scrap; the other team's is good.
    let form = "plate=1&act=off&key=tick-off-001&good-1=1&good-2=1";
    site.does("/do", form).await;
    assert_eq!(site.states(1).await, [State::Inspected, State::Pledged]);
    assert_eq!(site.states(2).await, [State::Inspected]);
    // Taken back, all is as it was under way; said again, it holds.
    site.does("/undo", "plate=1&step=off&key=undo-off-001")
        .await;
    assert_eq!(site.states(1).await, [State::Running, State::Running]);
    assert_eq!(site.states(2).await, [State::Running]);
    site.does("/do", "plate=1&act=off&key=tick-off-002&good-1=2&good-2=1")
        .await;
    assert_eq!(site.states(1).await, [State::Inspected, State::Inspected]);
    // Nothing is to be looked at: who asks reads so, and a tablet that gathers pages by itself keeps nothing.
    let inspect = format!("{SHEET}/inspect?plate=1");
    assert_eq!(status(&site.get(&inspect, COORDINATOR).await), "404");
    let cookie = site.cookie(COORDINATOR).await;
    let head = format!(
        "GET {inspect} HTTP/1.1\r\nHost: localhost\r\nCookie: {cookie}\r\nPartpledge-Unasked: 1"
    );
    let gathered = site.ask(&head, b"").await;
    assert!(gathered.starts_with(b"HTTP/1.1 204 "));
    // Each has a box of its own.
    site.does("/do", "plate=2&act=box&key=tick-box-002").await;
    assert_eq!(site.states(2).await, [State::Boxed]);
    assert_eq!(site.states(1).await, [State::Inspected, State::Inspected]);
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_left_of_a_plate_keeps_its_number_on_every_form() {
    let site = two_on_one().await;
    let answer = site
        .post("/parts/1/withdraw", NEWT, "key=withdraw-01")
        .await;
    assert_eq!(status(&answer), "303", "{answer}");
    let sheet = site.get(SHEET, COORDINATOR).await;
    assert!(!sheet.contains("Newt Works"), "it is not on it any more");
    assert_eq!(sheet.matches(r#"name="act" value="start""#).count(), 1);
    let plate = site.get("/plates/1", COORDINATOR).await;
    assert_eq!(status(&plate), "200");
    assert!(plate.contains("Eel Drive") && !plate.contains("Newt Works"));
    let declined = site
        .get(&format!("{SHEET}/decline?plate=1"), COORDINATOR)
        .await;
    assert_eq!(status(&declined), "200");
    site.does("/do", "plate=1&act=start&key=tick-start-1").await;
    site.does("/do", "plate=1&act=look&key=tick-look-01").await;
    assert_eq!(site.states(2).await, [State::Running]);
    let inspect = site
        .get(&format!("{SHEET}/inspect?plate=1"), COORDINATOR)
        .await;
    assert!(
        inspect.contains("copy-2-1") && !inspect.contains("copy-1-"),
        "{inspect}"
    );
    let trouble = site
        .get(&format!("{SHEET}/trouble?plate=1"), COORDINATOR)
        .await;
    assert!(trouble.contains(r#"name="good-2""#) && !trouble.contains(r#"name="good-1""#));
    site.does("/do", "plate=1&act=off&key=tick-off-001&good-2=1")
        .await;
    assert_eq!(site.states(2).await, [State::Inspected]);
    site.does("/undo", "plate=1&step=off&key=undo-off-001")
        .await;
    assert_eq!(site.states(2).await, [State::Running]);
    assert_eq!(site.states(1).await, [State::Withdrawn, State::Withdrawn]);
    let reason = "It+lifted+at+the+corners&out=no";
    let form = format!("plate=1&key=trouble-001&reason={reason}&good-2=0&again=yes&printer=Heron");
    site.does("/trouble", &form).await;
    let books = site.books().await;
    let id = books.numbered(2).unwrap().request.id;
    let again = books.plates_of(id).last().unwrap();
    assert_eq!((again.plate.copies, again.joins), (1, None));
    assert!(books.place(again).is_some());
    assert!(books.step(1, StepKind::Failed).is_some());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_plate_is_found_and_its_run_told_only_by_those_still_on_it() {
    let site = two_on_one().await;
    site.post("/parts/1/withdraw", NEWT, "key=withdraw-01")
        .await;
    let found = site.get("/promises?q=1", COORDINATOR).await;
    assert!(found.contains("href=\"/plates/1\""), "{found}");
    site.does("/do", "plate=1&act=start&key=tick-start-1").await;
    site.does("/do", "plate=1&act=look&key=tick-look-01").await;
    site.does("/do", "plate=1&act=off&key=tick-off-001&good-2=1")
        .await;
    let found = site.get("/promises?q=1", COORDINATOR).await;
    assert_eq!(found.matches("href=\"/plates/1\"").count(), 1, "{found}");
    let theirs = site.get("/parts/2", EEL).await;
    // It was started, looked at and off in one minute.
    assert!(theirs.contains("off the bed, counts as "), "{theirs}");
    let gone = site.get("/parts/1", NEWT).await;
    assert!(gone.contains("not printed any more"), "{gone}");
    assert!(
        !gone.contains(", took ") && !gone.contains("counts as "),
        "{gone}"
    );
}
