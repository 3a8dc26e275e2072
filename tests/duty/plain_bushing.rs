//! The plain-bushing part kind.

use super::{aimed, bound, case, close, codes, governing, limit, margin, performs, step};
use dutyfit::duty::{Case, Duty};
use dutyfit::policy::Class;
use dutyfit::property::Moisture;

/// A slippery, hard-wearing material.
const SLICK: &[(&str, f64)] = &[
    ("wear-rate", 3e-6),
    ("bearing-strength", 30.0),
    ("yield-strength", 45.0),
    ("pv-held", 0.12),
    ("kinetic-friction", 0.3),
    ("softening-onset", 95.0),
    ("thermal-expansion", 110.0),
    ("poisson-ratio", 0.4),
    ("water-uptake", 1.5),
    ("creep-modulus", 900.0),
    ("price", 40.0),
    ("density", 1.4),
    ("nozzle-temperature", 230.0),
    ("bed-temperature", 90.0),
    ("dry-time", 4.0),
];

/// A bush of 10 x 12 mm under 40 N.
fn bush(more: &str) -> Case {
    let mut c = case(
        "plain-bushing",
        &format!(
            r#"{{ "shaft": "10 mm", "length": "12 mm", "wall": "3 mm", "wear_allowed": "0.6 mm",
                 "thermal_resistance": "12 K/W"{more} }}"#
        ),
    );
    c.setting.counterface = Some("steel-smooth".to_owned());
    c.setting.class = Some(Class::Nuisance);
    c
}

const SLOW: &str = r#", "load": "40 N", "turns": "60 rpm", "share": 0.3"#;

fn duty(more: &str) -> Duty {
    bush(more).duty().expect("a bush within validity")
}

#[test]
fn wear_pressure_their_product_with_speed_play_and_heat_are_judged_apart() {
    let d = duty(SLOW);
    let ids: Vec<&str> = d.limits.iter().map(|l| l.id.as_str()).collect();
    assert_eq!(
        ids,
        ["wear-depth", "pressure", "pv", "play-left", "heat-margin"]
    );
    for l in &d.limits {
        assert!(margin(&d, &l.id, SLICK) > 1.0, "{}", l.id);
    }
    let failures: std::collections::BTreeSet<&str> = d.limits.iter().map(|l| l.failure).collect();
    assert_eq!(failures.len(), 5);
    assert_eq!(d.promise.expect("promise").parts, "bushes");
}

