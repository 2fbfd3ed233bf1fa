//! Boxes on pages and for programs: whose code it is, handing over, a leg that was missed.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use std::sync::atomic::{AtomicU32, Ordering};

use partpledge_records::{State, StepKind, TokenKind};
use partpledge_workshop::{Actor, Role};

use super::{COORDINATOR, NEWT, SILT, Served, leads_to, served, status};

/// A part of Newt Works in its box: what is in it, its bench's code, and the box's.
async fn boxed(site: &Served) -> (u64, String, String) {
    boxed_of(site, "Newt Works").await
}

async fn boxed_of(site: &Served, team: &str) -> (u64, String, String) {
    let file = partpledge_testbed::files().swap_remove(0);
    let who = format!("student:{team}");
    let fields = [
        ("key", "send-0000001"),
        ("copies", "2"),
        ("material", "PETG"),
    ];
    site.send(&who, &fields, &[(file.name, &file.bytes)]).await;
    let books = site.books().await;
    let place = books.floor.plan.assignments[0];
    let (code, plate) = (site.code_at(&place), place.plate.0);
    let all = books.plate(plate).unwrap().plate.copies;
    let acts = ["start", "off", "box"];
    site.walk(&code, (plate, all), &acts).await;
    let books = site.books().await;
    let team = Actor::new(Role::Team(team.to_owned()));
    let kept = books.plate(plate).unwrap();
    let its = books.box_code(&team, kept).unwrap().to_owned();
    (plate, code, its)
}

/// The same, on its way.
async fn gone(site: &Served) -> (u64, String, String) {
    let (plate, code, its) = boxed(site).await;
    site.walk(&code, (plate, 0), &["leave"]).await;
    (plate, code, its)
}

fn body(answer: &str) -> &str {
    answer.split_once("\r\n\r\n").unwrap().1
}

