//! Notices on their page, and messages of them as a mail server of our own gets them.

use std::sync::{Arc, Mutex};

use partpledge_records::{Deed, Held, MailChoice, NewPerson, PersonKind, RoleKind};
use partpledge_units::ids::IdSource;
use partpledge_web::{Mailer, Site};
use partpledge_workshop::review::deciding::report;
use partpledge_workshop::{Actor, Role};
use tokio::io::{AsyncBufReadExt, AsyncWriteExt, BufReader};
use tokio::net::{TcpListener, TcpStream};

use super::{COORDINATOR, NEWT, SILT, Served, leads_to, served, served_as, status};

const MENTOR: &str = "mentor:Newt Works";

#[tokio::test(flavor = "multi_thread")]
async fn what_happened_stands_on_the_page_until_it_was_seen() {
    let site = served().await;
    site.site.notify().await.unwrap();
    for who in [NEWT, MENTOR, SILT] {
        let page = site.get("/notices", who).await;
        assert_eq!(status(&page), "200", "{who}");
        assert!(page.contains("Nothing here."), "{who}: {page}");
    }
    site.send_bracket("send-0000001").await;
    site.site.notify().await.unwrap();
    let page = site.get("/notices", MENTOR).await;
    assert!(page.contains("<h1>One new notice</h1>"), "{page}");
    assert!(page.contains("is promised. You have it by"), "{page}");
    assert!(page.contains("href=\"/parts/1\""), "{page}");
    let count = "1<span class=\"hush\"> new</span>";
    for (who, path, counts) in [
        (MENTOR, "/parts", true),
        (MENTOR, "/account", true),
        (NEWT, "/parts", false),
        (SILT, "/parts", false),
    ] {
        let page = site.get(path, who).await;
        assert_eq!(page.contains(count), counts, "{who} {path}");
        assert!(page.contains("href=\"/notices\""), "{who} {path}");
    }
    let (_, upto) = page.split_once("name=\"upto\" value=\"").unwrap();
    let upto: i64 = upto.split('"').next().unwrap().parse().unwrap();
    let copy = site.get("/account/export.json", MENTOR).await;
    assert!(copy.contains("is promised. You have it by"), "{copy}");
    // What came meanwhile is new still.
    site.send_bracket("send-0000002").await;
    site.site.notify().await.unwrap();
    let form = format!("upto={upto}");
    let seen = site.post("/notices/seen", MENTOR, &form).await;
    assert_eq!(leads_to(&seen), Some("/notices"));
    let page = site.get("/notices", MENTOR).await;
    assert!(page.contains("<h1>One new notice</h1>"), "{page}");
    assert_eq!(page.matches("<b>New: </b>").count(), 1);
    let form = format!("upto={}", upto + 1_000);
    site.post("/notices/seen", MENTOR, &form).await;
    let page = site.get("/notices", MENTOR).await;
    assert!(page.contains("You have seen all"), "{page}");
}

#[tokio::test(flavor = "multi_thread")]
async fn an_adult_chooses_and_a_student_is_not_asked() {
    let site = served().await;
    let page = site.get("/account", MENTOR).await;
    assert!(page.contains("value=\"digest\" checked"), "{page}");
    assert!(page.contains("E-mail is off on this server"), "{page}");
    let page = site.post("/account/mail", MENTOR, "mail=urgent").await;
    assert!(page.contains("value=\"urgent\" checked"), "{page}");
    let bad = site.post("/account/mail", MENTOR, "mail=always").await;
    assert_eq!(status(&bad), "422");
    assert!(bad.contains("<a href=\"#mail\">Choose what"), "{bad}");
    let student = site.get("/account", NEWT).await;
    assert!(!student.contains("/account/mail"), "{student}");
}

/// What a mail server got: to whom, and the whole text.
type Got = Arc<Mutex<Vec<(String, String)>>>;

/// A mail server that takes what is for `rail`, refuses `gone` for good and `busy` for now.
async fn mail_server() -> (u16, Got) {
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let port = listener.local_addr().unwrap().port();
    let got = Got::default();
    let kept = got.clone();
    tokio::spawn(async move {
        while let Ok((socket, _)) = listener.accept().await {
            tokio::spawn(serve_one(socket, kept.clone()));
        }
    });
    (port, got)
}

/// The few words of RFC 5321 that a sender needs.
async fn serve_one(socket: TcpStream, got: Got) -> Option<()> {
    let mut socket = BufReader::new(socket);
    let (mut line, mut to) = (String::new(), String::new());
    socket.write_all(b"220 here\r\n").await.ok()?;
    loop {
        line.clear();
        if socket.read_line(&mut line).await.ok()? == 0 {
            return None;
        }
        let word = line.get(..4).unwrap_or_default().to_ascii_uppercase();
        let answer: &[u8] = match word.as_str() {
            "RCPT" if line.contains("gone@") => b"550 nobody of that name\r\n",
            "RCPT" if line.contains("busy@") => b"451 later\r\n",
            "RCPT" => {
                to.clone_from(&line);
                b"250 fine\r\n"
            }
            "DATA" => {
                socket.write_all(b"354 go on\r\n").await.ok()?;
                let mut text = String::new();
                while !text.ends_with("\r\n.\r\n") {
                    socket.read_line(&mut text).await.ok()?;
                }
                got.lock().unwrap().push((to.clone(), text));
                b"250 taken\r\n"
            }
            "QUIT" => b"221 bye\r\n",
            _ => b"250 fine\r\n",
        };
        socket.write_all(answer).await.ok()?;
    }
}

