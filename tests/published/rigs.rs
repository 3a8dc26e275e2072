//! Control charts and gauge studies against printed figures; each entry of `rigs.json` names its
//! source and status.

use dutyfit::num::anova::{Crossed, Nested, POOL_ABOVE};
use dutyfit::num::control::{IndividualsLimits, RangeFactors};
use serde_json::Value;

fn entry(key: &str) -> Value {
    let all: Value = serde_json::from_str(include_str!("rigs.json")).expect("JSON");
    let e = all[key].clone();
    for about in ["source", "status"] {
        assert!(
            e[about].as_str().is_some_and(|s| !s.is_empty()),
            "{key} has no {about}"
        );
    }
    e
}

fn number(v: &Value) -> f64 {
    v.as_f64().expect("a figure")
}

fn readings(v: &Value) -> Vec<f64> {
    v.as_array().expect("readings").iter().map(number).collect()
}

fn groups(v: &Value) -> Vec<Vec<f64>> {
    v.as_array().expect("groups").iter().map(readings).collect()
}

#[track_caller]
fn close(what: &str, got: f64, want: f64, tol: f64) {
    assert!((got - want).abs() <= tol, "{what}: {got}, not {want}");
}

#[test]
fn constants_of_the_range_are_the_printed_ones() {
    let e = entry("constants");
    let tol = number(&e["abs_tol"]);
    for row in e["rows"].as_array().expect("rows") {
        let n = row[0].as_u64().expect("a count") as usize;
        let f = RangeFactors::of(n).expect("a subgroup");
        let got = [
            f.half_width(n),
            f.d2,
            f.d3,
            f.lower_range(),
            f.upper_range(),
        ];
        for (i, got) in got.into_iter().enumerate() {
            if let Some(want) = row[i + 1].as_f64() {
                close(&format!("{} of {n}", e["columns"][i + 1]), got, want, tol);
            }
        }
    }
}

/// ISO 7870-2, individuals and moving ranges: 2.66 and 3.267 (from memory; the second is D4 of 2 above).
#[test]
fn an_individuals_chart_has_its_printed_limits() {
    let two = RangeFactors::of(2).expect("a subgroup");
    close("E2", two.half_width(1), 2.66, 0.002);
    let many = IndividualsLimits::of(100_000, 100_000).expect("many");
    close("half", many.half, 2.66, 0.002);
    close("range", many.range, 3.267, 0.001);
    assert!(IndividualsLimits::of(8, 7).expect("few").half > 4.0);
}

#[test]
fn one_way_analysis_has_the_certified_figures() {
    let e = entry("one_way");
    let n = Nested::of(&[groups(&e["groups"])]).expect("told");
    let want = |k: &str| number(&e["expected"][k]);
    close("ms_between", n.between.ms, want("ms_between"), 1e-10);
    close("ms_within", n.within.ms, want("ms_within"), 1e-11);
    close("F", n.between.ms / n.within.ms, want("F"), 1e-7);
    close(
        "residual_sd",
        n.within.ms.sqrt(),
        want("residual_sd"),
        1e-10,
    );

    let e = entry("precision");
    let want = |k: &str| number(&e["expected"][k]);
    let sd = |v: dutyfit::num::anova::Variance| v.estimate.sqrt();
    close("s_r", sd(n.repeat(0.9)), want("s_r"), 1e-9);
    close("s_L", sd(n.groups(0.9)), want("s_L"), 1e-9);
    close("s_R", sd(n.both(0.9)), want("s_R"), 1e-9);
    close("r", 2.8 * sd(n.repeat(0.9)), want("r_limit"), 1e-9);
    close("R", 2.8 * sd(n.both(0.9)), want("R_limit"), 1e-9);
}

#[test]
fn a_variance_below_nothing_is_nothing_and_said() {
    let e = entry("negative");
    let n = Nested::of(&[groups(&e["groups"])]).expect("told");
    let want = |k: &str| number(&e["expected"][k]);
    let between = n.groups(0.9);
    assert!(between.clipped() && !n.balanced);
    close(
        "raw",
        between.raw,
        want("between_variance_before_clipping"),
        1e-9,
    );
    close("s_L", between.estimate.sqrt(), want("s_L"), 1e-12);
    close("s_R", n.both(0.9).estimate.sqrt(), want("s_R"), 1e-8);
    close("n", n.per_group, want("n_effective"), 1e-8);
}

#[test]
fn the_gauge_study_of_the_manual() {
    let e = entry("gauge_study");
    let data: Vec<Vec<Vec<f64>>> = e["data"]
        .as_array()
        .expect("parts")
        .iter()
        .map(groups)
        .collect();
    let study = Crossed::of(&data).expect("balanced");
    let want = |k: &str| number(&e["expected"][k]);
    let squares = |m: dutyfit::num::anova::MeanSquare| m.ms * m.dof;
    let repeats = study.repeats.expect("repeats");
    close("ss_part", squares(study.specimens), want("ss_part"), 1e-6);
    close(
        "ss_operator",
        squares(study.operators),
        want("ss_operator"),
        1e-7,
    );
    close(
        "ss_interaction",
        squares(study.interaction),
        want("ss_interaction"),
        1e-7,
    );
    close("ss_equipment", squares(repeats), want("ss_equipment"), 1e-7);
    close(
        "F",
        study.interaction.ms / repeats.ms,
        want("interaction_F"),
        1e-8,
    );
    let chance = study.interaction_chance().expect("repeats");
    close("p", chance, want("interaction_p"), 5e-5);
    assert!(chance > POOL_ABOVE);
    close(
        "EV not pooled",
        repeats.ms.sqrt(),
        want("EV_not_pooled"),
        1e-8,
    );

    let v = study.variances(0.9);
    assert!(v.pooled && v.interaction.is_none());
    let (ev, av, grr, pv) = (
        v.repeat.deviation(),
        v.operator.deviation(),
        v.both.deviation(),
        v.specimen.deviation(),
    );
    let total = grr[0].hypot(pv[0]);
    close("EV", ev[0], want("EV"), 1e-6);
    close("AV", av[0], want("AV"), 1e-6);
    close("GRR", grr[0], want("GRR"), 2e-6);
    close("PV", pv[0], want("PV"), 1e-6);
    close("TV", total, want("TV"), 5e-4);
    close(
        "percent_GRR",
        100.0 * grr[0] / total,
        want("percent_GRR"),
        0.05,
    );
    close("ndc", 1.41 * pv[0] / grr[0], want("ndc"), 1e-3);

    let limits = entry("gauge_limits");
    for (name, got) in [("EV", ev), ("AV", av), ("GRR", grr)] {
        let tol = number(&limits["abs_tol"][name]);
        let want = readings(&limits["rows"][name]);
        close(name, got[1], want[0], tol);
        close(name, got[0], want[1], tol);
        close(name, got[2], want[2], tol);
    }
}
