//! Snap hook, bracket and their kin: the worked cases of what bends, through each part's own working.

use super::duties::{Worked, each};
use crate::duty::{case, close, codes, performs, step};
use crate::support::Bench;
use dutyfit::bench::{Curve, at_life};
use dutyfit::duty::{Case, Duty};
use dutyfit::policy::Class;

/// Formulas that the tests below drive.
pub(super) const COVERS: &[&str] = &[
    "snap_constant",
    "snap_strain",
    "snap_taper_coefficient",
    "snap_ramp",
    "hinge_strain",
    "hinge_min_land",
    "cantilever",
    "cantilever_creep",
    "findley_creep",
    "hdt_modulus",
    "wall_bracket_screw",
    "handle_twist",
    "moisture_stiffness",
    "notch_factor",
    "sn_interpolate",
    "goodman",
    "allowable_product",
    "strength_ratio",
];

/// The duty of a part kind with no factor on loads.
fn plainly(kind: &str, inputs: &str) -> Duty {
    let mut c = case(kind, inputs);
    c.setting.class = Some(Class::Nuisance);
    c.duty().expect("within validity")
}

fn hook(w: &Worked, undercut_mm: f64, more: &str) -> Duty {
    let (l, t, b) = (w.input("L"), w.input("t"), w.input("b"));
    plainly(
        "snap-hook",
        &format!(
            r#"{{ "arm_length": "{l} mm", "thickness": "{t} mm", "width": "{b} mm", "undercut": "{undercut_mm} mm"{more} }}"#
        ),
    )
}

const ASIDE: &str = "force that bends the hook aside";

#[test]
fn an_even_arm_bends_as_the_snap_formula_says() {
    each("snap_constant", |w| {
        let strain = w.input("strain");
        let undercut = 1.0;
        let d = hook(w, undercut, "");
        let figures = [("flexural-modulus", w.input("E"))];
        let got = step(&d, "push-in", &figures, "strain at the root") / 100.0;
        // Strain and bend go together: so much strain bends it so far.
        w.gives("deflection", undercut * strain / got);
        let force = step(&d, "push-in", &figures, ASIDE);
        w.gives("tip_force", force * strain / got);
    });
}

#[test]
fn the_textbooks_snap_takes_the_printed_stress_and_push() {
    each("snap_strain", |w| {
        let more = format!(
            r#", "friction": {}, "entry_angle": "{} deg""#,
            w.input("mu"),
            w.input("alpha")
        );
        let d = hook(w, w.input("deflection"), &more);
        let figures = [("flexural-modulus", w.input("E"))];
        w.gives(
            "stress",
            step(&d, "push-in", &figures, "stress at the root"),
        );
        w.gives("insertion_force", performs(&d, "push-in", &figures));
        if w.expects("strain") {
            w.gives("tip_force", step(&d, "push-in", &figures, ASIDE));
            let strain = step(&d, "push-in", &figures, "strain at the root");
            w.gives("strain", strain / 100.0);
        }
    });
}

#[test]
fn tapers_have_the_integrals_coefficients() {
    each("snap_taper_coefficient", |w| {
        let taper = if w.input("taper_t") < 1.0 {
            close(w.input("taper_t"), 0.5, 1e-12);
            "thickness-to-half"
        } else {
            close(w.input("taper_b"), 0.25, 1e-12);
            "width-to-quarter"
        };
        let d = plainly(
            "snap-hook",
            &format!(
                r#"{{ "arm_length": "20 mm", "thickness": "2 mm", "width": "8 mm", "undercut": "1 mm", "taper": "{taper}" }}"#
            ),
        );
        let what = "deflection over strain and length squared over thickness";
        w.gives("coefficient", step(&d, "root-crack", &[], what));
    });
}

