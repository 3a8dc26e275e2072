//! `show MATERIAL --why PROPERTY`: the way from readings to an interval is whole, and its sums come out.

use crate::support::{Bench, dutyfit};
use dutyfit::advise::holdings;
use dutyfit::belief::{Evidence, MaterialKind, Road};
use dutyfit::catalog::{Source, load_catalog};
use dutyfit::property::Ask;
use dutyfit::render::{Page, WhyShown};
use serde_json::Value as Json;
use statrs::distribution::{ContinuousCDF, StudentsT};

const MATERIALS: &str = "material,title,polymer,kind\nx,X,petg,\ny,Y,petg,\nz,Z,petg,\n";
const TENSILE: &str = "run,specimen,date,material,lot,print,rig,direction,temperature [degC],moisture,annealed,width [mm],thickness [mm],force [N],outcome,set_aside\n";

fn bench(rows: &str) -> Bench {
    Bench::new()
        .file("catalog/materials.csv", MATERIALS)
        .file(
            "catalog/prints.csv",
            "print,material,lot\np1,x,l1\np2,y,\np3,z,\n",
        )
        .file("catalog/readings/tensile.csv", format!("{TENSILE}{rows}"))
}

#[track_caller]
fn json(bench: &Bench, args: &[&str]) -> Json {
    let args = [&["show"], args, &["--format", "json"]].concat();
    bench.run(&args).exits(0).json()
}

fn num(j: &Json, pointer: &str) -> f64 {
    j.pointer(pointer)
        .and_then(Json::as_f64)
        .unwrap_or_else(|| panic!("no figure at {pointer} in {j:#}"))
}

fn reading<'a>(j: &'a Json, run: &str) -> &'a Json {
    let all = j["readings"].as_array().expect("readings");
    all.iter()
        .find(|r| r["run"] == run)
        .unwrap_or_else(|| panic!("no reading of {run} in {j:#}"))
}

fn demo() -> Evidence {
    load_catalog(&Source::Demo, None)
        .expect("the demo")
        .evidence()
}

/// Every ask that a row of `show` stands for, of every candidate of the demo.
fn shown_asks(evidence: &Evidence) -> Vec<(String, Ask, Option<[f64; 3]>)> {
    let mut asks = Vec::new();
    for m in evidence.materials() {
        if m.kind != MaterialKind::Candidate {
            continue;
        }
        for row in holdings(&m.id, evidence).rows {
            let ask = Ask {
                lies: row.condition.direction.map(|d| d.lies()),
                face: row.condition.face,
                temperature_c: row.condition.temperature_c,
                moisture: row.condition.moisture,
                counterface: row.condition.counterface.clone(),
                life_h: row.life_h,
                ..Ask::of(row.property)
            };
            asks.push((m.id.clone(), ask, row.mean));
        }
    }
    asks
}

#[test]
fn every_figure_of_show_is_explained_within_the_page_and_by_the_schema() {
    let evidence = demo();
    let schema = dutyfit(&["schema", "why"]).exits(0).json();
    let schema = jsonschema::validator_for(&schema).unwrap();
    let mut asks = shown_asks(&evidence);
    assert!(asks.len() > 500, "{}", asks.len());
    for m in ["petg-a", "petg-b", "tpu-85-a", "pa12-a"] {
        for p in evidence.properties().iter() {
            let usual = evidence.usual_ask(m, p.id.clone());
            asks.push((m.to_owned(), usual.clone(), None));
            asks.push((m.to_owned(), usual.clone().at(70.0), None));
            asks.push((m.to_owned(), usual.after(87_660.0), None));
        }
    }
    for (k, (material, ask, mean)) in asks.iter().enumerate() {
        let belief = evidence.believe(material, ask);
        let Some(why) = evidence.why(material, ask) else {
            assert!(belief.is_absent(), "{material} {ask:?}");
            continue;
        };
        if let Some([low, median, high]) = mean {
            let told = why
                .result
                .mean
                .unwrap_or_else(|| panic!("{material} {ask:?}"));
            assert_eq!([told.low, told.median, told.high], [*low, *median, *high]);
        }
        if why.road == Road::Own && !belief.is_absent() {
            let counted = why.readings.iter().filter(|r| r.counts).count();
            assert_eq!(counted as u32, belief.specimens, "{material} {ask:?}");
        }
        assert!(
            why.readings
                .iter()
                .all(|r| r.counts != r.left_out.is_some()),
            "{material} {ask:?}"
        );
        let shown = WhyShown {
            why: &why,
            origin: dutyfit::catalog::Origin::Demo,
        };
        for line in shown
            .text(Page {
                width: 80,
                colour: false,
            })
            .lines()
        {
            assert!(line.chars().count() <= 80, "{material} {ask:?}: {line}");
        }
        // The schema is the slow part: a spread of them is enough.
        if k % 7 == 0 {
            let value: Json = serde_json::from_str(&shown.json()).unwrap();
            let faults: Vec<String> = schema
                .iter_errors(&value)
                .map(|e| format!("{}: {e}", e.instance_path()))
                .collect();
            assert!(faults.is_empty(), "{material} {ask:?}: {faults:#?}");
        }
    }
}

