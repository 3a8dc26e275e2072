//! `set-aside` and `rename`: what they write, and that every other byte stays.

use crate::support::Bench;

const MATERIALS: &str =
    "material,polymer,price [per kg],kind\npetg-a,petg,25,\npla-a,pla,20,\nbrick,other,,surface\n";
const TENSILE: &str = "\u{feff}# my own sheet, petg-a first\r\n\
run;specimen;date;material;direction;width [mm];thickness [mm];force [N];# shelf;set_aside\r\n\
t-1;1;2026-05-01;petg-a;flat;10;4;1200,5;\"petg-a; top\";\r\n\
t-1;2;2026-05-01;petg-a;flat;10;4;1100;;\"2026-05-02 out: slipped; twice\"\r\n\
\r\n\
t-2;1;2026-05-03;pla-a;flat;10;4;1300;petg-a;\r\n\
t-3;1;2026-05-03;petg-a;flat;10;4;1250;;2026-05-04 out: notch; 2026-05-05 in\r\n";
// The log of the last line holds the separator: it stands in quotes on disk.
fn tensile() -> String {
    TENSILE.replace(
        "2026-05-04 out: notch; 2026-05-05 in",
        "\"2026-05-04 out: notch; 2026-05-05 in\"",
    )
}

const FRICTION: &str = "run,specimen,date,material,counterface,face,load [N],pull [N]\n\
s-1,1,2026-05-01,petg-a,brick,bottom,10,3\n\
s-1,2,2026-05-01,petg-a,brick,bottom,10,3.1\n";

fn bench() -> Bench {
    Bench::new()
        .file("catalog/materials.csv", MATERIALS)
        .file("catalog/readings/tensile.csv", tensile())
        .file("catalog/readings/static-friction.csv", FRICTION)
}

fn text(bench: &Bench, name: &str) -> String {
    std::fs::read_to_string(bench.path(name)).expect("a file")
}

#[test]
fn setting_aside_fills_the_log_and_nothing_else() {
    let bench = bench();
    let ran = bench
        .run(&[
            "set-aside",
            "t-1",
            "--reason",
            "the grips; again\nslipped",
            "--date",
            "2026-05-09",
        ])
        .exits(0);
    assert!(
        ran.out
            .contains("Set aside: specimen 1 of tensile run t-1, petg-a."),
        "{}",
        ran.out
    );
    // Specimen 2 is out already.
    assert_eq!(
        text(&bench, "catalog/readings/tensile.csv"),
        tensile().replace(
            "\"petg-a; top\";\r\n",
            "\"petg-a; top\";2026-05-09 out: the grips, again slipped\r\n"
        )
    );
    let shown = bench.run(&["show", "petg-a"]).exits(0);
    assert!(
        shown.out.contains("Set aside and not counted"),
        "{}",
        shown.out
    );
    assert!(
        shown.out.contains("the grips, again slipped"),
        "{}",
        shown.out
    );
    let lint = bench.run(&["lint"]).exits(0);
    assert!(lint.out.contains("run::set-aside"), "{}", lint.out);
    assert_eq!(
        lint.out.matches("`t-1` is set aside").count(),
        1,
        "{}",
        lint.out
    );
}

#[test]
fn taking_back_writes_a_second_entry() {
    let bench = bench();
    bench
        .run(&[
            "set-aside",
            "t-1",
            "--undo",
            "--specimen",
            "2",
            "--date",
            "2026-05-09",
        ])
        .exits(0);
    assert_eq!(
        text(&bench, "catalog/readings/tensile.csv"),
        tensile().replace("slipped; twice\"", "slipped; twice; 2026-05-09 in\"")
    );
    bench
        .run(&[
            "set-aside",
            "t-3",
            "--reason",
            "notch after all",
            "--date",
            "2026-05-05",
        ])
        .exits(0);
    let now = text(&bench, "catalog/readings/tensile.csv");
    assert!(
        now.contains("; 2026-05-05 in; 2026-05-05 out: notch after all\""),
        "{now}"
    );
    // What counted on a day is still told as of that day.
    let then = bench.run(&["lint", "--as-of", "2026-05-04"]).exits(0);
    assert!(
        then.out
            .contains("`t-3` is set aside and not counted: notch\n"),
        "{}",
        then.out
    );
    let before = bench.run(&["lint", "--as-of", "2026-05-03"]).exits(0);
    assert!(!before.out.contains("`t-3` is set aside"), "{}", before.out);
}

