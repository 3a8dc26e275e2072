//! What `lint` doubts in readings: each doubt is raised by one slip, and not by the mended line.

use crate::support::Bench;
use serde_json::Value;

const MATERIALS: &str = "material,polymer,price [per kg]\npetg-a,petg,25\nother-a,asa,30\n";
const HEADER: &str = "run,specimen,date,material,direction,face,temperature [degC],moisture,span [mm],width [mm],thickness [mm],force [N],deflection [mm],outcome,set_aside\n";

/// One flexure line; the strength is 0.6 MPa for each newton, the stiffness the same throughout.
fn line(run: &str, specimen: u32, force: &str, rest: &str) -> String {
    let figure: f64 = force
        .trim_start_matches(['>', '<', '='])
        .parse()
        .expect("a force");
    let deflection = figure / 100.0;
    format!(
        "{run},{specimen},2026-05-02,petg-a,flat,,23,room,64,10,4,{force},{deflection},{rest}\n"
    )
}

/// The doubts with this code that lint has about these flexure lines.
fn doubts(code: &str, lines: &[String]) -> Vec<Value> {
    let bench = Bench::new().file("catalog/materials.csv", MATERIALS).file(
        "catalog/readings/flexure.csv",
        format!("{HEADER}{}", lines.concat()),
    );
    let lint = bench.run(&["lint", "--format", "json"]).exits(0).json();
    let all = lint["problems"].as_array().expect("a list").clone();
    all.into_iter().filter(|p| p["code"] == code).collect()
}

fn contradictions(lines: &[String]) -> Vec<Value> {
    let strength = |p: &Value| {
        p["what"]
            .as_str()
            .is_some_and(|w| w.contains("flexural strength"))
    };
    doubts("reading::contradicts", lines)
        .into_iter()
        .filter(strength)
        .collect()
}

fn said(p: &Value) -> &str {
    p["what"].as_str().expect("words")
}

#[test]
fn a_bound_above_an_earlier_reading_is_doubted_at_its_line() {
    let found = contradictions(&[
        line("f-1", 1, "100", ","),
        line("f-1", 2, "104", ","),
        line("f-2", 1, "120", "stopped,"),
    ]);
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0]["at"]["line"], 4);
    assert_eq!(found[0]["severity"], "doubt");
    for part in [
        "`petg-a`",
        "specimen 1 of `f-2`",
        ">= 72 MPa",
        "specimen 2 of `f-1`",
        "62.4 MPa",
    ] {
        assert!(said(&found[0]).contains(part), "{found:?}");
    }
    assert!(
        found[0]["fix"]
            .as_str()
            .is_some_and(|f| f.contains("`set_aside`"))
    );
}

#[test]
fn a_bound_below_and_bounds_against_each_other_are_doubted() {
    let below = contradictions(&[line("f-1", 1, "100", ","), line("f-2", 1, "<=80", ",")]);
    assert_eq!(below.len(), 1, "{below:?}");
    assert!(said(&below[0]).contains("<= 48 MPa") && said(&below[0]).contains("60 MPa"));

    let crossed = contradictions(&[line("f-1", 1, "<=80", ","), line("f-2", 1, ">=100", ",")]);
    assert_eq!(crossed.len(), 1, "{crossed:?}");
    assert!(said(&crossed[0]).contains("`f-2` says") && said(&crossed[0]).contains("<= 48 MPa"));

    let range = contradictions(&[line("f-1", 1, "100", ","), line("f-2", 1, ">=130", ",")]);
    assert_eq!(range.len(), 1, "{range:?}");
}

#[test]
fn bounds_that_agree_or_stand_elsewhere_are_not() {
    for (what, second) in [
        ("a bound that says little", line("f-2", 1, "90", "stopped,")),
        (
            "a bound within the other run's scatter",
            line("f-2", 1, "102", "stopped,"),
        ),
        (
            "a run set aside",
            line("f-2", 1, "120", "stopped,2026-05-03 out: slipped"),
        ),
        (
            "another direction",
            line("f-2", 1, "120", "stopped,").replace(",flat,", ",edge,"),
        ),
        (
            "another temperature",
            line("f-2", 1, "120", "stopped,").replace(",23,", ",-5,"),
        ),
        (
            "another moisture",
            line("f-2", 1, "120", "stopped,").replace(",room,", ",dried,"),
        ),
        (
            "another material",
            line("f-2", 1, "120", "stopped,").replace("petg-a", "other-a"),
        ),
    ] {
        let first = [line("f-1", 1, "100", ","), line("f-1", 2, "104", ",")].concat();
        let found = contradictions(&[first, second]);
        assert!(found.is_empty(), "{what}: {found:?}");
    }
}

/// Specimens of one run may differ: only what no scatter explains is doubted.
#[test]
fn within_one_run_only_a_gap_beyond_scatter_is_doubted() {
    let near = [
        line("f-1", 1, "100", ","),
        line("f-1", 2, "115", "stopped,"),
    ];
    assert!(contradictions(&near).is_empty());
    let far = [
        line("f-1", 1, "100", ","),
        line("f-1", 2, "200", "stopped,"),
    ];
    assert_eq!(contradictions(&far).len(), 1);
}

/// A stated figure that own bounds alone shut out.
#[test]
fn a_stated_figure_is_doubted_where_own_bounds_shut_it_out() {
    for (force, doubted) in [("200", true), ("100", false)] {
        let bench = Bench::new()
            .file("catalog/materials.csv", MATERIALS)
            .file(
                "catalog/stated.csv",
                "material,property,value,spread,direction,source\npetg-a,flexural-strength,60 MPa,10 %,flat,a sheet\n",
            )
            .file(
                "catalog/readings/flexure.csv",
                format!("{HEADER}{}", line("f-1", 1, force, "stopped,")),
            );
        let lint = bench.run(&["lint"]).exits(0);
        let found = lint
            .out
            .contains("of 60 MPa, and its own readings say >= 120");
        assert_eq!(found, doubted, "{}", lint.out);
    }
}

