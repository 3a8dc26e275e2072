//! The wheel-tyre part kind.

use super::{aimed, bound, case, close, codes, governing, limit, margin, performs, step};
use dutyfit::duty::{Case, Duty};
use dutyfit::policy::Class;
use proptest::prelude::*;

const BODY: &str = r#""rim_diameter": "28 mm", "thickness": "6 mm", "width": "15 mm", "load": "60 N", "speed": "0.5 m/s", "distance": "10 km""#;

fn tyre(more: &str) -> Case {
    let mut c = case("wheel-tyre", &format!("{{ {BODY}{more} }}"));
    c.setting.class = Some(Class::Nuisance);
    c.setting.counterface = Some("tile".to_owned());
    c
}

fn duty(more: &str) -> Duty {
    tyre(more).duty().expect("a tyre within validity")
}

const HELD: &str = r#", "bore": "27 mm""#;

const SOFT: &[(&str, f64)] = &[
    ("compression-modulus", 30.0),
    ("tensile-modulus", 30.0),
    ("creep-modulus", 15.0),
    ("poisson-ratio", 0.5),
    ("thermal-expansion", 12.0),
    ("static-friction", 0.5),
    ("stretch-retained", 0.6),
    ("break-strain", 150.0),
    ("sustained-strength", 5.0),
    ("bearing-strength", 20.0),
    ("fatigue-share", 0.3),
    ("compression-set", 30.0),
    ("wear-rate", 1e-4),
    ("rebound", 50.0),
    ("softening-onset", 90.0),
];

// Worked by hand: R 20, E* = 40 MPa; b = sqrt(4 60 20/(pi 15 40)) = 1.59577 mm, p = 2 60/(pi b 15) = 1.59577 MPa.
#[test]
fn the_contact_is_hertz_line_contact() {
    let d = duty(HELD);
    close(
        step(&d, "crushing", SOFT, "half width of the contact"),
        1.595_77,
        1e-5,
    );
    close(
        step(&d, "crushing", SOFT, "highest pressure, thick tread"),
        1.595_77,
        1e-5,
    );
    // Springs side by side: (3 60 6/(4 15 15 sqrt 40))^(2/3) = 0.33019 mm at the creep modulus.
    close(performs(&d, "sag", SOFT), 0.330_19, 1e-4);
    close(performs(&d, "flat-spot", SOFT), 0.3 * 0.330_19, 1e-4);
}

// Worked by hand: half of the work lost over 2 b/(3 pi R): 0.5 x 2 x 1.59577/(3 pi 20) = 8.4658e-3.
#[test]
fn it_rolls_and_warms_by_the_work_that_it_loses() {
    let d = duty(HELD);
    let (drag, value) = aimed(&d, "easy-rolling", SOFT);
    close(drag, 8.465_8e-3, 1e-4);
    close(value, (0.05 / drag).ln() / 10f64.ln(), 1e-9);
    // 8.4658e-3 x 60 x 0.5 = 0.25397 W over 15 W/(m2.K) x 3166.7 mm2: 5.347 K.
    close(
        step(&d, "heat-margin", SOFT, "rise by rolling"),
        5.347,
        1e-3,
    );
    close(performs(&d, "heat-margin", SOFT), 90.0 - 23.0 - 5.347, 1e-3);
    let mut lively = SOFT.to_vec();
    lively[13] = ("rebound", 80.0);
    assert!(performs(&d, "heat-margin", &lively) > performs(&d, "heat-margin", SOFT));
}

#[test]
fn speed_turns_the_governing_limit_to_heat() {
    let at = |speed: &str| {
        let mut c = case(
            "wheel-tyre",
            &format!(
                r#"{{ "rim_diameter": "28 mm", "thickness": "6 mm", "width": "15 mm", "load": "60 N", "distance": "10 km", "bore": "27 mm", "speed": "{speed}" }}"#
            ),
        );
        c.setting.counterface = Some("tile".to_owned());
        c.duty().unwrap()
    };
    assert_ne!(governing(&at("0.5 m/s"), SOFT), "heat-margin");
    assert_eq!(governing(&at("6 m/s"), SOFT), "heat-margin");
    assert!(margin(&at("6 m/s"), "heat-margin", SOFT) < 1.0);
}

