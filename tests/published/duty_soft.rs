//! Struck and squeezed parts against the worked cases of `duties.json`: case text in, figures of the
//! parts' own working out.

use super::duties::each;
use crate::duty::{Figures, case, performs, step};
use dutyfit::duty::{Case, Duty};
use dutyfit::policy::Class;

/// Formulas of the worked cases that this file drives.
pub(super) const COVERS: &[&str] = &[
    "impact_energy",
    "impact_linear",
    "impact_linear_drop",
    "impact_plateau",
    "block_energy",
    "resilience",
];

/// Standard gravity, m/s^2.
const GN: f64 = 9.80665;

/// A case whose loads carry no factor.
fn plainly(kind: &str, inputs: &str) -> Case {
    let mut c = case(kind, inputs);
    c.setting.class = Some(Class::Nuisance);
    c
}

fn guard(inputs: &str) -> Duty {
    plainly("impact-guard", inputs)
        .duty()
        .expect("within validity")
}

/// A block of 100 x 100 x 1000 mm has the spring rate k at a modulus of k/10.
const BLOCK: &str = r#""shape": "block", "length": "100 mm", "width": "100 mm", "depth": "1 m""#;

fn of_rate<'a>(k: f64) -> [(&'a str, f64); 2] {
    [
        ("compression-modulus", k / 10.0),
        ("dynamic-stiffening", 1.0),
    ]
}

#[test]
fn i1_energy_and_speed_of_a_drop() {
    each("impact_energy", |w| {
        let (kg, m) = (w.input("mass"), w.input("drop"));
        let d = guard(&format!(
            r#"{{ "mass": "{kg} kg", "drop": "{m} m", {BLOCK} }}"#
        ));
        let figures = of_rate(50.0);
        w.gives(
            "energy",
            step(&d, "bottoming", &figures, "energy of the blow"),
        );
        w.gives("v", step(&d, "bottoming", &figures, "speed of the blow"));
    });
}

#[test]
fn i2_linear_bumper() {
    each("impact_linear", |w| {
        let (kg, v) = (w.input("mass"), w.input("v"));
        let d = guard(&format!(
            r#"{{ "mass": "{kg} kg", "lightest_mass": "{kg} kg", "speed": "{v} m/s", {BLOCK},
                 "force_allowed": "1 kN", "deceleration_allowed": "100 m/s^2" }}"#
        ));
        let figures = of_rate(w.input("k"));
        w.gives(
            "energy",
            step(&d, "bottoming", &figures, "energy of the blow"),
        );
        w.gives(
            "deflection",
            step(&d, "bottoming", &figures, "depth pushed in"),
        );
        w.gives("peak_force", performs(&d, "force", &figures));
        w.gives("peak_accel", performs(&d, "deceleration", &figures) / GN);
    });
}

#[test]
fn i3_linear_bumper_with_gravity() {
    each("impact_linear_drop", |w| {
        let (kg, m) = (w.input("mass"), w.input("drop"));
        let d = guard(&format!(
            r#"{{ "mass": "{kg} kg", "drop": "{m} m", {BLOCK}, "force_allowed": "1 kN" }}"#
        ));
        let figures = of_rate(w.input("k"));
        w.gives(
            "deflection",
            step(&d, "bottoming", &figures, "depth pushed in"),
        );
        w.gives("peak_force", performs(&d, "force", &figures));
    });
}

#[test]
fn i4_crushing_at_a_plateau() {
    each("impact_plateau", |w| {
        let (kg, v) = (w.input("mass"), w.input("v"));
        let (p, area, h) = (w.input("plateau"), w.input("area"), w.input("h"));
        let d = guard(&format!(
            r#"{{ "mass": "{kg} kg", "lightest_mass": "{kg} kg", "speed": "{v} m/s", "works": "crushes",
                 "plateau": "{p} MPa", "densification": {}, "shape": "block", "length": "{} mm",
                 "width": "10 mm", "depth": "{h} mm", "force_allowed": "2 kN", "deceleration_allowed": "100 m/s^2" }}"#,
            w.input("densification"),
            area / 10.0
        ));
        w.gives("energy", step(&d, "bottoming", &[], "energy of the blow"));
        w.gives("force", performs(&d, "force", &[]));
        w.gives("crush", step(&d, "bottoming", &[], "depth crushed"));
        w.gives("crush_strain", performs(&d, "bottoming", &[]));
        w.gives("accel", performs(&d, "deceleration", &[]) / GN);
        let bottoms = d
            .limits
            .iter()
            .find(|l| l.id == "bottoming")
            .expect("limit");
        assert!(
            !bottoms.sense.met(performs(&d, "bottoming", &[])),
            "{}",
            w.id
        );
    });
}

#[test]
fn i5_energy_of_a_rubber_block() {
    each("block_energy", |w| {
        // The worked case is linear to 25 %: the energy at the end of the linear law, scaled by squares.
        let d = guard(&format!(
            r#"{{ "mass": "1 kg", "speed": "0.1 m/s", "shape": "block", "length": "{} mm", "width": "{} mm",
                 "depth": "{} mm", "faces": "bonded", "squeeze_allowed": 0.1 }}"#,
            w.input("a"),
            w.input("b"),
            w.input("h")
        ));
        // No bulk limit in the worked case.
        let figures = [
            ("compression-modulus", w.input("E")),
            ("bulk-modulus", 1e12),
        ];
        let tenth = step(
            &d,
            "bottoming",
            &figures,
            "energy taken up to the squeeze allowed",
        );
        w.gives("energy", tenth * (w.input("strain") / 0.1).powi(2));
    });
}

#[test]
fn i6_stored_energy_and_the_ninth_of_it() {
    each("resilience", |w| {
        let d = guard(&format!(
            r#"{{ "mass": "1 kg", "speed": "1 m/s", {BLOCK} }}"#
        ));
        let aim = d.aims.iter().find(|a| a.id == "toughness").expect("aim");
        let figures: Figures<'_> = &[
            ("yield-strength", w.input("stress")),
            ("tensile-modulus", w.input("E")),
        ];
        let (stored, steps) = crate::duty::worked(&d, &aim.needs, &aim.performance, figures);
        let lip = steps
            .iter()
            .find(|s| s.what == "mean of an end-loaded lip")
            .expect("step")
            .value;
        w.gives("uniform", stored);
        w.gives("cantilever_mean", lip);
        w.gives("share", lip / stored);
    });
}
