//! Printers that say themselves what they do, through a small agent on a listener of this machine.

use std::sync::{Arc, Mutex};
use std::time::Duration;

use partpledge_records::StepKind;
use partpledge_units::local::parse_rfc3339;
use partpledge_web::Site;
use partpledge_workshop::plate_room::printer_of;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpListener;
use tokio::time::{Instant, sleep, timeout};

use super::{COORDINATOR, Served, served_in, status};

/// What an agent has heard: time, element, text; numbered from 1 on.
#[derive(Default)]
struct Heard {
    device: String,
    rows: Vec<(&'static str, &'static str, String)>,
    /// Sent instead of an answer, if it is not empty.
    instead: Vec<u8>,
    asked: Vec<String>,
}

#[derive(Clone, Default)]
struct Agent(Arc<Mutex<Heard>>);

impl Agent {
    /// Listens; the address.
    async fn listens(&self) -> String {
        let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
        let address = format!("http://{}", listener.local_addr().unwrap());
        let agent = self.clone();
        tokio::spawn(async move {
            loop {
                let (mut socket, _) = listener.accept().await.unwrap();
                let mut text = Vec::new();
                while !text.ends_with(b"\r\n\r\n") {
                    let mut chunk = [0; 1_024];
                    match socket.read(&mut chunk).await {
                        Ok(many) if many > 0 => text.extend(&chunk[..many]),
                        _ => break,
                    }
                }
                let answer = agent.answers(&String::from_utf8(text).unwrap());
                // Who has read enough may hang up before all is sent.
                let _ = socket.write_all(&answer).await;
            }
        });
        address
    }

    fn says(&self, at: &'static str, element: &'static str, text: &str) {
        let mut heard = self.0.lock().unwrap();
        heard.rows.push((at, element, text.to_owned()));
    }

    fn asked(&self) -> Vec<String> {
        self.0.lock().unwrap().asked.clone()
    }

    fn answers(&self, head: &str) -> Vec<u8> {
        let mut heard = self.0.lock().unwrap();
        let path = head.split(' ').nth(1).unwrap_or_default().to_owned();
        heard.asked.push(path.clone());
        if !heard.instead.is_empty() {
            return heard.instead.clone();
        }
        let from = path
            .split_once("from=")
            .map(|(_, rest)| rest.split('&').next().unwrap());
        let from = from.map(|from| from.parse::<usize>().unwrap());
        let last = |i: usize| {
            let element = heard.rows[i].1;
            !heard.rows[i + 1..].iter().any(|row| row.1 == element)
        };
        let rows = heard.rows.iter().enumerate();
        let rows = rows.filter(|(i, _)| from.map_or_else(|| last(*i), |from| i + 1 >= from));
        let rows: Vec<String> = rows
            .map(|(i, (at, element, text))| {
                format!(
                    "<{element} dataItemId=\"{element}\" sequence=\"{}\" \
                     timestamp=\"2027-03-09T{at}Z\">{text}</{element}>",
                    i + 1
                )
            })
            .collect();
        let rows = rows.concat();
        let body = format!(
            "<MTConnectStreams><Header creationTime=\"2027-03-09T09:02:00Z\" instanceId=\"3\" \
             firstSequence=\"1\" nextSequence=\"{}\" lastSequence=\"{}\"/><Streams><DeviceStream \
             name=\"{}\" uuid=\"u\"><ComponentStream><Events>{rows}</Events></ComponentStream>\
             </DeviceStream></Streams></MTConnectStreams>",
            heard.rows.len() + 1,
            heard.rows.len(),
            heard.device
        );
        let length = body.len();
        format!(
            "HTTP/1.1 200 OK\r\nContent-Type: text/xml\r\nContent-Length: {length}\r\n\
             Connection: close\r\n\r\n{body}"
        )
        .into_bytes()
    }
}

/// The demo region in which every printer has an agent there, as the device of its own name.
fn region(address: &str) -> String {
    let text = partpledge_testbed::ambrel_valley();
    let mut blocks = text.split("[[printers]]\nname = \"");
    let mut out = blocks.next().unwrap().to_owned();
    for block in blocks {
        let (name, rest) = block.split_once("\"\n").unwrap();
        out.push_str(&format!(
            "[[printers]]\nname = \"{name}\"\nagent = {{ address = \"{address}\", device = \"{name}\" \
             }}\n{rest}"
        ));
    }
    out
}