#[test]
fn each_reading_left_out_says_why() {
    let b = bench(
        "t1,1,2026-03-01,x,,p1,,across,23,room,,10,4,1000,,\n\
         t1,2,2026-03-01,x,,p1,,across,23,room,,10,4,1040,,\n\
         t1,3,2026-03-01,x,,p1,,across,23,room,,10,4,900,slipped,\n\
         t2,1,2026-03-02,x,,p1,,flat,23,room,,10,4,1800,,\n\
         t3,1,2026-03-03,x,,p1,,across,60,room,,10,4,500,,\n\
         t4,1,2026-03-04,x,,p1,,across,23,wet,,10,4,800,,\n\
         t5,1,2026-03-05,x,,p1,,across,23,room,80 degC 4 h,10,4,1300,,\n\
         t6,1,2026-03-06,x,,p1,,across,23,room,,10,4,400,,2026-03-07 out: the grip cut in\n",
    );
    let j = json(&b, &["x", "--why", "tensile-strength"]);
    assert_eq!(j["format"], "dutyfit.why/1");
    assert_eq!(
        (&j["road"], &j["result"]["grade"]),
        (&"own".into(), &"measured".into())
    );
    let why = |run: &str| reading(&j, run)["left_out"].clone();
    assert_eq!(why("t1"), Json::Null);
    assert_eq!(why("t2")["condition"]["note"], "other-direction");
    assert_eq!(why("t3"), "nearer-temperature");
    assert_eq!(
        why("t5")["condition"]["note"]["annealed-only"],
        "80 degC 4 h"
    );
    assert_eq!(why("t6")["set-aside"]["why"], "the grip cut in");
    let slipped = &j["readings"][2];
    assert_eq!(
        (&slipped["outcome"], &slipped["left_out"]),
        (&"slipped".into(), &"no-evidence".into())
    );
    // PETG takes up little, so the wet one could stand in; a room one is there, so it does not.
    assert_eq!(why("t4"), "own-moisture");
    assert_eq!(num(&j, "/result/specimens"), 2.0);

    let text = b
        .run(&["show", "x", "--why", "tensile-strength"])
        .exits(0)
        .out;
    for said in [
        "Left out, run t2: specimen 1 (45 MPa): tested flat, and the load asked for\nlies across the layers.",
        "Left out, run t6: specimen 1 (10 MPa): set aside (the grip cut in).",
        "Left out, run t1: specimen 3: slipped, which is no evidence.",
        "Left out, run t3: specimen 1 (12.5 MPa): tested at 60 degC; others are nearer",
    ] {
        assert!(
            text.replace('\n', " ").contains(&said.replace('\n', " ")),
            "`{said}` is not in\n{text}"
        );
    }
}

