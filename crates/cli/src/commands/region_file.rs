//! `region-file`: the region as a file, or a sample to make one's own region from; and what the commands
//! about regions say when they can't.

use std::fs::OpenOptions;
use std::io::Write as _;
use std::path::Path;

use partpledge_catalogue::region::{Wrong, sample};
use partpledge_units::local::rfc3339_utc;
use partpledge_workshop::{Session, WorkshopError};
use serde_json::json;

use crate::args::Args;
use crate::{clock, output};

use super::{look, next, own, read_bytes, typed};

/// Largest region file, bytes: one has some tens of kB.
const MOST_BYTES: usize = 1024 * 1024;

pub(crate) async fn run(
    args: &Args,
    is_sample: bool,
    out: Option<&Path>,
    json: bool,
) -> anyhow::Result<u8> {
    let text = if is_sample {
        sample(today(args)?.as_str())
    } else if Session::is_in(&args.data).await? {
        look(args).await?.document().await?.unwrap_or_default()
    } else {
        return Ok(no_region(args, json));
    };
    if let Some(path) = out
        && let Err(error) = write_new(path, &text)
    {
        let why = output::plainly(&error);
        let message = format!("{} can't be written: {why}.", path.display());
        let what_to_do = "A file that is there already stays. Give another name.";
        let about = ("not-written", message.as_str(), what_to_do);
        return Ok(refused(json, None, about));
    }
    match out.map(|path| path.display().to_string()) {
        to if json => output::say_json(vec![json!({
            "schema": 1, "sample": is_sample, "out": to, "document": text,
        })]),
        None => output::say(text.trim_end()),
        Some(to) if is_sample => output::say(&format!(
            "{to} is a sample. Put your own schools, teams and printers in, then: {}",
            next(args, &format!("begin {}", typed(&to)))
        )),
        Some(to) => output::say(&format!(
            "{to} is the region as it is. Change it, then: {}",
            next(args, &format!("change {}", typed(&to)))
        )),
    }
    Ok(output::FINE)
}

/// The present day, in UTC.
pub(super) fn today(args: &Args) -> Result<String, WorkshopError> {
    let now = rfc3339_utc(clock::now(args.at.as_deref())?);
    Ok(now.chars().take(10).collect())
}

fn write_new(path: &Path, text: &str) -> std::io::Result<()> {
    let mut file = OpenOptions::new().write(true).create_new(true).open(path)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()
}

/// The text of a region file; the exit code when it is none.
pub(super) fn read(path: &Path, json: bool) -> Result<Result<String, u8>, WorkshopError> {
    let bytes = read_bytes(path)?;
    let short = bytes.len() <= MOST_BYTES;
    let text = short.then(|| String::from_utf8(bytes).ok()).flatten();
    Ok(text.ok_or_else(|| {
        let file = path.display().to_string();
        let message = "It is no text in UTF-8, or larger than 1 MB.";
        let what_to_do = "Save the region file as plain text in UTF-8.";
        refused(json, Some(&file), ("region-file", message, what_to_do))
    }))
}

/// Says all that is wrong with a region file, each with its line; the exit code.
pub(super) fn wrong(path: &Path, wrong: &[Wrong], json: bool) -> u8 {
    let file = path.display().to_string();
    let many = match wrong.len() {
        1 => "One thing is wrong".to_owned(),
        n => format!("{n} things are wrong"),
    };
    if json {
        let line = |one: &Wrong| json!({ "line": one.line, "field": one.field, "what_to_do": one.what_to_do });
        let error = json!({
            "code": "region-file",
            "message": format!("{many}; nothing was written."),
            "what_to_do": "Mend the lines named, and call it again.",
            "lines": wrong.iter().map(line).collect::<Vec<_>>(),
        });
        output::say_json(vec![json!({ "schema": 1, "file": file, "error": error })]);
        return output::BAD_INPUT;
    }
    for one in wrong {
        let field = match one.field.as_str() {
            "" => String::new(),
            field => format!(" {field}:"),
        };
        output::warn(&format!("{file}:{}:{field} {}", one.line, one.what_to_do));
    }
    output::warn(&format!(
        "{many}; nothing was written. [region-file]\n  Mend the lines named, and call it again."
    ));
    output::BAD_INPUT
}

/// That there is no region in the folder; the exit code.
pub(super) fn no_region(args: &Args, json: bool) -> u8 {
    let message = format!("There is no region in {} yet.", args.data.display());
    let (own, demo) = (own(args), next(args, "demo"));
    let what_to_do = format!("{own} To look around first: `{demo}`.");
    refused(json, None, ("no-region", &message, &what_to_do))
}

/// Says that a call was wrong, as the contract has it; the exit code.
pub(super) fn refused(
    json: bool,
    file: Option<&str>,
    (code, message, what_to_do): (&str, &str, &str),
) -> u8 {
    if json {
        let error = json!({ "code": code, "message": message, "what_to_do": what_to_do });
        let mut answer = json!({ "schema": 1, "error": error });
        if let Some(file) = file {
            answer["file"] = file.into();
        }
        output::say_json(vec![answer]);
    } else {
        let file = file.map(|file| format!("{file}: ")).unwrap_or_default();
        output::warn(&format!("{file}{message} [{code}]\n  {what_to_do}"));
    }
    output::BAD_INPUT
}
