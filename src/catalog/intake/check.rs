//! The lines of a filled sheet under the rules of the catalog, every Problem put back to the sheet.

use super::fill::Filled;
use crate::bench::{BenchTest, Need, Run, Specimen};
use crate::catalog::csv_text::CsvText;
use crate::catalog::header::split_header;
use crate::catalog::lines::fields::{RUN, SPECIMEN};
use crate::catalog::lines::{ReadRun, read_lines};
use crate::problem::{Fault, Problem};
use std::collections::{BTreeMap, HashSet};

/// Readings that differ by no more than this share are the same, written in other units.
const SAME: f64 = 1e-9;

/// What a sheet's lines say.
pub(super) struct Read {
    /// The runs that could be read.
    pub(super) runs: Vec<ReadRun>,
    /// The row on which each line of the text begins.
    starts: Vec<usize>,
}

impl Read {
    /// The row of a line of the text; `None` for the header.
    fn row(&self, line: usize) -> Option<usize> {
        self.starts.partition_point(|s| *s <= line).checked_sub(1)
    }
}

impl Filled<'_> {
    /// Reads the lines by the rules of the catalog and puts every Problem where it stands in the
    /// sheet. What depends on other files is not looked at; `stands` says of a run and specimen
    /// whether its first lines are in the catalog, so that later ones need not repeat them.
    pub(super) fn read(&mut self, stands: &dyn Fn(&str, &str) -> bool) -> Read {
        let (text, starts) = self.text();
        let file = self.sheet.file().to_owned();
        let mut read = Read {
            runs: Vec::new(),
            starts,
        };
        let (runs, problems) = match CsvText::open(&file, text.as_bytes()) {
            Ok(csv) => read_lines(&csv, self.test, None),
            Err(p) => (Vec::new(), vec![*p]),
        };
        read.runs = runs;
        for p in problems {
            let row = read.row(p.at.line);
            let goes_on = |r: usize| stands(self.cell(r, RUN), self.cell(r, SPECIMEN));
            if p.code == "reading::blank" && row.is_some_and(goes_on) && self.is_given_once(&p) {
                continue;
            }
            let put = self.put_back(p, row, |line| read.row(line));
            self.note(put);
        }
        read
    }

    /// Adds a Problem, unless one stands at its place.
    pub(super) fn note(&mut self, p: Problem) {
        if self.faulty.insert((p.at.line, p.at.column)) {
            self.problems.push(p);
        }
    }

    /// Puts a Problem of a row, of the header without one, to its place in the sheet. `row_of` says
    /// on which row a line stands that its words name.
    pub(super) fn put_back(
        &self,
        p: Problem,
        row: Option<usize>,
        row_of: impl Fn(usize) -> Option<usize>,
    ) -> Problem {
        let column = p.at.field.as_deref().and_then(|f| self.column_of_header(f));
        let at = match row {
            Some(row) => self.place(row, column),
            None => {
                let from = column.and_then(|c| {
                    (0..self.rows.len())
                        .find_map(|r| self.origin(r, c))
                        .or_else(|| self.header_column(c))
                });
                self.sheet.header_place(from)
            }
        };
        let in_sheet = |line: usize| row_of(line).map(|r| self.number(r));
        self.named(Problem {
            at,
            what: renumbered(&p.what, in_sheet),
            fix: renumbered(&p.fix, in_sheet),
            ..p
        })
    }

    fn is_given_once(&self, p: &Problem) -> bool {
        p.at.field
            .as_deref()
            .and_then(|f| self.column_of_header(f))
            .and_then(|c| self.raw(self.columns.get(c)?.field?))
            .is_some_and(|c| c.need == Need::Once)
    }

    fn column_of_header(&self, header: &str) -> Option<usize> {
        let name = split_header(header).0;
        self.columns.iter().position(|c| {
            c.header == header || c.field.is_some() && split_header(&c.header).0 == name
        })
    }

    /// The lines as text, and the line on which each row begins.
    fn text(&self) -> (String, Vec<usize>) {
        let mut writer = csv::WriterBuilder::new()
            .delimiter(self.sheet.separator())
            .from_writer(Vec::new());
        // Writing to memory cannot fail.
        drop(writer.write_record(self.columns.iter().map(|c| c.header.as_str())));
        let mut starts = Vec::with_capacity(self.rows.len());
        let mut line = 2;
        for row in &self.rows {
            starts.push(line);
            line += 1;
            for cell in &row.cells {
                line += crate::catalog::text::line_ends(cell.as_bytes());
            }
            drop(writer.write_record(&row.cells));
        }
        let bytes = writer.into_inner().unwrap_or_default();
        (String::from_utf8(bytes).unwrap_or_default(), starts)
    }

    /// Refuses runs whose readings stand already: a sheet that is recorded a second time.
    pub(super) fn refuse_repeated(
        &mut self,
        read: &Read,
        made_up: &HashSet<String>,
        standing: &[&Run],
    ) {
        let mut new: BTreeMap<&str, Vec<&ReadRun>> = BTreeMap::new();
        for r in read.runs.iter().filter(|r| made_up.contains(&r.run.id)) {
            new.entry(&r.run.id).or_default().push(r);
        }
        let mut found = Vec::new();
        for pieces in new.values() {
            let Some(first) = pieces.first().map(|r| &r.run) else {
                continue;
            };
            let mut alike: BTreeMap<&str, Vec<&Specimen>> = BTreeMap::new();
            for run in standing.iter().filter(|s| {
                s.test == first.test
                    && s.material == first.material
                    && s.date == first.date
                    && s.condition == first.condition
            }) {
                alike.entry(&run.id).or_default().extend(&run.specimens);
            }
            for (id, there) in alike {
                if let Some(twice) = repeated(self.test, pieces, &there) {
                    found.push((id.to_owned(), twice));
                    break;
                }
            }
        }
        for (id, lines) in found {
            let rows: Vec<usize> = lines.iter().filter_map(|l| read.row(*l)).collect();
            let Some(first) = rows.first() else { continue };
            let mut numbers: Vec<usize> = rows.iter().map(|r| self.number(*r)).collect();
            numbers.dedup();
            let which = match numbers.as_slice() {
                [_] => "this line stands already".to_owned(),
                many => format!("lines {} stand already", super::fill::spans(many)),
            };
            let fault = Fault::new(
                "record::repeated",
                format!("{which} as run `{id}`: the same material, day, condition and readings"),
                "take what is recorded out of the sheet; to correct it, edit the cell in the catalog or set the run aside; if these are other specimens, give them a run of their own in `run`",
            );
            let place = self.place(*first, None);
            self.note(self.named(fault.at(place)));
        }
    }
}

