//! `rig-check`: rigs that hold, rigs that step or drift, the runs they put in doubt, and what to do.

use crate::support::{Bench, Ran};
use serde_json::Value;

const MATERIALS: &str = "material,polymer,kind\n\
    petg-a,petg,\nslider,other,reference\nother-slider,other,reference\n";
const RIGS: &str = "rig,kind,channel,from,unit,low,high,resolution,offset,offset_u,gain,gain_u\n\
    sled-1,sled,pull,2026-01-01,N,0,50,0.001,0,0.005,1,0.002\n\
    sled-2,sled,pull,2026-01-01,N,0,50,0.001,0,0.005,1,0.002\n";
const HEADER: &str =
    "run,specimen,date,operator,material,rig,counterface,load [N],pull [N],outcome,set_aside\n";

/// Checks a week apart that scatter like a rig in control, from a fixed list.
const NOISE: [f64; 14] = [
    0.3, -0.5, 0.9, -0.2, -1.1, 0.6, 0.1, -0.4, 1.0, -0.7, 0.2, 0.5, -0.9, 0.4,
];

fn day(week: usize) -> String {
    let day = 5 + 7 * week;
    let (month, day) = [(1, 31), (2, 28), (3, 31), (4, 30), (5, 31)].iter().fold(
        (0, day),
        |(m, d), (month, days)| {
            if m > 0 {
                (m, d)
            } else if d <= *days {
                (*month, d)
            } else {
                (0, d - days)
            }
        },
    );
    format!("2026-{month:02}-{day:02}")
}

fn check(run: usize, week: usize, material: &str, rig: &str, pull: f64) -> String {
    format!(
        "ck-{run:02},1,{},ab,{material},{rig},glass,20,{pull:.3},,\n",
        day(week)
    )
}

/// Checks of the slider on sled-1: 6 N with a scatter of 0.05 N, moved by `moved(week)`.
fn checks(weeks: usize, moved: impl Fn(usize) -> f64) -> Vec<String> {
    (0..weeks)
        .map(|w| check(w, w, "slider", "sled-1", 6.0 + 0.05 * NOISE[w] + moved(w)))
        .collect()
}

/// A run of petg-a in every week, a day after the check.
fn runs(weeks: usize, rig: &str) -> Vec<String> {
    (0..weeks)
        .map(|w| {
            let date = day(w);
            let (head, last) = date.split_at(8);
            let next = last.parse::<u32>().expect("a day") + 1;
            format!("r-{w:02},1,{head}{next:02},ab,petg-a,{rig},glass,20,7.0,,\n")
        })
        .collect()
}

fn bench(lines: &[Vec<String>]) -> Bench {
    Bench::new()
        .file("catalog/materials.csv", MATERIALS)
        .file("catalog/rigs.csv", RIGS)
        .file(
            "catalog/readings/static-friction.csv",
            format!("{HEADER}{}", lines.concat().concat()),
        )
}

fn answered(bench: &Bench, code: u8) -> Value {
    bench
        .run(&["rig-check", "--format", "json"])
        .exits(code)
        .json()
}

fn first(v: &Value) -> &Value {
    &v["series"][0]["segments"][0]
}

fn words(v: &Value) -> Vec<&str> {
    v.as_array()
        .expect("a list")
        .iter()
        .filter_map(Value::as_str)
        .collect()
}

#[test]
fn a_rig_that_holds_is_in_control() {
    let v = answered(&bench(&[checks(12, |_| 0.0), runs(12, "sled-1")]), 0);
    assert_eq!(first(&v)["state"], "in-control", "{v:#}");
    assert_eq!(v["calls"], false);
    assert!(words(&v["runs_in_doubt"]).is_empty());
    assert_eq!(first(&v)["chart"]["base"], 8);
    // 20 N of load: a coefficient near 0.3.
    let mean = first(&v)["chart"]["mean"].as_f64().expect("a figure");
    assert!((mean - 0.3).abs() < 0.003, "{mean}");
}

