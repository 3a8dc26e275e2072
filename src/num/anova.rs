//! Analysis of variance of repeated readings: how much of the scatter is the rig's own, and how much
//! comes with the operator or the day.
//!
//! Two designs. *Nested*: every specimen has a mean of its own, groups (days, operators) differ within
//! it, and readings repeat within a group; one specimen is the one-way analysis. *Crossed*: every
//! specimen is read by every operator equally often; then the operators, and their way with single
//! specimens (the interaction), are told apart.
//!
//! # Source
//! Textbook mean squares of random models. One-way precision: repeatability s_r^2 = MS within, between
//! s_L^2 = (MS between - MS within)/n, reproducibility s_R^2 = s_r^2 + s_L^2 (ISO 5725-2, from memory,
//! not verified). Crossed study: AIAG MSA manual, 4th edition (its worked example verified in source, see
//! the published cases). Intervals: modified large sample (Graybill and Wang 1980; Ting and others 1990;
//! Burdick and Graybill 1992; from memory; checked against the limits that the AIAG manual prints).

use crate::num::{chi_square_share, f_quantile, f_upper};

/// An interaction with a chance above this of arising by itself is pooled with the repeats (AIAG MSA
/// manual, 4th edition; verified in source: quoted in public documentation of a gauge-study program).
pub const POOL_ABOVE: f64 = 0.25;

/// A mean square and its degrees of freedom.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeanSquare {
    /// Mean square, 0 or more, unit of the readings squared.
    pub ms: f64,
    /// Degrees of freedom, 1 or more.
    pub dof: f64,
}

impl MeanSquare {
    fn of(squares: f64, dof: f64) -> Self {
        MeanSquare {
            ms: squares / dof,
            dof,
        }
    }

    /// Chance that its ratio to `under` arises where both have one expectation; NaN where both are 0.
    pub fn chance_over(self, under: MeanSquare) -> f64 {
        f_upper(self.ms / under.ms, self.dof, under.dof)
    }
}

/// An estimated variance with its interval, unit of the readings squared.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Variance {
    /// The estimate, never below 0.
    pub estimate: f64,
    /// The estimate as computed; below 0 where the data show less than nothing.
    pub raw: f64,
    /// Lower end of the interval, never below 0.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Variance {
    /// Whether the estimate came out below 0 and is shown as 0.
    pub fn clipped(&self) -> bool {
        self.raw < 0.0
    }
    /// Estimate, lower and upper end of the standard deviation.
    pub fn deviation(&self) -> [f64; 3] {
        [self.estimate, self.low, self.high].map(f64::sqrt)
    }
}

/// The variance sum c MS over `plus` less the same over `minus` (every c above 0), with its two-sided
/// interval at `level` (0 to 1).
///
/// Modified large sample: squares of each term's own exact bounds, and for every pair of one from each
/// side the term that makes a difference of two exact where one of them is 0. With one mean square
/// and nothing taken off it is the exact chi-square interval.
pub fn variance(plus: &[(f64, MeanSquare)], minus: &[(f64, MeanSquare)], level: f64) -> Variance {
    let alpha = 0.5 * (1.0 - level);
    let g = |dof: f64| 1.0 - 1.0 / chi_square_share(1.0 - alpha, dof);
    let h = |dof: f64| 1.0 / chi_square_share(alpha, dof) - 1.0;
    let size = |(c, m): &(f64, MeanSquare)| c * m.ms;
    let sum = |of: &[(f64, MeanSquare)]| of.iter().map(size).sum::<f64>();
    let squares = |of: &[(f64, MeanSquare)], by: &dyn Fn(f64) -> f64| {
        of.iter()
            .map(|t| (by(t.1.dof) * size(t)).powi(2))
            .sum::<f64>()
    };
    let raw = sum(plus) - sum(minus);
    let mut down = squares(plus, &g) + squares(minus, &h);
    let mut up = squares(plus, &h) + squares(minus, &g);
    for a in plus {
        for b in minus {
            let (i, j) = (a.1.dof, b.1.dof);
            let both = size(a) * size(b);
            let f = f_quantile(1.0 - alpha, i, j);
            down += both * ((f - 1.0).powi(2) - (g(i) * f).powi(2) - h(j).powi(2)) / f;
            let f = f_quantile(alpha, i, j);
            up += both * ((1.0 - f).powi(2) - (h(i) * f).powi(2) - g(j).powi(2)) / f;
        }
    }
    let high = (raw + up.max(0.0).sqrt()).max(0.0);
    Variance {
        estimate: raw.max(0.0),
        raw,
        low: (raw - down.max(0.0).sqrt()).max(0.0),
        high,
    }
}

