//! Every JSON answer validates against its published schema, and so does every file of the demo.

use dutyfit::cli::run;
use serde_json::Value;

fn answer(args: &[&str]) -> (u8, String, String) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let code = run(["dutyfit"].iter().chain(args).copied(), &mut out, &mut err);
    (
        code,
        String::from_utf8(out).unwrap(),
        String::from_utf8(err).unwrap(),
    )
}

fn schema(kind: &str) -> jsonschema::Validator {
    let (code, out, err) = answer(&["schema", kind]);
    assert_eq!(code, 0, "{err}");
    let schema: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(
        schema["$schema"], "https://json-schema.org/draft/2020-12/schema",
        "{kind}"
    );
    jsonschema::validator_for(&schema).unwrap()
}

#[track_caller]
fn valid(kind: &str, text: &str) -> Value {
    let value: Value = serde_json::from_str(text).unwrap();
    let faults: Vec<String> = schema(kind)
        .iter_errors(&value)
        .map(|e| format!("{}: {e}", e.instance_path()))
        .collect();
    assert!(faults.is_empty(), "{kind}: {faults:#?}");
    value
}

#[track_caller]
fn refused_at(kind: &str, value: &Value, pointer: &str) {
    let at: Vec<String> = schema(kind)
        .iter_errors(value)
        .map(|e| e.instance_path().to_string())
        .collect();
    assert!(
        at.iter().any(|p| p.starts_with(pointer)),
        "nothing refused at `{pointer}` but {at:?}"
    );
}

/// The binary is slow in debug: a few cases, and few materials where that is enough.
const CASES: &[&str] = &["bench-foot", "frame-pad", "label-stake"];

#[test]
fn comparisons_of_the_demo_validate() {
    for all in [&["petg-a", "asa-b"][..], &["tpu-85-a", "tpu-95-a", "pla-a"]] {
        let args = [&["compare", "--demo", "--format", "json"], all].concat();
        let (code, out, err) = answer(&args);
        assert_eq!(code, 0, "{err}");
        assert_eq!(valid("compare", &out)["format"], "dutyfit.compare/1");
    }
}

#[test]
fn the_rig_check_of_the_demo_validates() {
    let (code, out, err) = answer(&["rig-check", "--demo", "--format", "json"]);
    assert_eq!(code, 1, "{err}");
    assert_eq!(valid("rig-check", &out)["format"], "dutyfit.rig-check/1");
}

#[test]
fn every_shortlist_of_the_demo_validates() {
    for case in CASES {
        let (code, out, err) = answer(&["shortlist", case, "--demo", "--format", "json"]);
        assert!(code < 2, "{case}: {err}");
        let value = valid("shortlist", &out);
        assert_eq!(value["format"], "dutyfit.shortlist/1");
        assert_eq!(value["demo"], true);
        assert!(value["candidates"].as_array().unwrap().len() >= 26);
    }
}

#[test]
fn a_folder_of_cases_and_a_declined_case_validate() {
    let folder = tempfile::tempdir().unwrap();
    let foot = std::fs::read_to_string("cases/bench-foot.json").unwrap();
    let write = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
    write("a.json", &foot);
    write(
        "b.json",
        &foot.replace("Feet of the potting bench", "Climbing harness feet"),
    );
    write("c.json", "{");
    let path = folder.path().to_string_lossy().into_owned();
    let (code, out, err) = answer(&["shortlist", &path, "--demo", "--format", "json"]);
    // Bad input is graver than a decline, a decline graver than nothing fit.
    assert_eq!(code, 2, "{err}");
    let value = valid("shortlists", &out);
    assert_eq!(value["cases"].as_array().unwrap().len(), 2);
    assert!(!value["cases"][1]["declined"].is_null());
    assert!(
        value["cases"][1]["candidates"]
            .as_array()
            .unwrap()
            .is_empty()
    );
    assert!(!value["problems"].as_array().unwrap().is_empty());

    std::fs::remove_file(folder.path().join("c.json")).unwrap();
    let (code, _, _) = answer(&["shortlist", &path, "--demo", "--format", "json"]);
    assert_eq!(code, 3);
}

