//! The sliding-pad part kind.

use super::{aimed, bound, case, close, codes, governing, limit, margin, performs, step, unread};
use dutyfit::duty::{Case, Duty, LeverKind};
use dutyfit::policy::Class;
use dutyfit::property::{Face, Moisture};
use proptest::prelude::*;

const FLAT: &str = r#""contact": "flat", "width": "20 mm", "length": "30 mm", "thickness": "5 mm", "wear_allowed": "1 mm", "thermal_resistance": "12 K/W""#;

fn of(inputs: &str) -> Case {
    let mut c = case("sliding-pad", &format!("{{ {inputs} }}"));
    c.setting.counterface = Some("steel-smooth".to_owned());
    c
}

fn pad(load: &str, speed: &str, more: &str) -> Case {
    of(&format!(
        r#"{FLAT}, "load": "{load}", "speed": "{speed}"{more}"#
    ))
}

/// A slippery, hard-wearing material.
const SLICK: &[(&str, f64)] = &[
    ("wear-rate", 2e-6),
    ("bearing-strength", 30.0),
    ("yield-strength", 45.0),
    ("pv-held", 0.1),
    ("kinetic-friction", 0.25),
    ("softening-onset", 95.0),
    ("conductivity", 0.3),
    ("creep-modulus", 900.0),
    ("price", 40.0),
    ("density", 1.4),
    ("nozzle-temperature", 230.0),
    ("bed-temperature", 90.0),
    ("dry-time", 4.0),
];

