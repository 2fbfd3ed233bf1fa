//! Answers that nobody can read, and files that can't be written: told, and no success.

use std::fs::OpenOptions;
use std::process::{Command, Stdio};

use crate::program::{AT, demo_file, json, partpledge, run};

/// Runs it with its answer going where nothing fits; the exit code and what it says on stderr.
fn into_nowhere(mut command: Command) -> (Option<i32>, String) {
    let full = OpenOptions::new().write(true).open("/dev/full").unwrap();
    let output = command.stdout(full).output().unwrap();
    let says = String::from_utf8_lossy(&output.stderr).into_owned();
    (output.status.code(), says)
}

#[test]
fn an_answer_that_could_not_be_written_is_no_success_and_a_promise_is_told_apart() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let file = demo_file(dir.path(), "hex-spacer.stl");
    for args in [
        &["judge", &file, "--json"][..],
        &["judge", &file],
        &["help"],
    ] {
        let (code, says) = into_nowhere(partpledge(&data, args));
        assert_eq!(code, Some(2), "{args:?}: {says}");
        assert!(says.contains("[not-written]"), "{says}");
    }
    // Somebody who reads no further wanted no more.
    let (reader, writer) = std::io::pipe().unwrap();
    drop(reader);
    let mut command = partpledge(&data, &["judge", &file]);
    let output = command.stdout(writer).output().unwrap();
    let says = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!((output.status.code(), says.as_str()), (Some(0), ""));

    let give = ["pledge", &file, "--give", "--idempotency-key", "unheard"];
    let (code, says) = into_nowhere(partpledge(&data, &give));
    assert_eq!(code, Some(2), "{says}");
    let see = format!("`partpledge serve --data {}`", data.display());
    assert!(
        says.contains("is recorded") && says.contains(&see),
        "{says}"
    );
    let again = json(&data, &[&give[..], &["--json"]].concat());
    assert_eq!(again["given"], true);
    let plan = json(&data, &["plan", "--json"]);
    assert_eq!(plan["assignments"].as_array().unwrap().len(), 1);
}

#[test]
fn a_layout_that_does_not_fit_the_disk_leaves_the_file_before_it_whole() {
    let dir = tempfile::tempdir().unwrap();
    let file = demo_file(dir.path(), "cable-clip.obj");
    let out = dir.path().join("plates.3mf");
    std::fs::write(&out, "the one before").unwrap();
    // No file may be larger than a block, and writing more is an error instead of the end.
    let status = Command::new("sh")
        .args(["-c", "trap '' XFSZ; ulimit -f 1; exec \"$0\" \"$@\""])
        .arg(env!("CARGO_BIN_EXE_partpledge"))
        .args(["--at", AT, "--data"])
        .arg(dir.path().join("data"))
        .args(["layout", &file, "--bed", "220x210", "--out"])
        .arg(&out)
        .stderr(Stdio::null())
        .stdout(Stdio::null())
        .status()
        .unwrap();
    assert_eq!(status.code(), Some(2));
    assert_eq!(std::fs::read_to_string(&out).unwrap(), "the one before");
    assert_eq!(
        std::fs::read_dir(dir.path()).unwrap().count(),
        2,
        "nothing is left beside it"
    );
    let data = dir.path().join("data");
    let written = [
        "layout",
        &file,
        "--bed",
        "220x210",
        "--out",
        out.to_str().unwrap(),
    ];
    assert!(run(&data, &written).status.success());
    assert!(std::fs::read(&out).unwrap().starts_with(b"PK"));
}
