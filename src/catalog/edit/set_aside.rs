//! The set-aside log of a run: an entry more in the cells of its lines.

use super::rewrite::{column_named, rewritten};
use crate::catalog::cells::read_set_aside;
use crate::catalog::csv_text::{CsvText, LineAt};
use crate::catalog::store::with_column;
use crate::problem::{Fault, Problem};
use std::collections::BTreeMap;
use std::ops::Range;

/// What shall be set aside, or taken back.
#[derive(Clone, Copy, Debug)]
pub(crate) struct AsideOrder<'a> {
    /// The run.
    pub(crate) run: &'a str,
    /// One specimen of it; `None` for all.
    pub(crate) specimen: Option<u32>,
    /// Whether it is taken back.
    pub(crate) back: bool,
    /// Why.
    pub(crate) reason: &'a str,
    /// The day, ISO 8601.
    pub(crate) date: &'a str,
}

/// What was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Aside {
    /// The one specimen that was asked for; `None` for all of the run.
    pub(crate) asked: Option<u32>,
    /// The specimens that changed, by number.
    pub(crate) specimens: Vec<u32>,
    /// How many lines got the entry.
    pub(crate) lines: usize,
    /// The entry, as it stands in each of them.
    pub(crate) entry: String,
    /// Whether the file had no column `set_aside` and got one.
    pub(crate) widened: bool,
}

/// One line of the run.
struct Line {
    at: LineAt,
    specimen: u32,
    log: String,
    cell: Range<usize>,
}

/// Adds an entry to the set-aside log of a run's lines in the bytes of its readings file.
///
/// Only the specimens that the entry changes get it, on each of their lines.
///
/// # Errors
/// As a Problem at the file or the line: `run::not-here`, `specimen::not-here`,
/// `set-aside::already`, `set-aside::not-aside`, `set-aside::earlier` where a
/// later entry would still count, and what is wrong with a log that is there.
pub(crate) fn set_aside(
    file: &str,
    old: &[u8],
    order: AsideOrder<'_>,
) -> Result<(Vec<u8>, Aside), Vec<Problem>> {
    let one = |p: Box<Problem>| vec![*p];
    let csv = CsvText::open(file, old).map_err(one)?;
    let Some(column) = column_named(&csv, "set_aside") else {
        let (bytes, aside) = set_aside(file, &with_column(old, &csv, "set_aside"), order)?;
        let widened = true;
        return Ok((bytes, Aside { widened, ..aside }));
    };
    let lines = lines_of(&csv, order.run, column);
    let Some(first) = lines.first() else {
        let f = Fault::new(
            "run::not-here",
            format!("no line here is of the run `{}`", order.run),
            "name a run of this file",
        );
        return Err(vec![f.at(csv.header_line_place())]);
    };
    let begins = csv.place(first.at, column_named(&csv, "run").unwrap_or(0));
    let at_run = |f: Fault| vec![f.at(begins.clone())];
    let states = states(&lines).map_err(at_run)?;
    let wanted = wanted(&states, order).map_err(at_run)?;
    let entry = entry(order);
    let mut cells = Vec::new();
    for line in lines.iter().filter(|l| wanted.contains(&l.specimen)) {
        let out = read_set_aside(&line.log, None).map_err(at_run)?.is_some();
        // What never went out needs no way back.
        if order.back && !out {
            continue;
        }
        let log = if line.log.is_empty() {
            entry.clone()
        } else {
            format!("{}; {entry}", line.log.trim_end_matches([';', ' ']))
        };
        let now_out = read_set_aside(&log, None).map_err(at_run)?.is_some();
        if now_out == order.back {
            return Err(at_run(Fault::new(
                "set-aside::earlier",
                format!(
                    "`{}` has a later entry than {}, which would still count: `{}`",
                    order.run, order.date, line.log
                ),
                "date the change on that day or later, with `--date`",
            )));
        }
        cells.push((line.cell.clone(), log));
    }
    let aside = Aside {
        asked: order.specimen,
        specimens: wanted,
        lines: cells.len(),
        entry,
        widened: false,
    };
    Ok((rewritten(old, &csv, cells), aside))
}

fn lines_of(csv: &CsvText<'_>, run: &str, column: usize) -> Vec<Line> {
    let (Some(run_column), specimen_column) =
        (column_named(csv, "run"), column_named(csv, "specimen"))
    else {
        return Vec::new();
    };
    let mut lines = Vec::new();
    csv.rows(&mut Vec::new(), |row| {
        if row.cell(run_column) != run {
            return;
        }
        let number = specimen_column.and_then(|c| row.cell(c).parse().ok());
        if let (Some(specimen), Some(cell)) = (number, csv.spans(row.at).nth(column)) {
            lines.push(Line {
                at: row.at,
                specimen,
                log: row.cell(column).to_owned(),
                cell,
            });
        }
    });
    lines
}

/// Why each specimen is set aside, if it is: its first line that is counts.
fn states(lines: &[Line]) -> Result<BTreeMap<u32, Option<String>>, Fault> {
    let mut states: BTreeMap<u32, Option<String>> = BTreeMap::new();
    for line in lines {
        let reason = read_set_aside(&line.log, None)?;
        let state = states.entry(line.specimen).or_default();
        *state = state.take().or(reason);
    }
    Ok(states)
}

/// The specimens that the entry changes.
fn wanted(
    states: &BTreeMap<u32, Option<String>>,
    order: AsideOrder<'_>,
) -> Result<Vec<u32>, Fault> {
    if let Some(n) = order.specimen
        && !states.contains_key(&n)
    {
        let known: Vec<String> = states.keys().map(u32::to_string).collect();
        return Err(Fault::new(
            "specimen::not-here",
            format!("the run `{}` has no specimen {n}", order.run),
            format!("name one of {}", known.join(", ")),
        ));
    }
    let asked = || {
        states
            .iter()
            .filter(|(n, _)| order.specimen.is_none_or(|s| s == **n))
    };
    let wanted: Vec<u32> = asked()
        .filter(|(_, reason)| reason.is_some() == order.back)
        .map(|(n, _)| *n)
        .collect();
    if !wanted.is_empty() {
        return Ok(wanted);
    }
    let who = match order.specimen {
        Some(n) => format!("specimen {n} of `{}`", order.run),
        None => format!("`{}`", order.run),
    };
    Err(match asked().find_map(|(_, reason)| reason.as_deref()) {
        Some(reason) => Fault::new(
            "set-aside::already",
            format!("{who} is set aside already: {reason}"),
            "leave it so, or take it back with `--undo`",
        ),
        None => Fault::new(
            "set-aside::not-aside",
            format!("{who} is not set aside, and counts"),
            "leave `--undo` out to set it aside",
        ),
    })
}

/// The entry of a log: in one line, and without the mark that parts entries.
fn entry(order: AsideOrder<'_>) -> String {
    let reason: Vec<&str> = order
        .reason
        .split(|c: char| c.is_whitespace() || c.is_control())
        .filter(|w| !w.is_empty())
        .collect();
    let reason = reason.join(" ").replace(';', ",");
    let word = if order.back { "in" } else { "out" };
    if reason.is_empty() {
        format!("{} {word}", order.date)
    } else {
        format!("{} {word}: {reason}", order.date)
    }
}
