//! Where the formulas of pull, bend, blow, creep, heat, weight and water runs end: a reading
//! beyond becomes a bound or a named refusal, never a figure.

#![expect(
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on stops here"
)]

use crate::published::sheets::check;
use dutyfit::bench::{Law, Observation, Value, reduce_run};
use dutyfit::catalog::read_sheet;
use dutyfit::property::Properties;
use proptest::prelude::*;

#[test]
fn beyond_its_validity_a_reading_is_a_bound_or_a_refusal() {
    check(include_str!("bench_loads.json"));
}

/// The observations of every specimen of a sheet, as the belief gets them.
fn observed(sheet: &str) -> Vec<Vec<Observation>> {
    let (test, runs) = read_sheet("sheet.csv", sheet.as_bytes()).expect("a sheet without faults");
    runs.iter()
        .flat_map(|run| reduce_run(test, run, &Properties::default()).specimens)
        .map(|s| s.observations)
        .collect()
}

fn of(all: &[Observation], property: &str) -> Observation {
    all.iter()
        .find(|o| o.property.as_str() == property)
        .unwrap_or_else(|| panic!("no {property} in {all:?}"))
        .clone()
}

#[test]
fn break_types_stay_apart() {
    let all = observed(
        "specimen,direction,width [mm],depth [mm],notch,energy [J],outcome\n\
         1,flat,4,8,V,0.2,\n2,flat,4,8,V,0.4,partial\n3,flat,4,8,V,0.5,hinge\n4,flat,4,8,V,0.9,no break\n",
    );
    let kinds: Vec<Option<String>> = all
        .iter()
        .map(|s| of(s, "impact-notched").condition.kind)
        .collect();
    let want = [None, Some("partial"), Some("hinge"), None];
    assert_eq!(kinds, want.map(|k| k.map(str::to_owned)));
}

const CREEP: &str = "specimen,point,direction,mode,span [mm],width [mm],thickness [mm],load [N],time [h],deflection [mm],outcome\n";

#[test]
fn a_creep_curve_keeps_the_moment_of_loading_and_knows_its_stress() {
    let all = observed(&format!(
        "{CREEP}1,1,flat,tension,50,10,4,200,0,0.1,\n1,2,flat,,,,,,1,0.125,\n1,3,flat,,,,,,10,0.2,\n1,4,flat,,,,,,100,1.5,\n"
    ));
    let o = of(&all[0], "creep-modulus");
    assert_eq!(o.stress_mpa, Some(5.0));
    let Value::Curve(c) = o.value else {
        panic!("a curve over time")
    };
    assert_eq!(c.law, Law::Strain);
    let want = [(0.0, 2500.0), (1.0, 2000.0), (10.0, 1250.0)];
    assert_eq!(c.points.len(), want.len(), "{c:?}");
    for (p, w) in c.points.iter().zip(want) {
        assert!(
            (p.0 - w.0).abs() < 1e-12 && (p.1 - w.1).abs() < 1e-9,
            "{p:?} {w:?}"
        );
    }
}

#[test]
fn a_stress_borne_says_for_which_hours() {
    let all = observed(&format!(
        "{CREEP}1,1,flat,tension,50,10,4,200,10,,\n1,2,flat,,,,,,300,,stopped\n2,1,flat,tension,50,10,4,200,10,,\n2,2,flat,,,,,,300,,ruptured\n"
    ));
    for (specimen, outcome) in all.iter().zip(["borne", "ruptured"]) {
        let o = of(specimen, "sustained-strength");
        assert_eq!(o.hours, Some(300.0), "{outcome}");
    }
}

#[test]
fn the_step_of_the_gauge_reaches_the_figure() {
    // 0.01 mm of a caliper on 10 and 4 mm, 0.1 N on 800 N.
    let all = observed("direction,width [mm],thickness [mm],force [N]\nflat,10,4,800\n");
    let got = of(&all[0], "tensile-strength").resolution / 20.0;
    let want = (0.001_f64.powi(2) + 0.0025_f64.powi(2) + (0.1_f64 / 800.0).powi(2)).sqrt();
    assert!((got / want - 1.0).abs() < 0.01, "{got} {want}");
    // Thickness enters a bending modulus cubed.
    let all = observed(
        "specimen,point,direction,span [mm],width [mm],thickness [mm],force [N],deflection [mm]\n\
         1,1,flat,64,10,4,4.1,0.0853\n1,2,flat,,,,20.7,0.4267\n",
    );
    let o = of(&all[0], "flexural-modulus");
    let parts = [
        3.0 * 0.01 / 4.0,
        3.0 * 0.1 / 64.0,
        0.01 / 10.0,
        2.0_f64.sqrt() * 0.1 / 16.6,
        2.0_f64.sqrt() * 0.01 / 0.3414,
    ];
    let want = parts.iter().map(|p| p * p).sum::<f64>().sqrt();
    let got = o.resolution / o.value.figure();
    assert!((got / want - 1.0).abs() < 0.03, "{got} {want}");
}

#[test]
fn four_tests_ask_for_the_direction() {
    let asking: Vec<&str> = dutyfit::bench::tests()
        .iter()
        .filter(|t| t.needs_direction())
        .map(|t| t.id())
        .collect();
    assert_eq!(asking, ["tensile", "flexure", "impact", "creep"]);
}

proptest! {
    /// What a scale in kilograms-force shows is what one in newtons shows.
    #[test]
    fn kgf_and_newtons_reduce_alike(force in 20.0..5000.0_f64, width in 3.0..20.0_f64) {
        let strength = |unit: &str, x: f64| {
            let all = observed(&format!(
                "direction,width [mm],thickness [mm],force [{unit}]\nedge,{width},4,{x}\n"
            ));
            of(&all[0], "tensile-strength").value.figure()
        };
        let (n, kgf) = (strength("N", force), strength("kgf", force / 9.80665));
        prop_assert!((n / kgf - 1.0).abs() < 1e-12);
    }

    /// A straight line keeps its modulus through any slack, section and gauge.
    #[test]
    fn slack_never_changes_a_modulus(
        modulus in 200.0..8000.0_f64,
        slack in 0.0..0.004_f64,
        gauge in 40.0..120.0_f64,
    ) {
        let mut sheet = String::from("specimen,point,direction,width [mm],thickness [mm],gauge [mm],force [N],extension [mm],outcome\n");
        for i in 0..40_u32 {
            let strain = 0.0002 * f64::from(i);
            let force = 40.0 * modulus * (strain - slack).max(0.0);
            let x = strain * gauge;
            sheet += &format!("1,{},flat,10,4,{gauge},{force},{x},{}\n", i + 1, if i == 39 { "stopped" } else { "" });
        }
        let all = observed(&sheet);
        let got = of(&all[0], "tensile-modulus").value.figure();
        // Slack too small to be told from zero leaves its knee in the window.
        let tolerance = if slack > 0.0 && slack < 0.0008 { 0.25 } else { 1e-6 };
        prop_assert!((got / modulus - 1.0).abs() < tolerance, "{got} {modulus}");
    }
}
