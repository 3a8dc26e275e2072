//! Joints, feet and index formulas against figures worked out elsewhere.
//!
//! Every figure is reached as a user reaches it: the inputs of a case in, a limit's bound,
//! performance or step of its working out.

#![expect(
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on stops here"
)]

use crate::duty::{bound, case, close, limit, performs, step};
use crate::support::{Bench, dutyfit};
use dutyfit::duty::{Case, Duty};
use dutyfit::policy::Class;

/// Formulas of the worked cases that this file holds inline.
pub(super) const COVERS: &[&str] = &[
    "clamp_retained_modulus",
    "clamp_retained_set",
    "clamp_thermal",
    "joint_stiffness",
    "preload_from_proof",
    "preload_from_torque",
    "proof_load",
    "slip_force",
    "slip_margin_on_slope",
    "thread_geometry",
    "tip_or_slide",
    "torque_long_form",
    "washer_pressure",
    "washer_torque_limit",
];

/// Relative tolerance: the outside figures carry six digits, the tables three.
const TOLERANCE: f64 = 0.002;

/// A joint judged without a factor on its loads.
fn joint(inputs: &str) -> Case {
    let mut c = case("bolt-washer", inputs);
    c.setting.class = Some(Class::Nuisance);
    c
}

/// M6, class 8.8, 25 mm grip, a 3 mm washer 12/6.4 of 2200 MPa, clamped with 1600 N.
fn worked_joint(more: &str) -> Duty {
    joint(&format!(
        r#"{{ "bolt": "M6", "clamp": "1600 N", "nut_factor_low": 0.2, "nut_factor_high": 0.2,
             "outer_diameter": "12 mm", "inner_diameter": "6.4 mm", "height": "3 mm",
             "clamped_length": "25 mm"{more} }}"#
    ))
    .duty()
    .expect("a joint within validity")
}

// Source: bolt joint with stiffnesses in series (W7); status: derived from mechanics.
#[test]
fn bolt_and_washer_stiffness() {
    let d = worked_joint("");
    let figures = [("force-retained", 0.4), ("compression-modulus", 2200.0)];
    let k = |what| step(&d, "clamp-left", &figures, what);
    close(
        k("stiffness of the bolt and what is in series"),
        164_820.0,
        TOLERANCE,
    );
    close(k("stiffness of the washer"), 59_346.8, TOLERANCE);
}

// Source: fixed closure, washer's modulus down to 40 % (W8); status: derived from mechanics.
#[test]
fn clamp_load_after_relaxation() {
    let d = worked_joint("");
    let figures = [("force-retained", 0.4), ("compression-modulus", 2200.0)];
    close(
        step(&d, "clamp-left", &figures, "share of the clamp load kept"),
        0.475_537,
        TOLERANCE,
    );
    close(performs(&d, "clamp-left", &figures), 760.86, TOLERANCE);
}

// Source: the same with a 1500 N/mm coned spring in series (W8, W9); status: derived from mechanics.
#[test]
fn a_coned_spring_keeps_the_clamp_load() {
    let d = worked_joint(r#", "spring": "1500 N/mm""#);
    let figures = [("force-retained", 0.4), ("compression-modulus", 2200.0)];
    close(
        step(&d, "clamp-left", &figures, "share of the clamp load kept"),
        0.964_643,
        TOLERANCE,
    );
    close(performs(&d, "clamp-left", &figures), 1543.43, TOLERANCE);
}

// Source: 35 % of the squeeze lost, stiffness unchanged (W10); status: derived from mechanics.
#[test]
fn clamp_load_after_set() {
    let d = worked_joint("");
    let figures = [("compression-set", 35.0), ("compression-modulus", 2200.0)];
    close(
        performs(&d, "clamp-after-set", &figures),
        1188.26,
        TOLERANCE,
    );
    // The limit of a stiff bolt: what is lost is lost whole.
    let soft = [("compression-set", 35.0), ("compression-modulus", 0.001)];
    close(
        performs(&d, "clamp-after-set", &soft),
        1600.0 * 0.65,
        TOLERANCE,
    );
}

// Source: cooling by 40 K, washer 70, members and bolt 12 um/(m.K) (W11); status: derived from mechanics.
#[test]
fn clamp_load_lost_by_cooling() {
    let mut c = joint(
        r#"{ "bolt": "M6", "clamp": "1600 N", "nut_factor_low": 0.2, "nut_factor_high": 0.2,
             "outer_diameter": "12 mm", "inner_diameter": "6.4 mm", "height": "3 mm",
             "clamped_length": "25 mm", "assembled_at": "23 degC", "members": "steel" }"#,
    );
    c.setting.temperature_c = (-17.0, -17.0);
    let d = c.duty().unwrap();
    let figures = [
        ("clamp-retained", 1.0),
        ("compression-modulus", 2200.0),
        ("thermal-expansion", 70.0),
    ];
    close(
        step(&d, "clamp-left", &figures, "change by cooling"),
        -303.7,
        TOLERANCE,
    );
    close(
        performs(&d, "clamp-left", &figures),
        1600.0 - 303.7,
        TOLERANCE,
    );
}

