//! The tool-handle part kind.

use super::{aimed, bound, case, close, codes, governing, limit, performs, step};
use dutyfit::duty::{Case, Duty, LiesOnBed};
use dutyfit::property::Lies;
use std::f64::consts::PI;

fn handle(more: &str) -> Case {
    case(
        "tool-handle",
        &format!(
            r#"{{ "diameter": "34 mm", "length": "100 mm", "pull": "100 N", "fillet_radius": "17 mm"{more} }}"#
        ),
    )
}

fn duty(more: &str) -> Duty {
    handle(more).duty().expect("a handle within validity")
}

const FIRM: &[(&str, f64)] = &[
    ("flexural-strength", 60.0),
    ("tensile-strength", 30.0),
    ("flexural-modulus", 2000.0),
    ("yield-strength", 40.0),
    ("bearing-strength", 60.0),
    ("break-strain", 4.0),
    ("fatigue-share", 0.2),
    ("softening-onset", 90.0),
    ("conductivity", 0.2),
];

#[test]
fn the_root_bends_as_a_round_bar() {
    // 32 F L/(pi D^3), times 1.2 and the class's 1.25.
    let straight = 32.0 * 100.0 * 100.0 / (PI * 34.0_f64.powi(3));
    close(
        bound(limit(&duty(""), "bending")),
        straight * 1.2 * 1.25,
        1e-9,
    );
    let bored = duty(r#", "bore": "17 mm""#);
    close(
        bound(limit(&bored, "bending")),
        straight * 1.2 * 1.25 / (1.0 - 0.0625),
        1e-9,
    );
}

#[test]
fn a_twist_is_held_by_skin_and_sheared_across_the_layers_however_it_lies() {
    let mut c = handle(r#", "twist": "1 N.m""#);
    c.setting.lies = LiesOnBed::Flat;
    let d = c.duty().unwrap();
    let skin = &d.asks[limit(&d, "twist-hold").needs[0][0]];
    assert_eq!(skin.counterface.as_deref(), Some("skin"));
    close(
        performs(&d, "twist-hold", &[("static-friction", 0.5)]),
        0.5 * 100.0 * 0.034,
        1e-12,
    );
    let pulled = &d.asks[limit(&d, "torsion").needs[0][0]];
    assert_eq!(pulled.lies, Some(Lies::Across));
    close(
        bound(limit(&d, "torsion")),
        1.2 * 16.0 * 1250.0 / (PI * 34.0_f64.powi(3)),
        1e-9,
    );
    close(performs(&d, "torsion", FIRM), 30.0 / 3.0_f64.sqrt(), 1e-12);
    let across = step(&d, "torsion", FIRM, "strength across the layers");
    close(across, 30.0, 1e-12);
}

#[test]
fn a_longer_lever_turns_the_governing_limit_from_the_hand_to_the_root() {
    let at = |length: &str| {
        case(
            "tool-handle",
            &format!(
                r#"{{ "diameter": "34 mm", "length": "{length}", "pull": "300 N", "twist": "1 N.m", "skin_friction": 0.4 }}"#
            ),
        )
        .duty()
        .unwrap()
    };
    assert_eq!(governing(&at("35 mm"), FIRM), "twist-hold");
    assert_eq!(governing(&at("200 mm"), FIRM), "bending");
}

#[test]
fn a_blow_is_taken_as_bending_energy() {
    let d = duty(r#", "blow": "0.4 J""#);
    close(bound(limit(&d, "blow")), 0.5, 1e-12);
    // Solid and round: s^2 V/(24 E), V the volume.
    let volume = PI / 4.0 * 34.0_f64.powi(2) * 100.0;
    close(
        performs(&d, "blow", FIRM),
        50.0_f64.powi(2) * volume / (24.0 * 2000.0) / 1000.0,
        1e-9,
    );
}

#[test]
fn what_breaks_early_in_the_cold_takes_less_of_a_blow_for_all_its_strength() {
    let mut c = handle(r#", "blow": "0.4 J""#);
    c.setting.temperature_c = (-10.0, 30.0);
    let d = c.duty().unwrap();
    let asked = limit(&d, "blow@cold").needs.iter().flatten();
    let breaks = asked
        .map(|i| &d.asks[*i])
        .find(|a| a.property.as_str() == "break-strain")
        .expect("asks for the strain at break");
    close(breaks.temperature_c, -10.0, 1e-12);
    let takes = |percent: f64| {
        let figures: Vec<(&str, f64)> = FIRM
            .iter()
            .map(|f| {
                if f.0 == "break-strain" {
                    (f.0, percent)
                } else {
                    *f
                }
            })
            .collect();
        performs(&d, "blow@cold", &figures)
    };
    // Strength 60 MPa over modulus 2000 MPa is 3 %: what breaks later takes no more, at half of it a quarter.
    close(takes(40.0), takes(3.0), 1e-12);
    close(takes(1.5), 0.25 * takes(3.0), 1e-9);
}

#[test]
fn the_nearer_bolt_bears_the_moment() {
    let d = duty(r#", "bolt_diameter": "6 mm", "bolt_spacing": "50 mm""#);
    close(
        bound(limit(&d, "bolt-crush")),
        125.0 * 150.0 / 50.0 / (6.0 * 34.0),
        1e-12,
    );
    // For a moment, as a knob's seat does: the whole yield strength.
    close(performs(&d, "bolt-crush", FIRM), 40.0, 1e-12);
    assert!(duty("").notes.iter().any(|n| n.contains("not judged")));
}

#[test]
fn a_hot_tool_counts_against_softening() {
    let cool = performs(&duty(""), "heat-margin", FIRM);
    let hot = performs(
        &duty(r#", "tool_temperature": "70 degC""#),
        "heat-margin",
        FIRM,
    );
    close(cool, 90.0 - 23.0, 1e-12);
    close(hot, 90.0 - 70.0, 1e-12);
}

#[test]
fn the_root_is_as_hot_as_the_tool_and_the_hand_is_not() {
    let mut c = handle(
        r#", "twist": "1 N.m", "blow": "0.4 J", "bolt_diameter": "6 mm", "bolt_spacing": "50 mm", "tool_temperature": "80 degC""#,
    );
    c.setting.temperature_c = (5.0, 30.0);
    let d = c.duty().unwrap();
    let at = |id: &str| {
        let need = limit(&d, id).needs.first().and_then(|n| n.first());
        d.asks[*need.expect("a need")].temperature_c
    };
    for id in ["bending", "torsion", "blow", "bolt-crush"] {
        close(at(&format!("{id}@hot")), 80.0, 1e-12);
        close(at(&format!("{id}@cold")), 5.0, 1e-12);
    }
    close(at("twist-hold@hot"), 30.0, 1e-12);
}

#[test]
fn a_thin_handle_is_noted_and_a_vibrating_tool_cautioned() {
    assert!(duty("").notes.iter().all(|n| !n.contains("power grip")));
    let thin = case(
        "tool-handle",
        r#"{ "diameter": "20 mm", "length": "100 mm", "pull": "50 N" }"#,
    );
    assert!(
        thin.duty()
            .unwrap()
            .notes
            .iter()
            .any(|n| n.contains("32 to 50 mm"))
    );
    let ids = |c: &Case| {
        let d = c.duty().unwrap();
        d.cautions
            .iter()
            .map(|r| r.caution.id.clone())
            .collect::<Vec<_>>()
    };
    assert!(ids(&handle(r#", "vibrates": true"#)).contains(&"hand-vibration".to_owned()));
    assert!(!ids(&handle("")).contains(&"hand-vibration".to_owned()));
    assert!(ids(&handle("")).contains(&"hot-surface".to_owned()));
}

#[test]
fn a_pull_that_comes_and_goes_tires_it() {
    let mut c = handle("");
    c.setting.cycles = Some(1e7);
    let d = c.duty().unwrap();
    let peak = bound(limit(&d, "bending"));
    close(
        performs(&d, "fatigue", FIRM),
        0.5 * peak / 12.0 + 0.5 * peak / 60.0,
        1e-9,
    );
}

#[test]
fn outside_the_law_it_is_refused() {
    let with = |inputs: &str| codes(&case("tool-handle", &format!("{{ {inputs} }}")));
    let plain = r#""diameter": "34 mm", "pull": "100 N""#;
    for (inputs, code) in [
        (format!(r#"{plain}, "length": "20 mm""#), "duty::short-arm"),
        (
            format!(r#"{plain}, "length": "90 mm", "bore": "34 mm""#),
            "duty::ring-hole",
        ),
        (
            format!(r#"{plain}, "length": "90 mm", "bolt_diameter": "6 mm""#),
            "duty::screws",
        ),
        (
            format!(r#"{plain}, "length": "90 mm", "skin_friction": 0"#),
            "duty::not-positive",
        ),
    ] {
        assert_eq!(with(&inputs), [code], "{inputs}");
    }
}

#[test]
fn a_handle_that_conducts_less_is_warmer() {
    let d = duty("");
    assert!(aimed(&d, "warm-hand", &[("conductivity", 0.15)]).1 > aimed(&d, "warm-hand", FIRM).1);
}
