//! Whether intervals keep their promise: catalogs simulated from the model, beliefs read from them.
//!
//! The simulation shares nothing with the belief module: prints and specimens are drawn with plain
//! formulas, and truths are compared with quantiles.

use crate::runs::{Bench, evidence};
use dutyfit::belief::Evidence;
use dutyfit::num::{Stream, stream};
use dutyfit::policy::Policy;
use dutyfit::property::Ask;
use dutyfit::quantity::Reading;

/// Simulated materials for each line of the tables below; 90 % of 4 000 is known to 0.5 %.
const SIMULATIONS: usize = 4_000;
/// The same where a grid is needed: known to 2 %.
const FEW: usize = 200;
/// Coverage allowed of a 90 % interval.
const ALLOWED: (f64, f64) = (0.88, 0.92);
/// A plain property: its default spread is what the simulation takes as the pool's middle.
const PROPERTY: &str = "softening-onset";
const DEFAULT_SD: f64 = 2.5;

/// One print's readings: its own effect and its specimens' scatter, of ratio 1.
fn print(rng: &mut Stream, mu: f64, s: f64, n: usize) -> Vec<f64> {
    let u = s * rng.normal();
    (0..n).map(|_| mu + u + s * rng.normal()).collect()
}

/// A spread from the prior: 4 over a chi-square of 4, as four squared normals.
fn spread(rng: &mut Stream) -> f64 {
    let chi: f64 = (0..4).map(|_| rng.normal().powi(2)).sum();
    DEFAULT_SD * (4.0 / chi).sqrt()
}

fn covered(e: &Evidence, mu: f64, next: f64) -> (bool, bool) {
    let b = e.believe("a", &Ask::room(PROPERTY));
    let inside = |low: Option<f64>, high: Option<f64>, x: f64| {
        low.is_some_and(|l| l <= x) && high.is_some_and(|h| x <= h)
    };
    (
        inside(b.mean_quantile(0.05), b.mean_quantile(0.95), mu),
        inside(b.next_quantile(0.05), b.next_quantile(0.95), next),
    )
}

/// Shares of simulated materials whose mean and whose next part lie in their 90 % intervals.
fn coverage(
    name: &str,
    simulations: usize,
    mut one: impl FnMut(&mut Stream) -> (Evidence, f64, f64),
) -> (f64, f64) {
    let (mut means, mut nexts) = (0.0, 0.0);
    for i in 0..simulations {
        let mut rng = stream(7, name, i as u64);
        let (e, mu, s) = one(&mut rng);
        let next = print(&mut rng, mu, s, 1).first().copied().unwrap_or(mu);
        let (mean_in, next_in) = covered(&e, mu, next);
        means += f64::from(u8::from(mean_in));
        nexts += f64::from(u8::from(next_in));
    }
    (means / simulations as f64, nexts / simulations as f64)
}

fn assert_kept(name: &str, (mean, next): (f64, f64)) {
    for share in [mean, next] {
        assert!(
            ALLOWED.0 <= share && share <= ALLOWED.1,
            "{name}: mean {mean}, next part {next}"
        );
    }
}

#[test]
fn intervals_of_exact_readings_cover() {
    for prints in [
        &[1_usize] as &[usize],
        &[2],
        &[3],
        &[5],
        &[10],
        &[3, 3],
        &[5, 3, 2],
    ] {
        let name = format!("prints of {prints:?}");
        let shares = coverage(&name, SIMULATIONS, |rng| {
            let (mu, s) = (70.0, spread(rng));
            let benches: Vec<Bench> = prints
                .iter()
                .enumerate()
                .map(|(i, n)| {
                    Bench::exact("a", PROPERTY, &print(rng, mu, s, *n)).print(format!("p-{i}"))
                })
                .collect();
            let e = evidence(&[("a", "")], &benches, &[], Policy::default());
            (e, mu, s)
        });
        assert_kept(&name, shares);
    }
}

/// With the spread pooled from five other materials that share it.
#[test]
fn intervals_with_a_pooled_spread_cover() {
    const OTHERS: [&str; 5] = ["b", "c", "d", "e", "f"];
    for n in [1, 2, 3] {
        let name = format!("pool, {n} specimens");
        let shares = coverage(&name, SIMULATIONS / 2, |rng| {
            let (mu, s) = (70.0, 0.4 * DEFAULT_SD);
            let mut benches = vec![Bench::exact("a", PROPERTY, &print(rng, mu, s, n))];
            for m in OTHERS {
                benches.push(Bench::exact(m, PROPERTY, &print(rng, 90.0, s, 3)));
            }
            let all: Vec<(&str, &str)> = std::iter::once("a")
                .chain(OTHERS)
                .map(|m| (m, "petg"))
                .collect();
            (evidence(&all, &benches, &[], Policy::default()), mu, s)
        });
        assert_kept(&name, shares);
    }
}

/// A hammer that stops a little above the mean: about a quarter of the readings are bounds. The spread
/// is learnt from those that were not cut off and comes out a little short, so that more parts than
/// promised lie above the interval, on the side that the bounds leave open; not below it.
#[test]
fn bounds_keep_the_lower_end_of_the_interval() {
    let mut below = 0.0;
    let shares = coverage("hammer", FEW, |rng| {
        let (mu, s) = (70.0, spread(rng));
        let stop = mu + DEFAULT_SD;
        let readings: Vec<Reading> = print(rng, mu, s, 5)
            .into_iter()
            .map(|y| {
                if y > stop {
                    Reading::AtLeast(stop)
                } else {
                    Reading::Exact(y)
                }
            })
            .collect();
        let e = evidence(
            &[("a", "")],
            &[Bench::new("a", PROPERTY, &readings)],
            &[],
            Policy::default(),
        );
        let next = print(rng, mu, s, 1).first().copied().unwrap_or(mu);
        let low = e.believe("a", &Ask::room(PROPERTY)).next_quantile(0.05);
        below += f64::from(u8::from(low.is_some_and(|q| next < q)));
        (e, mu, s)
    });
    let below = below / FEW as f64;
    assert!(shares.0 > 0.83 && shares.1 > 0.80, "{shares:?}");
    assert!(below < 0.09, "{below} below the lower end");
}

/// A gauge of coarse steps: readings are rounded to two spreads.
#[test]
fn intervals_of_a_coarse_gauge_cover() {
    let step = 2.0 * DEFAULT_SD;
    let shares = coverage("coarse", FEW, |rng| {
        let (mu, s) = (70.0 + step * rng.uniform(), spread(rng));
        let readings: Vec<f64> = print(rng, mu, s, 3)
            .into_iter()
            .map(|y| (y / step).round() * step)
            .collect();
        let e = evidence(
            &[("a", "")],
            &[Bench::exact("a", PROPERTY, &readings).with(|b| b.resolution = step)],
            &[],
            Policy::default(),
        );
        (e, mu, s)
    });
    let (mean, next) = shares;
    assert!(mean > 0.84 && next > 0.84, "mean {mean}, next part {next}");
}
