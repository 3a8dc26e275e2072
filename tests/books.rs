//! Spreadsheet files for tests: XLSX through the writing crate, ODS by hand.

use rust_xlsxwriter::Workbook;
use std::io::Write;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

/// A table of cells as text; what reads as a figure is stored as one.
pub(crate) type Table = Vec<Vec<String>>;

/// The cells of CSV text.
pub(crate) fn table(csv: &str) -> Table {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(csv.as_bytes());
    reader
        .records()
        .map(|r| r.expect("cells").iter().map(str::to_owned).collect())
        .collect()
}

/// CSV text of cells.
pub(crate) fn csv_text(table: &Table) -> String {
    let mut writer = csv::WriterBuilder::new()
        .flexible(true)
        .from_writer(Vec::new());
    for row in table {
        writer.write_record(row).expect("cells");
    }
    String::from_utf8(writer.into_inner().expect("bytes")).expect("text")
}

/// An XLSX file of named sheets.
pub(crate) fn xlsx(sheets: &[(&str, Table)]) -> Vec<u8> {
    let mut book = Workbook::new();
    for (name, rows) in sheets {
        let sheet = book.add_worksheet();
        sheet.set_name(*name).expect("a name");
        for (r, row) in (0_u32..).zip(rows) {
            for (c, cell) in (0_u16..).zip(row) {
                match cell.parse::<f64>() {
                    _ if cell.is_empty() => {}
                    Ok(x) => {
                        sheet.write_number(r, c, x).expect("a figure");
                    }
                    Err(_) => {
                        sheet.write_string(r, c, cell).expect("a text");
                    }
                }
            }
        }
    }
    book.save_to_buffer().expect("a book")
}

/// An ODS cell holding a text or, where it reads as one, a figure.
pub(crate) fn ods_cell(cell: &str) -> String {
    let shown = cell
        .replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('"', "&quot;");
    match cell.parse::<f64>() {
        _ if cell.is_empty() => "<table:table-cell/>".to_owned(),
        Ok(x) => format!(
            "<table:table-cell office:value-type=\"float\" office:value=\"{x}\"><text:p>{shown}</text:p></table:table-cell>"
        ),
        Err(_) => format!(
            "<table:table-cell office:value-type=\"string\"><text:p>{shown}</text:p></table:table-cell>"
        ),
    }
}

/// An ODS file of named sheets.
pub(crate) fn ods(sheets: &[(&str, Table)]) -> Vec<u8> {
    let mut tables = String::new();
    for (name, rows) in sheets {
        tables.push_str(&format!("<table:table table:name=\"{name}\">"));
        for row in rows {
            let cells: String = row.iter().map(|c| ods_cell(c)).collect();
            tables.push_str(&format!("<table:table-row>{cells}</table:table-row>"));
        }
        tables.push_str("</table:table>");
    }
    ods_of(&tables)
}

/// An ODS file around the tables of its content.
pub(crate) fn ods_of(tables: &str) -> Vec<u8> {
    let content = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><office:document-content \
         xmlns:office=\"urn:oasis:names:tc:opendocument:xmlns:office:1.0\" \
         xmlns:style=\"urn:oasis:names:tc:opendocument:xmlns:style:1.0\" \
         xmlns:table=\"urn:oasis:names:tc:opendocument:xmlns:table:1.0\" \
         xmlns:text=\"urn:oasis:names:tc:opendocument:xmlns:text:1.0\" \
         xmlns:calcext=\"urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0\">\
         <office:automatic-styles><style:style style:name=\"hid\"><style:table-properties \
         table:display=\"false\"/></style:style></office:automatic-styles>\
         <office:body><office:spreadsheet>{tables}</office:spreadsheet></office:body></office:document-content>"
    );
    zipped(&[
        (
            "mimetype",
            b"application/vnd.oasis.opendocument.spreadsheet",
        ),
        ("META-INF/manifest.xml", b"<manifest:manifest/>"),
        ("content.xml", content.as_bytes()),
    ])
}

/// An archive of files.
pub(crate) fn zipped(files: &[(&str, &[u8])]) -> Vec<u8> {
    let mut zip = ZipWriter::new(std::io::Cursor::new(Vec::new()));
    for (name, bytes) in files {
        let options = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
        zip.start_file(*name, options).expect("a part");
        zip.write_all(bytes).expect("its bytes");
    }
    zip.finish().expect("an archive").into_inner()
}
