//! Ten bad inputs: code, message, what to do, exit code 2, and nothing left behind.

use std::io::{Cursor, Write};
use std::path::Path;

use serde_json::Value;
use zip::write::SimpleFileOptions;

use crate::program::{demo_file, run};

fn zipped(entries: &[(&str, &[u8])]) -> Vec<u8> {
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in entries {
        zip.start_file(*name, SimpleFileOptions::default()).unwrap();
        zip.write_all(bytes).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

fn three_mf(model: &str) -> Vec<u8> {
    let rels = r#"<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Target="/odd/place.model" Id="r" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>"#;
    zipped(&[
        ("_rels/.rels", rels.as_bytes()),
        ("odd/place.model", model.as_bytes()),
    ])
}

/// One triangle with that number as its first coordinate.
fn stl_with(value: f32) -> Vec<u8> {
    let mut bytes = vec![0_u8; 80];
    bytes.extend(1_u32.to_le_bytes());
    let numbers = [
        0.0, 0.0, 1.0, value, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0, 0.0_f32,
    ];
    for number in numbers {
        bytes.extend(number.to_le_bytes());
    }
    bytes.extend([0, 0]);
    bytes
}

/// The announced triangles are all there, as a sparse file of zeros.
fn eleven_million(path: &Path) {
    let mut file = std::fs::File::create(path).unwrap();
    file.write_all(&[0; 80]).unwrap();
    file.write_all(&11_000_000_u32.to_le_bytes()).unwrap();
    file.set_len(84 + 50 * 11_000_000).unwrap();
}

const ENTITIES: &str = r#"<?xml version="1.0"?><!DOCTYPE model [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]><model unit="millimeter" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"><resources/><build/></model>"#;

/// A promise would be one of the invented region, where there is none of one's own: that is said, once.
fn says_once_at_most(stderr: &[u8], args: &[&str]) {
    let says = String::from_utf8_lossy(stderr);
    let lines: Vec<&str> = says.lines().collect();
    match lines.as_slice() {
        [] => {}
        [once] if args[0] == "pledge" => {
            assert!(once.starts_with("There was no region in"), "{says}");
        }
        _ => panic!("{args:?}: {says}"),
    }
}

#[test]
fn ten_bad_inputs_are_refused_clearly_and_leave_nothing_behind() {
    let dir = tempfile::tempdir().unwrap();
    let whole = std::fs::read(demo_file(dir.path(), "float-arm-bracket.stl")).unwrap();
    let zeros = vec![0_u8; 60_000_000];
    let list: [(&str, &str, Vec<u8>); 8] = [
        (
            "truncated.stl",
            "truncated",
            whole[..whole.len() / 2].to_vec(),
        ),
        ("bomb.zip", "archive-bomb", zipped(&[("part.stl", &zeros)])),
        ("entities.3mf", "xml-entities", three_mf(ENTITIES)),
        ("nan.stl", "not-finite", stl_with(f32::NAN)),
        ("empty.stl", "empty-file", Vec::new()),
        ("photo.stl", "other-file", b"\x89PNG\r\n\x1a\n0000".to_vec()),
        (
            "tricks.zip",
            "path-outside-archive",
            zipped(&[("../../part.stl", &whole)]),
        ),
        ("absurd.stl", "coordinate-out-of-range", stl_with(1.0e30)),
    ];
    for (name, _, bytes) in &list {
        std::fs::write(dir.path().join(name), bytes).unwrap();
    }
    eleven_million(&dir.path().join("huge.stl"));
    std::fs::create_dir(dir.path().join("folder")).unwrap();
    let mut expected: Vec<(&str, &str)> =
        list.iter().map(|(name, code, _)| (*name, *code)).collect();
    expected.push(("huge.stl", "too-many-triangles"));
    expected.push(("folder", "no-file"));
    assert_eq!(expected.len(), 10);
    let before = std::fs::read_dir(dir.path()).unwrap().count();
    let data = dir.path().join("data");
    for (name, code) in expected {
        let path = dir.path().join(name).display().to_string();
        for args in [
            &["judge", &path, "--json"][..],
            &["pledge", &path, "--give", "--json"],
        ] {
            let output = run(&data, args);
            assert_eq!(output.status.code(), Some(2), "{name}: {args:?}");
            let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
            let error = &answer["error"];
            assert_eq!(error["code"], code, "{name}: {error}");
            assert!(
                error["message"]
                    .as_str()
                    .is_some_and(|text| text.len() > 10),
                "{name}"
            );
            assert!(
                error["what_to_do"]
                    .as_str()
                    .is_some_and(|text| text.len() > 10),
                "{name}"
            );
            says_once_at_most(&output.stderr, args);
        }
    }
    assert_eq!(
        std::fs::read_dir(dir.path()).unwrap().count(),
        before,
        "nothing was left behind"
    );
}

#[test]
fn wrong_calls_say_what_is_possible_and_exit_with_2() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let file = demo_file(dir.path(), "hex-spacer.stl");
    let twice = format!("{file}:2");
    for args in [
        &["estimate", &file, "--material", "WOOD", "--json"][..],
        &["estimate", &file, "--infill", "140", "--json"],
        &["estimate", &file, "--class", "giant", "--json"],
        &["estimate", &file, "--printer", "Nowhere", "--json"],
        &[
            "estimate",
            &file,
            "--printer",
            "Teal",
            "--class",
            "standard",
        ],
        &["pledge", &file, "--team", "Nobody", "--json"],
        &["pledge", &file, "--need-by", "soon", "--json"],
        &["pledge", &file, "--need-by", "2027-03-09T16:51:00+01:00"],
        &["layout", &file, "--bed", "square", "--json"],
        &["layout", &file, "--bed", "infx100", "--json"],
        &["layout", &file, "--bed", "1e9x1e9"],
        &["layout", &file, "--bed", "200x200", "--clearance", "nan"],
        &["layout", &file, "--bed", "200x200", "--clearance=-1"],
        &["layout", &file, "--bed", "200x200", "--edge=-1"],
        &["layout", &twice, "--bed", "200x200", "--copies", "5"],
        &["judge", "no-such-file.stl", "--json"],
        &["frobnicate"],
    ] {
        assert_eq!(run(&data, args).status.code(), Some(2), "{args:?}");
    }
    assert!(!data.exists());
    // What to do is about the number that is wrong.
    let wide = run(&data, &["layout", &file, "--bed", "infx100"]).stdout;
    let wide = String::from_utf8_lossy(&wide).into_owned();
    assert!(
        wide.contains("[bad-bed]") && wide.contains("like 220x210"),
        "{wide}"
    );
    // A file that is not there is named once.
    let gone = run(&data, &["judge", "no-such-file.stl"]).stdout;
    let gone = String::from_utf8_lossy(&gone).into_owned();
    assert_eq!(gone.matches("no-such-file").count(), 1, "{gone}");
    assert!(!gone.contains("os error"), "{gone}");
}

#[test]
fn a_zip_with_one_damaged_part_judges_the_others_and_says_what_was_left_out() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let whole = std::fs::read(demo_file(dir.path(), "hex-spacer.stl")).unwrap();
    let half = &whole[..whole.len() / 2];
    let path = dir.path().join("parts.zip");
    std::fs::write(&path, zipped(&[("good.stl", &whole), ("half.stl", half)])).unwrap();
    let path = path.display().to_string();
    let bed = ["layout", &path, "--bed", "200x200"];
    for args in [&["judge", &path][..], &["estimate", &path], &bed] {
        let output = run(&data, &[args, &["--json"]].concat());
        assert_eq!(output.status.code(), Some(2), "not all was read: {args:?}");
        let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
        assert_eq!(answer["left_out"][0]["code"], "truncated");
        assert!(
            answer.get("error").is_none(),
            "the others have their answer"
        );
        match args[0] {
            "judge" => assert_eq!(answer["watertight"], true),
            "estimate" => assert!(answer["print_time_s"].as_f64() > Some(0.0), "{answer}"),
            _ => {}
        }
        let text = run(&data, args).stdout;
        assert!(String::from_utf8_lossy(&text).contains("left out: half"));
    }
    // A promise of a set that lacks a part would be none.
    let output = run(&data, &["pledge", &path, "--give"]);
    let says = String::from_utf8_lossy(&output.stdout).into_owned();
    assert_eq!(output.status.code(), Some(2), "{says}");
    assert!(
        says.contains("half") && says.contains("[truncated]"),
        "{says}"
    );
    assert!(!data.exists(), "nothing was begun");
}

