//! The strap part kind.

use super::{aimed, bound, case, close, codes, governing, limit, margin, performs, step};
use dutyfit::duty::{Case, Duty, LiesOnBed};
use dutyfit::policy::Class;
use dutyfit::property::Lies;

/// A soft, tough material.
const SOFT: &[(&str, f64)] = &[
    ("tensile-strength", 30.0),
    ("break-strain", 400.0),
    ("sustained-strength", 9.0),
    ("tensile-modulus", 40.0),
    ("stretch-modulus", 30.0),
    ("stretch-retained", 0.7),
    ("creep-modulus", 28.0),
    ("static-friction", 0.5),
    ("fatigue-share", 0.15),
    ("stretch-set", 20.0),
    ("softening-onset", 70.0),
];

fn strap(inputs: &str) -> Case {
    let mut c = case("strap", &format!("{{ {inputs} }}"));
    c.setting.class = Some(Class::Nuisance);
    c
}

fn duty(inputs: &str) -> Duty {
    strap(inputs).duty().expect("a strap within validity")
}

fn ids(d: &Duty) -> Vec<&str> {
    d.limits.iter().map(|l| l.id.as_str()).collect()
}

const LOOP: &str = r#""form": "loop", "width": "12 mm", "thickness": "3 mm", "pull": "60 N", "lasting_pull": "20 N", "pin": "12 mm""#;
const BAND: &str = r#""form": "band", "width": "10 mm", "thickness": "2 mm", "free_diameter": "92 mm", "drum": "100 mm""#;

