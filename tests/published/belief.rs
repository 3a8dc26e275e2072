//! Beliefs against figures from outside; each case of `belief.json` names its source and status.
//!
//! The textbook's cases have one print effect for all or none and no prior opinion of the spread, or
//! a known one: both are policies, and the figures come out of evidence built from runs.

use crate::runs::{Bench, draws, evidence, known_spread, near, textbook};
use dutyfit::belief::Belief;
use dutyfit::bench::{Bias, BiasKind};
use dutyfit::policy::Policy;
use dutyfit::property::Ask;
use dutyfit::quantity::Reading;
use serde_json::Value;

/// A property on the plain scale that holds at any temperature; default spread 2.5.
const PLAIN: &str = "softening-onset";
const PLAIN_SD: f64 = 2.5;
/// A property on the log scale that holds at any temperature; default spread 0.01.
const LOG: &str = "density";
const LOG_SD: f64 = 0.01;

fn cases() -> Value {
    serde_json::from_str(include_str!("belief.json")).unwrap_or_default()
}

fn list<'a>(v: &'a Value, key: &str) -> &'a [Value] {
    let found = v[key].as_array().map_or(&[] as &[Value], Vec::as_slice);
    assert!(!found.is_empty(), "no cases under {key}");
    found
}

fn num(v: &Value, key: &str) -> f64 {
    v[key].as_f64().unwrap_or(f64::NAN)
}

fn nums(v: &Value) -> Vec<f64> {
    v.as_array()
        .map(|a| a.iter().filter_map(Value::as_f64).collect())
        .unwrap_or_default()
}

fn of(readings: &[f64], policy: Policy) -> Belief {
    evidence(
        &[("a", "")],
        &[Bench::exact("a", PLAIN, readings)],
        &[],
        policy,
    )
    .believe("a", &Ask::room(PLAIN))
}

/// Readings of this number, mean and standard deviation.
fn sample(n: usize, mean: f64, sd: f64) -> Vec<f64> {
    let raw: Vec<f64> = (0..n).map(|i| i as f64 - 0.5 * (n as f64 - 1.0)).collect();
    let s = (raw.iter().map(|x| x * x).sum::<f64>() / (n as f64 - 1.0)).sqrt();
    raw.iter().map(|x| mean + sd * x / s).collect()
}

#[test]
fn intervals_of_a_mean() {
    let all = cases();
    for c in list(&all, "mean_interval") {
        let b = of(&nums(&c["readings"]), textbook());
        near(b.mean_quantile(0.025), num(c, "low"), num(c, "rel_tol"));
        near(b.mean_quantile(0.975), num(c, "high"), num(c, "rel_tol"));
    }
}

/// Mean and standard deviation of certified data, out of the mean's interval.
#[test]
fn certified_means_and_deviations() {
    let all = cases();
    for c in list(&all, "certified") {
        let x = nums(&c["readings"]);
        let b = of(&x, textbook());
        let (mean, sd, n) = (num(c, "mean"), num(c, "sd"), x.len() as f64);
        near(b.mean_quantile(0.5), mean, 1e-11);
        // t(0.75; 99) and t(0.75; 2), reproduced by scipy 1.17.1.
        let t = if x.len() == 100 {
            0.676_976_303
        } else {
            0.816_496_581
        };
        let reach = b.mean_quantile(0.75).map(|q| q - mean);
        near(reach, t * sd / n.sqrt(), 1e-6);
    }
}

