//! The ground under the plan, through the coordinator's forms: a snow day, the region's tables.

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
            ("303", Some("/region/closed?done=closed"))
        );
    }
    let after = site.books().await;
    assert_eq!(after.entry, before.entry + 1, "once, for all of them");
    let listed = site.get("/region/closed?done=closed", COORDINATOR).await;
    assert!(listed.contains("Done: it is closed"), "{listed}");
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
async fn a_closure_that_was_shown_on_another_plan_is_shown_again_and_then_done() {
    let site = served().await;
    let ask = format!("/region/closed?ask=yes&{SNOW}");
    let shown = site.get(&ask, COORDINATOR).await;
    let form = |page: &str| {
        let (plan, key) = (hidden(page, "plan"), hidden(page, "key"));
        format!("{SNOW}&plan={plan}&key={key}")
    };
    site.send_bracket("send-0000001").await;
    let entry = site.books().await.entry;
    let old = form(&shown);
    let asked = site.post("/region/closed", COORDINATOR, &old).await;
    assert_eq!(status(&asked), "409");
    assert!(asked.contains("It was not done: the plan has changed meanwhile."));
    assert_eq!(site.books().await.entry, entry, "nothing was written");
    let done = site
        .post("/region/closed", COORDINATOR, &form(&asked))
        .await;
    assert_eq!(status(&done), "303", "what is shown again can be done");
    let lift = format!("/region/closed/{}/lift", site.books().await.entry);
    let shown = site.get(&lift, COORDINATOR).await;
    site.send_bracket("send-0000002").await;
    let form = |page: &str| {
        let (plan, key) = (hidden(page, "plan"), hidden(page, "key"));
        format!("plan={plan}&key={key}")
    };
    let asked = site.post(&lift, COORDINATOR, &form(&shown)).await;
    assert_eq!(status(&asked), "409");
    assert!(asked.contains("Open again what was closed?"));
    let done = site.post(&lift, COORDINATOR, &form(&asked)).await;
    assert_eq!(status(&done), "303");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_sheet_says_every_closure_of_its_day() {
    let site = served().await;
    for (at, why) in [
        ("opens=10%3A00&closes=", "Ice"),
        ("opens=&closes=14%3A00", "Power"),
    ] {
        let form = format!(
            "school=brindlemoor&day=2027-03-10&last=&{at}&reason={why}&key=closure-{why}-01"
        );
        let done = site.post("/region/closed", COORDINATOR, &form).await;
        assert_eq!(status(&done), "303", "{done}");
    }
    let sheet = site
        .get("/run-sheets/brindlemoor?day=2027-03-10", COORDINATOR)
        .await;
    assert!(sheet.contains(
        "Closed Wednesday 10 March, 00:00 to 10:00: Ice. \
         Closed Wednesday 10 March, 14:00 to the end of the day: Power."
    ));
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

/// The value of a hidden field.
fn hidden<'a>(page: &'a str, name: &str) -> &'a str {
    let begins = format!("name=\"{name}\" value=\"");
    let (_, rest) = page.split_once(&begins).unwrap();
    rest.split('"').next().unwrap()
}

/// What the button on a page sends.
fn button(page: &str) -> String {
    let names = ["table", "removes", "digest", "bytes", "key"];
    let pairs = names.map(|name| format!("{name}={}", hidden(page, name)));
    pairs.join("&")
}

