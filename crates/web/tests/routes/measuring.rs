//! Critical dimensions: named on the form and by a program, measured at the bench, read by the team.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use partpledge_records::{State, StepKind};
use partpledge_units::micrometre::Micrometres;
use serde_json::{Value, json};

use super::api::Program;
use super::{COORDINATOR, NEWT, SILT, Served, leads_to, served, status};

const NAMED: &str =
    r#"[{"what":"bore for the bearing","nominal_mm":8,"lower_mm":-0.05,"upper_mm":0.1}]"#;

async fn sent(site: &Served, more: &[(&str, &str)]) -> String {
    let file = partpledge_testbed::files().swap_remove(1);
    let mut fields = vec![
        ("key", "send-0000001"),
        ("copies", "4"),
        ("material", "PETG"),
    ];
    fields.extend(more);
    site.send(NEWT, &fields, &[(file.name, &file.bytes)]).await
}

/// The plate of part 1 and the code of its bench.
async fn planned(site: &Served) -> (u64, String) {
    let books = site.books().await;
    let mut kept = books.floor.kept.iter();
    let kept = kept.find(|kept| kept.plate.copies == 2).unwrap();
    let numbers: Vec<i64> = books.copies_on(kept).map(|copy| copy.number).collect();
    assert_eq!(numbers, [1, 2]);
    let place = *books.place(kept).unwrap();
    (place.plate.0, site.code_at(&place))
}

const BORE: [(&str, &str); 3] = [
    ("what-1", "bore for the bearing"),
    ("size-1", "8,00"),
    ("about-1", "0.05"),
];

#[tokio::test(flavor = "multi_thread")]
async fn what_is_wrong_with_a_size_is_said_at_its_field_and_nothing_is_kept() {
    let site = served().await;
    let form = site.get("/parts/send", NEWT).await;
    assert!(form.contains("name=\"what-5\"") && form.contains("± 0.11 mm at 10 mm"));
    let changed =
        |name, text| BORE.map(|(known, old)| (known, if known == name { text } else { old }));
    for (fields, field) in [
        (changed("what-1", "").to_vec(), "what-1"),
        (changed("size-1", "").to_vec(), "size-1"),
        (changed("size-1", "8.o5").to_vec(), "size-1"),
        (changed("about-1", "").to_vec(), "about-1"),
        (changed("about-1", "0").to_vec(), "about-1"),
        // Limits in the place of deviations, and a sign where both are meant.
        (changed("about-1", "9").to_vec(), "about-1"),
        (changed("about-1", "4").to_vec(), "about-1"),
        (changed("about-1", "-0.05").to_vec(), "about-1"),
        (changed("about-1", "±-0.05").to_vec(), "about-1"),
        (
            [&BORE[..2], &[("lower-1", "7.95"), ("upper-1", "8.05")]].concat(),
            "lower-1",
        ),
        // Smaller or larger? It has to be said.
        (
            [&BORE[..2], &[("lower-1", "0.05"), ("upper-1", "0.1")]].concat(),
            "lower-1",
        ),
        // Longer than the part: known once its file is read.
        (changed("size-1", "500").to_vec(), "size-1"),
        ([&BORE[..], &[("lower-1", "-0.1")]].concat(), "about-1"),
        (
            [&BORE[..2], &[("lower-1", "+0.1"), ("upper-1", "-0.1")]].concat(),
            "lower-1",
        ),
        ([&BORE[..], &[("what-4", "pin")]].concat(), "size-4"),
    ] {
        let answer = sent(&site, &fields).await;
        assert_eq!(status(&answer), "422", "{field}");
        assert!(answer.contains(&format!("href=\"#{field}\"")), "{field}");
        assert!(answer.contains("id=\"critical\" open"), "{field}");
    }
    for (text, says) in [
        ("-0.05", "Write it without a minus"),
        ("8.05", "say how far from the size is still good"),
    ] {
        let answer = sent(&site, &changed("about-1", text)).await;
        assert!(
            answer.to_lowercase().contains(&says.to_lowercase()),
            "{says}"
        );
    }
    let limits = [&BORE[..2], &[("lower-1", "7.95"), ("upper-1", "8.05")]].concat();
    let answer = sent(&site, &limits).await;
    assert!(answer.contains("Say how far from the size is still good"));
    assert!(site.books().await.requests.is_empty());
    let made = sent(&site, &changed("about-1", "± 0,05")).await;
    assert_eq!(leads_to(&made), Some("/parts/1"));
    let page = site.get("/parts/1", NEWT).await;
    assert!(page.contains("8 ± 0.05 mm") && page.contains("Good from 7.95 to 8.05 mm"));
    assert!(
        page.contains("Prints usually hold ± 0.11 mm") && page.contains("Nothing is measured yet")
    );
    // The form for a changed file has them; emptied there, the new one has none.
    let again = site.get("/parts/send?again=1", NEWT).await;
    assert!(again.contains("value=\"bore for the bearing\"") && again.contains("value=\"0.05\""));
}

