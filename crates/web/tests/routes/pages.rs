//! Every page answers, with its kind and strict headers; a question changes nothing.

use super::{BENCH, COORDINATOR, NEWT, leads_to, served, status};

/// Address, who asks, status, kind, and what the page says.
const PAGES: &[(&str, &str, &str, &str, &str)] = &[
    (
        "/start",
        "",
        "200",
        "text/html",
        "Ambrel Valley: who are you?",
    ),
    ("/how", "", "200", "text/html", "tried out 400 times"),
    ("/parts", NEWT, "200", "text/html", "Newt Works: your parts"),
    (
        "/parts/send",
        NEWT,
        "200",
        "text/html",
        "What must it stand?",
    ),
    (
        "/parts/send?again=1",
        NEWT,
        "200",
        "text/html",
        "changed file of float arm bracket",
    ),
    (
        "/parts/1",
        NEWT,
        "200",
        "text/html",
        "Yes, we can print this part.",
    ),
    ("/parts/1/turn", NEWT, "200", "text/html", "data-part-view"),
    (
        "/parts/1/turn?part=9",
        NEWT,
        "404",
        "text/html",
        "no such part",
    ),
    (
        "/parts/1/withdraw",
        NEWT,
        "200",
        "text/html",
        "Withdraw float arm bracket?",
    ),
    ("/parts/1/picture.png", NEWT, "200", "image/png", "PNG"),
    ("/parts/1/part-1.png", NEWT, "200", "image/png", "PNG"),
    ("/parts/1/part-1-way-1.png", NEWT, "200", "image/png", "PNG"),
    ("/parts/1", NEWT, "200", "text/html", "Ways it could stand"),
    ("/parts/1", NEWT, "200", "text/html", "What it will take"),
    (
        "/parts/1",
        NEWT,
        "200",
        "text/html",
        "No payments are handled.",
    ),
    (
        "/parts/1",
        NEWT,
        "200",
        "text/html",
        "Test it behind a guard",
    ),
    ("/parts/1/part-1.stl", NEWT, "200", "model/stl", ""),
    ("/parts/1/part-1-light.stl", NEWT, "200", "model/stl", ""),
    ("/parts/1/part-1-front.png", NEWT, "200", "image/png", "PNG"),
    ("/parts/1/part-1-top.png", NEWT, "200", "image/png", "PNG"),
    (
        "/parts/1/turn?part=1&layer=7",
        NEWT,
        "200",
        "text/html",
        "Layer 7 of",
    ),
    ("/parts/1/layer", NEWT, "200", "text/html", "layer by layer"),
    (
        "/parts/1/layer?part=1&layer=1",
        NEWT,
        "200",
        "text/html",
        "Layer 1 of",
    ),
    (
        "/parts/1/layer?part=1&layer=many",
        NEWT,
        "200",
        "text/html",
        "above the bed",
    ),
    (
        "/parts/1/layer?part=2",
        NEWT,
        "404",
        "text/html",
        "no such part",
    ),
    (
        "/parts/1/layer?part=0",
        NEWT,
        "404",
        "text/html",
        "no such part",
    ),
    (
        "/parts/1/layer.svg?layer=3",
        NEWT,
        "200",
        "image/svg+xml",
        "<svg xmlns",
    ),
    (
        "/parts/1/part-2.png",
        NEWT,
        "404",
        "text/html",
        "There is no such file.",
    ),
    (
        "/parts/2",
        NEWT,
        "404",
        "text/html",
        "no part with that number",
    ),
    (
        "/parts/one",
        NEWT,
        "404",
        "text/html",
        "no part with that number",
    ),
    (
        "/run-sheets/brindlemoor",
        BENCH,
        "200",
        "text/html",
        "<span class=\"here\">Next, at ",
    ),
    (
        "/run-sheets/brindlemoor?day=2027-03-10",
        BENCH,
        "200",
        "text/html",
        "Wednesday 10 March",
    ),
    (
        "/run-sheets/brindlemoor/trouble?plate=1",
        BENCH,
        "200",
        "text/html",
        "Trouble with",
    ),
    (
        "/run-sheets/brindlemoor/trouble?plate=77",
        BENCH,
        "404",
        "text/html",
        "no such plate",
    ),
    (
        "/run-sheets",
        COORDINATOR,
        "200",
        "text/html",
        "Run sheets of today",
    ),
    (
        "/run-sheets/nowhere",
        COORDINATOR,
        "422",
        "text/html",
        "there is no host",
    ),
    ("/plates", BENCH, "200", "text/html", "planned."),
    ("/plates/1", BENCH, "200", "text/html", "Traveler label"),
    ("/plates/1/plate-1.3mf", BENCH, "200", "model/3mf", "PK"),
    (
        "/plates/1/plate-2.3mf",
        BENCH,
        "404",
        "text/html",
        "There is no such file.",
    ),
    (
        "/plates/77",
        BENCH,
        "404",
        "text/html",
        "no plate with that number",
    ),
    (
        "/region",
        COORDINATOR,
        "200",
        "text/html",
        "No promise is at risk.",
    ),
    (
        "/region",
        COORDINATOR,
        "200",
        "text/html",
        "Printer-hours in the next seven days",
    ),
    (
        "/region",
        COORDINATOR,
        "200",
        "text/html",
        "people there Tue ",
    ),
    (
        "/region/if",
        COORDINATOR,
        "200",
        "text/html",
        "Nothing is stored",
    ),
    (
        "/region/if?ask=out&printer=Heron&day=2027-03-11&clock=12:00",
        COORDINATOR,
        "200",
        "text/html",
        "Only a question: what if Heron is out of use until Thursday 11 March, 12:00?",
    ),
    (
        "/region/if?ask=closed&host=brindlemoor&day=2027-03-10",
        COORDINATOR,
        "200",
        "text/html",
        "what if Brindlemoor School is closed on Wednesday 10 March?",
    ),
    (
        "/region/if?ask=away&host=brindlemoor&day=2027-03-10&clock=12:00",
        COORDINATOR,
        "200",
        "text/html",
        "The next 48 hours, if it were so",
    ),
    (
        "/region/if?ask=more&printer=Heron&host=brindlemoor",
        COORDINATOR,
        "200",
        "text/html",
        "New, like Heron",
    ),
    (
        "/region/if?ask=out&printer=%3Cb%3E&day=2027-03-11&clock=12:00",
        COORDINATOR,
        "200",
        "text/html",
        "There is a problem",
    ),
    (
        "/region/if?ask=out&printer=Heron&day=yesterday&clock=noon",
        COORDINATOR,
        "200",
        "text/html",
        "There is a problem",
    ),
    (
        "/promises",
        COORDINATOR,
        "200",
        "text/html",
        "One promise is open",
    ),
    (
        "/promises?q=NEWT%20works",
        COORDINATOR,
        "200",
        "text/html",
        "One part for “NEWT works”.",
    ),
    (
        "/promises?q=nobody",
        COORDINATOR,
        "200",
        "text/html",
        "No part has these words",
    ),
    ("/shares", NEWT, "200", "text/html", "What the numbers mean"),
    ("/plates/1", BENCH, "200", "text/html", "Why here, why now"),
    ("/parts/1", NEWT, "200", "text/html", "Why then?"),
    (
        "/there-is-no-such-page",
        NEWT,
        "404",
        "text/html",
        "There is no such page.",
    ),
    (
        "/data/partpledge.sqlite",
        NEWT,
        "404",
        "text/html",
        "There is no such page.",
    ),
    (
        "/assets/../Cargo.toml",
        NEWT,
        "404",
        "text/html",
        "There is no such",
    ),
];

