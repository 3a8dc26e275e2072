//! Recording: the lines of filled sheets into the files of a catalog, checked before anything is written.

use super::assign::Runs;
use super::check::renumbered;
use super::fill::{Filled, FilledColumn};
use super::{Ask, Intake, KeptMaps, Maps, grouped};
use crate::bench::{BenchTest, Run};
use crate::catalog::csv_text::CsvText;
use crate::catalog::header::{read_figure, split_header};
use crate::catalog::json::{MAPS, maps_text, read_maps};
use crate::catalog::lines::fields::{COMMON, COUNTERFACE, DIRECTION, MATERIAL, RECORDED, RUN};
use crate::catalog::lines::fields_of;
use crate::catalog::load::{Base, Take, Wanted, readings_file};
use crate::catalog::source::{LARGEST_CSV, LARGEST_JSON, Unread};
use crate::catalog::text::{json_text, line_ends};
use crate::catalog::workspace::tests_beside;
use crate::catalog::{Catalog, Change, FileFault, NewColumn, Source, append_lines};
use crate::problem::{Fault, Problem, Severity};
use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};

/// What is to be recorded.
pub(crate) struct Request<'r> {
    /// Files as shown, with their bytes.
    pub(crate) files: &'r [(String, Vec<u8>)],
    /// Maps given now.
    pub(crate) maps: &'r [(String, String)],
    /// Columns and values for all lines whose own cell is blank.
    pub(crate) given: &'r [(String, String)],
    /// The test, where it was named.
    pub(crate) test: Option<&'static dyn BenchTest>,
    /// The day of recording.
    pub(crate) recorded: &'r str,
}

/// What one sheet adds.
#[derive(Clone, Debug)]
pub(crate) struct Recorded {
    /// The sheet.
    pub(crate) sheet: String,
    /// Its test.
    pub(crate) test: &'static str,
    /// The file that grows, as shown.
    pub(crate) into: String,
    /// How many lines.
    pub(crate) lines: usize,
    /// The runs they belong to, in their order.
    pub(crate) runs: Vec<String>,
}

/// Everything that recording changes.
pub(crate) struct Recording {
    /// A line a sheet.
    pub(crate) sheets: Vec<Recorded>,
    /// What was read otherwise than it stands, and what was done beside.
    pub(crate) notices: Vec<String>,
    /// The files as they will be.
    pub(crate) changes: Vec<Change>,
    /// The catalog as it stands, as far as it was read.
    pub(crate) before: Catalog,
    /// The same as it will be.
    pub(crate) after: Catalog,
}

/// Why nothing is recorded.
pub(crate) enum NotRecorded {
    /// A file could not be read.
    File(FileFault),
    /// The sheets are wrong, or lines of them do not go with the catalog.
    Problems(Vec<Problem>),
    /// The catalog is wrong as it stands.
    Catalog(Vec<Problem>),
}

impl From<FileFault> for NotRecorded {
    fn from(f: FileFault) -> Self {
        NotRecorded::File(f)
    }
}

impl From<Unread> for NotRecorded {
    fn from(u: Unread) -> Self {
        match u {
            Unread::Fault(f) => NotRecorded::File(f),
            Unread::Problems(p) => NotRecorded::Problems(p),
        }
    }
}

