//! The worked cases of the duties' mechanics, and the check that each formula of them is driven.
//!
//! `duties.json` holds the cases, each with its source and status. A file beside this one drives
//! the formulas of its part kinds through their own working, case by case, and lists them.

use dutyfit::quantity::{Unit, parse_amount};
use serde_json::Value;

/// One worked case.
pub(super) struct Worked {
    /// Id.
    pub(super) id: String,
    case: Value,
}

impl Worked {
    /// An input's figure, in the unit that the case writes it in.
    #[track_caller]
    pub(super) fn input(&self, name: &str) -> f64 {
        self.case["inputs"][name]["value"]
            .as_f64()
            .unwrap_or_else(|| panic!("{} has no input `{name}`", self.id))
    }

    /// Whether it has this input.
    pub(super) fn has(&self, name: &str) -> bool {
        self.case["inputs"].get(name).is_some()
    }

    /// Whether it expects this figure.
    pub(super) fn expects(&self, name: &str) -> bool {
        self.case["expected"].get(name).is_some()
    }

    /// An expected figure, where it is what a reading is made of.
    #[track_caller]
    pub(super) fn expected(&self, name: &str) -> f64 {
        self.case["expected"][name]["value"]
            .as_f64()
            .unwrap_or_else(|| panic!("{} expects no figure `{name}`", self.id))
    }

    /// An expected yes or no.
    #[track_caller]
    pub(super) fn holds(&self, name: &str) -> bool {
        self.case["expected"][name]["value"]
            .as_bool()
            .unwrap_or_else(|| panic!("{} expects no answer `{name}`", self.id))
    }

    /// Checks one expected figure within the case's tolerance.
    #[track_caller]
    pub(super) fn gives(&self, name: &str, got: f64) {
        let e = &self.case["expected"][name];
        let (Some(want), Some(within)) = (e["value"].as_f64(), e["rel_tol"].as_f64()) else {
            panic!("{} expects no figure `{name}`", self.id);
        };
        assert!(
            (got - want).abs() <= within * want.abs().max(1e-12),
            "{} {name}: got {got}, wanted {want}",
            self.id
        );
    }
}

fn cases() -> Vec<Value> {
    let all: Value = serde_json::from_str(include_str!("duties.json")).expect("JSON");
    all["cases"].as_array().expect("cases").clone()
}

fn text(case: &Value, key: &str) -> String {
    case[key].as_str().unwrap_or_default().to_owned()
}

/// Runs a check over every worked case of a formula; there is at least one.
#[track_caller]
pub(super) fn each(formula: &str, check: impl Fn(&Worked)) {
    let of: Vec<Worked> = cases()
        .into_iter()
        .filter(|c| text(c, "formula") == formula)
        .map(|case| Worked {
            id: text(&case, "id"),
            case,
        })
        .collect();
    assert!(!of.is_empty(), "no worked case of `{formula}`");
    of.iter().for_each(check);
}

#[test]
fn every_worked_case_names_source_and_status() {
    for case in cases() {
        assert!(!text(&case, "source").is_empty(), "{case}");
        assert!(!text(&case, "status").is_empty(), "{case}");
    }
}

/// Formulas that are conversions of units: what a person writes, in the canonical unit.
const UNITS: &[(&str, &str, &str, &str, &str)] = &[
    ("stress_convert", "x", "psi", "stress", "MPa"),
    ("pv_convert", "pv_us", "psi.ft/min", "pv", "MPa.m/s"),
    (
        "wear_factor_convert",
        "k_us",
        "in^3.min/(ft.lbf.h)",
        "k",
        "mm3/(N.m)",
    ),
];

#[test]
fn customary_units_read_as_the_printed_pairs() {
    for (formula, input, from, output, to) in UNITS {
        each(formula, |case| {
            let text = format!("{} {from}", case.input(input));
            let to = Unit::parse(to).expect("unit");
            case.gives(output, parse_amount(&text, &to, "figure").expect("amount"));
        });
    }
}

#[test]
fn every_formula_with_a_worked_case_is_driven() {
    use super::{duty_a, duty_b, duty_beam, duty_soft, duty_turning, time_laws};
    let driven: Vec<&str> = [
        duty_a::COVERS,
        duty_b::COVERS,
        duty_beam::COVERS,
        duty_soft::COVERS,
        duty_turning::COVERS,
        time_laws::COVERS,
    ]
    .concat()
    .into_iter()
    .chain(UNITS.iter().map(|u| u.0))
    .collect();
    let missing: Vec<String> = cases()
        .iter()
        .filter(|c| c["computable"] == true)
        .map(|c| text(c, "formula"))
        .filter(|f| !driven.contains(&f.as_str()))
        .collect();
    assert!(missing.is_empty(), "no file drives {missing:?}");
}
