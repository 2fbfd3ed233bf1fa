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
    let old = site.get("/parts/1", NEWT).await;
    assert!(
        old.contains("<h1 id=\"answer\"") && old.contains("AV-0002 took the place of this one.")
    );
    assert!(
        site.get("/parts", NEWT)
            .await
            .contains("AV-0002 took its place.")
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_changed_file_keeps_the_day_by_which_the_part_is_needed() {
    let site = served().await;
    let file = partpledge_testbed::files().swap_remove(0);
    let fields = |key, day| {
        let known = [("key", key), ("copies", "2"), ("material", "PETG")];
        [known.as_slice(), &[("need_by", day)]].concat()
    };
    let sent = fields("needed-00001", "2027-03-19");
    let sent = site.send(NEWT, &sent, &[(file.name, &file.bytes)]).await;
    assert_eq!(leads_to(&sent), Some("/parts/1"), "{sent}");
    let shown = "value=\"2027-03-19\"";
    let plain = site.get("/parts/send", NEWT).await;
    assert!(!plain.contains(shown), "another part has its own");
    let form = site.get("/parts/send?again=1", NEWT).await;
    assert!(form.contains(shown), "kept, and to be changed");
    let changed = partpledge_testbed::files().swap_remove(1);
    let mut again = fields("needed-00002", "2027-03-19");
    again.push(("again", "1"));
    let again = site
        .send(NEWT, &again, &[(changed.name, &changed.bytes)])
        .await;
    assert_eq!(leads_to(&again), Some("/parts/2"), "{again}");
    let books = site.books().await;
    let needed = |number| books.numbered(number).unwrap().request.need_by;
    assert!(needed(1).is_some());
    assert_eq!(needed(1), needed(2));
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

/// The value of the first hidden field of that name.
pub(super) fn value_of(page: &str, name: &str) -> Option<String> {
    let start = page.find(&format!("name=\"{name}\" value=\""))?;
    let value = page[start..].split('"').nth(3)?;
    Some(value.to_owned())
}

/// A team chooses among the quicker ways on their page, and its part is changed once.
#[tokio::test(flavor = "multi_thread")]
async fn a_quicker_way_is_shown_with_its_day_and_taken_with_one_press() {
    let site = served().await;
    let prism = partpledge_testbed::parts::hex_prism(20.0, 9.0);
    let bytes = partpledge_formats::write::stl_binary(&prism);
    let mut found = None;
    for (i, copies) in ["20", "40", "60", "40"].into_iter().enumerate() {
        let key = format!("other-00000{i}");
        let fields = [
            ("key", key.as_str()),
            ("copies", copies),
            ("material", "PLA"),
        ];
        let sent = site.send(NEWT, &fields, &[("hub.stl", &bytes)]).await;
        let number = leads_to(&sent).unwrap().rsplit('/').next().unwrap();
        let number: i64 = number.parse().unwrap();
        let page = site.get(&format!("/parts/{number}"), NEWT).await;
        assert!(
            page.contains(&format!("href=\"/parts/{number}/otherwise\"")),
            "{page}"
        );
        let ways = site.get(&format!("/parts/{number}/otherwise"), NEWT).await;
        assert_eq!(status(&ways), "200");
        let field = |name: &str| value_of(&ways, name);
        if let (Some(kind), Some(value), Some(by)) = (field("kind"), field("value"), field("by")) {
            found = Some((number, kind, value, by));
            break;
        }
        assert!(ways.contains("There is no quicker way just now"), "{ways}");
    }
    let (number, kind, value, by) = found.unwrap();
    let path = format!("/parts/{number}/otherwise");
    let host = site.get(&path, BENCH).await;
    assert_eq!(status(&host), "403", "{host}");
    for (form, wanted) in [
        (
            format!("kind=paint&value={value}&by={by}&key=other-way-0"),
            "422",
        ),
        (
            format!("kind={kind}&value={value}&by=1&key=other-way-1"),
            "409",
        ),
        (format!("kind={kind}&value={value}&by={by}&key=x"), "403"),
    ] {
        let answer = site.post(&path, NEWT, &form).await;
        assert_eq!(status(&answer), wanted, "{form}: {answer}");
    }
    let open = site.books().await;
    assert!(
        open.pledge_of(open.numbered(number).unwrap().request.id)
            .unwrap()
            .end
            .is_none()
    );
    let form = format!("kind={kind}&value={value}&by={by}&key=other-way-2");
    let taken = site.post(&path, NEWT, &form).await;
    assert_eq!(status(&taken), "303", "{taken}");
    let new = leads_to(&taken).unwrap().to_owned();
    let again = site.post(&path, NEWT, &form).await;
    assert_eq!(
        leads_to(&again),
        Some(new.as_str()),
        "a double click is one change"
    );
    let books = site.books().await;
    let old = books.numbered(number).unwrap().request.id;
    assert!(books.pledge_of(old).unwrap().end.is_some());
    let new: i64 = new.rsplit('/').next().unwrap().parse().unwrap();
    assert_eq!(books.numbered(new).unwrap().request.replaces, Some(old));
}
