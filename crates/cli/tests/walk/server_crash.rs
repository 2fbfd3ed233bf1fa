//! kill -9 on the server: what a page has acknowledged is there when it comes back.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Stdio};

use crate::program::partpledge;

const WHO: &str = "look_as=team:Newt%20Works";

/// A server on a free port and its address.
fn serve(data: &Path) -> (Child, String) {
    let mut child = partpledge(data, &["serve", "--port", "0"])
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
    let said = lines.next().unwrap().unwrap();
    let (_, rest) = said.split_once("http://").unwrap();
    let address = rest.split_whitespace().next().unwrap().to_owned();
    (child, address)
}

fn ask(address: &str, head: &str, body: &[u8]) -> String {
    let mut socket = TcpStream::connect(address).unwrap();
    let head = format!(
        "{head}\r\nHost: {address}\r\nCookie: {WHO}\r\nConnection: close\r\nContent-Length: {}\r\n\r\n",
        body.len()
    );
    socket.write_all(head.as_bytes()).unwrap();
    socket.write_all(body).unwrap();
    let mut answer = Vec::new();
    socket.read_to_end(&mut answer).unwrap();
    String::from_utf8_lossy(&answer).into_owned()
}

#[test]
fn a_ticket_outlives_the_server() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let files = partpledge_testbed::files();
    let mut body = Vec::new();
    for (name, value) in [("key", "crash-0001"), ("copies", "2"), ("material", "PETG")] {
        let part =
            format!("--sep\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n");
        body.extend(part.as_bytes());
    }
    body.extend(
        b"--sep\r\nContent-Disposition: form-data; name=\"file\"; filename=\"a.stl\"\r\n\r\n",
    );
    body.extend(&files[0].bytes);
    body.extend(b"\r\n--sep--\r\n");
    let post = "POST /parts/send HTTP/1.1\r\nContent-Type: multipart/form-data; boundary=sep";
    let (mut server, address) = serve(&data);
    let sent = ask(&address, post, &body);
    assert!(sent.contains("location: /parts/1"), "{sent}");
    let before = ask(&address, "GET /parts/1 HTTP/1.1", b"");
    server.kill().unwrap();
    server.wait().unwrap();
    let (mut server, address) = serve(&data);
    let after = ask(&address, "GET /parts/1 HTTP/1.1", b"");
    let ticket = |page: &str| {
        let (_, rest) = page.split_once("ticket__when").unwrap();
        rest.split_once("</h2>").unwrap().0.to_owned()
    };
    assert_eq!(ticket(&after), ticket(&before), "the same promise");
    // The same form, sent again because the browser never saw the answer.
    let again = ask(&address, post, &body);
    assert!(again.contains("location: /parts/1"), "{again}");
    let stl = ask(&address, "GET /parts/1/part-1.stl HTTP/1.1", b"");
    assert!(stl.starts_with("HTTP/1.1 200"), "the original is there");
    server.kill().unwrap();
    server.wait().unwrap();
}
