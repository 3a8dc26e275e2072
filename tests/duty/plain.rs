//! The plain part kind: limits and aims stated directly.

use super::{aimed, bound, case, codes, faults, limit, performs, unread};
use dutyfit::duty::{Case, Hurts, LimitSense};
use dutyfit::policy::Class;
use dutyfit::property::{Lies, Moisture, OwnProperty, Properties, Scale, Sense};

fn plain(limits: &str, aims: &str) -> Case {
    case(
        "plain",
        &format!(r#"{{ "limits": [{limits}], "aims": [{aims}] }}"#),
    )
}

const HOT: &str = r#"{ "id": "hot-strength", "property": "tensile-strength", "at_least": "12 MPa",
    "lies": "across", "at": "40 degC", "class": "damage" }"#;
const BUCKLING: &str =
    r#"{ "index": "tensile_modulus / density", "at_least": 1200, "unit": "MPa.cm3/g" }"#;
const HINGE: &str = r#"{ "id": "hinge", "index": "tensile_strength / tensile_modulus", "zero": 0.005, "one": 0.03, "unit": "1" }"#;
const CHEAP: &str = r#"{ "id": "cheap", "property": "price", "zero": "60 per kg", "one": "15 per kg", "scale": "log" }"#;

#[test]
fn a_limit_asks_its_property_under_its_own_conditions() {
    let duty = plain(HOT, "").duty().unwrap();
    let l = limit(&duty, "hot-strength");
    let ask = &duty.asks[l.needs[0][0]];
    assert!((ask.temperature_c - 40.0).abs() < 1e-12);
    assert_eq!(ask.lies, Some(Lies::Across));
    assert_eq!(
        (l.class, l.sense),
        (Class::Damage, LimitSense::AtLeast(12.0))
    );
    assert!((performs(&duty, "hot-strength", &[("tensile-strength", 14.5)]) - 14.5).abs() < 1e-12);
}

#[test]
fn an_index_is_judged_at_both_ends_and_named_by_its_place() {
    let mut c = plain(BUCKLING, "");
    c.setting.temperature_c = (5.0, 40.0);
    let duty = c.duty().unwrap();
    let figures = [("tensile-modulus", 1800.0), ("density", 1.2)];
    assert!((performs(&duty, "index-1@hot", &figures) - 1500.0).abs() < 1e-9);
    let cold = limit(&duty, "index-1@cold");
    let asked: Vec<(&str, f64)> = cold
        .needs
        .iter()
        .map(|n| {
            (
                duty.asks[n[0]].property.as_str(),
                duty.asks[n[0]].temperature_c,
            )
        })
        .collect();
    assert_eq!(asked, [("density", 23.0), ("tensile-modulus", 5.0)]);
}

#[test]
fn a_draw_without_a_value_is_not_met() {
    let duty = plain(
        r#"{ "index": "ln(price - 10)", "at_most": 100, "unit": "1" }"#,
        "",
    )
    .duty()
    .unwrap();
    let y = performs(&duty, "index-1", &[("price", 5.0)]);
    assert!(y.is_nan());
    assert!(!limit(&duty, "index-1").sense.met(y));
}

#[test]
fn aims_go_from_zero_to_one_evenly_or_by_ratio_and_are_cut_off() {
    let duty = plain("", &format!("{HINGE}, {CHEAP}")).duty().unwrap();
    let hinge = |s, m| {
        aimed(
            &duty,
            "hinge",
            &[("tensile-strength", s), ("tensile-modulus", m)],
        )
        .1
    };
    assert!((hinge(35.0, 2000.0) - (0.0175 - 0.005) / 0.025).abs() < 1e-12);
    assert!((hinge(100.0, 2000.0) - 1.0).abs() < 1e-12);
    assert!(hinge(1.0, 2000.0).abs() < 1e-12);
    let cheap = |p| aimed(&duty, "cheap", &[("price", p)]).1;
    assert!((cheap(30.0) - 0.5).abs() < 1e-12);
    assert!((cheap(7.0) - 1.0).abs() < 1e-12);
}

#[test]
fn a_range_and_a_bound_in_another_unit_stand() {
    let duty = plain(
        r#"{ "property": "flexural-modulus", "between": "1..1.5 GPa" },
           { "property": "tensile-strength", "at_least": "100 kgf/cm2" }"#,
        "",
    )
    .duty()
    .unwrap();
    let LimitSense::Between(a, b) = limit(&duty, "flexural-modulus").sense else {
        panic!("a range")
    };
    assert!((a - 1000.0).abs() < 1e-9 && (b - 1500.0).abs() < 1e-9);
    assert!((bound(limit(&duty, "tensile-strength")) - 9.80665).abs() < 1e-9);
}

#[test]
fn cost_is_never_more_than_a_nuisance_and_harm_raises_the_rest() {
    let mut c = plain(
        r#"{ "property": "price", "at_most": "40 per kg", "class": "severe" },
           { "property": "tensile-strength", "at_least": "12 MPa", "class": "nuisance" }"#,
        "",
    );
    c.setting.harm.hurts = Hurts::Child;
    let duty = c.duty().unwrap();
    assert_eq!(limit(&duty, "price").class, Class::Nuisance);
    assert_eq!(limit(&duty, "tensile-strength").class, Class::Injury);
}

