//! `cargo xtask tidy`: the house rules that no compiler checks.

mod layers;
mod source;
mod texts;

use std::path::PathBuf;
use std::process::{Command, ExitCode};

use crate::failure::Failure;
use crate::house::House;
use crate::program::capture;

/// Checks the rules over all files that git knows.
pub(crate) fn run(house: &House, args: &[String]) -> Result<ExitCode, Failure> {
    if let Some(other) = args.first() {
        return Err(Failure::wrong_call(format!("tidy has no option `{other}`")));
    }
    let mut broken = Vec::new();
    for file in tracked(house)? {
        // What is no text (none so far) is not ours to read.
        let Ok(text) = std::fs::read_to_string(house.root.join(&file)) else {
            continue;
        };
        let name = file.display().to_string();
        if file.extension().is_some_and(|end| end == "rs") {
            broken.extend(texts::rust_rules(&name, &text));
            if let Some(note) = texts::long_file_note(&name, &text) {
                eprintln!("note: {note}");
            }
        }
        broken.extend(texts::host_names(&name, &text));
    }
    for needed in [
        "README.md",
        "ARCHITECTURE.md",
        "CHANGELOG.md",
        "docs/glossary.md",
        "LICENSE-MIT",
        "LICENSE-APACHE",
    ] {
        if !house.root.join(needed).is_file() {
            broken.push(format!("{needed} is missing"));
        }
    }
    broken.extend(layers::check(house)?);
    if broken.is_empty() {
        eprintln!("the house is tidy");
        return Ok(ExitCode::SUCCESS);
    }
    let headline = format!("{} house rules are broken", broken.len());
    Err(broken
        .into_iter()
        .fold(Failure::new(headline), Failure::detail))
}

/// Files that git tracks, and new ones it does not ignore.
fn tracked(house: &House) -> Result<Vec<PathBuf>, Failure> {
    let mut git = Command::new("git");
    git.current_dir(&house.root)
        .args(["ls-files", "--cached", "--others", "--exclude-standard"]);
    let list = capture(&mut git)?;
    Ok(list
        .lines()
        .map(PathBuf::from)
        .filter(|file| house.root.join(file).is_file())
        .collect())
}
