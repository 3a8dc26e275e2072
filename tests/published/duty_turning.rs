//! Bushes, gears, straps and knobs against figures worked out elsewhere.
//!
//! Every figure is reached as a user reaches it: the inputs of a case in, a limit's bound,
//! performance or step of its working out.

#![expect(clippy::expect_used, reason = "a test that cannot go on stops here")]

use super::duties::{Worked, each};
use crate::duty::{bound, case, close, limit, margin, performs, step};
use crate::support::{Bench, dutyfit};
use dutyfit::duty::{Case, Duty};
use dutyfit::policy::Class;

/// Formulas of the worked cases that this file drives.
pub(super) const COVERS: &[&str] = &[
    "bush_duty",
    "bush_wear",
    "capstan",
    "friction_heat",
    "goodman",
    "knob_flat",
    "knob_torsion",
    "lewis_stress",
    "lewis_y",
    "pv_check",
    "strap_loop",
    "strength_ratio",
    "stretched_band",
    "temperature_margin",
    "torque_stat",
];

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

/// A gear of a worked case, in any life.
fn gear(teeth: f64, w: &Worked, torque_nm: f64, more: &str) -> Duty {
    duty(&of(
        "small-gear",
        &format!(
            r#""teeth": {teeth}, "module": "{} mm", "face": "{} mm", "torque": "{torque_nm} N.m"{more}"#,
            w.input("m"),
            w.input("b"),
        ),
    ))
}

/// A material whose teeth bear something.
const TOOTH: &[(&str, f64)] = &[("flexural-strength", 60.0), ("fatigue-share", 0.3)];

