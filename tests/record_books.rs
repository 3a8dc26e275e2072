//! `record` and `reduce` on XLSX and ODS: what spreadsheets do to cells, and files that are none.

use crate::books::{Table, ods, ods_cell, ods_of, table, xlsx, zipped};
use crate::support::{Bench, Ran};
use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook};

const MATERIALS: &str = "material,polymer\ntpu-a,tpu\n";
const HEAD: &str = "date,material,direction,width [mm],thickness [mm],force [N],note";

fn bench() -> Bench {
    Bench::new().file("catalog/materials.csv", MATERIALS)
}

fn record(bench: &Bench, file: &str) -> Ran {
    bench.run(&["record", file, "--date", "2026-05-03"])
}

fn text(bench: &Bench, name: &str) -> String {
    std::fs::read_to_string(bench.path(name)).unwrap_or_default()
}

fn week() -> Table {
    table(&format!("{HEAD}\n2026-05-02,tpu-a,flat,10.02,4,1500.1,\n"))
}

/// A workbook whose cell in row 2 is written by `cell`, in the column of a header.
fn with_cell(column: u16, write: impl Fn(&mut rust_xlsxwriter::Worksheet, u32, u16)) -> Vec<u8> {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    sheet.set_name("tensile").unwrap();
    for (r, row) in (0_u32..).zip(week()) {
        for (c, cell) in (0_u16..).zip(row) {
            match cell.parse::<f64>() {
                _ if r == 1 && c == column || cell.is_empty() => {}
                Ok(x) => {
                    sheet.write_number(r, c, x).unwrap();
                }
                Err(_) => {
                    sheet.write_string(r, c, cell).unwrap();
                }
            }
        }
    }
    write(sheet, 1, column);
    book.save_to_buffer().unwrap()
}

#[test]
fn figures_keep_all_their_digits_and_dates_become_days() {
    let day = ExcelDateTime::from_ymd(2026, 5, 2).unwrap();
    let format = Format::new().set_num_format("dd.mm.yyyy");
    let book = with_cell(0, |s, r, c| {
        s.write_datetime_with_format(r, c, &day, &format).unwrap();
    });
    let bench = bench().file("week.xlsx", book);
    record(&bench, "week.xlsx").exits(0);
    let file = text(&bench, "catalog/readings/tensile.csv");
    assert!(
        file.contains(",2026-05-02,2026-05-03,") && file.contains(",10.02,4,,1500.1,"),
        "{file}"
    );
    let book = with_cell(5, |s, r, c| {
        s.write_number(r, c, 0.1 + 0.2).unwrap();
    });
    let bench = bench.file("week.xlsx", book);
    let ran = bench
        .run(&["reduce", "week.xlsx", "--format", "json"])
        .exits(0);
    let strength = ran.json()["runs"][0]["specimens"][0]["properties"][0]["value"]
        .as_f64()
        .unwrap();
    assert!(
        (strength - 0.300_000_000_000_000_04 / 40.08).abs() < 1e-12,
        "{strength}"
    );
}

#[test]
fn a_figure_turned_into_a_date_and_a_broken_formula_are_told_by_their_cell() {
    let day = ExcelDateTime::from_ymd(2026, 5, 12).unwrap();
    let format = Format::new().set_num_format("dd.mm.yyyy");
    let date = with_cell(5, |s, r, c| {
        s.write_datetime_with_format(r, c, &day, &format).unwrap();
    });
    let bench = bench().file("week.xlsx", date);
    let ran = record(&bench, "week.xlsx").exits(2);
    assert!(ran.err.contains("number::date"), "{}", ran.err);
    assert!(
        ran.err.contains("F2: the cell holds the date 2026-05-12"),
        "{}",
        ran.err
    );
    assert!(
        ran.err.contains("week.xlsx, sheet tensile:2:6"),
        "{}",
        ran.err
    );
    assert!(ran.err.contains("1 error\n"), "{}", ran.err);

    let wrong = with_cell(5, |s, r, c| {
        s.write_formula(r, c, Formula::new("=1/0").set_result("#DIV/0!"))
            .unwrap();
    });
    let bench = bench.file("week.xlsx", wrong);
    let ran = record(&bench, "week.xlsx").exits(2);
    assert!(ran.err.contains("#DIV/0!"), "{}", ran.err);

    let fine = with_cell(5, |s, r, c| {
        s.write_formula(r, c, Formula::new("=3*500").set_result("1500"))
            .unwrap();
    });
    let bench = bench.file("week.xlsx", fine);
    record(&bench, "week.xlsx").exits(0);
    assert!(text(&bench, "catalog/readings/tensile.csv").contains(",1500,"));
}

