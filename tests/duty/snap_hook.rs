//! The snap-hook part kind.

use super::{aimed, bound, case, close, codes, governing, limit, margin, performs, step, unread};
use dutyfit::duty::{Case, Duty, LiesOnBed};
use dutyfit::policy::Class;
use dutyfit::property::Lies;

fn hook(more: &str) -> Case {
    case(
        "snap-hook",
        &format!(
            r#"{{ "arm_length": "20 mm", "thickness": "2 mm", "width": "8 mm", "undercut": "1.5 mm", "fillet_radius": "1 mm"{more} }}"#
        ),
    )
}

fn duty(more: &str) -> Duty {
    hook(more).duty().expect("a hook within validity")
}

/// Stiff, and breaks early.
const STIFF: &[(&str, f64)] = &[
    ("break-strain", 3.0),
    ("yield-strength", 55.0),
    ("tensile-modulus", 3000.0),
    ("flexural-modulus", 3000.0),
    ("flexural-strength", 60.0),
    ("sustained-strength", 20.0),
    ("fatigue-share", 0.25),
    ("softening-onset", 60.0),
];

#[test]
fn strain_is_geometry_and_carries_no_factor_on_loads() {
    let mut c = hook(r#", "pull": "10 N""#);
    c.setting.class = Some(Class::Injury);
    let d = c.duty().unwrap();
    // e = 3 y t/(2 L^2) = 1.125 %, times 1.2 for a fillet of half the thickness.
    close(bound(limit(&d, "root-crack")), 1.125 * 1.2, 1e-9);
    close(bound(limit(&d, "root-set")), 1.125, 1e-9);
    close(bound(limit(&d, "pull-out")), 10.0 * 1.5, 1e-9);
    // What a hand can push is comfort, whatever the harm.
    assert_eq!(limit(&d, "push-in").class, Class::Nuisance);
    close(bound(limit(&d, "push-in")), 50.0, 1e-9);
}

#[test]
fn a_sharp_corner_triples_the_strain_at_the_root() {
    let sharp = case(
        "snap-hook",
        r#"{ "arm_length": "20 mm", "thickness": "2 mm", "width": "8 mm", "undercut": "1.5 mm" }"#,
    )
    .duty()
    .unwrap();
    close(bound(limit(&sharp, "root-crack")), 1.125 * 3.0, 1e-9);
    assert!(sharp.notes.iter().any(|n| n.contains("sharp corner")));
    let tough = duty(r#", "notch_sensitivity": 0.5"#);
    close(bound(limit(&tough, "root-crack")), 1.125 * 1.1, 1e-9);
}

#[test]
fn more_undercut_turns_the_governing_limit_from_slipping_off_to_staying_bent() {
    let at = |undercut: &str| {
        case(
            "snap-hook",
            &format!(
                r#"{{ "arm_length": "20 mm", "thickness": "2 mm", "width": "8 mm", "undercut": "{undercut}", "fillet_radius": "1 mm", "pull": "6 N" }}"#
            ),
        )
        .duty()
        .unwrap()
    };
    assert_eq!(governing(&at("0.5 mm"), STIFF), "pull-out");
    assert_eq!(governing(&at("3 mm"), STIFF), "root-set");
}

#[test]
fn more_workings_leave_less_strain_and_trust_less_of_the_yield() {
    let strain = |n: u32| performs(&duty(&format!(r#", "worked": {n}"#)), "root-crack", STIFF);
    close(strain(1), 3.0, 1e-12);
    assert!(strain(10) < strain(1) && strain(1000) < strain(10));
    // At ten million the share itself is left.
    close(strain(10_000_000), 3.0 * 0.25, 1e-9);
    let springs = |n: u32| performs(&duty(&format!(r#", "worked": {n}"#)), "root-set", STIFF);
    close(springs(1), 100.0 * 0.7 * 55.0 / 3000.0, 1e-9);
    close(springs(2), 100.0 * 0.4 * 55.0 / 3000.0, 1e-9);
}

#[test]
fn the_cases_own_cycles_count_where_the_hook_does_not_say() {
    let mut c = hook("");
    c.setting.cycles = Some(10_000_000.0);
    close(
        performs(&c.duty().unwrap(), "root-crack", STIFF),
        0.75,
        1e-9,
    );
}

#[test]
fn an_arm_that_yields_holds_no_more_than_its_yield() {
    let d = duty(r#", "pull": "5 N""#);
    let elastic = performs(&d, "pull-out", STIFF);
    let soft: Vec<(&str, f64)> = STIFF
        .iter()
        .map(|f| {
            if f.0 == "yield-strength" {
                (f.0, 10.0)
            } else {
                *f
            }
        })
        .collect();
    let stress = 0.01125 * 3000.0;
    close(
        performs(&d, "pull-out", &soft),
        elastic * 10.0 / stress,
        1e-9,
    );
}

#[test]
fn a_surface_in_contact_asks_for_friction_and_a_ramp_that_locks_is_never_negative() {
    let mut c = hook(r#", "pull": "5 N", "exit_angle": "70 deg""#);
    c.setting.counterface = Some("steel-painted".to_owned());
    let d = c.duty().unwrap();
    let with = |mu: f64| [STIFF, &[("static-friction", mu)]].concat();
    let slips = performs(&d, "pull-out", &with(0.2));
    // 0.4 times the tangent of 70 deg passes 1: held by the arm, counted as a hundredfold.
    let locked = performs(&d, "pull-out", &with(0.4));
    assert!(slips > 0.0 && locked > slips);
    close(
        locked,
        100.0
            * step(
                &d,
                "pull-out",
                &with(0.4),
                "force that bends the hook aside",
            ),
        1e-9,
    );
    assert!(performs(&d, "push-in", STIFF).is_nan());
}

#[test]
fn hooks_share_push_and_pull() {
    let one = duty(r#", "pull": "8 N""#);
    let two = duty(r#", "pull": "8 N", "hooks": 2"#);
    close(
        bound(limit(&two, "pull-out")),
        0.5 * bound(limit(&one, "pull-out")),
        1e-12,
    );
    close(bound(limit(&two, "push-in")), 25.0, 1e-12);
}

#[test]
fn a_lasting_pull_and_a_lasting_bend_ask_for_what_is_carried_for_the_life() {
    let d = duty(r#", "held_pull": "10 N", "rest_bend": "0.3 mm""#);
    // 12.5 N on 2 x 8 mm, 1.75 mm beside its middle, times 1.2.
    close(
        bound(limit(&d, "held-pull")),
        1.2 * 12.5 / 16.0 * (1.0 + 6.0 * 1.75 / 2.0),
        1e-9,
    );
    close(
        performs(&d, "held-bent", STIFF),
        20.0 / (3000.0 * 0.00225 * 1.2),
        1e-9,
    );
    let asks: Vec<_> = limit(&d, "held-pull").needs.iter().flatten().collect();
    assert!(asks.iter().all(|i| d.asks[**i].life_h.is_some()));
}

#[test]
fn an_open_case_is_taken_as_standing_and_a_flat_one_lies_in_the_layers() {
    let lies = |lies: LiesOnBed| {
        let mut c = hook("");
        c.setting.lies = lies;
        let d = c.duty().unwrap();
        let need = limit(&d, "root-crack").needs[0][0];
        (d.asks[need].lies, d)
    };
    let (open, d) = lies(LiesOnBed::Open);
    assert_eq!(open, Some(Lies::Across));
    assert!(
        d.notes.iter().any(|n| n.contains("standing up")),
        "{:?}",
        d.notes
    );
    assert_eq!(lies(LiesOnBed::Flat).0, Some(Lies::InPlane));
    assert_eq!(lies(LiesOnBed::Upright).0, Some(Lies::Across));
}

#[test]
fn outside_the_law_it_is_refused() {
    let with = |length: &str, undercut: &str, more: &str| {
        codes(&case(
            "snap-hook",
            &format!(
                r#"{{ "arm_length": "{length}", "thickness": "2 mm", "width": "8 mm", "undercut": "{undercut}"{more} }}"#
            ),
        ))
    };
    assert_eq!(with("9 mm", "1 mm", ""), ["duty::short-arm"]);
    assert_eq!(with("20 mm", "4.5 mm", ""), ["duty::bent-too-far"]);
    assert_eq!(
        with("20 mm", "1 mm", r#", "rest_bend": "1 mm""#),
        ["duty::not-engaged"]
    );
    assert_eq!(
        with("20 mm", "1 mm", r#", "entry_angle": "85 deg""#).first(),
        Some(&"duty::ramp-angle")
    );
    assert_eq!(
        with("20 mm", "1 mm", r#", "entry_angle": "75 deg""#),
        ["duty::self-locking"]
    );
    assert_eq!(
        with("20 mm", "1 mm", r#", "notch_sensitivity": 1.5"#),
        ["duty::share"]
    );
    assert_eq!(
        with("20 mm", "1 mm", r#", "pull": "-2 N""#),
        ["duty::not-positive"]
    );
    assert!(
        unread(
            "snap-hook",
            r#"{ "arm_length": "20 mm", "taper": "round" }"#
        )
        .contains("taper")
    );
}

#[test]
fn a_softer_hook_is_easier_to_push_in_and_no_less_strained() {
    let d = duty(r#", "push_limit": "12 N""#);
    let soft: Vec<(&str, f64)> = STIFF
        .iter()
        .map(|f| {
            if f.0 == "flexural-modulus" {
                (f.0, 1000.0)
            } else {
                *f
            }
        })
        .collect();
    let (stiff_n, stiff) = aimed(&d, "easy-push", STIFF);
    let (soft_n, easy) = aimed(&d, "easy-push", &soft);
    close(stiff_n, 3.0 * soft_n, 1e-9);
    assert!(easy > stiff);
    close(
        margin(&d, "root-crack", STIFF),
        margin(&d, "root-crack", &soft),
        1e-12,
    );
}

/// A slender hook whose way out is gentle, with a pull that lasts.
fn held(more: &str) -> Duty {
    case(
        "snap-hook",
        &format!(
            r#"{{ "arm_length": "20 mm", "thickness": "2 mm", "width": "8 mm", "taper": "thickness-to-half", "undercut": "1 mm", "fillet_radius": "1 mm", "held_pull": "20 N"{more} }}"#
        ),
    )
    .duty()
    .unwrap()
}

#[test]
fn a_lasting_pull_slips_off_by_the_modulus_that_is_left() {
    let d = held(r#", "exit_angle": "20 deg", "friction": 0.2"#);
    close(bound(limit(&d, "held-slip")), 25.0, 1e-12);
    // 8 x 4 x E e/(6 x 20), e = 1 x 2/(1.0904 x 400), times (0.2 + 0.364)/(1 - 0.0728).
    let a_megapascal = 8.0 * 4.0 * (2.0 / (1.090_355 * 400.0)) / 120.0 * 0.608_288;
    let crept = [("creep-modulus", 1300.0), ("yield-strength", 55.0)];
    close(
        performs(&d, "held-slip", &crept),
        1300.0 * a_megapascal,
        1e-4,
    );
    // No creep run: the modulus when new times the share of force kept.
    let relaxed = [
        ("flexural-modulus", 3000.0),
        ("force-retained", 0.4),
        ("yield-strength", 55.0),
    ];
    close(
        performs(&d, "held-slip", &relaxed),
        1200.0 * a_megapascal,
        1e-4,
    );
    // A weak arm gives way at its yield.
    let weak = [("creep-modulus", 1300.0), ("yield-strength", 3.0)];
    let elastic = 1300.0 * 2.0 / (1.090_355 * 400.0);
    close(
        performs(&d, "held-slip", &weak),
        1300.0 * a_megapascal * 3.0 / elastic,
        1e-4,
    );
    let asks = &limit(&d, "held-slip").needs;
    assert!(d.asks[asks[0][0]].life_h.is_some());
}

#[test]
fn a_friction_that_nobody_says_counts_against_push_and_hold() {
    let pull = r#", "pull": "5 N""#;
    let open = duty(pull);
    let said = |mu: f64| duty(&format!(r#"{pull}, "friction": {mu}"#));
    close(
        performs(&open, "push-in", STIFF),
        performs(&said(0.3), "push-in", STIFF),
        1e-12,
    );
    close(
        performs(&open, "pull-out", STIFF),
        performs(&said(0.1), "pull-out", STIFF),
        1e-12,
    );
    assert!(
        open.notes
            .iter()
            .any(|n| n.contains("0.3") && n.contains("0.1") && n.contains("assumed")),
        "{:?}",
        open.notes
    );
}

#[test]
fn only_a_known_friction_or_a_square_catch_locks() {
    let locks = |more: &str| {
        let d = duty(&format!(r#", "pull": "5 N"{more}"#));
        let force = step(&d, "pull-out", STIFF, "force that bends the hook aside");
        let noted = d.notes.iter().any(|n| n.contains("locks for good"));
        (noted, performs(&d, "pull-out", STIFF) / force)
    };
    // 0.3 times the tangent of 75 deg passes 1, and so does 0.1 times that of 86 deg.
    assert!(!locks(r#", "exit_angle": "75 deg""#).0);
    let (noted, times) = locks(r#", "exit_angle": "86 deg""#);
    assert!(!noted);
    close(times, 2.0 * 86.0_f64.to_radians().tan(), 1e-9);
    assert_eq!(
        locks(r#", "exit_angle": "75 deg", "friction": 0.3"#),
        (true, 100.0)
    );
    assert_eq!(locks(r#", "exit_angle": "90 deg""#), (true, 100.0));
}
