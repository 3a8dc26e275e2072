//! Case file in, printed figure out: `check --working` on a catalog whose stated values are exact.
//!
//! The same worked cases as in `duty_b`; status: derived from mechanics, tolerance 0.2 %.

use crate::duty::close;
use crate::support::Bench;
use serde_json::Value;

const WITHIN: f64 = 0.002;
const MATERIALS: &str = "material,title,polymer,price [per kg],nozzle_min [degC],bed_min [degC]
worked-a,Worked,other,40,220,40
";

/// The answer of `check` for a case on these stated values.
fn checked(case: &str, stated: &str) -> Value {
    let bench = Bench::new()
        .folder("catalog/readings")
        .file("catalog/materials.csv", MATERIALS)
        .file(
            "catalog/stated.csv",
            format!("material,property,value,spread,direction,counterface,source\n{stated}"),
        )
        .file("case.json", case);
    let path = bench.path("case.json");
    let path = path.to_str().unwrap();
    bench
        .run(&["check", path, "worked-a", "--working", "--format", "json"])
        .json()
}

/// Every figure printed under a step of this name, anywhere in the answer.
fn printed(answer: &Value, what: &str) -> Vec<f64> {
    match answer {
        Value::Object(o) if o.get("what").is_some_and(|w| w == what) => {
            o.get("value").and_then(Value::as_f64).into_iter().collect()
        }
        Value::Object(o) => o.values().flat_map(|v| printed(v, what)).collect(),
        Value::Array(a) => a.iter().flat_map(|v| printed(v, what)).collect(),
        _ => Vec::new(),
    }
}

#[track_caller]
fn prints(answer: &Value, expected: &[(&str, f64)]) {
    for (what, wanted) in expected {
        let got = printed(answer, what);
        let first = got.first().unwrap_or_else(|| panic!("no step `{what}`"));
        close(*first, *wanted, WITHIN);
    }
}

/// G2, G5, G7, G8: from bore to pull-off after a year, against 100 N with factor 1.5.
#[test]
fn a_grip_from_its_bore_to_its_pull_after_a_year() {
    let answer = checked(
        r#"{ "format": "dutyfit.case/1", "title": "Worked case", "part": "handle-sleeve",
             "inputs": { "bar_diameter": "22.2 mm", "bore": "21.3 mm", "outer_diameter": "30 mm",
                         "length": "115 mm", "pull": "100 N", "bar": "aluminium" },
             "surroundings": { "counterface": "aluminium" }, "lies": "upright", "class": "injury" }"#,
        "worked-a,tensile-modulus,15 MPa,0 %,flat,,worked case
worked-a,poisson-ratio,0.5,0,,,worked case
worked-a,thermal-expansion,150 um/(m.K),0 %,,,worked case
worked-a,static-friction,0.35,0 %,,aluminium,worked case
worked-a,force-retained,0.669533,0 %,flat,,worked case
worked-a,break-strain,300 %,0 %,flat,,worked case
worked-a,sustained-strength,5 MPa,0 %,flat,,worked case
worked-a,softening-onset,90 degC,0 K,,,worked case
",
    );
    prints(
        &answer,
        &[
            ("contact pressure", 0.155_095),
            ("pull held when new", 435.379),
            ("pull held at the end of the life", 291.501),
        ],
    );
}

/// A5, A6, A10: 150 N on a bush of 10 by 12 mm at 120 turns a minute for 500 h.
#[test]
fn a_bush_from_its_turns_to_its_wear_and_its_heat() {
    let answer = checked(
        r#"{ "format": "dutyfit.case/1", "title": "Worked case", "part": "sliding-pad",
             "inputs": { "contact": "bush-load-fixed", "load": "150 N", "bore": "10 mm", "length": "12 mm",
                         "thickness": "3 mm", "turns": "120 rpm", "wear_allowed": "1 mm",
                         "thermal_resistance": "12 K/W" },
             "surroundings": { "counterface": "steel-smooth" }, "life": "500 h", "lies": "flat",
             "class": "nuisance" }"#,
        "worked-a,wear-rate,3e-6 mm3/(N.m),0 %,,steel-smooth,worked case
worked-a,kinetic-friction,0.3,0 %,,steel-smooth,worked case
worked-a,pv-held,0.2 MPa.m/s,0 %,,steel-smooth,worked case
worked-a,bearing-strength,20 MPa,0 %,flat,,worked case
worked-a,softening-onset,90 degC,0 K,,,worked case
",
    );
    prints(
        &answer,
        &[
            ("distance slid", 113_097.0),
            ("depth worn at the load line", 0.54),
            ("highest pressure", 1.591_55),
            ("pressure times speed", 0.078_539_8),
            ("friction heat", 0.3 * 150.0 * 0.062_831_9),
            ("rise by friction", 0.3 * 150.0 * 0.062_831_9 * 12.0),
        ],
    );
}
