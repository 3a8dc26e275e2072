//! A case's own bounds: by limit id, in any unit that fits, on the limit's own side.

use super::{bound, case, codes, faults, limit};
use dutyfit::duty::{BoundOverride, Case, Hurts};
use dutyfit::policy::Class;

const WASHER: &str = r#"{ "bolt": "M6", "torque": "4 N.m", "outer_diameter": "18 mm",
    "height": "5 mm", "clamped_length": "25 mm", "joints": 4 }"#;

fn with(id: &str, bound: BoundOverride) -> Case {
    let mut c = case("bolt-washer", WASHER);
    c.setting.temperature_c = (-10.0, 45.0);
    c.limits.insert(id.to_owned(), bound);
    c
}

fn at_least(text: &str) -> BoundOverride {
    BoundOverride {
        at_least: Some(text.to_owned()),
        at_most: None,
        class: None,
    }
}

#[test]
fn a_base_id_means_both_temperature_ends() {
    let duty = with("clamp-left", at_least("30 kgf")).duty().unwrap();
    let n = 30.0 * 9.80665;
    assert!((bound(limit(&duty, "clamp-left@hot")) - n).abs() < 1e-9);
    assert!((bound(limit(&duty, "clamp-left@cold")) - n).abs() < 1e-9);
}

#[test]
fn a_full_id_means_one_end() {
    let duty = with("clamp-left@cold", at_least("300 N")).duty().unwrap();
    assert!((bound(limit(&duty, "clamp-left@cold")) - 300.0).abs() < 1e-9);
    assert!((bound(limit(&duty, "clamp-left@hot")) - 300.0).abs() > 1.0);
}

#[test]
fn a_wrong_unit_is_said_once_with_the_unit_to_write() {
    let f = faults(&with("clamp-left", at_least("300 kg")));
    assert_eq!(f.len(), 1, "{f:?}");
    assert_eq!(f[0].code, "unit::mass-for-force");
    assert!(f[0].fix.contains("kgf"));
}

#[test]
fn an_unknown_limit_names_the_near_one() {
    let f = faults(&with("clamp-lef", at_least("300 N")));
    assert_eq!(f[0].code, "duty::unknown-limit");
    assert!(f[0].fix.contains("`clamp-left`"), "{f:?}");
    let f = faults(&with("colour", at_least("300 N")));
    assert!(f[0].fix.contains("torque, bearing, clamp-left"), "{f:?}");
}

#[test]
fn the_wrong_side_is_refused() {
    let both = BoundOverride {
        at_least: None,
        at_most: Some("300 N".to_owned()),
        class: None,
    };
    assert_eq!(codes(&with("clamp-left", both)), ["duty::bound-side"]);
}

#[test]
fn a_class_of_one_limit_moves_that_limit_but_never_below_harm() {
    let class = |class| BoundOverride {
        at_least: None,
        at_most: None,
        class: Some(class),
    };
    let duty = with("bearing", class(Class::Nuisance)).duty().unwrap();
    assert_eq!(limit(&duty, "bearing@hot").class, Class::Nuisance);
    assert_eq!(limit(&duty, "torque").class, Class::Damage);
    let mut hurt = with("bearing", class(Class::Nuisance));
    hurt.setting.harm.hurts = Hurts::User;
    let duty = hurt.duty().unwrap();
    assert_eq!(limit(&duty, "bearing@hot").class, Class::Injury);
    let mut hurt = with("bearing", class(Class::Severe));
    hurt.setting.harm.hurts = Hurts::User;
    assert_eq!(
        limit(&hurt.duty().unwrap(), "bearing@hot").class,
        Class::Severe
    );
}

#[test]
fn the_first_sentence_promises_the_bound_of_the_case() {
    let duty = with("clamp-left", at_least("321 N")).duty().unwrap();
    let promise = duty.promise.expect("a promise");
    assert!(
        promise
            .deeds
            .iter()
            .any(|d| (d.figure - 321.0).abs() < 1e-9),
        "{promise:?}"
    );
}