#[test]
fn a_ramp_pushes_as_printed_and_past_its_lock_is_refused_or_bounded() {
    each("snap_ramp", |w| {
        let (mu, alpha) = (w.input("mu"), w.input("alpha"));
        let of = |angles: &str| {
            case(
                "snap-hook",
                &format!(
                    r#"{{ "arm_length": "20 mm", "thickness": "2 mm", "width": "8 mm", "undercut": "1 mm", "friction": {mu}, "pull": "5 N", {angles} }}"#
                ),
            )
        };
        let entry = of(&format!(r#""entry_angle": "{alpha} deg""#));
        if w.holds("self_locks") {
            assert_eq!(codes(&entry), ["duty::self-locking"]);
            // On the way out it locks for good: bounded, and never a negative force.
            let out = of(&format!(r#""exit_angle": "{alpha} deg""#))
                .duty()
                .unwrap();
            assert!(out.notes.iter().any(|n| n.contains("locks for good")));
            let figures = [("flexural-modulus", 2000.0), ("yield-strength", 50.0)];
            assert!(performs(&out, "pull-out", &figures) > 0.0);
        } else {
            let d = entry.duty().unwrap();
            let figures = [("flexural-modulus", 2000.0)];
            let over = performs(&d, "push-in", &figures) / step(&d, "push-in", &figures, ASIDE);
            w.gives("push_force", over * w.input("tip_force"));
        }
    });
}

fn bracket(w: &Worked, more: &str) -> Duty {
    let [f, l, b, h] = ["force", "L", "b", "h"].map(|n| w.input(n));
    plainly(
        "cantilever-bracket",
        &format!(
            r#"{{ "load": "{f} N", "peak": "{f} N", "arm": "{l} mm", "width": "{b} mm", "height": "{h} mm"{more} }}"#
        ),
    )
}

#[test]
fn a_bracket_bends_shears_and_is_stressed_as_a_beam() {
    each("cantilever", |w| {
        let more = if w.has("Kt") {
            format!(r#", "stress_concentration": {}"#, w.input("Kt"))
        } else {
            String::new()
        };
        let d = bracket(w, &more);
        let figures = [
            ("creep-modulus", w.input("E")),
            ("poisson-ratio", w.input("nu")),
        ];
        w.gives("stress", step(&d, "droop", &figures, "stress at the root"));
        w.gives(
            "deflection_bending",
            step(&d, "droop", &figures, "droop by bending"),
        );
        w.gives(
            "deflection_shear",
            step(&d, "droop", &figures, "droop by shear"),
        );
        if w.has("Kt") {
            let peak = step(&d, "droop", &figures, "highest stress at the root");
            w.gives("stress_peak", peak);
            w.gives("deflection", performs(&d, "droop", &figures));
        }
    });
}

// The creep modulus comes from the bench's curves; here it is the one of the worked case's own law,
// put into the elastic formula (B5, the pseudo-elastic method).
#[test]
fn a_bracket_droops_by_its_creep_modulus() {
    each("cantilever_creep", |w| {
        let d = bracket(w, "");
        let bent = |modulus: f64| {
            let figures = [("creep-modulus", modulus), ("poisson-ratio", 0.38)];
            step(&d, "droop", &figures, "droop by bending")
        };
        let hours = w.input("t") * 8766.0;
        let softer = 1.0 + w.input("A") * hours.powf(w.input("n"));
        w.gives("deflection_0", bent(w.input("E0")));
        w.gives("deflection_t", bent(w.input("E0") / softer));
    });
}

// B4: readings on Findley's law up to 1000 h, read by the bench's own laws at the worked case's time.
#[test]
fn a_creep_curve_is_read_at_the_life_by_findleys_law() {
    each("findley_creep", |w| {
        let [stress, e0, m, n] = ["stress", "E0", "m", "n"].map(|i| w.input(i));
        let modulus = |t: f64| stress / (stress / e0 + m * t.powf(n));
        let readings = [0.0, 1.0, 10.0, 100.0, 1000.0].map(|t| (t, modulus(t)));
        let fit = at_life(&Curve::modulus(readings.to_vec()), w.input("t"), 0.05).expect("a fit");
        w.gives("E_creep", fit.findley);
        w.gives("strain", stress / fit.findley);
    });
}

// D1: a bar whose modulus has fallen to the worked case's has bent by 0.2 % of strain more than when cold,
// and that is where the bench reads the onset.
#[test]
fn at_its_softening_onset_a_bar_has_the_modulus_that_the_strain_implies() {
    each("hdt_modulus", |w| {
        let (stress, cold_mpa) = (w.input("stress"), w.input("E_room"));
        let (span, width, thickness) = (64.0, 10.0, 4.0);
        let load = stress * 2.0 * width * thickness * thickness / (3.0 * span);
        // Deflection of a bar on two supports for a strain at its face: e L^2/(6 h).
        let bent = |modulus: f64| stress / modulus * span * span / (6.0 * thickness);
        let soft_mpa = w.expected("E_at_hdt");
        let rows: Vec<String> = [
            (30.0, cold_mpa),
            (78.0, 1.1 * soft_mpa),
            (80.0, soft_mpa),
            (82.0, 0.9 * soft_mpa),
        ]
        .iter()
        .map(|(c, modulus)| {
            format!(
                "{span},{width},{thickness},{load},120,{c},{}",
                bent(*modulus)
            )
        })
        .collect();
        let sheet = format!(
            "span [mm],width [mm],thickness [mm],load [N],rate [K/h],temperature [degC],deflection [mm]\n{}\n",
            rows.join("\n")
        );
        let ran = Bench::new().file("heat.csv", sheet).run(&[
            "reduce",
            "heat.csv",
            "--test",
            "heat-softening",
            "--format",
            "json",
        ]);
        let json = ran.json();
        let onset = json["runs"][0]["specimens"][0]["properties"][0]["value"].as_f64();
        close(onset.expect("an onset"), 80.0, 1e-4);
    });
}

#[test]
fn a_bracket_of_moist_polyamide_droops_twice_as_far_as_of_dry() {
    each("moisture_stiffness", |w| {
        let d = bracket(w, "");
        let bent = |modulus: f64| {
            let figures = [("creep-modulus", modulus), ("poisson-ratio", 0.38)];
            step(&d, "droop", &figures, "droop by bending")
        };
        let (dry, moist) = (bent(w.input("E_dry")), bent(w.input("E_cond")));
        w.gives("defl_dry", dry);
        w.gives("defl_cond", moist);
        w.gives("ratio", moist / dry);
    });
}

#[test]
fn the_upper_screw_is_pulled_about_the_heel() {
    each("wall_bracket_screw", |w| {
        let (f, reach, heel) = (w.input("force"), w.input("reach"), w.input("screw_to_heel"));
        let d = plainly(
            "cantilever-bracket",
            &format!(
                r#"{{ "load": "{f} N", "arm": "{reach} mm", "width": "12 mm", "height": "10 mm",
                     "upper_screws": {}, "screw_to_heel": "{heel} mm", "head_diameter": "8 mm", "hole_diameter": "4 mm", "plate": "5 mm" }}"#,
                w.input("n_screws")
            ),
        );
        w.gives(
            "screw_tension",
            step(&d, "head-crush", &[], "pull on an upper screw"),
        );
    });
}

#[test]
fn a_notch_counts_by_the_share_that_the_material_feels() {
    each("notch_factor", |w| {
        let d = plainly(
            "cantilever-bracket",
            &format!(
                r#"{{ "load": "20 N", "arm": "60 mm", "width": "12 mm", "height": "10 mm", "stress_concentration": {}, "notch_sensitivity": {} }}"#,
                w.input("Kt"),
                w.input("q")
            ),
        );
        w.gives("Kf", step(&d, "root-break", &[], "notch factor"));
    });
}

/// A bracket whose load comes and goes so often, its highest stress given by the inputs.
fn cycled(cycles: f64, inputs: &str) -> Duty {
    let mut c: Case = case("cantilever-bracket", inputs);
    c.setting.class = Some(Class::Nuisance);
    c.setting.cycles = Some(cycles);
    c.duty().expect("within validity")
}

const PLAIN_ARM: &str =
    r#""arm": "60 mm", "width": "10 mm", "height": "10 mm", "stress_concentration": 1"#;

#[test]
fn strength_after_many_cycles_lies_on_both_lines_through_the_printed_points() {
    each("sn_interpolate", |w| {
        let mpa = |psi: f64| psi * 0.006_894_757_293_168;
        let (n1, n2, n) = (w.input("N1").log10(), w.input("N2").log10(), w.input("N"));
        let (s1, s2) = (mpa(w.input("S1")), mpa(w.input("S2")));
        let d = cycled(n, &format!(r#"{{ "load": "5 N", {PLAIN_ARM} }}"#));
        // The part's lines run from one cycle to ten million: those through the two printed points.
        let line = |slope: f64, at: f64| s1 + slope * (at - n1);
        let slope = (s2 - s1) / (n2 - n1);
        let static_mpa = line(slope, 0.0);
        let figures = [
            ("tensile-strength", static_mpa),
            ("fatigue-share", line(slope, 7.0) / static_mpa),
        ];
        w.gives(
            "semi_log",
            step(
                &d,
                "root-fatigue",
                &figures,
                "left, on a line in the figure",
            ),
        );
        let steep = (s2.ln() - s1.ln()) / (n2 - n1);
        let bent = |at: f64| (s1.ln() + steep * (at - n1)).exp();
        let figures = [
            ("tensile-strength", bent(0.0)),
            ("fatigue-share", bent(7.0) / bent(0.0)),
        ];
        w.gives(
            "log_log",
            step(
                &d,
                "root-fatigue",
                &figures,
                "left, on a line in its logarithm",
            ),
        );
    });
}

// The part's load comes and goes from nothing, so that amplitude and mean are each half of the peak;
// the worked case has them apart, and the sum is linear in each.
#[test]
fn goodmans_line_adds_amplitude_and_mean() {
    each("goodman", |w| {
        let used = |peak_mpa: f64, strength: f64, left: f64| {
            // 6 F L/(b h^2) of the plain arm: 0.36 MPa a newton.
            let d = cycled(
                1e7,
                &format!(
                    r#"{{ "load": "{0} N", "peak": "{0} N", {PLAIN_ARM} }}"#,
                    peak_mpa / 0.36
                ),
            );
            let figures = [
                ("tensile-strength", strength),
                ("fatigue-share", left / strength),
            ];
            performs(&d, "root-fatigue", &figures)
        };
        let (end, ult) = (w.input("S_end"), w.input("S_ult"));
        // A strength without end leaves the amplitude alone, and an endurance without end the mean.
        let amplitude = used(2.0 * w.input("amp"), 1e12, end);
        let mean = used(2.0 * w.input("mean"), ult, ult) / 2.0;
        w.gives("utilisation", amplitude + mean);
    });
}

#[test]
fn the_stress_allowed_is_the_strength_over_factor_and_notch() {
    each("allowable_product", |w| {
        let mut c = case(
            "cantilever-bracket",
            &format!(
                r#"{{ "load": "5 N", "arm": "60 mm", "width": "10 mm", "height": "10 mm", "stress_concentration": {} }}"#,
                w.input("Kt")
            ),
        );
        // The factor on loads of the harshest class is the safety factor of the worked case.
        c.setting.class = Some(Class::Severe);
        close(c.setting.factor(Class::Severe), w.input("sf"), 1e-12);
        let d = c.duty().unwrap();
        let carried = w.input("strength") * w.input("f_print") * w.input("f_time");
        let figures = [("sustained-strength", carried)];
        w.gives(
            "allowable",
            step(
                &d,
                "root-creep",
                &figures,
                "stress allowed without notch and factor",
            ),
        );
    });
}

// D4: strength in the layers times the share that they keep is the strength across them.
#[test]
fn what_the_layers_keep_gives_the_strength_across() {
    each("strength_ratio", |w| {
        let d = plainly(
            "cantilever-bracket",
            &format!(r#"{{ "load": "5 N", {PLAIN_ARM} }}"#),
        );
        let l = crate::duty::limit(&d, "root-break");
        // Nothing tested across: strength in the layers and the share stand in.
        let across = |share: f64| {
            let (y, _) = l.performance.worked(dutyfit::duty::Inputs {
                x: &[w.input("b"), share],
                which: &[2, 2],
            });
            y
        };
        w.gives("ratio", across(w.input("a") / w.input("b")) / w.input("b"));
    });
}

fn hinge(w: &Worked, land_mm: f64) -> Duty {
    plainly(
        "living-hinge",
        &format!(
            r#"{{ "web": "{} mm", "land": "{land_mm} mm", "width": "20 mm", "angle": "{} deg" }}"#,
            w.input("t"),
            w.input("angle")
        ),
    )
}

#[test]
fn a_web_bends_to_an_arc() {
    each("hinge_strain", |w| {
        let d = hinge(w, w.input("land"));
        let told = |what| step(&d, "fold-crack", &[("break-strain", 50.0)], what);
        w.gives(
            "radius_mid",
            told("radius of the fold at the middle of the web"),
        );
        w.gives("strain", told("strain at the face of the web") / 100.0);
    });
    each("hinge_min_land", |w| {
        let d = hinge(w, 10.0);
        let figures = [("break-strain", 100.0 * w.input("strain"))];
        let land = step(
            &d,
            "fold-crack",
            &figures,
            "least land at the strain it takes",
        );
        w.gives("land", land);
    });
}

#[test]
fn a_hand_turns_by_friction_on_both_sides() {
    each("handle_twist", |w| {
        let d = plainly(
            "tool-handle",
            &format!(
                r#"{{ "diameter": "{} mm", "length": "100 mm", "pull": "50 N", "twist": "1 N.m", "grip_force": "{} N", "skin_friction": {} }}"#,
                w.input("D"),
                w.input("grip_force"),
                w.input("mu")
            ),
        );
        w.gives("torque", performs(&d, "twist-hold", &[]));
    });
}

#[test]
fn what_is_covered_has_worked_cases() {
    for formula in COVERS {
        each(formula, |_| {});
    }
}
