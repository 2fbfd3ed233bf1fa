//! The first coordinator of a real region, the demo that can be tried, and clearing up.

use std::path::Path;

use partpledge_units::local::parse_rfc3339;
use partpledge_workshop::{Role, Session};

use crate::program::{AT, Server, planted, run, started};
use crate::server_crash::ask_with;

/// A region that is not the demo, with a season that ends, in a data directory.
async fn real_region(data: &Path) -> Session {
    let demo = partpledge_testbed::ambrel_valley();
    let lines = demo.lines().filter(|line| !line.starts_with("season_ends"));
    let demo: Vec<&str> = lines.collect();
    let named = "season_ends = \"2027-01-01\"\nname = \"Sedge Reach\"";
    let region = demo
        .join("\n")
        .replacen("name = \"Ambrel Valley\"", named, 1);
    let now = parse_rfc3339("2026-12-01T10:00:00+01:00").unwrap();
    Session::open(data, &region, now).await.unwrap()
}

/// A server's page of a path.
fn page_of(server: &Server, path: &str) -> String {
    ask_with("", &server.address, &format!("GET {path} HTTP/1.1"), b"")
}

#[tokio::test(flavor = "multi_thread")]
async fn a_region_without_a_coordinator_prints_a_link_for_the_first() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    real_region(&data).await;
    let server = started(&data);
    let heard = server.says("/invited/");
    let (_, token) = heard.split_once("/invited/").unwrap();
    let path = format!("/invited/{}", token.trim());
    let page = page_of(&server, &path);
    assert!(heard.contains("no coordinator yet"), "{heard}");
    assert!(page.contains("You are invited: coordinator"), "{page}");
    server.ended();
    let server = started(&data);
    // The link is printed before anybody is served.
    let page = page_of(&server, &path);
    assert!(
        page.starts_with("HTTP/1.1 404"),
        "the next start ended it: {page}"
    );
    assert!(server.ended().contains("/invited/"), "and made another");
}

#[test]
fn the_demo_can_be_tried_and_prints_no_link() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    planted(&data);
    let server = started(&data);
    let page = page_of(&server, "/start");
    assert!(page.contains("Try the demo as the coordinator"), "{page}");
    let heard = server.ended();
    assert!(heard.is_empty(), "{heard}");
}

#[tokio::test(flavor = "multi_thread")]
async fn tidy_people_erases_whom_the_season_erases() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let session = real_region(&data).await;
    let people = session.people(session.now).unwrap();
    for role in [Role::Team("Newt Works".to_owned()), Role::Coordinator] {
        people.try_as(&role).await.unwrap();
    }
    assert!(parse_rfc3339(AT).unwrap() > people.erased_from().unwrap().unwrap());
    for erased in [1, 0] {
        let output = run(&data, &["tidy-people"]);
        let said = String::from_utf8_lossy(&output.stdout).into_owned();
        assert!(output.status.success(), "{said}");
        let begins = format!("People of teams erased: {erased}. ");
        assert!(said.starts_with(&begins), "{said}");
    }
    assert!(people.has_coordinator().await.unwrap());
}

#[test]
fn a_front_without_tls_is_refused() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let output = run(
        &data,
        &[
            "serve",
            "--port",
            "0",
            "--behind-proxy",
            "http://parts.example",
        ],
    );
    assert!(!output.status.success());
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(said.contains("is not like https://"), "{said}");
}
