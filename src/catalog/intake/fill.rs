//! A filled sheet as lines of the catalog: one a specimen and point, every cell with its origin.

use super::book::Value;
use super::columns::{Meaning, read, unknown};
use super::maps::Maps;
use super::sheet::Sheet;
use crate::bench::{BenchTest, Column, Need};
use crate::catalog::cells::check_date;
use crate::catalog::header::{Field, read_figure, split_header};
use crate::catalog::lines::fields::{
    COMMON, DATE, NOTE, OUTCOME, POINT, RECORDED, RUN, SET_ASIDE, SPECIMEN,
};
use crate::catalog::lines::fields_of;
use crate::catalog::words::meant;
use crate::problem::{Fault, Problem};
use crate::quantity::Unit;
use std::collections::HashSet;

/// A column of the lines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct FilledColumn {
    /// Its field among those of the test; `None` for the user's own.
    pub(super) field: Option<usize>,
    /// Its header, with the unit of the sheet.
    pub(crate) header: String,
    /// Whether its cells are figures.
    pub(crate) figures: bool,
}

/// One line.
#[derive(Clone, Debug)]
pub(super) struct FilledRow {
    /// Index of the sheet's line.
    pub(super) line: usize,
    /// Which of the repeats side by side it is.
    pub(super) repeat: usize,
    /// Cells in the order of the columns.
    pub(super) cells: Vec<String>,
}

/// The lines of one sheet.
pub(super) struct Filled<'a> {
    pub(super) sheet: Sheet<'a>,
    pub(super) test: &'static dyn BenchTest,
    pub(super) fields: Vec<Field>,
    pub(super) columns: Vec<FilledColumn>,
    /// The sheet's column of each column, for each repeat.
    from: Vec<Vec<Option<usize>>>,
    pub(super) rows: Vec<FilledRow>,
    pub(super) problems: Vec<Problem>,
    /// Where they stand.
    pub(super) faulty: HashSet<(usize, usize)>,
    /// What was read otherwise than it stands, in words.
    pub(super) notices: Vec<String>,
    /// Mapped headers that stood in the sheet.
    pub(super) mapped: Vec<String>,
}

impl<'a> Filled<'a> {
    /// Brings a sheet into the form of a test.
    pub(super) fn new(
        sheet: Sheet<'a>,
        test: &'static dyn BenchTest,
        maps: &Maps,
        given: &[(String, String)],
    ) -> Self {
        let mut filled = Filled {
            fields: fields_of(test, false),
            sheet,
            test,
            columns: Vec::new(),
            from: Vec::new(),
            rows: Vec::new(),
            problems: Vec::new(),
            faulty: HashSet::new(),
            notices: Vec::new(),
            mapped: Vec::new(),
        };
        for p in std::mem::take(&mut filled.sheet.problems) {
            filled.note(p);
        }
        filled.read_header(maps, given);
        filled.read_lines(given);
        filled
    }

    /// The column of a field.
    pub(super) fn column(&self, field: usize) -> Option<usize> {
        self.columns.iter().position(|c| c.field == Some(field))
    }

    /// The cell of a field in a row.
    pub(super) fn cell(&self, row: usize, field: usize) -> &str {
        self.column(field)
            .and_then(|c| self.rows.get(row)?.cells.get(c))
            .map_or("", String::as_str)
    }

    /// Writes the cell of a field in a row; the column is added where it is missing.
    pub(super) fn set(&mut self, row: usize, field: usize, text: String) {
        let c = match self.column(field) {
            Some(c) => c,
            None => self.add(field),
        };
        if let Some(cell) = self.rows.get_mut(row).and_then(|r| r.cells.get_mut(c)) {
            *cell = text;
        }
    }

    /// Adds the column of a field where it belongs in the order of the catalog's files.
    fn add(&mut self, field: usize) -> usize {
        let written = self
            .fields
            .get(field)
            .map(Field::written)
            .unwrap_or_default();
        let at = self.place_for(Some(field));
        self.columns.insert(
            at,
            FilledColumn {
                field: Some(field),
                header: written,
                figures: self.is_figure(field),
            },
        );
        for from in &mut self.from {
            from.insert(at, None);
        }
        for row in &mut self.rows {
            row.cells.insert(at, String::new());
        }
        at
    }

    fn is_figure(&self, field: usize) -> bool {
        self.fields.get(field).is_some_and(|f| f.unit.is_some())
    }

