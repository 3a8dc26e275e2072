//! `compare`: chances that obey their laws, what is told apart, what is not compared and why.

use crate::runs::{Bench as Readings, evidence};
use crate::support::{Bench, dutyfit};
use dutyfit::advise::compare::{Wanted, compare};
use dutyfit::belief::{Belief, Compared, Evidence, Further, further};
use dutyfit::bench::{Bias, BiasKind};
use dutyfit::policy::Policy;
use dutyfit::property::Ask;
use dutyfit::quantity::Reading;
use proptest::prelude::*;
use serde_json::Value;

const ONSET: &str = "softening-onset";
const FRICTION: &str = "kinetic-friction";

fn offset(calibration: &str, slope: f64) -> Vec<Bias> {
    vec![Bias {
        calibration: calibration.into(),
        kind: BiasKind::Offset,
        slope,
    }]
}

fn held(a: Readings, b: Readings) -> (Evidence, Belief, Belief) {
    let property = a.property;
    let e = evidence(&[("a", ""), ("b", "")], &[a, b], &[], Policy::default());
    let of = |m: &str| e.believe(m, &Ask::room(property));
    let (x, y) = (of("a"), of("b"));
    (e, x, y)
}

fn chance(a: &Readings, b: &Readings, of: Compared) -> f64 {
    let (_, x, y) = held(a.clone(), b.clone());
    x.chance_above(&y, of).expect("both")
}

fn onset(m: &'static str, figures: &[f64]) -> Readings {
    Readings::exact(m, ONSET, figures)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn one_of_the_two_is_higher(
        a in prop::collection::vec(60.0..90.0_f64, 1..5),
        b in prop::collection::vec(60.0..90.0_f64, 1..5),
        bound in any::<bool>(),
    ) {
        let mut x = onset("a", &a);
        if bound {
            x.values[0] = dutyfit::bench::Value::Now(Reading::AtLeast(a[0]));
        }
        let (_, x, y) = held(x, onset("b", &b));
        for of in [Compared::Means, Compared::Parts] {
            let (p, q) = (x.chance_above(&y, of).unwrap(), y.chance_above(&x, of).unwrap());
            prop_assert!((p + q - 1.0).abs() < 1e-9, "{p} {q}");
        }
    }

    #[test]
    fn a_better_reading_of_all_never_lowers_the_chance(
        a in prop::collection::vec(60.0..90.0_f64, 1..5),
        b in prop::collection::vec(60.0..90.0_f64, 1..5),
        up in 0.0..10.0_f64,
    ) {
        let y = onset("b", &b);
        let shifted: Vec<f64> = a.iter().map(|x| x + up).collect();
        for of in [Compared::Means, Compared::Parts] {
            let before = chance(&onset("a", &a), &y, of);
            let after = chance(&onset("a", &shifted), &y, of);
            prop_assert!(after >= before - 1e-9, "{before} {after}");
        }
    }

    #[test]
    fn a_shared_calibration_cancels_and_two_do_not(
        a in prop::collection::vec(60.0..90.0_f64, 2..5),
        b in prop::collection::vec(60.0..90.0_f64, 2..5),
        u in 1.0..20.0_f64,
    ) {
        let with = |x: Readings, id: &str| x.with(|r| r.bias = offset(id, u));
        let plain = chance(&onset("a", &a), &onset("b", &b), Compared::Means);
        let one = chance(&with(onset("a", &a), "one"), &with(onset("b", &b), "one"), Compared::Means);
        let two = chance(&with(onset("a", &a), "one"), &with(onset("b", &b), "two"), Compared::Means);
        prop_assert!((plain - one).abs() < 1e-9, "{plain} {one}");
        prop_assert!((two - 0.5).abs() <= (plain - 0.5).abs() + 1e-9, "{plain} {two}");
    }
}

/// The closed form and the draws that the judge uses say the same, under one calibration and under two.
#[test]
fn the_draws_say_the_same() {
    for other in ["one", "two"] {
        draws_agree_under("one", other);
    }
}