// Source: 20 MPa on a 12/6.4 washer, K 0.20 (W5); status: derived from mechanics.
#[test]
fn the_torque_that_keeps_the_plastic_at_20_mpa() {
    let d = worked_joint("");
    let figures = [("bearing-strength", 20.0)];
    close(
        step(&d, "torque", &figures, "loaded area"),
        80.9274,
        TOLERANCE,
    );
    close(
        step(&d, "torque", &figures, "clamp load carried"),
        1618.55,
        TOLERANCE,
    );
    close(performs(&d, "torque", &figures), 1.94226, TOLERANCE);
}

// Source: 75 % of the proof load of 11600 N needs 10.44 N.m at K 0.20 (W3) and puts 107.504 MPa on a
// washer of ISO 7089 size (W4); status: derived from mechanics, proof load verified in ISO 898-1 tables.
#[test]
fn three_quarters_of_the_proof_load_on_an_m6_washer() {
    let d = joint(
        r#"{ "bolt": "M6", "clamp": "8700 N", "nut_factor_low": 0.2, "nut_factor_high": 0.2,
             "outer_diameter": "12 mm", "inner_diameter": "6.4 mm", "height": "3 mm", "clamped_length": "25 mm" }"#,
    )
    .duty()
    .unwrap();
    close(bound(limit(&d, "torque")), 10.44, TOLERANCE);
    close(bound(limit(&d, "bearing")), 107.504, TOLERANCE);
}

// Source: the same load on the hexagon head's bearing ring alone, 8.88 to 6.6 mm (W4);
// status: derived from mechanics; head ring from memory, not verified; hole verified in ISO 273 tables.
#[test]
fn a_head_without_a_washer_presses_on_a_third_of_the_area() {
    let d = joint(
        r#"{ "bolt": "M6", "clamp": "8700 N", "nut_factor_low": 0.2, "nut_factor_high": 0.2,
             "pressed_by": "head", "outer_diameter": "12 mm", "height": "3 mm", "clamped_length": "25 mm" }"#,
    )
    .duty()
    .unwrap();
    close(
        step(&d, "torque", &[("bearing-strength", 1.0)], "loaded area"),
        27.7202,
        TOLERANCE,
    );
    close(bound(limit(&d, "bearing")), 313.851, TOLERANCE);
}

// Source: 2 N.m on zinc-plated M6, K 0.17 to 0.35 (W3; range verified in a public nut-factor table);
// status: derived from mechanics.
#[test]
fn the_scatter_of_the_nut_factor_halves_or_doubles_the_clamp_load() {
    let d = joint(
        r#"{ "bolt": "M6", "torque": "2 N.m", "finish": "zinc-plated", "outer_diameter": "12 mm",
             "inner_diameter": "6.4 mm", "height": "3 mm", "clamped_length": "25 mm" }"#,
    )
    .duty()
    .unwrap();
    let figures = [("clamp-retained", 1.0)];
    close(
        step(&d, "clamp-left", &figures, "clamp load first set"),
        952.381,
        TOLERANCE,
    );
    close(bound(limit(&d, "bearing")) * 80.9274, 1960.78, TOLERANCE);
}

