//! How far prints, and lots, differ among themselves: the ratios rho^2 and lambda^2 of their variances
//! to that within a print, by restricted maximum likelihood over a property's materials.
//!
//! **Prints.** Materials with several prints of one lot under one condition give the restricted likelihood
//! of rho (mean and s^2 integrated out; Patterson and Thompson 1971 and Harville 1974, from memory, not
//! verified). It is kept on a grid of ln rho, so that a material's own share can be taken out again: its
//! own prints speak through its own readings. Before data rho is lognormal with the policy's rho for its
//! mean and trigamma(2) for the variance of ln rho^2, which is what four degrees of freedom say of a
//! variance. What remains unsure is
//! carried into every belief at five nodes of rho (Gauss and Hermite), not as one plugged-in figure. That
//! opinion is stiff: where a few repeats say three times the policy's rho and more, what is believed stays
//! well below what they say until there are many.
//!
//! **Lots.** Where materials were printed from several lots, the same likelihood is taken of lambda^2, at
//! the middle rho. Half of the prior says that lots do not differ; only where the likeliest lambda^2 is
//! above zero, that is where lots differ by more than prints do, is anything added: the mean of
//! ln(1 + lambda^2). One figure a property, without its uncertainty.

use crate::belief::closed::{self, Exact, Ratios};
use crate::num::{Transport, refine, trigamma};

/// Nodes of rho.
pub(super) const NODES: usize = 5;
/// Scores and weights of the Gauss-Hermite rule of five points for a standard normal weight
/// (Abramowitz and Stegun 25.4.46, table 25.10, rescaled).
const RULE: [(f64, f64); NODES] = [
    (-2.856_970_013_872_806, 0.011_257_411_327_720_7),
    (-1.355_626_179_974_266, 0.222_075_922_005_612_6),
    (0.0, 0.533_333_333_333_333_3),
    (1.355_626_179_974_266, 0.222_075_922_005_612_6),
    (2.856_970_013_872_806, 0.011_257_411_327_720_7),
];
/// Degrees of freedom that the policy's rho counts for.
const RHO_WEIGHT: f64 = 4.0;
/// Grid of ln rho.
const FIRST: f64 = -4.0;
const STEP: f64 = 0.25;
const POINTS: usize = 29;
/// Finer steps between two of the grid.
const FINE: usize = 8;
/// Values of lambda^2 tried.
const LOTS: [f64; 9] = [0.0, 0.125, 0.25, 0.5, 1.0, 2.0, 4.0, 8.0, 16.0];

/// One value of rho^2 with its weight.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct RatioNode {
    /// Standard normal score.
    pub(super) score: f64,
    /// Weight; they sum to 1.
    pub(super) weight: f64,
    /// rho^2.
    pub(super) prints: f64,
}

/// rho^2 as a few nodes, lambda^2 as one figure.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct RatioPrior {
    /// Nodes by rising rho; one where rho is known to be nothing.
    pub(super) nodes: Vec<RatioNode>,
    /// lambda^2.
    pub(super) lots: f64,
}

impl RatioPrior {
    /// What the policy's rho alone says.
    pub(super) fn assumed(rho: f64) -> Self {
        RatioPrior::of(
            |score| (ln_middle(rho) + score * 0.5 * ln_variance().sqrt()).exp(),
            rho,
        )
    }

    fn of(rho_at: impl Fn(f64) -> f64, assumed: f64) -> Self {
        if assumed.is_nan() || assumed <= 0.0 {
            return RatioPrior {
                nodes: vec![RatioNode {
                    score: 0.0,
                    weight: 1.0,
                    prints: 0.0,
                }],
                lots: 0.0,
            };
        }
        let nodes = RULE
            .iter()
            .map(|(score, weight)| RatioNode {
                score: *score,
                weight: *weight,
                prints: rho_at(*score).powi(2),
            })
            .collect();
        RatioPrior { nodes, lots: 0.0 }
    }

