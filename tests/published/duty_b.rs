//! Sleeves and sliding pads against worked cases: case text in, figures of the working out.
//!
//! Source of every case, unless its line says otherwise: worked by hand from the
//! formula named, and recomputed by a second, independent script. Status:
//! derived from mechanics; tolerance 0.2 %.

use crate::duty::{Figures, bound, case, close, limit, margin, performs, step};
use dutyfit::duty::{Case, Duty};
use dutyfit::policy::Class;

const WITHIN: f64 = 0.002;

/// Checks steps of a limit's working.
#[track_caller]
fn shows(duty: &Duty, id: &str, figures: Figures<'_>, expected: &[(&str, f64)]) {
    for (what, wanted) in expected {
        let got = step(duty, id, figures, what);
        assert!(
            (got - wanted).abs() <= WITHIN * wanted.abs(),
            "{id}, {what}: got {got}, wanted {wanted}"
        );
    }
}

fn sleeve(bore: f64, outer: f64, length: f64, more: &str) -> Case {
    let mut c = case(
        "handle-sleeve",
        &format!(
            r#"{{ "bar_diameter": "22.2 mm", "bore": "{bore} mm", "outer_diameter": "{outer} mm",
                 "length": "{length} mm", "bar": "aluminium", "pull": "100 N", "twist": "1 N.m"{more} }}"#
        ),
    );
    c.setting.counterface = Some("steel-smooth".to_owned());
    c
}

/// A material of a sleeve whose figures do not matter are those of the case.
fn rubber<'a>(e: f64, nu: f64, mu: f64, kept: f64, expansion: f64) -> Vec<(&'a str, f64)> {
    vec![
        ("tensile-modulus", e),
        ("poisson-ratio", nu),
        ("static-friction", mu),
        ("force-retained", kept),
        ("thermal-expansion", expansion),
        ("break-strain", 300.0),
        ("sustained-strength", 5.0),
    ]
}

#[test]
fn g1_thin_sleeve_26_mpa_stretched_2_8_percent() {
    let duty = sleeve(21.6, 23.6, 120.0, "").duty().unwrap();
    let m = rubber(26.0, 0.5, 0.6, 1.0, 150.0);
    shows(
        &duty,
        "pull-off",
        &m,
        &[
            ("hoop strain", 0.027_777_8),
            ("hoop stress", 0.722_222),
            ("contact pressure", 0.065_065_1),
        ],
    );
    shows(
        &duty,
        "hoop-stress",
        &m,
        &[("hoop stress when new", 0.722_222)],
    );
}

#[test]
fn g2_g3_thick_sleeve_free_and_held_from_shortening() {
    let duty = sleeve(21.6, 32.0, 120.0, "").duty().unwrap();
    let m = rubber(26.0, 0.5, 0.6, 1.0, 150.0);
    shows(
        &duty,
        "pull-off",
        &m,
        &[
            ("contact pressure, free to shorten", 0.209_405),
            ("hoop stress, free to shorten", 0.598),
            ("contact pressure, held from shortening", 0.243),
            ("hoop stress, held from shortening", 0.693_937),
            // Held on the low end, split on the high end.
            ("contact pressure", 0.209_405),
        ],
    );
    shows(
        &duty,
        "hoop-stress",
        &m,
        &[("hoop stress when new", 0.693_937)],
    );

    let duty = sleeve(22.1, 26.2, 120.0, "").duty().unwrap();
    let rigid = rubber(2400.0, 0.38, 0.6, 1.0, 70.0);
    shows(
        &duty,
        "pull-off",
        &rigid,
        &[
            ("contact pressure", 1.670_57),
            ("hoop stress, free to shorten", 10.176),
        ],
    );
}

#[test]
fn g4_soft_sleeve_stretched_9_9_percent() {
    let duty = sleeve(20.2, 25.2, 120.0, "").duty().unwrap();
    let m = rubber(12.0, 0.5, 0.6, 1.0, 150.0);
    shows(
        &duty,
        "pull-off",
        &m,
        &[
            ("stretch", 1.099_01),
            ("true hoop stress", 1.191_65),
            ("wall as mounted", 2.384_73),
            ("contact pressure, thin wall", 0.256_015),
        ],
    );
}

#[test]
fn g5_pull_and_torque_of_a_pressure() {
    // G2 turned round gives the modulus at which this sleeve presses with 0.05 MPa.
    let e = 26.0 * 0.05 / 0.209_405;
    let duty = sleeve(21.6, 32.0, 120.0, "").duty().unwrap();
    let m = rubber(e, 0.5, 0.6, 1.0, 150.0);
    shows(
        &duty,
        "twist",
        &m,
        &[
            ("contact pressure", 0.05),
            ("pull held when new", 251.076),
            ("torque held when new", 2.786_94),
        ],
    );
    close(performs(&duty, "pull-off", &m), 251.076, WITHIN);
    close(performs(&duty, "twist", &m), 2.786_94, WITHIN);
}

