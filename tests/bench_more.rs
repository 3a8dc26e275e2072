//! Rings, torque kept, layer adhesion, print trials and own properties, as a tester meets them.

#![expect(clippy::expect_used, reason = "a test that cannot go on stops here")]

use crate::support::{Bench, Ran};
use dutyfit::bench::{Observation, Value, reduce_run};
use dutyfit::catalog::read_sheet;
use dutyfit::property::{Direction, Properties};
use dutyfit::quantity::Reading;
use proptest::prelude::*;

/// The observations of every specimen of a sheet.
fn observed(sheet: &str) -> Vec<Observation> {
    let (test, runs) = read_sheet("sheet.csv", sheet.as_bytes()).expect("a sheet without faults");
    runs.iter()
        .flat_map(|r| reduce_run(test, r, &Properties::default()).specimens)
        .flat_map(|s| s.observations)
        .collect()
}

const ADHESION: &str =
    "specimen,point,force_across [N],area_across [mm2],force_flat [N],area_flat [mm2]\n";

#[test]
fn unpaired_pieces_are_looks_that_share_how_well_the_flat_mean_is_known() {
    let flat = [500.0, 520.0, 510.0, 530.0];
    let mut sheet = ADHESION.to_owned();
    for (k, f) in flat.iter().enumerate() {
        sheet += &format!("1,{},{},10,{f},10\n", k + 1, 300 + 10 * k);
    }
    let all = observed(&sheet);
    assert_eq!(all.len(), 4, "a look a piece across");
    let (mean, sd) = (515.0, (500.0_f64 / 3.0).sqrt());
    for (o, across) in all.iter().zip([300.0, 310.0, 320.0, 330.0]) {
        assert!((o.value.figure() / (across / mean) - 1.0).abs() < 1e-12);
        let [b] = o.bias.as_slice() else {
            panic!("one shared error: {:?}", o.bias)
        };
        assert_eq!(b.calibration, all[0].bias[0].calibration);
        assert!((b.slope + sd / mean / 2.0).abs() < 1e-12, "{}", b.slope);
    }
    // Other pieces share nothing with them.
    let other = observed(&sheet.replace("500", "501"));
    assert_ne!(other[0].bias[0].calibration, all[0].bias[0].calibration);
    // Two alike flat pieces are not known without error.
    let two = observed(&format!("{ADHESION}1,1,300,10,500,10\n1,2,310,10,500,10\n"));
    assert!((two[0].bias[0].slope + 0.08 / 2.0_f64.sqrt()).abs() < 1e-12);
    // Pairs share nothing at all: each has its own flat piece.
    let pairs = observed(&format!("{ADHESION}1,1,300,10,500,10\n2,1,310,10,520,10\n"));
    assert!(pairs.len() == 2 && pairs.iter().all(|o| o.bias.is_empty()));
}

#[test]
fn a_ring_lies_flat_unless_it_says_otherwise() {
    let of = |direction: &str| {
        let all = observed(&format!(
            "direction,inner [mm],wall [mm],height [mm],bar [mm],force [N],outcome\n{direction},40,2,10,44,20,no break\n"
        ));
        let said = |id: &str| {
            let o = all.iter().find(|o| o.property.as_str() == id);
            o.expect("an observation").condition.direction
        };
        (said("break-strain"), said("stretch-modulus"))
    };
    assert_eq!(of(""), (Some(Direction::Flat), None));
    assert_eq!(
        of("across"),
        (Some(Direction::Across), Some(Direction::Across))
    );
}

proptest! {
    /// A ring of a neo-Hookean rubber gives its modulus back, whatever holds it.
    #[test]
    fn a_neo_hookean_ring_gives_its_modulus_back(
        e in 1.0..250.0_f64,
        stretch in 1.02..1.29_f64,
        inner in 20.0..80.0_f64,
        wall in 0.4..4.0_f64,
        pin in 2.0..6.0_f64,
    ) {
        use std::f64::consts::PI;
        // Length of the bore at which the middle of the wall is stretched so.
        let length = stretch * PI * (inner + wall) - PI * wall;
        let force = e / 3.0 * (stretch - stretch.powi(-2)) * 2.0 * wall * 10.0;
        let head = "inner [mm],wall [mm],height [mm],pin [mm],centres [mm],bar [mm],force [N]\n";
        let centres = 0.5 * (length - PI * pin);
        for held in [format!("{pin},{centres},"), format!(",,{}", length / PI)] {
            let all = observed(&format!("{head}{inner},{wall},10,{held},{force}\n"));
            let got = all.iter().find(|o| o.property.as_str() == "stretch-modulus");
            let got = got.map(|o| o.value.clone());
            let Some(Value::Now(Reading::Exact(x))) = got else {
                return Err(TestCaseError::fail(format!("{got:?}")));
            };
            prop_assert!((x / e - 1.0).abs() < 1e-9, "{x} {e}");
        }
    }

    /// What is lost is lost in grams as in milligrams, and half the way of the reference counts twice.
    #[test]
    fn the_drum_is_a_ratio(loss in 5.0..400.0_f64, reference in 101.0..399.0_f64, share in 0.2..1.0_f64) {
        let head = "method,mass_loss [mg],density [g/cm3],reference_loss [mg],distance [m]\n";
        let of = |loss: f64, way: f64| {
            observed(&format!("{head}drum,{loss},1.2,{reference},{way}\n"))[0].value.figure()
        };
        let whole = of(loss, 40.0);
        prop_assert!((whole / (loss * 200.0 / (1.2 * reference)) - 1.0).abs() < 1e-9);
        prop_assert!((of(loss, 40.0 * share) / (whole / share) - 1.0).abs() < 1e-9);
    }
}

