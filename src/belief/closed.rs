//! Exact readings: generalised least squares over prints and lots, in closed form.
//!
//! Given the variance ratios of prints and lots, readings of one print have covariance
//! s^2 (I + rho^2 J), whose inverse is (I - k J) / s^2 with k = rho^2 / (1 + rho^2 n) (Sherman and
//! Morrison); prints of one lot share lambda^2 s^2 more, and the same formula is applied once again.
//! With a flat prior of the mean this is the textbook conjugate normal model (Gelman et al., Bayesian
//! Data Analysis, chapters 3 and 14; from memory): the mean and the next part are Student t.

/// One exact reading.
#[derive(Clone, Copy, Debug)]
pub(super) struct Exact {
    /// On the natural scale.
    pub(super) y: f64,
    /// Number of its print; equal numbers stand together.
    pub(super) print: usize,
    /// Number of its lot; equal numbers stand together, and a print has one lot.
    pub(super) lot: usize,
    /// Whether it stands at the warmer of two temperatures.
    pub(super) warm: bool,
}

/// Variances over that within a print.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Ratios {
    /// Of prints: rho^2.
    pub(super) prints: f64,
    /// Of lots: lambda^2.
    pub(super) lots: f64,
}

impl Ratios {
    /// Prints alone.
    pub(super) fn of_prints(prints: f64) -> Self {
        Ratios { prints, lots: 0.0 }
    }
    /// Variance of a further print of a further lot about the mean, over s^2.
    pub(super) fn between(self) -> f64 {
        self.prints + self.lots
    }
    /// Variance of one reading of such a print.
    pub(super) fn next_part(self) -> f64 {
        1.0 + self.between()
    }
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
    /// -(ln det V + ln det X' V^-1 X) / 2, V the covariance over s^2: with `squares` and `dof` all that
    /// the restricted likelihood of the ratios needs (Harville 1974, from memory).
    pub(super) ln_volume: f64,
    /// Weight of each reading in the mean; they sum to 1.
    pub(super) weights: Vec<f64>,
    /// How far readings at the cooler and at the warmer temperature lie below the mean wanted.
    pub(super) carry: [f64; 2],
}

impl Fit {
    /// Log likelihood of the ratios with the mean and s^2 integrated out, s^2 having a
    /// scaled-inverse-chi-square prior of `dof` degrees of freedom about `variance`; constants dropped.
    pub(super) fn ln_likelihood(&self, dof: f64, variance: f64) -> f64 {
        self.ln_volume - 0.5 * (dof + self.dof) * (dof * variance + self.squares).ln()
    }
}

