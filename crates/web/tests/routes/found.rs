//! What a coordinator finds by one search; the season so far; what waits for them.

use super::api::Program;
use super::{BENCH, COORDINATOR, NEWT, Served, leads_to, served, status};

async fn finds(site: &Served, words: &str) -> String {
    let path = format!("/promises?q={}", words.replace(' ', "+"));
    let answer = site.get(&path, COORDINATOR).await;
    assert_eq!(status(&answer), "200", "{words}");
    answer
}

async fn knife(site: &Served, key: &str) {
    let mesh = partpledge_testbed::parts::hex_prism(24.0, 12.0);
    let bytes = partpledge_formats::write::stl_binary(&mesh);
    let fields = [("key", key), ("copies", "1"), ("material", "PLA")];
    site.send(NEWT, &fields, &[("knife.stl", &bytes)]).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn parts_are_found_in_any_state_and_other_things_by_number_or_name() {
    let site = served().await;
    site.send_bracket("send-0000001").await;
    site.send_bracket("send-0000002").await;
    knife(&site, "send-0000003").await;
    let gone = site
        .post("/parts/2/withdraw", NEWT, "key=withdraw-01")
        .await;
    assert_eq!(status(&gone), "303");
    let no = "key=refuse-03&reason=could-hurt&words=It+is+sharp.";
    let refused = site.post("/review/3/refuse", COORDINATOR, no).await;
    assert_eq!(leads_to(&refused), Some("/review/3"));
    // All of a team, with the last sent first, each with its state in words.
    let all = finds(&site, "newt").await;
    assert!(all.contains("Three parts for “newt”."), "{all}");
    let at = |text: &str| all.find(text).unwrap_or_else(|| panic!("{text}: {all}"));
    assert!(at("href=\"/parts/3\"") < at("href=\"/parts/2\""));
    assert!(at("href=\"/parts/2\"") < at("href=\"/parts/1\""));
    for state in ["Refused", "Withdrawn", "Promised"] {
        assert!(all.contains(state), "{state}: {all}");
    }
    // By number, in both ways to write it; by name of the part and of the school.
    for words in ["2", "av-0002", "AV-0002", "002"] {
        let one = finds(&site, words).await;
        assert!(one.contains("One part for"), "{words}: {one}");
        assert!(one.contains("href=\"/parts/2\""), "{words}: {one}");
    }
    let file = &site.session.terrain.file;
    let team = file.teams.iter().find(|t| t.name == "Newt Works").unwrap();
    let school = file.school(&team.school).unwrap().name.clone();
    let of_school = finds(&site, &school).await;
    assert!(of_school.contains("Three parts for"), "{of_school}");
    assert!(finds(&site, "newt knife").await.contains("One part for"));
    assert!(
        finds(&site, "newt nobody")
            .await
            .contains("No part has these words")
    );
    // What is no part leads to its page; a page that is not there is the last one.
    let plate = site.books().await.floor.kept[0].plate.seq.0;
    let found = finds(&site, &plate.to_string()).await;
    assert!(
        found.contains(&format!("href=\"/plates/{plate}\"")),
        "{found}"
    );
    assert!(!found.contains("href=\"/boxes/"), "no box is closed yet");
    let printer = &file.printers[0].name;
    let found = finds(&site, printer).await;
    assert!(found.contains("href=\"/run-sheets/"), "{found}");
    let found = finds(&site, "newt works").await;
    assert!(found.contains("href=\"/teams/Newt%20Works\""), "{found}");
    let form = "key=receive-0001&act=receive&material=PLA&colour=white&spools=1&net_g=1000";
    site.post("/spools/brindlemoor/do", COORDINATOR, form).await;
    let found = finds(&site, "s-1").await;
    assert!(found.contains("href=\"/spool/1\"") && found.contains("Spool S-1"));
    assert!(found.contains("One thing for “s-1”."), "{found}");
    assert!(!found.contains("No part has these words"), "{found}");
    let far = site.get("/promises?q=newt&page=99", COORDINATOR).await;
    assert!(far.contains("Three parts for") && far.contains("href=\"/parts/1\""));
    assert_eq!(status(&site.get("/promises?q=newt", BENCH).await), "403");
}

#[tokio::test(flavor = "multi_thread")]
async fn what_waits_in_the_review_is_counted_in_the_head_and_told_on_the_first_page() {
    let site = served().await;
    let count =
        |n: usize| format!("<b class=\"count\">{n}<span class=\"hush\"> waiting</span></b>");
    let before = site.get("/promises", COORDINATOR).await;
    assert!(!before.contains(" waiting</span>"), "{before}");
    knife(&site, "send-0000001").await;
    let held = site.get("/promises", COORDINATOR).await;
    assert!(held.contains(&count(1)), "{held}");
    let home = site.get("/region", COORDINATOR).await;
    assert!(home.contains("One part is held for your review."), "{home}");
    let other = site.get("/plates", BENCH).await;
    assert!(
        !other.contains(" waiting</span>"),
        "it is the coordinator’s"
    );
    let no = "key=refuse-03&reason=could-hurt&words=It+is+sharp.";
    site.post("/review/1/refuse", COORDINATOR, no).await;
    let none = site.get("/region", COORDINATOR).await;
    assert!(!none.contains(" waiting</span>") && !none.contains("Waits for your word"));
    let said = "key=appeal-02&words=It+cuts+butter.";
    site.post("/parts/1/appeal", NEWT, said).await;
    let home = site.get("/region", COORDINATOR).await;
    assert!(home.contains("One team asks for a second look."), "{home}");
    assert!(home.contains(&count(1)) && !home.contains("held for your review."));
}

#[tokio::test(flavor = "multi_thread")]
async fn the_season_is_for_whoever_is_signed_in_and_its_table_for_programs() {
    let site = served().await;
    for who in [NEWT, BENCH, COORDINATOR] {
        let page = site.get("/season", who).await;
        assert_eq!(status(&page), "200", "{who}");
        assert!(page.contains("Nothing has been handed over yet this season."));
        assert!(page.contains("Prices are examples"), "{who}");
    }
    let table = site.get("/season.csv", NEWT).await;
    assert!(table.contains("text/csv") && table.contains("\r\nseason,,0,0,"));
    assert!(site.get("/shares", NEWT).await.contains("href=\"/season\""));
    for who in [NEWT, BENCH, COORDINATOR] {
        let program = Program::of(&site, who).await;
        let answer = program.get("/api/v1/region/season").await;
        assert_eq!(answer.status(), "200", "{who}");
        program.fits("SeasonSoFar", &answer.body);
        assert_eq!(answer.body["all"]["promises_kept"], 0, "{who}");
        assert_eq!(answer.body["timed_parts"], 0, "{who}");
        assert_eq!(answer.body["prices"], "example", "{who}");
    }
    for path in ["/season", "/season.csv"] {
        let answer = site.get(path, "").await;
        assert_eq!(leads_to(&answer), Some("/start"), "{path}");
    }
}
