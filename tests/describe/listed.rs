//! Answers from a list: written, read back, linted, refused, declined.

use crate::support::{Bench, Ran, dutyfit};

const FOOT: &[&str] = &[
    "describe",
    "support-foot",
    "--answer",
    "title=feet of a stool",
    "--answer",
    "mass=80 kg",
    "--answer",
    "shape=ring",
    "--answer",
    "diameter=3 cm",
    "--answer",
    "inner diameter=12 mm",
    "--answer",
    "height=10 mm",
    "--answer",
    "counterface=tile",
    "--answer",
    "temperature=0 to 40 degC",
];

fn with(more: &[&str]) -> Vec<&'static str> {
    let more = more.iter().map(|m| &*(*m).to_owned().leak());
    FOOT.iter().copied().chain(more).collect()
}

/// A workspace with a catalog and nothing in it.
fn bench() -> Bench {
    Bench::new().file(
        "catalog/materials.csv",
        "material,polymer,price [per kg]\npetg-a,petg,25\n",
    )
}

fn described(bench: &Bench, more: &[&str]) -> Ran {
    bench.run(&with(more))
}

#[test]
fn a_case_is_written_reads_back_and_lints_clean() {
    let bench = bench();
    let ran = described(&bench, &["--answer", "sag=?", "--format", "json"]).exits(0);
    let said = ran.json();
    assert_eq!(said["format"], "dutyfit.describe/1");
    assert!(
        said["file"]
            .as_str()
            .unwrap()
            .ends_with("cases/feet-of-a-stool.json")
    );
    assert_eq!(said["case"]["inputs"]["diameter"], "3 cm");
    assert_eq!(said["case"]["assumed"], serde_json::json!(["sag"]));
    assert!(said["limits"].as_array().unwrap().len() >= 3);
    let names: Vec<String> = bench.files().into_iter().map(|(n, _)| n).collect();
    assert!(
        names.contains(&"cases/feet-of-a-stool.json".to_owned()),
        "{names:?}"
    );
    assert!(
        !names
            .iter()
            .any(|n| n.contains("tmp") || n.contains("pending")),
        "{names:?}"
    );
    let lint = bench.run(&["lint", "--format", "json"]).json();
    let problems = lint["problems"].as_array().unwrap();
    assert!(
        !problems
            .iter()
            .any(|p| p["at"]["file"].as_str().unwrap().contains("cases/")),
        "{problems:#?}"
    );
    let ran = bench.run(&["shortlist", "feet-of-a-stool"]);
    assert!(ran.code <= 1, "{}", ran.err);
    assert!(ran.out.contains("Assumed in the case: sag"), "{}", ran.out);
}

#[test]
fn a_file_that_is_there_is_replaced_only_where_that_is_said() {
    let bench = bench();
    described(&bench, &[]).exits(0);
    let before = bench.files();
    // The name that is offered is a free one; this one is asked for.
    let ran = described(&bench, &["--answer", "id=feet-of-a-stool"]).exits(2);
    assert!(ran.err.contains("replace"), "{}", ran.err);
    assert_eq!(bench.files(), before);
    let ran = described(
        &bench,
        &[
            "--answer",
            "id=feet-of-a-stool",
            "--answer",
            "replace=yes",
            "--answer",
            "feet=3",
        ],
    )
    .exits(0);
    assert!(ran.out.starts_with("Replaced "), "{}", ran.out);
    assert_eq!(bench.files().len(), before.len());
    assert_ne!(bench.files(), before);
    described(&bench, &[]).exits(0);
    assert!(bench.path("cases/feet-of-a-stool-2.json").exists());
}

#[test]
fn a_case_may_be_kept_in_a_file_of_its_own() {
    let bench = bench().folder("else");
    let file = bench.path("else/stool.json").display().to_string();
    let ran = described(&bench, &["--out", &file]).exits(0);
    assert!(ran.out.contains("stool.json"), "{}", ran.out);
    assert!(
        std::fs::read_to_string(&file)
            .unwrap()
            .contains("dutyfit.case/1")
    );
    described(&bench, &["--out", &file]).exits(2);
    described(&bench, &["--out", &file, "--answer", "replace=yes"]).exits(0);
}

