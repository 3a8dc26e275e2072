//! Lines of a readings sheet gathered into runs.
//!
//! A line that is wrong spoils its specimen, never its neighbours: what is
//! given back holds only specimens all of whose lines could be read.

mod blanks;
mod condition;
pub(super) mod fields;
mod finish;
mod head;
mod own;
mod raw;
mod share;
mod specimen;

use self::blanks::{Blanks, doubt_blanks};
pub(crate) use self::fields::SURFACES;
pub(super) use self::fields::fields_of;
use self::fields::{DATE, RECORDED, RUN};
use self::finish::{ShareRead, join};
use self::head::RunHead;
pub(super) use self::share::bare;
use self::share::{Share, share_out};
use self::specimen::Gathered;
use crate::bench::{BenchTest, Cell, Point, Rig, Run};
use crate::catalog::csv_text::{CsvText, LineAt, Row};
use crate::catalog::row::Cells;
use crate::problem::{Fault, Problem};
use crate::property::Property;
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};
use std::sync::Arc;

/// From a print's id to its material and lot.
type PrintLookup<'a> = &'a (dyn Fn(&str) -> Option<Option<(&'a str, Option<&'a str>)>> + Sync);
/// From a rig's name and a date to the rig.
type RigLookup<'a> = &'a (dyn Fn(&str, Option<&str>) -> Result<Rig, Fault> + Sync);

/// What the lines of a catalog may refer to.
pub(super) struct Known<'a> {
    /// Ids of materials.csv.
    pub(super) materials: &'a BTreeSet<&'a str>,
    /// Material and lot of a print, where its line could be read; `None` where prints.csv lacks it.
    pub(super) print: PrintLookup<'a>,
    /// Reference specimens, which have no lot and no print.
    pub(super) references: &'a [&'a str],
    /// Own surfaces.
    pub(super) surfaces: &'a [&'a str],
    /// The rig of a name at a date.
    pub(super) rig: RigLookup<'a>,
    /// Runs of the files before: file and line.
    pub(super) taken: &'a HashMap<String, (Arc<str>, usize)>,
    /// The user's own properties.
    pub(super) own: &'a [&'a Property],
    /// Lines recorded after this date do not count.
    pub(super) as_of: Option<&'a str>,
}

/// A run and the line on which it begins.
pub(super) struct ReadRun {
    /// The run.
    pub(super) run: Run,
    /// Its first line.
    pub(super) at: LineAt,
    /// The first line of each specimen, by its number.
    pub(super) specimens: Vec<(u32, LineAt)>,
}

struct Gatherer<'a, 'k, 'c> {
    cells: Cells<'a>,
    test: &'static dyn BenchTest,
    known: Option<&'k Known<'c>>,
    /// Lines taken.
    lines: usize,
    runs: Vec<RunHead>,
    /// The run of the line before: the next line is mostly of the same.
    latest_run: usize,
    run_by_id: HashMap<String, usize>,
    specimens: Vec<Gathered>,
    specimen_by_key: HashMap<(usize, u32), usize>,
    bad_runs: HashSet<String>,
    /// Room for the cells of one line.
    scratch: Vec<(&'static str, Cell)>,
    /// Rigs met, by name and date.
    rigs: HashMap<(String, Option<String>), Arc<Rig>>,
    blanks: Blanks,
}

/// Reads all lines of a sheet, each of which says its run and specimen; without `known` material,
/// direction and counterface may be left out.
///
/// The runs of a catalog are shared out over threads; what is given back does not depend on how.
pub(super) fn read_lines(
    csv: &CsvText<'_>,
    test: &'static dyn BenchTest,
    known: Option<&Known<'_>>,
) -> (Vec<ReadRun>, Vec<Problem>) {
    let lines: Vec<LineAt> = csv.lines().collect();
    read_lines_at(csv, &lines, test, known)
}

/// The same of the lines that begin at these places: all lines of some runs.
pub(super) fn read_lines_at(
    csv: &CsvText<'_>,
    lines: &[LineAt],
    test: &'static dyn BenchTest,
    known: Option<&Known<'_>>,
) -> (Vec<ReadRun>, Vec<Problem>) {
    let mut cells = Cells::new(csv, fields_of(test, known.is_some()));
    let shares = match known {
        Some(_) => share_out(csv, cells.columns.column(RUN), lines),
        None => vec![Share::whole(lines)],
    };
    let read: Vec<ShareRead> = shares
        .par_iter()
        .map(|share| {
            let mut g = Gatherer::new(cells.again(), test, known);
            let mut shape = Vec::new();
            csv.rows_at(share.of(lines), &mut shape, |row| g.line(row));
            g.cells.problems.append(&mut shape);
            g.finish()
        })
        .collect();
    let any_line = read.iter().any(|r| r.lines > 0 || !r.problems.is_empty());
    let (runs, blanks) = join(read, &mut cells.problems);
    if known.is_some() {
        doubt_blanks(&mut cells, &blanks);
    } else if !any_line {
        cells.problems.push(
            Fault::new(
                "sheet::no-readings",
                "there is no line of readings below the header",
                "add a line a specimen",
            )
            .at(csv.header_line_place()),
        );
    }
    cells.problems.sort_by(|a, b| a.at.cmp(&b.at));
    (runs, cells.problems)
}

impl<'a, 'k, 'c> Gatherer<'a, 'k, 'c> {
    fn new(cells: Cells<'a>, test: &'static dyn BenchTest, known: Option<&'k Known<'c>>) -> Self {
        Gatherer {
            cells,
            test,
            known,
            lines: 0,
            runs: Vec::new(),
            latest_run: 0,
            run_by_id: HashMap::new(),
            specimens: Vec::new(),
            specimen_by_key: HashMap::new(),
            bad_runs: HashSet::new(),
            scratch: Vec::new(),
            rigs: HashMap::new(),
            blanks: BTreeMap::new(),
        }
    }

    fn fault(&mut self, row: &Row<'_>, field: usize, fault: Fault) {
        self.cells.fault(row, field, fault);
    }

    fn text<'r>(&self, row: &Row<'r>, field: usize) -> Option<&'r str> {
        self.cells.text(row, field)
    }

    fn line(&mut self, row: &Row<'_>) {
        self.lines += 1;
        if self.later_than_asked(row) {
            return;
        }
        let before = self.cells.problems.len();
        self.cells.check_nameless(row);
        let run = self.run(row);
        let specimen = run.and_then(|r| self.specimen(row, r));
        let point = specimen.and_then(|_| self.point(row));
        let aside = self.set_aside(row);
        let outcome = self.outcome(row);
        let cells = self.raw_cells(row, outcome);
        let Some(s) = specimen else { return };
        let spoilt = self.cells.problems.len() > before;
        let Some(g) = self.specimens.get_mut(s) else {
            return;
        };
        g.spoilt |= spoilt;
        if let (Some(number), false) = (point, spoilt) {
            let (cells, outcome) = cells;
            g.aside = g.aside.take().or(aside);
            g.points.push((number, row.at, Point { cells, outcome }));
        }
    }

    /// Whether the line was recorded after the date asked for.
    fn later_than_asked(&self, row: &Row<'_>) -> bool {
        let Some(as_of) = self.known.and_then(|k| k.as_of) else {
            return false;
        };
        self.text(row, RECORDED)
            .or_else(|| self.text(row, DATE))
            .is_some_and(|d| d > as_of)
    }
}
