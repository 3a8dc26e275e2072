//! From a filled sheet to lines of the catalog.
//!
//! A file, CSV or a spreadsheet, becomes sheets of cells with their places
//! (`book`, `sheet`); the test is recognised by the header (`columns`,
//! `maps`); the cells become lines as the catalog writes them (`fill`,
//! `assign`), and those are read by the same code as the catalog's own
//! (`check`). There is no second set of rules.

mod assign;
mod book;
mod check;
mod columns;
mod fill;
mod form;
mod form_book;
mod maps;
mod ods;
mod record;
mod sheet;
mod xlsx;

pub(crate) use book::{LARGEST_UNPACKED as LARGEST_BOOK, is_book};
pub(crate) use form::{Form, MOST_SPECIMENS, Prefill, headers_in_use, run_pieces};
pub(crate) use form_book::form_book;
pub(crate) use maps::{KeptMaps, Maps, parse_map};
pub(in crate::catalog) use maps::{Map, plain};
pub(crate) use record::{NotRecorded, Recorded, Recording, Request, prepare};

use self::columns::{Clues, Recognised, recognise};
use self::fill::Filled;
use self::sheet::{Fit, Opened, Sheet, of_table, of_text};
use crate::bench::{self, BenchTest, Run};
use crate::catalog::SheetRuns;
use crate::problem::{Fault, Problem};
use std::collections::HashMap;
use std::sync::Arc;

/// How a file is to be read.
#[derive(Clone, Copy)]
pub(crate) struct Ask<'m> {
    /// Maps from other people's headers.
    pub(crate) maps: &'m Maps,
    /// Columns and values that hold for all lines whose own cell is blank.
    pub(crate) given: &'m [(String, String)],
    /// The test, where it was named.
    pub(crate) test: Option<&'static dyn BenchTest>,
}

/// The sheets of one file.
struct Intake<'a> {
    sheets: Vec<Filled<'a>>,
    notices: Vec<String>,
}

/// One sheet reduced without a catalog.
pub(crate) struct ReadSheet {
    /// What it is called.
    pub(crate) file: String,
    /// Its test.
    pub(crate) test: &'static dyn BenchTest,
    /// Its runs.
    pub(crate) runs: Vec<Arc<Run>>,
}

/// Reads a filled file without a catalog: CSV, XLSX or ODS, one sheet of readings or several, each
/// known by its columns. Material, run, specimen, point, direction and counterface may be left out.
///
/// # Errors
/// Every Problem of the file at once.
pub fn read_filled(file: &str, bytes: &[u8]) -> Result<Vec<SheetRuns>, Vec<Problem>> {
    let ask = Ask {
        maps: &Maps::default(),
        given: &[],
        test: None,
    };
    let filled = read_sheets(file, bytes, ask)?.whole()?;
    Ok(filled
        .sheets
        .into_iter()
        .map(|s| (s.test, s.runs))
        .collect())
}

/// The sheets of a file, as far as they could be read.
pub(crate) struct ReadFile {
    /// What could be read.
    pub(crate) sheets: Vec<ReadSheet>,
    /// What was read otherwise than it stands.
    pub(crate) notices: Vec<String>,
    /// What could not; the specimens of those lines are left out.
    pub(crate) problems: Vec<Problem>,
}

impl ReadFile {
    /// The same, where all of it could be read.
    ///
    /// # Errors
    /// Its Problems, if there is any.
    pub(crate) fn whole(self) -> Result<Self, Vec<Problem>> {
        if self.problems.is_empty() {
            Ok(self)
        } else {
            Err(self.problems)
        }
    }
}

/// Reads the sheets of a file without a catalog; material, run, specimen, point, direction and
/// counterface may be left out.
///
/// # Errors
/// The Problems of a file of which no sheet can be told.
pub(crate) fn read_sheets(
    file: &str,
    bytes: &[u8],
    ask: Ask<'_>,
) -> Result<ReadFile, Vec<Problem>> {
    let mut intake = Intake::open(file, bytes, ask)?;
    let mut problems = Vec::new();
    let mut read = Vec::new();
    let mut runs = assign::Runs::default();
    for filled in &mut intake.sheets {
        filled.drop_unfilled();
        filled.assign_for_reduce(&mut runs);
        let lines = filled.read(&|_, _| false);
        problems.append(&mut filled.problems);
        intake.notices.append(&mut filled.notices);
        read.push(ReadSheet {
            file: filled.sheet.file().to_owned(),
            test: filled.test,
            runs: lines.runs.into_iter().map(|r| Arc::new(r.run)).collect(),
        });
    }
    Ok(ReadFile {
        sheets: read,
        notices: intake.notices,
        problems: grouped(problems),
    })
}

