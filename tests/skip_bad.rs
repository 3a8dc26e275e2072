//! `--skip-bad`: answers without the bad lines, named above the answer; and what it never skips.

use crate::support::Bench;
use serde_json::Value;

const MATERIALS: &str =
    "material,polymer,price [per kg]\npetg-a,petg,25\npa-a,pa-12,60\nasa-a,asa,30\n";
const HEADER: &str = "run,specimen,material,rig,direction,span [mm],width [mm],thickness [mm],force [N],deflection [mm],set_aside\n";
const RIGS: &str =
    "rig,channel,from,resolution\nframe-1,force,2026-01-10,0.1\nframe-2,force,2026-01-10,0.1\n";

fn line(run: &str, specimen: u32, material: &str, force: &str) -> String {
    format!("{run},{specimen},{material},frame-1,flat,64,10,4,{force},2,\n")
}

fn bench(flexure: &str) -> Bench {
    Bench::new()
        .file("catalog/materials.csv", MATERIALS)
        .file("catalog/rigs.csv", RIGS)
        .file("catalog/readings/flexure.csv", flexure)
}

fn sound() -> String {
    let mut all = HEADER.to_owned();
    for (run, m) in [("f-1", "petg-a"), ("f-2", "pa-a"), ("f-3", "asa-a")] {
        for (k, f) in ["100", "102", "98"].iter().enumerate() {
            all.push_str(&line(run, k as u32 + 1, m, f));
        }
    }
    all
}

fn one_bad() -> String {
    sound() + &line("f-4", 1, "petg-a", "100 N")
}

fn specimens(bench: &Bench, material: &str) -> u64 {
    let shown = bench
        .run(&["show", material, "--skip-bad", "--format", "json"])
        .exits(0)
        .json();
    let all = shown["properties"].as_array().expect("a list").clone();
    let strength = all
        .iter()
        .find(|p| p["property"] == "flexural-strength")
        .expect("a strength");
    strength["n"].as_u64().expect("a count")
}

#[test]
fn without_it_a_bad_line_stops_every_command_and_the_way_out_is_named() {
    let ran = bench(&one_bad()).run(&["show", "petg-a"]).exits(2);
    assert!(ran.out.is_empty());
    assert!(ran.err.contains("error[number::not-a-number]"), "{ran:?}");
    assert!(ran.err.contains("--skip-bad"), "{ran:?}");
}

#[test]
fn with_it_the_answer_is_that_of_the_sound_lines_below_a_list_of_the_bad_ones() {
    for args in [
        &["show", "petg-a"] as &[&str],
        &["show", "petg-a", "--why", "flexural-strength"],
        &["check", "bolt-washer", "petg-a"],
        &["shortlist", "bolt-washer"],
    ] {
        let clean = bench(&sound()).run(args);
        assert!(clean.code < 2, "{clean:?}");
        let bad = bench(&one_bad());
        let asked = |format: &str| {
            let mut all = args.to_vec();
            all.extend(["--skip-bad", "--format", format]);
            bad.run(&all).exits(clean.code)
        };
        let text = asked("text").out;
        let place = "catalog/readings/flexure.csv:11:";
        let (above, answer) = text.split_once("\n\n").expect("two parts");
        assert!(
            above.starts_with("Answered without") && above.contains(place),
            "{text}"
        );
        assert_eq!(answer, clean.out, "{args:?}");
        let markdown = asked("markdown").out;
        let first = markdown.lines().next().unwrap_or_default();
        assert!(first.starts_with("Answered without") && markdown.contains(place));
        let json = asked("json").json();
        let skipped = &json["skipped"]["problems"];
        assert_eq!(skipped.as_array().map(Vec::len), Some(1), "{skipped}");
        assert_eq!(skipped[0]["at"]["line"], 11);
        assert_eq!(skipped[0]["code"], "number::not-a-number");
    }
}

#[test]
fn the_json_of_an_answer_with_lines_left_out_is_as_published() {
    let bad = bench(&one_bad());
    for (kind, args) in [
        ("show", &["show", "petg-a"] as &[&str]),
        ("check", &["check", "bolt-washer", "petg-a"]),
        ("shortlist", &["shortlist", "bolt-washer"]),
        ("why", &["show", "petg-a", "--why", "flexural-strength"]),
    ] {
        let mut all = args.to_vec();
        all.extend(["--skip-bad", "--format", "json"]);
        let answer = bad.run(&all).json();
        let schema: Value = bad.run(&["schema", kind]).json();
        let faults: Vec<String> = jsonschema::validator_for(&schema)
            .expect("a schema")
            .iter_errors(&answer)
            .map(|e| format!("{}: {e}", e.instance_path()))
            .collect();
        assert!(faults.is_empty(), "{kind}: {faults:?}");
        assert!(schema["properties"]["skipped"].is_object(), "{kind}");
    }
}

#[test]
fn a_material_whose_line_is_bad_is_left_out_and_the_others_keep_their_answer() {
    let bad = bench(&sound()).file(
        "catalog/materials.csv",
        MATERIALS.replace("pa-a,pa-12,60", "pa-a,pa-12,-60"),
    );
    assert_eq!(specimens(&bad, "petg-a"), 3);
    let ran = bad.run(&["show", "pa-a", "--skip-bad"]).exits(2);
    assert!(ran.err.contains("usage::unknown-material"), "{ran:?}");
}

