//! The demo: invented figures inside handbook ranges, cases that differ, bounds that matter.

use crate::support::{Bench, dutyfit};
use dutyfit::belief::MaterialKind;
use dutyfit::bench::Value;
use dutyfit::catalog::{Source, load_catalog};
use dutyfit::quantity::Reading;
use serde_json::Value as Json;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// Handbook ranges by polymer; source and status stand in the file, figure by figure.
const FAMILIES: &str = include_str!("../src/property/handbook.json");

const CASES: &[&str] = &[
    "barrow-sleeve",
    "bench-foot",
    "cart-grip",
    "cloche-clip",
    "door-wedge",
    "frame-pad",
    "greenhouse-washer",
    "label-stake",
    "tamper-face",
    "trellis-spacer",
];

fn judged(case: &str) -> Json {
    let ran = dutyfit(&["shortlist", case, "--demo", "--format", "json"]);
    assert!(ran.code <= 1, "{case}: {ran:?}");
    ran.json()
}

fn standings(answer: &Json) -> BTreeMap<String, String> {
    let text = |c: &Json, key: &str| c[key].as_str().unwrap_or_default().to_owned();
    answer["candidates"]
        .as_array()
        .expect("candidates")
        .iter()
        .map(|c| (text(c, "material"), text(c, "standing")))
        .collect()
}

/// Ranges of a material's polymer and grade; of a blend or an unlisted polymer, its parents' union.
fn ranges(book: &Json, polymers: &[String], grade: &str) -> BTreeMap<String, (f64, f64)> {
    let named = polymers.join("+");
    let parents: Vec<String> = match book["parents"][&named].as_array() {
        Some(p) => p
            .iter()
            .filter_map(|x| x.as_str().map(str::to_owned))
            .collect(),
        None if named == "tpu" => vec![format!("tpu {grade}")],
        None => vec![named],
    };
    let mut all: Vec<BTreeMap<String, (f64, f64)>> = Vec::new();
    for parent in &parents {
        let family = book["families"][parent].as_object();
        let family = family.unwrap_or_else(|| panic!("`{parent}` is in no table"));
        all.push(
            family
                .iter()
                .map(|(id, r)| {
                    assert!(r["status"].as_str().is_some_and(|s| !s.is_empty()));
                    let at = |k: &str| r[k].as_f64().expect("a figure");
                    (id.clone(), (at("low"), at("high")))
                })
                .collect(),
        );
    }
    // A property that one parent's table lacks has no union.
    let mut union = all.pop().unwrap_or_default();
    for other in all {
        union = union
            .into_iter()
            .filter_map(|(id, (low, high))| {
                let (a, b) = other.get(&id)?;
                Some((id, (low.min(*a), high.max(*b))))
            })
            .collect();
    }
    union
}

#[test]
fn every_reduced_figure_lies_in_the_handbook_range_of_its_polymer() {
    let book: Json = serde_json::from_str(FAMILIES).expect("JSON");
    assert!(book["source"].as_str().is_some_and(|s| !s.is_empty()));
    let catalog = load_catalog(&Source::Demo, None).expect("the demo");
    let evidence = catalog.evidence();
    let (mut looked, mut outside) = (0, Vec::new());
    for run in evidence.runs() {
        let id = run.run.material.as_deref().unwrap_or_default();
        let material = evidence.materials().iter().find(|m| m.id == id);
        let material = material.expect("a listed material");
        // A rig's references are no polymers.
        if material.kind == MaterialKind::Reference {
            continue;
        }
        let table = ranges(&book, &material.polymers, &material.grade);
        for s in &run.specimens {
            for o in &s.observations {
                let row = evidence.properties().get(o.property.as_str());
                let row = row.expect("a known property");
                let Value::Now(Reading::Exact(y)) = o.value else {
                    continue;
                };
                let (low, high) = table.get(row.id.as_str()).copied().unwrap_or(row.plausible);
                if !(low..=high).contains(&y) {
                    outside.push(format!(
                        "{id}, {}, specimen {}: {} is {y}, and its range {low}..{high}",
                        run.run.id, s.specimen, row.id
                    ));
                }
                looked += usize::from(table.contains_key(row.id.as_str()));
            }
        }
    }
    assert!(outside.is_empty(), "{outside:#?}");
    assert!(looked > 500, "{looked} figures had a handbook range");
}

