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
/// Formulas of the worked cases that this file holds inline.
pub(super) const COVERS: &[&str] = &[
    "band_clamp_torque",
    "contact_disc_temperature",
    "grip_chain",
    "groove_wear",
    "sleeve_holding",
    "sleeve_lame_rigid",
    "sleeve_lame_rigid_plane_strain",
    "sleeve_neo_hookean",
    "sleeve_required_interference",
    "sleeve_required_pressure",
    "sleeve_thermal",
    "sleeve_thin",
    "wear_factor_from_rate",
    "wear_flat",
    "wear_flat_force",
    "wear_life",
];

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
        assert_eq!(l.failure, "fits with clearance, holding 0 N by friction");
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

fn pad(contact: &str, life: &str, more: &str) -> Case {
    let hours = life.trim_end_matches(" h").parse().unwrap();
    let mut c = case(
        "sliding-pad",
        &format!(r#"{{ "contact": "{contact}", "thickness": "10 mm", {more} }}"#),
    );
    c.setting.counterface = Some("steel-smooth".to_owned());
    c.setting.class = Some(Class::Nuisance);
    c.setting.life_h = hours;
    c
}

#[test]
fn a1_1_mpa_at_a_tenth_of_a_metre_a_second_for_1000_h() {
    let duty = pad(
        "flat",
        "1000 h",
        r#""load": "600 N", "area": "600 mm2", "speed": "0.1 m/s", "wear_allowed": "1 mm", "thermal_resistance": "12 K/W""#,
    )
    .duty()
    .unwrap();
    close(
        performs(&duty, "wear-depth", &[("wear-rate", 2e-6)]),
        0.72,
        WITHIN,
    );
}

#[test]
fn a1_200_n_on_20_by_30_mm_for_50_km() {
    let duty = pad(
        "flat",
        "24 h",
        r#""load": "200 N", "width": "20 mm", "length": "30 mm", "speed": "0.2 m/s",
           "strokes_per_day": 50000, "stroke": "1 m", "wear_allowed": "1 mm", "thermal_resistance": "12 K/W""#,
    )
    .duty()
    .unwrap();
    let m = &[("wear-rate", 1.5e-5)];
    shows(
        &duty,
        "wear-depth",
        m,
        &[("distance slid", 50_000.0), ("volume worn", 150.0)],
    );
    close(performs(&duty, "wear-depth", m), 0.25, WITHIN);
}

#[test]
fn a2_hours_until_half_a_millimetre_is_gone() {
    let duty = pad(
        "flat",
        "100 h",
        r#""load": "300 N", "area": "600 mm2", "speed": "0.05 m/s", "wear_allowed": "0.5 mm", "thermal_resistance": "12 K/W""#,
    )
    .duty()
    .unwrap();
    let m = &[("wear-rate", 1e-5)];
    shows(
        &duty,
        "wear-depth",
        m,
        &[("life until the allowed wear", 555.556)],
    );
    close(crate::duty::aimed(&duty, "wear-life", m).0, 555.556, WITHIN);
}

/// Printed PLA 22 um per km at 0.05 MPa, printed PA 6 at most 1 um per km at 0.10 MPa
/// (doi 10.2478/msp-2025-0039, tables; rate and pressure verified in source, counterface not
/// seen, the conversion derived): specific wear rates 4.4e-4 and at most 1e-5 mm3/(N.m).
#[test]
fn a1_published_depths_per_kilometre() {
    for (load, k, um) in [(30.0, 4.4e-4, 22.0), (60.0, 1e-5, 1.0)] {
        let duty = pad(
            "flat",
            "24 h",
            &format!(
                r#""load": "{load} N", "area": "600 mm2", "speed": "0.6 m/s",
                   "strokes_per_day": 1000, "stroke": "1 m", "wear_allowed": "1 mm", "thermal_resistance": "12 K/W""#
            ),
        )
        .duty()
        .unwrap();
        close(
            performs(&duty, "wear-depth", &[("wear-rate", k)]) * 1000.0,
            um,
            WITHIN,
        );
    }
}

/// 132e-10 in3 min/(ft lbf h) is 265e-8 mm3/(N.m) in a published paired table to ASTM D3702;
/// a handbook pairs 1000 psi ft/min with 0.035 MPa.m/s (both verified in source). A foot is 12 inches.
#[test]
fn a3_a4_wear_factors_and_pressure_times_speed_in_both_unit_systems() {
    use dutyfit::quantity::{Unit, parse_amount};
    let to = |text: &str, unit: &str| parse_amount(text, &Unit::parse(unit).unwrap(), "x").unwrap();
    let per_inch = 1.32e-8 / 12.0;
    close(
        to(&format!("{per_inch} in^3.min/(in.lbf.h)"), "mm3/(N.m)"),
        2.659_03e-6,
        WITHIN,
    );
    close(to("12000 psi.in/min", "MPa.m/s"), 0.035_025, WITHIN);
    close(to("120000 psi.in/min", "MPa.m/s"), 0.350_25, WITHIN);
}

fn bush(contact: &str, life: &str) -> Duty {
    pad(
        contact,
        life,
        r#""load": "150 N", "bore": "10 mm", "length": "12 mm", "turns": "120 rpm",
           "wear_allowed": "1 mm", "thermal_resistance": "12 K/W""#,
    )
    .duty()
    .unwrap()
}

#[test]
fn a5_a6_a_bush_at_120_turns_a_minute() {
    let duty = bush("bush-load-fixed", "500 h");
    let m = &[("pv-held", 0.2), ("bearing-strength", 10.0)];
    shows(
        &duty,
        "pv",
        m,
        &[
            ("pressure", 1.25),
            ("sliding speed", 0.062_831_9),
            ("pressure times speed", 0.078_539_8),
        ],
    );
    shows(&duty, "pressure", m, &[("highest pressure", 1.591_55)]);
    close(bound(limit(&duty, "pv")), 0.078_539_8, WITHIN);
    close(bound(limit(&duty, "pressure")), 1.591_55, WITHIN);
}

#[test]
fn a6_a7_a_standing_and_a_turning_load_wear_a_bush_fourfold_apart() {
    let m = &[("wear-rate", 3e-6)];
    let fixed = bush("bush-load-fixed", "500 h");
    shows(&fixed, "wear-depth", m, &[("distance slid", 113_097.0)]);
    close(performs(&fixed, "wear-depth", m), 0.54, WITHIN);
    let turning = bush("bush-load-turning", "500 h");
    close(performs(&turning, "wear-depth", m), 0.135, WITHIN);
}

#[test]
fn a8_a_shaft_of_10_mm_radius_wears_a_groove() {
    let groove = |strokes: u32| {
        pad(
            "shaft-on-flat",
            "24 h",
            &format!(
                r#""load": "50 N", "shaft_diameter": "20 mm", "length": "8 mm", "speed": "0.1 m/s",
                   "strokes_per_day": {strokes}, "stroke": "1 m", "wear_allowed": "0.5 mm", "thermal_resistance": "12 K/W""#
            ),
        )
        .duty()
        .unwrap()
    };
    let m = &[("wear-rate", 2e-5)];
    let duty = groove(1000);
    shows(
        &duty,
        "wear-depth",
        m,
        &[
            ("volume worn", 1.0),
            ("depth of a small groove", 0.076_027_5),
            ("depth of the groove", 0.076_085_5),
        ],
    );
    // Depth goes with distance to the power 2/3: eight times as far, four times as deep.
    shows(
        &groove(8000),
        "wear-depth",
        m,
        &[("depth of a small groove", 4.0 * 0.076_027_5)],
    );
    // And the allowed wear is reached accordingly later.
    let worn = performs(&duty, "wear-depth", m);
    let life = step(&duty, "wear-depth", m, "life until the allowed wear");
    close(life, 24.0 * (0.5 / worn).powf(1.5), 1e-9);
}

#[test]
fn a9_pressure_times_speed_is_fine_and_the_speed_is_beyond_its_own_limit() {
    let duty = pad(
        "flat",
        "100 h",
        r#""load": "12 N", "area": "600 mm2", "speed": "1.5 m/s", "speed_allowed": "1 m/s",
           "wear_allowed": "1 mm", "thermal_resistance": "12 K/W""#,
    )
    .duty()
    .unwrap();
    let m = &[("pv-held", 0.05), ("bearing-strength", 10.0)];
    shows(
        &duty,
        "pv",
        m,
        &[("pressure", 0.02), ("pressure times speed", 0.03)],
    );
    assert!(margin(&duty, "pv", m) > 1.0 && margin(&duty, "pressure", m) > 1.0);
    let speed = limit(&duty, "speed");
    assert!(!speed.sense.met(performs(&duty, "speed", m)));
    close(performs(&duty, "speed", m), 1.5, 1e-12);
}

#[test]
fn a10_friction_heat_of_150_n_through_12_k_per_w() {
    let duty = pad(
        "flat",
        "100 h",
        r#""load": "150 N", "area": "600 mm2", "speed": "0.0628 m/s", "wear_allowed": "1 mm", "thermal_resistance": "12 K/W""#,
    )
    .duty()
    .unwrap();
    let m = &[("kinetic-friction", 0.3), ("softening-onset", 100.0)];
    shows(
        &duty,
        "heat-margin",
        m,
        &[
            ("friction heat", 2.826),
            ("rise by friction", 33.912),
            ("temperature of the sliding face", 56.912),
        ],
    );
    close(performs(&duty, "heat-margin", m), 100.0 - 56.912, WITHIN);
}

fn spot(surface: &str, onset: f64) -> (Vec<(&'static str, f64)>, Duty) {
    let mut c = pad(
        "flat",
        "100 h",
        r#""load": "20 N", "area": "600 mm2", "speed": "0.5 m/s", "contact_radius": "1 mm",
           "wear_allowed": "1 mm", "thermal_resistance": "1 K/W""#,
    );
    c.setting.counterface = Some(surface.to_owned());
    let m = vec![
        ("kinetic-friction", 0.4),
        ("softening-onset", onset),
        ("conductivity", 0.2),
    ];
    (m, c.duty().unwrap())
}

#[test]
fn a11_a_small_spot_on_steel_warms_and_plastic_on_plastic_melts() {
    let (m, duty) = spot("steel-smooth", 100.0);
    shows(
        &duty,
        "spot-heat",
        &m,
        &[
            ("friction heat", 4.0),
            ("rise of the contact spot", 19.920_3),
        ],
    );
    assert!(margin(&duty, "spot-heat", &m) > 1.0);
    // 2500 K is no prediction: it says that the pair melts, and the figure is capped.
    let (m, duty) = spot("same-polymer", 100.0);
    shows(
        &duty,
        "spot-heat",
        &m,
        &[("rise of the contact spot", 2500.0)],
    );
    close(performs(&duty, "spot-heat", &m), 10.0, 1e-12);
    assert!(margin(&duty, "spot-heat", &m) < 1.0);
}

#[test]
fn every_formula_listed_has_a_worked_case() {
    for formula in COVERS {
        super::duties::each(formula, |_| {});
    }
}
