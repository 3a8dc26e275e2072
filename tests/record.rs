//! `record`: filled sheets go into the catalog whole, or not at all.

use crate::support::Bench;

const MATERIALS: &str = "material,polymer\ntpu-a,tpu\npetg-a,petg\n";
const DAY: &[&str] = &["--date", "2026-05-03"];

fn bench() -> Bench {
    Bench::new().file("catalog/materials.csv", MATERIALS)
}

fn text(bench: &Bench, name: &str) -> String {
    std::fs::read_to_string(bench.path(name)).unwrap_or_default()
}

/// `record` with a day.
fn record(bench: &Bench, args: &[&str]) -> crate::support::Ran {
    let all: Vec<&str> = ["record"].iter().chain(args).chain(DAY).copied().collect();
    bench.run(&all)
}

const GERMAN: &str = "\
Zugversuche Mai;;;;;;
Werkstoff;Datum;Breite (mm);Dicke (mm);Kraft 1 (kg);Kraft 2 (kg);Bemerkung
petg-a;02.05.2026;10,02;4,01;152,5;149,75;
petg-a;02.05.2026;10,00;4,00;151;;schief
";
const GERMAN_MAPS: &[&str] = &[
    "--map",
    "Werkstoff=material",
    "--map",
    "Datum=date",
    "--map",
    "Breite (mm)=width [mm]",
    "--map",
    "Dicke (mm)=thickness [mm]",
    "--map",
    "Kraft (kg)=force [kgf]",
    "--map",
    "Bemerkung=note",
    "--set",
    "direction=flat",
];

#[test]
fn an_old_sheet_in_another_language_goes_in_with_one_map_a_header() {
    let bench = bench().file("tensile.csv", GERMAN);
    let args: Vec<&str> = ["tensile.csv"].iter().chain(GERMAN_MAPS).copied().collect();
    let ran = record(&bench, &args).exits(0);
    assert!(
        ran.out.starts_with("Recorded 3 lines in 1 run; "),
        "{}",
        ran.out
    );
    let file = text(&bench, "catalog/readings/tensile.csv");
    let lines: Vec<&str> = file.lines().collect();
    assert!(lines[0].contains("force [kgf]"), "{file}");
    assert!(
        lines[1].starts_with("tensile-2026-05-02-1,1,,2026-05-02,2026-05-03,,petg-a,")
            && lines[1].contains(",10.02,4.01,,152.5,"),
        "{file}"
    );
    assert!(
        lines[3].ends_with(",schief") && lines[3].contains(",151,"),
        "{file}"
    );
    // The catalog that came out is in order, and the maps are kept for the next sheet.
    bench.run(&["lint"]).exits(0);
    let second = GERMAN
        .replace("152,5", "153")
        .replace("149,75", "148")
        .replace(";151;", ";150;");
    let bench = bench.file("june.csv", second);
    record(
        &bench,
        &["june.csv", "--test", "tensile", "--set", "direction=flat"],
    )
    .exits(0);
    let file = text(&bench, "catalog/readings/tensile.csv");
    assert!(file.contains("\ntensile-2026-05-02-2,1,"), "{file}");
}

#[test]
fn a_strange_header_is_refused_with_the_map_to_paste() {
    let bench = bench().file("tensile.csv", GERMAN);
    let ran = record(&bench, &["tensile.csv"]).exits(2);
    for line in [
        "--map 'Kraft (kg)=force [kgf]'",
        "--map 'Datum=date'",
        "tensile.csv:2:40",
    ] {
        assert!(ran.err.contains(line), "{line} in {}", ran.err);
    }
    assert!(!bench.path("catalog/readings").exists());
}

const TENSILE: &str = "\
date,material,direction,width [mm],thickness [mm],force [N],outcome
2026-05-02,tpu-a,flat,10,4,1500,
2026-05-02,tpu-a,flat,10,4,1520,
";
const HARDNESS: &str = "\
date,material,scale,hardness,thickness [mm],dwell [s]
2026-05-02,tpu-a,A,85,8,15
2026-05-02,tpu-b,A,86,8,15
2026-05-02,tpu-a,A,x,8,15
";

