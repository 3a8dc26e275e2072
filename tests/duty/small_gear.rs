//! The small-gear part kind.

use super::{aimed, bound, case, close, codes, governing, limit, margin, performs, step};
use dutyfit::duty::{Case, Duty, LiesOnBed};
use dutyfit::policy::Class;
use dutyfit::property::Lies;

/// A tough, hard-wearing material.
const TOUGH: &[(&str, f64)] = &[
    ("flexural-strength", 70.0),
    ("tensile-strength", 50.0),
    ("fatigue-share", 0.3),
    ("flexural-modulus", 2400.0),
    ("sustained-strength", 25.0),
    ("wear-rate", 3e-6),
    ("kinetic-friction", 0.3),
    ("softening-onset", 110.0),
    ("price", 40.0),
    ("density", 1.2),
];

fn with(changes: &[(&'static str, f64)]) -> Vec<(&'static str, f64)> {
    TOUGH
        .iter()
        .map(|f| *changes.iter().find(|c| c.0 == f.0).unwrap_or(f))
        .collect()
}

/// 24 teeth of module 1.5, 10 mm wide, 0.6 N.m at 90 rpm.
fn gear(more: &str) -> Case {
    let mut c = case(
        "small-gear",
        &format!(
            r#"{{ "module": "1.5 mm", "face": "10 mm", "torque": "0.6 N.m", "turns": "90 rpm", "mate_teeth": 36{more} }}"#
        ),
    );
    c.setting.counterface = Some("steel-smooth".to_owned());
    c.setting.class = Some(Class::Nuisance);
    c
}

fn duty(more: &str) -> Duty {
    gear(more).duty().expect("a gear within validity")
}

const SELDOM: &str = r#", "teeth": 24, "share": 0.001"#;

#[test]
fn a_tooth_fails_by_fatigue_shock_bending_wear_and_heat_apart() {
    let d = duty(SELDOM);
    let ids: Vec<&str> = d.limits.iter().map(|l| l.id.as_str()).collect();
    assert_eq!(
        ids,
        [
            "tooth-fatigue",
            "tooth-shock",
            "tooth-bending",
            "tooth-wear",
            "heat-margin"
        ]
    );
    for l in &d.limits {
        assert!(margin(&d, &l.id, TOUGH) > 1.0, "{}", l.id);
    }
    let d = duty(&format!(r#"{SELDOM}, "holding_torque": "0.2 N.m""#));
    close(performs(&d, "tooth-holding", TOUGH), 25.0, 1e-12);
    assert!(margin(&d, "tooth-holding", TOUGH) > 1.0);
}

#[test]
fn an_idler_is_warmed_by_two_meshes_and_what_is_not_judged_is_said() {
    let rise = |more: &str| {
        let d = duty(&format!("{SELDOM}{more}"));
        step(&d, "heat-margin", TOUGH, "rise by friction")
    };
    close(rise(r#", "idler": true"#), 2.0 * rise(""), 1e-12);
    let d = duty(SELDOM);
    for what in ["`knob`", "play between the teeth", "`idler` left out"] {
        assert!(
            d.notes.iter().any(|n| n.contains(what)),
            "{what}: {:?}",
            d.notes
        );
    }
    let idler = duty(&format!(r#"{SELDOM}, "idler": true"#));
    assert!(idler.notes.iter().any(|n| n.contains("bent both ways")));
}

#[test]
fn more_turns_turn_the_governing_limit_from_shock_to_wear() {
    let at = |share: f64| {
        let d = duty(&format!(
            r#", "teeth": 24, "peak_torque": "2.5 N.m", "share": {share}"#
        ));
        governing(&d, TOUGH)
    };
    assert_eq!(at(0.000_02), "tooth-shock");
    assert_eq!(at(0.5), "tooth-wear");
}

#[test]
fn fewer_than_twelve_teeth_are_refused_and_more_than_three_hundred_bounded() {
    assert_eq!(codes(&gear(r#", "teeth": 11"#)), ["duty::gear-teeth"]);
    let mut mate = gear(r#", "teeth": 12"#);
    mate.part = case(
        "small-gear",
        r#"{ "module": "1.5 mm", "face": "10 mm", "torque": "0.6 N.m", "turns": "90 rpm", "teeth": 12, "mate_teeth": 9 }"#,
    )
    .part;
    assert_eq!(codes(&mate), ["duty::gear-teeth"]);
    let d = duty(r#", "teeth": 400, "share": 0.001"#);
    assert!(d.notes.iter().any(|n| n.contains("ends at 300 teeth")));
    close(step(&d, "tooth-shock", TOUGH, "form factor"), 0.472, 1e-12);
}

#[test]
fn other_inputs_that_no_formula_covers_are_refused() {
    assert_eq!(
        codes(&gear(r#", "teeth": 24, "share": 1.5"#)),
        ["duty::share"]
    );
    assert_eq!(
        codes(&gear(r#", "teeth": 24, "wear_allowed": "3 mm""#)),
        ["duty::wear-allowed"]
    );
    let mut alone = gear(SELDOM);
    alone.setting.counterface = None;
    assert_eq!(codes(&alone), ["duty::counterface"]);
}

#[test]
fn the_case_s_cycles_count_for_the_turns() {
    let mut c = gear(SELDOM);
    c.setting.cycles = Some(1e4);
    let d = c.duty().expect("a duty");
    close(
        step(&d, "tooth-wear", TOUGH, "turns over the life"),
        1e4,
        1e-12,
    );
    // The lower of two lines between one load and ten million: 0.3^(4/7) of 70 MPa.
    close(
        performs(&d, "tooth-fatigue", TOUGH),
        70.0 * 0.3_f64.powf(4.0 / 7.0),
        1e-9,
    );
}

#[test]
fn standing_teeth_have_a_seam_at_the_root() {
    let lies = |on_bed| {
        let mut c = gear(SELDOM);
        c.setting.lies = on_bed;
        let d = c.duty().expect("a duty");
        d.asks[limit(&d, "tooth-shock").needs[0][0]].lies
    };
    assert_eq!(lies(LiesOnBed::Flat), Some(Lies::InPlane));
    assert_eq!(lies(LiesOnBed::Open), Some(Lies::InPlane));
    assert_eq!(lies(LiesOnBed::Upright), Some(Lies::Across));
}

#[test]
fn wear_by_hand() {
    // 2 k (2 pi T N) s/(z b 2 m), s = (pi 1.6 cos 20/2)(1/24 + 1/36).
    let mut c = gear(SELDOM);
    c.setting.cycles = Some(1e6);
    let d = c.duty().expect("a duty");
    let sliding = 2.361_683 * (1.0 / 24.0 + 1.0 / 36.0);
    close(
        step(
            &d,
            "tooth-wear",
            TOUGH,
            "speed of sliding over the pitch circle's",
        ),
        sliding,
        1e-5,
    );
    let work = std::f64::consts::TAU * 0.6 * 1e6;
    close(
        performs(&d, "tooth-wear", TOUGH),
        2.0 * 3e-6 * work * sliding / (24.0 * 10.0 * 3.0),
        1e-5,
    );
}

#[test]
fn a_soft_mate_gives_as_much_as_the_gear() {
    let bent = |surface: &str| {
        let mut c = gear(SELDOM);
        c.setting.counterface = Some(surface.to_owned());
        let d = c.duty().expect("a duty");
        (performs(&d, "tooth-bending", TOUGH), d)
    };
    let (steel, _) = bent("steel-smooth");
    let (same, d) = bent("same-polymer");
    close(same, 2.0 * steel, 1e-12);
    // 7.5 x 33.3 N / 10 mm / 2400 MPa.
    close(steel, 7.5 * (1200.0 / 36.0) / 10.0 / 2400.0, 1e-9);
    assert!(d.notes.iter().any(|n| n.contains("same plastic")));
}

#[test]
fn softer_teeth_run_more_quietly() {
    let d = duty(SELDOM);
    let value = |e| aimed(&d, "quiet-mesh", &with(&[("flexural-modulus", e)])).1;
    assert!(value(1000.0) > value(3000.0));
    close(bound(limit(&d, "tooth-bending")), 0.07 * 1.5, 1e-12);
}
