//! The protective-cap part kind.

use super::{aimed, bound, case, close, codes, governing, limit, margin, performs, step};
use dutyfit::duty::{Case, Duty, LiesOnBed};
use dutyfit::policy::Class;
use dutyfit::property::Lies;
use proptest::prelude::*;

fn cap(more: &str) -> Case {
    let mut c = case(
        "protective-cap",
        &format!(
            r#"{{ "tube_diameter": "20 mm", "bore": "19.4 mm", "wall": "2 mm", "length": "18 mm", "tube": "painted-steel", "pull_off": "15 N"{more} }}"#
        ),
    );
    c.setting.class = Some(Class::Nuisance);
    c
}

fn duty(more: &str) -> Duty {
    cap(more).duty().expect("a cap within validity")
}

const SOFT: &[(&str, f64)] = &[
    ("static-friction", 0.5),
    ("tensile-modulus", 20.0),
    ("poisson-ratio", 0.5),
    ("thermal-expansion", 12.0),
    ("stretch-retained", 0.6),
    ("break-strain", 150.0),
    ("fatigue-share", 0.2),
    ("sustained-strength", 6.0),
    ("bearing-strength", 10.0),
    ("tensile-strength", 12.0),
    ("softening-onset", 90.0),
];

// Worked by hand: C = (23.4^2 + 20^2)/(23.4^2 - 20^2) = 6.4213; p = 20 x 0.6/20/(C + 0.5) = 0.08669 MPa free,
// (4/3) 20 x 0.03/(C + 1) = 0.10780 MPa held; 0.5 p pi 20 18 = 49.02 N and 60.96 N.
#[test]
fn it_holds_by_the_low_end_of_the_squeeze_and_is_overcome_at_the_high_end() {
    let d = duty("");
    close(performs(&d, "pull-off", SOFT), 0.6 * 49.02, 1e-3);
    // A Poisson's ratio of a half exactly is held to a half.
    close(performs(&d, "push-on", SOFT), 60.96, 1e-3);
}

#[test]
fn a_tighter_bore_turns_the_governing_limit_from_falling_off_to_too_tight() {
    let at = |bore: &str| {
        case("protective-cap", &format!(
            r#"{{ "tube_diameter": "20 mm", "bore": "{bore}", "wall": "2 mm", "length": "18 mm", "pull_off": "15 N" }}"#
        )).duty().unwrap()
    };
    assert_eq!(governing(&at("19.9 mm"), SOFT), "pull-off");
    assert_eq!(governing(&at("17.6 mm"), SOFT), "push-on");
}

#[test]
fn a_bore_with_clearance_and_a_stretch_past_the_law_are_refused() {
    for (bore, code) in [
        ("20.1 mm", "duty::held-by-nothing"),
        ("15 mm", "duty::sleeve-stretch"),
    ] {
        let c = case(
            "protective-cap",
            &format!(
                r#"{{ "tube_diameter": "20 mm", "bore": "{bore}", "wall": "3 mm", "length": "18 mm", "pull_off": "15 N" }}"#
            ),
        );
        assert_eq!(codes(&c), [code]);
    }
}