// Source: 3000 N at friction 0.15 throughout, rubbing on 9.5 mm (W6, long torque equation);
// status: derived from mechanics.
#[test]
fn the_nut_factor_of_a_known_friction() {
    let d = joint(
        r#"{ "bolt": "M6", "clamp": "3000 N", "thread_friction": 0.15, "head_friction": 0.15,
             "rubbing_diameter": "9.5 mm", "outer_diameter": "12 mm", "inner_diameter": "6.4 mm",
             "height": "3 mm", "clamped_length": "25 mm" }"#,
    )
    .duty()
    .unwrap();
    close(bound(limit(&d, "torque")), 4.00506, TOLERANCE);
    let figures = [("bearing-strength", 20.0)];
    close(
        step(&d, "torque", &figures, "lowest likely nut factor"),
        0.222_503,
        TOLERANCE,
    );
    // A fresh joint loosens at 0.76 of that, without any clamp load lost.
    close(
        step(
            &d,
            "clamp-left",
            &[("clamp-retained", 1.0)],
            "torque that loosens the fresh joint",
        ),
        3.050_13,
        TOLERANCE,
    );
}

#[test]
fn the_thread_and_the_proof_load_of_an_m6() {
    use super::duties::each;
    use dutyfit::property::bolt::{PROOF_88_MPA, bolt};
    let m6 = bolt("M6").expect("a size of the table");
    each("thread_geometry", |w| {
        close(m6.d_mm, w.input("d"), 1e-12);
        close(m6.pitch_mm, w.input("P"), 1e-12);
        w.gives("d2", m6.pitch_diameter_mm());
        w.gives("d3", m6.root_diameter_mm());
        w.gives("As", m6.stress_area_mm2);
    });
    each("proof_load", |w| {
        close(m6.stress_area_mm2, w.input("As"), 1e-12);
        close(PROOF_88_MPA, w.input("stress"), 1e-12);
        w.gives("proof_load", PROOF_88_MPA * m6.stress_area_mm2);
        // The table's own is rounded.
        close(m6.proof_88_n, w.input("As") * w.input("stress"), 0.006);
    });
}

/// A stand on four feet, judged without a factor on its loads.
fn stand(inputs: &str) -> Duty {
    let mut c = case("support-foot", inputs);
    c.setting.counterface = Some("tile".to_owned());
    c.setting.class = Some(Class::Nuisance);
    c.duty().expect("feet within validity")
}

// Source: 12 kg at friction 0.55 (F1, F2); status: derived from mechanics.
#[test]
fn where_an_appliance_slides_on_the_level_and_on_a_slope() {
    let d = stand(
        r#"{ "mass": "12 kg", "shape": "disc", "diameter": "30 mm", "height": "6 mm", "push": "20 N", "slope": "10 deg" }"#,
    );
    let figures = [("static-friction", 0.55)];
    close(
        step(&d, "hold", &figures, "weight on all feet"),
        117.68,
        TOLERANCE,
    );
    close(performs(&d, "hold", &figures), 64.7239, TOLERANCE);
    close(performs(&d, "slope", &figures), 28.8108, TOLERANCE);
}

// Source: 12 kg tilted by 10 degrees (IEC 60335-1 clause 20.1) at friction 0.4, half width 120 mm,
// centre of gravity at 250 mm (F2, F3); status: derived from mechanics.
#[test]
fn margin_on_the_tilt_of_the_appliance_stability_test() {
    let d = stand(
        r#"{ "mass": "12 kg", "shape": "disc", "diameter": "30 mm", "height": "6 mm", "half_width": "120 mm", "centre_height": "250 mm" }"#,
    );
    let figures = [("static-friction", 0.4)];
    let s = |what| step(&d, "slope", &figures, what);
    close(s("driving force on the slope"), 20.4349, TOLERANCE);
    close(s("resisting force on the slope"), 46.3568, TOLERANCE);
    close(s("resisting over driving"), 2.26851, TOLERANCE);
    close(s("tips at"), 25.641, TOLERANCE);
}

