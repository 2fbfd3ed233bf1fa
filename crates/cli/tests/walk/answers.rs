//! Answers have the fields of the contract, repeat byte for byte, and keep their promises.

use std::collections::{BTreeMap, BTreeSet};
use std::process::Stdio;

use serde_json::Value;

use crate::program::{AT, demo_file, json, partpledge, partpledge_at, run};

#[test]
fn a_quote_has_its_fields_repeats_byte_for_byte_and_writes_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let file = demo_file(dir.path(), "float-arm-bracket.stl");
    let args = [
        "pledge",
        &file,
        "--json",
        "--copies",
        "2",
        "--material",
        "PETG",
        "--seed",
        "5",
    ];
    let first = run(&data, &args);
    assert_eq!(first.status.code(), Some(0));
    assert_eq!(first.stdout, run(&data, &args).stdout);
    assert!(!data.exists(), "asking writes nothing");
    let quote: Value = serde_json::from_slice(&first.stdout).unwrap();
    for field in [
        "arrival",
        "probability",
        "place",
        "plates",
        "host",
        "printer",
        "plate",
        "legs",
        "reasons",
        "alternatives",
        "asked_at",
        "expires_at",
        "plan_revision",
    ] {
        assert!(!quote[field].is_null(), "{field} is missing");
    }
    assert_eq!(quote["schema"], 1);
    assert_eq!(quote["asked_at"], AT);
    assert!(
        quote["arrival"].as_str().unwrap().ends_with("+01:00"),
        "the region's offset"
    );
    assert!(quote["probability"].as_f64().unwrap() >= 0.9);
    let plates = quote["plates"].as_array().unwrap();
    assert_eq!(
        plates
            .iter()
            .map(|p| p["copies"].as_u64().unwrap())
            .sum::<u64>(),
        2
    );
    for field in ["plate", "host", "printer", "copies"] {
        assert!(!plates[0][field].is_null(), "plates[].{field} is missing");
    }
}

#[test]
fn a_given_pledge_is_there_again_and_the_checker_finds_nothing_wrong() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let file = demo_file(dir.path(), "wheel-hub.3mf");
    let args = [
        "pledge",
        &file,
        "--json",
        "--give",
        "--idempotency-key",
        "one",
        "--team",
        "Bogwheel",
    ];
    let given = json(&data, &args);
    assert_eq!(json(&data, &args), given, "the same key is the same pledge");
    assert_eq!(json(&data, &["check-plan", "--json"])["clean"], true);
    let plan = json(&data, &["plan", "--json"]);
    assert_eq!(
        plan["assignments"].as_array().unwrap().len(),
        given["plates"].as_array().unwrap().len()
    );
    // Another file under another key gets other slots.
    let other = json(
        &data,
        &[
            "pledge",
            &file,
            "--json",
            "--give",
            "--idempotency-key",
            "two",
            "--team",
            "Bogwheel",
        ],
    );
    assert_ne!(other["plate"], given["plate"]);
    assert_eq!(
        other["plan_revision"].as_i64(),
        given["plan_revision"].as_i64().map(|r| r + 1)
    );
    assert_eq!(json(&data, &["check-plan", "--json"])["clean"], true);
}

#[test]
fn a_plan_written_out_is_checked_like_the_stored_one_and_a_spoilt_one_is_found() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let file = demo_file(dir.path(), "hex-spacer.stl");
    // In two plastics, so that they can't all lie on one plate.
    for (key, material) in [("a", "PLA"), ("b", "PETG"), ("c", "PLA")] {
        let give = ["pledge", &file, "--json", "--give"];
        let how = ["--material", material, "--idempotency-key", key];
        json(&data, &[&give[..], &how[..]].concat());
    }
    let mut plan = json(&data, &["plan", "--json"]);
    let path = dir.path().join("plan.json");
    let text = path.display().to_string();
    std::fs::write(&path, plan.to_string()).unwrap();
    assert_eq!(json(&data, &["check-plan", &text, "--json"])["clean"], true);
    let (first, second) = (plan["assignments"][0].clone(), &mut plan["assignments"][1]);
    for field in ["printer", "start", "end", "cleared"] {
        second[field] = first[field].clone();
    }
    std::fs::write(&path, plan.to_string()).unwrap();
    let output = run(&data, &["check-plan", &text, "--json"]);
    assert_eq!(output.status.code(), Some(1));
    let found: Value = serde_json::from_slice(&output.stdout).unwrap();
    let codes: BTreeSet<&str> = found["violations"]
        .as_array()
        .unwrap()
        .iter()
        .map(|v| v["code"].as_str().unwrap())
        .collect();
    assert!(codes.contains("overlap"), "{codes:?}");
}

