//! The vibration-pad part kind.

use super::{bound, case, close, codes, governing, limit, margin, performs, step};
use dutyfit::duty::{Case, Duty};
use dutyfit::policy::Class;
use proptest::prelude::*;

fn pad(more: &str) -> Case {
    let mut c = case(
        "vibration-pad",
        &format!(
            r#"{{ "mass": "40 kg", "least_mass": "32 kg", "shape": "disc", "diameter": "20 mm", "height": "20 mm", "runs_at": "50 Hz"{more} }}"#
        ),
    );
    c.setting.class = Some(Class::Nuisance);
    c.setting.counterface = Some("tile".to_owned());
    c
}

fn duty(more: &str) -> Duty {
    pad(more).duty().expect("pads within validity")
}

const SOFT: &[(&str, f64)] = &[
    ("compression-modulus", 5.0),
    ("dynamic-stiffening", 1.44),
    ("rebound", 50.0),
    ("bulk-modulus", 1500.0),
    ("creep-modulus", 4.0),
    ("bearing-strength", 5.0),
    ("static-friction", 0.6),
    ("softening-onset", 90.0),
];

// Worked by hand: 8 kg on a pad of 314.16 mm2, 20 mm high, E 5 (1 + 2 x 0.25^2) = 5.625 MPa: k 88.357 N/mm,
// 16.726 Hz at rest, 20.071 Hz at 1.44 times the stiffness.
#[test]
fn vibration_takes_the_stiff_end_and_the_lightest_load() {
    let d = duty("");
    close(
        step(
            &d,
            "isolates",
            SOFT,
            "natural frequency of the stiffest, lightest",
        ),
        20.071,
        1e-4,
    );
    close(performs(&d, "isolates", SOFT), 50.0 / 20.071, 1e-4);
    // 10 kg on E 5 MPa at rest: k 78.54 N/mm, 14.105 Hz.
    close(
        step(
            &d,
            "isolates",
            SOFT,
            "natural frequency of the softest, heaviest",
        ),
        14.105,
        1e-4,
    );
}

#[test]
fn creep_lowers_the_pad_and_not_its_natural_frequency() {
    let d = duty("");
    let mut crept = SOFT.to_vec();
    crept[4] = ("creep-modulus", 1.0);
    assert!(performs(&d, "sag", &crept) > performs(&d, "sag", SOFT));
    close(
        performs(&d, "isolates", &crept),
        performs(&d, "isolates", SOFT),
        1e-12,
    );
}

#[test]
fn damping_comes_from_the_rebound() {
    let d = duty("");
    // L = ln 2 / 2 = 0.34657; 0.34657/sqrt(pi^2 + 0.34657^2).
    close(
        step(
            &d,
            "passed-on",
            SOFT,
            "damping, share of critical, by the rebound",
        ),
        0.109_652,
        1e-5,
    );
    let mut lively = SOFT.to_vec();
    lively[2] = ("rebound", 100.0);
    close(
        step(
            &d,
            "passed-on",
            &lively,
            "damping, share of critical, by the rebound",
        ) + 1.0,
        1.0,
        1e-12,
    );
    // Well above resonance more damping passes on more.
    assert!(performs(&d, "passed-on", &lively) < performs(&d, "passed-on", SOFT));
    let mut dead = SOFT.to_vec();
    dead[2] = ("rebound", 0.0);
    assert!(performs(&d, "passed-on", &dead).is_finite());
}

#[test]
fn a_running_speed_among_the_natural_frequencies_is_resonance() {
    for (hz, met) in [
        ("12 Hz", false),
        ("17 Hz", false),
        ("23 Hz", false),
        ("25 Hz", true),
        ("11 Hz", true),
    ] {
        let d = case("vibration-pad", &format!(
            r#"{{ "mass": "40 kg", "least_mass": "32 kg", "shape": "disc", "diameter": "20 mm", "height": "20 mm", "runs_at": "{hz}", "passed_on": 3 }}"#
        )).duty().unwrap();
        let off = performs(&d, "resonance", SOFT);
        assert_eq!(limit(&d, "resonance").sense.met(off), met, "{hz}: {off}");
        // Where more than the whole may be passed on, nothing need isolate.
        assert!(d.limits.iter().all(|l| l.id != "isolates"));
    }
}

#[test]
fn a_slower_machine_or_a_heavier_one_turns_the_governing_limit() {
    let at = |mass: &str, hz: &str| {
        case("vibration-pad", &format!(
            r#"{{ "mass": "{mass}", "least_mass": "32 kg", "shape": "disc", "diameter": "20 mm", "height": "20 mm", "runs_at": "{hz}", "sag": "4 mm" }}"#
        )).duty().unwrap()
    };
    assert_eq!(governing(&at("40 kg", "20 Hz"), SOFT), "resonance");
    assert_eq!(governing(&at("40 kg", "30 Hz"), SOFT), "passed-on");
    assert_eq!(governing(&at("150 kg", "80 Hz"), SOFT), "sag");
}

