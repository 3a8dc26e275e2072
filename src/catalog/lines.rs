//! Lines of a readings sheet gathered into runs.
//!
//! A line that is wrong spoils its specimen, never its neighbours: what is
//! given back holds only specimens all of whose lines could be read.

mod condition;
mod raw;

use self::raw::blank_cell;
use crate::bench::{BenchTest, Cell, Kind, Need, Point, Rig, Run, Specimen};
use crate::catalog::csv_text::{CsvText, LineAt, Row};
use crate::catalog::header::Field;
use crate::catalog::prints::unknown_material;
use crate::catalog::row::Cells;
use crate::catalog::words::check_id;
use crate::problem::{Fault, Problem, Severity};
use crate::property::Condition;
use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};

/// The common columns of every sheet, in the order a sheet has them.
pub(super) const COMMON: &[Field] = &[
    Field::text("run", false),
    Field::text("specimen", false),
    Field::text("point", false),
    Field::text("date", false),
    Field::text("recorded", false),
    Field::text("operator", false),
    Field::text("material", false),
    Field::text("lot", false),
    Field::text("print", false),
    Field::text("rig", false),
    Field::text("direction", false),
    Field::text("face", false),
    Field::figure("temperature", "degC", false),
    Field::text("moisture", false),
    Field::text("annealed", false),
    Field::text("counterface", false),
    Field::text("outcome", false),
    Field::text("set_aside", false),
    Field::text("note", false),
];
const RUN: usize = 0;
const SPECIMEN: usize = 1;
const POINT: usize = 2;
const DATE: usize = 3;
const RECORDED: usize = 4;
const OPERATOR: usize = 5;
const MATERIAL: usize = 6;
const LOT: usize = 7;
const PRINT: usize = 8;
const RIG: usize = 9;
const DIRECTION: usize = 10;
const FACE: usize = 11;
const TEMPERATURE: usize = 12;
const MOISTURE: usize = 13;
const ANNEALED: usize = 14;
const COUNTERFACE: usize = 15;
const OUTCOME: usize = 16;
const SET_ASIDE: usize = 17;

/// What must be equal on all lines of a run.
const ONE_PER_RUN: &[usize] = &[
    MATERIAL,
    DATE,
    RIG,
    DIRECTION,
    FACE,
    TEMPERATURE,
    MOISTURE,
    ANNEALED,
    COUNTERFACE,
];

/// Fields that lint doubts where they are blank, and what blank counts as.
const BLANK_MEANS: &[(usize, &str)] = &[
    (LOT, "one unknown lot"),
    (PRINT, "one unnamed print a run"),
    (RIG, "an unlisted rig, with default resolution and no bias"),
    (TEMPERATURE, "23 degC"),
    (MOISTURE, "room"),
];

/// Surfaces that every workspace knows.
pub(crate) const SURFACES: &[&str] = &[
    "steel-smooth",
    "steel-painted",
    "aluminium",
    "glass",
    "tile",
    "wood",
    "painted-wood",
    "concrete",
    "rubber",
    "skin",
    "self",
    "same-polymer",
];

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
    /// Own surfaces.
    pub(super) surfaces: &'a [&'a str],
    /// The rig of a name at a date.
    pub(super) rig: RigLookup<'a>,
    /// Runs of the files before: file and line.
    pub(super) taken: &'a HashMap<String, (String, usize)>,
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

/// The fields that a test's sheet may have: the common ones, then the test's own.
///
/// Where both have a name (the temperature of a softening run) the test's counts.
pub(super) fn fields_of(test: &dyn BenchTest, in_catalog: bool) -> Vec<Field> {
    let raw = test.columns();
    let common = COMMON.iter().enumerate().map(|(k, f)| {
        if raw.iter().any(|c| c.name == f.name) {
            return Field::text("", false);
        }
        let needed = in_catalog
            && (matches!(k, RUN | SPECIMEN | MATERIAL)
                || k == DIRECTION && test.needs_direction()
                || k == COUNTERFACE && test.needs_counterface());
        Field { needed, ..*f }
    });
    let own = raw.iter().map(|c| Field {
        name: c.name,
        unit: match c.kind {
            Kind::Number { unit, .. } => Some(unit),
            Kind::Word(_) => None,
        },
        needed: c.need != Need::Optional,
    });
    common.chain(own).collect()
}