/// Works out what recording would change; writes nothing.
///
/// Of the catalog it reads the tables, the readings of the tests in the sheets and of those that
/// give the same properties, and of all others what runs they have. Cases are judged by
/// all of it: where there is one, every file is read.
///
/// # Errors
/// Every Problem of what was read of the catalog; else every Problem of all sheets at once, each
/// at its place in them.
pub(crate) fn prepare(source: &Source, request: &Request<'_>) -> Result<Recording, NotRecorded> {
    let old_maps = bytes_of(source, MAPS, LARGEST_JSON)?;
    let kept = match &old_maps {
        Some(bytes) => {
            let file = source.shown(MAPS);
            json_text(&file, bytes)
                .map_err(|p| vec![*p])
                .and_then(|text| read_maps(&file, text))
                .map_err(NotRecorded::Problems)?
        }
        None => KeptMaps::default(),
    };
    let maps = Maps::new(request.maps, kept);
    let ask = Ask {
        maps: &maps,
        given: request.given,
        test: request.test,
    };
    let mut problems = Vec::new();
    let mut notices = Vec::new();
    let mut filled = Vec::new();
    for (file, bytes) in request.files {
        match Intake::open(file, bytes, ask) {
            Ok(mut intake) => {
                notices.append(&mut intake.notices);
                filled.append(&mut intake.sheets);
            }
            Err(mut p) => problems.append(&mut p),
        }
    }
    problems.extend(given_nowhere(request.given, &filled));
    let standing = Standing::of(source, &filled)?;
    let (before, wanted) = (&standing.catalog, &standing.wanted);
    let concerned = |id: &str| {
        wanted.runs.contains(id) || wanted.told.iter().any(|t| id.starts_with(t.as_str()))
    };
    let known = before.runs.iter().filter(|r| concerned(&r.id));
    let mut runs = Runs::of(known.map(|r| -> &Run { r }));
    runs.taken(standing.left_out.iter());
    let mut growing = Growing {
        source,
        files: BTreeMap::new(),
    };
    let mut added = Vec::new();
    for f in &mut filled {
        added.push(growing.add(f, before, request.recorded, &mut runs)?);
        notices.append(&mut f.notices);
    }
    let mut changes = growing.changes();
    let used: Vec<(String, &'static str)> = filled
        .iter()
        .flat_map(|f| f.mapped.iter().map(|m| (m.clone(), f.test.id())))
        .collect();
    for header in maps.given() {
        if used.iter().all(|(m, _)| m != header) {
            notices.push(format!(
                "no sheet has a header `{header}`: its `--map` changed nothing"
            ));
        }
    }
    if let Some(all) = maps.to_keep(&used) {
        changes.push(Change {
            name: MAPS.to_owned(),
            was: old_maps,
            becomes: maps_text(&all).into_bytes(),
        });
    }
    let growing: BTreeSet<&str> = changes.iter().map(|c| c.name.as_str()).collect();
    let again: HashSet<String> = added.iter().flat_map(|a| a.runs.clone()).collect();
    let changed = source.changed(changes.iter().map(|c| (c.name.clone(), c.becomes.clone())));
    let (after, _) = standing.base.with_readings(&changed, None, &|test| {
        if growing.contains(readings_file(test).as_str()) {
            Take::Beside(before, &again)
        } else {
            Take::Kept(before)
        }
    })?;
    let lines = line_to_add(source)?;
    for p in after
        .problems
        .iter()
        .filter(|p| p.severity == Severity::Error)
    {
        place_after(p, &mut filled, &added, &lines, &mut problems);
    }
    let mut sheets = Vec::new();
    for (f, a) in filled.iter_mut().zip(&added) {
        problems.append(&mut f.problems);
        if f.rows.is_empty() {
            continue;
        }
        sheets.push(Recorded {
            sheet: f.sheet.file().to_owned(),
            test: f.test.id(),
            into: a.shown.clone(),
            lines: f.rows.len(),
            runs: a.runs.clone(),
        });
        notices.extend(a.notices.iter().cloned());
    }
    if !problems.is_empty() {
        return Err(NotRecorded::Problems(grouped(problems)));
    }
    Ok(Recording {
        sheets,
        notices,
        changes,
        before: standing.catalog,
        after,
    })
}

/// The catalog that sheets are held to, as far as they ask for it.
struct Standing {
    base: Base,
    catalog: Catalog,
    wanted: Wanted,
    /// Runs left out whose ids begin as new ones do.
    left_out: BTreeSet<String>,
}

impl Standing {
    fn of(source: &Source, filled: &[Filled<'_>]) -> Result<Self, NotRecorded> {
        let tests: BTreeSet<&str> = filled.iter().map(|f| f.test.id()).collect();
        let rows = |f: &Filled<'_>| {
            (0..f.rows.len())
                .map(|r| f.cell(r, RUN).to_owned())
                .collect()
        };
        let runs: Vec<Vec<String>> = filled.iter().map(rows).collect();
        let wanted = Wanted {
            runs: runs
                .into_iter()
                .flatten()
                .filter(|id| !id.is_empty())
                .collect(),
            told: tests.iter().map(|t| format!("{t}-")).collect(),
        };
        let whole = !source.list("cases", "json")?.is_empty();
        let beside = tests_beside(&tests);
        let base = Base::read(source, None)?;
        let (catalog, left_out) = base.with_readings(source, None, &|test| {
            // Mass losses are read by the density of their material.
            if whole || test == "density" || beside.contains(test) {
                Take::All
            } else {
                Take::Of(&wanted)
            }
        })?;
        let wrong = |p: &Problem| p.severity == Severity::Error;
        if catalog.problems.iter().any(wrong) {
            return Err(NotRecorded::Catalog(catalog.problems));
        }
        Ok(Standing {
            base,
            catalog,
            wanted,
            left_out,
        })
    }
}

fn bytes_of(source: &Source, name: &str, largest: u64) -> Result<Option<Vec<u8>>, NotRecorded> {
    Ok(source
        .read(name, largest)?
        .map(std::borrow::Cow::into_owned))
}

/// What was given for a column that no sheet has.
fn given_nowhere(given: &[(String, String)], filled: &[Filled<'_>]) -> Vec<Problem> {
    given
        .iter()
        .filter(|(name, _)| {
            let bare = split_header(name).0;
            !filled.is_empty()
                && filled
                    .iter()
                    .all(|f| f.fields.iter().all(|x| x.name != bare))
        })
        .map(|(name, _)| {
            let known = filled.iter().flat_map(|f| f.fields.iter());
            let names: Vec<&str> = known.map(|f| f.name).filter(|n| !n.is_empty()).collect();
            Fault::new(
                "usage::set-column",
                format!("`--set` names `{name}`, which is no column of these sheets"),
                crate::catalog::words::meant(split_header(name).0, names),
            )
            .at(crate::problem::Place::file("command line"))
        })
        .collect()
}

/// What one sheet adds to a file.
struct Added {
    shown: String,
    /// Line of the file on which each row will stand.
    first_line: usize,
    runs: Vec<String>,
    notices: Vec<String>,
    /// Needed columns that the sheet has not: their absence was said once.
    absent: HashSet<usize>,
    /// Whether its lines were put into the file.
    put: bool,
}

/// The files of the catalog as they grow.
struct Growing<'s> {
    source: &'s Source,
    /// By workspace name: as read, and as it will be.
    files: BTreeMap<String, (Option<Vec<u8>>, Vec<u8>)>,
}

impl Growing<'_> {
    /// Fills what a sheet leaves open, checks its lines, and adds them to the file of its test.
    fn add(
        &mut self,
        f: &mut Filled<'_>,
        before: &Catalog,
        recorded: &str,
        runs: &mut Runs,
    ) -> Result<Added, NotRecorded> {
        let name = readings_file(f.test.id());
        let mut added = Added {
            shown: self.source.shown(&name),

            first_line: usize::MAX,
            runs: Vec::new(),
            notices: Vec::new(),
            absent: absent(f),
            put: false,
        };
        f.drop_unfilled();
        let made_up = f.assign(runs, Some(recorded));
        let header_faults = !f.problems.is_empty();
        if f.rows.is_empty() {
            return Ok(added);
        }
        let ids: HashSet<&str> = (0..f.rows.len()).map(|r| f.cell(r, RUN)).collect();
        let old: HashSet<(String, String)> = before
            .runs
            .iter()
            .filter(|r| ids.contains(r.id.as_str()))
            .flat_map(|r| {
                r.specimens
                    .iter()
                    .map(|s| (r.id.clone(), s.number.to_string()))
            })
            .collect();
        let read = f.read(&|run, specimen| old.contains(&(run.to_owned(), specimen.to_owned())));
        let standing: Vec<_> = before.runs.iter().map(|r| -> &Run { r }).collect();
        f.refuse_repeated(&read, &made_up, &standing);
        f.note_absent(&added.absent);
        for row in 0..f.rows.len() {
            let run = f.cell(row, RUN);
            if !added.runs.iter().rev().any(|r| r == run) {
                added.runs.push(run.to_owned());
            }
        }
        if f.rows.is_empty() || header_faults {
            return Ok(added);
        }
        let was = match self.files.get(&name) {
            Some((was, _)) => was.clone(),
            None => bytes_of(self.source, &name, LARGEST_CSV)?,
        };
        let now = self
            .files
            .get(&name)
            .map(|(_, now)| now.clone())
            .or_else(|| was.clone());
        let header = now
            .as_deref()
            .and_then(|b| CsvText::open(&added.shown, b).ok())
            .map(|csv| csv.header);
        let (columns, rows) = self.lines(f, header.as_deref(), recorded, &mut added);
        let Ok(appended) = append_lines(&added.shown, now.as_deref(), &columns, &rows) else {
            // The unit that does not fit was refused at its header already, or is below.
            if f.problems.is_empty() {
                let fault = Fault::new(
                    "record::unit",
                    format!(
                        "a unit of this sheet cannot be turned into that of {}",
                        added.shown
                    ),
                    "write the columns in the units of the catalog's file",
                );
                let place = f.sheet.header_place(None);
                f.note(fault.at(place));
            }
            return Ok(added);
        };
        if !appended.widened.is_empty() {
            added.notices.push(format!(
                "{} gets at its right edge: {}",
                added.shown,
                appended.widened.join(", ")
            ));
        }
        // Every new line is one line of the file, and they are its last.
        added.first_line = 1 + line_ends(&appended.bytes) - rows.len();
        added.put = true;
        self.files.insert(name, (was, appended.bytes));
        Ok(added)
    }

    /// The columns and rows for the file, `recorded` filled in.
    fn lines(
        &self,
        f: &Filled<'_>,
        header: Option<&[String]>,
        recorded: &str,
        added: &mut Added,
    ) -> (Vec<NewColumn>, Vec<Vec<String>>) {
        let has = |name: &str| header.is_none_or(|h| h.iter().any(|c| split_header(c).0 == name));
        let keeps_recorded = has("recorded");
        if !keeps_recorded {
            added.notices.push(format!(
                "{} has no column `recorded`: its lines count from their date",
                added.shown
            ));
        }
        let mut columns: Vec<(NewColumn, Option<usize>, bool)> = Vec::new();
        for (field, known) in f.fields.iter().enumerate() {
            if known.name.is_empty() || field == RECORDED && !keeps_recorded {
                continue;
            }
            let own = f.column(field);
            let column = own.and_then(|c| f.columns.get(c));
            if own.is_none() && field != RECORDED && header.is_some() {
                continue;
            }
            columns.push((
                NewColumn {
                    header: column
                        .map_or_else(|| known.written(), |c: &FilledColumn| c.header.clone()),
                    figures: known.unit.is_some(),
                },
                own,
                field == RECORDED,
            ));
        }
        columns.sort_by_key(|(c, _, _)| {
            let name = split_header(&c.header).0;
            let field = f.fields.iter().position(|x| x.name == name);
            field.map_or(usize::MAX, super::fill::order)
        });
        let owned = f
            .columns
            .iter()
            .enumerate()
            .filter(|(_, c)| c.field.is_none());
        columns.extend(owned.map(|(i, c)| {
            (
                NewColumn {
                    header: c.header.clone(),
                    figures: false,
                },
                Some(i),
                false,
            )
        }));
        let rows = f
            .rows
            .iter()
            .map(|row| {
                columns
                    .iter()
                    .map(|(column, own, is_recorded)| {
                        let cell = own
                            .and_then(|c| row.cells.get(c))
                            .map_or("", String::as_str);
                        match cell {
                            "" if *is_recorded => recorded.to_owned(),
                            cell if column.figures => with_point(cell),
                            cell => cell.to_owned(),
                        }
                    })
                    .collect()
            })
            .collect();
        (columns.into_iter().map(|c| c.0).collect(), rows)
    }

    fn changes(self) -> Vec<Change> {
        self.files
            .into_iter()
            .map(|(name, (was, becomes))| Change { name, was, becomes })
            .collect()
    }
}

