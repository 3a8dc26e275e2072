//! How often the interval read off a curve past its end holds the truth, on curves of shapes that
//! are not the fitted laws'. The simulator shares no code with the fit.

use dutyfit::bench::{Curve, Told, at_life, at_life_beside};
use rand::{RngExt, SeedableRng};
use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg64Mcg;

/// Standard drift per decade, the policy's default.
const DRIFT: f64 = 0.05;
/// First and last reading of every curve, h.
const FIRST_H: f64 = 0.1;
const LAST_H: f64 = 500.0;
/// Half widths of a 50 and a 90 % interval, in standard deviations.
const HALF: [f64; 2] = [0.674_49, 1.644_85];
/// Shares kept below this are past any use of the interval.
const LEAST_KEPT: f64 = 0.02;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Shape {
    FindleyCreep,
    LogTimeCreep,
    StretchedCreep,
    SteadyFlow,
    FindleyRelaxation,
    InverseFindleyRelaxation,
    LogTimeRelaxation,
    StretchedRelaxation,
    StretchedToNothing,
}

const SHAPES: [Shape; 9] = [
    Shape::FindleyCreep,
    Shape::LogTimeCreep,
    Shape::StretchedCreep,
    Shape::SteadyFlow,
    Shape::FindleyRelaxation,
    Shape::InverseFindleyRelaxation,
    Shape::LogTimeRelaxation,
    Shape::StretchedRelaxation,
    Shape::StretchedToNothing,
];

struct Draw(Pcg64Mcg);

impl Draw {
    fn even(&mut self, a: f64, b: f64) -> f64 {
        a + (b - a) * self.0.random::<f64>()
    }
    fn log_even(&mut self, a: f64, b: f64) -> f64 {
        self.even(a.ln(), b.ln()).exp()
    }
    fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.0)
    }
}

impl Shape {
    fn creeps(self) -> bool {
        matches!(
            self,
            Shape::FindleyCreep | Shape::LogTimeCreep | Shape::StretchedCreep | Shape::SteadyFlow
        )
    }

    /// Strain per stress, or force: a specimen's own curve, against hours.
    fn specimen(self, d: &mut Draw) -> Box<dyn Fn(f64) -> f64> {
        match self {
            Shape::FindleyCreep => {
                let n = d.even(0.1, 0.4);
                let m = d.log_even(0.15, 1.5) / LAST_H.powf(n);
                Box::new(move |t| 1.0 + m * t.powf(n))
            }
            Shape::LogTimeCreep => {
                let b = d.log_even(0.02, 0.15);
                Box::new(move |t| 1.0 + b * (t / FIRST_H).log10())
            }
            // Kohlrausch creep and recovery have the same form.
            Shape::StretchedCreep => {
                let beta = d.even(0.2, 0.6);
                let tau = LAST_H * 10_f64.powf(d.even(-1.5, 2.5));
                let grown = d.log_even(0.3, 3.0);
                Box::new(move |t| 1.0 + grown * (1.0 - (-(t / tau).powf(beta)).exp()))
            }
            // Burgers: a spring, a spring with a dashpot beside it, a dashpot. Flow is 1 to 30 % of
            // the strain at the last reading.
            Shape::SteadyFlow => {
                let tau = LAST_H * 10_f64.powf(d.even(-2.5, -0.5));
                let grown = d.log_even(0.1, 1.0);
                let flow = d.log_even(0.01, 0.3) * (1.0 + grown) / LAST_H;
                Box::new(move |t| 1.0 + grown * (1.0 - (-t / tau).exp()) + flow * t)
            }
            Shape::FindleyRelaxation => {
                let n = d.even(0.1, 0.4);
                let m = d.log_even(0.05, 0.4) / LAST_H.powf(n);
                Box::new(move |t| 1.0 - m * t.powf(n))
            }
            Shape::InverseFindleyRelaxation => {
                let n = d.even(0.1, 0.4);
                let m = d.log_even(0.05, 1.5) / LAST_H.powf(n);
                Box::new(move |t| 1.0 / (1.0 + m * t.powf(n)))
            }
            Shape::LogTimeRelaxation => {
                let b = d.log_even(0.02, 0.1);
                Box::new(move |t| 1.0 - b * (t / FIRST_H).log10())
            }
            Shape::StretchedRelaxation => {
                let beta = d.even(0.15, 0.5);
                let tau = LAST_H * 10_f64.powf(d.even(-1.0, 3.0));
                let kept = d.even(0.2, 0.6);
                Box::new(move |t| kept + (1.0 - kept) * (-(t / tau).powf(beta)).exp())
            }
            Shape::StretchedToNothing => {
                let beta = d.even(0.15, 0.5);
                let tau = LAST_H * 10_f64.powf(d.even(1.0, 5.0));
                Box::new(move |t| (-(t / tau).powf(beta)).exp())
            }
        }
    }
}

