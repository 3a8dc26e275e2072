//! Growing a CSV file by lines, in the file's own manner, every old byte kept.

use crate::catalog::csv_text::{CsvText, LineAt};
use crate::catalog::header::split_header;
use crate::problem::{Fault, Place, Problem};
use crate::quantity::{Reading, Unit, parse_reading, significant};
use std::borrow::Cow;

/// Significant digits of a figure that was converted to a column's unit: all that
/// a double holds for certain, so that 25.3 kgf becomes 248.108245 N and no more.
const DIGITS: usize = 15;

/// A column of new lines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewColumn {
    /// Its header: `material`, `force [kgf]`, `# remark`.
    pub header: String,
    /// Whether its cells are figures, written with a decimal point; words such as
    /// an outcome may stand among them.
    pub figures: bool,
}

/// A grown file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Appended {
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// Headers of the columns that the file lacked and now has; its earlier
    /// lines leave them blank. Where there is none, the old bytes are the
    /// beginning of the new ones.
    pub widened: Vec<String>,
}

/// Adds lines to the end of a CSV file.
///
/// They take the file's separator, decimal mark, line end, units and order of
/// columns. The file's own further columns are left blank. A column that the
/// file lacks is added at its right edge if any new cell in it is filled.
/// Without an old file, one with commas and a header of all `columns` is made.
///
/// # Errors
/// `sheet::not-utf8`; `append::unit` where a figure
/// cannot be converted to the unit of the file's column.
pub fn append_lines(
    file: &str,
    old: Option<&[u8]>,
    columns: &[NewColumn],
    rows: &[Vec<String>],
) -> Result<Appended, Box<Problem>> {
    let old = old.unwrap_or_default();
    let csv = match CsvText::open(file, old) {
        Ok(csv) => csv,
        Err(p) if p.code == "sheet::empty" => return Ok(begin(old, columns, rows)),
        Err(p) => return Err(p),
    };
    let missing: Vec<&str> = columns
        .iter()
        .enumerate()
        .filter(|(c, column)| {
            place_of(&csv.header, column).is_none()
                && rows
                    .iter()
                    .any(|r| r.get(*c).is_some_and(|x| !x.trim().is_empty()))
        })
        .map(|(_, column)| column.header.as_str())
        .collect();
    let manner = Manner::of(&csv);
    let mut bytes = widened(old, &csv, &missing);
    let wide: Vec<String> = csv
        .header
        .iter()
        .cloned()
        .chain(missing.iter().map(|m| (*m).to_owned()))
        .collect();
    let from = columns
        .iter()
        .map(|c| place_of(&wide, c).map(|k| (k, Conversion::between(file, c, wide.get(k)))));
    let mut source_of: Vec<Option<(usize, Conversion)>> = wide.iter().map(|_| None).collect();
    for (c, target) in from.enumerate() {
        if let Some((k, conversion)) = target
            && let Some(slot) = source_of.get_mut(k)
        {
            *slot = Some((c, conversion?));
        }
    }
    if !matches!(bytes.last(), None | Some(b'\n' | b'\r')) {
        bytes.extend_from_slice(manner.end.as_bytes());
    }
    for row in rows {
        let cells = source_of.iter().map(|source| {
            let Some((c, conversion)) = source else {
                return Cow::Borrowed("");
            };
            let cell = row.get(*c).map_or("", |x| x.trim());
            match columns.get(*c) {
                Some(column) if column.figures => manner.figure(cell, conversion),
                _ => spreadsheet_safe(cell),
            }
        });
        push_line(&mut bytes, cells, &manner);
    }
    Ok(Appended {
        bytes,
        widened: missing.iter().map(|m| (*m).to_owned()).collect(),
    })
}