/// One run as its lines come in.
struct RunHead {
    id: String,
    /// The cells of [`ONE_PER_RUN`] on its first line.
    cells: Vec<String>,
    at: LineAt,
    material: Option<String>,
    date: Option<String>,
    rig: Rig,
    condition: Condition,
    specimens: u32,
}

/// One specimen as its lines come in.
struct Gathered {
    run: usize,
    lot: Option<String>,
    print: Option<String>,
    number: u32,
    operator: Option<String>,
    aside: Option<String>,
    spoilt: bool,
    points: Vec<(u32, LineAt, Point)>,
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

    fn run(&mut self, row: &Row<'_>) -> Option<usize> {
        let written = self.text(row, RUN);
        let id = match (written, self.known) {
            (Some(id), _) => id.to_owned(),
            (None, Some(_)) => {
                if self.cells.columns.has(RUN) {
                    let f = Fault::new(
                        "run::blank",
                        "the line does not say which run it belongs to",
                        "write the run's id, for example `r-014`",
                    );
                    self.fault(row, RUN, f);
                }
                return None;
            }
            // Without ids, lines that share material, date, rig and condition are one run.
            (None, None) => {
                let cells = self.one_per_run(row);
                let next = format!("run-{}", self.run_by_cells.len() + 1);
                self.run_by_cells.entry(cells).or_insert(next).clone()
            }
        };
        if let Some(&r) = self.run_by_id.get(&id) {
            return self.same_run(row, r).then_some(r);
        }
        if self.bad_runs.contains(&id) {
            return None;
        }
        match self.new_run(row, &id) {
            Some(head) => {
                self.runs.push(head);
                let r = self.runs.len() - 1;
                self.run_by_id.insert(id, r);
                Some(r)
            }
            None => {
                self.bad_runs.insert(id);
                None
            }
        }
    }

    fn one_per_run(&self, row: &Row<'_>) -> Vec<String> {
        ONE_PER_RUN
            .iter()
            .map(|f| self.text(row, *f).unwrap_or("").to_owned())
            .collect()
    }

    /// Whether the line agrees with the first line of its run.
    fn same_run(&mut self, row: &Row<'_>, r: usize) -> bool {
        let mut differs = None;
        if let Some(head) = self.runs.get(r) {
            for (f, first) in ONE_PER_RUN.iter().zip(&head.cells) {
                let here = self.text(row, *f).unwrap_or("");
                let equal = here == first
                    || *f == TEMPERATURE
                        && self.cells.columns.reading(*f, here).ok()
                            == self.cells.columns.reading(*f, first).ok()
                        && !here.is_empty();
                if !equal {
                    differs = Some((*f, here.to_owned(), first.clone(), head.at.line));
                    break;
                }
            }
        }
        let Some((f, here, first, line)) = differs else {
            return true;
        };
        let name = COMMON.get(f).map_or("", |c| c.name);
        let blank = |s: &str| {
            if s.is_empty() {
                "blank".to_owned()
            } else {
                format!("`{s}`")
            }
        };
        self.fault(
            row,
            f,
            Fault::new(
                "run::mixed",
                format!(
                    "`{name}` is {} here and {} on line {line} of the same run",
                    blank(&here),
                    blank(&first)
                ),
                "a run is one material, date, rig and condition: give these lines a run of their own, or correct the cell",
            ),
        );
        false
    }