fn draws_agree_under(one: &str, other: &str) {
    let bias = |x: Readings, id: &str| x.with(|r| r.bias = offset(id, 3.0));
    let mut high = onset("a", &[74.0, 77.0]);
    high.values
        .push(dutyfit::bench::Value::Now(Reading::AtLeast(80.0)));
    for a in [onset("a", &[74.0, 77.0, 75.0]), high] {
        let (e, x, y) = held(bias(a, one), bias(onset("b", &[71.0, 76.0]), other));
        let (means, parts) = crate::runs::draws(&e, &x, 64);
        let (other_means, other_parts) = crate::runs::draws(&e, &y, 64);
        let share = |a: &[f64], b: &[f64]| {
            let above = a.iter().zip(b).filter(|(a, b)| a > b).count();
            above as f64 / a.len() as f64
        };
        // 16 384 draws: a standard error of 0.004.
        let p = x.chance_above(&y, Compared::Means).expect("both");
        assert!((p - share(&means, &other_means)).abs() < 0.016, "{p}");
        let p = x.chance_above(&y, Compared::Parts).expect("both");
        assert!((p - share(&parts, &other_parts)).abs() < 0.016, "{p}");
    }
}

/// One print each, a difference of a few spreads: prints tell, further specimens of the same prints do not.
#[test]
fn prints_tell_what_specimens_of_one_print_cannot() {
    let (_, x, y) = held(
        onset("a", &[74.0, 74.4, 73.6]).print("a1"),
        onset("b", &[72.0, 72.4, 71.6]).print("b1"),
    );
    let Further::More {
        same_prints,
        prints,
        specimens,
    } = further(&x, &y, 3)
    else {
        panic!("{:?}", further(&x, &y, 3));
    };
    assert_eq!((same_prints, specimens), (None, 3));
    assert!(prints.is_some_and(|n| n < 20), "{prints:?}");
    // A wider difference needs fewer.
    let (_, x, y) = held(
        onset("a", &[75.0, 75.4, 74.6]).print("a1"),
        onset("b", &[72.0, 72.4, 71.6]).print("b1"),
    );
    match further(&x, &y, 3) {
        Further::More { prints: fewer, .. } => assert!(fewer < prints, "{fewer:?} {prints:?}"),
        other => assert_eq!(other, Further::Told),
    }
}

#[test]
fn two_rigs_that_may_differ_by_more_are_told_apart_by_no_number() {
    let (_, x, y) = held(
        onset("a", &[74.0, 74.4]).with(|r| r.bias = offset("one", 9.0)),
        onset("b", &[72.0, 72.4]).with(|r| r.bias = offset("two", 9.0)),
    );
    assert_eq!(further(&x, &y, 3), Further::Never);
}

#[test]
fn less_is_better_where_the_property_says_so() {
    let a = Readings::exact("a", FRICTION, &[0.2, 0.21, 0.19]).on("glass");
    let b = Readings::exact("b", FRICTION, &[0.4, 0.41, 0.39]).on("glass");
    let e = evidence(&[("a", ""), ("b", "")], &[a, b], &[], Policy::default());
    let names = ["a".to_owned(), "b".to_owned()];
    let c = compare(&e, &names, &Wanted::default());
    assert_eq!(c.rows.len(), 1);
    assert!(
        c.rows[0].pairs[0].means > 0.95 && c.rows[0].pairs[0].told,
        "{c:#?}"
    );
    assert_eq!(c.rows[0].condition.counterface.as_deref(), Some("glass"));
}

const MATERIALS: &str = "material,polymer\npetg-a,petg\nasa-a,asa\npla-a,pla\n";
const RIGS: &str = "rig,channel,from,unit,low,high,resolution,offset_u,gain_u\n\
    sled-1,pull,2026-01-01,N,0,50,0.01,0.05,0.05\n";
const HEADER: &str =
    "run,specimen,date,material,rig,face,temperature [degC],counterface,load [N],pull [N]\n";

