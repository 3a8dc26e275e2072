//! The chance that one sample's mean, or next item, lies above another's, against figures found by
//! quadrature; `comparison.json` names the source and status of each.

use crate::runs::{Bench, evidence, textbook};
use dutyfit::belief::{Belief, Compared, Evidence};
use dutyfit::policy::Policy;
use dutyfit::property::Ask;
use serde_json::Value;

/// A property on the plain scale.
const PLAIN: &str = "softening-onset";

/// Readings of a case's side: as given, or evenly spaced with this mean and standard deviation.
fn readings(side: &Value) -> Vec<f64> {
    if let Some(values) = side["values"].as_array() {
        return values
            .iter()
            .map(|v| v.as_f64().expect("a figure"))
            .collect();
    }
    let of = |k: &str| side[k].as_f64().expect("a figure");
    let n = of("n");
    let raw: Vec<f64> = (0..n as usize)
        .map(|i| i as f64 - 0.5 * (n - 1.0))
        .collect();
    let s = (raw.iter().map(|x| x * x).sum::<f64>() / (n - 1.0).max(1.0)).sqrt();
    raw.iter()
        .map(|x| of("mean") + of("sd") * x / s.max(1e-300))
        .collect()
}

fn both(c: &Value, policy: Policy, resolution: f64) -> (Evidence, Belief, Belief) {
    let bench = |m, side: &Value| {
        Bench::exact(m, PLAIN, &readings(side)).with(|b| b.resolution = resolution)
    };
    let benches = [bench("a", &c["a"]), bench("b", &c["b"])];
    let e = evidence(&[("a", ""), ("b", "")], &benches, &[], policy);
    let of = |m: &str| e.believe(m, &Ask::room(PLAIN));
    let (a, b) = (of("a"), of("b"));
    (e, a, b)
}

#[test]
fn chances_of_means_and_of_next_items() {
    let all: Value = serde_json::from_str(include_str!("comparison.json")).expect("JSON");
    let mut looked = 0;
    for c in all["cases"].as_array().expect("cases") {
        assert!(c["source"].is_string() && c["status"].is_string());
        let Some(means) = c["expected"]["p_mean_greater"].as_f64() else {
            continue;
        };
        let items = c["expected"]["p_next_item_greater"]
            .as_f64()
            .expect("a chance");
        // Nothing pooled: the textbook's reference prior.
        let (_, a, b) = both(c, textbook(), 0.0);
        let got =
            [Compared::Means, Compared::Parts].map(|of| a.chance_above(&b, of).expect("both"));
        for (got, want) in got.into_iter().zip([means, items]) {
            assert!((got - want).abs() < 1e-5, "{}: {got}, not {want}", c["id"]);
        }
        looked += 1;
    }
    assert_eq!(looked, 5);
}

/// One reading, or three alike: refused by the textbook, for their scatter is not known. Here the pooled
/// spread, or that of the property table, stands behind them, and the gauge's step is a floor: the chance is
/// one, and less sure than the readings look.
#[test]
fn one_reading_or_three_alike_are_no_certainty() {
    let all: Value = serde_json::from_str(include_str!("comparison.json")).expect("JSON");
    let refused = |c: &&Value| c["expected"]["verdict"] == "refuse";
    let cases = all["cases"]
        .as_array()
        .expect("cases")
        .iter()
        .filter(refused);
    let mut looked = 0;
    for c in cases {
        let (_, a, b) = both(c, Policy::default(), 0.5);
        let p = a.chance_above(&b, Compared::Means).expect("both");
        assert!((0.6..0.97).contains(&p), "{}: {p}", c["id"]);
        looked += 1;
    }
    assert_eq!(looked, 2);
}
