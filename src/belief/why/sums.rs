//! Prints, spreads, rig bias, and the sums that can be done again by hand.

use crate::belief::distribution::Centre;
use crate::belief::select::Picked;
use crate::belief::why::shape::{
    Alone, ClosedForm, Interval, LikeliestUsed, LotMean, OwnSpread, PrintMean, SpreadUsed,
};
use crate::belief::why::{Walk, interval};
use crate::num::censored::{Span, likeliest};
use crate::num::t_quantile;
use crate::quantity::Reading;

impl Walk<'_> {
    /// The counted exact readings, print by print, and by temperature within a print.
    pub(super) fn print_means(&self) -> Vec<PrintMean> {
        let two_temperatures = self.selection.warm_share.is_some();
        self.selection
            .picks
            .chunk_by(|p, q| p.print == q.print && p.warm == q.warm)
            .filter_map(|print| {
                let y: Vec<f64> = print.iter().filter_map(exact).collect();
                let first = print.first().filter(|_| !y.is_empty())?;
                let run = &first.seen.run.run;
                let mean = mean(&y);
                Some(PrintMean {
                    print: first.print.1.to_owned(),
                    named: first.print.0,
                    lot: run.lot.clone(),
                    temperature_c: two_temperatures
                        .then_some(first.seen.observation.condition.temperature_c),
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

    /// The spread before and after own readings.
    pub(super) fn spread(&self) -> Option<SpreadUsed> {
        let d = self.distribution().filter(|d| d.s > 0.0)?;
        let kind = self.selection.picks.first().map(|p| p.rig_kind);
        let before = self.evidence.scatter(self.number, self.row, kind);
        let n = self.selection.picks.len() as f64;
        let steps: f64 = self
            .selection
            .picks
            .iter()
            .map(|p| p.resolution.powi(2))
            .sum();
        Some(SpreadUsed {
            before_sd_natural: before.variance.sqrt(),
            before_dof: before.dof,
            after_sd_natural: d.s,
            after_dof: d.chi.dof(),
            floor_sd_natural: if n > 0.0 {
                (steps / (12.0 * n)).sqrt()
            } else {
                0.0
            },
            rho: d.rho2.sqrt(),
            rho_assumed: self.evidence.policy().rho,
        })
    }

    /// Variance of the mean that the rigs' calibrations leave.
    pub(super) fn bias_variance(&self) -> f64 {
        self.belief.bias.iter().map(|b| b.slope * b.slope).sum()
    }

    /// Student's t in closed form, where the centre is normal about own exact readings.
    pub(super) fn closed(&self) -> Option<ClosedForm> {
        let d = self.distribution()?;
        let Centre::Normal { at, per_s2, own } = d.centre else {
            return None;
        };
        if own > 0.0 || per_s2 <= 0.0 {
            return None;
        }
        let (share, dof) = (self.belief.share, d.chi.dof());
        let mean_scale = d.s * per_s2.sqrt();
        let next_scale = d.s * (per_s2 + 1.0 + d.rho2).sqrt();
        let about = |scale: f64| -> Option<Interval> {
            interval(|p| Some(share * self.row.scale.back(at + scale * t_quantile(p, dof))))
        };
        Some(ClosedForm {
            at_natural: at,
            spread_natural: d.s,
            dof,
            mean_variance_per_spread2: per_s2,
            rho2: d.rho2,
            mean_scale_natural: mean_scale,
            next_scale_natural: next_scale,
            t95: t_quantile(0.95, dof),
            mean: about(mean_scale)?,
            next_part: about(next_scale)?,
            share_left: share,
            shared_sd_natural: d.shared.sqrt(),
        })
    }

    /// What the counted readings say by themselves; nothing where two temperatures are mixed.
    pub(super) fn alone(&self) -> Option<Alone> {
        let picks = &self.selection.picks;
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
