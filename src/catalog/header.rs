//! Header cells matched to the columns that a file may have.

use crate::catalog::csv_text::{CsvText, Row};
use crate::catalog::words::meant;
use crate::problem::{Fault, Problem};
use crate::quantity::{Reading, Unit, parse_reading};

/// A column that a file may have.
#[derive(Clone, Copy, Debug)]
pub(super) struct Field {
    /// Name without unit.
    pub(super) name: &'static str,
    /// Canonical unit of a column of figures.
    pub(super) unit: Option<&'static str>,
    /// Whether the header must name it.
    pub(super) needed: bool,
}

impl Field {
    /// A column of text.
    pub(super) const fn text(name: &'static str, needed: bool) -> Self {
        Field {
            name,
            unit: None,
            needed,
        }
    }
    /// A column of figures.
    pub(super) const fn figure(name: &'static str, unit: &'static str, needed: bool) -> Self {
        Field {
            name,
            unit: Some(unit),
            needed,
        }
    }
    /// Whether its header must state the unit.
    fn states_unit(&self) -> bool {
        self.unit.is_some_and(|u| {
            !matches!(
                u,
                "1" | "turns" | "cycles" | "strokes" | "shoreA" | "shoreD"
            )
        })
    }
    /// As its header should read.
    pub(super) fn written(&self) -> String {
        match self.unit {
            Some(u) if self.states_unit() => format!("{} [{u}]", self.name),
            _ => self.name.to_owned(),
        }
    }
}

/// Splits `force [kgf]` into name and unit.
pub(super) fn split_header(cell: &str) -> (&str, Option<&str>) {
    match cell.split_once('[') {
        Some((name, rest)) => (name.trim(), Some(rest.trim().trim_end_matches(']').trim())),
        None => (cell.trim(), None),
    }
}

/// A matched column: where it stands and how its figures convert.
#[derive(Clone, Debug)]
struct Found {
    column: usize,
    conversion: Option<(Unit, Unit)>,
}

/// All fields of a file, matched to its header.
#[derive(Clone, Debug)]
pub(super) struct Columns {
    found: Vec<Option<Found>>,
    /// Columns with a blank header.
    blank: Vec<usize>,
    decimal_comma: bool,
}

impl Columns {
    /// Matches the header of `csv` to `fields`.
    ///
    /// Problems: `header::unknown`, `header::twice`, `header::missing`,
    /// `header::unit-missing`, `header::unit-not-taken` and `unit::*`.
    pub(super) fn find(csv: &CsvText<'_>, fields: &[Field], problems: &mut Vec<Problem>) -> Self {
        let mut found: Vec<Option<Found>> = vec![None; fields.len()];
        let mut spoilt = vec![false; fields.len()];
        let mut blank = Vec::new();
        for (column, cell) in csv.header.iter().enumerate() {
            if cell.is_empty() {
                blank.push(column);
                continue;
            }
            if cell.starts_with('#') {
                continue;
            }
            let (name, unit) = split_header(cell);
            let mut fault = |f: Fault| problems.push(f.at(csv.header_place(column)));
            let Some(k) = fields.iter().position(|f| f.name == name) else {
                let free = fields
                    .iter()
                    .zip(&found)
                    .filter(|(_, f)| f.is_none())
                    .map(|(f, _)| f.name);
                fault(Fault::new(
                    "header::unknown",
                    format!("`{name}` is not a column of this sheet"),
                    format!(
                        "{}, or begin the header with `#` to keep it as your own column",
                        meant(name, free)
                    ),
                ));
                continue;
            };
            let field = &fields[k];
            if found[k].is_some() || spoilt[k] {
                fault(Fault::new(
                    "header::twice",
                    format!("the column `{name}` stands here a second time"),
                    "keep one of the two, or begin the other's header with `#`",
                ));
                continue;
            }
            match conversion(field, unit) {
                Ok(conversion) => found[k] = Some(Found { column, conversion }),
                Err(f) => {
                    spoilt[k] = true;
                    fault(f);
                }
            }
        }
        for (k, field) in fields.iter().enumerate() {
            if field.needed && found[k].is_none() && !spoilt[k] {
                problems.push(
                    Fault::new(
                        "header::missing",
                        format!("the column `{}` is missing", field.name),
                        format!("add a column `{}`", field.written()),
                    )
                    .at(csv.header_line_place()),
                );
            }
        }
        Columns {
            found,
            blank,
            decimal_comma: csv.decimal_comma(),
        }
    }

