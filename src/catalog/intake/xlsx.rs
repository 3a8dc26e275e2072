//! Cells of an XLSX file.

use super::book::{
    BookRow, MOST_CELLS, MOST_COLUMNS, MOST_ROWS, Merged, Table, Value, broken, encrypted, part,
    too_many_cells,
};
use crate::problem::Fault;
use calamine::{DataRef, ExcelDateTime, Reader, SheetType, SheetVisible, Xlsx, XlsxError};
use quick_xml::Reader as Events;
use quick_xml::events::Event;
use std::collections::{BTreeMap, HashSet};
use std::io::Cursor;
use zip::ZipArchive;

type Book<'b> = Xlsx<Cursor<&'b [u8]>>;

/// Reads every worksheet.
pub(super) fn read(zip: &mut ZipArchive<Cursor<&[u8]>>, bytes: &[u8]) -> Result<Vec<Table>, Fault> {
    check_parts(zip)?;
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

/// What the reader takes as the file says it: how many texts there are, and where a cell stands.
fn check_parts(zip: &mut ZipArchive<Cursor<&[u8]>>) -> Result<(), Fault> {
    let names: Vec<String> = zip
        .file_names()
        .filter_map(|n| n.ok().map(std::borrow::Cow::into_owned))
        .collect();
    for name in names {
        let Some(bytes) = part(zip, &name)? else {
            continue;
        };
        let text = String::from_utf8_lossy(&bytes);
        if name.to_ascii_lowercase().ends_with("sharedstrings.xml") {
            check_counts(&text)?;
        }
        check_places(&text)?;
    }
    Ok(())
}

/// The reader makes room for as many texts as the file says it has: that must not be a lie.
fn check_counts(text: &str) -> Result<(), Fault> {
    for said in text.split("uniqueCount").skip(1) {
        let digits: String = said
            .chars()
            .take(64)
            .skip_while(|c| !c.is_ascii_digit())
            .take_while(char::is_ascii_digit)
            .collect();
        if digits
            .parse::<usize>()
            .map_or(!digits.is_empty(), |n| n > text.len())
        {
            return Err(broken("it says that it holds more texts than it can"));
        }
    }
    Ok(())
}

/// The reader reckons places without looking for an end: a column or row that no sheet has, and an area
/// whose end stands before its start, must not get to it.
fn check_places(text: &str) -> Result<(), Fault> {
    let mut events = Events::from_str(text);
    events.config_mut().check_end_names = false;
    // Where it is no XML any more, the reader stops as well.
    while let Ok(event) = events.read_event() {
        let element = match event {
            Event::Start(e) | Event::Empty(e) => e,
            Event::Eof => break,
            _ => continue,
        };
        let named = match element.local_name().as_ref() {
            "c" | "row" => "r",
            "dimension" | "mergeCell" | "f" => "ref",
            _ => continue,
        };
        for a in element.attributes().with_checks(false) {
            // Whatever follows an attribute that is none is not read either.
            let Ok(a) = a else { break };
            if a.key.as_ref() == named && !is_place(&a.value) {
                return Err(broken(&format!(
                    "`{}` is no place in a sheet",
                    a.value.chars().take(40).collect::<String>()
                )));
            }
        }
    }
    Ok(())
}

/// Whether no cell of it lies outside of any sheet: `B4`, `4`, `A1:C9`. Of anything else the reader
/// says itself that it is no place.
fn is_place(reference: &str) -> bool {
    let cells: Vec<(usize, usize)> = reference
        .split(':')
        .map(|cell| {
            let letters = cell.bytes().take_while(u8::is_ascii_alphabetic);
            let column = letters.clone().fold(0_usize, |n, b| {
                let letter = usize::from(b.to_ascii_uppercase() - b'A') + 1;
                n.saturating_mul(26).saturating_add(letter)
            });
            let figures = cell.bytes().skip(letters.count());
            let row = figures
                .take_while(u8::is_ascii_digit)
                .fold(0_usize, |n, b| {
                    n.saturating_mul(10).saturating_add(usize::from(b - b'0'))
                });
            (column, row)
        })
        .collect();
    cells
        .iter()
        .all(|(column, row)| *column <= MOST_COLUMNS && *row <= MOST_ROWS)
        && cells.is_sorted_by(|a, b| a.0 <= b.0 && a.1 <= b.1)
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
    use super::{is_place, shows_percent};

    #[test]
    fn a_place_lies_in_the_largest_sheet_and_an_area_begins_at_its_start() {
        for place in ["A1", "XFD1048576", "7", "b4", "A1:C9", "C3:C3", "$A$1"] {
            assert!(is_place(place), "{place}");
        }
        for none in [
            "XFE1",
            "A1048577",
            "AAAAAAAAA1",
            "A99999999999",
            "B2:A3",
            "B2:B1",
        ] {
            assert!(!is_place(none), "{none}");
        }
    }

    #[test]
    fn a_percent_sign_in_quotes_is_a_word() {
        assert!(shows_percent("0.0%") && shows_percent("0%;[Red]-0%"));
        assert!(!shows_percent("0.0\"%\"") && !shows_percent("0.0\\%") && !shows_percent("0.0"));
    }
}