#[test]
fn the_next_part_by_predictive_factors() {
    let all = cases();
    for row in list(&all["predictive"], "rows") {
        let n = num(row, "n") as usize;
        if let Some(k) = row["unknown_spread"].as_f64() {
            let b = of(&sample(n, 100.0, 1.0), textbook());
            near(b.next_quantile(0.05).map(|q| 100.0 - q), k, 1e-5);
        }
        let b = of(&vec![100.0; n], known_spread());
        let k = b.next_quantile(0.05).map(|q| (100.0 - q) / PLAIN_SD);
        near(k, num(row, "known_spread"), 1e-5);
    }
    for c in list(&all, "predictive_printed") {
        let n = num(c, "n") as usize;
        let b = of(&sample(n, 100.0, 1.0), textbook());
        let k = 100.0 - b.next_quantile(0.05).unwrap_or(f64::NAN);
        assert!((k - num(c, "unknown")).abs() < num(c, "abs_tol"), "{c}");
        let b = of(&vec![100.0; n], known_spread());
        let k = (100.0 - b.next_quantile(0.05).unwrap_or(f64::NAN)) / PLAIN_SD;
        assert!((k - num(c, "known")).abs() < num(c, "abs_tol"), "{c}");
    }
}

/// One-sided tolerance factors: `share` of the parts lie above mean - k s, as sure as `confidence`.
#[test]
fn most_parts_by_tolerance_factors() {
    for c in list(&cases(), "tolerance") {
        let n = num(c, "n") as usize;
        let b = of(&sample(n, 100.0, 1.0), textbook());
        let (share, confidence) = (num(c, "share"), num(c, "confidence"));
        let (low, high) = b.share_bounds(share, confidence).expect("figures");
        let (k, tol) = (num(c, "k"), num(c, "rel_tol"));
        assert!(((100.0 - low) / k - 1.0).abs() < tol, "{c}: {low}");
        assert!(((high - 100.0) / k - 1.0).abs() < tol, "{c}: {high}");
    }
}

/// The chance that one mean, or one next part, is greater than another's (Behrens and Fisher).
#[test]
fn one_material_against_another() {
    let all = cases();
    for c in list(&all, "comparison") {
        let side = |key: &str| match nums(&c[key]).as_slice() {
            [n, mean, sd] => sample(*n as usize, *mean, *sd),
            _ => Vec::new(),
        };
        let e = evidence(
            &[("a", ""), ("b", "")],
            &[
                Bench::exact("a", PLAIN, &side("a")),
                Bench::exact("b", PLAIN, &side("b")),
            ],
            &[],
            textbook(),
        );
        let of = |m: &str| draws(&e, &e.believe(m, &Ask::room(PLAIN)), 256);
        let ((ma, na), (mb, nb)) = (of("a"), of("b"));
        let share = |a: &[f64], b: &[f64]| {
            a.iter().zip(b).filter(|(x, y)| x > y).count() as f64 / a.len() as f64
        };
        // 65 536 draws: four standard errors.
        assert!(
            (share(&ma, &mb) - num(c, "p_mean_greater")).abs() < 0.008,
            "{c}"
        );
        assert!(
            (share(&na, &nb) - num(c, "p_next_greater")).abs() < 0.008,
            "{c}"
        );
    }
}

/// Rows `[lower, upper, count]`, equal ends exact, null open.
fn rows(c: &Value, repeat: usize, to: impl Fn(f64) -> f64) -> Vec<Reading> {
    let mut out = Vec::new();
    for row in list(c, "rows") {
        let (a, b) = (row[0].as_f64(), row[1].as_f64());
        let n = row[2].as_u64().unwrap_or(1) as usize * repeat;
        let reading = match (a, b) {
            (Some(a), Some(b)) if (b - a).abs() < 1e-300 => Reading::Exact(to(a)),
            (Some(a), Some(b)) => Reading::Between(to(a), to(b)),
            (Some(a), None) => Reading::AtLeast(to(a)),
            (None, Some(b)) => Reading::AtMost(to(b)),
            (None, None) => continue,
        };
        out.extend(std::iter::repeat_n(reading, n));
    }
    out
}

