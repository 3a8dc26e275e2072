//! Struck and squeezed parts against the worked cases of `duties.json`: case text in, figures of the
//! parts' own working out.

use super::duties::each;
use crate::duty::{Figures, case, close, performs, step};
use dutyfit::duty::{Case, Duty};
use dutyfit::policy::Class;

/// Formulas of the worked cases that this file drives.
pub(super) const COVERS: &[&str] = &[
    "impact_energy",
    "impact_linear",
    "impact_linear_drop",
    "impact_plateau",
    "block_energy",
    "resilience",
    "shape_factor",
    "compression_modulus",
    "pad_sag",
    "pad_large_strain",
    "creep_sag_log",
    "natural_frequency",
    "transmissibility",
    "seal_squeeze",
    "compression_set",
    "gasket_stress",
    "gasket_recovery",
    "gasket_bolt_load",
    "shore_a_modulus",
];

/// Standard gravity, m/s^2.
const GN: f64 = 9.80665;

/// A case whose loads carry no factor.
fn plainly(kind: &str, inputs: &str) -> Case {
    let mut c = case(kind, inputs);
    c.setting.class = Some(Class::Nuisance);
    c
}

fn guard(inputs: &str) -> Duty {
    plainly("impact-guard", inputs)
        .duty()
        .expect("within validity")
}

/// A block of 100 x 100 x 1000 mm has the spring rate k at a modulus of k/10.
const BLOCK: &str = r#""shape": "block", "length": "100 mm", "width": "100 mm", "depth": "1 m""#;

fn of_rate<'a>(k: f64) -> [(&'a str, f64); 2] {
    [
        ("compression-modulus", k / 10.0),
        ("dynamic-stiffening", 1.0),
    ]
}

#[test]
fn i1_energy_and_speed_of_a_drop() {
    each("impact_energy", |w| {
        let (kg, m) = (w.input("mass"), w.input("drop"));
        let d = guard(&format!(
            r#"{{ "mass": "{kg} kg", "drop": "{m} m", {BLOCK} }}"#
        ));
        let figures = of_rate(50.0);
        w.gives(
            "energy",
            step(&d, "bottoming", &figures, "energy of the blow"),
        );
        w.gives("v", step(&d, "bottoming", &figures, "speed of the blow"));
    });
}

#[test]
fn i2_linear_bumper() {
    each("impact_linear", |w| {
        let (kg, v) = (w.input("mass"), w.input("v"));
        let d = guard(&format!(
            r#"{{ "mass": "{kg} kg", "lightest_mass": "{kg} kg", "speed": "{v} m/s", {BLOCK},
                 "force_allowed": "1 kN", "deceleration_allowed": "100 m/s^2" }}"#
        ));
        let figures = of_rate(w.input("k"));
        w.gives(
            "energy",
            step(&d, "bottoming", &figures, "energy of the blow"),
        );
        w.gives(
            "deflection",
            step(&d, "bottoming", &figures, "depth pushed in"),
        );
        w.gives("peak_force", performs(&d, "force", &figures));
        w.gives("peak_accel", performs(&d, "deceleration", &figures) / GN);
    });
}

#[test]
fn i3_linear_bumper_with_gravity() {
    each("impact_linear_drop", |w| {
        let (kg, m) = (w.input("mass"), w.input("drop"));
        let d = guard(&format!(
            r#"{{ "mass": "{kg} kg", "drop": "{m} m", {BLOCK}, "force_allowed": "1 kN" }}"#
        ));
        let figures = of_rate(w.input("k"));
        w.gives(
            "deflection",
            step(&d, "bottoming", &figures, "depth pushed in"),
        );
        w.gives("peak_force", performs(&d, "force", &figures));
    });
}

