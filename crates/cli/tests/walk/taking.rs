//! What `estimate` says of energy, cost, the weakest layer and other walls.

use serde_json::Value;

use crate::program::{json, run};

/// A post of 20 x 20 x 60 mm as OBJ.
fn post(dir: &std::path::Path) -> String {
    let mut text = String::new();
    for z in [0, 60] {
        for (x, y) in [(0, 0), (20, 0), (20, 20), (0, 20)] {
            text.push_str(&format!("v {x} {y} {z}\n"));
        }
    }
    for face in [
        "4 3 2 1", "5 6 7 8", "1 2 6 5", "2 3 7 6", "3 4 8 7", "4 1 5 8",
    ] {
        text.push_str(&format!("f {face}\n"));
    }
    let path = dir.join("post.obj");
    std::fs::write(&path, text).unwrap();
    path.display().to_string()
}

fn number(value: &Value, pointer: &str) -> f64 {
    value
        .pointer(pointer)
        .and_then(Value::as_f64)
        .unwrap_or_else(|| panic!("{pointer}: {value}"))
}

#[test]
fn a_solid_post_has_the_weakest_layer_of_its_closed_form() {
    let dir = tempfile::tempdir().unwrap();
    let (data, file) = (dir.path().join("data"), post(dir.path()));
    let args = [
        "estimate", &file, "--json", "--unit", "mm", "--orient", "as-sent", "--infill", "100",
        "--load", "1,0,0",
    ];
    let found = json(&data, &args);
    let weak = &found["weakest_layer"];
    // PLA across layers: 20.25 to 48 MPa; 400 mm²; W = 20³/6; the lowest tenth is held.
    let near = |pointer: &str, want: f64| {
        let got = number(weak, pointer);
        assert!((got / want - 1.0).abs() < 1e-6, "{pointer}: {got}");
    };
    near("/pull_n/low", 20.25 * 400.0);
    near("/pull_n/high", 48.0 * 400.0);
    near("/bending_nm/low", 20.25 * 8000.0 / 6.0 / 1000.0);
    near("/bending_nm/height_mm", 6.0);
    near("/bending_nm/load_n/high", 48.0 * 8000.0 / 6.0 / 54.0);
    assert_eq!(weak["bending_nm"]["slender"], true);
    assert!((number(weak, "/bending_nm/axis/1").abs() - 1.0).abs() < 1e-9);
    let caution = weak["caution"].as_str().unwrap();
    assert!(caution.contains("We don't know this part's strength"));
    assert_eq!(
        found["lighter"],
        Value::Array(Vec::new()),
        "all of it is asked for"
    );
}

#[test]
fn energy_and_cost_are_ranges_in_whole_cents_and_a_good_part_costs_more_than_a_try() {
    let dir = tempfile::tempdir().unwrap();
    let (data, file) = (dir.path().join("data"), post(dir.path()));
    let found = json(
        &data,
        &[
            "estimate", &file, "--json", "--unit", "mm", "--infill", "40", "--copies", "4",
        ],
    );
    assert!(0.0 < number(&found, "/energy_wh/low"));
    assert!(number(&found, "/energy_wh/low") < number(&found, "/energy_wh/high"));
    let cost = &found["cost"];
    let cents = |pointer: &str| cost.pointer(pointer).and_then(Value::as_i64).unwrap();
    let low = cents("/filament") + cents("/energy/low") + cents("/wear/low") + cents("/labour");
    assert!(
        (low - cents("/low")).abs() <= 2,
        "each is rounded on its own: {cost}"
    );
    assert!(cents("/low") <= cents("/high") && cents("/high") < cents("/per_good_part/high"));
    assert_eq!(
        (&cost["currency"], &cost["decimals"]),
        (&Value::from("EUR"), &Value::from(2))
    );
    assert!(cost["note"].as_str().unwrap().contains("No payments"));
    // Four on one plate: one plate's work for all of them.
    let plate = found["total"]["cost"]["per_good_part"]["high"]
        .as_i64()
        .unwrap();
    assert!(plate < cents("/per_good_part/high"), "{found}");
    let other = &found["lighter"][0];
    assert!(number(other, "/walls") > 2.0 && number(other, "/infill_percent") < 40.0);
    assert!(number(other, "/mass_ratio").min(number(other, "/time_ratio")) <= 0.9);
    assert!(number(other, "/stiffness_ratio") >= 1.0);
}

#[test]
fn what_it_takes_is_said_in_words_with_the_caution() {
    let dir = tempfile::tempdir().unwrap();
    let (data, file) = (dir.path().join("data"), post(dir.path()));
    let said = run(
        &data,
        &["estimate", &file, "--unit", "mm", "--infill", "40"],
    );
    let said = String::from_utf8(said.stdout).unwrap();
    for words in [
        " Wh, ",
        "for each good part. No payments are handled.",
        "Pulled straight up, it comes apart first over layer",
        "We don't know this part's strength. Layers come apart most easily from each other. Test it behind a guard before use.",
        "% lighter",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
}