#[test]
fn conditions_of_an_entry_beat_those_of_the_case() {
    let mut c = plain(
        r#"{ "id": "a", "property": "static-friction", "at_least": 0.4, "counterface": "glass", "face": "bottom", "moisture": "wet" },
           { "id": "b", "property": "static-friction", "at_least": 0.4 },
           { "id": "c", "property": "creep-modulus", "at_least": "200 MPa", "life": "2 year" }"#,
        "",
    );
    c.setting.counterface = Some("tile".to_owned());
    let duty = c.duty().unwrap();
    let ask = |id| &duty.asks[limit(&duty, id).needs[0][0]];
    assert_eq!(ask("a").counterface.as_deref(), Some("glass"));
    assert_eq!(ask("a").moisture, Moisture::Wet);
    assert!(ask("a").face.is_some());
    assert_eq!(ask("b").counterface.as_deref(), Some("tile"));
    assert!((ask("c").life_h.unwrap() - 2.0 * 8766.0).abs() < 1e-9);
    assert!(ask("b").life_h.is_none());
}

#[test]
fn a_property_of_the_workspace_counts_like_any_other() {
    let mut c = plain(r#"{ "property": "snap-feel", "at_least": 3 }"#, "");
    assert_eq!(codes(&c), ["duty::unknown-property"]);
    c.setting.properties = Properties::with_own(&[OwnProperty {
        id: "snap-feel".to_owned(),
        title: "feel of the snap".to_owned(),
        unit: "1".to_owned(),
        sense: Sense::More,
        scale: Scale::Plain,
        plausible: (0.0, 5.0),
    }]);
    assert_eq!(
        limit(&c.duty().unwrap(), "snap-feel").title,
        "feel of the snap"
    );
}

#[test]
fn two_faults_are_both_reported_and_each_says_what_to_write() {
    let f = faults(&plain(
        r#"{ "property": "tensile-strenght", "at_least": "12 MPa" },
           { "index": "tensile_modulus / density", "at_least": 1200 }"#,
        "",
    ));
    let codes: Vec<_> = f.iter().map(|f| f.code).collect();
    assert_eq!(codes, ["duty::unknown-property", "duty::index-unit"]);
    assert!(f[0].fix.contains("`tensile-strength`"), "{f:?}");
}

#[test]
fn every_misuse_has_its_code() {
    for (limits, aims, code) in [
        ("", "", "duty::nothing-asked"),
        (
            r#"{ "property": "price", "at_least": 3 }"#,
            "",
            "unit::missing",
        ),
        (
            r#"{ "property": "price", "index": "price", "at_least": "3 per kg" }"#,
            "",
            "duty::property-or-index",
        ),
        (
            r#"{ "id": "x", "at_least": 3 }"#,
            "",
            "duty::property-or-index",
        ),
        (r#"{ "property": "price" }"#, "", "duty::one-bound"),
        (
            r#"{ "property": "price", "at_least": "1 per kg", "at_most": "2 per kg" }"#,
            "",
            "duty::one-bound",
        ),
        (
            r#"{ "property": "tensile-strength", "at_least": "3 N" }"#,
            "",
            "unit::wrong-dimension",
        ),
        (
            r#"{ "property": "tensile-strength", "at_least": "3 MPa", "unit": "GPa" }"#,
            "",
            "duty::unit-of-property",
        ),
        (
            r#"{ "index": "density", "at_least": 3, "unit": "lumps" }"#,
            "",
            "unit::unknown",
        ),
        (
            r#"{ "index": "1 + 1", "at_least": 3, "unit": "1" }"#,
            "",
            "duty::index-without-property",
        ),
        (
            r#"{ "index": "weight / price", "at_least": 3, "unit": "1" }"#,
            "",
            "duty::unknown-property",
        ),
        (
            r#"{ "id": "A/b", "property": "price", "at_most": "3 per kg" }"#,
            "",
            "duty::bad-id",
        ),
        (
            r#"{ "property": "price", "at_most": "3 per kg" }, { "property": "price", "at_least": "1 per kg" }"#,
            "",
            "duty::same-id",
        ),
        (
            "",
            r#"{ "property": "price", "zero": "3 per kg", "one": "3 per kg" }"#,
            "duty::flat-scale",
        ),
        (
            "",
            r#"{ "property": "compression-set", "zero": "0 %", "one": "3 %", "scale": "log" }"#,
            "duty::log-scale",
        ),
    ] {
        assert_eq!(codes(&plain(limits, aims)), [code], "{limits} {aims}");
    }
}

#[test]
fn a_bad_formula_is_refused_while_reading() {
    let said = unread(
        "plain",
        r#"{ "limits": [{ "index": "exp(density)", "at_least": 3, "unit": "1" }] }"#,
    );
    assert!(
        said.starts_with("limits[0].index") && said.contains("index::malformed"),
        "{said}"
    );
}
