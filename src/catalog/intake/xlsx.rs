//! Cells of an XLSX file.

use super::book::{
    BookRow, MOST_CELLS, Merged, Table, Value, broken, encrypted, part, too_many_cells,
};
use crate::problem::Fault;
use calamine::{DataRef, ExcelDateTime, Reader, SheetType, SheetVisible, Xlsx, XlsxError};
use std::collections::{BTreeMap, HashSet};
use std::io::Cursor;
use zip::ZipArchive;

type Book<'b> = Xlsx<Cursor<&'b [u8]>>;

/// Reads every worksheet.
pub(super) fn read(zip: &mut ZipArchive<Cursor<&[u8]>>, bytes: &[u8]) -> Result<Vec<Table>, Fault> {
    check_counts(zip)?;
    let mut book: Book<'_> = Xlsx::new(Cursor::new(bytes)).map_err(|e| fault(&e))?;
    let sheets = book.sheets_metadata().to_vec();
    let mut tables = Vec::new();
    let mut cells = 0;
    for sheet in sheets.iter().filter(|s| s.typ == SheetType::WorkSheet) {
        let mut table = read_sheet(&mut book, &sheet.name, &mut cells)?;
        table.hidden = sheet.visible != SheetVisible::Visible;
        tables.push(table);
    }
    Ok(tables)
}

/// The reader makes room for as many texts as the file says it has: that must not be a lie.
fn check_counts(zip: &mut ZipArchive<Cursor<&[u8]>>) -> Result<(), Fault> {
    let names: Vec<String> = zip
        .file_names()
        .filter_map(|n| n.ok().map(std::borrow::Cow::into_owned))
        .filter(|n| n.to_ascii_lowercase().ends_with("sharedstrings.xml"))
        .collect();
    for name in names {
        let Some(bytes) = part(zip, &name)? else {
            continue;
        };
        let text = String::from_utf8_lossy(&bytes);
        for said in text.split("uniqueCount").skip(1) {
            let digits: String = said
                .chars()
                .take(64)
                .skip_while(|c| !c.is_ascii_digit())
                .take_while(char::is_ascii_digit)
                .collect();
            if digits
                .parse::<usize>()
                .map_or(!digits.is_empty(), |n| n > bytes.len())
            {
                return Err(broken("it says that it holds more texts than it can"));
            }
        }
    }
    Ok(())
}

fn read_sheet(book: &mut Book<'_>, name: &str, count: &mut usize) -> Result<Table, Fault> {
    let merged = book
        .merge_cells_by_sheet_name(name)
        .map_err(|e| fault(&e))?
        .into_iter()
        .filter(|d| d.end.0 > d.start.0)
        .map(|d| Merged {
            rows: (index(d.start.0) + 1, index(d.end.0) + 1),
            column: index(d.start.1),
        })
        .collect();
    let not_reckoned = formulas_without_value(book, name)?;
    let mut rows: BTreeMap<usize, BookRow> = BTreeMap::new();
    let mut reader = book.worksheet_cells_reader(name).map_err(|e| fault(&e))?;
    while let Some((cell, style)) = reader.next_cell_with_style_id().map_err(|e| fault(&e))? {
        let at = cell.get_position();
        let percent = || {
            reader
                .styles()
                .get(style)
                .and_then(|s| s.number_format.as_ref())
                .is_some_and(|f| shows_percent(&f.format_code))
        };
        let value = match cell.get_value() {
            DataRef::Empty if not_reckoned.contains(&at) => Value::NotReckoned,
            DataRef::Empty => continue,
            DataRef::Int(n) => Value::Text(n.to_string()),
            DataRef::Float(x) if percent() => Value::Percent(*x),
            DataRef::Float(x) => Value::Figure(*x),
            DataRef::String(s) => Value::Text(s.clone()),
            DataRef::SharedString(s) => Value::Text((*s).to_owned()),
            DataRef::Bool(b) => Value::Truth(*b),
            DataRef::DateTime(d) => date(d),
            DataRef::DateTimeIso(s) => Value::Date(s.chars().take(10).collect()),
            DataRef::DurationIso(s) => Value::Time(s.clone()),
            DataRef::Error(e) => Value::Error(e.to_string()),
        };
        *count += 1;
        if *count > MOST_CELLS {
            return Err(too_many_cells());
        }
        let number = index(at.0) + 1;
        rows.entry(number)
            .or_insert_with(|| BookRow {
                number,
                cells: Vec::new(),
            })
            .cells
            .push((index(at.1), value));
    }
    Ok(Table {
        name: name.to_owned(),
        hidden: false,
        rows: rows.into_values().collect(),
        merged,
    })
}

fn index(i: u32) -> usize {
    usize::try_from(i).unwrap_or(usize::MAX)
}

/// Where a formula stands whose value no program has written into the file yet.
fn formulas_without_value(book: &mut Book<'_>, name: &str) -> Result<HashSet<(u32, u32)>, Fault> {
    let mut found = HashSet::new();
    let mut reader = book.worksheet_cells_reader(name).map_err(|e| fault(&e))?;
    while let Some(cell) = reader
        .next_cell_with_formula_metadata()
        .map_err(|e| fault(&e))?
    {
        if cell.formula.is_some() && cell.value == DataRef::Empty {
            found.insert(cell.pos);
        }
    }
    Ok(found)
}

/// Whether a number format shows its figure times a hundred.
fn shows_percent(code: &str) -> bool {
    let mut quoted = false;
    let mut escaped = false;
    for c in code.chars() {
        match c {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '"' => quoted = !quoted,
            '%' if !quoted => return true,
            _ => {}
        }
    }
    false
}

fn date(d: &ExcelDateTime) -> Value {
    let (year, month, day, hour, minute, second, _) = d.to_ymd_hms_milli();
    // Below one day there is only a time of day.
    if d.is_duration() || d.as_f64() < 1.0 {
        Value::Time(format!("{hour:02}:{minute:02}:{second:02}"))
    } else {
        Value::Date(format!("{year:04}-{month:02}-{day:02}"))
    }
}

fn fault(e: &XlsxError) -> Fault {
    match e {
        XlsxError::Password => encrypted(),
        _ => broken(&e.to_string()),
    }
}

#[cfg(test)]
mod tests {
    use super::shows_percent;

    #[test]
    fn a_percent_sign_in_quotes_is_a_word() {
        assert!(shows_percent("0.0%") && shows_percent("0%;[Red]-0%"));
        assert!(!shows_percent("0.0\"%\"") && !shows_percent("0.0\\%") && !shows_percent("0.0"));
    }
}
