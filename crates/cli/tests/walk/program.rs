//! Running the program as a person would, for the other tests here.

use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Output, Stdio};
use std::sync::mpsc::{Receiver, channel};

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

/// A server of a data directory, on a free port of this machine. It ends when it is dropped, at the latest.
pub(crate) struct Server {
    child: Child,
    pub(crate) address: String,
    /// What it says on stderr, line by line.
    errors: Receiver<String>,
}

/// Starts a server; it serves when this returns.
pub(crate) fn started(data: &Path) -> Server {
    let mut child = partpledge(data, &["serve", "--port", "0"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let pipe = BufReader::new(child.stderr.take().expect("it has a pipe"));
    let (said, errors) = channel();
    // Read all the time, so that nothing it says can stop it.
    std::thread::spawn(move || {
        for line in pipe.lines().map_while(Result::ok) {
            if said.send(line).is_err() {
                break;
            }
        }
    });
    let mut lines = BufReader::new(child.stdout.take().expect("it has a pipe")).lines();
    let address = lines.next().and_then(|line| {
        let line = line.ok()?;
        let (_, rest) = line.split_once("http://")?;
        rest.split_whitespace().next().map(str::to_owned)
    });
    let mut server = Server {
        child,
        address: String::new(),
        errors,
    };
    server.address = address.unwrap_or_else(|| panic!("no address: {}", server.end()));
    server
}

impl Server {
    /// What it has said on stderr, up to the line that has those words in it.
    pub(crate) fn says(&self, words: &str) -> String {
        let mut heard = String::new();
        while !heard.contains(words) {
            let line = self.errors.recv();
            heard.push_str(&line.unwrap_or_else(|_| panic!("not {words:?}: {heard}")));
            heard.push('\n');
        }
        heard
    }

    /// Ends it as `kill -9` does; all else that it had said on stderr.
    pub(crate) fn ended(mut self) -> String {
        self.end()
    }

    fn end(&mut self) -> String {
        self.child.kill().expect("it can be ended");
        self.child.wait().expect("it has ended");
        self.errors.iter().collect::<Vec<_>>().join("\n")
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        // A test that failed leaves no server behind.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// The cookie that an answer sets.
pub(crate) fn cookie(answer: &str) -> String {
    let mut lines = answer.lines();
    let set = lines.find_map(|line| line.strip_prefix("set-cookie: "));
    let set = set.and_then(|set| set.split(';').next());
    set.unwrap_or_else(|| panic!("{answer}")).to_owned()
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
