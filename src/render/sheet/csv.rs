//! The summary table for spreadsheets: a line a material, a cell a figure, units in the headers.

use super::SummarySheet;
use super::telling::footnote;
use crate::advise::summary::{Entry, Line, Listed, SheetCell, SheetColumn, Subject};
use crate::belief::Grade;
use crate::catalog::Origin;
use crate::quantity::Reading;
use crate::render::csv::written;
use crate::render::json::computed;
use crate::render::telling::grade;

impl SummarySheet<'_> {
    /// As CSV. A figure has its middle, the ends of its interval and its grade; a bound or a range
    /// stands as in the catalog's own sheets (`>=45`, `<=0.2`, `10..12`).
    pub(crate) fn csv(&self) -> String {
        let columns = &self.summary.columns;
        let mut head = vec!["material".to_owned()];
        head.extend(columns.iter().flat_map(|c| self.heads(c)));
        head.push("remarks".to_owned());
        if self.origin != Origin::Own {
            head.push("figures".to_owned());
        }
        let mut rows = vec![head];
        for line in &self.summary.lines {
            let mut row = vec![line.material.clone()];
            for (c, cell) in columns.iter().zip(&line.cells) {
                row.extend(self.cells(c, cell));
            }
            row.push(self.remarks(line));
            match self.origin {
                Origin::Own => {}
                Origin::Demo => row.push("invented demo".to_owned()),
                Origin::Handbook => row.push("handbook ranges".to_owned()),
            }
            rows.push(row);
        }
        written(&rows)
    }

    fn heads(&self, c: &SheetColumn) -> Vec<String> {
        let id = &c.id;
        match &c.subject {
            Subject::Listed(Listed::Drying) => {
                vec!["dry_temperature [degC]".into(), "dry_time [h]".into()]
            }
            Subject::Listed(Listed::Nozzle | Listed::Bed) => {
                let end = |end: &str| format!("{id}_{end} [degC]");
                vec![end("min"), end("max")]
            }
            Subject::Listed(Listed::Spool) => vec!["spool [kg]".into()],
            Subject::Listed(_) => vec![id.clone()],
            Subject::Property(_) => {
                let unit = match c.unit.as_str() {
                    "" | "1" => String::new(),
                    "per kg" if !self.currency.is_empty() => format!(" [{} per kg]", self.currency),
                    unit => format!(" [{unit}]"),
                };
                if self.only_listed(c) {
                    return vec![format!("{id}{unit}")];
                }
                let mut all = vec![
                    format!("{id}{unit}"),
                    format!("{id} low{unit}"),
                    format!("{id} high{unit}"),
                    format!("{id} grade"),
                ];
                if self.counts {
                    all.push(format!("{id} specimens"));
                    all.push(format!("{id} prints"));
                }
                all
            }
        }
    }

    /// Whether a column is one of materials.csv's own, which has no interval.
    fn only_listed(&self, c: &SheetColumn) -> bool {
        matches!(
            c.id.as_str(),
            "price" | "nozzle-temperature" | "bed-temperature" | "dry-time"
        )
    }

    fn cells(&self, c: &SheetColumn, cell: &SheetCell) -> Vec<String> {
        let one = |x: Option<f64>| {
            x.and_then(computed)
                .map_or_else(String::new, |x| x.to_string())
        };
        let bound = |r: Reading| match r {
            Reading::Exact(x) => one(Some(x)),
            Reading::AtLeast(x) => format!(">={}", one(Some(x))),
            Reading::AtMost(x) => format!("<={}", one(Some(x))),
            Reading::Between(a, b) => format!("{}..{}", one(Some(a)), one(Some(b))),
        };
        let (value, low, high) = match &cell.entry {
            Entry::Words(w) => (w.clone(), None, None),
            Entry::Nothing => (String::new(), None, None),
            Entry::Figure(x) => (one(Some(*x)), None, None),
            Entry::Mean([a, x, b]) => (one(Some(*x)), Some(*a), Some(*b)),
            Entry::Bound(r) | Entry::Stated(r) => (bound(*r), None, None),
            Entry::Window(a, b) | Entry::Drying(a, b) => (String::new(), *a, *b),
        };
        match &c.subject {
            Subject::Listed(Listed::Drying | Listed::Nozzle | Listed::Bed) => {
                vec![one(low), one(high)]
            }
            Subject::Property(_) if !self.only_listed(c) => {
                let of = match cell.grade {
                    None | Some(Grade::Absent) => "",
                    Some(_) if cell.assumed => "assumed",
                    Some(g) => grade(g),
                };
                let mut all = vec![value, one(low), one(high), of.to_owned()];
                if self.counts {
                    let n = |n: u32| if n > 0 { n.to_string() } else { String::new() };
                    all.push(n(cell.specimens));
                    all.push(n(cell.prints));
                }
                all
            }
            _ => vec![value],
        }
    }

    /// The footnotes of a line in words, each after the columns it belongs to.
    fn remarks(&self, line: &Line) -> String {
        let s = self.summary;
        let mut said: Vec<String> = Vec::new();
        for (i, r) in s.footnotes.iter().enumerate() {
            let n = i + 1;
            let of: Vec<&str> = s
                .columns
                .iter()
                .zip(&line.cells)
                .filter(|(c, cell)| {
                    cell.footnotes.contains(&n)
                        || (c.footnotes.contains(&n) && cell.entry != Entry::Nothing)
                })
                .map(|(c, _)| c.id.as_str())
                .collect();
            if line.footnotes.contains(&n) {
                said.push(footnote(r, self.properties));
            } else if !of.is_empty() {
                said.push(format!(
                    "{}: {}",
                    of.join(", "),
                    footnote(r, self.properties)
                ));
            }
        }
        said.join("; ")
    }
}
