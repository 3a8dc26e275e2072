//! Bench readings against figures worked out elsewhere: a sheet goes in as text,
//! `reduce --working` prints the figures and steps.
//!
//! The cases stand in `bench_a.json`, `bench_b.json` and `bench_c.json`, each with its source and status.

#![expect(clippy::expect_used, reason = "a test that cannot go on stops here")]

use crate::support::Bench;
use serde::Deserialize;
use serde_json::Value;

#[derive(Deserialize)]
struct File {
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    id: String,
    sheet: String,
    expect: Vec<Expected>,
    source: String,
    status: String,
}

#[derive(Deserialize)]
#[serde(untagged, deny_unknown_fields)]
enum Expected {
    Figure {
        property: String,
        bound: String,
        value: f64,
        rel: f64,
    },
    Range {
        property: String,
        bound: String,
        low: f64,
        high: f64,
        rel: f64,
    },
    Step {
        step: String,
        what: String,
        value: f64,
        unit: String,
        rel: f64,
    },
    Refused {
        refused: String,
        code: String,
        /// Words that the reason must hold.
        #[serde(default)]
        why: String,
    },
    Silent {
        silent: String,
    },
    NoStep {
        no_step: String,
    },
}

fn near(got: &Value, want: f64, rel: f64) -> bool {
    got.as_f64()
        .is_some_and(|x| (x - want).abs() <= rel * want.abs())
}

fn any(list: &Value, holds: impl Fn(&Value) -> bool) -> bool {
    list.as_array().is_some_and(|all| all.iter().any(holds))
}

impl Expected {
    fn met(&self, specimen: &Value) -> bool {
        let properties = &specimen["properties"];
        match self {
            Expected::Figure {
                property,
                bound,
                value,
                rel,
            } => any(properties, |p| {
                p["property"] == *property
                    && p["bound"] == *bound
                    && near(&p["value"], *value, *rel)
            }),
            Expected::Range {
                property,
                bound,
                low,
                high,
                rel,
            } => any(properties, |p| {
                p["property"] == *property
                    && p["bound"] == *bound
                    && near(&p["low"], *low, *rel)
                    && near(&p["high"], *high, *rel)
            }),
            Expected::Step {
                step,
                what,
                value,
                unit,
                rel,
            } => any(&specimen["working"], |w| {
                w["label"] == *step
                    && w["what"] == *what
                    && w["unit"] == *unit
                    && near(&w["value"], *value, *rel)
            }),
            Expected::Refused { refused, code, why } => {
                any(&specimen["refused"], |r| {
                    r["property"] == *refused
                        && r["code"] == *code
                        && r["why"].as_str().is_some_and(|w| w.contains(why))
                }) && !any(properties, |p| p["property"] == *refused)
            }
            Expected::Silent { silent } => !any(properties, |p| p["property"] == *silent),
            Expected::NoStep { no_step } => !any(&specimen["working"], |w| w["what"] == *no_step),
        }
    }

    fn words(&self) -> String {
        match self {
            Expected::Figure {
                property,
                bound,
                value,
                ..
            } => format!("{property} {bound} {value}"),
            Expected::Range {
                property,
                low,
                high,
                ..
            } => format!("{property} between {low} and {high}"),
            Expected::Step {
                step,
                what,
                value,
                unit,
                ..
            } => format!("step {step}, {what}: {value} {unit}"),
            Expected::Refused { refused, code, why } => {
                format!("{refused} refused by {code}: {why}")
            }
            Expected::Silent { silent } => format!("nothing on {silent}"),
            Expected::NoStep { no_step } => format!("missing step `{no_step}`"),
        }
    }
}

/// What `reduce --working` says of the first specimen of a sheet.
pub(super) fn reduced(sheet: &str) -> Result<Value, String> {
    let ran = Bench::new().file("sheet.csv", sheet).run(&[
        "reduce",
        "sheet.csv",
        "--working",
        "--format",
        "json",
    ]);
    if ran.code == 0 {
        Ok(ran.json()["runs"][0]["specimens"][0].clone())
    } else {
        Err(ran.err)
    }
}

fn cases(text: &str) -> Vec<Case> {
    let file: File = serde_json::from_str(text).expect("the cases read");
    file.cases
}

/// Runs every case of a file; all that miss are told at once.
pub(crate) fn check(text: &str) {
    let mut missed = Vec::new();
    for case in cases(text) {
        let id = &case.id;
        assert!(
            !case.source.is_empty() && !case.status.is_empty(),
            "{id} names no source and status"
        );
        match reduced(&case.sheet) {
            Ok(specimen) => {
                for e in case.expect.iter().filter(|e| !e.met(&specimen)) {
                    missed.push(format!("{id}: no {}\n{specimen:#}", e.words()));
                }
            }
            Err(err) => missed.push(format!("{id}: {err}")),
        }
    }
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}

const A: &str = include_str!("bench_a.json");
const B: &str = include_str!("bench_b.json");
const C: &str = include_str!("bench_c.json");

#[test]
fn strength_impact_creep_softening_density_and_uptake_sheets() {
    check(A);
}

#[test]
fn hold_wear_friction_rebound_hardness_and_washer_sheets() {
    check(B);
}

#[test]
fn ring_torque_adhesion_and_abrasion_sheets() {
    check(C);
}

/// A label is capital letters and a digit: `P1`, `BW4`.
fn label(formula: &str) -> Option<&str> {
    let word = formula.split(' ').next()?;
    let letters = word.trim_end_matches(|c: char| c.is_ascii_digit());
    let is_label = letters.len() < word.len()
        && !letters.is_empty()
        && letters.bytes().all(|b| b.is_ascii_uppercase());
    is_label.then_some(word)
}

/// Rules of slack, speed, break type and saturation: no figure of their own to check outside.
const WITHOUT_A_STEP: &[&str] = &["B7", "H4", "I4", "U3"];

#[test]
fn every_formula_has_an_outside_case_and_a_label_of_its_own() {
    let mut used = std::collections::BTreeSet::new();
    for case in cases(A).iter().chain(&cases(B)).chain(&cases(C)) {
        let Ok(specimen) = reduced(&case.sheet) else {
            continue;
        };
        for step in specimen["working"].as_array().into_iter().flatten() {
            used.extend(step["label"].as_str().map(str::to_owned));
        }
    }
    let (mut seen, mut missing) = (std::collections::BTreeSet::new(), Vec::new());
    for test in dutyfit::bench::tests() {
        for label in test.formulas().iter().filter_map(|f| label(f)) {
            assert!(seen.insert(label), "{label} stands twice");
            if !used.contains(label) && !WITHOUT_A_STEP.contains(&label) {
                missing.push(label);
            }
        }
    }
    assert!(missing.is_empty(), "no case reaches {missing:?}");
}
