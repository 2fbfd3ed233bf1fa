//! A host sends the program that its printer will run.

use super::{BENCH, COORDINATOR, NEWT, SILT, Served, leads_to, served, status};

const PROGRAM: &[u8] = b"G21 G90\nM83\nG28\nM106 S255\nM106 S0\nG92 X0 Y0 Z0 E0\n\
    G0 X10 Y10 Z.2 F6000\nG1 X60 E1.5 F1800\nG4 S3600\n";
const OTHER_HOST: &str = super::OTHER_BENCH;

/// A plate planned at the bench of Brindlemoor.
async fn plate(site: &Served) -> u64 {
    site.send_bracket("send-0000001").await;
    let books = site.books().await;
    let terrain = &site.session.terrain;
    let mut places = books.floor.plan.assignments.iter();
    let here = places.find(|place| {
        terrain
            .host_at(place.printer, place.start)
            .starts_with("Brindlemoor")
    });
    here.unwrap().plate.0
}

impl Served {
    async fn program(&self, who: &str, plate: u64, key: &str, bytes: &[u8]) -> String {
        let path = format!("/plates/{plate}/program");
        let files = [("our plate.txt", bytes)];
        self.upload(&path, who, &[("key", key)], &files).await
    }

    async fn programs(&self) -> usize {
        self.books().await.floor.programs.len()
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_host_sends_its_program_and_reads_both_times() {
    let site = served().await;
    let plate = plate(&site).await;
    let path = format!("/plates/{plate}");
    let before = site.get(&path, BENCH).await;
    assert!(before.contains("The program our printer will run"));
    assert!(before.contains("Use its time") && !before.contains("your program takes"));
    for _ in 0..2 {
        let answer = site.program(BENCH, plate, "program-0001", PROGRAM).await;
        let to = format!("{path}#program");
        assert_eq!((status(&answer), leads_to(&answer)), ("303", Some(&*to)));
    }
    let books = site.books().await;
    let told = books.floor.program_of(plate).unwrap();
    let page = site.get(&path, BENCH).await;
    let takes = partpledge_units::time::Minutes(told.worked_out_min);
    for text in [
        format!("; your program takes {takes}."),
        "minutes of that are for measuring the bed".to_owned(),
        "It uses 0.0 g of plastic in 1 layer.".to_owned(),
        "<summary>3 words of it were not used</summary>".to_owned(),
        "<li>M106, 2 times</li>".to_owned(),
        "our plate.txt, sent 10:02.".to_owned(),
        "Promises already given stay as they are.".to_owned(),
        "check it as you always do".to_owned(),
    ] {
        assert!(page.contains(&text), "{text}");
    }
    assert!(before.contains("Mind with this plastic") && page.contains("Mind with this plastic"));
    let coordinator = site.get(&path, COORDINATOR).await;
    assert!(coordinator.contains("; the host’s program takes "));
    let again = site
        .program(COORDINATOR, plate, "program-0002", PROGRAM)
        .await;
    assert_eq!(status(&again), "303");
    let form = format!("plate={plate}&act=start&key=start-00001");
    site.post("/run-sheets/brindlemoor/do", BENCH, &form).await;
    let late = site.program(BENCH, plate, "program-0003", PROGRAM).await;
    assert_eq!(status(&late), "409", "it runs");
    let running = site.get(&path, BENCH).await;
    assert!(running.contains("your program takes") && !running.contains("Use its time"));
}

#[tokio::test(flavor = "multi_thread")]
async fn only_the_host_of_the_printer_and_the_coordinator_send_a_program() {
    let site = served().await;
    let plate = plate(&site).await;
    for (who, wanted) in [
        (NEWT, "403"),
        (SILT, "403"),
        ("", "303"),
        (OTHER_HOST, "403"),
    ] {
        let answer = site.program(who, plate, "program-0001", PROGRAM).await;
        assert_eq!(status(&answer), wanted, "{who}");
    }
    let other = site.get(&format!("/plates/{plate}"), OTHER_HOST).await;
    assert!(status(&other) == "200" && !other.contains("Use its time"));
    let nowhere = site.program(BENCH, 77, "program-0001", PROGRAM).await;
    assert_eq!(status(&nowhere), "404");
    let cookie = site.cookie(BENCH).await;
    let foreign = format!(
        "POST /plates/{plate}/program HTTP/1.1\r\nHost: localhost\r\nCookie: {cookie}\r\n\
         Sec-Fetch-Site: cross-site\r\nContent-Type: multipart/form-data; boundary=sep"
    );
    let answer = site.ask(&foreign, b"--sep--\r\n").await;
    assert_eq!(status(&String::from_utf8_lossy(&answer)), "403");
    assert_eq!(site.programs().await, 0);
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_wrong_with_a_program_is_said_beside_its_form_and_nothing_changes() {
    let site = served().await;
    let plate = plate(&site).await;
    let before = format!("{:?}", site.books().await.floor);
    let huge = vec![b'x'; 101_000_000];
    let hot = b"M83\nM109 S600\nG92 X0 Y0 Z0\nG1 X20 E1 F6000\n";
    let cases: [(&str, &[u8], &str, &str); 6] = [
        ("program-0001", b"solid \0", "422", "This is a binary file"),
        (
            "program-0002",
            b"<script>alert(1)</script>",
            "422",
            "Nothing in this file moves",
        ),
        ("program-0003", hot, "422", "The nozzle is set to 600 °C"),
        (
            "program-0004",
            b"G92 X0 Y0 Z0\nG0 X9 F6000\n",
            "422",
            "lays no plastic",
        ),
        ("../../etc", PROGRAM, "422", "This form is damaged."),
        ("program-0005", &huge, "413", "That is more than 100 MB"),
    ];
    for (key, bytes, code, says) in cases {
        let answer = site.program(BENCH, plate, key, bytes).await;
        assert_eq!(status(&answer), code, "{says}");
        assert!(
            answer.contains("<title>Error: ") && answer.contains(says),
            "{says}"
        );
        assert!(!answer.contains("<script>alert"), "{says}");
    }
    let path = format!("/plates/{plate}/program");
    let key = [("key", "program-0006")];
    let none = site.upload(&path, BENCH, &key, &[]).await;
    assert!(status(&none) == "422" && none.contains("Choose the program’s file."));
    let two = [("a.txt", PROGRAM), ("b.txt", PROGRAM)];
    let two = site.upload(&path, BENCH, &key, &two).await;
    assert!(status(&two) == "422" && two.contains("Choose one file"));
    assert_eq!(format!("{:?}", site.books().await.floor), before);
}
