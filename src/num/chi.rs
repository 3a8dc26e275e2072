//! The chi-square distribution as a map from a standard normal score.

use crate::num::{KNOTS, Transport, knot, normal_cdf, normal_quantile};
use statrs::function::gamma::{checked_gamma_lr, checked_gamma_ur, ln_gamma};

/// From this many degrees of freedom on the spread is known.
const KNOWN: f64 = 1e9;

/// Cube root of chi-square over its degrees of freedom, as a map from a standard normal score.
///
/// That root is nearly straight in the score (Wilson and Hilferty 1931), so that straight pieces
/// between exact knots are good to about 1e-4 of a spread.
#[derive(Clone, Debug, PartialEq)]
pub struct ChiRoot {
    dof: f64,
    root: Transport,
}

impl ChiRoot {
    /// The map for `dof` degrees of freedom, above zero; infinite ones give a spread that is known.
    pub fn new(dof: f64) -> Self {
        let mut values = [1.0; KNOTS];
        if dof.is_finite() && dof > 0.0 && dof < KNOWN {
            for (i, v) in values.iter_mut().enumerate() {
                *v = root(knot(i), dof);
            }
        }
        ChiRoot {
            dof,
            root: Transport(values),
        }
    }

    /// Degrees of freedom.
    pub fn dof(&self) -> f64 {
        self.dof
    }

    /// [`ChiRoot::spread`] without interpolation, at any score; slower.
    pub(crate) fn exact_spread(&self, score: f64) -> f64 {
        if self.dof.is_finite() && self.dof > 0.0 && self.dof < KNOWN {
            root(-score, self.dof).max(1e-4).powf(-1.5)
        } else {
            1.0
        }
    }

    /// A scaled-inverse-chi-square standard deviation of unit scale at a score: sqrt(dof / chi-square),
    /// increasing in the score.
    pub fn spread(&self, score: f64) -> f64 {
        let c = self.root.at(-score).max(1e-4);
        1.0 / (c * c.sqrt())
    }
}

/// Quantile `p` (0 < p < 1) of chi-square over its degrees of freedom `dof` (above 0); 1 at infinite
/// ones, NaN outside.
pub fn chi_square_share(p: f64, dof: f64) -> f64 {
    if !(p > 0.0 && p < 1.0 && dof > 0.0) {
        return f64::NAN;
    }
    if dof >= KNOWN {
        return 1.0;
    }
    root(normal_quantile(p), dof).powi(3)
}

/// Cube root of (chi-square quantile at the normal score `z`) / dof.
fn root(z: f64, dof: f64) -> f64 {
    let a = 0.5 * dof;
    let lower = z <= 0.0;
    let target = normal_cdf(-z.abs()).ln();
    // Wilson and Hilferty, or the leading term of the lower tail where their root comes out too small.
    let w = 2.0 / (9.0 * dof);
    let mut c = 1.0 - w + z * w.sqrt();
    if lower && c < 0.3 {
        c = (((target + ln_gamma(a + 1.0)) / a).exp() / a).cbrt();
    }
    c = c.max(1e-30);
    for _ in 0..60 {
        let x = a * c * c * c;
        let tail = if lower {
            checked_gamma_lr(a, x)
        } else {
            checked_gamma_ur(a, x)
        };
        let Ok(tail) = tail else { break };
        if tail <= 0.0 {
            c *= if lower { 1.5 } else { 0.75 };
            continue;
        }
        // d ln(tail) / dc from the gamma density.
        let density = ((a - 1.0) * x.ln() - x - ln_gamma(a)).exp() * 3.0 * a * c * c;
        let slope = density / tail * if lower { 1.0 } else { -1.0 };
        let step = (target - tail.ln()) / slope;
        if !step.is_finite() {
            break;
        }
        let next = (c + step).clamp(0.5 * c, 2.0 * c);
        let done = (next - c).abs() <= 1e-13 * c;
        c = next;
        if done {
            break;
        }
    }
    c
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::distribution::{ChiSquared, ContinuousCDF};

    #[test]
    fn knots_are_quantiles() {
        for dof in [1.0, 2.5, 4.0, 9.0, 40.0, 400.0] {
            let map = ChiRoot::new(dof);
            let chi = ChiSquared::new(dof).expect("positive");
            for z in [-4.0, -2.0, -0.25, 0.0, 1.0, 3.0] {
                let s = map.spread(z);
                let x = dof / (s * s);
                let p = chi.cdf(x);
                let want = normal_cdf(-z);
                assert!((p - want).abs() < 1e-9, "{dof} {z}: {p} {want}");
            }
        }
    }

    #[test]
    fn between_knots_the_map_is_close() {
        for (dof, tol) in [(1.0, 0.05), (2.0, 0.01), (4.0, 0.002), (12.0, 5e-4)] {
            let map = ChiRoot::new(dof);
            for z in [-2.1, -0.87, 0.1, 0.62, 1.63, 2.4] {
                let exact = root(-z, dof).powf(-1.5);
                let off = map.spread(z) / exact - 1.0;
                assert!(off.abs() < tol, "{dof} {z}: {off}");
            }
        }
    }

    #[test]
    fn endless_degrees_mean_a_known_spread() {
        let map = ChiRoot::new(f64::INFINITY);
        assert!((map.spread(2.0) - 1.0).abs() < 1e-15);
    }
}
