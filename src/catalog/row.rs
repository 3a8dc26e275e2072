//! Cells of one line by field, every fault placed: what all CSV files share.

use crate::catalog::cells::check_date;
use crate::catalog::csv_text::{CsvText, LineAt, Row};
use crate::catalog::header::{Columns, Field};
use crate::catalog::words::{check_id, meant};
use crate::problem::{Fault, Place, Problem};
use crate::quantity::Reading;
use std::collections::HashMap;

/// A CSV text, its matched columns, and the Problems found so far.
pub(super) struct Cells<'a> {
    /// The text.
    pub(super) csv: &'a CsvText<'a>,
    fields: Vec<Field>,
    /// The columns.
    pub(super) columns: Columns,
    /// What was found wrong.
    pub(super) problems: Vec<Problem>,
}

impl<'a> Cells<'a> {
    /// Matches the header to `fields`.
    pub(super) fn new(csv: &'a CsvText<'a>, fields: Vec<Field>) -> Self {
        let mut problems = Vec::new();
        let columns = Columns::find(csv, &fields, &mut problems);
        Cells {
            csv,
            fields,
            columns,
            problems,
        }
    }

    /// The same columns with no Problem yet, for another share of the lines.
    pub(super) fn again(&self) -> Self {
        Cells {
            csv: self.csv,
            fields: self.fields.clone(),
            columns: self.columns.clone(),
            problems: Vec::new(),
        }
    }

    /// The name of a field.
    pub(super) fn name(&self, field: usize) -> &'static str {
        self.fields.get(field).map_or("", |f| f.name)
    }

    /// The place of a cell.
    pub(super) fn place(&self, at: LineAt, field: usize) -> Place {
        self.csv.place(at, self.columns.column(field))
    }

    /// Notes a fault of a cell.
    pub(super) fn fault(&mut self, row: &Row<'_>, field: usize, fault: Fault) {
        let place = self.place(row.at, field);
        self.problems.push(fault.at(place));
    }

    /// The cell of a field, if it is filled.
    pub(super) fn text<'r>(&self, row: &Row<'r>, field: usize) -> Option<&'r str> {
        self.columns.text(field, row)
    }

    /// The cell of a field as owned text, empty where blank.
    pub(super) fn owned(&self, row: &Row<'_>, field: usize) -> String {
        self.text(row, field).unwrap_or("").to_owned()
    }

    /// Whether every blank-headed cell of the line is blank too.
    pub(super) fn check_nameless(&mut self, row: &Row<'_>) {
        if let Some(c) = self.columns.nameless(row) {
            let place = self.csv.place(row.at, c);
            self.problems.push(
                Fault::new(
                    "header::blank",
                    "this cell stands in a column without a name",
                    "name the column in the header; begin the name with `#` if it is your own",
                )
                .at(place),
            );
        }
    }

    /// A cell that must be filled where the header has its column.
    pub(super) fn needed<'r>(&mut self, row: &Row<'r>, field: usize, fix: &str) -> Option<&'r str> {
        let cell = self.text(row, field);
        if cell.is_none() && self.columns.has(field) {
            let f = Fault::new(
                "cell::blank",
                format!("`{}` is blank", self.name(field)),
                fix,
            );
            self.fault(row, field, f);
        }
        cell
    }

    /// An id of a thing, checked.
    pub(super) fn id(&mut self, row: &Row<'_>, field: usize, what: &str) -> Option<String> {
        let id = self.text(row, field)?.to_owned();
        if let Err(f) = check_id(&id, what) {
            self.fault(row, field, f);
        }
        Some(id)
    }

    /// A date, checked.
    pub(super) fn date(&mut self, row: &Row<'_>, field: usize) -> Option<String> {
        let date = self.text(row, field)?.to_owned();
        if let Err(f) = check_date(&date) {
            self.fault(row, field, f);
        }
        Some(date)
    }

    /// One of some words.
    pub(super) fn word<T>(
        &mut self,
        row: &Row<'_>,
        field: usize,
        read: impl Fn(&str) -> Option<T>,
        words: &[&str],
    ) -> Option<T> {
        let cell = self.text(row, field)?;
        let got = read(cell);
        if got.is_none() {
            let f = unknown_word(cell, self.name(field), words);
            self.fault(row, field, f);
        }
        got
    }

    /// An exact figure of at least `low`, in the field's unit.
    pub(super) fn figure(&mut self, row: &Row<'_>, field: usize, low: f64) -> Option<f64> {
        let cell = self.text(row, field)?;
        let fault = match self.columns.reading(field, cell) {
            Ok(Reading::Exact(x)) if x >= low => return Some(x),
            Ok(Reading::Exact(_)) => Fault::new(
                "figure::too-small",
                format!(
                    "`{cell}` is below {low}, the least that `{}` can be",
                    self.name(field)
                ),
                "correct the figure, or leave the cell blank",
            ),
            Ok(_) => Fault::new(
                "number::bound-not-allowed",
                format!(
                    "`{cell}` is a bound or a range, and `{}` takes one figure",
                    self.name(field)
                ),
                "write one figure",
            ),
            Err(f) => f,
        };
        self.fault(row, field, fault);
        None
    }

    /// Refuses a key that stands already on an earlier line.
    pub(super) fn once(
        &mut self,
        row: &Row<'_>,
        field: usize,
        key: String,
        seen: &mut HashMap<String, usize>,
    ) {
        if let Some(line) = seen.get(&key) {
            let f = Fault::new(
                "key::twice",
                format!("`{key}` stands already on line {line}"),
                "keep one of the two lines, or give this one a name of its own",
            );
            self.fault(row, field, f);
        } else {
            seen.insert(key, row.at.line);
        }
    }
}

/// A word that is not in its closed list.
pub(super) fn unknown_word(cell: &str, name: &str, words: &[&str]) -> Fault {
    Fault::new(
        "word::unknown",
        format!("`{cell}` is not a word that `{name}` takes"),
        meant(cell, words.iter().copied()),
    )
}

/// Reads every line of a table file; lines in which `take` finds a fault are left out.
pub(super) fn read_table<T>(
    file: &str,
    bytes: &[u8],
    fields: &[Field],
    mut take: impl FnMut(&mut Cells<'_>, &Row<'_>) -> Option<T>,
) -> (Vec<(T, Place)>, Vec<Problem>) {
    let csv = match CsvText::open(file, bytes) {
        Ok(csv) => csv,
        Err(p) => return (Vec::new(), vec![*p]),
    };
    let mut cells = Cells::new(&csv, fields.to_vec());
    let mut got = Vec::new();
    let mut shape = Vec::new();
    csv.rows(&mut shape, |row| {
        let before = cells.problems.len();
        cells.check_nameless(row);
        let read = take(&mut cells, row);
        if let (Some(t), true) = (read, cells.problems.len() == before) {
            got.push((t, cells.place(row.at, 0)));
        }
    });
    let mut problems = cells.problems;
    problems.append(&mut shape);
    problems.sort_by(|a, b| a.at.cmp(&b.at));
    (got, problems)
}
