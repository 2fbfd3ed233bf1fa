//! Running other programs: passed through, captured, or held to a time limit.

use std::io::Read;
use std::os::unix::process::ExitStatusExt;
use std::process::{Child, Command, ExitStatus, Stdio};
use std::sync::mpsc;
use std::thread;
use std::time::Duration;

use crate::failure::Failure;
use crate::progress::Stopwatch;

/// Runs a program with our own input and output.
///
/// # Errors
/// When it can't be started; a bad exit code is the caller's to judge.
pub(crate) fn pass_through(command: &mut Command) -> Result<ExitStatus, Failure> {
    command.status().map_err(|e| cannot_start(command, &e))
}

/// Runs a program with our own input and output and insists on exit code 0.
pub(crate) fn must_pass(command: &mut Command, headline: &str) -> Result<(), Failure> {
    let status = pass_through(command)?;
    if status.success() {
        return Ok(());
    }
    Err(Failure::new(headline).detail(format!("`{}` ended with {status}", spelled(command))))
}

/// Runs a program quietly and gives what it wrote to standard output.
///
/// # Errors
/// When it can't be started or ends badly; the tail of what it said goes into the details.
pub(crate) fn capture(command: &mut Command) -> Result<String, Failure> {
    let output = command
        .stdin(Stdio::null())
        .output()
        .map_err(|e| cannot_start(command, &e))?;
    if output.status.success() {
        return Ok(String::from_utf8_lossy(&output.stdout).into_owned());
    }
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    let headline = format!("`{}` ended with {}", spelled(command), output.status);
    Err(tail(&said, 6)
        .into_iter()
        .fold(Failure::new(headline), Failure::detail))
}

fn cannot_start(command: &Command, error: &std::io::Error) -> Failure {
    let name = command.get_program().to_string_lossy().into_owned();
    Failure::new(format!("cannot start `{name}`: {error}"))
        .advise(format!("install `{name}` or put it on PATH"))
}

/// The command line for messages, shortened when long.
pub(crate) fn spelled(command: &Command) -> String {
    let mut words = vec![command.get_program().to_string_lossy().into_owned()];
    words.extend(
        command
            .get_args()
            .map(|arg| arg.to_string_lossy().into_owned()),
    );
    let line = words.join(" ");
    if line.chars().count() <= 160 {
        line
    } else {
        line.chars().take(157).collect::<String>() + "..."
    }
}

/// The last lines of a text, without blank ones.
pub(crate) fn tail(text: &str, lines: usize) -> Vec<String> {
    let kept: Vec<&str> = text
        .lines()
        .filter(|line| !line.trim().is_empty())
        .collect();
    kept.iter()
        .skip(kept.len().saturating_sub(lines))
        .map(ToString::to_string)
        .collect()
}

/// How a program ended that was held to a time limit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum End {
    Exit(i32),
    Signal(i32),
    /// It was still running at the limit, and was stopped.
    Hung,
}

/// What a program did within its limit.
#[derive(Debug, Clone)]
pub(crate) struct Outcome {
    pub(crate) end: End,
    pub(crate) stdout: String,
    pub(crate) stderr: String,
    pub(crate) seconds: f64,
}

/// Runs a program with nothing on its input and stops it at the limit.
///
/// Both outputs are read by threads of their own, so a program that writes a lot can't block.
/// # Errors
/// When it can't be started.
pub(crate) fn bounded(command: &mut Command, limit: Duration) -> Result<Outcome, Failure> {
    command
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    let watch = Stopwatch::start();
    let mut child = command.spawn().map_err(|e| cannot_start(command, &e))?;
    let stdout = read_in_background(child.stdout.take());
    let stderr = read_in_background(child.stderr.take());
    let in_time = stdout.recv_timeout(limit);
    let end = match &in_time {
        Ok(_) => ending(&mut child)?,
        Err(_) => stop(&mut child)?,
    };
    let read =
        |text: Result<Vec<u8>, _>| String::from_utf8_lossy(&text.unwrap_or_default()).into_owned();
    Ok(Outcome {
        end,
        stdout: read(in_time),
        stderr: read(stderr.recv_timeout(Duration::from_secs(5))),
        seconds: watch.seconds(),
    })
}

fn read_in_background<R: Read + Send + 'static>(from: Option<R>) -> mpsc::Receiver<Vec<u8>> {
    let (sender, receiver) = mpsc::channel();
    thread::spawn(move || {
        let mut bytes = Vec::new();
        if let Some(mut from) = from {
            // A pipe that breaks has given all it had.
            let _ = from.read_to_end(&mut bytes);
        }
        // Nobody listens any more when the limit has passed.
        let _ = sender.send(bytes);
    });
    receiver
}

fn ending(child: &mut Child) -> Result<End, Failure> {
    let status = child
        .wait()
        .map_err(|e| Failure::new(format!("cannot wait: {e}")))?;
    Ok(match (status.code(), status.signal()) {
        (Some(code), _) => End::Exit(code),
        (None, signal) => End::Signal(signal.unwrap_or(0)),
    })
}

fn stop(child: &mut Child) -> Result<End, Failure> {
    // It may have ended by itself in this very moment; then there is nothing to stop.
    let _ = child.kill();
    child
        .wait()
        .map_err(|e| Failure::new(format!("cannot wait: {e}")))?;
    Ok(End::Hung)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shell(script: &str) -> Command {
        let mut command = Command::new("sh");
        command.args(["-c", script]);
        command
    }

    #[test]
    fn a_program_that_ends_in_time_gives_code_and_both_outputs() {
        let outcome = bounded(
            &mut shell("echo out; echo err >&2; exit 2"),
            Duration::from_secs(20),
        )
        .unwrap();
        assert_eq!(outcome.end, End::Exit(2));
        assert_eq!(
            (outcome.stdout.trim(), outcome.stderr.trim()),
            ("out", "err")
        );
    }

    #[test]
    fn a_program_that_hangs_is_stopped_at_the_limit() {
        let outcome = bounded(&mut shell("exec sleep 60"), Duration::from_millis(100)).unwrap();
        assert_eq!(outcome.end, End::Hung);
    }

    #[test]
    fn a_program_killed_by_a_signal_is_not_taken_for_an_exit() {
        let outcome = bounded(&mut shell("kill -9 $$"), Duration::from_secs(20)).unwrap();
        assert_eq!(outcome.end, End::Signal(9));
    }

    #[test]
    fn the_tail_of_a_text_leaves_out_blank_lines() {
        assert_eq!(tail("a\n\nb\nc\n\n", 2), ["b", "c"]);
        assert_eq!(tail("a", 2), ["a"]);
    }
}