impl Shape {
    /// A curve of `n` readings of a specimen: white noise of the gauge beside a drift of rig and room
    /// that hangs together over a third of a decade to three decades of time.
    fn read(self, d: &mut Draw, n: usize, truth: &dyn Fn(f64) -> f64) -> Curve {
        let white = d.log_even(0.002, 0.01);
        let drifting = d.log_even(0.002, 0.015);
        let range = d.log_even(0.3, 3.0) * 10_f64.ln();
        let step = (LAST_H / FIRST_H).ln() / (n - 1) as f64;
        let kept = (-step / range).exp();
        let mut drift = drifting * d.normal();
        let mut read: Vec<(f64, f64)> = (0..n)
            .map(|i| {
                if i > 0 {
                    drift = kept * drift + drifting * (1.0 - kept * kept).sqrt() * d.normal();
                }
                let t = FIRST_H * (step * i as f64).exp();
                (
                    t,
                    truth(t) * (1.0 + drift) + white * truth(FIRST_H) * d.normal(),
                )
            })
            .collect();
        let start = read[0].1;
        for p in &mut read {
            p.1 = if self.creeps() {
                1.0 / p.1
            } else {
                p.1 / start
            };
        }
        if self.creeps() {
            Curve::modulus(read)
        } else {
            Curve::retained(read)
        }
    }

    /// The property that is to be foretold.
    fn value<'a>(self, truth: &'a dyn Fn(f64) -> f64) -> impl Fn(f64) -> f64 + 'a {
        move |t| {
            if self.creeps() {
                1.0 / truth(t)
            } else {
                truth(t) / truth(FIRST_H)
            }
        }
    }
}

/// What one shape gives at one distance past the readings.
#[derive(Clone, Debug, Default)]
struct Cell {
    /// Shares of curves whose 50 and 90 % interval hold the truth.
    held: [f64; 2],
    /// Median factor from the middle to the end of the 90 % interval.
    factor: f64,
}

/// `readings` in a curve: from and to.
fn measure(shape: Shape, curves: usize, readings: (usize, usize), seed: u64) -> Vec<Cell> {
    let mut d = Draw(Pcg64Mcg::seed_from_u64(seed));
    let mut held = [[0_usize; 2]; 4];
    let mut factors: [Vec<f64>; 4] = Default::default();
    for _ in 0..curves {
        let truth = shape.specimen(&mut d);
        let span = readings.1 - readings.0 + 1;
        let n = readings.0 + ((d.even(0.0, 1.0) * span as f64) as usize).min(span - 1);
        let curve = shape.read(&mut d, n, &truth);
        let value = shape.value(&truth);
        for (decades, cell) in held.iter_mut().enumerate() {
            let life = LAST_H * 10_f64.powi(decades as i32);
            let want = value(life);
            if !shape.creeps() && want < LEAST_KEPT {
                continue;
            }
            let fit = at_life(&curve, life, DRIFT).expect("a fit");
            let sd = fit.added_variance.sqrt();
            let off = (fit.value / want).ln().abs();
            for (hit, half) in cell.iter_mut().zip(HALF) {
                *hit += usize::from(off <= half * sd);
            }
            factors[decades].push((HALF[1] * sd).exp());
        }
    }
    held.iter()
        .zip(&mut factors)
        .map(|(held, factors)| {
            factors.sort_by(f64::total_cmp);
            let n = factors.len().max(1) as f64;
            Cell {
                held: held.map(|h| h as f64 / n),
                factor: factors[factors.len() / 2],
            }
        })
        .collect()
}

#[test]
fn ninety_of_a_hundred_intervals_hold_the_truth_but_for_steady_flow() {
    for (k, shape) in SHAPES.into_iter().enumerate() {
        let cells = measure(shape, 250, (5, 12), 11 + k as u64);
        let all: Vec<f64> = cells.iter().map(|c| c.held[1]).collect();
        let said = format!("{shape:?}: {all:?}");
        // Three standard errors of 250 curves below 90 % are 84 %.
        assert!(all[0] >= 0.90, "{said}");
        if shape == Shape::SteadyFlow {
            // Flow that hides in the noise of the last reading cannot be foretold.
            assert!((0.50..0.90).contains(&all[1]), "{said}");
            assert!(all[2] < 0.60 && all[3] < 0.50, "{said}");
        } else {
            assert!(all[1] >= 0.88 && all[2] >= 0.85 && all[3] >= 0.84, "{said}");
        }
        // Wide is no way out: within a decade a creep modulus is known to a third.
        if shape.creeps() {
            assert!(
                cells[0].factor < 1.12 && cells[1].factor < 1.35,
                "{shape:?}: {cells:?}"
            );
        }
    }
}