    fn place_for(&self, field: Option<usize>) -> usize {
        let rank = |f: Option<usize>| f.map_or(usize::MAX, order);
        self.columns
            .iter()
            .position(|c| rank(c.field) > rank(field))
            .unwrap_or(self.columns.len())
    }

    fn read_header(&mut self, maps: &Maps, given: &[(String, String)]) {
        // What stands where: for each field its header, its column or its numbered columns.
        let mut singles: Vec<(Option<usize>, String, usize)> = Vec::new();
        let mut repeats: Vec<(usize, String, u32, usize)> = Vec::new();
        let mut strange: Vec<(usize, String)> = Vec::new();
        let mut read_as: Vec<String> = Vec::new();
        for (column, cell) in self.sheet.header.clone() {
            let r = read(&cell, &self.fields, maps, self.test.id());
            if let Some(header) = r.mapped {
                match &r.meaning {
                    Meaning::LeftOut => read_as.push(format!("`{cell}` left out")),
                    Meaning::Own(h) | Meaning::Field { header: h, .. } => {
                        read_as.push(format!("`{cell}` as `{h}`"));
                    }
                    Meaning::Unknown => {}
                }
                self.mapped.push(header);
            }
            match r.meaning {
                Meaning::LeftOut => {}
                Meaning::Own(header) => singles.push((None, header, column)),
                Meaning::Field {
                    field,
                    header,
                    repeat: None,
                } => {
                    if singles.iter().any(|s| s.0 == Some(field)) {
                        self.header_fault(column, twice(&cell));
                    } else {
                        singles.push((Some(field), header, column));
                    }
                }
                Meaning::Field {
                    field,
                    header,
                    repeat: Some(n),
                } => {
                    if repeats.iter().any(|r| r.0 == field && r.2 == n) {
                        self.header_fault(column, twice(&cell));
                    } else {
                        repeats.push((field, header, n, column));
                    }
                }
                Meaning::Unknown => strange.push((column, cell)),
            }
        }
        if !read_as.is_empty() {
            self.notices
                .push(format!("read by the maps: {}", read_as.join(", ")));
        }
        let mut taken: Vec<usize> = singles.iter().filter_map(|s| s.0).collect();
        taken.extend(repeats.iter().map(|r| r.0));
        for (column, cell) in strange {
            let fault = match maps.column(&plain_base(&cell), self.test.id(), &|_| true) {
                Some(to) => Fault::new(
                    "map::unknown-column",
                    format!(
                        "`{cell}` is mapped to `{to}`, which is no column of a {} sheet",
                        self.test.id()
                    ),
                    format!(
                        "{} behind the `=` of `--map`",
                        meant(
                            split_header(to).0,
                            self.fields.iter().map(|f| f.name).filter(|n| !n.is_empty())
                        )
                    ),
                ),
                None => unknown(&cell, &self.fields, &taken),
            };
            self.header_fault(column, fault);
        }
        for (field, header, _, column) in &repeats {
            if singles.iter().any(|s| s.0 == Some(*field)) {
                self.header_fault(*column, twice(header));
            }
            let first = repeats.iter().find(|r| r.0 == *field);
            if first.is_some_and(|f| f.1 != *header) {
                let f = Fault::new(
                    "header::repeat-units",
                    format!("`{header}` has another unit than its repeats beside it"),
                    "give all repeats of a column one unit",
                );
                self.header_fault(*column, f);
            }
        }
        let mut numbers: Vec<u32> = repeats.iter().map(|r| r.2).collect();
        numbers.sort_unstable();
        numbers.dedup();
        self.set_columns(&singles, &repeats, &numbers);
        for (name, _) in given {
            let (bare, _) = split_header(name);
            if let Some(field) = self
                .fields
                .iter()
                .position(|f| !bare.is_empty() && f.name == bare)
                && self.column(field).is_none()
            {
                let c = self.add(field);
                if let (Some(column), true) = (self.columns.get_mut(c), name.contains('[')) {
                    column.header.clone_from(name);
                }
            }
        }
    }