#[test]
fn the_conditions_asked_for_can_be_named() {
    let b = bench(
        "t1,1,2026-03-01,x,,,,across,23,room,,10,4,1000,,\n\
         t2,1,2026-03-02,x,,,,flat,23,room,,10,4,1800,,\n\
         t3,1,2026-03-03,x,,,,across,60,room,,10,4,500,,\n",
    );
    let ask = |more: &[&str]| json(&b, &[&["x", "--why", "tensile-strength"], more].concat());
    let figure = |j: &Json| {
        let all = j["readings"].as_array().unwrap();
        let counted: Vec<f64> = all
            .iter()
            .filter(|r| r["counts"] == true)
            .map(|r| num(r, "/figure/value"))
            .collect();
        counted
    };
    assert_eq!(figure(&ask(&[])), [25.0]);
    assert_eq!(figure(&ask(&["--lies", "in-plane"])), [45.0]);
    assert_eq!(figure(&ask(&["--lies", "flat"])), [45.0]);
    assert_eq!(figure(&ask(&["--at", "60"])), [12.5]);
    assert_eq!(figure(&ask(&["--at", "140 degF"])), [12.5]);
    let both = ask(&["--at", "41.5"]);
    assert_eq!(figure(&both), [25.0, 12.5]);
    assert_eq!(both["notes"][0]["interpolated"]["high_c"], 60.0);

    for (more, code) in [
        (&["--why", "tensile-stength"][..], "usage::unknown-property"),
        (
            &["--why", "tensile-strength", "--on", "stell-smooth"],
            "counterface::unknown",
        ),
        (
            &["--why", "tensile-strength", "--after", "5"],
            "unit::missing",
        ),
        (
            &["--why", "tensile-strength", "--after", "0 h"],
            "usage::not-above-zero",
        ),
        (&["--why", "tensile-strength", "--at", "5 MPa"], "unit::"),
    ] {
        let ran = b.run(&[&["show", "x"], more].concat()).exits(2);
        assert!(ran.err.contains(code), "{more:?}: {}", ran.err);
    }
    let ran = b.run(&["show", "x", "--why", "tensile-stength"]);
    assert!(
        ran.err
            .contains("write `tensile-strength` if that is what was meant")
    );
    let ran = b.run(&["show", "x", "--at", "60"]).exits(2);
    assert!(ran.err.contains("--why"), "{}", ran.err);
}

/// Derived by hand from the readings alone: mean and standard deviation of ln y, and Student's t of
/// two degrees of freedom at 95 % (2.919986, tables).
#[test]
fn the_readings_alone_are_the_textbook_interval() {
    let b = bench(
        "t1,1,2026-03-01,x,,p1,,across,23,room,,10,4,1000,,\n\
         t1,2,2026-03-01,x,,p1,,across,23,room,,10,4,1100,,\n\
         t1,3,2026-03-01,x,,p1,,across,23,room,,10,4,1210,,\n",
    );
    let j = json(&b, &["x", "--why", "tensile-strength"]);
    let (mean, sd) = ((27.5_f64).ln(), (1.1_f64).ln());
    let close = |pointer: &str, want: f64| {
        let got = num(&j, pointer);
        assert!(
            (got - want).abs() < 1e-6 * want.abs(),
            "{pointer}: {got}, not {want}"
        );
    };
    close("/alone/mean_natural", mean);
    close("/alone/sd_natural", sd);
    close("/alone/t95", 2.919_985_58);
    close(
        "/alone/interval/low",
        (mean - 2.919_985_58 * sd / 3_f64.sqrt()).exp(),
    );
    close(
        "/alone/interval/high",
        (mean + 2.919_985_58 * sd / 3_f64.sqrt()).exp(),
    );
    close("/prints/0/mean", 27.5);
    close("/own_spread/sd_natural", sd);
    assert_eq!(num(&j, "/own_spread/dof"), 2.0);
}

#[test]
fn bounds_say_what_brings_the_centre_and_what_maximum_likelihood_finds() {
    let b = bench(
        "t1,1,2026-03-01,x,,p1,,across,23,room,,10,4,1000,no break,\n\
         t1,2,2026-03-01,x,,p1,,across,23,room,,10,4,1100,no break,\n\
         u1,1,2026-03-01,y,,p2,,across,23,room,,10,4,1200,,\n\
         u1,2,2026-03-01,y,,p2,,across,23,room,,10,4,1300,,\n\
         v1,1,2026-03-01,z,,p3,,across,23,room,,10,4,1200,no break,\n\
         v1,2,2026-03-01,z,,p3,,across,23,room,,10,4,1300,,\n\
         v1,3,2026-03-01,z,,p3,,across,23,room,,10,4,1400,,\n",
    );
    let j = json(&b, &["x", "--why", "tensile-strength"]);
    assert_eq!(j["result"]["grade"], "bounded");
    assert_eq!(j["result"]["side"], "at-least");
    assert_eq!(j["centre"]["from"], "polymer");
    let lenders: Vec<&Json> = j["centre"]["lenders"].as_array().unwrap().iter().collect();
    assert_eq!(lenders[0]["material"], "y");
    assert_eq!(j["alone"]["no_likeliest"], "only-at-least");
    assert_eq!(j["readings"][0]["natural"]["bound"], "at_least");
    assert!(num(&j, "/result/mean_as_exact/median") > 24.0);
    let text = b
        .run(&["show", "x", "--why", "tensile-strength"])
        .exits(0)
        .out;
    assert!(text.contains("2 readings are bounds or ranges."), "{text}");
    assert!(text.contains("Its polymer lends"), "{text}");

    let j = json(&b, &["z", "--why", "tensile-strength"]);
    assert_eq!(j["result"]["grade"], "measured");
    assert_eq!(j["centre"]["from"], "own-readings");
    assert_eq!(num(&j, "/alone/exact"), 2.0);
    assert_eq!(num(&j, "/alone/bounds"), 1.0);
    assert!(num(&j, "/alone/likeliest/mean") > num(&j, "/alone/mean"));
}