/// The nested analysis: specimens, groups within them, readings within those.
#[derive(Clone, Debug, PartialEq)]
pub struct Nested {
    /// Between groups of one specimen.
    pub between: MeanSquare,
    /// Within groups.
    pub within: MeanSquare,
    /// Readings a group counts for: their number where it is equal, less where it is not,
    /// (N - sum n^2/N) / (groups - 1).
    pub per_group: f64,
    /// Whether every group has as many readings.
    pub balanced: bool,
}

impl Nested {
    /// Of `specimens[specimen][group][reading]`; empty groups are passed over.
    ///
    /// `None` where no specimen has two groups, no group two readings, or a reading is not finite.
    pub fn of(specimens: &[Vec<Vec<f64>>]) -> Option<Self> {
        let (mut ss_between, mut ss_within) = (0.0, 0.0);
        let (mut between_dof, mut within_dof, mut weight) = (0.0, 0.0, 0.0);
        let mut sizes: Vec<usize> = Vec::new();
        for groups in specimens {
            let filled = || groups.iter().filter(|g| !g.is_empty());
            let total: f64 = filled().map(|g| g.len() as f64).sum();
            if total <= 0.0 {
                continue;
            }
            let middle = filled().flatten().sum::<f64>() / total;
            let mut n2 = 0.0;
            for g in filled() {
                let n = g.len() as f64;
                let mean = g.iter().map(|y| y - middle).sum::<f64>() / n;
                ss_between += n * mean * mean;
                ss_within += g.iter().map(|y| (y - middle - mean).powi(2)).sum::<f64>();
                within_dof += n - 1.0;
                n2 += n * n;
                sizes.push(g.len());
            }
            between_dof += filled().count() as f64 - 1.0;
            weight += total - n2 / total;
        }
        let told = between_dof >= 1.0 && within_dof >= 1.0;
        let finite = ss_between.is_finite() && ss_within.is_finite();
        (told && finite).then(|| Nested {
            between: MeanSquare::of(ss_between, between_dof),
            within: MeanSquare::of(ss_within, within_dof),
            per_group: weight / between_dof,
            balanced: sizes.windows(2).all(|w| w.first() == w.get(1)),
        })
    }

    /// Variance of repeats within a group: MS within.
    pub fn repeat(&self, level: f64) -> Variance {
        variance(&[(1.0, self.within)], &[], level)
    }

    /// Variance between groups: (MS between - MS within) / readings a group.
    pub fn groups(&self, level: f64) -> Variance {
        let c = 1.0 / self.per_group;
        variance(&[(c, self.between)], &[(c, self.within)], level)
    }

    /// Both together: one reading of another group.
    pub fn both(&self, level: f64) -> Variance {
        let c = 1.0 / self.per_group;
        let v = variance(
            &[(c, self.between), ((1.0 - c).max(0.0), self.within)],
            &[],
            level,
        );
        // With a negative part shown as 0 the sum is the other part alone.
        let estimate = self.repeat(level).estimate + self.groups(level).estimate;
        Variance {
            estimate,
            high: v.high.max(estimate),
            ..v
        }
    }
}

/// The crossed analysis: every specimen by every operator, equally often.
#[derive(Clone, Debug, PartialEq)]
pub struct Crossed {
    /// Between specimens.
    pub specimens: MeanSquare,
    /// Between operators.
    pub operators: MeanSquare,
    /// The interaction of both.
    pub interaction: MeanSquare,
    /// Between repeats; `None` where every cell has one reading.
    pub repeats: Option<MeanSquare>,
    /// Numbers of specimens, operators and readings in a cell.
    counts: [f64; 3],
}

