//! Gross outliers: kept, told, and held to a bounded influence.
//!
//! A reading so far from the middle of its fellows that the scatter of the *other* materials would give it
//! once in ten thousand is pulled in to that distance (winsorised; Huber 1964, from memory, not verified):
//! it still speaks for a wide scatter and moves the mean, but no further than a reading at that distance
//! would. Nothing is dropped. Where more than a third of the readings lie that far out, the material is
//! noisy, there is no outlier, and all stand as they are.

use crate::belief::Evidence;
use crate::belief::cell::specimen_of;
use crate::belief::pool::Scatter;
use crate::num::{median, t_quantile};
use crate::property::PropertyId;

/// Chance of a reading beyond the limit on either side.
const CHANCE: f64 = 1e-4;
/// Fewest readings among which one can be told from the others.
const FEWEST: usize = 3;

/// What becomes of one exact reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pulled {
    /// Where it enters, natural scale.
    pub(super) to: f64,
    /// Middle of its fellows.
    pub(super) middle: f64,
}

/// For each exact reading under one condition, where it is pulled to if it is a gross outlier.
///
/// A reading is held against its own print where that has three, else against all. Readings of a print
/// stand together; `floor` is the least variance that the gauge's steps allow.
pub(super) fn pulled<P: PartialEq>(
    readings: &[(f64, P)],
    scatter: &Scatter,
    floor: f64,
) -> Vec<Option<Pulled>> {
    let figures = |of: &[(f64, P)]| of.iter().map(|r| r.0).collect::<Vec<f64>>();
    let all = figures(readings);
    let several = readings.windows(2).any(|w| match w {
        [a, b] => a.1 != b.1,
        _ => false,
    });
    let together = limits(&all, several, scatter, floor);
    readings
        .chunk_by(|a, b| a.1 == b.1)
        .flat_map(|print| {
            let limits = if print.len() < FEWEST {
                together
            } else {
                limits(&figures(print), false, scatter, floor)
            };
            print
                .iter()
                .map(move |r| limits.and_then(|l| l.pulled(r.0)))
        })
        .collect()
}

/// The span outside which readings are gross outliers, on the natural scale.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Limits {
    /// Middle of the readings.
    middle: f64,
    /// Largest distance from it.
    away: f64,
}

impl Limits {
    fn pulled(self, y: f64) -> Option<Pulled> {
        let off = y - self.middle;
        (off.abs() > self.away).then(|| Pulled {
            to: self.middle + self.away.copysign(off),
            middle: self.middle,
        })
    }
}

/// Limits of exact readings of one print, or of several; `None` where no reading is an outlier.
fn limits(readings: &[f64], several: bool, scatter: &Scatter, floor: f64) -> Option<Limits> {
    let n = readings.len();
    if n < FEWEST {
        return None;
    }
    let prints = if several {
        scatter.ratios.middle().between()
    } else {
        0.0
    };
    let variance = scatter.variance.max(floor) * (1.0 + 1.0 / n as f64 + prints);
    let away = t_quantile(1.0 - 0.5 * CHANCE, scatter.dof) * variance.sqrt();
    let limits = Limits {
        middle: median(readings.to_vec()),
        away,
    };
    let beyond = readings
        .iter()
        .filter(|y| limits.pulled(**y).is_some())
        .count();
    (away.is_finite() && beyond > 0 && 3 * beyond <= n).then_some(limits)
}

/// A gross outlier, for people to look at again.
#[derive(Clone, Debug, PartialEq)]
pub struct Outlier {
    /// Material.
    pub material: String,
    /// Property.
    pub property: PropertyId,
    /// Run.
    pub run: String,
    /// Specimen within the run.
    pub specimen: u32,
    /// As read, canonical unit.
    pub figure: f64,
    /// As it enters beliefs, canonical unit.
    pub taken: f64,
    /// Middle of its fellows, canonical unit.
    pub middle: f64,
}

impl Evidence {
    /// Every gross outlier among the readings that count, each held against those of its material under its
    /// own condition.
    pub fn outliers(&self) -> Vec<Outlier> {
        let mut out = Vec::new();
        for mut cell in self.cells() {
            cell.readings.retain(|r| r.exact().is_some());
            if cell.hours.is_some() || cell.readings.len() < FEWEST {
                continue;
            }
            let scatter = cell.scatter(self);
            let readings: Vec<(f64, _)> = cell
                .readings
                .iter()
                .filter_map(|r| Some((r.exact()?, r.place())))
                .collect();
            let pulled = pulled(&readings, &scatter, cell.floor());
            for ((r, (y, _)), p) in cell.readings.iter().zip(&readings).zip(pulled) {
                let Some(p) = p else { continue };
                out.push(Outlier {
                    material: cell.material.to_owned(),
                    property: cell.row.id.clone(),
                    run: r.run().to_owned(),
                    specimen: specimen_of(&r.seen),
                    figure: cell.row.scale.back(*y),
                    taken: cell.row.scale.back(p.to),
                    middle: cell.row.scale.back(p.middle),
                });
            }
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::belief::pool::{PoolFrom, PoolKind};
    use crate::belief::ratio::RatioPrior;
    use std::sync::Arc;

    fn scatter() -> Scatter {
        Scatter {
            dof: 8.0,
            variance: 1.0,
            ratios: Arc::new(RatioPrior::assumed(1.0)),
            from: PoolFrom {
                pool: PoolKind::Default,
                materials: 0,
                dof: 0.0,
                alike: None,
            },
        }
    }

    fn of(figures: &[f64]) -> Vec<Option<f64>> {
        let readings: Vec<(f64, u8)> = figures.iter().map(|y| (*y, 0)).collect();
        pulled(&readings, &scatter(), 0.0)
            .into_iter()
            .map(|p| p.map(|p| p.to))
            .collect()
    }

    #[test]
    fn one_gross_outlier_among_three_is_held_at_the_limit() {
        // t(0.99995; 8) = 7.1200, reproduced by scipy 1.17.1; times sqrt(1 + 1/3).
        let limit = 10.0 + 7.120 * (4.0_f64 / 3.0).sqrt();
        for far in [30.0, 300.0] {
            let p = of(&[10.0, 9.5, far]);
            assert_eq!((p[0], p[1]), (None, None));
            assert!(p[2].is_some_and(|y| (y - limit).abs() < 0.01), "{p:?}");
        }
        assert_eq!(of(&[10.0, 9.5, 15.0]), [None; 3]);
    }

    #[test]
    fn two_are_not_enough_and_noisy_material_has_none() {
        assert_eq!(of(&[10.0, 300.0]), [None; 2]);
        assert_eq!(of(&[10.0, 100.0, 200.0]), [None; 3]);
        assert_eq!(of(&[10.0, 10.1, 10.2, 100.0, 200.0]), [None; 5]);
    }
}
