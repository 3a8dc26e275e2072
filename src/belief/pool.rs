//! What a property's other materials say of scatter: gathered once, asked for each material.
//!
//! Residuals are taken about each print's own mean under one condition, so that neither a
//! material's level nor a print's enters the spread. Own residuals are left out of a
//! material's prior. The same kind of rig is asked first.

use crate::belief::closed::Exact;
use crate::belief::index::Seen;
use crate::belief::ratio::{self, RatioPrior, RatioTable};
use crate::belief::spread::{Before, SpreadPrior, SpreadTable, Sum};
use crate::bench::Value;
use crate::policy::Policy;
use crate::property::{Condition, Property, Scale};
use crate::quantity::Reading;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

/// Least variance kept of identical repeats, in rounding variances.
const LEAST_OF_STEP: f64 = 0.25;

/// What is known of the spread of a property before a material's own readings.
#[derive(Clone, Debug)]
pub(super) struct Scatter {
    /// Degrees of freedom.
    pub(super) dof: f64,
    /// Scale of the variance within a print, natural scale squared.
    pub(super) variance: f64,
    /// Variances of prints and lots over it.
    pub(super) ratios: Arc<RatioPrior>,
    /// Where the spread comes from.
    pub(super) from: PoolFrom,
}

/// Where a pooled spread comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct PoolFrom {
    /// Which other materials lent it.
    pub(super) pool: PoolKind,
    /// How many lent.
    pub(super) materials: usize,
    /// Degrees of freedom of their residuals together.
    pub(super) dof: f64,
    /// Degrees of freedom by which they scatter alike (d0), where it was found.
    pub(super) alike: Option<f64>,
}

/// Which other materials lend a spread.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum PoolKind {
    /// Those tested on the same kind of rig.
    SameRig,
    /// All, on any rig.
    AnyRig,
    /// None: the property's default.
    Default,
}

/// Sums of one kind of rig, or of all.
#[derive(Clone, Debug, Default)]
struct Lenders {
    all: Sum,
    own: BTreeMap<usize, Sum>,
    /// The property's default variance.
    default: f64,
    /// Made when first asked for: a command asks for a few properties of a catalog.
    table: OnceLock<SpreadTable>,
    /// Priors by material, kept once found; the last for a material that lends nothing itself.
    kept: BTreeMap<usize, OnceLock<Option<SpreadPrior>>>,
    rest: OnceLock<Option<SpreadPrior>>,
}

impl Lenders {
    fn add(&mut self, material: usize, sum: Sum) {
        self.all.add(sum);
        self.own.entry(material).or_default().add(sum);
    }
    fn finish(&mut self, default: f64) {
        self.default = default;
        self.kept = self.own.keys().map(|m| (*m, OnceLock::new())).collect();
    }
    fn table(&self) -> &SpreadTable {
        self.table.get_or_init(|| {
            let groups: Vec<Sum> = self.own.values().copied().collect();
            SpreadTable::new(self.default, &groups)
        })
    }
    fn own(&self, material: usize) -> Sum {
        self.own.get(&material).copied().unwrap_or_default()
    }
    fn others(&self, material: usize) -> Sum {
        self.all.without(self.own(material))
    }
    fn count(&self, material: usize) -> usize {
        self.own.len() - usize::from(self.own.contains_key(&material))
    }
    fn prior(&self, material: usize, before: Before) -> Option<SpreadPrior> {
        let slot = self.kept.get(&material).unwrap_or(&self.rest);
        *slot.get_or_init(|| self.table().prior(self.own(material), before))
    }
}

/// Repeated prints of one property.
#[derive(Clone, Debug, Default)]
struct Repeats {
    all: RatioTable,
    own: BTreeMap<usize, RatioTable>,
    /// Degrees of freedom between prints.
    dof: f64,
    kept: BTreeMap<usize, OnceLock<Arc<RatioPrior>>>,
    rest: OnceLock<Arc<RatioPrior>>,
    lots: f64,
}

/// Scatter of one property over all materials.
#[derive(Clone, Debug, Default)]
pub(super) struct Pool {
    all: Lenders,
    kinds: BTreeMap<String, Lenders>,
    repeats: Repeats,
    /// Readings of one material, condition and lot with several prints.
    prints: Vec<(usize, Vec<Exact>)>,
    /// Readings of one material and condition with several lots.
    lots: Vec<Vec<Exact>>,
}

/// One exact reading of the pool.
struct PoolRow<'a> {
    cell: CellKey<'a>,
    lot: Option<&'a str>,
    print: (bool, &'a str),
    kind: &'a str,
    y: f64,
    resolution: f64,
}

