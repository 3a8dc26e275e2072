//! Derivatives of the logarithm of the gamma function: how the logarithm of a variance scatters.
//!
//! With d degrees of freedom ln(chi-square / d) has mean digamma(d/2) - ln(d/2) and variance
//! trigamma(d/2) (Bartlett and Kendall 1946, from memory, not verified; checked in the tests).

/// Arguments below this are raised by the recurrence before the series is used.
const SERIES_FROM: f64 = 10.0;

/// Derivative of ln gamma(x), x > 0; NaN elsewhere.
///
/// By the recurrence and the asymptotic series (Abramowitz and Stegun 6.3.5 and 6.3.18).
pub fn digamma(x: f64) -> f64 {
    if x.is_nan() || x <= 0.0 {
        return f64::NAN;
    }
    let (mut x, mut sum) = (x, 0.0);
    while x < SERIES_FROM {
        sum -= 1.0 / x;
        x += 1.0;
    }
    let q = 1.0 / (x * x);
    let series =
        q * (1.0 / 12.0 - q * (1.0 / 120.0 - q * (1.0 / 252.0 - q * (1.0 / 240.0 - q / 132.0))));
    sum + x.ln() - 0.5 / x - series
}

/// Second derivative of ln gamma(x), x > 0; NaN elsewhere.
///
/// By the recurrence and the asymptotic series (Abramowitz and Stegun 6.4.6 and 6.4.12).
pub fn trigamma(x: f64) -> f64 {
    if x.is_nan() || x <= 0.0 {
        return f64::NAN;
    }
    let (mut x, mut sum) = (x, 0.0);
    while x < SERIES_FROM {
        sum += 1.0 / (x * x);
        x += 1.0;
    }
    let q = 1.0 / (x * x);
    let series =
        q * (1.0 / 6.0 - q * (1.0 / 30.0 - q * (1.0 / 42.0 - q * (1.0 / 30.0 - q * 5.0 / 66.0))));
    sum + 1.0 / x + 0.5 * q + series / x
}

/// The x > 0 whose trigamma is `y`; infinite at 0, NaN below.
///
/// Newton's method on 1 / trigamma, which is convex and nearly straight (Smyth 2004, appendix;
/// from memory, not verified).
pub fn trigamma_inverse(y: f64) -> f64 {
    if y.is_nan() || y < 0.0 {
        return f64::NAN;
    }
    if y > 1e7 {
        return 1.0 / y.sqrt();
    }
    if y < 1e-6 {
        return 1.0 / y;
    }
    let mut x = 0.5 + 1.0 / y;
    for _ in 0..50 {
        let t = trigamma(x);
        let h = 1e-5 * x;
        let slope = (trigamma(x + h) - trigamma(x - h)) / (2.0 * h);
        let step = t * (1.0 - t / y) / slope;
        x = (x + step).max(0.1 * x);
        if (step / x).abs() < 1e-12 {
            break;
        }
    }
    x
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    // Abramowitz and Stegun 6.3.3, 6.4.4 and tables 6.1: digamma(1) is minus Euler's constant.
    #[test]
    fn known_values() {
        assert!((digamma(1.0) + 0.577_215_664_901_532_9).abs() < 1e-12);
        assert!((digamma(0.5) + 1.963_510_026_021_423_5).abs() < 1e-12);
        assert!((trigamma(1.0) - PI * PI / 6.0).abs() < 1e-12);
        assert!((trigamma(0.5) - PI * PI / 2.0).abs() < 1e-12);
        assert!((trigamma(2.0) - (PI * PI / 6.0 - 1.0)).abs() < 1e-12);
    }

    #[test]
    fn the_inverse_inverts() {
        for x in [1e-3, 0.05, 0.5, 1.0, 2.7, 4.0, 30.0, 1e4] {
            assert!(
                (trigamma_inverse(trigamma(x)) / x - 1.0).abs() < 1e-8,
                "{x}"
            );
        }
        assert!(trigamma_inverse(0.0).is_infinite());
        assert!(
            trigamma_inverse(-1.0).is_nan() && digamma(0.0).is_nan() && trigamma(-1.0).is_nan()
        );
    }
}