/// Censored likelihoods with the spread known: the belief is their posterior, and where every reading
/// is taken a hundred times its median is the library's most likely mean.
#[test]
fn censored_likelihoods() {
    let all = cases();
    for c in list(&all, "censored") {
        let log = c["log"].as_bool().unwrap_or(false);
        let sigma = num(c, "sigma");
        // The known spread is the property's default: readings are scaled to it.
        let (property, unit) = if log {
            (LOG, LOG_SD / sigma)
        } else {
            (PLAIN, PLAIN_SD / sigma)
        };
        let to = |y: f64| if log { (unit * y.ln()).exp() } else { unit * y };
        let believe = |repeat: usize| {
            let e = evidence(
                &[("a", "")],
                &[Bench::new("a", property, &rows(c, repeat, to))],
                &[],
                known_spread(),
            );
            e.believe("a", &Ask::room(property))
        };
        let back = |q: Option<f64>| q.map(|y| if log { y.ln() / unit } else { y / unit });
        let b = believe(1);
        for (p, want) in [0.05, 0.5, 0.95].iter().zip(nums(&c["posterior"])) {
            let got = back(b.mean_quantile(*p)).unwrap_or(f64::NAN);
            assert!(
                (got - want).abs() < 1e-3 * sigma,
                "{}: {got} {want}",
                c["id"]
            );
        }
        let got = back(believe(100).mean_quantile(0.5)).unwrap_or(f64::NAN);
        assert!(
            (got - num(c, "mu")).abs() < 1e-3 * sigma,
            "{}: {got}",
            c["id"]
        );
    }
}

/// The model itself, integrated elsewhere: bounds of several prints, and ranges that tell the spread.
#[test]
fn bounds_and_prints_by_quadrature() {
    let all = cases();
    for c in list(&all, "model") {
        let mut benches = Vec::new();
        for (i, p) in list(c, "prints").iter().enumerate() {
            let mut readings: Vec<Reading> =
                nums(&p["exact"]).into_iter().map(Reading::Exact).collect();
            readings.extend(
                p["bounds"]
                    .as_array()
                    .into_iter()
                    .flatten()
                    .filter_map(|b| match (b[0].as_f64(), b[1].as_f64()) {
                        (Some(a), Some(b)) => Some(Reading::Between(a, b)),
                        (Some(a), None) => Some(Reading::AtLeast(a)),
                        (None, Some(b)) => Some(Reading::AtMost(b)),
                        (None, None) => None,
                    }),
            );
            benches.push(Bench::new("a", PLAIN, &readings).print(format!("p-{i}")));
        }
        let b = evidence(&[("a", "")], &benches, &[], Policy::default())
            .believe("a", &Ask::room(PLAIN));
        for (i, p) in [0.05, 0.5, 0.95].iter().enumerate() {
            for (got, want) in [
                (b.mean_quantile(*p), nums(&c["mean"])[i]),
                (b.next_quantile(*p), nums(&c["next"])[i]),
            ] {
                let got = got.unwrap_or(f64::NAN);
                assert!(
                    (got - want).abs() < num(c, "abs_tol"),
                    "{} {p}: {got} {want}",
                    c["id"]
                );
            }
        }
    }
}

/// Readings under one calibration share its error: their mean is no better for being many.
#[test]
fn correlated_inputs_do_not_average_out() {
    let all = cases();
    for c in list(&all, "correlated") {
        let n = num(c, "readings") as usize;
        // In units that make the scatter nothing beside the calibration.
        let unit = 1e6;
        let bias = Bias {
            calibration: "standard".into(),
            kind: BiasKind::Offset,
            slope: unit * num(c, "u_shared"),
        };
        let e = evidence(
            &[("a", "")],
            &[Bench::exact("a", PLAIN, &vec![1000.0; n]).with(|b| b.bias = vec![bias])],
            &[],
            known_spread(),
        );
        let b = e.believe("a", &Ask::room(PLAIN));
        let one_sd = b.mean_quantile(0.841_344_746).map(|q| (q - 1000.0) / unit);
        near(one_sd.map(|u| n as f64 * u), num(c, "u_sum"), 1e-6);
    }
}