/// A file of its own, below comments that may stand there already.
fn begin(old: &[u8], columns: &[NewColumn], rows: &[Vec<String>]) -> Appended {
    let manner = Manner {
        separator: ',',
        end: "\n",
        decimal_comma: false,
    };
    let mut bytes = old.to_vec();
    if !matches!(bytes.last(), None | Some(b'\n' | b'\r')) {
        bytes.push(b'\n');
    }
    // A header that begins with an own column would be a comment.
    let own = |c: &usize| columns.get(*c).is_some_and(|c| c.header.starts_with('#'));
    let mut order: Vec<usize> = (0..columns.len()).collect();
    order.sort_by_key(own);
    let header = order.iter().filter_map(|c| columns.get(*c));
    push_line(
        &mut bytes,
        header.map(|c| Cow::Borrowed(c.header.as_str())),
        &manner,
    );
    for row in rows {
        let cells = order.iter().map(|c| {
            let cell = row.get(*c).map_or("", |x| x.trim());
            match columns.get(*c) {
                Some(column) if column.figures => Cow::Borrowed(cell),
                _ => spreadsheet_safe(cell),
            }
        });
        push_line(&mut bytes, cells, &manner);
    }
    Appended {
        bytes,
        widened: Vec::new(),
    }
}

/// Which of the headers is that of a column: the same name, whatever its unit; own columns whole.
fn place_of(headers: &[String], column: &NewColumn) -> Option<usize> {
    let own = column.header.trim_start().starts_with('#');
    headers.iter().position(|h| {
        if own || h.starts_with('#') {
            h.trim() == column.header.trim()
        } else {
            split_header(h).0 == split_header(&column.header).0
        }
    })
}

/// How a file writes its lines.
struct Manner {
    separator: char,
    end: &'static str,
    decimal_comma: bool,
}

impl Manner {
    fn of(csv: &CsvText<'_>) -> Self {
        Manner {
            separator: csv.separator(),
            end: line_end(csv),
            decimal_comma: csv.decimal_comma() && writes_commas(csv),
        }
    }

    fn figure<'c>(&self, cell: &'c str, conversion: &Conversion) -> Cow<'c, str> {
        let cell = conversion.apply(cell);
        if self.decimal_comma && parse_reading(&cell).is_ok() {
            // The dots between the ends of a range stay.
            let range = cell.replace("..", "\u{0}").replace('.', ",");
            return Cow::Owned(range.replace('\u{0}', ".."));
        }
        cell
    }
}

/// The end of the header line, or of the first line that has one.
fn line_end(csv: &CsvText<'_>) -> &'static str {
    let after = csv
        .spans(csv.header_at())
        .last()
        .and_then(|last| csv.text().get(last.end..))
        .unwrap_or("");
    let rest = if after.is_empty() { csv.text() } else { after };
    match rest.find(['\n', '\r']).and_then(|i| rest.get(i..)) {
        Some(end) if end.starts_with("\r\n") => "\r\n",
        Some(end) if end.starts_with('\r') => "\r",
        _ => "\n",
    }
}

/// Whether the figures of a file have a decimal comma: one such cell is enough, and a
/// file without any figure that has a mark takes the habit that goes with its separator.
fn writes_commas(csv: &CsvText<'_>) -> bool {
    let figure = |cell: &str, mark: char| {
        let bare = cell.trim_start_matches(['<', '>', '=', '-', '+', ' ']);
        bare.split_once(mark).is_some_and(|(whole, part)| {
            let digits = |t: &str| !t.is_empty() && t.bytes().all(|b| b.is_ascii_digit());
            digits(whole) && digits(part)
        })
    };
    let ours = |h: &str| !h.starts_with('#') && h != "note";
    let columns: Vec<usize> = csv
        .header
        .iter()
        .enumerate()
        .filter_map(|(k, h)| ours(h).then_some(k))
        .collect();
    let (mut commas, mut points) = (false, false);
    csv.rows(&mut Vec::new(), |row| {
        for column in &columns {
            commas |= figure(row.cell(*column), ',');
            points |= figure(row.cell(*column), '.');
        }
    });
    commas || (!points && csv.separator() == ';')
}

/// How the figures of a new column come into the unit of the file's.
struct Conversion(Option<(Unit, Unit)>);

impl Conversion {
    fn between(
        file: &str,
        column: &NewColumn,
        header: Option<&String>,
    ) -> Result<Self, Box<Problem>> {
        let (name, from) = split_header(&column.header);
        let to = header.and_then(|h| split_header(h).1);
        let (Some(from), Some(to), true) = (from, to, column.figures) else {
            return Ok(Conversion(None));
        };
        let cannot = || {
            Box::new(
                Fault::new(
                    "append::unit",
                    format!("`{name}` is in `{to}` here, and the new lines have `{from}`"),
                    format!("write the figures in `{to}`"),
                )
                .at(Place::file(file)),
            )
        };
        if from == to {
            return Ok(Conversion(None));
        }
        let to = Unit::parse(to).map_err(|_| cannot())?;
        let from = Unit::parse_as(from, &to).map_err(|_| cannot())?;
        if from.conversion_fault(&to, "", name).is_some() {
            return Err(cannot());
        }
        Ok(Conversion((from != to).then_some((from, to))))
    }

    fn apply<'c>(&self, cell: &'c str) -> Cow<'c, str> {
        let (Some((from, to)), Ok(reading)) = (&self.0, parse_reading(cell)) else {
            return Cow::Borrowed(cell);
        };
        let figure = |x: f64| significant(from.convert(x, to), DIGITS).unwrap_or(x);
        Cow::Owned(match reading {
            Reading::Exact(x) => figure(x).to_string(),
            Reading::AtLeast(x) => format!(">={}", figure(x)),
            Reading::AtMost(x) => format!("<={}", figure(x)),
            Reading::Between(a, b) => format!("{}..{}", figure(a), figure(b)),
        })
    }
}