const MATERIALS: &str = "\
material,title,polymer,price [per kg]
squeezed,Squeezed only,tpu,30
both,Squeezed and stretched,tpu,30
";
const SQUEEZED: &str = "\
run,specimen,point,material,print,rig,outer [mm],inner [mm],height [mm],held_height [mm],faces,time [h],force [N]
c1,1,1,squeezed,,,20,0,10,9,greased,0.1,100
c1,1,2,squeezed,,,,,,,,1,80
c1,1,3,squeezed,,,,,,,,10,70
c1,1,4,squeezed,,,,,,,,1000,60
c2,1,1,both,,,20,0,10,9,greased,0.1,100
c2,1,2,both,,,,,,,,1,80
c2,1,3,both,,,,,,,,10,70
c2,1,4,both,,,,,,,,1000,60
";
const STRETCHED: &str = "\
run,specimen,point,material,print,rig,inner [mm],wall [mm],height [mm],bar [mm],time [h],force [N]
s1,1,1,both,,,24,2,10,26,0.1,40
s1,1,2,both,,,,,,,1,36
s1,1,3,both,,,,,,,10,33
s1,1,4,both,,,,,,,1000,30
";
const SLEEVE: &str = r#"{
  "format": "dutyfit.case/1",
  "part": "handle-sleeve",
  "inputs": { "bar_diameter": "25 mm", "bore": "24.2 mm", "outer_diameter": "33 mm", "length": "110 mm", "pull": "80 N" },
  "surroundings": { "temperature": "23 degC" },
  "life": "1000 h"
}
"#;

/// A text in one line, however it was wrapped.
fn unwrapped(ran: &Ran) -> String {
    ran.out.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_sleeve_says_of_each_material_by_which_test_it_relaxes() {
    let bench = Bench::new()
        .file("catalog/materials.csv", MATERIALS)
        .file("catalog/readings/compression-hold.csv", SQUEEZED)
        .file("catalog/readings/ring-stretch.csv", STRETCHED)
        .file("cases/grip.json", SLEEVE);
    let of = |material: &str| {
        let ran = bench.run(&["check", "cases/grip.json", material]);
        assert!(ran.code <= 1, "{ran:?}");
        unwrapped(&ran)
    };
    let told = "stands in for share of hoop force kept at fixed stretch";
    let squeezed = of("squeezed");
    assert!(squeezed.contains(told), "{squeezed}");
    let both = of("both");
    assert!(!both.contains(told), "{both}");
}

const OWN: &str = "\
property,title,unit,sense,scale,low,high
gloss,gloss at 60 deg,1,more,log,0.1,200
pull-out,pull-out of a heat-set insert,N,more,log,10,5000
drift,drift in a day,mm,either,plain,-5,5
";

fn custom(lines: &str) -> Bench {
    Bench::new()
        .file("catalog/materials.csv", MATERIALS)
        .file("catalog/properties.csv", OWN)
        .file(
            "catalog/readings/custom.csv",
            format!("run,specimen,material,property,value,unit,outcome\n{lines}"),
        )
}

#[test]
fn an_own_property_is_read_shown_and_asked_for() {
    let bench = custom(
        "o1,1,both,pull-out,1.2,kN,\no1,2,both,pull-out,1150,,\no1,3,both,pull-out,1000,,stopped\n\
         o2,1,both,drift,-0.2,,\no2,2,both,drift,100,um,\n",
    )
    .file(
        "cases/insert.json",
        r#"{ "format": "dutyfit.case/1", "part": "plain",
             "inputs": { "limits": [ { "property": "pull-out", "at_least": "600 N" } ], "aims": [] },
             "surroundings": { "temperature": "-5..60 degC", "moisture": "wet" } }"#,
    );
    let shown = bench.run(&["show", "both", "--format", "json"]).exits(0);
    let json = shown.json();
    let rows = json["properties"].as_array().expect("properties");
    let row = |id: &str| {
        let r = rows.iter().find(|r| r["property"] == id);
        r.unwrap_or_else(|| panic!("no {id} in {rows:#?}")).clone()
    };
    assert_eq!(
        (
            row("pull-out")["n"].as_u64(),
            row("pull-out")["bounds"].as_u64()
        ),
        (Some(3), Some(1))
    );
    let middle = row("drift")["mean"]["median"].as_f64().expect("a mean");
    assert!((middle + 0.05).abs() < 1e-6, "{middle}");
    // Nobody gave it a condition: it holds at any temperature and moisture.
    let ran = bench.run(&["check", "cases/insert.json", "both", "--format", "json"]);
    let limit = &ran.json()["candidate"]["limits"][0];
    assert_eq!(limit["grade"], "measured", "{limit}");
    assert!(limit["chance"].as_f64().is_some_and(|c| c > 0.8), "{limit}");
}

