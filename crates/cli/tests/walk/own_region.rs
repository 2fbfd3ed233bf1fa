//! A region of one's own, from nothing: a sample file, a region, its first coordinator, a team, a part.

use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::program::{Server, cookie, json, run, started};
use crate::server_crash::{ask_with, form};

/// What a call that went wrong says in JSON, with its exit code 2.
fn refused(data: &Path, args: &[&str]) -> Value {
    let output = run(data, args);
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    assert_eq!(output.status.code(), Some(2), "{args:?}: {text}");
    serde_json::from_str(&text).expect("the answer is JSON")
}

/// The same where the answer is for people, on stderr.
fn told(data: &Path, args: &[&str]) -> String {
    let output = run(data, args);
    assert_eq!(output.status.code(), Some(2), "{args:?}");
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// The sample with some of its text changed, as a file.
fn written(dir: &Path, name: &str, changes: &[(&str, &str)]) -> PathBuf {
    let mut text = std::fs::read_to_string(dir.join("sample.toml")).unwrap();
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replacen(from, to, 1);
    }
    let path = dir.join(name);
    std::fs::write(&path, text).unwrap();
    path
}

fn sampled(dir: &Path, data: &Path) {
    let sample = dir.join("sample.toml").display().to_string();
    let args = ["region-file", "--sample", "--out", &sample];
    assert!(run(data, &args).status.success());
    assert!(told(data, &args).contains("already stays"));
}

/// The server, and the path of the link that it printed.
fn serve(data: &Path) -> (Server, String) {
    let server = started(data);
    let heard = server.says("/invited/");
    let (_, token) = heard.split_once("/invited/").unwrap();
    (server, format!("/invited/{}", token.trim()))
}

fn get(address: &str, who: &str, path: &str) -> String {
    ask_with(who, address, &format!("GET {path} HTTP/1.1"), b"")
}

fn post(address: &str, who: &str, path: &str, body: &str) -> String {
    let head = format!("POST {path} HTTP/1.1\r\nContent-Type: application/x-www-form-urlencoded");
    ask_with(who, address, &head, body.as_bytes())
}

/// What is shown once on a page: a link or a code.
fn shown(page: &str) -> &str {
    let (_, rest) = page
        .split_once("shown__value")
        .unwrap_or_else(|| panic!("{page}"));
    rest.split(['>', '<']).nth(1).unwrap()
}

#[test]
fn a_folder_without_a_region_becomes_no_invented_one_by_serving_it() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    for args in [
        &["serve", "--port", "0"][..],
        &["tidy-people"],
        &["region-file"],
    ] {
        let says = told(&data, args);
        let named = [
            "no region in",
            "region-file --sample",
            "partpledge begin",
            "demo",
        ];
        assert!(named.iter().all(|word| says.contains(word)), "{says}");
    }
    assert!(!data.exists());
}

#[test]
fn a_file_that_is_wrong_is_named_by_its_lines_and_makes_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    sampled(dir.path(), &data);
    let changes = [
        ("mon-thu 08:15-16:00", "mornings"),
        ("x_km = 4.0", "x_km = nan"),
    ];
    let path = written(dir.path(), "wrong.toml", &changes)
        .display()
        .to_string();
    let error = refused(&data, &["begin", &path, "--json"])["error"].take();
    assert_eq!(error["code"], "region-file");
    let fields: Vec<&Value> = (error["lines"].as_array().unwrap().iter())
        .map(|line| &line["field"])
        .collect();
    assert_eq!(fields, ["schools.x_km", "hosts.hours"]);
    let says = told(&data, &["begin", &path]);
    let line = error["lines"][1]["line"].as_u64().unwrap();
    assert!(
        says.contains(&format!("{path}:{line}: hosts.hours: Write hours like")),
        "{says}"
    );
    let over = [(
        "season_ends = \"2027-06-30\"",
        "season_ends = \"2026-06-30\"",
    )];
    let path = written(dir.path(), "over.toml", &over)
        .display()
        .to_string();
    assert!(told(&data, &["begin", &path]).contains("season_ends: That day is over"));
    assert!(!data.exists(), "nothing half made");
}

/// A mentor invited, who lets a student in: the student's cookie.
fn joined(address: &str, coordinator: &str) -> String {
    let page = post(
        address,
        coordinator,
        "/people/invite",
        "role=mentor%3AReed+Runners",
    );
    let (_, link) = shown(&page).split_once("/invited/").unwrap();
    let typed = "name=Teal&email=teal%40reed.example&password=another+four+words+here";
    let mentor = cookie(&post(address, "", &format!("/invited/{link}"), typed));
    let page = post(address, &mentor, "/teams/Reed%20Runners/join-code", "");
    let joins = format!("code={}&name=Grebe", shown(&page));
    cookie(&post(address, "", "/join", &joins))
}

