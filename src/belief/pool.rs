//! The pooled spread of a property, and how far prints differ among themselves.
//!
//! Residuals are taken about each print's own mean under one condition, so that neither a
//! material's level nor a print's enters the spread. Own residuals are left out of a
//! material's prior by subtracting its share of the sums.

use crate::belief::index::Seen;
use crate::bench::Value;
use crate::policy::Policy;
use crate::property::{Condition, Property, Scale};
use crate::quantity::Reading;
use std::collections::BTreeMap;

/// Prior weight of the policy's rho, in degrees of freedom: (4 rho^2 + nu r^2) / (4 + nu).
const RHO_WEIGHT: f64 = 4.0;

/// A sum of squares and its degrees of freedom.
#[derive(Clone, Copy, Debug, Default)]
struct Sum {
    squares: f64,
    dof: f64,
}

impl Sum {
    fn add(&mut self, other: Sum) {
        self.squares += other.squares;
        self.dof += other.dof;
    }
    fn without(self, other: Sum) -> Sum {
        Sum {
            squares: (self.squares - other.squares).max(0.0),
            dof: (self.dof - other.dof).max(0.0),
        }
    }
}

/// What is known of the spread of a property before a material's own readings.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scatter {
    /// Degrees of freedom.
    pub(super) dof: f64,
    /// Scale of the variance within a print, natural scale squared.
    pub(super) variance: f64,
    /// Ratio of print-to-print to within-print variance.
    pub(super) rho2: f64,
}

/// Residual sums of one property.
#[derive(Clone, Debug, Default)]
pub(super) struct Pool {
    default_sd: f64,
    all: Sum,
    kinds: BTreeMap<String, Sum>,
    own: BTreeMap<usize, BTreeMap<String, Sum>>,
    /// Squares between prints of one material and condition, and their degrees of freedom.
    between: Sum,
    /// Sum over those of n - sum(n_j^2) / n: what one unit of print variance adds to the squares.
    leverage: f64,
}

impl Pool {
    /// An empty pool of a property with this default spread.
    pub(super) fn new(default_sd: f64) -> Self {
        Pool {
            default_sd,
            ..Pool::default()
        }
    }

