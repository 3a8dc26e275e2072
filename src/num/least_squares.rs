//! Least squares of a straight line.

/// A fitted straight line y = intercept + slope x.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Change of y per unit of x.
    pub slope: f64,
    /// y at x = 0.
    pub intercept: f64,
    /// Sum of the squared distances in y.
    pub residual_squares: f64,
    /// Sum of the squared distances of x from its mean: the slope's variance is that of y over this.
    pub x_squares: f64,
}

/// The line with the least sum of squared distances in y; all points weigh the same.
///
/// Formula: slope = sum (x - mx)(y - my) / sum (x - mx)^2, intercept = my - slope mx.
/// The means are taken off first, so that a large common offset costs no digits.
/// `None` with fewer than two points, where all x are equal, or where a figure is not finite.
///
/// # Source
/// Textbook (ordinary least squares); checked against the certified figures of a NIST
/// reference data set in the published cases.
pub fn line(points: impl Iterator<Item = (f64, f64)> + Clone) -> Option<Line> {
    let (mut n, mut sx, mut sy) = (0.0, 0.0, 0.0);
    for (x, y) in points.clone() {
        n += 1.0;
        sx += x;
        sy += y;
    }
    if n < 2.0 {
        return None;
    }
    let (mx, my) = (sx / n, sy / n);
    let (mut sxx, mut sxy) = (0.0, 0.0);
    for (x, y) in points.clone() {
        sxx += (x - mx) * (x - mx);
        sxy += (x - mx) * (y - my);
    }
    if sxx <= 0.0 {
        return None;
    }
    let slope = sxy / sxx;
    let intercept = my - slope * mx;
    let residual_squares = points
        .map(|(x, y)| ((y - my) - slope * (x - mx)).powi(2))
        .sum();
    (slope.is_finite() && intercept.is_finite()).then_some(Line {
        slope,
        intercept,
        residual_squares,
        x_squares: sxx,
    })
}

#[cfg(test)]
mod tests {
    use super::line;

    #[test]
    fn one_point_or_one_x_has_no_line() {
        assert!(line([(1.0, 2.0)].into_iter()).is_none());
        assert!(line([(1.0, 2.0), (1.0, 3.0)].into_iter()).is_none());
        assert!(line([(1.0, 2.0), (2.0, f64::NAN)].into_iter()).is_none());
    }

    #[test]
    fn a_large_offset_costs_no_digits() {
        let far = (0..5).map(|i| {
            let x = f64::from(i);
            (1e6 + x, 3.0 + 2.0 * x)
        });
        let l = line(far).map(|l| l.slope);
        assert!(l.is_some_and(|s| (s - 2.0).abs() < 1e-9), "{l:?}");
    }
}
