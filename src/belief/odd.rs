//! New readings that sit oddly: far from the material's others, or outside its polymer's handbook range.
//!
//! They are told, never refused: the odd reading may be the true one.

use crate::belief::Evidence;
use crate::belief::cell::{Cell, CellReading, specimen_of};
use crate::num::median;
use crate::property::{PropertyId, ROOM_C, Scale, handbook_range};
use crate::quantity::Reading;

/// A reading further than this many pooled spreads from the material's others sits oddly.
const SPREADS: f64 = 4.0;

/// Why a reading sits oddly.
#[derive(Clone, Debug, PartialEq)]
pub enum Oddity {
    /// Far from the material's other readings under the same condition.
    Apart {
        /// Middle of the others, canonical unit.
        middle: f64,
        /// How far, in pooled spreads of one reading about them.
        spreads: f64,
        /// How many others.
        others: usize,
        /// Whether the others are of other runs; else they are its own run's.
        elsewhere: bool,
    },
    /// Outside the range in which handbooks have its polymer.
    Handbook {
        /// Low end, canonical unit.
        low: f64,
        /// High end.
        high: f64,
        /// How well the range is known.
        status: String,
    },
}

/// A reading that sits oddly.
#[derive(Clone, Debug, PartialEq)]
pub struct Odd {
    /// Material.
    pub material: String,
    /// Property.
    pub property: PropertyId,
    /// Run.
    pub run: String,
    /// Specimen within the run.
    pub specimen: u32,
    /// As read, canonical unit.
    pub figure: Reading,
    /// Why.
    pub why: Oddity,
}

impl Evidence {
    /// What sits oddly among the readings of some runs.
    ///
    /// An exact reading is held against the material's readings in other runs under the same condition, or, where
    /// there is none, against the others of its own run. The pooled spread is that of *other* materials in the
    /// property; against another print it holds the scatter between prints too, and against few readings their own
    /// mean's. Curves are held side by side at the last time that all of them reach. Handbook ranges count within the policy's window about room
    /// temperature.
    pub fn odd(&self, runs: &[String]) -> Vec<Odd> {
        let mut out = Vec::new();
        for cell in self.cells_of_runs(runs) {
            let new = |r: &CellReading<'_>| runs.iter().any(|id| id == r.run());
            for r in cell.readings.iter().filter(|r| new(r)) {
                let oddities = [self.apart(&cell, r), self.outside_handbook(&cell, r)];
                for why in oddities.into_iter().flatten() {
                    out.push(Odd {
                        material: cell.material.to_owned(),
                        property: cell.row.id.clone(),
                        run: r.run().to_owned(),
                        specimen: specimen_of(&r.seen),
                        figure: r.value.map(|y| cell.row.scale.back(y)),
                        why,
                    });
                }
            }
        }
        out
    }

    fn apart(&self, cell: &Cell<'_>, r: &CellReading<'_>) -> Option<Oddity> {
        let y = r.exact()?;
        let of = |same_run: bool| -> Vec<&CellReading<'_>> {
            cell.readings
                .iter()
                .filter(|o| o.exact().is_some() && (o.run() == r.run()) == same_run)
                .filter(|o| !std::ptr::eq(*o, r))
                .collect()
        };
        let (others, elsewhere) = match of(false) {
            found if !found.is_empty() => (found, true),
            _ => (of(true), false),
        };
        // Among its own fellows a reading may be the middle one itself; else one odd reading of three makes all odd.
        let itself = (!elsewhere && others.len() > 1).then_some(y);
        let middle = median(
            others
                .iter()
                .filter_map(|o| o.exact())
                .chain(itself)
                .collect(),
        );
        let scatter = cell.scatter(self);
        let n = others.len() as f64;
        let mut prints: Vec<_> = others.iter().map(|o| o.place()).collect();
        prints.sort_unstable();
        prints.dedup();
        let between = if prints.contains(&r.place()) {
            0.0
        } else {
            scatter.ratios.middle().between() * (1.0 + 1.0 / prints.len() as f64)
        };
        let variance = scatter.variance.max(cell.floor()) * (1.0 + 1.0 / n + between);
        let spreads = (y - middle).abs() / variance.sqrt();
        (!others.is_empty() && spreads > SPREADS).then(|| Oddity::Apart {
            middle: cell.row.scale.back(middle),
            spreads,
            others: others.len(),
            elsewhere,
        })
    }

    fn outside_handbook(&self, cell: &Cell<'_>, r: &CellReading<'_>) -> Option<Oddity> {
        let condition = &r.seen.observation.condition;
        if cell.hours.is_some()
            || (condition.temperature_c - ROOM_C).abs() > self.policy().temperature_window_k
        {
            return None;
        }
        let m = self.materials().get(cell.number)?;
        let range = handbook_range(&m.polymers, &m.grade, cell.row.id.as_str())?;
        let forward = |x: f64| match cell.row.scale {
            Scale::Log if x <= 0.0 => f64::NEG_INFINITY,
            scale => scale.forward(x),
        };
        let (low, high) = r.value.ends();
        (low > forward(range.high) || high < forward(range.low)).then_some(Oddity::Handbook {
            low: range.low,
            high: range.high,
            status: range.status,
        })
    }
}
