//! The bolt-washer part kind.

use super::{aimed, bound, case, close, codes, governing, limit, margin, performs, step, unread};
use dutyfit::duty::{Case, Duty};
use proptest::prelude::*;

fn washer(more: &str) -> Case {
    case(
        "bolt-washer",
        &format!(
            r#"{{ "bolt": "M6", "torque": "2 N.m", "outer_diameter": "18 mm", "height": "5 mm",
                 "clamped_length": "25 mm", "pressed_by": "wide-steel-washer"{more} }}"#
        ),
    )
}

#[test]
fn the_torque_is_the_load_and_the_class_sets_its_factor() {
    let mut c = washer("");
    let duty = c.duty().unwrap();
    assert!((bound(limit(&duty, "torque")) - 2.0 * 1.25).abs() < 1e-12);
    c.setting.class = Some(dutyfit::policy::Class::Severe);
    assert!((bound(limit(&c.duty().unwrap(), "torque")) - 2.0 * 2.0).abs() < 1e-12);
}

#[test]
fn a_bore_as_wide_as_the_rim_is_refused_with_both_figures() {
    let c = case(
        "bolt-washer",
        r#"{ "bolt": "M6", "torque": "2 N.m", "outer_diameter": "6 mm", "inner_diameter": "6.4 mm",
             "height": "5 mm", "clamped_length": "25 mm" }"#,
    );
    let f = super::faults(&c);
    assert_eq!(f[0].code, "duty::washer-hole");
    assert!(
        f[0].what.contains("6.4 mm") && f[0].what.contains(" 6 mm"),
        "{f:?}"
    );
}

#[test]
fn a_torque_that_stretches_the_bolt_is_refused() {
    let c = case(
        "bolt-washer",
        r#"{ "bolt": "M6", "torque": "30 N.m", "outer_diameter": "18 mm", "height": "5 mm", "clamped_length": "25 mm" }"#,
    );
    assert_eq!(codes(&c), ["duty::bolt-overloaded"]);
}

/// A stiff washer that carries, keeps and recovers well.
const GOOD: &[(&str, f64)] = &[
    ("bearing-strength", 40.0),
    ("clamp-retained", 0.8),
    ("force-retained", 0.7),
    ("compression-modulus", 1800.0),
    ("compression-set", 20.0),
    ("softening-onset", 75.0),
    ("thermal-expansion", 70.0),
    ("price", 30.0),
    ("density", 1.2),
    ("nozzle-temperature", 230.0),
    ("bed-temperature", 75.0),
    ("dry-time", 4.0),
];

#[test]
fn a_higher_torque_turns_the_governing_limit_from_holding_to_crushing() {
    let at = |torque: &str| {
        case(
            "bolt-washer",
            &format!(
                r#"{{ "bolt": "M6", "torque": "{torque}", "clamp_needed": "300 N", "outer_diameter": "18 mm",
                     "height": "5 mm", "clamped_length": "25 mm", "pressed_by": "wide-steel-washer" }}"#
            ),
        )
        .duty()
        .unwrap()
    };
    assert_eq!(governing(&at("1 N.m"), GOOD), "clamp-left");
    assert_eq!(governing(&at("6 N.m"), GOOD), "torque");
}

#[test]
fn a_hot_shed_softens_a_washer_that_a_warm_one_does_not() {
    let mut c = washer("");
    c.setting.temperature_c = (23.0, 50.0);
    assert!(margin(&c.duty().unwrap(), "heat-margin", GOOD) >= 1.0);
    c.setting.storage_c = Some((23.0, 60.0));
    assert!(margin(&c.duty().unwrap(), "heat-margin", GOOD) < 1.0);
}

#[test]
fn a_field_that_the_part_does_not_know_is_refused() {
    let said = unread(
        "bolt-washer",
        r#"{ "bolt": "M6", "torque": "2 N.m", "outer_diameter": "18 mm", "height": "5 mm", "clamped_length": "25 mm", "grip": 3 }"#,
    );
    assert!(said.contains("unknown field `grip`"), "{said}");
}

