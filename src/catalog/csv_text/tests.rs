//! Our reader against the `csv` crate, on text that has everything a sheet can have.

use super::*;
use proptest::prelude::*;

/// What the `csv` crate reads below the header: trimmed cells of lines that are not blank.
fn by_the_crate(text: &str, separator: u8) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(separator)
        .has_headers(false)
        .flexible(true)
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    reader
        .records()
        .map(|r| {
            let record = r.expect("text is UTF-8");
            record.iter().map(|c| c.trim().to_owned()).collect()
        })
        .collect()
}

/// Lines with their cells.
type Lines = Vec<(LineAt, Vec<String>)>;

/// Separator, header and lines as we read them.
fn by_us(text: &str) -> Option<(u8, Vec<String>, Lines)> {
    let csv = CsvText::open("f.csv", text.as_bytes()).ok()?;
    let mut cutter = Cutter::default();
    let lines = csv.lines().map(|at| {
        cutter.cut(csv.text, csv.separator, at);
        let row = cutter.row(csv.text, at);
        (at, row.cells().map(str::to_owned).collect())
    });
    let lines = lines.collect();
    Some((csv.separator, csv.header.to_vec(), lines))
}

proptest! {
    #[test]
    fn cells_are_those_of_the_csv_crate(text in "([a-c0-9.]{0,3}[,;\t\"# ]{0,3}(\n|\r\n|é|\u{a0})?){0,40}") {
        let Some((separator, header, lines)) = by_us(&text) else {
            return Ok(());
        };
        let csv = CsvText::open("f.csv", text.as_bytes()).expect("opened above");
        let below = &text[csv.header_at.byte..];
        let mut theirs = by_the_crate(below, separator);
        prop_assert_eq!(&header, &theirs.remove(0));
        let ours: Vec<Vec<String>> = lines.iter().map(|l| l.1.clone()).collect();
        // A comment that ends the text is a line of one blank cell to the crate.
        let filled = |lines: Vec<Vec<String>>| -> Vec<Vec<String>> {
            lines.into_iter().filter(|l| l.iter().any(|c| !c.is_empty())).collect()
        };
        prop_assert_eq!(filled(ours), filled(theirs));
        for (at, _) in &lines {
            prop_assert_eq!(at.line, 1 + line_ends(&text.as_bytes()[..at.byte]));
        }
    }
}

#[test]
fn a_quoted_cell_keeps_separators_quotes_and_line_ends() {
    let text = "a;b\r\n\"x; \"\"y\"\"\r\nz\";\"1\" \r\n#;\r\n  \r\n2;3";
    let (_, header, lines) = by_us(text).expect("a table");
    assert_eq!(header, ["a", "b"]);
    let cells: Vec<&[String]> = lines.iter().map(|l| l.1.as_slice()).collect();
    assert_eq!(cells[0], ["x; \"y\"\r\nz", "1"]);
    assert_eq!(cells[1], [""]);
    assert_eq!(cells[2], ["2", "3"]);
    assert_eq!(lines[2].0.line, 6);
}