fn bench() -> Bench {
    let line = |run: &str, specimen: u32, material: &str, surface: &str, pull: f64| {
        format!("{run},{specimen},2026-05-02,{material},sled-1,bottom,23,{surface},20,{pull}\n")
    };
    let mut lines = String::from(HEADER);
    for (i, (run, material, surface, pull)) in [
        ("r-1", "petg-a", "glass", 6.0),
        ("r-2", "asa-a", "glass", 8.0),
        ("r-3", "petg-a", "wood", 7.0),
        ("r-4", "pla-a", "steel-smooth", 5.0),
    ]
    .into_iter()
    .enumerate()
    {
        for s in 1..=3 {
            lines.push_str(&line(
                run,
                s,
                material,
                surface,
                pull + 0.1 * f64::from(s) + 0.01 * i as f64,
            ));
        }
    }
    Bench::new()
        .file("catalog/materials.csv", MATERIALS)
        .file("catalog/rigs.csv", RIGS)
        .file("catalog/readings/static-friction.csv", lines)
}

fn answered(args: &[&str]) -> Value {
    let args = [args, &["--format", "json"]].concat();
    bench().run(&args).exits(0).json()
}

#[test]
fn only_what_was_tested_alike_is_compared() {
    let v = answered(&["compare", "petg-a", "asa-a"]);
    let rows = v["rows"].as_array().expect("rows");
    assert_eq!(rows.len(), 1, "{v:#}");
    assert_eq!(rows[0]["condition"]["counterface"], "glass");
    // The rig may be 5 % off: that would hide less than the difference, and cancels anyway.
    assert_eq!(
        rows[0]["pairs"][0]["shared_calibrations"][0],
        "sled-1/pull/2026-01-01"
    );
    assert!(rows[0]["pairs"][0]["means"].as_f64() < Some(0.05), "{v:#}");

    let v = answered(&["compare", "petg-a", "pla-a"]);
    assert!(v["rows"].as_array().is_some_and(Vec::is_empty));
    let not = &v["not_compared"][0];
    assert_eq!(not["property"], "static-friction");
    assert_eq!(
        not["tested"][0]["conditions"].as_array().map(Vec::len),
        Some(2)
    );
    let out = bench().run(&["compare", "petg-a", "pla-a"]).exits(0).out;
    assert!(out.contains("tested otherwise"), "{out}");
    assert!(
        out.contains("on glass") && out.contains("on steel-smooth"),
        "{out}"
    );
}

#[test]
fn three_are_held_against_each_other() {
    let v = answered(&["compare", "petg-a", "asa-a", "pla-a"]);
    assert_eq!(v["materials"].as_array().map(Vec::len), Some(3));
    assert_eq!(v["rows"][0]["sides"].as_array().map(Vec::len), Some(2));
    let ran = dutyfit(&[
        "compare",
        "pla-a",
        "petg-a",
        "asa-a",
        "--demo",
        "--property",
        "density",
    ]);
    let out = ran.exits(0).out;
    assert!(
        out.contains("over petg-a") && out.contains("over asa-a"),
        "{out}"
    );
}

#[test]
fn what_cannot_be_compared_is_refused_by_name() {
    for (args, code) in [
        (
            &["compare", "petg-a", "petg-a"][..],
            "usage::compared-with-itself",
        ),
        (&["compare", "petg-a", "petg-b"], "usage::unknown-material"),
        (
            &["compare", "petg-a", "asa-a", "--property", "strenght"],
            "usage::unknown-property",
        ),
        (
            &["compare", "petg-a", "asa-a", "--property", "price"],
            "usage::not-tested",
        ),
        (
            &["compare", "petg-a", "asa-a", "--on", "glas"],
            "counterface::unknown",
        ),
    ] {
        let ran = bench().run(args).exits(2);
        assert!(ran.err.contains(code), "{args:?}: {}", ran.err);
    }
    assert!(
        bench()
            .run(&["compare", "petg-a"])
            .exits(2)
            .err
            .contains("2")
    );
}