#[test]
fn printing_effort_and_cost_are_valued_from_zero_to_one() {
    let duty = washer(r#", "joints": 4"#).duty().unwrap();
    let (effort, value) = aimed(&duty, "easy-print", GOOD);
    assert!((effort - (0.5 + 1.0 + 0.5)).abs() < 1e-12);
    assert!((value - (4.0 - 2.0) / 3.5).abs() < 1e-12);
    let (cost, value) = aimed(&duty, "cost", GOOD);
    let area = std::f64::consts::FRAC_PI_4 * (18.0f64.powi(2) - 6.6f64.powi(2));
    assert!((cost - 30.0 * 1.2e-6 * area * 5.0 * 4.0).abs() < 1e-9);
    assert!((value - (100.0f64 / 30.0).ln() / (100.0f64 / 15.0).ln()).abs() < 1e-9);
}

#[test]
fn every_misuse_has_its_code() {
    let rest = r#""height": "5 mm", "clamped_length": "25 mm""#;
    let m6 = format!(r#""bolt": "M6", "outer_diameter": "18 mm", {rest}"#);
    for (inputs, code) in [
        (m6.clone(), "duty::torque-or-clamp"),
        (format!(r#"{m6}, "torque": "1 N.m", "clamp": "500 N""#), "duty::torque-or-clamp"),
        (format!(r#"{m6}, "torque": "0 N.m""#), "duty::not-positive"),
        (format!(r#"{m6}, "torque": "1 N.m", "spring": "0 N/mm""#), "duty::not-positive"),
        (format!(r#"{m6}, "torque": "1 N.m", "joints": 0"#), "duty::not-positive"),
        (format!(r#"{m6}, "torque": "1 N.m", "clamp_needed": "-1 N""#), "duty::not-positive"),
        (format!(r#"{m6}, "torque": "1 N.m", "pressed_by": "head""#), "duty::nut-factor-unknown"),
        (format!(r#"{m6}, "torque": "1 N.m", "pressed_by": "socket-head""#), "duty::nut-factor-unknown"),
        (format!(r#"{m6}, "torque": "1 N.m", "nut_factor_low": 0.2"#), "duty::nut-factor"),
        (format!(r#"{m6}, "torque": "1 N.m", "nut_factor_low": 0.3, "nut_factor_high": 0.2"#), "duty::nut-factor"),
        (format!(r#"{m6}, "torque": "1 N.m", "thread_friction": 0.15"#), "duty::friction"),
        (format!(r#"{m6}, "torque": "1 N.m", "thread_friction": -0.1, "head_friction": 0.1"#), "duty::friction"),
        (format!(r#"{m6}, "torque": "1 N.m", "inner_diameter": "5 mm""#), "duty::washer-bore"),
        (format!(r#"{m6}, "torque": "1 N.m", "inner_diameter": "12 mm""#), "duty::washer-falls-through"),
        (
            r#""bolt": "M6", "outer_diameter": "18 mm", "torque": "1 N.m", "height": "5 mm", "clamped_length": "4 mm""#.to_owned(),
            "duty::clamped-length",
        ),
    ] {
        let c = case("bolt-washer", &format!("{{ {inputs} }}"));
        assert_eq!(codes(&c), [code], "{inputs}");
    }
}

#[test]
fn two_faults_are_both_reported() {
    let c = case(
        "bolt-washer",
        r#"{ "bolt": "M6", "torque": "1 N.m", "outer_diameter": "18 mm", "inner_diameter": "5 mm", "height": "5 mm", "clamped_length": "4 mm" }"#,
    );
    assert_eq!(codes(&c), ["duty::washer-bore", "duty::clamped-length"]);
}

#[test]
fn a_stainless_bolt_takes_less_and_rubs_more() {
    let a2 = |torque: &str| {
        case(
            "bolt-washer",
            &format!(
                r#"{{ "bolt": "M6", "bolt_class": "A2-70", "torque": "{torque}", "outer_diameter": "18 mm", "height": "5 mm", "clamped_length": "25 mm" }}"#
            ),
        )
    };
    // 450 MPa on 20.1 mm2 is 9045 N; at K 0.30 an M6 reaches it with 16.28 N.m.
    assert!(a2("16.2 N.m").duty().is_ok());
    assert_eq!(codes(&a2("16.3 N.m")), ["duty::bolt-overloaded"]);
    let d = a2("6 N.m").duty().unwrap();
    let figures = [("force-retained", 0.4), ("compression-modulus", 2200.0)];
    close(
        step(&d, "clamp-left", &figures, "clamp load first set"),
        6000.0 / (0.5 * 6.0),
        1e-12,
    );
    close(
        step(
            &d,
            "clamp-left",
            &figures,
            "stiffness of the bolt and what is in series",
        ),
        193_000.0 * 20.1 / 25.0,
        1e-12,
    );
}

#[test]
fn the_finish_sets_the_scatter() {
    let first_set = |finish: &str| {
        let d = case(
            "bolt-washer",
            &format!(
                r#"{{ "bolt": "M6", "finish": "{finish}", "torque": "1.2 N.m", "outer_diameter": "18 mm", "height": "5 mm", "clamped_length": "25 mm" }}"#
            ),
        )
        .duty()
        .unwrap();
        let figures = [("clamp-retained", 1.0), ("bearing-strength", 10.0)];
        (
            step(&d, "torque", &figures, "lowest likely nut factor"),
            step(&d, "clamp-left", &figures, "highest likely nut factor"),
        )
    };
    for (finish, low, high) in [
        ("dry-steel", 0.18, 0.27),
        ("zinc-plated", 0.17, 0.35),
        ("oiled", 0.10, 0.26),
        ("anti-seize", 0.12, 0.16),
        ("stainless", 0.30, 0.50),
    ] {
        let (l, h) = first_set(finish);
        close(l, low, 1e-12);
        close(h, high, 1e-12);
    }
}

#[test]
fn a_bolted_run_counts_as_it_is_and_a_squeeze_test_through_the_stiffnesses() {
    let d = washer("").duty().unwrap();
    let first = step(&d, "clamp-left", GOOD, "clamp load first set");
    close(performs(&d, "clamp-left", GOOD), 0.8 * first, 1e-12);
    let squeezed = [("force-retained", 0.7), ("compression-modulus", 1800.0)];
    let left = performs(&d, "clamp-left", &squeezed) / first;
    assert!(left > 0.7 && left < 1.0, "{left}");
    // Without a modulus a rigid bolt stands in, which keeps least.
    let l = limit(&d, "clamp-left");
    let y = l.performance.of(dutyfit::duty::Inputs {
        x: &[0.7, 0.9],
        which: &[1, 0],
    });
    close(y, 0.7 * first, 1e-12);
}

#[test]
fn with_a_spring_the_squeeze_test_comes_first() {
    let d = washer(r#", "spring": "1000 N/mm""#).duty().unwrap();
    let first = step(&d, "clamp-left", GOOD, "clamp load first set");
    assert!(performs(&d, "clamp-left", GOOD) > 0.95 * first);
    close(
        performs(&d, "clamp-left", &[("clamp-retained", 0.8)]),
        0.8 * first,
        1e-12,
    );
}

#[test]
fn a_gain_by_heat_is_missed_when_it_cools() {
    let mut c = washer(r#", "members": "steel""#);
    c.setting.temperature_c = (3.0, 43.0);
    let d = c.duty().unwrap();
    let first = step(&d, "clamp-left@hot", GOOD, "clamp load first set");
    // At the hot end nothing is gained.
    close(performs(&d, "clamp-left@hot", GOOD), 0.8 * first, 1e-12);
    // 20 K up and 20 K down move the load by as much; a fifth of the gain has crept away.
    let down = step(&d, "clamp-left@cold", GOOD, "change by cooling");
    assert!(down < 0.0);
    let crept = step(
        &d,
        "clamp-left@cold",
        GOOD,
        "gain at the hot end that creeps away",
    );
    close(crept, 0.2 * -down, 1e-9);
    close(
        performs(&d, "clamp-left@cold", GOOD),
        0.8 * first - crept + down,
        1e-9,
    );
    // The warm washer presses harder on itself.
    let gain = step(&d, "bearing@hot", GOOD, "clamp load gained by heat");
    close(gain, -down, 1e-9);
    assert!(performs(&d, "bearing@hot", GOOD) < performs(&d, "bearing@cold", GOOD));
}

#[test]
fn aluminium_and_glass_members_move_with_their_own_expansion() {
    let lost = |members: &str| {
        let mut c = washer(&format!(r#", "members": "{members}""#));
        c.setting.temperature_c = (-17.0, -17.0);
        -step(&c.duty().unwrap(), "clamp-left", GOOD, "change by cooling")
    };
    let per_um = lost("steel") / ((70.0 - 12.0) * 5.0);
    close(
        lost("aluminium"),
        per_um * ((70.0 - 12.0) * 5.0 + (23.0 - 12.0) * 20.0),
        1e-9,
    );
    close(
        lost("glass"),
        per_um * ((70.0 - 12.0) * 5.0 + (9.0 - 12.0) * 20.0),
        1e-9,
    );
    close(
        lost("stainless"),
        per_um * ((70.0 - 12.0) * 5.0 + (16.0 - 12.0) * 20.0),
        1e-9,
    );
}

#[test]
fn set_is_a_share_of_the_squeeze_between_nothing_and_all() {
    let d = washer("").duty().unwrap();
    let after = |set: f64| {
        performs(
            &d,
            "clamp-after-set",
            &[("compression-set", set), ("compression-modulus", 1800.0)],
        )
    };
    let first = step(&d, "clamp-after-set", GOOD, "clamp load first set");
    // A reading below nothing is scatter, not a washer that grows.
    close(after(-4.0), first, 1e-12);
    assert!(after(400.0).abs() < 1e-12);
    assert!(after(40.0) > first * 0.6);
    // What swelling adds in a bolted run is not counted either.
    close(
        performs(&d, "clamp-left", &[("clamp-retained", 1.04)]),
        first,
        1e-12,
    );
}

#[test]
fn what_is_left_out_is_said() {
    let notes = washer("").duty().unwrap().notes.join("\n");
    for said in [
        "`finish` left out: zinc-plated",
        "clearance hole, 6.6 mm",
        "30 %",
        "`heat_margin` left out: 20 K",
        "`members` left out: steel",
    ] {
        assert!(notes.contains(said), "{said} in {notes}");
    }
    let d = washer("").duty().unwrap();
    close(
        bound(limit(&d, "clamp-left")),
        0.3 * 1.25 * 2000.0 / (0.35 * 6.0),
        1e-12,
    );
    close(bound(limit(&d, "heat-margin")), 20.0, 1e-12);
}

#[test]
fn the_levers_move_the_inputs_they_name() {
    let c = washer(r#", "clamp_needed": "300 N""#);
    for lever in c.part.levers() {
        let moved = c.part.with_lever(lever.name, lever.value * 1.1).unwrap();
        let now = moved
            .levers()
            .into_iter()
            .find(|l| l.name == lever.name)
            .unwrap();
        close(now.value, lever.value * 1.1, 1e-12);
    }
    assert!(c.part.with_lever("colour", 1.0).is_none());
}

fn priced(torque: f64, height: f64, needed: f64) -> Duty {
    case(
        "bolt-washer",
        &format!(
            r#"{{ "bolt": "M6", "torque": "{torque} N.m", "outer_diameter": "18 mm", "height": "{height} mm",
                 "clamped_length": "40 mm", "clamp_needed": "{needed} N" }}"#
        ),
    )
    .duty()
    .expect("a washer within validity")
}

proptest! {
    #[test]
    fn more_load_never_raises_a_margin(torque in 0.2..4.0_f64, needed in 10.0..500.0_f64, more in 1.0..2.0_f64, strength in 2.0..100.0_f64, r in 0.05..1.0_f64, e in 5.0..4000.0_f64) {
        let figures = [("bearing-strength", strength), ("force-retained", r), ("compression-modulus", e), ("compression-set", 100.0 * (1.0 - r))];
        let (less, lot) = (priced(torque, 5.0, needed), priced(torque * more, 5.0, needed));
        for id in ["torque", "bearing"] {
            prop_assert!(margin(&lot, id, &figures) <= margin(&less, id, &figures) * (1.0 + 1e-12), "{id}");
        }
        let asked = priced(torque, 5.0, needed * more);
        for id in ["clamp-left", "clamp-after-set"] {
            prop_assert!(margin(&asked, id, &figures) <= margin(&less, id, &figures) * (1.0 + 1e-12), "{id}");
        }
    }

    #[test]
    fn a_thinner_washer_never_keeps_less(height in 1.0..15.0_f64, thicker in 1.0..2.0_f64, r in 0.05..1.0_f64, e in 5.0..4000.0_f64) {
        let figures = [("force-retained", r), ("compression-modulus", e), ("compression-set", 100.0 * (1.0 - r))];
        let (thin, thick) = (priced(1.0, height, 100.0), priced(1.0, height * thicker, 100.0));
        for id in ["clamp-left", "clamp-after-set"] {
            prop_assert!(performs(&thick, id, &figures) <= performs(&thin, id, &figures) * (1.0 + 1e-12), "{id}");
        }
        // Between a washer that gives all and a bolt that gives nothing.
        let kept = performs(&thick, "clamp-left", &figures) / step(&thick, "clamp-left", &figures, "clamp load first set");
        prop_assert!(kept >= r * (1.0 - 1e-12) && kept <= 1.0 + 1e-12);
    }

    #[test]
    fn customary_units_give_the_same_duty(torque in 0.5..6.0_f64, outer in 0.6..1.5_f64) {
        let in_mm = outer * 25.4;
        let nm = torque * 9.80665 * 0.01;
        let si = case("bolt-washer", &format!(r#"{{ "bolt": "M6", "torque": "{nm} N.m", "outer_diameter": "{in_mm} mm", "height": "5 mm", "clamped_length": "25 mm" }}"#)).duty().unwrap();
        let other = case("bolt-washer", &format!(r#"{{ "bolt": "M6", "torque": "{torque} kgf.cm", "outer_diameter": "{outer} in", "height": "0.5 cm", "clamped_length": "0.025 m" }}"#)).duty().unwrap();
        for (a, b) in si.limits.iter().zip(&other.limits) {
            prop_assert!((bound(a) / bound(b) - 1.0).abs() < 1e-9);
            prop_assert!((performs(&si, &a.id, GOOD) / performs(&other, &b.id, GOOD) - 1.0).abs() < 1e-9);
        }
    }
}