#[test]
fn a_curve_with_a_reading_above_the_range_is_named_by_lint_and_show_or_bounded_at_its_end() {
    let creep = "run,specimen,point,date,material,rig,direction,temperature [degC],moisture,mode,span [mm],width [mm],thickness [mm],load [N],time [h],deflection [mm],outcome,set_aside\n\
        c-1,1,1,2026-05-02,petg-a,bench-1,flat,23,room,bending,64,10,4,16,0.1,0.8,,\n\
        c-1,1,2,2026-05-02,petg-a,bench-1,flat,23,room,,,,,,10,0.9,,\n\
        c-1,1,3,2026-05-02,petg-a,bench-1,flat,23,room,,,,,,100,1.2,,\n";
    let rigs = "rig,kind,channel,from,unit,low,high,resolution,offset,offset_u,gain,gain_u,reference,note\n\
        bench-1,dial,deflection,2026-01-01,mm,0,HIGH,0.01,0,0,1,0,,\n";
    let bench = |high: &str, middle: &str| {
        Bench::new()
            .file("catalog/materials.csv", MATERIALS)
            .file("catalog/rigs.csv", rigs.replace("HIGH", high))
            .file("catalog/readings/creep.csv", creep.replace(",0.9,", middle))
    };
    let refused = |b: &Bench| {
        let lint = b.run(&["lint", "--format", "json"]).exits(0).json();
        let all = lint["problems"].as_array().expect("a list").clone();
        all.into_iter()
            .filter(|p| p["code"] == "bench::bound-in-curve")
            .collect::<Vec<_>>()
    };
    let within = bench("5", ",0.9,");
    assert!(refused(&within).is_empty());
    let above = bench("1.3", ",1.4,");
    let found = refused(&above);
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0]["at"]["line"], 2);
    for part in ["specimen 1 of `c-1`", "creep modulus", "deflection"] {
        assert!(said(&found[0]).contains(part), "{}", said(&found[0]));
    }
    let shown = above
        .run(&["show", "petg-a", "--format", "json"])
        .exits(0)
        .json();
    assert_eq!(shown["refused"][0]["property"], "creep-modulus");
    assert_eq!(shown["refused"][0]["specimens"][0], 1);
    let text = above.run(&["show", "petg-a"]).exits(0).out;
    let one_line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        one_line.contains("creep specimen 1 of run c-1, creep modulus"),
        "{text}"
    );
    // Past the gauge at the last line only: the modulus is that or less by then.
    let ended = bench("1", ",0.9,");
    assert!(refused(&ended).is_empty());
    let shown = ended
        .run(&["show", "petg-a", "--format", "json"])
        .exits(0)
        .json();
    let rows = shown["properties"].as_array().expect("a list");
    let modulus = rows
        .iter()
        .find(|r| r["property"] == "creep-modulus")
        .expect("a row");
    assert_eq!(modulus["bounds"], 1, "{modulus}");
}

/// A stress borne speaks against a lower one that ruptured only where it was borne for as long.
#[test]
fn a_stress_borne_for_longer_than_a_lower_one_is_doubted() {
    let lines = |run: &str, load: &str, hours: [&str; 2], outcome: &str| {
        let common = format!("{run},1");
        let rest = format!("2026-05-02,petg-a,flat,23,room,bending,60,10,6,{load}");
        format!(
            "{common},1,{rest},{},0.7,\n{common},2,{rest},{},0.8,{outcome}\n",
            hours[0], hours[1]
        )
    };
    for (ruptured_after, doubted) in [("50", true), ("1000", false)] {
        let sheet = format!(
            "run,specimen,point,date,material,direction,temperature [degC],moisture,mode,span [mm],width [mm],thickness [mm],load [N],time [h],deflection [mm],outcome\n{}{}",
            lines("c-1", "40", ["1", "100"], ""),
            lines("c-2", "32", ["1", ruptured_after], "ruptured"),
        );
        let bench = Bench::new()
            .file("catalog/materials.csv", MATERIALS)
            .file("catalog/readings/creep.csv", sheet);
        let lint = bench.run(&["lint"]).exits(0);
        let found = lint.out.contains("doubt[reading::contradicts]");
        assert_eq!(found, doubted, "{}", lint.out);
    }
}

/// A force read a digit short: its fellows and the scatter of others say so, and it still counts.
#[test]
fn a_gross_outlier_is_doubted_with_its_figure_and_the_middle_of_its_fellows() {
    let run = |forces: &[&str]| -> Vec<Value> {
        let lines: Vec<String> = (1..)
            .zip(forces)
            .map(|(i, f)| line("f-1", i, f, ","))
            .collect();
        let strength = |p: &Value| said(p).contains("flexural strength");
        doubts("reading::outlier", &lines)
            .into_iter()
            .filter(strength)
            .collect()
    };
    let found = run(&["100", "104", "10.2"]);
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0]["at"]["line"], 4);
    for part in [
        "specimen 3 of `f-1`",
        "of 6.12 MPa",
        "fellows is 60 MPa",
        "counts as",
    ] {
        assert!(said(&found[0]).contains(part), "{found:?}");
    }
    for (what, forces) in [
        ("mended", &["100", "104", "102"] as &[&str]),
        ("two only", &["100", "10.2"]),
        ("as much scatter as not", &["100", "104", "10.2", "9.8"]),
    ] {
        assert!(run(forces).is_empty(), "{what}");
    }
}