/// A plate that is planned: its number, its printer and the code of its bench.
async fn planned(site: &Served) -> (u64, String, String) {
    site.send_bracket("send-0000001").await;
    let books = site.books().await;
    let place = books.floor.plan.assignments[0];
    let session = &site.session;
    let printer = printer_of(session, &books, books.plate(place.plate.0).unwrap()).unwrap();
    let at = session.terrain.printer_of(&printer).unwrap();
    let host = session.terrain.host_at(at, place.start);
    let mut schools = session.terrain.file.schools.iter();
    let code = schools
        .find(|school| school.name == host)
        .unwrap()
        .code
        .clone();
    (place.plate.0, printer, code)
}

#[tokio::test(flavor = "multi_thread")]
async fn a_print_is_seen_from_start_to_end_on_the_run_sheet() {
    let agent = Agent::default();
    agent.says("07:00:00", "Execution", "READY");
    let text = region(&agent.listens().await);
    // The server's own minute must not come between: it does not ask, we do.
    let site = served_in(&text, Site::to_try).await;
    let reading = site.site.clone().reading_printers();
    let (plate, printer, code) = planned(&site).await;
    agent.0.lock().unwrap().device.clone_from(&printer);
    assert_eq!(reading.read_printers().await.unwrap(), 36);
    let sheet = format!("/run-sheets/{code}");
    let bench = format!("operator:{code}");
    let page = site.get(&sheet, &bench).await;
    assert!(page.contains("It says it is ready."), "{page}");

    agent.says("09:01:00", "Program", &format!("plate-{plate}.3mf"));
    agent.says("09:01:12.250", "Execution", "ACTIVE");
    reading.read_printers().await.unwrap();
    let books = site.books().await;
    let started = books.step(plate, StepKind::Started).unwrap();
    let at = parse_rfc3339("2027-03-09T09:01:12.250Z").unwrap();
    assert_eq!((started.at, &started.printer), (at, &printer));
    let page = site.get(&sheet, &bench).await;
    let runs = format!("It says it runs plate {plate}, since 10:01.");
    assert!(page.contains(&runs), "{page}");
    assert!(
        page.contains("The printer says it started at 10:01."),
        "{page}"
    );
    assert!(page.contains("Take it back"), "{page}");

    agent.says("09:01:50", "Execution", "PROGRAM_COMPLETED");
    reading.read_printers().await.unwrap();
    let page = site.get(&sheet, &bench).await;
    let ended = format!("It says plate {plate} ended at 10:01: take it off when it has cooled.");
    assert!(page.contains(&ended), "{page}");
    assert!(page.contains("The printer says it ended at 10:01: take it off."));
    assert!(site.books().await.step(plate, StepKind::Off).is_none());
    // The other printers are no devices of this agent, and the coordinator reads so.
    let page = site.get("/region", COORDINATOR).await;
    assert!(
        page.contains("the agent has no device of that name or uuid"),
        "{page}"
    );
    assert!(!page.contains(&format!("<b>{printer}</b>")), "{page}");
    let asked = agent.asked();
    let all =
        |path: &String| path.starts_with("/current?path=") || path.starts_with("/sample?from=");
    assert!(asked.iter().all(all), "{asked:?}");
}

