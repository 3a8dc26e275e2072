//! Straight lines through readings whose errors hang together along one curve.

/// How the errors of readings along one curve hang together: part of the variance is white, part
/// drifts, and the drift at two places a distance d apart correlates as exp(-d / range).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Correlation {
    /// Share of the variance that drifts, from 0 (white) to below 1.
    pub drifting: f64,
    /// Distance over which the correlation falls to 1/e, in the unit of the places; above 0.
    pub range: f64,
}

/// Readings at their places, made independent one after the other.
///
/// Reading i is replaced by its distance from what the readings before it foretell, over the
/// standard deviation of that distance. A drift with exponential correlation needs only its last
/// state for that, so that n readings cost n steps and no matrix.
///
/// # Source
/// The innovations of a Kalman filter with one state: textbook (state space form of a
/// first-order autoregression observed with noise), from memory, not verified as a text;
/// checked against dense generalised least squares of a reference library in the published cases.
#[derive(Clone, Debug)]
pub struct Chain {
    steps: Vec<Step>,
    ones: Vec<f64>,
    ln_det: f64,
}

#[derive(Clone, Copy, Debug)]
struct Step {
    /// Share of the drift that is left since the reading before.
    kept: f64,
    /// Share of a surprise that is taken for drift.
    gain: f64,
    /// 1 over the standard deviation of the surprise, the variance of a reading being 1.
    per_sd: f64,
}

/// A line y = intercept + slope x by generalised least squares.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CorrelatedLine {
    /// Change of y per unit of x.
    pub slope: f64,
    /// y at x = 0.
    pub intercept: f64,
    /// Squared distances of the readings made independent, summed; over n - 2 they are the
    /// variance of a reading.
    pub residual_squares: f64,
    /// ln of the determinant of the normal matrix, x measured in its own standard deviations.
    ln_normal: f64,
    ln_det: f64,
    /// Normal matrix and the level of least squares.
    xx: f64,
    x1: f64,
    one: f64,
    y1: f64,
}

impl Chain {
    /// Places in growing order; a place of minus infinity hangs together with nothing.
    pub fn new(places: impl Iterator<Item = f64>, correlation: Correlation) -> Chain {
        let drifting = correlation.drifting.clamp(0.0, 1.0);
        let white = 1.0 - drifting;
        let mut variance = drifting;
        let mut before: Option<f64> = None;
        let mut ln_det = 0.0;
        let steps = places
            .map(|at| {
                let apart = before.map_or(f64::INFINITY, |b| at - b);
                let kept = if apart.is_finite() {
                    (-apart / correlation.range).exp()
                } else {
                    0.0
                };
                before = Some(at);
                variance = kept * kept * variance + drifting * (1.0 - kept * kept);
                let surprise = variance + white;
                let gain = variance / surprise;
                variance -= gain * variance;
                ln_det += surprise.ln();
                Step {
                    kept,
                    gain,
                    per_sd: surprise.sqrt().recip(),
                }
            })
            .collect();
        let mut chain = Chain {
            steps,
            ones: Vec::new(),
            ln_det,
        };
        chain.ones = chain
            .independent(std::iter::repeat(1.0))
            .take(chain.steps.len())
            .collect();
        chain
    }

    /// A column of figures, one for each place, made independent.
    pub fn independent(&self, column: impl Iterator<Item = f64>) -> impl Iterator<Item = f64> {
        let mut drift = 0.0;
        self.steps.iter().zip(column).map(move |(s, y)| {
            drift *= s.kept;
            let surprise = y - drift;
            drift += s.gain * surprise;
            surprise * s.per_sd
        })
    }

    /// The line through `x` and `independent_y`, which went through [`Chain::independent`].
    ///
    /// `None` with fewer than two readings, where all x are equal, or where a figure is not finite.
    pub fn line(
        &self,
        x: impl Iterator<Item = f64> + Clone,
        independent_y: &[f64],
    ) -> Option<CorrelatedLine> {
        let (mut one, mut x1, mut xx) = (0.0, 0.0, 0.0);
        let (mut y1, mut xy, mut yy) = (0.0, 0.0, 0.0);
        let columns = self
            .independent(x.clone())
            .zip(&self.ones)
            .zip(independent_y);
        for ((u, o), y) in columns {
            one += o * o;
            x1 += u * o;
            xx += u * u;
            y1 += y * o;
            xy += y * u;
            yy += y * y;
        }
        let (n, sum) = x.clone().fold((0.0, 0.0), |(n, s), x| (n + 1.0, s + x));
        let middle = sum / n;
        let spread = x.map(|x| (x - middle).powi(2)).sum::<f64>() / n;
        let det = one * xx - x1 * x1;
        let apart = det > SAME_X * one * xx && spread > 0.0;
        if n < 2.0 || !apart {
            return None;
        }
        let slope = (one * xy - x1 * y1) / det;
        let intercept = (xx * y1 - x1 * xy) / det;
        (slope.is_finite() && intercept.is_finite()).then(|| CorrelatedLine {
            slope,
            intercept,
            residual_squares: (yy - intercept * y1 - slope * xy).max(0.0),
            ln_normal: (det / spread).ln(),
            ln_det: self.ln_det,
            xx,
            x1,
            one,
            y1,
        })
    }
}

