//! Common calibrations: what cancels in a comparison stays whole against an absolute limit.
//!
//! Worked examples with correlated inputs from the guide to the expression of uncertainty in
//! measurement (JCGM 100) and its first supplement (JCGM 101). Source and status stand at each figure.

use crate::runs::{Bench, draws, evidence, known_spread, near};
use dutyfit::belief::{Belief, Evidence};
use dutyfit::bench::{Bias, BiasKind};
use dutyfit::property::Ask;

/// A property on the plain scale that holds at any temperature; default spread 2.5.
const PLAIN: &str = "softening-onset";
const PLAIN_SD: f64 = 2.5;
/// Units to one of the source's: the bench's own scatter is nothing beside its figures.
const UNIT: f64 = 1e6;
/// Standard normal quantile of 0.95, reproduced by scipy 1.17.1.
const Z95: f64 = 1.644_853_627;
/// Blocks of draws: 65 536 draws know a standard deviation to 0.3 %.
const BLOCKS: u64 = 256;

fn offset(calibration: &str, slope: f64) -> Bias {
    Bias {
        calibration: calibration.into(),
        kind: BiasKind::Offset,
        slope,
    }
}

fn bench(material: &'static str, figures: &[f64], bias: Vec<Bias>) -> Bench {
    Bench::exact(material, PLAIN, figures).with(|b| b.bias = bias)
}

fn known(benches: &[Bench]) -> Evidence {
    let mut ids: Vec<&str> = benches.iter().map(|b| b.material).collect();
    ids.dedup();
    let all: Vec<(&str, &str)> = ids.into_iter().map(|id| (id, "")).collect();
    evidence(&all, benches, &[], known_spread())
}

fn of(e: &Evidence, material: &str) -> Belief {
    e.believe(material, &Ask::room(PLAIN))
}

/// One standard deviation of the mean, in the source's units.
fn u_mean(b: &Belief) -> Option<f64> {
    let reach = b.mean_quantile(0.95)? - b.mean_quantile(0.5)?;
    Some(reach / Z95 / UNIT)
}

fn sd(x: &[f64]) -> f64 {
    let n = x.len() as f64;
    let m = x.iter().sum::<f64>() / n;
    (x.iter().map(|v| (v - m).powi(2)).sum::<f64>() / n).sqrt()
}

fn correlation(x: &[f64], y: &[f64]) -> f64 {
    let (sx, sy) = (sd(x), sd(y));
    let sum: Vec<f64> = x.iter().zip(y).map(|(a, b)| a / sx + b / sy).collect();
    0.5 * sd(&sum).powi(2) - 1.0
}

/// JCGM 100, 5.2.2, example: ten resistors of 1000 ohm, u 0.1 ohm, in series. One standard for all:
/// 1 ohm; were they not correlated: 0.32 ohm (from memory, not verified; the arithmetic derived).
#[test]
fn one_standard_does_not_average_out_and_ten_do() {
    let shared = known(&[bench(
        "r",
        &[1000.0; 10],
        vec![offset("standard", 0.1 * UNIT)],
    )]);
    near(u_mean(&of(&shared, "r")).map(|u| 10.0 * u), 1.0, 1e-6);

    let apart: Vec<Bench> = (0..10)
        .map(|i| bench("r", &[1000.0], vec![offset(&format!("s-{i}"), 0.1 * UNIT)]))
        .collect();
    let u_sum = u_mean(&of(&known(&apart), "r")).map(|u| 10.0 * u);
    near(u_sum, 0.1 * 10.0_f64.sqrt(), 1e-6);
    assert!(u_sum.is_some_and(|u| (u - 0.32).abs() < 0.005), "{u_sum:?}");
}

/// The same for any number of readings, and two calibrations that share them evenly (derived).
#[test]
fn two_calibrations_average_between_them() {
    for n in [1, 2, 5, 20] {
        let figures = vec![1000.0; n];
        let one = known(&[bench("r", &figures, vec![offset("a", 0.1 * UNIT)])]);
        near(u_mean(&of(&one, "r")), 0.1, 1e-6);
        let two = known(&[
            bench("r", &figures, vec![offset("a", 0.1 * UNIT)]),
            bench("r", &figures, vec![offset("b", 0.1 * UNIT)]),
        ]);
        near(u_mean(&of(&two, "r")), 0.1 / 2.0_f64.sqrt(), 1e-6);
    }
}

