//! The calibration tables: whole catalogs simulated from a known truth, read, judged and compared.
//!
//! `cargo run --release --example calibration` prints them as Markdown.
//! `--catalogs N` sets how many catalogs each seed and world has (450: at least 5 000 intervals a
//! cell over the three seeds), `--seed S` (again and again for more) another seed than 1, 2 and 3,
//! `--draws N` the draws of a judgement, `--only exact|bounds|promise|power|wrong` one table.

#![expect(
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "an example reads its arguments and prints a table"
)]

mod report;
#[path = "../../tests/simulate/mod.rs"]
mod simulate;
mod worlds;

use report::{Plan, bounds, exact, powers, promise, wrongs};
use simulate::SEEDS;
use std::process::ExitCode;

/// Catalogs for each seed and world where nothing else is said.
const CATALOGS: usize = 450;
/// Draws of a judgement: a quarter of the program's, which makes `fit` a little harder to reach.
const DRAWS: usize = 4_096;

/// Makes one table.
type Table = fn(&Plan) -> String;

fn main() -> ExitCode {
    let mut plan = Plan {
        seeds: Vec::new(),
        catalogs: CATALOGS,
        draws: DRAWS,
    };
    let mut only = None;
    let mut args = std::env::args().skip(1);
    while let Some(option) = args.next() {
        let value = args.next().unwrap_or_default();
        let known = match (option.as_str(), value.parse::<u64>()) {
            ("--catalogs", Ok(n)) => usize::try_from(n).map(|n| plan.catalogs = n).is_ok(),
            ("--draws", Ok(n)) => usize::try_from(n).map(|n| plan.draws = n).is_ok(),
            ("--seed", Ok(n)) => {
                plan.seeds.push(n);
                true
            }
            ("--only", _) => {
                only = Some(value.clone());
                true
            }
            _ => false,
        };
        if !known {
            eprintln!(
                "`{option} {value}` is not known: --catalogs N, --seed S, --draws N, --only TABLE"
            );
            return ExitCode::from(2);
        }
    }
    if plan.seeds.is_empty() {
        plan.seeds = SEEDS.to_vec();
    }
    let tables: [(&str, &str, Table); 5] = [
        ("exact", "Coverage under the model", exact),
        ("bounds", "Coverage where readings are bounds", bounds),
        ("promise", "The promise of `fit` under the model", promise),
        ("power", "Power", powers),
        ("wrong", "Where the model is wrong", wrongs),
    ];
    println!(
        "{} catalogs for each of the seeds {:?} and each world.\n",
        plan.catalogs, plan.seeds
    );
    for (name, title, table) in tables {
        if only.as_deref().is_none_or(|o| o == name) {
            println!("## {title}\n\n{}", table(&plan));
        }
    }
    ExitCode::SUCCESS
}