#[test]
fn a_centre_against_all_bounds_is_told() {
    let b = bench(
        "t1,1,2026-03-01,x,,p1,,across,23,room,,10,4,9000,no break,\n\
         u1,1,2026-03-01,y,,p2,,across,23,room,,10,4,400,,\n\
         u1,2,2026-03-01,y,,p2,,across,23,room,,10,4,410,,\n\
         v1,1,2026-03-01,z,,p3,,across,23,room,,10,4,390,,\n",
    );
    let j = json(&b, &["x", "--why", "tensile-strength"]);
    assert!(num(&j, "/result/mean/high") < 225.0, "{:#}", j["result"]);
    assert_eq!(j["centre"]["against_bounds"], true);
    let j = json(&b, &["z", "--why", "tensile-strength"]);
    assert_eq!(j["centre"]["against_bounds"], false);
}

#[test]
fn what_is_not_known_names_what_was_looked_for_and_the_test() {
    let b = bench("t1,1,2026-03-01,x,,p1,,across,23,room,,10,4,1000,,\n");
    let j = json(&b, &["x", "--why", "impact-notched"]);
    assert_eq!(
        (&j["road"], &j["test"]),
        (&"nothing".into(), &"impact".into())
    );
    assert_eq!(j["result"]["mean"], Json::Null);
    let text = b
        .run(&["show", "x", "--why", "impact-notched"])
        .exits(0)
        .out;
    assert!(
        text.starts_with("x, notched impact strength: nothing is known"),
        "{text}"
    );
    assert!(text.contains("Looked for and not found"), "{text}");
    assert!(text.contains("An impact run"), "{text}");
}

#[test]
fn stated_values_stand_beside_exact_readings_and_give_the_centre_where_there_are_none() {
    let b = bench("t1,1,2026-03-01,x,,p1,,across,23,room,,10,4,1000,,\n").file(
        "catalog/stated.csv",
        "material,polymer,property,value,spread,direction,standard,source\n\
         x,,tensile-strength,60 MPa,10 %,across,ISO 527,sheet\n\
         y,,tensile-strength,60 MPa,,across,ISO 527,sheet\n",
    );
    let x = json(&b, &["x", "--why", "tensile-strength"]);
    assert_eq!(
        (&x["stated"][0]["used"], &x["centre"]["from"]),
        (&false.into(), &"own-readings".into())
    );
    let y = json(&b, &["y", "--why", "tensile-strength"]);
    assert_eq!(
        (&y["stated"][0]["used"], &y["stated"][0]["sd_assumed"]),
        (&true.into(), &true.into())
    );
    assert_eq!(
        (&y["road"], &y["centre"]["from"]),
        (&"stated".into(), &"stated".into())
    );
    assert!((num(&y, "/centre/at") - 60.0).abs() < 1e-6);
}

#[test]
fn the_rig_is_told_with_its_slopes() {
    let b = bench("t1,1,2026-03-01,x,,p1,f1,across,23,room,,10,4,1000,,\n").file(
        "catalog/rigs.csv",
        "rig,kind,channel,from,unit,low,high,resolution,offset,offset_u,gain,gain_u\n\
         f1,frame,force,2026-01-01,N,0,5000,1,0,0,1.02,0.0102\n\
         f1,frame,thickness,2026-01-01,mm,0,50,0.01,0,0.04,1,0\n",
    );
    let j = json(&b, &["x", "--why", "tensile-strength"]);
    // Gain: -ln(1 + u/gain) of the force. Offset: the thickness is u less, so the stress rises by
    // -ln(1 - 0.04 / 4) (JCGM 100, 5.1.3: c u; both derived by hand).
    let slope = |part: &str| {
        let all = j["bias"].as_array().unwrap();
        let b = all.iter().find(|b| b["part"] == part).unwrap();
        num(b, "/slope_natural")
    };
    assert!((slope("gain") + 1.01_f64.ln()).abs() < 1e-9);
    assert!((slope("offset") + 0.99_f64.ln()).abs() < 1e-9);
    let both = 1.01_f64.ln().hypot(0.99_f64.ln());
    assert!((num(&j, "/bias_sd_natural") - both).abs() < 1e-9);
    assert_eq!(num(&j, "/calibrations/0/gain"), 1.02);
    assert_eq!(num(&j, "/readings/0/figure/value"), 24.509_803_92);
}