/// Two resistors under one standard: their difference knows nothing of it, the sum has it twice;
/// under two standards both have it root two times (JCGM 100, 5.2.2; derived).
#[test]
fn a_difference_under_one_standard_has_none_of_it() {
    for (calibrations, difference, sum) in [
        (["s", "s"], 0.0, 0.2),
        (["s", "t"], 0.02_f64.sqrt(), 0.02_f64.sqrt()),
    ] {
        let e = known(&[
            bench("a", &[1010.0], vec![offset(calibrations[0], 0.1 * UNIT)]),
            bench("b", &[1000.0], vec![offset(calibrations[1], 0.1 * UNIT)]),
        ]);
        let (a, next_a) = draws(&e, &of(&e, "a"), BLOCKS);
        let (b, next_b) = draws(&e, &of(&e, "b"), BLOCKS);
        for (a, b) in [(&a, &b), (&next_a, &next_b)] {
            let of = |f: fn(f64, f64) -> f64| -> Vec<f64> {
                a.iter().zip(b).map(|(x, y)| f(*x, *y) / UNIT).collect()
            };
            let (d, s) = (sd(&of(|x, y| x - y)), sd(&of(|x, y| x + y)));
            // What is left of the bench's own scatter is 5 in a million.
            assert!((d - difference).abs() <= 0.01 * difference + 1e-5, "{d}");
            assert!((s - sum).abs() <= 0.01 * sum, "{s}");
        }
    }
}

/// Against an absolute limit the calibration stays whole, for the mean and for the next part, while the
/// chance that one part beats another does not know of it (derived: JCGM 100, 5.1.2 and 5.2.2).
#[test]
fn an_absolute_limit_keeps_it_whole() {
    let u = 2.0 * PLAIN_SD;
    let with = known(&[
        bench("a", &[74.0], vec![offset("s", u)]),
        bench("b", &[70.0], vec![offset("s", u)]),
    ]);
    let without = known(&[bench("a", &[74.0], vec![]), bench("b", &[70.0], vec![])]);
    // One reading, known spread: s^2 for the mean and 2 s^2 for the next part, and u^2 for both.
    let s2 = PLAIN_SD * PLAIN_SD;
    let b = of(&with, "a");
    near(
        b.mean_quantile(0.05),
        74.0 - Z95 * (s2 + u * u).sqrt(),
        1e-6,
    );
    near(
        b.next_quantile(0.05),
        74.0 - Z95 * (2.0 * s2 + u * u).sqrt(),
        1e-6,
    );
    let wins = |e: &Evidence| {
        let (a, next_a) = draws(e, &of(e, "a"), BLOCKS);
        let (b, next_b) = draws(e, &of(e, "b"), BLOCKS);
        let share = |x: &[f64], y: &[f64]| {
            x.iter().zip(y).filter(|(x, y)| x > y).count() as f64 / x.len() as f64
        };
        (share(&a, &b), share(&next_a, &next_b))
    };
    let (mean, next) = wins(&with);
    let (mean_alone, next_alone) = wins(&without);
    // The same scores are drawn: only rounding differs.
    assert!((mean - mean_alone).abs() < 1e-3 && (next - next_alone).abs() < 1e-3);
    // Phi(4 / (2.5 sqrt 2)) and Phi(4 / (2.5 sqrt 4)), reproduced by scipy 1.17.1.
    assert!((mean - 0.871_050).abs() < 0.006 && (next - 0.788_145).abs() < 0.007);
    // Above 70, an absolute limit: Phi(4 / sqrt(s^2 + u^2)), not Phi(4 / s) = 0.945.
    let (a, _) = draws(&with, &of(&with, "a"), BLOCKS);
    let above = a.iter().filter(|x| **x > 70.0).count() as f64 / a.len() as f64;
    assert!((above - 0.762_863).abs() < 0.007, "{above}");
}

