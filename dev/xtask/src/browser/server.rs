//! The built program, serving the demo region from a folder that goes when we are done.

use std::fs;
use std::io::{BufRead, BufReader};
use std::path::PathBuf;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::sync::mpsc;
use std::thread;
use std::time::Duration;

use crate::failure::Failure;
use crate::house::House;

/// Planting the demo region takes seconds; this is for a busy machine.
const PATIENCE: Duration = Duration::from_mins(4);

/// The demo's day: a Tuesday of the season with a long school day ahead, whatever the date here.
const WHEN: &str = "2027-03-09T09:40:00+01:00";

/// A running server. It is stopped, and its data removed, when this goes out of scope.
pub(crate) struct Served {
    child: Child,
    data: PathBuf,
    url: String,
}

impl Served {
    /// Starts `partpledge demo` on a free port and waits until it serves.
    pub(crate) fn start(house: &House) -> Result<Self, Failure> {
        let data = house
            .target()
            .join(format!("browser-data-{}", std::process::id()));
        // Left over from a run that was killed.
        let _ = fs::remove_dir_all(&data);
        let mut command = Command::new(house.partpledge());
        command
            .current_dir(&house.root)
            .args(["--at", WHEN, "demo", "--port", "0", "--data"])
            .arg(&data)
            .stdin(Stdio::null())
            .stdout(Stdio::piped());
        let mut child = command
            .spawn()
            .map_err(|e| Failure::io("cannot start", &house.partpledge(), &e))?;
        let stdout = child.stdout.take();
        let mut served = Self {
            child,
            data,
            url: String::new(),
        };
        let silent = || Failure::new("the demo did not say where it serves");
        let lines = stdout.map(watch).ok_or_else(silent)?;
        served.url = lines.recv_timeout(PATIENCE).map_err(|_| silent())?;
        Ok(served)
    }

    /// `http://127.0.0.1:PORT`.
    pub(crate) fn url(&self) -> &str {
        &self.url
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        // It may have ended by itself; then there is nothing to stop.
        let _ = self.child.kill();
        let _ = self.child.wait();
        // What can't be removed lies under target/ and harms nobody.
        let _ = fs::remove_dir_all(&self.data);
    }
}

/// Reads what the program says to its end, so that it never blocks, and passes on the address.
fn watch(stdout: ChildStdout) -> mpsc::Receiver<String> {
    let (sender, receiver) = mpsc::channel();
    thread::spawn(move || {
        for line in BufReader::new(stdout).lines().map_while(Result::ok) {
            if let Some(url) = address(&line) {
                // Nobody listens any more when patience ran out.
                let _ = sender.send(url.to_owned());
            }
        }
    });
    receiver
}

/// The address in `Serving on http://127.0.0.1:8717 (this machine only).`
fn address(line: &str) -> Option<&str> {
    let url = line
        .split_whitespace()
        .find(|w| w.starts_with("http://127.0.0.1:"))?;
    Some(url.trim_end_matches(['.', ',', '/']))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_address_is_found_in_what_the_program_says() {
        let line = "Serving on http://127.0.0.1:8717 (this machine only). Stop with Ctrl-C.";
        assert_eq!(address(line), Some("http://127.0.0.1:8717"));
        assert_eq!(address("12 pledges on record in ./data"), None);
    }
}