/// A coordinator who wants what is urgent at once.
async fn coordinator(site: &Served, name: &str) {
    let (store, region) = site.session.store().unwrap();
    let new = NewPerson {
        kind: PersonKind::Adult,
        name: name.to_owned(),
        email: Some(format!("{name}@example.org")),
        secret: None,
    };
    let deed = Deed {
        actor: "local".to_owned(),
        occurred_at: site.session.now,
        received_at: site.session.now,
        idempotency_key: None,
    };
    let held = Held::new(RoleKind::Coordinator, "");
    let id = store
        .add_person(region, (&new, &held), &deed, &mut IdSource::Os)
        .await
        .unwrap();
    let urgent = MailChoice::Urgent;
    store.choose_mail(region, id, urgent).await.unwrap();
}

/// A part is sent, and somebody says that it should not be here.
async fn reported(site: &Served) {
    site.site.notify().await.unwrap();
    site.send_bracket("send-0000001").await;
    let student = Actor::new(Role::Team("Silt Sisters".to_owned()));
    let what = (false, "It looks sharp.", "report-0001");
    report(&site.session, &student, 1, what).await.unwrap();
    site.site.notify().await.unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn without_a_mail_server_everything_is_kept_and_only_the_coordinator_sees_it() {
    let site = served().await;
    coordinator(&site, "rail").await;
    reported(&site).await;
    assert_eq!(site.site.post().await.unwrap(), 0);
    let page = site.get("/outbox", COORDINATOR).await;
    assert!(page.contains("E-mail is off: nothing is sent"), "{page}");
    assert!(
        page.contains("<b>Kept</b>: Partpledge, urgent: 1 notice"),
        "{page}"
    );
    assert!(page.contains("To rail, rail@example.org"), "{page}");
    assert!(
        page.contains("should not be here. Look at it soon."),
        "{page}"
    );
    for who in [NEWT, MENTOR] {
        let page = site.get("/outbox", who).await;
        assert_eq!(status(&page), "403", "{who}");
        assert!(!page.contains("rail@"), "{who}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_mail_server_gets_each_message_once_and_what_it_says_of_one_holds_up_no_other() {
    let (port, got) = mail_server().await;
    let server = format!("smtp://127.0.0.1:{port}");
    let mailer = Mailer::new("Partpledge <parts@example.org>", &server).unwrap();
    let site = served_as(|site: Site| site.to_try().mailing(mailer)).await;
    for name in ["busy", "gone", "rail"] {
        coordinator(&site, name).await;
    }
    reported(&site).await;
    assert_eq!(site.site.post().await.unwrap(), 1);
    assert_eq!(site.site.post().await.unwrap(), 0, "once");
    let got = got.lock().unwrap().clone();
    assert_eq!(got.len(), 1, "{got:?}");
    let (to, text) = &got[0];
    assert!(to.contains("<rail@example.org>"), "{to}");
    for part in [
        "From: Partpledge <parts@example.org>\r\n",
        "To: rail@example.org\r\n",
        "Subject: Partpledge, urgent: 1 notice\r\n",
        "Auto-Submitted: auto-generated\r\n",
        "Date: Tue, 09 Mar 2027 09:02:00 +0000\r\n",
        "@example.org>\r\n",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
    let page = site.get("/outbox", COORDINATOR).await;
    assert!(page.contains("<h1>E-mail is on</h1>"), "{page}");
    assert!(page.contains("Sent Tuesday 9 March at 10:02"), "{page}");
    assert!(page.contains("Kept after 1 try"), "{page}");
    assert!(page.contains("The mail server said 451."), "{page}");
    assert!(page.contains("Given up after 1 try"), "{page}");
    assert!(page.contains("The mail server said 550."), "{page}");
    let (_, id) = page.split_once("action=\"/outbox/").unwrap();
    let again = format!("/outbox/{}/again", id.split('/').next().unwrap());
    let back = site.post(&again, COORDINATOR, "").await;
    assert_eq!(leads_to(&back), Some("/outbox"));
    let twice = site.post(&again, COORDINATOR, "").await;
    assert_eq!(status(&twice), "404", "it is kept, not given up");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_mail_server_that_is_away_costs_no_message() {
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let port = listener.local_addr().unwrap().port();
    drop(listener);
    let server = format!("smtp://127.0.0.1:{port}");
    let mailer = Mailer::new("parts@example.org", &server).unwrap();
    let site = served_as(|site: Site| site.to_try().mailing(mailer)).await;
    coordinator(&site, "rail").await;
    reported(&site).await;
    assert_eq!(site.site.post().await.unwrap(), 0);
    let page = site.get("/outbox", COORDINATOR).await;
    assert!(page.contains("Kept after 1 try"), "{page}");
    assert!(page.contains("The mail server was not reached."), "{page}");
}