#[test]
fn g6_pressure_and_interference_that_a_pull_needs() {
    // 100 N with factor 2 (class severe) at friction 0.3 over 110 mm needs 0.0868987 MPa.
    let e = 26.0 * 0.086_898_7 / 0.209_405;
    let mut c = sleeve(21.6, 32.0, 110.0, "");
    c.setting.class = Some(Class::Severe);
    let duty = c.duty().unwrap();
    close(bound(limit(&duty, "pull-off")), 200.0, 1e-12);
    let m = rubber(e, 0.5, 0.3, 1.0, 150.0);
    shows(&duty, "pull-off", &m, &[("contact pressure", 0.086_898_7)]);
    close(margin(&duty, "pull-off", &m), 1.0, WITHIN);

    // With half of it relaxed, 15 MPa and 30 mm outside need 1.00853 mm of interference.
    let mut c = sleeve(22.2 - 1.008_53, 30.0, 110.0, "");
    c.setting.class = Some(Class::Severe);
    let duty = c.duty().unwrap();
    let m = rubber(15.0, 0.5, 0.3, 0.5, 150.0);
    shows(
        &duty,
        "pull-off",
        &m,
        &[
            ("interference as fitted", 1.008_53),
            ("contact pressure", 0.173_797),
        ],
    );
    close(margin(&duty, "pull-off", &m), 1.0, WITHIN);
}

#[test]
fn g7_interference_left_at_60_degc() {
    let mut c = sleeve(21.6, 32.0, 120.0, "");
    c.setting.temperature_c = (60.0, 60.0);
    let duty = c.duty().unwrap();
    let m = rubber(26.0, 0.5, 0.6, 1.0, 150.0);
    for id in ["pull-off", "hoop-strain", "hoop-stress"] {
        shows(
            &duty,
            id,
            &m,
            &[("interference at this temperature", 0.495_682)],
        );
    }
}

#[test]
fn g2_g5_g8_from_bore_to_pull_off_after_a_year() {
    let mut c = sleeve(21.3, 30.0, 115.0, "");
    c.setting.class = Some(Class::Injury);
    let duty = c.duty().unwrap();
    // 7 % a decade from 10 min to a year leaves 0.669533; the bench gives that figure here.
    let m = rubber(15.0, 0.5, 0.35, 0.669_533, 150.0);
    shows(
        &duty,
        "pull-off",
        &m,
        &[
            ("contact pressure", 0.155_095),
            ("pull held when new", 435.379),
            ("pull held at the end of the life", 291.501),
        ],
    );
    close(bound(limit(&duty, "pull-off")), 150.0, 1e-12);
    assert!(
        margin(&duty, "pull-off", &m) > 1.0,
        "it meets 100 N with factor 1.5"
    );
}

#[test]
fn g9_an_end_collar_is_trusted_with_half_of_a_thin_bands_torque() {
    let duty = sleeve(
        22.4,
        32.0,
        120.0,
        r#", "fixing": "collar", "collar_force": "1000 N""#,
    )
    .duty()
    .unwrap();
    let m = rubber(26.0, 0.5, 0.2, 1.0, 150.0);
    shows(
        &duty,
        "twist",
        &m,
        &[
            ("torque of a thin band", 13.948_7),
            ("torque of the end collar", 13.948_7 / 2.0),
        ],
    );
    close(performs(&duty, "twist", &m), 13.948_7 / 2.0, WITHIN);
}

/// Clearance fit: contact pressure, pull-off force and torque are nothing, never negative;
/// a glued or clamped fixing must be named (fact of the trade: common practice, no source).
#[test]
fn a_sleeve_with_clearance_holds_nothing_by_friction_and_glued_it_is_judged_by_its_wall() {
    let duty = sleeve(22.4, 32.0, 120.0, "").duty().unwrap();
    for id in ["pull-off", "twist"] {
        let l = limit(&duty, id);
        assert!(l.needs.is_empty(), "no property can help");
        close(performs(&duty, id, &[]) + 1.0, 1.0, 1e-12);
        assert_eq!(l.failure, "fits with clearance and holds 0 N by friction");
        assert!(!l.sense.met(performs(&duty, id, &[])));
    }
    let glued = sleeve(22.4, 32.0, 120.0, r#", "fixing": "glue""#)
        .duty()
        .unwrap();
    assert!(
        glued
            .limits
            .iter()
            .all(|l| !l.id.starts_with("pull-off") && !l.id.starts_with("twist"))
    );
    assert!(margin(&glued, "bond-shear", &[("tensile-strength", 10.0)]) > 1.0);
    assert!(
        glued
            .notes
            .iter()
            .any(|n| n.contains("glue's own strength is not judged"))
    );
}

/// Log relaxation carried too far, 1 - 0.16 x 6.72: nothing is retained, never a negative force.
#[test]
fn a_relaxation_carried_too_far_leaves_nothing_and_never_a_negative_force() {
    let duty = sleeve(21.6, 32.0, 120.0, "").duty().unwrap();
    let m = rubber(26.0, 0.5, 0.6, 1.0 - 0.16 * 6.72, 150.0);
    close(performs(&duty, "pull-off", &m) + 1.0, 1.0, 1e-12);
}
