//! One sheet as it was filled: its header, the cells of its lines, and the place of each.

use super::book::{BookRow, Table, Value, broken, column_name, is_book, read_book};
use crate::catalog::csv_text::{CsvText, LineAt};
use crate::problem::{Place, Problem};

/// How many lines are looked at to find the header.
const MOST_TITLES: usize = 60;

/// A sheet whose header has been found.
pub(super) struct Sheet<'a> {
    from: Origin<'a>,
    /// What it is called: the sheet's name, or the file's without its ending.
    pub(super) name: String,
    /// Header cells that are not blank, with their columns.
    pub(super) header: Vec<(usize, String)>,
    /// Lines below the header that are neither blank nor a comment.
    pub(super) lines: Vec<Line>,
    /// Lines that do not fit the header.
    pub(super) problems: Vec<Problem>,
}

/// A line: its cells that hold something, by column.
pub(super) struct Line {
    at: LineAt,
    /// Its number, from 1.
    pub(super) number: usize,
    cells: Vec<(usize, Value)>,
}

impl Line {
    /// The cell of a column; `None` where it is blank.
    pub(super) fn cell(&self, column: usize) -> Option<&Value> {
        let i = self.cells.binary_search_by_key(&column, |c| c.0).ok()?;
        self.cells.get(i).map(|c| &c.1)
    }

    /// The columns that hold something.
    pub(super) fn filled(&self) -> impl Iterator<Item = usize> {
        self.cells.iter().map(|c| c.0)
    }
}

enum Origin<'a> {
    Text(CsvText<'a>),
    Book { file: String, header_line: usize },
}

/// Where the sheets of a file may be: not yet known which line is the header.
pub(super) enum Opened<'a> {
    /// CSV text.
    Text { file: &'a str, bytes: &'a [u8] },
    /// Tables of a spreadsheet file.
    Book { file: &'a str, tables: Vec<Table> },
}

impl<'a> Opened<'a> {
    /// Looks into a file.
    ///
    /// # Errors
    /// What is wrong with a spreadsheet file as a whole.
    pub(super) fn open(file: &'a str, bytes: &'a [u8]) -> Result<Self, Box<Problem>> {
        if is_book(bytes) {
            let tables = read_book(file, bytes)?;
            return Ok(Opened::Book { file, tables });
        }
        let lower = file.to_lowercase();
        if [".xlsx", ".xlsm", ".ods"]
            .iter()
            .any(|e| lower.ends_with(e))
        {
            let fault = broken("its beginning is not that of a spreadsheet");
            return Err(Box::new(fault.at(Place::file(file))));
        }
        Ok(Opened::Text { file, bytes })
    }
}

/// How well a line does as header, and whether it does wholly.
pub(super) enum Fit {
    /// All that a test needs is there.
    Whole,
    /// So many columns of a test are there.
    Some(usize),
}

/// Says how well a line does as the header of a sheet of some name.
pub(super) type Fitting<'f> = dyn Fn(&str, &[(usize, String)]) -> Fit + 'f;

/// The sheet of CSV text.
///
/// # Errors
/// As [`CsvText::open`].
pub(super) fn of_text<'a>(
    file: &'a str,
    bytes: &'a [u8],
    fit: &Fitting<'_>,
) -> Result<Sheet<'a>, Box<Problem>> {
    let name = stem(file).to_owned();
    let mut best = (0, 0);
    for titles in 0..MOST_TITLES {
        let csv = match CsvText::open_below(file, bytes, titles) {
            Ok(csv) => csv,
            Err(p) if titles == 0 => return Err(p),
            Err(_) => break,
        };
        match fit(&name, &text_header(&csv)) {
            Fit::Whole => {
                best = (usize::MAX, titles);
                break;
            }
            Fit::Some(n) if n > best.0 => best = (n, titles),
            Fit::Some(_) => {}
        }
    }
    let csv = CsvText::open_below(file, bytes, best.1)?;
    let mut problems = Vec::new();
    let mut lines = Vec::new();
    let columns = csv.header.len();
    csv.rows(&mut problems, |row| {
        let cells = (0..columns)
            .map(|c| (c, row.cell(c)))
            .filter(|(_, t)| !t.is_empty())
            .map(|(c, t)| (c, Value::Text(t.to_owned())))
            .collect();
        lines.push(Line {
            at: row.at,
            number: row.at.line,
            cells,
        });
    });
    Ok(Sheet {
        header: text_header(&csv),
        from: Origin::Text(csv),
        name,
        lines,
        problems,
    })
}

fn text_header(csv: &CsvText<'_>) -> Vec<(usize, String)> {
    csv.header
        .iter()
        .enumerate()
        .filter(|(_, t)| !t.is_empty())
        .map(|(c, t)| (c, t.clone()))
        .collect()
}

