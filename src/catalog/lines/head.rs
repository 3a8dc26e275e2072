//! The first line of a run, and the lines that must agree with it.

use super::Gatherer;
use super::fields::{COMMON, DATE, MATERIAL, ONE_PER_RUN, RECORDED, RUN, TEMPERATURE};
use crate::bench::Rig;
use crate::catalog::csv_text::{LineAt, Row};
use crate::catalog::prints::unknown_material;
use crate::catalog::words::check_id;
use crate::problem::Fault;
use crate::property::Condition;
use std::sync::Arc;

/// One run as its lines come in.
pub(super) struct RunHead {
    pub(super) id: String,
    /// The cells of [`ONE_PER_RUN`] on its first line.
    pub(super) cells: Vec<String>,
    pub(super) at: LineAt,
    pub(super) material: Option<String>,
    pub(super) date: Option<String>,
    pub(super) rig: Arc<Rig>,
    pub(super) condition: Condition,
}

impl Gatherer<'_, '_, '_> {
    pub(super) fn run(&mut self, row: &Row<'_>) -> Option<usize> {
        let written = self.text(row, RUN);
        if let (Some(id), Some(latest)) = (written, self.runs.get(self.latest_run))
            && latest.id == id
        {
            let r = self.latest_run;
            return self.same_run(row, r).then_some(r);
        }
        let Some(id) = written.map(str::to_owned) else {
            if self.cells.columns.has(RUN) {
                let f = Fault::new(
                    "run::blank",
                    "the line does not say which run it belongs to",
                    "write the run's id, for example `r-014`",
                );
                self.fault(row, RUN, f);
            }
            return None;
        };
        if let Some(&r) = self.run_by_id.get(&id) {
            self.latest_run = r;
            return self.same_run(row, r).then_some(r);
        }
        if self.bad_runs.contains(&id) {
            return None;
        }
        match self.new_run(row, &id) {
            Some(head) => {
                self.runs.push(head);
                let r = self.runs.len() - 1;
                self.latest_run = r;
                self.run_by_id.insert(id, r);
                Some(r)
            }
            None => {
                self.bad_runs.insert(id);
                None
            }
        }
    }

    pub(super) fn one_per_run(&self, row: &Row<'_>) -> Vec<String> {
        ONE_PER_RUN
            .iter()
            .map(|f| self.text(row, *f).unwrap_or("").to_owned())
            .collect()
    }

    /// Whether the line agrees with the first line of its run.
    pub(super) fn same_run(&mut self, row: &Row<'_>, r: usize) -> bool {
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

    pub(super) fn new_run(&mut self, row: &Row<'_>, id: &str) -> Option<RunHead> {
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
        })
    }
}
