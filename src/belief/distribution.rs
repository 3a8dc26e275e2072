//! The distribution behind a belief on its natural scale: a spread, and a centre given the spread.

use crate::num::{ChiRoot, Transport, normal_cdf, score_nodes, t_quantile, transport_invert};
use std::sync::Arc;

/// Nodes of the spread at which a centre on a grid is kept: every fourth knot, scores -6 to 6 by 1.
pub(super) const SPREAD_STRIDE: usize = 4;
/// Nodes of the spread in quantiles of a normal centre.
const FINE_STRIDE: usize = 2;

/// The centre mu, given the spread s.
#[derive(Clone, Debug)]
pub(super) enum Centre {
    /// Normal about `at` with variance `per_s2 * s^2 + own`.
    Normal { at: f64, per_s2: f64, own: f64 },
    /// From a grid: one map per node of the spread.
    Grid(GridCentre),
}

/// What a quantile is of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Of {
    /// The mean.
    Mean,
    /// The next part.
    Part,
    /// The figure that lies this many part-to-part standard deviations from the mean.
    Score(f64),
}

/// A centre found on a grid.
#[derive(Clone, Debug)]
pub(super) struct GridCentre {
    /// Spread s at each node, increasing.
    pub(super) spreads: Vec<f64>,
    /// Map from a score to mu at each node.
    pub(super) maps: Vec<Transport>,
    /// Map from a prior score of the spread to its score given the ranges; `None` where nothing moved it.
    pub(super) warp: Option<Box<Transport>>,
}

impl GridCentre {
    /// Node below a spread score, and how far to the next, by the spread itself (mu is nearly straight in s).
    fn place(&self, score: f64, s: f64) -> (usize, f64) {
        let last = self.spreads.len().saturating_sub(2);
        let k = ((score + 6.0).max(0.0) as usize).min(last);
        let a = self.spreads.get(k).copied().unwrap_or(s);
        let b = self.spreads.get(k + 1).copied().unwrap_or(s);
        let t = if b > a { (s - a) / (b - a) } else { 0.0 };
        (k, t.clamp(0.0, 1.0))
    }
    fn mu(&self, score: f64, s: f64, z: f64) -> f64 {
        let (k, t) = self.place(score, s);
        let a = self.maps.get(k).map_or(f64::NAN, |m| m.at(z));
        if t <= 0.0 {
            return a;
        }
        let b = self.maps.get(k + 1).map_or(a, |m| m.at(z));
        a + t * (b - a)
    }
    fn map(&self, score: f64, s: f64) -> Option<Transport> {
        let (k, t) = self.place(score, s);
        let a = self.maps.get(k)?;
        let Some(b) = self.maps.get(k + 1) else {
            return Some(a.clone());
        };
        let mut m = a.clone();
        for (x, y) in m.0.iter_mut().zip(b.0.iter()) {
            *x += t * (*y - *x);
        }
        Some(m)
    }
}

/// Spread, centre and what is added to both mean and next part.
#[derive(Clone, Debug)]
pub(super) struct Distribution {
    /// Scale of s: s^2 is scaled-inverse-chi-square with this squared.
    pub(super) s: f64,
    /// Degrees of freedom of s and its map.
    pub(super) chi: Arc<ChiRoot>,
    /// Ratio of print-to-print to within-print variance.
    pub(super) rho2: f64,
    /// The centre.
    pub(super) centre: Centre,
    /// Variance shared by the mean and every part (reading a curve past its end).
    pub(super) shared: f64,
}

impl Distribution {
    /// Score of the spread after the ranges had their say.
    fn warped(&self, score: f64) -> f64 {
        match &self.centre {
            Centre::Grid(GridCentre { warp: Some(w), .. }) => w.at(score),
            _ => score,
        }
    }

    /// Spread of the next part about the mean, in spreads within a print.
    pub(super) fn part_spread(&self) -> f64 {
        (1.0 + self.rho2).sqrt()
    }