#[test]
fn the_demo_is_as_wide_as_a_shed() {
    let catalog = load_catalog(&Source::Demo, None).expect("the demo");
    let candidates: Vec<_> = catalog
        .materials
        .iter()
        .filter(|m| !m.polymers.is_empty())
        .collect();
    assert!(candidates.len() >= 26);
    let polymers: BTreeSet<_> = candidates.iter().map(|m| &m.polymers).collect();
    assert!(polymers.len() >= 12);
    assert!(polymers.iter().filter(|p| p.len() == 2).count() >= 2);
    let cells: BTreeSet<_> = catalog
        .runs
        .iter()
        .map(|r| (r.material.clone(), r.test))
        .collect();
    // These tests the shed has only begun with.
    let begun = [
        "ring-stretch",
        "torque-hold",
        "layer-adhesion",
        "abrasion",
        "print-trial",
        "custom",
    ];
    let tests: BTreeSet<_> = catalog.runs.iter().map(|r| r.test).collect();
    let all: BTreeSet<_> = dutyfit::bench::tests().iter().map(|t| t.id()).collect();
    assert_eq!(tests, all);
    let usual = cells.iter().filter(|c| !begun.contains(&c.1)).count();
    let of = (tests.len() - begun.len()) * candidates.len();
    let share = 1.0 - usual as f64 / of as f64;
    assert!((0.18..0.25).contains(&share), "empty cells: {share}");
    assert!(catalog.runs.iter().any(|r| r.set_aside.is_some()));
}

#[test]
fn every_file_says_that_it_is_invented() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    for folder in ["catalog", "catalog/readings", "cases", "weights"] {
        for entry in std::fs::read_dir(root.join(folder)).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_file() {
                let text = std::fs::read_to_string(&path).expect("text");
                assert!(text.to_lowercase().contains("invented"), "{path:?}");
            }
        }
    }
}

#[test]
fn the_cases_differ_in_their_first_places_and_show_every_standing() {
    let mut first: BTreeMap<String, usize> = BTreeMap::new();
    let mut seen: BTreeSet<String> = BTreeSet::new();
    for case in CASES {
        let answer = judged(case);
        assert_eq!(answer["demo"], true);
        let top = &answer["candidates"][0];
        assert_eq!(top["standing"], "fit", "{case}");
        let material = top["material"].as_str().unwrap_or_default().to_owned();
        *first.entry(material).or_default() += 1;
        seen.extend(standings(&answer).into_values());
    }
    assert!(first.len() >= 4, "{first:?}");
    assert!(first.values().all(|n| *n <= 2), "{first:?}");
    let all = ["borderline", "fit", "not known", "ruled out"];
    assert_eq!(seen.into_iter().collect::<Vec<_>>(), all);
}

/// The demo as a workspace on disk, with the lines of one reading file that `drop` names left out.
fn without(test: &str, drop: &dyn Fn(&str) -> bool) -> Bench {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("catalog");
    let mut bench = Bench::new();
    let mut dropped = 0;
    for folder in ["", "readings"] {
        for entry in std::fs::read_dir(root.join(folder)).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.extension().is_none_or(|e| e != "csv") {
                continue;
            }
            let name = path.strip_prefix(&root).expect("inside").to_path_buf();
            let mut text = std::fs::read_to_string(&path).expect("text");
            if name == Path::new("readings").join(format!("{test}.csv")) {
                let kept: Vec<&str> = text.lines().filter(|l| !drop(l)).collect();
                dropped += text.lines().count() - kept.len();
                text = kept.join("\n") + "\n";
            }
            bench = bench.file(&format!("catalog/{}", name.display()), text);
        }
    }
    assert!(dropped > 0, "no line of {test} was of this kind");
    let case = std::fs::read_dir(root.join("../cases")).expect("cases");
    for entry in case {
        let path = entry.expect("an entry").path();
        let name = path.file_name().expect("a name").display().to_string();
        bench = bench.file(
            &format!("cases/{name}"),
            std::fs::read(&path).expect("a case"),
        );
    }
    bench
}

