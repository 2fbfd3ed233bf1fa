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
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};
use std::{env, fs};

use crate::failure::Failure;
use crate::house::House;
use crate::program::pass_through;

/// Puts a copy of this program where cargo can call it: cargo makes the program itself anew meanwhile.
///
/// # Errors
/// When the target folder can't be written.
pub(crate) fn stand_by(house: &House) -> Result<(), Failure> {
    let to = copied(house);
    let from = env::current_exe()
        .map_err(|e| Failure::io("cannot find this program", Path::new("xtask"), &e))?;
    fs::create_dir_all(house.tools())
        .and_then(|()| fs::copy(&from, &to))
        .map(|_| ())
        .map_err(|e| Failure::io("cannot copy this program to", &to, &e))
}

fn copied(house: &House) -> PathBuf {
    house.tools().join("compiler-of-check")
}

/// Has cargo call the copy for our own crates, and clippy say no to every warning.
pub(crate) fn stands_in(command: &mut Command, house: &House) {
    // What was compiled under other rules than those of this file is compiled again.
    let mut rules = DefaultHasher::new();
    include_str!("compiler.rs").hash(&mut rules);
    let rules = format!("check_rules=\"{:x}\"", rules.finish());
    // How `cargo clippy -- -D warnings` tells its compiler.
    let told = ["-D", "warnings", "--cfg", &rules].join("__CLIPPY_HACKERY__");
    command
        .env("RUSTC_WORKSPACE_WRAPPER", copied(house))
        .env("CLIPPY_ARGS", told);
}

/// What cargo wants compiled, if it was cargo that called: `xtask /path/to/rustc ARGS`.
pub(crate) fn called(args: &[OsString]) -> Option<Result<ExitCode, Failure>> {
    let (rustc, args) = args.split_first()?;
    let rustc = Path::new(rustc);
    (rustc.file_stem() == Some(OsStr::new("rustc"))).then(|| compile(rustc, args))
}

fn compile(rustc: &Path, args: &[OsString]) -> Result<ExitCode, Failure> {
    let pages = of_pages(args)?;
    let mut lints = Command::new(rustc.with_file_name("clippy-driver"));
    lints.arg(rustc).args(args);
    if !pass_through(&mut lints)?.success() {
        return Ok(ExitCode::FAILURE);
    }
    let Some(pages) = pages else {
        return Ok(ExitCode::SUCCESS);
    };
    let mut rustdoc = Command::new(rustc.with_file_name("rustdoc"));
    let written = pass_through(rustdoc.args(pages))?;
    Ok(if written.success() {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    })
}

/// The compiler's arguments that rustdoc takes too, for a crate that has pages: not for tests, not for the
/// program that readies a build, not for a question.
fn of_pages(args: &[OsString]) -> Result<Option<Vec<OsString>>, Failure> {
    const WITH_VALUE: [&str; 7] = [
        "--crate-name",
        "--crate-type",
        "--edition",
        "--cfg",
        "--check-cfg",
        "--extern",
        "-L",
    ];
    let unknown = |what: &str| Failure::new(format!("check does not know this call: {what}"));
    let mut kept: Vec<OsString> = Vec::new();
    let (mut name, mut out, mut source, mut program) = (None, None, false, false);
    let mut rest = args.iter();
    while let Some(arg) = rest.next() {
        let text = arg.to_str().ok_or_else(|| unknown("not in UTF-8"))?;
        let option = text.split('=').next().unwrap_or(text);
        if text == "--test" || option == "--print" {
            return Ok(None);
        } else if text.starts_with('@') {
            return Err(unknown("arguments in a file"));
        } else if text == "--out-dir" {
            out = rest.next().map(PathBuf::from);
        } else if WITH_VALUE.contains(&option) {
            kept.push(arg.clone());
            if option == text {
                let value = rest.next().ok_or_else(|| unknown(text))?;
                name = name.or((text == "--crate-name").then_some(value));
                program |= text == "--crate-type" && value == "bin";
                kept.push(value.clone());
            }
        } else if Path::new(text).extension() == Some(OsStr::new("rs")) {
            source = true;
            kept.push(arg.clone());
        }
    }
    let Some(name) = name.filter(|name| *name != "build_script_build") else {
        return Ok(None);
    };
    // `target/debug/deps`, and beside `debug` the folder where cargo puts pages too.
    let pages = out.as_deref().and_then(|out| out.ancestors().nth(2));
    let pages = pages.filter(|_| source);
    let pages = pages.ok_or_else(|| unknown(&name.to_string_lossy()))?;
    let mut found: Vec<OsString> = ["-D", "warnings", "-o"].map(OsString::from).into();
    found.push(pages.join("doc").into());
    found.extend(kept);
    if program {
        // As cargo does it: of a program everything is private.
        let private = "rustdoc::private_intra_doc_links";
        found.extend(["--document-private-items", "-A", private].map(OsString::from));
    }
    Ok(Some(found))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn args(line: &str) -> Vec<OsString> {
        line.split(' ').map(OsString::from).collect()
    }

    #[test]
    fn pages_are_written_with_the_crates_that_the_compiler_was_told() {
        let told = |kind: &str| {
            args(&format!(
                "--crate-name partpledge_units --edition=2024 crates/units/src/lib.rs --error-format=json \
                 --crate-type {kind} --emit=dep-info,metadata,link -C opt-level=3 --cfg feature=\"a\" \
                 -C metadata=77 --out-dir /w/target/debug/deps -L dependency=/w/target/debug/deps \
                 --extern serde=/w/target/debug/deps/libserde-1.rmeta",
            ))
        };
        let expected = |kind: &str, more: &str| {
            args(&format!(
                "-D warnings -o /w/target/doc --crate-name partpledge_units --edition=2024 \
                 crates/units/src/lib.rs --crate-type {kind} --cfg feature=\"a\" \
                 -L dependency=/w/target/debug/deps --extern serde=/w/target/debug/deps/libserde-1.rmeta{more}",
            ))
        };
        let of_lib = of_pages(&told("lib")).unwrap();
        assert_eq!(of_lib, Some(expected("lib", "")));
        let private = " --document-private-items -A rustdoc::private_intra_doc_links";
        let of_bin = of_pages(&told("bin")).unwrap();
        assert_eq!(of_bin, Some(expected("bin", private)));
    }

    #[test]
    fn tests_questions_and_what_readies_a_build_have_no_pages() {
        for line in [
            "--crate-name x src/lib.rs --test --out-dir /w/target/debug/deps",
            "-vV",
            "- --crate-name ___ --print=file-names",
            "--crate-name build_script_build build.rs --crate-type bin --out-dir /w/target/debug/build/x",
        ] {
            assert_eq!(of_pages(&args(line)).unwrap(), None, "{line}");
        }
    }

    #[test]
    fn no_crate_gets_by_without_its_pages() {
        for line in [
            "@/tmp/args",
            "--crate-name x src/lib.rs",
            "--crate-name x --out-dir /w/a/b",
        ] {
            assert!(of_pages(&args(line)).is_err(), "{line}");
        }
    }

    #[test]
    fn who_calls_is_seen_by_the_first_word() {
        assert!(called(&args("check")).is_none());
        assert!(called(&[]).is_none());
    }
}
