//! How much more prints differ than specimens of one print: restricted maximum likelihood.
//!
//! Readings of material m, print j: mean_m + u_j + e, e ~ N(0, s^2), u_j ~ N(0, r s^2). Each material
//! has a mean of its own, all share the variance s^2 and the ratio r. Restricted likelihood leaves the
//! means out, so that estimating them costs no bias (Patterson and Thompson 1971, Biometrika 58,
//! 545-554; Harville 1977, Journal of the American Statistical Association 72, 320-338; both from
//! memory, not verified; the form below derived from them for one random effect, and checked against
//! published fits in the published cases). On balanced data its maximum is the estimate by analysis of
//! variance, cut off at zero.

/// One print of a material: how many readings, their mean, and their squares about it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PrintSums {
    n: f64,
    mean: f64,
    squares: f64,
}

impl PrintSums {
    /// From sums already made, on the natural scale: `n` readings (1 or more, finite), their mean and
    /// the sum of their squared distances from it (0 or more). `None` outside these.
    pub fn new(n: f64, mean: f64, squares: f64) -> Option<Self> {
        (n >= 1.0 && n.is_finite() && mean.is_finite() && squares >= 0.0 && squares.is_finite())
            .then_some(PrintSums { n, mean, squares })
    }

    /// Of readings on the natural scale; `None` of none, or where one is not finite.
    pub fn of(readings: &[f64]) -> Option<Self> {
        let n = readings.len() as f64;
        let mean = readings.iter().sum::<f64>() / n;
        let squares = readings.iter().map(|y| (y - mean).powi(2)).sum();
        PrintSums::new(n, mean, squares)
    }

    /// Weight of its mean, over 1/s^2.
    fn weight(&self, ratio: f64) -> f64 {
        self.n / (1.0 + ratio * self.n)
    }
}

/// The restricted likelihood of the variance ratio of prints, r = (print variance) / (variance within
/// a print), 0 or more; s^2 is put at its best for each r.
#[derive(Clone, Debug, PartialEq)]
pub struct VarianceRatio {
    materials: Vec<Vec<PrintSums>>,
    /// Readings less materials.
    dof: f64,
    /// Prints less materials.
    between_dof: f64,
    /// Squares within prints.
    squares: f64,
}

/// Ratios searched: beyond these a print is the same as, or all of, the scatter.
const SMALLEST: f64 = 1e-9;
const LARGEST: f64 = 1e9;
/// Steps of the search, nine to a factor of ten. Unbalanced data can have two tops (Harville 1977).
const STEPS: usize = 162;
/// Halvings of a step: to one unit in the last place.
const HALVINGS: usize = 60;

impl VarianceRatio {
    /// Takes prints by material.
    ///
    /// `None` where they do not tell the ratio: no material with two prints, no print with two
    /// readings, or no scatter within any print (floor it by the gauge's step first).
    pub fn new<M>(materials: impl IntoIterator<Item = M>) -> Option<Self>
    where
        M: IntoIterator<Item = PrintSums>,
    {
        let materials: Vec<Vec<PrintSums>> = materials
            .into_iter()
            .map(|m| m.into_iter().collect::<Vec<_>>())
            .filter(|m| !m.is_empty())
            .collect();
        let all = || materials.iter().flatten();
        let means = materials.len() as f64;
        let readings: f64 = all().map(|p| p.n).sum();
        let prints = all().count() as f64;
        let squares: f64 = all().map(|p| p.squares).sum();
        let told = prints > means && readings > prints && squares > 0.0;
        told.then_some(VarianceRatio {
            materials,
            dof: readings - means,
            between_dof: prints - means,
            squares,
        })
    }

    /// Degrees of freedom between prints of one material.
    pub fn between_dof(&self) -> f64 {
        self.between_dof
    }

    /// Degrees of freedom within prints.
    pub fn within_dof(&self) -> f64 {
        self.dof - self.between_dof
    }

