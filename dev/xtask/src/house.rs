//! Where things are: the checkout, its target folder, tools, and data outside the checkout.

use std::env;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::compiler;
use crate::failure::Failure;

/// The checkout that this command works on.
#[derive(Debug, Clone)]
pub(crate) struct House {
    /// The folder with the workspace `Cargo.toml`.
    pub(crate) root: PathBuf,
    /// Whether our own crates are linted as they are compiled.
    linted: bool,
}

impl House {
    /// The checkout that cargo was started in.
    pub(crate) fn find() -> Result<Self, Failure> {
        let start = match env::var_os("CARGO_MANIFEST_DIR") {
            Some(dir) => PathBuf::from(dir),
            None => env::current_dir()
                .map_err(|e| Failure::io("cannot find the folder", Path::new("."), &e))?,
        };
        start
            .ancestors()
            .find(|dir| {
                dir.join(".cargo/config.toml").is_file() && dir.join("Cargo.lock").is_file()
            })
            .map(|dir| Self {
                root: dir.to_path_buf(),
                linted: false,
            })
            .ok_or_else(|| {
                Failure::new(format!("no partpledge checkout around {}", start.display()))
                    .advise("run `cargo xtask` inside the checkout")
            })
    }

    /// The same, with lints and docs wherever something of ours is compiled ([`Self::compiling`]).
    pub(crate) fn linted(&self) -> Self {
        Self {
            linted: true,
            ..self.clone()
        }
    }

    /// The folder that cargo builds into.
    pub(crate) fn target(&self) -> PathBuf {
        match env::var_os("CARGO_TARGET_DIR") {
            Some(dir) => self.root.join(dir),
            None => self.root.join("target"),
        }
    }

    /// Where `check` puts the tools it installs, so that nothing outside the checkout changes.
    pub(crate) fn tools(&self) -> PathBuf {
        self.target().join("tools")
    }

    /// The command-line program as `cargo build` leaves it.
    pub(crate) fn partpledge(&self) -> PathBuf {
        self.target().join("debug").join("partpledge")
    }

    /// A cargo command in the checkout, with the cargo that started us.
    pub(crate) fn cargo(&self) -> Command {
        let mut command = Command::new(env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
        command.current_dir(&self.root);
        // Set by the outer `cargo run`; a nested cargo must find its own.
        command
            .env_remove("CARGO_MANIFEST_DIR")
            .env_remove("CARGO_PKG_NAME");
        if in_ci() {
            // Built once and never again: nothing is kept for a next build, nor for a debugger.
            command
                .env("CARGO_INCREMENTAL", "0")
                .env("CARGO_PROFILE_DEV_DEBUG", "none");
        }
        command
    }

    /// A cargo command that compiles our own crates for tests.
    pub(crate) fn compiling(&self) -> Command {
        let mut command = self.cargo();
        if self.linted {
            compiler::stands_in(&mut command, self);
        }
        command
    }

    /// Check values that only the team has: `PARTPLEDGE_REFERENCE`, else the folder beside the
    /// checkout, else nothing.
    pub(crate) fn reference(&self) -> Option<PathBuf> {
        let dir = match env::var_os("PARTPLEDGE_REFERENCE") {
            Some(dir) => PathBuf::from(dir),
            None => self.root.join("../shared/reference"),
        };
        dir.is_dir().then(|| dir.canonicalize().unwrap_or(dir))
    }
}

/// Are we in continuous integration, where missing data is a failure and not a skip?
pub(crate) fn in_ci() -> bool {
    env::var("CI").is_ok_and(|value| value == "true" || value == "1")
}

/// The first program of this name on `PATH`.
pub(crate) fn on_path(name: &str) -> Option<PathBuf> {
    let path = env::var_os("PATH")?;
    env::split_paths(&path)
        .map(|dir| dir.join(name))
        .find(|file| file.is_file())
}
