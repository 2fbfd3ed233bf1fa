//! The ground under the plan, through the coordinator's forms: a snow day.

use partpledge_records::TokenKind;

use super::{COORDINATOR, NEWT, leads_to, served, status};

const SNOW: &str = "all=hosts&day=2027-03-10&last=&opens=&closes=&reason=Snow";

#[tokio::test(flavor = "multi_thread")]
async fn a_snow_day_is_shown_then_done_once_then_lifted() {
    let site = served().await;
    site.send_bracket("send-0000001").await;
    site.cookie(COORDINATOR).await;
    let before = site.books().await;
    let shown = site
        .get(&format!("/region/closed?ask=yes&{SNOW}"), COORDINATOR)
        .await;
    assert_eq!(status(&shown), "200");
    for text in [
        "Not done yet: this is what it would do",
        "Wednesday 10 March, all day",
        "name=\"school\" value=\"brindlemoor\"",
        "Nothing is done yet.",
    ] {
        assert!(shown.contains(text), "{text}");
    }
    assert_eq!(
        site.books().await.entry,
        before.entry,
        "nothing was written"
    );
    let form = format!("{SNOW}&key=snow-day-0001");
    for _ in 0..2 {
        let done = site.post("/region/closed", COORDINATOR, &form).await;
        assert_eq!(
            (status(&done), leads_to(&done)),
            ("303", Some("/region/closed"))
        );
    }
    let after = site.books().await;
    assert_eq!(after.entry, before.entry + 1, "once, for all of them");
    let listed = site.get("/region/closed", COORDINATOR).await;
    let lift = format!("/region/closed/{}/lift", after.entry);
    assert!(listed.contains(&format!("href=\"{lift}\"")));
    // The bench reads it on its sheet.
    let sheet = site
        .get("/run-sheets/brindlemoor?day=2027-03-10", COORDINATOR)
        .await;
    assert!(sheet.contains("Closed Wednesday 10 March, all day: Snow."));
    let region = site.get("/region", COORDINATOR).await;
    assert!(
        region.contains("schools are closed: snow"),
        "why the plan changed"
    );
    let asked = site.get(&lift, COORDINATOR).await;
    assert!(asked.contains("Open again what was closed?"));
    assert_eq!(status(&site.get(&lift, NEWT).await), "403");
    let opened = site.post(&lift, COORDINATOR, "key=thaw-000001").await;
    assert_eq!(status(&opened), "303");
    let listed = site.get("/region/closed", COORDINATOR).await;
    assert!(!listed.contains(&lift));
    let twice = site.post(&lift, COORDINATOR, "key=thaw-000002").await;
    assert_eq!(status(&twice), "404", "it was lifted");
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_wrong_with_a_closure_is_said_by_its_field() {
    let site = served().await;
    site.cookie(COORDINATOR).await;
    let entry = site.books().await.entry;
    let bad = "day=2027-03-01&last=&opens=25%3A00&closes=&reason=";
    let asked = site
        .get(&format!("/region/closed?ask=yes&{bad}"), COORDINATOR)
        .await;
    let form = format!("{bad}&key=snow-day-0001");
    let done = site.post("/region/closed", COORDINATOR, &form).await;
    assert_eq!(status(&done), "422");
    for answer in [asked, done] {
        for text in [
            "There is a problem",
            "Choose the schools that are closed.",
            "Say why in a few words.",
            "Give a time like 12:30, or leave it empty.",
        ] {
            assert!(answer.contains(text), "{text}");
        }
    }
    let over = "school=brindlemoor&day=2027-03-01&reason=x";
    let asked = site
        .get(&format!("/region/closed?ask=yes&{over}"), COORDINATOR)
        .await;
    assert!(asked.contains("That is over."));
    let keyless = site.post("/region/closed", COORDINATOR, SNOW).await;
    assert_eq!(status(&keyless), "403");
    assert_eq!(site.books().await.entry, entry);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_program_closes_schools_and_opens_them_again() {
    let site = served().await;
    let token = site.token(COORDINATOR, TokenKind::Api).await;
    let ask = async |method: &str, path: &str, body: &str, key: &str| {
        let head = format!(
            "{method} /api/v1/region{path} HTTP/1.1\r\nHost: localhost\r\n\
             Authorization: Bearer {token}\r\nContent-Type: application/json\r\n\
             Idempotency-Key: {key}"
        );
        let answer = site.ask(&head, body.as_bytes()).await;
        String::from_utf8_lossy(&answer).into_owned()
    };
    let told = "{\"schools\": [\"brindlemoor\"], \"from\": \"2027-03-10T12:00:00+01:00\", \
                \"until\": \"2027-03-10T18:00:00+01:00\", \"reason\": \"no power\"}";
    let shown = ask("POST", "/closures/if", told, "x").await;
    assert_eq!(status(&shown), "200");
    let done = ask("POST", "/closures", told, "no-power-1").await;
    assert_eq!(status(&done), "200", "{done}");
    let listed = ask("GET", "/closures", "", "x").await;
    assert!(listed.contains("\"reason\":\"no power\""), "{listed}");
    let entry = site.books().await.entry;
    let lift = format!("/closures/{entry}/lift");
    assert_eq!(status(&ask("POST", &lift, "", "power-0001").await), "200");
    assert!(
        ask("GET", "/closures", "", "x")
            .await
            .contains("\"items\":[]")
    );
    let nowhere = told.replace("brindlemoor", "nowhere");
    assert_eq!(
        status(&ask("POST", "/closures", &nowhere, "no-power-2").await),
        "422"
    );
}