/// Variances of a crossed study.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CrossedVariances {
    /// Whether the interaction was pooled with the repeats.
    pub pooled: bool,
    /// Repeats by one operator of one specimen ("equipment variation", squared).
    pub repeat: Variance,
    /// Operators, the interaction with them ("appraiser variation", squared).
    pub operator: Variance,
    /// The interaction alone; `None` where it was pooled.
    pub interaction: Option<Variance>,
    /// Repeats and operators together: the rig's whole scatter.
    pub both: Variance,
    /// Specimens.
    pub specimen: Variance,
}

impl Crossed {
    /// Of `table[specimen][operator][reading]`.
    ///
    /// `None` with fewer than two specimens or operators, with cells that do not have equally many
    /// readings (one or more), or with a reading that is not finite.
    pub fn of(table: &[Vec<Vec<f64>>]) -> Option<Self> {
        let p = table.len();
        let o = table.first()?.len();
        let r = table.first()?.first()?.len();
        let even = table
            .iter()
            .all(|row| row.len() == o && row.iter().all(|cell| cell.len() == r));
        if p < 2 || o < 2 || r < 1 || !even {
            return None;
        }
        let (pn, on, rn) = (p as f64, o as f64, r as f64);
        let all = || table.iter().flatten().flatten();
        let grand = all().sum::<f64>() / (pn * on * rn);
        let cells: Vec<Vec<f64>> = table
            .iter()
            .map(|row| {
                row.iter()
                    .map(|c| c.iter().map(|y| y - grand).sum::<f64>() / rn)
                    .collect()
            })
            .collect();
        let rows: Vec<f64> = cells.iter().map(|c| c.iter().sum::<f64>() / on).collect();
        let columns: Vec<f64> = (0..o)
            .map(|j| cells.iter().filter_map(|c| c.get(j)).sum::<f64>() / pn)
            .collect();
        let square = |x: &[f64]| x.iter().map(|m| m * m).sum::<f64>();
        let mut interaction = 0.0;
        let mut repeats = 0.0;
        for ((row, means), a) in table.iter().zip(&cells).zip(&rows) {
            for ((cell, mean), b) in row.iter().zip(means).zip(&columns) {
                interaction += rn * (mean - a - b).powi(2);
                repeats += cell.iter().map(|y| (y - grand - mean).powi(2)).sum::<f64>();
            }
        }
        let crossed = Crossed {
            specimens: MeanSquare::of(on * rn * square(&rows), pn - 1.0),
            operators: MeanSquare::of(pn * rn * square(&columns), on - 1.0),
            interaction: MeanSquare::of(interaction, (pn - 1.0) * (on - 1.0)),
            repeats: (r > 1).then(|| MeanSquare::of(repeats, pn * on * (rn - 1.0))),
            counts: [pn, on, rn],
        };
        grand.is_finite().then_some(crossed)
    }

    /// Chance that the interaction arises by itself; `None` without repeats.
    pub fn interaction_chance(&self) -> Option<f64> {
        Some(self.interaction.chance_over(self.repeats?))
    }