#[test]
fn an_ods_file_has_dates_errors_percent_and_repeated_cells() {
    let cell = |c: &str| ods_cell(c);
    let head: String = HEAD.split(',').map(cell).collect();
    let day = "<table:table-cell office:value-type=\"date\" office:date-value=\"2026-05-02\"><text:p>02.05.26</text:p></table:table-cell>";
    let ten = "<table:table-cell table:number-columns-repeated=\"2\" office:value-type=\"float\" office:value=\"10\"><text:p>10,0</text:p></table:table-cell>";
    let row = format!(
        "<table:table-row>{day}{}{}{ten}{}<table:table-cell office:value-type=\"string\"><text:p>two <text:s text:c=\"2\"/>words &amp; more</text:p></table:table-cell><table:table-cell table:number-columns-repeated=\"16000\"/></table:table-row>",
        cell("tpu-a"),
        cell("flat"),
        cell("1500")
    );
    let sheet = format!(
        "<table:table table:name=\"Mai\"><table:table-row>{}</table:table-row><table:table-row>{head}</table:table-row>{row}<table:table-row table:number-rows-repeated=\"1048000\"><table:table-cell table:number-columns-repeated=\"16384\"/></table:table-row></table:table><table:table table:name=\"old\" table:style-name=\"hid\"><table:table-row>{head}</table:table-row></table:table>",
        cell("Tensile, May")
    );
    let bench = bench().file("week.ods", ods_of(&sheet));
    let ran = record(&bench, "week.ods").exits(0);
    assert!(
        ran.out.contains("the hidden sheet `old` is left out"),
        "{}",
        ran.out
    );
    let file = text(&bench, "catalog/readings/tensile.csv");
    assert!(
        file.contains(",10,10,,1500,") && file.contains("two   words & more"),
        "{file}"
    );
    assert!(file.contains(",2026-05-02,2026-05-03,"), "{file}");
    let wrong = sheet.replace(
        &cell("1500"),
        "<table:table-cell office:value-type=\"string\" calcext:value-type=\"error\" office:string-value=\"\"><text:p>#N/A</text:p></table:table-cell>",
    );
    let bench = bench.file("week.ods", ods_of(&wrong));
    let ran = record(&bench, "week.ods").exits(2);
    assert!(
        ran.err
            .contains("F3: the formula of this cell gives `#N/A`"),
        "{}",
        ran.err
    );
}

#[test]
fn several_sheets_are_several_tests_and_go_in_together_or_not() {
    let hardness =
        "date,material,scale,hardness,thickness [mm],dwell [s]\n2026-05-02,tpu-a,A,85,8,15\n";
    let notes = table("what I saw\nall fine\n");
    let sheets = [
        ("Tensile", week()),
        ("Hardness", table(hardness)),
        ("Notes", notes),
    ];
    for (name, bytes) in [("week.xlsx", xlsx(&sheets)), ("week.ods", ods(&sheets))] {
        let bench = bench().file(name, bytes);
        let ran = record(&bench, name).exits(0);
        assert!(
            ran.out.starts_with("Recorded 2 lines in 2 runs"),
            "{}",
            ran.out
        );
        assert!(
            ran.out
                .contains("the sheet `Notes` has no column of any test"),
            "{}",
            ran.out
        );
        assert!(bench.path("catalog/readings/hardness.csv").exists());
    }
    let wrong = [
        ("Tensile", week()),
        ("Hardness", table(&hardness.replace(",A,", ",B,"))),
    ];
    let bench = bench().file("week.xlsx", xlsx(&wrong));
    let ran = record(&bench, "week.xlsx").exits(2);
    assert!(
        ran.err.contains("week.xlsx, sheet Hardness:2:3"),
        "{}",
        ran.err
    );
    assert!(!bench.path("catalog/readings").exists());
}