    /// Adds one material's exact readings.
    pub(super) fn add(&mut self, material: usize, scale: Scale, seen: &[Seen<'_>]) {
        let mut rows: Vec<(Cell<'_>, (bool, &str), &str, f64)> = seen
            .iter()
            .filter_map(|s| {
                let y = exact_figure(&s.observation.value)?;
                let g = scale.forward(y);
                g.is_finite().then(|| {
                    (
                        Cell(&s.observation.condition),
                        s.print(),
                        s.run.run.rig.kind.as_str(),
                        g,
                    )
                })
            })
            .collect();
        rows.sort_by(|a, b| {
            (a.0.key(), a.1, a.2)
                .partial_cmp(&(b.0.key(), b.1, b.2))
                .unwrap_or(std::cmp::Ordering::Equal)
                .then(a.3.total_cmp(&b.3))
        });
        for cell in rows.chunk_by(|a, b| a.0.key() == b.0.key()) {
            let prints: Vec<(f64, f64)> = cell
                .chunk_by(|a, b| a.1 == b.1)
                .map(|print| {
                    let n = print.len() as f64;
                    let mean = print.iter().map(|r| r.3).sum::<f64>() / n;
                    let squares = print.iter().map(|r| (r.3 - mean).powi(2)).sum();
                    let sum = Sum {
                        squares,
                        dof: n - 1.0,
                    };
                    if let Some(first) = print.first().filter(|_| n > 1.0) {
                        self.all.add(sum);
                        self.kinds.entry(first.2.to_owned()).or_default().add(sum);
                        let own = self.own.entry(material).or_default();
                        own.entry(first.2.to_owned()).or_default().add(sum);
                    }
                    (n, mean)
                })
                .collect();
            if prints.len() > 1 {
                let n: f64 = prints.iter().map(|p| p.0).sum();
                let mean = prints.iter().map(|p| p.0 * p.1).sum::<f64>() / n;
                self.between.add(Sum {
                    squares: prints.iter().map(|p| p.0 * (p.1 - mean).powi(2)).sum(),
                    dof: prints.len() as f64 - 1.0,
                });
                self.leverage += n - prints.iter().map(|p| p.0 * p.0).sum::<f64>() / n;
            }
        }
    }

    /// Variance ratio of prints: the policy's, pulled towards what repeated prints show.
    ///
    /// One-way analysis of variance with unequal groups, the negative estimate set to zero
    /// (ISO 5725-2 basic method, from memory, not verified; the expectation of the squares derived).
    fn rho2(&self, policy: &Policy) -> f64 {
        let prior = policy.rho * policy.rho;
        let nu = self.between.dof;
        if nu <= 0.0 || self.leverage <= 0.0 {
            return prior;
        }
        let within = if self.all.dof > 0.0 && self.all.squares > 0.0 {
            self.all.squares / self.all.dof
        } else {
            self.default_sd * self.default_sd
        };
        if within <= 0.0 {
            return prior;
        }
        let r2 = ((self.between.squares - nu * within) / (within * self.leverage)).max(0.0);
        (RHO_WEIGHT * prior + nu * r2) / (RHO_WEIGHT + nu)
    }

    fn others(&self, material: usize, kind: Option<&str>) -> Sum {
        let own = self.own.get(&material);
        match kind {
            Some(k) => {
                let all = self.kinds.get(k).copied().unwrap_or_default();
                let mine = own.and_then(|o| o.get(k)).copied().unwrap_or_default();
                all.without(mine)
            }
            None => {
                let mut mine = Sum::default();
                for s in own.into_iter().flat_map(BTreeMap::values) {
                    mine.add(*s);
                }
                self.all.without(mine)
            }
        }
    }
}

/// The prior of a material's spread: others on the same kind of rig, else on any rig, else the
/// property's default.
pub(super) fn scatter(
    pool: Option<&Pool>,
    row: &Property,
    policy: &Policy,
    material: usize,
    kind: Option<&str>,
) -> Scatter {
    let floor = policy.pool_floor.max(f64::MIN_POSITIVE);
    let default = Scatter {
        dof: floor,
        variance: row.spread.sd * row.spread.sd,
        rho2: policy.rho * policy.rho,
    };
    let Some(pool) = pool else { return default };
    let rho2 = pool.rho2(policy);
    let mut sum = kind.map_or_else(Sum::default, |k| pool.others(material, Some(k)));
    if sum.dof < floor {
        sum = pool.others(material, None);
    }
    if sum.dof < floor || sum.squares <= 0.0 {
        return Scatter { rho2, ..default };
    }
    Scatter {
        dof: sum.dof.min(policy.pool_cap.max(floor)),
        variance: sum.squares / sum.dof,
        rho2,
    }
}

/// The figure of an exact reading, of a curve its last one.
fn exact_figure(value: &Value) -> Option<f64> {
    match value {
        Value::Now(Reading::Exact(y)) => Some(*y),
        Value::Now(_) => None,
        Value::Curve(_) => Some(value.figure()),
    }
}

/// A condition as a key: specimens under one are repeats of each other.
struct Cell<'a>(&'a Condition);

type CellKey<'a> = (
    Option<crate::property::Direction>,
    Option<crate::property::Face>,
    f64,
    crate::property::Moisture,
    Option<&'a str>,
    Option<&'a str>,
    Option<&'a str>,
);

impl<'a> Cell<'a> {
    fn key(&self) -> CellKey<'a> {
        let c = self.0;
        (
            c.direction,
            c.face,
            c.temperature_c,
            c.moisture,
            c.annealed.as_deref(),
            c.counterface.as_deref(),
            c.kind.as_deref(),
        )
    }
}