    /// Both ratios in the middle of what is believed.
    pub(super) fn middle(&self) -> Ratios {
        Ratios {
            prints: self
                .nodes
                .get(self.nodes.len() / 2)
                .map_or(0.0, |n| n.prints),
            lots: self.lots,
        }
    }

    /// Both ratios at a node.
    pub(super) fn at(&self, node: &RatioNode) -> Ratios {
        Ratios {
            prints: node.prints,
            lots: self.lots,
        }
    }
}

/// Variance of ln rho^2 before data.
fn ln_variance() -> f64 {
    trigamma(0.5 * RHO_WEIGHT)
}

/// Middle of ln rho before data: rho is the policy's on average.
fn ln_middle(rho: f64) -> f64 {
    rho.ln() - 0.125 * ln_variance()
}

fn grid(i: usize) -> f64 {
    FIRST + STEP * i as f64
}

/// The restricted log likelihood of rho over a grid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct RatioTable([f64; POINTS]);

impl Default for RatioTable {
    fn default() -> Self {
        RatioTable([0.0; POINTS])
    }
}

impl RatioTable {
    /// Of one material's repeats under one condition and of one lot; the spread's prior as given.
    pub(super) fn of(readings: &[Exact], dof: f64, variance: f64) -> Self {
        let mut t = RatioTable::default();
        for (i, v) in t.0.iter_mut().enumerate() {
            let ratios = Ratios::of_prints((2.0 * grid(i)).exp());
            if let Some(f) = closed::fit(readings, ratios, None) {
                *v = f.ln_likelihood(dof, variance);
            }
        }
        t
    }

    pub(super) fn add(&mut self, other: &RatioTable) {
        for (a, b) in self.0.iter_mut().zip(&other.0) {
            *a += b;
        }
    }

    /// What the other materials' prints leave of the policy's opinion; `own` is taken out.
    pub(super) fn prior(&self, own: Option<&RatioTable>, rho: f64) -> RatioPrior {
        if rho.is_nan() || rho <= 0.0 {
            return RatioPrior::assumed(rho);
        }
        let variance = 0.25 * ln_variance();
        let coarse: Vec<f64> = (0..POINTS)
            .map(|i| {
                let z = grid(i) - ln_middle(rho);
                let own = own.and_then(|o| o.0.get(i)).copied().unwrap_or(0.0);
                self.0.get(i).copied().unwrap_or(0.0) - own - 0.5 * z * z / variance
            })
            .collect();
        let (step, fine) = refine(STEP, &coarse, FINE);
        match Transport::from_log_density(FIRST, step, &fine) {
            Some(map) => RatioPrior::of(|score| map.at(score).exp(), rho),
            None => RatioPrior::assumed(rho),
        }
    }
}

