//! A catalog without its bad lines: what may be left out, and what else must go with it.
//!
//! The loader leaves out every line that is wrong. That is not always enough: a header that is wrong
//! may hide a condition or a set-aside, a lost calibration would leave its runs uncorrected, and a
//! curve that lost a line may have lost its peak.

use crate::bench::Run;
use crate::catalog::Catalog;
use crate::catalog::load::RunAt;
use crate::problem::{Problem, Severity};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Files on whose header or whole content everything else rests.
const EVERYTHING_RESTS_ON: &[&str] = &[
    "materials.csv",
    "prints.csv",
    "rigs.csv",
    "properties.csv",
    "policy.json",
];
/// Codes of lines of which no specimen can be told.
const OF_NO_SPECIMEN: &[&str] = &[
    "sheet::too-many-cells",
    "sheet::too-few-cells",
    "sheet::open-quote",
    "run::blank",
    "run::mixed",
    "specimen::blank",
    "specimen::malformed",
];

/// What an answer leaves out.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Skipped {
    /// The errors, by file and place; the lines they stand on count for nothing.
    pub problems: Vec<Problem>,
    /// What was left out besides, because those lines may have belonged to it, in words.
    pub besides: Vec<String>,
}

impl Skipped {
    /// Whether nothing was left out.
    pub fn is_empty(&self) -> bool {
        self.problems.is_empty()
    }
}

/// Takes out of a catalog all that its bad lines leave unsure.
///
/// # Errors
/// The Problems that no answer can do without: a policy that cannot be read, and a header or a whole
/// file of materials, prints, rigs or own properties.
pub fn skip_bad(catalog: &mut Catalog) -> Result<Skipped, Vec<Problem>> {
    let errors: Vec<Problem> = catalog
        .problems
        .iter()
        .filter(|p| p.severity == Severity::Error)
        .cloned()
        .collect();
    let stops: Vec<Problem> = errors.iter().filter(|p| stops(p)).cloned().collect();
    if !stops.is_empty() {
        return Err(stops);
    }
    let mut besides = Vec::new();
    let sheets: BTreeSet<&str> = errors
        .iter()
        .filter(|p| of_whole_file(p))
        .map(|p| p.at.file.as_str())
        .collect();
    let bad_sheet = |at: &RunAt| sheets.contains(at.file());
    for file in &sheets {
        besides.push(format!("all other lines of {file}"));
    }
    let stated_at = std::mem::take(&mut catalog.places.stated);
    let kept = std::mem::take(&mut catalog.stated)
        .into_iter()
        .zip(stated_at)
        .filter(|(_, at)| !sheets.contains(at.file.as_str()));
    (catalog.stated, catalog.places.stated) = kept.unzip();

    let rigs = bad_rigs(catalog, &errors);
    let on = |run: &Run, rig: &str| run.rig.name.split('+').any(|r| r.trim() == rig);
    let of_bad_rig = |run: &Run| rigs.iter().any(|rig| on(run, rig));
    for rig in &rigs {
        let runs: BTreeSet<&str> = catalog
            .runs
            .iter()
            .filter(|r| on(r, rig))
            .map(|r| r.id.as_str())
            .collect();
        let n = runs.len();
        if n > 0 {
            besides.push(format!(
                "{} on `{rig}`, whose calibration cannot be read",
                counted(n)
            ));
        }
    }
    let cut = cut_curves(catalog, &errors);
    for (run, specimen) in &cut {
        besides.push(format!(
            "specimen {specimen} of `{run}`, whose curve may have lost a line"
        ));
    }
    let places = std::mem::take(&mut catalog.places.runs);
    let kept = std::mem::take(&mut catalog.runs)
        .into_iter()
        .zip(places)
        .filter(|(run, at)| !bad_sheet(at) && !of_bad_rig(run))
        .map(|(mut run, at)| {
            if run
                .specimens
                .iter()
                .any(|s| cut.contains(&(run.id.clone(), s.number)))
            {
                let id = run.id.clone();
                Arc::make_mut(&mut run)
                    .specimens
                    .retain(|s| !cut.contains(&(id.clone(), s.number)));
            }
            (run, at)
        })
        .filter(|(run, _)| !run.specimens.is_empty());
    (catalog.runs, catalog.places.runs) = kept.unzip();
    Ok(Skipped {
        problems: errors,
        besides,
    })
}

