//! Specimens as their lines come in: number, print, lot and point.

use super::Gatherer;
use super::fields::{LOT, OPERATOR, POINT, PRINT, SPECIMEN};
use crate::bench::Point;
use crate::catalog::csv_text::{LineAt, Row};
use crate::problem::Fault;

/// One specimen as its lines come in.
pub(super) struct Gathered {
    pub(super) run: usize,
    /// Its first line in the file.
    pub(super) first: LineAt,
    /// Whether that line says the lot, which a print would say too.
    lot_said: bool,
    /// Whether that line's lot and print were without fault.
    sound: bool,
    pub(super) lot: Option<String>,
    pub(super) print: Option<String>,
    pub(super) number: u32,
    pub(super) operator: Option<String>,
    pub(super) aside: Option<String>,
    pub(super) spoilt: bool,
    pub(super) points: Vec<(u32, LineAt, Point)>,
}

impl Gathered {
    /// Whether a later line's lot and print are those of the first, which were right.
    fn says(&self, (lot, print): (Option<&str>, Option<&str>)) -> bool {
        let same_lot = match lot {
            Some(_) => self.lot_said && lot == self.lot.as_deref(),
            None => !self.lot_said,
        };
        self.sound && same_lot && print == self.print.as_deref()
    }
}

impl Gatherer<'_, '_, '_> {
    pub(super) fn specimen(&mut self, row: &Row<'_>, r: usize) -> Option<usize> {
        let number = match self.text(row, SPECIMEN) {
            Some(cell) => match cell.parse::<u32>() {
                Ok(n) if n > 0 => n,
                _ => {
                    let f = Fault::new(
                        "specimen::malformed",
                        format!("`{cell}` is not the number of a specimen"),
                        "write 1, 2, 3 ...",
                    );
                    self.fault(row, SPECIMEN, f);
                    return None;
                }
            },
            None => {
                if self.cells.columns.has(SPECIMEN) {
                    let f = Fault::new(
                        "specimen::blank",
                        "the line does not say which specimen it is",
                        "write its number within the run: 1, 2, 3 ...",
                    );
                    self.fault(row, SPECIMEN, f);
                }
                return None;
            }
        };
        let key = (r, number);
        let known = match self.specimens.last() {
            Some(last) if (last.run, last.number) == key => Some(self.specimens.len() - 1),
            _ => self.specimen_by_key.get(&key).copied(),
        };
        let cells = (self.text(row, LOT), self.text(row, PRINT));
        if let Some(s) = known
            && self.specimens.get(s).is_some_and(|g| g.says(cells))
        {
            return known;
        }
        let before = self.cells.problems.len();
        let (lot, print) = self.lot_and_print(row, r);
        if let Some(s) = known {
            let same = self
                .specimens
                .get(s)
                .is_some_and(|g| g.lot == lot && g.print == print);
            if !same {
                let f = Fault::new(
                    "specimen::two-prints",
                    format!("specimen {number} stands under another print or lot above"),
                    "correct the cell, or give this specimen a number of its own",
                );
                self.fault(
                    row,
                    if self.cells.columns.has(PRINT) {
                        PRINT
                    } else {
                        LOT
                    },
                    f,
                );
            }
            return Some(s);
        }
        self.specimens.push(Gathered {
            run: r,
            first: row.at,
            lot_said: cells.0.is_some(),
            sound: self.cells.problems.len() == before,
            lot,
            print,
            number,
            operator: self.text(row, OPERATOR).map(str::to_owned),
            aside: None,
            spoilt: false,
            points: Vec::new(),
        });
        let s = self.specimens.len() - 1;
        self.specimen_by_key.insert(key, s);
        Some(s)
    }

    pub(super) fn lot_and_print(
        &mut self,
        row: &Row<'_>,
        r: usize,
    ) -> (Option<String>, Option<String>) {
        let mut lot = self.text(row, LOT).map(str::to_owned);
        let print = self.cells.id(row, PRINT, "print");
        let Some(k) = self.known else {
            return (lot, print);
        };
        if let Some(p) = &print {
            match (k.print)(p) {
                None => {
                    let f = Fault::new(
                        "print::unknown",
                        format!("the print `{p}` is not in prints.csv"),
                        "correct it, add the print to prints.csv, or leave the cell blank",
                    );
                    self.fault(row, PRINT, f);
                }
                Some(None) => {}
                Some(Some((material, print_lot))) => {
                    let own = self.runs.get(r).and_then(|h| h.material.clone());
                    if let Some(own) = own
                        && own != material
                    {
                        let f = Fault::new(
                            "print::other-material",
                            format!(
                                "the print `{p}` is of `{material}`, and the run is of `{own}`"
                            ),
                            "correct the print or the material",
                        );
                        self.fault(row, PRINT, f);
                    }
                    match (&lot, print_lot) {
                        (Some(here), Some(there)) if here != there => {
                            let f = Fault::new(
                                "print::other-lot",
                                format!(
                                    "the print `{p}` is of lot `{there}`, and the line says `{here}`"
                                ),
                                "correct the lot, or leave it blank",
                            );
                            self.fault(row, LOT, f);
                        }
                        (None, Some(there)) => lot = Some(there.to_owned()),
                        _ => {}
                    }
                }
            }
        }
        (lot, print)
    }

    pub(super) fn point(&mut self, row: &Row<'_>) -> Option<u32> {
        match self.text(row, POINT) {
            Some(cell) => match cell.parse::<u32>() {
                Ok(n) if n > 0 => Some(n),
                _ => {
                    let f = Fault::new(
                        "point::malformed",
                        format!("`{cell}` is not the number of a point"),
                        "write 1, 2, 3 ... in the order of time",
                    );
                    self.fault(row, POINT, f);
                    None
                }
            },
            None => Some(1),
        }
    }
}