/// A figure with a decimal point; words stay.
fn with_point(cell: &str) -> String {
    if cell.contains(',') && read_figure(cell, true).is_ok() {
        cell.replace(',', ".")
    } else {
        cell.to_owned()
    }
}

/// Needed columns of the catalog that a sheet has not at all.
fn absent(f: &Filled<'_>) -> HashSet<usize> {
    fields_of(f.test, true)
        .iter()
        .enumerate()
        .filter(|(k, field)| {
            field.needed
                && matches!(*k, MATERIAL | DIRECTION | COUNTERFACE)
                && f.column(*k).is_none()
        })
        .map(|(k, _)| k)
        .collect()
}

impl Filled<'_> {
    /// Says which needed columns are missing, and how to give one for the whole sheet.
    fn note_absent(&mut self, absent: &HashSet<usize>) {
        let mut all: Vec<usize> = absent.iter().copied().collect();
        all.sort_unstable();
        for field in all {
            let name = COMMON.get(field).map_or("", |f| f.name);
            let example = match field {
                MATERIAL => "material=ID",
                DIRECTION => "direction=flat",
                _ => "counterface=steel-smooth",
            };
            let fault = Fault::new(
                "header::missing",
                format!("the column `{name}` is missing"),
                format!("add it, or give it for the whole sheet with `--set {example}`"),
            );
            let place = self.sheet.header_place(None);
            let p = self.named(fault.at(place));
            self.problems.push(p);
        }
    }
}