    /// The variances with intervals at `level`; an interaction above [`POOL_ABOVE`], or one that no
    /// repeats tell from their scatter, is pooled.
    pub fn variances(&self, level: f64) -> CrossedVariances {
        let [p, o, r] = self.counts;
        let keep = self
            .interaction_chance()
            .is_some_and(|chance| chance <= POOL_ABOVE);
        if let (Some(repeats), true) = (self.repeats, keep) {
            let by_operator = [
                (1.0 / (p * r), self.operators),
                ((p - 1.0) / (p * r), self.interaction),
            ];
            let alone = variance(
                &[(1.0 / (p * r), self.operators)],
                &[(1.0 / (p * r), self.interaction)],
                level,
            );
            let interaction =
                variance(&[(1.0 / r, self.interaction)], &[(1.0 / r, repeats)], level);
            let operator = Variance {
                estimate: alone.estimate + interaction.estimate,
                ..variance(&by_operator, &[(1.0 / r, repeats)], level)
            };
            let repeat = variance(&[(1.0, repeats)], &[], level);
            let with = [by_operator.as_slice(), &[(1.0 - 1.0 / r, repeats)]].concat();
            return CrossedVariances {
                pooled: false,
                both: Variance {
                    estimate: repeat.estimate + operator.estimate,
                    ..variance(&with, &[], level)
                },
                repeat,
                operator,
                interaction: Some(interaction),
                specimen: variance(
                    &[(1.0 / (o * r), self.specimens)],
                    &[(1.0 / (o * r), self.interaction)],
                    level,
                ),
            };
        }
        let error = match self.repeats {
            Some(e) => MeanSquare::of(
                e.ms * e.dof + self.interaction.ms * self.interaction.dof,
                e.dof + self.interaction.dof,
            ),
            None => self.interaction,
        };
        let c = 1.0 / (p * r);
        let repeat = variance(&[(1.0, error)], &[], level);
        let operator = variance(&[(c, self.operators)], &[(c, error)], level);
        CrossedVariances {
            pooled: true,
            both: Variance {
                estimate: repeat.estimate + operator.estimate,
                ..variance(&[(c, self.operators), (1.0 - c, error)], &[], level)
            },
            repeat,
            operator,
            interaction: None,
            specimen: variance(
                &[(1.0 / (o * r), self.specimens)],
                &[(1.0 / (o * r), error)],
                level,
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::num::stream;

    #[test]
    fn what_tells_nothing_is_not_asked() {
        assert!(Nested::of(&[vec![vec![1.0, 2.0]]]).is_none());
        assert!(Nested::of(&[vec![vec![1.0], vec![2.0]]]).is_none());
        assert!(Nested::of(&[vec![vec![1.0, f64::NAN], vec![2.0]]]).is_none());
        let one_operator = [vec![vec![1.0, 2.0]], vec![vec![1.0, 2.0]]];
        assert!(Crossed::of(&one_operator).is_none() && Crossed::of(&[]).is_none());
        let uneven = [
            vec![vec![1.0, 2.0], vec![1.0]],
            vec![vec![1.0, 2.0], vec![1.0, 2.0]],
        ];
        assert!(Crossed::of(&uneven).is_none());
    }

    #[test]
    fn one_mean_square_has_the_chi_square_interval() {
        let v = variance(&[(1.0, MeanSquare { ms: 2.0, dof: 10.0 })], &[], 0.9);
        assert!((v.low - 20.0 / 18.307_038_053).abs() < 1e-6);
        assert!((v.high - 20.0 / 3.940_299_136).abs() < 1e-6);
    }

    #[test]
    fn groups_alike_are_shown_as_nothing_and_said() {
        let n = Nested::of(&[vec![vec![1.0, 3.0], vec![3.6, 1.0], vec![2.2, 2.8]]]).expect("told");
        let groups = n.groups(0.9);
        assert!(groups.clipped() && groups.estimate <= 0.0 && groups.high > 0.0);
        assert!((n.both(0.9).estimate - n.within.ms).abs() < 1e-12, "{n:?}");
    }

    /// 4 000 studies of 5 specimens, 3 operators, 2 repeats: 90 % intervals hold the truth.
    #[test]
    fn intervals_hold_what_they_say() {
        let mut dice = stream(11, "anova", 0);
        let (mut both, mut operator, studies) = (0.0, 0.0, 4000);
        let (s_operator, s_repeat) = (1.5_f64, 1.0_f64);
        for _ in 0..studies {
            let by: Vec<f64> = (0..3).map(|_| s_operator * dice.normal()).collect();
            let table: Vec<Vec<Vec<f64>>> = (0..5)
                .map(|i| {
                    by.iter()
                        .map(|b| {
                            (0..2)
                                .map(|_| f64::from(i) + b + s_repeat * dice.normal())
                                .collect()
                        })
                        .collect()
                })
                .collect();
            let v = Crossed::of(&table).expect("balanced").variances(0.9);
            let holds =
                |v: &Variance, truth: f64| f64::from(u8::from(v.low <= truth && truth <= v.high));
            both += holds(&v.both, s_operator.powi(2) + s_repeat.powi(2));
            operator += holds(&v.operator, s_operator.powi(2));
        }
        let share = |x: f64| x / f64::from(studies);
        assert!((0.885..0.93).contains(&share(both)), "{}", share(both));
        assert!(
            (0.885..0.93).contains(&share(operator)),
            "{}",
            share(operator)
        );
    }
}
