//! Whatever is typed wrong, the answer names what may have been meant.

use crate::support::{Bench, dutyfit};
use dutyfit::duty::part;
use serde_json::{Value as Json, json};

#[track_caller]
fn hints(args: &[&str], wanted: &[&str]) {
    let ran = dutyfit(args).exits(2);
    for w in wanted {
        assert!(ran.err.contains(w), "{args:?}: {w} is not in {}", ran.err);
    }
    assert!(ran.out.is_empty(), "{args:?}: {}", ran.out);
}

#[test]
fn of_the_command_line() {
    let demo = |args: &[&str], wanted: &[&str]| hints(&[args, &["--demo"]].concat(), wanted);
    hints(&["shortlst", "bolt-washer"], &["shortlist"]);
    hints(&["shortlist", "bolt-washer", "--handbok"], &["--handbook"]);
    demo(&["show", "petg-c", "--format", "jsn"], &["json"]);
    demo(&["shortlist", "bolt-wahser"], &["`bolt-washer`"]);
    // A piece of a name tells it where no spelling is near.
    demo(
        &["shortlist", "washer"],
        &["`greenhouse-washer` or `bolt-washer`"],
    );
    demo(&["check", "greenhouse-washer", "PETGC"], &["`petg-c`"]);
    demo(
        &["check", "petg-c", "greenhouse-washer"],
        &["is a material, and a case"],
    );
    demo(
        &["shortlist", "bench-foot", "--weights", "confort"],
        &["`comfort`"],
    );
    demo(
        &["shortlist", "bench-foot", "--among", "petgc"],
        &["`petg-c`"],
    );
    demo(
        &["show", "petg-c", "--why", "yeild-strength"],
        &["`yield-strength`"],
    );
    demo(
        &["show", "petg-c", "--why", "strength"],
        &["`tensile-strength`", "`yield-strength`"],
    );
    demo(
        &[
            "show",
            "petg-c",
            "--why",
            "static-friction",
            "--on",
            "steal",
        ],
        &["`steel-smooth`"],
    );
    demo(
        &["show", "petg-c", "--why", "density", "--moisture", "wett"],
        &["wet"],
    );
    demo(
        &["sheet", "--columns", "tensle-strength"],
        &["`tensile-strength`"],
    );
    demo(&["sheet", "--preset", "sumary"], &["`summary`"]);
    demo(&["rig-check", "frame"], &["`frame-1`"]);
    hints(&["form", "tensil"], &["`tensile`"]);
    hints(&["schema", "kase"], &["`case`"]);
    hints(&["lint", "--explain", "number::coma"], &["`number::comma`"]);
}

#[test]
fn of_a_polymer_by_its_other_names() {
    for (typed, meant) in [
        ("Nylon", "`pa-6`, `pa-66` or `pa-12`"),
        ("nylon-12", "`pa-12`"),
        ("PA12", "`pa-12`"),
        ("HDPE", "`pe-hd`"),
        ("polycarbonate", "`pc`"),
        ("acetal", "`pom`"),
        ("hips", "`ps`"),
        ("acrylic", "`pmma`"),
    ] {
        hints(&["check", "bolt-washer", typed, "--handbook"], &[meant]);
    }
    hints(&["show", "polycarbonate", "--demo"], &["`pc-a`"]);
    let bench = Bench::new().file("catalog/materials.csv", "material,polymer\nx,Nylon 12\n");
    let ran = bench.run(&["show", "x"]).exits(2);
    assert!(
        ran.err.contains("write `pa-12`, as it is called here"),
        "{}",
        ran.err
    );
}

#[test]
fn of_what_set_changes() {
    for (set, meant) in [
        ("torqe=6 N.m", "`torque`"),
        ("temp=20..40 degC", "`temperature`"),
        ("torque=6", "`6 N.m`"),
        ("torque=6 Nm", "`N.m`"),
        ("torque=6 kg", "a mass (g, kg)"),
        ("height=5 MM", "`mm`"),
        ("life=5 yeers", "`year`"),
        ("lies=flatt", "`flat`"),
        ("moisture=damp", "`dried`, `room` or `wet`"),
        ("class=dammage", "`damage`"),
        ("sun=outdoor", "`outdoors`"),
        ("hurts=usr", "`user`"),
        ("bolt=M7", "`M6` or `M8`"),
        ("finish=zinc", "`zinc-plated`"),
        ("counterface=steal-smooth", "`steel-smooth`"),
    ] {
        hints(
            &["shortlist", "bolt-washer", "--handbook", "--set", set],
            &[meant],
        );
    }
}

#[test]
fn of_a_case_file() {
    let example = part("bolt-washer").expect("a part kind").example;
    let whole: Json = serde_json::from_str(example).expect("JSON");
    let changes: [(&[&str], Json, &str); 8] = [
        (&["part"], json!("bolt-wahser"), "`bolt-washer`"),
        (&["inputs", "torqe"], json!("4 N.m"), "`torque`"),
        (
            &["surroundings", "temprature"],
            json!("4..5 degC"),
            "`temperature`",
        ),
        (&["harm", "hurt"], json!("nobody"), "`hurts`"),
        (&["lif"], json!("5 year"), "`life`"),
        (
            &["limits"],
            json!({"clamp-lft": {"at_least": "300 N"}}),
            "`clamp-left`",
        ),
        (
            &["limits"],
            json!({"clamp-left": {"atleast": "300 N"}}),
            "`at_least`",
        ),
        (&["weights"], json!({"points": {"hodl": 1}}), "`hold`"),
    ];
    for (path, value, meant) in changes {
        let mut case = whole.clone();
        let mut at = &mut case;
        for key in path {
            at = &mut at[key];
        }
        *at = value;
        let bench = Bench::new().file("case.json", case.to_string());
        let ran = bench
            .run(&["shortlist", "case.json", "--handbook"])
            .exits(2);
        assert!(
            ran.err.contains(meant),
            "{path:?}: {meant} is not in {}",
            ran.err
        );
    }
}
