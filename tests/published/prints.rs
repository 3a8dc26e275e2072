//! Variance of prints by restricted maximum likelihood against published fits; each case of
//! `prints.json` names its source and status.

use crate::runs::{Bench, Missed, evidence, readings, stated};
use dutyfit::num::reml::{PrintSums, VarianceRatio};
use dutyfit::policy::Policy;
use dutyfit::property::Ask;
use serde_json::Value;

/// A property on the plain scale that holds at any temperature; default spread 2.5.
const PLAIN: &str = "softening-onset";

fn cases() -> Vec<(Value, VarianceRatio)> {
    let all: Value = serde_json::from_str(include_str!("prints.json")).expect("JSON");
    let cases = all["cases"].as_array().expect("a list").clone();
    assert!(!cases.is_empty());
    for (c, key) in cases
        .iter()
        .flat_map(|c| ["source", "status", "profile_status"].map(|k| (c, k)))
    {
        assert!(
            c[key].as_str().is_some_and(|s| !s.is_empty()),
            "{} {key}",
            c["id"]
        );
    }
    cases.into_iter().map(|c| (c.clone(), ratio(&c))).collect()
}

fn ratio(c: &Value) -> VarianceRatio {
    let materials = c["materials"].as_array().expect("materials");
    let sums = materials.iter().map(|m| {
        m.as_array()
            .expect("prints")
            .iter()
            .map(|p| {
                let readings = p.as_array().expect("readings");
                let y: Vec<f64> = readings.iter().filter_map(Value::as_f64).collect();
                PrintSums::of(&y).expect("finite")
            })
            .collect::<Vec<_>>()
    });
    VarianceRatio::new(sums).expect("told")
}

#[track_caller]
fn near(got: f64, want: f64, relative: f64, what: &str) {
    assert!(
        (got - want).abs() <= relative * want.abs().max(1e-12),
        "{what}: {got} is not {want}"
    );
}

#[test]
fn published_fits_of_print_variance() {
    for (c, r) in cases() {
        let Some(printed) = c["published"].as_object() else {
            continue;
        };
        let best = r.estimate();
        let s2 = r.within_variance(best);
        for (name, want) in printed {
            let got = match name.as_str() {
                "print_sd" => (best * s2).sqrt(),
                "within_sd" => s2.sqrt(),
                "minus_2_log" => -2.0 * r.log_likelihood(best),
                other => panic!("{other} is no figure of a fit"),
            };
            let tol = c["rel_tol"].as_f64().expect("tolerance");
            near(
                got,
                want.as_f64().expect("figure"),
                tol,
                &format!("{} {name}", c["id"]),
            );
        }
    }
}

#[test]
fn profiles_of_the_variance_ratio() {
    for (c, r) in cases() {
        let want = |key: &str| c[key].as_f64().expect("figure");
        let says = |key: &str| format!("{} {key}", c["id"]);
        let best = r.estimate();
        near(best, want("ratio"), 1e-6, &says("ratio"));
        near(
            r.log_likelihood(best),
            want("log_likelihood"),
            1e-9,
            &says("log-likelihood"),
        );
        near(
            r.within_variance(best),
            want("within_variance"),
            1e-6,
            &says("s2"),
        );
        let (low, high) = r.interval(0.9);
        near(low, want("low"), 1e-6, &says("low"));
        near(high, want("high"), 1e-6, &says("high"));
        for pair in c["at"].as_array().expect("pairs") {
            let (at, l) = (
                pair[0].as_f64().expect("ratio"),
                pair[1].as_f64().expect("l"),
            );
            near(
                r.log_likelihood(at),
                l,
                1e-9,
                &says("likelihood on the way"),
            );
        }
    }
}

/// How far prints differ is not known: the whole posterior of mean, spread and ratio, bounds among the
/// readings; to 2.5e-3 of the interval's half width, which is what five nodes of the ratio give.
#[test]
fn posteriors_where_the_ratio_is_unsure() {
    let all: Value = serde_json::from_str(include_str!("prints.json")).expect("JSON");
    let mut missed = Missed::default();
    for c in all["unsure"]["cases"].as_array().expect("cases") {
        let prints = c["prints"].as_array().expect("prints").iter().enumerate();
        let benches: Vec<Bench> = prints
            .map(|(i, rows)| Bench::new("a", PLAIN, &readings(rows)).print(format!("p-{i}")))
            .collect();
        let policy = Policy {
            rho: c["rho"].as_f64().expect("rho"),
            pool_floor: 4.0,
            pool_cap: 4.0,
            ..Policy::default()
        };
        let e = evidence(&[("a", "")], &benches, &stated(PLAIN, &c["stated"]), policy);
        missed.check_case(&e.believe("a", &Ask::room(PLAIN)), c, 2.5e-3, 1.0);
    }
    missed.none();
}

/// Names for as many materials as a case has.
const STUDIED: [&str; 10] = [
    "s-0", "s-1", "s-2", "s-3", "s-4", "s-5", "s-6", "s-7", "s-8", "s-9",
];

/// What repeated prints of some materials tell of the ratio is carried, unsure as it is, to the next part
/// of another material; to 1 %.
#[test]
fn repeated_prints_of_others_widen_the_next_part() {
    let mut missed = Missed::default();
    for (c, _) in cases() {
        let mut benches = Vec::new();
        let materials = c["materials"].as_array().expect("materials");
        for (id, prints) in STUDIED.iter().zip(materials) {
            for (i, p) in prints.as_array().expect("prints").iter().enumerate() {
                let y: Vec<f64> = p
                    .as_array()
                    .into_iter()
                    .flatten()
                    .filter_map(Value::as_f64)
                    .collect();
                benches.push(Bench::exact(id, PLAIN, &y).print(format!("{id}-p{i}")));
            }
        }
        benches.push(Bench::exact("a", PLAIN, &[0.0]));
        let mut ids: Vec<(&str, &str)> = benches.iter().map(|b| (b.material, "")).collect();
        ids.dedup();
        let policy = Policy {
            pool_floor: 4.0,
            pool_cap: 4.0,
            ..Policy::default()
        };
        let b = evidence(&ids, &benches, &[], policy).believe("a", &Ask::room(PLAIN));
        for row in c["carried"]["next"].as_array().expect("rows") {
            let (p, want) = (
                row[0].as_f64().expect("p"),
                row[1].as_f64().expect("figure"),
            );
            missed.check(
                &format!("{} {p}", c["id"]),
                b.next_quantile(p),
                want,
                0.01 * want,
            );
        }
    }
    missed.none();
}