/// A file with one more column at its right edge, blank on every line.
pub(in crate::catalog) fn with_column(old: &[u8], csv: &CsvText<'_>, header: &str) -> Vec<u8> {
    widened(old, csv, &[header])
}

/// The old bytes, with a blank cell for each added column at the end of every line that has cells.
fn widened(old: &[u8], csv: &CsvText<'_>, added: &[&str]) -> Vec<u8> {
    if added.is_empty() {
        return old.to_vec();
    }
    let mark = old.len() - csv.text().len();
    let mut bytes = Vec::with_capacity(old.len() * 5 / 4);
    let mut from = 0;
    let mut upto = |bytes: &mut Vec<u8>, at: LineAt| {
        let end = csv.spans(at).last().map_or(0, |s| s.end) + mark;
        bytes.extend_from_slice(old.get(from..end).unwrap_or_default());
        from = end;
    };
    upto(&mut bytes, csv.header_at());
    for column in added {
        push_char(&mut bytes, csv.separator());
        push_cell(&mut bytes, column, csv.separator());
    }
    csv.rows(&mut Vec::new(), |row| {
        upto(&mut bytes, row.at);
        for _ in added {
            push_char(&mut bytes, csv.separator());
        }
    });
    bytes.extend_from_slice(old.get(from..).unwrap_or_default());
    bytes
}

/// A cell that no spreadsheet takes for a formula, in one line and without control characters.
pub(crate) fn spreadsheet_safe(cell: &str) -> Cow<'_, str> {
    let plain = if cell.contains(char::is_control) {
        let kept: Vec<&str> = cell.split(char::is_control).map(str::trim).collect();
        Cow::Owned(kept.join(" ").trim().to_owned())
    } else {
        Cow::Borrowed(cell)
    };
    let starts_formula = plain.starts_with(['=', '+', '-', '@']) && parse_reading(&plain).is_err();
    if starts_formula {
        Cow::Owned(format!("'{plain}"))
    } else {
        plain
    }
}

fn push_line<'c>(bytes: &mut Vec<u8>, cells: impl Iterator<Item = Cow<'c, str>>, manner: &Manner) {
    for (k, cell) in cells.enumerate() {
        if k > 0 {
            push_char(bytes, manner.separator);
        }
        // A line that begins so would be a comment.
        if k == 0 && cell.starts_with('#') {
            push_cell(bytes, &format!("'{cell}"), manner.separator);
        } else {
            push_cell(bytes, &cell, manner.separator);
        }
    }
    bytes.extend_from_slice(manner.end.as_bytes());
}

/// Writes a cell, in quotes where it needs them.
fn push_cell(bytes: &mut Vec<u8>, cell: &str, separator: char) {
    if !cell.contains([separator, '"', '\n', '\r']) {
        bytes.extend_from_slice(cell.as_bytes());
        return;
    }
    bytes.push(b'"');
    bytes.extend_from_slice(cell.replace('"', "\"\"").as_bytes());
    bytes.push(b'"');
}

fn push_char(bytes: &mut Vec<u8>, c: char) {
    let mut room = [0; 4];
    bytes.extend_from_slice(c.encode_utf8(&mut room).as_bytes());
}