#[tokio::test(flavor = "multi_thread")]
async fn what_must_be_larger_is_typed_with_its_sign_and_shown_so_again() {
    let site = served().await;
    let own = [("lower-1", "+0.1"), ("upper-1", "0.2")];
    let made = sent(&site, &[&BORE[..2], &own].concat()).await;
    assert_eq!(leads_to(&made), Some("/parts/1"), "{made}");
    let page = site.get("/parts/1", NEWT).await;
    assert!(page.contains("Good from 8.1 to 8.2 mm"));
    let again = site.get("/parts/send?again=1", NEWT).await;
    assert!(again.contains("value=\"+0.1\"") && again.contains("value=\"0.2\""));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_bench_measures_each_copy_and_the_team_reads_it() {
    let site = served().await;
    assert_eq!(leads_to(&sent(&site, &BORE).await), Some("/parts/1"));
    let (plate, code) = planned(&site).await;
    let bench = format!("operator:{code}");
    let path = format!("/run-sheets/{code}/do");
    let start = format!("plate={plate}&act=start&key=walk-start-1");
    assert_eq!(status(&site.post(&path, COORDINATOR, &start).await), "303");
    let sheet = site.get(&format!("/run-sheets/{code}"), &bench).await;
    assert!(sheet.contains("bore for the bearing (from 7.95 to 8.05 mm)"));
    assert!(sheet.contains("Measure, one by one") && !sheet.contains("value=\"off\""));
    let counted = format!("plate={plate}&act=off&key=walk-off-01&good-{plate}=2");
    let refused = site.post(&path, &bench, &counted).await;
    assert_eq!(status(&refused), "409");
    assert!(refused.contains("are to be measured one by one"));
    let inspect = format!("/run-sheets/{code}/inspect?plate={plate}");
    let shown = site.get(&inspect, &bench).await;
    assert!(shown.contains(&format!("id=\"size-{plate}-2-1\"")));
    assert!(shown.contains("data-least=\"7950\" data-most=\"8050\""));
    let form = |first: &str, second: &str, n: u32| {
        format!(
            "plate={plate}&act=off&key=walk-off-1{n}&copy-{plate}-1={first}&copy-{plate}-2=good\
             &why-copy-{plate}-1=The+wrong+size&{second}"
        )
    };
    let size = |copy: u32, text: &str| format!("size-{plate}-{copy}-1={text}");
    // Not read, missing, outside: each at its field, with what was typed.
    for (first, fields, says, at) in [
        ("good", size(1, "8.o5"), "is not a size", 1),
        ("good", size(1, "8.00"), "measure it, or say why", 2),
        (
            "good",
            format!("{}&{}", size(1, "8%2C17"), size(2, "8")),
            "0.12 mm too large. Rework or scrap?",
            1,
        ),
    ] {
        let answer = site.post(&path, &bench, &form(first, &fields, 1)).await;
        assert_eq!(status(&answer), "422", "{says}");
        assert!(answer.contains(says), "{says}");
        let field = format!("href=\"#size-{plate}-{at}-1\"");
        assert!(answer.contains(&field), "{says}");
        assert!(answer.contains("What you typed is still here"));
    }
    let kept = site
        .post(&path, &bench, &form("good", &size(1, "8%2C17"), 1))
        .await;
    assert!(kept.contains("value=\"8,17\""), "what was typed is there");
    assert!(site.books().await.step(plate, StepKind::Off).is_none());
    let not = format!("not-size-{plate}-2-1=no-tool");
    let fields = format!("{}&{not}", size(1, "8%2C17"));
    for _ in 0..2 {
        let done = site.post(&path, &bench, &form("scrap", &fields, 2)).await;
        assert_eq!(status(&done), "303", "{done}");
    }
    let page = site.get("/parts/1", NEWT).await;
    let again = format!("Copy 1, from plate {plate}: scrap, to be made again");
    assert!(page.contains(&again), "nobody has begun it: {page}");
    assert!(page.contains("8.17 mm: 0.12 mm too large"));
    assert!(page.contains("not measured: we have no tool for it here"));
    let program = Program::of(&site, NEWT).await;
    let part = program.get("/api/v1/parts/1").await;
    program.fits("Part", &part.body);
    assert_eq!(part.body["pieces"][0]["used"], false);
    assert_eq!(part.body["pieces"][0]["stands"], "made-again");
    assert_eq!(part.body["pieces"][1]["used"], true);
    assert_eq!(part.body["pieces"][1]["stands"], "good");
    assert_eq!(part.body["pieces"][0]["measured"][0]["outside_mm"], 0.12);
    let second = &part.body["pieces"][1]["measured"][0];
    assert_eq!(second["not_measured"], "no-tool");
    let other = site.get("/parts/1", SILT).await;
    assert_eq!(status(&other), "404");
}

/// A part sent by a program with these critical dimensions.
async fn send(team: &Program<'_>, key: &str, more: &[(&str, &str)]) -> (String, Value) {
    let file = partpledge_testbed::files().swap_remove(0);
    let fields = [("copies", "2"), ("claim", "own"), ("again", "yes")];
    let mut body = Vec::new();
    for (name, value) in fields.iter().chain(more) {
        let part =
            format!("--sep\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n");
        body.extend(part.as_bytes());
    }
    let head = "--sep\r\nContent-Disposition: form-data; name=\"file\"; filename=\"a.stl\"\r\n\r\n";
    body.extend(head.as_bytes());
    body.extend(&file.bytes);
    body.extend(b"\r\n--sep--\r\n");
    let headers =
        format!("\r\nContent-Type: multipart/form-data; boundary=sep\r\nIdempotency-Key: {key}");
    let answer = team.ask("POST /api/v1/parts", &headers, &body).await;
    if answer.status() == "201" {
        team.fits("Part", &answer.body);
        return ("201".to_owned(), answer.body);
    }
    (answer.code().to_owned(), answer.body)
}

#[tokio::test(flavor = "multi_thread")]
async fn a_program_names_dimensions_and_they_go_on_with_the_part() {
    let site = served().await;
    let team = Program::of(&site, NEWT).await;
    let six = format!("[{}]", [&NAMED[1..NAMED.len() - 1]; 6].join(","));
    for (text, code) in [
        ("{", "bad-value"),
        ("{}", "bad-value"),
        (r#"[{"what":"bore","nominal_mm":8}]"#, "bad-value"),
        (
            r#"[{"what":"bore","nominal_mm":8,"plus_minus_mm":0}]"#,
            "bad-value",
        ),
        (
            r#"[{"what":"bore","nominal_mm":8.00001,"plus_minus_mm":1}]"#,
            "bad-value",
        ),
        (
            r#"[{"what":"bore","nominal_mm":8,"plus_minus_mm":1,"lower_mm":1}]"#,
            "bad-value",
        ),
        (
            r#"[{"what":"","nominal_mm":8,"plus_minus_mm":1}]"#,
            "bad-value",
        ),
        (
            r#"[{"what":"bore","nominal_mm":8,"lower_mm":7.95,"upper_mm":8.05}]"#,
            "bad-value",
        ),
        (
            r#"[{"what":"bore","nominal_mm":500,"plus_minus_mm":1}]"#,
            "bad-dimension",
        ),
        (six.as_str(), "bad-value"),
    ] {
        let (found, body) = send(&team, "api-send-0", &[("critical_dimensions", text)]).await;
        assert_eq!(found, code, "{text}: {body:#}");
    }
    let minus = r#"[{"what":"bore","nominal_mm":8,"plus_minus_mm":-0.05}]"#;
    let (_, body) = send(&team, "api-send-0", &[("critical_dimensions", minus)]).await;
    let detail = body.to_string();
    assert!(detail.contains("they count up and down"), "{detail}");
    // What such a list holds is in the description of the interface.
    let field = team.described("PartForm")["properties"]["critical_dimensions"].clone();
    let items = &field["contentSchema"]["items"];
    assert_eq!(items["$ref"], "#/components/schemas/CriticalDimensionIn");
    let named: Value = serde_json::from_str(NAMED).unwrap();
    team.fits("CriticalDimensionIn", &named[0]);
    let named = [("critical_dimensions", NAMED)];
    let (made, part) = send(&team, "api-send-1", &named).await;
    assert_eq!(made, "201", "{part:#}");
    assert_eq!(part["critical_dimensions"][0]["lower_mm"], -0.05);
    assert_eq!(part["critical_dimensions"][0]["tighter_than_mm"], 0.11);
    // Not spoken of, they go on with what takes its place; an empty list is none.
    let (_, part) = send(&team, "api-send-2", &[("replaces", "1")]).await;
    assert_eq!(
        part["critical_dimensions"][0]["what"],
        "bore for the bearing"
    );
    let none = [("replaces", "2"), ("critical_dimensions", "[]")];
    let (_, part) = send(&team, "api-send-3", &none).await;
    assert_eq!(part["critical_dimensions"], json!([]));
}

#[tokio::test(flavor = "multi_thread")]
#[expect(clippy::too_many_lines, reason = "one walk, told in its order")]
async fn a_bench_program_takes_a_plate_off_copy_by_copy() {
    let site = served().await;
    let team = Program::of(&site, NEWT).await;
    let named = [("critical_dimensions", NAMED)];
    // Beside a part that has none, if they share a plate.
    send(&team, "api-send-1", &[]).await;
    let (_, part) = send(&team, "api-send-2", &named).await;
    assert_eq!(part["number"], 2);
    let books = site.books().await;
    let request = books.numbered(2).unwrap().request.id;
    let kept = books.plates_of(request).next().unwrap().clone();
    let place = *books.place(&kept).unwrap();
    let terrain = &site.session.terrain;
    let host = terrain.host_at(place.printer, place.start);
    let mut schools = terrain.file.schools.iter();
    let code = &schools.find(|school| school.name == host).unwrap().code;
    let bench = Program::of(&site, &format!("operator:{code}")).await;
    let day = terrain.zone.date(place.start);
    let sheet = format!("/api/v1/run-sheets/{code}?day={day}");
    let sheet = bench.get(&sheet).await;
    bench.fits("RunSheet", &sheet.body);
    let (on, share) = (kept.on().0, kept.plate.seq.0);
    let told = sheet.body.to_string();
    assert!(told.contains("bore for the bearing"), "{told}");
    let deeds = format!("/api/v1/run-sheets/{code}/deeds");
    let start = json!({"deed": "start", "plate": on});
    assert_eq!(
        bench.deed(&deeds, "api-start-1", &start).await.status(),
        "200"
    );
    // Those that are measured come first in what is told.
    let mut others = books.company(&kept);
    others.sort_by_key(|row| row.plate.seq != kept.plate.seq);
    let counts: serde_json::Map<String, Value> = others
        .iter()
        .map(|row| (row.plate.seq.0.to_string(), json!(row.plate.copies)))
        .collect();
    let first = books.company(&kept)[0].plate.copies;
    let off = json!({"deed": "off", "plate": on, "good": first, "good_of": counts});
    let refused = bench.deed(&deeds, "api-off-1", &off).await;
    assert_eq!((refused.status(), refused.code()), ("409", "must-measure"));
    let inspect = |of: fn(usize) -> Value| {
        let rows = others.iter();
        let copies = rows.flat_map(|row| books.copies_on(row).map(move |copy| (row, copy)));
        let copies = copies.enumerate().map(|(i, (row, copy))| {
            let mut one = json!({"share": row.plate.seq.0, "copy": copy.number, "found": "good"});
            if row.plate.seq == kept.plate.seq {
                one["measured"] = json!([of(i)]);
            }
            one
        });
        json!({"deed": "inspect", "plate": on, "copies": copies.collect::<Vec<_>>()})
    };
    let wide = inspect(|i| json!({"n": 1, "mm": if i == 0 { 8.22 } else { 8.0 }}));
    let refused = bench.deed(&deeds, "api-off-2", &wide).await;
    assert_eq!((refused.status(), refused.code()), ("422", "not-good"));
    let title = refused.body["title"].as_str().unwrap();
    assert!(
        title.contains("bore for the bearing is 0.12 mm too large"),
        "{title}"
    );
    for bad in [
        json!({"n": 1}),
        json!({"n": 1, "mm": -8.0}),
        json!({"n": 1, "mm": 8.00001}),
        json!({"n": 1, "mm": 8.0, "not_measured": "no-tool"}),
        json!({"n": 1, "not_measured": "because"}),
    ] {
        let mut told = wide.clone();
        told["copies"][0]["measured"] = json!([bad]);
        let refused = bench.deed(&deeds, "api-off-3", &told).await;
        assert_eq!((refused.status(), refused.code()), ("422", "bad-value"));
    }
    let mut held = wide.clone();
    held["copies"][0]["found"] = json!("rework");
    held["copies"][0]["why"] = json!("wrong-size");
    let done = bench.deed(&deeds, "api-off-4", &held).await;
    assert_eq!(done.status(), "200", "{:#}", done.body);
    let copy = held["copies"][0]["copy"].clone();
    let settle = |mm: f64| {
        let measured = json!([{"n": 1, "mm": mm}]);
        let one = json!({"copy": copy, "found": "good", "measured": measured});
        json!({"deed": "settle", "plate": share, "copies": [one]})
    };
    let held = team.get("/api/v1/parts/2").await;
    team.fits("Part", &held.body);
    let (stands, used) = ("held", false);
    assert_eq!(held.body["pieces"][0]["stands"], stands);
    assert_eq!(held.body["pieces"][0]["used"], used);
    let refused = bench.deed(&deeds, "api-settle-1", &settle(8.2)).await;
    assert_eq!(refused.code(), "not-good");
    // It was outside: no excuse takes the place of another size.
    let mut excused = settle(8.1);
    excused["copies"][0]["measured"] = json!([{"n": 1, "not_measured": "no-tool"}]);
    let refused = bench.deed(&deeds, "api-settle-3", &excused).await;
    assert_eq!(refused.code(), "not-good");
    assert!(refused.body["title"].to_string().contains("measured again"));
    // A share of another plate is not this copy's.
    let mut elsewhere = settle(8.1);
    elsewhere["copies"][0]["share"] = json!(share + 1);
    let refused = bench.deed(&deeds, "api-settle-4", &elsewhere).await;
    assert_eq!((refused.status(), refused.code()), ("422", "bad-value"));
    let mut own = settle(8.2);
    own["copies"][0]["share"] = json!(share);
    let refused = bench.deed(&deeds, "api-settle-5", &own).await;
    assert_eq!(refused.code(), "not-good");
    let done = bench.deed(&deeds, "api-settle-2", &settle(8.1)).await;
    assert_eq!(done.status(), "200", "{:#}", done.body);
    let books = site.books().await;
    let copies: Vec<_> = books.copies_on(&kept).collect();
    assert!(copies.iter().all(|copy| copy.state == State::Inspected));
    let first = books.readings(copies[0]);
    let read = partpledge_workshop::measuring::Reading::Value(Micrometres(8_100));
    assert_eq!(first.get(&1), Some(&read));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_tablet_that_sends_late_is_told_what_is_wrong_and_takes_nothing_twice() {
    let site = served().await;
    sent(&site, &BORE).await;
    let (plate, code) = planned(&site).await;
    let path = format!("/run-sheets/{code}/do");
    let start = format!("plate={plate}&act=start&key=walk-start-1");
    site.post(&path, COORDINATOR, &start).await;
    let cookie = site.cookie(&format!("operator:{code}")).await;
    let queued = async |form: String| {
        let head = format!(
            "POST {path} HTTP/1.1\r\nHost: localhost\r\nCookie: {cookie}\r\nAccept: application/json\r\n\
             Content-Type: application/x-www-form-urlencoded"
        );
        let answer = site.ask(&head, form.as_bytes()).await;
        String::from_utf8_lossy(&answer).into_owned()
    };
    let at = site.session.now.0;
    let form = |size: &str, key: &str| {
        format!(
            "plate={plate}&act=off&key={key}&occurred_at={at}&copy-{plate}-1=good\
             &copy-{plate}-2=good&size-{plate}-1-1={size}&size-{plate}-2-1=8"
        )
    };
    let refused = queued(form("7.9", "tablet-off-1")).await;
    assert_eq!(status(&refused), "422");
    assert!(refused.contains(r#""answer":"refused""#) && refused.contains("0.05 mm too small"));
    for _ in 0..2 {
        let done = queued(form("7%2C95", "tablet-off-2")).await;
        assert!(done.contains(r#"{"answer":"done"}"#), "{done}");
    }
    let books = site.books().await;
    let request = books.numbered(1).unwrap().request.id;
    let many = books
        .copies(request)
        .iter()
        .filter(|copy| !books.readings(copy).is_empty());
    assert_eq!(many.count(), 2);
}

/// The only plate of part 1, measured: the first copy is held with 7.9 mm.
async fn held(site: &Served) -> (u64, String) {
    assert_eq!(leads_to(&sent(site, &BORE).await), Some("/parts/1"));
    let (plate, code) = planned(site).await;
    let path = format!("/run-sheets/{code}/do");
    for form in [
        format!("plate={plate}&act=start&key=walk-start-1"),
        format!(
            "plate={plate}&act=off&key=walk-off-01&copy-{plate}-1=rework&copy-{plate}-2=good\
             &why-copy-{plate}-1=The+wrong+size&size-{plate}-1-1=7.9&size-{plate}-2-1=8"
        ),
    ] {
        let done = site.post(&path, COORDINATOR, &form).await;
        assert_eq!(status(&done), "303", "{done}");
    }
    (plate, code)
}

#[tokio::test(flavor = "multi_thread")]
async fn what_was_outside_is_asked_for_again_and_rework_is_not_offered_twice() {
    let site = served().await;
    let (plate, code) = held(&site).await;
    let bench = format!("operator:{code}");
    let inspect = format!("/run-sheets/{code}/inspect?plate={plate}");
    let shown = site.get(&inspect, &bench).await;
    assert!(shown.contains(&format!("data-again=\"size-{plate}-1-1\"")));
    assert!(shown.contains("it is good only once that is measured again"));
    assert!(!shown.contains("data-unmeasured") && !shown.contains("value=\"rework\""));
    let page = site.get("/parts/1", NEWT).await;
    assert!(page.contains("Copy 1: held, not good yet"));
    let path = format!("/run-sheets/{code}/do");
    let settle = |said: &str, n: u32| {
        format!("plate={plate}&act=settle&copy=1&copy-{plate}-1=good&key=settle-00{n}&{said}")
    };
    let outside = settle(&format!("size-{plate}-1-1=7.9"), 1);
    let excused = settle(&format!("not-size-{plate}-1-1=no-tool"), 2);
    for (form, says) in [
        (outside, "Change it and measure it again, or it is scrap."),
        (excused, "it was 0.05 mm too small. Measure it again"),
    ] {
        let refused = site.post(&path, &bench, &form).await;
        assert_eq!(status(&refused), "422", "{says}");
        assert!(refused.contains(says), "{says}");
        assert!(!refused.contains("Rework or scrap?"), "{says}");
    }
    let good = settle(&format!("size-{plate}-1-1=7.96"), 3);
    assert_eq!(status(&site.post(&path, &bench, &good).await), "303");
    let page = site.get("/parts/1", NEWT).await;
    assert!(page.contains("7.96 mm") && !page.contains("held, not good yet"));
}

/// Sizes that are asked for when copies of that plate are recalled, and whether its box can be called good.
async fn recalled(site: &Served, (plate, code): (u64, &str), ask: &str) -> (String, String) {
    let form = format!("{ask}&key=recall-0001");
    let done = site.post("/recalls", COORDINATOR, &form).await;
    assert_eq!(status(&done), "303", "{done}");
    let inspect = format!("/run-sheets/{code}/inspect?plate={plate}");
    let boxes = format!("/run-sheets/{code}/boxes");
    (
        site.get(&inspect, COORDINATOR).await,
        site.get(&boxes, COORDINATOR).await,
    )
}

/// Part 1, measured and in its box.
async fn boxed(site: &Served) -> (u64, String) {
    let (plate, code) = held(site).await;
    let path = format!("/run-sheets/{code}/do");
    let good = format!(
        "plate={plate}&act=settle&copy=1&copy-{plate}-1=good&key=settle-001&size-{plate}-1-1=8"
    );
    for form in [good, format!("plate={plate}&act=box&key=walk-box-01")] {
        let done = site.post(&path, COORDINATOR, &form).await;
        assert_eq!(status(&done), "303", "{done}");
    }
    (plate, code)
}

#[tokio::test(flavor = "multi_thread")]
async fn a_whole_box_of_a_printer_that_drifted_is_measured_one_by_one() {
    let site = served().await;
    let (plate, code) = boxed(&site).await;
    let books = site.books().await;
    let started = books.step(plate, StepKind::Started).unwrap();
    let ask = format!(
        "ask=printer&printer={}&from_day=2027-03-09&until_day=2027-03-09&out=no",
        started.printer.replace(' ', "+")
    );
    let (inspect, boxes) = recalled(&site, (plate, &code), &ask).await;
    assert!(inspect.contains(&format!("name=\"size-{plate}-1-1\"")));
    assert!(!inspect.contains("data-unmeasured"));
    assert!(boxes.contains("Measure, one by one"));
    assert!(!boxes.contains("value=\"checked-good\"") && boxes.contains("value=\"checked-bad\""));
    let path = format!("/run-sheets/{code}/do");
    let good = format!("plate={plate}&act=checked-good&about=printer-drifted&key=good-0001");
    let refused = site.post(&path, COORDINATOR, &good).await;
    assert_eq!(status(&refused), "409");
    assert!(refused.contains("Go through the copies one by one"));
    let program = Program::of(&site, &format!("operator:{code}")).await;
    let deeds = format!("/api/v1/run-sheets/{code}/deeds");
    let good = json!({"deed": "recall-good", "plate": plate});
    let refused = program.deed(&deeds, "api-good-1", &good).await;
    assert_eq!((refused.status(), refused.code()), ("409", "must-measure"));
    // Nobody can measure it once more: what was read before stands, and why it was not read again.
    let measured = json!([{"n": 1, "not_measured": "no-tool"}]);
    let one = json!({"copy": 1, "found": "good", "measured": measured});
    let settle = json!({"deed": "settle", "plate": plate, "copies": [one]});
    let done = program.deed(&deeds, "api-settle-1", &settle).await;
    assert_eq!(done.status(), "200", "{:#}", done.body);
    let team = Program::of(&site, NEWT).await;
    let part = team.get("/api/v1/parts/1").await;
    team.fits("Part", &part.body);
    let reading = |copy: usize| part.body["pieces"][copy]["measured"][0].clone();
    assert_eq!(reading(0)["mm"], 8.0);
    assert_eq!(reading(0)["not_measured"], Value::Null);
    assert_eq!(reading(0)["not_measured_again"], "no-tool");
    assert_eq!(reading(1)["not_measured_again"], Value::Null);
}

#[tokio::test(flavor = "multi_thread")]
async fn copies_whose_file_was_replaced_are_asked_for_no_sizes() {
    let site = served().await;
    let (plate, code) = boxed(&site).await;
    let newer = [("again", "1"), ("key", "send-0000002")];
    let file = partpledge_testbed::files().swap_remove(0);
    let fields = [&[("copies", "2"), ("material", "PETG")][..], &newer].concat();
    let made = site.send(NEWT, &fields, &[(file.name, &file.bytes)]).await;
    assert_eq!(leads_to(&made), Some("/parts/2"), "{made}");
    let ask = "ask=file&number=1";
    let (inspect, boxes) = recalled(&site, (plate, &code), ask).await;
    assert_eq!(inspect.matches("data-unmeasured").count(), 2);
    assert!(!inspect.contains("Measure each size that is named below"));
    assert!(boxes.contains("value=\"checked-good\"") && !boxes.contains("Measure, one by one"));
    let path = format!("/run-sheets/{code}/do");
    let good = format!("plate={plate}&act=checked-good&about=file-replaced&key=good-0001");
    assert_eq!(status(&site.post(&path, COORDINATOR, &good).await), "303");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_chance_says_that_tight_sizes_are_not_in_it() {
    let wide = BORE.map(|(name, text)| (name, if name == "about-1" { "0.5" } else { text }));
    for (fields, said) in [(BORE, true), (wide, false)] {
        let site = served().await;
        sent(&site, &fields).await;
        let page = site.get("/parts/1", NEWT).await;
        assert!(page.contains("times in ten"), "{page}");
        let apart = page.contains("Your tight sizes are not in that");
        assert_eq!(apart, said, "{page}");
        let hint = page.contains("no chance that we state counts them");
        assert_eq!(hint, said, "{page}");
    }
}
