//! The impact-guard part kind.

use super::{aimed, bound, case, close, codes, governing, limit, margin, performs, step};
use dutyfit::duty::{Case, Duty, LiesOnBed};
use dutyfit::policy::Class;
use dutyfit::property::Lies;
use proptest::prelude::*;

fn guard(more: &str) -> Case {
    let mut c = case(
        "impact-guard",
        &format!(
            r#"{{ "mass": "20 kg", "shape": "block", "length": "40 mm", "width": "40 mm", "depth": "30 mm"{more} }}"#
        ),
    );
    c.setting.class = Some(Class::Nuisance);
    c
}

fn duty(more: &str) -> Duty {
    guard(more).duty().expect("a guard within validity")
}

/// 1 + 2 S^2 of the block, S = 1/3.
const HELD: f64 = 11.0 / 9.0;

const SOFT: &[(&str, f64)] = &[
    ("compression-modulus", 20.0),
    ("dynamic-stiffening", 1.5),
    ("break-strain", 200.0),
    ("fatigue-share", 0.2),
    ("compression-set", 30.0),
    ("softening-onset", 90.0),
];

// Worked by hand: k = 20 x 1600/30 = 1066.7 N/mm.
#[test]
fn a_block_takes_the_energy_as_a_spring() {
    let small = duty(r#", "speed": "0.5 m/s", "force_allowed": "5 kN""#);
    // v sqrt(m/k) = 0.5 sqrt(20/1.0667e6) = 2.165 mm; at 1.5 times k the force is v sqrt(m k), and
    // loose faces that do not slide are 1 + 2 S^2 as stiff, S = 1600/(2 x 30 x 80) = 1/3.
    close(performs(&small, "bottoming", SOFT), 2.165_064 / 30.0, 1e-6);
    close(
        performs(&small, "force", SOFT),
        0.5 * (20.0 * 1.6e6f64 * HELD).sqrt(),
        1e-9,
    );
}

#[test]
fn a_set_takes_its_share_of_the_squeeze_and_not_of_the_depth() {
    let d = duty(r#", "speed": "0.5 m/s""#);
    // 30 % of the 2.165 mm pushed in, of 30 mm.
    close(
        performs(&d, "depth-kept", SOFT),
        1.0 - 0.3 * 2.165_064 / 30.0,
        1e-6,
    );
}

#[test]
fn a_stiffer_block_passes_on_more_force_and_bottoms_out_later() {
    let d = duty(r#", "speed": "0.9 m/s", "force_allowed": "5 kN""#);
    let at = |e: f64| [("compression-modulus", e), ("dynamic-stiffening", 1.5)];
    assert!(performs(&d, "force", &at(60.0)) > performs(&d, "force", &at(20.0)));
    assert!(performs(&d, "bottoming", &at(60.0)) < performs(&d, "bottoming", &at(20.0)));
}

#[test]
fn a_deeper_blow_turns_the_governing_limit() {
    let at = |speed: &str| duty(&format!(r#", "speed": "{speed}", "force_allowed": "5 kN""#));
    assert_eq!(governing(&at("0.4 m/s"), SOFT), "depth-kept");
    assert_eq!(governing(&at("1.2 m/s"), SOFT), "force");
    // What is squeezed flat stops nothing gently.
    let flat = at("8 m/s");
    close(performs(&flat, "bottoming", SOFT), 1.0, 1e-12);
    assert!(performs(&flat, "force", SOFT).is_infinite());
}

#[test]
fn mass_carries_the_factor_and_speed_and_room_do_not() {
    let mut c = guard(
        r#", "speed": "0.5 m/s", "force_allowed": "5 kN", "deceleration_allowed": "300 m/s^2", "lightest_mass": "10 kg""#,
    );
    c.setting.class = Some(Class::Injury);
    let d = c.duty().unwrap();
    close(step(&d, "force", SOFT, "mass that strikes"), 30.0, 1e-12);
    close(step(&d, "force", SOFT, "speed of the blow"), 0.5, 1e-12);
    close(bound(limit(&d, "force")), 5000.0, 1e-12);
    // The lightest thing is stopped hardest, and no factor makes it heavier.
    close(
        step(&d, "deceleration", SOFT, "mass that strikes"),
        10.0,
        1e-12,
    );
    close(
        performs(&d, "deceleration", SOFT),
        0.5 * (1.6e6f64 * HELD / 10.0).sqrt(),
        1e-9,
    );
}

#[test]
fn how_it_lies_decides_whether_the_rim_pulls_layers_apart() {
    for (lies, wanted) in [
        (LiesOnBed::Flat, Lies::InPlane),
        (LiesOnBed::Upright, Lies::Across),
        (LiesOnBed::Open, Lies::Across),
    ] {
        let mut c = guard(r#", "speed": "0.5 m/s""#);
        c.setting.lies = lies;
        let d = c.duty().unwrap();
        let ask = limit(&d, "splitting")
            .needs
            .iter()
            .flatten()
            .map(|i| &d.asks[*i]);
        let breaks: Vec<_> = ask
            .filter(|a| a.property.as_str() == "break-strain")
            .collect();
        assert_eq!(breaks[0].lies, Some(wanted), "{lies:?}");
    }
}

#[test]
fn many_blows_leave_less_stretch_and_one_asks_for_no_fatigue() {
    let one = duty(r#", "speed": "0.5 m/s""#);
    let many = duty(r#", "speed": "0.5 m/s", "blows": 100000"#);
    assert!(performs(&many, "splitting", SOFT) < performs(&one, "splitting", SOFT));
    assert!(
        one.asks
            .iter()
            .all(|a| a.property.as_str() != "fatigue-share")
    );
    let mut c = guard(r#", "speed": "0.5 m/s""#);
    c.setting.cycles = Some(1e5);
    close(
        performs(&c.duty().unwrap(), "splitting", SOFT),
        performs(&many, "splitting", SOFT),
        1e-12,
    );
}

#[test]
fn a_crushing_body_is_used_up_blow_by_blow() {
    let at = |more: &str| {
        duty(&format!(
            r#", "speed": "1 m/s", "works": "crushes", "plateau": "0.8 MPa", "force_allowed": "2 kN"{more}"#
        ))
    };
    // 10 J over 1280 N is 7.8 mm of 30.
    let once = at("");
    close(performs(&once, "bottoming", &[]), 7.8125 / 30.0, 1e-9);
    // In a blow the plateau is higher, as a block's modulus is; how far it crushes is judged at rest.
    close(
        performs(&once, "force", &[("dynamic-stiffening", 1.5)]),
        1.5 * 1280.0,
        1e-9,
    );
    close(
        performs(&at(r#", "blows": 3"#), "bottoming", &[]),
        3.0 * 7.8125 / 30.0,
        1e-9,
    );
    assert!(margin(&at(r#", "blows": 3"#), "bottoming", &[]) < 1.0);
    // Of a material that yields at twice the stress of the piece squeezed, half as deep.
    let scaled = at(r#", "plateau_yield": "20 MPa""#);
    close(
        performs(&scaled, "bottoming", &[("yield-strength", 40.0)]),
        7.8125 / 60.0,
        1e-9,
    );
    assert!(margin(&once, "shattering", &[("break-strain", 4.0)]) < 1.0);
    assert!(once.limits.iter().all(|l| l.id != "depth-kept"));
}

// 20 kg, a quarter more by the factor, from 20 mm onto 270 N: 4.903 J over 270 - 245.17 N.
#[test]
fn what_falls_goes_on_pushing_while_the_body_crushes() {
    let at = |kg: f64| {
        let mut c = case(
            "impact-guard",
            &format!(
                r#"{{ "mass": "{kg} kg", "drop": "20 mm", "works": "crushes", "plateau": "0.3 MPa", "shape": "block", "length": "30 mm", "width": "30 mm", "depth": "30 mm", "force_allowed": "2 kN" }}"#
            ),
        );
        c.setting.class = Some(Class::Damage);
        c.duty().expect("a guard within validity")
    };
    let falls = at(20.0);
    close(
        step(&falls, "bottoming", &[], "depth crushed"),
        4_903.325 / (270.0 - 245.166_25),
        1e-9,
    );
    // 25 kg with the factor weighs more than the plateau bears: it is never stopped, and that is said.
    let never = at(25.0);
    assert!(margin(&never, "bottoming", &[]) <= 0.0);
    assert!(margin(&never, "force", &[("dynamic-stiffening", 1.0)]) <= 0.0);
    let said = |d: &Duty| d.notes.iter().any(|n| n.contains("never stops it"));
    assert!(said(&never) && !said(&falls));
}

#[test]
fn every_misuse_has_its_code() {
    for (more, code) in [
        ("", "duty::blow"),
        (r#", "speed": "1 m/s", "drop": "1 m""#, "duty::blow"),
        (r#", "speed": "12 m/s""#, "duty::blow-too-fast"),
        (r#", "drop": "6 m""#, "duty::blow-too-fast"),
        (
            r#", "speed": "1 m/s", "squeeze_allowed": 0.6"#,
            "duty::squeeze-beyond-law",
        ),
        (r#", "speed": "1 m/s", "works": "crushes""#, "duty::plateau"),
        (r#", "speed": "1 m/s", "plateau": "1 MPa""#, "duty::plateau"),
        (
            r#", "speed": "1 m/s", "deceleration_allowed": "100 m/s^2""#,
            "duty::lightest-mass",
        ),
        (
            r#", "speed": "1 m/s", "lightest_mass": "30 kg""#,
            "duty::mass",
        ),
        (r#", "speed": "1 m/s", "depth_kept": 1.5"#, "duty::share"),
        (
            r#", "speed": "1 m/s", "diameter": "30 mm""#,
            "duty::dimension-foreign",
        ),
    ] {
        assert_eq!(codes(&guard(more)), [code], "{more}");
    }
}

#[test]
fn a_loose_guard_that_is_flat_against_its_face_is_refused_and_a_bonded_one_is_not() {
    let flat = |faces: &str| {
        case(
            "impact-guard",
            &format!(
                r#"{{ "mass": "20 kg", "speed": "0.5 m/s", "shape": "block", "length": "40 mm", "width": "40 mm", "depth": "9 mm", "faces": "{faces}" }}"#
            ),
        )
    };
    // S = 1600/(2 x 9 x 80) = 1.11.
    assert_eq!(codes(&flat("loose")), ["duty::loose-shape-factor"]);
    assert!(flat("bonded").duty().is_ok());
}

#[test]
fn a_gentle_stop_is_valued_up_to_the_spring_that_uses_all_its_depth() {
    let d = duty(r#", "speed": "0.5 m/s", "force_allowed": "5 kN""#);
    // 2.5 J over a quarter of 30 mm: twice the mean of 333 N.
    let (force, value) = aimed(&d, "soft-stop", SOFT);
    close(force, 0.5 * (20.0 * 1.6e6f64 * HELD).sqrt(), 1e-9);
    close(
        value,
        (5000.0 / force).ln() / (5000.0f64 / 666.667).ln(),
        1e-5,
    );
}

proptest! {
    #[test]
    fn a_harder_blow_never_raises_a_margin_and_more_depth_never_lowers_one(
        e in 2.0..3000.0_f64, kg in 1.0..100.0_f64, v in 0.1..3.0_f64, more in 1.0..3.0_f64, bonded in any::<bool>(),
    ) {
        let figures = [
            ("compression-modulus", e), ("dynamic-stiffening", 1.3), ("bulk-modulus", 1500.0),
            ("break-strain", 80.0), ("fatigue-share", 0.2), ("compression-set", 25.0), ("softening-onset", 90.0),
        ];
        let faces = if bonded { "bonded" } else { "loose" };
        let at = |kg: f64, v: f64, depth: f64| {
            case("impact-guard", &format!(
                r#"{{ "mass": "{kg} kg", "speed": "{v} m/s", "shape": "disc", "diameter": "40 mm", "depth": "{depth} mm", "faces": "{faces}", "blows": 10, "force_allowed": "5 kN" }}"#
            )).duty().unwrap()
        };
        let (base, heavy, fast, deep) = (at(kg, v, 20.0), at(kg * more, v, 20.0), at(kg, v * more, 20.0), at(kg, v, 20.0 * more));
        for l in &base.limits {
            let m = margin(&base, &l.id, &figures);
            prop_assert!(margin(&heavy, &l.id, &figures) <= m * (1.0 + 1e-9), "{}", l.id);
            prop_assert!(margin(&fast, &l.id, &figures) <= m * (1.0 + 1e-9), "{}", l.id);
            prop_assert!(margin(&deep, &l.id, &figures) >= m * (1.0 - 1e-9), "{}", l.id);
        }
    }

    #[test]
    fn customary_units_give_the_same_duty(v in 0.5..9.0_f64) {
        let si = duty(&format!(r#", "speed": "{v} m/s", "force_allowed": "4448.2216152605 N""#));
        let us = duty(&format!(r#", "speed": "{} in/s", "force_allowed": "1000 lbf""#, v / 0.0254));
        prop_assert!((performs(&si, "bottoming", SOFT) / performs(&us, "bottoming", SOFT) - 1.0).abs() < 1e-9);
        prop_assert!((bound(limit(&si, "force")) / bound(limit(&us, "force")) - 1.0).abs() < 1e-9);
    }
}
