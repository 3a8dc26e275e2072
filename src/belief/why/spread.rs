//! The spread before and after own readings, and Student's t in closed form.

use crate::belief::Road;
use crate::belief::distribution::Centre;
use crate::belief::why::shape::{ClosedForm, Interval, RhoUsed, SpreadUsed};
use crate::belief::why::{Walk, interval};
use crate::num::t_quantile;

impl Walk<'_> {
    /// The spread before and after own readings.
    pub(super) fn spread(&self) -> Option<SpreadUsed> {
        // What is taken of another property has its spread there.
        if self.road == Road::ShortTime {
            return None;
        }
        let d = self.distribution()?;
        let node = d.weightiest().filter(|n| n.s > 0.0)?;
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
            pool: before.from.pool,
            pool_materials: before.from.materials,
            pool_dof: before.from.dof,
            alike_dof: before.from.alike,
            rhos: d
                .nodes()
                .iter()
                .map(|n| RhoUsed {
                    rho: n.ratios.prints.sqrt(),
                    weight: n.weight,
                })
                .collect(),
            lots: node.ratios.lots.sqrt(),
            before_sd_natural: before.variance.sqrt(),
            before_dof: before.dof,
            after_sd_natural: node.s,
            after_dof: d.chi.dof(),
            floor_sd_natural: if n > 0.0 {
                (steps / (12.0 * n)).sqrt()
            } else {
                0.0
            },
            rho: node.ratios.prints.sqrt(),
            rho_assumed: self.evidence.policy().rho,
        })
    }

    /// Student's t in closed form, where the centre is normal about own exact readings.
    pub(super) fn closed(&self) -> Option<ClosedForm> {
        if self.road == Road::ShortTime || self.belief.share <= 0.0 {
            return None;
        }
        let d = self.distribution()?;
        let node = d.weightiest()?;
        let Centre::Normal { at, per_s2, own } = node.centre else {
            return None;
        };
        if own > 0.0 || per_s2 <= 0.0 {
            return None;
        }
        let (share, dof) = (self.belief.share, d.chi.dof());
        let mean_scale = node.s * per_s2.sqrt();
        let next_scale = node.s * (per_s2 + node.ratios.next_part()).sqrt();
        let about = |scale: f64| -> Option<Interval> {
            interval(|p| Some(share * self.row.scale.back(at + scale * t_quantile(p, dof))))
        };
        Some(ClosedForm {
            at_natural: at,
            spread_natural: node.s,
            dof,
            mean_variance_per_spread2: per_s2,
            rho2: node.ratios.prints,
            mean_scale_natural: mean_scale,
            next_scale_natural: next_scale,
            t95: t_quantile(0.95, dof),
            mean: about(mean_scale)?,
            next_part: about(next_scale)?,
            shared_sd_natural: d.shared.sqrt(),
        })
    }
}