#[test]
fn a_pulled_strap_tears_at_once_tears_slowly_tears_at_its_hole_or_hangs_loose() {
    let d = duty(&format!(r#"{LOOP}, "hole": "4 mm""#));
    assert_eq!(
        ids(&d),
        [
            "breaking",
            "holding",
            "hole-tear",
            "hole-holding",
            "stretch",
            "bend-crack",
            "heat-margin"
        ]
    );
    for l in &d.limits {
        assert!(margin(&d, &l.id, SOFT) > 1.0, "{}", l.id);
    }
    // 60 N over two legs of 12 x 3 mm, times 1.2 + 0.8 x 3/12 round the pin.
    close(bound(limit(&d, "breaking")), 60.0 / 72.0 * 1.4, 1e-12);
    // Tough: 1 + 0.6 x 2 at the hole.
    close(performs(&d, "hole-tear", SOFT), 30.0 / 2.2, 1e-12);
}

#[test]
fn a_pull_that_stays_turns_the_governing_limit_from_tearing_to_stretch() {
    let with = |lasting: &str| {
        let d = duty(&format!(
            r#""form": "straight", "width": "12 mm", "thickness": "2 mm", "pull": "400 N", "lasting_pull": "{lasting}""#
        ));
        governing(&d, SOFT)
    };
    assert_eq!(with("5 N"), "breaking");
    assert_eq!(with("80 N"), "stretch");
}

#[test]
fn a_stretched_ring_tears_slackens_slips_and_keeps_its_stretch() {
    let d = duty(&format!(
        r#"{BAND}, "tension_needed": "20 N", "hold_torque": "2 N.m", "set_allowed": 0.3"#
    ));
    assert_eq!(
        ids(&d),
        [
            "break-reserve",
            "ring-holding",
            "tension-left",
            "ring-slip",
            "set",
            "heat-margin"
        ]
    );
    for l in &d.limits {
        assert!(margin(&d, &l.id, SOFT) > 1.0, "{}", l.id);
    }
    let strain = 100.0 / 92.0 - 1.0;
    close(
        performs(&d, "tension-left", SOFT),
        0.7 * 30.0 * 20.0 * strain,
        1e-12,
    );
    close(performs(&d, "break-reserve", SOFT), 4.0 / strain, 1e-12);
    close(aimed(&d, "keeps-pull", SOFT).1, (0.7 - 0.3) / 0.6, 1e-12);
}

#[test]
fn past_fifteen_per_cent_the_ring_is_softer_than_its_modulus_says() {
    let d = duty(
        r#""form": "band", "width": "10 mm", "thickness": "2 mm", "free_diameter": "80 mm", "drum": "100 mm", "tension_needed": "20 N""#,
    );
    let l: f64 = 1.25;
    close(
        step(&d, "tension-left", SOFT, "stress in the ring"),
        30.0 * (l - (l * l).recip()) / 3.0,
        1e-12,
    );
}

#[test]
fn a_wrap_holds_what_friction_makes_of_its_loose_end() {
    let of = |tail: &str| {
        let mut c = strap(&format!(
            r#""form": "wrap", "width": "12 mm", "thickness": "2 mm", "pull": "60 N", "pin": "60 mm", "wrap_angle": "540 deg", "tail": "{tail}""#
        ));
        c.setting.counterface = Some("wood".to_owned());
        c.duty().expect("a duty")
    };
    let d = of("2 N");
    close(
        performs(&d, "slip", SOFT),
        2.0 * (0.5 * 3.0 * std::f64::consts::PI).exp(),
        1e-9,
    );
    assert_eq!(governing(&of("0.55 N"), SOFT), "slip");
}

#[test]
fn pulls_that_come_and_go_use_up_its_endurance() {
    let mut c = strap(LOOP);
    assert!(!ids(&c.duty().expect("a duty")).contains(&"fatigue"));
    c.setting.cycles = Some(1e7);
    let d = c.duty().expect("a duty");
    let (hard, low) = (60.0 / 72.0 * 1.4, 20.0 / 72.0 * 1.4);
    close(
        performs(&d, "fatigue", SOFT),
        0.5 * (hard - low) / (0.15 * 30.0) + 0.5 * (hard + low) / 30.0,
        1e-9,
    );
}

#[test]
fn a_hole_counts_in_what_is_carried_for_the_life_and_in_what_comes_and_goes() {
    let mut c = strap(&format!(r#"{LOOP}, "hole": "8 mm""#));
    c.setting.cycles = Some(1e7);
    let d = c.duty().expect("a duty");
    // 20 N over two legs of 4 x 3 mm stay; tough, so that the hole makes 2.2 of it.
    close(bound(limit(&d, "hole-holding")), 20.0 / 24.0, 1e-12);
    close(performs(&d, "hole-holding", SOFT), 9.0 / 2.2, 1e-12);
    let (hard, low) = (60.0 / 24.0 * 2.2, 20.0 / 24.0 * 2.2);
    close(
        performs(&d, "fatigue", SOFT),
        0.5 * (hard - low) / (0.15 * 30.0) + 0.5 * (hard + low) / 30.0,
        1e-9,
    );
    // What breaks at little feels the whole of a hole.
    let mut brittle = SOFT.to_vec();
    brittle.retain(|f| f.0 != "break-strain");
    brittle.push(("break-strain", 4.0));
    close(performs(&d, "hole-holding", &brittle), 9.0 / 3.0, 1e-12);
}

#[test]
fn a_stiff_strap_cracks_round_its_post_unless_it_is_printed_so() {
    const STIFF: &[(&str, f64)] = &[
        ("tensile-strength", 50.0),
        ("break-strain", 4.0),
        ("sustained-strength", 20.0),
        ("creep-modulus", 1200.0),
        ("static-friction", 0.5),
        ("fatigue-share", 0.15),
        ("softening-onset", 70.0),
    ];
    let wrap = r#""form": "wrap", "width": "12 mm", "thickness": "2 mm", "pull": "20 N", "wrap_angle": "540 deg", "tail": "2 N""#;
    let tight = duty(&format!(r#"{wrap}, "pin": "20 mm""#));
    close(bound(limit(&tight, "bend-crack")), 100.0 / 11.0, 1e-12);
    close(performs(&tight, "bend-crack", STIFF), 4.0, 1e-12);
    assert_eq!(governing(&tight, STIFF), "bend-crack");
    assert!(margin(&tight, "bend-crack", SOFT) > 1.0);
    let wide = duty(&format!(r#"{wrap}, "pin": "200 mm""#));
    assert_ne!(governing(&wide, STIFF), "bend-crack");

    let printed = duty(&format!(r#"{wrap}, "printed_round": true"#));
    assert!(!ids(&printed).contains(&"bend-crack"));

    // Many bends leave less, and the cold end is judged by itself.
    let mut often = strap(&format!(r#"{wrap}, "pin": "20 mm""#));
    often.setting.cycles = Some(1e7);
    often.setting.temperature_c = (-10.0, 30.0);
    let d = often.duty().expect("a duty");
    close(performs(&d, "bend-crack@cold", STIFF), 0.15 * 4.0, 1e-9);
    let ask = &d.asks[limit(&d, "bend-crack@cold").needs[0][0]];
    close(ask.temperature_c, -10.0, 1e-12);
}

#[test]
fn inputs_that_no_formula_covers_are_refused() {
    let narrow = r#""form": "straight", "width": "12 mm", "thickness": "2 mm", "pull": "50 N""#;
    for (inputs, code) in [
        (
            r#""form": "band", "width": "10 mm", "thickness": "2 mm", "free_diameter": "70 mm", "drum": "100 mm", "tension_needed": "20 N""#.to_owned(),
            "duty::strap-stretch",
        ),
        (
            r#""form": "band", "width": "10 mm", "thickness": "2 mm", "free_diameter": "100 mm", "drum": "100 mm", "tension_needed": "20 N""#.to_owned(),
            "duty::strap-stretch",
        ),
        (BAND.to_owned(), "duty::nothing-to-hold"),
        (format!(r#"{narrow}, "hole": "12 mm""#), "duty::strap-hole"),
        (format!(r#"{narrow}, "drum": "12 mm""#), "duty::strap-form"),
        (format!(r#"{narrow}, "stretch_allowed": 0.5"#), "duty::strap-stretch"),
        (
            r#""form": "loop", "width": "12 mm", "thickness": "2 mm", "pin": "9 mm""#.to_owned(),
            "duty::strap-form",
        ),
        (
            r#""form": "loop", "width": "12 mm", "thickness": "2 mm", "pull": "50 N""#.to_owned(),
            "duty::strap-form",
        ),
        (format!(r#"{narrow}, "printed_round": true"#), "duty::strap-form"),
    ] {
        assert_eq!(codes(&strap(&inputs)), [code], "{inputs}");
    }
}

#[test]
fn a_ring_on_its_rim_is_stretched_across_its_layers_and_a_strip_on_its_edge_is_not() {
    let lies = |inputs: &str, id: &str| {
        let mut c = strap(inputs);
        c.setting.lies = LiesOnBed::Edge;
        let d = c.duty().expect("a duty");
        d.asks[limit(&d, id).needs[0][0]].lies
    };
    assert_eq!(lies(LOOP, "breaking"), Some(Lies::InPlane));
    let band = format!(r#"{BAND}, "tension_needed": "20 N""#);
    assert_eq!(lies(&band, "break-reserve"), Some(Lies::Across));
}

#[test]
fn a_strap_under_a_bumpy_load_past_the_law_hangs_loose_without_end() {
    let d = duty(r#""form": "straight", "width": "5 mm", "thickness": "1 mm", "pull": "60 N""#);
    close(performs(&d, "stretch", SOFT), 100.0, 1e-12);
}
