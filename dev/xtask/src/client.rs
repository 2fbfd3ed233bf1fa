//! The pages' scripts and fonts: `npm ci` and `npm run build` when something changed.

use std::collections::hash_map::DefaultHasher;
use std::fs;
use std::hash::Hasher;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::failure::Failure;
use crate::house::{House, on_path};
use crate::program::{capture, must_pass, tail};

/// Oldest Node that the client's tools run on: major, minor.
const NODE: (u32, u32) = (20, 19);

/// Builds `crates/web/client/dist` unless it is there and its sources are as they were.
///
/// # Errors
/// When Node or npm is missing or old, a package can't be had, or the sources are wrong.
pub(crate) fn build(house: &House) -> Result<(), Failure> {
    let dir = house.root.join("crates/web/client");
    node()?;
    let (stamp, sources) = (dir.join("dist/.built-from"), digest(&dir)?);
    if fs::read_to_string(&stamp).is_ok_and(|built| built == sources) {
        eprintln!("the client is as it was");
        return Ok(());
    }
    install(&dir)?;
    let mut command = npm(&dir);
    command.args(["run", "--silent", "build"]);
    let said = capture(&mut command).map_err(|failure| Failure {
        headline: "the client does not build".to_owned(),
        ..failure.advise("`npm run build` in crates/web/client says more")
    })?;
    for line in tail(&said, 8) {
        eprintln!("{line}");
    }
    fs::write(&stamp, sources).map_err(|e| Failure::io("cannot write", &stamp, &e))
}

/// For the demo, which goes on without script and web fonts when they can't be built.
pub(crate) fn build_or_warn(house: &House) {
    if let Err(failure) = build(house) {
        eprintln!("{failure}");
        eprintln!("going on without: every page works without script, in the system's fonts");
    }
}

/// Installs what a `package-lock.json` names, if that has not been done yet.
pub(crate) fn install(dir: &Path) -> Result<(), Failure> {
    let (lock, stamp) = (
        dir.join("package-lock.json"),
        dir.join("node_modules/.installed-from"),
    );
    let wanted = fs::read(&lock).map_err(|e| Failure::io("cannot read", &lock, &e))?;
    if fs::read(&stamp).is_ok_and(|installed| installed == wanted) {
        return Ok(());
    }
    eprintln!("installing npm packages in {}", dir.display());
    must_pass(
        npm(dir).args(["ci", "--no-audit", "--no-fund", "--loglevel=error"]),
        "the client's packages could not be installed",
    )?;
    fs::write(&stamp, wanted).map_err(|e| Failure::io("cannot write", &stamp, &e))
}

/// An npm command in a folder.
pub(crate) fn npm(dir: &Path) -> Command {
    let mut command = Command::new("npm");
    command.current_dir(dir);
    command
}

/// Insists on npm and a Node that is new enough.
pub(crate) fn node() -> Result<(), Failure> {
    let wanted = format!("install Node {}.{} or newer with npm", NODE.0, NODE.1);
    for name in ["node", "npm"] {
        if on_path(name).is_none() {
            let headline = format!("`{name}` is missing: the pages' scripts can't be built");
            return Err(Failure::new(headline).advise(wanted));
        }
    }
    let said = capture(Command::new("node").arg("--version"))?;
    match version(&said) {
        Some(found) if found >= NODE => Ok(()),
        _ => Err(Failure::new(format!("Node is {}", said.trim())).advise(wanted)),
    }
}

/// Major and minor of `v20.19.1`.
fn version(said: &str) -> Option<(u32, u32)> {
    let mut numbers = said.trim().strip_prefix('v')?.split('.');
    Some((numbers.next()?.parse().ok()?, numbers.next()?.parse().ok()?))
}

/// Names and contents of everything the client is built from. Only compared with what this same
/// program wrote, so the hash need not be the same in another release of Rust.
fn digest(dir: &Path) -> Result<String, Failure> {
    let mut files: Vec<PathBuf> = [
        "package.json",
        "package-lock.json",
        "tsconfig.json",
        "tsconfig.worker.json",
        "vite.config.js",
    ]
    .map(|name| dir.join(name))
    .into();
    walk(&dir.join("src"), &mut files)?;
    files.sort();
    let mut hash = DefaultHasher::new();
    for file in files {
        let bytes = fs::read(&file).map_err(|e| Failure::io("cannot read", &file, &e))?;
        hash.write(file.to_string_lossy().as_bytes());
        hash.write_usize(bytes.len());
        hash.write(&bytes);
    }
    Ok(format!("{:016x}\n", hash.finish()))
}

fn walk(dir: &Path, files: &mut Vec<PathBuf>) -> Result<(), Failure> {
    let unreadable = |e: &std::io::Error| Failure::io("cannot read", dir, e);
    for entry in fs::read_dir(dir).map_err(|e| unreadable(&e))? {
        let path = entry.map_err(|e| unreadable(&e))?.path();
        if path.is_dir() {
            walk(&path, files)?;
        } else {
            files.push(path);
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn node_says_its_version_with_a_v() {
        assert_eq!(version("v20.20.2\n"), Some((20, 20)));
        assert_eq!(version("20.20.2"), None);
        assert_eq!(version("v20"), None);
    }
}