#[test]
fn one_wrong_line_among_two_sheets_and_nothing_is_written() {
    let bench = bench()
        .file("tensile.csv", TENSILE)
        .file("hardness.csv", HARDNESS);
    let before = bench.files();
    let ran = record(&bench, &["tensile.csv", "hardness.csv"]).exits(2);
    assert!(ran.err.contains("hardness.csv:3:12"), "{}", ran.err);
    assert!(ran.err.contains("material::unknown"), "{}", ran.err);
    assert!(
        ran.err
            .contains("the line `tpu-b,POLYMER` in catalog/materials.csv"),
        "{}",
        ran.err
    );
    assert!(ran.err.contains("hardness.csv:4:20"), "{}", ran.err);
    assert!(ran.err.contains("2 errors"), "{}", ran.err);
    assert_eq!(without_lock(bench.files()), before);
}

fn without_lock(mut files: Vec<(String, Vec<u8>)>) -> Vec<(String, Vec<u8>)> {
    files.retain(|f| !f.0.contains(".lock"));
    files
}

#[test]
fn a_dry_run_says_what_would_be_and_leaves_every_byte() {
    let bench = bench().file("tensile.csv", TENSILE);
    let before = bench.files();
    let ran = record(&bench, &["tensile.csv", "--dry-run"]).exits(0);
    assert!(
        ran.out
            .starts_with("Dry run, nothing is written: 2 lines in 1 run would be recorded, "),
        "{}",
        ran.out
    );
    assert!(
        ran.out.contains("tensile strength  37.7 MPa"),
        "{}",
        ran.out
    );
    assert_eq!(bench.files(), before);
}

#[test]
fn a_sheet_recorded_twice_is_refused_and_other_specimens_are_not() {
    let bench = bench().file("tensile.csv", TENSILE);
    record(&bench, &["tensile.csv"]).exits(0);
    let ran = record(&bench, &["tensile.csv"]).exits(2);
    assert!(ran.err.contains("record::repeated"), "{}", ran.err);
    assert!(
        ran.err.contains("lines 2 to 3 stand already"),
        "{}",
        ran.err
    );
    // With a run of its own the key decides.
    let own = TENSILE
        .replace("date,", "run,date,")
        .replace("\n2026", "\nr-9,2026");
    let bench = bench.file("own.csv", own);
    record(&bench, &["own.csv", "--test", "tensile"]).exits(0);
    let ran = record(&bench, &["own.csv", "--test", "tensile"]).exits(0);
    // Blank specimens of a run that stands are its next ones.
    assert!(
        text(&bench, "catalog/readings/tensile.csv").contains("\nr-9,4,"),
        "{}",
        ran.out
    );
    let key = "run,specimen,date,material,direction,width [mm],thickness [mm],force [N]\nr-9,4,2026-05-02,tpu-a,flat,10,4,1500\n";
    let bench = bench.file("key.csv", key);
    let ran = record(&bench, &["key.csv"]).exits(2);
    assert!(
        ran.err.contains("key::twice") && ran.err.contains("key.csv:2"),
        "{}",
        ran.err
    );
    assert!(
        ran.err.contains("catalog/readings/tensile.csv"),
        "{}",
        ran.err
    );
}

