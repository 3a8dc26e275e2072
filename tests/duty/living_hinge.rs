//! The living-hinge part kind.

use super::{aimed, bound, case, close, codes, governing, limit, performs, step};
use dutyfit::duty::{Case, Duty};
use dutyfit::property::{OwnProperty, Properties, Sense};
use dutyfit::quantity::Unit;

fn hinge(more: &str) -> Case {
    case(
        "living-hinge",
        &format!(
            r#"{{ "web": "0.4 mm", "land": "6 mm", "width": "50 mm", "angle": "90 deg"{more} }}"#
        ),
    )
}

fn duty(more: &str) -> Duty {
    hinge(more).duty().expect("a hinge within validity")
}

const TOUGH: &[(&str, f64)] = &[
    ("break-strain", 40.0),
    ("tensile-strength", 25.0),
    ("sustained-strength", 8.0),
    ("yield-strength", 25.0),
    ("flexural-modulus", 1300.0),
    ("compression-set", 20.0),
    ("softening-onset", 80.0),
];

#[test]
fn the_fold_is_geometry_and_its_least_land_is_told() {
    let d = duty("");
    // pi/2 x 0.4/(2 x 6) = 5.24 %.
    close(bound(limit(&d, "fold-crack")), 5.235_988, 1e-6);
    close(
        step(&d, "fold-crack", TOUGH, "least land at the strain it takes"),
        90.0_f64.to_radians() * 0.4 / (2.0 * 0.4),
        1e-6,
    );
    let whole = case(
        "living-hinge",
        r#"{ "web": "0.4 mm", "land": "6 mm", "width": "50 mm" }"#,
    );
    close(
        bound(limit(&whole.duty().unwrap(), "fold-crack")),
        10.471_976,
        1e-6,
    );
}