/// What an answer from a filled sheet leaves out, where its bad lines can be told from the others.
///
/// # Errors
/// The Problems that leave nothing sure: a header or a whole file, and a line of which no specimen can be told,
/// for it may be of any curve.
pub(crate) fn skip_bad_lines(problems: Vec<Problem>) -> Result<Skipped, Vec<Problem>> {
    let leaves_nothing =
        |p: &Problem| of_whole_file(p) || OF_NO_SPECIMEN.contains(&p.code.as_str());
    if problems.iter().any(leaves_nothing) {
        return Err(problems);
    }
    Ok(Skipped {
        problems,
        besides: Vec::new(),
    })
}

fn counted(runs: usize) -> String {
    if runs == 1 {
        "1 run".to_owned()
    } else {
        format!("{runs} runs")
    }
}

fn file_name(p: &Problem) -> &str {
    p.at.file.rsplit('/').next().unwrap_or("")
}

fn stops(p: &Problem) -> bool {
    let name = file_name(p);
    name.ends_with(".json")
        || p.code == "catalog::none"
        || EVERYTHING_RESTS_ON.contains(&name) && of_whole_file(p) && !in_readings(p)
}

fn in_readings(p: &Problem) -> bool {
    p.at.file.rsplit('/').nth(1) == Some("readings")
}

/// Whether a Problem is of a file's header or of the file as a whole.
fn of_whole_file(p: &Problem) -> bool {
    let in_header = p.code.starts_with("header::") && p.code != "header::blank"
        || p.code.starts_with("unit::") && marks_the_header(p);
    in_header || p.at.line == 0 || p.code == "sheet::not-utf8"
}

/// Whether the marked text is the header's own cell.
fn marks_the_header(p: &Problem) -> bool {
    let (Some(line), Some(field)) = (&p.at.source_line, &p.at.field) else {
        return false;
    };
    let marked: String = line
        .chars()
        .skip(p.at.column.saturating_sub(1))
        .take(field.chars().count())
        .collect();
    marked == *field
}

/// Rigs of which a line cannot be read; of a line with too many or too few cells, any that it may name.
fn bad_rigs(catalog: &Catalog, errors: &[Problem]) -> BTreeSet<String> {
    let cells = errors
        .iter()
        .filter(|p| file_name(p) == "rigs.csv" && p.code.starts_with("sheet::"))
        .filter_map(|p| p.at.source_line.as_deref())
        .flat_map(|line| line.split([',', ';', '\t']))
        .map(|cell| cell.trim().trim_matches('"').to_owned());
    cells.chain(catalog.places.spoilt_rigs.clone()).collect()
}

/// The first line of a specimen.
type Start<'a> = (usize, &'a Arc<Run>, u32);

/// Specimens of curves that a line of unknown specimen may have belonged to: the one before it,
/// and the one after.
fn cut_curves(catalog: &Catalog, errors: &[Problem]) -> BTreeSet<(String, u32)> {
    let mut lost: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for p in errors {
        if OF_NO_SPECIMEN.contains(&p.code.as_str()) {
            lost.entry(&p.at.file).or_default().push(p.at.line);
        }
    }
    let mut starts: BTreeMap<&str, Vec<Start<'_>>> = BTreeMap::new();
    for (run, at) in catalog.runs.iter().zip(&catalog.places.runs) {
        if lost.contains_key(at.file()) {
            let of = starts.entry(at.file()).or_default();
            of.extend(at.lines().map(|(n, line)| (line, run, n)));
        }
    }
    let mut cut = BTreeSet::new();
    for (file, mut starts) in starts {
        // Where every specimen has one line, a lost line is a lost specimen.
        if starts
            .iter()
            .all(|(_, run, _)| run.specimens.iter().all(|s| s.points.len() == 1))
        {
            continue;
        }
        starts.sort_by_key(|(line, ..)| *line);
        for line in lost.get(file).into_iter().flatten() {
            let before = starts.iter().rev().find(|(l, ..)| l < line);
            let after = starts.iter().find(|(l, ..)| l > line);
            for (_, run, specimen) in before.into_iter().chain(after) {
                if run.specimens.iter().any(|s| s.number == *specimen) {
                    cut.insert((run.id.clone(), *specimen));
                }
            }
        }
    }
    cut
}