#[test]
fn each_kind_of_bound_moves_a_standing() {
    // Kind of bound, test, case, material whose standing rests on it, and what marks its lines.
    let kinds: &[(&str, &str, &str, &str, &str)] = &[
        ("no break", "impact", "tamper-face", "pptpe-a", ",no break,"),
        (
            "stopped",
            "heat-softening",
            "label-stake",
            "pacf-a",
            ",pacf-a,",
        ),
        (
            "above range",
            "hardness",
            "door-wedge",
            "tpu-95-b",
            ",above range,",
        ),
        (
            "below resolution",
            "sliding-wear",
            "frame-pad",
            "pom-a",
            ",below resolution,",
        ),
        (
            "collapsed",
            "bolted-washer",
            "greenhouse-washer",
            "tpe-a",
            ",collapsed,",
        ),
        (
            "melted",
            "sliding-wear",
            "frame-pad",
            "tpu-85-b",
            ",melted,",
        ),
        ("ruptured", "creep", "cloche-clip", "petg-c", ",ruptured,"),
        (
            ">= in a cell",
            "static-friction",
            "door-wedge",
            "ppel-a",
            ",>=",
        ),
        ("<= in a cell", "sliding-wear", "frame-pad", "pa12-b", ",<="),
        (
            "a range in a cell",
            "static-friction",
            "bench-foot",
            "asa-a",
            "..",
        ),
    ];
    for (kind, test, case, material, mark) in kinds {
        let before = standings(&judged(case));
        let drop = |line: &str| line.contains(mark) && line.contains(&format!(",{material},"));
        let ran =
            without(test, &drop).run(&["shortlist", case, "--among", material, "--format", "json"]);
        assert!(ran.code <= 1, "{kind}: {ran:?}");
        let after = standings(&ran.json());
        assert_ne!(
            before.get(*material),
            after.get(*material),
            "{kind}: {material} in {case} stands as before"
        );
    }
}

/// Common practice, no source: rigid printed feet on glass slide near a tenth of their load, and
/// soft elastomer feet hold three times that or more.
#[test]
fn rigid_feet_slide_on_glass_and_soft_ones_hold() {
    let share = |material: &str| {
        let ran = dutyfit(&[
            "check",
            "bench-foot",
            material,
            "--demo",
            "--set",
            "surroundings.counterface=glass",
            "--format",
            "json",
        ]);
        let answer = ran.json();
        let limits = answer["candidate"]["limits"]
            .as_array()
            .or_else(|| answer["limits"].as_array())
            .unwrap_or_else(|| panic!("{answer}"));
        let hold = limits
            .iter()
            .find(|l| l["id"] == "hold@hot")
            .expect("a limit on the hold");
        // The bench of 60 kg stands on its feet with 588.4 N.
        hold["predicted"]["median"].as_f64().expect("a figure") / 588.4
    };
    for rigid in ["petg-a", "asa-a", "pom-a"] {
        let s = share(rigid);
        assert!((0.07..0.14).contains(&s), "{rigid}: {s}");
    }
    for soft in ["tpu-85-a", "tpu-95-a", "tpe-a"] {
        let s = share(soft);
        assert!(s > 0.3, "{soft}: {s}");
    }
}

#[test]
fn a_limit_of_use_says_how_the_material_stands_past_it() {
    let ran = dutyfit(&["check", "frame-pad", "pom-a", "--demo"]).exits(0);
    let flat = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    let at = flat.find("temperature ").and_then(|i| flat.get(i..));
    assert!(flat.contains("at most 38 degC, then not known:"), "{at:?}");
    assert!(!flat.contains("degC, then depth worn"), "{at:?}");
}

