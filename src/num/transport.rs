//! A distribution as the increasing map that carries a standard normal score to its value.
//!
//! Draws made through such a map share their scores: a small change of the
//! distribution moves every draw a little, and none jumps. That is what keeps
//! comparisons steady, and makes a better distribution better draw by draw.

use crate::num::normal_cdf;

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
            .map(|w| match w {
                [a, b] => step * cell_mass(*a, *b),
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
            let z = knot(i);
            let (k, inside) = if z <= 0.0 {
                let target = total * normal_cdf(z);
                let k = below.partition_point(|b| *b <= target).saturating_sub(1);
                let k = k.min(cells.len() - 1);
                (k, target - below[k])
            } else {
                let target = total * normal_cdf(-z);
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

/// Mass of a cell of unit width whose log density runs straight from `ln a` to `ln b`.
fn cell_mass(a: f64, b: f64) -> f64 {
    if a <= 0.0 || b <= 0.0 {
        return 0.5 * (a + b);
    }
    let r = (b / a).ln();
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

/// Halvings of a span when a distribution function is inverted: to 4e-15 of it.
const HALVINGS: usize = 48;

/// The value where an increasing distribution function reaches `p`, within `low..high`, by bisection.
pub(crate) fn invert(low: f64, high: f64, p: f64, cdf: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (low, high);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if cdf(middle) < p {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
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
