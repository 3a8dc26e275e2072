//! Programs killed while they write, and many that write at once.
//!
//! A book of readings is kept by the program itself, started as a process and
//! killed at random moments. After each kill the next start must find the old
//! state or the new one, whole; and at the end every line once.
#![allow(dead_code, reason = "shared by the tests and the long run")]

pub(crate) mod book;
pub(crate) mod crowd;
pub(crate) mod deed;
mod dice;
pub(crate) mod hunt;

use std::path::PathBuf;
use std::process::{Child, Command, Stdio};

/// How the program is started.
#[derive(Clone, Debug)]
pub(crate) struct Program {
    /// The executable.
    pub(crate) path: PathBuf,
    /// What stands before the command.
    pub(crate) first: Vec<String>,
}

impl Program {
    /// Starts it on a command; what it says comes through a pipe.
    pub(crate) fn start(&self, args: &[String]) -> Child {
        Command::new(&self.path)
            .args(&self.first)
            .args(args)
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap_or_else(|e| panic!("{} does not start: {e}", self.path.display()))
    }

    /// Runs it to its end, which must be a good one.
    pub(crate) fn finish(&self, args: &[String]) {
        let done = self.start(args).wait_with_output().expect("an end");
        assert!(
            done.status.success(),
            "{args:?} ended with {}: {}",
            done.status,
            String::from_utf8_lossy(&done.stderr)
        );
    }
}
