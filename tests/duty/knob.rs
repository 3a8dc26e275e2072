//! The knob part kind.

use super::{aimed, bound, case, close, codes, governing, limit, margin, performs, step};
use dutyfit::duty::{Case, Duty, LiesOnBed};
use dutyfit::policy::Class;
use dutyfit::property::Lies;

const STIFF: &[(&str, f64)] = &[
    ("tensile-strength", 40.0),
    ("flexural-strength", 60.0),
    ("yield-strength", 70.0),
    ("bearing-strength", 45.0),
    ("fatigue-share", 0.2),
    ("tensile-modulus", 2200.0),
    ("poisson-ratio", 0.38),
    ("thermal-expansion", 90.0),
    ("break-strain", 6.0),
    ("sustained-strength", 20.0),
    ("force-retained", 0.6),
    ("static-friction", 0.4),
    ("softening-onset", 95.0),
];

/// A 26 mm hub, 20 mm long, on a 10 mm shaft.
fn knob(more: &str) -> Case {
    let mut c = case(
        "knob",
        &format!(
            r#"{{ "rim_diameter": "50 mm", "hub_diameter": "26 mm", "hub_length": "20 mm", "shaft": "10 mm"{more} }}"#
        ),
    );
    c.setting.class = Some(Class::Nuisance);
    c
}

fn duty(more: &str) -> Duty {
    knob(more).duty().expect("a knob within validity")
}

fn ids(d: &Duty) -> Vec<&str> {
    d.limits.iter().map(|l| l.id.as_str()).collect()
}

const FLAT: &str = r#", "fixing": "flat", "flat_width": "8 mm""#;

#[test]
fn on_a_flat_it_twists_off_crushes_splits_or_softens() {
    let d = duty(FLAT);
    assert_eq!(
        ids(&d),
        ["hub-torsion", "flat-pressure", "hub-split", "heat-margin"]
    );
    for l in &d.limits {
        assert!(margin(&d, &l.id, STIFF) > 1.0, "{}", l.id);
    }
    let strong = (36.0 + 3.0 * 7.2) * 0.112_984_829;
    // The flat's force on one wall of 8 mm, 20 mm long.
    close(
        bound(limit(&d, "hub-split")),
        1.5 * strong * 1e3 / 4.0 / 160.0,
        1e-9,
    );
    assert!(
        d.notes
            .iter()
            .any(|n| n.contains("a strong hand's 6.51 N.m"))
    );
    assert!(d.notes.iter().any(|n| n.contains("inner corners")));
}

#[test]
fn a_thinner_hub_turns_the_governing_limit_from_crushing_to_splitting() {
    let with = |hub: &str| {
        let c = case(
            "knob",
            &format!(
                r#"{{ "rim_diameter": "50 mm", "hub_diameter": "{hub}", "hub_length": "20 mm", "shaft": "10 mm"{FLAT} }}"#
            ),
        );
        governing(&c.duty().expect("a duty"), STIFF)
    };
    assert_eq!(with("26 mm"), "flat-pressure");
    assert_eq!(with("14 mm"), "hub-split");
}