fn newer_is_shown_and_done(
    dir: &Path,
    data: &Path,
    own: &[(&str, &str); 2],
    (address, coordinator): (&str, &str),
) {
    // A newer file: shown first, then done; what a promise rests on is refused.
    let newer = [
        own[0],
        own[1],
        ("price_per_kg = 2400", "price_per_kg = 2000"),
        ("copies = 100", "copies = 9"),
    ];
    let path = written(dir, "newer.toml", &newer).display().to_string();
    let shown = json(data, &["change", &path, "--json"]);
    let what: Vec<&Value> = (shown["lines"].as_array().unwrap().iter())
        .map(|line| &line["what"])
        .collect();
    assert_eq!(what, ["limits", "prices.filament: PETG"]);
    assert_eq!(
        (&shown["saved"], &shown["can_be_done"]),
        (&false.into(), &true.into())
    );
    assert_eq!(
        json(data, &["change", &path, "--save", "--json"])["saved"],
        true
    );
    let same = json(data, &["change", &path, "--json"]);
    assert_eq!(
        same["lines"].as_array().map(Vec::len),
        Some(0),
        "it is done"
    );
    let history = get(address, coordinator, "/region/data");
    assert!(
        history.contains("The region was changed by a newer file"),
        "{history}"
    );
    let without = [(
        "[[teams]]\nname = \"Reed Runners\"\nschool = \"reed-school\"\n",
        "",
    )];
    let path = written(dir, "without.toml", &without).display().to_string();
    let output = run(data, &["change", &path, "--save"]);
    let says = String::from_utf8_lossy(&output.stdout).into_owned();
    assert_eq!(output.status.code(), Some(1), "{says}");
    assert!(says.contains("Not like this: Reed Runners."), "{says}");
}

#[test]
fn from_a_sample_to_a_promise_with_the_regions_own_price() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    sampled(dir.path(), &data);
    let own = [
        ("labour_per_h = 1200", "labour_per_h = 0"),
        ("currency = \"EUR\"", "currency = \"SEK\""),
    ];
    let path = written(dir.path(), "region.toml", &own)
        .display()
        .to_string();
    let begun = json(&data, &["begin", &path, "--json"]);
    assert_eq!(
        (&begun["prices"], &begun["printers"]),
        (&"own".into(), &2.into())
    );
    let sample = dir.path().join("sample.toml").display().to_string();
    let there = refused(&data, &["begin", &sample, "--json"]);
    assert_eq!(there["error"]["code"], "region-there");
    let kept = json(&data, &["region-file", "--json"]);
    assert_eq!(
        kept["document"],
        std::fs::read_to_string(&path).unwrap(),
        "as it was written"
    );
    assert!(told(&data, &["demo", "--no-serve"]).contains("no real region"));

    let (server, link) = serve(&data);
    let address = server.address.as_str();
    let typed = "name=Wren&email=wren%40reed.example&password=four+words+by+the+weir";
    let coordinator = cookie(&post(address, "", &link, typed));
    let region = get(address, &coordinator, "/region");
    assert!(region.contains("No promise is at risk"), "{region}");
    let student = joined(address, &coordinator);
    let files = partpledge_testbed::files();
    let fields = [
        ("key", "own-0001"),
        ("copies", "1"),
        ("material", "PETG"),
        ("claim", "own"),
    ];
    let body = form(&fields, ("a.stl", &files[0].bytes));
    let send = "POST /parts/send HTTP/1.1\r\nContent-Type: multipart/form-data; boundary=sep";
    let sent = ask_with(&student, address, send, &body);
    assert!(sent.contains("location: /parts/1"), "{sent}");
    let part = get(address, &student, "/parts/1");
    for text in [
        "ticket__when",
        "work 0.00 SEK",
        "Prices are your region’s own",
    ] {
        assert!(part.contains(text), "{text}: {part}");
    }

    newer_is_shown_and_done(dir.path(), &data, &own, (address, &coordinator));
    server.ended();
}

#[test]
fn a_region_without_a_printer_says_how_to_begin() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let empty = "name = \"Sedge\"\nleague = \"Sedge League\"\nzone = \"Europe/Stockholm\"\ncurrency = \"EUR\"\n\
        [[schools]]\ncode = \"sedge\"\nname = \"Sedge School\"\nx_km = 0.0\ny_km = 0.0\n\
        [[teams]]\nname = \"Sedge Works\"\nschool = \"sedge\"\n";
    let path = dir.path().join("empty.toml");
    std::fs::write(&path, empty).unwrap();
    let begun = json(&data, &["begin", &path.display().to_string(), "--json"]);
    assert_eq!(
        (&begun["prices"], &begun["hosts"]),
        (&"examples".into(), &0.into())
    );
    let (server, link) = serve(&data);
    let address = server.address.as_str();
    let typed = "name=Wren&email=wren%40reed.example&password=four+words+by+the+weir";
    let coordinator = cookie(&post(address, "", &link, typed));
    let region = get(address, &coordinator, "/region");
    for text in [
        "Your region has no printer yet.",
        "href=\"/region/data\"",
        "href=\"/people\"",
    ] {
        assert!(region.contains(text), "{text}: {region}");
    }
    for path in [
        "/promises",
        "/region/data",
        "/region/calendar",
        "/shares",
        "/people",
        "/region/if",
    ] {
        let page = get(address, &coordinator, path);
        assert!(page.starts_with("HTTP/1.1 200"), "{path}: {page}");
    }
    let page = post(
        address,
        &coordinator,
        "/people/invite",
        "role=mentor%3ASedge+Works",
    );
    let (_, link) = shown(&page).split_once("/invited/").unwrap();
    let typed = "name=Teal&email=teal%40reed.example&password=another+four+words+here";
    let mentor = cookie(&post(address, "", &format!("/invited/{link}"), typed));
    let page = post(address, &mentor, "/teams/Sedge%20Works/join-code", "");
    let joins = format!("code={}&name=Grebe", shown(&page));
    let student = cookie(&post(address, "", "/join", &joins));
    let page = get(address, &student, "/parts/send");
    assert!(
        page.contains("No school of your region has a printer here yet."),
        "{page}"
    );
    server.ended();
}