#[test]
fn two_and_three_readings_say_little_and_are_held_to_it() {
    for readings in [2, 3] {
        for (k, shape) in SHAPES.into_iter().enumerate() {
            if shape == Shape::SteadyFlow {
                continue;
            }
            let cells = measure(shape, 120, (readings, readings), 31 + k as u64);
            for (decades, c) in cells.iter().enumerate() {
                assert!(
                    c.held[1] >= 0.82,
                    "{readings} readings, {shape:?}, {decades} decades: {c:?}"
                );
                assert!(c.factor.is_finite() && c.factor < 60.0, "{shape:?}: {c:?}");
            }
        }
    }
}

/// Five specimens of one material differ in how much they creep; what each leaves open by its own
/// noise averages out, what the laws leave open does not.
#[test]
fn specimens_of_one_material_foretell_their_mean() {
    for (k, shape) in SHAPES.into_iter().enumerate() {
        if shape == Shape::SteadyFlow {
            continue;
        }
        let mut d = Draw(Pcg64Mcg::seed_from_u64(71 + k as u64));
        let (mut hits, mut all, mut narrower) = ([0_usize; 3], [0_usize; 3], 0);
        for _ in 0..80 {
            let truth = shape.specimen(&mut d);
            let own: Vec<f64> = (0..5).map(|_| 1.0 + 0.1 * d.normal()).collect();
            let of = |by: f64| {
                let truth = &truth;
                move |t: f64| truth(t).max(1e-9).powf(by)
            };
            let curves: Vec<Curve> = own.iter().map(|b| shape.read(&mut d, 6, &of(*b))).collect();
            let told: Vec<Told> = curves.iter().map(Told::by).collect();
            let together = Told::all(&told);
            for (j, decades) in [0, 1, 2].into_iter().enumerate() {
                let life = LAST_H * 10_f64.powi(decades);
                let gone = own.iter().any(|b| shape.value(&of(*b))(life) < LEAST_KEPT);
                if !shape.creeps() && gone {
                    continue;
                }
                let (mut off, mut sd, mut alone) = (0.0, 0.0, 0.0);
                for ((c, b), t) in curves.iter().zip(&own).zip(&told) {
                    let fit = at_life_beside(c, life, DRIFT, &together.without(t)).expect("a fit");
                    let single = at_life(c, life, DRIFT).expect("a fit");
                    off += (fit.value / shape.value(&of(*b))(life)).ln() / 5.0;
                    sd += (fit.added_variance - fit.averaged_out(5.0)).sqrt() / 5.0;
                    alone += single.added_variance.sqrt() / 5.0;
                }
                hits[j] += usize::from(f64::abs(off) <= HALF[1] * sd);
                all[j] += 1;
                narrower += usize::from(sd < alone);
            }
        }
        let held: Vec<f64> = hits
            .iter()
            .zip(all)
            .map(|(h, n)| *h as f64 / n as f64)
            .collect();
        let said = format!("{shape:?}: {held:?}, {narrower} narrower");
        assert!(
            held[0] >= 0.9 && held[1] >= 0.85 && held[2] >= 0.80,
            "{said}"
        );
        assert!(narrower * 10 >= all.iter().sum::<usize>() * 8, "{said}");
    }
}

/// The table of the module documentation: `cargo test the_whole_table -- --ignored --nocapture`.
#[test]
#[ignore = "the whole table, some minutes in a debug build"]
fn the_whole_table() {
    for readings in [(5, 12), (2, 2), (3, 4)] {
        eprintln!("readings {readings:?}");
        for (k, shape) in SHAPES.into_iter().enumerate() {
            let row: Vec<String> = measure(shape, 5000, readings, 101 + k as u64)
                .iter()
                .map(|c| {
                    let [half, most] = c.held.map(|h| (100.0 * h).round());
                    format!("{half} / {most}, x {:.2}", c.factor)
                })
                .collect();
            eprintln!("{shape:?} | {}", row.join(" | "));
        }
    }
}