// Source: 12 kg, half width 120 mm, pushed at 400 mm, friction 0.8 and 0.2 (F4); status: derived from mechanics.
#[test]
fn grippy_feet_tip_where_slippery_ones_slide() {
    let d = stand(
        r#"{ "mass": "12 kg", "shape": "disc", "diameter": "30 mm", "height": "6 mm", "push": "20 N",
             "half_width": "120 mm", "push_height": "400 mm", "slide_first": true }"#,
    );
    let at = |mu| {
        let figures = [("static-friction", mu)];
        let first = limit(&d, "slides-first");
        (
            performs(&d, "hold", &figures),
            step(&d, "hold", &figures, "tips at"),
            first.sense.met(performs(&d, "slides-first", &figures)),
        )
    };
    let (slides, tips, slides_first) = at(0.8);
    close(slides, 94.1438, TOLERANCE);
    close(tips, 35.3039, TOLERANCE);
    assert!(!slides_first);
    let (slides, tips, slides_first) = at(0.2);
    close(slides, 23.536, TOLERANCE);
    close(tips, 35.3039, TOLERANCE);
    assert!(slides_first);
}

// Source: disc 30 x 6, block 40 x 20 x 5, ring 30/12 x 6 mm (F5); status: derived from mechanics.
#[test]
fn shape_factors_of_disc_block_and_ring() {
    for (shape, factor, area) in [
        (
            r#""shape": "disc", "diameter": "30 mm", "height": "6 mm""#,
            1.25,
            706.858,
        ),
        (
            r#""shape": "block", "length": "40 mm", "width": "20 mm", "height": "5 mm""#,
            1.333_33,
            800.0,
        ),
        (
            r#""shape": "ring", "diameter": "30 mm", "inner_diameter": "12 mm", "height": "6 mm""#,
            0.75,
            593.761,
        ),
    ] {
        let d = stand(&format!(r#"{{ "mass": "30 kg", "feet": 4, {shape} }}"#));
        let figures = [("creep-modulus", 5.0)];
        close(step(&d, "sag", &figures, "shape factor"), factor, TOLERANCE);
        let stress = step(&d, "sag", &figures, "stress on the most loaded foot");
        close(73.549_875 / stress, area, TOLERANCE);
    }
}

// Source: bonded rubber block, E 5 MPa, bulk modulus 1000 MPa, shape factor 1.25 and 14 (F6, F7; Gent and
// Lindley as cited in doi 10.5545/sv-jme.2013.1510); status: formula verified in source.
#[test]
fn bonded_faces_stiffen_a_pad_and_bulk_limits_it() {
    for (height, held, limited) in [
        ("6 mm", 20.625, 20.2082),
        ("0.535714286 mm", 1965.0, 662.732),
    ] {
        let d = stand(&format!(
            r#"{{ "mass": "30 kg", "shape": "disc", "diameter": "30 mm", "height": "{height}", "faces": "bonded" }}"#
        ));
        let figures = [("creep-modulus", 5.0), ("bulk-modulus", 1000.0)];
        close(
            step(
                &d,
                "sag",
                &figures,
                "apparent modulus if the faces cannot slide",
            ),
            held,
            TOLERANCE,
        );
        close(
            step(&d, "sag", &figures, "apparent modulus with the bulk limit"),
            limited,
            TOLERANCE,
        );
    }
}

// Source: 30 kg on four bonded 30 x 6 discs, E 5 MPa, bulk left out (F5 to F8); status: derived from mechanics.
#[test]
fn sag_of_a_machine_on_four_discs() {
    let d = stand(
        r#"{ "mass": "30 kg", "feet": 4, "shape": "disc", "diameter": "30 mm", "height": "6 mm", "faces": "bonded" }"#,
    );
    // A bulk modulus far beyond any rubber takes the bulk limit out of the formula.
    let figures = [("creep-modulus", 5.0), ("bulk-modulus", 1e9)];
    let s = |what| step(&d, "sag", &figures, what);
    close(s("stress on the most loaded foot"), 0.104_052, TOLERANCE);
    close(s("squeeze"), 0.005_044_94, TOLERANCE);
    close(performs(&d, "sag", &figures), 0.030_269_6, TOLERANCE);
}

// Source: 180 N on a soft bonded pad 20 x 10, E 2 MPa: neo-Hookean, where the linear sag is 1.91 mm (F9);
// status: derived from mechanics.
#[test]
fn a_soft_pad_is_squeezed_beyond_the_linear_range() {
    let d = stand(
        r#"{ "mass_per_foot": "18.354891 kg", "shape": "disc", "diameter": "20 mm", "height": "10 mm", "faces": "bonded" }"#,
    );
    let figures = [("creep-modulus", 2.0), ("bulk-modulus", 1e9)];
    close(step(&d, "sag", &figures, "squeeze"), 0.159_021, TOLERANCE);
    close(performs(&d, "sag", &figures), 1.590_21, TOLERANCE);
}

/// What `check CASE MATERIAL --working` prints for a material whose stated values are exact.
fn checked(case: &str, stated: &[&str]) -> serde_json::Value {
    let lines: Vec<String> = stated
        .iter()
        .map(|s| format!("m,{s},published case\n"))
        .collect();
    let bench = Bench::new()
        .file(
            "catalog/materials.csv",
            "material,title,polymer\nm,made up,other\n",
        )
        .file(
            "catalog/stated.csv",
            format!(
                "material,property,value,spread,counterface,source\n{}",
                lines.concat()
            ),
        )
        .file("case.json", case);
    let path = |name: &str| bench.path(name).display().to_string();
    let ran = dutyfit(&[
        "check",
        &path("case.json"),
        "m",
        "--catalog",
        &path("catalog"),
        "--working",
        "--format",
        "json",
    ]);
    assert!(ran.code < 2, "{ran:?}");
    ran.json()
}

#[track_caller]
fn prints(answer: &serde_json::Value, id: &str, what: &str, wanted: f64) {
    let limits = answer["candidate"]["limits"].as_array().expect("limits");
    let limit = limits.iter().find(|l| l["id"] == id).expect("the limit");
    let steps = limit["working"].as_array().expect("working");
    let step = steps
        .iter()
        .rev()
        .find(|s| s["what"] == what)
        .unwrap_or_else(|| panic!("no step `{what}` in {steps:#?}"));
    close(step["value"].as_f64().expect("a figure"), wanted, TOLERANCE);
}

// Sources and status as above: W4, W5, W8 and W10, from the text of a case to the printed figure.
#[test]
fn a_case_of_a_bolted_washer_is_printed_with_its_working() {
    let answer = checked(
        r#"{ "format": "dutyfit.case/1", "title": "published", "part": "bolt-washer", "class": "nuisance",
             "inputs": { "bolt": "M6", "clamp": "1600 N", "nut_factor_low": 0.2, "nut_factor_high": 0.2,
                         "outer_diameter": "12 mm", "inner_diameter": "6.4 mm", "height": "3 mm", "clamped_length": "25 mm" },
             "surroundings": { "temperature": "23 degC" } }"#,
        &[
            "bearing-strength,20 MPa,0 %,",
            "compression-modulus,2200 MPa,0 %,",
            "force-retained,0.4,0 %,",
            "compression-set,35 %,0 %,",
            "softening-onset,90 degC,0 K,",
        ],
    );
    prints(&answer, "torque", "torque carried", 1.942_26);
    prints(
        &answer,
        "clamp-left",
        "share of the clamp load kept",
        0.475_537,
    );
    prints(&answer, "clamp-left", "clamp load left", 760.86);
    prints(
        &answer,
        "clamp-after-set",
        "clamp load left after set",
        1188.26,
    );
}

// Sources and status as above: F1, F5 to F7, from the text of a case to the printed figure.
#[test]
fn a_case_of_feet_is_printed_with_its_working() {
    let answer = checked(
        r#"{ "format": "dutyfit.case/1", "title": "published", "part": "support-foot", "class": "nuisance",
             "inputs": { "mass": "12 kg", "shape": "disc", "diameter": "30 mm", "height": "6 mm", "faces": "bonded", "push": "20 N" },
             "surroundings": { "temperature": "23 degC", "counterface": "tile" } }"#,
        &[
            "static-friction,0.55,0 %,tile",
            "creep-modulus,5 MPa,0 %,",
            "bulk-modulus,1000 MPa,0 %,",
            "softening-onset,90 degC,0 K,",
        ],
    );
    prints(&answer, "hold", "slides at", 64.7239);
    prints(&answer, "sag", "shape factor", 1.25);
    prints(
        &answer,
        "sag",
        "apparent modulus with the bulk limit",
        20.2082,
    );
}

#[test]
fn every_formula_listed_has_a_worked_case() {
    for formula in COVERS {
        super::duties::each(formula, |_| {});
    }
}
