//! Where the formulas of hold, wear, friction, rebound, hardness, washer, ring, torque, adhesion
//! and abrasion runs end: a reading
//! beyond becomes a bound or a named refusal, never a figure.

#![expect(
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on stops here"
)]

use crate::published::sheets::check;
use dutyfit::bench::{BiasKind, Law, Observation, Value, reduce_run};
use dutyfit::catalog::read_sheet;
use dutyfit::property::{Face, Properties};
use dutyfit::quantity::Reading;
use proptest::prelude::*;

#[test]
fn beyond_its_validity_a_reading_is_a_bound_or_a_refusal() {
    check(include_str!("bench_edges.json"));
}

/// The observations of the first specimen of a sheet, as the belief gets them.
fn observed(sheet: &str) -> Vec<Observation> {
    let (test, runs) = read_sheet("sheet.csv", sheet.as_bytes()).expect("a sheet without faults");
    let run = runs.first().expect("a run");
    let reduced = reduce_run(test, run, &Properties::default());
    reduced.specimens[0].observations.clone()
}

fn of(all: &[Observation], property: &str) -> Observation {
    all.iter()
        .find(|o| o.property.as_str() == property)
        .unwrap_or_else(|| panic!("no {property} in {all:?}"))
        .clone()
}

const WASHER: &str = "specimen,point,bolt,outer [mm],inner [mm],height [mm],torque_on [N.m],time [h],torque_off [N.m],fresh_off [N.m],outcome\n";

#[test]
fn the_nut_factor_is_one_uncertainty_that_all_bolted_runs_share() {
    for outcome in ["", "collapsed"] {
        let all = observed(&format!("{WASHER}1,1,M6,18,6.4,5,3,,,,{outcome}\n"));
        let o = of(&all, "bearing-strength");
        let bias: Vec<_> = o.bias.iter().map(|b| (&*b.calibration, b.kind)).collect();
        assert_eq!(bias, [("nut-factor", BiasKind::Gain)]);
        // A thread rougher than thought presses less: K from 0.18 to 0.27 about 0.20.
        assert!(
            (o.bias[0].slope + 0.152_254_6).abs() < 1e-6,
            "{}",
            o.bias[0].slope
        );
    }
}

#[test]
fn a_clamp_is_kept_from_the_minute_of_the_fresh_loosening_on() {
    let all = observed(&format!(
        "{WASHER}1,1,M6,18,6.4,5,3,1,2.0,2.5,\n1,2,,,,,,24,1.5,,\n"
    ));
    let Value::Curve(c) = of(&all, "clamp-retained").value else {
        panic!("a curve over time")
    };
    let want = [(1.0 / 60.0, 1.0), (1.0, 0.8), (24.0, 0.6)];
    assert_eq!(c.points.len(), want.len());
    for (p, w) in c.points.iter().zip(want) {
        assert!(
            (p.0 - w.0).abs() < 1e-12 && (p.1 - w.1).abs() < 1e-12,
            "{p:?} {w:?}"
        );
    }
    assert_eq!(c.law, Law::Retained);
    // Loosened sooner than that, the fresh joint still comes first.
    let all = observed(&format!("{WASHER}1,1,M6,18,6.4,5,3,0.01,2.4,2.5,\n"));
    let Value::Curve(c) = of(&all, "clamp-retained").value else {
        panic!("a curve over time")
    };
    assert!((c.points[0].0 - 0.005).abs() < 1e-12 && c.points.len() == 2);
}

#[test]
fn a_hold_is_shared_by_its_first_reading_above_time_zero() {
    let all = observed(
        "specimen,point,outer [mm],height [mm],held_height [mm],faces,time [h],force [N]\n\
         1,1,20,10,9,greased,0,520\n1,2,,,,,0.1,400\n1,3,,,,,10,300\n",
    );
    let Value::Curve(c) = of(&all, "force-retained").value else {
        panic!("a curve over time")
    };
    assert_eq!(c.points, [(0.1, 1.0), (10.0, 0.75)]);
    assert_eq!(c.law, Law::Retained);
}

