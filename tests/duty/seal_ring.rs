//! The seal-ring part kind: rings in a groove and flat gaskets.

use super::{case, close, codes, governing, limit, margin, performs, step};
use dutyfit::duty::{Case, Duty};
use dutyfit::policy::Class;
use proptest::prelude::*;

fn ring(more: &str) -> Case {
    let mut c = case(
        "seal-ring",
        &format!(
            r#"{{ "form": "ring", "section": "4 mm", "groove_depth": "3.2 mm", "diameter": "60 mm"{more} }}"#
        ),
    );
    c.setting.class = Some(Class::Nuisance);
    c
}

fn flat(more: &str) -> Case {
    let mut c = case(
        "seal-ring",
        &format!(
            r#"{{ "form": "flat", "outer_diameter": "90 mm", "inner_diameter": "84 mm", "thickness": "4 mm"{more} }}"#
        ),
    );
    c.setting.class = Some(Class::Nuisance);
    c
}

fn duty(c: &Case) -> Duty {
    c.duty().expect("a seal within validity")
}

const SOFT: &[(&str, f64)] = &[
    ("compression-modulus", 8.0),
    ("force-retained", 0.6),
    ("shore-a", 70.0),
    ("compression-set", 40.0),
    ("bulk-modulus", 1500.0),
    ("break-strain", 200.0),
    ("softening-onset", 90.0),
];

