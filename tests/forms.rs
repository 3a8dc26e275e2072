//! `form`: every test's empty sheet, filled with a reference case, gives the reference figure,
//! whether it comes back as CSV, XLSX or ODS.

use crate::books::{Table, csv_text, ods, table, xlsx};
use crate::support::Bench;
use dutyfit::catalog::read_sheet;
use dutyfit::quantity::Unit;
use serde_json::Value;
use std::collections::BTreeMap;

const MATERIALS: &str = "material,polymer\ntpu-a,tpu\n";
const PROPERTIES: &str =
    "property,title,unit,sense,scale,low,high\nsqueak,how loud it squeaks,N,less,log,0.1,100\n";
/// Cases of tests that outside figures do not cover: a user's own property, and graded words.
const OWN: &[(&str, &str, &str, f64)] = &[
    ("custom", "property,value\nsqueak,12.5\n", "squeak", 12.5),
    (
        "print-trial",
        "nozzle [degC],overall,stringing\n231.5,good,fair\n",
        "",
        0.0,
    ),
];

fn bench() -> Bench {
    Bench::new()
        .file("catalog/materials.csv", MATERIALS)
        .file("catalog/properties.csv", PROPERTIES)
}

/// By test: the sheet of the first outside case that gives one exact figure, the property and it.
fn references() -> BTreeMap<String, (String, String, f64, f64)> {
    let mut all: BTreeMap<String, (String, String, f64, f64)> = OWN
        .iter()
        .map(|(t, s, p, x)| {
            (
                (*t).to_owned(),
                ((*s).to_owned(), (*p).to_owned(), *x, 1e-6),
            )
        })
        .collect();
    for text in [
        include_str!("published/bench_a.json"),
        include_str!("published/bench_b.json"),
        include_str!("published/bench_c.json"),
    ] {
        let file: Value = serde_json::from_str(text).expect("cases");
        for case in file["cases"].as_array().expect("cases") {
            let sheet = case["sheet"].as_str().expect("a sheet");
            let figure = case["expect"].as_array().and_then(|all| {
                all.iter()
                    .find(|e| e["property"].is_string() && e["value"].is_number())
            });
            if let (Some(f), Ok((test, _))) = (figure, read_sheet("sheet.csv", sheet.as_bytes())) {
                all.entry(test.id().to_owned()).or_insert_with(|| {
                    (
                        sheet.to_owned(),
                        f["property"].as_str().expect("a property").to_owned(),
                        f["value"].as_f64().expect("a figure"),
                        f["rel"].as_f64().expect("a tolerance"),
                    )
                });
            }
        }
    }
    all
}

fn name_of(header: &str) -> &str {
    header.split('[').next().unwrap_or(header).trim()
}

fn unit_of(header: &str) -> Option<&str> {
    header.split_once('[').map(|(_, u)| u.trim_end_matches(']'))
}

/// A figure of one header's unit in that of another.
fn in_unit(cell: &str, from: &str, to: &str) -> String {
    match (cell.parse::<f64>(), unit_of(from), unit_of(to)) {
        (Ok(x), Some(f), Some(t)) if f != t => {
            let wanted = Unit::parse(t).expect("a unit");
            let from = Unit::parse_as(f, &wanted).expect("a unit that fits");
            from.convert(x, &wanted).to_string()
        }
        _ => cell.to_owned(),
    }
}

/// The printed form with the cells of a case.
fn filled(form: &Table, sheet: &str) -> Table {
    let head = form
        .iter()
        .position(|r| !r[0].starts_with('#'))
        .expect("a header");
    let columns = form[head].clone();
    let at = |name: &str| columns.iter().position(|h| name_of(h) == name);
    let mut out = form.clone();
    let case: Table = table(sheet)
        .into_iter()
        .filter(|r| !r[0].starts_with('#'))
        .collect();
    for (k, row) in case.iter().skip(1).enumerate() {
        let line = &mut out[head + 1 + k];
        for (header, cell) in case[0].iter().zip(row) {
            if let Some(c) = at(name_of(header)) {
                line[c] = in_unit(cell, header, &columns[c]);
            } else {
                assert!(
                    cell.is_empty() || header == "point",
                    "no column `{header}` in {columns:?}"
                );
            }
        }
        // A form says specimens beforehand; a case without them has one a line.
        for (name, value) in [
            ("material", "tpu-a"),
            ("direction", "flat"),
            ("counterface", "steel-smooth"),
            ("date", "2026-05-02"),
        ] {
            if let Some(c) = at(name)
                && line[c].is_empty()
            {
                line[c] = value.to_owned();
            }
        }
    }
    out
}