/// lambda^2 from materials of several lots; `groups` holds one material and condition each.
pub(super) fn lots(groups: &[Vec<Exact>], prints: f64, dof: f64, variance: f64) -> f64 {
    if groups.is_empty() {
        return 0.0;
    }
    let log: Vec<f64> = LOTS
        .iter()
        .map(|lots| {
            let ratios = Ratios {
                prints,
                lots: *lots,
            };
            groups
                .iter()
                .filter_map(|g| closed::fit(g, ratios, None))
                .map(|f| f.ln_likelihood(dof, variance))
                .sum()
        })
        .collect();
    let top = log.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if log.first().is_none_or(|none| *none >= top) {
        return 0.0;
    }
    let (mut total, mut mean) = (0.0, 0.0);
    for (i, (lots, l)) in LOTS.iter().zip(&log).enumerate() {
        let prior = if i == 0 {
            0.5
        } else {
            0.5 / (LOTS.len() - 1) as f64
        };
        let w = prior * (l - top).exp();
        total += w;
        mean += w * lots.ln_1p();
    }
    (mean / total).exp_m1()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn prints(means: &[f64]) -> Vec<Exact> {
        means
            .iter()
            .enumerate()
            .flat_map(|(print, m)| {
                [-1.0, 0.0, 1.0].map(|e| Exact {
                    y: m + e,
                    print,
                    lot: 0,
                    warm: false,
                })
            })
            .collect()
    }

    fn middle(groups: &[Vec<Exact>]) -> f64 {
        let mut t = RatioTable::default();
        for g in groups {
            t.add(&RatioTable::of(g, 4.0, 1.0));
        }
        t.prior(None, 1.0).middle().prints.sqrt()
    }

    #[test]
    fn without_repeats_it_is_the_policys() {
        let p = RatioTable::default().prior(None, 1.0);
        let q = RatioPrior::assumed(1.0);
        for (a, b) in p.nodes.iter().zip(&q.nodes) {
            assert!((a.prints / b.prints - 1.0).abs() < 0.02, "{a:?} {b:?}");
        }
        assert!((q.nodes.iter().map(|n| n.weight).sum::<f64>() - 1.0).abs() < 1e-12);
        assert_eq!(RatioPrior::assumed(0.0).nodes.len(), 1);
    }

    #[test]
    fn repeated_prints_pull_it() {
        let alike = vec![prints(&[0.0, 0.1, -0.1, 0.0]); 8];
        let apart = vec![prints(&[0.0, 4.0, -4.0, 2.0]); 8];
        assert!(middle(&alike) < 0.5, "{}", middle(&alike));
        assert!(middle(&apart) > 2.0, "{}", middle(&apart));
    }

    #[test]
    fn lots_add_only_where_they_differ_by_more_than_prints() {
        let of = |apart: f64| -> Vec<Exact> {
            prints(&[-1.0, 1.0, apart - 1.0, apart + 1.0])
                .into_iter()
                .map(|r| Exact {
                    lot: r.print / 2,
                    ..r
                })
                .collect()
        };
        assert!(lots(&[of(0.0), of(0.5)], 1.0, 4.0, 1.0) <= 0.0);
        assert!(lots(&[], 1.0, 4.0, 1.0) <= 0.0);
        let l = lots(&[of(8.0), of(9.0), of(-7.0)], 1.0, 4.0, 1.0);
        assert!(l > 2.0, "{l}");
    }

    /// Posterior of rho against a grid of 20 001 points (numpy 2.4), for a certified study of five instruments
    /// (NIST StRD, SiRstv) and three unequal groups (derived).
    #[test]
    fn nodes_stand_where_the_whole_posterior_has_them() {
        let sir: [&[f64]; 5] = [
            &[196.3052, 196.124, 196.189, 196.2569, 196.3403],
            &[196.3042, 196.3825, 196.1669, 196.3257, 196.0422],
            &[196.1303, 196.2005, 196.2889, 196.0343, 196.1811],
            &[196.2795, 196.1748, 196.1494, 196.1485, 195.9885],
            &[196.2119, 196.1051, 196.185, 196.0052, 196.209],
        ];
        let unequal: [&[f64]; 3] = [
            &[50.1, 53.9, 51.0],
            &[52.4, 49.6],
            &[51.9, 50.7, 52.2, 50.3],
        ];
        for (groups, variance, want) in [
            (&sir[..], 0.010_831_828, [0.435_703, 0.695_621, 1.110_485]),
            (
                &unequal[..],
                2.389_027_777,
                [0.460_121, 0.764_733, 1.275_007],
            ),
        ] {
            let readings: Vec<Exact> = groups
                .iter()
                .enumerate()
                .flat_map(|(print, g)| {
                    g.iter().map(move |y| Exact {
                        y: *y,
                        print,
                        lot: 0,
                        warm: false,
                    })
                })
                .collect();
            let prior = RatioTable::of(&readings, 4.0, variance).prior(None, 1.0);
            for (node, want) in prior.nodes.iter().skip(1).zip(want) {
                assert!(
                    (node.prints.sqrt() / want - 1.0).abs() < 1e-3,
                    "{node:?} {want}"
                );
            }
        }
    }
}