#[test]
fn a_plan_in_which_nothing_is_elsewhere_is_no_new_revision() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let file = demo_file(dir.path(), "hex-spacer.stl");
    json(&data, &["pledge", &file, "--json", "--give"]);
    // Whatever there was to better is kept by the first.
    let first = json(&data, &["plan", "--save", "--json"]);
    let again = json(&data, &["plan", "--save", "--json"]);
    assert_eq!(again["moved"], serde_json::json!([]));
    assert_eq!(
        (
            &again["saved"],
            &again["nothing_to_save"],
            &again["revision"]
        ),
        (&false.into(), &true.into(), &first["revision"])
    );
    let said = run(&data, &["plan", "--save"]);
    let said = String::from_utf8_lossy(&said.stdout).into_owned();
    let stays = format!("nothing to save, it stays revision {}", first["revision"]);
    assert!(said.contains(&stays), "{said}");
    assert_eq!(
        json(&data, &["plan", "--json"])["revision"],
        first["revision"]
    );
    // Two days later nobody has started it: it has to move, and that is saved.
    let later = ["plan", "--save", "--json"];
    let later = partpledge_at(&data, "2027-03-11T10:00:00+01:00", &later).output();
    let later: Value = serde_json::from_slice(&later.unwrap().stdout).unwrap();
    assert_eq!(
        (&later["saved"], later["nothing_to_save"].as_bool()),
        (&true.into(), Some(false)),
        "{later}"
    );
    assert_ne!(later["moved"], serde_json::json!([]));
    assert_eq!(
        later["revision"].as_i64(),
        first["revision"].as_i64().map(|r| r + 1)
    );
}

#[test]
fn four_given_at_once_never_share_a_slot() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let file = demo_file(dir.path(), "float-arm-bracket.stl");
    let first = json(&data, &["pledge", &file, "--json", "--give"]);
    let running: Vec<_> = (0..4)
        .map(|_| {
            let mut command = partpledge(&data, &["pledge", &file, "--json", "--give"]);
            command.stdout(Stdio::piped()).spawn().unwrap()
        })
        .collect();
    let mut slots: BTreeMap<String, Value> = BTreeMap::new();
    for child in running {
        let output = child.wait_with_output().unwrap();
        assert!(output.status.success());
        let given: Value = serde_json::from_slice(&output.stdout).unwrap();
        for plate in given["plates"].as_array().unwrap() {
            let slot = format!("{} {}", plate["printer"], plate["start"]);
            let number = plate["plate"].clone();
            // One plate may carry what several asked for; its slot is still given once.
            let before = slots.insert(slot.clone(), number.clone());
            assert!(before.is_none_or(|b| b == number), "{slot} was given twice");
        }
    }
    let first = &first["plates"][0]["plate"];
    let alone = slots.values().all(|number| number != first);
    assert_eq!(json(&data, &["check-plan", "--json"])["clean"], true);
    assert_eq!(
        json(&data, &["plan", "--json"])["assignments"]
            .as_array()
            .unwrap()
            .len(),
        slots.len() + usize::from(alone)
    );
}

