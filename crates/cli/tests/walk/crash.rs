//! kill -9 while giving, fifty times: nothing acknowledged is lost, nothing is half done.

use std::process::Stdio;
use std::time::Duration;

use serde_json::Value;

use crate::program::{demo_file, json, partpledge};

const TIMES: u64 = 50;

#[test]
#[expect(clippy::too_many_lines, reason = "one story, told in order")]
fn fifty_kills_lose_nothing_acknowledged_and_leave_nothing_half_done() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let file = demo_file(dir.path(), "hex-spacer.stl");
    let mut acknowledged: Vec<(String, Value)> = Vec::new();
    let mut killed = 0;
    for i in 0..TIMES {
        let key = format!("key-{i}");
        let args = [
            "pledge",
            &file,
            "--json",
            "--give",
            "--idempotency-key",
            &key,
        ];
        let mut child = partpledge(&data, &args)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        // The moment of death is what varies here: from before the file is read until after the
        // answer is out. Nothing is waited for.
        std::thread::sleep(Duration::from_millis(i * 6));
        let died = child.kill().is_ok();
        let output = child.wait_with_output().unwrap();
        if output.status.success() {
            acknowledged.push((key, serde_json::from_slice(&output.stdout).unwrap()));
        } else {
            assert!(died);
            killed += 1;
        }
    }
    assert!(
        killed >= 5,
        "only {killed} of {TIMES} were killed in time to prove anything"
    );
    if data.exists() {
        assert_eq!(json(&data, &["check-plan", "--json"])["clean"], true);
    }
    for (key, given) in &acknowledged {
        let args = [
            "pledge",
            &file,
            "--json",
            "--give",
            "--idempotency-key",
            key,
        ];
        assert_eq!(&json(&data, &args), given, "{key} was acknowledged");
    }
    // Every key can be asked again; those that were written before the kill are not given twice.
    // Several may lie on one plate.
    let mut plates = std::collections::BTreeSet::new();
    for i in 0..TIMES {
        let key = format!("key-{i}");
        let given = json(
            &data,
            &[
                "pledge",
                &file,
                "--json",
                "--give",
                "--idempotency-key",
                &key,
            ],
        );
        let given = given["plates"].as_array().unwrap();
        plates.extend(given.iter().map(|plate| plate["plate"].as_u64()));
    }
    let plan = json(&data, &["plan", "--json"]);
    assert_eq!(plan["assignments"].as_array().unwrap().len(), plates.len());
    assert_eq!(
        plan["revision"].as_u64(),
        Some(TIMES),
        "one revision a pledge, no more"
    );
    assert_eq!(json(&data, &["check-plan", "--json"])["clean"], true);
}