    fn new_run(&mut self, row: &Row<'_>, id: &str) -> Option<RunHead> {
        let before = self.cells.problems.len();
        let in_catalog = self.known.is_some();
        if let Err(f) = check_id(id, "run") {
            self.fault(row, RUN, f);
        }
        if let Some((file, line)) = self.known.and_then(|k| k.taken.get(id)) {
            let f = Fault::new(
                "run::taken",
                format!("the run `{id}` stands already in {file}, line {line}"),
                "give this run another id",
            );
            self.fault(row, RUN, f);
        }
        let material = self.cells.id(row, MATERIAL, "material");
        if material.is_none() && in_catalog && self.cells.columns.has(MATERIAL) {
            let f = Fault::new(
                "material::blank",
                "the line does not say which material was tested",
                "write the material's id as in materials.csv",
            );
            self.fault(row, MATERIAL, f);
        }
        if let (Some(m), Some(k)) = (&material, self.known)
            && !k.materials.contains(m.as_str())
        {
            let f = unknown_material(m, k.materials);
            self.fault(row, MATERIAL, f);
        }
        let date = self.cells.date(row, DATE);
        self.cells.date(row, RECORDED);
        let condition = self.condition(row);
        let rig = self.rig(row, date.as_deref());
        if self.cells.problems.len() > before {
            return None;
        }
        self.note_blanks(row);
        Some(RunHead {
            id: id.to_owned(),
            cells: self.one_per_run(row),
            at: row.at,
            material,
            date,
            rig,
            condition,
            specimens: 0,
        })
    }

    /// Counts the cells of a new run that say nothing and so count as their default.
    fn note_blanks(&mut self, row: &Row<'_>) {
        for (field, _) in BLANK_MEANS {
            let own = self
                .test
                .columns()
                .iter()
                .any(|c| COMMON.get(*field).is_some_and(|f| f.name == c.name));
            let said = self.text(row, *field).is_some()
                || *field == LOT && self.text(row, PRINT).is_some();
            if !own && !said {
                let first = self.blanks.entry(*field).or_insert((0, row.at));
                first.0 += 1;
            }
        }
    }

    /// A doubt a field whose blanks count as a default.
    fn doubt_blanks(&mut self) {
        for (field, means) in BLANK_MEANS {
            let Some((n, at)) = self.blanks.get(field).copied() else {
                continue;
            };
            let name = COMMON.get(*field).map_or("", |c| c.name);
            let runs = if n == 1 {
                "1 run leaves".to_owned()
            } else {
                format!("{n} runs leave")
            };
            let at = if self.cells.columns.has(*field) {
                self.cells.place(at, *field)
            } else {
                self.cells.csv.header_line_place()
            };
            self.cells.problems.push(Problem {
                severity: Severity::Doubt,
                ..Fault::new(
                    "run::blank-cell",
                    format!("{runs} `{name}` blank: {means}"),
                    format!("fill `{name}` where you know it"),
                )
                .at(at)
            });
        }
    }

    fn specimen(&mut self, row: &Row<'_>, r: usize) -> Option<usize> {
        let number = match self.text(row, SPECIMEN) {
            Some(cell) => match cell.parse::<u32>() {
                Ok(n) if n > 0 => n,
                _ => {
                    let f = Fault::new(
                        "specimen::malformed",
                        format!("`{cell}` is not the number of a specimen"),
                        "write 1, 2, 3 ...",
                    );
                    self.fault(row, SPECIMEN, f);
                    return None;
                }
            },
            None if self.known.is_some() => {
                if self.cells.columns.has(SPECIMEN) {
                    let f = Fault::new(
                        "specimen::blank",
                        "the line does not say which specimen it is",
                        "write its number within the run: 1, 2, 3 ...",
                    );
                    self.fault(row, SPECIMEN, f);
                }
                return None;
            }
            None => {
                let last = self.runs.get(r).map_or(0, |h| h.specimens);
                if self.continues(row) {
                    last.max(1)
                } else {
                    last + 1
                }
            }
        };
        if let Some(h) = self.runs.get_mut(r) {
            h.specimens = h.specimens.max(number);
        }
        let (lot, print) = self.lot_and_print(row, r);
        if let Some(&s) = self.specimen_by_key.get(&(r, number)) {
            let same = self
                .specimens
                .get(s)
                .is_some_and(|g| g.lot == lot && g.print == print);
            if !same {
                let f = Fault::new(
                    "specimen::two-prints",
                    format!("specimen {number} stands under another print or lot above"),
                    "correct the cell, or give this specimen a number of its own",
                );
                self.fault(
                    row,
                    if self.cells.columns.has(PRINT) {
                        PRINT
                    } else {
                        LOT
                    },
                    f,
                );
            }
            return Some(s);
        }
        self.specimens.push(Gathered {
            run: r,
            lot,
            print,
            number,
            operator: self.text(row, OPERATOR).map(str::to_owned),
            aside: None,
            spoilt: false,
            points: Vec::new(),
        });
        let s = self.specimens.len() - 1;
        self.specimen_by_key.insert((r, number), s);
        Some(s)
    }