    fn set_columns(
        &mut self,
        singles: &[(Option<usize>, String, usize)],
        repeats: &[(usize, String, u32, usize)],
        numbers: &[u32],
    ) {
        let mut of_all: Vec<(Option<usize>, String)> =
            singles.iter().map(|s| (s.0, s.1.clone())).collect();
        for (field, header, _, _) in repeats {
            if of_all.iter().all(|a| a.0 != Some(*field)) {
                of_all.push((Some(*field), header.clone()));
            }
        }
        of_all.sort_by_key(|(f, _)| f.map_or(usize::MAX, order));
        let one = [0];
        let numbers = if numbers.is_empty() { &one } else { numbers };
        self.from = numbers
            .iter()
            .map(|n| {
                of_all
                    .iter()
                    .map(|(field, header)| {
                        let single = singles
                            .iter()
                            .find(|s| s.0 == *field && s.1 == *header)
                            .map(|s| s.2);
                        single.or_else(|| {
                            repeats
                                .iter()
                                .find(|r| Some(r.0) == *field && r.2 == *n)
                                .map(|r| r.3)
                        })
                    })
                    .collect()
            })
            .collect();
        self.columns = of_all
            .into_iter()
            .map(|(field, header)| FilledColumn {
                field,
                figures: field.is_some_and(|f| self.is_figure(f)),
                header,
            })
            .collect();
    }

    fn header_fault(&mut self, column: usize, fault: Fault) {
        let place = self.sheet.header_place(Some(column));
        self.note(self.named(fault.at(place)));
    }

    /// A Problem whose words say the cell of a spreadsheet.
    pub(super) fn named(&self, mut p: Problem) -> Problem {
        p.what = format!("{}{}", self.sheet.cell_name(&p.at), p.what);
        p
    }

    fn read_lines(&mut self, given: &[(String, String)]) {
        let mut faults = Vec::new();
        let shared: Vec<usize> = self.shared_columns();
        for (l, line) in self.sheet.lines.iter().enumerate() {
            if let Some(column) = line.filled().find(|c| self.sheet.header_text(*c).is_none()) {
                let f = Fault::new(
                    "header::blank",
                    "this cell stands in a column without a name",
                    "name the column in the header; begin the name with `#` if it is your own",
                );
                faults.push(f.at(self.sheet.place(l, Some(column))));
            }
            let before = self.rows.len();
            for (repeat, from) in self.from.iter().enumerate() {
                let own = from
                    .iter()
                    .flatten()
                    .any(|c| !shared.contains(c) && line.cell(*c).is_some());
                let alone = self.from.len() == 1;
                if !own && !alone {
                    continue;
                }
                let mut cells = Vec::with_capacity(self.columns.len());
                for (column, source) in self.columns.iter().zip(from) {
                    let value = source.and_then(|c| line.cell(c));
                    let text = match value.map(|v| text_of(v, column)) {
                        Some(Ok(text)) => text,
                        Some(Err(f)) => {
                            faults.push(f.at(self.sheet.place(l, *source)));
                            String::new()
                        }
                        None => String::new(),
                    };
                    cells.push(text);
                }
                self.rows.push(FilledRow {
                    line: l,
                    repeat,
                    cells,
                });
            }
            // A line with nothing but what all repeats share still says something.
            if self.rows.len() == before && line.filled().next().is_some() {
                let f = Fault::new(
                    "reading::blank",
                    "none of the repeats side by side is filled on this line",
                    "fill one of them, or take the line out",
                );
                faults.push(f.at(self.sheet.place(l, None)));
            }
        }
        for p in faults {
            self.note(self.named(p));
        }
        self.give(given);
    }

    /// Columns of the sheet that all repeats take.
    fn shared_columns(&self) -> Vec<usize> {
        let Some((first, rest)) = self.from.split_first() else {
            return Vec::new();
        };
        first
            .iter()
            .flatten()
            .copied()
            .filter(|c| rest.iter().all(|f| f.contains(&Some(*c))))
            .collect()
    }

    /// Writes what was given for the whole sheet into blank cells.
    fn give(&mut self, given: &[(String, String)]) {
        for (name, text) in given {
            let (bare, _) = split_header(name);
            let Some(field) = self
                .fields
                .iter()
                .position(|f| !bare.is_empty() && f.name == bare)
            else {
                continue;
            };
            for row in 0..self.rows.len() {
                if self.cell(row, field).is_empty() {
                    self.set(row, field, text.clone());
                }
            }
        }
    }