/// JCGM 100, H.2: resistance and reactance measured at once. Estimates and inputs verified in source
/// (public repository text); u 0.071, 0.295 and 0.236 and correlations -0.588, -0.485 and 0.993 from
/// memory, not verified; the data printed there give 0.2956 and 0.9925.
///
/// The covariance of voltage, current and phase is made of three common parts (its Cholesky factor, of
/// the five simultaneous readings of table H.2; derived).
#[test]
fn resistance_and_reactance() {
    let e = known(&[
        bench(
            "volt",
            &[4.999 * UNIT],
            vec![offset("1", 3.209_361e-3 * UNIT)],
        ),
        bench(
            "ampere",
            &[19.661 * UNIT],
            vec![
                offset("1", -3.365_156e-3 * UNIT),
                offset("2", 8.853_007e-3 * UNIT),
            ],
        ),
        bench(
            "radian",
            &[1.04446 * UNIT],
            vec![
                offset("1", 6.449_881e-4 * UNIT),
                offset("2", -2.738_634e-4 * UNIT),
                offset("3", 2.731_101e-4 * UNIT),
            ],
        ),
    ]);
    // Inputs: 0.0032 V, 0.0095 mA, 0.00075 rad.
    for (id, u, tol) in [
        ("volt", 0.0032, 5e-5),
        ("ampere", 0.0095, 5e-5),
        ("radian", 0.00075, 5e-6),
    ] {
        let got = u_mean(&of(&e, id));
        assert!(got.is_some_and(|x| (x - u).abs() <= tol), "{id}: {got:?}");
    }
    let mean = |id: &str| -> Vec<f64> {
        draws(&e, &of(&e, id), BLOCKS)
            .0
            .iter()
            .map(|x| x / UNIT)
            .collect()
    };
    let (v, i, phase) = (mean("volt"), mean("ampere"), mean("radian"));
    let of = |f: fn(f64) -> f64| -> Vec<f64> {
        v.iter()
            .zip(&i)
            .zip(&phase)
            .map(|((v, i), p)| 1e3 * v / i * f(*p))
            .collect()
    };
    let (r, x, z) = (of(f64::cos), of(f64::sin), of(|_| 1.0));
    let middle = |y: &[f64]| y.iter().sum::<f64>() / y.len() as f64;
    // Half a last digit, and three standard errors of the draws.
    for (y, estimate, u) in [
        (&r, 127.732, 0.071),
        (&x, 219.847, 0.2955),
        (&z, 254.260, 0.236),
    ] {
        assert!(
            (middle(y) - estimate).abs() < 0.0005 + 0.012 * u,
            "{}",
            middle(y)
        );
        assert!((sd(y) - u).abs() < 0.0005 + 0.009 * u, "{}", sd(y));
    }
    for (a, b, want) in [(&r, &x, -0.588), (&r, &z, -0.485), (&x, &z, 0.993)] {
        let got = correlation(a, b);
        assert!(
            (got - want).abs() < 0.0005 + 0.012 * (1.0 - want * want).max(0.05),
            "{got}"
        );
    }
}

/// JCGM 101, 9.4: comparison loss Y = X1^2 + X2^2, u 0.005 each, correlation 0 and 0.9. Printed by Monte
/// Carlo, in millionths: 50, 112 and 502; 67, 121 and 505 (from memory, not verified; the second moment
/// 4 u^2 x1^2 + 4 u^4 (1 + r^2) derived).
#[test]
fn a_sum_of_squares_with_correlated_inputs() {
    let u = 0.005_f64;
    for (r, x1, printed) in [
        (0.0_f64, 0.0_f64, 50.0),
        (0.0, 0.010, 112.0),
        (0.0, 0.050, 502.0),
        (0.9, 0.0, 67.0),
        (0.9, 0.010, 121.0),
        (0.9, 0.050, 505.0),
    ] {
        let e = known(&[
            bench("x1", &[x1 * UNIT], vec![offset("1", u * UNIT)]),
            bench(
                "x2",
                &[0.0],
                vec![
                    offset("1", r * u * UNIT),
                    offset("2", (1.0 - r * r).sqrt() * u * UNIT),
                ],
            ),
        ]);
        let mean = |id: &str| draws(&e, &of(&e, id), BLOCKS).0;
        let y: Vec<f64> = mean("x1")
            .iter()
            .zip(mean("x2"))
            .map(|(a, b)| ((a / UNIT).powi(2) + (b / UNIT).powi(2)) * 1e6)
            .collect();
        let derived = (4.0 * u * u * x1 * x1 + 4.0 * u.powi(4) * (1.0 + r * r)).sqrt() * 1e6;
        assert!((derived - printed).abs() < 1.0, "{derived} {printed}");
        // A sum of squares has a long tail: 65 536 draws know its deviation to 1 %.
        assert!(
            (sd(&y) / derived - 1.0).abs() < 0.025,
            "{r} {x1}: {}",
            sd(&y)
        );
        let middle = y.iter().sum::<f64>() / y.len() as f64;
        let estimate = (x1 * x1 + 2.0 * u * u) * 1e6;
        assert!(
            (middle - estimate).abs() < 0.02 * derived,
            "{r} {x1}: {middle}"
        );
    }
}
