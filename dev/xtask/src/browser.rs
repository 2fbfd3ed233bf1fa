//! The built program in a real browser: `cargo xtask shots`, and the browser tests of `check`.

pub(crate) mod server;

use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};

use crate::check::tools::{apt_install, is_root};
use crate::failure::Failure;
use crate::house::{House, in_ci, on_path};
use crate::program::must_pass;
use crate::{client, programs};
use server::Served;

/// Debian's name for the browser, and where it lies.
const BROWSER: &str = "chromium";
/// Programs that turn a printed label into a picture and read its code, with Debian's packages.
const READERS: [(&str, &str); 2] = [("pdftoppm", "poppler-utils"), ("zbarimg", "zbar-tools")];

/// Screenshots of every page at three sizes and with large text, and the printed sheets.
pub(crate) fn shots(house: &House, args: &[String]) -> Result<ExitCode, Failure> {
    let out =
        match args {
            [] => house.root.join("out/shots"),
            // The scripts run in another folder than the person who named this one.
            [option, dir] if option == "--out" => std::path::absolute(dir)
                .map_err(|e| Failure::io("cannot find", Path::new(dir), &e))?,
            _ => {
                return Err(Failure::wrong_call("shots has one option")
                    .advise("cargo xtask shots [--out DIR]"));
            }
        };
    let browser = browser()?;
    let dir = prepare(house)?;
    programs::build(house)?;
    let served = Served::start(house)?;
    let mut command = script(&dir, "shots", &browser);
    command
        .env("PARTPLEDGE_URL", served.url())
        .env("PARTPLEDGE_SHOTS", &out);
    must_pass(&mut command, "the screenshots were not all taken")?;
    eprintln!("screenshots are in {}", out.display());
    Ok(ExitCode::SUCCESS)
}

/// `cargo xtask browser`: the browser tests by themselves.
pub(crate) fn run(house: &House, args: &[String]) -> Result<ExitCode, Failure> {
    if let Some(other) = args.first() {
        let headline = format!("browser has no option `{other}`");
        return Err(Failure::wrong_call(headline));
    }
    check(house)?;
    Ok(ExitCode::SUCCESS)
}

/// The browser tests: each page, and each script of the client on pages of its own.
pub(crate) fn check(house: &House) -> Result<(), Failure> {
    let browser = match browser() {
        Ok(found) => found,
        Err(failure) if !in_ci() => {
            eprintln!("SKIPPED: {}", failure.headline);
            return Ok(());
        }
        Err(failure) => return Err(failure),
    };
    readers()?;
    let dir = prepare(house)?;
    must_pass(
        client::npm(&dir).args(["run", "--silent", "types"]),
        "the browser tests have wrong types",
    )?;
    programs::build(house)?;
    let served = Served::start(house)?;
    let mut command = script(&dir, "test", &browser);
    command
        .env("PARTPLEDGE_URL", served.url())
        .env("PARTPLEDGE_BIN", house.partpledge());
    must_pass(&mut command, "a browser test failed")
}

/// The client as it is now, and the packages of the tests.
fn prepare(house: &House) -> Result<PathBuf, Failure> {
    client::build(house)?;
    let dir = house.root.join("dev/browser");
    client::install(&dir)?;
    Ok(dir)
}

fn script(dir: &Path, name: &str, browser: &Path) -> Command {
    let mut command = client::npm(dir);
    command
        .args(["run", "--silent", name])
        .env("PARTPLEDGE_BROWSER", browser);
    command
}

/// What reads printed labels back; installed as root when it is missing. The tests say what they skip.
fn readers() -> Result<(), Failure> {
    for (program, package) in READERS {
        if on_path(program).is_none() && is_root() && on_path("apt-get").is_some() {
            eprintln!("installing {package}");
            apt_install(package)?;
        }
    }
    Ok(())
}

/// The browser; as root it is installed when it is missing.
fn browser() -> Result<PathBuf, Failure> {
    if let Some(found) = on_path(BROWSER) {
        return Ok(found);
    }
    if is_root() && on_path("apt-get").is_some() {
        eprintln!("installing {BROWSER}");
        apt_install(BROWSER)?;
    }
    on_path(BROWSER).ok_or_else(|| {
        Failure::new(format!("there is no `{BROWSER}` to look at the pages with"))
            .advise(format!("install Debian's `{BROWSER}`"))
    })
}