    /// Without specimen numbers: whether the line goes on with the curve above,
    /// that is, leaves all geometry blank or says a later point.
    fn continues(&self, row: &Row<'_>) -> bool {
        if let Some(p) = self.text(row, POINT) {
            return p != "1";
        }
        let mut once = self
            .test
            .columns()
            .iter()
            .enumerate()
            .filter(|(i, c)| c.need == Need::Once && self.cells.columns.has(COMMON.len() + i))
            .peekable();
        once.peek().is_some() && once.all(|(i, _)| self.text(row, COMMON.len() + i).is_none())
    }

    fn lot_and_print(&mut self, row: &Row<'_>, r: usize) -> (Option<String>, Option<String>) {
        let mut lot = self.text(row, LOT).map(str::to_owned);
        let print = self.cells.id(row, PRINT, "print");
        let Some(k) = self.known else {
            return (lot, print);
        };
        if let Some(p) = &print {
            match (k.print)(p) {
                None => {
                    let f = Fault::new(
                        "print::unknown",
                        format!("the print `{p}` is not in prints.csv"),
                        "correct it, add the print to prints.csv, or leave the cell blank",
                    );
                    self.fault(row, PRINT, f);
                }
                Some(None) => {}
                Some(Some((material, print_lot))) => {
                    let own = self.runs.get(r).and_then(|h| h.material.clone());
                    if let Some(own) = own
                        && own != material
                    {
                        let f = Fault::new(
                            "print::other-material",
                            format!(
                                "the print `{p}` is of `{material}`, and the run is of `{own}`"
                            ),
                            "correct the print or the material",
                        );
                        self.fault(row, PRINT, f);
                    }
                    match (&lot, print_lot) {
                        (Some(here), Some(there)) if here != there => {
                            let f = Fault::new(
                                "print::other-lot",
                                format!(
                                    "the print `{p}` is of lot `{there}`, and the line says `{here}`"
                                ),
                                "correct the lot, or leave it blank",
                            );
                            self.fault(row, LOT, f);
                        }
                        (None, Some(there)) => lot = Some(there.to_owned()),
                        _ => {}
                    }
                }
            }
        }
        (lot, print)
    }

    fn point(&mut self, row: &Row<'_>, s: usize) -> Option<u32> {
        match self.text(row, POINT) {
            Some(cell) => match cell.parse::<u32>() {
                Ok(n) if n > 0 => Some(n),
                _ => {
                    let f = Fault::new(
                        "point::malformed",
                        format!("`{cell}` is not the number of a point"),
                        "write 1, 2, 3 ... in the order of time",
                    );
                    self.fault(row, POINT, f);
                    None
                }
            },
            None if self.known.is_some() => Some(1),
            None => {
                let last = self
                    .specimens
                    .get(s)
                    .and_then(|g| g.points.iter().map(|p| p.0).max());
                Some(last.unwrap_or(0).saturating_add(1))
            }
        }
    }