#[test]
fn it_wears_only_where_it_slides() {
    // 1e-4 x 60 N x 200 m over 2 pi 20 15 = 1884.96 mm2.
    close(performs(&duty(HELD), "wear", SOFT), 1.2 / 1884.956, 1e-6);
    let dragged = duty(&format!(r#"{HELD}, "slip": 1"#));
    close(performs(&dragged, "wear", SOFT), 60.0 / 1884.956, 1e-6);
}

#[test]
fn many_turns_leave_less_of_the_pressure_it_bears() {
    let d = duty(HELD);
    let turns = 1e7 / (2.0 * std::f64::consts::PI * 20.0);
    close(step(&d, "crushing", SOFT, "cycles"), turns, 1e-9);
    let pressure = step(&d, "crushing", SOFT, "highest pressure");
    let left = 20.0 * 0.3f64.powf(turns.log10() / 7.0);
    close(performs(&d, "crushing", SOFT), left / pressure, 1e-9);
}

#[test]
fn loads_carry_the_factor_and_speed_and_way_do_not() {
    let mut c = tyre(&format!(r#"{HELD}, "traction": "10 N""#));
    c.setting.class = Some(Class::Injury);
    let d = c.duty().unwrap();
    close(step(&d, "wear", SOFT, "load on the wheel"), 90.0, 1e-12);
    close(bound(limit(&d, "rim-hold")), 10.0 * 1.5 * 20.0e-3, 1e-12);
    close(step(&d, "heat-margin", SOFT, "rolling speed"), 0.5, 1e-12);
    close(step(&d, "wear", SOFT, "way slid"), 200.0, 1e-12);
}

#[test]
fn a_loose_tyre_turns_on_its_rim_and_a_fixed_one_is_not_judged_for_it() {
    let d = duty(HELD);
    // Friction of the rim and not of the floor.
    let rim = limit(&d, "rim-hold").needs[0][0];
    assert_eq!(d.asks[rim].counterface.as_deref(), Some("steel-painted"));
    assert!(
        performs(&duty(r#", "bore": "27.8 mm""#), "rim-hold", SOFT)
            < performs(&d, "rim-hold", SOFT)
    );
    let fixed = duty(r#", "fixing": "fixed""#);
    assert!(
        fixed
            .limits
            .iter()
            .all(|l| l.id != "rim-hold" && l.id != "hoop-strain")
    );
    assert!(fixed.notes.iter().any(|n| n.contains("are not judged")));
}

#[test]
fn every_misuse_has_its_code() {
    for (more, code) in [
        ("", "duty::dimension-missing"),
        (
            r#", "fixing": "fixed", "bore": "27 mm""#,
            "duty::dimension-foreign",
        ),
        (r#", "bore": "28.2 mm""#, "duty::held-by-nothing"),
        (r#", "bore": "20 mm""#, "duty::sleeve-stretch"),
        (r#", "bore": "27 mm", "slip": 0"#, "duty::share"),
        (r#", "bore": "27 mm", "sag": "6 mm""#, "duty::tread-through"),
        (
            r#", "bore": "27 mm", "traction": "0 N""#,
            "duty::not-positive",
        ),
    ] {
        assert_eq!(codes(&tyre(more)), [code], "{more}");
    }
    let mut c = case(
        "wheel-tyre",
        r#"{ "rim_diameter": "60 mm", "thickness": "1 mm", "width": "15 mm", "load": "60 N", "speed": "0.5 m/s", "distance": "10 km", "fixing": "fixed" }"#,
    );
    c.setting.counterface = Some("tile".to_owned());
    assert_eq!(codes(&c), ["duty::tread-thin"]);
    let mut c = tyre(HELD);
    c.setting.counterface = None;
    assert_eq!(codes(&c), ["duty::floor-unknown"]);
}

#[test]
fn a_cart_is_judged_and_what_people_ride_on_is_declined() {
    let mut c = tyre(HELD);
    c.title = "tyre of the hand cart".to_owned();
    assert!(c.duty().unwrap().declined.is_none());
    let c = tyre(&format!(r#"{HELD}, "carries_people": true"#));
    assert_eq!(
        c.duty().unwrap().declined.map(|d| d.caution.id).as_deref(),
        Some("vehicle-structure")
    );
    let mut c = case(
        "wheel-tyre",
        r#"{ "rim_diameter": "28 mm", "thickness": "6 mm", "width": "15 mm", "load": "5 N", "speed": "25 m/s", "distance": "10 km", "fixing": "fixed" }"#,
    );
    c.setting.counterface = Some("tile".to_owned());
    assert!(
        c.duty()
            .unwrap()
            .cautions
            .iter()
            .any(|r| r.caution.id == "fast-rotation")
    );
}

#[test]
fn a_tread_squeezed_past_half_is_squeezed_flat() {
    let mut c = case(
        "wheel-tyre",
        r#"{ "rim_diameter": "28 mm", "thickness": "6 mm", "width": "15 mm", "load": "4 kN", "speed": "0.5 m/s", "distance": "10 km", "fixing": "fixed" }"#,
    );
    c.setting.counterface = Some("tile".to_owned());
    close(performs(&c.duty().unwrap(), "sag", SOFT), 6.0, 1e-12);
}

proptest! {
    #[test]
    fn more_load_or_speed_never_raises_a_margin_and_a_wider_wheel_never_lowers_one(
        e in 5.0..3000.0_f64, load in 5.0..200.0_f64, speed in 0.1..3.0_f64, more in 1.0..2.0_f64,
    ) {
        let mut m = SOFT.to_vec();
        m[0] = ("compression-modulus", e);
        m[2] = ("creep-modulus", 0.6 * e);
        let at = |load: f64, speed: f64, width: f64| {
            let mut c = case("wheel-tyre", &format!(
                r#"{{ "rim_diameter": "28 mm", "thickness": "6 mm", "bore": "27 mm", "distance": "10 km", "traction": "4 N", "load": "{load} N", "speed": "{speed} m/s", "width": "{width} mm" }}"#));
            c.setting.counterface = Some("tile".to_owned());
            c.duty().unwrap()
        };
        let base = at(load, speed, 12.0);
        for l in &base.limits {
            // A margin below softening is no ratio: it is compared as it stands.
            let of = |d: &Duty| if l.id == "heat-margin" { performs(d, &l.id, &m) } else { margin(d, &l.id, &m) };
            let was = of(&base);
            let slack = 1e-9 * was.abs();
            prop_assert!(of(&at(load * more, speed, 12.0)) <= was + slack, "{}", l.id);
            prop_assert!(of(&at(load, speed * more, 12.0)) <= was + slack, "{}", l.id);
            prop_assert!(of(&at(load, speed, 12.0 * more)) >= was - slack, "{}", l.id);
        }
    }
}