#[test]
fn what_holds_more_than_may_be_pushed_is_refused_with_the_factor_counted() {
    assert_eq!(
        codes(&cap(r#", "push_on": "14 N""#)),
        ["duty::hold-over-push"]
    );
    let mut c = cap(r#", "push_on": "20 N""#);
    assert!(c.duty().is_ok());
    c.setting.class = Some(Class::Injury);
    assert_eq!(codes(&c), ["duty::hold-over-push"]);
}

#[test]
fn the_pull_carries_the_factor_and_the_hand_does_not_and_is_comfort() {
    let mut c = cap("");
    c.setting.class = Some(Class::Injury);
    let d = c.duty().unwrap();
    close(bound(limit(&d, "pull-off")), 22.5, 1e-12);
    close(bound(limit(&d, "push-on")), 150.0, 1e-12);
    assert_eq!(limit(&d, "push-on").class, Class::Nuisance);
    assert_eq!(limit(&d, "pull-off").class, Class::Injury);
}

#[test]
fn many_times_on_and_off_leave_less_stretch_and_at_last_wear_the_bore() {
    let few = duty(r#", "times": 1"#);
    let many = duty(r#", "times": 20000"#);
    assert!(performs(&many, "hoop-strain", SOFT) < performs(&few, "hoop-strain", SOFT));
    assert!(few.limits.iter().all(|l| l.id != "bore-wear"));
    let mut worn = SOFT.to_vec();
    worn.push(("wear-rate", 1e-4));
    // 1e-4 x 0.10780 MPa x 360 m = 3.881e-3 mm of depth, twice that of 0.6 mm.
    close(
        performs(&many, "bore-wear", &worn),
        2.0 * 3.881e-3 / 0.6,
        1e-3,
    );
}

#[test]
fn a_tube_that_stands_in_it_cuts_and_punches() {
    let d = duty(r#", "end_load": "100 N", "tube_wall": "1 mm", "end_thickness": "2 mm""#);
    // 100 N over pi 19 x 1 and over pi 20 x 2.
    close(bound(limit(&d, "end-crushing")), 100.0 / 59.690, 1e-4);
    close(bound(limit(&d, "end-punch")), 100.0 / 125.664, 1e-4);
    close(performs(&d, "end-punch", SOFT), 12.0 / 3f64.sqrt(), 1e-12);
    close(
        performs(&d, "end-crushing", &[("yield-strength", 9.0)]),
        3.0,
        1e-12,
    );
    let across = limit(&d, "end-punch").needs[0][0];
    assert_eq!(d.asks[across].lies, Some(Lies::Across));
    assert_eq!(
        codes(&cap(r#", "end_load": "100 N", "tube_wall": "1 mm""#)),
        ["duty::dimension-missing"]
    );
    assert_eq!(
        codes(&cap(
            r#", "end_load": "100 N", "tube_wall": "11 mm", "end_thickness": "2 mm""#
        )),
        ["duty::tube-wall"]
    );
}

#[test]
fn lying_down_the_layers_cut_through_the_hoop() {
    for (lies, wanted) in [
        (LiesOnBed::Flat, Lies::Across),
        (LiesOnBed::Open, Lies::InPlane),
    ] {
        let mut c = cap("");
        c.setting.lies = lies;
        let d = c.duty().unwrap();
        let breaks = limit(&d, "hoop-strain").needs[0][0];
        assert_eq!(d.asks[breaks].lies, Some(wanted), "{lies:?}");
    }
}

#[test]
fn easy_on_and_off_is_valued_from_the_hand_to_the_hold() {
    let (force, value) = aimed(&duty(""), "easy-on-off", SOFT);
    close(force, 60.96, 1e-3);
    close(value, (150.0 / force).ln() / 10f64.ln(), 1e-6);
}

#[test]
fn a_warm_cap_loosens() {
    let mut c = cap("");
    c.setting.temperature_c = (23.0, 60.0);
    let d = c.duty().unwrap();
    let mut m = SOFT.to_vec();
    m[3] = ("thermal-expansion", 160.0);
    // 0.6 mm - 20 x 148e-6 x 37.
    close(
        step(&d, "pull-off@hot", &m, "interference at this temperature"),
        0.49048,
        1e-4,
    );
}

proptest! {
    #[test]
    fn a_longer_or_thicker_cap_never_holds_less_and_more_pull_never_raises_a_margin(
        e in 3.0..3000.0_f64, mu in 0.1..1.2_f64, bore in 16.0..19.9_f64, wall in 2.5..5.0_f64, more in 1.0..2.0_f64,
    ) {
        let m = [
            ("static-friction", mu), ("tensile-modulus", e), ("poisson-ratio", 0.45), ("thermal-expansion", 120.0),
            ("stretch-retained", 0.5),
        ];
        let at = |wall: f64, length: f64, pull: f64| {
            case("protective-cap", &format!(
                r#"{{ "tube_diameter": "20 mm", "bore": "{bore} mm", "wall": "{wall} mm", "length": "{length} mm", "pull_off": "{pull} N", "push_on": "2 kN" }}"#
            )).duty().unwrap()
        };
        let held = margin(&at(wall, 15.0, 20.0), "pull-off", &m);
        prop_assert!(margin(&at(wall * more, 15.0, 20.0), "pull-off", &m) >= held * (1.0 - 1e-9));
        prop_assert!(margin(&at(wall, 15.0 * more, 20.0), "pull-off", &m) >= held * (1.0 - 1e-9));
        prop_assert!(margin(&at(wall, 15.0, 20.0 * more), "pull-off", &m) <= held * (1.0 + 1e-9));
        // What must be overcome is never less than what is trusted.
        let d = at(wall, 15.0, 20.0);
        prop_assert!(performs(&d, "push-on", &m) >= step(&d, "pull-off", &m, "pull held when new") * (1.0 - 1e-9));
    }
}
