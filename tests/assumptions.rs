//! Every step that a belief assumes is named where people look: `check` and `show`, text and JSON.

use crate::support::Bench;
use dutyfit::belief::Note;
use serde_json::Value as Json;
use std::collections::BTreeMap;

/// What is asked of every material at once: the limits name their own conditions.
const ALL: &str = r#"{
  "format": "dutyfit.case/1",
  "part": "plain",
  "inputs": {
    "limits": [
      { "id": "d-43", "property": "shore-d", "at_least": "10 shoreD", "at": "43 degC" },
      { "id": "d-13", "property": "shore-d", "at_least": "10 shoreD", "at": "13 degC" },
      { "id": "d-frost", "property": "shore-d", "at_least": "10 shoreD", "at": "-20 degC" },
      { "id": "d-80", "property": "shore-d", "at_least": "10 shoreD", "at": "80 degC" },
      { "id": "a-23", "property": "shore-a", "at_least": "10 shoreA", "at": "23 degC" },
      { "id": "a-80", "property": "shore-a", "at_least": "10 shoreA", "at": "80 degC" },
      { "id": "bounce", "property": "rebound", "at_least": "10 %", "at": "23 degC" },
      { "id": "bounce-60", "property": "rebound", "at_least": "10 %", "at": "60 degC" },
      { "id": "pull", "property": "tensile-strength", "at_least": "1 MPa", "at": "23 degC" },
      { "id": "bear", "property": "sustained-strength", "at_least": "1 MPa", "at": "23 degC" },
      { "id": "light", "property": "density", "at_most": "3 g/cm3" },
      { "id": "swell", "property": "thermal-expansion", "at_most": "900 um/(m.K)" },
      { "id": "top", "property": "static-friction", "at_least": 0.01, "face": "top", "counterface": "tile", "at": "23 degC" },
      { "id": "any", "property": "static-friction", "at_least": 0.01, "counterface": "tile", "at": "23 degC" },
      { "id": "glass", "property": "static-friction", "at_least": 0.01, "counterface": "glass", "at": "23 degC" },
      { "id": "blow", "property": "impact-notched", "at_least": "0.1 kJ/m2", "at": "23 degC" },
      { "id": "creep", "property": "creep-modulus", "at_least": "1 MPa", "at": "23 degC" },
      { "id": "soft", "property": "softening-onset", "at_least": "10 degC" }
    ],
    "aims": [ { "id": "cheap", "property": "price", "zero": "60 per kg", "one": "15 per kg" } ]
  },
  "life": "1000 h",
  "weights": { "points": { "cheap": 1 } }
}
"#;

/// A heavy bench on feet that crept under a light load.
const FEET: &str = r#"{
  "format": "dutyfit.case/1",
  "part": "support-foot",
  "inputs": { "mass": "900 kg", "feet": 4, "shape": "disc", "diameter": "40 mm", "height": "12 mm", "faces": "loose", "sag": "1.5 mm" },
  "surroundings": { "temperature": "23 degC", "counterface": "tile" },
  "life": "100 h",
  "weights": { "points": { "cost": 1 } }
}
"#;

/// A stop block out in the frost, that must not hit back too hard.
const FROZEN: &str = r#"{
  "format": "dutyfit.case/1",
  "part": "impact-guard",
  "inputs": { "mass": "5 kg", "speed": "0.5 m/s", "shape": "disc", "diameter": "30 mm", "depth": "20 mm", "force_allowed": "2 kN" },
  "surroundings": { "temperature": "-20 degC" },
  "life": "100 h",
  "weights": { "points": { "cost": 1 } }
}
"#;