#[test]
fn a_step_puts_the_runs_since_the_last_good_check_in_doubt() {
    let step = |w: usize| if w >= 9 { 0.6 } else { 0.0 };
    let lines = [checks(12, step), runs(12, "sled-1"), {
        // The same days on another sled.
        runs(12, "sled-2")
            .iter()
            .map(|l| l.replace("r-", "s-"))
            .collect()
    }];
    let v = answered(&bench(&lines), 1);
    assert_eq!(first(&v)["state"], "out-of-control");
    // The check of week 8 was good, that of week 9 bad; runs are made a day after the checks.
    let doubt = &first(&v)["doubts"][0];
    assert_eq!(doubt["last_good"]["run"], "ck-08");
    assert_eq!(doubt["first_bad"]["run"], "ck-09");
    assert_eq!(words(&doubt["between"]), ["r-08"]);
    assert_eq!(words(&doubt["during"]), ["r-09", "r-10", "r-11"]);
    assert_eq!(words(&v["runs_in_doubt"]), ["r-08", "r-09", "r-10", "r-11"]);
}

#[test]
fn the_line_it_offers_puts_the_reference_back() {
    let step = |w: usize| if w >= 9 { 0.6 } else { 0.0 };
    let lines = [checks(12, step), runs(12, "sled-1")];
    let out = bench(&lines);
    let v = answered(&out, 1);
    let lines_offered = first(&v)["calibration_lines"].as_array().expect("lines");
    for offered in lines_offered {
        let text = |k: &str| offered[k].as_str().expect("text").to_owned();
        assert_eq!(
            text("header").split(',').count(),
            text("line").split(',').count()
        );
        // Under the columns it names, below the lines that are there.
        let all = RIGS
            .replace("rig,kind,channel", "rig,channel")
            .replace(",sled,", ",")
            .replacen("gain_u\n", "gain_u,reference\n", 1)
            .replace("0.002\n", "0.002,\n");
        assert!(all.starts_with(&text("header")), "{all}");
        let mended = out_with(&lines, &format!("{all}{}\n", text("line")));
        let v = answered(&mended, 0);
        let segments = v["series"][0]["segments"].as_array().expect("segments");
        assert_eq!(segments.len(), 2, "a calibration begins a chart anew");
        let figures = |s: &Value| -> f64 {
            let c = s["checks"].as_array().expect("checks");
            c.iter().filter_map(|c| c["figure"].as_f64()).sum::<f64>() / c.len() as f64
        };
        assert!((figures(&segments[1]) / figures(&segments[0]) - 1.0).abs() < 0.01);
    }
    assert!(!lines_offered.is_empty());
}

fn out_with(lines: &[Vec<String>], rigs: &str) -> Bench {
    bench(lines).file("catalog/rigs.csv", rigs)
}

/// Off from the first day on: no chart sees it, the stated value does.
#[test]
fn a_reference_that_never_read_as_stated_calls() {
    let stated = |value: &str| {
        bench(&[checks(12, |_| 0.0), runs(12, "sled-1")]).file(
            "catalog/stated.csv",
            format!("material,property,value,spread,source\nslider,static-friction,{value},1 %,certificate\n"),
        )
    };
    let v = answered(&stated("0.3"), 0);
    assert_eq!(first(&v)["stated"]["holds"], true, "{v:#}");
    let v = answered(&stated("0.33"), 1);
    assert_eq!(first(&v)["state"], "in-control");
    assert_eq!(first(&v)["stated"]["holds"], false);
    let out = stated("0.33").run(&["rig-check"]).exits(1).out;
    assert!(out.contains("of what slider is stated to be"), "{out}");
}

