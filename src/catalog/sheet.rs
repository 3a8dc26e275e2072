//! Reading sheets: CSV in, runs out.

use crate::bench::{self, BenchTest, Need, Run};
use crate::catalog::csv_text::CsvText;
use crate::catalog::header::{Field, split_header};
use crate::catalog::lines::{fields_of, read_lines};
use crate::catalog::source::{LARGEST_CSV, Unread, read_file, shown};
use crate::problem::{Fault, Problem};
use std::sync::Arc;

/// A sheet without a catalog: its test and its runs.
pub type SheetRuns = (&'static dyn BenchTest, Vec<Arc<Run>>);

/// Reads a sheet without a catalog: the test is known by its columns; material,
/// run, specimen, point, direction and counterface may be left out.
///
/// Without run ids, lines of one material, date, rig and condition are one run.
/// Without specimen numbers each line is a specimen, but one that leaves all
/// geometry blank goes on with the curve above.
///
/// # Errors
/// Every Problem of the sheet at once.
pub fn read_sheet(file: &str, bytes: &[u8]) -> Result<SheetRuns, Vec<Problem>> {
    let csv = CsvText::open(file, bytes).map_err(|p| vec![*p])?;
    let test = recognise(&csv).map_err(|p| vec![*p])?;
    let (runs, problems) = read_lines(&csv, test, None);
    if problems.is_empty() {
        Ok((test, runs.into_iter().map(|r| Arc::new(r.run)).collect()))
    } else {
        Err(problems)
    }
}

/// How well a header fits a test: needed columns that are missing, headers that
/// are unknown to it, own columns that are there.
fn fit(csv: &CsvText<'_>, test: &dyn BenchTest) -> (usize, usize, usize) {
    let fields: Vec<Field> = fields_of(test, false);
    let names: Vec<&str> = csv
        .header
        .iter()
        .filter(|h| !h.is_empty() && !h.starts_with('#'))
        .map(|h| split_header(h).0)
        .collect();
    let has = |name: &str| names.contains(&name);
    let missing = test
        .columns()
        .iter()
        .filter(|c| c.need != Need::Optional && !has(c.name))
        .count();
    let own = test.columns().iter().filter(|c| has(c.name)).count();
    let unknown = names
        .iter()
        .filter(|n| !fields.iter().any(|f| f.name == **n))
        .count();
    (missing, unknown, own)
}

/// The test whose columns a header holds: the nearest one, the file's name deciding ties.
fn recognise(csv: &CsvText<'_>) -> Result<&'static dyn BenchTest, Box<Problem>> {
    let stem = csv
        .file
        .rsplit(['/', '\\'])
        .next()
        .and_then(|n| n.split('.').next())
        .unwrap_or("");
    let mut scored: Vec<_> = bench::tests()
        .iter()
        .map(|t| (fit(csv, *t), *t))
        .filter(|((_, _, own), _)| *own > 0)
        .collect();
    scored.sort_by_key(|((missing, unknown, own), t)| {
        (missing + unknown, std::cmp::Reverse(*own), t.id() != stem)
    });
    match scored.as_slice() {
        [] => Err(Box::new(
            Fault::new(
                "sheet::unknown-test",
                "the header has no raw column of any test",
                format!(
                    "name the columns as the sheet of a test has them ({})",
                    bench::tests()
                        .iter()
                        .map(|t| t.id())
                        .collect::<Vec<_>>()
                        .join(", ")
                ),
            )
            .at(csv.header_line_place()),
        )),
        [(a, first), (b, second), ..] if a == b && first.id() != stem => Err(Box::new(
            Fault::new(
                "sheet::two-tests",
                format!(
                    "the header fits a {} sheet as well as a {} sheet",
                    first.id(),
                    second.id()
                ),
                format!(
                    "call the file `{}.csv`, or add a column that tells them apart",
                    first.id()
                ),
            )
            .at(csv.header_line_place()),
        )),
        [(_, test), ..] => Ok(*test),
    }
}

/// Reads a sheet from disk, as [`read_sheet`].
///
/// # Errors
/// [`Unread`] where the file cannot be read, is too large, or is wrong.
pub(crate) fn read_sheet_file(path: &std::path::Path) -> Result<SheetRuns, Unread> {
    let bytes = read_file(path, LARGEST_CSV)?;
    read_sheet(&shown(path), &bytes).map_err(Unread::Problems)
}