#[test]
fn a_sheet_whose_header_is_wrong_is_left_out_whole() {
    // Without the column `set_aside` a run that is out would count again.
    let out = sound().replace("98,2,\n", "98,2,2026-05-02 out: slipped\n");
    let bad = bench(&out.replace("set_aside", "set_asid"));
    let shown = bad
        .run(&["show", "petg-a", "--skip-bad", "--format", "json"])
        .exits(0)
        .json();
    assert!(
        !shown["properties"]
            .to_string()
            .contains("flexural-strength")
            || shown["properties"]
                .as_array()
                .is_some_and(|all| all.iter().all(|p| p["n"] != 3)),
        "{shown}"
    );
    let besides = shown["skipped"]["besides"].to_string();
    assert!(
        besides.contains("all other lines of catalog/readings/flexure.csv"),
        "{besides}"
    );
}

#[test]
fn runs_on_a_rig_whose_calibration_is_bad_are_left_out() {
    let other = line("f-9", 1, "petg-a", "101").replace("frame-1", "frame-2");
    let bad = bench(&(sound() + &other)).file(
        "catalog/rigs.csv",
        RIGS.replace("frame-1,force,2026", "frame-1,force,26"),
    );
    assert_eq!(specimens(&bad, "petg-a"), 1);
    let text = bad.run(&["show", "petg-a", "--skip-bad"]).out;
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        text.contains("3 runs on `frame-1`, whose calibration cannot be read"),
        "{text}"
    );
}

#[test]
fn a_curve_that_may_have_lost_a_line_is_left_out() {
    let header = "run,specimen,point,material,direction,width [mm],thickness [mm],force [N]\n";
    let curve = |n: u32| -> String {
        (1..=3)
            .map(|p| format!("t-1,{n},{p},petg-a,flat,10,4,{}\n", 500 * p))
            .collect()
    };
    let whole = format!("{header}{}{}{}", curve(1), curve(2), curve(3));
    let strengths = |text: &str| {
        let b = bench(&sound()).file("catalog/readings/tensile.csv", text);
        let ran = b
            .run(&["show", "petg-a", "--skip-bad", "--format", "json"])
            .json();
        let all = ran["properties"].as_array().expect("a list").clone();
        let one = all
            .iter()
            .find(|p| p["property"] == "tensile-strength")
            .cloned();
        (
            one.map_or(0, |p| p["n"].as_u64().unwrap_or(0)),
            ran["skipped"]["besides"].to_string(),
        )
    };
    assert_eq!(strengths(&whole).0, 3);
    // The line of the largest force has lost the number of its specimen.
    let (n, besides) = strengths(&whole.replace("t-1,1,3,petg-a", "t-1,,3,petg-a"));
    assert_eq!(n, 1, "{besides}");
    assert!(besides.contains("specimen 1 of `t-1`"), "{besides}");
    // In a line that can be told, only its own specimen is lost.
    assert_eq!(
        strengths(&whole.replace("1500\nt-1,2,1", "many\nt-1,2,1")).0,
        2
    );
}

#[test]
fn what_everything_rests_on_is_never_skipped() {
    for (file, content) in [
        (
            "policy.json",
            "{ \"format\": \"dutyfit.policy/1\", \"rho\": { \"value\": -1 } }",
        ),
        ("catalog/materials.csv", "material,polymr\npetg-a,petg\n"),
        ("catalog/rigs.csv", "rig,chanel\nframe-1,force\n"),
        ("catalog/prints.csv", "print,stuff\np,petg-a\n"),
    ] {
        let ran = bench(&sound())
            .file(file, content)
            .run(&["show", "petg-a", "--skip-bad"]);
        assert_eq!(ran.code, 2, "{file} {ran:?}");
        assert!(ran.out.is_empty());
    }
    let bad = bench(&one_bad()).file("cases/mine.json", "{ \"format\": \"dutyfit.case/1\" }");
    bad.run(&["shortlist", "mine", "--skip-bad"]).exits(2);
}

#[test]
fn a_filled_sheet_is_reduced_without_its_bad_lines_and_names_them() {
    let bench = Bench::new()
        .file(
            "density.csv",
            "material,mass [g],volume [cm3]\npetg-a,1.27,1.00\npetg-a,heavy,1.00\npetg-a,1.29,1.01\n",
        )
        .file(
            "creep.csv",
            "direction,mode,span [mm],width [mm],thickness [mm],load [N],time [h],deflection [mm]\n\
             flat,bending,64,10,4,5,1,1.0\nflat,bending,,,,,10\nflat,bending,,,,,100,1.4\n",
        );
    let reduce = |sheet: &str, more: &[&str]| {
        let path = bench.path(sheet);
        let mut all = vec!["reduce", path.to_str().expect("a path")];
        all.extend(more);
        crate::support::dutyfit(&all)
    };
    reduce("density.csv", &[]).exits(2);
    let text = reduce("density.csv", &["--skip-bad"]).exits(0).out;
    let (above, answer) = (text.find("heavy"), text.find("density"));
    assert!(above.is_some() && above < text.rfind("1.2"), "{text}");
    assert!(answer.is_some(), "{text}");
    let json = reduce("density.csv", &["--skip-bad", "--format", "json"])
        .exits(0)
        .json();
    assert_eq!(
        json["runs"][0]["specimens"].as_array().map(Vec::len),
        Some(2)
    );
    assert_eq!(
        json["skipped"]["problems"].as_array().map(Vec::len),
        Some(1),
        "{json}"
    );
    // A curve may have lost its peak with a line of which no specimen can be told.
    reduce("creep.csv", &["--skip-bad"]).exits(2);
}
