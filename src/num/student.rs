//! Student's t: quantiles at any degrees of freedom.

use crate::num::{normal_cdf, normal_quantile};
use statrs::distribution::{ContinuousCDF, StudentsT};

/// Above this the library's search loses digits and, far above, never ends; the series is exact there.
const SERIES_ABOVE: f64 = 1000.0;

/// The quantile `p` of Student's t with `dof` degrees of freedom.
///
/// Infinite at `p` of 0 and 1 and beyond; NaN where `p` is NaN or `dof` is not above zero.
/// Infinite `dof` is the normal distribution. Above 1 000 degrees by the expansion in 1/dof
/// (Abramowitz and Stegun 26.7.5; agrees with the library to 2e-10 there).
pub fn t_quantile(p: f64, dof: f64) -> f64 {
    if p.is_nan() || dof.is_nan() || dof <= 0.0 {
        return f64::NAN;
    }
    if p <= 0.0 {
        return f64::NEG_INFINITY;
    }
    if p >= 1.0 {
        return f64::INFINITY;
    }
    if dof > SERIES_ABOVE {
        let z = normal_quantile(p);
        let v = 1.0 / dof;
        let z2 = z * z;
        return z
            * (1.0
                + v * ((z2 + 1.0) / 4.0
                    + v * (((5.0 * z2 + 16.0) * z2 + 3.0) / 96.0
                        + v * ((((3.0 * z2 + 19.0) * z2 + 17.0) * z2 - 15.0) / 384.0))));
    }
    let Ok(t) = StudentsT::new(0.0, 1.0, dof) else {
        return f64::NAN;
    };
    if dof >= 1.0 {
        return t.inverse_cdf(p);
    }
    // The library's far tails are wrong below one degree: bisect on its distribution function,
    // in the logarithm of the distance from the centre.
    let (tail, sign) = if p < 0.5 { (p, -1.0) } else { (1.0 - p, 1.0) };
    let (mut low, mut high) = (-40.0_f64, 700.0_f64);
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if t.cdf(-middle.exp()) > tail {
            low = middle;
        } else {
            high = middle;
        }
    }
    sign * (0.5 * (low + high)).exp()
}

/// Chance that Student's t with `dof` degrees of freedom is `x` or less; NaN where `dof` is not above zero.
///
/// Above 1 000 degrees of freedom by the normal distribution of a corrected score, x (1 - 1/(4 dof)) /
/// sqrt(1 + x^2 / (2 dof)) (Abramowitz and Stegun 26.7.8).
pub fn t_cdf(x: f64, dof: f64) -> f64 {
    if x.is_nan() || dof.is_nan() || dof <= 0.0 {
        return f64::NAN;
    }
    if dof > SERIES_ABOVE {
        let v = 1.0 / dof;
        return normal_cdf(x * (1.0 - 0.25 * v) / (1.0 + 0.5 * x * x * v).sqrt());
    }
    StudentsT::new(0.0, 1.0, dof).map_or(f64::NAN, |t| t.cdf(x))
}

#[cfg(test)]
mod tests {
    use super::*;

    // Reproduced by scipy 1.17.1 (t.ppf).
    #[test]
    fn quantiles_agree_at_any_degrees_of_freedom() {
        for (p, dof, want) in [
            (0.975, 4.0, 2.776_445_105_197_793),
            (0.95, 1.0, 6.313_751_514_675_041),
            (0.995, 16.0, 2.920_781_622_425_185),
            (0.99, 999.0, 2.330_086_419_039_457),
            (0.99, 1001.0, 2.330_078_937_964_124),
            (0.999, 1e5, 3.090_313_809_427_24),
            (0.001, 1e9, -3.090_232_314_317_943),
            (0.975, f64::INFINITY, 1.959_963_984_540_054),
        ] {
            let got = t_quantile(p, dof);
            assert!(
                (got - want).abs() < 1e-6 * f64::abs(want),
                "t({p}, {dof}) = {got}, not {want}"
            );
        }
    }

    #[test]
    fn odd_arguments_give_an_answer() {
        assert!(t_quantile(0.0, 5.0).is_infinite() && t_quantile(0.0, 5.0) < 0.0);
        assert!(t_quantile(1.0, 5.0).is_infinite() && t_quantile(1.0, 5.0) > 0.0);
        assert!(t_quantile(0.5, 0.0).is_nan());
        assert!(t_quantile(0.5, f64::NAN).is_nan());
        assert!(t_quantile(0.5, 3.0).abs() < 1e-9);
        assert!(t_quantile(0.975, 1e300).is_finite());
        assert!(t_quantile(0.9, 0.5) > 3.0);
    }
}
