//! Every route over a real socket: status, kind, headers, and that nothing else is served.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use std::sync::Arc;

use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::FixedClock;
use partpledge_web::{Site, bind, serve};
use partpledge_workshop::Session;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;

/// A server on a free port of loopback, over the demo region with nothing planned.
async fn served(dir: &std::path::Path) -> std::net::SocketAddr {
    let now = parse_rfc3339("2027-03-09T16:52:00+01:00").unwrap();
    let session = Session::open(&dir.join("data"), partpledge_testbed::ambrel_valley(), now).await;
    let site = Site::new(session.unwrap(), Arc::new(FixedClock(now))).unwrap();
    let listener = bind(0).await.unwrap();
    let address = listener.local_addr().unwrap();
    tokio::spawn(serve(listener, site, std::future::pending()));
    address
}

/// The whole answer, head and body.
async fn get(address: std::net::SocketAddr, path: &str) -> String {
    let mut socket = TcpStream::connect(address).await.unwrap();
    let ask = format!("GET {path} HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
    socket.write_all(ask.as_bytes()).await.unwrap();
    let mut answer = String::new();
    socket.read_to_string(&mut answer).await.unwrap();
    answer
}

#[tokio::test]
async fn every_route_answers_with_its_kind_and_the_strict_headers() {
    let dir = tempfile::tempdir().unwrap();
    let address = served(dir.path()).await;
    assert!(address.ip().is_loopback());
    for (path, status, kind, holds) in [
        ("/", "200", "text/html", "No pledge is open."),
        ("/tokens.css", "200", "text/css", "--stock"),
        ("/paper.css", "200", "text/css", ".ticket"),
        ("/partpledge.svg", "200", "image/svg+xml", "<svg"),
        (
            "/pledges/1",
            "404",
            "text/html",
            "There is no pledge with that number.",
        ),
        (
            "/pledges/first",
            "404",
            "text/html",
            "There is no pledge with that number.",
        ),
        (
            "/data/partpledge.sqlite",
            "404",
            "text/html",
            "There is no such page.",
        ),
        (
            "/../../etc/hostname",
            "404",
            "text/html",
            "There is no such page.",
        ),
    ] {
        let answer = get(address, path).await;
        assert!(
            answer.starts_with(&format!("HTTP/1.1 {status}")),
            "{path}: {answer}"
        );
        assert!(answer.contains(&format!("content-type: {kind}")), "{path}");
        assert!(answer.contains(holds), "{path}");
        assert!(
            answer.contains("content-security-policy: default-src 'self'"),
            "{path}"
        );
        assert!(answer.contains("x-content-type-options: nosniff"), "{path}");
    }
}

#[tokio::test]
async fn no_page_asks_another_host_or_runs_a_script() {
    let dir = tempfile::tempdir().unwrap();
    let address = served(dir.path()).await;
    for path in ["/", "/pledges/1"] {
        let answer = get(address, path).await;
        let lower = answer.to_lowercase();
        assert!(
            !lower.contains("<script") && !lower.contains("style=\""),
            "{path}"
        );
        assert!(
            !lower.contains("src=\"http") && !lower.contains("href=\"http"),
            "{path}"
        );
    }
    for path in ["/tokens.css", "/paper.css"] {
        assert!(!get(address, path).await.contains("url(\"http"), "{path}");
    }
}