    /// Mean and next part on the natural scale from standard normal scores: of the spread, the mean,
    /// the part, and of what is shared where the centre is a grid. `part` is [`Self::part_spread`].
    pub(super) fn draw(&self, z: [f64; 3], shared: f64, part: f64) -> (f64, f64) {
        let score = self.warped(z[0]);
        let s = self.s * self.chi.spread(score);
        let mean = match &self.centre {
            Centre::Normal { at, per_s2, own } => {
                at + z[1] * (per_s2 * s * s + own + self.shared).sqrt()
            }
            Centre::Grid(g) => g.mu(score, s, z[1]) + shared * self.shared.sqrt(),
        };
        (mean, mean + s * part * z[2])
    }

    /// Whether a draw takes a score of its own for what is shared.
    pub(super) fn draws_shared(&self) -> bool {
        self.shared > 0.0 && matches!(self.centre, Centre::Grid(_))
    }

    /// Quantile on the natural scale, with `bias` more variance.
    pub(super) fn quantile(&self, p: f64, of: Of, bias: f64) -> f64 {
        let part = if of == Of::Part { 1.0 + self.rho2 } else { 0.0 };
        // How far from the mean, in spreads within a print.
        let away = match of {
            Of::Score(z) => z * self.part_spread(),
            Of::Mean | Of::Part => 0.0,
        };
        let straight = !matches!(of, Of::Score(_));
        let even = self.shared + bias;
        if let Centre::Normal { at, .. } = &self.centre
            && straight
            && (p - 0.5).abs() < f64::EPSILON
        {
            // Even about its centre whatever the spread.
            return *at;
        }
        if let Centre::Normal { at, per_s2, own } = &self.centre
            && straight
            && own + even <= 0.0
        {
            let scale = self.s * (per_s2 + part).sqrt();
            return if scale > 0.0 {
                at + scale * t_quantile(p, self.chi.dof())
            } else {
                *at
            };
        }
        match &self.centre {
            Centre::Normal { at, per_s2, own } => {
                // The spread decides where the figure lies, so it wants every knot there.
                let stride = if straight { FINE_STRIDE } else { 1 };
                let sds: Vec<(f64, f64, f64)> = score_nodes(stride)
                    .map(|(z, w)| {
                        let s = self.s * self.chi.spread(z);
                        let sd = (s * s * (per_s2 + part) + own + even).sqrt();
                        (w, at + away * s, sd)
                    })
                    .collect();
                let reach = sds
                    .iter()
                    .map(|x| 40.0 * x.2 + (x.1 - at).abs())
                    .fold(0.0, f64::max);
                transport_invert(at - reach, at + reach, p, |x| {
                    sds.iter()
                        .map(|(w, at, sd)| w * normal_cdf((x - at) / sd))
                        .sum()
                })
            }
            Centre::Grid(g) => self.grid_quantile(g, p, part, even, away),
        }
    }

    fn grid_quantile(&self, g: &GridCentre, p: f64, part: f64, even: f64, away: f64) -> f64 {
        let nodes: Vec<(f64, f64, Transport)> = score_nodes(SPREAD_STRIDE)
            .filter_map(|(z, w)| {
                let score = self.warped(z);
                let s = self.s * self.chi.spread(score);
                let mut m = g.map(score, s)?;
                for y in &mut m.0 {
                    *y += away * s;
                }
                Some((w, (s * s * part + even).sqrt(), m))
            })
            .collect();
        let widest = nodes.iter().map(|n| n.1).fold(0.0, f64::max);
        let low = nodes
            .iter()
            .map(|n| n.2.at(-6.0))
            .fold(f64::INFINITY, f64::min)
            - 10.0 * widest;
        let high = nodes
            .iter()
            .map(|n| n.2.at(6.0))
            .fold(f64::NEG_INFINITY, f64::max)
            + 10.0 * widest;
        let inner: Vec<(f64, f64)> = score_nodes(1).collect();
        transport_invert(low, high, p, |x| {
            nodes
                .iter()
                .map(|(w, sd, m)| {
                    w * if *sd > 0.0 {
                        inner
                            .iter()
                            .map(|(z, v)| v * normal_cdf((x - m.at(*z)) / sd))
                            .sum()
                    } else {
                        normal_cdf(m.score(x))
                    }
                })
                .sum()
        })
    }
}