#[test]
fn a_bound_over_time_says_for_which_hours() {
    let all = observed(
        "specimen,point,outer [mm],height [mm],held_height [mm],faces,time [h],force [N]\n\
         1,1,20,10,9,greased,0.1,400\n1,2,,,,,10,100\n1,3,,,,,20,0\n",
    );
    let o = of(&all, "force-retained");
    assert_eq!(
        (o.value, o.hours),
        (Value::Now(Reading::AtMost(0.25)), Some(20.0))
    );
}

#[test]
fn the_step_of_the_gauge_reaches_the_figure() {
    // A spring balance of 0.1 N steps under 20 N; a goniometer of half degrees at 30 deg.
    let all = observed("counterface,load [N],pull [N]\nglass,20,5\n");
    assert!((of(&all, "static-friction").resolution - 0.005).abs() < 1e-9);
    let all = observed("counterface,angle [deg]\nglass,30\n");
    let step = 0.5_f64.to_radians() / 30.0_f64.to_radians().cos().powi(2);
    assert!((of(&all, "static-friction").resolution / step - 1.0).abs() < 0.01);
}

#[test]
fn face_surface_and_an_early_failure_stay_with_the_reading() {
    let all = observed(
        "face,counterface,contact,area [mm2],load [N],distance [m],depth [um],outcome\n\
         top,tile,flat,100,20,300,80,early failure\n",
    );
    let o = of(&all, "wear-rate");
    assert!(o.early);
    assert_eq!(o.condition.face, Some(Face::Top));
    assert_eq!(o.condition.counterface.as_deref(), Some("tile"));
}

#[test]
fn friction_and_wear_ask_for_the_surface_and_no_other_test_does() {
    let asking: Vec<&str> = dutyfit::bench::tests()
        .iter()
        .filter(|t| t.needs_counterface())
        .map(|t| t.id())
        .collect();
    assert_eq!(asking, ["sliding-wear", "static-friction"]);
}

proptest! {
    /// Grease, bond or neither: the modulus without the faces never passes the apparent one.
    #[test]
    fn faces_only_ever_stiffen(
        outer in 5.0..60.0_f64,
        height in 2.0..20.0_f64,
        share in 0.005..0.29_f64,
        stress in 0.01..60.0_f64,
    ) {
        let held = height * (1.0 - share);
        let force = stress * outer * outer * std::f64::consts::FRAC_PI_4;
        let modulus = |faces: &str| {
            let all = observed(&format!(
                "outer [mm],height [mm],held_height [mm],faces,force [N]\n{outer},{height},{held},{faces},{force}\n"
            ));
            match of(&all, "compression-modulus").value {
                Value::Now(r) => r.figures(),
                Value::Curve(_) => panic!("no curve"),
            }
        };
        let (greased, bonded, dry) = (modulus("greased").0, modulus("bonded"), modulus("dry"));
        prop_assert!(bonded.0 <= greased * (1.0 + 1e-9));
        prop_assert!(bonded.1.is_none_or(|high| high <= greased * (1.0 + 1e-9)));
        prop_assert!((dry.0 / bonded.0 - 1.0).abs() < 1e-9);
    }

    /// Depth and width of one groove give one volume.
    #[test]
    fn a_groove_wears_alike_by_depth_and_by_width(r in 3.0..30.0_f64, share in 0.001..0.99_f64) {
        let depth = share * r;
        let scar = 2.0 * (depth * (2.0 * r - depth)).sqrt();
        let rate = |column: &str, x: f64| {
            let all = observed(&format!(
                "counterface,contact,radius [mm],length [mm],load [N],distance [m],{column}\n\
                 glass,shaft-on-flat,{r},8,20,1000,{x}\n"
            ));
            match of(&all, "wear-rate").value {
                Value::Now(x) => x.as_exact(),
                Value::Curve(_) => panic!("no curve"),
            }
        };
        prop_assume!(depth > 0.01 && scar > 0.05);
        let (a, b) = (rate("depth [um]", 1000.0 * depth), rate("scar [mm]", scar));
        prop_assert!((a / b - 1.0).abs() < 1e-6, "{a} {b}");
    }
}