#[test]
fn what_unpacks_to_too_much_is_refused_by_name() {
    let big = vec![b' '; 65 << 20];
    let bomb = zipped(&[
        ("[Content_Types].xml", b"<Types/>"),
        ("xl/media/picture.bin", &big),
    ]);
    assert!(bomb.len() < 1 << 20);
    let bench = bench().file("week.xlsx", bomb);
    let ran = record(&bench, "week.xlsx").exits(2);
    assert!(
        ran.err.contains("file::too-large") && ran.err.contains("64 MiB"),
        "{}",
        ran.err
    );
    // A few bytes that repeat a cell without end are no sheet either.
    let row = format!(
        "<table:table-row table:number-rows-repeated=\"1000000\"><table:table-cell table:number-columns-repeated=\"16000\" {}",
        ods_cell("force [N]").trim_start_matches("<table:table-cell ")
    );
    let sheet = format!("<table:table table:name=\"x\">{row}</table:table-row></table:table>");
    let bench = bench.file("week.ods", ods_of(&sheet));
    let ran = record(&bench, "week.ods").exits(2);
    assert!(
        ran.err.contains("file::too-large") && ran.err.contains("repeat far more often"),
        "{}",
        ran.err
    );
}

#[test]
fn files_that_cannot_be_read_say_why() {
    let locked: Vec<u8> = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
        .iter()
        .copied()
        .chain("EncryptedPackage".encode_utf16().flat_map(u16::to_le_bytes))
        .collect();
    let half: Vec<u8> = xlsx(&[("tensile", week())]).into_iter().take(700).collect();
    for (name, bytes, code) in [
        ("locked.xlsx", locked, "book::encrypted"),
        (
            "old.xls",
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 old".to_vec(),
            "book::old",
        ),
        ("half.xlsx", half, "book::broken"),
        ("none.ods", b"no archive".to_vec(), "book::broken"),
        ("photos.zip", zipped(&[("a.txt", b"x")]), "book::unknown"),
        (
            "week.xlsb",
            zipped(&[("xl/workbook.bin", b"x")]),
            "book::unknown",
        ),
    ] {
        let bench = bench().file(name, bytes);
        let ran = record(&bench, name).exits(2);
        assert!(
            ran.err.contains(code) && ran.err.contains(name),
            "{name}: {}",
            ran.err
        );
    }
}

#[test]
fn a_merged_material_holds_for_all_its_lines() {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    sheet.set_name("tensile").unwrap();
    for (c, h) in (0_u16..).zip([
        "material",
        "direction",
        "width [mm]",
        "thickness [mm]",
        "force [N]",
    ]) {
        sheet.write_string(0, c, h).unwrap();
    }
    let plain = Format::new();
    sheet.merge_range(1, 0, 3, 0, "tpu-a", &plain).unwrap();
    for r in 1..=3_u32 {
        sheet.write_string(r, 1, "flat").unwrap();
        for (c, x) in (2_u16..).zip([10.0, 4.0, 1500.0 + f64::from(r)]) {
            sheet.write_number(r, c, x).unwrap();
        }
    }
    let bench = bench().file("week.xlsx", book.save_to_buffer().unwrap());
    let ran = record(&bench, "week.xlsx").exits(0);
    assert!(
        ran.out.starts_with("Recorded 3 lines in 1 run"),
        "{}",
        ran.out
    );
}
