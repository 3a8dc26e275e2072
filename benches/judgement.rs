//! Speed and memory of a judgement: 26, 500 and 5 000 materials x 8 properties x 16 384 draws,
//! on one thread and on two.
//!
//! Each row runs in a process of its own, so that its peak memory is its own. The evidence is
//! made up: three specimens of one print for each property, one calibration a property, every
//! twentieth figure a bound, every twentieth missing. Four properties are limits, four are aims.
//! `cargo bench` prints the table; `cargo bench -- 500 2` runs one row.

#![expect(
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "a bench reads the clock, its arguments and its own memory, and prints a table"
)]
#![allow(
    missing_docs,
    dead_code,
    clippy::expect_used,
    reason = "the workshop is shared with the tests"
)]

#[path = "../tests/synthetic.rs"]
#[expect(clippy::expect_used, reason = "shared with the tests")]
mod synthetic;

use dutyfit::bench::{Bias, BiasKind};
use dutyfit::duty::{Duty, LimitSense, Preference};
use dutyfit::judge::{DRAWS, Request, judge};
use dutyfit::policy::Class;
use dutyfit::property::Scale;
use dutyfit::quantity::Reading;
use std::process::Command;
use std::time::Instant;
use synthetic::{Shop, aim, limit};

const PROPERTIES: usize = 8;
const ROWS: [(usize, usize); 6] = [(26, 1), (26, 2), (500, 1), (500, 2), (5_000, 1), (5_000, 2)];

fn main() {
    let numbers: Vec<usize> = std::env::args().filter_map(|a| a.parse().ok()).collect();
    if let [materials, threads] = *numbers.as_slice() {
        row(materials, threads);
        return;
    }
    println!(
        "{:>9} {:>8} {:>10} {:>9} {:>9} {:>9} {:>10} {:>9}",
        "materials", "threads", "evidence s", "first s", "again s", "cpu s", "draws/s", "peak MB"
    );
    for (materials, threads) in ROWS {
        let Ok(this) = std::env::current_exe() else {
            return;
        };
        let out = Command::new(this)
            .args([materials.to_string(), threads.to_string()])
            .output();
        if let Ok(out) = out {
            print!("{}", String::from_utf8_lossy(&out.stdout));
        }
    }
}

/// One row: the first judgement, which asks every belief anew, and the best of three more.
fn row(materials: usize, threads: usize) {
    let Ok(pool) = rayon::ThreadPoolBuilder::new().num_threads(threads).build() else {
        return;
    };
    let shop = workshop(materials);
    let start = Instant::now();
    let evidence = shop.evidence();
    let gathered = start.elapsed().as_secs_f64();
    let among = shop.ids();
    let (duty, preference) = duty();
    let request = Request {
        duty: &duty,
        evidence: &evidence,
        among: &among,
        preference: &preference,
        seed: 1,
        draws: DRAWS,
    };
    let once = || {
        let start = Instant::now();
        let judged = pool.install(|| judge(&request));
        assert_eq!(judged.candidates.len(), materials);
        start.elapsed().as_secs_f64()
    };
    let first = once();
    let more = if materials > 1_000 { 1 } else { 3 };
    let busy = cpu_s();
    let again = (0..more).map(|_| once()).fold(f64::INFINITY, f64::min);
    // What the processors spent on one judgement: unlike the clock, it does not count others' work.
    let cpu = busy.zip(cpu_s()).map(|(a, b)| (b - a) / f64::from(more));
    // A draw of one property is a mean and a next part.
    let draws = (materials * PROPERTIES * DRAWS) as f64;
    println!(
        "{materials:>9} {threads:>8} {gathered:>10.3} {first:>9.3} {again:>9.3} {:>9} {:>10.3e} {:>9}",
        cpu.map_or_else(|| "?".to_owned(), |s| format!("{s:.3}")),
        draws / again,
        peak_mb().map_or_else(|| "?".to_owned(), |mb| format!("{mb:.0}"))
    );
}

/// Processor time of this process, s, where the system tells it (in ticks of 10 ms).
fn cpu_s() -> Option<f64> {
    let stat = std::fs::read_to_string("/proc/self/stat").ok()?;
    let after_name = stat.rsplit(')').next()?;
    let mut fields = after_name.split_whitespace().skip(11);
    let user: f64 = fields.next()?.parse().ok()?;
    let system: f64 = fields.next()?.parse().ok()?;
    Some((user + system) / 100.0)
}

/// Peak resident memory of this process, MB, where the system tells it.
fn peak_mb() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|l| l.starts_with("VmHWM:"))?;
    let kb: f64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kb / 1024.0)
}

fn workshop(materials: usize) -> Shop {
    let mut shop = Shop::with(PROPERTIES, Scale::Log);
    for m in 0..materials {
        let id = format!("m{m:05}");
        shop.material(&id);
        for k in 0..PROPERTIES {
            // A spread of figures without a pattern that a reader could see.
            let x = (m * 7_919 + k * 104_729) % 1_000;
            if x.is_multiple_of(20) {
                continue;
            }
            let y = 6.0 + x as f64 / 100.0;
            let readings = if x % 20 == 1 {
                vec![Reading::AtLeast(y), Reading::AtLeast(1.1 * y)]
            } else {
                [1.0, 1.06, 0.97].map(|f| Reading::Exact(f * y)).to_vec()
            };
            let bias = Bias {
                calibration: format!("frame-{k}").into(),
                kind: BiasKind::Gain,
                slope: 0.01,
            };
            shop.read_on(&id, &format!("c{}", k + 1), &readings, &[bias]);
        }
    }
    shop
}

fn duty() -> (Duty, Preference) {
    let mut duty = Duty::default();
    for k in 1..=4 {
        let sense = LimitSense::AtLeast(7.0);
        limit(&mut duty, &format!("c{k}"), sense, Class::Damage);
    }
    for k in 5..=8 {
        aim(&mut duty, &format!("a{k}"), &format!("c{k}"), 6.0, 16.0);
    }
    let order = (5..=8).map(|k| vec![format!("a{k}")]).collect();
    (duty, Preference::Order(order))
}
