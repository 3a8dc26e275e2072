//! `sheet`: what stands in the cells of the summary table, in every format.

use crate::support::{Bench, Ran, dutyfit};
use proptest::prelude::*;
use serde_json::Value;

const MATERIALS: &str = "\
material,title,polymer,grade,kind,price [per kg],dry_temperature [degC],dry_time [h],nozzle_min [degC],nozzle_max [degC],note
pet-a,Clear,petg,,,21,60,6,230,245,
pet-b,Green,petg,,,18,,,230,,
soft-a,Soft,tpu,85A,,30,55,6,,,
soft-b,Softer,tpu,,,,,,,,
mix-a,Blend,pc+pbt,,,52,,,,,
odd-a,Odd,other,,,,,,,,
strip,Steel,other,,reference,,,,,,
";

const HEAD: &str = "run,specimen,date,recorded,material,print,direction,temperature [degC],moisture,width [mm],thickness [mm],force [N],outcome,set_aside,note\n";

const TENSILE: &str = "\
t-1,1,2026-03-01,,pet-a,,flat,23,room,10,4,1600,,,
t-1,2,2026-03-01,,pet-a,,flat,23,room,10,4,1640,,,
t-1,3,2026-03-01,,pet-a,,flat,23,room,10,4,1620,early failure,,
t-2,1,2026-03-02,,pet-a,,flat,23,room,10,4,900,,2026-03-03 out: the grip slipped | twice,
t-3,1,2026-03-04,,soft-a,,flat,23,room,10,4,400,stopped,,
t-3,2,2026-03-04,,soft-a,,flat,23,room,10,4,440,stopped,,
t-4,1,2026-03-05,,mix-a,,flat,23,dried,10,4,2000,,,
t-5,1,2026-05-05,,pet-b,,flat,23,room,10,4,1000,,,
t-7,1,2026-03-07,,soft-b,,flat,23,room,10,4,300,,,
t-7,2,2026-03-07,,soft-b,,flat,23,room,10,4,4,,2026-03-08 out: decimal slip,
t-6,1,2026-03-06,,strip,,flat,23,room,10,4,8000,,,
";

const STATED: &str = "\
material,property,value,spread,direction,source
pet-b,density,1.27 g/cm3,,,data sheet of 2025
pet-b,tensile-modulus,2000 MPa,,flat,data sheet of 2025
soft-b,shore-a,>=80 shoreA,,,the maker's word
odd-a,tensile-modulus,800..900 MPa,,flat,a leaflet
";

fn bench() -> Bench {
    Bench::new()
        .file("catalog/materials.csv", MATERIALS)
        .file("catalog/readings/tensile.csv", format!("{HEAD}{TENSILE}"))
        .file("catalog/stated.csv", STATED)
}

fn json(bench: &Bench, args: &[&str]) -> Value {
    let all: Vec<&str> = ["sheet", "--format", "json"]
        .iter()
        .chain(args)
        .copied()
        .collect();
    bench.run(&all).exits(0).json()
}

#[track_caller]
fn cell<'v>(sheet: &'v Value, material: &str, column: &str) -> &'v Value {
    let line = sheet["materials"]
        .as_array()
        .unwrap()
        .iter()
        .find(|l| l["material"] == material)
        .unwrap_or_else(|| panic!("no {material} in {sheet:#}"));
    line["cells"]
        .as_array()
        .unwrap()
        .iter()
        .find(|c| c["column"] == column)
        .unwrap_or_else(|| panic!("no {column} in {line:#}"))
}

/// Texts of a cell's footnotes, those of its column among them.
fn notes(sheet: &Value, material: &str, column: &str) -> Vec<String> {
    let of_column = sheet["columns"]
        .as_array()
        .unwrap()
        .iter()
        .find(|c| c["id"] == column)
        .unwrap();
    let numbers = |v: &Value| -> Vec<usize> {
        let all = v["footnotes"].as_array().unwrap();
        all.iter().map(|n| n.as_u64().unwrap() as usize).collect()
    };
    let mut all = numbers(of_column);
    all.extend(numbers(cell(sheet, material, column)));
    all.iter()
        .map(|n| {
            sheet["footnotes"][n - 1]["text"]
                .as_str()
                .unwrap()
                .to_owned()
        })
        .collect()
}

