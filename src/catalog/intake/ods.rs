//! Cells of an ODS file (OpenDocument 1.3, part 3: `table:table` in `content.xml`).
//!
//! Read here and not by the XLSX reader's crate, which drops that a figure is
//! shown in percent and unrolls repeated cells without counting them.

use super::book::{
    BookRow, MOST_CELLS, MOST_COLUMNS, MOST_ROWS, Merged, Table, Value, broken, encrypted,
    most_repeats, part, too_many_cells, too_many_repeats,
};
use crate::problem::Fault;
use quick_xml::Reader;
use quick_xml::XmlVersion;
use quick_xml::events::{BytesStart, Event};
use std::collections::HashSet;
use std::io::Cursor;
use zip::ZipArchive;

/// Reads every sheet.
pub(super) fn read(zip: &mut ZipArchive<Cursor<&[u8]>>) -> Result<Vec<Table>, Fault> {
    if let Some(manifest) = part(zip, "META-INF/manifest.xml")?
        && String::from_utf8_lossy(&manifest).contains("encryption-data")
    {
        return Err(encrypted());
    }
    let bytes = part(zip, "content.xml")?.unwrap_or_default();
    let text = std::str::from_utf8(&bytes).map_err(|_| broken("its text is not UTF-8"))?;
    let mut reader = Reader::from_str(text);
    reader.config_mut().check_end_names = false;
    let mut content = Content {
        reader,
        cells: 0,
        repeats: most_repeats(text.len()),
        hidden_styles: HashSet::new(),
    };
    content.tables()
}

struct Content<'t> {
    reader: Reader<&'t [u8]>,
    /// Cells kept so far.
    cells: usize,
    /// Cells that may still be repeated.
    repeats: usize,
    hidden_styles: HashSet<String>,
}

/// A cell as it stands, with how often it stands.
struct Repeated {
    value: Option<Value>,
    times: usize,
    /// Rows it covers.
    rows: usize,
}

fn attribute(e: &BytesStart<'_>, name: &str) -> Result<Option<String>, Fault> {
    e.try_get_attribute(name)
        .map_err(|e| broken(&e.to_string()))?
        .map(|a| {
            a.normalized_value(XmlVersion::Implicit1_0)
                .map(std::borrow::Cow::into_owned)
                .map_err(|e| broken(&e.to_string()))
        })
        .transpose()
}

fn times(e: &BytesStart<'_>, name: &str) -> Result<usize, Fault> {
    Ok(attribute(e, name)?
        .and_then(|t| t.trim().parse().ok())
        .unwrap_or(1))
}

