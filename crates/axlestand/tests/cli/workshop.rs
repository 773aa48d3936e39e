//! A temporary folder with a small car, and the binary run in it.

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// The binary.
pub(crate) const BINARY: &str = env!("CARGO_BIN_EXE_axlestand");
/// A small car with a castle nut, look-alike bolts, other ways, a reading and a target.
pub(crate) const CORNER: &str = include_str!("../../../../tests/jobs/cars/corner.toml");

/// A small generator of chance with a fixed seed (Knuth's constants for 64 bits).
pub(crate) struct Chance(pub(crate) u64);

impl Chance {
    /// From nought up to, not including, the limit.
    pub(crate) fn below(&mut self, limit: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % limit.max(1)
    }
}

/// What the binary answered.
#[derive(Debug)]
pub(crate) struct Answer {
    pub(crate) code: Option<i32>,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Answer {
    /// The answer as the one JSON document that it has to be.
    pub(crate) fn json(&self) -> Value {
        serde_json::from_str(&self.out).unwrap_or_else(|why| panic!("{why}: {self:?}"))
    }

    /// The ids of the entries that the answer acknowledges.
    pub(crate) fn recorded(&self) -> Vec<String> {
        ids(&self.json()["recorded"])
    }

    pub(crate) fn expect(self, code: i32) -> Self {
        assert_eq!(self.code, Some(code), "{self:?}");
        self
    }
}

impl From<std::process::Output> for Answer {
    fn from(output: std::process::Output) -> Self {
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("answers are UTF-8");
        Self { code: output.status.code(), out: text(output.stdout), err: text(output.stderr) }
    }
}

/// A list of ids in JSON.
pub(crate) fn ids(list: &Value) -> Vec<String> {
    let list = list.as_array().unwrap_or_else(|| panic!("no list: {list}"));
    list.iter().map(|id| id.as_str().expect("ids are text").to_owned()).collect()
}

/// A folder with `car.toml`, and in it the garage `garage`.
pub(crate) struct Workshop {
    folder: tempfile::TempDir,
}

impl Workshop {
    /// A folder with nothing in it.
    pub(crate) fn bare() -> Self {
        Self { folder: tempfile::tempdir().expect("a temporary folder") }
    }

    /// A folder with the car and no garage yet.
    pub(crate) fn empty() -> Self {
        let workshop = Self::bare();
        std::fs::write(workshop.path().join("car.toml"), CORNER).unwrap();
        workshop
    }

    /// A folder with a job on the car.
    pub(crate) fn with_job() -> Self {
        let workshop = Self::empty();
        workshop
            .run(&["job", "start", "car.toml", "--replace", "tie-rod-end", "control-arm", "link"])
            .expect(0);
        workshop
    }

    pub(crate) fn path(&self) -> &Path {
        self.folder.path()
    }

    pub(crate) fn database(&self) -> PathBuf {
        self.path().join("garage/garage.db")
    }

    /// The command, ready to be run; nothing of the tester's environment reaches it.
    pub(crate) fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(BINARY);
        command.current_dir(self.path()).args(arguments).env_clear().env("AXLESTAND_GARAGE", "garage");
        command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
        command
    }

    pub(crate) fn run(&self, arguments: &[&str]) -> Answer {
        self.command(arguments).output().expect("the binary runs").into()
    }

    /// A shell script, in which `$AXLESTAND` is the binary.
    pub(crate) fn shell(&self, script: &str) -> Answer {
        let mut command = Command::new("sh");
        command.current_dir(self.path()).args(["-c", script]).env("AXLESTAND_GARAGE", "garage");
        command.env("AXLESTAND", BINARY).env_remove("NO_COLOR").stdin(Stdio::null());
        command.output().expect("there is a shell").into()
    }

    /// The ids of all entries of the current job, in their order.
    pub(crate) fn log(&self) -> Vec<String> {
        let log = self.run(&["log", "--json"]).expect(0).json();
        log.as_array().expect("a list").iter().map(|line| line["id"].as_str().unwrap().to_owned()).collect()
    }

    /// What SQLite says about the database.
    pub(crate) fn integrity(&self) -> String {
        let connection = rusqlite::Connection::open(self.database()).unwrap();
        connection.query_row("PRAGMA integrity_check", [], |row| row.get(0)).unwrap()
    }
}

/// For a component that a test needs and this machine lacks: on the build server that is a
/// failure, elsewhere it is said aloud.
pub(crate) fn missing(what: &str) {
    assert!(std::env::var_os("CI").is_none(), "the build server lacks {what}");
    eprintln!("NOT TESTED: this machine lacks {what}");
}