    fn finish(mut self) -> (Vec<ReadRun>, Vec<Problem>) {
        let specimens = std::mem::take(&mut self.specimens);
        let mut runs: Vec<ReadRun> = Vec::new();
        // Specimens of one run, print, lot and set-aside reason stand together.
        type Together = (usize, Option<String>, Option<String>, Option<String>);
        let mut place_of: HashMap<Together, usize> = HashMap::new();
        for mut g in specimens {
            g.points.sort_by_key(|p| (p.0, p.1));
            if !self.complete(&g) {
                continue;
            }
            let Some(head) = self.runs.get(g.run) else {
                continue;
            };
            let at = g.points.first().map_or(head.at, |p| p.1);
            let specimen = Specimen {
                number: g.number,
                operator: g.operator,
                points: g.points.into_iter().map(|p| p.2).collect(),
                condition: head.condition.clone(),
                density_g_cm3: None,
                hammer_j: None,
            };
            let key = (g.run, g.lot.clone(), g.print.clone(), g.aside.clone());
            let k = *place_of.entry(key).or_insert_with(|| {
                runs.push(ReadRun {
                    run: Run {
                        id: head.id.clone(),
                        test: self.test.id(),
                        material: head.material.clone(),
                        lot: g.lot,
                        print: g.print,
                        date: head.date.clone(),
                        rig: head.rig.clone(),
                        condition: head.condition.clone(),
                        specimens: Vec::new(),
                        set_aside: g.aside,
                    },
                    at: head.at,
                    specimens: Vec::new(),
                });
                runs.len() - 1
            });
            if let Some(r) = runs.get_mut(k) {
                r.specimens.push((specimen.number, at));
                r.run.specimens.push(specimen);
            }
        }
        for r in &mut runs {
            r.run.specimens.sort_by_key(|s| s.number);
        }
        if self.known.is_some() {
            self.doubt_blanks();
        }
        self.cells.problems.sort_by(|a, b| a.at.cmp(&b.at));
        (runs, self.cells.problems)
    }

    /// Whether a specimen's lines are one each and its geometry is there once.
    fn complete(&mut self, g: &Gathered) -> bool {
        if g.spoilt || g.points.is_empty() {
            return false;
        }
        let before = self.cells.problems.len();
        for pair in g.points.windows(2) {
            if let [a, b] = pair
                && a.0 == b.0
            {
                let field = if self.cells.columns.has(POINT) {
                    POINT
                } else {
                    SPECIMEN
                };
                let place = self.cells.csv.place(b.1, self.cells.columns.column(field));
                let id = self.runs.get(g.run).map_or("", |r| r.id.as_str());
                self.cells.problems.push(
                    Fault::new(
                        "key::twice",
                        format!(
                            "run `{id}`, specimen {}, point {} stands already on line {}",
                            g.number, b.0, a.1.line
                        ),
                        "give this line the next specimen or point, or take it out",
                    )
                    .at(place),
                );
            }
        }
        let no_evidence = g.points.iter().any(|p| p.2.outcome.no_evidence());
        for (i, column) in self.test.columns().iter().enumerate() {
            let field = COMMON.len() + i;
            if column.need != Need::Once || !self.cells.columns.has(field) {
                continue;
            }
            let mut first: Option<&Cell> = None;
            for (_, at, point) in &g.points {
                let Some(cell) = point.cells.get(column.name) else {
                    continue;
                };
                if first.is_some_and(|f| f != cell) {
                    let place = self.cells.csv.place(*at, self.cells.columns.column(field));
                    self.cells.problems.push(
                        Fault::new(
                            "reading::differs",
                            format!("`{}` differs from the specimen's first line", column.name),
                            "write it on the first line only, or equal on all",
                        )
                        .at(place),
                    );
                }
                first = first.or(Some(cell));
            }
            if first.is_none()
                && !no_evidence
                && let Some((_, at, _)) = g.points.first()
            {
                let place = self.cells.csv.place(*at, self.cells.columns.column(field));
                self.cells.problems.push(blank_cell(column).at(place));
            }
        }
        self.cells.problems.len() == before
    }
}
