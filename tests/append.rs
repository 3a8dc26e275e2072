//! Lines added to a CSV file: its manner is kept, and every old byte.

use crate::support::Bench;
use dutyfit::catalog::{Appended, NewColumn, append_lines};

fn columns(headers: &[&str]) -> Vec<NewColumn> {
    headers
        .iter()
        .map(|h| NewColumn {
            header: (*h).to_owned(),
            figures: h.contains('['),
        })
        .collect()
}

#[track_caller]
fn grown(old: &str, headers: &[&str], rows: &[&[&str]]) -> Appended {
    let rows: Vec<Vec<String>> = rows
        .iter()
        .map(|r| r.iter().map(|c| (*c).to_owned()).collect())
        .collect();
    append_lines("sheet.csv", Some(old.as_bytes()), &columns(headers), &rows).unwrap()
}

#[track_caller]
fn grows_by(old: &str, headers: &[&str], row: &[&str], new: &str) {
    let got = grown(old, headers, &[row]);
    assert_eq!(got.widened, Vec::<String>::new());
    assert_eq!(
        String::from_utf8(got.bytes).unwrap(),
        format!("{old}{new}"),
        "the old bytes, then the new line"
    );
}

const NEW: &[&str] = &["run", "force [N]", "note"];

#[test]
fn the_files_order_separator_and_line_end_are_kept() {
    grows_by(
        "run,force [N],note\na,1,x\n",
        NEW,
        &["b", "2.5", "y"],
        "b,2.5,y\n",
    );
    grows_by(
        "note,run,force [N]\nx,a,1\n",
        NEW,
        &["b", "2.5", "y"],
        "y,b,2.5\n",
    );
    grows_by(
        "run\tforce [N]\tnote\r\na\t1.5\tx\r\n",
        NEW,
        &["b", "2.5", "y"],
        "b\t2.5\ty\r\n",
    );
    grows_by(
        "\u{feff}run;force [N];note\r\na;1;x",
        NEW,
        &["b", "2", "y"],
        "\r\nb;2;y\r\n",
    );
    grows_by(
        "# mine\nrun,force [N],note\n\n# end\n",
        NEW,
        &["b", "2", ""],
        "b,2,\n",
    );
}

#[test]
fn the_files_decimal_mark_is_kept() {
    let old = "run;force [N];note\na;1,5;x\n";
    grows_by(old, NEW, &["b", "2.5", "y 1.5"], "b;2,5;y 1.5\n");
    grows_by(old, NEW, &["b", ">=2.5", ""], "b;>=2,5;\n");
    grows_by(old, NEW, &["b", "2.5..3.5", ""], "b;2,5..3,5;\n");
    grows_by(old, NEW, &["b", "no break", ""], "b;no break;\n");
    grows_by(
        "run;force [N];note\na;1.5;x\n",
        NEW,
        &["b", "2.5", ""],
        "b;2.5;\n",
    );
    grows_by("run;force [N];note\n", NEW, &["b", "2.5", ""], "b;2,5;\n");
}

#[test]
fn figures_come_in_the_files_unit() {
    let old = "run,force [kgf],note\na,1,x\n";
    grows_by(old, NEW, &["b", "248.108245", ""], "b,25.3,\n");
    grows_by(old, NEW, &["b", "<=9.80665", ""], "b,<=1,\n");
    grows_by(
        "run,force [N],note\n",
        &["run", "force [kgf]"],
        &["b", "25.3"],
        "b,248.108245,\n",
    );
    let wrong = append_lines(
        "sheet.csv",
        Some(b"run,force [mm]\n"),
        &columns(&["run", "force [N]"]),
        &[vec!["b".into(), "1".into()]],
    );
    assert_eq!(wrong.unwrap_err().code, "append::unit");
}

#[test]
fn own_columns_are_left_blank_or_met_by_name() {
    grows_by(
        "run,# shelf,force [N],note,\na,3,1,x,\n",
        NEW,
        &["b", "2", "y"],
        "b,,2,y,\n",
    );
    grows_by(
        "run,# shelf,force [N]\na,3,1\n",
        &["run", "# shelf", "force [N]"],
        &["b", "4", "2"],
        "b,4,2\n",
    );
}

#[test]
fn cells_are_quoted_where_they_must_be_and_start_no_formula() {
    let old = "run,force [N],note\n";
    grows_by(
        old,
        NEW,
        &["b", "2", "cut, \"twice\""],
        "b,2,\"cut, \"\"twice\"\"\"\n",
    );
    grows_by(
        old,
        NEW,
        &["b", "2", "=HYPERLINK(1)"],
        "b,2,'=HYPERLINK(1)\n",
    );
    grows_by(old, NEW, &["b", "-2", "-5"], "b,-2,-5\n");
    grows_by(old, NEW, &["b", "2", "two\nlines\u{7}"], "b,2,two lines\n");
    grows_by(
        "note,run\n",
        &["note", "run"],
        &["# mark", "b"],
        "'# mark,b\n",
    );
}

#[test]
fn a_column_that_the_file_lacks_is_added_at_its_edge_if_it_is_filled() {
    let old = "# mine\r\nrun,note\r\na,\"x, y\"\r\n\r\nb,";
    let blank = grown(old, NEW, &[&["c", "", "z"]]);
    assert_eq!(blank.widened, Vec::<String>::new());
    assert_eq!(blank.bytes, format!("{old}\r\nc,z\r\n").into_bytes());
    let filled = grown(old, NEW, &[&["c", "2", "z"]]);
    assert_eq!(filled.widened, ["force [N]"]);
    assert_eq!(
        String::from_utf8(filled.bytes).unwrap(),
        "# mine\r\nrun,note,force [N]\r\na,\"x, y\",\r\n\r\nb,,\r\nc,z,2\r\n"
    );
}

#[test]
fn a_new_file_has_a_header_and_commas() {
    let rows = [vec!["b".to_owned(), "2.5".to_owned(), "y".to_owned()]];
    let made = append_lines("sheet.csv", None, &columns(NEW), &rows).unwrap();
    assert_eq!(made.bytes, b"run,force [N],note\nb,2.5,y\n");
    let below = append_lines("sheet.csv", Some(b"# mine"), &columns(NEW), &rows).unwrap();
    assert_eq!(below.bytes, b"# mine\nrun,force [N],note\nb,2.5,y\n");
}

#[test]
fn a_change_and_a_reading_command_wait_for_one_another() {
    let bench = Bench::new()
        .file("catalog/materials.csv", "material,polymer\na,pla\n")
        .file("catalog/.lock", "");
    bench.run(&["lint"]).exits(0);
}