    /// Restricted log-likelihood at a ratio, 0 or more, s^2 at its best:
    ///
    /// > -2 l = (N - M) (ln(2 pi s^2) + 1) + sum ln(1 + r n_j) + sum_m ln(sum_j w_j),
    ///
    /// w_j = n_j / (1 + r n_j), N readings, M materials.
    pub fn log_likelihood(&self, ratio: f64) -> f64 {
        let mut determinants = 0.0;
        for m in &self.materials {
            determinants += m.iter().map(|p| (ratio * p.n).ln_1p()).sum::<f64>();
            determinants += m.iter().map(|p| p.weight(ratio)).sum::<f64>().ln();
        }
        let s2 = self.within_variance(ratio);
        let misfit = self.dof * ((2.0 * std::f64::consts::PI * s2).ln() + 1.0);
        -0.5 * (misfit + determinants)
    }

    /// The best s^2 at a ratio, natural scale squared: [squares within + sum w_j (mean_j - mean_m)^2] / (N - M).
    pub fn within_variance(&self, ratio: f64) -> f64 {
        self.misfit(ratio) / self.dof
    }

    fn misfit(&self, ratio: f64) -> f64 {
        let between: f64 = self
            .apart(ratio)
            .map(|(p, away)| p.weight(ratio) * away * away)
            .sum();
        self.squares + between
    }

    /// Each print, and how far its mean lies from its material's.
    fn apart(&self, ratio: f64) -> impl Iterator<Item = (&PrintSums, f64)> {
        self.materials.iter().flat_map(move |m| {
            // From the first print's mean, so that a large common level costs no digits.
            let from = m.first().map_or(0.0, |p| p.mean);
            let (mut w, mut wy) = (0.0, 0.0);
            for p in m {
                w += p.weight(ratio);
                wy += p.weight(ratio) * (p.mean - from);
            }
            let level = wy / w;
            m.iter().map(move |p| (p, p.mean - from - level))
        })
    }

    /// Slope of the restricted log-likelihood in the ratio.
    fn slope(&self, ratio: f64) -> f64 {
        let mut determinants = 0.0;
        for m in &self.materials {
            let w: f64 = m.iter().map(|p| p.weight(ratio)).sum();
            let w2: f64 = m.iter().map(|p| p.weight(ratio).powi(2)).sum();
            determinants += w - w2 / w;
        }
        // The best means and s^2 stand still to first order.
        let falling: f64 = self
            .apart(ratio)
            .map(|(p, away)| (p.weight(ratio) * away).powi(2))
            .sum();
        0.5 * (falling / self.within_variance(ratio) - determinants)
    }

    /// The most likely ratio, 0 or more.
    pub fn estimate(&self) -> f64 {
        let mut best = (0.0, self.log_likelihood(0.0));
        for top in self.tops() {
            let l = self.log_likelihood(top);
            if l > best.1 {
                best = (top, l);
            }
        }
        best.0
    }

    /// Every ratio above zero at which the likelihood turns from rising to falling.
    fn tops(&self) -> Vec<f64> {
        let mut tops = Vec::new();
        let mut low = 0.0;
        let mut rising = self.slope(0.0) > 0.0;
        for high in steps() {
            let rises = self.slope(high) > 0.0;
            if rising && !rises {
                tops.push(halve(low, high, |r| self.slope(r) > 0.0));
            }
            (low, rising) = (high, rises);
        }
        tops
    }

    /// The ratios that the data do not speak against: twice the fall of the log-likelihood from its
    /// top is at most the chi-square quantile of `level` (0 to 1) at one degree of freedom; 0 at the
    /// lower end where no print effect at all is among them.
    ///
    /// Profile likelihood, Wilks' large-sample law (textbook, from memory): with a handful of prints the
    /// interval is an indication.
    pub fn interval(&self, level: f64) -> (f64, f64) {
        let z = crate::num::normal_quantile(0.5 + 0.5 * level);
        let estimate = self.estimate();
        let floor = self.log_likelihood(estimate) - 0.5 * z * z;
        let within = |r: f64| self.log_likelihood(r) >= floor;
        let low = if within(0.0) {
            0.0
        } else {
            let out = steps().filter(|r| *r < estimate && !within(*r)).last();
            halve(out.unwrap_or(0.0), estimate, |r| !within(r))
        };
        let high = match steps().find(|r| *r > estimate && !within(*r)) {
            Some(out) => halve(estimate, out, within),
            None => f64::INFINITY,
        };
        (low, high)
    }
}

