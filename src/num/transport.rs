//! A distribution as the increasing map that carries a standard normal score to its value.
//!
//! Draws made through such a map share their scores: a small change of the
//! distribution moves every draw a little, and none jumps. That is what keeps
//! comparisons steady, and makes a better distribution better draw by draw.

use crate::num::{hermite, normal_cdf};
use std::sync::LazyLock;

/// Knots of a map: scores from -6 to 6 in steps of a quarter.
pub const KNOTS: usize = 49;
const LOWEST: f64 = -6.0;
const STEP: f64 = 0.25;

/// The score of a knot.
pub fn knot(i: usize) -> f64 {
    LOWEST + STEP * i as f64
}

/// Scores and weights (sum 1) that turn a mean over a standard normal into a short sum:
/// the trapezoid rule on every `stride`-th knot.
///
/// For smooth integrands its error falls like exp(-2 pi^2 / h^2), h the step (derived: the
/// rule's Fourier series against the normal density), 1e-34 at stride 2 (h = 0.5).
pub fn score_nodes(stride: usize) -> impl Iterator<Item = (f64, f64)> {
    let density = |z: f64| (-0.5 * z * z).exp();
    let step = stride.max(1);
    let total: f64 = (0..KNOTS).step_by(step).map(|i| density(knot(i))).sum();
    (0..KNOTS)
        .step_by(step)
        .map(move |i| (knot(i), density(knot(i)) / total))
}

/// An increasing map from a standard normal score to a value, kept at [`KNOTS`] scores and
/// straight between them and beyond.
#[derive(Clone, Debug, PartialEq)]
pub struct Transport(pub [f64; KNOTS]);

impl Transport {
    /// The value at a score; beyond the knots on the last straight piece.
    pub fn at(&self, score: f64) -> f64 {
        let (i, t) = place(score);
        let a = self.0.get(i).copied().unwrap_or(f64::NAN);
        let b = self.0.get(i + 1).copied().unwrap_or(f64::NAN);
        a + t * (b - a)
    }

    /// The score of a value: the inverse of [`Transport::at`].
    pub fn score(&self, value: f64) -> f64 {
        let i = self
            .0
            .partition_point(|x| *x <= value)
            .saturating_sub(1)
            .min(KNOTS - 2);
        let a = self.0.get(i).copied().unwrap_or(f64::NAN);
        let b = self.0.get(i + 1).copied().unwrap_or(f64::NAN);
        let width = b - a;
        if width > 0.0 {
            knot(i) + STEP * (value - a) / width
        } else {
            knot(i)
        }
    }

    /// The map of a density given by its logarithm at evenly spaced values, not normalised.
    ///
    /// Between two values the logarithm is taken as straight, so that tails keep their
    /// relative accuracy. `None` with fewer than two values or no mass.
    pub fn from_log_density(first: f64, step: f64, log_density: &[f64]) -> Option<Self> {
        let top = log_density
            .iter()
            .copied()
            .fold(f64::NEG_INFINITY, f64::max);
        if log_density.len() < 2 || !top.is_finite() {
            return None;
        }
        let density: Vec<f64> = log_density.iter().map(|l| (l - top).exp()).collect();
        let cells: Vec<f64> = density
            .windows(2)
            .zip(log_density.windows(2))
            .map(|(w, l)| match (w, l) {
                ([a, b], [la, lb]) => step * cell_mass(*a, *b, lb - la),
                _ => 0.0,
            })
            .collect();
        let mut below = Vec::with_capacity(cells.len() + 1);
        let mut sum = 0.0;
        below.push(0.0);
        for c in &cells {
            sum += c;
            below.push(sum);
        }
        let mut above = vec![0.0; cells.len() + 1];
        let mut rest = 0.0;
        for (slot, c) in above.iter_mut().zip(&cells).rev() {
            rest += c;
            *slot = rest;
        }
        let total = sum;
        if total <= 0.0 {
            return None;
        }
        let mut values = [0.0; KNOTS];
        for (i, v) in values.iter_mut().enumerate() {
            let (z, tail) = (knot(i), TAILS.get(i).copied().unwrap_or(0.0));
            let (k, inside) = if z <= 0.0 {
                let target = total * tail;
                let k = below.partition_point(|b| *b <= target).saturating_sub(1);
                let k = k.min(cells.len() - 1);
                (k, target - below[k])
            } else {
                let target = total * tail;
                // `above` falls: the cell whose far end still leaves less than the target.
                let k = above.partition_point(|a| *a > target).saturating_sub(1);
                let k = k.min(cells.len() - 1);
                (k, above[k] - target)
            };
            let t = cell_place(density[k], density[k + 1], inside / step);
            *v = first + step * (k as f64 + t);
        }
        Some(Transport(values))
    }
}

fn place(score: f64) -> (usize, f64) {
    let x = (score - LOWEST) / STEP;
    let i = (x.max(0.0) as usize).min(KNOTS - 2);
    (i, x - i as f64)
}

/// Chance beyond each knot, on the side away from the middle.
static TAILS: LazyLock<[f64; KNOTS]> = LazyLock::new(|| {
    let mut tails = [0.0; KNOTS];
    for (i, t) in tails.iter_mut().enumerate() {
        *t = normal_cdf(-knot(i).abs());
    }
    tails
});