#[test]
fn a_file_without_the_column_gets_it() {
    let bench = bench();
    let ran = bench
        .run(&[
            "set-aside",
            "s-1",
            "--specimen",
            "2",
            "--reason",
            "wet",
            "--date",
            "2026-05-09",
            "--format",
            "json",
        ])
        .exits(0)
        .json();
    assert_eq!(ran["new_columns"][0], "set_aside");
    assert_eq!(
        text(&bench, "catalog/readings/static-friction.csv"),
        "run,specimen,date,material,counterface,face,load [N],pull [N],set_aside\n\
         s-1,1,2026-05-01,petg-a,brick,bottom,10,3,\n\
         s-1,2,2026-05-01,petg-a,brick,bottom,10,3.1,2026-05-09 out: wet\n"
    );
}

#[test]
fn every_line_of_a_curve_gets_the_entry() {
    let creep = "run,specimen,point,date,material,direction,mode,span [mm],width [mm],thickness [mm],load [N],time [h],deflection [mm],set_aside\n\
        c-1,1,1,2026-05-01,petg-a,flat,bending,64,10,4,10,0.1,1.0,\n\
        c-1,1,2,2026-05-01,petg-a,flat,bending,,,,,1,1.1,\n";
    let bench = bench().file("catalog/readings/creep.csv", creep);
    bench
        .run(&[
            "set-aside",
            "c-1",
            "--reason",
            "fell off",
            "--date",
            "2026-05-09",
        ])
        .exits(0);
    let out = text(&bench, "catalog/readings/creep.csv");
    assert_eq!(out.matches("2026-05-09 out: fell off").count(), 2, "{out}");
}

#[track_caller]
fn refused(args: &[&str], code: u8, says: &[&str]) {
    let bench = bench();
    let before = bench.files();
    let ran = bench.run(args).exits(code);
    for s in says {
        assert!(ran.err.contains(s), "{s} is not in\n{}", ran.err);
    }
    let mut after = bench.files();
    after.retain(|(n, _)| n != "catalog/.lock");
    assert_eq!(before, after, "a refusal changes nothing");
}

#[test]
fn what_cannot_be_set_aside_is_said() {
    refused(
        &["set-aside", "t-11", "--reason", "x"],
        2,
        &["usage::unknown-run", "`t-1`"],
    );
    refused(
        &["set-aside", "t-1", "--reason", " "],
        2,
        &["usage::no-reason"],
    );
    refused(&["set-aside", "t-1"], 2, &["--reason"]);
    refused(
        &["set-aside", "t-1", "--reason", "x", "--specimen", "4"],
        2,
        &["no specimen 4", "1, 2"],
    );
    refused(
        &["set-aside", "t-1", "--reason", "x", "--specimen", "2"],
        2,
        &["set aside already: slipped; twice"],
    );
    refused(
        &["set-aside", "t-2", "--undo"],
        2,
        &["is not set aside, and counts"],
    );
    refused(
        &["set-aside", "t-3", "--reason", "x", "--date", "2026-05-01"],
        2,
        &["set-aside::earlier", "2026-05-05 in"],
    );
    refused(
        &["set-aside", "t-3", "--reason", "x", "--date", "1.5.2026"],
        2,
        &["usage::date"],
    );
    refused(
        &["set-aside", "t-1", "--reason", "x", "--demo"],
        2,
        &["usage::demo-writes"],
    );
}