impl<'t> Content<'t> {
    fn next(&mut self) -> Result<Event<'t>, Fault> {
        self.reader.read_event().map_err(|e| broken(&e.to_string()))
    }

    fn tables(&mut self) -> Result<Vec<Table>, Fault> {
        let mut tables = Vec::new();
        let mut style = None;
        loop {
            match self.next()? {
                Event::Start(e) | Event::Empty(e) if e.name().as_ref() == "style:style" => {
                    style = attribute(&e, "style:name")?;
                }
                Event::Start(e) | Event::Empty(e)
                    if e.name().as_ref() == "style:table-properties"
                        && attribute(&e, "table:display")?.as_deref() == Some("false") =>
                {
                    self.hidden_styles.extend(style.clone());
                }
                Event::Start(e) if e.name().as_ref() == "table:table" => {
                    let hidden = attribute(&e, "table:style-name")?
                        .is_some_and(|s| self.hidden_styles.contains(&s));
                    let name = attribute(&e, "table:name")?.unwrap_or_default();
                    let mut table = self.table()?;
                    (table.name, table.hidden) = (name, hidden);
                    tables.push(table);
                }
                Event::Eof => return Ok(tables),
                _ => {}
            }
        }
    }

    /// The rows up to the end of the table; tables inside cells are passed over.
    fn table(&mut self) -> Result<Table, Fault> {
        let mut table = Table::default();
        let mut number = 1_usize;
        loop {
            match self.next()? {
                Event::Start(e) if e.name().as_ref() == "table:table-row" => {
                    let repeated = times(&e, "table:number-rows-repeated")?;
                    let (cells, spans) = self.row()?;
                    table
                        .merged
                        .extend(spans.into_iter().map(|(column, rows)| Merged {
                            rows: (number, number.saturating_add(rows - 1)),
                            column,
                        }));
                    if !cells.is_empty() {
                        self.repeat(cells.len().saturating_mul(repeated.saturating_sub(1)))?;
                        for k in 0..repeated.min(MOST_ROWS) {
                            self.count(cells.len())?;
                            table.rows.push(BookRow {
                                number: number.saturating_add(k),
                                cells: cells.clone(),
                            });
                        }
                    }
                    number = number.saturating_add(repeated);
                }
                Event::Empty(e) if e.name().as_ref() == "table:table-row" => {
                    number = number.saturating_add(times(&e, "table:number-rows-repeated")?);
                }
                Event::End(e) if e.name().as_ref() == "table:table" => return Ok(table),
                Event::Eof => return Err(broken("a table has no end")),
                _ => {}
            }
        }
    }

    fn count(&mut self, more: usize) -> Result<(), Fault> {
        self.cells = self.cells.saturating_add(more);
        if self.cells > MOST_CELLS {
            return Err(too_many_cells());
        }
        Ok(())
    }

    fn repeat(&mut self, more: usize) -> Result<(), Fault> {
        self.repeats = self
            .repeats
            .checked_sub(more)
            .ok_or_else(too_many_repeats)?;
        Ok(())
    }

    /// The filled cells of a row, and those that cover several rows.
    #[expect(
        clippy::type_complexity,
        reason = "two lists that are taken apart at once"
    )]
    fn row(&mut self) -> Result<(Vec<(usize, Value)>, Vec<(usize, usize)>), Fault> {
        let (mut cells, mut spans) = (Vec::new(), Vec::new());
        let mut column = 0_usize;
        loop {
            let cell = match self.next()? {
                Event::Start(e) if is_cell(&e) => {
                    let e = e.into_owned();
                    let shown = self.shown(e.name().as_ref())?;
                    cell(&e, &shown)?
                }
                Event::Empty(e) if is_cell(&e) => cell(&e, "")?,
                Event::End(e) if e.name().as_ref() == "table:table-row" => break,
                Event::Eof => return Err(broken("a row has no end")),
                _ => continue,
            };
            if let Some(value) = cell.value {
                let end = column.saturating_add(cell.times).min(MOST_COLUMNS);
                if cells.len().saturating_add(end.saturating_sub(column)) > MOST_COLUMNS {
                    return Err(too_many_cells());
                }
                let more = end.saturating_sub(column).saturating_sub(1);
                self.repeat(more.saturating_mul(COLUMN_WEIGHT))?;
                for c in column..end {
                    cells.push((c, value.clone()));
                }
                if cell.rows > 1 {
                    spans.push((column, cell.rows));
                }
            }
            column = column.saturating_add(cell.times);
        }
        Ok((cells, spans))
    }

    /// The text of a cell's paragraphs up to its end tag; notes on the cell are no part of it.
    fn shown(&mut self, end: &str) -> Result<String, Fault> {
        let mut text = String::new();
        let mut note = 0_usize;
        let mut nested = 0_usize;
        loop {
            match self.next()? {
                Event::Start(e) => match e.name().as_ref() {
                    "office:annotation" => note += 1,
                    "text:p" if note == 0 && !text.is_empty() => text.push('\n'),
                    n if n == end => nested += 1,
                    _ => {}
                },
                Event::Empty(e) if note == 0 => match e.name().as_ref() {
                    "text:s" => {
                        let n = times(&e, "text:c")?.min(LONGEST_GAP);
                        text.push_str(&" ".repeat(n));
                    }
                    "text:tab" => text.push('\t'),
                    "text:line-break" => text.push('\n'),
                    _ => {}
                },
                Event::End(e) => match e.name().as_ref() {
                    "office:annotation" => note = note.saturating_sub(1),
                    n if n == end && nested > 0 => nested -= 1,
                    n if n == end => return Ok(text),
                    _ => {}
                },
                Event::Text(t) if note == 0 => text.push_str(&t.xml10_content()),
                Event::GeneralRef(r) if note == 0 => {
                    let named = quick_xml::escape::resolve_xml_entity(&r);
                    match (named, r.resolve_char_ref()) {
                        (Some(s), _) => text.push_str(s),
                        (None, Ok(Some(c))) => text.push(c),
                        _ => return Err(broken("it names a character that is none")),
                    }
                }
                Event::Eof => return Err(broken("a cell has no end")),
                _ => {}
            }
        }
    }
}

/// A column more costs as much as so many cells: each may have to be named.
const COLUMN_WEIGHT: usize = 8;

/// Most spaces that one mark for them stands for.
const LONGEST_GAP: usize = 100;

fn is_cell(e: &BytesStart<'_>) -> bool {
    matches!(
        e.name().as_ref(),
        "table:table-cell" | "table:covered-table-cell"
    )
}

fn cell(e: &BytesStart<'_>, shown: &str) -> Result<Repeated, Fault> {
    let times_ = times(e, "table:number-columns-repeated")?;
    let rows = times(e, "table:number-rows-spanned")?;
    let kind = attribute(e, "office:value-type")?.unwrap_or_default();
    let is_error = attribute(e, "calcext:value-type")?.as_deref() == Some("error");
    let figure = || -> Result<Option<f64>, Fault> {
        attribute(e, "office:value")?
            .map(|v| {
                v.trim()
                    .parse::<f64>()
                    .map_err(|_| broken(&format!("`{v}` stands where a figure belongs")))
            })
            .transpose()
    };
    let text = |t: String| (!t.trim().is_empty()).then_some(Value::Text(t));
    let value = match kind.as_str() {
        _ if is_error => Some(Value::Error(shown.trim().to_owned())),
        "float" | "currency" => figure()?.map(Value::Figure),
        "percentage" => figure()?.map(Value::Percent),
        "date" => {
            attribute(e, "office:date-value")?.map(|d| Value::Date(d.chars().take(10).collect()))
        }
        "time" => Some(Value::Time(shown.trim().to_owned())),
        "boolean" => {
            attribute(e, "office:boolean-value")?.map(|b| Value::Truth(b.trim() == "true"))
        }
        "string" => match attribute(e, "office:string-value")? {
            Some(t) if shown.is_empty() => text(t),
            _ => text(shown.to_owned()),
        },
        _ if attribute(e, "table:formula")?.is_some() => Some(Value::NotReckoned),
        _ => text(shown.to_owned()),
    };
    Ok(Repeated {
        value,
        times: times_.max(1),
        rows: rows.max(1),
    })
}