#[test]
fn judge_and_estimate_answer_one_file_with_an_object_and_several_with_an_array() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let (gear, torn) = (
        demo_file(dir.path(), "gear-plate-24.stl"),
        demo_file(dir.path(), "torn-tray.stl"),
    );
    let one = json(&data, &["judge", &gear, "--json"]);
    assert_eq!(one["watertight"], true);
    assert_eq!(one["unit"]["used"], "mm");
    let both = run(&data, &["judge", &gear, &torn, "--json"]);
    assert_eq!(both.status.code(), Some(1), "the worst of both");
    let both: Value = serde_json::from_slice(&both.stdout).unwrap();
    assert_eq!(both[0], one);
    assert_eq!(both[1]["volume_mm3"], Value::Null);
    let finding = &both[1]["findings"][0];
    for field in ["code", "severity", "why", "what_to_do", "source", "lesson"] {
        assert!(finding[field].is_string(), "{field}");
    }
    assert_eq!(finding["severity"], "blocking");
    let estimate = json(&data, &["estimate", &gear, "--json", "--copies", "3"]);
    assert_eq!(
        (&estimate["unit"], &estimate["findings"]),
        (&one["unit"], &Value::Array(vec![]))
    );
    // Capital letters of a code don't matter, and there is no such thing as less than nothing.
    let hollow = [
        "estimate",
        &gear,
        "--json",
        "--infill",
        "0",
        "--material",
        "pla",
    ];
    let hollow = run(&data, &hollow).stdout;
    let hollow = String::from_utf8_lossy(&hollow).into_owned();
    assert!(
        hollow.contains("\"infill_mm\":0.0") && !hollow.contains(":-0.0"),
        "{hollow}"
    );
    let length = |field: &str| estimate[field].as_f64().unwrap();
    assert!(length("walls_mm") > 0.0 && length("skins_mm") > 0.0 && length("infill_mm") > 0.0);
    assert_eq!(
        estimate["orientation"]["rotation"]
            .as_array()
            .unwrap()
            .len(),
        9
    );
    assert!(estimate["spread"]["p10"].as_f64() < estimate["spread"]["p90"].as_f64());
    let ratio = estimate["total"]["mass_g"].as_f64().unwrap() / length("mass_g");
    assert!((ratio - 3.0).abs() < 1e-9);
}

/// A closed box from the origin, as STL text.
fn stl_box([x, y, z]: [f64; 3]) -> String {
    let corner = |i: usize| {
        let pick = |bit: usize, length: f64| if i >> bit & 1 == 1 { length } else { 0.0 };
        format!("vertex {} {} {}\n", pick(0, x), pick(1, y), pick(2, z))
    };
    let faces = [
        [0, 2, 3, 1],
        [4, 5, 7, 6],
        [0, 1, 5, 4],
        [2, 6, 7, 3],
        [0, 4, 6, 2],
        [1, 3, 7, 5],
    ];
    let triangles = faces
        .iter()
        .flat_map(|&[a, b, c, d]| [[a, b, c], [a, c, d]]);
    let facet = |triangle: [usize; 3]| {
        let corners: String = triangle.into_iter().map(corner).collect();
        format!("facet normal 0 0 0\nouter loop\n{corners}endloop\nendfacet\n")
    };
    let facets: String = triangles.map(facet).collect();
    format!("solid box\n{facets}endsolid box\n")
}

#[test]
fn a_part_larger_than_every_room_is_told_so_before_a_line_is_laid() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let boxed = |name: &str, size_mm| {
        let path = dir.path().join(name);
        std::fs::write(&path, stl_box(size_mm)).unwrap();
        path.display().to_string()
    };
    let beam = boxed("beam.stl", [1600.0, 40.0, 20.0]);
    let refused = |args: &[&str]| {
        let output = run(&data, args);
        assert_eq!(output.status.code(), Some(1), "{args:?}");
        let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
        let words = answer["error"]["message"].as_str().unwrap().to_owned();
        (answer["error"]["code"].clone(), words)
    };
    let whole = ["estimate", &beam, "--unit", "mm", "--json"];
    let (code, words) = refused(&whole);
    assert_eq!(code, "no-room");
    assert!(
        words.contains("1600") && words.contains("350 x 350 x 380 mm"),
        "{words}"
    );
    let (code, _) = refused(&[
        "layout", &beam, "--bed", "300x300", "--unit", "mm", "--json",
    ]);
    assert_eq!(code, "too-large-for-bed");

    // Too long for the small room even from corner to corner, not for a larger one.
    let rod = boxed("rod.stl", [8.0, 8.0, 230.0]);
    let rod = [
        "estimate", &rod, "--unit", "mm", "--orient", "as-sent", "--json", "--class",
    ];
    let (code, words) = refused(&[&rod[..], &["compact"]].concat());
    assert!(
        code == "no-room" && words.contains("150 x 150 x 150 mm"),
        "{words}"
    );
    let fits = json(&data, &[&rod[..], &["standard"]].concat());
    assert!(fits["print_time_s"].as_f64() > Some(0.0));

    // As large as the bed is not too large for it.
    let tile = boxed("tile.stl", [20.0, 20.0, 5.0]);
    let on = |bed: &str| {
        let (edge, clearance) = (["--edge", "0"], ["--clearance", "0"]);
        let how = [
            "--bed", bed, "--unit", "mm", "--orient", "as-sent", "--json",
        ];
        run(
            &data,
            &[&["layout", &tile][..], &how, &edge, &clearance].concat(),
        )
    };
    assert_eq!(on("20x20").status.code(), Some(0));
    let small = on("19.99x20");
    let says = String::from_utf8_lossy(&small.stdout).into_owned();
    assert_eq!(small.status.code(), Some(1));
    assert!(
        says.contains("(20 x 20 mm) does not fit a bed of 19.99 x 20 mm"),
        "{says}"
    );
}

