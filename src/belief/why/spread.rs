//! The spread before and after own readings, rho and lots, and Student's t in closed form.

use crate::belief::distribution::{Centre, Node, Of};
use crate::belief::why::shape::{ClosedForm, Interval, PoolFrom, RhoUsed, SpreadUsed, StudentUsed};
use crate::belief::why::{Walk, interval};
use crate::belief::{PoolKind, Road};
use crate::num::t_quantile;

impl Walk<'_> {
    /// Scatter before and after own readings.
    pub(super) fn spread(&self) -> Option<SpreadUsed> {
        // What is taken of another property has its spread there.
        if self.road == Road::ShortTime {
            return None;
        }
        let d = self.distribution()?;
        let middle = middle(d.nodes()).filter(|n| n.s > 0.0)?;
        let kind = self.selection.picks.first().map(|p| p.rig_kind);
        let before = self.evidence.scatter(self.number, self.row, kind);
        let n = self.selection.picks.len() as f64;
        let steps: f64 = self
            .selection
            .picks
            .iter()
            .map(|p| p.resolution.powi(2))
            .sum();
        let floor = if n > 0.0 { steps / (12.0 * n) } else { 0.0 };
        let dof = d.chi.dof();
        let held = before.dof * before.variance.max(floor);
        let from = &before.from;
        Some(SpreadUsed {
            from: PoolFrom {
                pool: from.pool,
                rig_kind: kind
                    .filter(|_| from.pool == PoolKind::SameRig)
                    .map(str::to_owned),
                materials: from.materials,
                dof: from.dof,
                alike_dof: from.alike,
                default_sd_natural: self.row.spread.sd,
                default_status: self.row.spread.status,
            },
            before_sd_natural: before.variance.sqrt(),
            before_dof: before.dof,
            own_squares_natural: (dof * middle.s * middle.s - held).max(0.0),
            own_dof: dof - before.dof,
            after_sd_natural: middle.s,
            after_dof: dof,
            with_bounds_sd_natural: match &middle.centre {
                Centre::Grid(g) => {
                    let ln: f64 = g
                        .weights
                        .iter()
                        .zip(&g.spreads)
                        .map(|(w, s)| w * s.ln())
                        .sum();
                    Some(ln.exp())
                }
                Centre::Normal { .. } => None,
            },
            floor_sd_natural: floor.sqrt(),
            rho_assumed: self.evidence.policy().rho,
            rho_dof: self
                .evidence
                .index
                .pool(&self.row.id)
                .map_or(0.0, |p| p.repeats_dof()),
            rho: before
                .ratios
                .nodes
                .iter()
                .zip(d.nodes())
                .map(|(prior, n)| RhoUsed {
                    rho: prior.prints.sqrt(),
                    before: prior.weight,
                    after: n.weight,
                })
                .collect(),
            lambda: before.ratios.lots.sqrt(),
        })
    }

    /// Student's t in closed form, where the centre is normal about own exact readings.
    pub(super) fn closed(&self) -> Option<ClosedForm> {
        if self.road == Road::ShortTime || self.belief.share <= 0.0 {
            return None;
        }
        let d = self.distribution()?;
        let nodes: Option<Vec<StudentUsed>> = d.nodes().iter().map(student).collect();
        let (nodes, dof) = (nodes?, d.chi.dof());
        let middle = *nodes.get(nodes.len() / 2)?;
        let back = |g: f64| self.belief.share * self.row.scale.back(g);
        let about =
            |scale: f64| interval(|p| Some(back(middle.at_natural + scale * t_quantile(p, dof))));
        let mut bare = d.clone();
        bare.shared = 0.0;
        let mixed =
            |of: Of| -> Option<Interval> { interval(|p| Some(back(bare.quantile(p, of, 0.0)))) };
        Some(ClosedForm {
            dof,
            t95: t_quantile(0.95, dof),
            middle_mean: about(middle.mean_scale_natural)?,
            middle_next_part: about(middle.next_scale_natural)?,
            mean: mixed(Of::Mean)?,
            next_part: mixed(Of::Part)?,
            nodes,
            shared_sd_natural: d.shared.sqrt(),
        })
    }
}

/// The middle one.
fn middle(nodes: &[Node]) -> Option<&Node> {
    nodes.get(nodes.len() / 2)
}

/// Student's t of a node; `None` where its centre rests on more than own exact readings.
fn student(n: &Node) -> Option<StudentUsed> {
    let Centre::Normal { at, per_s2, own } = n.centre else {
        return None;
    };
    (own <= 0.0 && per_s2 > 0.0).then(|| StudentUsed {
        rho: n.ratios.prints.sqrt(),
        weight: n.weight,
        at_natural: at,
        spread_natural: n.s,
        mean_variance_per_spread2: per_s2,
        part_variance_per_spread2: n.ratios.next_part(),
        mean_scale_natural: n.s * per_s2.sqrt(),
        next_scale_natural: n.s * (per_s2 + n.ratios.next_part()).sqrt(),
    })
}