#[test]
fn a_filled_form_gives_the_reference_figure_from_every_kind_of_file() {
    let references = references();
    for test in dutyfit::bench::tests() {
        let id = test.id();
        let (sheet, property, figure, rel) = references
            .get(id)
            .unwrap_or_else(|| panic!("no reference case for {id}"));
        let printed = bench().run(&["form", id, "--specimens", "8"]).exits(0);
        let form = filled(&table(&printed.out), sheet);
        let files: [(&str, Vec<u8>); 3] = [
            ("week.csv", csv_text(&form).into_bytes()),
            ("week.xlsx", xlsx(&[("Sheet1", form.clone())])),
            ("week.ods", ods(&[("Sheet1", form.clone())])),
        ];
        for (name, bytes) in files {
            let bench = bench().file(name, bytes);
            let args = ["record", name, "--date", "2026-05-03", "--format", "json"];
            let ran = bench.run(&args).exits(0);
            let said = ran.json();
            assert_eq!(said["sheets"][0]["test"], id, "{name}: {said}");
            if property.is_empty() {
                let file =
                    std::fs::read_to_string(bench.path(&format!("catalog/readings/{id}.csv")));
                assert!(file.expect("a file").contains("231.5"), "{id}, {name}");
                continue;
            }
            let runs = said["sheets"][0]["runs"].as_array().expect("runs");
            let given: Vec<f64> = runs
                .iter()
                .flat_map(|r| r["specimens"].as_array().expect("specimens"))
                .flat_map(|s| s["properties"].as_array().expect("properties"))
                .filter(|p| p["property"] == property.as_str())
                .filter_map(|p| p["value"].as_f64())
                .collect();
            assert!(
                given
                    .iter()
                    .any(|x| (x - figure).abs() <= rel * figure.abs()),
                "{id} from {name}: {property} is {given:?}, not {figure}"
            );
            // What was written is in order.
            bench.run(&["lint"]).exits(0);
        }
    }
}

#[test]
fn a_printed_form_is_recorded_as_it_is_once_it_is_filled_and_says_how_to_measure() {
    for test in dutyfit::bench::tests() {
        let ran = bench().run(&["form", test.id()]).exits(0);
        let how = ran.out.matches("# How: ").count();
        let beware = ran.out.matches("# Beware: ").count();
        assert_eq!((how, beware), (2, 2), "{}", ran.out);
        for word in test.outcomes() {
            assert!(ran.out.contains(word.word()), "{}", ran.out);
        }
        // Nothing filled in is nothing to record, and no fault.
        let bench = bench().file("week.csv", &ran.out);
        let ran = bench
            .run(&["record", "week.csv", "--date", "2026-05-03"])
            .exits(0);
        assert!(
            ran.out.starts_with("Nothing to record"),
            "{}: {}",
            test.id(),
            ran.out
        );
        assert!(!bench.path("catalog/readings").exists());
    }
}

#[test]
fn a_form_like_a_run_has_its_conditions_rig_and_geometry() {
    let ran = Bench::new()
        .run(&[
            "form", "hardness", "--like", "ha-001", "--demo", "--format", "json",
        ])
        .exits(0);
    let said = ran.json();
    let columns: Vec<&str> = said["columns"]
        .as_array()
        .expect("columns")
        .iter()
        .map(|c| c["header"].as_str().expect("a header"))
        .collect();
    let rows = said["rows"].as_array().expect("rows");
    let cell = |name: &str| {
        let c = columns.iter().position(|h| name_of(h) == name).expect(name);
        rows[0][c].as_str().expect("text").to_owned()
    };
    assert_eq!(cell("material"), "tpu-85-a");
    assert_eq!(cell("rig"), "durometer-a");
    assert_eq!(cell("thickness"), "8");
    assert_eq!(cell("dwell"), "15");
    assert_eq!(cell("scale"), "A");
    assert_eq!(cell("temperature"), "23");
    assert_eq!(cell("hardness"), "", "a reading is never filled in");
    assert_eq!(cell("date"), "");
}

#[test]
fn a_form_as_spreadsheet_has_the_same_bytes_every_time_and_is_read_back() {
    let bench = bench();
    let out = bench.path("form.xlsx").display().to_string();
    bench
        .run(&["form", "tensile", "--material", "tpu-a", "--out", &out])
        .exits(0);
    let first = std::fs::read(&out).expect("a file");
    bench
        .run(&["form", "tensile", "--material", "tpu-a", "--out", &out])
        .exits(0);
    assert_eq!(std::fs::read(&out).expect("a file"), first);
    let ran = bench
        .run(&["record", "form.xlsx", "--date", "2026-05-03"])
        .exits(0);
    assert!(ran.out.starts_with("Nothing to record"), "{}", ran.out);
}

#[test]
fn forms_are_listed_and_a_wrong_name_has_a_near_one() {
    let ran = bench().run(&["form"]).exits(0);
    for test in dutyfit::bench::tests() {
        assert!(ran.out.contains(test.id()), "{}", ran.out);
    }
    let ran = bench().run(&["form", "tensil"]).exits(2);
    assert!(ran.err.contains("`tensile`"), "{}", ran.err);
}