#[test]
fn later_points_of_a_curve_join_it() {
    let first = "run,specimen,date,material,direction,mode,span [mm],width [mm],thickness [mm],load [N],time [h],deflection [mm]\n\
                 c-1,1,2026-05-02,tpu-a,flat,bending,60,10,4,2,0.1,1.0\n\
                 c-1,1,2026-05-02,tpu-a,flat,bending,,,,,1,1.2\n";
    let later = "run,specimen,date,material,direction,mode,span [mm],width [mm],thickness [mm],load [N],time [min],deflection [mm]\n\
                 c-1,1,2026-05-02,tpu-a,flat,bending,,,,,600,1.4\n";
    let bench = bench().file("creep.csv", first).file("later.csv", later);
    record(&bench, &["creep.csv"]).exits(0);
    record(&bench, &["later.csv"]).exits(0);
    let file = text(&bench, "catalog/readings/creep.csv");
    let last = file.lines().last().unwrap_or("");
    assert!(
        last.starts_with("c-1,1,3,") && last.contains(",10,1.4,"),
        "{file}"
    );
    let ran = record(&bench, &["later.csv"]).exits(2);
    assert!(
        ran.err.contains("key::twice") || ran.err.contains("point"),
        "{}",
        ran.err
    );
}

#[test]
fn a_file_with_its_own_manner_only_grows() {
    let old = "\u{feff}# my book\r\nrun;specimen;material;direction;#rack;width [mm];thickness [mm];force [kgf];recorded\r\nt-1;1;tpu-a;flat;7;10,1;4;12,5;2026-04-01\r\n";
    let bench = bench().file("catalog/readings/tensile.csv", old).file(
        "tensile.csv",
        TENSILE
            .replace(",outcome", ",#rack")
            .replace("1500,", "1500,9"),
    );
    record(&bench, &["tensile.csv", "--set", "date="]).exits(2);
    let sheet = TENSILE.replace("date,", "").replace("2026-05-02,", "");
    let sheet = sheet
        .replace(",outcome", ",#rack")
        .replace("1500,", "1500,9");
    let bench = bench.file("tensile.csv", sheet);
    record(&bench, &["tensile.csv"]).exits(0);
    let new = text(&bench, "catalog/readings/tensile.csv");
    let grown = new.strip_prefix(old).expect("the old bytes come first");
    let lines: Vec<&str> = grown.split("\r\n").collect();
    assert!(
        lines[0].starts_with("tensile-2026-05-03-1;1;tpu-a;flat;9;10;4;152,957"),
        "{grown}"
    );
    assert!(lines[0].ends_with(";2026-05-03"), "{grown}");
    assert_eq!(lines.len(), 3, "{grown}");
}

#[test]
fn prepared_lines_that_were_never_filled_are_left_out_and_named() {
    let sheet = TENSILE.to_owned() + "2026-05-02,tpu-a,flat,10,4,,\n2026-05-02,tpu-a,flat,10,4,,\n";
    let bench = bench().file("tensile.csv", sheet);
    let ran = record(&bench, &["tensile.csv"]).exits(0);
    assert!(
        ran.out.contains("lines 4 to 5 hold no reading"),
        "{}",
        ran.out
    );
    // One with its own geometry was filled at the bench, and lacks its reading.
    let sheet = TENSILE.to_owned() + "2026-05-02,tpu-a,flat,10.2,3.9,,\n";
    let bench = bench.file("tensile.csv", sheet.replace("2026-05-02", "2026-05-03"));
    let ran = record(&bench, &["tensile.csv"]).exits(2);
    assert!(
        ran.err.contains("reading::blank") && ran.err.contains("tensile.csv:4"),
        "{}",
        ran.err
    );
}

#[test]
fn the_demo_is_never_written_to() {
    let bench = bench().file("tensile.csv", TENSILE);
    let ran = bench.run(&["record", "tensile.csv", "--demo"]).exits(2);
    assert!(ran.err.contains("usage::demo-writes"), "{}", ran.err);
}

