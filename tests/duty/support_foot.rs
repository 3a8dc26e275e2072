//! The support-foot part kind.

use super::{aimed, bound, case, close, codes, governing, limit, margin, performs, step};
use dutyfit::duty::{Case, Duty};
use dutyfit::policy::Class;
use proptest::prelude::*;

fn foot(more: &str) -> Case {
    let mut c = case(
        "support-foot",
        &format!(
            r#"{{ "mass": "40 kg", "shape": "disc", "diameter": "40 mm", "height": "10 mm"{more} }}"#
        ),
    );
    c.setting.counterface = Some("tile".to_owned());
    c
}

fn duty(more: &str) -> Duty {
    foot(more).duty().expect("feet within validity")
}

/// A soft foot that grips.
const SOFT: &[(&str, f64)] = &[
    ("static-friction", 0.6),
    ("creep-modulus", 8.0),
    ("softening-onset", 80.0),
    ("bulk-modulus", 1500.0),
];

// Common practice, no source: a foot with friction 0.2 slides at a fifth of its load on the level.
#[test]
fn friction_of_a_fifth_slides_at_a_fifth_of_the_load() {
    let d = duty(r#", "push": "50 N""#);
    let figures = [("static-friction", 0.2)];
    let weight = step(&d, "hold", &figures, "weight on all feet");
    close(performs(&d, "hold", &figures), weight / 5.0, 1e-12);
    // On a slope the same foot slides where the height is a fifth of the run.
    close(
        performs(&duty(""), "slope", &figures).to_radians().tan(),
        0.2,
        1e-12,
    );
}

#[test]
fn the_push_carries_the_factor_and_the_slope_does_not() {
    let mut c = foot(r#", "push": "50 N", "slope": "12 deg""#);
    c.setting.class = Some(Class::Injury);
    let d = c.duty().unwrap();
    close(bound(limit(&d, "hold")), 50.0 * 1.5, 1e-12);
    close(bound(limit(&d, "slope")), 12.0, 1e-12);
}

#[test]
fn without_push_and_slope_it_stands_on_ten_degrees() {
    let d = duty("");
    close(bound(limit(&d, "slope")), 10.0, 1e-12);
    assert!(d.limits.iter().all(|l| l.id != "hold"));
    assert!(
        d.notes.iter().any(|n| n.contains("10 degrees")),
        "{:?}",
        d.notes
    );
}

#[test]
fn more_mass_turns_the_governing_limit_from_sliding_to_sinking() {
    let at = |mass: &str| {
        let mut c = case(
            "support-foot",
            &format!(
                r#"{{ "mass": "{mass}", "shape": "disc", "diameter": "20 mm", "height": "10 mm", "push": "20 N" }}"#
            ),
        );
        c.setting.counterface = Some("tile".to_owned());
        c.duty().unwrap()
    };
    assert_eq!(governing(&at("5 kg"), SOFT), "hold");
    assert_eq!(governing(&at("120 kg"), SOFT), "sag");
}

#[test]
fn grip_that_tips_is_a_limit_only_where_asked() {
    let d = duty(r#", "push": "50 N", "push_height": "800 mm", "half_width": "300 mm""#);
    assert!(d.limits.iter().all(|l| l.id != "slides-first"));
    assert!(
        d.notes
            .iter()
            .any(|n| n.contains("147.1 N") && n.contains("0.38")),
        "{:?}",
        d.notes
    );
    let d = duty(
        r#", "push": "50 N", "push_height": "800 mm", "half_width": "300 mm", "slide_first": true"#,
    );
    close(bound(limit(&d, "slides-first")), 0.375, 1e-12);
    assert!(margin(&d, "slides-first", SOFT) < 1.0);
    assert!(margin(&d, "slides-first", &[("static-friction", 0.3)]) > 1.0);
}

#[test]
fn what_tips_whatever_the_feet_is_refused() {
    let c = foot(r#", "push": "150 N", "push_height": "800 mm", "half_width": "300 mm""#);
    assert_eq!(codes(&c), ["duty::tips-over"]);
    // The factor of the class counts: 120 N x 1.25 passes 147 N, and x 1.0 does not.
    let mut c = foot(r#", "push": "120 N", "push_height": "800 mm", "half_width": "300 mm""#);
    assert_eq!(codes(&c), ["duty::tips-over"]);
    c.setting.class = Some(Class::Nuisance);
    assert!(c.duty().is_ok());
    let c = foot(r#", "slope": "30 deg", "centre_height": "600 mm", "half_width": "300 mm""#);
    assert_eq!(codes(&c), ["duty::tips-over"]);
}

#[test]
fn every_misuse_has_its_code() {
    let with = |inputs: &str| {
        let mut c = case("support-foot", inputs);
        c.setting.counterface = Some("tile".to_owned());
        codes(&c)
    };
    let disc = r#""shape": "disc", "diameter": "40 mm", "height": "10 mm""#;
    for (inputs, code) in [
        (format!("{{ {disc} }}"), "duty::mass"),
        (format!(r#"{{ "mass": "4 kg", "mass_per_foot": "1 kg", {disc} }}"#), "duty::mass"),
        (format!(r#"{{ "mass": "-4 kg", {disc} }}"#), "duty::not-positive"),
        (format!(r#"{{ "mass": "4 kg", "feet": 0, {disc} }}"#), "duty::not-positive"),
        (r#"{ "mass": "4 kg", "shape": "block", "length": "40 mm", "height": "10 mm" }"#.to_owned(), "duty::dimension-missing"),
        (format!(r#"{{ "mass": "4 kg", "width": "3 mm", {disc} }}"#), "duty::dimension-foreign"),
        (r#"{ "mass": "4 kg", "shape": "ring", "diameter": "20 mm", "inner_diameter": "20 mm", "height": "10 mm" }"#.to_owned(), "duty::ring-hole"),
        (format!(r#"{{ "mass": "4 kg", "heaviest_share": 0.2, {disc} }}"#), "duty::heaviest-share"),
        (format!(r#"{{ "mass": "4 kg", "heaviest_share": 1.1, {disc} }}"#), "duty::heaviest-share"),
        (format!(r#"{{ "mass": "4 kg", "sag": "10 mm", {disc} }}"#), "duty::sag-of-all"),
        (format!(r#"{{ "mass": "4 kg", "slope": "90 deg", {disc} }}"#), "duty::slope"),
        (format!(r#"{{ "mass": "4 kg", "slide_first": true, {disc} }}"#), "duty::tipping-geometry"),
    ] {
        assert!(with(&inputs).contains(&code), "{inputs}: {:?}", with(&inputs));
    }
    let mut c = foot("");
    c.setting.counterface = None;
    assert_eq!(codes(&c), ["duty::floor-unknown"]);
}

#[test]
fn without_a_creep_run_the_modulus_times_the_force_kept_stands_in() {
    let d = duty("");
    let measured = performs(&d, "sag", &[("creep-modulus", 6.0)]);
    let stood_in = performs(
        &d,
        "sag",
        &[("compression-modulus", 12.0), ("force-retained", 0.5)],
    );
    close(stood_in, measured, 1e-12);
    assert!(performs(&d, "sag", &[("compression-modulus", 12.0)]).is_nan());
}

#[test]
fn loose_feet_are_judged_by_the_faces_that_slide() {
    let loose = step(
        &duty(""),
        "sag",
        SOFT,
        "apparent modulus if the faces slide",
    );
    close(loose, 8.0, 1e-12);
    let held = step(
        &duty(""),
        "sag",
        SOFT,
        "apparent modulus if the faces cannot slide",
    );
    close(held, 8.0 * 3.0, 1e-12);
    let bonded = duty(r#", "faces": "bonded""#);
    assert!(performs(&bonded, "sag", SOFT) < performs(&duty(""), "sag", SOFT));
}

#[test]
fn the_most_loaded_foot_sinks_most() {
    let even = performs(&duty(""), "sag", SOFT);
    let lean = performs(&duty(r#", "heaviest_share": 0.5"#), "sag", SOFT);
    close(lean, 2.0 * even, 1e-9);
}

#[test]
fn grip_is_valued_from_what_is_needed_to_what_does_not_tip() {
    let d = duty(r#", "push": "40 N", "push_height": "800 mm", "half_width": "300 mm""#);
    let weight = 40.0 * 9.80665;
    let needed = 40.0 * 1.25 / weight;
    let (mu, value) = aimed(&d, "grip", &[("static-friction", 0.25)]);
    close(mu, 0.25, 1e-12);
    close(value, (0.25 - needed) / (0.375 - needed), 1e-9);
}

proptest! {
    #[test]
    fn more_push_or_mass_never_raises_a_margin(mu in 0.05..1.5_f64, e in 0.5..5000.0_f64, push in 5.0..300.0_f64, kg in 1.0..200.0_f64, more in 1.0..3.0_f64) {
        let figures = [("static-friction", mu), ("creep-modulus", e)];
        let at = |push: f64, kg: f64| {
            let mut c = case("support-foot", &format!(
                r#"{{ "mass": "{kg} kg", "shape": "block", "length": "40 mm", "width": "20 mm", "height": "8 mm", "push": "{push} N", "sag": "1 mm" }}"#));
            c.setting.counterface = Some("tile".to_owned());
            c.duty().unwrap()
        };
        prop_assert!(margin(&at(push * more, kg), "hold", &figures) <= margin(&at(push, kg), "hold", &figures) * (1.0 + 1e-12));
        prop_assert!(margin(&at(push, kg * more), "sag", &figures) <= margin(&at(push, kg), "sag", &figures) * (1.0 + 1e-12));
    }

    #[test]
    fn a_wider_foot_never_sinks_further(e in 0.5..500.0_f64, d in 10.0..60.0_f64, wider in 1.0..2.0_f64, bonded in any::<bool>()) {
        let figures = [("creep-modulus", e), ("bulk-modulus", 1500.0)];
        let at = |d: f64| {
            let faces = if bonded { "bonded" } else { "loose" };
            let mut c = case("support-foot", &format!(
                r#"{{ "mass": "30 kg", "shape": "disc", "diameter": "{d} mm", "height": "8 mm", "faces": "{faces}", "sag": "1 mm" }}"#));
            c.setting.counterface = Some("tile".to_owned());
            performs(&c.duty().unwrap(), "sag", &figures)
        };
        prop_assert!(at(d * wider) <= at(d) * (1.0 + 1e-12));
    }

    #[test]
    fn customary_units_give_the_same_duty(push in 1.0..80.0_f64) {
        let si = foot(&format!(r#", "push": "{} N""#, push * 9.80665)).duty().unwrap();
        let kgf = foot(&format!(r#", "push": "{push} kgf""#)).duty().unwrap();
        prop_assert!((bound(limit(&si, "hold")) / bound(limit(&kgf, "hold")) - 1.0).abs() < 1e-12);
    }
}

#[test]
fn what_is_left_out_stands_as_the_notes_say() {
    let d = duty("");
    close(bound(limit(&d, "sag")), 1.0, 1e-12);
    close(bound(limit(&d, "heat-margin")), 10.0, 1e-12);
    // Grip is enough at 1, a foot stiff enough at a fifth of the sag allowed, 60 K beyond the margin.
    close(
        aimed(&d, "grip", &[("static-friction", 0.99)]).1,
        (0.99 - 10f64.to_radians().tan()) / (1.0 - 10f64.to_radians().tan()),
        1e-9,
    );
    let stiff = |e: f64| {
        let (sag, value) = aimed(&d, "stiffness", &[("creep-modulus", e)]);
        close(value, ((1.0 / sag).ln() / 5f64.ln()).clamp(0.0, 1.0), 1e-9);
    };
    stiff(1.2);
    stiff(3.0);
    stiff(400.0);
    close(
        aimed(&d, "heat-reserve", &[("softening-onset", 63.0)]).1,
        (40.0 - 10.0) / 60.0,
        1e-9,
    );
    // 4 discs of 40 x 10 mm hold 50.27 cm3: as heavy as bearable at 1.6 g/cm3, light enough at 0.9.
    let (grams, value) = aimed(&d, "weight", &[("density", 1.2)]);
    close(grams, 60.3186, 1e-5);
    close(value, 0.4 / 0.7, 1e-9);
}

#[test]
fn squeeze_is_linear_to_a_tenth_mixed_to_fifteen_and_flat_beyond_a_half() {
    // 40 kg on four discs of 40 mm at 1.25 times: 0.09756 MPa.
    let d = duty("");
    let stress = step(
        &d,
        "sag",
        &[("creep-modulus", 1.0)],
        "stress on the most loaded foot",
    );
    close(stress, 1.25 * 98.0665 / 1256.637, 1e-6);
    let at = |linear: f64| performs(&d, "sag", &[("creep-modulus", stress / linear)]) / 10.0;
    let neo = |strain: f64| {
        let l = 1.0 - strain;
        (1.0 / (l * l) - l) / 3.0
    };
    close(at(0.0999), 0.0999, 1e-9);
    // Halfway between, half of each.
    let bent = 2.0 * at(0.125) - 0.125;
    close(neo(bent), 0.125, 1e-6);
    close(neo(at(0.1501)), 0.1501, 1e-6);
    close(neo(at(1.1)), 1.1, 1e-6);
    close(at(1.5), 1.0, 1e-12);
}

#[test]
fn more_mass_turns_the_governing_limit_to_crushing() {
    let at = |mass: &str| {
        let mut c = case(
            "support-foot",
            &format!(
                r#"{{ "mass": "{mass}", "shape": "disc", "diameter": "40 mm", "height": "10 mm", "push": "50 N", "sag": "9 mm" }}"#
            ),
        );
        c.setting.counterface = Some("tile".to_owned());
        c.duty().unwrap()
    };
    let rigid = [
        ("static-friction", 0.4),
        ("creep-modulus", 1000.0),
        ("bearing-strength", 30.0),
        ("softening-onset", 80.0),
    ];
    assert_eq!(governing(&at("40 kg"), &rigid), "hold");
    let heavy = at("40000 kg");
    assert_eq!(governing(&heavy, &rigid), "crushing");
    assert!(margin(&heavy, "crushing", &rigid) < 1.0);
    // 10 t on a foot of 40 mm, times 1.25.
    close(
        bound(limit(&heavy, "crushing")),
        1.25 * 98_066.5 / 1256.637,
        1e-6,
    );
}

#[test]
fn a_bearing_run_is_believed_before_what_lasts_and_that_before_a_third_of_yield() {
    let d = duty("");
    let takes = |figures: &[(&str, f64)]| performs(&d, "crushing", figures);
    let all = [
        ("bearing-strength", 30.0),
        ("sustained-strength", 12.0),
        ("yield-strength", 45.0),
    ];
    close(takes(&all), 30.0, 1e-12);
    close(takes(&all[1..]), 12.0, 1e-12);
    close(takes(&all[2..]), 15.0, 1e-12);
    assert!(takes(&[]).is_nan());
}

#[test]
fn no_feet_at_all_is_one_plain_fault() {
    let mut c = case(
        "support-foot",
        r#"{ "mass": "4 kg", "feet": 0, "shape": "disc", "diameter": "40 mm", "height": "10 mm" }"#,
    );
    c.setting.counterface = Some("tile".to_owned());
    let faults = super::faults(&c);
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert!(faults[0].what.contains("`feet` is 0,"), "{faults:?}");
}
