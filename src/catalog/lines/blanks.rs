//! Cells left blank that count as a default: a doubt a field.

use super::Gatherer;
use super::fields::{BLANK_MEANS, COMMON, LOT, MATERIAL, PRINT};
use crate::catalog::csv_text::Row;
use crate::problem::{Fault, Problem, Severity};

impl Gatherer<'_, '_, '_> {
    /// Counts the cells of a new run that say nothing and so count as their default.
    pub(super) fn note_blanks(&mut self, row: &Row<'_>) {
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

    /// A doubt a field whose blanks count as a default.
    pub(super) fn doubt_blanks(&mut self) {
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
}