#[tokio::test(flavor = "multi_thread")]
async fn a_question_by_a_link_leaves_everything_as_it_was() {
    let site = served().await;
    site.send_bracket("send-0000001").await;
    site.cookie(COORDINATOR).await;
    let before = site.books().await;
    let printer = {
        let place = before.floor.plan.assignments[0];
        site.session.terrain.region.printers[place.printer.0]
            .name
            .clone()
    };
    let path = format!("/region/if?ask=out&printer={printer}&day=2027-03-15&clock=12:00");
    let answer = site.get(&path, COORDINATOR).await;
    assert!(answer.contains("Only a question"), "{answer}");
    assert!(
        answer.contains("See what would move"),
        "its plate can't stay"
    );
    let after = site.books().await;
    assert_eq!(before.entry, after.entry);
    assert_eq!(before.floor.revision, after.floor.revision);
    assert_eq!(before.floor.plan, after.floor.plan);
}

#[tokio::test(flavor = "multi_thread")]
async fn every_page_answers_with_its_kind_and_the_strict_headers() {
    let site = served().await;
    assert!(site.address.ip().is_loopback());
    assert_eq!(
        leads_to(&site.send_bracket("send-0000001").await),
        Some("/parts/1")
    );
    for (path, who, code, kind, holds) in PAGES {
        let answer = site.get(path, who).await;
        assert_eq!(status(&answer), *code, "{path}");
        let line = format!("content-type: {kind}");
        assert!(
            answer.contains(&line),
            "{path}: {}",
            &answer[..answer.len().min(400)]
        );
        assert!(answer.contains(holds), "{path} says “{holds}”");
        for header in [
            "content-security-policy: default-src 'self'; frame-ancestors 'none'",
            "x-content-type-options: nosniff",
            "referrer-policy: same-origin",
        ] {
            assert!(answer.contains(header), "{path}: {header}");
        }
    }
}