/// How a line of materials.csv reads that adds a material.
struct LineToAdd {
    file: String,
    separator: char,
    header: Vec<String>,
}

impl LineToAdd {
    fn of(&self, id: &str) -> String {
        let cells: Vec<&str> = self
            .header
            .iter()
            .map(|h| match split_header(h).0 {
                "material" | "title" => id,
                "polymer" => "POLYMER",
                _ => "",
            })
            .collect();
        cells.join(&self.separator.to_string())
    }
}

fn line_to_add(source: &Source) -> Result<LineToAdd, NotRecorded> {
    let name = "catalog/materials.csv";
    let bytes = bytes_of(source, name, LARGEST_CSV)?.unwrap_or_default();
    let file = source.shown(name);
    let (separator, header) = match CsvText::open(&file, &bytes) {
        Ok(csv) => (csv.separator(), csv.header.to_vec()),
        Err(_) => (',', vec!["material".to_owned(), "polymer".to_owned()]),
    };
    Ok(LineToAdd {
        separator,
        header,
        file,
    })
}

/// Puts a Problem of the grown catalog to the sheet whose line it is about.
fn place_after(
    p: &Problem,
    filled: &mut [Filled<'_>],
    added: &[Added],
    lines: &LineToAdd,
    problems: &mut Vec<Problem>,
) {
    let of = |a: &Added, f: &Filled<'_>, line: usize| -> Option<usize> {
        line.checked_sub(a.first_line)
            .filter(|r| a.put && *r < f.rows.len())
    };
    let found = filled
        .iter()
        .zip(added)
        .enumerate()
        .filter(|(_, (_, a))| a.shown == p.at.file)
        .find_map(|(i, (f, a))| of(a, f, p.at.line).map(|row| (i, row)));
    let Some((i, row)) = found else {
        // A file that stood before: something new there clashes with it.
        let known = |q: &Problem| q.at == p.at && q.code == p.code;
        if !problems.iter().any(known) {
            problems.push(p.clone());
        }
        return;
    };
    let Some((f, a)) = filled.get_mut(i).zip(added.get(i)) else {
        return;
    };
    let field = p.at.field.as_deref().map(|h| split_header(h).0);
    let is_absent = a
        .absent
        .iter()
        .any(|k| COMMON.get(*k).is_some_and(|c| Some(c.name) == field));
    if is_absent {
        return;
    }
    // Its words name lines of the grown file: new ones become the sheet's, old ones say so.
    let numbers: HashMap<usize, usize> = (0..f.rows.len())
        .map(|r| (a.first_line + r, f.number(r)))
        .collect();
    let mut put = f.put_back(p.clone(), Some(row), |_| None);
    let said = renumbered(&put.what, |l| numbers.get(&l).copied());
    put.what = if said == put.what && said.contains(" line ") && !said.contains(&a.shown) {
        // An old line: it stands in the catalog's file.
        said.replacen(" on line ", &format!(" in {}, line ", a.shown), 1)
    } else {
        said
    };
    if p.code == "material::unknown" {
        let id = p.what.split('`').nth(1).unwrap_or("").to_owned();
        put.fix = format!(
            "{}: the line `{}` in {}, with a polymer's id such as `petg`, or `other`, for POLYMER",
            put.fix,
            lines.of(&id),
            lines.file
        );
    }
    f.note(put);
}
