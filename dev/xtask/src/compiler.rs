//! One pass over our own crates: code, lints and the pages of the docs.
//!
//! `check` names this program to cargo as the one to call for a crate of the workspace. It calls clippy's
//! compiler, which lints and then makes code as rustc does, and rustdoc with the same names of crates. By
//! themselves lints and docs would have cargo go through all crates of other people once more, which takes
//! four of CI's minutes.
//!
//! Clippy looks at what was written and leaves the first of the compiler's own optimisations out
//! (`mir-opt-level`), so what `check` tests is a little slower than what `demo` builds.

use std::ffi::{OsStr, OsString};
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};

use crate::failure::Failure;
use crate::house::House;
use crate::program::pass_through;

/// Has cargo call this program for our own crates, and clippy say no to every warning.
pub(crate) fn stands_in(command: &mut Command, house: &House) {
    command
        // Not this process' file: cargo replaces that one while we run.
        .env(
            "RUSTC_WORKSPACE_WRAPPER",
            house.target().join("debug/xtask"),
        )
        // How `cargo clippy -- -D warnings` tells its compiler.
        .env("CLIPPY_ARGS", "-D__CLIPPY_HACKERY__warnings");
}

/// What cargo wants compiled, if it was cargo that called: `xtask /path/to/rustc ARGS`.
pub(crate) fn called(args: &[OsString]) -> Option<Result<ExitCode, Failure>> {
    let (rustc, args) = args.split_first()?;
    let rustc = Path::new(rustc);
    (rustc.file_stem() == Some(OsStr::new("rustc"))).then(|| compile(rustc, args))
}

fn compile(rustc: &Path, args: &[OsString]) -> Result<ExitCode, Failure> {
    let mut lints = Command::new(rustc.with_file_name("clippy-driver"));
    lints.arg(rustc).args(args);
    let linted = pass_through(&mut lints)?;
    if !linted.success() {
        return Ok(ExitCode::FAILURE);
    }
    let Some(args) = of_pages(args) else {
        return Ok(ExitCode::SUCCESS);
    };
    let mut pages = Command::new(rustc.with_file_name("rustdoc"));
    let written = pass_through(pages.args(args))?;
    Ok(if written.success() {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    })
}

/// The compiler's arguments that rustdoc takes too, for a crate that has pages: not for tests, not for a question.
fn of_pages(args: &[OsString]) -> Option<Vec<OsString>> {
    const WITH_VALUE: [&str; 7] = [
        "--crate-name",
        "--crate-type",
        "--edition",
        "--cfg",
        "--check-cfg",
        "--extern",
        "-L",
    ];
    let mut kept: Vec<OsString> = ["-D", "warnings", "-o"].map(OsString::from).into();
    let mut out = None;
    let mut source = false;
    let mut rest = args.iter();
    while let Some(arg) = rest.next() {
        let text = arg.to_str()?;
        let name = text.split('=').next().unwrap_or(text);
        if text == "--test" {
            return None;
        } else if text == "--out-dir" {
            out = rest.next().map(PathBuf::from);
        } else if WITH_VALUE.contains(&name) {
            kept.push(arg.clone());
            if name == text {
                kept.push(rest.next()?.clone());
            }
        } else if Path::new(text).extension() == Some(OsStr::new("rs")) {
            source = true;
            kept.push(arg.clone());
        }
    }
    // `target/debug/deps`, and beside `debug` the folder where cargo puts pages too.
    let pages = out?.ancestors().nth(2)?.join("doc");
    kept.insert(3, pages.into());
    if kept.iter().any(|arg| arg == "bin") {
        // As cargo does it: of a program everything is private.
        kept.extend(
            [
                "--document-private-items",
                "-A",
                "rustdoc::private_intra_doc_links",
            ]
            .map(OsString::from),
        );
    }
    source.then_some(kept)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn args(line: &str) -> Vec<OsString> {
        line.split(' ').map(OsString::from).collect()
    }

    #[test]
    fn pages_are_written_with_the_crates_that_the_compiler_was_told() {
        let told = args(
            "--crate-name partpledge_units --edition=2024 crates/units/src/lib.rs --error-format=json \
             --crate-type lib --emit=dep-info,metadata,link -C opt-level=3 --cfg feature=\"a\" \
             -C metadata=77 --out-dir /w/target/debug/deps -L dependency=/w/target/debug/deps \
             --extern serde=/w/target/debug/deps/libserde-1.rmeta",
        );
        let expected = args(
            "-D warnings -o /w/target/doc --crate-name partpledge_units --edition=2024 \
             crates/units/src/lib.rs --crate-type lib --cfg feature=\"a\" \
             -L dependency=/w/target/debug/deps --extern serde=/w/target/debug/deps/libserde-1.rmeta",
        );
        assert_eq!(of_pages(&told), Some(expected));
    }

    #[test]
    fn tests_and_questions_have_no_pages() {
        let test = "--crate-name x src/lib.rs --test --out-dir /w/target/debug/deps";
        assert_eq!(of_pages(&args(test)), None);
        assert_eq!(of_pages(&args("-vV")), None);
        let names = "- --crate-name ___ --print=file-names";
        assert_eq!(of_pages(&args(names)), None);
    }

    #[test]
    fn who_calls_is_seen_by_the_first_word() {
        assert!(called(&args("check")).is_none());
        assert!(called(&[]).is_none());
    }
}