#[test]
fn a_press_fit_relaxes_until_it_turns_and_a_tight_one_splits() {
    let of = |bore: &str| {
        duty(&format!(
            r#", "fixing": "press", "bore": "{bore}", "torque": "4 N.m""#
        ))
    };
    let d = of("9.9 mm");
    assert_eq!(
        ids(&d),
        [
            "hub-torsion",
            "press-hold",
            "hoop-strain",
            "hoop-stress",
            "heat-margin"
        ]
    );
    assert!(margin(&d, "press-hold", STIFF) > 1.0);
    // It is pressed on once, in the heat as in the cold: nothing tires.
    let mut hot = knob(r#", "fixing": "press", "bore": "9.9 mm", "torque": "4 N.m""#);
    hot.setting.temperature_c = (23.0, 23.0);
    let once = performs(&hot.duty().expect("a duty"), "hoop-strain", STIFF);
    close(once, 6.0 / (100.0 * 0.1 / 9.9), 1e-9);
    let hoop = limit(&d, "hoop-strain");
    assert_eq!(
        hoop.needs.len(),
        2,
        "no share of a fatigue strength is asked"
    );
    assert_eq!(governing(&of("9.99 mm"), STIFF), "press-hold");
    assert_eq!(governing(&of("9.6 mm"), STIFF), "hoop-stress");
}

#[test]
fn a_screw_tears_through_the_wall() {
    let d = duty(r#", "fixing": "screw", "screw": "4 mm", "torque": "3 N.m""#);
    // 600 N on 4 x 8 mm.
    close(bound(limit(&d, "screw-pressure")), 600.0 / 32.0, 1e-12);
}

#[test]
fn spokes_bend_at_the_hub() {
    let d = duty(&format!(
        r#"{FLAT}, "torque": "4 N.m", "spokes": 4, "spoke_width": "8 mm", "spoke_thickness": "5 mm""#
    ));
    close(
        bound(limit(&d, "spoke-bending")),
        6.0 * 1000.0 * (1.0 - 26.0 / 50.0) / (5.0 * 64.0),
        1e-12,
    );
    close(performs(&d, "spoke-bending", STIFF), 60.0, 1e-12);
}

#[test]
fn many_turns_crack_the_hub_and_a_weak_hand_slips() {
    let d = duty(&format!(
        r#"{FLAT}, "everyday_torque": "2 N.m", "turns_per_day": 40, "grip_force": "80 N""#
    ));
    assert!(ids(&d).contains(&"hub-fatigue"));
    close(
        step(&d, "hub-fatigue", STIFF, "cycles"),
        40.0 * 365.25,
        1e-9,
    );
    // Its shear strength is that of the strength left over the root of 3.
    assert!(performs(&d, "hub-fatigue", STIFF) < 40.0 / 3.0_f64.sqrt());
    close(performs(&d, "hand-slip", STIFF), 0.4 * 80.0 * 0.05, 1e-12);
    assert!(margin(&d, "hand-slip", STIFF) < 1.0);
}

#[test]
fn torsion_shears_a_seam_however_it_lies_and_the_hoop_only_on_its_rim() {
    let lies = |on_bed, id: &str| {
        let mut c = knob(FLAT);
        c.setting.lies = on_bed;
        let d = c.duty().expect("a duty");
        d.asks[limit(&d, id).needs[0][0]].lies
    };
    for on_bed in [LiesOnBed::Flat, LiesOnBed::Open, LiesOnBed::Upright] {
        assert_eq!(lies(on_bed, "hub-torsion"), Some(Lies::Across));
    }
    assert_eq!(lies(LiesOnBed::Flat, "hub-split"), Some(Lies::InPlane));
    assert_eq!(lies(LiesOnBed::Edge, "hub-split"), Some(Lies::Across));
}

#[test]
fn a_stiffer_hub_feels_more_positive() {
    let d = duty(FLAT);
    let value = |e: f64| {
        aimed(
            &d,
            "positive-feel",
            &[("tensile-modulus", e), ("poisson-ratio", 0.38)],
        )
        .1
    };
    assert!(value(3000.0) > value(900.0) && value(200.0) < 1e-12);
}

#[test]
fn inputs_that_no_formula_covers_are_refused() {
    let refused = |more: &str| codes(&knob(more));
    assert_eq!(refused(r#", "fixing": "flat""#), ["duty::knob-fixing"]);
    assert_eq!(
        refused(r#", "fixing": "flat", "flat_width": "11 mm""#),
        ["duty::knob-fixing"]
    );
    assert_eq!(
        refused(r#", "fixing": "press", "bore": "10 mm""#),
        ["duty::knob-fixing"]
    );
    assert_eq!(
        refused(&format!(r#"{FLAT}, "bore": "9 mm""#)),
        ["duty::knob-fixing"]
    );
    assert_eq!(
        refused(&format!(r#"{FLAT}, "spokes": 4"#)),
        ["duty::knob-spokes"]
    );
    assert_eq!(
        refused(&format!(r#"{FLAT}, "grip_force": "80 N""#)),
        ["duty::nothing-to-hold"]
    );
    let c = case(
        "knob",
        r#"{ "rim_diameter": "50 mm", "hub_diameter": "10 mm", "hub_length": "20 mm", "shaft": "10 mm", "fixing": "flat", "flat_width": "8 mm" }"#,
    );
    assert_eq!(codes(&c), ["duty::knob-hub"]);
}
