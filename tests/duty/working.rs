//! What an answer must show for a hand calculation: every input as a step, no step twice, and the
//! class's factor in words.

use super::{Figures, bound, case, close, limit, performs, worked};
use dutyfit::duty::{Case, Duty};
use dutyfit::policy::Class;

const WASHER: &str = r#"{ "bolt": "M6", "torque": "3.5 N.m", "clamp_needed": "200 N", "outer_diameter": "18 mm",
    "height": "5 mm", "clamped_length": "25 mm", "pressed_by": "wide-steel-washer" }"#;
const FOOT: &str = r#"{ "mass": "40 kg", "shape": "disc", "diameter": "40 mm", "height": "10 mm", "push": "50 N", "faces": "bonded" }"#;
const SLEEVE: &str = r#"{ "bar_diameter": "25 mm", "bore": "24.2 mm", "outer_diameter": "33 mm", "length": "110 mm",
    "pull": "80 N", "twist": "1.5 N.m", "fixing": "collar", "collar_force": "300 N" }"#;
const PAD: &str = r#"{ "contact": "flat", "load": "60 N", "width": "20 mm", "length": "30 mm", "thickness": "4 mm",
    "speed": "0.1 m/s", "share": 0.01, "wear_allowed": "1 mm", "film": "10 W/(m2.K)", "sink_allowed": "1 mm",
    "contact_radius": "3 mm" }"#;
const PLAIN: &str = r#"{ "limits": [ { "index": "tensile_modulus / density", "at_least": 10, "unit": "MPa.cm3/g" },
    { "property": "yield-strength", "at_least": "2 MPa" } ] }"#;

const FIGURES: Figures<'_> = &[
    ("bearing-strength", 40.0),
    ("compression-modulus", 1500.0),
    ("thermal-expansion", 80.0),
    ("force-retained", 0.6),
    ("compression-set", 10.0),
    ("softening-onset", 80.0),
    ("static-friction", 0.4),
    ("kinetic-friction", 0.3),
    ("creep-modulus", 800.0),
    ("bulk-modulus", 3000.0),
    ("tensile-modulus", 1700.0),
    ("poisson-ratio", 0.4),
    ("break-strain", 20.0),
    ("sustained-strength", 15.0),
    ("yield-strength", 40.0),
    ("wear-rate", 1e-5),
    ("pv-held", 0.2),
    ("conductivity", 0.2),
    ("density", 1.2),
];

fn range(kind: &str, inputs: &str) -> Case {
    let mut c = case(kind, inputs);
    c.setting.temperature_c = (-10.0, 45.0);
    c.setting.counterface = Some("steel-smooth".to_owned());
    c
}

fn duties() -> Vec<Duty> {
    [
        ("bolt-washer", WASHER),
        ("support-foot", FOOT),
        ("handle-sleeve", SLEEVE),
        ("sliding-pad", PAD),
        ("plain", PLAIN),
    ]
    .iter()
    .map(|(kind, inputs)| range(kind, inputs).duty().expect(kind))
    .collect()
}

#[test]
fn no_step_stands_twice_and_none_is_without_a_label() {
    for duty in duties() {
        for l in &duty.limits {
            let (y, steps) = worked(&duty, &l.needs, &l.performance, FIGURES);
            assert!(y.is_finite(), "{} {y}", l.id);
            for (k, a) in steps.iter().enumerate() {
                assert!(!a.label.is_empty(), "{} {}", l.id, a.what);
                assert!(
                    !steps[..k].contains(a),
                    "{} {}: twice {} {}",
                    duty.part,
                    l.id,
                    a.what,
                    a.value
                );
            }
        }
    }
}

#[test]
fn every_figure_that_a_formula_takes_is_a_step() {
    for duty in duties() {
        for l in &duty.limits {
            let (_, steps) = worked(&duty, &l.needs, &l.performance, FIGURES);
            for need in &l.needs {
                let known = need.iter().find_map(|i| {
                    let id = duty.asks[*i].property.as_str();
                    FIGURES.iter().find(|f| f.0 == id)
                });
                let (id, figure) = known.expect("a figure");
                // A set in % may be told as a share.
                let told = |v: f64| v == *figure || v == *figure / 100.0;
                assert!(
                    steps.iter().any(|s| told(s.value)),
                    "{} {} does not show {id}: {steps:#?}",
                    duty.part,
                    l.id
                );
            }
        }
    }
}