const CASE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "on brick",
  "part": "support-foot",
  "inputs": { "mass": "12 kg" },
  "surroundings": { "counterface": "brick", "temperature": "23 degC" }
}
"#;

#[test]
fn a_material_is_renamed_everywhere_and_nothing_else_changes() {
    let bench = bench()
        .file("catalog/prints.csv", "print,material,note\r\np-1,petg-a,petg-a\r\n")
        .file("catalog/stated.csv", "material,polymer,property,value,source\n\"petg-a\",,density,1.27 g/cm3,petg-a\n,petg,density,1.2 g/cm3,x\n");
    let ran = bench.run(&["rename", "petg-a", "petg-blue"]).exits(0);
    assert!(
        ran.out.contains("petg-a is called petg-blue now"),
        "{}",
        ran.out
    );
    assert_eq!(
        text(&bench, "catalog/materials.csv"),
        MATERIALS.replace("\npetg-a,", "\npetg-blue,")
    );
    assert_eq!(
        text(&bench, "catalog/prints.csv"),
        "print,material,note\r\np-1,petg-blue,petg-a\r\n"
    );
    assert!(text(&bench, "catalog/stated.csv").contains("\n\"petg-blue\",,density,1.27"));
    // Comments and own columns keep the old name.
    assert_eq!(
        text(&bench, "catalog/readings/tensile.csv"),
        tensile().replace(";petg-a;flat", ";petg-blue;flat")
    );
    bench.run(&["show", "petg-blue"]).exits(0);
    bench.run(&["show", "petg-a"]).exits(2);
}

#[test]
fn a_surface_is_renamed_in_readings_and_cases() {
    let bench = bench().file("cases/foot.json", CASE);
    let ran = bench
        .run(&["rename", "brick", "red-brick", "--format", "json"])
        .exits(0)
        .json();
    let files: Vec<&str> = ran["files"]
        .as_array()
        .unwrap()
        .iter()
        .map(|f| f["file"].as_str().unwrap())
        .collect();
    assert_eq!(
        files,
        [
            "catalog/materials.csv",
            "catalog/readings/static-friction.csv",
            "cases/foot.json"
        ]
    );
    assert_eq!(
        text(&bench, "cases/foot.json"),
        CASE.replace("\"brick\"", "\"red-brick\"")
    );
    assert_eq!(
        text(&bench, "catalog/readings/static-friction.csv"),
        FRICTION.replace(",brick,", ",red-brick,")
    );
}

#[test]
fn what_cannot_be_renamed_is_said() {
    refused(
        &["rename", "petg-b", "petg-c"],
        2,
        &["no material `petg-b`", "petg-a"],
    );
    refused(
        &["rename", "petg-a", "pla-a"],
        2,
        &["there is a material `pla-a` already"],
    );
    refused(
        &["rename", "petg-a", "petg-a"],
        2,
        &["there is a material `petg-a` already"],
    );
    refused(
        &["rename", "petg-a", "PETG A"],
        2,
        &["id::malformed", "`petg-a`"],
    );
    refused(&["rename", "petg-a", "../x"], 2, &["id::malformed"]);
    refused(
        &["rename", "brick", "glass"],
        2,
        &["a surface that every catalog knows"],
    );
    refused(
        &["rename", "petg-a", "petg-b", "--demo"],
        2,
        &["usage::demo-writes"],
    );
}

#[test]
fn a_rename_over_a_broken_file_changes_nothing() {
    let bench = bench().file("cases/broken.json", "{ \"format\": ");
    let before = text(&bench, "catalog/materials.csv");
    let ran = bench.run(&["rename", "petg-a", "petg-b"]).exits(2);
    assert!(ran.err.contains("json::truncated"), "{}", ran.err);
    assert_eq!(text(&bench, "catalog/materials.csv"), before);
}
