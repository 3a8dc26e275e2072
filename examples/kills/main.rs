//! The program killed while it writes, at full size, and many that record at once.
//!
//! `cargo run --release --example kills` kills it until 500 kills are counted, at least 100 of which
//! left the old state and 100 the new, then lets 10 recorders record 50 sheets each. `--kills N`
//! sets the kills, `--least N` the least of either state, `--materials N` the size of the book (200),
//! `--recorders N` and `--records N` the crowd, `--seed N` the moments. Any state that is not whole, and
//! any line that is lost or doubled, ends it with a panic.

#![expect(
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr,
    clippy::expect_used,
    clippy::unwrap_used,
    clippy::panic,
    reason = "an example reads its arguments and prints counts; a state that is not whole stops it"
)]

#[path = "../../tests/kills/mod.rs"]
mod kills;

use kills::Program;
use kills::book::Book;
use kills::crowd::crowd;
use kills::deed::Deed;
use kills::hunt::{Plan, hunt};
use std::process::ExitCode;
use std::time::Instant;

/// Before a command: this process is the program.
const AS_PROGRAM: &str = "--as-program";

fn main() -> ExitCode {
    let mut args: Vec<String> = std::env::args().skip(1).collect();
    if args.first().is_some_and(|a| a == AS_PROGRAM) {
        args[0] = "dutyfit".to_owned();
        let (mut out, mut err) = (std::io::stdout(), std::io::stderr());
        return ExitCode::from(dutyfit::cli::run(args, &mut out, &mut err));
    }
    let (mut kills, mut least, mut materials) = (500, 100, 200);
    let (mut recorders, mut records, mut seed) = (10, 50, 1);
    for pair in args.chunks(2) {
        let value = pair.get(1).and_then(|v| v.parse::<usize>().ok());
        let slot = match pair[0].as_str() {
            "--kills" => &mut kills,
            "--least" => &mut least,
            "--materials" => &mut materials,
            "--recorders" => &mut recorders,
            "--records" => &mut records,
            "--seed" => &mut seed,
            _ => &mut 0,
        };
        match (value, *slot) {
            (Some(value), was) if was > 0 => *slot = value,
            _ => {
                eprintln!(
                    "{pair:?} is not known: --kills, --least, --materials, --recorders, --records, --seed, each with a number"
                );
                return ExitCode::from(2);
            }
        }
    }
    let program = Program {
        path: std::env::current_exe().expect("a path"),
        first: vec![AS_PROGRAM.to_owned()],
    };
    let each = kills.div_ceil(Deed::ALL.len());
    let least = least.div_ceil(Deed::ALL.len());
    let (mut old, mut new, mut noted) = (0, 0, 0);
    for deed in Deed::ALL {
        let dir = tempfile::TempDir::new().expect("a folder");
        let book = Book::new(dir.path(), materials);
        let plan = Plan {
            kills: each,
            least,
            seed: seed as u64,
        };
        let began = Instant::now();
        let tally = hunt(&program, &book, deed, plan);
        println!(
            "{}, {materials} materials, {:.0} ms undisturbed: {tally} ({:.0} s)",
            deed.words(),
            tally.took.as_secs_f64() * 1000.0,
            began.elapsed().as_secs_f64()
        );
        old += tally.old;
        new += tally.new;
        noted += tally.noted;
    }
    println!(
        "all {} kills: {old} left the old state, {new} the new, {noted} a note; no catalog unreadable, no line lost or doubled",
        old + new
    );
    let dir = tempfile::TempDir::new().expect("a folder");
    let book = Book::new(dir.path(), materials);
    let began = Instant::now();
    let lines = crowd(&program, &book, recorders, records);
    println!(
        "{recorders} recorders at once, {records} sheets each: {lines} lines, each there once ({:.0} s)",
        began.elapsed().as_secs_f64()
    );
    ExitCode::SUCCESS
}