#[test]
fn the_page_for_documents_holds_the_same_steps() {
    let markdown = dutyfit(&[
        "show",
        "petg-a",
        "--why",
        "tensile-strength",
        "--demo",
        "--format",
        "markdown",
    ])
    .exits(0)
    .out;
    assert!(
        markdown.starts_with("# petg-a, tensile strength\n"),
        "{markdown}"
    );
    for step in ["## 1 What is asked", "## 2 Readings", "## 3 Reduction"] {
        assert!(markdown.contains(step), "{step} is not in\n{markdown}");
    }
}

/// The chance below `y` of the mixture that the answer prints.
fn below(closed: &Json, scale: &str, y: f64) -> f64 {
    let dof = num(closed, "/dof");
    let t = StudentsT::new(0.0, 1.0, dof).unwrap();
    let nodes = closed["nodes"].as_array().unwrap();
    nodes
        .iter()
        .map(|n| {
            let z = (y.ln() - num(n, "/at_natural")) / num(n, &format!("/{scale}"));
            num(n, "/weight") * t.cdf(z)
        })
        .sum()
}

#[test]
fn the_sums_printed_give_the_interval_printed() {
    for (material, property) in [
        ("petg-a", "tensile-strength"),
        ("tpu-85-a", "density"),
        ("pa12-a", "flexural-modulus"),
    ] {
        let args = [
            "show", material, "--why", property, "--demo", "--format", "json",
        ];
        let j = dutyfit(&args).exits(0).json();
        let c = &j["result"]["closed"];
        let near = |got: f64, want: f64| {
            assert!(
                (got - want).abs() < 2e-5,
                "{material} {property}: {got}, not {want}"
            );
        };
        for (what, scale) in [
            ("mean", "mean_scale_natural"),
            ("next_part", "next_scale_natural"),
        ] {
            for (end, p) in [("low", 0.05), ("median", 0.5), ("high", 0.95)] {
                near(below(c, scale, num(c, &format!("/{what}/{end}"))), p);
            }
            // The rigs' uncertainty makes the printed interval wider, a little.
            let bare = num(c, &format!("/{what}/low"));
            let told = num(&j, &format!("/result/{what}/low"));
            assert!(told <= bare && told > 0.9 * bare, "{told} {bare}");
        }
        let nodes = c["nodes"].as_array().unwrap();
        near(nodes.iter().map(|n| num(n, "/weight")).sum(), 1.0);
        let middle = &nodes[nodes.len() / 2];
        let low = num(middle, "/at_natural") - num(c, "/t95") * num(middle, "/mean_scale_natural");
        near(low.exp() / num(c, "/middle_mean/low"), 1.0);
        let s = &j["spread"];
        let before = num(s, "/before_sd_natural").max(num(s, "/floor_sd_natural"));
        let squares = num(s, "/before_dof") * before.powi(2) + num(s, "/own_squares_natural");
        near(
            (squares / num(s, "/after_dof")).sqrt(),
            num(s, "/after_sd_natural"),
        );
        near(num(middle, "/spread_natural"), num(s, "/after_sd_natural"));
    }
}

