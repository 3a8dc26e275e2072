//! `reduce` on sheets that need no catalog.

use crate::support::Bench;

#[test]
fn a_sheet_without_a_known_column_is_refused_with_the_tests_there_are() {
    let ran = Bench::new()
        .file("sheet.csv", "# mine\nfoo,bar\n1,2\n")
        .run(&["reduce", "sheet.csv"])
        .exits(2);
    assert!(ran.err.contains("sheet::unknown-test"), "{}", ran.err);
    assert!(ran.err.contains("sheet.csv:2:1"), "{}", ran.err);
    assert!(ran.out.is_empty());
}

#[test]
fn a_missing_sheet_is_a_file_failure() {
    let ran = Bench::new().run(&["reduce", "none.csv"]).exits(4);
    assert!(ran.err.contains("there is no such file"), "{}", ran.err);
}