/// A grip of which nobody held a ring stretched.
const GRIP: &str = r#"{
  "format": "dutyfit.case/1",
  "part": "handle-sleeve",
  "inputs": { "bar_diameter": "25 mm", "bore": "24.2 mm", "outer_diameter": "33 mm", "length": "110 mm", "pull": "80 N" },
  "surroundings": { "temperature": "23 degC" },
  "life": "100 h",
  "weights": { "points": { "cost": 1 } }
}
"#;
const SQUEEZED: &str = "\
run,specimen,point,material,temperature [degC],moisture,outer [mm],height [mm],held_height [mm],faces,time [h],force [N]
q1,1,1,odd,23,room,20,10,9,greased,0.1,100
q1,1,2,odd,23,room,,,,,1,80
q1,1,3,odd,23,room,,,,,100,70
";
const MATERIALS: &str = "\
material,title,polymer,price [per kg]
many,Many runs,other,20
soaked,Soaked,other,20
dry,Dry nylon,pa-6,20
drier,Dry PETG,petg,20
lender,Lends to PETG,petg,20
flows,Flows,pa-cf,20
odd,Odd,other,20
";
const PRINTS: &str = "print,material\npacf-a-p1,flows\ntpu-85-a-p1,soaked\n";
const STATED: &str = "\
material,polymer,property,value,spread,source
many,,softening-onset,140 degC,2 K,a data sheet
many,,density,1.2 g/cm3,,a data sheet
";
const HARDNESS: &str = "\
run,specimen,material,temperature [degC],moisture,annealed,scale,hardness,thickness [mm],dwell [s]
h1,1,many,23,room,,D,70,8,15
h1,2,many,23,room,,D,71,8,15
h2,1,many,63,room,,D,55,8,15
h2,2,many,63,room,,D,56,8,15
h3,1,many,23,room,,A,80,8,15
h3,2,many,23,room,,A,81,8,15
h4,1,soaked,23,room,,D,70,8,15
h5,1,soaked,110,room,,D,30,8,15
h6,1,soaked,23,wet,,A,80,8,15
h7,1,dry,23,dried,,A,80,8,15
h8,1,dry,23,room,80 degC 4 h,D,70,8,15
h9,1,drier,23,dried,,A,80,8,15
h10,1,lender,23,room,,D,70,8,15
";
const REBOUND: &str = "\
run,specimen,date,material,rig,temperature [degC],moisture,drop [mm],rise [mm]
r1,1,2026-05-02,many,,23,dried,1000,480
r2,1,2026-05-02,many,,23,wet,1000,400
r3,1,2026-05-02,dry,,23,wet,1000,400
r4,1,2026-05-02,drier,tube,23,room,1000,400
";
/// A drop tube read to the decimetre.
const TUBE: &str = "tube,drop tube,rise,2026-01-10,mm,0,2000,100,0,1,1,0.001,\n";
const TENSILE: &str = "\
run,specimen,material,lot,direction,temperature [degC],moisture,width [mm],thickness [mm],gauge [mm],force [N],extension [mm]
t1,1,many,,flat,23,room,10,4,50,1200,1.5
t2,1,odd,a,flat,23,room,10,4,50,1200,1.5
t2,2,odd,a,flat,23,room,10,4,50,1210,1.5
t3,1,odd,a,flat,23,room,10,4,50,1190,1.5
t3,2,odd,a,flat,23,room,10,4,50,1205,1.5
t4,1,odd,b,flat,23,room,10,4,50,600,1.5
t4,2,odd,b,flat,23,room,10,4,50,605,1.5
t5,1,odd,b,flat,23,room,10,4,50,595,1.5
t5,2,odd,b,flat,23,room,10,4,50,600,1.5
";
const FRICTION: &str = "\
run,specimen,material,face,temperature [degC],moisture,counterface,load [N],pull [N]
f1,1,many,bottom,23,room,tile,20,8
f2,1,dry,bottom,23,room,tile,20,8
f3,1,dry,top,23,room,tile,20,9
f4,1,odd,top,23,room,tile,20,8
f4,2,odd,top,23,room,tile,20,8.2
f4,3,odd,top,23,room,tile,20,7.9
f4,4,odd,top,23,room,tile,20,240
";
const IMPACT: &str = "\
run,specimen,material,direction,temperature [degC],moisture,width [mm],depth [mm],notch,energy [J],outcome
i1,1,many,across,23,room,4,8,V,0.06,
i1,2,many,across,23,room,4,8,V,0.09,partial
i1,3,many,across,23,room,4,8,V,0.05,early failure
";
const CREEP: &str = "\
run,specimen,point,material,direction,temperature [degC],moisture,mode,span [mm],width [mm],thickness [mm],load [N],time [h],deflection [mm]
c1,1,1,many,flat,23,room,bending,60,10,6,1,1,0.05
c1,1,2,many,flat,23,room,bending,60,10,6,1,10,0.06
";