#[test]
fn what_is_no_own_property_or_does_not_fit_it_is_refused() {
    for (line, code, help) in [
        ("o1,1,both,glos,45,,", "property::unknown", "`gloss`"),
        (
            "o1,1,both,wobble,45,,",
            "property::unknown",
            "properties.csv",
        ),
        (
            "o1,1,both,tensile-strength,45,,",
            "property::not-own",
            "tensile sheet",
        ),
        (
            "o1,1,both,poisson-ratio,0.4,,",
            "property::not-own",
            "stated.csv",
        ),
        ("o1,1,both,gloss,-3,,", "scale::signed", "plain"),
        (
            "o1,1,both,gloss,450,,",
            "reading::outside-range",
            "slip of unit",
        ),
        (
            "o1,1,both,drift,6,,",
            "reading::outside-range",
            "slip of unit",
        ),
        ("o1,1,both,pull-out,45,MPa,", "unit::wrong-dimension", "N"),
        ("o1,1,both,pull-out,45,kg,", "unit::mass-for-force", "kgf"),
        (
            "o1,1,both,pull-out,,,",
            "reading::blank",
            "write the figure",
        ),
        ("o1,1,both,,45,,", "reading::blank", "own properties"),
    ] {
        let ran = custom(&format!("{line}\n")).run(&["lint"]).exits(1);
        let said = format!("{}{}", ran.out, ran.err);
        assert!(said.contains(code) && said.contains(help), "{line}\n{said}");
    }
    // A bound is open to its own side.
    custom("o1,1,both,drift,>=-7,,\no1,2,both,gloss,<=400,,\n")
        .run(&["lint"])
        .exits(0);
}

#[test]
fn a_custom_sheet_alone_is_reduced_without_a_table() {
    let ran = Bench::new()
        .file("sheet.csv", "property,value\nstickiness,-4\nstickiness,5\n")
        .run(&["reduce", "sheet.csv", "--format", "json"])
        .exits(0);
    let run = &ran.json()["runs"][0];
    assert_eq!(run["specimens"][0]["properties"][0]["value"], -4.0, "{run}");
}

const TRIALS: &str = "\
run,specimen,date,material,nozzle [degC],bed [degC],chamber [degC],plate,adhesive,stringing,overall
t1,1,2026-05-02,both,225,50,open,textured steel,none,poor,fair
t1,2,2026-05-02,both,215,50,45,textured steel,none,good,good
";

#[test]
fn a_print_trial_is_kept_shown_and_read_strictly() {
    let bench = |trials: &str| {
        Bench::new()
            .file("catalog/materials.csv", MATERIALS)
            .file("catalog/readings/print-trial.csv", trials)
    };
    let sound = bench(TRIALS);
    let json = sound.run(&["show", "both", "--format", "json"]).exits(0);
    let json = json.json();
    let trials = json["trials"].as_array().expect("trials");
    assert_eq!(trials.len(), 2);
    let cell = |name: &str| {
        let cells = trials[1]["cells"].as_array().expect("cells");
        cells.iter().find(|c| c["name"] == name).cloned()
    };
    assert_eq!(cell("nozzle").expect("a nozzle")["value"], 215.0);
    assert_eq!(cell("chamber").expect("a chamber")["value"], 45.0);
    assert_eq!(cell("stringing").expect("a grade")["word"], "good");
    assert_eq!(json["properties"].as_array().map(Vec::len), Some(0));
    let text = sound.run(&["show", "both"]).exits(0).out;
    assert!(text.contains("nozzle 225 degC"), "{text}");
    sound.run(&["lint"]).exits(0);
    for (was, is, code) in [
        (",poor,fair", ",bad,fair", "word::unknown"),
        (",good,good", ",good,", "reading::blank"),
        (",open,", ",ajar,", "word::unknown"),
        (",45,", ",-60,", "reading::too-small"),
        ("nozzle [degC]", "nozzle [mm]", "unit::wrong-dimension"),
    ] {
        assert!(TRIALS.contains(was));
        let ran = bench(&TRIALS.replacen(was, is, 1)).run(&["lint"]).exits(1);
        assert!(ran.out.contains(code), "{is}\n{}", ran.out);
    }
    // Alone on a sheet it is told back as it was written.
    let sheet = Bench::new()
        .file("t.csv", TRIALS)
        .run(&["reduce", "t.csv"])
        .exits(0);
    let sheet = unwrapped(&sheet);
    assert!(sheet.contains("no figure is made of them"), "{sheet}");
    assert!(sheet.contains("chamber 45 degC"), "{sheet}");
}