#[test]
fn check_show_parts_and_lint_validate() {
    let (_, out, _) = answer(&[
        "check",
        "label-stake",
        "petg-a",
        "--demo",
        "--format",
        "json",
        "--working",
    ]);
    let check = valid("check", &out);
    assert!(!check["limits_of_use"].as_array().unwrap().is_empty());
    assert!(
        !check["candidate"]["limits"][0]["working"]
            .as_array()
            .unwrap()
            .is_empty()
    );
    let (code, out, err) = answer(&["show", "petg-a", "--demo", "--format", "json"]);
    assert_eq!(code, 0, "{err}");
    let show = valid("show", &out);
    assert!(show["summary"].as_array().unwrap().len() <= 5);
    let (_, out, _) = answer(&["parts", "--format", "json"]);
    valid("parts", &out);
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("lid.json").display().to_string();
    let (code, out, err) = answer(&[
        "describe",
        "plain",
        "--answer",
        "limits.1.property=density",
        "--answer",
        "limits.1.bound=at most 2 g/cm3",
        "--out",
        &file,
        "--format",
        "json",
    ]);
    assert_eq!(code, 0, "{err}");
    valid("describe", &out);
    valid("case", &std::fs::read_to_string(&file).unwrap());
    let (_, out, _) = answer(&["lint", "--demo", "--format", "json"]);
    valid("lint", &out);
}

#[test]
fn malformed_input_answers_in_json_that_validates() {
    let folder = tempfile::tempdir().unwrap();
    let case = folder.path().join("bad.json");
    std::fs::write(&case, "{ \"format\": \"dutyfit.case/1\", \"part\": 3 }").unwrap();
    let (code, out, err) = answer(&[
        "shortlist",
        &case.to_string_lossy(),
        "--demo",
        "--format",
        "json",
    ]);
    assert_eq!(code, 2);
    assert_eq!(out, "");
    let problems = valid("problems", &err);
    assert!(problems["errors"].as_u64().unwrap() > 0);
}

#[test]
fn the_files_of_the_demo_validate_and_bad_ones_are_refused_where_they_are_wrong() {
    for (folder, kind) in [("cases", "case"), ("weights", "weights")] {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|e| e == "json") {
                valid(kind, &std::fs::read_to_string(&path).unwrap());
            }
        }
    }
    valid("policy", &std::fs::read_to_string("policy.json").unwrap());

    let washer = std::fs::read_to_string("cases/greenhouse-washer.json").unwrap();
    let washer: Value = serde_json::from_str(&washer).unwrap();
    let change = |change: &dyn Fn(&mut Value)| {
        let mut v = washer.clone();
        change(&mut v);
        v
    };
    refused_at(
        "case",
        &change(&|v| v["inputs"]["torque"] = 4.into()),
        "/inputs/torque",
    );
    refused_at(
        "case",
        &change(&|v| v["inputs"]["colour"] = "red".into()),
        "/inputs",
    );
    refused_at(
        "case",
        &change(&|v| v["inputs"]["bolt"] = "M7".into()),
        "/inputs/bolt",
    );
    refused_at(
        "case",
        &change(&|v| v["surroundings"]["moisture"] = "moist".into()),
        "/surroundings/moisture",
    );
    refused_at("case", &change(&|v| v["part"] = "washer".into()), "/part");
    refused_at("case", &change(&|v| v["size"] = "big".into()), "");
}

#[test]
fn every_kind_has_a_schema_and_an_unknown_one_a_near_name() {
    for kind in [
        "case",
        "weights",
        "policy",
        "shortlist",
        "shortlists",
        "check",
        "show",
        "why",
        "reduce",
        "lint",
        "problems",
        "parts",
        "describe",
    ] {
        schema(kind);
    }
    let (code, out, err) = answer(&["schema", "shortlst"]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(
        err.contains("write `shortlist` if that is what was meant"),
        "{err}"
    );
}

#[test]
fn every_preset_of_the_sheet_validates() {
    for preset in dutyfit::advise::summary::presets() {
        let args = ["sheet", "--demo", "--preset", preset.name, "--borrowed"];
        let (code, out, err) = answer(&[&args[..], &["--format", "json"]].concat());
        assert_eq!(code, 0, "{err}");
        let value = valid("sheet", &out);
        assert_eq!(value["format"], "dutyfit.sheet/1");
        assert_eq!(value["demo"], true);
        assert_eq!(value["preset"], preset.name);
    }
}
