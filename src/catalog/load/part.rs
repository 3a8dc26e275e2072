//! Readings of which only a part is looked at: what a change needs to be checked.

use super::readings_file;
use crate::bench::BenchTest;
use crate::catalog::csv_text::{CsvText, LineAt};
use crate::catalog::lines::fields::RUN;
use crate::catalog::lines::{bare, fields_of};
use crate::catalog::row::Cells;
use crate::catalog::source::{LARGEST_CSV, Unread};
use crate::catalog::{Catalog, Source};
use std::borrow::Cow;
use std::collections::{BTreeSet, HashSet};

/// What of a test's readings a load takes in.
#[derive(Clone, Copy)]
pub(crate) enum Take<'k> {
    /// Every line.
    All,
    /// The header, and the lines of some runs; no other line is looked at.
    Of(&'k Wanted),
    /// What an earlier load gave: the file is still the same.
    Kept(&'k Catalog),
    /// What an earlier load gave, but for these runs: their lines alone are new, or changed.
    Beside(&'k Catalog, &'k HashSet<String>),
}

/// Some runs out of many.
#[derive(Clone, Debug, Default)]
pub(crate) struct Wanted {
    /// The runs to be read.
    pub(crate) runs: HashSet<String>,
    /// Of the others the ids that begin so are told.
    pub(crate) told: BTreeSet<String>,
}

/// A file of readings as far as it is looked at.
#[derive(Debug, Default)]
pub(super) struct Looked {
    /// What is to be read of it, if anything is.
    pub(super) part: Option<Part>,
    /// See [`Wanted::told`].
    pub(super) left_out: BTreeSet<String>,
}

/// A file, and what is to be read of it.
#[derive(Debug)]
pub(super) struct Part {
    /// Its bytes.
    pub(super) bytes: Cow<'static, [u8]>,
    /// The lines to be read; `None` for all.
    pub(super) lines: Option<Vec<LineAt>>,
}

/// Looks at the readings of a test.
///
/// # Errors
/// As [`Source::read`].
pub(super) fn look(
    source: &Source,
    test: &'static dyn BenchTest,
    take: Take<'_>,
) -> Result<Looked, Unread> {
    let none = BTreeSet::new();
    let (runs, told) = match take {
        Take::Kept(_) => return Ok(Looked::default()),
        Take::All => (None, &none),
        Take::Of(wanted) => (Some(&wanted.runs), &wanted.told),
        Take::Beside(_, runs) => (Some(runs), &none),
    };
    let name = readings_file(test.id());
    let mut looked = Looked::default();
    let Some(bytes) = source.read(&name, LARGEST_CSV)? else {
        return Ok(looked);
    };
    let mut chosen = None;
    if let Some(runs) = runs
        && let Ok(csv) = CsvText::open(&name, &bytes)
    {
        let cells = Cells::new(&csv, fields_of(test, true));
        let lines = if cells.columns.has(RUN) {
            let column = cells.columns.column(RUN);
            lines_of(&csv, column, runs, told, &mut looked.left_out)
        } else {
            Vec::new()
        };
        if lines.is_empty() && cells.problems.is_empty() {
            return Ok(looked);
        }
        chosen = Some(lines);
    }
    looked.part = Some(Part {
        bytes,
        lines: chosen,
    });
    Ok(looked)
}

/// Where the lines of some runs begin; ids of the others that begin with a word of `told` go to
/// `left_out`.
fn lines_of(
    csv: &CsvText<'_>,
    column: usize,
    runs: &HashSet<String>,
    told: &BTreeSet<String>,
    left_out: &mut BTreeSet<String>,
) -> Vec<LineAt> {
    let mut before = ("", false);
    csv.lines()
        .filter(|at| {
            let written = csv.written(*at, column);
            if written != before.0 {
                let id = bare(written);
                let wanted = runs.contains(id);
                if !wanted && told.iter().any(|t| id.starts_with(t.as_str())) {
                    left_out.insert(id.to_owned());
                }
                before = (written, wanted);
            }
            before.1
        })
        .collect()
}