impl Pool {
    /// Adds one material's exact readings.
    pub(super) fn add(&mut self, material: usize, scale: Scale, seen: &[Seen<'_>]) {
        let mut rows: Vec<PoolRow<'_>> = seen
            .iter()
            .filter_map(|s| {
                let y = exact_figure(&s.observation.value)?;
                let g = scale.forward(y);
                let step = s.observation.resolution.max(0.0);
                g.is_finite().then(|| PoolRow {
                    cell: cell_key(&s.observation.condition),
                    lot: s.run.run.lot.as_deref(),
                    print: s.print(),
                    kind: s.run.run.rig.kind.as_str(),
                    y: g,
                    resolution: match scale {
                        Scale::Log => step / y,
                        Scale::Plain => step,
                    },
                })
            })
            .collect();
        rows.sort_by(|a, b| {
            (a.cell, a.lot, a.print, a.kind)
                .partial_cmp(&(b.cell, b.lot, b.print, b.kind))
                .unwrap_or(std::cmp::Ordering::Equal)
                .then(a.y.total_cmp(&b.y))
        });
        for cell in rows.chunk_by(|a, b| a.cell == b.cell) {
            let mut numbered: Vec<Exact> = Vec::with_capacity(cell.len());
            let (mut lots, mut prints) = (0, 0);
            for lot in cell.chunk_by(|a, b| a.lot == b.lot) {
                let first = numbered.len();
                let before = prints;
                for print in lot.chunk_by(|a, b| a.print == b.print) {
                    self.add_print(material, print);
                    numbered.extend(print.iter().map(|r| Exact {
                        y: r.y,
                        print: prints,
                        lot: lots,
                        warm: false,
                    }));
                    prints += 1;
                }
                if prints - before > 1
                    && let Some(of_lot) = numbered.get(first..)
                {
                    self.prints.push((material, of_lot.to_vec()));
                    self.repeats.dof += (prints - before - 1) as f64;
                }
                lots += 1;
            }
            if lots > 1 {
                self.lots.push(numbered);
            }
        }
    }

    fn add_print(&mut self, material: usize, print: &[PoolRow<'_>]) {
        let Some(first) = print.first().filter(|_| print.len() > 1) else {
            return;
        };
        let n = print.len() as f64;
        let mean = print.iter().map(|r| r.y).sum::<f64>() / n;
        let squares: f64 = print.iter().map(|r| (r.y - mean).powi(2)).sum();
        // A rounding error has a twelfth of the step squared (JCGM 100, 4.3.7): it is taken off (Sheppard's
        // correction), but identical repeats on a coarse gauge are not certainty.
        let step = print.iter().map(|r| r.resolution.powi(2)).sum::<f64>() / (12.0 * n);
        let dof = n - 1.0;
        let sum = Sum {
            squares: (squares - dof * step).max(LEAST_OF_STEP * dof * step),
            dof,
        };
        self.all.add(material, sum);
        self.kinds
            .entry(first.kind.to_owned())
            .or_default()
            .add(material, sum);
    }

    /// Degrees of freedom between repeated prints of one lot and condition.
    pub(super) fn repeats_dof(&self) -> f64 {
        self.repeats.dof
    }

    /// Closes the gathering: likelihoods over the grids.
    pub(super) fn finish(&mut self, row: &Property, policy: &Policy) {
        let default = default_variance(row);
        self.all.finish(default);
        for k in self.kinds.values_mut() {
            k.finish(default);
        }
        // For the ratios alone each material's spread starts at the property's own.
        let dof = policy.pool_floor.max(f64::MIN_POSITIVE);
        let variance = if self.all.all.dof > 0.0 && self.all.all.squares > 0.0 {
            self.all.all.squares / self.all.all.dof
        } else {
            default
        };
        let r = &mut self.repeats;
        for (material, readings) in std::mem::take(&mut self.prints) {
            let t = RatioTable::of(&readings, dof, variance);
            r.all.add(&t);
            r.own.entry(material).or_default().add(&t);
        }
        r.kept = r.own.keys().map(|m| (*m, OnceLock::new())).collect();
        let middle = r.all.prior(None, policy.rho).middle().prints;
        r.lots = ratio::lots(&std::mem::take(&mut self.lots), middle, dof, variance);
    }

    fn ratios(&self, material: usize, policy: &Policy) -> Arc<RatioPrior> {
        let r = &self.repeats;
        let make = || {
            Arc::new(RatioPrior {
                lots: r.lots,
                ..r.all.prior(r.own.get(&material), policy.rho)
            })
        };
        Arc::clone(r.kept.get(&material).unwrap_or(&r.rest).get_or_init(make))
    }
}

fn default_variance(row: &Property) -> f64 {
    row.spread.sd * row.spread.sd
}

/// The prior of a material's scatter: others on the same kind of rig, else on any rig, else the
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
        variance: default_variance(row),
        ratios: match pool {
            Some(p) => p.ratios(material, policy),
            None => Arc::new(RatioPrior::assumed(policy.rho)),
        },
        from: PoolFrom {
            pool: PoolKind::Default,
            materials: 0,
            dof: 0.0,
            alike: None,
        },
    };
    let Some(pool) = pool else { return default };
    let enough = |l: &&Lenders| l.others(material).dof >= floor;
    let (lenders, kind) = match kind.and_then(|k| pool.kinds.get(k)).filter(enough) {
        Some(same) => (same, PoolKind::SameRig),
        None => (&pool.all, PoolKind::AnyRig),
    };
    let others = lenders.others(material);
    if others.dof < floor || others.squares <= 0.0 {
        return default;
    }
    let from = PoolFrom {
        pool: kind,
        materials: lenders.count(material),
        dof: others.dof,
        alike: None,
    };
    let before = Before {
        floor,
        cap: policy.pool_cap,
        variance: default.variance,
    };
    if let Some(p) = lenders.prior(material, before) {
        return Scatter {
            dof: p.dof,
            variance: p.variance,
            from: PoolFrom {
                alike: p.alike,
                ..from
            },
            ..default
        };
    }
    Scatter {
        dof: others.dof.min(policy.pool_cap.max(floor)),
        variance: others.squares / others.dof,
        from,
        ..default
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
pub(super) type CellKey<'a> = (
    Option<crate::property::Direction>,
    Option<crate::property::Face>,
    f64,
    crate::property::Moisture,
    Option<&'a str>,
    Option<&'a str>,
    Option<&'a str>,
);

pub(super) fn cell_key(c: &Condition) -> CellKey<'_> {
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