/// Text without its line breaks.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn materials(sheet: &Value) -> Vec<&str> {
    let all = sheet["materials"].as_array().unwrap();
    all.iter()
        .map(|l| l["material"].as_str().unwrap())
        .collect()
}

const STRENGTH: &str = "tensile-strength/flat";

#[test]
fn a_mean_a_bound_a_stated_value_and_nothing_are_told_apart() {
    let b = bench();
    let sheet = json(
        &b,
        &[
            "--columns",
            "tensile-strength/flat,tensile-modulus/flat,density",
        ],
    );
    let mean = cell(&sheet, "pet-a", STRENGTH);
    assert_eq!(mean["grade"], "measured");
    assert_eq!(
        (&mean["specimens"], &mean["prints"]),
        (&3.into(), &1.into())
    );
    // 1600, 1640 and 1620 N on 40 mm2.
    let value = mean["value"].as_f64().unwrap();
    assert!((value - 40.5).abs() < 0.1, "{value}");
    assert!(mean["low"].as_f64().unwrap() < 40.0 && mean["high"].as_f64().unwrap() > 41.0);

    let bound = cell(&sheet, "soft-a", STRENGTH);
    assert_eq!(
        (&bound["grade"], &bound["bound"]),
        (&"bounded".into(), &"at_least".into())
    );
    // Both reached at least 400 N on 40 mm2.
    assert!((bound["value"].as_f64().unwrap() - 10.0).abs() < 1e-9);
    assert!(bound["low"].is_null());

    let stated = cell(&sheet, "pet-b", "density");
    assert_eq!(
        (&stated["grade"], &stated["value"]),
        (&"stated".into(), &1.27.into())
    );
    assert!(
        stated["low"].is_null(),
        "a stated value has no measured interval"
    );
    let range = cell(&sheet, "odd-a", "tensile-modulus/flat");
    assert_eq!(
        (&range["low"], &range["high"]),
        (&800.0.into(), &900.0.into())
    );
    assert_eq!(range["bound"], "between");
    assert!(range["value"].is_null());

    let nothing = cell(&sheet, "odd-a", STRENGTH);
    assert_eq!(
        (&nothing["grade"], &nothing["value"]),
        (&"absent".into(), &Value::Null)
    );

    let text = b
        .run(&[
            "sheet",
            "--columns",
            "tensile-strength/flat,density,tensile-modulus",
        ])
        .exits(0)
        .out;
    for said in [
        ">= 10 [",
        "1.27 (stated) [",
        "800..900 (stated) [",
        "40 (35..47) [",
    ] {
        assert!(text.contains(said), "{said}\n{text}");
    }
    assert!(
        flat(&text).contains("(stated): from a data sheet"),
        "{text}"
    );
}

