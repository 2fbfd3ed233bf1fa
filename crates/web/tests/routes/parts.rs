//! A part looked at: its size asked for, its findings taught, its history kept.

use super::{BENCH, NEWT, SILT, leads_to, served, status};

#[tokio::test(flavor = "multi_thread")]
async fn a_team_is_asked_for_the_size_when_the_unit_is_in_doubt_and_its_word_holds() {
    let site = served().await;
    let prism = partpledge_testbed::parts::hex_prism(2.0, 0.5);
    let bytes = partpledge_formats::write::stl_binary(&prism);
    let fields = [
        ("key", "send-0000001"),
        ("copies", "2"),
        ("material", "PETG"),
    ];
    site.send(NEWT, &fields, &[("nut.stl", &bytes)]).await;
    let page = site.get("/parts/1", NEWT).await;
    assert!(page.contains("id=\"size-h\""), "asked");
    assert!(page.contains("Inches: 58.7 × 50.8 × 12.7 mm, as we took it"));
    assert!(page.contains("Centimetres: 23.1 × 20.0 × 5.0 mm"));
    let host = site.get("/parts/1", BENCH).await;
    assert!(!host.contains("id=\"size-h\""), "only its team is asked");
    for (who, form, wanted) in [
        (SILT, "key=unit-0001&unit=cm", "404"),
        (BENCH, "key=unit-0001&unit=cm", "403"),
        (NEWT, "key=unit-0001&unit=furlong", "422"),
    ] {
        let answer = site.post("/parts/1/unit", who, form).await;
        assert_eq!(status(&answer), wanted, "{who} {form}");
    }
    assert_eq!(site.books().await.requests.len(), 1);
    for _ in 0..2 {
        let answer = site
            .post("/parts/1/unit", NEWT, "key=unit-0002&unit=cm")
            .await;
        assert_eq!(
            (status(&answer), leads_to(&answer)),
            ("303", Some("/parts/2"))
        );
    }
    let page = site.get("/parts/2", NEWT).await;
    assert!(page.contains("23.1 × 20.0 × 5.0 mm") && !page.contains("id=\"size-h\""));
    let books = site.books().await;
    assert_eq!(books.requests.len(), 2, "a double click is one new version");
    let new = &books.numbered(2).unwrap().request;
    assert_eq!((new.copies, new.material.as_str()), (2, "PETG"));
    assert_eq!(new.replaces, Some(books.numbered(1).unwrap().request.id));
}

/// A part with five things to mend, sent and looked at.
#[tokio::test(flavor = "multi_thread")]
async fn every_finding_has_its_picture_and_its_lesson_and_a_changed_file_keeps_the_history() {
    let site = served().await;
    let plate = |wall, gap| {
        let mesh = partpledge_testbed::parts::teaching_plate_with(wall, gap);
        partpledge_formats::write::stl_binary(&mesh)
    };
    let fields = |key| [("key", key), ("copies", "1"), ("material", "PLA")];
    let file = plate(0.4, 0.3);
    let sent = site
        .send(NEWT, &fields("teach-000001"), &[("plate.stl", &file)])
        .await;
    assert_eq!(leads_to(&sent), Some("/parts/1"), "{sent}");
    let page = site.get("/parts/1", NEWT).await;
    assert_eq!(page.matches("Learn why").count(), 5);
    for n in 1..=5 {
        let path = format!("/parts/1/finding-{n}.svg");
        assert!(page.contains(&path), "{n} on the page");
        let picture = site.get(&path, NEWT).await;
        assert_eq!(status(&picture), "200");
        assert!(picture.contains("content-type: image/svg+xml"));
        let etag = picture.lines().find_map(|line| line.strip_prefix("etag: "));
        let cookie = site.cookie(NEWT).await;
        let head = format!(
            "GET {path} HTTP/1.1\r\nHost: localhost\r\nCookie: {cookie}\r\nIf-None-Match: {}",
            etag.unwrap()
        );
        let again = String::from_utf8_lossy(&site.ask(&head, &[]).await).into_owned();
        assert_eq!(status(&again), "304", "kept for good");
    }
    assert!(page.contains("Marked with arrows: 0.4 mm of plastic"));
    assert_eq!(
        status(&site.get("/parts/1/finding-6.svg", NEWT).await),
        "404"
    );
    let changed = plate(1.2, 1.0);
    let mut again = fields("teach-000002").to_vec();
    again.push(("again", "1"));
    let sent = site.send(NEWT, &again, &[("plate.stl", &changed)]).await;
    assert_eq!(leads_to(&sent), Some("/parts/2"), "{sent}");
    let page = site.get("/parts/2", NEWT).await;
    assert!(
        page.contains(
            "two of five findings are mended. Mended: thin wall, narrow gap. Still there:"
        ),
        "by name"
    );
    assert!(
        page.contains("; fixed two of five"),
        "in the list of versions"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn the_size_of_a_part_that_was_called_back_is_not_asked_and_not_taken() {
    let site = served().await;
    let prism = partpledge_testbed::parts::hex_prism(2.0, 0.5);
    let bytes = partpledge_formats::write::stl_binary(&prism);
    let fields = [
        ("key", "send-0000001"),
        ("copies", "1"),
        ("material", "PLA"),
    ];
    site.send(NEWT, &fields, &[("nut.stl", &bytes)]).await;
    assert!(site.get("/parts/1", NEWT).await.contains("id=\"size-h\""));
    site.post("/parts/1/withdraw", NEWT, "key=withdraw-1").await;
    assert!(!site.get("/parts/1", NEWT).await.contains("id=\"size-h\""));
    let answer = site
        .post("/parts/1/unit", NEWT, "key=unit-0001&unit=cm")
        .await;
    assert_eq!(status(&answer), "409", "{answer}");
    assert_eq!(site.books().await.requests.len(), 1);
}
