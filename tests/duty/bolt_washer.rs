//! The bolt-washer part kind.

use super::{aimed, bound, case, codes, governing, limit, margin, unread};
use dutyfit::duty::Case;

fn washer(more: &str) -> Case {
    case(
        "bolt-washer",
        &format!(
            r#"{{ "bolt": "M6", "torque": "2 N.m", "outer_diameter": "18 mm", "height": "5 mm",
                 "clamped_length": "25 mm", "pressed_by": "wide-steel-washer"{more} }}"#
        ),
    )
}

#[test]
fn the_torque_is_the_load_and_the_class_sets_its_factor() {
    let mut c = washer("");
    let duty = c.duty().unwrap();
    assert!((bound(limit(&duty, "torque")) - 2.0 * 1.25).abs() < 1e-12);
    c.setting.class = Some(dutyfit::policy::Class::Severe);
    assert!((bound(limit(&c.duty().unwrap(), "torque")) - 2.0 * 2.0).abs() < 1e-12);
}

#[test]
fn a_bore_as_wide_as_the_rim_is_refused_with_both_figures() {
    let c = case(
        "bolt-washer",
        r#"{ "bolt": "M6", "torque": "2 N.m", "outer_diameter": "6 mm", "inner_diameter": "6.4 mm",
             "height": "5 mm", "clamped_length": "25 mm" }"#,
    );
    let f = super::faults(&c);
    assert_eq!(f[0].code, "duty::washer-hole");
    assert!(
        f[0].what.contains("6.4 mm") && f[0].what.contains(" 6 mm"),
        "{f:?}"
    );
}

#[test]
fn a_torque_that_stretches_the_bolt_is_refused() {
    let c = case(
        "bolt-washer",
        r#"{ "bolt": "M6", "torque": "30 N.m", "outer_diameter": "18 mm", "height": "5 mm", "clamped_length": "25 mm" }"#,
    );
    assert_eq!(codes(&c), ["duty::bolt-overloaded"]);
}

/// A stiff washer that carries, keeps and recovers well.
const GOOD: &[(&str, f64)] = &[
    ("bearing-strength", 40.0),
    ("clamp-retained", 0.8),
    ("force-retained", 0.7),
    ("compression-modulus", 1800.0),
    ("washer-set", 0.01),
    ("softening-onset", 75.0),
    ("thermal-expansion", 70.0),
    ("price", 30.0),
    ("density", 1.2),
    ("nozzle-temperature", 230.0),
    ("bed-temperature", 75.0),
    ("dry-time", 4.0),
];

#[test]
fn a_higher_torque_turns_the_governing_limit_from_holding_to_crushing() {
    let at = |torque: &str| {
        case(
            "bolt-washer",
            &format!(
                r#"{{ "bolt": "M6", "torque": "{torque}", "clamp_needed": "300 N", "outer_diameter": "18 mm",
                     "height": "5 mm", "clamped_length": "25 mm", "pressed_by": "wide-steel-washer" }}"#
            ),
        )
        .duty()
        .unwrap()
    };
    assert_eq!(governing(&at("1 N.m"), GOOD), "clamp-left");
    assert_eq!(governing(&at("6 N.m"), GOOD), "torque");
}

#[test]
fn a_hot_shed_softens_a_washer_that_a_warm_one_does_not() {
    let mut c = washer("");
    c.setting.temperature_c = (23.0, 50.0);
    assert!(margin(&c.duty().unwrap(), "heat-margin", GOOD) >= 1.0);
    c.setting.storage_c = Some((23.0, 60.0));
    assert!(margin(&c.duty().unwrap(), "heat-margin", GOOD) < 1.0);
}

#[test]
fn a_field_that_the_part_does_not_know_is_refused() {
    let said = unread(
        "bolt-washer",
        r#"{ "bolt": "M6", "torque": "2 N.m", "outer_diameter": "18 mm", "height": "5 mm", "clamped_length": "25 mm", "grip": 3 }"#,
    );
    assert!(said.contains("unknown field `grip`"), "{said}");
}

#[test]
fn printing_effort_and_cost_are_valued_from_zero_to_one() {
    let duty = washer(r#", "joints": 4"#).duty().unwrap();
    let (effort, value) = aimed(&duty, "easy-print", GOOD);
    assert!((effort - (0.5 + 1.0 + 0.5)).abs() < 1e-12);
    assert!((value - (4.0 - 2.0) / 3.5).abs() < 1e-12);
    let (cost, value) = aimed(&duty, "cost", GOOD);
    let area = std::f64::consts::FRAC_PI_4 * (18.0f64.powi(2) - 6.6f64.powi(2));
    assert!((cost - 30.0 * 1.2e-6 * area * 5.0 * 4.0).abs() < 1e-9);
    assert!((value - (100.0f64 / 30.0).ln() / (100.0f64 / 15.0).ln()).abs() < 1e-9);
}
