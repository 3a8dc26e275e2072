//! Prints and lots, rig bias, and what own readings say by themselves.

use crate::belief::Note;
use crate::belief::select::Picked;
use crate::belief::why::shape::{Alone, LikeliestUsed, LotMean, OwnSpread, PrintMean};
use crate::belief::why::{Walk, interval};
use crate::num::censored::{Span, likeliest};
use crate::num::t_quantile;
use crate::quantity::Reading;

impl Walk<'_> {
    /// The counted exact readings, print by print, and by temperature within a print.
    pub(super) fn print_means(&self) -> Vec<PrintMean> {
        let joined = self.selection.warm_share.is_some();
        let by_moisture = self
            .selection
            .notes
            .iter()
            .any(|n| matches!(n, Note::BetweenMoistures { .. }));
        self.selection
            .picks
            .chunk_by(|p, q| (p.lot, p.print, p.warm) == (q.lot, q.print, q.warm))
            .filter_map(|print| {
                let y: Vec<f64> = print.iter().filter_map(exact).collect();
                let first = print.first().filter(|_| !y.is_empty())?;
                let run = &first.seen.run.run;
                let mean = mean(&y);
                Some(PrintMean {
                    print: first.print.1.to_owned(),
                    named: first.print.0,
                    lot: run.lot.clone(),
                    temperature_c: (joined && !by_moisture)
                        .then_some(first.seen.observation.condition.temperature_c),
                    moisture: (joined && by_moisture)
                        .then_some(first.seen.observation.condition.moisture),
                    second: joined && first.warm,
                    n: y.len(),
                    mean_natural: mean,
                    mean: self.row.scale.back(mean),
                    squares_natural: y.iter().map(|y| (y - mean).powi(2)).sum(),
                })
            })
            .collect()
    }

    /// The counted exact readings, lot by lot; nothing where no lot is named.
    pub(super) fn lots(&self) -> Vec<LotMean> {
        let prints = self.print_means();
        if prints.iter().all(|p| p.lot.is_none()) {
            return Vec::new();
        }
        let mut names: Vec<&Option<String>> = prints.iter().map(|p| &p.lot).collect();
        names.sort();
        names.dedup();
        names
            .into_iter()
            .map(|lot| {
                let of: Vec<&PrintMean> = prints.iter().filter(|p| p.lot == *lot).collect();
                let means: Vec<f64> = of.iter().map(|p| p.mean_natural).collect();
                let at = mean(&means);
                LotMean {
                    lot: lot.clone(),
                    n: of.iter().map(|p| p.n).sum(),
                    prints: of.len(),
                    mean_natural: at,
                    mean: self.row.scale.back(at),
                }
            })
            .collect()
    }

    /// Scatter within own prints.
    pub(super) fn own_spread(&self) -> Option<OwnSpread> {
        let prints = self.print_means();
        let squares: f64 = prints.iter().map(|p| p.squares_natural).sum();
        let dof: f64 = prints.iter().map(|p| p.n as f64 - 1.0).sum();
        (dof > 0.0).then(|| OwnSpread {
            squares_natural: squares,
            dof,
            sd_natural: (squares / dof).sqrt(),
        })
    }

    /// Variance of the mean that the rigs' calibrations leave.
    pub(super) fn bias_variance(&self) -> f64 {
        self.belief.bias.iter().map(|b| b.slope * b.slope).sum()
    }

    /// What the counted readings say by themselves; nothing where two temperatures are mixed.
    pub(super) fn alone(&self) -> Option<Alone> {
        let picks = &self.read;
        if picks.is_empty() || self.selection.warm_share.is_some() {
            return None;
        }
        let y: Vec<f64> = picks.iter().filter_map(exact).collect();
        let n = y.len() as f64;
        let at = (!y.is_empty()).then(|| mean(&y));
        let sd = at
            .filter(|_| n > 1.5)
            .map(|at| (y.iter().map(|y| (y - at).powi(2)).sum::<f64>() / (n - 1.0)).sqrt());
        let back = |g: f64| self.row.scale.back(g);
        let bounds = picks.len() - y.len();
        let top = (bounds > 0).then(|| {
            let spans: Vec<Span> = picks
                .iter()
                .filter_map(|p| {
                    let (low, high) = p.y.ends();
                    Span::new(low, high, 1.0)
                })
                .collect();
            likeliest(&spans)
        });
        Some(Alone {
            exact: y.len(),
            bounds,
            mean_natural: at,
            sd_natural: sd,
            mean: at.map(back),
            interval: at.zip(sd).and_then(|(at, sd)| {
                interval(|p| Some(back(at + t_quantile(p, n - 1.0) * sd / n.sqrt())))
            }),
            t95: sd.map(|_| t_quantile(0.95, n - 1.0)),
            likeliest: top.and_then(Result::ok).map(|l| LikeliestUsed {
                mean_natural: l.mean,
                mean_se_natural: l.mean_se,
                sd_natural: l.sd,
                sd_se_natural: l.sd_se,
                mean: back(l.mean),
            }),
            no_likeliest: top.and_then(Result::err),
        })
    }
}

fn exact(p: &Picked<'_>) -> Option<f64> {
    match p.y {
        Reading::Exact(y) => Some(y),
        _ => None,
    }
}

fn mean(y: &[f64]) -> f64 {
    y.iter().sum::<f64>() / y.len() as f64
}
