//! kill -9 on the server: what a page has acknowledged is there when it comes back.

use std::io::{Read, Write};
use std::net::TcpStream;
use std::path::Path;

use crate::program::{Server, cookie, json, planted, started};

const WHO: &str = "student%3ANewt+Works";

/// A server of the demo's region.
fn serve(data: &Path) -> Server {
    planted(data);
    started(data)
}

fn ask(address: &str, head: &str, body: &[u8]) -> String {
    ask_as(WHO, address, head, body)
}

/// Tries the demo as somebody; the cookie.
fn tried_as(address: &str, who: &str) -> String {
    let form = format!("who={who}");
    let head = "POST /try-as HTTP/1.1\r\nContent-Type: application/x-www-form-urlencoded";
    cookie(&ask_with("", address, head, form.as_bytes()))
}

fn ask_as(who: &str, address: &str, head: &str, body: &[u8]) -> String {
    ask_with(&tried_as(address, who), address, head, body)
}

pub(crate) fn ask_with(who: &str, address: &str, head: &str, body: &[u8]) -> String {
    let mut socket = TcpStream::connect(address).unwrap();
    let head = format!(
        "{head}\r\nHost: {address}\r\nCookie: {who}\r\nConnection: close\r\nContent-Length: {}\r\n\r\n",
        body.len()
    );
    socket.write_all(head.as_bytes()).unwrap();
    socket.write_all(body).unwrap();
    let mut answer = Vec::new();
    socket.read_to_end(&mut answer).unwrap();
    String::from_utf8_lossy(&answer).into_owned()
}

/// A form with one file.
pub(crate) fn form(fields: &[(&str, &str)], (file, bytes): (&str, &[u8])) -> Vec<u8> {
    let mut body = Vec::new();
    for (name, value) in fields {
        let part =
            format!("--sep\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n");
        body.extend(part.as_bytes());
    }
    let part = format!(
        "--sep\r\nContent-Disposition: form-data; name=\"file\"; filename=\"{file}\"\r\n\r\n"
    );
    body.extend(part.as_bytes());
    body.extend(bytes);
    body.extend(b"\r\n--sep--\r\n");
    body
}

#[test]
fn a_ticket_outlives_the_server() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let files = partpledge_testbed::files();
    let fields = [
        ("key", "crash-0001"),
        ("copies", "2"),
        ("material", "PETG"),
        ("claim", "own"),
    ];
    let body = form(&fields, ("a.stl", &files[0].bytes));
    let post = "POST /parts/send HTTP/1.1\r\nContent-Type: multipart/form-data; boundary=sep";
    let server = serve(&data);
    let address = server.address.as_str();
    let sent = ask(address, post, &body);
    assert!(sent.contains("location: /parts/1"), "{sent}");
    let before = ask(address, "GET /parts/1 HTTP/1.1", b"");
    server.ended();
    let server = serve(&data);
    let address = server.address.as_str();
    let after = ask(address, "GET /parts/1 HTTP/1.1", b"");
    let ticket = |page: &str| {
        let (_, rest) = page.split_once("ticket__when").unwrap();
        rest.split_once("</h2>").unwrap().0.to_owned()
    };
    assert_eq!(ticket(&after), ticket(&before), "the same promise");
    // The same form, sent again because the browser never saw the answer.
    let again = ask(address, post, &body);
    assert!(again.contains("location: /parts/1"), "{again}");
    let stl = ask(address, "GET /parts/1/part-1.stl HTTP/1.1", b"");
    assert!(stl.starts_with("HTTP/1.1 200"), "the original is there");
    server.ended();
}

#[test]
fn a_program_that_was_taken_outlives_the_server_and_is_taken_once() {
    const COORDINATOR: &str = "coordinator";
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let files = partpledge_testbed::files();
    let server = serve(&data);
    let address = server.address.as_str();
    let fields = [
        ("key", "crash-0001"),
        ("copies", "1"),
        ("material", "PETG"),
        ("claim", "own"),
    ];
    let part = form(&fields, ("a.stl", &files[0].bytes));
    let kind = "HTTP/1.1\r\nContent-Type: multipart/form-data; boundary=sep";
    ask(address, &format!("POST /parts/send {kind}"), &part);
    let text = b"G21 G90\nM83\nG92 X0 Y0 Z0 E0\nG1 X60 E1.5 F1800\nG4 S3600\n";
    let program = form(&[("key", "crash-0002")], ("plate.txt", text));
    let post = format!("POST /plates/1/program {kind}");
    let sent = ask_as(COORDINATOR, address, &post, &program);
    assert!(sent.contains("location: /plates/1#program"), "{sent}");
    server.ended();
    let plan = json(&data, &["plan", "--json"]);
    let server = serve(&data);
    let address = server.address.as_str();
    let page = ask_as(COORDINATOR, address, "GET /plates/1 HTTP/1.1", b"");
    assert!(page.contains("the host’s program takes 1 h"), "{page}");
    // Sent again because the browser never saw the answer.
    let again = ask_as(COORDINATOR, address, &post, &program);
    assert!(again.contains("location: /plates/1#program"), "{again}");
    server.ended();
    assert_eq!(json(&data, &["plan", "--json"]), plan, "one deed");
    assert_eq!(json(&data, &["check-plan", "--json"])["clean"], true);
}
