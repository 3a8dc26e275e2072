//! Shewhart's control charts: the constants, and limits that stay honest with few readings.
//!
//! # Source
//! The constants are moments of the range of n standard normals, integrated here; the printed
//! tables (three decimals; ISO 7870-2, Table 2, from memory; the same figures in the factor tables
//! of textbooks, verified in source) are checks in the published cases. An individuals chart has its
//! limits at the mean -/+ 2.66 times the mean moving range, the moving-range chart at 3.267 times it
//! (ISO 7870-2, individuals and moving ranges; the figures verified, the clause from memory).

use crate::num::{normal_cdf, t_cdf, t_quantile};
use std::sync::OnceLock;

/// Chance that a reading in control lies outside three standard deviations: what the limits are set for.
pub const OUTSIDE: f64 = 0.002_699_796_063_260_19;
/// Ends and step of the integrals over standard normal scores; the trapezoid rule is then exact to
/// rounding for these smooth tails.
const REACH: f64 = 8.0;
const STEP: f64 = 0.05;
/// Largest subgroup that constants are given for.
pub const LARGEST_SUBGROUP: usize = 25;

/// Constants of the range of `n` readings of one normal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RangeFactors {
    /// Mean of the range over the standard deviation.
    pub d2: f64,
    /// Standard deviation of the range over the standard deviation.
    pub d3: f64,
}

impl RangeFactors {
    /// Of `n` readings, 2 to [`LARGEST_SUBGROUP`]; `None` outside.
    ///
    /// Formulas, F the normal distribution function: E W = integral of 1 - F^n - (1 - F)^n;
    /// E W^2 = 2 times the integral over x < y of 1 - F(y)^n - (1 - F(x))^n + (F(y) - F(x))^n
    /// (Tippett 1925; derived).
    pub fn of(n: usize) -> Option<Self> {
        if !(2..=LARGEST_SUBGROUP).contains(&n) {
            return None;
        }
        let n = n as i32;
        let cells = (2.0 * REACH / STEP) as usize;
        let below: Vec<f64> = (0..=cells)
            .map(|i| normal_cdf(-REACH + STEP * i as f64))
            .collect();
        let mut mean = 0.0;
        let mut square = 0.0;
        for (i, x) in below.iter().enumerate() {
            mean += 1.0 - x.powi(n) - (1.0 - x).powi(n);
            // Half a weight on the diagonal, where the integrand is that of the mean.
            square += 0.5 * (1.0 - x.powi(n) - (1.0 - x).powi(n));
            for y in below.iter().skip(i + 1) {
                square += 1.0 - y.powi(n) - (1.0 - x).powi(n) + (y - x).powi(n);
            }
        }
        let d2 = mean * STEP;
        // The integrand begins with a slope of -n F^(n-1) f on the diagonal, which integrates to -1: the
        // end correction of the trapezoid rule (Euler and Maclaurin).
        let variance = 2.0 * (square - 1.0 / 12.0) * STEP * STEP - d2 * d2;
        Some(RangeFactors {
            d2,
            d3: variance.sqrt(),
        })
    }

    /// Lower limit of a range chart over the mean range: 1 - 3 d3/d2, not below 0.
    pub fn lower_range(self) -> f64 {
        (1.0 - 3.0 * self.d3 / self.d2).max(0.0)
    }

    /// Upper limit of a range chart over the mean range: 1 + 3 d3/d2.
    pub fn upper_range(self) -> f64 {
        1.0 + 3.0 * self.d3 / self.d2
    }

    /// Half the width of the limits of a chart of means of `n` readings over the mean range:
    /// 3 / (d2 sqrt n); with `n` of 1, of individuals (d2 then that of their moving ranges).
    pub fn half_width(self, n: usize) -> f64 {
        3.0 / (self.d2 * (n as f64).sqrt())
    }
}

/// The constants of moving ranges of two, made once.
fn of_two() -> RangeFactors {
    static TWO: OnceLock<RangeFactors> = OnceLock::new();
    *TWO.get_or_init(|| {
        RangeFactors::of(2).unwrap_or(RangeFactors {
            d2: 1.128,
            d3: 0.853,
        })
    })
}

/// Upper limit of a moving range of two over their mean: D4, 3.267.
pub fn upper_moving_range() -> f64 {
    of_two().upper_range()
}

/// Mean of the moving ranges of readings in their order; `None` below two readings.
///
/// A range beyond 3.267 times their mean is left out once, and the mean taken again: one step of the
/// level is no scatter (common practice for trial limits, no source). The number of ranges that count
/// stands beside it.
pub fn mean_moving_range(readings: &[f64]) -> Option<(f64, usize)> {
    let ranges: Vec<f64> = readings
        .windows(2)
        .filter_map(|w| Some((w.first()? - w.get(1)?).abs()))
        .collect();
    if ranges.is_empty() || ranges.iter().any(|r| !r.is_finite()) {
        return None;
    }
    let mean = |of: &[f64]| of.iter().sum::<f64>() / of.len() as f64;
    let first = mean(&ranges);
    let kept: Vec<f64> = ranges
        .iter()
        .copied()
        .filter(|r| *r <= of_two().upper_range() * first)
        .collect();
    Some((mean(&kept), kept.len()))
}

