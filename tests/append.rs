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

mod manners {
    use super::columns;
    use dutyfit::catalog::{append_lines, read_sheet};
    use proptest::prelude::*;

    /// How a file that somebody keeps is written.
    #[derive(Clone, Debug)]
    struct Manner {
        separator: char,
        end: &'static str,
        mark: bool,
        last_end: bool,
        decimal_comma: bool,
        kgf: bool,
        comment: bool,
        /// The order of its columns.
        order: Vec<usize>,
    }

    const COLUMNS: usize = 11;

    fn headers(kgf: bool) -> [&'static str; COLUMNS] {
        let force = if kgf { "force [kgf]" } else { "force [N]" };
        [
            "run",
            "specimen",
            "material",
            "direction",
            "span [mm]",
            "width [mm]",
            "thickness [mm]",
            force,
            "deflection [mm]",
            "note",
            "# shelf",
        ]
    }

    fn manner() -> impl Strategy<Value = Manner> {
        let order = Just((0..COLUMNS).collect::<Vec<_>>()).prop_shuffle();
        let flags = (
            any::<bool>(),
            any::<bool>(),
            any::<bool>(),
            any::<bool>(),
            any::<bool>(),
            any::<bool>(),
        );
        (prop::sample::select(vec![',', ';', '\t']), flags, order).prop_map(
            |(separator, f, order)| Manner {
                separator,
                end: if f.0 { "\r\n" } else { "\n" },
                mark: f.1,
                last_end: f.2,
                decimal_comma: f.3 && separator != ',',
                kgf: f.4,
                comment: f.5,
                order,
            },
        )
    }

    fn quoted(cell: &str) -> String {
        if cell.contains([',', ';', '\t', '"', '\n']) {
            format!("\"{}\"", cell.replace('"', "\"\""))
        } else {
            cell.to_owned()
        }
    }

    impl Manner {
        fn line(&self, cells: &[String]) -> String {
            let ordered: Vec<String> = self.order.iter().map(|i| quoted(&cells[*i])).collect();
            ordered.join(&self.separator.to_string())
        }

        /// The file with these forces and notes.
        fn file(&self, lines: &[(f64, String)]) -> String {
            let mut all = Vec::new();
            if self.comment {
                all.push("# kept by hand".to_owned());
            }
            all.push(self.line(&headers(self.kgf).map(str::to_owned)));
            for (i, (force, note)) in lines.iter().enumerate() {
                let figure = |x: f64| {
                    let text = x.to_string();
                    if self.decimal_comma {
                        text.replace('.', ",")
                    } else {
                        text
                    }
                };
                let cells = [
                    "old".to_owned(),
                    (i + 1).to_string(),
                    "petg-a".to_owned(),
                    "flat".to_owned(),
                    "64".to_owned(),
                    "10".to_owned(),
                    figure(4.1),
                    figure(*force),
                    "5".to_owned(),
                    note.clone(),
                    "top".to_owned(),
                ];
                all.push(self.line(&cells));
            }
            let mut text = if self.mark {
                "\u{feff}".to_owned()
            } else {
                String::new()
            };
            text.push_str(&all.join(self.end));
            if self.last_end {
                text.push_str(self.end);
            }
            text
        }
    }

    /// Force, N, of every specimen of a run.
    fn forces(bytes: &[u8], run: &str) -> Vec<f64> {
        let (_, runs) = read_sheet("flexure.csv", bytes).expect("a sheet");
        runs.iter()
            .filter(|r| r.id == run)
            .flat_map(|r| &r.specimens)
            .map(|s| s.once("force").expect("a figure"))
            .collect()
    }

    /// Text of a note: what people and other programs write.
    fn note() -> impl Strategy<Value = String> {
        prop::string::string_regex("[a-z#=+@;,\"' -]{0,12}").expect("a pattern")
    }

    proptest! {
        #[test]
        fn every_old_byte_stays_and_every_line_is_read(
            manner in manner(),
            old in prop::collection::vec((0.1..500.0_f64, note()), 1..4),
            new in prop::collection::vec((0.1..500.0_f64, note()), 1..4),
        ) {
            let text = manner.file(&old);
            let rows: Vec<Vec<String>> = new
                .iter()
                .enumerate()
                .map(|(i, (force, note))| vec![
                    "new".to_owned(), (i + 1).to_string(), "petg-a".to_owned(), "flat".to_owned(),
                    "64".to_owned(), "10".to_owned(), "4.1".to_owned(), force.to_string(), "5".to_owned(), note.clone(),
                ])
                .collect();
            let named = columns(&headers(false)[..10]);
            // What the file cannot say, it was never asked: a first cell that makes a comment.
            prop_assume!(read_sheet("flexure.csv", text.as_bytes()).is_ok());
            let grown = append_lines("flexure.csv", Some(text.as_bytes()), &named, &rows).unwrap();
            prop_assert!(grown.widened.is_empty());
            prop_assert!(grown.bytes.starts_with(text.as_bytes()), "an old byte changed");
            let before = forces(text.as_bytes(), "old");
            prop_assert_eq!(forces(&grown.bytes, "old"), before);
            let read = forces(&grown.bytes, "new");
            prop_assert_eq!(read.len(), new.len());
            for (read, (written, _)) in read.iter().zip(&new) {
                prop_assert!((read / written - 1.0).abs() < 1e-13, "{} was {}", read, written);
            }
            let rest = String::from_utf8(grown.bytes[text.len()..].to_vec()).unwrap();
            let mut lines = csv::ReaderBuilder::new()
                .delimiter(manner.separator as u8)
                .has_headers(false)
                .from_reader(rest.as_bytes());
            let column = manner.order.iter().position(|i| *i == 9).unwrap();
            for (line, (_, note)) in lines.records().zip(&new) {
                let line = line.unwrap();
                let cell = line.get(column).unwrap();
                prop_assert!(!cell.starts_with(['=', '+', '@', '#']) || cell.parse::<f64>().is_ok() || (column > 0 && cell.starts_with('#')), "{}", cell);
                prop_assert_eq!(cell.trim_start_matches('\''), note.trim().trim_start_matches('\''));
            }
        }
    }
}