/// Fits the mean, or the value `warm_share` of the way from the cooler to the warmer runs.
///
/// `None` without readings (of either temperature where two are wanted).
pub(super) fn fit(readings: &[Exact], ratios: Ratios, warm_share: Option<f64>) -> Option<Fit> {
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
    let mut ln_det = 0.0;
    for lot in readings.chunk_by(|p, q| p.lot == q.lot) {
        // The lot's readings, each print's inverse covariance applied, summed.
        let (mut u, mut v, mut w) = ([0.0; 2], 0.0, 0.0);
        for print in lot.chunk_by(|p, q| p.print == q.print) {
            let n = print.len() as f64;
            let k = ratios.prints / (1.0 + ratios.prints * n);
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
            let own = 1.0 - k * n;
            u[0] += own * sx[0];
            u[1] += own * sx[1];
            v += own * sy;
            w += own * n;
            ln_det += (ratios.prints * n).ln_1p();
        }
        if ratios.lots > 0.0 {
            let c = ratios.lots / (1.0 + ratios.lots * w);
            a00 -= c * u[0] * u[0];
            a11 -= c * u[1] * u[1];
            a01 -= c * u[0] * u[1];
            b[0] -= c * u[0] * v;
            b[1] -= c * u[1] * v;
            yy -= c * v * v;
            ln_det += (ratios.lots * w).ln_1p();
        }
    }
    // Inverse of the normal matrix; without a warmer group only its first entry.
    let (inverse, det) = if warm_share.is_some() {
        let det = a00 * a11 - a01 * a01;
        ([a11 / det, -a01 / det, a00 / det], det)
    } else {
        ([1.0 / a00, 0.0, 0.0], a00)
    };
    let [i00, i01, i11] = inverse;
    let beta = [i00 * b[0] + i01 * b[1], i01 * b[0] + i11 * b[1]];
    let row = [
        i00 * target[0] + i01 * target[1],
        i01 * target[0] + i11 * target[1],
    ];
    let mut weights = Vec::with_capacity(readings.len());
    for lot in readings.chunk_by(|p, q| p.lot == q.lot) {
        let prints = || lot.chunk_by(|p, q| p.print == q.print);
        let own = |n: f64| 1.0 / (1.0 + ratios.prints * n);
        let reach = |print: &[Exact]| print.iter().map(|r| row[group(r)]).sum::<f64>();
        let (mut through, mut w) = (0.0, 0.0);
        if ratios.lots > 0.0 {
            for print in prints() {
                let f = own(print.len() as f64);
                through += f * reach(print);
                w += f * print.len() as f64;
            }
        }
        let shared = ratios.lots / (1.0 + ratios.lots * w) * through;
        for print in prints() {
            let f = own(print.len() as f64);
            let less = ratios.prints * f * reach(print) + f * shared;
            weights.extend(print.iter().map(|r| row[group(r)] - less));
        }
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
        ln_volume: -0.5 * (ln_det + det.ln()),
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
            lot: 0,
            warm: false,
        }
    }

    // Derived by hand: rho = 1, prints {1, 3} and {5}: weights 2/3 and 1/2 of print means 2 and 5.
    #[test]
    fn prints_weigh_as_the_covariance_says() {
        let f = fit(
            &[at(1.0, 0), at(3.0, 0), at(5.0, 1)],
            Ratios::of_prints(1.0),
            None,
        )
        .expect("readings");
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
            warm: true,
            ..at(y, print)
        };
        let all = [at(10.0, 0), at(10.2, 0), warm(8.0, 1), warm(8.4, 1)];
        let f = fit(&all, Ratios::of_prints(1.0), Some(0.25)).expect("both");
        assert!((f.at - (0.75 * 10.1 + 0.25 * 8.2)).abs() < 1e-12);
        assert!((f.weights.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        assert!((f.per_s2 - 1.5 * (0.75_f64.powi(2) + 0.25_f64.powi(2))).abs() < 1e-12);
    }

    /// Against the dense matrices: three lots, five prints.
    #[test]
    fn lots_enter_as_the_dense_covariance_has_it() {
        let of = |y, print, lot| Exact {
            y,
            print,
            lot,
            warm: false,
        };
        let all = [
            of(1.0, 0, 0),
            of(1.4, 0, 0),
            of(2.1, 1, 0),
            of(3.0, 2, 1),
            of(2.7, 3, 1),
            of(2.2, 3, 1),
            of(0.4, 4, 2),
        ];
        let ratios = Ratios {
            prints: 0.7,
            lots: 1.9,
        };
        let n = all.len();
        let mut v = vec![vec![0.0; n]; n];
        for (i, a) in all.iter().enumerate() {
            for (j, b) in all.iter().enumerate() {
                v[i][j] = f64::from(u8::from(i == j))
                    + ratios.prints * f64::from(u8::from(a.print == b.print))
                    + ratios.lots * f64::from(u8::from(a.lot == b.lot));
            }
        }
        // Solve V x = 1 and V z = y by elimination, with the determinant on the way.
        let mut rows: Vec<Vec<f64>> = v
            .iter()
            .zip(&all)
            .map(|(r, a)| r.iter().copied().chain([1.0, a.y]).collect())
            .collect();
        let mut det = 1.0;
        for i in 0..n {
            det *= rows[i][i];
            for j in 0..n {
                if j != i {
                    let f = rows[j][i] / rows[i][i];
                    let pivot = rows[i].clone();
                    for (x, p) in rows[j].iter_mut().zip(pivot) {
                        *x -= f * p;
                    }
                }
            }
        }
        let x: Vec<f64> = (0..n).map(|i| rows[i][n] / rows[i][i]).collect();
        let z: Vec<f64> = (0..n).map(|i| rows[i][n + 1] / rows[i][i]).collect();
        let (one, y1): (f64, f64) = (x.iter().sum(), z.iter().sum());
        let yy: f64 = z.iter().zip(&all).map(|(z, a)| z * a.y).sum();
        let f = fit(&all, ratios, None).expect("readings");
        assert!((f.at - y1 / one).abs() < 1e-12);
        assert!((f.per_s2 - 1.0 / one).abs() < 1e-12);
        assert!((f.squares - (yy - y1 * y1 / one)).abs() < 1e-10);
        assert!((f.ln_volume + 0.5 * (det.ln() + one.ln())).abs() < 1e-12);
        for (w, x) in f.weights.iter().zip(&x) {
            assert!((w - x / one).abs() < 1e-12);
        }
    }
}