#[test]
fn i4_crushing_at_a_plateau() {
    each("impact_plateau", |w| {
        let (kg, v) = (w.input("mass"), w.input("v"));
        let (p, area, h) = (w.input("plateau"), w.input("area"), w.input("h"));
        let d = guard(&format!(
            r#"{{ "mass": "{kg} kg", "lightest_mass": "{kg} kg", "speed": "{v} m/s", "works": "crushes",
                 "plateau": "{p} MPa", "densification": {}, "shape": "block", "length": "{} mm",
                 "width": "10 mm", "depth": "{h} mm", "force_allowed": "2 kN", "deceleration_allowed": "100 m/s^2" }}"#,
            w.input("densification"),
            area / 10.0
        ));
        // The worked case does not raise the plateau for the blow.
        let at_rest = [("dynamic-stiffening", 1.0)];
        w.gives("energy", step(&d, "bottoming", &[], "energy of the blow"));
        w.gives("force", performs(&d, "force", &at_rest));
        w.gives("crush", step(&d, "bottoming", &[], "depth crushed"));
        w.gives("crush_strain", performs(&d, "bottoming", &[]));
        w.gives("accel", performs(&d, "deceleration", &at_rest) / GN);
        let bottoms = d
            .limits
            .iter()
            .find(|l| l.id == "bottoming")
            .expect("limit");
        assert!(
            !bottoms.sense.met(performs(&d, "bottoming", &[])),
            "{}",
            w.id
        );
    });
}

#[test]
fn i5_energy_of_a_rubber_block() {
    each("block_energy", |w| {
        // The worked case is linear to 25 %: the energy at the end of the linear law, scaled by squares.
        let d = guard(&format!(
            r#"{{ "mass": "1 kg", "speed": "0.1 m/s", "shape": "block", "length": "{} mm", "width": "{} mm",
                 "depth": "{} mm", "faces": "bonded", "squeeze_allowed": 0.1 }}"#,
            w.input("a"),
            w.input("b"),
            w.input("h")
        ));
        // No bulk limit in the worked case.
        let figures = [
            ("compression-modulus", w.input("E")),
            ("bulk-modulus", 1e12),
        ];
        let tenth = step(
            &d,
            "bottoming",
            &figures,
            "energy taken up to the squeeze allowed",
        );
        w.gives("energy", tenth * (w.input("strain") / 0.1).powi(2));
    });
}

#[test]
fn i6_stored_energy_and_the_ninth_of_it() {
    each("resilience", |w| {
        let d = guard(&format!(
            r#"{{ "mass": "1 kg", "speed": "1 m/s", {BLOCK} }}"#
        ));
        let aim = d.aims.iter().find(|a| a.id == "toughness").expect("aim");
        let figures: Figures<'_> = &[
            ("yield-strength", w.input("stress")),
            ("tensile-modulus", w.input("E")),
        ];
        let (stored, steps) = crate::duty::worked(&d, &aim.needs, &aim.performance, figures);
        let lip = steps
            .iter()
            .find(|s| s.what == "mean of an end-loaded lip")
            .expect("step")
            .value;
        w.gives("uniform", stored);
        w.gives("cantilever_mean", lip);
        w.gives("share", lip / stored);
    });
}

/// A pad of this weight, shape and modulus, its faces held; the worked cases know no bulk limit
/// unless they name one.
fn pad(newtons: f64, shape: &str, hz: f64) -> Duty {
    let kg = newtons / GN;
    plainly(
        "vibration-pad",
        &format!(
            r#"{{ "mass": "{kg} kg", "least_mass": "{kg} kg", "pads": 1, {shape}, "faces": "bonded", "runs_at": "{hz} Hz" }}"#
        ),
    )
    .duty()
    .expect("within validity")
}

fn disc(d: f64, h: f64) -> String {
    format!(r#""shape": "disc", "diameter": "{d} mm", "height": "{h} mm""#)
}

fn rubber<'a>(e: f64, bulk: f64, stiffer: f64) -> Vec<(&'a str, f64)> {
    vec![
        ("compression-modulus", e),
        ("creep-modulus", e),
        ("bulk-modulus", bulk),
        ("dynamic-stiffening", stiffer),
        ("rebound", 50.0),
    ]
}