#[test]
fn figures_of_what_can_t_be_printed_or_of_a_guessed_size_say_so() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let torn = demo_file(dir.path(), "torn-tray.stl");
    let bed = ["layout", &torn, "--bed", "300x300"];
    for args in [&["estimate", &torn][..], &bed] {
        let output = run(&data, args);
        let says = String::from_utf8_lossy(&output.stdout).into_owned();
        assert_eq!(output.status.code(), Some(1), "{says}");
        assert!(
            says.contains("must change:") && says.contains("[open-edges]"),
            "{says}"
        );
        let output = run(&data, &[args, &["--json"]].concat());
        assert_eq!(output.status.code(), Some(1));
        let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
        let part = if args[0] == "layout" {
            &answer["parts"][0]
        } else {
            &answer
        };
        assert_eq!(part["findings"][0]["severity"], "blocking");
        assert_eq!(part["unit"]["source"], "guess");
    }
    // A single triangle, 2 in some unit, lying flat: readable, and no part.
    let flat = dir.path().join("flat.stl");
    std::fs::write(&flat, stl_with(2.0)).unwrap();
    let flat = flat.display().to_string();
    for args in [&["judge", &flat][..], &["estimate", &flat]] {
        let output = run(&data, args);
        let says = String::from_utf8_lossy(&output.stdout).into_owned();
        assert_eq!(output.status.code(), Some(1), "{args:?} {says}");
        assert!(
            says.contains("[unit-doubtful]") || args[0] == "estimate",
            "{says}"
        );
    }
}
