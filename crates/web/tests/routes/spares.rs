//! Spares at a meeting, on pages and for programs: seen, asked for once, and only by the team.

use partpledge_units::local::parse_rfc3339;
use partpledge_web::Site;
use partpledge_workshop::sending::spares::close_benches;
use partpledge_workshop::{Actor, Role};
use serde_json::json;

use super::api::Program;
use super::parts::value_of;
use super::{BENCH, COORDINATOR, NEWT, SILT, Served, leads_to, served_in, status};

/// The demo region with its meeting on the day that it is.
async fn at_the_meeting() -> Served {
    let region = partpledge_testbed::with_a_meeting();
    let today = region.replace("2027-03-13", "2027-03-09");
    let today = today.replace("sat 08:30-17:00", "tue 08:30-17:00");
    served_in(&today, Site::to_try).await
}

#[tokio::test(flavor = "multi_thread")]
async fn a_team_sees_by_when_it_would_hold_a_spare_and_gets_it_with_one_press() {
    let site = at_the_meeting().await;
    let sent = Program::of(&site, NEWT)
        .await
        .send_bracket("api-send-1")
        .await;
    assert_eq!(sent.status(), "201", "{:#}", sent.body);
    let list = site.get("/parts", NEWT).await;
    assert!(
        list.contains("Spares are printed today at the Valley qualifier"),
        "{list}"
    );
    let part = site.get("/parts/1", NEWT).await;
    assert!(part.contains("href=\"/parts/1/spare\""), "{part}");
    assert!(
        !site.get("/parts/1", BENCH).await.contains("/spare"),
        "only its team is offered one"
    );
    let page = site.get("/parts/1/spare?copies=2", NEWT).await;
    assert!(
        page.contains("Print 2 copies") && page.contains("Sluice Hall, by the stage"),
        "{page}"
    );
    let by = value_of(&page, "by").unwrap();
    for (path, who, wanted) in [
        ("/parts/1/spare?copies=many", NEWT, "422"),
        ("/parts/1/spare?copies=0", NEWT, "422"),
        ("/parts/1/spare", BENCH, "403"),
        ("/parts/1/spare", SILT, "404"),
    ] {
        let answer = site.get(path, who).await;
        assert_eq!(status(&answer), wanted, "{path} {who}: {answer}");
    }
    let form = |by: &str, key: &str| format!("at=sluice-hall&copies=2&material=&by={by}&key={key}");
    for (who, form, wanted) in [
        (SILT, form(&by, "spare-0001"), "404"),
        (BENCH, form(&by, "spare-0001"), "403"),
        (NEWT, form(&by, "x"), "403"),
        (NEWT, form("1", "spare-0002"), "409"),
    ] {
        let answer = site.post("/parts/1/spare", who, &form).await;
        assert_eq!(status(&answer), wanted, "{who} {form}: {answer}");
    }
    assert_eq!(site.books().await.requests.len(), 1, "nothing was written");
    for _ in 0..2 {
        let taken = site
            .post("/parts/1/spare", NEWT, &form(&by, "spare-0003"))
            .await;
        assert_eq!(
            (status(&taken), leads_to(&taken)),
            ("303", Some("/parts/2")),
            "{taken}"
        );
    }
    let books = site.books().await;
    assert_eq!(books.requests.len(), 2, "pressed twice, it is one");
    assert!(
        books
            .pledge_of(books.numbered(1).unwrap().request.id)
            .unwrap()
            .end
            .is_none()
    );
    let ticket = site.get("/parts/2", NEWT).await;
    assert!(ticket.contains("Sluice Hall, spares"), "{ticket}");
    let sheet = site
        .get("/run-sheets/sluice-hall", "operator:sluice-hall")
        .await;
    assert!(sheet.contains("at the hall"), "{sheet}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_machine_that_goes_to_a_meeting_is_asked_about_once() {
    let site = at_the_meeting().await;
    let page = site.get("/region/if", COORDINATOR).await;
    assert_eq!(status(&page), "200", "{page}");
    assert!(page.contains(">Heron</option>"), "{page}");
    assert!(!page.contains("Heron at the hall"), "{page}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_program_asks_for_a_spare_as_its_team_does() {
    let site = at_the_meeting().await;
    let team = Program::of(&site, NEWT).await;
    team.send_bracket("api-send-1").await;
    let offers = team.get("/api/v1/parts/1/spare").await;
    team.fits("SpareOffers", &offers.body);
    let offer = &offers.body["items"][0];
    assert_eq!(offer["at"], "sluice-hall");
    let asked = json!({ "at": "sluice-hall", "copies": 1, "by": offer["arrival"] });
    team.fits("SpareAsked", &asked);
    for _ in 0..2 {
        let made = team
            .deed("/api/v1/parts/1/spare", "api-spare-1", &asked)
            .await;
        assert_eq!(made.status(), "200", "{:#}", made.body);
        team.fits("Part", &made.body);
        assert_eq!(made.body["number"], 2);
    }
    let soon = json!({ "at": "sluice-hall", "copies": 1, "by": "2027-03-09T10:03:00+01:00" });
    let late = team
        .deed("/api/v1/parts/1/spare", "api-spare-2", &soon)
        .await;
    assert_eq!((late.status(), late.code()), ("409", "later-now"));
    let wrong = json!({ "at": "sluice-hall", "copies": 1, "by": "soon" });
    let wrong = team
        .deed("/api/v1/parts/1/spare", "api-spare-3", &wrong)
        .await;
    assert_eq!(wrong.status(), "422", "{:#}", wrong.body);
    let others = Program::of(&site, SILT).await;
    assert_eq!(others.get("/api/v1/parts/1/spare").await.status(), "404");
}

#[tokio::test(flavor = "multi_thread")]
async fn on_other_days_nothing_is_said_of_spares() {
    // The meeting is on Saturday, and it is Tuesday.
    let site = served_in(&partpledge_testbed::with_a_meeting(), Site::to_try).await;
    let team = Program::of(&site, NEWT).await;
    team.send_bracket("api-send-1").await;
    assert!(!site.get("/parts", NEWT).await.contains("Spares"));
    assert!(!site.get("/parts/1", NEWT).await.contains("/spare"));
    assert_eq!(status(&site.get("/parts/1/spare", NEWT).await), "409");
    let none = team.get("/api/v1/parts/1/spare").await;
    assert_eq!((none.status(), none.code()), ("409", "no-spare-now"));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_spare_that_was_not_made_stands_apart_as_a_broken_promise_with_its_reason() {
    let site = at_the_meeting().await;
    let team = Program::of(&site, NEWT).await;
    team.send_bracket("api-send-1").await;
    let offers = team.get("/api/v1/parts/1/spare").await;
    let offer = &offers.body["items"][0];
    let asked = json!({ "at": "sluice-hall", "copies": 1, "by": offer["arrival"] });
    team.deed("/api/v1/parts/1/spare", "api-spare-1", &asked)
        .await;
    let night = parse_rfc3339("2027-03-10T05:30:00+01:00").unwrap();
    let night = site.session.at(night).await.unwrap();
    let closed = close_benches(&night, &Actor::new(Role::Clock)).await;
    assert_eq!(closed.unwrap(), 1);
    let list = site.get("/parts", NEWT).await;
    let (_, list) = list.split_once("Promised and not made").unwrap();
    let (broken, withdrawn) = list.split_once(">Withdrawn<").unwrap();
    assert!(
        broken.contains("Pledge broken") && broken.contains("Sluice Hall closed before"),
        "{broken}"
    );
    assert!(!withdrawn.contains("Pledge broken"), "{withdrawn}");
    let page = site.get("/parts/2", NEWT).await;
    assert!(
        page.contains("Sluice Hall closed before it was made"),
        "{page}"
    );
    assert!(!page.contains("Not yet."), "nothing is to come: {page}");
    assert!(page.contains("Not any more."), "{page}");
}
