//! Answers and failures on the terminal.

use std::io::{Error, ErrorKind, Write};
use std::sync::Mutex;

use partpledge_workshop::WorkshopError;
use serde_json::{Value, json};

/// Exit code: fine.
pub(crate) const FINE: u8 = 0;
/// Exit code: a blocking finding, or no pledge possible.
pub(crate) const NOT_POSSIBLE: u8 = 1;
/// Exit code: unreadable input or a wrong call.
pub(crate) const BAD_INPUT: u8 = 2;

/// The first thing that kept an answer from being written.
static NOT_WRITTEN: Mutex<Option<Error>> = Mutex::new(None);

/// Prints a line. Whether that worked is asked at the end, by [`heard`] or [`ended`].
pub(crate) fn say(text: &str) {
    note(writeln!(std::io::stdout().lock(), "{text}"));
}

fn note(written: Result<(), Error>) {
    if let (Err(error), Ok(mut first)) = (written, NOT_WRITTEN.lock()) {
        first.get_or_insert(error);
    }
}

/// Whether everything said so far was written.
pub(crate) fn heard() -> bool {
    note(std::io::stdout().lock().flush());
    NOT_WRITTEN.lock().is_ok_and(|first| first.is_none())
}

/// The exit code of a command whose work ended with `code`: an answer that could not be written is
/// no success. A reader that has gone away wanted no more of it, which is no reason to fail.
pub(crate) fn ended(code: u8) -> u8 {
    if heard() {
        return code;
    }
    let lost = NOT_WRITTEN.lock().ok().and_then(|mut first| first.take());
    match lost {
        Some(error) if error.kind() != ErrorKind::BrokenPipe => {
            warn(&format!(
                "The answer could not be written: {}. [not-written]\n  Write it where there is room, and call it again.",
                plainly(&error)
            ));
            code.max(BAD_INPUT)
        }
        _ => code,
    }
}

/// As [`ended`], for what was printed elsewhere.
pub(crate) fn ended_after(printed: Result<(), Error>, code: u8) -> u8 {
    note(printed);
    ended(code)
}

/// What the system says is wrong, without its number.
pub(crate) fn plainly(error: &Error) -> String {
    let says = error.to_string();
    let number = error.raw_os_error().map(|n| format!(" (os error {n})"));
    let plain = number.and_then(|number| says.strip_suffix(&number).map(str::to_owned));
    let plain = plain.unwrap_or(says);
    let mut letters = plain.chars();
    let first = letters.next().map(|c| c.to_ascii_lowercase());
    first.into_iter().chain(letters).collect()
}

/// Prints a line apart from the answer, on stderr.
pub(crate) fn warn(text: &str) {
    let _ = writeln!(std::io::stderr().lock(), "{text}");
}

/// Prints JSON: one object for one argument, several as an array.
pub(crate) fn say_json(mut values: Vec<Value>) {
    let value = if values.len() == 1 {
        values.remove(0)
    } else {
        Value::Array(values)
    };
    say(&value.to_string());
}

/// An error as the contract has it.
pub(crate) fn error_json(file: Option<&str>, error: &WorkshopError) -> Value {
    let inner = json!({
        "code": error.code(),
        "message": error.to_string(),
        "what_to_do": error.what_to_do(),
    });
    match file {
        Some(file) => json!({ "schema": 1, "file": file, "error": inner }),
        None => json!({ "schema": 1, "error": inner }),
    }
}

/// An error for people.
pub(crate) fn error_text(file: Option<&str>, error: &WorkshopError) -> String {
    // One of a file that can't be opened names it.
    let file = file.filter(|_| !matches!(error, WorkshopError::NoFile { .. }));
    let file = file.map(|file| format!("{file}: ")).unwrap_or_default();
    format!("{file}{error} [{}]\n  {}", error.code(), error.what_to_do())
}

/// A failure that ends the command.
pub(crate) fn failure(error: &anyhow::Error, json: bool) {
    match error.downcast_ref::<WorkshopError>() {
        Some(known) if json => say(&error_json(None, known).to_string()),
        Some(known) => warn(&error_text(None, known)),
        None if json => {
            let inner = json!({
                "code": "wrong-call",
                "message": format!("{error:#}"),
                "what_to_do": "Read `partpledge help` and call it again.",
            });
            say(&json!({ "schema": 1, "error": inner }).to_string());
        }
        None => warn(&format!(
            "{error:#} [wrong-call]\n  Read `partpledge help` and call it again."
        )),
    }
}

/// The exit code of an error about one file.
pub(crate) fn code_of(error: &WorkshopError) -> u8 {
    if error.is_bad_input() {
        BAD_INPUT
    } else {
        NOT_POSSIBLE
    }
}