/// Lines of one material of the demo, as another one.
fn of_the_demo(file: &str, material: &str, as_other: &str) -> String {
    let marked = format!(",{material},");
    file.lines()
        .filter(|l| l.starts_with("run,") || l.contains(&marked))
        .map(|l| l.replace(&marked, &format!(",{as_other},")) + "\n")
        .collect()
}

fn workspace() -> Bench {
    let softening = include_str!("../catalog/readings/heat-softening.csv");
    let creep = include_str!("../catalog/readings/creep.csv");
    let soft = of_the_demo(softening, "tpu-85-a", "soaked");
    // The demo's columns are more; both tables of creep are made one.
    let flows = of_the_demo(creep, "pacf-a", "flows");
    let columns: Vec<&str> = flows
        .lines()
        .next()
        .unwrap_or_default()
        .split(',')
        .collect();
    let own: Vec<&str> = CREEP
        .lines()
        .next()
        .unwrap_or_default()
        .split(',')
        .collect();
    let mut all_creep = flows.clone();
    for line in CREEP.lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let row: Vec<&str> = columns
            .iter()
            .map(|c| own.iter().position(|o| o == c).map_or("", |i| cells[i]))
            .collect();
        all_creep += &(row.join(",") + "\n");
    }
    Bench::new()
        .file("catalog/materials.csv", MATERIALS)
        .file("catalog/prints.csv", PRINTS)
        .file(
            "catalog/rigs.csv",
            include_str!("../catalog/rigs.csv").to_owned() + TUBE,
        )
        .file("catalog/stated.csv", STATED)
        .file("catalog/readings/hardness.csv", HARDNESS)
        .file("catalog/readings/rebound.csv", REBOUND)
        .file("catalog/readings/tensile.csv", TENSILE)
        .file("catalog/readings/static-friction.csv", FRICTION)
        .file("catalog/readings/impact.csv", IMPACT)
        .file("catalog/readings/creep.csv", all_creep)
        .file("catalog/readings/heat-softening.csv", soft)
        .file("cases/all.json", ALL)
        .file("catalog/readings/compression-hold.csv", SQUEEZED)
        .file("cases/feet.json", FEET)
        .file("cases/grip.json", GRIP)
        .file("cases/frozen.json", FROZEN)
}

/// Each kind of note with the case and the material that it stands behind, and a part of its words.
/// A note that is in no row does not compile.
macro_rules! notes {
    ($($note:pat => $case:literal, $material:literal, $words:literal;)*) => {
        const NOTES: &[(&str, &str, &str)] = &[$(($case, $material, $words)),*];
        fn none_is_left_out(note: &Note) {
            match note { $($note => {})* }
        }
    };
}

