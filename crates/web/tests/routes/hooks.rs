//! What other programs are told, on a listener of this machine.

use partpledge_web::Site;
use partpledge_workshop::Actor;
use partpledge_workshop::hooks::{self, Reach, signature};
use serde_json::{Value, json};
use std::time::Duration;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpListener;
use tokio::time::{Instant, sleep, timeout};

use super::{COORDINATOR, Served, served_as, status};

/// Answers one message with a head, and gives back what came.
async fn heard(listener: &TcpListener, answer: &str) -> String {
    let (mut socket, _) = listener.accept().await.unwrap();
    let (mut text, mut chunk) = (String::new(), [0_u8; 4_096]);
    loop {
        let many = socket.read(&mut chunk).await.unwrap();
        text += &String::from_utf8_lossy(&chunk[..many]);
        let Some((head, body)) = text.split_once("\r\n\r\n") else {
            continue;
        };
        let length = header(head, "content-length").parse::<usize>().unwrap();
        if body.len() >= length {
            break;
        }
    }
    let answer = format!("HTTP/1.1 {answer}\r\nContent-Length: 0\r\nConnection: close\r\n\r\n");
    socket.write_all(answer.as_bytes()).await.unwrap();
    text
}

fn header<'a>(head: &'a str, name: &str) -> &'a str {
    let mut lines = head.lines().filter_map(|line| line.split_once(": "));
    let found = lines.find(|(known, _)| known.eq_ignore_ascii_case(name));
    found.map_or("", |(_, value)| value)
}

#[tokio::test(flavor = "multi_thread")]
async fn a_registered_address_is_told_once_and_signed_and_redirects_are_not_followed() {
    let site = served_as(|site| site.to_try().telling_near()).await;
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let port = listener.local_addr().unwrap().port();
    assert_eq!(site.site.tell().await.unwrap(), 0, "nobody is told unasked");
    let form = format!("address=http%3A%2F%2F127.0.0.1%3A{port}%2Ftold&kind=pledge.given");
    let made = site.post("/told", COORDINATOR, &form).await;
    assert_eq!(status(&made), "200", "{made}");
    let mut secret = made.split(|c: char| !c.is_ascii_hexdigit());
    let secret = secret.find(|word| word.len() == 64).unwrap();

    site.send_bracket("send-0000001").await;
    site.send_bracket("send-0000002").await;
    let (tried, (first, second)) = tokio::join!(site.site.tell(), async {
        let first = heard(&listener, "204 No Content").await;
        let moved = "302 Found\r\nLocation: http://127.0.0.1:1/";
        let second = heard(&listener, moved).await;
        (
            first,
            header(&second, "partpledge-entry").parse::<i64>().unwrap(),
        )
    });
    assert_eq!(tried.unwrap(), 2);
    let (head, body) = first.split_once("\r\n\r\n").unwrap();
    assert!(head.starts_with("POST /told HTTP/1.1"), "{head}");
    let at_s: i64 = header(head, "partpledge-time").parse().unwrap();
    let signed = format!("hmac-sha256={}", signature(secret, at_s, body));
    assert_eq!(header(head, "partpledge-signature"), signed);
    let told: Value = serde_json::from_str(body).unwrap();
    assert_eq!(told["kind"], "pledge.given");
    assert_eq!(
        told["says"]["number"],
        json!([1]),
        "as /api/v1/parts has it"
    );
    let entry = told["entry"].as_i64().unwrap();
    assert_eq!(header(head, "partpledge-entry"), entry.to_string());
    assert!(second > entry, "{second} comes after {entry}");
    assert!(
        !body.contains("Newt") && !body.contains("bracket"),
        "{body}"
    );

    assert_eq!(
        site.site.tell().await.unwrap(),
        0,
        "each once, until its wait is over"
    );
    let page = site.get("/told", COORDINATOR).await;
    assert!(page.contains("answered 204"), "{page}");
    assert!(page.contains("answered 302"), "{page}");
    for bad in ["http%3A%2F%2Fboard.example%2F", "x", ""] {
        let form = format!("address={bad}&kind=run.off");
        let refused = site.post("/told", COORDINATOR, &form).await;
        assert_eq!(status(&refused), "422", "{bad}");
    }
}

/// Has a listener told of pledges, whatever the pages would say to its address.
async fn registered(site: &Served, listener: &TcpListener) {
    let port = listener.local_addr().unwrap().port();
    let address = format!("http://127.0.0.1:{port}/told");
    let what = (address.as_str(), &["pledge.given"][..]);
    let machine = Actor::at_the_machine();
    let made = hooks::register(&site.session, &machine, what, Reach::Near).await;
    made.unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn this_machine_is_not_told_unless_whoever_runs_the_server_allowed_it() {
    let site = served_as(Site::to_try).await;
    for near in [
        "http%3A%2F%2F127.0.0.1%3A9",
        "https%3A%2F%2F10.0.0.1",
        "https%3A%2F%2Flocalhost",
    ] {
        let form = format!("address={near}%2F&kind=pledge.given");
        let refused = site.post("/told", COORDINATOR, &form).await;
        assert_eq!(status(&refused), "422", "{near}");
        assert!(refused.contains("own network"), "{refused}");
    }
    // A name that is looked up only later leads here, or the server was started otherwise before.
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    registered(&site, &listener).await;
    site.send_bracket("send-0000001").await;
    assert_eq!(site.site.tell().await.unwrap(), 1);
    let knocked = timeout(Duration::from_millis(200), listener.accept()).await;
    assert!(knocked.is_err(), "not even a connection");
    let page = site.get("/told", COORDINATOR).await;
    assert!(page.contains("own network, which is not told"), "{page}");
}

#[tokio::test(flavor = "multi_thread")]
async fn one_that_answers_a_letter_at_a_time_is_given_up_and_holds_up_nobody() {
    let site = served_as(|site| site.to_try().telling_near()).await;
    let slow = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let swift = TcpListener::bind("127.0.0.1:0").await.unwrap();
    registered(&site, &slow).await;
    registered(&site, &swift).await;
    site.send_bracket("send-0000001").await;
    site.send_bracket("send-0000002").await;
    let dripping = tokio::spawn(async move {
        let (mut socket, _) = slow.accept().await.unwrap();
        socket.write_all(b"HTTP/1.1 200 OK\r\nX: ").await.unwrap();
        while socket.write_all(b"x").await.is_ok() {
            sleep(Duration::from_millis(250)).await;
        }
    });
    let began = Instant::now();
    let (tried, swiftly) = tokio::join!(site.site.tell(), async {
        heard(&swift, "200 OK").await;
        heard(&swift, "200 OK").await;
        began.elapsed()
    });
    assert!(swiftly < Duration::from_secs(8), "{swiftly:?}");
    assert_eq!(
        tried.unwrap(),
        3,
        "the slow one is left alone after its first"
    );
    assert!(began.elapsed() < Duration::from_secs(20));
    dripping.await.unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn of_steps_that_are_taken_back_others_can_be_told() {
    let site = served_as(Site::to_try).await;
    let form = "address=https%3A%2F%2Fboard.example%2F&kind=step.taken-back";
    let made = site.post("/told", COORDINATOR, form).await;
    assert_eq!(status(&made), "200", "{made}");
}