#[test]
fn a_thinner_web_turns_the_governing_limit_from_staying_folded_to_tearing() {
    let at = |web: &str| {
        case(
            "living-hinge",
            &format!(r#"{{ "web": "{web}", "land": "3 mm", "width": "20 mm", "pull": "20 N" }}"#),
        )
        .duty()
        .unwrap()
    };
    let soft: Vec<(&str, f64)> = TOUGH
        .iter()
        .map(|f| {
            if f.0 == "flexural-modulus" {
                (f.0, 60.0)
            } else {
                *f
            }
        })
        .collect();
    assert_eq!(governing(&at("0.6 mm"), &soft), "fold-held");
    assert_eq!(governing(&at("0.1 mm"), &soft), "web-tear");
}

#[test]
fn folding_again_is_never_calculated() {
    let d = duty(r#", "folds": 500"#);
    // Whatever is known of the material, no figure serves the limit on folds.
    assert!(performs(&d, "folds", TOUGH).is_nan());
    assert!(
        d.notes
            .iter()
            .any(|n| n.contains("test result, not a calculation")),
        "{:?}",
        d.notes
    );
    assert!(d.limits.iter().all(|l| l.id != "folds@hot"));
    // Once it is no question.
    let once = duty("");
    assert!(once.limits.iter().all(|l| l.id != "folds"));
    let deed = &once.promise.unwrap().deeds[0];
    assert_eq!((deed.verb, deed.tail), ("fold by", "once"));
}

#[test]
fn folds_that_were_counted_are_held_against_those_asked() {
    let mut c = hinge(r#", "folds": 500"#);
    c.setting.properties = Properties::with_own(&[OwnProperty {
        id: "folds-outlived".to_owned(),
        title: "folds outlived".to_owned(),
        unit: Unit::parse("1").unwrap().to_string(),
        sense: Sense::More,
        scale: dutyfit::property::Scale::Log,
        plausible: (1.0, 1e7),
    }]);
    let d = c.duty().unwrap();
    assert!(
        d.notes.iter().all(|n| !n.contains("test result")),
        "{:?}",
        d.notes
    );
    close(bound(limit(&d, "folds")), 500.0, 1e-12);
    close(
        performs(&d, "folds", &[("folds-outlived", 800.0)]),
        800.0,
        1e-12,
    );
}

#[test]
fn pulls_carry_the_factor_and_the_fold_does_not() {
    let d = duty(r#", "pull": "20 N", "held_pull": "4 N""#);
    close(bound(limit(&d, "web-tear")), 1.25 * 20.0 / 20.0, 1e-12);
    close(bound(limit(&d, "held-pull")), 1.25 * 4.0 / 20.0, 1e-12);
    close(performs(&d, "held-pull", TOUGH), 8.0, 1e-12);
}

#[test]
fn a_web_that_yields_springs_back_in_part_and_one_that_sets_less() {
    let d = duty(r#", "springs_back": 0.3"#);
    let s: f64 = 25.0 / 1300.0 / 0.052_359_88;
    close(
        step(&d, "spring-back", TOUGH, "springs back when new"),
        1.5 * s - 0.5 * s.powi(3),
        1e-6,
    );
    close(
        performs(&d, "spring-back", TOUGH),
        0.8 * (1.5 * s - 0.5 * s.powi(3)),
        1e-6,
    );
    // An elastic one comes back whole.
    let elastic = [
        ("flexural-modulus", 20.0),
        ("yield-strength", 25.0),
        ("compression-set", 0.0),
    ];
    close(performs(&d, "spring-back", &elastic), 1.0, 1e-12);
}

#[test]
fn the_torque_to_fold_stops_where_the_web_yields_through() {
    let d = duty(r#", "fold_torque": "0.1 N.m""#);
    let resistance = 50.0 * 0.16 / 6.0;
    close(
        performs(&d, "fold-torque", TOUGH),
        1.5 * 25.0 * resistance / 1000.0,
        1e-9,
    );
    let soft = [("flexural-modulus", 50.0), ("yield-strength", 25.0)];
    close(
        performs(&d, "fold-torque", &soft),
        50.0 * 0.052_359_88 * resistance / 1000.0,
        1e-6,
    );
}

#[test]
fn outside_the_law_it_is_refused() {
    let with = |inputs: &str| codes(&case("living-hinge", &format!("{{ {inputs} }}")));
    for (inputs, code) in [
        (
            r#""web": "2 mm", "land": "3 mm", "width": "20 mm""#,
            "duty::land-short",
        ),
        (
            r#""web": "0.4 mm", "land": "3 mm", "width": "20 mm", "angle": "400 deg""#,
            "duty::fold-angle",
        ),
        (
            r#""web": "0 mm", "land": "3 mm", "width": "20 mm""#,
            "duty::not-positive",
        ),
        (
            r#""web": "0.4 mm", "land": "3 mm", "width": "20 mm", "springs_back": 2"#,
            "duty::share",
        ),
    ] {
        assert_eq!(with(inputs), [code], "{inputs}");
    }
}

#[test]
fn more_break_strain_is_more_reserve() {
    let d = duty("");
    let (times, value) = aimed(&d, "fold-reserve", &[("break-strain", 2.0 * 5.235_988)]);
    close(times, 2.0, 1e-6);
    close(value, 2.0_f64.ln() / 5.0_f64.ln(), 1e-6);
}

#[test]
fn a_web_that_stays_folded_is_held_against_what_is_carried_for_the_life() {
    let d = duty("");
    // 1300 MPa at 5.24 % would be 68 MPa: it yields at 25 MPa, and 8 MPa are carried.
    close(performs(&d, "fold-held", TOUGH), 8.0 / 25.0, 1e-9);
    let soft = [
        ("flexural-modulus", 60.0),
        ("yield-strength", 25.0),
        ("sustained-strength", 8.0),
    ];
    close(
        performs(&d, "fold-held", &soft),
        8.0 / (60.0 * 0.052_359_88),
        1e-6,
    );
    let carried = limit(&d, "fold-held").needs.last().and_then(|n| n.first());
    assert!(d.asks[*carried.expect("a need")].life_h.is_some());
    // What folds to and fro does not stay, unless it must open again after its life folded.
    let held = |more: &str| duty(more).limits.iter().any(|l| l.id == "fold-held");
    assert!(!held(r#", "folds": 500"#));
    assert!(held(r#", "folds": 500, "springs_back": 0.5"#));
}

#[test]
fn what_a_fold_raises_speaks_of_folds_too() {
    let d = duty("");
    let raised = d
        .cautions
        .iter()
        .find(|r| r.caution.id == "snap-release")
        .expect("raised");
    assert!(raised.caution.text.contains("folded web"));
}
