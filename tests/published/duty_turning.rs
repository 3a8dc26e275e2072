//! Bushes, gears, straps and knobs against figures worked out elsewhere.
//!
//! Every figure is reached as a user reaches it: the inputs of a case in, a limit's bound,
//! performance or step of its working out.

#![expect(clippy::expect_used, reason = "a test that cannot go on stops here")]

use super::duties::{Worked, each};
use crate::duty::{bound, case, limit, margin, performs, step};
use dutyfit::duty::{Case, Duty};
use dutyfit::policy::Class;

/// Formulas of the worked cases that this file drives.
pub(super) const COVERS: &[&str] = &["bush_duty", "bush_wear", "pv_check", "friction_heat"];

/// A case judged without a factor on its loads, on smooth steel.
fn of(kind: &str, inputs: &str) -> Case {
    let mut c = case(kind, &format!("{{ {inputs} }}"));
    c.setting.class = Some(Class::Nuisance);
    c.setting.counterface = Some("steel-smooth".to_owned());
    c
}

fn duty(case: &Case) -> Duty {
    case.duty().expect("a case within validity")
}

/// A bush of a worked case, with a thick wall and this to say how it moves.
fn bush(w: &Worked, more: &str) -> Case {
    of(
        "plain-bushing",
        &format!(
            r#""shaft": "{} mm", "length": "{} mm", "load": "{} N", "turns": "{} rpm",
               "wall": "5 mm", "wear_allowed": "1 mm", "thermal_resistance": "12 K/W"{more}"#,
            w.input("D"),
            w.input("L"),
            w.input("force"),
            w.input("n"),
        ),
    )
}

#[test]
fn pressure_and_speed_of_a_bush() {
    each("bush_duty", |w| {
        let d = duty(&bush(w, ""));
        let figures = [("pv-held", 0.1), ("bearing-strength", 30.0)];
        w.gives("p", step(&d, "pv", &figures, "pressure"));
        w.gives("v", step(&d, "pv", &figures, "sliding speed"));
        w.gives("pv", bound(limit(&d, "pv")));
        w.gives("p_max", bound(limit(&d, "pressure")));
    });
}

#[test]
fn wear_of_a_bush_whose_load_stands_still_or_goes_round() {
    each("bush_wear", |w| {
        let figures = [("wear-rate", w.input("k"))];
        let life = |more| {
            let mut c = bush(w, more);
            c.setting.life_h = w.input("t");
            duty(&c)
        };
        let still = life("");
        w.gives(
            "distance",
            step(&still, "wear-depth", &figures, "distance slid"),
        );
        w.gives("depth_loadline", performs(&still, "wear-depth", &figures));
        let round = life(r#", "load_on": "all-round""#);
        w.gives("depth_spread", performs(&round, "wear-depth", &figures));
    });
}

#[test]
fn too_fast_although_pressure_times_speed_is_allowed() {
    each("pv_check", |w| {
        // A shaft of 100 mm whose surface runs at the speed, under the pressure.
        let (p, v) = (w.input("p"), w.input("v"));
        let rpm = v / (std::f64::consts::PI * 0.1) * 60.0;
        let d = duty(&of(
            "plain-bushing",
            &format!(
                r#""shaft": "100 mm", "length": "50 mm", "load": "{} N", "turns": "{rpm} rpm",
                   "wall": "5 mm", "wear_allowed": "1 mm", "thermal_resistance": "0.1 K/W",
                   "speed_allowed": "{} m/s""#,
                p * 100.0 * 50.0,
                w.input("v_limit"),
            ),
        ));
        let figures = [
            ("pv-held", w.input("pv_limit") / w.input("sf")),
            ("bearing-strength", w.input("p_limit")),
        ];
        w.gives("pv", bound(limit(&d, "pv")));
        // The case expects a plain no.
        assert!(margin(&d, "pv", &figures) > 1.0);
        assert!(margin(&d, "pressure", &figures) > 1.0);
        assert!(margin(&d, "speed", &figures) < 1.0);
    });
}

#[test]
fn friction_heat_of_a_bush() {
    each("friction_heat", |w| {
        let v = w.input("v");
        let rpm = v / (std::f64::consts::PI * 0.01) * 60.0;
        let mut c = of(
            "plain-bushing",
            &format!(
                r#""shaft": "10 mm", "length": "12 mm", "load": "{} N", "turns": "{rpm} rpm",
                   "wall": "5 mm", "wear_allowed": "1 mm", "thermal_resistance": "{} K/W""#,
                w.input("force"),
                w.input("R_th"),
            ),
        );
        let ambient = w.input("T_amb");
        c.setting.temperature_c = (ambient, ambient);
        let d = duty(&c);
        let figures = [
            ("kinetic-friction", w.input("mu")),
            ("softening-onset", 90.0),
        ];
        let s = |what| step(&d, "heat-margin", &figures, what);
        w.gives("heat", s("friction heat"));
        w.gives("dT", s("rise by friction"));
        w.gives("T_surface", s("temperature of the sliding face"));
    });
}

#[test]
fn every_formula_listed_has_a_worked_case() {
    for formula in COVERS {
        each(formula, |_| {});
    }
}