/// Says once what is wrong in the same words in one column of many lines.
fn grouped(mut problems: Vec<Problem>) -> Vec<Problem> {
    problems.sort_by(|a, b| a.at.cmp(&b.at));
    let bare = |what: &str| {
        let rest = what.split_once(": ").filter(|(cell, _)| {
            !cell.is_empty()
                && cell
                    .chars()
                    .all(|c| c.is_ascii_uppercase() || c.is_ascii_digit())
        });
        rest.map_or(what, |r| r.1).to_owned()
    };
    let mut first: HashMap<(String, String, Option<String>, String), usize> = HashMap::new();
    let mut out: Vec<(Problem, Vec<usize>)> = Vec::new();
    for p in problems {
        let key = (
            p.at.file.clone(),
            p.code.clone(),
            p.at.field.clone(),
            bare(&p.what),
        );
        match first.get(&key).and_then(|i| out.get_mut(*i)) {
            Some((_, lines)) if p.at.field.is_some() => lines.push(p.at.line),
            _ => {
                first.insert(key, out.len());
                out.push((p, Vec::new()));
            }
        }
    }
    out.into_iter()
        .map(|(mut p, lines)| {
            if !lines.is_empty() {
                let noun = if lines.len() == 1 { "line" } else { "lines" };
                p.what = format!("{}; so on {noun} {}", p.what, fill::spans(&lines));
            }
            p
        })
        .collect()
}

impl<'a> Intake<'a> {
    /// Finds the sheets of a file and the test of each.
    ///
    /// # Errors
    /// What is wrong with the file as a whole; `sheet::unknown-test`, `sheet::two-tests` where no
    /// sheet is one of readings.
    fn open(file: &'a str, bytes: &'a [u8], ask: Ask<'_>) -> Result<Self, Vec<Problem>> {
        let given: Vec<String> = ask.given.iter().map(|g| g.0.clone()).collect();
        let clues = Clues {
            maps: ask.maps,
            given: &given,
            named: ask.test,
        };
        let fit = |name: &str, header: &[(usize, String)]| fit(&clues, name, header);
        let mut notices = Vec::new();
        let sheets: Vec<Sheet<'a>> = match Opened::open(file, bytes).map_err(|p| vec![*p])? {
            Opened::Text { file, bytes } => vec![of_text(file, bytes, &fit).map_err(|p| vec![*p])?],
            Opened::Book { file, tables } => {
                let mut sheets = Vec::new();
                for table in tables {
                    let name = table.name.clone();
                    if table.hidden {
                        notices.push(format!("the hidden sheet `{name}` is left out"));
                    } else if let Some(sheet) = of_table(file, table, &fit) {
                        sheets.push(sheet);
                    }
                }
                sheets
            }
        };
        let mut filled = Vec::new();
        let mut not = Vec::new();
        for sheet in sheets {
            match recognise(&clues, &sheet.name, &sheet.header) {
                Recognised::As(test, _) => {
                    filled.push(Filled::new(sheet, test, ask.maps, ask.given));
                }
                Recognised::Either(a, b, _) => {
                    return Err(vec![two_tests(a, b).at(sheet.header_place(None))]);
                }
                Recognised::Not => not.push(sheet),
            }
        }
        if filled.is_empty() {
            let place = not.first().map_or_else(
                || crate::problem::Place::file(file),
                |s| s.header_place(None),
            );
            return Err(vec![unknown_test().at(place)]);
        }
        for sheet in not {
            notices.push(format!(
                "the sheet `{}` has no column of any test, and is left out",
                sheet.name
            ));
        }
        Ok(Intake {
            sheets: filled,
            notices,
        })
    }
}

fn fit(clues: &Clues<'_>, name: &str, header: &[(usize, String)]) -> Fit {
    match recognise(clues, name, header) {
        Recognised::As(_, f) | Recognised::Either(_, _, f) if f.missing == 0 && f.own > 0 => {
            Fit::Whole
        }
        // Of two lines that say as much the one with more cells is the header, not a title.
        Recognised::As(_, f) | Recognised::Either(_, _, f) => {
            Fit::Some(f.own * 100_000 + header.len())
        }
        Recognised::Not => Fit::Some(0),
    }
}

fn ids() -> String {
    let ids: Vec<&str> = bench::tests().iter().map(|t| t.id()).collect();
    ids.join(", ")
}

fn unknown_test() -> Fault {
    Fault::new(
        "sheet::unknown-test",
        "the header has no raw column of any test",
        format!(
            "name the columns as the sheet of a test has them ({}; `dutyfit form TEST` prints one), or call the file after its test and map each header with `--map 'HEADER=COLUMN'`",
            ids()
        ),
    )
}

fn two_tests(first: &dyn BenchTest, second: &dyn BenchTest) -> Fault {
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
}
