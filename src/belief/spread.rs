//! How alike materials scatter: the prior of one material's variance, learnt from the others'.
//!
//! Each material's variance within a print is taken as drawn from a scaled inverse chi-square of d0
//! degrees of freedom about s0^2, so that its sum of squares Q with d degrees of freedom has the marginal
//! likelihood
//!
//! > G((d0 + d)/2) / G(d0/2) (d0 s0^2)^(d0/2) (d0 s0^2 + Q)^(-(d0 + d)/2)
//!
//! (the scaled F of Smyth 2004, section 4, "Linear models and empirical Bayes methods"; the form derived
//! here). d0 large: all scatter alike, and the pool outweighs three own specimens. d0 small: each has
//! its own way, and the pool says little. Both are found from the catalog by that likelihood on a grid,
//! under a prior: d0 lies around the policy's `pool_cap` (one standard deviation is a factor of e^0.8), s0
//! around the property's default spread (one standard deviation is a factor of two); both widths are
//! assumptions of ours. What is left unsure of both widens the prior of the material in hand: its
//! ln s^2 keeps the mean and the variance of the whole, told as one scaled inverse chi-square.

use crate::num::{digamma, trigamma, trigamma_inverse};
use statrs::function::gamma::ln_gamma;

/// Degrees of freedom tried for d0: 1 to 64 in even steps of their logarithm.
const ALIKE: usize = 9;
const ALIKE_RATIO: f64 = 1.681_792_830_507_429;
/// Standard deviation of ln d0 before any data.
const ALIKE_SD: f64 = 0.8;
/// Variance of ln s0^2 about the property's default: that is right to a factor of two in s0.
const LEVEL_VARIANCE: f64 = 2.0;
/// Step of ln s0^2, and how far the grid reaches past the default's and the pool's.
const STEP: f64 = 0.25;
const REACH: f64 = 4.0;
/// Steps of the degrees of freedom that are given.
const QUARTER: f64 = 0.25;
/// Longest grid; two levels further apart than this serves are read on a coarser one.
const MOST: usize = 129;

fn alike(i: usize) -> f64 {
    ALIKE_RATIO.powi(i as i32)
}

/// A sum of squares and its degrees of freedom.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Sum {
    pub(super) squares: f64,
    pub(super) dof: f64,
}

impl Sum {
    pub(super) fn add(&mut self, other: Sum) {
        self.squares += other.squares;
        self.dof += other.dof;
    }
    pub(super) fn without(self, other: Sum) -> Sum {
        Sum {
            squares: (self.squares - other.squares).max(0.0),
            dof: (self.dof - other.dof).max(0.0),
        }
    }
}

/// A prior of s^2: scaled inverse chi-square.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct SpreadPrior {
    /// Degrees of freedom.
    pub(super) dof: f64,
    /// Scale, natural scale squared.
    pub(super) variance: f64,
    /// How alike the materials scatter: d0, about its likeliest place; `None` where it was not asked.
    pub(super) alike: Option<f64>,
}

/// What the policy says before any data.
#[derive(Clone, Copy, Debug)]
pub(super) struct Before {
    /// Degrees of freedom of the default spread.
    pub(super) floor: f64,
    /// Degrees of freedom around which d0 lies.
    pub(super) cap: f64,
    /// The property's default variance.
    pub(super) variance: f64,
}

/// The hyper-prior: normal in ln d0, and normal in ln s0^2.
struct Hyper {
    ln_weight: [f64; ALIKE],
    level: f64,
}

impl Before {
    /// `None` where the policy leaves nothing to learn (`pool_cap` not above `pool_floor`).
    fn hyper(self) -> Option<Hyper> {
        if self.cap.is_nan() || self.cap <= self.floor {
            return None;
        }
        let mut weight = [0.0; ALIKE];
        for (i, w) in weight.iter_mut().enumerate() {
            let z = (alike(i) / self.cap).ln() / ALIKE_SD;
            *w = (-0.5 * z * z).exp();
        }
        let total: f64 = weight.iter().sum();
        (total > 0.0).then(|| Hyper {
            ln_weight: weight.map(|w| (w / total).ln()),
            level: self.variance.ln(),
        })
    }
}

