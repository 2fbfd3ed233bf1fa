//! Answers and failures on the terminal.

use std::io::Write;

use partpledge_workshop::WorkshopError;
use serde_json::{Value, json};

/// Exit code: fine.
pub(crate) const FINE: u8 = 0;
/// Exit code: a blocking finding, or no pledge possible.
pub(crate) const NOT_POSSIBLE: u8 = 1;
/// Exit code: unreadable input or a wrong call.
pub(crate) const BAD_INPUT: u8 = 2;

/// Prints a line; a reader that has gone away is no reason to fail.
pub(crate) fn say(text: &str) {
    let _ = writeln!(std::io::stdout().lock(), "{text}");
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
    let file = file.map(|file| format!("{file}: ")).unwrap_or_default();
    format!("{file}{error} [{}]\n  {}", error.code(), error.what_to_do())
}

/// A failure that ends the command.
pub(crate) fn failure(error: &anyhow::Error, json: bool) {
    match error.downcast_ref::<WorkshopError>() {
        Some(known) if json => say(&error_json(None, known).to_string()),
        Some(known) => {
            let _ = writeln!(std::io::stderr().lock(), "{}", error_text(None, known));
        }
        None if json => {
            let inner = json!({
                "code": "wrong-call",
                "message": format!("{error:#}"),
                "what_to_do": "Read `partpledge help` and call it again.",
            });
            say(&json!({ "schema": 1, "error": inner }).to_string());
        }
        None => {
            let _ = writeln!(
                std::io::stderr().lock(),
                "{error:#} [wrong-call]\n  Read `partpledge help` and call it again."
            );
        }
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
