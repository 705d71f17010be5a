//! The built program run in a folder of its own.

// Each test file uses a part of this.
#![allow(dead_code)]

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::atomic::{AtomicUsize, Ordering};

/// A fresh folder, removed with everything in it at the end of a test that went well.
pub struct Folder {
    path: PathBuf,
}

/// What a run came to.
pub struct Run {
    pub code: Option<i32>,
    pub out: String,
    pub err: String,
}

static COUNT: AtomicUsize = AtomicUsize::new(0);

impl Folder {
    pub fn new(name: &str) -> Self {
        let number = COUNT.fetch_add(1, Ordering::Relaxed);
        let path =
            Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}-{}-{number}", std::process::id()));
        if path.exists() {
            std::fs::remove_dir_all(&path).unwrap();
        }
        std::fs::create_dir_all(&path).unwrap();
        Self { path }
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.path.join(name)
    }

    pub fn write(&self, name: &str, content: impl AsRef<[u8]>) -> PathBuf {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(&path, content).unwrap();
        path
    }

    pub fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap()
    }

    /// Names of everything in the folder, in order.
    pub fn names(&self) -> Vec<String> {
        let entries = std::fs::read_dir(&self.path).unwrap();
        let mut names: Vec<String> = entries.map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    /// The program, to be run in this folder with nothing of the surroundings that decides how it looks.
    pub fn program(&self) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_plica"));
        command.current_dir(&self.path).stdin(Stdio::null());
        for name in ["NO_COLOR", "CLICOLOR_FORCE", "COLUMNS", "TERM"] {
            command.env_remove(name);
        }
        command
    }

    pub fn run<'a>(&self, arguments: impl IntoIterator<Item = &'a str>) -> Run {
        Run::of(self.program().args(arguments).output().unwrap())
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        if !std::thread::panicking() {
            let _ = std::fs::remove_dir_all(&self.path);
        }
    }
}

impl Run {
    pub fn of(output: Output) -> Self {
        let run = Self {
            code: output.status.code(),
            out: String::from_utf8(output.stdout).expect("output in UTF-8"),
            err: String::from_utf8(output.stderr).expect("messages in UTF-8"),
        };
        assert!(!run.err.contains("panicked at"), "the program panicked:\n{}", run.err);
        run
    }

    #[track_caller]
    pub fn comes_to(self, code: i32) -> Self {
        assert_eq!(self.code, Some(code), "output:\n{}\nmessages:\n{}", self.out, self.err);
        self
    }

    /// Nothing in the output that a terminal would act on.
    #[track_caller]
    pub fn harmless(self) -> Self {
        for text in [&self.out, &self.err] {
            let bad = text.chars().find(|c| c.is_control() && *c != '\n');
            assert_eq!(bad, None, "{text:?}");
        }
        self
    }
}
