//! Spools in the browser: told of, loaded with the start of a plate, weighed, and for whom.

use partpledge_stock::{Account, State};
use partpledge_workshop::Session;

use super::{BENCH, COORDINATOR, NEWT, OTHER_BENCH, Served, leads_to, served, status};

const DO: &str = "/spools/brindlemoor/do";

async fn now(site: &Served) -> Session {
    site.session.at(site.session.now).await.unwrap()
}

async fn accounts(site: &Served) -> Vec<Account> {
    let session = now(site).await;
    session
        .spools
        .accounts(&session.terrain, &session.costs.rates)
}

async fn receive(site: &Served, who: &str, key: &str) -> String {
    let form = format!(
        "key={key}&act=receive&material=PETG&colour=orange&spools=2&net_g=1000&tare_g=212&donor=A+shop"
    );
    site.post(DO, who, &form).await
}

#[tokio::test(flavor = "multi_thread")]
async fn a_bench_tells_of_its_spools_once_and_another_sees_none_of_them() {
    let site = served().await;
    for _ in 0..2 {
        let answer = receive(&site, BENCH, "receive-0001").await;
        assert_eq!(leads_to(&answer), Some("/spools/brindlemoor"));
    }
    let told = accounts(&site).await;
    assert_eq!(told.len(), 2, "sent twice, received once");
    assert_eq!(
        told[0].spool.roll.donor, "",
        "a sponsor is the coordinator’s to note"
    );
    receive(&site, COORDINATOR, "receive-0002").await;
    assert_eq!(accounts(&site).await[2].spool.roll.donor, "A shop");
    for (path, who, code, says) in [
        ("/spools", BENCH, "303", ""),
        ("/spools", NEWT, "403", ""),
        (
            "/spools",
            COORDINATOR,
            "200",
            "Every shelf that is counted has enough.",
        ),
        (
            "/spools/brindlemoor",
            BENCH,
            "200",
            "There is enough on the shelf.",
        ),
        (
            "/spools/dunmarrow",
            COORDINATOR,
            "200",
            "No spools are counted here yet.",
        ),
        ("/spools/nowhere", COORDINATOR, "422", "there is no host"),
        ("/spools/brindlemoor", OTHER_BENCH, "403", "another bench"),
        ("/spools/brindlemoor", NEWT, "403", ""),
        ("/spool/1", BENCH, "200", "S-1: 1.0 kg of orange PETG"),
        ("/spool/1", OTHER_BENCH, "403", ""),
        ("/spool/1", NEWT, "403", ""),
        ("/spool/99", COORDINATOR, "404", "There is no such spool"),
    ] {
        let answer = site.get(path, who).await;
        assert_eq!(status(&answer), code, "{who} {path}");
        assert!(answer.contains(says), "{who} {path} says “{says}”");
    }
    for (who, path, code) in [
        (NEWT, DO, "403"),
        (OTHER_BENCH, DO, "403"),
        ("", DO, "303"),
        (OTHER_BENCH, "/spools/dunmarrow/do", "403"),
    ] {
        let form = "key=abcdefgh1&act=empty&spool=1";
        let answer = site.post(path, who, form).await;
        assert_eq!(status(&answer), code, "{who} {path}");
        assert!(leads_to(&answer).is_none_or(|to| !to.starts_with("/spool")));
    }
    assert_eq!(
        accounts(&site).await[0].state,
        State::Sealed,
        "nothing happened"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_wrong_is_said_beside_the_form_and_nothing_typed_is_lost() {
    let site = served().await;
    let bad = "key=receive-0003&act=receive&material=PETG&colour=sea+green&spools=many&net_g=1000";
    let answer = site.post(DO, BENCH, bad).await;
    assert_eq!(status(&answer), "422");
    for text in [
        "There is a problem",
        "value=\"sea green\"",
        "value=\"many\"",
        "from 1 to 100",
    ] {
        assert!(answer.contains(text), "{text}");
    }
    assert!(accounts(&site).await.is_empty());
    receive(&site, BENCH, "receive-0004").await;
    let weigh = "key=weighing-001&act=weigh&spool=1&grams=90&reel=yes&tare_g=";
    let answer = site.post(DO, BENCH, weigh).await;
    assert_eq!(status(&answer), "422", "less than the reel");
    assert!(answer.contains("There is a problem") && answer.contains("value=\"90\""));
    let more = "key=weighing-002&act=weigh&spool=1&grams=3000&reel=no&tare_g=";
    let asked = site.post(DO, BENCH, more).await;
    assert_eq!(status(&asked), "422", "three times what it was");
    assert!(asked.contains("name=\"sure\"") && asked.contains("value=\"no\" checked"));
    assert!(!answer.contains("name=\"sure\""));
    let sure = format!("{more}&sure=yes");
    assert_eq!(status(&site.post(DO, BENCH, &sure).await), "303");
    // Numbers that no scale shows, as large and as small as can be typed.
    let huge = [
        "grams=9000000000000000000&reel=no&tare_g=",
        "grams=-9223372036854775808&reel=yes&tare_g=200",
        "grams=9223372036854775807&reel=yes&tare_g=-9223372036854775808",
    ];
    for (i, typed) in huge.iter().enumerate() {
        let weigh = format!("key=weighing-1{i:02}&act=weigh&spool=1&{typed}");
        let answer = site.post(DO, BENCH, &weigh).await;
        assert_eq!(status(&answer), "422", "{typed}");
        assert!(answer.contains("There is a problem") && !answer.contains("name=\"sure\""));
    }
    let past = "key=promise-0001&act=promise&material=PETG&spools=1&net_g=1000&due=2027-03-01";
    let answer = site.post(DO, BENCH, past).await;
    assert_eq!(status(&answer), "422");
    assert!(answer.contains("still to come"));
}

#[tokio::test(flavor = "multi_thread")]
async fn the_start_of_a_plate_puts_its_spool_on_the_printer() {
    let site = served().await;
    site.send_bracket("send-0000001").await;
    let books = site.books().await;
    let place = books.floor.plan.assignments[0];
    let terrain = &site.session.terrain;
    let printer = terrain.region.printers[place.printer.0].name.clone();
    let host = terrain.region.printers[place.printer.0].site_at(place.start);
    let code = terrain.file.hosts[host.0].school.clone();
    let form = "key=receive-0005&act=receive&material=PETG&colour=orange&spools=1&net_g=1000";
    site.post(&format!("/spools/{code}/do"), COORDINATOR, form)
        .await;
    let day = terrain.zone.date(place.start);
    let sheet = format!("/run-sheets/{code}?day={day}");
    let shown = site.get(&sheet, COORDINATOR).await;
    assert!(
        shown.contains("S-1, orange PETG, still in its bag"),
        "{shown}"
    );
    assert!(shown.contains("<select name=\"spool\"><option value=\"1\">"));
    let start = format!(
        "key=start-00001&act=start&plate={}&spool=1&printer={printer}&day={day}",
        place.plate.0
    );
    for _ in 0..2 {
        let answer = site
            .post(&format!("/run-sheets/{code}/do"), COORDINATOR, &start)
            .await;
        assert_eq!(status(&answer), "303");
    }
    let account = accounts(&site).await.remove(0);
    assert_eq!(account.state, State::Loaded(printer));
    assert!(account.left_mg < 1_000_000, "what runs has its filament");
    let page = site.get("/spool/1", COORDINATOR).await;
    assert!(page.contains(&format!("plate {} takes", place.plate.0)));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_delivery_is_noted_comes_and_is_on_the_shelf_once() {
    let site = served().await;
    let promise = "key=promise-0002&act=promise&material=PLA&spools=2&net_g=750&due=2027-03-11";
    let answer = site.post(DO, BENCH, promise).await;
    assert_eq!(status(&answer), "303");
    let page = site.get("/spools/brindlemoor", BENCH).await;
    assert!(
        page.contains("2 spools of PLA, 750 g each: comes Thursday 11 March."),
        "{page}"
    );
    for _ in 0..2 {
        let came = site
            .post(DO, BENCH, "key=arrive-00001&act=arrive&delivery=1")
            .await;
        assert_eq!(status(&came), "303");
    }
    let again = site
        .post(DO, BENCH, "key=arrive-00002&act=arrive&delivery=1")
        .await;
    assert_eq!(status(&again), "422", "it came already");
    assert_eq!(accounts(&site).await.len(), 2);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_spool_moved_by_a_double_click_leads_back_to_the_shelf_both_times() {
    let site = served().await;
    receive(&site, BENCH, "receive-0001").await;
    for _ in 0..2 {
        let form = "key=move-0000001&act=move&spool=1&host=dunmarrow";
        let answer = site.post(DO, BENCH, form).await;
        assert_eq!(leads_to(&answer), Some("/spools/brindlemoor"), "{answer}");
    }
    assert_eq!(accounts(&site).await[0].host, "dunmarrow");
    assert_eq!(now(&site).await.spools.ledger.steps.len(), 1);
}
