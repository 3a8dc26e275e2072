//! Variance of prints by restricted maximum likelihood against published fits; each case of
//! `prints.json` names its source and status.

use dutyfit::num::reml::{PrintSums, VarianceRatio};
use serde_json::Value;

fn cases() -> Vec<(Value, VarianceRatio)> {
    let all: Value = serde_json::from_str(include_str!("prints.json")).expect("JSON");
    let cases = all["cases"].as_array().expect("a list").clone();
    assert!(!cases.is_empty());
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
