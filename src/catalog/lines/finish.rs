//! Lines to specimens, specimens to runs.

use super::blanks::Blanks;
use super::fields::{COMMON, POINT, SPECIMEN};
use super::raw::blank_cell;
use super::specimen::Gathered;
use super::{Gatherer, ReadRun};
use crate::bench::{Cell, Need, Run, Specimen};
use crate::catalog::csv_text::LineAt;
use crate::problem::{Fault, Problem};

/// What one share of the lines gave.
pub(super) struct ShareRead {
    /// Runs by the first line of their first specimen.
    runs: Vec<(LineAt, ReadRun)>,
    /// Problems in the order in which they were found.
    pub(super) problems: Vec<Problem>,
    blanks: Blanks,
    /// Lines taken.
    pub(super) lines: usize,
}

/// Puts shares together as if they had been one; their Problems go behind those that are there.
pub(super) fn join(shares: Vec<ShareRead>, problems: &mut Vec<Problem>) -> (Vec<ReadRun>, Blanks) {
    let mut runs = Vec::with_capacity(shares.iter().map(|s| s.runs.len()).sum());
    let mut blanks = Blanks::new();
    for share in shares {
        runs.extend(share.runs);
        problems.extend(share.problems);
        for (field, (n, first)) in share.blanks {
            let sum = blanks.entry(field).or_insert((0, first));
            *sum = (sum.0 + n, sum.1.min(first));
        }
    }
    runs.sort_by_key(|r| r.0);
    (runs.into_iter().map(|r| r.1).collect(), blanks)
}

impl Gatherer<'_, '_, '_> {
    /// Puts the specimens together to runs.
    pub(super) fn finish(mut self) -> ShareRead {
        let specimens = std::mem::take(&mut self.specimens);
        let mut runs: Vec<(LineAt, ReadRun)> = Vec::new();
        // Specimens of one run, print, lot and set-aside reason stand together.
        let mut parts: Vec<Vec<usize>> = vec![Vec::new(); self.runs.len()];
        for mut g in specimens {
            g.points.sort_by_key(|p| (p.0, p.1));
            if !self.complete(&g) {
                continue;
            }
            let (Some(head), Some(parts)) = (self.runs.get(g.run), parts.get_mut(g.run)) else {
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
            let together = |k: &&usize| {
                runs.get(**k).is_some_and(|(_, r)| {
                    r.run.print == g.print && r.run.lot == g.lot && r.run.set_aside == g.aside
                })
            };
            let k = match parts.iter().find(together) {
                Some(k) => *k,
                None => {
                    let run = Run {
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
                    };
                    let read = ReadRun {
                        run,
                        at: head.at,
                        specimens: Vec::new(),
                    };
                    runs.push((g.first, read));
                    parts.push(runs.len() - 1);
                    runs.len() - 1
                }
            };
            if let Some((_, r)) = runs.get_mut(k) {
                r.specimens.push((specimen.number, at));
                r.run.specimens.push(specimen);
            }
        }
        for (_, r) in &mut runs {
            r.run.specimens.sort_by_key(|s| s.number);
        }
        ShareRead {
            runs,
            problems: self.cells.problems,
            blanks: self.blanks,
            lines: self.lines,
        }
    }

    /// Whether a specimen's lines are one each and its geometry is there once.
    pub(super) fn complete(&mut self, g: &Gathered) -> bool {
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