    /// Takes out lines that were prepared and never filled: no reading, no outcome, no note,
    /// and no geometry but what other lines have too.
    pub(super) fn drop_unfilled(&mut self) {
        let speaking: Vec<usize> = (0..self.columns.len())
            .filter(|c| self.columns.get(*c).is_some_and(|c| self.speaks(c)))
            .collect();
        let geometry: Vec<usize> = (0..self.columns.len())
            .filter(|c| self.columns.get(*c).is_some_and(|c| self.is_once(c)))
            .collect();
        let filled = |row: &FilledRow, of: &[usize]| -> Vec<String> {
            of.iter()
                .filter_map(|c| row.cells.get(*c))
                .cloned()
                .collect()
        };
        let says = |row: &FilledRow| filled(row, &speaking).iter().any(|t| !t.is_empty());
        let known: HashSet<Vec<String>> = self
            .rows
            .iter()
            .filter(|r| says(r))
            .map(|r| filled(r, &geometry))
            .collect();
        let prepared = |row: &FilledRow| {
            let here = filled(row, &geometry);
            !says(row) && (here.iter().all(String::is_empty) || known.contains(&here))
        };
        let (out, kept): (Vec<FilledRow>, Vec<FilledRow>) = std::mem::take(&mut self.rows)
            .into_iter()
            .partition(prepared);
        self.rows = kept;
        let mut lines: Vec<usize> = out
            .iter()
            .filter_map(|r| self.sheet.lines.get(r.line))
            .map(|l| l.number)
            .collect();
        lines.dedup();
        match lines.as_slice() {
            [] => {}
            [one] => self.notices.push(format!(
                "line {one} holds no reading and no outcome, and is left out"
            )),
            many => self.notices.push(format!(
                "lines {} hold no reading and no outcome, and are left out",
                spans(many)
            )),
        }
    }

    /// Whether a filled cell of a column makes its line one that was filled at the bench.
    fn speaks(&self, column: &FilledColumn) -> bool {
        match column.field {
            None | Some(OUTCOME | NOTE | SET_ASIDE) => true,
            Some(f) => self.raw(f).is_some_and(|c| !c.is_set() && c.name != "time"),
        }
    }

    fn is_once(&self, column: &FilledColumn) -> bool {
        column
            .field
            .and_then(|f| self.raw(f))
            .is_some_and(|c| c.need == Need::Once)
    }

    /// The raw column of a field of the test's own.
    pub(super) fn raw(&self, field: usize) -> Option<&'static Column> {
        self.test.columns().get(field.checked_sub(COMMON.len())?)
    }

    /// The figure of a cell in the unit inside; of a bound its figure.
    pub(super) fn figure(&self, row: usize, column: &FilledColumn) -> Option<f64> {
        let field = column.field?;
        let text = self.cell(row, field);
        let reading = read_figure(text, true).ok()?.as_exact();
        let wanted = Unit::parse(self.fields.get(field)?.unit?).ok()?;
        match split_header(&column.header).1 {
            Some(u) if !u.is_empty() => {
                Some(Unit::parse_as(u, &wanted).ok()?.convert(reading, &wanted))
            }
            _ => Some(reading),
        }
    }

    /// The sheet's column of a column's header.
    pub(super) fn header_column(&self, column: usize) -> Option<usize> {
        self.from.first()?.get(column).copied().flatten()
    }

    /// The sheet's column that a column of a row came from.
    pub(super) fn origin(&self, row: usize, column: usize) -> Option<usize> {
        let repeat = self.rows.get(row)?.repeat;
        self.from.get(repeat)?.get(column).copied().flatten()
    }

    /// The place in the sheet of a column of a row; of the line where it has no such column.
    pub(super) fn place(&self, row: usize, column: Option<usize>) -> crate::problem::Place {
        let line = self.rows.get(row).map_or(usize::MAX, |r| r.line);
        self.sheet
            .place(line, column.and_then(|c| self.origin(row, c)))
    }

    /// The number of the sheet's line that a row stands on.
    pub(super) fn number(&self, row: usize) -> usize {
        self.rows
            .get(row)
            .and_then(|r| self.sheet.lines.get(r.line))
            .map_or(0, |l| l.number)
    }
}

/// `3, 5 to 8`.
pub(super) fn spans(numbers: &[usize]) -> String {
    let mut out: Vec<(usize, usize)> = Vec::new();
    for n in numbers {
        match out.last_mut() {
            Some(last) if last.1 + 1 == *n => last.1 = *n,
            _ => out.push((*n, *n)),
        }
    }
    let said: Vec<String> = out
        .into_iter()
        .map(|(a, b)| {
            if a == b {
                a.to_string()
            } else {
                format!("{a} to {b}")
            }
        })
        .collect();
    said.join(", ")
}