#[test]
fn what_is_wrong_is_all_told_at_once_and_nothing_is_written() {
    let bench = bench();
    let ran = bench
        .run(&[
            "describe",
            "support-foot",
            "--answer",
            "mass=80",
            "--answer",
            "shape=rnig",
            "--answer",
            "hieght=10 mm",
            "--answer",
            "counterface=tiles",
            "--format",
            "json",
        ])
        .exits(2);
    let said: serde_json::Value = serde_json::from_str(&ran.err).unwrap();
    let codes: Vec<&str> = said["problems"]
        .as_array()
        .unwrap()
        .iter()
        .map(|p| p["code"].as_str().unwrap())
        .collect();
    for code in [
        "unit::missing",
        "describe::unknown-word",
        "describe::unknown-name",
        "describe::missing-answer",
    ] {
        assert!(codes.contains(&code), "{code}: {codes:?}");
    }
    assert!(ran.err.contains("write `height`"), "{}", ran.err);
    assert!(!bench.path("cases").exists());
}

#[test]
fn an_input_that_does_not_apply_is_refused_by_the_reason() {
    let bench = bench();
    let ran = described(&bench, &["--answer", "length=30 mm"]).exits(2);
    assert!(ran.err.contains("a ring has no `length`"), "{}", ran.err);
}

#[test]
fn a_finer_point_can_be_answered_by_its_name() {
    let bench = bench();
    let ran = described(
        &bench,
        &["--answer", "heat_margin=30 K", "--format", "json"],
    )
    .exits(0);
    assert_eq!(ran.json()["case"]["inputs"]["heat_margin"], "30 K");
}

#[test]
fn a_declined_use_writes_nothing_and_says_whom_to_ask() {
    let bench = bench();
    let ran = bench
        .run(&[
            "describe",
            "bolt-washer",
            "--answer",
            "title=spacer of a climbing harness",
        ])
        .exits(3);
    assert!(
        ran.out.contains("No case is written") && ran.out.contains("Ask "),
        "{}",
        ran.out
    );
    let ran = bench
        .run(&[
            "describe",
            "bolt-washer",
            "--answer",
            "title=beans for climbing",
            "--format",
            "json",
        ])
        .exits(3);
    assert_eq!(ran.json()["declined"]["doubtful"], true);
    assert!(ran.json()["file"].is_null());
    assert!(!bench.path("cases").exists());
    let ran = bench
        .run(&[
            "describe",
            "bolt-washer",
            "--answer",
            "title=beans for climbing",
            "--answer",
            "because.climb=runner beans",
            "--answer",
            "bolt=?",
            "--answer",
            "torque=?",
            "--answer",
            "outer_diameter=?",
            "--answer",
            "height=?",
            "--answer",
            "clamped_length=?",
        ])
        .exits(0);
    assert!(
        ran.out.contains("\"climb\" is here runner beans"),
        "{}",
        ran.out
    );
}

#[test]
fn weights_are_said_by_points_or_an_order() {
    let bench = bench();
    let ran = described(
        &bench,
        &[
            "--answer",
            "weights.cost=80",
            "--answer",
            "weights.grip=20",
            "--format",
            "json",
        ],
    )
    .exits(0);
    let points = &ran.json()["case"]["weights"]["points"];
    assert_eq!(points["cost"], 80);
    assert_eq!(points["grip"], 20);
    let ran = described(
        &bench,
        &["--answer", "order=cost, grip", "--format", "json"],
    )
    .exits(0);
    assert_eq!(ran.json()["case"]["weights"]["order"][0][0], "cost");
}

#[test]
fn markdown_and_json_say_the_same_case() {
    let bench = bench();
    let ran = described(&bench, &["--format", "markdown"]).exits(0);
    assert!(ran.out.contains("| limit"), "{}", ran.out);
    assert!(ran.out.contains("heat-margin"), "{}", ran.out);
}

#[test]
fn the_shortlist_follows_where_it_is_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("stool.json").display().to_string();
    let ran = dutyfit(&with(&[
        "--demo",
        "--out",
        &file,
        "--answer",
        "shortlist=yes",
    ]));
    assert!(ran.code <= 1, "{}", ran.err);
    assert!(ran.out.contains("[invented demo]"), "{}", ran.out);
    assert!(ran.out.contains("Wrote "), "{}", ran.out);
}