/// The sheet of a table; `None` where no line of it could be a header.
pub(super) fn of_table<'a>(file: &str, table: Table, fit: &Fitting<'_>) -> Option<Sheet<'a>> {
    let mut best: Option<(usize, usize)> = None;
    let candidates = table
        .rows
        .iter()
        .enumerate()
        .filter(|(_, r)| !is_comment(r, None));
    for (i, row) in candidates.take(MOST_TITLES) {
        match fit(&table.name, &row_header(row)) {
            Fit::Whole => {
                best = Some((usize::MAX, i));
                break;
            }
            Fit::Some(n) if best.is_none_or(|b| n > b.0) => best = Some((n, i)),
            Fit::Some(_) => {}
        }
    }
    let (_, at) = best?;
    let mut rows = table.rows.into_iter().skip(at);
    let head = rows.next()?;
    let header = row_header(&head);
    let first = header.first().map(|h| h.0);
    let lines = rows
        .filter(|r| !is_comment(r, first) && r.cells.iter().any(|c| !is_blank(&c.1)))
        .map(|r| Line {
            at: LineAt::default(),
            number: r.number,
            cells: r.cells.into_iter().filter(|c| !is_blank(&c.1)).collect(),
        })
        .collect();
    Some(Sheet {
        from: Origin::Book {
            file: format!("{file}, sheet {}", table.name),
            header_line: head.number,
        },
        name: table.name,
        header,
        lines,
        problems: Vec::new(),
    })
}

fn is_blank(v: &Value) -> bool {
    matches!(v, Value::Text(t) if t.trim().is_empty())
}

/// Whether the first cell of a row, or that under the first header, begins a comment.
fn is_comment(row: &BookRow, first: Option<usize>) -> bool {
    let column = first.or_else(|| row.cells.first().map(|c| c.0));
    row.cells
        .iter()
        .filter(|c| c.0 == 0 || Some(c.0) == column)
        .any(|c| matches!(&c.1, Value::Text(t) if t.trim_start().starts_with('#')))
}

fn row_header(row: &BookRow) -> Vec<(usize, String)> {
    row.cells
        .iter()
        .filter_map(|(c, v)| match v {
            Value::Text(t) => Some((*c, t.split_whitespace().collect::<Vec<_>>().join(" "))),
            Value::Figure(x) => Some((*c, x.to_string())),
            _ => None,
        })
        .filter(|(_, t)| !t.is_empty())
        .collect()
}

/// A file's name without folders and ending.
pub(super) fn stem(file: &str) -> &str {
    let name = file.rsplit(['/', '\\']).next().unwrap_or(file);
    name.rsplit_once('.').map_or(name, |(stem, _)| stem)
}

impl Sheet<'_> {
    /// The file, and the sheet in it, as shown.
    pub(super) fn file(&self) -> &str {
        match &self.from {
            Origin::Text(csv) => csv.file,
            Origin::Book { file, .. } => file,
        }
    }

    /// What parts the cells of the text that this sheet is read as: a comma only where a
    /// comma parted them, since elsewhere it may be a decimal comma.
    pub(super) fn separator(&self) -> u8 {
        match &self.from {
            Origin::Text(csv) if !csv.decimal_comma() => b',',
            _ => b';',
        }
    }

    /// The text of a column's header.
    pub(super) fn header_text(&self, column: usize) -> Option<&str> {
        self.header
            .iter()
            .find(|h| h.0 == column)
            .map(|h| h.1.as_str())
    }

    /// The place of a cell of a line; of the whole line without a column.
    pub(super) fn place(&self, line: usize, column: Option<usize>) -> Place {
        let Some(line) = self.lines.get(line) else {
            return Place::file(self.file());
        };
        match &self.from {
            Origin::Text(csv) => {
                let place = csv.place(line.at, column.unwrap_or(0));
                match column {
                    Some(_) => place,
                    None => Place {
                        field: None,
                        ..place
                    },
                }
            }
            Origin::Book { file, .. } => self.book_place(file, line.number, column),
        }
    }

    /// The place of a header cell; of the whole header without a column.
    pub(super) fn header_place(&self, column: Option<usize>) -> Place {
        match (&self.from, column) {
            (Origin::Text(csv), Some(c)) => csv.header_place(c),
            (Origin::Text(csv), None) => csv.header_line_place(),
            (Origin::Book { file, header_line }, c) => self.book_place(file, *header_line, c),
        }
    }

    fn book_place(&self, file: &str, line: usize, column: Option<usize>) -> Place {
        Place {
            file: file.to_owned(),
            line,
            column: column.map_or(1, |c| c + 1),
            field: column.and_then(|c| self.header_text(c)).map(str::to_owned),
            source_line: None,
            length: 1,
        }
    }

    /// What the cell of a place is called in a spreadsheet: `B4: ` before the words.
    pub(super) fn cell_name(&self, place: &Place) -> String {
        match &self.from {
            Origin::Book { .. } if place.field.is_some() => format!(
                "{}{}: ",
                column_name(place.column.saturating_sub(1)),
                place.line
            ),
            _ => String::new(),
        }
    }
}