#[tokio::test(flavor = "multi_thread")]
async fn only_the_team_reads_the_code_of_its_box_and_typing_it_hands_it_over() {
    let site = served().await;
    let (plate, code, its) = gone(&site).await;
    let bench = format!("operator:{code}");
    let own = site.get("/parts/1", NEWT).await;
    assert!(own.contains(&its) && own.contains("Only your team can see it."));
    assert!(
        site.get("/parts/1", "mentor:Newt Works")
            .await
            .contains(&its)
    );
    let boxes = format!("/run-sheets/{code}/boxes");
    for (path, who) in [
        ("/parts/1", COORDINATOR),
        ("/parts/1", &bench),
        (&boxes, &bench),
        ("/boxes", COORDINATOR),
        (&format!("/run-sheets/{code}"), &bench),
    ] {
        let page = site.get(path, who).await;
        assert_eq!(status(&page), "200", "{path} as {who}");
        assert!(!page.contains(&its), "{path} as {who}");
    }
    assert_eq!(status(&site.get("/parts/1", SILT).await), "404");
    let sheet = format!("/run-sheets/{code}/do");
    let hand = |typed: &str, more: &str, n: u32| {
        format!("plate={plate}&act=hand&from=boxes&code={typed}&key=hand-000{n}{more}")
    };
    let nothing = site.post(&sheet, &bench, &hand("", "", 1)).await;
    assert_eq!(status(&nothing), "422");
    // The form is shown again, with a link to the choice that is missing.
    assert!(nothing.contains("Type the code of the box, or choose why there is none."));
    let field = format!("without-{plate}");
    assert!(nothing.contains(&format!("href=\"#{field}\"")));
    assert!(nothing.contains(&format!("id=\"{field}\" aria-invalid=\"true\"")));
    assert!(nothing.contains("<option value=\"\">Choose why</option>"));
    assert!(nothing.contains("value=\"no-code-yet\">The box had no code yet.</option>"));
    let wrong = site.post(&sheet, &bench, &hand("XXXXX", "", 2)).await;
    assert_eq!(status(&wrong), "422");
    assert!(wrong.contains("not the code of box") && wrong.contains("Nothing was lost"));
    assert!(
        site.books()
            .await
            .step(plate, StepKind::HandedOver)
            .is_none()
    );
    for _ in 0..2 {
        let done = site
            .post(&sheet, &bench, &hand(&its.to_lowercase(), "", 3))
            .await;
        assert_eq!((status(&done), leads_to(&done)), ("303", Some(&*boxes)));
    }
    let step = site
        .books()
        .await
        .step(plate, StepKind::HandedOver)
        .cloned();
    assert_eq!(step.unwrap().reason, None, "shown by its code");
    let page = site.get(&boxes, &bench).await;
    assert!(page.contains("No box is to be handed over."));
    let own = site.get("/parts/1", NEWT).await;
    assert!(!own.contains(&its), "it is of no use any more");
    let books = site.books().await;
    let kept = books.plate(plate).unwrap();
    let states: Vec<State> = books.copies_on(kept).map(|copy| copy.state).collect();
    let all = usize::try_from(kept.plate.copies).unwrap();
    assert_eq!(states, vec![State::HandedOver; all]);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_tablet_hears_that_a_code_was_wrong_and_the_box_stays_open() {
    let site = served().await;
    let (plate, code, _) = gone(&site).await;
    let cookie = site.cookie(COORDINATOR).await;
    let form = format!("plate={plate}&act=hand&code=XXXXX&key=hand-0001");
    let head = format!(
        "POST /run-sheets/{code}/do HTTP/1.1\r\nHost: localhost\r\nCookie: {cookie}\r\nAccept: application/json\r\n\
         Content-Type: application/x-www-form-urlencoded"
    );
    let answer = site.ask(&head, form.as_bytes()).await;
    let answer = String::from_utf8_lossy(&answer).into_owned();
    assert!(
        body(&answer).starts_with(r#"{"answer":"refused","title":"#),
        "{answer}"
    );
    let page = site
        .get(&format!("/run-sheets/{code}/boxes"), COORDINATOR)
        .await;
    assert!(page.contains("One box is to be handed over."));
    let without = format!("plate={plate}&act=hand&code=&without=without-code&key=hand-0002");
    let done = site
        .post(&format!("/run-sheets/{code}/do"), COORDINATOR, &without)
        .await;
    assert_eq!(status(&done), "303");
    let step = site
        .books()
        .await
        .step(plate, StepKind::HandedOver)
        .cloned();
    assert_eq!(step.unwrap().reason.as_deref(), Some("without-code"));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_box_that_did_not_go_is_told_to_its_team_with_the_reason() {
    let site = served().await;
    let (plate, code, _) = boxed(&site).await;
    let page = site.get("/boxes", COORDINATOR).await;
    let (_, leaves) = page.split_once("name=\"leaves\" value=\"").unwrap();
    let leaves = leaves.split('"').next().unwrap().to_owned();
    let form = |n: u32| {
        format!("plate={plate}&act=missed&leaves={leaves}&why=no-courier&from=all&key=miss-000{n}")
    };
    let path = format!("/run-sheets/{code}/do");
    let done = site.post(&path, COORDINATOR, &form(1)).await;
    assert_eq!((status(&done), leads_to(&done)), ("303", Some("/boxes")));
    let again = site.post(&path, COORDINATOR, &form(2)).await;
    assert_eq!(status(&again), "409");
    assert!(again.contains("Somebody has said so already"));
    let own = site.get("/parts/1", NEWT).await;
    assert!(own.contains("It did not go ") && own.contains("the courier did not come"));
    let page = site.get("/boxes", COORDINATOR).await;
    assert!(page.contains("<b>It did not go</b>"));
}

/// What a program of somebody's is answered.
async fn asked(site: &Served, who: &str, head: &str, body: &str) -> String {
    let token = site.token(who, TokenKind::Api).await;
    let head = format!(
        "{head} HTTP/1.1\r\nHost: localhost\r\nAuthorization: Bearer {token}\r\n\
         Idempotency-Key: {}\r\nContent-Type: application/json",
        key()
    );
    let answer = site.ask(&head, body.as_bytes()).await;
    String::from_utf8_lossy(&answer).into_owned()
}

/// A key that is another for each deed.
fn key() -> String {
    static DEEDS: AtomicU32 = AtomicU32::new(0);
    format!("program-{}", DEEDS.fetch_add(1, Ordering::Relaxed))
}

#[tokio::test(flavor = "multi_thread")]
async fn programs_hand_over_by_the_code_which_only_the_teams_program_reads() {
    let site = served().await;
    let (plate, code, its) = gone(&site).await;
    let bench = format!("operator:{code}");
    let own = asked(&site, NEWT, "GET /api/v1/parts/1", "").await;
    assert!(own.contains(&format!("\"code\":\"{its}\"")), "{own}");
    let other = asked(&site, SILT, "GET /api/v1/parts/1", "").await;
    assert_eq!(status(&other), "404");
    let boxes = format!("GET /api/v1/run-sheets/{code}/boxes");
    for head in ["GET /api/v1/parts/1", &boxes] {
        let answer = asked(&site, &bench, head, "").await;
        assert_eq!(status(&answer), "200");
        assert!(answer.contains(&format!("\"share\":{plate}")) && !answer.contains(&its));
    }
    let deeds = format!("POST /api/v1/run-sheets/{code}/deeds");
    let told = |more: &str| format!("{{\"deed\":\"hand-over\",\"plate\":{plate}{more}}}");
    let nothing = asked(&site, &bench, &deeds, &told("")).await;
    assert_eq!(status(&nothing), "422");
    let wrong = asked(&site, &bench, &deeds, &told(",\"code\":\"XXXXX\"")).await;
    assert!(wrong.contains("wrong-box-code"), "{wrong}");
    let right = told(&format!(",\"code\":\"{its}\""));
    let done = asked(&site, &bench, &deeds, &right).await;
    assert_eq!(status(&done), "200", "{done}");
    let own = asked(&site, NEWT, "GET /api/v1/parts/1", "").await;
    assert!(own.contains("\"known_by\":\"code\""));
}

/// Every copy of part 1 is on another plate than that, whose label says so.
async fn all_of_it_is_made_again(site: &Served, plate: u64) {
    let books = site.books().await;
    let request = &books.numbered(1).unwrap().request;
    let copies = books.copies(request.id).iter();
    let copies = copies.map(|copy| (copy.state, copy.plate == plate));
    let all = usize::try_from(request.copies).unwrap();
    assert_eq!(
        copies.collect::<Vec<_>>(),
        vec![(State::Pledged, false); all]
    );
    let label = site.get(&format!("/boxes/{plate}"), COORDINATOR).await;
    assert!(label.contains("Nothing is in it any more"));
    assert!(!label.contains("Hand it over, or say"));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_team_says_that_its_box_is_lost_and_the_coordinator_decides_once() {
    let site = served().await;
    let (plate, code, _) = boxed(&site).await;
    let link = format!("/parts/1/box?plate={plate}");
    let own = site.get("/parts/1", NEWT).await;
    assert!(own.contains(&format!("href=\"{link}\"")) && own.contains("It is lost"));
    let bench = format!("operator:{code}");
    assert!(!site.get("/parts/1", &bench).await.contains(&link));
    let form = site.get(&link, NEWT).await;
    assert!(form.contains("value=\"box-gone\"") && !form.contains("<textarea"));
    let said = |why: &str, n: u32| format!("plate={plate}&reason={why}&key=doubt-000{n}");
    for (path, who) in [(link.as_str(), SILT), ("/parts/1/box?plate=999", NEWT)] {
        assert_eq!(status(&site.get(path, who).await), "404", "{path} as {who}");
    }
    let theirs = site.post("/parts/1/box", SILT, &said("box-gone", 1)).await;
    assert_eq!(status(&theirs), "404");
    let unsaid = site.post("/parts/1/box", NEWT, &said("", 2)).await;
    assert_eq!(status(&unsaid), "422");
    assert!(unsaid.contains("Choose what is wrong."));
    let wrong = site
        .post("/parts/1/box", NEWT, &said("wrong-parts", 3))
        .await;
    assert_eq!(status(&wrong), "409", "nobody has it yet");
    let done = site.post("/parts/1/box", NEWT, &said("box-gone", 4)).await;
    assert_eq!(leads_to(&done), Some("/parts/1"));
    // The bench says the same: it counts once.
    let bench_form = format!("/run-sheets/{code}/box");
    let same = site.post(&bench_form, &bench, &said("box-gone", 5)).await;
    assert_eq!(status(&same), "303");
    let (own, boxes) = (
        site.get("/parts/1", NEWT).await,
        site.get("/boxes", COORDINATOR).await,
    );
    assert!(own.contains("Nobody can find it. The coordinator decides."));
    assert!(boxes.contains("<b>Somebody says:</b> Nobody can find it."));
    assert!(!own.contains(&link), "it was said");
    let queue = site.get("/review", COORDINATOR).await;
    assert!(queue.contains("One part waits for your review."));
    let one = site.get("/review/1", COORDINATOR).await;
    assert_eq!(one.matches("name=\"decide\"").count(), 2);
    let (_, entry) = one.split_once("name=\"said\" value=\"").unwrap();
    let entry = entry.split('"').next().unwrap();
    let ruling = |decide: &str, n: u32| {
        format!("plate={plate}&said={entry}&decide={decide}&key=decide-00{n}")
    };
    let path = "/review/1/box";
    assert_eq!(
        status(&site.post(path, &bench, &ruling("again", 1)).await),
        "403"
    );
    assert_eq!(
        status(&site.post(path, COORDINATOR, &ruling("", 2)).await),
        "422"
    );
    for _ in 0..2 {
        let done = site.post(path, COORDINATOR, &ruling("again", 3)).await;
        assert_eq!(leads_to(&done), Some("/review/1"));
    }
    let late = site.post(path, COORDINATOR, &ruling("right", 4)).await;
    assert_eq!(status(&late), "409");
    assert!(late.contains("Nothing is to be decided about box") && late.contains("was faster"));
    let own = site.get("/parts/1", NEWT).await;
    assert!(own.contains("Nobody can find it. We make what was in it again."));
    assert!(
        site.get("/boxes", COORDINATOR)
            .await
            .contains("No box is to be handed over.")
    );
    assert_eq!(status(&site.get(&link, NEWT).await), "409");
    all_of_it_is_made_again(&site, plate).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn programs_say_that_parts_are_wrong_and_decide_it_and_name_the_leg_that_was_missed() {
    let site = served().await;
    let (plate, code, _) = gone(&site).await;
    let bench = format!("operator:{code}");
    let deeds = format!("POST /api/v1/run-sheets/{code}/deeds");
    let deed = |deed: &str, why: &str| {
        format!("{{\"deed\":\"{deed}\",\"plate\":{plate},\"why\":\"{why}\"}}")
    };
    let unnamed = asked(&site, &bench, &deeds, &deed("miss-leg", "no-courier")).await;
    assert_eq!(status(&unnamed), "422");
    assert!(unnamed.contains("leaves"), "{unnamed}");
    let early = asked(&site, &bench, &deeds, &deed("doubt-box", "wrong-parts")).await;
    assert!(
        status(&early) == "409" && early.contains("not-that-box"),
        "{early}"
    );
    let handed = asked(&site, &bench, &deeds, &deed("hand-over", "without-code")).await;
    assert_eq!(status(&handed), "200", "{handed}");
    let page = site.get(&format!("/run-sheets/{code}/boxes"), &bench).await;
    assert!(
        page.contains("Other parts are in it"),
        "it can be said at the bench"
    );
    let box_of = "POST /api/v1/parts/1/box";
    let said = |why: &str| format!("{{\"share\":{plate},\"why\":\"{why}\"}}");
    assert_eq!(
        status(&asked(&site, SILT, box_of, &said("wrong-parts")).await),
        "404"
    );
    assert_eq!(
        status(&asked(&site, NEWT, box_of, &said("cold")).await),
        "422"
    );
    let done = asked(&site, NEWT, box_of, &said("wrong-parts")).await;
    assert_eq!(status(&done), "200", "{done}");
    let own = asked(&site, NEWT, "GET /api/v1/parts/1", "").await;
    assert!(own.contains("\"doubt\":\"wrong-parts\""));
    let open = asked(&site, COORDINATOR, "GET /api/v1/region/boxes", "").await;
    let (_, entry) = open.split_once("\"said\":").unwrap();
    let entry: i64 = entry.split(',').next().unwrap().parse().unwrap();
    let region = "POST /api/v1/region/boxes";
    let ruling =
        |decide: &str| format!("{{\"share\":{plate},\"said\":{entry},\"decide\":\"{decide}\"}}");
    assert_eq!(
        status(&asked(&site, &bench, region, &ruling("right")).await),
        "403"
    );
    let done = asked(&site, COORDINATOR, region, &ruling("right")).await;
    assert_eq!(status(&done), "200", "{done}");
    let late = asked(&site, COORDINATOR, region, &ruling("again")).await;
    assert!(
        status(&late) == "409" && late.contains("box-decided"),
        "{late}"
    );
    let open = asked(&site, COORDINATOR, "GET /api/v1/region/boxes", "").await;
    assert!(open.contains("\"items\":[]"));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_box_that_travels_is_told_gone_before_it_can_be_handed_over() {
    let site = served().await;
    let (plate, code, its) = boxed_of(&site, "Silt Sisters").await;
    let page = site.get("/boxes", COORDINATOR).await;
    assert!(
        page.contains(&format!("data-does=\"leave:{plate}\"")),
        "it travels"
    );
    assert!(!page.contains("name=\"code\""));
    let sheet = format!("/run-sheets/{code}/do");
    let hand = format!("plate={plate}&act=hand&from=all&code={its}&key=hand-0001");
    let early = site.post(&sheet, COORDINATOR, &hand).await;
    assert_eq!(status(&early), "409");
    assert!(early.contains("has not left its host yet."));
    // On a tablet it waits: that it has left may stand on another.
    let cookie = site.cookie(COORDINATOR).await;
    let head = format!(
        "POST {sheet} HTTP/1.1\r\nHost: localhost\r\nCookie: {cookie}\r\nAccept: application/json\r\n\
         Content-Type: application/x-www-form-urlencoded"
    );
    let answer = site.ask(&head, hand.as_bytes()).await;
    let answer = String::from_utf8_lossy(&answer).into_owned();
    assert!(
        body(&answer).starts_with(r#"{"answer":"later","#),
        "{answer}"
    );
    let leave = format!("plate={plate}&act=leave&from=all&key=leave-0001");
    let gone = site.post(&sheet, COORDINATOR, &leave).await;
    assert_eq!(leads_to(&gone), Some("/boxes"));
    let page = site.get("/boxes", COORDINATOR).await;
    assert!(page.contains(&format!("data-does=\"hand:{plate}\"")));
    assert_eq!(status(&site.post(&sheet, COORDINATOR, &hand).await), "303");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_box_of_what_was_taken_down_has_no_forms_and_says_so_everywhere() {
    let site = served().await;
    let (plate, code, its) = boxed(&site).await;
    let shown = site.get("/review/1", COORDINATOR).await;
    let says = format!("Box {plate} is at ");
    assert!(shown.contains(&says), "before it is decided");
    let form = "reason=could-hurt&key=down-00001";
    let down = site.post("/review/1/down", COORDINATOR, form).await;
    assert_eq!(leads_to(&down), Some("/review/1"));
    assert!(
        site.get("/review/1", COORDINATOR).await.contains(&says),
        "and after"
    );
    let bench = format!("operator:{code}");
    for (path, who) in [
        ("/boxes".to_owned(), COORDINATOR),
        (format!("/run-sheets/{code}/boxes"), bench.as_str()),
        (format!("/run-sheets/{code}"), bench.as_str()),
    ] {
        let page = site.get(&path, who).await;
        assert!(page.contains("The part was taken down."), "{path}");
        for act in ["hand", "leave", "missed"] {
            let form = format!("name=\"act\" value=\"{act}\"");
            assert!(!page.contains(&form), "{path}: {act}");
        }
    }
    let label = site.get(&format!("/boxes/{plate}"), COORDINATOR).await;
    assert!(label.contains("The part was taken down."));
    assert!(!label.contains("Hand it over, or say"));
    let own = site.get("/parts/1", NEWT).await;
    assert!(own.contains("Its box is not handed over.") && !own.contains(&its));
    let boxes = site.get("/boxes", COORDINATOR).await;
    assert!(
        boxes.contains("was called back."),
        "its promise is not shown as open"
    );
    let sheet = format!("/run-sheets/{code}/do");
    let leave = format!("plate={plate}&act=leave&key=leave-0001");
    let refused = site.post(&sheet, &bench, &leave).await;
    assert_eq!(status(&refused), "409");
    assert!(refused.contains("was taken down.") && refused.contains("give it to nobody"));
    let came = site.post("/parts/1/came", NEWT, "key=came-00001").await;
    assert_eq!(status(&came), "409");
}