#[test]
fn few_checks_say_nothing_and_raise_no_alarm() {
    let wild = |w: usize| if w == 3 { 3.0 } else { 0.0 };
    let v = answered(&bench(&[checks(4, wild)]), 0);
    assert_eq!(first(&v)["state"], "too-few");
    assert!(first(&v)["chart"].is_null());
    let out = bench(&[checks(4, wild)]).run(&["rig-check"]).exits(0).out;
    assert!(
        out.starts_with("Too few checks of reference specimens"),
        "{out}"
    );
}

#[test]
fn a_drift_within_the_calibrations_uncertainty_is_to_be_watched() {
    let wide = RIGS.replace("0.002\n", "0.05\n");
    let slow = |w: usize| 0.03 * w as f64;
    let v = answered(&out_with(&[checks(12, slow), runs(12, "sled-1")], &wide), 0);
    assert_eq!(first(&v)["state"], "watch", "{v:#}");
    assert_eq!(first(&v)["chart"]["by_calibration"], true);
    let left = first(&v)["chart"]["drift"]["months_left"].as_f64();
    assert!(left.is_some_and(|m| m > 0.0), "{left:?}");
    // The same drift under a narrow calibration calls.
    let v = answered(&bench(&[checks(12, slow), runs(12, "sled-1")]), 1);
    assert_eq!(first(&v)["state"], "out-of-control");
}

#[test]
fn a_bad_check_set_aside_calls_no_more() {
    let slip = |w: usize| if w == 10 { 1.0 } else { 0.0 };
    let mut lines = checks(12, slip);
    let v = answered(&bench(&[lines.clone(), runs(12, "sled-1")]), 1);
    assert_eq!(first(&v)["state"], "returned");
    lines[10] = lines[10].replace(",,\n", ",,2026-04-01 out: the sled tipped\n");
    let v = answered(&bench(&[lines, runs(12, "sled-1")]), 0);
    assert_eq!(first(&v)["state"], "in-control");
    assert_eq!(words(&v["series"][0]["set_aside"]), ["ck-10"]);
}

#[test]
fn bounds_and_undated_checks_are_told_and_stand_in_no_chart() {
    let mut lines = checks(8, |_| 0.0);
    lines.push("ck-90,1,2026-03-20,ab,slider,sled-1,glass,20,60,,\n".to_owned());
    lines.push("ck-91,1,,ab,slider,sled-1,glass,20,6,,\n".to_owned());
    let v = answered(&bench(&[lines]), 0);
    assert_eq!(v["series"][0]["bounds"], 1, "above the rig's 50 N");
    assert_eq!(v["series"][0]["undated"], 1);
    assert_eq!(first(&v)["checks"].as_array().map(Vec::len), Some(8));
}

#[test]
fn a_rig_without_a_reference_is_named() {
    let v = answered(&bench(&[runs(3, "sled-2")]), 0);
    assert_eq!(v["unchecked"][0]["rig"], "sled-2");
    assert_eq!(v["unchecked"][0]["runs"], 3);
    let out = bench(&[runs(3, "sled-2")]).run(&["rig-check"]).exits(0).out;
    assert!(
        out.contains("No reference was read on: sled-2 (3 runs)"),
        "{out}"
    );
}

/// References never rank, lend no spread and no level: what is believed of a candidate stays to the last digit.
#[test]
fn references_change_nothing_of_the_candidates() {
    let shown = |lines: &[Vec<String>]| {
        bench(lines)
            .run(&["show", "petg-a", "--format", "json"])
            .exits(0)
            .json()["properties"]
            .clone()
    };
    let alone = shown(&[runs(12, "sled-1")]);
    let step = |w: usize| if w >= 9 { 0.6 } else { 0.0 };
    assert_eq!(alone, shown(&[runs(12, "sled-1"), checks(12, step)]));
    assert!(alone.as_array().is_some_and(|a| !a.is_empty()), "{alone}");
}

