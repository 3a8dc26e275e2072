//! New readings beside earlier lots of the material and beside its polymer.

use crate::belief::cell::{Cell, CellReading};
use crate::belief::{Evidence, MaterialKind};
use crate::property::{Condition, PropertyId};
use std::collections::BTreeMap;

/// Differences beyond this many standard errors are told apart: about one in twenty by chance.
const TOLD_APART: f64 = 2.0;

/// The exact readings of one lot.
#[derive(Clone, Debug, PartialEq)]
pub struct LotFigure {
    /// Lot; `None` for the unknown one.
    pub lot: Option<String>,
    /// Readings.
    pub specimens: usize,
    /// Prints they come from.
    pub prints: usize,
    /// Their mean (geometric where the property counts by ratios), canonical unit.
    pub mean: f64,
    /// How far the new mean lies above it, in % of it where the property counts by ratios, else in the
    /// property's unit.
    pub new_above: f64,
    /// The same in standard errors of the difference.
    pub errors: f64,
}

impl LotFigure {
    /// Whether the difference is more than scatter of specimens and prints explains.
    pub fn told_apart(&self) -> bool {
        self.errors.abs() > TOLD_APART
    }
}

/// What other materials of the polymer show.
#[derive(Clone, Debug, PartialEq)]
pub struct PolymerFigures {
    /// Polymer, or blend.
    pub polymer: String,
    /// Lowest and highest mean of a material, canonical unit.
    pub low: f64,
    /// Highest.
    pub high: f64,
    /// Materials.
    pub materials: usize,
}

/// New readings of one property under one condition, beside what was there.
#[derive(Clone, Debug, PartialEq)]
pub struct Beside {
    /// Material.
    pub material: String,
    /// Property.
    pub property: PropertyId,
    /// Condition.
    pub condition: Condition,
    /// Hours after loading at which curves were read, all of them.
    pub hours: Option<f64>,
    /// Lot of the new readings; `None` for the unknown one.
    pub lot: Option<String>,
    /// New exact readings.
    pub specimens: usize,
    /// Their mean, canonical unit.
    pub mean: f64,
    /// Whether differences are in % of the other's mean; else they are in the property's unit.
    pub by_ratio: bool,
    /// Earlier readings, lot by lot; the same lot's first.
    pub earlier: Vec<LotFigure>,
    /// The polymer.
    pub polymer: Option<PolymerFigures>,
}

/// Mean and numbers of some exact readings, natural scale.
#[derive(Clone, Copy)]
struct Mean {
    at: f64,
    specimens: usize,
    prints: usize,
}

fn mean_of<'a>(readings: impl IntoIterator<Item = &'a CellReading<'a>>) -> Option<Mean> {
    let mut figures = Vec::new();
    let mut prints = Vec::new();
    for r in readings {
        if let Some(y) = r.exact() {
            figures.push(y);
            prints.push(r.place());
        }
    }
    prints.sort_unstable();
    prints.dedup();
    (!figures.is_empty()).then(|| Mean {
        at: figures.iter().sum::<f64>() / figures.len() as f64,
        specimens: figures.len(),
        prints: prints.len(),
    })
}

impl Evidence {
    /// The exact readings of some runs beside those of earlier runs, lot by lot, and beside the other
    /// materials of the polymer; a cell and lot each. Bounds are left out; curves
    /// are read at the last time that all of them reach.
    pub fn beside(&self, runs: &[String]) -> Vec<Beside> {
        let cells = self.cells_of_runs(runs);
        let mut out = Vec::new();
        for cell in &cells {
            let mut by_lot: BTreeMap<Option<&str>, (Vec<&CellReading<'_>>, Vec<&CellReading<'_>>)> =
                BTreeMap::new();
            for r in &cell.readings {
                let (new, old) = by_lot.entry(r.place().0).or_default();
                if runs.iter().any(|id| id == r.run()) {
                    new.push(r);
                } else {
                    old.push(r);
                }
            }
            for (lot, (new, _)) in &by_lot {
                let (Some(first), Some(mean)) = (new.first(), mean_of(new.iter().copied())) else {
                    continue;
                };
                let mut earlier: Vec<LotFigure> = by_lot
                    .iter()
                    .filter_map(|(l, (_, old))| {
                        let old = mean_of(old.iter().copied())?;
                        Some(self.lot_figure(cell, *l, old, mean))
                    })
                    .collect();
                earlier.sort_by_key(|e| e.lot.as_deref() != *lot);
                out.push(Beside {
                    material: cell.material.to_owned(),
                    property: cell.row.id.clone(),
                    condition: first.seen.observation.condition.clone(),
                    hours: cell.hours,
                    lot: lot.map(str::to_owned),
                    specimens: mean.specimens,
                    mean: cell.row.scale.back(mean.at),
                    by_ratio: cell.row.scale == crate::property::Scale::Log,
                    earlier,
                    polymer: self.polymer_figures(cell, first),
                });
            }
        }
        out
    }

    /// An earlier lot, with how far the new mean lies from it.
    ///
    /// Standard error: s^2 (1/n + 1/m) within prints and s^2 rho^2 (1/p + 1/q) between them, s and rho pooled
    /// (nested random effects; derived).
    fn lot_figure(&self, cell: &Cell<'_>, lot: Option<&str>, old: Mean, new: Mean) -> LotFigure {
        let scatter = cell.scatter(self);
        let part =
            |m: Mean| 1.0 / m.specimens as f64 + scatter.ratios.middle().prints / m.prints as f64;
        let variance = scatter.variance.max(cell.floor()) * (part(old) + part(new));
        let scale = cell.row.scale;
        let (was, is) = (scale.back(old.at), scale.back(new.at));
        LotFigure {
            lot: lot.map(str::to_owned),
            specimens: old.specimens,
            prints: old.prints,
            mean: was,
            new_above: match scale {
                crate::property::Scale::Log => 100.0 * (is / was - 1.0),
                crate::property::Scale::Plain => is - was,
            },
            errors: (new.at - old.at) / variance.sqrt(),
        }
    }

    fn polymer_figures(&self, cell: &Cell<'_>, first: &CellReading<'_>) -> Option<PolymerFigures> {
        let own = self.materials().get(cell.number)?;
        if own.polymers.is_empty() {
            return None;
        }
        let condition = &first.seen.observation.condition;
        let fellows = self.materials().iter().enumerate().filter(|(n, m)| {
            *n != cell.number && m.kind == MaterialKind::Candidate && m.polymers == own.polymers
        });
        let means: Vec<f64> = fellows
            .flat_map(|(n, m)| self.cells_of(&m.id, n))
            .filter(|c| c.row.id == cell.row.id && c.hours.is_some() == cell.hours.is_some())
            .filter_map(|c| match cell.hours {
                Some(h) => c.at(h),
                None => Some(c),
            })
            .filter(|c| {
                c.readings
                    .first()
                    .is_some_and(|r| r.seen.observation.condition == *condition)
            })
            .filter_map(|c| Some(mean_of(&c.readings)?.at))
            .collect();
        let low = means.iter().copied().reduce(f64::min)?;
        let high = means.iter().copied().reduce(f64::max)?;
        Some(PolymerFigures {
            polymer: own.polymers.join("+"),
            low: cell.row.scale.back(low),
            high: cell.row.scale.back(high),
            materials: means.len(),
        })
    }
}
