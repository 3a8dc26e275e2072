//! Compression hold, sliding wear, static friction, rebound, hardness and bolted washers against
//! figures worked out elsewhere: a sheet goes in as text, `reduce --working` prints the figures.
//!
//! The cases stand in `bench_a.json`, each with its source and status.

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
    },
    Silent {
        silent: String,
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
            Expected::Refused { refused, code } => {
                any(&specimen["refused"], |r| {
                    r["property"] == *refused && r["code"] == *code
                }) && !any(properties, |p| p["property"] == *refused)
            }
            Expected::Silent { silent } => !any(properties, |p| p["property"] == *silent),
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
            Expected::Refused { refused, code } => format!("{refused} refused by {code}"),
            Expected::Silent { silent } => format!("nothing on {silent}"),
        }
    }
}

/// Every case is run; all that miss are told at once.
#[test]
fn bench_sheets_give_the_figures_worked_out_elsewhere() {
    let file: File = serde_json::from_str(include_str!("bench_a.json")).expect("the cases read");
    let mut missed = Vec::new();
    for case in &file.cases {
        assert!(
            !case.source.is_empty() && !case.status.is_empty(),
            "{} names no source and status",
            case.id
        );
        let ran = Bench::new().file("sheet.csv", &case.sheet).run(&[
            "reduce",
            "sheet.csv",
            "--working",
            "--format",
            "json",
        ]);
        if ran.code != 0 {
            missed.push(format!("{}: {}", case.id, ran.err));
            continue;
        }
        let json = ran.json();
        let specimen = &json["runs"][0]["specimens"][0];
        for e in case.expect.iter().filter(|e| !e.met(specimen)) {
            missed.push(format!("{}: no {}\n{specimen:#}", case.id, e.words()));
        }
    }
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}