/// The lines of the specimens that stand already, where too many do for chance.
fn repeated(test: &dyn BenchTest, new: &[&ReadRun], there: &[&Specimen]) -> Option<Vec<usize>> {
    let mut left: Vec<&Specimen> = there.to_vec();
    let mut lines = Vec::new();
    let mut count = 0;
    for piece in new {
        for s in &piece.run.specimens {
            count += 1;
            if let Some(k) = left.iter().position(|t| same(test, s, t)) {
                left.swap_remove(k);
                let at = piece.specimens.iter().find(|(n, _)| *n == s.number);
                lines.extend(at.map(|(_, at)| at.line));
            }
        }
    }
    // One of many may be alike by chance; two, or all there are, are not.
    let all = lines.len() == count.min(there.len());
    (!lines.is_empty() && (all || lines.len() > 1)).then_some(lines)
}

fn same(test: &dyn BenchTest, a: &Specimen, b: &Specimen) -> bool {
    let close = |a: f64, b: f64| (a - b).abs() <= SAME * a.abs().max(b.abs());
    a.points.len() == b.points.len()
        && a.points.iter().zip(&b.points).all(|(p, q)| {
            p.outcome == q.outcome
                && test.columns().iter().all(|c| {
                    p.word(c.name) == q.word(c.name)
                        && match (p.num(c.name), q.num(c.name)) {
                            (Some(x), Some(y)) => close(x, y),
                            (x, y) => x.is_none() && y.is_none(),
                        }
                })
        })
}

/// Replaces the number behind each `line ` by that of the sheet.
pub(super) fn renumbered(text: &str, number: impl Fn(usize) -> Option<usize>) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(i) = rest.find("line ") {
        let (head, tail) = rest.split_at(i + "line ".len());
        out.push_str(head);
        let digits: String = tail.chars().take_while(char::is_ascii_digit).collect();
        let new = digits.parse().ok().and_then(&number);
        match new {
            Some(n) => out.push_str(&n.to_string()),
            None => out.push_str(&digits),
        }
        rest = tail.get(digits.len()..).unwrap_or("");
    }
    out.push_str(rest);
    out
}

#[cfg(test)]
mod tests {
    use super::renumbered;

    #[test]
    fn numbers_of_lines_become_those_of_the_sheet() {
        let said = renumbered("is blank here and `a` on line 3 of the same run", |l| {
            Some(l * 10)
        });
        assert_eq!(said, "is blank here and `a` on line 30 of the same run");
        assert_eq!(renumbered("a line here", |_| Some(1)), "a line here");
    }
}
