//! Cells left blank that count as a default: a doubt a field.

use super::Gatherer;
use super::fields::{BLANK_MEANS, COMMON, LOT, MATERIAL, PRINT};
use crate::catalog::csv_text::{LineAt, Row};
use crate::catalog::row::Cells;
use crate::problem::{Fault, Problem, Severity};
use std::collections::BTreeMap;

/// Cells of new runs that are blank and count as their default, by field: how many, and the first.
pub(super) type Blanks = BTreeMap<usize, (usize, LineAt)>;

impl Gatherer<'_, '_, '_> {
    /// Counts the cells of a new run that say nothing and so count as their default.
    pub(super) fn note_blanks(&mut self, row: &Row<'_>) {
        // What no figure is made of counts as nothing.
        if !self.test.gives_figures() {
            return;
        }
        let material = self.text(row, MATERIAL).unwrap_or("");
        let bought = self.known.is_some_and(|k| k.references.contains(&material));
        for (field, _) in BLANK_MEANS {
            let own = self
                .test
                .columns()
                .iter()
                .any(|c| COMMON.get(*field).is_some_and(|f| f.name == c.name));
            let said = self.text(row, *field).is_some()
                || *field == LOT && self.text(row, PRINT).is_some()
                || bought && matches!(*field, LOT | PRINT);
            if !own && !said {
                let first = self.blanks.entry(*field).or_insert((0, row.at));
                first.0 += 1;
            }
        }
    }
}

/// A doubt a field whose blanks count as a default.
pub(super) fn doubt_blanks(cells: &mut Cells<'_>, blanks: &Blanks) {
    for (field, means) in BLANK_MEANS {
        let Some((n, at)) = blanks.get(field).copied() else {
            continue;
        };
        let name = COMMON.get(*field).map_or("", |c| c.name);
        let runs = if n == 1 {
            "1 run leaves".to_owned()
        } else {
            format!("{n} runs leave")
        };
        let at = if cells.columns.has(*field) {
            cells.place(at, *field)
        } else {
            cells.csv.header_line_place()
        };
        cells.problems.push(Problem {
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