    /// Whether the header has a field.
    pub(super) fn has(&self, field: usize) -> bool {
        self.found.get(field).is_some_and(Option::is_some)
    }

    /// The column of a field, for places; the first where the header lacks it.
    pub(super) fn column(&self, field: usize) -> usize {
        self.found
            .get(field)
            .and_then(Option::as_ref)
            .map_or(0, |f| f.column)
    }

    /// The cell of a field; `None` where it is blank or has no column.
    pub(super) fn text<'r>(&self, field: usize, row: &Row<'r>) -> Option<&'r str> {
        let f = self.found.get(field)?.as_ref()?;
        Some(row.cell(f.column)).filter(|c| !c.is_empty())
    }

    /// The figure of a cell, in the field's canonical unit.
    ///
    /// # Errors
    /// As [`parse_reading`], and `number::thousands`.
    pub(super) fn reading(&self, field: usize, cell: &str) -> Result<Reading, Fault> {
        let reading = read_figure(cell, self.decimal_comma)?;
        Ok(match self.found.get(field).and_then(Option::as_ref) {
            Some(Found {
                conversion: Some((from, to)),
                ..
            }) => reading.map(|x| from.convert(x, to)),
            _ => reading,
        })
    }

    /// The figure of a cell as it is written, in no unit.
    ///
    /// # Errors
    /// As [`parse_reading`], and `number::thousands`.
    pub(super) fn figure_alone(&self, cell: &str) -> Result<Reading, Fault> {
        read_figure(cell, self.decimal_comma)
    }

    /// A cell under a blank header, if there is one that is filled.
    pub(super) fn nameless(&self, row: &Row<'_>) -> Option<usize> {
        self.blank
            .iter()
            .copied()
            .find(|c| !row.cell(*c).is_empty())
    }
}

fn conversion(field: &Field, unit: Option<&str>) -> Result<Option<(Unit, Unit)>, Fault> {
    let Some(canonical) = field.unit else {
        return match unit {
            Some(u) if !u.is_empty() => Err(Fault::new(
                "header::unit-not-taken",
                format!("`{}` holds words and takes no unit `{u}`", field.name),
                format!("write `{}`", field.name),
            )),
            _ => Ok(None),
        };
    };
    let wanted = Unit::parse(canonical)?;
    let Some(written) = unit.filter(|u| !u.is_empty()) else {
        return if field.states_unit() {
            Err(Fault::new(
                "header::unit-missing",
                format!(
                    "`{}` has no unit, and takes {}",
                    field.name,
                    wanted.dimension().describe()
                ),
                format!("write `{}` if that is what was meant", field.written()),
            ))
        } else {
            Ok(None)
        };
    };
    let from = Unit::parse_as(written, &wanted)?;
    if let Some(f) = from.conversion_fault(&wanted, written, field.name) {
        return Err(f);
    }
    Ok((from != wanted).then_some((from, wanted)))
}

/// A figure or bound of a cell, with the decimal comma of files that do not separate by commas.
///
/// # Errors
/// As [`parse_reading`], and `number::thousands`.
pub(super) fn read_figure(cell: &str, decimal_comma: bool) -> Result<Reading, Fault> {
    if cell
        .bytes()
        .next()
        .is_some_and(|b| b.is_ascii_digit() || b == b'-')
        && let Ok(x) = cell.parse::<f64>()
        && x.is_finite()
    {
        return Ok(Reading::Exact(x));
    }
    if decimal_comma && cell.contains(',') {
        let plain = cell.replace("..", " ");
        if plain.contains('.') || cell.split("..").any(|p| p.matches(',').count() > 1) {
            return Err(Fault::new(
                "number::thousands",
                format!("`{cell}` has a mark between the thousands"),
                "write the figure without one, for example `1234,5`",
            ));
        }
        return parse_reading(&cell.replace(',', "."));
    }
    parse_reading(cell).map_err(|f| {
        if f.code != "number::comma" {
            return f;
        }
        Fault {
            what: format!("`{cell}` has a comma, and this file separates its cells by commas"),
            fix: format!(
                "{}, or save the sheet with semicolons or tabs between the cells",
                f.fix
            ),
            ..f
        }
    })
}
