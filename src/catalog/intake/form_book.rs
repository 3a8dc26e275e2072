//! An empty sheet as XLSX: bold header that stays in sight, drop-downs, notes on the columns.

use super::form::{Form, FormColumn};
use crate::catalog::FileFault;
use rust_xlsxwriter::{
    DataValidation, DocProperties, ExcelDateTime, Format, Note, Workbook, XlsxError,
};

/// Lines below the header that have drop-downs.
const LINES: u32 = 2_000;
/// Most characters that a drop-down list holds in a file.
const LONGEST_LIST: usize = 255;
/// Characters of width that a column has at least.
const NARROWEST: f64 = 10.0;

/// The bytes of the sheet; the same form gives the same bytes.
///
/// # Errors
/// Where the writer refuses, which no form should bring about.
pub(crate) fn form_book(form: &Form) -> Result<Vec<u8>, FileFault> {
    book(form).map_err(|e| FileFault {
        file: "the sheet".to_owned(),
        what: format!("cannot be written as XLSX: {e}"),
        fix: "write it as CSV".to_owned(),
    })
}

fn book(form: &Form) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    // Never the clock: the same form gives the same bytes.
    let day = ExcelDateTime::from_ymd(2000, 1, 1)?;
    book.set_properties(&DocProperties::new().set_creation_datetime(&day));
    let bold = Format::new().set_bold().set_text_wrap();
    let comment = Format::new().set_italic();
    let text = Format::new().set_num_format("@");
    let sheet = book.add_worksheet();
    sheet.set_name(form.test.id())?;
    let mut row = 0;
    for line in form.comments() {
        sheet.write_string_with_format(row, 0, format!("# {line}"), &comment)?;
        row += 1;
    }
    let head = row;
    for (c, column) in (0_u16..).zip(&form.columns) {
        let wide = f64::from(u16::try_from(column.header.chars().count()).unwrap_or(u16::MAX));
        sheet.set_column_width(c, NARROWEST.max(wide + 2.0))?;
        if !column.figures {
            // As text, no spreadsheet turns a date or a lot into something else.
            sheet.set_column_format(c, &text)?;
        }
        sheet.write_string_with_format(head, c, &column.header, &bold)?;
        sheet.insert_note(head, c, &Note::new(about(column)).set_author("dutyfit"))?;
        if let Some(list) = drop_down(column) {
            sheet.add_data_validation(head + 1, c, head + LINES, c, &list?)?;
        }
    }
    sheet.set_freeze_panes(head + 1, 0)?;
    for cells in &form.rows {
        row += 1;
        for ((c, column), cell) in (0_u16..).zip(&form.columns).zip(cells) {
            match cell.parse::<f64>() {
                _ if cell.is_empty() => {}
                Ok(x) if column.figures => {
                    sheet.write_number(row, c, x)?;
                }
                _ => {
                    sheet.write_string_with_format(row, c, cell, &text)?;
                }
            }
        }
    }
    book.save_to_buffer()
}

fn about(column: &FormColumn) -> String {
    let needed = if column.needed { "Needed: " } else { "" };
    if column.words.is_empty() {
        format!("{needed}{}", column.about)
    } else {
        format!("{needed}{}. {}", column.about, column.words.join(", "))
    }
}

/// The drop-down of a column with a closed list; surfaces may also be the user's own.
fn drop_down(column: &FormColumn) -> Option<Result<DataValidation, XlsxError>> {
    let length = column.words.join(",").chars().count();
    if column.words.is_empty() || length > LONGEST_LIST {
        return None;
    }
    let open = column.header == "counterface";
    let list = DataValidation::new().allow_list_strings(&column.words);
    Some(list.map(|l| l.show_error_message(!open)))
}