fn steps() -> impl Iterator<Item = f64> {
    let rise = (LARGEST / SMALLEST).ln() / STEPS as f64;
    (0..=STEPS).map(move |i| SMALLEST * (rise * i as f64).exp())
}

/// Where a property that holds at `low` and not at `high` ends.
fn halve(low: f64, high: f64, holds: impl Fn(f64) -> bool) -> f64 {
    let (mut low, mut high) = (low, high);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if holds(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn prints(groups: &[&[f64]]) -> Vec<PrintSums> {
        groups.iter().filter_map(|g| PrintSums::of(g)).collect()
    }

    #[test]
    fn what_does_not_tell_the_ratio_is_not_asked() {
        let one_print = prints(&[&[1.0, 2.0, 3.0]]);
        let no_repeats = prints(&[&[1.0], &[2.0], &[4.0]]);
        let no_scatter = prints(&[&[1.0, 1.0], &[2.0, 2.0]]);
        for p in [one_print, no_repeats, no_scatter, Vec::new()] {
            assert!(VarianceRatio::new([p.clone()]).is_none(), "{p:?}");
        }
        assert!(PrintSums::new(0.0, 1.0, 0.0).is_none());
        assert!(PrintSums::of(&[1.0, f64::NAN]).is_none());
    }

    #[test]
    fn prints_alike_give_nothing_and_an_upper_end() {
        let r = VarianceRatio::new([prints(&[&[1.0, 3.0], &[2.1, 1.9], &[0.9, 3.0]])]);
        let r = r.expect("told");
        assert!(r.estimate() <= 0.0);
        let (low, high) = r.interval(0.9);
        assert!(low <= 0.0 && high > 0.1 && high < 1e3, "{low} {high}");
    }

    /// Balanced data: (mean square between - within) / (n times within), for each material's mean free.
    #[test]
    fn balanced_data_give_the_analysis_of_variance() {
        let a = prints(&[&[1.0, 2.0, 3.0], &[6.0, 7.5, 6.0], &[4.0, 4.0, 5.5]]);
        let b = prints(&[&[101.0, 102.5, 101.0], &[103.0, 104.0, 105.0]]);
        let between = |m: &[PrintSums]| {
            let mean = m.iter().map(|p| p.mean).sum::<f64>() / m.len() as f64;
            m.iter().map(|p| 3.0 * (p.mean - mean).powi(2)).sum::<f64>()
        };
        let ms_between = (between(&a) + between(&b)) / 3.0;
        let ms_within = a.iter().chain(&b).map(|p| p.squares).sum::<f64>() / 10.0;
        let r = VarianceRatio::new([a, b]).expect("told");
        let want = (ms_between / ms_within - 1.0) / 3.0;
        assert!((r.estimate() / want - 1.0).abs() < 1e-9);
        assert!((r.within_variance(want) / ms_within - 1.0).abs() < 1e-9);
        assert!((r.between_dof() - 3.0).abs() < 1e-12 && (r.within_dof() - 10.0).abs() < 1e-12);
    }

    #[test]
    fn the_slope_is_the_slope() {
        let a = prints(&[&[1.0, 2.0, 3.0], &[6.0, 7.5], &[4.0, 4.0, 5.5, 3.0]]);
        let b = prints(&[&[11.0, 12.5, 11.0], &[13.0]]);
        let r = VarianceRatio::new([a, b]).expect("told");
        for x in [0.01, 0.3, 1.0, 20.0] {
            let h = 1e-5 * x;
            let by_hand = (r.log_likelihood(x + h) - r.log_likelihood(x - h)) / (2.0 * h);
            assert!((r.slope(x) - by_hand).abs() < 1e-5 * by_hand.abs(), "{x}");
        }
    }
}