#[test]
fn what_shakes_walks_on_the_weight_that_is_left() {
    let d = duty(r#", "shaking": "60 N""#);
    let left = 32.0 * 9.80665 - 60.0;
    close(performs(&d, "walking", SOFT), 0.6 * left, 1e-9);
    let mut c = pad(r#", "shaking": "60 N""#);
    c.setting.class = Some(Class::Injury);
    let d = c.duty().unwrap();
    close(bound(limit(&d, "walking")), 90.0, 1e-12);
    close(
        performs(&d, "walking", SOFT),
        0.6 * (32.0 * 9.80665 - 90.0),
        1e-9,
    );
    assert_eq!(codes(&pad(r#", "shaking": "400 N""#)), ["duty::lifts-off"]);
    let mut c = pad(r#", "shaking": "60 N""#);
    c.setting.counterface = None;
    assert_eq!(codes(&c), ["duty::floor-unknown"]);
}

#[test]
fn the_factor_counts_for_standing_and_not_for_swinging() {
    let mut c = pad("");
    c.setting.class = Some(Class::Injury);
    let (hurt, plain) = (c.duty().unwrap(), duty(""));
    close(
        bound(limit(&hurt, "crushing")),
        1.5 * bound(limit(&plain, "crushing")),
        1e-12,
    );
    close(
        performs(&hurt, "passed-on", SOFT),
        performs(&plain, "passed-on", SOFT),
        1e-12,
    );
}

#[test]
fn a_loose_thin_pad_and_a_slender_one_are_refused() {
    let with = |shape: &str| {
        codes(&case(
            "vibration-pad",
            &format!(
                r#"{{ "mass": "40 kg", "least_mass": "40 kg", "shape": "disc", {shape}, "runs_at": "50 Hz" }}"#
            ),
        ))
    };
    assert_eq!(
        with(r#""diameter": "40 mm", "height": "8 mm""#),
        ["duty::loose-shape-factor"]
    );
    assert!(with(r#""diameter": "20 mm", "height": "41 mm""#).contains(&"duty::pad-slender"));
    let bonded = case(
        "vibration-pad",
        r#"{ "mass": "40 kg", "least_mass": "40 kg", "shape": "disc", "diameter": "40 mm", "height": "8 mm", "faces": "bonded", "runs_at": "50 Hz" }"#,
    );
    assert!(bonded.duty().is_ok());
}

#[test]
fn every_misuse_has_its_code() {
    assert_eq!(codes(&pad(r#", "passed_on": 0"#)), ["duty::not-positive"]);
    assert_eq!(codes(&pad(r#", "sag": "20 mm""#)), ["duty::sag-of-all"]);
    assert_eq!(
        codes(&pad(r#", "heaviest_share": 0.1"#)),
        ["duty::heaviest-share"]
    );
    let c = case(
        "vibration-pad",
        r#"{ "mass": "4 kg", "least_mass": "5 kg", "shape": "disc", "diameter": "20 mm", "height": "20 mm", "runs_at": "50 Hz" }"#,
    );
    assert_eq!(codes(&c), ["duty::mass"]);
}

#[test]
fn a_lean_leaves_the_lighter_pads_worse_isolated() {
    let lean = duty(r#", "heaviest_share": 0.4"#);
    assert!(performs(&lean, "passed-on", SOFT) > performs(&duty(""), "passed-on", SOFT));
    assert!(performs(&lean, "sag", SOFT) > performs(&duty(""), "sag", SOFT));
}

proptest! {
    #[test]
    fn more_mass_or_shaking_never_raises_a_margin(
        e in 0.5..3000.0_f64, kg in 20.0..200.0_f64, hz in 5.0..120.0_f64, shaking in 1.0..60.0_f64, more in 1.0..2.0_f64, rebound in 5.0..95.0_f64,
    ) {
        let m = [
            ("compression-modulus", e), ("dynamic-stiffening", 1.3), ("rebound", rebound), ("creep-modulus", 0.7 * e),
            ("bearing-strength", 5.0), ("static-friction", 0.6), ("softening-onset", 90.0),
        ];
        let at = |kg: f64, shaking: f64| {
            let mut c = case("vibration-pad", &format!(
                r#"{{ "mass": "{kg} kg", "least_mass": "18 kg", "shape": "block", "length": "24 mm", "width": "16 mm", "height": "15 mm", "runs_at": "{hz} Hz", "shaking": "{shaking} N" }}"#));
            c.setting.counterface = Some("tile".to_owned());
            c.duty().unwrap()
        };
        let base = at(kg, shaking);
        for l in &base.limits {
            let was = margin(&base, &l.id, &m);
            prop_assert!(margin(&at(kg * more, shaking), &l.id, &m) <= was * (1.0 + 1e-9), "{}", l.id);
            prop_assert!(margin(&at(kg, shaking * more), &l.id, &m) <= was * (1.0 + 1e-9), "{}", l.id);
        }
    }

    #[test]
    fn turns_and_hertz_are_one(hz in 5.0..100.0_f64) {
        let at = |text: String| case("vibration-pad", &format!(
            r#"{{ "mass": "40 kg", "least_mass": "32 kg", "shape": "disc", "diameter": "20 mm", "height": "20 mm", "runs_at": "{text}" }}"#
        )).duty().unwrap();
        let (a, b) = (at(format!("{hz} Hz")), at(format!("{} rpm", 60.0 * hz)));
        prop_assert!((performs(&a, "passed-on", SOFT) / performs(&b, "passed-on", SOFT) - 1.0).abs() < 1e-9);
    }
}
