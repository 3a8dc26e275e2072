//! Small samples against published and reproduced factors; each list of `small_samples.json` names
//! its source and status.

use crate::runs::{Bench, Missed, evidence, known_spread, textbook};
use dutyfit::belief::{Belief, Note};
use dutyfit::policy::Policy;
use dutyfit::property::Ask;
use serde_json::Value;

/// A property on the plain scale that holds at any temperature; default spread 2.5.
const PLAIN: &str = "softening-onset";
const PLAIN_SD: f64 = 2.5;

/// A list of rows of figures, and its tolerance.
fn list(key: &str) -> (Vec<Vec<Value>>, Value) {
    let all: Value = serde_json::from_str(include_str!("small_samples.json")).expect("JSON");
    let rows = all[key]["rows"].as_array().expect("rows").iter();
    let rows: Vec<Vec<Value>> = rows.map(|r| r.as_array().expect("a row").clone()).collect();
    assert!(!rows.is_empty() && all[key]["status"].is_string());
    (rows, all[key].clone())
}

fn figure(v: &Value) -> f64 {
    v.as_f64().expect("a figure")
}

/// Readings of this number and standard deviation about 100.
fn sample(n: usize, sd: f64) -> Vec<f64> {
    let raw: Vec<f64> = (0..n).map(|i| i as f64 - 0.5 * (n as f64 - 1.0)).collect();
    let s = (raw.iter().map(|x| x * x).sum::<f64>() / (n as f64 - 1.0).max(1.0)).sqrt();
    raw.iter().map(|x| 100.0 + sd * x / s.max(1e-300)).collect()
}

fn of(readings: &[f64], policy: Policy) -> Belief {
    let bench = Bench::exact("a", PLAIN, readings);
    evidence(&[("a", "")], &[bench], &[], policy).believe("a", &Ask::room(PLAIN))
}

#[test]
fn tolerance_factors_of_more_samples() {
    let (rows, about) = list("tolerance");
    for r in rows {
        let n = r[0].as_u64().expect("a count") as usize;
        let b = of(&sample(n, 1.0), textbook());
        let k = figure(&r[3]);
        let (low, high) = b
            .share_bounds(figure(&r[1]), figure(&r[2]))
            .expect("figures");
        let off = ((100.0 - low) / k - 1.0)
            .abs()
            .max(((high - 100.0) / k - 1.0).abs());
        assert!(off < figure(&about["rel_tol"]), "{r:?}: off by {off}");
    }
}

/// The rows of the standard's table that are not checked elsewhere.
#[test]
fn printed_factors_of_the_next_part() {
    let (rows, about) = list("predictive_printed");
    for r in rows {
        let n = r[0].as_u64().expect("a count") as usize;
        let (b, unit) = if r[1] == true {
            (of(&vec![100.0; n], known_spread()), PLAIN_SD)
        } else {
            (of(&sample(n, 1.0), textbook()), 1.0)
        };
        let k = (100.0 - b.next_quantile(0.05).expect("a figure")) / unit;
        assert!(
            (k - figure(&r[2])).abs() < figure(&about["abs_tol"]),
            "{r:?}: {k}"
        );
    }
}

/// The default spread stands behind one to five specimens: they may say more, or less.
#[test]
fn few_specimens_with_a_spread_behind_them() {
    let (rows, about) = list("pooled");
    let tol = figure(&about["rel_tol"]);
    for r in rows {
        let (dof, n, sd) = (
            figure(&r[0]),
            r[1].as_u64().expect("a count") as usize,
            figure(&r[2]),
        );
        let policy = Policy {
            rho: 0.0,
            pool_floor: dof,
            pool_cap: dof,
            ..Policy::default()
        };
        let b = of(&sample(n, sd), policy);
        let low = b
            .share_bounds(figure(&r[3]), figure(&r[4]))
            .expect("figures")
            .0;
        let next = b.next_quantile(0.95).expect("a figure") - 100.0;
        let mean = b.mean_quantile(0.95).expect("a figure") - 100.0;
        for (got, want, tol) in [
            (100.0 - low, figure(&r[5]), tol),
            (next, figure(&r[6]), 1e-6),
            (mean, figure(&r[7]), 1e-6),
        ] {
            assert!((got / want - 1.0).abs() < tol, "{r:?}: {got} for {want}");
        }
    }
}

