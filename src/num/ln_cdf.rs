//! The logarithm of the normal distribution function from a table, where it is asked very often.

use crate::num::{hermite, ln_normal_cdf, ln_normal_interval, normal_cdf};
use std::sync::LazyLock;

const LOW: f64 = -30.0;
const HIGH: f64 = 8.0;
const PER_UNIT: f64 = 16.0;
const KNOTS: usize = 609;
/// Ranges narrower than this, in standard deviations, are not taken as a difference of two entries.
const NARROW: f64 = 0.05;

/// Value and slope (per step) at each knot.
static TABLE: LazyLock<Vec<[f64; 2]>> = LazyLock::new(|| {
    (0..KNOTS)
        .map(|i| {
            let x = LOW + i as f64 / PER_UNIT;
            let value = ln_normal_cdf(x);
            let density = -0.5 * x * x - 0.5 * (2.0 * std::f64::consts::PI).ln();
            [value, (density - value).exp() / PER_UNIT]
        })
        .collect()
});

/// [`ln_normal_cdf`] by cubic Hermite interpolation of a table, to 1e-8 absolute.
pub(crate) fn quick_ln_normal_cdf(x: f64) -> f64 {
    if x >= HIGH {
        return 0.0;
    }
    let place = (x - LOW) * PER_UNIT;
    if place.is_nan() || place < 0.0 {
        return ln_normal_cdf(x);
    }
    let i = place as usize;
    let (Some([a, p]), Some([b, q])) = (TABLE.get(i), TABLE.get(i + 1)) else {
        return ln_normal_cdf(x);
    };
    hermite(*a, *b, *p, *q, place - i as f64)
}

/// [`ln_normal_interval`] from the same table, to about 1e-7 absolute.
pub(crate) fn quick_ln_normal_interval(a: f64, b: f64) -> f64 {
    if b - a < NARROW {
        return ln_normal_interval(a, b);
    }
    let (a, b) = if a > 0.0 { (-b, -a) } else { (a, b) };
    let upper = quick_ln_normal_cdf(b);
    let lower = quick_ln_normal_cdf(a);
    upper + (-(lower - upper).exp()).ln_1p()
}

const PLAIN_END: f64 = 8.0;
const PLAIN_PER_UNIT: f64 = 64.0;
const PLAIN_KNOTS: usize = 1025;

/// Value and slope (per step) of the distribution function at each knot.
static PLAIN: LazyLock<Vec<[f64; 2]>> = LazyLock::new(|| {
    (0..PLAIN_KNOTS)
        .map(|i| {
            let x = -PLAIN_END + i as f64 / PLAIN_PER_UNIT;
            let density = (-0.5 * x * x).exp() / (2.0 * std::f64::consts::PI).sqrt();
            [normal_cdf(x), density / PLAIN_PER_UNIT]
        })
        .collect()
});

/// [`normal_cdf`] by cubic Hermite interpolation of a table, to 3e-10 absolute.
pub(crate) fn quick_normal_cdf(x: f64) -> f64 {
    let place = (x + PLAIN_END) * PLAIN_PER_UNIT;
    if place <= 0.0 {
        return 0.0;
    }
    let i = place as usize;
    let (Some([a, p]), Some([b, q])) = (PLAIN.get(i), PLAIN.get(i + 1)) else {
        return if x.is_nan() { x } else { 1.0 };
    };
    hermite(*a, *b, *p, *q, place - i as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_holds_eight_digits() {
        for i in 0..4_000 {
            let x = -33.0 + 0.0105 * f64::from(i);
            assert!(
                (quick_ln_normal_cdf(x) - ln_normal_cdf(x)).abs() < 2e-8,
                "{x}"
            );
            let (a, b) = (0.2 * x, 0.2 * x + 0.06);
            assert!(
                (quick_ln_normal_interval(a, b) - ln_normal_interval(a, b)).abs() < 1e-6,
                "{a} {b}"
            );
        }
        assert!(quick_ln_normal_cdf(f64::NAN).is_nan());
        for i in 0..4_000 {
            let x = -9.0 + 0.0047 * f64::from(i);
            assert!((quick_normal_cdf(x) - normal_cdf(x)).abs() < 1e-9, "{x}");
        }
        assert!(quick_normal_cdf(f64::NAN).is_nan());
    }
}
