//! Coming in, one's account, a team's people and the region's, through the pages.

use partpledge_records::{Held, RoleKind};
use partpledge_web::{Front, Site};
use partpledge_workshop::Actor;
use partpledge_workshop::people::inviting::NewAdult;

use super::{COORDINATOR, NEWT, Served, cookie_in, leads_to, served, served_as, status};

const MENTOR: &str = "mentor:Newt Works";
const PASSWORD: &str = "four+words+by+the+weir";

/// What stands between two texts.
fn between<'a>(page: &'a str, from: &str, to: &str) -> &'a str {
    let (_, rest) = page
        .split_once(from)
        .unwrap_or_else(|| panic!("{from} in {page}"));
    rest.split_once(to).unwrap().0
}

fn shown(page: &str) -> &str {
    let (_, rest) = page.split_once("shown__value").unwrap();
    between(rest, ">", "<")
}

async fn team_code(site: &Served) -> String {
    let page = site.post("/teams/Newt%20Works/join-code", MENTOR, "").await;
    shown(&page).to_owned()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_student_joins_with_a_code_and_comes_back_with_their_own() {
    let site = served().await;
    let code = team_code(&site).await;
    let wrong = site
        .post("/join", "", "code=KMTR-7WQX&name=Little+Grebe")
        .await;
    assert_eq!(status(&wrong), "422");
    for text in [
        "There is a problem",
        "href=\"#code\"",
        "value=\"KMTR-7WQX\"",
        "value=\"Little Grebe\"",
    ] {
        assert!(wrong.contains(text), "{text}");
    }
    let form = format!("code={}&name=Little+Grebe", code.to_lowercase());
    let joined = site.post("/join", "", &form).await;
    assert_eq!(status(&joined), "200");
    assert!(joined.contains("You are in: welcome to Newt Works."));
    let set = joined
        .lines()
        .find(|line| line.starts_with("set-cookie: "))
        .unwrap();
    assert!(
        !set.contains("Max-Age"),
        "goes with the browser's window: {set}"
    );
    let own = shown(&joined).to_owned();
    let parts = site.get_with("/parts", &cookie_in(&joined).unwrap()).await;
    assert!(parts.contains("You are Little Grebe, student of Newt Works."));
    assert!(
        !site.get("/teams/Newt%20Works", MENTOR).await.contains(&own),
        "shown once"
    );
    let back = site.post("/come-back", "", &format!("code={own}")).await;
    assert_eq!((status(&back), leads_to(&back)), ("303", Some("/parts")));
    let wrong = site.post("/come-back", "", "code=x").await;
    assert_eq!(status(&wrong), "422");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_mentor_sees_the_team_and_can_give_a_code_anew_stop_one_and_remove() {
    let site = served().await;
    let code = team_code(&site).await;
    let joined = site
        .post("/join", "", &format!("code={code}&name=Otter"))
        .await;
    let own = shown(&joined).to_owned();
    let team = site.get("/teams/Newt%20Works", MENTOR).await;
    assert!(team.contains("<b>Otter</b>") && team.contains("Your team"));
    let id = between(&team, "/teams/Newt%20Works/people/", "/return-code").to_owned();
    let path = format!("/teams/Newt%20Works/people/{id}");
    let anew = site.post(&format!("{path}/return-code"), MENTOR, "").await;
    assert!(anew.contains("A new code for Otter"));
    assert_eq!(
        status(&site.post("/come-back", "", &format!("code={own}")).await),
        "422"
    );
    let fresh = shown(&anew).to_owned();
    assert_eq!(
        status(&site.post("/come-back", "", &format!("code={fresh}")).await),
        "303"
    );
    let asks = site.get(&format!("{path}/remove"), MENTOR).await;
    assert!(asks.contains("Remove Otter from Newt Works?") && asks.contains("What stays, and why"));
    let not_sure = site.post(&format!("{path}/remove"), MENTOR, "").await;
    assert!(leads_to(&not_sure).unwrap().ends_with("/remove"));
    site.post(&format!("{path}/remove"), MENTOR, "sure=yes")
        .await;
    assert!(
        !site
            .get("/teams/Newt%20Works", MENTOR)
            .await
            .contains("Otter")
    );
    let stop = between(&team, "/teams/Newt%20Works/codes/", "/stop");
    site.post(
        &format!("/teams/Newt%20Works/codes/{stop}/stop"),
        MENTOR,
        "",
    )
    .await;
    let late = site
        .post("/join", "", &format!("code={code}&name=Vole"))
        .await;
    assert_eq!(status(&late), "422");
}

#[tokio::test(flavor = "multi_thread")]
async fn an_adult_is_invited_signs_in_changes_the_password_and_leaves() {
    let site = served().await;
    let made = site
        .post("/people/invite", COORDINATOR, "role=mentor%3ANewt+Works")
        .await;
    assert!(made.contains("nothing is mailed"));
    let path = shown(&made)
        .strip_prefix("http://localhost")
        .unwrap()
        .to_owned();
    let asks = site.get(&path, "").await;
    assert!(asks.contains("You are invited: mentor of Newt Works"));
    let bad = site
        .post(&path, "", "name=Wren&email=nowhere&password=short")
        .await;
    assert_eq!(status(&bad), "422");
    for text in [
        "href=\"#email\"",
        "href=\"#password\"",
        "value=\"Wren\"",
        "value=\"nowhere\"",
    ] {
        assert!(bad.contains(text), "{text}");
    }
    assert!(!bad.contains("short\""), "no password is sent back");
    let form = format!("name=Wren&email=Wren%40example.org&password={PASSWORD}");
    let accepted = site.post(&path, "", &form).await;
    assert_eq!(
        (status(&accepted), leads_to(&accepted)),
        ("303", Some("/parts"))
    );
    assert_eq!(
        status(&site.post(&path, "", &form).await),
        "404",
        "works once"
    );
    let form = format!("email=wren%40example.org&password={PASSWORD}");
    let first = cookie_in(&accepted).unwrap();
    let second = cookie_in(&site.post("/sign-in", "", &form).await).unwrap();
    let account = site.get_with("/account", &second).await;
    assert!(account.contains("this browser") && account.contains("wren@example.org"));
    let other = between(&account, "/account/sign-ins/", "/end").to_owned();
    site.post_with(&format!("/account/sign-ins/{other}/end"), &second, "")
        .await;
    assert_eq!(
        leads_to(&site.get_with("/parts", &first).await),
        Some("/start")
    );
    let form = format!("old={PASSWORD}&new=three+herons+and+a+punt");
    let changed = site.post_with("/account/password", &second, &form).await;
    assert!(changed.contains("Your password is changed."));
    let copy = site.get_with("/account/export.json", &second).await;
    assert!(
        copy.contains("content-disposition: attachment")
            && copy.contains("\"email\": \"wren@example.org\"")
    );
    assert!(!copy.contains("argon2"), "no hash in a copy");
    let asks = site.get_with("/account/leave", &second).await;
    assert!(asks.contains("Leave, and have your data erased?"));
    let gone = site.post_with("/account/leave", &second, "sure=yes").await;
    assert!(gone.contains("Max-Age=0") && gone.contains("clear-site-data: \"cache\""));
    assert_eq!(
        leads_to(&site.get_with("/account", &second).await),
        Some("/start")
    );
    let people = site.get("/people", COORDINATOR).await;
    assert!(!people.contains("Wren") && people.contains("One has left and was erased."));
}

#[tokio::test(flavor = "multi_thread")]
async fn wrong_passwords_are_answered_alike_and_end_in_429_with_what_to_do() {
    let site = served().await;
    let people = site.session.people(site.session.now).unwrap();
    let held = Held::new(RoleKind::Coordinator, "");
    let token = people
        .invite(&Actor::at_the_machine(), &held)
        .await
        .unwrap();
    let new = NewAdult {
        name: "Rail",
        email: "rail@example.org",
        password: "four words by the weir",
    };
    people.accept(&token, &new, "").await.unwrap();
    let said = async |email: &str| {
        let form = format!("email={email}&password=wrong");
        let answer = site.post("/sign-in", "", &form).await;
        let body = answer.split_once("\r\n\r\n").unwrap().1.replace(email, "");
        (status(&answer).to_owned(), body)
    };
    let known = said("rail@example.org").await;
    assert_eq!(known.0, "422");
    assert_eq!(known, said("none@example.org").await);
    for _ in 0..9 {
        said("rail@example.org").await;
    }
    let (status, page) = said("rail@example.org").await;
    assert_eq!(status, "429");
    assert!(
        page.contains("too many wrong tries. Wait until 11:00"),
        "{page}"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn somebody_with_two_roles_changes_over() {
    let site = served().await;
    let made = site
        .post("/people/invite", COORDINATOR, "role=operator%3Abrindlemoor")
        .await;
    let path = shown(&made)
        .strip_prefix("http://localhost")
        .unwrap()
        .to_owned();
    let cookie = site.fresh_cookie(MENTOR).await;
    let asks = site.get_with(&path, &cookie).await;
    assert!(asks.contains("Take it up") && !asks.contains("type=\"password\""));
    let taken = site.post_with(&path, &cookie, "").await;
    assert_eq!(leads_to(&taken), Some("/run-sheet"));
    assert_eq!(status(&site.get_with("/parts", &cookie).await), "403");
    let back = site
        .post_with("/wear", &cookie, "role=mentor%3ANewt+Works")
        .await;
    assert_eq!(leads_to(&back), Some("/parts"));
    assert_eq!(status(&site.get_with("/parts", &cookie).await), "200");
    let not_held = site.post_with("/wear", &cookie, "role=coordinator").await;
    assert_eq!(status(&not_held), "404");
}

#[tokio::test(flavor = "multi_thread")]
async fn somebody_stands_in_for_the_coordinator_and_both_see_until_when() {
    let site = served().await;
    // Whoever tries the demo as a mentor is one of its adults from then on.
    site.get("/parts", MENTOR).await;
    let page = site.get("/people", COORDINATOR).await;
    let choices = between(&page, "<select id=\"who\"", "</select>");
    assert_eq!(choices.matches("<option").count(), 1, "{choices}");
    assert!(choices.contains("(mentor of Newt Works)"), "{choices}");
    let who = between(choices, "value=\"", "\"").to_owned();
    let form = |until: &str| format!("who={who}&until={until}");
    let wrong = site
        .post("/people/stand-in", COORDINATOR, &form("2026-01-01"))
        .await;
    assert_eq!(status(&wrong), "422");
    for text in [
        "href=\"#until\"",
        "Choose a day from today on",
        "value=\"2026-01-01\"",
        " selected>",
    ] {
        assert!(wrong.contains(text), "{text}");
    }
    let nobody = site.post("/people/stand-in", COORDINATOR, "who=x").await;
    assert!(nobody.contains("href=\"#who\""));
    let until = site.session.terrain.zone.date(site.session.minute());
    let done = site
        .post("/people/stand-in", COORDINATOR, &form(&until.to_string()))
        .await;
    assert_eq!(leads_to(&done), Some("/people"));
    let page = site.get("/people", COORDINATOR).await;
    assert!(
        page.contains("stands in for the coordinator to the end of Tuesday 9 March"),
        "{page}"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_team_is_copied_and_erased_and_its_parts_stay() {
    let site = served().await;
    site.send_bracket("send-0000001").await;
    let copy = site.get("/teams/Newt%20Works/export.json", MENTOR).await;
    assert!(
        copy.contains("\"number\": 1") && copy.contains("\"promise\": \"given\""),
        "{copy}"
    );
    let asks = site.get("/teams/Newt%20Works/erase", COORDINATOR).await;
    assert!(asks.contains("One student with nickname") && asks.contains("The team’s one request"));
    let done = site
        .post("/teams/Newt%20Works/erase", COORDINATOR, "sure=yes")
        .await;
    let back = "/teams/Newt%20Works?done=erased";
    assert_eq!((status(&done), leads_to(&done)), ("303", Some(back)));
    let after = site.get(back, COORDINATOR).await;
    assert!(
        after.contains("Done: the team’s people are erased."),
        "{after}"
    );
    let start = site.get("/start?done=erased", "").await;
    assert!(
        start.contains("Done: the team’s people are erased."),
        "{start}"
    );
    assert!(!site.get("/start?done=x", "").await.contains("Done:"));
    assert_eq!(
        leads_to(&site.get("/parts", NEWT).await),
        Some("/start"),
        "signed out"
    );
    assert_eq!(status(&site.get("/parts/1", COORDINATOR).await), "200");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_region_that_is_not_the_demo_can_not_be_tried() {
    let site = served_as(|site| site).await;
    assert!(!site.get("/start", "").await.contains("/try-as"));
    let tried = site.post("/try-as", "", "who=coordinator").await;
    assert_eq!((status(&tried), cookie_in(&tried)), ("404", None));
}

#[tokio::test(flavor = "multi_thread")]
async fn behind_a_front_cookies_are_for_tls_alone_and_nothing_can_be_tried() {
    let front = Front::named("https://parts.example").unwrap();
    let site = served_as(|site: Site| site.to_try().behind(front)).await;
    let people = site.session.people(site.session.now).unwrap();
    let lead = Actor::at_the_machine();
    let code = people.join_code(&lead, "Newt Works").await.unwrap();
    let form = format!("code={code}&name=Otter");
    let head = "POST /join HTTP/1.1\r\nHost: parts.example\r\nX-Forwarded-For: 10.0.0.1, 192.0.2.7\r\n\
                Content-Type: application/x-www-form-urlencoded\r\nOrigin: https://parts.example";
    let answer = site.ask(head, form.as_bytes()).await;
    let answer = String::from_utf8_lossy(&answer).into_owned();
    assert!(
        answer.contains("set-cookie: __Host-partpledge="),
        "{answer}"
    );
    assert!(answer.contains("; Path=/; HttpOnly; SameSite=Lax; Secure\r\n"));
    assert_eq!(
        status(&site.get("/start", "").await),
        "403",
        "by another name"
    );
    let head = "POST /try-as HTTP/1.1\r\nHost: parts.example\r\nOrigin: https://parts.example\r\n\
                Content-Type: application/x-www-form-urlencoded";
    let answer = site.ask(head, b"who=coordinator").await;
    assert_eq!(status(&String::from_utf8_lossy(&answer)), "404");
}

#[tokio::test(flavor = "multi_thread")]
async fn the_coordinator_is_told_of_benches_at_which_nobody_is_signed_up() {
    let site = served_as(|site| site).await;
    let people = site.session.people(site.session.now).unwrap();
    let machine = Actor::at_the_machine();
    let signed_up = async |email: &str, kind, scope: &str| {
        let held = Held::new(kind, scope);
        let token = people.invite(&machine, &held).await.unwrap();
        let new = NewAdult {
            name: "Wren",
            email,
            password: "four words by the weir",
        };
        people.accept(&token, &new, "192.0.2.7").await.unwrap()
    };
    signed_up("reed@example.org", RoleKind::Coordinator, "").await;
    let form = format!("email=reed%40example.org&password={PASSWORD}");
    let cookie = cookie_in(&site.post("/sign-in", "", &form).await).unwrap();
    for many in [true, false] {
        for path in ["/region", "/people"] {
            let page = site.get_with(path, &cookie).await;
            assert!(page.contains("Benches without people"), "{path} {page}");
            let says = page.contains("Brindlemoor") && page.contains("signed up for its bench");
            assert!(says, "{path} {page}");
            let listed = page.matches("signed up for its bench yet").count();
            let hosts = site.session.terrain.file.hosts.len();
            assert_eq!(listed, if many { hosts } else { hosts - 1 }, "{path}");
        }
        if many {
            signed_up("wren@example.org", RoleKind::Operator, "brindlemoor").await;
        }
    }
    // In the demo nobody has to be signed up.
    let demo = served().await;
    let page = demo.get("/region", COORDINATOR).await;
    assert!(!page.contains("Benches without people"), "{page}");
}