#[test]
fn an_estimate_for_a_printer_says_what_its_runs_make_of_it() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let gear = demo_file(dir.path(), "gear-plate-24.stl");
    let on_teal = json(&data, &["estimate", &gear, "--json", "--printer", "Teal"]);
    let class = on_teal["class"].as_str().unwrap().to_owned();
    let mut on_class = json(&data, &["estimate", &gear, "--json", "--class", &class]);
    assert_eq!(on_class["learned"], Value::Null);
    on_class["learned"] = on_teal["learned"].clone();
    assert_eq!(on_teal, on_class, "the rest is the class's, spread and all");
    let learned = &on_teal["learned"];
    assert_eq!(learned["printer"], "Teal");
    assert_eq!(
        (&learned["runs"], &learned["factor"]),
        (&0.into(), &Value::Null)
    );
    let [low, middle, high] =
        ["p10_min", "p50_min", "p90_min"].map(|name| learned[name].as_i64().unwrap());
    assert!(low < middle && middle < high, "{learned}");
}

#[test]
fn a_unit_that_the_3mf_contradicts_is_a_wrong_call_and_elsewhere_it_overrules() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let hub = demo_file(dir.path(), "wheel-hub.3mf");
    assert_eq!(
        run(&data, &["judge", &hub, "--unit", "in", "--json"])
            .status
            .code(),
        Some(2)
    );
    let pulley = demo_file(dir.path(), "pulley-in-inches.stl");
    let inches = json(&data, &["judge", &pulley, "--unit", "in", "--json"]);
    assert_eq!(inches["unit"]["source"], "option");
    let size = inches["size_mm"][2].as_f64().unwrap();
    assert!((size - 12.0).abs() < 1e-4, "{size}");
}

#[test]
fn a_layout_is_written_as_a_3mf_that_reads_back_with_every_copy() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let file = demo_file(dir.path(), "cable-clip.obj");
    let out = dir.path().join("plates.3mf").display().to_string();
    let layout = json(
        &data,
        &[
            "layout",
            &format!("{file}:6"),
            "--bed",
            "220x210",
            "--out",
            &out,
            "--json",
        ],
    );
    assert_eq!(
        layout["plates"][0]["placements"].as_array().unwrap().len(),
        6
    );
    let back = run(&data, &["judge", &out, "--json"]);
    let back: Value = serde_json::from_slice(&back.stdout).unwrap();
    assert_eq!(back["parts"].as_array().unwrap().len(), 6);
    assert_eq!(back["unit"]["source"], "file");
}

