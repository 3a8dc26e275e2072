//! Malformed catalogs, cases and weights: each refused at its place, with what to write instead.

use crate::support::{Bench, Ran};
use proptest::prelude::*;

const MATERIALS: &str = "\
# invented
material,title,polymer,kind,price [per kg]
petg-a,PETG A,petg,,25
pa-a,PA A,pa-12,,60
";
const PRINTS: &str = "\
print,material,lot,infill [%]
petg-a-p1,petg-a,l1,100
pa-a-p1,pa-a,l1,100
";
const RIGS: &str = "\
rig,kind,channel,from,unit,low,high,resolution,offset,offset_u,gain,gain_u
frame-1,frame,force,2026-01-10,kgf,0,500,0.1,0,0.1,1,0.005
";
const STATED: &str = "\
material,polymer,property,value,spread,source
petg-a,,tensile-strength,45 MPa,10 %,data sheet
";
const FLEXURE: &str = "\
run,specimen,date,material,print,rig,direction,span [mm],width [mm],thickness [mm],force [N],deflection [mm],outcome,set_aside
f-1,1,2026-05-02,petg-a,petg-a-p1,frame-1,flat,64,10,4,40,2.0,,
f-1,2,2026-05-02,petg-a,petg-a-p1,frame-1,flat,64,10,4,41,2.0,,
";
const CASE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "a washer",
  "part": "bolt-washer",
  "inputs": {
    "bolt": "M6",
    "torque": "4 N.m",
    "outer_diameter": "18 mm",
    "height": "5 mm",
    "clamped_length": "25 mm"
  },
  "life": "5 year",
  "weights": { "points": { "hold": 60, "cost": 40 } }
}
"#;
const PLAIN: &str = r#"{
  "format": "dutyfit.case/1",
  "part": "plain",
  "inputs": {
    "limits": [
      { "property": "tensile-strength", "at_least": "12 MPa" },
      { "property": "density", "at_most": "1.3 g/cm3" }
    ],
    "aims": [ { "id": "cheap", "property": "price", "zero": "60 per kg", "one": "15 per kg" } ]
  }
}
"#;

