//! `--as-of DAY`: every reading command answers as it would have on that day.

use crate::support::Bench;

const MATERIALS: &str = "material,polymer,kind,price [per kg]\npetg-a,petg,,25\npa-a,pa-12,,60\nblock-1,other,reference,\n";
const RIGS: &str = "rig,kind,channel,from,unit,resolution,gain,gain_u\n\
    frame-1,frame,force,2026-01-10,N,0.1,1,0.005\n";
const HEADER: &str = "run,specimen,date,recorded,material,rig,direction,span [mm],width [mm],thickness [mm],force [N],deflection [mm],set_aside\n";
const STATED: &str = "material,property,value,spread,source,date\npetg-a,tensile-strength,45 MPa,10 %,sheet,2026-02-01\n";

const CASE: &str = r#"{ "format": "dutyfit.case/1", "part": "plain",
  "inputs": { "limits": [ { "property": "flexural-strength", "at_least": "50 MPa", "lies": "in-plane", "class": "nuisance" } ],
              "aims": [ { "property": "price", "zero": "60 per kg", "one": "15 per kg" } ] } }
"#;

fn run(id: &str, material: &str, dates: &str, forces: [u32; 3], aside: &str) -> String {
    (1..)
        .zip(forces)
        .map(|(n, f)| format!("{id},{n},{dates},{material},frame-1,flat,64,10,4,{f},1,{aside}\n"))
        .collect()
}

/// The workspace as it stood at the end of June.
fn before() -> Bench {
    let flexure = HEADER.to_owned()
        + &run("f-1", "petg-a", "2026-05-02,", [100, 103, 98], "")
        + &run("f-2", "pa-a", "2026-05-03,2026-05-04", [70, 73, 72], "")
        + &run("f-3", "petg-a", ",2026-06-01", [101, 99, 104], "")
        + &run("f-4", "block-1", "2026-06-02,", [200, 201, 200], "");
    Bench::new()
        .file("catalog/materials.csv", MATERIALS)
        .file("catalog/rigs.csv", RIGS)
        .file("catalog/stated.csv", STATED)
        .file("cases/clip.json", CASE)
        .file("catalog/readings/flexure.csv", flexure)
}

/// The same in September: runs tested and recorded later, one recorded late, one set aside since, a new
/// calibration and a new stated value.
fn after() -> Bench {
    let flexure = HEADER.to_owned()
        + &run(
            "f-1",
            "petg-a",
            "2026-05-02,",
            [100, 103, 98],
            "2026-08-01 out: the bars were wet",
        )
        + &run("f-2", "pa-a", "2026-05-03,2026-05-04", [70, 73, 72], "")
        + &run("f-3", "petg-a", ",2026-06-01", [101, 99, 104], "")
        + &run("f-4", "block-1", "2026-06-02,", [200, 201, 200], "")
        + &run("f-5", "petg-a", "2026-07-20,", [40, 44, 42], "")
        + &run("f-6", "pa-a", "2026-06-20,2026-07-05", [20, 24, 22], "")
        + &run("f-7", "block-1", "2026-07-21,", [230, 231, 229], "");
    before()
        .file("catalog/readings/flexure.csv", flexure)
        .file(
            "catalog/rigs.csv",
            RIGS.to_owned() + "frame-1,frame,force,2026-07-15,N,0.1,1.2,0.005\n",
        )
        .file(
            "catalog/stated.csv",
            STATED.to_owned() + "pa-a,flexural-strength,120 MPa,5 %,sheet,2026-08-01\n",
        )
}

const COMMANDS: &[&[&str]] = &[
    &["show", "petg-a"],
    &["show", "pa-a"],
    &["show", "petg-a", "--why", "flexural-strength"],
    &["check", "clip", "petg-a"],
    &["shortlist", "clip", "--all"],
    &["compare", "petg-a", "pa-a"],
    &[
        "sheet",
        "--columns",
        "flexural-strength/flat,flexural-modulus,tensile-strength",
    ],
    &["rig-check"],
];

#[test]
fn a_later_day_changes_nothing_of_an_earlier_answer() {
    let (june, september) = (before(), after());
    for args in COMMANDS {
        let mut asked = args.to_vec();
        asked.extend(["--as-of", "2026-06-30"]);
        let (then, now) = (june.run(&asked), september.run(&asked));
        assert!(then.code < 2, "{then:?}");
        assert_eq!((then.code, &then.out), (now.code, &now.out), "{args:?}");
        let today = september.run(args);
        assert_ne!(
            today.out, now.out,
            "{args:?} does not hear of what came later"
        );
    }
}

#[test]
fn lint_doubts_only_what_stood_there_then() {
    let codes = |bench: &Bench| -> Vec<String> {
        let lint = bench
            .run(&["lint", "--as-of", "2026-06-30", "--format", "json"])
            .json();
        let all = lint["problems"].as_array().expect("a list").clone();
        let said = |p: &serde_json::Value| format!("{} {}", p["code"], p["what"]);
        all.iter().map(said).collect()
    };
    assert_eq!(codes(&before()), codes(&after()));
    let lint = after().run(&["lint"]).exits(0).out;
    assert!(
        lint.contains("run::set-aside") && lint.contains("the bars were wet"),
        "{lint}"
    );
}

#[test]
fn a_day_that_is_later_than_the_day_asked_for_is_doubted() {
    let early =
        HEADER.to_owned() + &run("f-1", "petg-a", "2026-07-02,2026-05-02", [100, 103, 98], "");
    let bench = before().file("catalog/readings/flexure.csv", early);
    let doubted = |args: &[&str]| bench.run(args).out.contains("date::future");
    assert!(doubted(&["lint", "--as-of", "2026-06-30"]));
    assert!(!doubted(&["lint", "--as-of", "2026-07-30"]));
}

#[test]
fn the_demo_is_asked_for_a_day_too() {
    let shown = |args: &[&str]| crate::support::dutyfit(args).exits(0).out;
    let then = shown(&[
        "show",
        "petg-a",
        "--why",
        "density",
        "--demo",
        "--as-of",
        "2026-01-31",
    ]);
    let now = shown(&["show", "petg-a", "--why", "density", "--demo"]);
    assert_ne!(then, now);
    assert!(then.contains("invented"), "{then}");
}

/// Days are held against each other as texts: one written otherwise would leave nothing out.
#[test]
fn a_day_written_otherwise_is_refused() {
    for day in ["20260131", "2026-1-31", "2026-02-30"] {
        let ran = crate::support::dutyfit(&["show", "petg-a", "--demo", "--as-of", day]).exits(2);
        assert!(ran.err.contains("usage::as-of"), "{ran:?}");
    }
}