#[test]
fn a_ring_is_pressed_by_its_fluid_and_a_flat_gasket_by_its_bolts() {
    let r = duty(&ring(r#", "medium": "water", "pressure": "8 bar""#));
    // 8 x 0.2 x 0.6 over the least stress of 0.1 MPa, whatever the pressure.
    close(performs(&r, "sealing", SOFT), 0.96 / 0.1, 1e-9);
    let f = duty(&flat(
        r#", "closed_thickness": "3.2 mm", "medium": "water", "pressure": "8 bar""#,
    ));
    // Half of 0.8 MPa for a soft one.
    close(performs(&f, "sealing", SOFT), 0.96 / 0.4, 1e-9);
    let mut hard = SOFT.to_vec();
    hard[2] = ("shore-a", 76.0);
    // Seated once, by the 1.6 MPa of the closed gasket; in service the fluid's 0.8 MPa is enough.
    close(performs(&f, "sealing", &hard), 1.6 / 1.378_951_5, 1e-6);
    close(
        step(&f, "sealing", &hard, "sealing stress needed"),
        0.8,
        1e-9,
    );
    // A material known by Shore D is hard.
    hard[2] = ("shore-d", 40.0);
    close(
        step(&f, "sealing", &hard, "seating stress y"),
        1.378_951_5,
        1e-6,
    );
    // One that keeps a third of its force no longer holds the fluid, though it was seated.
    hard[1] = ("force-retained", 0.33);
    close(performs(&f, "sealing", &hard), 1.6 * 0.33 / 0.8, 1e-9);
}

#[test]
fn pressure_carries_the_factor() {
    let mut c = flat(r#", "closed_thickness": "3.2 mm", "medium": "water", "pressure": "4 bar""#);
    c.setting.class = Some(Class::Injury);
    close(
        step(&duty(&c), "sealing", SOFT, "sealing stress needed"),
        0.5 * 0.4 * 1.5,
        1e-9,
    );
}

#[test]
fn more_opening_turns_the_governing_limit_to_follow_up() {
    let at = |opening: &str| {
        duty(&flat(&format!(
            r#", "closed_thickness": "3.4 mm", "medium": "water", "pressure": "8 bar", "opening": "{opening}""#
        )))
    };
    assert_eq!(governing(&at("0.1 mm"), SOFT), "sealing");
    let wide = at("0.5 mm");
    assert_eq!(governing(&wide, SOFT), "follow-up");
    // Of 0.6 mm of squeeze 40 % has set.
    close(performs(&wide, "follow-up", SOFT), 0.36, 1e-9);
    assert!(margin(&wide, "follow-up", SOFT) < 1.0);
}

#[test]
fn squeeze_outside_its_limits_is_refused() {
    let of_ring = |depth: &str, more: &str| {
        codes(&case(
            "seal-ring",
            &format!(
                r#"{{ "form": "ring", "medium": "water", "section": "4 mm", "groove_depth": "{depth}", "diameter": "60 mm"{more} }}"#
            ),
        ))
    };
    for depth in ["3.7 mm", "2.7 mm", "4.2 mm"] {
        assert_eq!(of_ring(depth, ""), ["duty::seal-squeeze"], "{depth}");
    }
    // 20 % stands still and does not slide.
    assert_eq!(
        of_ring("3.2 mm", r#", "moving": true"#),
        ["duty::seal-squeeze"]
    );
    for closed in ["4 mm", "2.7 mm"] {
        let c = flat(&format!(
            r#", "closed_thickness": "{closed}", "medium": "water""#
        ));
        assert_eq!(codes(&c), ["duty::seal-squeeze"], "{closed}");
    }
    // A flat gasket may be squeezed by less than 10 %, and says what that means.
    let d = duty(&flat(
        r#", "closed_thickness": "3.8 mm", "medium": "water""#,
    ));
    assert!(
        d.notes.iter().any(|n| n.contains("5.0 % only")),
        "{:?}",
        d.notes
    );
    // The very limits stand.
    assert!(case("seal-ring", r#"{ "form": "ring", "medium": "water", "section": "4 mm", "groove_depth": "2.8 mm", "diameter": "60 mm" }"#).duty().is_ok());
    assert!(case("seal-ring", r#"{ "form": "ring", "medium": "water", "section": "4 mm", "groove_depth": "3.6 mm", "diameter": "60 mm" }"#).duty().is_ok());
}

#[test]
fn every_misuse_has_its_code() {
    for (c, code) in [
        (
            ring(r#", "medium": "water", "groove_width": "4 mm""#),
            "duty::groove-overfull",
        ),
        (
            ring(r#", "medium": "water", "thickness": "4 mm""#),
            "duty::dimension-foreign",
        ),
        (
            flat(r#", "closed_thickness": "3.2 mm", "medium": "water", "moving": true"#),
            "duty::dimension-foreign",
        ),
        (flat(r#", "medium": "water""#), "duty::dimension-missing"),
        (
            ring(r#", "medium": "water", "pressure": "-1 bar""#),
            "duty::not-positive",
        ),
    ] {
        assert!(codes(&c).contains(&code), "{code}: {:?}", codes(&c));
    }
    let c = case(
        "seal-ring",
        r#"{ "form": "flat", "medium": "water", "outer_diameter": "80 mm", "inner_diameter": "84 mm", "thickness": "4 mm", "closed_thickness": "3.4 mm" }"#,
    );
    assert!(codes(&c).contains(&"duty::ring-hole"));
}

#[test]
fn gas_steam_fuel_and_pressure_are_declined_and_house_water_is_not() {
    let declined = |more: &str, hot_c: f64| {
        let mut c = ring(more);
        c.setting.temperature_c = (10.0, hot_c);
        duty(&c).declined.map(|d| d.caution.id)
    };
    for (more, hot_c, by) in [
        (
            r#", "medium": "air", "pressure": "0.8 bar""#,
            30.0,
            Some("pressure"),
        ),
        (r#", "medium": "air", "pressure": "0.4 bar""#, 30.0, None),
        (r#", "medium": "steam""#, 30.0, Some("pressure")),
        (r#", "medium": "gas""#, 30.0, Some("gas-fuel-seal")),
        (r#", "medium": "fuel""#, 30.0, Some("gas-fuel-seal")),
        (r#", "medium": "water", "pressure": "4 bar""#, 30.0, None),
        (
            r#", "medium": "water", "pressure": "2 bar""#,
            80.0,
            Some("pressure"),
        ),
        (
            r#", "medium": "oil", "pressure": "60 bar""#,
            30.0,
            Some("pressure"),
        ),
        (r#", "medium": "dust""#, 30.0, None),
    ] {
        assert_eq!(declined(more, hot_c).as_deref(), by, "{more} {hot_c}");
    }
    // The case's own pressure decides, not the one with the class's factor on it.
    let mut c = ring(r#", "medium": "air", "pressure": "0.45 bar""#);
    c.setting.class = Some(Class::Severe);
    assert!(duty(&c).declined.is_none());
    let d = duty(&ring(r#", "medium": "drinking-water""#));
    assert!(d.cautions.iter().any(|r| r.caution.id == "drinking-water"));
}

#[test]
fn a_print_is_never_said_to_be_tight() {
    let d = duty(&ring(r#", "medium": "water""#));
    assert!(
        d.notes[0].starts_with("a print is not tight until it is proved"),
        "{:?}",
        d.notes
    );
}

#[test]
fn a_stiff_seal_needs_more_load_than_the_bolts_give() {
    let c = flat(
        r#", "closed_thickness": "3.4 mm", "medium": "water", "pressure": "0.2 bar", "bolt_load": "3 kN""#,
    );
    let d = duty(&c);
    // S = 6/16, 1 + 2 S^2 = 1.28125; 819.96 mm2; squeezed by 15 % into the neo-Hookean law.
    let l: f64 = 0.85;
    let apparent = 1.0 / (1.0 / (8.0 * 1.28125) + 1.0 / 1500.0);
    let squeezes = 819.956 * apparent * ((1.0 / (l * l) - l) / 3.0);
    close(performs(&d, "bolt-load", SOFT), squeezes, 1e-5);
    let mut stiff = SOFT.to_vec();
    stiff[0] = ("compression-modulus", 60.0);
    assert!(margin(&d, "bolt-load", &stiff) < 1.0 && margin(&d, "bolt-load", SOFT) > 1.0);
    let r = duty(&ring(
        r#", "medium": "water", "pressure": "1 bar", "bolt_load": "3 kN""#,
    ));
    // Lindley: 8 x 4 (1.25 x 0.2^1.5 + 50 x 0.2^6) = 3.6801 N/mm round pi 60, and pi/4 60^2 x 0.1.
    close(
        performs(&r, "bolt-load", SOFT),
        3.680_109 * 188.495_56 + 282.743_3,
        1e-5,
    );
}

#[test]
fn soft_seals_are_pushed_out_and_brittle_ones_split() {
    let d = duty(&ring(r#", "medium": "water", "pressure": "10 bar""#));
    close(
        performs(&d, "extrusion", SOFT),
        0.75 * 1.0 / (8.0 * 0.6),
        1e-9,
    );
    assert!(
        margin(
            &d,
            "extrusion",
            &[("compression-modulus", 3.0), ("force-retained", 0.6)]
        ) < 1.0
    );
    // A fifth of squeeze stretches the side by a quarter.
    close(
        performs(&d, "splitting", &[("break-strain", 40.0)]),
        40.0 / 25.0,
        1e-9,
    );
    assert!(!limit(&d, "splitting").sense.met(1.6));
    let still = duty(&ring(r#", "medium": "dust""#));
    assert!(still.limits.iter().all(|l| l.id != "extrusion"));
}

proptest! {
    #[test]
    fn more_pressure_never_raises_a_margin(
        e in 1.0..500.0_f64, kept in 0.1..1.0_f64, bar in 0.1..9.0_f64, more in 1.0..1.1_f64, shore in 40.0..95.0_f64,
    ) {
        let m = [
            ("compression-modulus", e), ("force-retained", kept), ("shore-a", shore), ("compression-set", 30.0),
            ("bulk-modulus", 1500.0), ("break-strain", 100.0), ("softening-onset", 90.0),
        ];
        let at = |bar: f64| duty(&flat(&format!(
            r#", "closed_thickness": "3.3 mm", "medium": "water", "pressure": "{bar} bar", "bolt_load": "5 kN""#
        )));
        let (low, high) = (at(bar), at(bar * more));
        for l in &low.limits {
            prop_assert!(margin(&high, &l.id, &m) <= margin(&low, &l.id, &m) * (1.0 + 1e-9), "{}", l.id);
        }
    }

    #[test]
    fn bar_and_psi_are_one(bar in 0.1..9.0_f64) {
        let si = duty(&flat(&format!(r#", "closed_thickness": "3.3 mm", "medium": "water", "pressure": "{bar} bar""#)));
        let us = duty(&flat(&format!(
            r#", "closed_thickness": "{} in", "medium": "water", "pressure": "{} psi""#, 3.3 / 25.4, bar * 0.1 / 0.006_894_757_293_168_36
        )));
        prop_assert!((performs(&si, "sealing", SOFT) / performs(&us, "sealing", SOFT) - 1.0).abs() < 1e-9);
    }
}