/// A workspace in which nothing is wrong.
fn sound() -> Bench {
    Bench::new()
        .file("catalog/materials.csv", MATERIALS)
        .file("catalog/prints.csv", PRINTS)
        .file("catalog/rigs.csv", RIGS)
        .file("catalog/stated.csv", STATED)
        .file("catalog/readings/flexure.csv", FLEXURE)
        .file("cases/washer.json", CASE)
        .file("weights/w.json", weights(r#""points": { "cost": 1 }"#))
}

fn weights(body: &str) -> String {
    format!("{{\n  \"format\": \"dutyfit.weights/1\",\n  {body}\n}}\n")
}

/// What a Problem must say: code, place as `file:line:column`, and a part of the fix.
struct Says(&'static str, &'static str, &'static str);

#[track_caller]
fn says(ran: &Ran, text: &str, wanted: &Says) {
    let Says(code, place, fix) = wanted;
    assert!(
        text.contains(&format!("error[{code}]")),
        "no {code} in {ran:?}"
    );
    assert!(text.contains(place), "{code} is not at {place} in {ran:?}");
    assert!(text.contains(fix), "{code} does not say `{fix}` in {ran:?}");
}

/// Every command refuses such a workspace with 2 and writes nothing; `lint` lists the same with 1.
#[track_caller]
fn refused(bench: &Bench, args: &[&str], wanted: &[Says]) {
    let before = bench.files();
    let ran = bench.run(args).exits(2);
    assert!(ran.out.is_empty(), "an answer in {ran:?}");
    for w in wanted {
        says(&ran, &ran.err, w);
    }
    let lint = bench.run(&["lint"]).exits(1);
    for w in wanted {
        says(&lint, &lint.out, w);
    }
    assert_eq!(before, bench.files(), "something was written");
}

#[track_caller]
fn bad_catalog(file: &str, content: impl AsRef<[u8]>, wanted: &[Says]) {
    let bench = sound().file(file, content);
    refused(&bench, &["shortlist", "washer"], wanted);
}

#[track_caller]
fn bad_case(content: impl AsRef<[u8]>, wanted: &[Says]) {
    let bench = sound().file("cases/bad.json", content);
    refused(&bench, &["shortlist", "bad"], wanted);
}

#[track_caller]
fn bad_weights(content: impl AsRef<[u8]>, wanted: &[Says]) {
    let bench = sound().file("weights/bad.json", content);
    refused(&bench, &["shortlist", "washer", "--weights", "bad"], wanted);
}

#[test]
fn the_sound_workspace_is_sound() {
    let lint = sound().run(&["lint"]).exits(0);
    assert!(!lint.out.contains("error["), "{}", lint.out);
}

#[test]
fn headers() {
    let flexure = "catalog/readings/flexure.csv";
    bad_catalog(
        flexure,
        FLEXURE.replace("force [N]", "force [kg]"),
        &[Says(
            "unit::mass-for-force",
            "flexure.csv:1:84",
            "write `kgf` in place of `kg`",
        )],
    );
    bad_catalog(
        flexure,
        FLEXURE.replace("force [N]", "force [mm]"),
        &[Says(
            "unit::wrong-dimension",
            "flexure.csv:1:84",
            "write it in N",
        )],
    );
    bad_catalog(
        flexure,
        FLEXURE.replace("force [N]", "force [NN]"),
        &[Says("unit::unknown", "flexure.csv:1:84", "write `N`")],
    );
    bad_catalog(
        flexure,
        FLEXURE.replace("force [N]", "force"),
        &[Says(
            "header::unit-missing",
            "flexure.csv:1:84",
            "write `force [N]`",
        )],
    );
    bad_catalog(
        flexure,
        FLEXURE.replace("deflection [mm]", "deflektion [mm]"),
        &[
            Says("header::unknown", "flexure.csv:1:94", "write `deflection`"),
            Says(
                "header::missing",
                "flexure.csv:1:1",
                "add a column `deflection [mm]`",
            ),
        ],
    );
    bad_catalog(
        flexure,
        FLEXURE.replace("outcome", "width [mm]"),
        &[Says(
            "header::twice",
            "flexure.csv:1:110",
            "keep one of the two",
        )],
    );
    bad_catalog(
        flexure,
        FLEXURE.replace("rig,", "rig [mm],"),
        &[Says(
            "header::unit-not-taken",
            "flexure.csv:1:34",
            "write `rig`",
        )],
    );
    bad_catalog(
        flexure,
        "",
        &[Says(
            "sheet::empty",
            "flexure.csv",
            "begin with a line of column names",
        )],
    );
    bad_catalog(
        "catalog/materials.csv",
        "title,polymer\nx,petg\n",
        &[Says(
            "header::missing",
            "materials.csv:1:1",
            "add a column `material`",
        )],
    );
}

#[test]
fn cells_of_readings() {
    let flexure = "catalog/readings/flexure.csv";
    let cell = |from: &str, to: &str, says: &[Says]| {
        bad_catalog(flexure, FLEXURE.replacen(from, to, 1), says);
    };
    cell(
        "40,2.0",
        "NaN,2.0",
        &[Says(
            "number::not-finite",
            "flexure.csv:2:56",
            "outcome word",
        )],
    );
    cell(
        "40,2.0,,\n",
        "40,2.0,\n",
        &[Says(
            "sheet::too-few-cells",
            "flexure.csv:2:",
            "blank one still needs its separator",
        )],
    );
    cell(
        "40,2.0",
        "40,2,0",
        &[Says(
            "sheet::too-many-cells",
            "flexure.csv:2:64",
            "decimal point",
        )],
    );
    cell(
        "40,2.0",
        "\"40,5\",2.0",
        &[Says("number::comma", "flexure.csv:2:56", "write `40.5`")],
    );
    cell(
        "40,2.0",
        "02-May,2.0",
        &[Says(
            "number::date",
            "flexure.csv:2:56",
            "cell formatted as text",
        )],
    );
    cell(
        "40,2.0",
        "forty,2.0",
        &[Says(
            "number::not-a-number",
            "flexure.csv:2:56",
            "write a number such as",
        )],
    );
    cell(
        "40,2.0",
        "> 40,2.0",
        &[Says(
            "number::bound-sign",
            "flexure.csv:2:56",
            "write `>=40`",
        )],
    );
    cell(
        "40,2.0",
        "41..40,2.0",
        &[Says(
            "number::range-order",
            "flexure.csv:2:56",
            "write `40..41`",
        )],
    );
    cell(
        "40,2.0",
        ",2.0",
        &[Says(
            "reading::blank",
            "flexure.csv:2:56",
            "write the figure",
        )],
    );
    cell(
        "64,10,4",
        "64,-10,4",
        &[Says(
            "reading::too-small",
            "flexure.csv:2:51",
            "write what was read",
        )],
    );
    cell(
        "64,10,4",
        "64,10,0",
        &[Says(
            "reading::too-small",
            "flexure.csv:2:54",
            "write what was read",
        )],
    );
    cell(
        "f-1,1",
        "f/1,1",
        &[Says("id::malformed", "flexure.csv:2:1", "write `f-1`")],
    );
    cell(
        "f-1,1",
        ",1",
        &[Says("run::blank", "flexure.csv:2:1", "write the run's id")],
    );
    cell(
        "f-1,1",
        "f-1,one",
        &[Says(
            "specimen::malformed",
            "flexure.csv:2:5",
            "write 1, 2, 3",
        )],
    );
    cell(
        "f-1,1",
        "f-1,2",
        &[Says(
            "key::twice",
            "flexure.csv:3:5",
            "next specimen or point",
        )],
    );
    cell(
        "2026-05-02",
        "2.5.2026",
        &[Says("date::malformed", "flexure.csv:2:7", "2026-05-02")],
    );
    cell(
        "2026-05-02",
        "2026-05-03",
        &[Says("run::mixed", "flexure.csv:3:7", "a run of their own")],
    );
    cell(
        ",petg-a,",
        ",petg-b,",
        &[Says(
            "material::unknown",
            "flexure.csv:2:18",
            "write `petg-a`",
        )],
    );
    cell(
        "petg-a-p1",
        "petg-a-p9",
        &[Says(
            "print::unknown",
            "flexure.csv:2:25",
            "add the print to prints.csv",
        )],
    );
    cell(
        "petg-a-p1",
        "pa-a-p1",
        &[Says(
            "print::other-material",
            "flexure.csv:2:25",
            "correct the print or the material",
        )],
    );
    cell(
        "frame-1",
        "frame-7",
        &[Says("rig::unknown", "flexure.csv:2:35", "write `frame-1`")],
    );
    cell(
        "flat",
        "flatt",
        &[Says("word::unknown", "flexure.csv:2:43", "write `flat`")],
    );
    cell(
        "flat",
        "",
        &[Says(
            "direction::blank",
            "flexure.csv:2:43",
            "write `flat`, `edge` or `across`",
        )],
    );
    cell(
        "2.0,,",
        "2.0,no brake,",
        &[Says(
            "outcome::unknown",
            "flexure.csv:2:63",
            "write `no break`",
        )],
    );
    cell(
        "2.0,,",
        "2.0,melted,",
        &[Says("outcome::not-here", "flexure.csv:2:63", "`no break`")],
    );
    cell(
        "2.0,,",
        "2.0,,slipped",
        &[Says(
            "set-aside::malformed",
            "flexure.csv:2:64",
            "out: slipped",
        )],
    );
    cell(
        "40,2.0,,\n",
        "40,2.0,,\"oh\n",
        &[Says("sheet::open-quote", "flexure.csv:2:64", "close it")],
    );
}

#[test]
fn other_tables() {
    bad_catalog(
        "catalog/materials.csv",
        MATERIALS.replace("petg-a,PETG A,petg", "petg/a,PETG A,pteg"),
        &[
            Says("id::malformed", "materials.csv:3:1", "write `petg-a`"),
            Says("polymer::unknown", "materials.csv:3:15", "write `petg`"),
        ],
    );
    bad_catalog(
        "catalog/materials.csv",
        format!("{MATERIALS}petg-a,again,petg,,1\n"),
        &[Says(
            "key::twice",
            "materials.csv:5:1",
            "keep one of the two",
        )],
    );
    bad_catalog(
        "catalog/materials.csv",
        MATERIALS.replace(",25\n", ",-25\n"),
        &[Says(
            "figure::too-small",
            "materials.csv:3:21",
            "correct the figure",
        )],
    );
    bad_catalog(
        "catalog/prints.csv",
        PRINTS.replace("l1,100\npa", "l1,130\npa"),
        &[Says("figure::too-large", "prints.csv:2:21", "0 to 100")],
    );
    bad_catalog(
        "catalog/rigs.csv",
        RIGS.replace("force", "forse"),
        &[Says(
            "rig::unknown-channel",
            "rigs.csv:2:15",
            "write `force`",
        )],
    );
    bad_catalog(
        "catalog/rigs.csv",
        RIGS.replace("0,500", "500,0").replace("kgf", "kg"),
        &[
            Says("range::reversed", "rigs.csv:2:35", "lower end"),
            Says("unit::mass-for-force", "rigs.csv:2:32", "write `kgf`"),
        ],
    );
    bad_catalog(
        "catalog/stated.csv",
        STATED.replace("45 MPa", "45 mm").replace("10 %", "-10 %"),
        &[Says(
            "unit::wrong-dimension",
            "stated.csv:2:26",
            "write it in MPa",
        )],
    );
    bad_catalog(
        "catalog/stated.csv",
        STATED.replace("petg-a,,", "petg-a,petg,"),
        &[Says("stated::whose", "stated.csv:2:1", "fill one of")],
    );
    bad_catalog(
        "catalog/stated.csv",
        STATED
            .replace("tensile-strength", "tensile-strenght")
            .replace("data sheet", ""),
        &[
            Says(
                "property::unknown",
                "stated.csv:2:9",
                "write `tensile-strength`",
            ),
            Says("cell::blank", "stated.csv:2:", "where the number stands"),
        ],
    );
    bad_catalog(
        "catalog/properties.csv",
        "property,unit,sense,scale,low,high\ndensity,1,more,plain,0,1\ngloss,1,more,log,-1,1\n",
        &[
            Says("property::taken", "properties.csv:2:1", "another id"),
            Says("scale::signed", "properties.csv:3:18", "write `plain`"),
        ],
    );
    bad_catalog(
        "catalog/readings/flexur.csv",
        FLEXURE,
        &[Says(
            "readings::unknown-test",
            "flexur.csv",
            "write `flexure`",
        )],
    );
    bad_catalog(
        "catalog/readings/tensile.csv",
        "run,specimen,material,direction,width [mm],thickness [mm],gauge [mm],force [N],extension [mm]\nf-1,1,petg-a,flat,10,4,50,900,2\n",
        &[Says(
            "run::taken",
            "flexure.csv:2:1",
            "give this run another id",
        )],
    );
}

#[test]
fn encodings_and_separators() {
    bad_catalog(
        "catalog/materials.csv",
        b"material,polymer\npetg-\xe4,petg\n",
        &[Says("sheet::not-utf8", "materials.csv:2:6", "CSV UTF-8")],
    );
    bad_catalog(
        "catalog/prints.csv",
        format!(
            "\u{feff}{}",
            PRINTS
                .replace('\n', "\r\n")
                .replace("petg-a-p1,petg-a", "petg-a-p1,petg-x")
        ),
        &[Says(
            "material::unknown",
            "prints.csv:2:11",
            "write `petg-a`",
        )],
    );
    bad_catalog(
        "catalog/readings/flexure.csv",
        FLEXURE.replace(',', ";").replace("40;2.0", "1.240,5;2.0"),
        &[Says("number::thousands", "flexure.csv:2:56", "without one")],
    );
    // What a spreadsheet of another tongue writes is read as it is meant.
    for (sheet, name) in [
        (
            FLEXURE.replace(',', ";").replace("2.0", "2,0"),
            "semicolons",
        ),
        (FLEXURE.replace(',', "\t").replace("2.0", "2,0"), "tabs"),
        (
            format!("\u{feff}{}", FLEXURE.replace('\n', "\r\n")),
            "CRLF and BOM",
        ),
        (
            format!("# mine\n\n{FLEXURE}# end, with \"a quote\n"),
            "comments",
        ),
    ] {
        let plain = sound()
            .run(&["reduce", "catalog/readings/flexure.csv", "--format", "json"])
            .exits(0);
        let bench = sound().file("catalog/readings/flexure.csv", sheet);
        bench.run(&["lint"]).exits(0);
        let ran = bench
            .run(&["reduce", "catalog/readings/flexure.csv", "--format", "json"])
            .exits(0);
        assert_eq!(ran.out, plain.out, "{name}");
    }
}

#[test]
fn cases() {
    let case = |from: &str, to: &str, says: &[Says]| {
        assert!(CASE.contains(from));
        bad_case(CASE.replacen(from, to, 1), says);
    };
    case(
        "\"4 N.m\"",
        "\"4 N\"",
        &[Says(
            "unit::wrong-dimension",
            "bad.json:7:15",
            "write it in N.m",
        )],
    );
    case(
        "\"4 N.m\"",
        "4",
        &[Says("unit::missing", "bad.json:7:15", "`\"4 N.m\"`")],
    );
    case(
        "\"4 N.m\"",
        "\"4\"",
        &[Says("unit::missing", "bad.json:7:15", "write `4 N.m`")],
    );
    case(
        "\"4 N.m\"",
        "null",
        &[Says(
            "json::null",
            "bad.json:7:15",
            "leave the whole entry out",
        )],
    );
    case(
        "\"4 N.m\"",
        "\"-4 N.m\"",
        &[Says(
            "duty::not-positive",
            "bad.json:7:15",
            "a figure above 0",
        )],
    );
    case(
        "\"torque\"",
        "\"torqe\"",
        &[Says(
            "json::unknown-field",
            "bad.json:7:5",
            "write `torque`",
        )],
    );
    case(
        "    \"bolt\": \"M6\",\n",
        "",
        &[Says("json::missing-field", "bad.json:5:13", "\"bolt\"")],
    );
    case(
        "dutyfit.case/1",
        "dutyfit.case/9",
        &[Says(
            "json::format",
            "bad.json:2:13",
            "write `dutyfit.case/1`",
        )],
    );
    case(
        "bolt-washer",
        "bolt-wascher",
        &[Says(
            "part::unknown",
            "bad.json:4:11",
            "write `bolt-washer`",
        )],
    );
    case(
        "\"5 year\"",
        "\"0 year\"",
        &[Says(
            "case::life",
            "bad.json:12:11",
            "how long the part must last",
        )],
    );
    case(
        "\"life\"",
        "\"live\"",
        &[Says("json::unknown-field", "bad.json:12:3", "write `life`")],
    );
    case(
        "\"life\": \"5 year\"",
        "\"life\": \"5 year\", \"life\": \"6 year\"",
        &[Says("json::twice", "bad.json:12:21", "keep one")],
    );
    case(
        "\"life\": \"5 year\"",
        "\"class\": \"dammage\"",
        &[Says(
            "json::unknown-word",
            "bad.json:12:12",
            "write `damage`",
        )],
    );
    case(
        "\"life\": \"5 year\"",
        "\"surroundings\": { \"temperature\": \"45..-10 degC\" }",
        &[Says(
            "number::range-order",
            "bad.json:12:36",
            "write `-10..45`",
        )],
    );
    case(
        "\"life\": \"5 year\"",
        "\"surroundings\": { \"counterface\": \"stele-smooth\" }",
        &[Says(
            "counterface::unknown",
            "bad.json:12:36",
            "write `steel-smooth`",
        )],
    );
    case(
        "\"life\": \"5 year\"",
        "\"limits\": { \"clamp-lefd\": { \"at_least\": \"300 N\" } }",
        &[Says("duty::unknown-limit", "bad.json:12:15", "clamp-left")],
    );
    case(
        "\"life\": \"5 year\"",
        "\"limits\": { \"clamp-left\": { \"at_least\": \"300 mm\" } }",
        &[Says(
            "unit::wrong-dimension",
            "bad.json:12:15",
            "write it in N",
        )],
    );
    case(
        "\"life\": \"5 year\"",
        "\"assumed\": [\"torqe\"]",
        &[Says(
            "case::unknown-assumed",
            "bad.json:12:15",
            "write `torque`",
        )],
    );
    case(
        "\"hold\": 60",
        "\"hould\": 60",
        &[Says(
            "weights::unknown-aim",
            "bad.json:13:28",
            "write `hold`",
        )],
    );
    case(
        "\n}\n",
        "\n",
        &[Says("json::truncated", "bad.json:1", "close what is open")],
    );
    case(
        "\"4 N.m\",",
        "\"4 N.m\"",
        &[Says("json::syntax", "bad.json:8:5", "missing comma")],
    );
    case(
        "\"life\": \"5 year\"",
        &format!("\"x\": {}", "[".repeat(5000)),
        &[Says(
            "json::too-deep",
            "bad.json:12:",
            "take the nesting out",
        )],
    );
    bad_case(
        "[]",
        &[Says(
            "json::not-an-object",
            "bad.json:1:1",
            "between `{` and `}`",
        )],
    );
    bad_case(
        "",
        &[Says("json::empty", "bad.json:1:1", "between `{` and `}`")],
    );
    bad_case(
        b"{ \"format\": \"\xff\" }",
        &[Says(
            "json::not-utf8",
            "bad.json:1:14",
            "save the file as UTF-8",
        )],
    );
}

#[test]
fn two_faults_in_one_file_are_both_reported() {
    bad_case(
        CASE.replace("\"4 N.m\"", "\"4 N\"")
            .replace("\"5 year\"", "\"5 N\"")
            .replace("\"18 mm\"", "18"),
        &[
            Says("unit::wrong-dimension", "bad.json:7:15", "write it in N.m"),
            Says("unit::missing", "bad.json:8:23", "`\"18 mm\"`"),
            Says("unit::wrong-dimension", "bad.json:12:11", "write it in h"),
        ],
    );
    bad_case(
        PLAIN
            .replace("12 MPa", "12 mm")
            .replace("\"at_most\"", "\"at_mots\""),
        &[Says(
            "json::unknown-field",
            "bad.json:7:32",
            "write `at_most`",
        )],
    );
    bad_catalog(
        "catalog/readings/flexure.csv",
        FLEXURE.replace("40,2.0", "x,y").replace(",41,", ",z,"),
        &[
            Says("number::not-a-number", "flexure.csv:2:56", "write a number"),
            Says("number::not-a-number", "flexure.csv:2:58", "write a number"),
            Says("number::not-a-number", "flexure.csv:3:56", "write a number"),
        ],
    );
    bad_weights(
        weights(r#""points": { "hould": 1, "cost": -1 }"#),
        &[
            Says("weights::unknown-aim", "bad.json:3:15", "write `hold`"),
            Says("weights::negative", "bad.json:3:35", "write 0 or more"),
        ],
    );
}

#[test]
fn weight_profiles() {
    let bad = |body: &str, says: &[Says]| bad_weights(weights(body), says);
    bad(
        r#""points": { "cost": 0, "hold": 0 }"#,
        &[Says(
            "weights::all-zero",
            "bad.json:3:13",
            "give at least one aim points",
        )],
    );
    bad(
        r#""ranges": { "cost": [0.6, 0.7], "hold": [0.6, 0.9] }"#,
        &[Says(
            "weights::empty-region",
            "bad.json:3:13",
            "lower the lower ends",
        )],
    );
    bad(
        r#""ranges": { "cost": [0.1, 0.2], "hold": [0.1, 0.3] }"#,
        &[Says(
            "weights::empty-region",
            "bad.json:3:13",
            "raise the upper ends",
        )],
    );
    bad(
        r#""ranges": { "cost": [0.7, 0.2], "hold": [0.0, 1.0] }"#,
        &[Says(
            "weights::bad-range",
            "bad.json:3:23",
            "lower one first",
        )],
    );
    bad(
        r#""order": [["hold"], ["cost", "hold"]]"#,
        &[Says(
            "weights::aim-twice",
            "bad.json:3:32",
            "keep it in one place",
        )],
    );
    bad(
        r#""order": [["hold"], []]"#,
        &[Says("weights::empty-place", "bad.json:3:23", "name one")],
    );
    bad(
        r#""order": [["hold"]], "points": { "cost": 1 }"#,
        &[Says("weights::several", "bad.json:3:", "keep one of")],
    );
    bad(
        r#""title": "none""#,
        &[Says("weights::none", "bad.json:1:1", "add one of")],
    );
    bad(
        r#""points": { "cost": "much" }"#,
        &[Says("json::wrong-type", "bad.json:3:23", "write")],
    );
}

#[test]
fn policies() {
    let bad = |content: &str, says: &[Says]| bad_catalog("policy.json", content, says);
    bad(
        "{ \"format\": \"dutyfit.policy/1\",\n  \"rho\": { \"value\": -1 }, \"pool_cup\": 3 }",
        &[Says(
            "json::unknown-field",
            "policy.json:2:27",
            "write `pool_cap`",
        )],
    );
    bad(
        "{ \"format\": \"dutyfit.policy/1\",\n  \"classes\": { \"damage\": { \"chance\": { \"value\": 1.5 } } } }",
        &[Says(
            "policy::out-of-range",
            "policy.json:2:49",
            "the default is 0.9",
        )],
    );
}

#[test]
fn changed_entries() {
    let changed = |set: &str, wanted: Says| {
        let bench = sound();
        let before = bench.files();
        let ran = bench.run(&["shortlist", "washer", "--set", set]).exits(2);
        says(&ran, &ran.err, &wanted);
        assert_eq!(before, bench.files());
    };
    changed(
        "torqe=5 N.m",
        Says("set::unknown-key", "--set:1:7", "write `torque`"),
    );
    changed(
        "torque=5 N",
        Says("unit::wrong-dimension", "--set:1:8", "write it in N.m"),
    );
    changed(
        "surroundings.moisture=wett",
        Says("json::unknown-word", "--set:1:23", "write `wet`"),
    );
    changed(
        "life=never",
        Says("number::empty", "--set:1:6", "write for example `12 h`"),
    );
    changed(
        "torque=4,5 N.m",
        Says("number::comma", "--set:1:8", "write `4.5 N.m`"),
    );
    changed(
        "torque=6",
        Says("unit::missing", "--set:1:8", "write `6 N.m`"),
    );
    for (written, meant) in [("Nm", "N.m"), ("kgfcm", "kgf.cm"), ("Nmm", "N.mm")] {
        let ran = sound().run(&[
            "shortlist",
            "washer",
            "--set",
            &format!("torque=6 {written}"),
        ]);
        let ran = ran.exits(2);
        assert!(ran.err.contains(&format!("write `{meant}`")), "{ran:?}");
    }
    changed(
        "life=5 yrs",
        Says("unit::unknown", "--set:1:6", "write `year`"),
    );
    changed(
        "joints=2.5",
        Says("json::wrong-type", "--set:1:8", "write a whole number"),
    );
    changed(
        "harm=user",
        Says("set::unknown-key", "--set:1:6", "write `harm.hurts`"),
    );
    for list in ["chemicals=petrol", "chemicals=petrol, brine"] {
        let ran = sound().run(&["shortlist", "washer", "--set", list]);
        assert!(ran.code != 2 && ran.err.is_empty(), "{ran:?}");
    }
    sound().run(&[
        "shortlist",
        "washer",
        "--set",
        "torque=3 N.m",
        "--set",
        "life=1 year",
    ]);
}

#[test]
fn faults_speak_of_the_entry_in_the_words_of_the_bench() {
    for (part, set, says_what) in [
        ("support-foot", "sag=3 kg", "`sag` takes a length"),
        (
            "support-foot",
            "surroundings.storage=3 kg",
            "`storage` takes a temperature",
        ),
        ("support-foot", "feet=0", "`feet` is 0, and"),
        ("bolt-washer", "joints=2.5", "this is the number 2.5"),
    ] {
        let ran = sound().run(&["shortlist", part, "--set", set]).exits(2);
        assert!(ran.err.contains(says_what), "{ran:?}");
        for inside in ["u32", "inf", "a sequence", "`a length`", "heaviest_share"] {
            assert!(!ran.err.contains(inside), "{inside} in {ran:?}");
        }
    }
}

#[test]
fn a_name_far_from_all_is_told_all() {
    let ran = sound().run(&["show", "nope", "--demo"]).exits(2);
    for id in ["`tpu-85-a`", "`petg-a`", "or `pptpe-a`"] {
        assert!(ran.err.contains(id), "{id} not in {ran:?}");
    }
}

#[test]
fn files_that_cannot_be_read() {
    let fails = |bench: &Bench, args: &[&str], file: &str, fix: &str| {
        for args in [args, &["lint"]] {
            let ran = bench.run(args).exits(4);
            assert!(ran.err.contains(file) && ran.err.contains(fix), "{ran:?}");
        }
    };
    let shortlist = &["shortlist", "washer"];
    let folder = Bench::new().folder("catalog/materials.csv");
    fails(
        &folder,
        shortlist,
        "materials.csv",
        "name the file inside it",
    );
    let none = Bench::new().folder("catalog");
    fails(
        &none,
        shortlist,
        "materials.csv",
        "a catalog begins with materials.csv",
    );
    let bench = sound().folder("catalog/readings/impact.csv");
    fails(&bench, shortlist, "impact.csv", "name the file inside it");
    Bench::new().run(&["shortlist", "washer"]).exits(2);
}

#[test]
fn one_file_that_cannot_be_read_stops_no_other() {
    let bench = sound()
        .folder("weights/odd.json")
        .folder("cases/odd.json")
        .file("cases/empty.json", "\n");
    bench.run(&["shortlist", "washer"]).exits(1);
    for args in [
        ["shortlist", "washer", "--weights", "odd"].as_slice(),
        &["shortlist", "odd"],
        &["check", "odd", "petg-a"],
    ] {
        let ran = bench.run(args).exits(4);
        assert!(ran.err.contains("odd.json"), "{ran:?}");
        assert!(ran.err.contains("name the file inside it"), "{ran:?}");
    }
    let all = bench.run(&["shortlist", "cases"]).exits(2);
    assert!(all.out.contains("washer"), "{all:?}");
    let lint = bench.run(&["lint"]).exits(1);
    for ran in [&all.err, &lint.out] {
        assert!(ran.contains("error[file::unreadable]"), "{ran}");
        assert!(ran.contains("error[json::empty]"), "{ran}");
    }
}

#[test]
fn check_takes_one_case() {
    let ran = sound().run(&["check", "cases", "petg-a"]).exits(2);
    assert!(ran.err.contains("`check` takes one case"), "{ran:?}");
}

#[test]
fn an_answer_that_cannot_be_written_is_told_in_words() {
    let bench = sound();
    for (to, why) in [
        ("none/x.txt", "its folder is not there"),
        ("cases", "a folder stands in its place"),
    ] {
        let ran = bench.run(&["shortlist", "washer", "--out", to]).exits(4);
        assert!(ran.err.contains(why), "{ran:?}");
        assert!(!ran.err.contains("os error"), "{ran:?}");
    }
}

/// A flexure sheet of one run: its width in inches where millimetres were read, a bound that says
/// little, and a sound specimen between.
const SLIPPED: &str = "\
run,specimen,date,material,print,rig,direction,span [mm],width [in],thickness [mm],force [N],deflection [mm],outcome
f-1,1,2026-05-02,petg-a,petg-a-p1,frame-1,flat,64,0.4,4,40,2.0,
f-1,2,2026-05-02,petg-a,petg-a-p1,frame-1,flat,64,400,4,40,2.0,
f-1,3,2026-05-02,petg-a,petg-a-p1,frame-1,flat,64,400,4,40,2.0,stopped
";

#[test]
fn doubts_stand_at_the_specimen_and_bounds_that_fit_raise_none() {
    let bench = sound().file("catalog/readings/flexure.csv", SLIPPED);
    let lint = bench.run(&["lint", "--format", "json"]).exits(0).json();
    let implausible: Vec<&serde_json::Value> = lint["problems"]
        .as_array()
        .expect("problems")
        .iter()
        .filter(|p| p["code"] == "reading::implausible")
        .collect();
    let strength: Vec<_> = implausible
        .iter()
        .filter(|p| {
            p["what"]
                .as_str()
                .is_some_and(|w| w.contains("flexural strength"))
        })
        .collect();
    assert_eq!(strength.len(), 1, "{implausible:?}");
    assert_eq!(strength[0]["at"]["line"], 3, "{strength:?}");
    let said = strength[0]["what"].to_string();
    assert!(
        said.contains("of 0.0236 MPa is outside 0.3 to 900"),
        "{said}"
    );
}

#[test]
fn reduce_doubts_what_is_hard_to_believe_and_still_answers() {
    let bench = Bench::new().file("flexure.csv", SLIPPED);
    let ran = bench.run(&["reduce", "flexure.csv"]).exits(0);
    let said = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        said.contains("DOUBT, specimen 2: a flexural strength of 0.0236 MPa is outside 0.3 to 900"),
        "{said}"
    );
    assert!(!said.contains("DOUBT, specimen 1"), "{said}");
    let json = bench
        .run(&["reduce", "flexure.csv", "--format", "json"])
        .json();
    let doubts = &json["runs"][0]["specimens"][1]["doubts"];
    assert!(doubts[0].is_string(), "{json}");
}

#[test]
fn a_test_whose_reading_is_the_temperature_leaves_none_blank() {
    let lint = sound().run(&["lint", "--demo"]).exits(0);
    assert!(
        !lint.out.contains("leave `temperature` blank"),
        "{}",
        lint.out
    );
}

#[test]
fn figures_in_doubts_have_no_needless_digits() {
    let lint = sound().run(&["lint", "--demo"]).exits(0);
    for odd in ["38.0000", "e-1 MPa"] {
        assert!(!lint.out.contains(odd), "{}", lint.out);
    }
    assert!(lint.out.contains("of 38 MPa, and"), "{}", lint.out);
}

#[test]
fn a_catalog_of_nothing_is_refused() {
    Bench::new().run(&["shortlist", "washer"]).exits(2);
}

#[cfg(unix)]
#[test]
fn a_file_that_may_not_be_read() {
    use std::os::unix::fs::PermissionsExt;
    let bench = sound();
    let path = bench.path("catalog/prints.csv");
    std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o000)).unwrap();
    if std::fs::read(&path).is_ok() {
        // A superuser may read everything.
        return;
    }
    let ran = bench.run(&["lint"]).exits(4);
    assert!(ran.err.contains("you may not read it"), "{ran:?}");
}

#[test]
fn files_that_are_too_large_are_refused_by_name() {
    let bench = sound().file("cases/bad.json", "");
    let file = std::fs::File::create(bench.path("cases/bad.json")).unwrap();
    file.set_len(100 << 20).unwrap();
    refused_large(&bench, "shortlist", "bad.json", "1 MiB");
    let bench = sound();
    let file = std::fs::File::create(bench.path("catalog/prints.csv")).unwrap();
    file.set_len((1 << 30) + 1).unwrap();
    refused_large(&bench, "shortlist", "prints.csv", "1 GiB");
}

fn refused_large(bench: &Bench, command: &str, file: &str, size: &str) {
    let ran = bench.run(&[command, "bad"]).exits(2);
    let text = ran.err.clone();
    assert!(text.contains("error[file::too-large]"), "{ran:?}");
    assert!(text.contains(file) && text.contains(size), "{ran:?}");
}

#[test]
fn the_first_twenty_problems_are_shown_and_all_are_counted() {
    let mut sheet = FLEXURE.to_owned();
    for i in 3..60 {
        sheet.push_str(&format!(
            "f-1,{i},2026-05-02,petg-a,petg-a-p1,frame-1,flat,64,10,4,x,2.0,,\n"
        ));
    }
    let bench = sound().file("catalog/readings/flexure.csv", sheet);
    let ran = bench.run(&["shortlist", "washer"]).exits(2);
    assert_eq!(ran.err.matches("error[").count(), 20);
    assert!(
        ran.err.contains("57 errors; the first 20 are shown"),
        "{}",
        ran.err
    );
    let lint = bench.run(&["lint", "--format", "json"]).exits(1).json();
    assert_eq!(lint["errors"], 57);
    let first = &lint["problems"][0];
    assert_eq!(first["code"], "number::not-a-number");
    assert_eq!(first["at"]["line"], 4);
    assert_eq!(first["at"]["field"], "force [N]");
}

#[test]
fn control_characters_of_a_file_never_reach_the_terminal() {
    let bench = sound().file("catalog/prints.csv", "print,material\np\u{1b}[31m,petg-a\n");
    let ran = bench.run(&["lint"]).exits(1);
    assert!(!ran.out.contains('\u{1b}'), "{}", ran.out);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Whatever a file holds, it is answered or refused.
    #[test]
    fn no_bytes_make_the_readers_stumble(
        bytes in proptest::collection::vec(any::<u8>(), 0..300),
        text in "[a-z0-9,;\t\"\n\r#\\[\\]{}:. -]{0,300}",
        cut in 0usize..600,
    ) {
        for content in [bytes, text.into_bytes(), CASE.as_bytes()[..cut.min(CASE.len())].to_vec(),
            FLEXURE.as_bytes()[..cut.min(FLEXURE.len())].to_vec()] {
            let bench = sound()
                .file("catalog/readings/flexure.csv", &content)
                .file("catalog/stated.csv", &content)
                .file("catalog/rigs.csv", &content)
                .file("policy.json", &content)
                .file("weights/bad.json", &content)
                .file("cases/bad.json", &content);
            let code = bench.run(&["lint"]).code;
            prop_assert!(code <= 1);
            let code = bench.run(&["reduce", "catalog/readings/flexure.csv"]).code;
            prop_assert!(code == 0 || code == 2);
        }
    }

    /// One byte changed anywhere in a sound case never passes unseen into a crash.
    #[test]
    fn a_changed_byte_is_answered_or_refused(at in 0usize..400, byte in any::<u8>()) {
        let mut content = CASE.as_bytes().to_vec();
        let n = content.len();
        content[at % n] = byte;
        let code = sound().file("cases/bad.json", &content).run(&["lint"]).code;
        prop_assert!(code <= 1);
    }
}

#[test]
fn the_policy_beside_the_demo_is_the_default() {
    let policy = dutyfit::catalog::read_policy("policy.json", include_str!("../policy.json"));
    assert_eq!(policy, Ok(dutyfit::policy::Policy::default()));
}