#[test]
fn a_layout_on_several_plates_is_drawn_and_listed() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let file = demo_file(dir.path(), "cable-clip.obj");
    let at = |name: &str| dir.path().join(name).display().to_string();
    let (svg, png, list) = (at("p.svg"), at("p.png"), at("p.csv"));
    let files = format!("{file}:30");
    let words = ["layout", &files, "--bed", "100x90", "--json"];
    let layout = json(
        &data,
        &[&words[..], &["--svg", &svg, "--png", &png, "--list", &list]].concat(),
    );
    let plates = layout["plates"].as_array().unwrap().len();
    assert!(plates > 1, "{plates} plates");
    assert_eq!(layout["written"].as_array().unwrap().len(), 2 * plates + 1);
    let on: Vec<u64> = layout["parts"][0]["on_plates"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(Value::as_u64)
        .collect();
    assert_eq!((on.len(), on.iter().sum::<u64>()), (plates, 30));
    let drawn = std::fs::read_to_string(dir.path().join("p-1.svg")).unwrap();
    assert_eq!(drawn.matches("class=\"part\"").count() as u64, on[0]);
    assert!(drawn.contains("Plate 1 of") && drawn.contains(">A1</text>"));
    let picture = std::fs::read(dir.path().join("p-2.png")).unwrap();
    assert!(picture.starts_with(b"\x89PNG"));
    let listed = std::fs::read_to_string(&list).unwrap();
    assert_eq!(listed.lines().count(), 31);
    assert!(listed.starts_with("plate,mark,file,part,copy,"), "{listed}");
}

#[test]
fn an_impossible_part_gets_nulls_a_reason_and_exit_code_1() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let torn = demo_file(dir.path(), "torn-tray.stl");
    let output = run(&data, &["pledge", &torn, "--json", "--give"]);
    assert_eq!(output.status.code(), Some(1));
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(answer["arrival"], Value::Null);
    assert!(answer["error"]["what_to_do"].is_string());
    assert!(!data.exists(), "nothing was begun");
}

#[test]
fn work_that_has_started_may_not_be_moved_by_a_plan_from_a_file() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let file = demo_file(dir.path(), "hex-spacer.stl");
    json(
        &data,
        &["pledge", &file, "--json", "--give", "--team", "Newt Works"],
    );
    let mut plan = json(&data, &["plan", "--json"]);
    let start = plan["assignments"][0]["start"].as_str().unwrap().to_owned();
    let path = dir.path().join("plan.json").display().to_string();
    let codes_at = |at: &str, plan: &Value| -> Vec<String> {
        std::fs::write(&path, plan.to_string()).unwrap();
        let output = partpledge_at(&data, at, &["check-plan", &path, "--json"])
            .output()
            .unwrap();
        let found: Value = serde_json::from_slice(&output.stdout).unwrap();
        let list = found["violations"].as_array().unwrap().iter();
        list.map(|v| v["code"].as_str().unwrap().to_owned())
            .collect()
    };
    assert_eq!(codes_at(AT, &plan), Vec::<String>::new());
    // A minute after the start the same plan is still fine, and one that starts later is not.
    let after = start.replace(":00+01:00", ":30+01:00");
    assert_eq!(codes_at(&after, &plan), Vec::<String>::new());
    for field in ["start", "end", "cleared", "ready"] {
        let later = plan["assignments"][0][field]
            .as_str()
            .unwrap()
            .replace("-03-09T", "-03-16T");
        plan["assignments"][0][field] = Value::String(later);
    }
    assert!(codes_at(&after, &plan).contains(&"frozen-moved".to_owned()));
    assert!(
        !codes_at(AT, &plan).contains(&"frozen-moved".to_owned()),
        "not started yet"
    );
}

#[test]
fn a_load_that_is_said_is_weighed_and_a_bad_one_is_told() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let file = demo_file(dir.path(), "hex-spacer.stl");
    let plain = json(&data, &["judge", &file, "--json"]);
    assert!(plain["ways"][0]["load"].is_null(), "nobody asked");
    // A spacer stands on its end; pulled along its length, it had better lie.
    let pulled = json(&data, &["judge", &file, "--json", "--load", "0,0,-2"]);
    let across = |answer: &Value, i: usize| answer["ways"][i]["load"]["across_deg"].as_f64();
    assert!(across(&pulled, 0).unwrap() < 10.0, "{}", pulled["ways"][0]);
    let sent = pulled["ways"].as_array().unwrap();
    let sent = sent.iter().position(|way| way["name"] == "as sent");
    assert!(across(&pulled, sent.unwrap()).unwrap() > 80.0);
    for bad in ["1,2", "0,0,0", "up", "1,2,3,4", "1,,2", "nan,0,1"] {
        let output = run(&data, &["judge", &file, "--load", bad]);
        assert_eq!(output.status.code(), Some(2), "{bad}");
        let says = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(says.contains("three numbers, such as 0,0,1"), "{says}");
    }
}