#[tokio::test(flavor = "multi_thread")]
async fn nobody_is_asked_unless_whoever_runs_the_server_allowed_it() {
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let text = region(&format!("http://{}", listener.local_addr().unwrap()));
    let site = served_in(&text, Site::to_try).await;
    assert_eq!(site.site.read_printers().await.unwrap(), 0);
    let knocked = timeout(Duration::from_millis(200), listener.accept()).await;
    assert!(knocked.is_err(), "not even a connection");
    let page = site.get("/region", COORDINATOR).await;
    assert!(page.contains("Its agent was never read"), "{page}");
    let (_, _, code) = planned(&site).await;
    let bench = format!("operator:{code}");
    let sheet = site.get(&format!("/run-sheets/{code}"), &bench).await;
    assert!(
        sheet.contains("It has told us nothing yet. Tick by hand."),
        "{sheet}"
    );
    assert!(!sheet.contains("--read-printers"), "{sheet}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_slow_agent_and_a_dead_one_hold_up_nobody() {
    let swift = Agent::default();
    swift.says("07:00:00", "Execution", "READY");
    let swiftly = swift.listens().await;
    let slow = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let slowly = format!("http://{}", slow.local_addr().unwrap());
    let dead = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let deadly = format!("http://{}", dead.local_addr().unwrap());
    drop(dead);
    // Three printers have an agent each, the others none.
    let plain = partpledge_testbed::ambrel_valley();
    let mut parts = plain.splitn(4, "start_failure = ");
    let mut text = parts.next().unwrap().to_owned();
    for address in [&slowly, &deadly, &swiftly] {
        text.push_str(&format!(
            "agent = {{ address = \"{address}\", device = \"u\" }}\nstart_failure = "
        ));
        text.push_str(parts.next().unwrap());
    }
    tokio::spawn(async move {
        loop {
            let (mut socket, _) = slow.accept().await.unwrap();
            tokio::spawn(async move {
                let _ = socket.write_all(b"HTTP/1.1 200 OK\r\nX: ").await;
                while socket.write_all(b"x").await.is_ok() {
                    sleep(Duration::from_millis(100)).await;
                }
            });
        }
    });
    let site = served_in(&text, Site::to_try).await;
    let allowed = site.site.clone().reading_printers();
    let began = Instant::now();
    let reading = tokio::spawn(async move { allowed.read_printers().await.unwrap() });
    while swift.asked().is_empty() {
        sleep(Duration::from_millis(20)).await;
    }
    assert!(
        began.elapsed() < Duration::from_secs(4),
        "{:?}",
        began.elapsed()
    );
    let page = site.get("/region", COORDINATOR).await;
    assert_eq!(status(&page), "200");
    assert!(
        began.elapsed() < Duration::from_secs(5),
        "{:?}",
        began.elapsed()
    );
    assert_eq!(reading.await.unwrap(), 3);
    assert!(began.elapsed() < Duration::from_secs(15));
    let (store, region) = site.session.store().unwrap();
    let watches = store.machine_watches(region).await.unwrap();
    let codes = watches
        .iter()
        .map(|one| one.fault.as_ref().map(|fault| fault.0.as_str()));
    let mut codes: Vec<_> = codes.collect();
    codes.sort_unstable();
    assert_eq!(codes, [None, Some("silent"), Some("silent")]);
}

#[tokio::test(flavor = "multi_thread")]
async fn hostile_agents_are_read_no_further_and_nowhere_else() {
    let elsewhere = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let moved = format!(
        "HTTP/1.1 302 Found\r\nLocation: http://{}/\r\nContent-Length: 0\r\nConnection: close\r\n\r\n",
        elsewhere.local_addr().unwrap()
    );
    let long = "HTTP/1.1 200 OK\r\nConnection: close\r\n\r\n".to_owned() + &"<a>".repeat(2_000_000);
    let agent = Agent::default();
    let text = region(&agent.listens().await);
    let site = served_in(&text, Site::to_try).await;
    let reading = site.site.clone().reading_printers();
    for answer in [
        moved.as_str(),
        &long,
        "HTTP/1.1 500 No\r\n\r\n",
        "no HTTP at all\r\n\r\n",
    ] {
        agent.0.lock().unwrap().instead = answer.as_bytes().to_vec();
        assert_eq!(reading.read_printers().await.unwrap(), 36);
        let (store, region) = site.session.store().unwrap();
        let watches = store.machine_watches(region).await.unwrap();
        assert!(
            watches
                .iter()
                .all(|one| one.fault.is_some() && one.read.is_none())
        );
    }
    let knocked = timeout(Duration::from_millis(200), elsewhere.accept()).await;
    assert!(knocked.is_err(), "no redirect is followed");
    // What others wrote is shown to nobody, wherever it stands in the answer.
    let (_, printer, code) = planned(&site).await;
    for (head, body, why) in [
        (
            "HTTP/1.1 200 OK",
            "<MTConnectError><Header/><Errors><Error errorCode=\"Call 0900\">Call 0900</Error></Errors>\
             </MTConnectError>",
            "the agent refuses to answer",
        ),
        (
            "HTTP/1.1 200 OK",
            "<Call0900 a=\"Call 0900\"/>",
            "no MTConnectStreams document",
        ),
        ("Call 0900", "Call 0900", "doesn’t speak HTTP"),
    ] {
        let answer = format!("{head}\r\nConnection: close\r\n\r\n{body}");
        agent.0.lock().unwrap().instead = answer.into_bytes();
        reading.read_printers().await.unwrap();
        let page = site.get("/region", COORDINATOR).await;
        assert!(
            page.contains(&format!("<b>{printer}</b>")) && page.contains(why),
            "{page}"
        );
        let bench = format!("operator:{code}");
        let sheet = site.get(&format!("/run-sheets/{code}"), &bench).await;
        assert!(sheet.contains("The coordinator sees why."), "{sheet}");
        assert!(!sheet.contains(why), "a bench reads what to do: {sheet}");
        assert!(!page.contains("0900") && !sheet.contains("0900"));
    }
}