notes! {
    Note::Interpolated { .. } => "all", "many", "between runs at 23 and 63 degC, on a straight line (assumed, give or take";
    Note::WithinWindow { .. } => "all", "many", "used at 13 degC: close enough to count as it stands (assumed)";
    Note::KeptOutside { .. } => "all", "many", "used at -20 degC: taken to be no worse there (assumed)";
    Note::StifferInCold { .. } => "frozen", "odd", "it is stiffer in the cold, which is worse here";
    Note::MeasuredFall { .. } => "all", "many", "by the fall measured from 23 degC up (assumed to go on)";
    Note::NoOnset => "all", "many", "no softening onset of its own is known";
    Note::HeatLine { .. } => "all", "many", "on a straight line to softening at";
    Note::AcrossOnset { .. } => "all", "soaked", "nothing is read across that on a line";
    Note::BetweenMoistures { .. } => "all", "many", "between runs dried and wet, a room at 0.4 of the way";
    Note::TwoSteps => "all", "many", "between the tested moistures and between the tested temperatures at once";
    Note::OutsideTemperature { .. } => "all", "drier", "tested at 23 degC, used at 60 degC";
    Note::MoisterTested(_) => "all", "soaked", "tested wet, moister than used: counts as a least figure";
    Note::MoistureServes { .. } => "all", "drier", "tested dried: counts, since its polymer takes up little";
    Note::DryOnly => "all", "dry", "tested dry only";
    Note::OtherMoisture(_) => "all", "dry", "tested wet only";
    Note::AnnealedOnly(_) => "all", "dry", "tested annealed only (80 degC 4 h)";
    Note::OtherDirection => "all", "many", "tested in another direction only";
    Note::SustainedAssumed(_) => "all", "many", "of the short-time strength is taken (assumed)";
    Note::BorrowedFrom { .. } => "all", "drier", "borrowed from 1 other material of petg";
    Note::StatedBy(_) => "all", "many", "stated by a data sheet";
    Note::Assumed(_) => "all", "dry", "assumed (from memory, not verified)";
    Note::OtherFace => "all", "many", "tested on another face only";
    Note::WorstFace(_) => "all", "dry", "its bottom face serves worst and stands for all";
    Note::OtherSurface(_) => "all", "many", "tested on tile";
    Note::OtherKind(_) => "all", "many", "specimens that broke otherwise (partial) are left out";
    Note::LotsDiffer { .. } => "all", "odd", "the next part is taken from a new lot";
    Note::Outlier { .. } => "all", "odd", "a reading of 12 lies far from the others and counts as";
    Note::EarlyFailure => "all", "many", "one specimen failed early";
    Note::CoarseGauge => "all", "drier", "the gauge is coarser than the scatter";
    Note::BeyondDecades(_) => "all", "many", "the life lies 2 decades past the longest reading";
    Note::ExponentHeld => "all", "many", "too few readings over time to tell the exponent of Findley's law";
    Note::CorrelationAssumed => "all", "many", "to tell how their errors hang together";
    Note::SteadyFlow(_) => "all", "flows", "the last readings rise as only steady flow does";
    Note::AboveTestedStress { .. } => "feet", "many", "crept at";
    Note::StandsIn { .. } => "grip", "odd", "stands in for share of hoop force kept at fixed stretch";
}

/// All text in a JSON answer.
fn strings(json: &Json, into: &mut Vec<String>) {
    match json {
        Json::String(s) => into.push(s.clone()),
        Json::Array(a) => a.iter().for_each(|x| strings(x, into)),
        Json::Object(o) => o.values().for_each(|x| strings(x, into)),
        _ => {}
    }
}

#[test]
fn every_assumed_step_is_named_in_check_and_in_show() {
    none_is_left_out(&Note::NoOnset);
    let bench = workspace();
    let mut told: BTreeMap<String, String> = BTreeMap::new();
    let mut missing = Vec::new();
    for (case, material, words) in NOTES {
        let commands: [&[&str]; 2] = [&["check", case, material], &["show", material]];
        for args in commands {
            for json in [false, true] {
                let mut args = args.to_vec();
                if json {
                    args.extend(["--format", "json"]);
                }
                let name = args.join(" ");
                let said = told.entry(name.clone()).or_insert_with(|| {
                    let ran = bench.run(&args);
                    assert!(ran.code <= 1, "{name}: {ran:?}");
                    if json {
                        let mut all = Vec::new();
                        strings(&ran.json(), &mut all);
                        all.join("\n")
                    } else {
                        ran.out.split_whitespace().collect::<Vec<_>>().join(" ")
                    }
                });
                if !said.contains(words) {
                    missing.push(format!("{name}: {words}"));
                }
            }
        }
    }
    assert!(missing.is_empty(), "{missing:#?}");
}