#[tokio::test(flavor = "multi_thread")]
async fn a_table_goes_out_and_in_is_shown_and_done_once() {
    let site = served().await;
    let out = site.get("/region/data/teams.csv", COORDINATOR).await;
    assert!(out.contains("content-type: text/csv; charset=utf-8; header=present"));
    assert!(out.contains("attachment; filename=\"teams.csv\""));
    let (_, csv) = out.split_once("\r\n\r\n").unwrap();
    assert!(csv.starts_with("name,school\r\nNewt Works,"), "{csv}");
    let send = async |text: &str, removes: &str| {
        let fields = [("table", "teams"), ("removes", removes)];
        let files = [("teams.csv", text.as_bytes())];
        site.upload("/region/data", COORDINATOR, &fields, &files)
            .await
    };
    let same = send(csv, "yes").await;
    assert!(same.contains("Every line is like this already."));
    assert!(!same.contains("/region/data/do"), "no button");
    let entry = site.books().await.entry;
    let more = format!("{csv}=Reed <Rovers>,brindlemoor\r\n");
    let shown = send(&more, "no").await;
    assert_eq!(status(&shown), "200");
    for text in [
        "This can be done: 1 new.",
        "=Reed &#60;Rovers&#62;",
        "Nothing is done yet.",
    ] {
        assert!(shown.contains(text), "{text}");
    }
    assert_eq!(site.books().await.entry, entry, "nothing was written");
    let form = button(&shown);
    for _ in 0..2 {
        let done = site.post("/region/data/do", COORDINATOR, &form).await;
        assert_eq!(
            (status(&done), leads_to(&done)),
            ("303", Some("/region/data?done=changed"))
        );
    }
    assert_eq!(site.books().await.entry, entry + 1, "once");
    // At once on every page, by every way in: people can be asked to the team.
    let listed = site.get("/region/data", COORDINATOR).await;
    assert!(listed.contains("The region was changed: teams (1 new)"));
    let again = site.get("/region/data/teams.csv", COORDINATOR).await;
    assert!(
        again.contains("\r\n'=Reed <Rovers>,brindlemoor\r\n"),
        "no formula"
    );
    let team = site.get("/teams/=Reed%20%3CRovers%3E", COORDINATOR).await;
    assert_eq!(status(&team), "200");
    // Another form, made before: told, shown again, not done.
    let stale = format!("{csv}Heath Hares,dunmarrow\r\n");
    let old = send(&stale, "no").await;
    let newer = send(&format!("{csv}Moor Mice,dunmarrow\r\n"), "no").await;
    site.post("/region/data/do", COORDINATOR, &button(&newer))
        .await;
    let asked = site
        .post("/region/data/do", COORDINATOR, &button(&old))
        .await;
    assert_eq!(status(&asked), "409");
    assert!(asked.contains("It was not done: the region"));
    let done = site
        .post("/region/data/do", COORDINATOR, &button(&asked))
        .await;
    assert_eq!(status(&done), "303", "what is shown again can be done");
    assert_eq!(site.books().await.entry, entry + 3);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_wrong_table_is_said_line_by_line_and_nothing_is_kept() {
    let site = served().await;
    site.send_bracket("send-0000001").await;
    site.cookie(COORDINATOR).await;
    let entry = site.books().await.entry;
    let send = async |table: &str, text: &[u8]| {
        let fields = [("table", table), ("removes", "yes")];
        site.upload("/region/data", COORDINATOR, &fields, &[("x.csv", text)])
            .await
    };
    let other = send("teams", b"name;school\n").await;
    assert_eq!(status(&other), "422");
    assert!(other.contains("The first row must be: name,school"));
    let wrong = send("teams", b"name,school\r\nNewt Works,nowhere\r\n").await;
    for text in [
        "Not yet: one line is wrong.",
        "Line 2",
        "school: Write the code of a school",
    ] {
        assert!(wrong.contains(text), "{text}");
    }
    let needed = send("teams", b"name,school\r\n").await;
    assert!(needed.contains("Request 1 of the team is open"), "by name");
    assert!(!needed.contains("/region/data/do"));
    let none = site
        .upload("/region/data", COORDINATOR, &[("table", "teams")], &[])
        .await;
    assert!(none.contains("Choose the file of the table."));
    let forged = "table=teams&removes=no&digest=x&bytes=!&key=forged-0001";
    let forged = site.post("/region/data/do", COORDINATOR, forged).await;
    assert_eq!(status(&forged), "422");
    let huge = format!("bytes={}", "A".repeat(600_000));
    let huge = site.post("/region/data/do", COORDINATOR, &huge).await;
    assert_eq!(status(&huge), "422");
    assert_eq!(site.books().await.entry, entry);
    assert_eq!(
        status(&site.get("/region/data/secrets.csv", COORDINATOR).await),
        "404"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn the_season_is_shown_week_by_week() {
    let site = served().await;
    let form = format!("{SNOW}&key=snow-day-0001");
    site.post("/region/closed", COORDINATOR, &form).await;
    let page = site.get("/region/calendar", COORDINATOR).await;
    for text in [
        "The season ends on Saturday 12 June 2027.",
        "This week: Monday 8 March to Sunday 14 March",
        "Wednesday 10 March, all day: Snow",
        "All schools closed, Friday 26 March to Monday 29 March: spring holiday",
        "Saturday 12 June: the season ends",
        "All rounds go as usual.",
    ] {
        assert!(page.contains(text), "{text}");
    }
    // Every bench is closed on the Wednesday: no round goes then.
    let week = page.split("This week: ").nth(1).unwrap();
    let week = week.split("</li>").next().unwrap();
    assert!(!week.contains("All rounds go as usual."), "{week}");
    assert!(week.contains(" only."), "{week}");
    let weeks = page.matches("<li><span><b>").count();
    assert_eq!(weeks, 14, "to the week in which it ends");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_program_checks_a_table_and_puts_it_in() {
    let site = served().await;
    let token = site.token(COORDINATOR, TokenKind::Api).await;
    let ask = async |method: &str, path: &str, fields: &[(&str, &str)], csv: &str, key: &str| {
        let mut body = String::new();
        for (name, value) in fields {
            let head = format!("--sep\r\nContent-Disposition: form-data; name=\"{name}\"");
            body += &format!("{head}\r\n\r\n{value}\r\n");
        }
        body +=
            "--sep\r\nContent-Disposition: form-data; name=\"file\"; filename=\"t.csv\"\r\n\r\n";
        body += &format!("{csv}\r\n--sep--\r\n");
        let head = format!(
            "{method} /api/v1/region{path} HTTP/1.1\r\nHost: localhost\r\n\
             Authorization: Bearer {token}\r\nIdempotency-Key: {key}\r\n\
             Content-Type: multipart/form-data; boundary=sep"
        );
        let answer = site.ask(&head, body.as_bytes()).await;
        String::from_utf8_lossy(&answer).into_owned()
    };
    let csv = "name,school\r\nReed Rovers,brindlemoor\r\n";
    let checked = ask("POST", "/data/teams/check", &[], csv, "x").await;
    assert!(checked.contains("\"can_be_done\":true"), "{checked}");
    assert!(checked.contains("\"change\":\"added\""));
    let (_, digest) = checked.split_once("\"digest\":\"").unwrap();
    let digest = digest.split('"').next().unwrap();
    let without = ask("POST", "/data/teams", &[], csv, "teams-0001").await;
    assert_eq!(status(&without), "409", "{without}");
    let fields = [("digest", digest)];
    let done = ask("POST", "/data/teams", &fields, csv, "teams-0002").await;
    assert_eq!(status(&done), "200", "{done}");
    let out = ask("GET", "/data/teams", &[], "", "x").await;
    assert!(out.contains("Reed Rovers,brindlemoor\r\n"));
    let season = ask("GET", "/calendar", &[], "", "x").await;
    assert!(season.contains("\"kind\":\"season-ends\""));
}
