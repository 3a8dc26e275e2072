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
mod specimen;

pub(crate) use self::fields::SURFACES;
pub(super) use self::fields::fields_of;
use self::fields::{DATE, RECORDED};
use self::head::RunHead;
use self::specimen::Gathered;
use crate::bench::{BenchTest, Point, Rig, Run};
use crate::catalog::csv_text::{CsvText, LineAt, Row};
use crate::catalog::row::Cells;
use crate::problem::{Fault, Problem};
use crate::property::Property;
use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};
use std::sync::Arc;

/// From a print's id to its material and lot.
type PrintLookup<'a> = &'a dyn Fn(&str) -> Option<Option<(&'a str, Option<&'a str>)>>;
/// From a rig's name and a date to the rig.
type RigLookup<'a> = &'a dyn Fn(&str, Option<&str>) -> Result<Rig, Fault>;

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
    pub(super) taken: &'a HashMap<String, (String, usize)>,
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
    runs: Vec<RunHead>,
    run_by_id: HashMap<String, usize>,
    /// Runs without an id, by their cells of [`ONE_PER_RUN`].
    run_by_cells: HashMap<Vec<String>, String>,
    specimens: Vec<Gathered>,
    specimen_by_key: HashMap<(usize, u32), usize>,
    bad_runs: HashSet<String>,
    /// Rigs met, by name and date.
    rigs: HashMap<(String, Option<String>), Arc<Rig>>,
    /// Cells of new runs that are blank and count as their default: how many, and the first.
    blanks: BTreeMap<usize, (usize, LineAt)>,
}

/// Reads all lines of a sheet; without `known` material, run, specimen, direction and
/// counterface may be left out.
pub(super) fn read_lines(
    csv: &CsvText<'_>,
    test: &'static dyn BenchTest,
    known: Option<&Known<'_>>,
) -> (Vec<ReadRun>, Vec<Problem>) {
    let mut g = Gatherer {
        cells: Cells::new(csv, fields_of(test, known.is_some())),
        test,
        known,
        runs: Vec::new(),
        run_by_id: HashMap::new(),
        run_by_cells: HashMap::new(),
        specimens: Vec::new(),
        specimen_by_key: HashMap::new(),
        bad_runs: HashSet::new(),
        rigs: HashMap::new(),
        blanks: BTreeMap::new(),
    };
    let mut shape = Vec::new();
    let mut lines = 0_usize;
    csv.rows(&mut shape, |row| {
        lines += 1;
        g.line(row);
    });
    if lines == 0 && shape.is_empty() && known.is_none() {
        shape.push(
            Fault::new(
                "sheet::no-readings",
                "there is no line of readings below the header",
                "add a line a specimen",
            )
            .at(csv.header_line_place()),
        );
    }
    g.cells.problems.append(&mut shape);
    g.finish()
}

impl Gatherer<'_, '_, '_> {
    fn fault(&mut self, row: &Row<'_>, field: usize, fault: Fault) {
        self.cells.fault(row, field, fault);
    }

    fn text<'r>(&self, row: &'r Row<'_>, field: usize) -> Option<&'r str> {
        self.cells.text(row, field)
    }

    fn line(&mut self, row: &Row<'_>) {
        if self.later_than_asked(row) {
            return;
        }
        let before = self.cells.problems.len();
        self.cells.check_nameless(row);
        let run = self.run(row);
        let specimen = run.and_then(|r| self.specimen(row, r));
        let point = specimen.and_then(|s| self.point(row, s));
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
