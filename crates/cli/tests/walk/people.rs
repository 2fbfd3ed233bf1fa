//! The first coordinator of a real region, the demo that can be tried, and clearing up.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::Stdio;

use partpledge_units::local::parse_rfc3339;
use partpledge_workshop::{Role, Session};

use crate::program::{AT, partpledge, planted, run};

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

/// What the server says on stderr before it says that it serves, its page of a path.
fn served(data: &Path, path_in: impl Fn(&str) -> String) -> (String, String) {
    let mut server = partpledge(data, &["serve", "--port", "0"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(server.stdout.take().unwrap()).lines();
    let said = lines.next().unwrap().unwrap();
    let address = said.split_once("http://").unwrap().1;
    let address = address.split_whitespace().next().unwrap().to_owned();
    let ask = |path: &str| {
        // Bound before it is said, and the link is printed before anybody is served.
        let mut socket = TcpStream::connect(&address).unwrap();
        let head = format!("GET {path} HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\n\r\n");
        socket.write_all(head.as_bytes()).unwrap();
        let mut answer = String::new();
        socket.read_to_string(&mut answer).unwrap();
        answer
    };
    let start = ask("/start");
    let mut errors = server.stderr.take().unwrap();
    let mut heard = vec![0_u8; 4_096];
    let many = if start.contains("/try-as") {
        0
    } else {
        errors.read(&mut heard).unwrap()
    };
    let heard = String::from_utf8_lossy(&heard[..many]).into_owned();
    let page = ask(&path_in(&heard));
    server.kill().unwrap();
    server.wait().unwrap();
    (heard, page)
}

#[tokio::test(flavor = "multi_thread")]
async fn a_region_without_a_coordinator_prints_a_link_for_the_first() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    real_region(&data).await;
    let path = |heard: &str| {
        let (_, token) = heard.split_once("/invited/").expect("a link");
        format!("/invited/{}", token.trim())
    };
    let (first, page) = served(&data, path);
    assert!(first.contains("no coordinator yet"), "{first}");
    assert!(page.contains("You are invited: coordinator"), "{page}");
    let (_, page) = served(&data, |_| path(&first));
    assert!(
        page.starts_with("HTTP/1.1 404"),
        "the next start ended it: {page}"
    );
}

#[test]
fn the_demo_can_be_tried_and_prints_no_link() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    planted(&data);
    let (heard, page) = served(&data, |_| "/start".to_owned());
    assert!(heard.is_empty() && page.contains("Try the demo as the coordinator"));
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
