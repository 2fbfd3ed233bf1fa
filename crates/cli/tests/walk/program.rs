//! Running the program as a person would, for the other tests here.

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

/// The moment that most tests are at: a Tuesday afternoon of the demo's season.
pub(crate) const AT: &str = "2027-03-09T16:52:00+01:00";

/// The program on a data directory, at [`AT`].
pub(crate) fn partpledge(data: &Path, args: &[&str]) -> Command {
    partpledge_at(data, AT, args)
}

/// The program on a data directory, at some moment.
pub(crate) fn partpledge_at(data: &Path, at: &str, args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_partpledge"));
    command
        .arg("--data")
        .arg(data)
        .arg("--at")
        .arg(at)
        .args(args);
    command
}

/// Runs it to its end.
pub(crate) fn run(data: &Path, args: &[&str]) -> Output {
    partpledge(data, args).output().expect("the program starts")
}

/// Runs it, expects exit code 0 and JSON.
pub(crate) fn json(data: &Path, args: &[&str]) -> Value {
    let output = run(data, args);
    let text = String::from_utf8_lossy(&output.stdout);
    assert!(
        output.status.success(),
        "{args:?}: {text} {}",
        String::from_utf8_lossy(&output.stderr)
    );
    serde_json::from_str(&text).expect("the answer is JSON")
}

/// Writes one of the demo's files into a folder; its path as text.
pub(crate) fn demo_file(dir: &Path, name: &str) -> String {
    let files = partpledge_testbed::files();
    let file = files
        .iter()
        .find(|file| file.name == name)
        .expect("it is among the demo's files");
    let path = dir.join(name);
    std::fs::write(&path, &file.bytes).expect("a temporary folder can be written");
    path.display().to_string()
}

/// Makes the demo's region in a data directory, unless it is there.
pub(crate) fn planted(data: &Path) {
    if data.exists() {
        return;
    }
    let dir = tempfile::tempdir().expect("a temporary folder");
    let file = dir.path().join("demo.toml");
    std::fs::write(&file, partpledge_testbed::with_a_meeting()).expect("it can be written");
    json(data, &["begin", &file.display().to_string(), "--json"]);
}