fn with(changes: &[(&'static str, f64)]) -> Vec<(&'static str, f64)> {
    SLICK
        .iter()
        .map(|f| *changes.iter().find(|c| c.0 == f.0).unwrap_or(f))
        .collect()
}

fn without(property: &str) -> Vec<(&'static str, f64)> {
    SLICK.iter().filter(|f| f.0 != property).copied().collect()
}

fn ids(duty: &Duty) -> Vec<&str> {
    duty.limits.iter().map(|l| l.id.as_str()).collect()
}

#[test]
fn wear_pressure_their_product_with_speed_and_heat_are_judged_apart() {
    let duty = pad("60 N", "0.05 m/s", "").duty().unwrap();
    assert_eq!(ids(&duty), ["wear-depth", "pressure", "pv", "heat-margin"]);
    for l in &duty.limits {
        assert!(margin(&duty, &l.id, SLICK) > 1.0, "{}", l.id);
        assert_eq!(l.class, Class::Damage);
    }
    let promise = duty.promise.unwrap();
    assert_eq!(promise.parts, "pads");
    let deeds: Vec<_> = promise
        .deeds
        .iter()
        .map(|d| (d.verb, d.figure, d.unit))
        .collect();
    assert_eq!(deeds, [("carry", 75.0, "N"), ("wear at most", 1.0, "mm")]);
}

#[test]
fn more_speed_turns_the_governing_limit_from_wear_to_heat() {
    let at = |speed, share| {
        let more = format!(r#", "share": {share}"#);
        governing(&pad("60 N", speed, &more).duty().unwrap(), SLICK)
    };
    // The same distance over the life, slid slowly all day or fast for a while.
    assert_eq!(at("0.1 m/s", 1.0), "wear-depth");
    assert_eq!(at("1 m/s", 0.1), "heat-margin");
}

#[test]
fn the_class_multiplies_the_load_and_nothing_else() {
    let limits = |class| {
        let mut c = pad(
            "60 N",
            "0.05 m/s",
            r#", "speed_allowed": "1 m/s", "sink_allowed": "0.2 mm""#,
        );
        c.setting.class = Some(class);
        c.duty().unwrap()
    };
    let (plain, severe) = (limits(Class::Nuisance), limits(Class::Severe));
    for (id, factor) in [
        ("wear-depth", 1.0),
        ("pressure", 2.0),
        ("pv", 2.0),
        ("speed", 1.0),
        ("heat-margin", 1.0),
        ("creep-sink", 1.0),
    ] {
        close(
            bound(limit(&severe, id)),
            factor * bound(limit(&plain, id)),
            1e-12,
        );
    }
    for id in ["wear-depth", "creep-sink"] {
        close(
            performs(&severe, id, SLICK),
            2.0 * performs(&plain, id, SLICK),
            1e-12,
        );
    }
    close(
        performs(&severe, "speed", SLICK),
        performs(&plain, "speed", SLICK),
        1e-12,
    );
    let rise = |d: &Duty| step(d, "heat-margin", SLICK, "rise by friction");
    close(rise(&severe), 2.0 * rise(&plain), 1e-12);
}

#[test]
fn what_no_formula_covers_is_refused() {
    let refused = |inputs: &str| codes(&of(inputs));
    let shaft = |wear: &str| {
        format!(
            r#""contact": "shaft-on-flat", "shaft_diameter": "20 mm", "length": "8 mm", "thickness": "5 mm",
               "load": "50 N", "speed": "0.1 m/s", "wear_allowed": "{wear}", "thermal_resistance": "12 K/W""#
        )
    };
    assert_eq!(refused(&shaft("0.51 mm")), ["duty::groove-too-deep"]);
    assert!(of(&shaft("0.5 mm")).duty().is_ok());
    let moving = r#""load": "60 N", "speed": "0.1 m/s""#;
    assert_eq!(
        refused(&format!(
            r#"{moving}, "contact": "flat", "width": "20 mm", "thickness": "5 mm", "wear_allowed": "1 mm", "thermal_resistance": "12 K/W""#
        )),
        ["duty::contact-size"]
    );
    assert_eq!(
        refused(&format!(r#"{FLAT}, {moving}, "bore": "10 mm""#)),
        ["duty::contact-size"]
    );
    assert_eq!(
        refused(&format!(r#"{FLAT}, {moving}, "area": "10 mm2""#)),
        ["duty::contact-size", "duty::contact-size"]
    );
    assert_eq!(
        refused(&format!(r#"{FLAT}, "load": "60 N""#)),
        ["duty::sliding-speed"]
    );
    assert_eq!(
        refused(&format!(r#"{FLAT}, "load": "60 N", "turns": "30 rpm""#)),
        ["duty::sliding-speed"]
    );
    assert_eq!(
        refused(&format!(r#"{FLAT}, {moving}, "turns": "30 rpm""#)),
        ["duty::sliding-speed"]
    );
    assert_eq!(
        refused(&format!(r#"{FLAT}, {moving}, "stroke": "1 m""#)),
        ["duty::sliding-distance"]
    );
    assert_eq!(
        refused(&format!(
            r#"{FLAT}, {moving}, "stroke": "1 m", "strokes_per_day": 3, "share": 0.1"#
        )),
        ["duty::sliding-distance"]
    );
    assert_eq!(
        refused(&format!(r#"{FLAT}, {moving}, "share": 1.2"#)),
        ["duty::share"]
    );
    assert_eq!(
        refused(&format!(r#"{FLAT}, {moving}, "busy_share": 0"#)),
        ["duty::share"]
    );
    assert_eq!(
        refused(&format!(r#"{FLAT}, {moving}, "film": "10 W/(m2.K)""#)),
        ["duty::heat-path"]
    );
    assert_eq!(
        refused(&format!(r#"{FLAT}, {moving}, "cooled_area": "10 mm2""#)),
        ["duty::heat-path"]
    );
    assert_eq!(
        refused(&format!(
            r#"{moving}, "contact": "flat", "area": "600 mm2", "thickness": "5 mm", "wear_allowed": "5 mm", "thermal_resistance": "12 K/W""#
        )),
        ["duty::wear-allowed"]
    );
    assert_eq!(
        refused(&format!(
            r#"{FLAT}, "load": "-60 N", "speed": "0 m/s", "pads": 0"#
        ))
        .len(),
        3
    );
    let mut nowhere = pad("60 N", "0.1 m/s", "");
    nowhere.setting.counterface = None;
    assert_eq!(codes(&nowhere), ["duty::counterface"]);
    assert!(unread("sliding-pad", r#"{ "contact": "flat", "load": "60 kg" }"#).contains("kgf"));
}

#[test]
fn a_bearing_run_is_believed_before_a_third_of_the_yield_strength() {
    let duty = pad("60 N", "0.05 m/s", "").duty().unwrap();
    close(performs(&duty, "pressure", SLICK), 30.0, 1e-12);
    close(
        performs(&duty, "pressure", &without("bearing-strength")),
        15.0,
        1e-12,
    );
    close(bound(limit(&duty, "pressure")), 60.0 * 1.25 / 600.0, 1e-12);
}

#[test]
fn heat_gets_away_through_a_resistance_or_a_film() {
    let rise = |inputs: &str| {
        let duty = of(&format!(
            r#""contact": "flat", "area": "600 mm2", "thickness": "5 mm", "load": "60 N", "speed": "0.1 m/s", "wear_allowed": "1 mm", {inputs}"#
        ))
        .duty()
        .unwrap();
        step(&duty, "heat-margin", SLICK, "rise by friction")
    };
    let heat = 0.25 * 60.0 * 1.25 * 0.1;
    close(rise(r#""thermal_resistance": "12 K/W""#), heat * 12.0, 1e-9);
    close(
        rise(r#""film": "10 W/(m2.K)", "cooled_area": "5000 mm2""#),
        heat * 20.0,
        1e-9,
    );
    close(
        rise(r#""film": "10 W/(m2.K)""#),
        heat / (10.0 * 600e-6),
        1e-9,
    );
    close(
        rise(r#""thermal_resistance": "12 K/W", "busy_share": 0.25"#),
        heat * 3.0,
        1e-9,
    );
}

#[test]
fn a_hot_store_counts_where_it_is_hotter_than_sliding() {
    let mut c = pad("60 N", "0.05 m/s", "");
    let sliding = 23.0 + 0.25 * 75.0 * 0.05 * 12.0;
    close(
        performs(&c.duty().unwrap(), "heat-margin", SLICK),
        95.0 - sliding,
        1e-9,
    );
    c.setting.storage_c = Some((0.0, 60.0));
    close(
        performs(&c.duty().unwrap(), "heat-margin", SLICK),
        35.0,
        1e-9,
    );
    close(bound(limit(&c.duty().unwrap(), "heat-margin")), 20.0, 1e-12);
}

#[test]
fn the_pair_is_asked_with_its_surface_face_and_moisture_at_both_ends() {
    let mut c = pad(
        "60 N",
        "0.05 m/s",
        r#", "face": "bottom", "sink_allowed": "0.2 mm""#,
    );
    c.setting.temperature_c = (5.0, 40.0);
    c.setting.moisture = Moisture::Wet;
    c.setting.life_h = 700.0;
    let duty = c.duty().unwrap();
    assert_eq!(
        ids(&duty),
        [
            "wear-depth@hot",
            "pressure@hot",
            "pv@hot",
            "creep-sink@hot",
            "wear-depth@cold",
            "pressure@cold",
            "pv@cold",
            "creep-sink@cold",
            "heat-margin"
        ]
    );
    for (id, property, at) in [
        ("wear-depth@hot", "wear-rate", 40.0),
        ("wear-depth@cold", "wear-rate", 5.0),
        ("pv@cold", "pv-held", 5.0),
        ("heat-margin", "kinetic-friction", 40.0),
    ] {
        let i = limit(&duty, id).needs[0][0];
        let ask = &duty.asks[i];
        assert_eq!(ask.property.as_str(), property);
        close(ask.temperature_c, at, 1e-12);
        assert_eq!(ask.counterface.as_deref(), Some("steel-smooth"));
        assert_eq!(ask.face, Some(Face::Bottom));
        assert_eq!(ask.moisture, Moisture::Wet);
    }
    let creep = &duty.asks[limit(&duty, "creep-sink@hot").needs[0][0]];
    assert_eq!(creep.life_h, Some(700.0));
    close(creep.stress_mpa.unwrap(), 60.0 * 1.25 / 600.0, 1e-12);
}

#[test]
fn a_standing_load_sinks_a_pad_by_its_creep_modulus() {
    let duty = pad("60 N", "0.05 m/s", r#", "sink_allowed": "0.2 mm""#)
        .duty()
        .unwrap();
    close(
        performs(&duty, "creep-sink", SLICK),
        0.125 * 5.0 / 900.0,
        1e-12,
    );
    close(bound(limit(&duty, "creep-sink")), 0.2, 1e-12);
}

fn spotted() -> Duty {
    pad("60 N", "0.05 m/s", r#", "contact_radius": "2 mm""#)
        .duty()
        .unwrap()
}

#[test]
fn a_spot_rises_by_what_it_slides_on() {
    let rise = |surface: &str| {
        let mut c = pad("60 N", "0.05 m/s", r#", "contact_radius": "2 mm""#);
        c.setting.counterface = Some(surface.to_owned());
        step(
            &c.duty().unwrap(),
            "spot-heat",
            SLICK,
            "rise of the contact spot",
        )
    };
    let q = 0.25 * 75.0 * 0.05;
    for (surface, k) in [
        ("steel-smooth", 50.0),
        ("steel-painted", 50.0),
        ("aluminium", 200.0),
        ("glass", 1.0),
        ("tile", 1.0),
        ("concrete", 1.4),
        ("wood", 0.15),
        ("painted-wood", 0.15),
        ("rubber", 0.2),
        ("skin", 0.3),
        ("self", 0.3),
        ("an-own-one", 0.3),
    ] {
        close(rise(surface), q / (4.0 * 2e-3 * (0.3 + k)), 1e-9);
    }
    close(bound(limit(&spotted(), "spot-heat")), 1.0, 1e-12);
    // Where the surroundings alone soften it, the spot melts whatever it slides on.
    let mut c = pad("60 N", "0.05 m/s", r#", "contact_radius": "2 mm""#);
    c.setting.temperature_c = (96.0, 96.0);
    close(
        performs(&c.duty().unwrap(), "spot-heat", SLICK),
        10.0,
        1e-12,
    );
}

#[test]
fn spinning_fast_raises_its_caution() {
    let raised = |speed: &str| {
        let duty = pad("60 N", speed, "").duty().unwrap();
        duty.cautions
            .iter()
            .any(|r| r.caution.id == "fast-rotation")
    };
    assert!(raised("20 m/s"));
    assert!(!raised("19.9 m/s"));
}

#[test]
fn aims_run_from_just_acceptable_to_more_than_enough() {
    let mut c = pad("60 N", "0.05 m/s", "");
    c.setting.class = Some(Class::Nuisance);
    c.setting.life_h = 1000.0;
    let duty = c.duty().unwrap();
    let just = 1.0 / (0.1 * 180_000.0);
    let life = |k: f64| aimed(&duty, "wear-life", &with(&[("wear-rate", k)])).1;
    assert!(life(just).abs() < 1e-9 && (life(just / 10.0) - 1.0).abs() < 1e-9);
    assert!((life(just / 10.0_f64.sqrt()) - 0.5).abs() < 1e-9);
    let hot = 23.0 + 0.25 * 60.0 * 0.05 * 12.0;
    let reserve = |t| aimed(&duty, "heat-reserve", &with(&[("softening-onset", t)])).1;
    assert!(reserve(hot + 20.0).abs() < 1e-9 && (reserve(hot + 80.0) - 1.0).abs() < 1e-9);
    let grams = |more: &str, inputs: &str| {
        let duty = of(&format!(
            r#""thickness": "5 mm", "load": "60 N", "speed": "0.1 m/s", "thermal_resistance": "12 K/W", "wear_allowed": "0.4 mm", {inputs}{more}"#
        ))
        .duty()
        .unwrap();
        aimed(&duty, "weight", SLICK).0
    };
    close(
        grams(r#", "pads": 4"#, r#""contact": "flat", "area": "600 mm2""#),
        4.0 * 3.0 * 1.4,
        1e-9,
    );
    let ring = std::f64::consts::FRAC_PI_4 * (400.0 - 100.0) * 12.0 * 1e-3 * 1.4;
    close(
        grams(
            "",
            r#""contact": "bush-load-fixed", "bore": "10 mm", "length": "12 mm""#,
        ),
        ring,
        1e-9,
    );
    close(
        grams(
            "",
            r#""contact": "bush-load-turning", "bore": "10 mm", "length": "12 mm""#,
        ),
        ring,
        1e-9,
    );
    close(
        grams(
            "",
            r#""contact": "shaft-on-flat", "shaft_diameter": "20 mm", "length": "8 mm""#,
        ),
        20.0 * 8.0 * 5.0 * 1e-3 * 1.4,
        1e-9,
    );
}

#[test]
fn a_groove_takes_its_pressure_over_the_groove_allowed() {
    let duty = of(
        r#""contact": "shaft-on-flat", "shaft_diameter": "20 mm", "length": "8 mm", "thickness": "5 mm",
           "load": "50 N", "speed": "0.1 m/s", "wear_allowed": "0.4 mm", "thermal_resistance": "12 K/W""#,
    )
    .duty()
    .unwrap();
    let chord = 2.0 * (2.0 * 10.0 * 0.4 - 0.16_f64).sqrt();
    close(bound(limit(&duty, "pressure")), 62.5 / (chord * 8.0), 1e-9);
    close(bound(limit(&duty, "pv")), 6.25 / (chord * 8.0), 1e-9);
}

#[test]
fn what_is_not_judged_is_said() {
    let mut c = pad("60 N", "0.05 m/s", "");
    c.setting.counterface = Some("same-polymer".to_owned());
    let notes = c.duty().unwrap().notes.join("\n");
    for words in [
        "slides all the time",
        "speed has a limit of its own",
        "runs hot and seizes",
    ] {
        assert!(notes.contains(words), "{words}: {notes}");
    }
}

#[test]
fn an_unknown_figure_stays_unknown() {
    let duty = pad(
        "60 N",
        "0.05 m/s",
        r#", "contact_radius": "2 mm", "sink_allowed": "1 mm""#,
    )
    .duty()
    .unwrap();
    for id in [
        "wear-depth",
        "pressure",
        "pv",
        "heat-margin",
        "spot-heat",
        "creep-sink",
    ] {
        assert!(performs(&duty, id, &[]).is_nan(), "{id}");
    }
    let groove = of(
        r#""contact": "shaft-on-flat", "shaft_diameter": "20 mm", "length": "8 mm", "thickness": "5 mm",
           "load": "50 N", "speed": "0.1 m/s", "wear_allowed": "0.4 mm", "thermal_resistance": "12 K/W""#,
    )
    .duty()
    .unwrap();
    assert!(performs(&groove, "wear-depth", &[]).is_nan());
}

#[test]
fn levers_are_the_load_and_the_thicknesses() {
    let c = pad("60 N", "0.05 m/s", "");
    let levers = c.part.levers();
    let named: Vec<_> = levers.iter().map(|l| (l.name, l.kind)).collect();
    assert_eq!(
        named,
        [
            ("load", LeverKind::Load),
            ("width", LeverKind::Thickness),
            ("length", LeverKind::Thickness),
            ("thickness", LeverKind::Thickness)
        ]
    );
    for l in &levers {
        let moved = c.part.with_lever(l.name, l.value * 1.5).unwrap();
        let again = moved
            .levers()
            .into_iter()
            .find(|m| m.name == l.name)
            .unwrap();
        close(again.value, l.value * 1.5, 1e-12);
    }
    assert!(c.part.with_lever("speed", 1.0).is_none());
}

const SHAPES: &[&str] = &[
    r#""contact": "flat", "area": "600 mm2""#,
    r#""contact": "bush-load-fixed", "bore": "10 mm", "length": "12 mm""#,
    r#""contact": "bush-load-turning", "bore": "10 mm", "length": "12 mm""#,
    r#""contact": "shaft-on-flat", "shaft_diameter": "20 mm", "length": "8 mm""#,
];

fn shaped(shape: usize, load: &str, life_h: f64) -> Duty {
    let mut c = of(&format!(
        r#"{}, "thickness": "5 mm", "load": "{load}", "speed": "0.1 m/s", "wear_allowed": "0.4 mm",
           "thermal_resistance": "12 K/W", "contact_radius": "3 mm", "sink_allowed": "0.2 mm""#,
        SHAPES[shape]
    ));
    c.setting.life_h = life_h;
    c.duty().unwrap()
}

proptest! {
    #[test]
    fn more_load_or_life_never_raises_a_margin(
        shape in 0..4_usize, load in 1.0..2000.0_f64, life in 1.0..1e5_f64, more in 1.0..5.0_f64,
    ) {
        let plain = shaped(shape, &format!("{load} N"), life);
        for harder in [shaped(shape, &format!("{} N", load * more), life), shaped(shape, &format!("{load} N"), life * more)] {
            for l in &plain.limits {
                let value = |d: &Duty| {
                    let y = performs(d, &l.id, SLICK);
                    // A margin of temperature passes through 0, so compare it plainly.
                    if l.id == "heat-margin" { y } else { margin(d, &l.id, SLICK) }
                };
                let (a, b) = (value(&plain), value(&harder));
                prop_assert!(b <= a + 1e-9 * a.abs(), "{}: {a} then {b}", l.id);
            }
        }
    }

    #[test]
    fn kgf_and_n_say_the_same(shape in 0..4_usize, kgf in 0.5..100.0_f64) {
        let kilos = shaped(shape, &format!("{kgf} kgf"), 1000.0);
        let newtons = shaped(shape, &format!("{} N", kgf * 9.80665), 1000.0);
        for l in &kilos.limits {
            let (a, b) = (margin(&kilos, &l.id, SLICK), margin(&newtons, &l.id, SLICK));
            prop_assert!((a / b - 1.0).abs() < 1e-6, "{}", l.id);
        }
    }
}