#[test]
fn f5_shape_factors() {
    let shapes = std::cell::Cell::new(0);
    each("shape_factor", |w| {
        let shape = match w.id.as_str() {
            "shape-disc-1" => disc(w.input("D"), w.input("h")),
            "shape-rect-1" => format!(
                r#""shape": "block", "length": "{} mm", "width": "{} mm", "height": "{} mm""#,
                w.input("a"),
                w.input("b"),
                w.input("h")
            ),
            _ => format!(
                r#""shape": "ring", "diameter": "{} mm", "inner_diameter": "{} mm", "height": "{} mm""#,
                w.input("Do"),
                w.input("Di"),
                w.input("h")
            ),
        };
        let d = pad(100.0, &shape, 50.0);
        let m = rubber(5.0, 1e12, 1.0);
        w.gives("S", step(&d, "sag", &m, "shape factor"));
        w.gives("area", step(&d, "sag", &m, "area of a pad"));
        shapes.set(shapes.get() + 1);
    });
    assert_eq!(shapes.get(), 3);
}

#[test]
fn f6_f7_apparent_modulus_and_its_bulk_limit() {
    each("compression_modulus", |w| {
        // beta 2 is the only one here; S = D/(4h) at h = 10 mm.
        let d = pad(100.0, &disc(40.0 * w.input("S"), 10.0), 50.0);
        let m = rubber(w.input("E"), w.input("B"), 1.0);
        w.gives(
            "Ec",
            step(&d, "sag", &m, "apparent modulus if the faces cannot slide"),
        );
        w.gives(
            "Ea",
            step(&d, "sag", &m, "apparent modulus with the bulk limit"),
        );
    });
}

#[test]
fn f8_f11_sag_and_natural_frequency_of_a_pad() {
    each("pad_sag", |w| {
        let d = pad(w.input("force"), &disc(w.input("D"), w.input("h")), 50.0);
        let m = rubber(w.input("E"), 1e12, w.input("dyn_ratio"));
        let of = |what| step(&d, "isolates", &m, what);
        w.gives("S", of("shape factor"));
        w.gives("Ec", of("apparent modulus if the faces cannot slide"));
        w.gives("stress", of("pressure on the pad"));
        w.gives("strain", of("elastic squeeze"));
        w.gives("sag", of("elastic sag"));
        w.gives("k", of("spring rate of one pad"));
        w.gives("f_n", of("natural frequency by elastic sag"));
        w.gives("f_n_dyn", of("natural frequency of the stiffest, lightest"));
    });
}

#[test]
fn f9_larger_squeeze() {
    each("pad_large_strain", |w| {
        let h = w.input("h");
        let d = pad(w.input("force"), &disc(w.input("D"), h), 50.0);
        let m = rubber(w.input("E"), 1e12, 1.0);
        let strain = step(&d, "sag", &m, "squeeze");
        w.gives("lambda", 1.0 - strain);
        w.gives("strain", strain);
        w.gives("sag", performs(&d, "sag", &m));
        w.gives("sag_linear", step(&d, "isolates", &m, "elastic sag"));
    });
}

#[test]
fn f10_sag_grows_as_the_creep_modulus_falls() {
    each("creep_sag_log", |w| {
        // A modulus that has crept by 1 + c log10(t/t1) sags by as much more.
        let (year_min, min) = (525_960.0, w.input("t0"));
        let grown = 1.0 + w.input("slope") * (w.input("t") * year_min / min).log10();
        let d = pad(100.0, &disc(40.0, 40.0), 50.0);
        // 100 N over 1256.64 mm2, 40 mm high: the modulus that sags as the case says at first.
        let held = 1.125;
        let e = 100.0 / 1_256.637_061 * 40.0 / w.input("sag0") / held;
        w.gives("sag", performs(&d, "sag", &rubber(e / grown, 1e12, 1.0)));
    });
}