#[test]
fn kept_maps_are_checked_and_a_wrong_one_is_named() {
    let maps = "{\n  \"format\": \"dutyfit.maps/1\",\n  \"headers\": [\n    { \"header\": \"Kraft\", \"column\": \"forse [N]\", \"test\": \"tensile\" },\n    { \"header\": \"Zeit\", \"column\": \"time [h]\", \"test\": \"creeep\", \"mine\": 1 }\n  ]\n}\n";
    let bench = bench().file("maps.json", maps).file("tensile.csv", TENSILE);
    for ran in [
        bench.run(&["lint"]).exits(1),
        record(&bench, &["tensile.csv"]).exits(2),
    ] {
        let said = format!("{}{}", ran.out, ran.err);
        for word in [
            "map::unknown-column",
            "`force`",
            "maps.json:4",
            "json::unknown-field",
        ] {
            assert!(said.contains(word), "{word} in {said}");
        }
    }
    let good = maps
        .replace("forse", "force")
        .replace("creeep", "creep")
        .replace(", \"mine\": 1", "");
    let bench = bench.file("maps.json", good);
    bench.run(&["lint"]).exits(0);
}

#[test]
fn the_same_fault_on_many_lines_is_told_once_with_its_lines() {
    let line = "2026-05-02,tpu-a,flat,,4,1500,\n";
    let bench = bench().file("tensile.csv", TENSILE.to_owned() + &line.repeat(3));
    let ran = record(&bench, &["tensile.csv"]).exits(2);
    assert!(ran.err.contains("tensile.csv:4:"), "{}", ran.err);
    assert!(ran.err.contains("; so on lines 5 to 6"), "{}", ran.err);
    assert!(ran.err.contains("\n1 error\n"), "{}", ran.err);
}

const STANDING: &str = "\
run,specimen,material,scale,hardness,thickness [mm],dwell [s]
r-9,1,tpu-a,A,87,6,15
";

#[test]
fn a_sheet_is_held_to_the_runs_of_every_test() {
    let hardness = format!("{STANDING}tensile-2026-05-02-1,1,tpu-a,A,88,6,15\n");
    let bench = bench()
        .file("catalog/readings/hardness.csv", hardness)
        .file("tensile.csv", TENSILE);
    // A run of that name stands among the hardnesses, so the next number is free.
    record(&bench, &["tensile.csv"]).exits(0);
    let file = text(&bench, "catalog/readings/tensile.csv");
    assert!(file.contains("\ntensile-2026-05-02-2,1,"), "{file}");
    let own = TENSILE
        .replace("date,", "run,date,")
        .replace("\n2026", "\nr-9,2026");
    let bench = bench.file("own.csv", own);
    let before = without_lock(bench.files());
    let ran = record(&bench, &["own.csv", "--test", "tensile"]).exits(2);
    assert!(ran.err.contains("run::taken"), "{}", ran.err);
    assert!(ran.err.contains("own.csv:2:1"), "{}", ran.err);
    assert!(ran.err.contains("hardness.csv, line 2"), "{}", ran.err);
    assert_eq!(without_lock(bench.files()), before);
}

#[test]
fn what_is_asked_of_the_catalog_must_be_right_in_it() {
    let wrong = STANDING.replace("87", "much");
    let bench = bench()
        .file("catalog/readings/hardness.csv", wrong)
        .file("tensile.csv", TENSILE);
    // No hardness is asked for, and lint finds it.
    record(&bench, &["tensile.csv"]).exits(0);
    bench.run(&["lint"]).exits(1);
    // A case is judged by everything.
    let again = TENSILE.replace("2026-05-02", "2026-05-01");
    let bench = bench
        .file("cases/divider.json", "{}")
        .file("again.csv", again);
    let before = without_lock(bench.files());
    let ran = record(&bench, &["again.csv", "--test", "tensile"]).exits(2);
    assert!(ran.err.contains("hardness.csv:2"), "{}", ran.err);
    // So is what stands in the file that grows.
    let bench = bench.file("catalog/readings/hardness.csv", STANDING);
    let file = text(&bench, "catalog/readings/tensile.csv");
    let bench = bench.file("catalog/readings/tensile.csv", format!("{file}too,few\n"));
    assert_ne!(without_lock(bench.files()), before);
    let ran = record(&bench, &["again.csv", "--test", "tensile"]).exits(2);
    assert!(ran.err.contains("sheet::too-few-cells"), "{}", ran.err);
}
