//! What other programs are told, on a listener of this machine.

use partpledge_workshop::hooks::signature;
use serde_json::Value;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpListener;

use super::{COORDINATOR, served, status};

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
    let site = served().await;
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
    let (tried, first) = tokio::join!(site.site.tell(), async {
        let first = heard(&listener, "204 No Content").await;
        heard(&listener, "302 Found\r\nLocation: http://127.0.0.1:1/").await;
        first
    });
    assert_eq!(tried.unwrap(), 2);
    let (head, body) = first.split_once("\r\n\r\n").unwrap();
    assert!(head.starts_with("POST /told HTTP/1.1"), "{head}");
    let at_s: i64 = header(head, "partpledge-time").parse().unwrap();
    let signed = format!("hmac-sha256={}", signature(secret, at_s, body));
    assert_eq!(header(head, "partpledge-signature"), signed);
    let told: Value = serde_json::from_str(body).unwrap();
    assert_eq!(told["kind"], "pledge.given");
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
