//! What has to be said of a cell: the footnotes of a summary table, as data.

use crate::advise::summary::column::lies;
use crate::belief::{Counted, Note};
use crate::bench::{Outcome, ReducedRun, find};
use crate::property::{Ask, Condition, Property};
use crate::quantity::Bound;
use std::collections::BTreeMap;

/// One footnote.
#[derive(Clone, Debug, PartialEq)]
pub enum Remark {
    /// A run of this test is kept and not counted.
    SetAside {
        /// Test id.
        test: &'static str,
        /// Run id.
        run: String,
        /// Specimens, rising, where others of the run count; none where the whole run is meant.
        specimens: Vec<u32>,
        /// Why, as written.
        why: String,
    },
    /// Specimens of a run failed early, and count.
    Early {
        /// Test id.
        test: &'static str,
        /// Run id.
        run: String,
        /// Specimen numbers, rising.
        specimens: Vec<u32>,
    },
    /// Readings that are bounds, and how their tests ended.
    Bounds {
        /// How; [`Outcome::Measured`] where no word says it: a cell written as a bound, a reading outside
        /// its rig's range, a load that was carried to the end.
        outcome: Outcome,
        /// From which side.
        bound: Bound,
        /// Whether every reading of the cell ended so.
        all: bool,
    },
    /// A test that counts gave no figure here.
    NoFigure {
        /// Test id.
        test: &'static str,
        /// Run id.
        run: String,
        /// Why.
        why: String,
    },
    /// A test ended without evidence.
    NoEvidence {
        /// Test id.
        test: &'static str,
        /// Run id.
        run: String,
        /// How it ended.
        outcome: Outcome,
    },
    /// Something assumed or lacking on the way to the figure.
    Note {
        /// Property whose scale and unit the note's figures have; `None` where it has no such figure,
        /// so that one footnote serves several properties.
        property: Option<String>,
        /// What.
        note: Note,
    },
    /// Read off the assumed straight line from its runs to the softening onset.
    HeatLine {
        /// Test temperature, degC.
        tested_c: f64,
        /// Asked temperature, degC.
        asked_c: f64,
    },
    /// A reference specimen or a surface: never ranked.
    NotRanked {
        /// Its kind in files.
        kind: &'static str,
    },
}

/// What the own runs of a material say of a cell besides its figure.
pub(super) fn of_runs(
    runs: &[&ReducedRun],
    row: &Property,
    ask: &Ask,
    counted: &[Counted<'_>],
) -> Vec<Remark> {
    let mut out = Vec::new();
    bounds(counted, &mut out);
    early(counted, &mut out);
    for run in runs.iter().filter(|r| concerns(r, row, ask)) {
        let (test, id) = (run.run.test, &run.run.id);
        if let Some(why) = &run.run.set_aside {
            let others_count = runs
                .iter()
                .any(|r| r.run.id == *id && r.run.set_aside.is_none());
            let mut specimens: Vec<u32> = Vec::new();
            if others_count {
                specimens.extend(run.specimens.iter().map(|s| s.specimen));
                specimens.sort_unstable();
            }
            out.push(Remark::SetAside {
                test,
                run: id.clone(),
                specimens,
                why: why.clone(),
            });
        } else if counted.is_empty() {
            out.extend(nothing_from(run, row));
        }
    }
    out
}

fn early(counted: &[Counted<'_>], out: &mut Vec<Remark>) {
    let mut by_run: BTreeMap<(&str, &'static str), Vec<u32>> = BTreeMap::new();
    for c in counted.iter().filter(|c| c.early) {
        let run = (c.run.run.id.as_str(), c.run.run.test);
        by_run.entry(run).or_default().push(c.specimen);
    }
    for ((run, test), mut specimens) in by_run {
        specimens.sort_unstable();
        out.push(Remark::Early {
            test,
            run: run.to_owned(),
            specimens,
        });
    }
}

fn bounds(counted: &[Counted<'_>], out: &mut Vec<Remark>) {
    let all = counted.iter().all(|c| !c.value.is_exact());
    let mut told: Vec<(Outcome, Bound)> = Vec::new();
    for c in counted.iter().filter(|c| !c.value.is_exact()) {
        // An early failure is told by itself.
        let outcome = match c.outcome {
            Outcome::EarlyFailure => Outcome::Measured,
            other => other,
        };
        let how = (outcome, c.value.bound());
        if !told.contains(&how) {
            told.push(how);
        }
    }
    let all = all && told.len() == 1;
    out.extend(told.into_iter().map(|(outcome, bound)| Remark::Bounds {
        outcome,
        bound,
        all,
    }));
}

/// Whether a run was made to give this property in this condition, temperature and moisture aside.
fn concerns(run: &ReducedRun, row: &Property, ask: &Ask) -> bool {
    let gives = run
        .specimens
        .iter()
        .flat_map(|s| &s.observations)
        .any(|o| o.property == row.id)
        || find(run.run.test).is_some_and(|t| {
            t.gives().contains(&row.id.as_str())
                && run.specimens.iter().all(|s| s.observations.is_empty())
        })
        || run
            .specimens
            .iter()
            .flat_map(|s| &s.refused)
            .any(|r| r.property == row.id);
    gives && serves(&run.run.condition, row, ask)
}

fn serves(c: &Condition, row: &Property, ask: &Ask) -> bool {
    let direction = match (lies(row, ask), c.direction.or(row.direction)) {
        (Some(lies), Some(d)) => d.serves(lies),
        _ => true,
    };
    let surface = !row.by_counterface
        || ask.counterface.is_none()
        || c.counterface.is_none()
        || c.counterface == ask.counterface;
    let face = !row.by_face || ask.face.is_none() || c.face.is_none() || c.face == ask.face;
    direction && surface && face
}

/// Why a run that counts has no figure of a property.
fn nothing_from(run: &ReducedRun, row: &Property) -> Option<Remark> {
    let (test, id) = (run.run.test, run.run.id.clone());
    let mut specimens = run.specimens.iter();
    if let Some(r) = run
        .specimens
        .iter()
        .flat_map(|s| &s.refused)
        .find(|r| r.property == row.id)
    {
        return Some(Remark::NoFigure {
            test,
            run: id,
            why: r.why.clone(),
        });
    }
    let first = specimens.next()?.outcome;
    (first.no_evidence() && run.specimens.iter().all(|s| s.outcome.no_evidence())).then_some(
        Remark::NoEvidence {
            test,
            run: id,
            outcome: first,
        },
    )
}