/// Names for as many materials as a case has.
const OTHERS: [&str; 20] = [
    "m-01", "m-02", "m-03", "m-04", "m-05", "m-06", "m-07", "m-08", "m-09", "m-10", "m-11", "m-12",
    "m-13", "m-14", "m-15", "m-16", "m-17", "m-18", "m-19", "m-20",
];

/// How alike the others scatter is learnt from their variances: the next part of a material with one
/// reading, to 3 % of its distance, against both parameters integrated out.
#[test]
fn variances_of_others_tell_how_alike_they_scatter() {
    let all: Value = serde_json::from_str(include_str!("small_samples.json")).expect("JSON");
    let mut missed = Missed::default();
    for c in all["spread_prior"]["cases"].as_array().expect("cases") {
        let list = |key: &str| c[key].as_array().expect("figures").iter().map(figure);
        let others = OTHERS.iter().zip(list("variances").zip(list("dof")));
        let mut benches: Vec<Bench> = others
            .map(|(id, (variance, dof))| {
                Bench::exact(id, PLAIN, &sample(dof as usize + 1, variance.sqrt()))
            })
            .collect();
        benches.push(Bench::exact("a", PLAIN, &[100.0]));
        let ids: Vec<(&str, &str)> = benches.iter().map(|b| (b.material, "")).collect();
        let policy = Policy {
            rho: 0.0,
            ..Policy::default()
        };
        let b = evidence(&ids, &benches, &[], policy).believe("a", &Ask::room(PLAIN));
        for row in c["next"].as_array().expect("rows") {
            let (p, want) = (figure(&row[0]), figure(&row[1]));
            // Far in the tail one scaled inverse chi-square tells the mixture of many less closely.
            let share = if p > 0.98 { 0.06 } else { 0.03 };
            let got = b.next_quantile(p).map(|q| q - 100.0);
            let what = format!("{} next {p}", c["id"]);
            missed.check(&what, got, want, share * want);
        }
    }
    missed.none();
}

/// One gross outlier: told beyond the predictive limit and not within it, and its influence ends there.
#[test]
fn one_gross_outlier_is_told_and_held() {
    let (rows, _) = list("outlier");
    for r in rows {
        let (dof, n, limit) = (
            figure(&r[0]),
            r[1].as_u64().expect("a count") as usize,
            figure(&r[2]),
        );
        let believe = |spreads: f64| {
            let mut readings = vec![100.0; n - 1];
            readings.push(100.0 + spreads * PLAIN_SD);
            let policy = Policy {
                rho: 0.0,
                pool_floor: dof,
                pool_cap: dof,
                ..Policy::default()
            };
            of(&readings, policy)
        };
        let taken = |b: &Belief| {
            b.notes.iter().find_map(|n| match n {
                Note::Outlier { taken, .. } => Some(*taken),
                _ => None,
            })
        };
        assert_eq!(taken(&believe(0.999 * limit)), None, "{r:?}");
        let (near, far) = (believe(1.001 * limit), believe(1000.0 * limit));
        for b in [&near, &far] {
            let held = (taken(b).expect("an outlier") - 100.0) / PLAIN_SD;
            assert!((held / limit - 1.0).abs() < 1e-6, "{r:?}: {held}");
        }
        for p in [0.05, 0.5, 0.95] {
            assert_eq!(near.mean_quantile(p), far.mean_quantile(p), "{r:?}");
            assert_eq!(near.next_quantile(p), far.next_quantile(p), "{r:?}");
        }
        // Not dropped: it moves the mean, and widens what is believed of the next part.
        let alike = of(
            &vec![100.0; n - 1],
            Policy {
                rho: 0.0,
                pool_floor: dof,
                pool_cap: dof,
                ..Policy::default()
            },
        );
        assert!(far.mean_quantile(0.5) > alike.mean_quantile(0.5), "{r:?}");
        assert!(far.next_quantile(0.95) > alike.next_quantile(0.95), "{r:?}");
    }
}
