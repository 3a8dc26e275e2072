//! Readings of one property of one material under one condition, side by side.

use crate::belief::Evidence;
use crate::belief::index::Seen;
use crate::belief::natural::natural;
use crate::belief::pool::{Scatter, cell_key};
use crate::bench::Value;
use crate::property::Property;
use crate::quantity::Reading;
use std::collections::BTreeSet;

/// The readings of a cell, those of a lot and print together.
pub(super) struct Cell<'a> {
    /// Material id.
    pub(super) material: &'a str,
    /// Its number.
    pub(super) number: usize,
    /// The property.
    pub(super) row: &'a Property,
    /// Hours after loading at which curves are read here: the last that all of them reach; `None` for
    /// figures that are no curves.
    pub(super) hours: Option<f64>,
    /// Figures and bounds.
    pub(super) readings: Vec<CellReading<'a>>,
}

/// One reading of a cell.
pub(super) struct CellReading<'a> {
    /// Where it comes from.
    pub(super) seen: Seen<'a>,
    /// On the natural scale.
    pub(super) value: Reading,
    /// Its resolution there.
    pub(super) step: f64,
}

impl<'a> CellReading<'a> {
    /// The figure on the natural scale, unless it is a bound.
    pub(super) fn exact(&self) -> Option<f64> {
        match self.value {
            Reading::Exact(y) => Some(y),
            _ => None,
        }
    }
    /// Id of its run.
    pub(super) fn run(&self) -> &'a str {
        &self.seen.run.run.id
    }
    /// Lot and print it was made of.
    pub(super) fn place(&self) -> (Option<&'a str>, (bool, &'a str)) {
        (self.seen.run.run.lot.as_deref(), self.seen.print())
    }
}

impl<'a> Cell<'a> {
    /// The same with its curves read at another time; `None` where none of them reaches it.
    pub(super) fn at(&self, hours: f64) -> Option<Cell<'a>> {
        let seen: Vec<Seen<'a>> = self.readings.iter().map(|r| r.seen).collect();
        cell(self.material, self.number, self.row, &seen, Some(hours))
    }
    /// The spread that other materials lend, on the rig kind of the first reading.
    pub(super) fn scatter(&self, evidence: &Evidence) -> Scatter {
        let kind = self
            .readings
            .first()
            .map(|r| r.seen.run.run.rig.kind.as_str());
        evidence.scatter(self.number, self.row, kind)
    }
    /// Least variance that the gauge's steps allow; NaN without readings.
    pub(super) fn floor(&self) -> f64 {
        let squares: f64 = self.readings.iter().map(|r| r.step * r.step).sum();
        squares / (12.0 * self.readings.len() as f64)
    }
}

impl Evidence {
    /// Every cell of every material, in the order of materials' ids and properties.
    pub(super) fn cells(&self) -> Vec<Cell<'_>> {
        self.index
            .materials()
            .flat_map(|(material, number)| self.cells_of(material, number))
            .collect()
    }

    /// The cells of the materials that some runs tested.
    pub(super) fn cells_of_runs(&self, runs: &[String]) -> Vec<Cell<'_>> {
        let tested: BTreeSet<&str> = self
            .runs()
            .iter()
            .filter(|r| runs.contains(&r.run.id))
            .filter_map(|r| r.run.material.as_deref())
            .collect();
        tested
            .into_iter()
            .filter_map(|m| Some((m, self.index.material(m)?)))
            .flat_map(|(material, number)| self.cells_of(material, number))
            .collect()
    }

    /// The cells of one material.
    pub(super) fn cells_of<'a>(&'a self, material: &'a str, number: usize) -> Vec<Cell<'a>> {
        let mut out = Vec::new();
        for (property, mut seen) in self.index.all_own(self.runs(), number) {
            let Some(row) = self.properties().get(property.as_str()) else {
                continue;
            };
            seen.sort_by(|a, b| {
                let place = |s: &Seen<'a>| (s.run.run.lot.as_deref(), s.print());
                cell_key(&a.observation.condition)
                    .partial_cmp(&cell_key(&b.observation.condition))
                    .unwrap_or(std::cmp::Ordering::Equal)
                    .then_with(|| place(a).cmp(&place(b)))
            });
            let same = |a: &Seen<'_>, b: &Seen<'_>| {
                cell_key(&a.observation.condition) == cell_key(&b.observation.condition)
            };
            for of in seen.chunk_by(same) {
                let last = |s: &&Seen<'_>| s.observation.value.last_h();
                let hours = of.iter().filter_map(|s| last(&s)).reduce(f64::min);
                out.extend(cell(material, number, row, of, None));
                if hours.is_some() {
                    out.extend(cell(material, number, row, of, hours));
                }
            }
        }
        out
    }
}

/// The readings of one condition that are figures, or, where `hours` is given, curves that reach it;
/// `None` without any.
fn cell<'a>(
    material: &'a str,
    number: usize,
    row: &'a Property,
    seen: &[Seen<'a>],
    hours: Option<f64>,
) -> Option<Cell<'a>> {
    let readings: Vec<CellReading<'a>> = seen
        .iter()
        .filter_map(|s| {
            let o = s.observation;
            let read = match (&o.value, hours) {
                (Value::Now(r), None) => *r,
                (Value::Curve(c), Some(h)) => Reading::Exact(c.read_at(h)?),
                _ => return None,
            };
            let (value, step) = natural(row, read, o.resolution)?;
            Some(CellReading {
                seen: *s,
                value,
                step,
            })
        })
        .collect();
    (!readings.is_empty()).then_some(Cell {
        material,
        number,
        row,
        hours,
        readings,
    })
}

/// Number of the specimen that an observation was made on.
pub(super) fn specimen_of(seen: &Seen<'_>) -> u32 {
    seen.run
        .specimens
        .iter()
        .find(|s| {
            s.observations
                .iter()
                .any(|o| std::ptr::eq(o, seen.observation))
        })
        .map_or(0, |s| s.specimen)
}