/// Where a field stands in the catalog's files: common columns, raw columns, then outcome,
/// set-aside log and note.
pub(super) fn order(field: usize) -> usize {
    match field {
        OUTCOME | SET_ASIDE | NOTE => field + 1_000_000,
        _ => field,
    }
}

fn twice(cell: &str) -> Fault {
    Fault::new(
        "header::twice",
        format!("the column `{cell}` stands here a second time"),
        "keep one of the two, or begin the other's header with `#`",
    )
}

fn plain_base(cell: &str) -> String {
    super::maps::plain(cell)
}

/// A cell as the catalog writes it.
fn text_of(value: &Value, column: &FilledColumn) -> Result<String, Fault> {
    let figures = column.figures;
    let date = matches!(column.field, Some(DATE | RECORDED));
    let whole = matches!(column.field, Some(RUN | SPECIMEN | POINT));
    match value {
        Value::Text(t) if date => Ok(iso_date(t.trim())),
        Value::Text(t) => Ok(t.trim().to_owned()),
        Value::Figure(x) if date => Err(Fault::new(
            "date::malformed",
            format!("`{x}` is a number and no date"),
            "format the cell as a date, or write for example `2026-05-02`",
        )),
        Value::Figure(x) => Ok(x.to_string()),
        Value::Percent(x) if figures => match split_header(&column.header).1 {
            Some("%") => Ok(hundredfold(*x)),
            None | Some("" | "1") => Ok(x.to_string()),
            Some(unit) => Err(Fault::new(
                "cell::percent",
                format!(
                    "`{} %` is in percent, and the column is in {unit}",
                    hundredfold(*x)
                ),
                "format the cell as a number, and write what was read",
            )),
        },
        Value::Percent(x) => Ok(format!("{} %", hundredfold(*x))),
        Value::Date(d) if figures || whole => Err(Fault::new(
            "number::date",
            format!("the cell holds the date {d}: a spreadsheet has turned the figure into one"),
            "type the figure again with the cell formatted as text or number",
        )),
        Value::Date(d) => Ok(d.clone()),
        Value::Time(t) if figures || whole || date => Err(Fault::new(
            "number::time",
            format!("the cell holds the time {t}: a spreadsheet has turned the figure into one"),
            "format the cell as a number, and write the figure in the unit of the header",
        )),
        Value::Time(t) => Ok(t.clone()),
        Value::Truth(b) => Ok(if *b { "TRUE" } else { "FALSE" }.to_owned()),
        Value::Error(e) => Err(Fault::new(
            "cell::error",
            format!("the formula of this cell gives `{e}`"),
            "mend the formula, or write what was read in its place",
        )),
        Value::NotReckoned => Err(Fault::new(
            "cell::not-reckoned",
            "the file does not hold what the formula of this cell gives",
            "open the file in a spreadsheet program, let it reckon, and save it",
        )),
    }
}

/// A hundred times a figure, by moving its decimal point: 0.07 is 7 and not 7.000000000000001.
fn hundredfold(x: f64) -> String {
    format!("{x}e2")
        .parse::<f64>()
        .unwrap_or(x * 100.0)
        .to_string()
}

/// `02.05.2026` as `2026-05-02`; what is no such date stays as it is.
fn iso_date(text: &str) -> String {
    let parts: Vec<&str> = text.split('.').map(str::trim).collect();
    if let [day, month, year] = parts.as_slice()
        && let (Ok(d), Ok(m), 4) = (day.parse::<u32>(), month.parse::<u32>(), year.len())
    {
        let iso = format!("{year}-{m:02}-{d:02}");
        if check_date(&iso).is_ok() {
            return iso;
        }
    }
    text.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn percent_moves_the_point_and_no_digit() {
        for (x, text) in [
            (0.07, "7"),
            (0.29, "29"),
            (1.1, "110"),
            (0.123_456_789, "12.3456789"),
        ] {
            assert_eq!(hundredfold(x), text);
        }
    }

    #[test]
    fn a_date_with_points_is_day_month_year() {
        assert_eq!(iso_date("02.05.2026"), "2026-05-02");
        assert_eq!(iso_date("2. 5. 2026"), "2026-05-02");
        assert_eq!(iso_date("31.02.2026"), "31.02.2026");
        assert_eq!(iso_date("05/02/2026"), "05/02/2026");
    }

    #[test]
    fn numbers_of_lines_are_gathered() {
        assert_eq!(spans(&[3, 5, 6, 7]), "3, 5 to 7");
    }
}
