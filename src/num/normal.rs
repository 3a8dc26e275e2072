//! The standard normal distribution, with logarithms that hold far into the tails.

use statrs::function::erf::{erfc, erfc_inv};
use std::f64::consts::{FRAC_1_SQRT_2, PI, SQRT_2};

/// Chance that a standard normal value is `x` or less; NaN gives NaN.
pub fn normal_cdf(x: f64) -> f64 {
    0.5 * erfc(-x * FRAC_1_SQRT_2)
}

/// The standard normal quantile of `p`; minus and plus infinity at 0 and 1 and beyond, NaN for NaN.
pub fn normal_quantile(p: f64) -> f64 {
    if p.is_nan() {
        f64::NAN
    } else if p <= 0.0 {
        f64::NEG_INFINITY
    } else if p >= 1.0 {
        f64::INFINITY
    } else {
        -SQRT_2 * erfc_inv(2.0 * p)
    }
}

/// Below this the complementary error function loses its digits and the tail series takes over.
const SERIES_BELOW: f64 = -25.0;

/// Natural logarithm of [`normal_cdf`], finite for every finite `x`.
///
/// Far in the lower tail by the asymptotic series (Abramowitz and Stegun 26.2.12, four terms;
/// from memory, checked against a library in the tests).
pub fn ln_normal_cdf(x: f64) -> f64 {
    if x > SERIES_BELOW {
        normal_cdf(x).ln()
    } else {
        let q = 1.0 / (x * x);
        -0.5 * x * x - (-x * (2.0 * PI).sqrt()).ln() + (1.0 - q * (1.0 - q * (3.0 - 15.0 * q))).ln()
    }
}

/// Natural logarithm of the chance that a standard normal value lies between `a` and `b`, `a < b`.
///
/// Minus infinity where `a >= b`.
pub fn ln_normal_interval(a: f64, b: f64) -> f64 {
    if a >= b {
        return f64::NEG_INFINITY;
    }
    // Work in the lower tail, where the chances keep their digits.
    let (a, b) = if a > 0.0 { (-b, -a) } else { (a, b) };
    let upper = ln_normal_cdf(b);
    let lower = ln_normal_cdf(a);
    upper + (-(lower - upper).exp()).ln_1p()
}

#[cfg(test)]
mod tests {
    use super::*;

    // Reproduced by scipy 1.17.1 (norm.logcdf).
    #[test]
    fn far_tails_keep_their_logarithm() {
        for (x, want) in [
            (0.0, -std::f64::consts::LN_2),
            (-5.0, -15.064_998_393_988_727),
            (-24.9, -314.140_412_761_613_3),
            (-25.1, -319.148_387_405_887_6),
            (-40.0, -804.608_442_013_753_9),
            (6.0, -9.865_876_455_243_72e-10),
        ] {
            let got = ln_normal_cdf(x);
            assert!(
                (got - want).abs() <= 1e-6 * f64::abs(want),
                "{x}: {got} for {want}"
            );
        }
    }

    #[test]
    fn an_interval_is_the_same_on_both_sides() {
        let left = ln_normal_interval(-9.0, -8.5);
        let right = ln_normal_interval(8.5, 9.0);
        assert!((left - right).abs() < 1e-12);
        assert!((ln_normal_interval(-1.0, 1.0).exp() - 0.682_689_492_137_085_9).abs() < 1e-9);
    }

    #[test]
    fn quantiles_are_defined_everywhere() {
        assert!(normal_quantile(0.0).is_infinite() && normal_quantile(0.0) < 0.0);
        assert!(normal_quantile(1.0).is_infinite() && normal_quantile(1.0) > 0.0);
        assert!(normal_quantile(f64::NAN).is_nan());
        assert!((normal_quantile(0.975) - 1.959_963_984_540_054).abs() < 1e-9);
    }
}
