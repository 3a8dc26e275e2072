//! Speed of one belief: exact readings, bounds among them, and bounds alone, in a catalog of 200 materials.
//!
//! Each belief is asked for anew (nothing of a material's own belief is kept). `cargo bench --bench belief`
//! prints the table: microseconds a belief, the median of many rounds, and what a quantile of it costs.

#![expect(
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "a bench reads the clock and prints a table"
)]
#![allow(
    missing_docs,
    dead_code,
    clippy::expect_used,
    clippy::panic,
    reason = "the workshop is shared with the tests"
)]

#[path = "../tests/runs.rs"]
mod runs;

use dutyfit::belief::Evidence;
use dutyfit::policy::Policy;
use dutyfit::property::Ask;
use dutyfit::quantity::Reading;
use runs::{Bench, evidence};
use std::hint::black_box;
use std::time::Instant;

const PROPERTY: &str = "softening-onset";
const MATERIALS: usize = 200;
const ROUNDS: usize = 201;

/// A catalog in which material `a` has these readings by print, and all others three of one print.
fn catalog(prints: &[&[Reading]]) -> Evidence {
    let names: Vec<&'static str> = (0..MATERIALS)
        .map(|i| &*Box::leak(format!("other-{i}").into_boxed_str()))
        .collect();
    let mut benches: Vec<Bench> = prints
        .iter()
        .enumerate()
        .map(|(i, r)| Bench::new("a", PROPERTY, r).print(format!("p-{i}")))
        .collect();
    for (i, n) in names.iter().enumerate() {
        let y = 60.0 + 0.1 * i as f64;
        benches.push(Bench::exact(n, PROPERTY, &[y, y + 2.0, y - 1.0]));
    }
    let materials: Vec<(&str, &str)> = std::iter::once("a")
        .chain(names)
        .map(|n| (n, "petg"))
        .collect();
    evidence(&materials, &benches, &[], Policy::default())
}

/// Median microseconds of many calls.
fn micros(mut call: impl FnMut()) -> f64 {
    let mut times: Vec<f64> = (0..ROUNDS)
        .map(|_| {
            let start = Instant::now();
            for _ in 0..10 {
                call();
            }
            start.elapsed().as_secs_f64() * 1e5
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[ROUNDS / 2]
}

fn main() {
    let e = Reading::Exact;
    let g = Reading::AtLeast;
    let l = Reading::AtMost;
    let rows: Vec<(&str, Evidence)> = vec![
        ("one exact reading", catalog(&[&[e(70.0)]])),
        (
            "three exact of one print",
            catalog(&[&[e(70.0), e(71.5), e(69.0)]]),
        ),
        (
            "ten exact of two prints",
            catalog(&[
                &[e(70.0), e(71.5), e(69.0), e(70.2), e(71.0)],
                &[e(72.0), e(72.5), e(71.0), e(73.2), e(72.1)],
            ]),
        ),
        (
            "two exact, one bound",
            catalog(&[&[e(70.0), e(71.5), g(72.0)]]),
        ),
        (
            "one exact, four bounds",
            catalog(&[&[e(70.0), g(72.0), g(72.0), g(73.0), g(74.0)]]),
        ),
        (
            "three equal bounds",
            catalog(&[&[g(80.0), g(80.0), g(80.0)]]),
        ),
        (
            "bounds of both sides, two prints",
            catalog(&[&[e(70.0), g(72.0), l(69.0)], &[e(71.0), g(73.0)]]),
        ),
        (
            "three ranges",
            catalog(&[&[
                Reading::Between(68.0, 72.0),
                Reading::Between(70.0, 74.0),
                Reading::Between(66.0, 70.0),
            ]]),
        ),
    ];
    println!("| readings | belief, us | mean quantile, us | next part quantile, us |");
    println!("|---|---|---|---|");
    let ask = Ask::room(PROPERTY);
    for (name, evidence) in &rows {
        let belief = micros(|| {
            black_box(evidence.believe("a", black_box(&ask)));
        });
        let b = evidence.believe("a", &ask);
        let mean = micros(|| {
            black_box(b.mean_quantile(black_box(0.05)));
        });
        let next = micros(|| {
            black_box(b.next_quantile(black_box(0.05)));
        });
        println!("| {name} | {belief:.1} | {mean:.1} | {next:.1} |");
    }
}
