//! `reduce` on sheets that need no catalog.

use crate::support::Bench;

#[test]
fn a_sheet_without_a_known_column_is_refused_with_the_tests_there_are() {
    let ran = Bench::new()
        .file("sheet.csv", "# mine\nfoo,baz\n1,2\n")
        .run(&["reduce", "sheet.csv"])
        .exits(2);
    assert!(ran.err.contains("sheet::unknown-test"), "{}", ran.err);
    assert!(ran.err.contains("sheet.csv:2:1"), "{}", ran.err);
    assert!(ran.out.is_empty());
}

#[test]
fn a_bound_written_at_the_end_of_a_scale_stays_a_bound() {
    let sheet = "\
specimen,scale,hardness,thickness [mm],dwell [s]
1,A,>=90,8,15
2,A,>=88,8,15
";
    let ran = Bench::new()
        .file("sheet.csv", sheet)
        .run(&["reduce", "sheet.csv", "--format", "json"])
        .exits(0);
    for s in ran.json()["runs"][0]["specimens"]
        .as_array()
        .expect("specimens")
    {
        assert_eq!(s["properties"][0]["bound"], "at_least", "{s}");
    }
}

#[test]
fn readings_that_are_all_bounds_give_a_bound_and_no_mean() {
    let sheet = "\
specimen,scale,hardness,thickness [mm],dwell [s],outcome
1,A,92,8,15,
2,A,93,8,15,
3,A,91,8,15,
";
    let ran = Bench::new()
        .file("sheet.csv", sheet)
        .run(&["reduce", "sheet.csv"])
        .exits(0);
    assert!(ran.out.contains(">= "), "{}", ran.out);
    let ran = Bench::new()
        .file("sheet.csv", sheet)
        .run(&["reduce", "sheet.csv", "--format", "json"])
        .exits(0);
    let said = &ran.json()["runs"][0]["properties"][0];
    assert_eq!(
        (&said["bound"], &said["median"]),
        (&"at_least".into(), &serde_json::Value::Null)
    );
    assert!(said["high"].is_null() && said["low"].is_number(), "{said}");
}

#[test]
fn a_missing_sheet_is_a_file_failure() {
    let ran = Bench::new().run(&["reduce", "none.csv"]).exits(4);
    assert!(ran.err.contains("there is no such file"), "{}", ran.err);
}
