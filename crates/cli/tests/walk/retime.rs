//! Motion programs timed from outside: fields, exit codes, refusals, nothing written.

use serde_json::Value;

use crate::program::{demo_file, json, run};

const PROGRAM: &str = "; made by hand\nG21 G90\nM83\nG92 X0 Y0 Z0\nM204 P900\nG0 X10 Y10 Z.2 F6000\n\
    G1 X60 E1.5 F1800\nY60 E1.5\nX10 E1.5\nY10 E1.5\nG1 E-1 F2400\nG0 Z.6\nWAVE_GOODBYE\n";

#[test]
fn a_program_is_timed_counted_and_nothing_is_written() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let path = dir.path().join("plate.txt");
    std::fs::write(&path, PROGRAM).unwrap();
    let file = path.display().to_string();
    let told = json(&data, &["retime", &file, "--json"]);
    assert!(!data.exists(), "timing writes nothing");
    assert_eq!(told["schema"], 1);
    assert_eq!(
        (&told["class"], &told["material"]),
        (&"standard".into(), &"PLA".into())
    );
    assert_eq!((&told["layers"], &told["moves"]), (&1.into(), &7.into()));
    let near = |field: &str, expected: f64, by: f64| {
        let got = told[field].as_f64().unwrap();
        assert!(
            (got - expected).abs() < by,
            "{field}: {got}, not {expected}"
        );
    };
    // 200 mm at 30 mm/s, with a start, a stop and three corners between.
    near("laying_s", 200.0 / 30.0, 0.1);
    near("filament_mm", 5.0, 1e-9);
    near("laid_filament_mm", 6.0, 1e-9);
    assert_eq!(told["size_mm"], serde_json::json!([50.0, 50.0, 0.0]));
    let words = told["words_not_used"].to_string();
    assert!(
        words.contains("M204") && words.contains("WAVE_GOODBYE"),
        "{words}"
    );
    assert_eq!(told["findings"], serde_json::json!([]));

    let plain = run(&data, &["retime", &file]);
    let text = String::from_utf8(plain.stdout).unwrap();
    assert!(text.contains("1 layers, 50.0 x 50.0"), "{text}");
    assert!(
        text.contains("not timed: 1 x M204, 1 x WAVE_GOODBYE"),
        "{text}"
    );
    // A slower class takes longer; a material that it does not take is no timing.
    let other = json(&data, &["retime", &file, "--json", "--class", "compact"]);
    assert!(other["time_s"].as_f64().unwrap() > told["time_s"].as_f64().unwrap());
    let none = run(
        &data,
        &["retime", &file, "--class", "compact", "--material", "ASA"],
    );
    assert_eq!(none.status.code(), Some(1));
}

#[test]
fn a_program_for_a_larger_or_hotter_machine_is_a_finding_and_exit_1() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let path = dir.path().join("large.txt");
    let hot = PROGRAM
        .replace("M83", "M83\nM104 S300")
        .replace("X60", "X360");
    std::fs::write(&path, hot).unwrap();
    let output = run(&data, &["retime", &path.display().to_string(), "--json"]);
    assert_eq!(output.status.code(), Some(1));
    let told: Value = serde_json::from_slice(&output.stdout).unwrap();
    let findings = told["findings"].as_array().unwrap();
    let codes: Vec<&str> = findings
        .iter()
        .map(|f| f["code"].as_str().unwrap())
        .collect();
    assert_eq!(codes, ["larger-than-bed", "outside-bed", "nozzle-too-hot"]);
    for field in [
        "severity",
        "measured",
        "limit",
        "unit",
        "why",
        "what_to_do",
        "source",
    ] {
        assert!(findings.iter().all(|f| !f[field].is_null()), "{field}");
    }
}

#[test]
fn what_is_no_program_is_refused_and_the_others_are_timed_all_the_same() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let write = |name: &str, text: &str| {
        let path = dir.path().join(name);
        std::fs::write(&path, text).unwrap();
        path.display().to_string()
    };
    let good = write("good.txt", PROGRAM);
    let prose = write("prose.txt", "Dear team,\nthe part is ready.\n");
    let part = demo_file(dir.path(), "float-arm-bracket.stl");
    let text_part = demo_file(dir.path(), "gear-plate-24.stl");
    let missing = dir.path().join("missing").display().to_string();
    let folder = dir.path().display().to_string();
    let all = [&prose, &part, &text_part, &missing, &folder, &good].map(String::as_str);
    let output = run(&data, &[&["retime", "--json"][..], &all].concat());
    assert_eq!(output.status.code(), Some(2));
    let told: Value = serde_json::from_slice(&output.stdout).unwrap();
    let codes: Vec<&Value> = told
        .as_array()
        .unwrap()
        .iter()
        .map(|t| &t["error"]["code"])
        .collect();
    let expected = [
        "no-motion",
        "binary-program",
        "no-motion",
        "no-file",
        "no-file",
    ];
    assert_eq!(codes[..5], expected);
    assert!(codes[5].is_null() && told[5]["layers"] == 1);
    assert!(
        told[0]["error"]["what_to_do"]
            .as_str()
            .unwrap()
            .contains("motion program")
    );
}