#[test]
fn a_washers_clamp_load_can_be_followed_by_hand() {
    let duty = range("bolt-washer", WASHER).duty().unwrap();
    let l = limit(&duty, "clamp-left@cold");
    let (y, steps) = worked(&duty, &l.needs, &l.performance, FIGURES);
    let all = |what: &str| -> Vec<f64> {
        steps
            .iter()
            .filter(|s| s.what == what)
            .map(|s| s.value)
            .collect()
    };
    let s = |what: &str| {
        *all(what)
            .first()
            .unwrap_or_else(|| panic!("no `{what}`: {steps:#?}"))
    };
    let set = s("tightening torque") * 1000.0
        / (s("highest likely nut factor") * s("diameter of the bolt"));
    let length = s("clamped length");
    let k_bolt = s("modulus of the bolt") * s("stress area of the bolt") / length;
    let thick = s("thickness of the washer");
    let k_washer = s("modulus of the washer") * s("loaded area") / thick;
    let r = s("share of the force kept at fixed squeeze");
    let soft = 1.0 / k_bolt + 1.0 / k_washer;
    let kept = soft / (1.0 / k_bolt + 1.0 / (r * k_washer));
    let per_kelvin = 1e-6
        * (s("expansion of the washer") * thick + s("expansion of the members") * (length - thick)
            - s("expansion of the bolt") * length)
        / soft;
    let [hot, cold] = all("warmer than at tightening by")[..] else {
        panic!("{steps:#?}")
    };
    close(hot, 22.0, 1e-12);
    close(cold, -33.0, 1e-12);
    close(
        y,
        kept * set - (1.0 - kept) * per_kelvin * hot + per_kelvin * cold,
        1e-9,
    );
}

#[test]
fn the_factor_of_the_class_is_said_once_and_only_where_there_is_one() {
    let said = |kind: &str, inputs: &str, class: Option<Class>| {
        let mut c = range(kind, inputs);
        c.setting.class = class;
        let notes = c.duty().unwrap().notes;
        let stands = notes.iter().position(|n| n.starts_with("loads times"));
        assert!(matches!(stands, None | Some(0)), "{notes:?}");
        notes
            .into_iter()
            .filter(|n| n.starts_with("loads times"))
            .collect::<Vec<_>>()
    };
    for (kind, inputs) in [
        ("bolt-washer", WASHER),
        ("support-foot", FOOT),
        ("handle-sleeve", SLEEVE),
        ("sliding-pad", PAD),
    ] {
        let damage = said(kind, inputs, None);
        assert_eq!(damage, ["loads times 1.25 for class damage"], "{kind}");
        let severe = said(kind, inputs, Some(Class::Severe));
        assert_eq!(severe, ["loads times 2 for class severe"], "{kind}");
        let nuisance = said(kind, inputs, Some(Class::Nuisance));
        assert_eq!(nuisance, Vec::<String>::new(), "{kind}");
    }
    assert_eq!(said("plain", PLAIN, None), Vec::<String>::new());
    let duty = range("bolt-washer", WASHER).duty().unwrap();
    close(bound(limit(&duty, "clamp-left@hot")), 200.0 * 1.25, 1e-12);
    assert!(performs(&duty, "torque", FIGURES).is_finite());
}

#[test]
fn a_figure_that_is_being_pushed_is_told_in_six_digits() {
    let mut inputs: serde_json::Value = serde_json::from_str(PAD).unwrap();
    inputs["thickness"] = "0.7999641187029629 mm".into();
    inputs["wear_allowed"] = "0.8 mm".into();
    let text = range("sliding-pad", &inputs.to_string())
        .duty()
        .unwrap_err()[0]
        .what
        .clone();
    assert!(text.contains("`thickness` 0.799964 mm"), "{text}");
}