/// What was recorded later is not there yet.
#[test]
fn as_of_a_day_the_later_checks_are_not_there() {
    let step = |w: usize| if w >= 9 { 0.6 } else { 0.0 };
    let b = bench(&[checks(12, step), runs(12, "sled-1")]);
    let v = b
        .run(&["rig-check", "--format", "json", "--as-of", "2026-03-03"])
        .exits(0)
        .json();
    assert_eq!(
        first(&v)["checks"].as_array().map(Vec::len),
        Some(9),
        "{v:#}"
    );
}

#[test]
fn an_unknown_rig_gets_a_near_name() {
    let ran: Ran = bench(&[runs(3, "sled-2")])
        .run(&["rig-check", "sled-3"])
        .exits(2);
    assert!(
        ran.err.contains("usage::unknown-rig") && ran.err.contains("sled-2"),
        "{ran:?}"
    );
}

/// Two references by two operators, repeats in each cell: operators that differ are told from repeats.
#[test]
fn operators_are_told_from_repeats() {
    let mut lines = Vec::new();
    for (r, (material, pull)) in [("slider", 6.0), ("other-slider", 9.0)].iter().enumerate() {
        for (s, (operator, off)) in [("ab", 1.0), ("cd", 1.1)].iter().enumerate() {
            for k in 0..3 {
                let y = pull * off * (1.0 + 0.004 * NOISE[3 * (2 * r + s) + k]);
                lines.push(format!(
                    "ck-{r},{},2026-02-01,{operator},{material},sled-1,glass,20,{y:.3},,\n",
                    3 * s + k + 1
                ));
            }
        }
    }
    let v = answered(&bench(&[lines]), 0);
    let p = &v["precision"][0];
    assert_eq!(p["factor"], "operator");
    assert_eq!(p["design"], "crossed-pooled", "{p:#}");
    assert_eq!(p["readings"], 12);
    let of = |k: &str, i: usize| p[k][i].as_f64().expect("a figure");
    // ln 1.1 between two operators is a standard deviation of 0.067.
    assert!((of("between", 0) - 0.0674).abs() < 0.005, "{p:#}");
    assert!(of("repeat", 0) < 0.006 && of("both", 0) > of("between", 0));
    assert!(
        of("between", 1) < of("between", 0) && of("between", 2) > 0.3,
        "two operators say little"
    );
}

#[test]
fn unequal_days_go_by_restricted_likelihood() {
    let mut lines = Vec::new();
    for w in 0..4 {
        for k in 0..(2 + w % 2) {
            let y = 6.0 + 0.05 * NOISE[3 * w + k] + 0.2 * NOISE[w];
            lines.push(format!(
                "ck-{w},{},{},ab,slider,sled-1,glass,20,{y:.3},,\n",
                k + 1,
                day(w)
            ));
        }
    }
    let v = answered(&bench(&[lines]), 0);
    let p = &v["precision"][0];
    assert_eq!(
        (&p["factor"], &p["design"]),
        (&"day".into(), &"nested-uneven".into())
    );
    assert!(p["between"][0].as_f64() > p["repeat"][0].as_f64(), "{p:#}");
}

#[test]
fn the_demo_shows_one_rig_that_holds_and_one_that_does_not() {
    let v = crate::support::dutyfit(&["rig-check", "--demo", "--format", "json"])
        .exits(1)
        .json();
    let state = |rig: &str| {
        v["series"]
            .as_array()
            .expect("series")
            .iter()
            .filter(|s| s["rig"] == rig)
            .map(|s| {
                s["segments"][0]["state"]
                    .as_str()
                    .expect("a word")
                    .to_owned()
            })
            .collect::<Vec<_>>()
    };
    assert_eq!(state("sled-1"), ["out-of-control"]);
    assert_eq!(state("durometer-a"), ["in-control", "in-control"]);
    assert!(words(&v["runs_in_doubt"]).len() > 5);
    for format in ["text", "markdown"] {
        let ran = crate::support::dutyfit(&["rig-check", "--demo", "--format", format]).exits(1);
        assert!(ran.out.contains("[invented demo]") || ran.out.contains("\\[invented demo\\]"));
    }
}