/// A pad that swings at this frequency, Hz, elastic sag and all.
fn swinging(f_n: f64, zeta: f64) -> Vec<(&'static str, f64)> {
    // 400 mm high, 300 mm wide: S 0.1875, 1 + 2 S^2 = 1.0703125; 1 kN.
    let sag = GN * 1e3 / (2.0 * std::f64::consts::PI * f_n).powi(2);
    let e = 1000.0 / 70_685.834_7 * 400.0 / sag / 1.070_312_5;
    let mut m = rubber(e, 1e12, 1.0);
    // The rebound that F14 turns into this damping.
    let l = std::f64::consts::PI * zeta / (1.0 - zeta * zeta).sqrt();
    m[4] = ("rebound", 100.0 * (-2.0 * l).exp());
    m
}

#[test]
fn f11_natural_frequency_of_a_static_deflection() {
    each("natural_frequency", |w| {
        let f_n = 15.760_9 / w.input("static_deflection").sqrt();
        let d = pad(1000.0, &disc(300.0, 400.0), 50.0);
        let m = swinging(f_n, 0.1);
        close(
            step(&d, "isolates", &m, "elastic sag"),
            w.input("static_deflection"),
            1e-4,
        );
        w.gives(
            "f_n",
            step(&d, "isolates", &m, "natural frequency by elastic sag"),
        );
    });
}

#[test]
fn f12_f14_transmissibility() {
    each("transmissibility", |w| {
        let d = pad(1000.0, &disc(300.0, 400.0), w.input("f"));
        let m = swinging(w.input("f_n"), w.input("zeta"));
        if w.id == "vib-T-1" {
            w.gives(
                "r",
                step(&d, "passed-on", &m, "running speed over natural frequency"),
            );
        }
        w.gives("T", performs(&d, "passed-on", &m));
    });
}

/// A flat gasket of this free and closed thickness, 80 mm in the mean and 20 mm wide.
fn gasket(free: f64, closed: f64, more: &str) -> Duty {
    plainly(
        "seal-ring",
        &format!(
            r#"{{ "form": "flat", "medium": "water", "outer_diameter": "90 mm", "inner_diameter": "70 mm",
                 "thickness": "{free} mm", "closed_thickness": "{closed} mm"{more} }}"#
        ),
    )
    .duty()
    .expect("within validity")
}

#[test]
fn e1_squeeze_of_a_ring() {
    each("seal_squeeze", |w| {
        let d = plainly(
            "seal-ring",
            &format!(
                r#"{{ "form": "ring", "medium": "water", "section": "{} mm", "groove_depth": "{} mm", "diameter": "40 mm" }}"#,
                w.input("section"),
                w.input("gland_depth")
            ),
        )
        .duty()
        .expect("within validity");
        let m = [("compression-modulus", 8.0), ("force-retained", 1.0)];
        w.gives("squeeze", step(&d, "sealing", &m, "squeeze"));
    });
}

#[test]
fn e2_compression_set_as_the_bench_reduces_it_and_a_seal_follows_by_it() {
    each("compression_set", |w| {
        let (h0, hr, hs) = (w.input("h0"), w.input("hr"), w.input("hs"));
        let sheet = format!(
            "outer [mm],inner [mm],height [mm],held_height [mm],faces,time [h],force [N],recovered [mm],recovery [min]\n29,,{h0},{hs},greased,,,{hr},30\n"
        );
        let all = super::sheets::reduced(&sheet).expect("reduced");
        let given = all["properties"]
            .as_array()
            .and_then(|p| p.iter().find(|p| p["property"] == "compression-set"))
            .expect("a set");
        w.gives("set", given["value"].as_f64().expect("figure") / 100.0);
    });
}