#[test]
fn stress_at_the_root_of_a_tooth() {
    each("lewis_stress", |w| {
        if w.id == "lewis-published-1" {
            // 3200 N on the pitch circle of 20 teeth, with the example's own form factor.
            let torque = w.input("tangential") * 20.0 * w.input("m") / 2.0 * 1e-3;
            let more = format!(r#", "turns": "1 rpm", "form_factor": {}"#, w.input("Y"));
            let d = gear(20.0, w, torque, &more);
            w.gives(
                "stress",
                step(&d, "tooth-shock", TOOTH, "stress at the root, standing") / 2.0,
            );
            return;
        }
        let more = format!(r#", "turns": "{} rpm", "made": "cut""#, w.input("n"));
        let d = gear(w.input("z"), w, w.input("torque"), &more);
        let s = |what| step(&d, "tooth-fatigue", TOOTH, what);
        w.gives("tangential", s("force on a tooth"));
        w.gives("stress", s("stress at the root, standing"));
        w.gives("v", s("speed at the pitch circle"));
        w.gives("Kv", s("Barth's factor"));
        w.gives("stress_dynamic", bound(limit(&d, "tooth-fatigue")));
    });
}

fn form_factors(teeth: f64, what: &str) -> f64 {
    let inputs = format!(
        r#""teeth": {teeth}, "module": "1 mm", "face": "8 mm", "torque": "0.3 N.m", "turns": "60 rpm""#
    );
    step(
        &duty(&of("small-gear", &inputs)),
        "tooth-shock",
        TOOTH,
        what,
    )
}

#[test]
fn form_factor_between_the_rows_of_the_table() {
    each("lewis_y", |w| {
        w.gives("Y", form_factors(w.input("z"), "form factor"));
    });
}

#[test]
fn one_strength_over_another() {
    each("strength_ratio", |w| {
        if w.id == "lewis-y-empirical" {
            // The short formula over the table, at 20 teeth.
            let short = form_factors(20.0, "form factor by the short formula, for comparison");
            close(short, w.input("a"), 1e-9);
            w.gives("ratio", short / form_factors(20.0, "form factor"));
            return;
        }
        // Strength across the layers over strength flat, as the bench reduces a pair.
        let sheet = format!(
            "force_across [N],width_across [mm],thickness_across [mm],force_flat [N],width_flat [mm],thickness_flat [mm]\n{},10,4,{},10,4\n",
            40.0 * w.input("a"),
            40.0 * w.input("b"),
        );
        let bench = Bench::new().file("pair.csv", sheet);
        let path = bench.path("pair.csv").display().to_string();
        let test = [
            "reduce",
            &path,
            "--test",
            "layer-adhesion",
            "--format",
            "json",
        ];
        let answer = dutyfit(&test).exits(0).json();
        let specimen = &answer["runs"][0]["specimens"][0];
        let ratio = specimen["properties"][0]["value"].as_f64();
        w.gives("ratio", ratio.expect("a figure"));
    });
}

fn strap(inputs: &str) -> Case {
    of("strap", inputs)
}

#[test]
fn stress_in_a_leg_of_a_loop() {
    each("strap_loop", |w| {
        let d = duty(&strap(&format!(
            r#""form": "loop", "width": "{} mm", "thickness": "{} mm", "pull": "{} N", "printed_round": true"#,
            w.input("w"),
            w.input("t"),
            w.input("force"),
        )));
        let figures = [("tensile-strength", 30.0)];
        w.gives("stress", step(&d, "breaking", &figures, "stress in a leg"));
    });
}

#[test]
fn a_rope_round_a_post() {
    each("capstan", |w| {
        let d = duty(&strap(&format!(
            r#""form": "wrap", "width": "10 mm", "thickness": "2 mm", "pull": "20 N", "pin": "60 mm", "tail": "1 N", "wrap_angle": "{} deg""#,
            w.input("angle"),
        )));
        let figures = [("static-friction", w.input("mu"))];
        w.gives(
            "ratio",
            step(&d, "slip", &figures, "pull over the loose end's"),
        );
    });
}

#[test]
fn a_band_stretched_over_a_drum() {
    each("stretched_band", |w| {
        let drum = 2.0 * w.input("r");
        let d = duty(&strap(&format!(
            r#""form": "band", "width": "{} mm", "thickness": "{} mm", "drum": "{drum} mm", "free_diameter": "{} mm", "hold_torque": "1 N.m""#,
            w.input("w"),
            w.input("t"),
            drum / (1.0 + w.input("strain")),
        )));
        let figures = [
            ("stretch-modulus", w.input("E")),
            ("stretch-retained", 1.0),
            ("static-friction", w.input("mu")),
        ];
        let s = |what| step(&d, "ring-slip", &figures, what);
        w.gives("tension", s("pull of the ring"));
        w.gives("pressure", s("pressure on the drum"));
        w.gives("slip_torque", s("torque held when new"));
    });
}

#[test]
fn a_mean_pull_and_one_that_comes_and_goes_use_up_endurance_together() {
    each("goodman", |w| {
        // A strip of 1 mm2 section pulled between mean less and mean plus amplitude; ten million
        // pulls leave the endurance.
        let (amp, mean) = (w.input("amp"), w.input("mean"));
        let mut c = strap(&format!(
            r#""form": "straight", "width": "1 mm", "thickness": "1 mm", "pull": "{} N", "lasting_pull": "{} N""#,
            mean + amp,
            mean - amp,
        ));
        c.setting.cycles = Some(1e7);
        let (end, ult) = (w.input("S_end"), w.input("S_ult"));
        let figures = [("tensile-strength", ult), ("fatigue-share", end / ult)];
        w.gives("utilisation", performs(&duty(&c), "fatigue", &figures));
    });
}

fn knob(inputs: &str) -> Duty {
    duty(&of(
        "knob",
        &format!(r#""rim_diameter": "50 mm", "fixing": "flat", "flat_width": "5 mm", {inputs}"#),
    ))
}

#[test]
fn shear_in_a_hub() {
    each("knob_torsion", |w| {
        let d = knob(&format!(
            r#""hub_diameter": "{} mm", "shaft": "{} mm", "hub_length": "20 mm", "torque": "{} N.m""#,
            w.input("D"),
            w.input("d"),
            w.input("torque"),
        ));
        w.gives("shear", bound(limit(&d, "hub-torsion")));
    });
}

#[test]
fn pressure_of_a_flat() {
    each("knob_flat", |w| {
        // The flat of `knob` is twice the case's half width.
        close(w.input("half_width"), 2.5, 1e-12);
        let d = knob(&format!(
            r#""hub_diameter": "20 mm", "shaft": "6 mm", "hub_length": "{} mm", "torque": "{} N.m""#,
            w.input("L"),
            w.input("torque"),
        ));
        w.gives("p_max", bound(limit(&d, "flat-pressure")));
    });
}

#[test]
fn torque_of_a_hand_where_none_is_given() {
    each("torque_stat", |w| {
        let d = knob(r#""hub_diameter": "26 mm", "shaft": "10 mm", "hub_length": "20 mm""#);
        let figures = [("tensile-strength", 30.0)];
        let s = |what| step(&d, "hub-torsion", &figures, what);
        w.gives("mean", s("mean torque of a hand"));
        w.gives("design", s("torque"));
    });
}

#[test]
fn margin_below_a_softening_onset() {
    each("temperature_margin", |w| {
        let service = w.input("service");
        let mut c =
            strap(r#""form": "straight", "width": "10 mm", "thickness": "2 mm", "pull": "20 N""#);
        c.setting.temperature_c = (service, service);
        let d = duty(&c);
        let figures = [("softening-onset", w.input("limit"))];
        let margin = performs(&d, "heat-margin", &figures);
        w.gives("margin", margin);
        // 20 K are asked, so that 15 are a plain no.
        close(
            bound(limit(&d, "heat-margin")),
            w.input("margin_needed"),
            1e-12,
        );
        assert!(!limit(&d, "heat-margin").sense.met(margin));
    });
}

#[test]
fn every_formula_listed_has_a_worked_case() {
    for formula in COVERS {
        each(formula, |_| {});
    }
}