/// A determinant below this share of its terms is rounding: all x are equal.
const SAME_X: f64 = 1e-13;

impl CorrelatedLine {
    /// Variance of the line's height at `x`, the variance of a reading being 1.
    pub fn variance_at(&self, x: f64) -> f64 {
        let det = self.one * self.xx - self.x1 * self.x1;
        (self.xx - 2.0 * self.x1 * x + self.one * x * x) / det
    }

    /// Variance of the slope, the variance of a reading being 1.
    pub fn slope_variance(&self) -> f64 {
        self.one / (self.one * self.xx - self.x1 * self.x1)
    }

    /// The level of least squares where the slope is held at nothing, its variance, and the x at
    /// which the line with a slope stands at that level.
    pub fn level(&self) -> (f64, f64, f64) {
        (self.y1 / self.one, 1.0 / self.one, self.x1 / self.one)
    }

    /// ln of the restricted likelihood but for a constant, the variance of a reading integrated
    /// over a scaled inverse-chi-square opinion: `held_squares` is that opinion's degrees of
    /// freedom times its variance, `dof` the degrees of freedom of both.
    ///
    /// Formula: -1/2 (ln det V + ln det X'V^-1 X + dof ln(held + residual squares)).
    ///
    /// # Source
    /// Patterson and Thompson 1971; Harville 1977 (both from memory, not verified); the variance
    /// integrated as in any conjugate normal model.
    pub fn ln_restricted(&self, held_squares: f64, dof: f64) -> f64 {
        -0.5 * (self.ln_det + self.ln_normal + dof * (held_squares + self.residual_squares).ln())
    }
}

#[cfg(test)]
mod tests {
    use super::{Chain, Correlation};
    use crate::num::line;

    const PLACES: [f64; 5] = [0.0, 0.7, 1.9, 2.2, 4.0];
    const Y: [f64; 5] = [1.0, 1.4, 1.5, 2.1, 2.6];

    fn fitted(drifting: f64, range: f64) -> Option<super::CorrelatedLine> {
        let c = Chain::new(PLACES.into_iter(), Correlation { drifting, range });
        let y: Vec<f64> = c.independent(Y.into_iter()).collect();
        c.line(PLACES.into_iter(), &y)
    }

    #[test]
    fn white_errors_are_ordinary_least_squares() {
        let got = fitted(0.0, 1.0).expect("a line");
        let want = line(PLACES.into_iter().zip(Y)).expect("a line");
        assert!((got.slope - want.slope).abs() < 1e-12);
        assert!((got.intercept - want.intercept).abs() < 1e-12);
        assert!((got.residual_squares - want.residual_squares).abs() < 1e-12);
    }

    #[test]
    fn a_drift_widens_what_is_foretold_and_leaves_an_exact_line_alone() {
        let white = fitted(0.0, 1.0).expect("a line");
        let drift = fitted(0.5, 2.0).expect("a line");
        assert!(drift.variance_at(20.0) > white.variance_at(20.0));
        let c = Chain::new(
            PLACES.into_iter(),
            Correlation {
                drifting: 0.8,
                range: 2.0,
            },
        );
        let y: Vec<f64> = c
            .independent(PLACES.iter().map(|x| 3.0 - 2.0 * x))
            .collect();
        let l = c.line(PLACES.into_iter(), &y).expect("a line");
        assert!((l.slope + 2.0).abs() < 1e-12 && (l.intercept - 3.0).abs() < 1e-12);
        assert!(l.residual_squares < 1e-20);
    }

    #[test]
    fn one_reading_or_one_place_has_no_line() {
        let c = Chain::new(
            [1.0, 2.0].into_iter(),
            Correlation {
                drifting: 0.5,
                range: 1.0,
            },
        );
        assert!(c.line([1.0, 1.0].into_iter(), &[0.0, 1.0]).is_none());
        assert!(c.line([1.0, f64::NAN].into_iter(), &[0.0, 1.0]).is_none());
    }
}