/// Mass of a cell of unit width whose log density runs straight from `ln a` to `ln b`, `r` further.
fn cell_mass(a: f64, b: f64, r: f64) -> f64 {
    if a <= 0.0 || b <= 0.0 || !r.is_finite() {
        return 0.5 * (a + b);
    }
    if r.abs() < 1e-6 {
        0.5 * (a + b)
    } else {
        (b - a) / r
    }
}

/// Where in such a cell the mass from its left end reaches `mass`, as a share of its width.
fn cell_place(a: f64, b: f64, mass: f64) -> f64 {
    let t = if a <= 0.0 || b <= 0.0 {
        let all = 0.5 * (a + b);
        if all > 0.0 { mass / all } else { 0.5 }
    } else {
        let r = (b / a).ln();
        if r.abs() < 1e-6 {
            mass / (0.5 * (a + b))
        } else {
            (r * mass / a).max(-1.0).ln_1p() / r
        }
    };
    if t.is_finite() {
        t.clamp(0.0, 1.0)
    } else {
        0.5
    }
}

/// A log density given coarsely, `fine` times as fine: a cubic through each two neighbours with the slopes
/// of theirs (Catmull and Rom). Gives the new step and the values.
pub(crate) fn refine(step: f64, coarse: &[f64], fine: usize) -> (f64, Vec<f64>) {
    let fine = fine.max(1);
    let mut out = Vec::with_capacity(coarse.len() * fine);
    for (k, pair) in coarse.windows(2).enumerate() {
        let [a, b] = pair else { continue };
        let d = b - a;
        let before = k.checked_sub(1).and_then(|i| coarse.get(i));
        let after = coarse.get(k + 2);
        // At the ends the slope is that of the parabola through the last three.
        let (rise_a, rise_b) = match (before, after) {
            (Some(p), Some(q)) => (0.5 * (b - p), 0.5 * (q - a)),
            (Some(p), None) => (0.5 * (b - p), 2.0 * d - 0.5 * (b - p)),
            (None, Some(q)) => (2.0 * d - 0.5 * (q - a), 0.5 * (q - a)),
            (None, None) => (d, d),
        };
        for i in 0..fine {
            out.push(hermite(*a, *b, rise_a, rise_b, i as f64 / fine as f64));
        }
    }
    out.extend(coarse.last());
    (step / fine as f64, out)
}

/// Steps at most when a distribution function is inverted, and the share of the span it is inverted to.
const STEPS: usize = 120;
const CLOSE: f64 = 1e-14;

/// The value where an increasing distribution function reaches `p`, within `low..high`.
///
/// Chandrupatla's bracketing method (1997, from memory): inverse quadratic steps where they are safe,
/// else halving.
pub(crate) fn invert(low: f64, high: f64, p: f64, cdf: impl Fn(f64) -> f64) -> f64 {
    let off = |x: f64| cdf(x) - p;
    let (mut b, mut a) = (low, high);
    let (mut fb, mut fa) = (off(b), off(a));
    if fb >= 0.0 {
        return b;
    }
    if fa <= 0.0 {
        return a;
    }
    let (mut c, mut fc);
    let mut t = 0.5;
    for _ in 0..STEPS {
        let x = a + t * (b - a);
        let fx = off(x);
        if (fx > 0.0) == (fa > 0.0) {
            (c, fc) = (a, fa);
        } else {
            (c, fc) = (b, fb);
            (b, fb) = (a, fa);
        }
        (a, fa) = (x, fx);
        let (best, off_best) = if fa.abs() < fb.abs() {
            (a, fa)
        } else {
            (b, fb)
        };
        let least = CLOSE * (high - low) + 2.0 * f64::EPSILON * best.abs();
        let width = (b - a).abs();
        if off_best == 0.0 || width <= 2.0 * least {
            return best;
        }
        let (xi, phi) = ((a - b) / (c - b), (fa - fb) / (fc - fb));
        t = if phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi {
            fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
        } else {
            0.5
        };
        let edge = least / width;
        t = t.clamp(edge.min(0.5), (1.0 - edge).max(0.5));
    }
    a
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::num::normal_quantile;

    #[test]
    fn a_normal_density_gives_a_straight_map() {
        let n = 241;
        let step = 16.0 / (n - 1) as f64;
        let log: Vec<f64> = (0..n)
            .map(|i| {
                let x = -8.0 + step * i as f64;
                -0.5 * x * x
            })
            .collect();
        let map = Transport::from_log_density(-8.0 * 2.0 + 10.0, step * 2.0, &log).expect("mass");
        for p in [0.001, 0.05, 0.5, 0.9, 0.9999] {
            let z = normal_quantile(p);
            assert!((map.at(z) - (10.0 + 2.0 * z)).abs() < 2e-3, "{p}");
            assert!((map.score(map.at(z)) - z).abs() < 1e-9);
        }
    }

    #[test]
    fn the_nodes_integrate_smooth_functions() {
        for stride in [1, 2] {
            let moment = |k: i32| -> f64 { score_nodes(stride).map(|(z, w)| w * z.powi(k)).sum() };
            assert!((moment(0) - 1.0).abs() < 1e-12);
            assert!((moment(2) - 1.0).abs() < 1e-6);
            assert!((moment(4) - 3.0).abs() < 1e-4);
        }
    }
}