/// Mean of ln(s^2 / s0^2) for half the degrees of freedom.
fn ln_off(half: f64) -> f64 {
    half.ln() - digamma(half)
}

/// Log likelihoods of (d0, ln s0^2) summed over materials.
#[derive(Clone, Debug, Default)]
pub(super) struct SpreadTable {
    first: f64,
    step: f64,
    points: usize,
    values: Vec<f64>,
}

impl SpreadTable {
    /// A table that holds the default variance and the pooled one well inside.
    pub(super) fn new(default: f64, groups: &[Sum]) -> Self {
        let mut all = Sum::default();
        groups.iter().for_each(|g| all.add(*g));
        let mut low = default.max(f64::MIN_POSITIVE).ln();
        let mut high = low;
        for g in groups.iter().chain([&all]) {
            if g.dof > 0.0 && g.squares > 0.0 {
                let level = (g.squares / g.dof).ln();
                low = low.min(level);
                high = high.max(level);
            }
        }
        let span = high - low + 2.0 * REACH;
        let points = ((span / STEP).ceil() as usize + 1).min(MOST);
        let mut table = SpreadTable {
            first: low - REACH,
            step: span / (points - 1) as f64,
            points,
            values: vec![0.0; points * ALIKE],
        };
        table.change_all(groups, 1.0);
        table
    }

    fn change(&mut self, g: Sum, by: f64) {
        self.change_all(&[g], by);
    }

    /// Adds the likelihoods of groups one after the other.
    fn change_all(&mut self, groups: &[Sum], by: f64) {
        for (i, row) in self.values.chunks_mut(self.points.max(1)).enumerate() {
            let d0 = alike(i);
            let scales: Vec<(f64, f64)> = (0..row.len())
                .map(|j| d0 * (self.first + self.step * j as f64).exp())
                .map(|scale| (scale, scale.ln()))
                .collect();
            for g in groups.iter().filter(|g| g.dof > 0.0) {
                let constant = ln_gamma(0.5 * (d0 + g.dof)) - ln_gamma(0.5 * d0);
                for (v, (scale, ln_scale)) in row.iter_mut().zip(&scales) {
                    // (d0 s0^2)^(d0/2) (d0 s0^2 + Q)^(-(d0+d)/2), the part in s0^2 alone put together.
                    let l = constant
                        - 0.5 * g.dof * ln_scale
                        - 0.5 * (d0 + g.dof) * (g.squares / scale).ln_1p();
                    *v += by * l;
                }
            }
        }
    }