/// Limits of an individuals chart whose mean and mean moving range come from few readings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct IndividualsLimits {
    /// Half the width of the limits over the mean moving range: 2.66 with endless readings, more with few.
    pub half: f64,
    /// Upper limit of a moving range over the mean moving range: 3.267 with endless readings.
    pub range: f64,
    /// Degrees of freedom that the mean moving range is worth.
    pub dof: f64,
}

impl IndividualsLimits {
    /// With `base` readings behind the mean (1 or more) and `ranges` successive moving ranges behind
    /// their mean (2 or more); `None` below these.
    ///
    /// A further reading in control lies outside with a chance of 0.27 % or less, whatever their number:
    /// Student's t in place of the normal, with as many degrees of freedom as a chi of the same
    /// coefficient of variation has. Var(mean range / d2) = s^2 (0.8264 m - 1.082)/(m - 1)^2 with
    /// m = ranges + 1 readings (Cryer and Ryan 1990, from memory; derived anew for m = 2); the chi by
    /// Patnaik's match, 1/dof = 2 (sqrt(1 + 2 cv^2) - 1) (from memory). Measured by simulation in
    /// the tests.
    pub fn of(base: usize, ranges: usize) -> Option<Self> {
        if base < 1 || ranges < 2 {
            return None;
        }
        let m = ranges as f64 + 1.0;
        let cv2 = (0.8264 * m - 1.082) / (m - 1.0).powi(2);
        let dof = 1.0 / (2.0 * ((1.0 + 2.0 * cv2).sqrt() - 1.0));
        // Mean of chi over its degrees of freedom: the mean moving range is unbiased, a root mean square is not.
        let mean_chi = 1.0 - 1.0 / (4.0 * dof) + 1.0 / (32.0 * dof * dof);
        let t = t_quantile(1.0 - 0.5 * OUTSIDE, dof);
        let two = of_two();
        let unsure = (1.0 + 1.0 / base as f64).sqrt();
        // The chance that a moving range of a known normal passes D4 is kept.
        let passes =
            2.0 * (1.0 - normal_cdf(two.upper_range() * two.d2 / std::f64::consts::SQRT_2));
        let t_range = t_quantile(1.0 - 0.5 * passes, dof);
        Some(IndividualsLimits {
            half: t * unsure * mean_chi / two.d2,
            range: t_range * std::f64::consts::SQRT_2 * mean_chi / two.d2,
            dof,
        })
    }

    /// Chance that a reading `shift` standard deviations away from the mean passes the limits, the mean
    /// and the scatter as they were estimated (right on the average).
    pub fn power(&self, shift: f64) -> f64 {
        let at = self.half * of_two().d2;
        t_cdf(shift - at, f64::INFINITY) + t_cdf(-shift - at, f64::INFINITY)
    }
}

/// The standard deviation that a mean moving range stands for: it over d2.
pub fn sigma_of_moving_range(mean_range: f64) -> f64 {
    mean_range / of_two().d2
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::num::stream;

    #[test]
    fn the_range_of_two_is_known_in_closed_form() {
        let two = RangeFactors::of(2).expect("2 is a subgroup");
        let pi = std::f64::consts::PI;
        assert!((two.d2 - 2.0 / pi.sqrt()).abs() < 1e-9, "{two:?}");
        assert!((two.d3 - (2.0 - 4.0 / pi).sqrt()).abs() < 1e-9, "{two:?}");
        assert!(RangeFactors::of(1).is_none() && RangeFactors::of(26).is_none());
    }

    #[test]
    fn with_endless_readings_the_limits_are_the_standards() {
        let l = IndividualsLimits::of(1_000_000, 1_000_000).expect("enough");
        assert!((l.half - 2.6587).abs() < 1e-3, "{l:?}");
        assert!((l.range - 3.2665).abs() < 1e-3, "{l:?}");
    }

    #[test]
    fn one_step_of_the_level_is_no_scatter() {
        let (range, kept) =
            mean_moving_range(&[1.0, 1.1, 1.0, 1.1, 1.0, 9.0, 9.1, 9.0]).expect("many");
        assert!((range - 0.1).abs() < 1e-9 && kept == 6, "{range} {kept}");
        assert!(mean_moving_range(&[1.0]).is_none());
        assert!(mean_moving_range(&[1.0, f64::NAN]).is_none());
    }

    /// 40 000 charts a size: a further reading in control passes the limits 27 times in 10 000 or fewer
    /// (10 of a base of 4, 18 of 8, 27 of 15; the standard error is 2).
    #[test]
    fn few_readings_raise_no_more_alarms() {
        let mut dice = stream(7, "control", 0);
        for base in [4, 5, 8, 15] {
            let limits = IndividualsLimits::of(base, base - 1).expect("enough");
            let (mut outside, charts) = (0.0, 40_000);
            for _ in 0..charts {
                let readings: Vec<f64> = (0..base).map(|_| dice.normal()).collect();
                let mean = readings.iter().sum::<f64>() / base as f64;
                let range = readings
                    .windows(2)
                    .map(|w| (w[0] - w[1]).abs())
                    .sum::<f64>()
                    / (base - 1) as f64;
                if (dice.normal() - mean).abs() > limits.half * range {
                    outside += 1.0;
                }
            }
            let rate = outside / f64::from(charts);
            assert!((0.0006..0.0034).contains(&rate), "{base}: {rate}");
        }
    }
}