#[test]
fn a_life_is_followed_for_a_hundred_years_and_no_further() {
    let ran = dutyfit(&["check", "door-wedge", "tpu-95-a", "--demo"]).exits(0);
    assert!(ran.out.contains("fit up to 100 years"), "{}", ran.out);
}

#[test]
fn an_assumed_figure_is_settled_by_a_stated_one() {
    let ran = dutyfit(&["shortlist", "greenhouse-washer", "--demo", "--all"]);
    let flat = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    let turns = flat
        .split("turns with the assumed thermal expansion; ")
        .nth(1)
        .unwrap_or_else(|| panic!("nothing turns: {}", ran.out));
    let wants = turns.split(';').next().unwrap_or_default();
    assert!(
        turns.contains("wants a stated thermal expansion"),
        "{wants}"
    );
    assert!(!wants.contains("compression-hold"), "{wants}");
}

#[test]
fn each_bound_of_a_plain_case_is_named_and_told_once() {
    let ran = dutyfit(&["shortlist", "door-wedge", "--demo"]).exits(0);
    assert!(ran.out.contains("all 2 limits"), "{}", ran.out);
    let flat = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("miss the bound on Shore A hardness"),
        "{flat}"
    );
    assert!(flat.contains("miss the bound on static friction"), "{flat}");
    let ran = dutyfit(&["shortlist", "door-wedge", "--demo", "--all"]).exits(0);
    let flat = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    let row = flat.split(" tpu-85-a ").nth(1).unwrap_or_default();
    let row = row.split(" tpu-85-b ").next().unwrap_or_default();
    assert_eq!(row.matches("Shore A hardness").count(), 1, "{row}");
    let ran = dutyfit(&["check", "barrow-sleeve", "abs-a", "--demo"]).exits(1);
    let told = "strain at break over the stretch on the bar, hot: fewer than 1 of 100";
    assert_eq!(ran.out.matches(told).count(), 1, "{}", ran.out);
}

#[test]
fn typical_figures_of_a_bound_are_never_invented() {
    let ran = dutyfit(&["check", "greenhouse-washer", "petg-c", "--demo"]);
    let bearing = ran.out.lines().find(|l| l.starts_with("bearing@cold"));
    let bearing = bearing.unwrap_or_else(|| panic!("{}", ran.out));
    assert!(bearing.contains("MPa  >= 29.9 MPa"), "{bearing}");
    assert!(bearing.contains("x >= 1.5"), "{bearing}");
    let ran = dutyfit(&["check", "door-wedge", "tpu-95-a", "--demo"]).exits(0);
    assert!(!ran.out.contains("105 shoreA"), "{}", ran.out);
}

#[test]
fn what_stops_an_answer_is_json_where_json_was_asked_for() {
    for (args, code) in [
        (
            &["shortlist", "nosuch", "--demo"][..],
            "usage::unknown-case",
        ),
        (&["show", "nope", "--demo"], "usage::unknown-material"),
        (&["reduce", "nosuch.csv"], "file::unreadable"),
    ] {
        let ran = dutyfit(&[args, &["--format", "json"]].concat());
        assert!(ran.out.is_empty(), "{ran:?}");
        let said: Json = serde_json::from_str(&ran.err).unwrap();
        assert_eq!(said["format"], "dutyfit.problems/1");
        assert_eq!(said["problems"][0]["code"], code);
    }
}

#[test]
fn the_demo_and_a_catalog_are_not_asked_for_at_once() {
    for args in [
        ["--demo", "--catalog", "x", "show", "petg-a"],
        ["show", "petg-a", "--catalog", "x", "--demo"],
    ] {
        let ran = dutyfit(&args).exits(2);
        assert!(ran.err.contains("usage::demo-and-catalog"), "{ran:?}");
    }
}