#[test]
fn footnotes_tell_what_was_set_aside_failed_early_ended_early_or_was_tested_otherwise() {
    let sheet = json(&bench(), &["--columns", STRENGTH]);
    let of = |m: &str| notes(&sheet, m, STRENGTH);
    let pet = of("pet-a");
    assert!(
        pet.iter()
            .any(|n| n.contains("t-2") && n.contains("the grip slipped | twice")),
        "{pet:?}"
    );
    assert!(
        pet.iter()
            .any(|n| n == "tensile specimen 3 of run t-1 failed early, and counts"),
        "{pet:?}"
    );
    assert_eq!(
        of("soft-a"),
        ["every specimen: stopped before the failure or the end point"]
    );
    // Its polymers take up little water, so a dried figure counts, and that is told.
    assert!(
        of("mix-a").iter().any(|n| n.contains("tested dried")),
        "{:?}",
        of("mix-a")
    );
    assert_eq!(
        of("soft-b"),
        ["tensile specimen 2 of run t-7 is set aside and not counted: decimal slip"]
    );
    assert!(of("pet-b").is_empty(), "{:?}", of("pet-b"));
    let kinds: Vec<&Value> = sheet["footnotes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|f| &f["kind"])
        .collect();
    assert!(kinds.contains(&&"set-aside".into()) && kinds.contains(&&"early-failure".into()));
}

#[test]
fn a_cell_without_a_figure_says_why() {
    let b = Bench::new().file("catalog/materials.csv", MATERIALS).file(
        "catalog/readings/impact.csv",
        "run,specimen,material,direction,width [mm],depth [mm],notch,energy [J],outcome\n\
         i-1,1,pet-a,across,4,8,V,0.1,hinge\n\
         i-1,2,pet-a,across,4,8,V,0.1,hinge\n\
         i-2,1,pet-b,across,4,8,V,,not applicable\n",
    );
    let id = "impact-notched/across";
    let sheet = json(&b, &["--columns", id]);
    assert_eq!(cell(&sheet, "pet-a", id)["grade"], "absent");
    assert!(notes(&sheet, "pet-a", id)[0].contains("hinge"), "{sheet:#}");
    let other = notes(&sheet, "pet-b", id);
    assert!(
        other[0].contains("i-2") && other[0].contains("not applicable"),
        "{other:?}"
    );
}

#[test]
fn as_of_a_day_leaves_out_what_came_later() {
    let b = bench();
    let now = json(&b, &["--columns", STRENGTH]);
    assert_eq!(cell(&now, "pet-b", STRENGTH)["grade"], "measured");
    assert_eq!(now["readings_up_to"], "2026-05-05");
    let then = json(&b, &["--columns", STRENGTH, "--as-of", "2026-03-02"]);
    assert_eq!(cell(&then, "pet-b", STRENGTH)["grade"], "absent");
    // The day before it was set aside, t-2 still counted.
    assert_eq!(cell(&then, "pet-a", STRENGTH)["specimens"], 4);
    assert_eq!(then["as_of"], "2026-03-02");
    let text = b.run(&["sheet", "--as-of", "2026-03-02"]).exits(0).out;
    assert!(text.contains("As of 2026-03-02."), "{text}");
}

#[test]
fn the_selection_is_by_stiffness_polymer_and_name() {
    let b = bench();
    let of = |args: &[&str]| -> Vec<String> {
        let mut all = vec!["--columns", "polymer"];
        all.extend(args);
        let sheet = json(&b, &all);
        materials(&sheet).iter().map(|m| (*m).to_owned()).collect()
    };
    // By polymer in the table's order, then by id; the reference strip is no candidate.
    assert_eq!(
        of(&[]),
        ["soft-a", "soft-b", "pet-a", "pet-b", "mix-a", "odd-a"]
    );
    // soft-a by its polymer, soft-b by a stated Shore A.
    assert_eq!(of(&["flexible"]), ["soft-a", "soft-b"]);
    // odd-a by a stated modulus alone, mix-a by its polymers.
    assert_eq!(of(&["rigid"]), ["pet-a", "pet-b", "mix-a", "odd-a"]);
    assert_eq!(of(&["--polymer", "pc"]), ["mix-a"]);
    let both = b.run(&["sheet", "--polymer", "pc+petg"]).exits(2);
    assert!(both.err.contains("no material is left"), "{}", both.err);
    assert_eq!(
        of(&["--polymer", "petg,other"]),
        ["pet-a", "pet-b", "odd-a"]
    );
    assert_eq!(of(&["--without", "pet-a", "--polymer", "petg"]), ["pet-b"]);
    // As named, references too.
    assert_eq!(
        of(&["strip", "pet-b", "--among", "pet-a"]),
        ["strip", "pet-b", "pet-a"]
    );
    assert_eq!(of(&["flexible", "pet-a"]), ["soft-a", "soft-b", "pet-a"]);
}

#[test]
fn materials_that_nothing_tells_are_named() {
    let b = Bench::new().file(
        "catalog/materials.csv",
        "material,polymer\nodd-a,other\nmix-a,pp+tpe\nsoft-a,tpu\n",
    );
    let ran = b
        .run(&["sheet", "flexible", "--columns", "polymer"])
        .exits(0);
    let text = flat(&ran.out);
    assert!(
        text.contains(
            "Left out, for want of modulus, hardness and a telling polymer: odd-a and mix-a."
        ),
        "{text}"
    );
    assert!(text.contains("By polymer only: soft-a."), "{text}");
    assert!(text.contains("at most 700 MPa"), "{text}");
}

#[test]
fn sorting_goes_by_the_sense_of_the_column() {
    let b = bench();
    let by = |args: &[&str]| -> Vec<String> {
        let mut all = vec!["--columns", "polymer", "--by"];
        all.extend(args);
        materials(&json(&b, &all))
            .iter()
            .map(|m| (*m).to_owned())
            .collect()
    };
    // The dearest last, those without a price after it.
    assert_eq!(
        by(&["price"]),
        ["pet-b", "pet-a", "soft-a", "mix-a", "odd-a", "soft-b"]
    );
    assert_eq!(
        by(&["price", "--reverse"]),
        ["mix-a", "soft-a", "pet-a", "pet-b", "odd-a", "soft-b"]
    );
    assert_eq!(by(&[STRENGTH])[..4], ["mix-a", "pet-a", "pet-b", "soft-a"]);
    assert_eq!(by(&["title"])[..2], ["mix-a", "pet-a"]);
}

#[test]
fn what_is_not_known_is_refused_with_the_nearest_name() {
    let b = bench();
    for (args, said) in [
        (&["--columns", "tensle-strength"][..], "`tensile-strength`"),
        (&["--columns", "polymr"], "`polymer`"),
        (&["--by", "prise"], "`price`"),
        (&["--columns", "price/flat"], "has none"),
        (
            &["--columns", "tensile-strength/flt"],
            "no condition that is known",
        ),
        (
            &["--columns", "tensile-strength/-5h"],
            "no condition that is known",
        ),
        (&["petg"], "--polymer petg"),
        (&["pet-c"], "`pet-a`"),
        (&["--polymer", "petgg"], "`petg`"),
        (&["--without", "pet-aa"], "`pet-a`"),
        (&["pet-a", "--without", "pet-a"], "no material is left"),
        (&["--life", "-1 h"], "above zero"),
        (&["--preset", "sumary"], "`summary`"),
    ] {
        let all: Vec<&str> = ["sheet"].iter().chain(args).copied().collect();
        let ran = b.run(&all).exits(2);
        assert!(ran.err.contains(said), "{args:?}: {}", ran.err);
        assert!(ran.out.is_empty());
    }
}

#[test]
fn only_the_sheet_writes_csv() {
    let ran = dutyfit(&["show", "petg-a", "--demo", "--format", "csv"]).exits(2);
    assert!(ran.err.contains("only `sheet` writes CSV"), "{}", ran.err);
}

#[test]
fn curves_are_read_at_the_asked_life_and_the_header_says_it() {
    let of = |life: &[&str]| {
        let mut all = vec!["sheet", "petg-a", "--demo", "--columns", "force-retained"];
        all.extend(life);
        dutyfit(&all).exits(0).out
    };
    assert!(of(&[]).contains("after 1000 h"), "{}", of(&[]));
    assert!(of(&["--life", "5 year"]).contains("after 5 years"));
    let own = dutyfit(&[
        "sheet",
        "petg-a",
        "--demo",
        "--columns",
        "force-retained/100h",
        "--life",
        "5 year",
    ]);
    assert!(own.exits(0).out.contains("after 100 h"));
}

#[test]
fn leaving_a_material_out_changes_no_other_cell() {
    let all = |extra: &[&str]| {
        let mut args = vec!["sheet", "--demo", "--format", "json", "--preset", "wear"];
        args.extend(extra);
        dutyfit(&args).exits(0).json()
    };
    let (whole, part) = (all(&[]), all(&["--without", "tpe-a,pom-a"]));
    for line in part["materials"].as_array().unwrap() {
        let id = line["material"].as_str().unwrap();
        for c in line["cells"].as_array().unwrap() {
            let column = c["column"].as_str().unwrap();
            for key in ["value", "low", "high", "grade", "specimens"] {
                assert_eq!(c[key], cell(&whole, id, column)[key], "{id} {column}");
            }
        }
    }
}

#[test]
fn what_is_borrowed_or_assumed_is_never_shown_as_measured() {
    let b = bench();
    // pet-a lends pet-b its polymer's strength across, which neither was tested for.
    let hot = "tensile-strength/flat/60degC";
    let shown = json(&b, &["--columns", "conductivity", "--borrowed"]);
    assert_eq!(cell(&shown, "pet-a", "conductivity")["grade"], "borrowed");
    let hidden = json(&b, &["--columns", "conductivity"]);
    assert_eq!(cell(&hidden, "pet-a", "conductivity")["value"], Value::Null);
    let text = b
        .run(&["sheet", "--columns", "conductivity", "--borrowed"])
        .exits(0)
        .out;
    assert!(text.contains(", borrowed)"), "{text}");
    // Its own readings, on a line to an onset that is only stated.
    let on_line = dutyfit(&[
        "sheet",
        "--demo",
        "petg-b",
        "--columns",
        hot,
        "--format",
        "json",
    ]);
    let on_line = on_line.exits(0).json();
    let c = cell(&on_line, "petg-b", hot);
    assert_eq!(
        (&c["grade"], &c["assumed"]),
        (&"stated".into(), &true.into())
    );
    assert!(c["low"].is_number());
    let demo = dutyfit(&["sheet", "--demo", "petg-a", "--columns", hot])
        .exits(0)
        .out;
    assert!(
        demo.contains(", assumed)") && demo.contains("1 assumed"),
        "{demo}"
    );
}

#[test]
fn the_page_is_kept_and_nothing_is_cut() {
    for width in [40, 60, 80, 200] {
        let screen = dutyfit::cli::Screen {
            width,
            colour: false,
        };
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let code = dutyfit::cli::run_on(screen, ["dutyfit", "sheet", "--demo"], &mut out, &mut err);
        let text = String::from_utf8(out).unwrap();
        assert_eq!(code, 0);
        let longest = text.lines().map(|l| l.chars().count()).max().unwrap();
        assert!(longest <= width, "{width}: {longest}\n{text}");
        // Every material has its price, in whichever of the tables it stands.
        for m in ["tpu-64d-a", "pbt-a"] {
            assert!(text.matches(m).count() >= 1, "{text}");
        }
        assert!(text.contains("price"), "{text}");
    }
}

#[test]
fn a_post_is_one_narrow_block_that_says_all() {
    let post = dutyfit(&["sheet", "--demo", "--preset", "post"])
        .exits(0)
        .out;
    assert!(post.lines().all(|l| l.chars().count() < 80), "{post}");
    assert_eq!(post.matches("```").count(), 2);
    for said in [
        "invented demo",
        "INVENTED FIGURES",
        "half the 90 % interval",
        "At 23 degC",
        "Readings up to 2026-",
        "specimens of 1 to",
        "te-039 is set aside",
        "not measured",
    ] {
        assert!(flat(&post).contains(said), "{said}\n{post}");
    }
    let own = bench().run(&["sheet", "--preset", "post"]).exits(0).out;
    assert!(!own.to_lowercase().contains("invented"), "{own}");
}

/// The cells of CSV by header and material.
fn parsed(csv: &str) -> (Vec<String>, Vec<Vec<String>>) {
    let mut reader = csv::ReaderBuilder::new()
        .flexible(false)
        .from_reader(csv.as_bytes());
    let head = reader
        .headers()
        .unwrap()
        .iter()
        .map(str::to_owned)
        .collect();
    let rows = reader
        .records()
        .map(|r| r.unwrap().iter().map(str::to_owned).collect())
        .collect();
    (head, rows)
}

#[test]
fn csv_holds_the_figures_of_the_json() {
    let columns = "tensile-strength/flat,tensile-modulus/flat,density,price,nozzle,drying,polymer";
    for demo in [true, false] {
        let run = |format: &str| -> Ran {
            let args = [
                "sheet",
                "--columns",
                columns,
                "--counts",
                "--format",
                format,
            ];
            if demo {
                dutyfit(&[&args[..], &["--demo"]].concat())
            } else {
                bench().run(&args)
            }
            .exits(0)
        };
        let (json, csv) = (run("json").json(), run("csv").out);
        assert!(csv.contains("\r\n") && !csv.starts_with('\u{feff}'));
        let (head, rows) = parsed(&csv);
        let at = |name: &str| {
            head.iter()
                .position(|h| h == name)
                .unwrap_or_else(|| panic!("{name} in {head:?}"))
        };
        assert_eq!(head.contains(&"figures".to_owned()), demo);
        assert_eq!(rows.len(), json["materials"].as_array().unwrap().len());
        for row in &rows {
            let number = |name: &str| row[at(name)].parse::<f64>().ok();
            for (id, unit) in [
                (STRENGTH, "MPa"),
                ("tensile-modulus/flat", "MPa"),
                ("density", "g/cm3"),
            ] {
                let c = cell(&json, &row[0], id);
                let value = &row[at(&format!("{id} [{unit}]"))];
                let plain = value.trim_start_matches(['>', '<', '=']);
                match c["bound"].as_str() {
                    Some("between") => assert_eq!(
                        *value,
                        format!(
                            "{}..{}",
                            c["low"].as_f64().unwrap(),
                            c["high"].as_f64().unwrap()
                        )
                    ),
                    bound => {
                        assert_eq!(plain.parse::<f64>().ok(), c["value"].as_f64(), "{row:?}");
                        assert_eq!(value.starts_with(">="), bound == Some("at_least"));
                        assert_eq!(number(&format!("{id} low [{unit}]")), c["low"].as_f64());
                        assert_eq!(number(&format!("{id} high [{unit}]")), c["high"].as_f64());
                    }
                }
                let n = number(&format!("{id} specimens")).unwrap_or(0.0);
                assert_eq!(Some(n), c["specimens"].as_f64());
            }
            assert_eq!(
                number("price [per kg]"),
                cell(&json, &row[0], "price")["value"].as_f64()
            );
            assert_eq!(
                number("nozzle_min [degC]"),
                cell(&json, &row[0], "nozzle")["low"].as_f64()
            );
            assert_eq!(
                number("dry_time [h]"),
                cell(&json, &row[0], "drying")["drying"]["time_h"].as_f64()
            );
        }
    }
}

/// A workspace whose words are these.
fn worded(title: &str, note: &str, why: &str) -> Bench {
    let mut to = csv::Writer::from_writer(Vec::new());
    to.write_record(["material", "title", "polymer", "note"])
        .unwrap();
    to.write_record(["pet-a", title, "petg", note]).unwrap();
    let materials = to.into_inner().unwrap();
    let mut to = csv::Writer::from_writer(Vec::new());
    to.write_record([
        "run",
        "specimen",
        "date",
        "material",
        "direction",
        "width [mm]",
        "thickness [mm]",
        "force [N]",
        "set_aside",
    ])
    .unwrap();
    to.write_record([
        "t-1",
        "1",
        "2026-03-01",
        "pet-a",
        "flat",
        "10",
        "4",
        "1600",
        "",
    ])
    .unwrap();
    let aside = format!("2026-03-03 out: {why}");
    to.write_record([
        "t-2",
        "1",
        "2026-03-01",
        "pet-a",
        "flat",
        "10",
        "4",
        "900",
        &aside,
    ])
    .unwrap();
    Bench::new()
        .file("catalog/materials.csv", materials)
        .file("catalog/readings/tensile.csv", to.into_inner().unwrap())
}

const WORDS: [&str; 5] = [
    "sheet",
    "--columns",
    "title,note,grade,tensile-strength/flat",
    "--format",
    "csv",
];

#[track_caller]
fn no_formula(text: &str) {
    let (head, rows) = parsed(text);
    for row in &rows {
        assert_eq!(row.len(), head.len());
        for cell in row {
            let number = cell.parse::<f64>().is_ok() && !cell.starts_with('+');
            let runs =
                cell.starts_with(['=', '+', '@', '\t', '\r']) || (cell.starts_with('-') && !number);
            assert!(!runs, "{cell:?} in {text}");
        }
    }
}

#[test]
fn no_cell_of_csv_starts_a_formula() {
    for bad in [
        "=HYPERLINK(\"http://evil\",\"look\")",
        "+cmd|' /C calc'!A0",
        "@SUM(1+1)*cmd",
        "-2+3+cmd",
        "=1+1",
    ] {
        let b = worded(bad, bad, bad);
        let csv = b.run(&WORDS).exits(0).out;
        no_formula(&csv);
        let (head, rows) = parsed(&csv);
        let title = head.iter().position(|h| h == "title").unwrap();
        assert_eq!(rows[0][title], format!("'{bad}"));
        // A negative number would still be one.
        let b = worded("-5", "-1.5e-3", "x");
        assert!(b.run(&WORDS).exits(0).out.contains("pet-a,-5,-1.5e-3,"));
    }
}

#[test]
fn markdown_and_posts_are_not_broken_by_what_was_written() {
    let bad = "a|b `c` [d](http://e) <img src=x onerror=y> ```";
    let b = worded(bad, bad, bad);
    let md = b
        .run(&[
            "sheet",
            "--columns",
            "title,note,tensile-strength/flat",
            "--format",
            "markdown",
        ])
        .exits(0)
        .out;
    let table: Vec<&str> = md.lines().filter(|l| l.starts_with('|')).collect();
    assert_eq!(table.len(), 3, "{md}");
    for line in &table {
        let bars = line.matches('|').count() - line.matches("\\|").count();
        assert_eq!(bars, 5, "{line}");
    }
    assert!(
        md.contains("\\<img") && md.contains("\\[d\\]") && !md.contains("``"),
        "{md}"
    );
    let post = b
        .run(&[
            "sheet",
            "--columns",
            "title,tensile-strength/flat",
            "--preset",
            "post",
        ])
        .exits(0)
        .out;
    assert_eq!(post.matches('`').count(), 6, "{post}");
    assert!(post.trim_end().ends_with("```"), "{post}");
}

#[test]
fn control_characters_never_reach_the_terminal() {
    let b = worded("a\u{1b}[31mred\u{202e}", "\u{7}", "\u{1b}c");
    let args = &["sheet", "--columns", "title,note,tensile-strength/flat"];
    for format in ["text", "markdown", "csv"] {
        let out = b
            .run(&[&args[..], &["--format", format]].concat())
            .exits(0)
            .out;
        assert!(!out.contains(['\u{1b}', '\u{7}', '\u{202e}']), "{out:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn whatever_is_written_csv_runs_nothing_and_keeps_its_shape(
        title in "[=+@\\-]?[ -~\u{e9}\u{ff1d}\t]{0,24}",
        note in "\\PC{0,20}",
        why in "[a-z][=+@;,\"' -~]{0,20}",
    ) {
        let ran = worded(&title, &note, &why).run(&WORDS);
        // What the reader refuses is no matter here.
        if ran.code == 0 {
            no_formula(&ran.out);
        }
    }
}

#[test]
fn looks() {
    let args = [
        "sheet", "--demo", "tpu-85-a", "tpu-85-b", "petg-c", "pc-a", "pa6-a",
    ];
    let of = |more: &[&str]| dutyfit(&[&args[..], more].concat()).exits(0).out;
    insta::assert_snapshot!("sheet_text", of(&["--counts"]));
    insta::assert_snapshot!("sheet_markdown", of(&["--format", "markdown"]));
    insta::assert_snapshot!(
        "sheet_csv",
        of(&[
            "--format",
            "csv",
            "--columns",
            "polymer,tensile-strength/across,price"
        ])
    );
    insta::assert_snapshot!("sheet_post", of(&["--preset", "post"]));
}

#[test]
fn an_empty_catalog_says_what_to_do() {
    let b = Bench::new().file("catalog/materials.csv", "material,polymer\n");
    let ran = b.run(&["sheet"]).exits(2);
    assert!(
        ran.err.contains("no material in this catalog yet"),
        "{}",
        ran.err
    );
    // A blank price is no figure that is not known.
    let b = Bench::new().file(
        "catalog/materials.csv",
        "material,polymer,price [per kg]\na,petg,\n",
    );
    let out = b.run(&["sheet", "--columns", "price"]).exits(0).out;
    assert!(out.starts_with("1 material.\n"), "{out}");
}

#[test]
fn bad_lines_are_named_beside_csv_and_not_in_it() {
    let bad = TENSILE.replace("1640", "1x640");
    let b = bench().file("catalog/readings/tensile.csv", format!("{HEAD}{bad}"));
    let of = |format: &str| b.run(&["sheet", "--skip-bad", "--format", format]).exits(0);
    let csv = of("csv");
    no_formula(&csv.out);
    assert!(csv.out.starts_with("material,"), "{}", csv.out);
    assert!(csv.err.contains("1x640"), "{}", csv.err);
    assert!(of("text").out.contains("1x640"));
}