    /// The prior that the materials lend to one whose own squares are `own`.
    pub(super) fn prior(&self, own: Sum, before: Before) -> Option<SpreadPrior> {
        let hyper = before.hyper()?;
        let mut others = self.clone();
        others.change(own, -1.0);
        let mut rows: Vec<(f64, f64, f64, usize)> = Vec::with_capacity(ALIKE);
        for (i, row) in others.values.chunks(others.points.max(1)).enumerate() {
            let log = |j: usize| {
                let z = others.first + others.step * j as f64 - hyper.level;
                row.get(j).copied().unwrap_or(f64::NEG_INFINITY) - 0.5 * z * z / LEVEL_VARIANCE
            };
            let inner = 1..others.points.saturating_sub(1);
            let top = inner.max_by(|a, b| log(*a).total_cmp(&log(*b)))?;
            // Laplace: the log density of ln s0^2 is close to a parabola.
            let (a, b, c) = (log(top - 1), log(top), log(top + 1));
            let (slope, bend) = (0.5 * (c - a), 2.0 * b - a - c);
            if bend.is_nan() || bend <= 0.0 {
                return None;
            }
            let t = (slope / bend).clamp(-1.0, 1.0);
            let variance = others.step * others.step / bend;
            let mass = b + 0.5 * slope * t + 0.5 * variance.ln() + hyper.ln_weight[i];
            let at = others.first + others.step * (top as f64 + t);
            rows.push((mass, at, variance, i));
        }
        let top = rows.iter().map(|r| r.0).fold(f64::NEG_INFINITY, f64::max);
        let (mut total, mut mean, mut square, mut alike_ln) = (0.0, 0.0, 0.0, 0.0);
        for (mass, at, variance, i) in rows {
            let w = (mass - top).exp();
            let half = 0.5 * alike(i);
            let at = at + ln_off(half);
            total += w;
            mean += w * at;
            square += w * (at * at + variance + trigamma(half));
            alike_ln += w * alike(i).ln();
        }
        mean /= total;
        let variance = square / total - mean * mean;
        let half = trigamma_inverse(variance);
        // Down to whole quarters, so that few maps of chi-square are wanted.
        let dof = ((2.0 * half / QUARTER).floor() * QUARTER).max(QUARTER);
        (half.is_finite() && half > 0.0 && mean.is_finite()).then(|| SpreadPrior {
            dof,
            variance: (mean - ln_off(0.5 * dof)).exp(),
            alike: Some((alike_ln / total).exp()),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const BEFORE: Before = Before {
        floor: 4.0,
        cap: 8.0,
        variance: 0.01,
    };

    fn prior(groups: &[Sum]) -> SpreadPrior {
        SpreadTable::new(BEFORE.variance, groups)
            .prior(Sum::default(), BEFORE)
            .expect("something to learn")
    }

    fn group(variance: f64, dof: f64) -> Sum {
        Sum {
            squares: variance * dof,
            dof,
        }
    }

    #[test]
    fn materials_that_scatter_alike_count_for_more() {
        let few = prior(&[group(0.04, 2.0); 4]);
        let alike = prior(&[group(0.04, 9.0); 30]);
        assert!(few.dof >= 4.0 && alike.dof > 15.0, "{few:?} {alike:?}");
        assert!((alike.variance / 0.04 - 1.0).abs() < 0.1, "{alike:?}");
    }

    #[test]
    fn materials_that_scatter_each_in_its_way_count_for_little() {
        let groups: Vec<Sum> = (0..30)
            .map(|i| group(0.04 * 4.0_f64.powi(i % 5 - 2), 9.0))
            .collect();
        let p = prior(&groups);
        assert!(p.dof < 4.0, "{p:?}");
        assert!(p.alike.is_some_and(|d| d < 4.0));
    }

    #[test]
    fn ones_own_squares_are_left_out() {
        let groups = [group(0.04, 3.0), group(0.05, 4.0), group(0.9, 9.0)];
        let table = SpreadTable::new(BEFORE.variance, &groups);
        let left = table.prior(groups[2], BEFORE).expect("others");
        let never = table_of(&groups[..2], &table);
        assert!((left.variance / never.variance - 1.0).abs() < 1e-9);
        assert!((left.dof / never.dof - 1.0).abs() < 1e-9);
    }

    /// The prior of these groups on another table's grid.
    fn table_of(groups: &[Sum], grid: &SpreadTable) -> SpreadPrior {
        let mut t = SpreadTable {
            values: vec![0.0; grid.values.len()],
            ..grid.clone()
        };
        for g in groups {
            t.change(*g, 1.0);
        }
        t.prior(Sum::default(), BEFORE).expect("others")
    }

    #[test]
    fn nothing_is_learnt_where_the_policy_fixes_the_degrees() {
        let fixed = Before { cap: 4.0, ..BEFORE };
        let table = SpreadTable::new(0.01, &[group(0.04, 9.0); 3]);
        assert_eq!(table.prior(Sum::default(), fixed), None);
    }
}
