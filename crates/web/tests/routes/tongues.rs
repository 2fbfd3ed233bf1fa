//! In which tongue somebody is answered, and what stays English for programs.

use partpledge_records::TokenKind;
use partpledge_words::{AREAS, Tongue, area};

use super::{COORDINATOR, NEWT, SILT, as_shown, leads_to, served, status};

const GERMAN: &str = "<html lang=\"de\">";
const ENGLISH: &str = "<html lang=\"en-GB\">";

#[tokio::test]
async fn whoever_is_not_signed_in_reads_what_their_browser_asks_for_or_what_was_chosen_in_it() {
    let site = served().await;
    let ask = async |headers: &str| {
        let head = format!("GET /start HTTP/1.1\r\nHost: localhost{headers}");
        as_shown(&site.ask(&head, &[]).await)
    };
    assert!(ask("").await.contains(ENGLISH));
    let german = ask("\r\nAccept-Language: de-AT,en;q=0.5").await;
    assert!(
        german.contains(GERMAN) && german.contains("Ambrel Valley: Wer bist du?"),
        "{german}"
    );
    let chosen = site.post_with("/tongue", "", "tongue=de").await;
    assert_eq!(leads_to(&chosen), Some("/"));
    let cookie = super::cookie_in(&chosen).unwrap();
    assert_eq!(cookie, "partpledge_tongue=de");
    let page = site.get_with("/start", &cookie).await;
    assert!(page.contains(GERMAN), "{page}");
    let odd = site.post_with("/tongue", "", "tongue=tlh").await;
    assert_eq!(status(&odd), "422", "{odd}");
    let missing = site.get_with("/no/such/page", &cookie).await;
    assert_eq!(status(&missing), "404");
    assert!(missing.contains("Diese Seite gibt es nicht."), "{missing}");
}

#[tokio::test]
async fn a_person_keeps_their_tongue_in_every_browser_and_nobody_else_gets_it() {
    let site = served().await;
    site.send_bracket("tongues-1").await;
    let before = site.get("/parts/1", NEWT).await;
    assert!(before.contains("Yes, we can print this part."), "{before}");
    site.post("/tongue", NEWT, "tongue=de").await;
    // The same cookie as before, so not what the browser keeps.
    let page = site.get("/parts/1", NEWT).await;
    assert!(page.contains(GERMAN), "{page}");
    assert!(
        page.contains("Ja, wir können dieses Teil drucken."),
        "{page}"
    );
    assert!(page.contains("content-language: de\r\n"), "{page}");
    // What no page of ours has looked at is refused in words of ours all the same.
    let long = format!("tongue={}", "x".repeat(70_000));
    let refused = site.post("/tongue", NEWT, &long).await;
    assert_eq!(status(&refused), "413", "{refused}");
    assert!(
        refused.contains("Was geschickt wurde, lässt sich nicht lesen."),
        "{refused}"
    );
    let elsewhere = site.fresh_cookie(NEWT).await;
    let page = site.get_with("/parts", &elsewhere).await;
    assert!(page.contains(GERMAN), "{page}");
    assert!(site.get("/parts", SILT).await.contains(ENGLISH));
    // What they did in German reads in English for whoever reads English: it is kept as data.
    site.post("/parts/1/withdraw", NEWT, "key=tongues-0001")
        .await;
    let promises = site.get("/promises", COORDINATOR).await;
    assert!(
        promises.contains(ENGLISH) && !promises.contains("zurückgezogen"),
        "{promises}"
    );
    site.post("/tongue", NEWT, "tongue=en-GB").await;
    assert!(site.get("/parts", NEWT).await.contains(ENGLISH));
}

#[tokio::test]
async fn programs_read_english_whatever_their_person_speaks() {
    let site = served().await;
    site.send_bracket("tongues-2").await;
    let token = site.token(NEWT, TokenKind::Api).await;
    let ask = async |path: &str| {
        let head = format!(
            "GET {path} HTTP/1.1\r\nHost: localhost\r\nAccept-Language: de\r\nAuthorization: Bearer {token}"
        );
        as_shown(&site.ask(&head, &[]).await)
    };
    let answers = async || {
        let mut all = String::new();
        for path in ["/api/v1/parts/1", "/api/v1/parts/99", "/api/v1/notices"] {
            let answer = ask(path).await;
            let body = answer.split_once("\r\n\r\n").unwrap().1;
            all.push_str(body);
        }
        all
    };
    let english = answers().await;
    site.post("/tongue", NEWT, "tongue=de").await;
    assert_eq!(answers().await, english);
}

#[test]
fn every_area_is_there_in_both_tongues() {
    for name in AREAS {
        for tongue in Tongue::ALL {
            let text = area(tongue, name).unwrap();
            assert!(text.starts_with("###"), "{name} in {tongue:?}");
        }
    }
    assert_eq!(area(Tongue::German, "no such area"), None);
}
