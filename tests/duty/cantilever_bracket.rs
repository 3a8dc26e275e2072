//! The cantilever-bracket part kind.

use super::{aimed, bound, case, close, codes, governing, limit, performs, step};
use dutyfit::duty::{Case, Duty, LiesOnBed};
use dutyfit::policy::Class;
use dutyfit::property::Lies;
use std::f64::consts::PI;

const ARM: &str =
    r#""arm": "80 mm", "height": "16 mm", "width": "10 mm", "stress_concentration": 1.5"#;
const SCREWS: &str = r#""upper_screws": 2, "screw_to_heel": "50 mm", "head_diameter": "9 mm", "hole_diameter": "4.5 mm", "plate": "6 mm""#;

fn bracket(more: &str) -> Case {
    case(
        "cantilever-bracket",
        &format!(r#"{{ "load": "20 N", {ARM}{more} }}"#),
    )
}

fn duty(more: &str) -> Duty {
    bracket(more).duty().expect("a bracket within validity")
}

const FIRM: &[(&str, f64)] = &[
    ("flexural-strength", 60.0),
    ("sustained-strength", 20.0),
    ("creep-modulus", 1500.0),
    ("poisson-ratio", 0.38),
    ("bearing-strength", 60.0),
    ("fatigue-share", 0.2),
    ("softening-onset", 80.0),
];

#[test]
fn the_lasting_load_creeps_and_the_peak_breaks() {
    let d = duty(r#", "peak": "60 N""#);
    // 6 x 20 N x 80 mm/(10 x 16 x 16 mm3) = 3.75 MPa, times 1.5 and the class's 1.25.
    close(bound(limit(&d, "root-creep")), 3.75 * 1.5 * 1.25, 1e-9);
    close(
        bound(limit(&d, "root-break")),
        3.0 * 3.75 * 1.5 * 1.25,
        1e-9,
    );
    // A load put on at once counts twice.
    close(
        bound(limit(&duty(""), "root-break")),
        2.0 * 3.75 * 1.5 * 1.25,
        1e-9,
    );
}

#[test]
fn a_spread_load_bends_the_root_half_and_the_tip_three_eighths() {
    let (tip, even) = (duty(""), duty(r#", "spread": "even""#));
    close(
        bound(limit(&even, "root-creep")),
        0.5 * bound(limit(&tip, "root-creep")),
        1e-12,
    );
    let bent = |d: &Duty| step(d, "droop", FIRM, "droop by bending");
    close(bent(&even), 0.375 * bent(&tip), 1e-12);
}

#[test]
fn a_longer_arm_turns_the_governing_limit_from_the_root_to_the_droop() {
    let at = |arm: &str| {
        case(
            "cantilever-bracket",
            &format!(
                r#"{{ "load": "20 N", "arm": "{arm}", "height": "12 mm", "width": "10 mm", "stress_concentration": 2.5, "droop": "2 mm" }}"#
            ),
        )
        .duty()
        .unwrap()
    };
    let figures: Vec<(&str, f64)> = FIRM
        .iter()
        .map(|f| {
            if f.0 == "softening-onset" {
                (f.0, 200.0)
            } else {
                *f
            }
        })
        .collect();
    assert_eq!(governing(&at("30 mm"), &figures), "root-creep");
    assert_eq!(governing(&at("150 mm"), &figures), "droop");
}

#[test]
fn the_screws_heads_press_with_the_moment_over_the_heel() {
    let d = duty(&format!(", {SCREWS}"));
    let area = std::f64::consts::PI / 4.0 * (81.0 - 20.25);
    close(
        bound(limit(&d, "head-crush")),
        25.0 * 80.0 / 50.0 / 2.0 / area,
        1e-9,
    );
    close(bound(limit(&d, "hole-crush")), 12.5 / (4.5 * 6.0), 1e-9);
    assert!(
        d.notes.iter().any(|n| n.contains("wall plug")),
        "{:?}",
        d.notes
    );
    // Without them it says that the wall is not judged.
    let d = duty("");
    assert!(d.limits.iter().all(|l| l.id != "head-crush"));
    assert!(d.notes.iter().any(|n| n.contains("not judged")));
}

#[test]
fn a_hook_counts_the_bend_of_its_root() {
    // Winkler and Bach, middle radius 2.5 thicknesses: 1.153 times the straight beam.
    let hook = case(
        "cantilever-bracket",
        r#"{ "form": "hook", "load": "20 N", "arm": "40 mm", "height": "10 mm", "width": "10 mm", "inner_radius": "20 mm" }"#,
    )
    .duty()
    .unwrap();
    let straight = 6.0 * 25.0 * 40.0 / 1000.0;
    close(bound(limit(&hook, "root-creep")), 1.153 * straight, 1e-3);
    let blunt = r#"{ "form": "hook", "load": "20 N", "arm": "40 mm", "height": "10 mm", "width": "10 mm" }"#;
    assert_eq!(
        codes(&case("cantilever-bracket", blunt)),
        ["duty::dimension-missing"]
    );
}

#[test]
fn a_hooks_bend_droops_with_its_arm() {
    // 40 mm out of which a middle radius of 10 mm: by hand 30^3/3 = 9000 of the straight arm and
    // 10 (900 pi/2 + 600 + 100 pi/4) = 20922 of the bend, 2.3 times as much; F/(E I) = 25/(1500 x 18).
    let hook = |arm: &str, more: &str| {
        case(
            "cantilever-bracket",
            &format!(
                r#"{{ "form": "hook", "load": "20 N", "arm": "{arm}", "height": "6 mm", "width": "1 mm", "inner_radius": "7 mm"{more} }}"#
            ),
        )
        .duty()
        .unwrap()
    };
    let bent = |d: &Duty| step(d, "droop", FIRM, "droop by bending");
    close(
        bent(&hook("40 mm", "")),
        25.0 / (1500.0 * 18.0) * (9000.0 + 20_922.6),
        1e-5,
    );
    // Spread, the same by adding up small pieces of the way.
    let (past, r, pieces) = (30.0, 10.0, 20_000);
    let mut cubes: f64 = 30.0_f64.powi(4) / 4.0;
    for k in 0..pieces {
        let turned = PI / 2.0 * (f64::from(k) + 0.5) / f64::from(pieces);
        cubes += (past + r * turned.cos()).powi(3) * r * PI / 2.0 / f64::from(pieces);
    }
    close(
        bent(&hook("40 mm", r#", "spread": "even""#)),
        25.0 / (1500.0 * 18.0) * cubes / 80.0,
        1e-6,
    );
    // Where the load hangs within the bend, only the bend up to it counts: no jump at its end.
    close(
        bent(&hook("9.9999 mm", "")),
        bent(&hook("10.0001 mm", "")),
        1e-3,
    );
}

#[test]
fn screws_are_judged_at_the_peak_and_the_plate_may_shear_off_over_them() {
    let d = duty(&format!(r#", "peak": "100 N", {SCREWS}"#));
    let pull = 125.0 * 80.0 / 50.0 / 2.0;
    let area = PI / 4.0 * (81.0 - 20.25);
    close(bound(limit(&d, "head-press")), pull / area, 1e-9);
    close(bound(limit(&d, "hole-press")), 62.5 / (4.5 * 6.0), 1e-9);
    close(
        bound(limit(&d, "pull-through")),
        pull / (PI * 9.0 * 6.0),
        1e-9,
    );
    close(
        bound(limit(&d, "pull-through-in-time")),
        0.2 * pull / (PI * 9.0 * 6.0),
        1e-9,
    );
    // For a moment the whole yield strength; of years the stress carried for them.
    let figures = [
        FIRM,
        &[("yield-strength", 40.0), ("tensile-strength", 30.0)],
    ]
    .concat();
    close(performs(&d, "head-press", &figures), 40.0, 1e-12);
    close(performs(&d, "hole-press", &figures), 40.0, 1e-12);
    close(
        performs(&d, "pull-through", &figures),
        30.0 / 3.0_f64.sqrt(),
        1e-12,
    );
    close(
        performs(&d, "pull-through-in-time", &figures),
        20.0 / 3.0_f64.sqrt(),
        1e-12,
    );
    let asked = limit(&d, "pull-through").needs[0][0];
    assert_eq!(d.asks[asked].lies, Some(Lies::Across));
    assert!(
        d.notes
            .iter()
            .any(|n| n.contains("bending of the plate") && n.contains("not judged")),
        "{:?}",
        d.notes
    );
}

#[test]
fn only_a_load_that_comes_and_goes_tires_the_root() {
    assert!(duty("").limits.iter().all(|l| l.id != "root-fatigue"));
    let used = |cycles: f64| {
        let mut c = bracket("");
        c.setting.cycles = Some(cycles);
        performs(&c.duty().unwrap(), "root-fatigue", FIRM)
    };
    assert!(used(1e3) < used(1e6));
    // Half of the peak up and down over a fifth of the strength, half of it as mean.
    let peak = 2.0 * 3.75 * 1.5 * 1.25;
    close(used(1e7), 0.5 * peak / 12.0 + 0.5 * peak / 60.0, 1e-9);
}

#[test]
fn across_the_layers_strength_is_asked_across_and_stiffness_may_stand_in() {
    let mut c = bracket("");
    c.setting.lies = LiesOnBed::Upright;
    let d = c.duty().unwrap();
    let lies = |id: &str| {
        limit(&d, id)
            .needs
            .iter()
            .map(|n| d.asks[n[0]].lies)
            .collect::<Vec<_>>()
    };
    assert_eq!(lies("root-creep"), [Some(Lies::Across)]);
    assert_eq!(lies("root-break")[0], Some(Lies::Across));
    let stands_in = |id: &str| {
        limit(&d, id).needs[0]
            .iter()
            .any(|i| d.stand_ins.iter().any(|s| s.used == *i))
    };
    assert!(stands_in("droop") && !stands_in("root-creep"));
    // Strength in the layers counts only with the share that they keep.
    let flat = [("tensile-strength", 50.0), ("layer-adhesion", 0.6)];
    let l = limit(&d, "root-break");
    let (y, _) = l.performance.worked(dutyfit::duty::Inputs {
        x: &[50.0, 0.6],
        which: &[2, 2],
    });
    close(y, 30.0, 1e-12);
    // A figure taken across is never multiplied.
    close(performs(&d, "root-break", &flat), 50.0, 1e-12);
}

#[test]
fn outside_the_law_it_is_refused() {
    let with = |inputs: &str| codes(&case("cantilever-bracket", &format!("{{ {inputs} }}")));
    let arm = r#""load": "20 N", "arm": "80 mm", "width": "10 mm", "height": "16 mm""#;
    for (inputs, code) in [
        (
            r#""load": "20 N", "arm": "10 mm", "width": "10 mm", "height": "16 mm""#.to_owned(),
            "duty::short-arm",
        ),
        (format!(r#"{arm}, "droop": "9 mm""#), "duty::bent-too-far"),
        (format!(r#"{arm}, "peak": "5 N""#), "duty::peak-below-load"),
        (
            format!(r#"{arm}, "stress_concentration": 0.8"#),
            "duty::stress-concentration",
        ),
        (format!(r#"{arm}, "upper_screws": 2"#), "duty::screws"),
        (format!(r#"{arm}, "plate": "4 mm""#), "duty::screws"),
        (
            format!(r#"{arm}, {}"#, SCREWS.replace("9 mm", "4 mm")),
            "duty::screws",
        ),
        (
            format!(r#"{arm}, "width": "0 mm""#).replacen(r#""width": "10 mm", "#, "", 1),
            "duty::not-positive",
        ),
    ] {
        assert_eq!(with(&inputs), [code], "{inputs}");
    }
}

#[test]
fn load_reserve_is_what_it_carries_over_what_hangs_on_it() {
    let d = duty("");
    let (times, value) = aimed(&d, "load-reserve", FIRM);
    close(times, 20.0 / (3.75 * 1.5), 1e-9);
    close(value, (times / 1.25).ln() / 4.0_f64.ln(), 1e-9);
    let mut c = bracket("");
    c.setting.class = Some(Class::Nuisance);
    assert!(aimed(&c.duty().unwrap(), "load-reserve", FIRM).1 > value);
}