#[test]
fn e3_e4_sealing_stress_left_and_needed() {
    each("gasket_stress", |w| {
        let p = format!(r#", "pressure": "{} MPa""#, w.input("p_fluid"));
        let d = gasket(w.input("h"), w.input("h_closed"), &p);
        let soft = w.input("m") < 0.75;
        let m = [
            ("compression-modulus", w.input("Ec")),
            ("force-retained", w.input("retained")),
            ("shore-a", if soft { 70.0 } else { 80.0 }),
        ];
        let of = |what| step(&d, "sealing", &m, what);
        w.gives("squeeze", of("squeeze"));
        w.gives("stress0", of("sealing stress when closed"));
        w.gives("stress_t", of("sealing stress after the life"));
        // The worked case writes the stress that seats it and the one that holds as one figure.
        w.gives(
            "needed",
            of("sealing stress needed").max(of("seating stress y")),
        );
        close(of("gasket factor m"), w.input("m"), 1e-9);
        let seals = d.limits.iter().find(|l| l.id == "sealing").expect("limit");
        assert_eq!(
            seals.sense.met(performs(&d, "sealing", &m)),
            soft,
            "{}",
            w.id
        );
    });
}

#[test]
fn e5_how_far_a_set_gasket_follows() {
    each("gasket_recovery", |w| {
        let gap = w.input("gap");
        let d = gasket(
            w.input("h"),
            w.input("h_closed"),
            &format!(r#", "opening": "{gap} mm""#),
        );
        let m = [("compression-set", 100.0 * w.input("set"))];
        w.gives("recovery", performs(&d, "follow-up", &m));
        let follows = d
            .limits
            .iter()
            .find(|l| l.id == "follow-up")
            .expect("limit");
        assert!(
            !follows.sense.met(performs(&d, "follow-up", &m)),
            "{}",
            w.id
        );
    });
}

#[test]
fn e6_bolt_loads_of_a_ring_gasket() {
    each("gasket_bolt_load", |w| {
        // G 80 mm and b 5 mm: a ring 20 mm wide in the diameter, half its width of 10 mm.
        close(w.input("G"), 80.0, 1e-12);
        close(w.input("b"), 5.0, 1e-12);
        let more = format!(
            r#", "pressure": "{} MPa", "bolt_load": "50 kN""#,
            w.input("p")
        );
        let d = gasket(3.0, 2.4, &more);
        let m = [
            ("compression-modulus", 8.0),
            ("bulk-modulus", 1500.0),
            ("shore-a", 80.0),
        ];
        w.gives(
            "W_operate",
            step(&d, "bolt-load", &m, "load that operates it"),
        );
        w.gives("W_seat", step(&d, "bolt-load", &m, "load that seats it"));
    });
}

#[test]
fn f13_moduli_by_hardness_are_shown_within_their_range_only() {
    each("shore_a_modulus", |w| {
        let d = gasket(3.0, 2.4, r#", "pressure": "1 bar""#);
        let m = [
            ("compression-modulus", 8.0),
            ("force-retained", 1.0),
            ("shore-a", w.input("S")),
        ];
        let l = d.limits.iter().find(|l| l.id == "sealing").expect("limit");
        let (_, steps) = crate::duty::worked(&d, &l.needs, &l.performance, &m);
        let shown: Vec<f64> = steps
            .iter()
            .filter(|s| s.label == "F13")
            .map(|s| s.value)
            .collect();
        if w.input("S") <= 80.0 {
            for (name, got) in ["gent", "log10_form", "ln_form"].into_iter().zip(&shown) {
                w.gives(name, *got);
            }
            assert_eq!(shown.len(), 3);
        } else {
            // Outside its range no figure stands, not even for comparison.
            assert!(shown.is_empty(), "{}: {shown:?}", w.id);
        }
    });
}

#[test]
fn every_formula_listed_here_has_a_worked_case() {
    for formula in COVERS {
        each(formula, |_| {});
    }
}
