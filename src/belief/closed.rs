//! Exact readings: generalised least squares over prints, in closed form.
//!
//! Given rho, readings of one print have covariance s^2 (I + rho^2 J), whose inverse is
//! (I - k J) / s^2 with k = rho^2 / (1 + rho^2 n) (Sherman and Morrison). With a flat prior of the
//! mean this is the textbook conjugate normal model (Gelman et al., Bayesian Data Analysis,
//! chapters 3 and 14; from memory): the mean and the next part are Student t.

/// One exact reading.
#[derive(Clone, Copy, Debug)]
pub(super) struct Exact {
    /// On the natural scale.
    pub(super) y: f64,
    /// Number of its print; equal numbers stand together.
    pub(super) print: usize,
    /// Whether it stands at the warmer of two temperatures.
    pub(super) warm: bool,
}

/// Least squares of the mean at the asked condition.
#[derive(Clone, Debug)]
pub(super) struct Fit {
    /// The mean.
    pub(super) at: f64,
    /// Its variance over s^2.
    pub(super) per_s2: f64,
    /// Weighted squares of the residuals: s^2 times chi-square.
    pub(super) squares: f64,
    /// Degrees of freedom of the residuals.
    pub(super) dof: f64,
    /// Weight of each reading in the mean; they sum to 1.
    pub(super) weights: Vec<f64>,
    /// How far readings at the cooler and at the warmer temperature lie below the mean wanted.
    pub(super) carry: [f64; 2],
}

/// Fits the mean, or the value `warm_share` of the way from the cooler to the warmer runs.
///
/// `None` without readings (of either temperature where two are wanted).
pub(super) fn fit(readings: &[Exact], rho2: f64, warm_share: Option<f64>) -> Option<Fit> {
    let group = |r: &Exact| usize::from(warm_share.is_some() && r.warm);
    let mut count = [0.0; 2];
    let mut sum = [0.0; 2];
    for r in readings {
        let g = group(r);
        count[g] += 1.0;
        sum[g] += r.y;
    }
    if count[0] <= 0.0 || (warm_share.is_some() && count[1] <= 0.0) {
        return None;
    }
    // Centred by group, so that squares keep their digits.
    let centre = [sum[0] / count[0], sum[1] / count[1].max(1.0)];
    let target = warm_share.map_or([1.0, 0.0], |w| [1.0 - w, w]);
    let (mut a00, mut a01, mut a11) = (0.0, 0.0, 0.0);
    let mut b = [0.0; 2];
    let mut yy = 0.0;
    for print in readings.chunk_by(|p, q| p.print == q.print) {
        let n = print.len() as f64;
        let k = rho2 / (1.0 + rho2 * n);
        let (mut sx, mut sy) = ([0.0; 2], 0.0);
        for r in print {
            let g = group(r);
            let y = r.y - centre[g];
            sx[g] += 1.0;
            sy += y;
            b[g] += y;
            yy += y * y;
        }
        a00 += sx[0] - k * sx[0] * sx[0];
        a11 += sx[1] - k * sx[1] * sx[1];
        a01 -= k * sx[0] * sx[1];
        b[0] -= k * sx[0] * sy;
        b[1] -= k * sx[1] * sy;
        yy -= k * sy * sy;
    }
    // Inverse of the normal matrix; without a warmer group only its first entry.
    let inverse = if warm_share.is_some() {
        let det = a00 * a11 - a01 * a01;
        [a11 / det, -a01 / det, a00 / det]
    } else {
        [1.0 / a00, 0.0, 0.0]
    };
    let [i00, i01, i11] = inverse;
    let beta = [i00 * b[0] + i01 * b[1], i01 * b[0] + i11 * b[1]];
    let row = [
        i00 * target[0] + i01 * target[1],
        i01 * target[0] + i11 * target[1],
    ];
    let mut weights = Vec::with_capacity(readings.len());
    for print in readings.chunk_by(|p, q| p.print == q.print) {
        let k = rho2 / (1.0 + rho2 * print.len() as f64);
        let reach: f64 = print.iter().map(|r| row[group(r)]).sum();
        weights.extend(print.iter().map(|r| row[group(r)] - k * reach));
    }
    let level = [centre[0] + beta[0], centre[1] + beta[1]];
    let at = target[0] * level[0]
        + if warm_share.is_some() {
            target[1] * level[1]
        } else {
            0.0
        };
    let parameters = if warm_share.is_some() { 2.0 } else { 1.0 };
    Some(Fit {
        at,
        per_s2: target[0] * row[0] + target[1] * row[1],
        squares: (yy - beta[0] * b[0] - beta[1] * b[1]).max(0.0),
        dof: readings.len() as f64 - parameters,
        weights,
        carry: if warm_share.is_some() {
            [at - level[0], at - level[1]]
        } else {
            [0.0; 2]
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(y: f64, print: usize) -> Exact {
        Exact {
            y,
            print,
            warm: false,
        }
    }

    // Derived by hand: rho = 1, prints {1, 3} and {5}: weights 2/3 and 1/2 of print means 2 and 5.
    #[test]
    fn prints_weigh_as_the_covariance_says() {
        let f = fit(&[at(1.0, 0), at(3.0, 0), at(5.0, 1)], 1.0, None).expect("readings");
        let want = (2.0 / 3.0 * 2.0 + 0.5 * 5.0) / (2.0 / 3.0 + 0.5);
        assert!((f.at - want).abs() < 1e-12);
        assert!((f.per_s2 - 1.0 / (2.0 / 3.0 + 0.5)).abs() < 1e-12);
        let squares = 2.0 + 2.0 / 3.0 * (2.0 - want).powi(2) + 0.5 * (5.0 - want).powi(2);
        assert!((f.squares - squares).abs() < 1e-12);
        assert!((f.weights.iter().sum::<f64>() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn between_two_temperatures_the_mean_lies_on_their_line() {
        let warm = |y, print| Exact {
            y,
            print,
            warm: true,
        };
        let all = [at(10.0, 0), at(10.2, 0), warm(8.0, 1), warm(8.4, 1)];
        let f = fit(&all, 1.0, Some(0.25)).expect("both");
        assert!((f.at - (0.75 * 10.1 + 0.25 * 8.2)).abs() < 1e-12);
        assert!((f.weights.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        assert!((f.per_s2 - 1.5 * (0.75_f64.powi(2) + 0.25_f64.powi(2))).abs() < 1e-12);
    }
}
