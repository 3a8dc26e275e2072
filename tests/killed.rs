//! The program killed while it writes, at a small size; `cargo run --release --example kills` goes further.

use crate::kills::Program;
use crate::kills::book::Book;
use crate::kills::crowd::crowd;
use crate::kills::deed::Deed;
use crate::kills::hunt::{Plan, hunt};
use tempfile::TempDir;

fn program() -> Program {
    Program {
        path: env!("CARGO_BIN_EXE_dutyfit").into(),
        first: Vec::new(),
    }
}

#[cfg(unix)]
#[test]
fn a_killed_program_leaves_the_old_state_or_the_new() {
    for deed in Deed::ALL {
        let dir = TempDir::new().unwrap();
        let book = Book::new(dir.path(), 10);
        let plan = Plan {
            kills: 10,
            least: 1,
            seed: 7,
        };
        let tally = hunt(&program(), &book, deed, plan);
        eprintln!("{}: {tally}", deed.words());
    }
}

#[cfg(unix)]
#[test]
fn recorders_at_once_all_land() {
    let dir = TempDir::new().unwrap();
    let book = Book::new(dir.path(), 10);
    let lines = crowd(&program(), &book, 4, 3);
    assert_eq!(lines, 24);
}