#[test]
fn less_play_turns_the_governing_limit_from_wear_to_seizure() {
    let with = |play| governing(&duty(&format!(r#"{SLOW}, "clearance": "{play}""#)), SLICK);
    assert_eq!(with("0.1 mm"), "wear-depth");
    assert_eq!(with("0.014 mm"), "play-left");
}

#[test]
fn faster_turning_turns_it_to_pressure_times_speed() {
    let at = |turns, share| {
        governing(
            &duty(&format!(
                r#", "load": "40 N", "turns": "{turns}", "share": {share}"#
            )),
            SLICK,
        )
    };
    // The same distance over the life, turned slowly or fast for a while.
    assert_eq!(at("60 rpm", 0.3), "wear-depth");
    assert_eq!(at("600 rpm", 0.03), "pv");
}

#[test]
fn a_thin_bush_in_a_stiff_housing_closes_by_about_its_press_fit() {
    let play = |more: &str| {
        performs(
            &duty(&format!(r#"{SLOW}, "clearance": "0.2 mm"{more}"#)),
            "play-left",
            &[
                ("thermal-expansion", 110.0),
                ("poisson-ratio", 0.4),
                ("kinetic-friction", 0.0),
            ],
        )
    };
    close(play(""), 0.2, 1e-9);
    // 2ab/((a^2 + b^2) - nu (b^2 - a^2)) with a 5.1 and b 8.1 mm is 1.090.
    close(play(r#", "press": "0.1 mm""#), 0.2 - 0.1090, 0.002);
    close(play(r#", "sits_in": "free""#), 0.2, 1e-9);
}

#[test]
fn water_swells_a_housed_bush_onto_its_shaft_and_a_free_one_off_it() {
    let play = |moisture, more: &str| {
        let mut c = bush(&format!(r#"{SLOW}, "clearance": "0.2 mm"{more}"#));
        c.setting.moisture = moisture;
        performs(&c.duty().expect("a duty"), "play-left", SLICK)
    };
    let housed = play(Moisture::Dried, "");
    assert!(play(Moisture::Wet, "") < housed - 0.03);
    let free = r#", "sits_in": "free""#;
    assert!(play(Moisture::Wet, free) > play(Moisture::Dried, free));
}

#[test]
fn the_damp_of_a_room_closes_a_bush_of_a_thirsty_plastic() {
    let play = |moisture, uptake: Option<f64>| {
        let mut c = bush(&format!(r#"{SLOW}, "clearance": "0.2 mm""#));
        c.setting.moisture = moisture;
        let mut figures = SLICK.to_vec();
        figures.retain(|f| f.0 != "water-uptake");
        figures.extend(uptake.map(|u| ("water-uptake", u)));
        let d = c.duty().expect("a duty");
        performs(&d, "play-left", &figures)
    };
    let dry = play(Moisture::Dried, Some(9.0));
    let room = play(Moisture::Room, Some(9.0));
    let wet = play(Moisture::Wet, Some(9.0));
    // 0.4 of 9 % water, 0.3 % of length for each, closes it by 0.4 of what a soaking does.
    close(dry - room, 0.4 * (dry - wet), 1e-6);
    assert!(dry - room > 0.05, "{dry} {room}");
    // An uptake that nobody measured is not counted in a room, and leaves nothing to say when wet.
    close(play(Moisture::Room, None), dry, 1e-12);
    assert!(play(Moisture::Wet, None).is_nan());
}

#[test]
fn a_free_bush_is_tightest_in_the_cold_and_a_pressed_one_in_the_heat() {
    let at = |more: &str| {
        let mut c = bush(&format!(r#"{SLOW}, "clearance": "0.2 mm"{more}"#));
        c.setting.temperature_c = (-10.0, 50.0);
        let d = c.duty().expect("a duty");
        (
            performs(&d, "play-left@cold", SLICK),
            performs(&d, "play-left@hot", SLICK),
        )
    };
    let (cold, hot) = at(r#", "sits_in": "free""#);
    assert!(cold < hot, "{cold} {hot}");
    let (cold, hot) = at(r#", "press": "0.1 mm""#);
    assert!(hot < cold, "{cold} {hot}");
}

#[test]
fn a_bush_that_turns_under_its_load_wears_four_times_more_slowly_unless_it_swings() {
    let worn = |more: &str| {
        performs(
            &duty(&format!(
                "{more}, \"load\": \"40 N\", \"turns\": \"60 rpm\""
            )),
            "wear-depth",
            SLICK,
        )
    };
    let one = worn(r#", "share": 0.02"#);
    close(
        one / worn(r#", "share": 0.02, "load_on": "all-round""#),
        4.0,
        1e-9,
    );
    let swing = r#", "swing": "90 deg", "swings_per_day": 400"#;
    let all = format!(r#"{swing}, "load_on": "all-round""#);
    close(worn(swing), worn(&all), 1e-12);
    // 100 turns a day.
    close(
        step(
            &duty(&format!(
                "{swing}, \"load\": \"40 N\", \"turns\": \"60 rpm\""
            )),
            "wear-depth",
            SLICK,
            "distance slid",
        ),
        100.0 * 365.25 * std::f64::consts::PI * 0.01,
        1e-9,
    );
}

#[test]
fn friction_s_torque_is_a_limit_where_it_is_said_and_an_aim_of_its_own() {
    let d = duty(&format!(r#"{SLOW}, "drag_allowed": "0.1 N.m""#));
    close(performs(&d, "drag", SLICK), 0.3 * 40.0 * 5e-3, 1e-12);
    close(bound(limit(&d, "drag")), 0.1, 1e-12);
    let (torque, value) = aimed(&d, "light-turning", SLICK);
    close(torque, 0.06, 1e-12);
    assert!(value > 0.0 && value < 1.0);
}

#[test]
fn inputs_that_no_formula_covers_are_refused() {
    let of = |more: &str| codes(&bush(&format!("{SLOW}{more}")));
    assert_eq!(of(r#", "clearance": "0.6 mm""#), ["duty::bush-play"]);
    assert_eq!(
        of(r#", "press": "0.1 mm", "sits_in": "free""#),
        ["duty::bush-press"]
    );
    assert_eq!(of(r#", "swing": "90 deg""#), ["duty::sliding-distance"]);
    assert_eq!(of(r#", "film": "10 W/(m2.K)""#), ["duty::heat-path"]);
    let mut thin = bush(&SLOW.replace("0.3", "2"));
    thin.setting.counterface = None;
    assert_eq!(codes(&thin), ["duty::share", "duty::counterface"]);
}