/// Derived by hand: no print scatter, so that the conjugate normal model of the textbook is left;
/// the table's 8 % with 4 degrees of freedom, three readings, t of 6 degrees at 95 % 1.943180 (tables).
#[test]
fn without_print_scatter_the_interval_is_the_conjugate_one() {
    let b = bench(
        "t1,1,2026-03-01,x,,p1,,across,23,room,,10,4,1000,,\n\
         t1,2,2026-03-01,x,,p1,,across,23,room,,10,4,1100,,\n\
         t1,3,2026-03-01,x,,p1,,across,23,room,,10,4,1210,,\n",
    )
    .file(
        "policy.json",
        r#"{ "format": "dutyfit.policy/1", "rho": { "value": 0, "status": "assumed" } }"#,
    );
    let j = json(&b, &["x", "--why", "tensile-strength"]);
    let s = ((4.0 * 0.08_f64.powi(2) + 2.0 * 1.1_f64.ln().powi(2)) / 6.0).sqrt();
    let close = |pointer: &str, want: f64| {
        let got = num(&j, pointer);
        assert!(
            (got - want).abs() < 2e-6 * want,
            "{pointer}: {got}, not {want}"
        );
    };
    assert_eq!(j["spread"]["from"]["pool"], "default");
    close("/spread/after_sd_natural", s);
    close(
        "/result/mean/low",
        27.5 * (-1.943_180_28 * s / 3_f64.sqrt()).exp(),
    );
    close(
        "/result/next_part/high",
        27.5 * (1.943_180_28 * s * (4.0_f64 / 3.0).sqrt()).exp(),
    );
}

#[test]
fn the_pool_says_whose_scatter_it_is() {
    let mut rows = String::from("t1,1,2026-03-01,x,,p1,f1,across,23,room,,10,4,1000,,\n");
    for (run, print, rig) in [
        ("u1", "p2", "f1"),
        ("u2", "p3", "f1"),
        ("u3", "", ""),
        ("u4", "", ""),
    ] {
        let material = if run == "u1" || run == "u3" { "y" } else { "z" };
        for (k, force) in [1000, 1030, 1060].iter().enumerate() {
            rows.push_str(&format!(
                "{run},{},2026-03-01,{material},,{print},{rig},across,23,room,,10,4,{force},,\n",
                k + 1
            ));
        }
    }
    let b = bench(&rows).file(
        "catalog/rigs.csv",
        "rig,kind,channel,from,unit,low,high,resolution,offset,offset_u,gain,gain_u\n\
         f1,frame,force,2026-01-01,N,0,5000,1,0,0,1,0\n",
    );
    let same = json(&b, &["x", "--why", "tensile-strength"]);
    assert_eq!(same["spread"]["from"]["pool"], "same-rig");
    assert_eq!(same["spread"]["from"]["rig_kind"], "frame");
    assert_eq!(num(&same, "/spread/from/materials"), 2.0);
    assert_eq!(num(&same, "/spread/from/dof"), 4.0);
    let text = b
        .run(&["show", "x", "--why", "tensile-strength"])
        .exits(0)
        .out;
    assert!(
        text.contains("2 other materials tested on the same kind of rig (frame)"),
        "{text}"
    );
}

#[test]
fn a_gross_outlier_is_shown_with_what_it_counts_as() {
    let b = bench(
        "t1,1,2026-03-01,x,,p1,,across,23,room,,10,4,1000,,\n\
         t1,2,2026-03-01,x,,p1,,across,23,room,,10,4,1040,,\n\
         t1,3,2026-03-01,x,,p1,,across,23,room,,10,4,16000,,\n",
    );
    let j = json(&b, &["x", "--why", "tensile-strength"]);
    let third = &j["readings"][2];
    assert_eq!(num(third, "/figure/value"), 400.0);
    let read = num(third, "/outlier_natural");
    assert!((read - 400_f64.ln()).abs() < 1e-8);
    assert!(num(third, "/natural/value") < read - 0.5);
    // The check by the readings alone takes them as they were read.
    let alone = (25_f64.ln() + 26_f64.ln() + 400_f64.ln()) / 3.0;
    assert!((num(&j, "/alone/mean_natural") - alone).abs() < 1e-8);
    let text = b
        .run(&["show", "x", "--why", "tensile-strength"])
        .exits(0)
        .out;
    assert!(text.contains("pulled in from 5.9915"), "{text}");
}

#[test]
fn sustained_strength_without_a_long_run_names_the_short_time_strength() {
    let args = [
        "show",
        "petg-a",
        "--demo",
        "--why",
        "sustained-strength",
        "--after",
        "5 year",
        "--at",
        "40",
    ];
    let text = dutyfit(&args).exits(0).out.replace('\n', " ");
    assert!(
        text.contains("a policy share of its short-time strength"),
        "{text}"
    );
    assert!(
        text.contains(
            "`dutyfit show petg-a --why tensile-strength --lies in-plane --at 40 --demo`"
        ),
        "{text}"
    );
}
