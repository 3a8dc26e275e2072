//! The distribution behind a belief on its natural scale: the ratio of prints at a few nodes, at each a
//! spread, and a centre given the spread.

use crate::belief::closed::Ratios;
use crate::belief::pool::Scatter;
use crate::belief::ratio::RatioNode;
use crate::num::{
    ChiRoot, Transport, hermite, knot, normal_cdf, refine, score_nodes, t_cdf, t_quantile,
    transport_invert,
};
use std::sync::Arc;

/// Nodes of the spread in quantiles of a normal centre.
const FINE_STRIDE: usize = 2;
/// Parts of a mixture that weigh less than this are left out of quantiles.
const NEGLIGIBLE: f64 = 1e-9;

/// The centre mu, given the spread s.
#[derive(Clone, Debug)]
pub(super) enum Centre {
    /// Normal about `at` with variance `per_s2 * s^2 + own`.
    Normal { at: f64, per_s2: f64, own: f64 },
    /// From a grid: one map per node of the spread.
    Grid(Box<GridCentre>),
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
    /// Score of the first node of the spread, and their step.
    pub(super) first: f64,
    pub(super) step: f64,
    /// Spread s at each node, increasing.
    pub(super) spreads: Vec<f64>,
    /// Weight of each node given the bounds; they sum to 1.
    pub(super) weights: Vec<f64>,
    /// Map from a score to mu at each node.
    pub(super) maps: Vec<Transport>,
    /// Map from a standard normal score to that of the spread given the bounds.
    pub(super) warp: Box<Transport>,
}

impl GridCentre {
    /// Node below a spread's score, and how far to the next, by the spread itself (mu is nearly straight
    /// in s).
    fn place(&self, score: f64, s: f64) -> (usize, f64) {
        let last = self.spreads.len().saturating_sub(2);
        let k = (((score - self.first) / self.step).max(0.0) as usize).min(last);
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
    /// Map and spread at a score of the spread: a cubic through those of four nodes.
    fn map(&self, score: f64) -> Option<(Transport, f64)> {
        let last = self.maps.len().saturating_sub(1);
        let x = ((score - self.first) / self.step).clamp(0.0, last as f64);
        let k = (x as usize).min(last.saturating_sub(1));
        let t = x - k as f64;
        let places = [k.saturating_sub(1), k, k + 1, (k + 2).min(last)];
        let cubic = |of: [f64; 4]| {
            let [p, a, b, q] = of;
            hermite(a, b, 0.5 * (b - p), 0.5 * (q - a), t)
        };
        let mut m = self.maps.get(k)?.clone();
        for (i, y) in m.0.iter_mut().enumerate() {
            let at = |k: usize| self.maps.get(k).and_then(|m| m.0.get(i));
            *y = cubic(places.map(|k| at(k).copied().unwrap_or(f64::NAN)));
        }
        let spread = |k: usize| self.spreads.get(k).map_or(f64::NAN, |s| s.ln());
        Some((m, cubic(places.map(spread)).exp()))
    }
}

/// Spread and centre at one ratio of prints.
#[derive(Clone, Debug)]
pub(super) struct Node {
    /// Score of the ratio.
    pub(super) score: f64,
    /// Weight; they sum to 1.
    pub(super) weight: f64,
    /// Scale of s: s^2 is scaled-inverse-chi-square with this squared.
    pub(super) s: f64,
    /// Variances of prints and lots over s^2.
    pub(super) ratios: Ratios,
    /// The centre.
    pub(super) centre: Centre,
}

impl Node {
    /// Spread and mean from their scores.
    fn draw(&self, chi: &ChiRoot, z: [f64; 2], even: f64) -> (f64, f64) {
        match &self.centre {
            Centre::Normal { at, per_s2, own } => {
                let s = self.s * chi.spread(z[0]);
                (s, at + z[1] * (per_s2 * s * s + own + even).sqrt())
            }
            Centre::Grid(g) => {
                let score = g.warp.at(z[0]);
                let s = self.s * chi.spread(score);
                (s, g.mu(score, s, z[1]))
            }
        }
    }
}

/// Spread, centre and what is added to both mean and next part.
#[derive(Clone, Debug)]
pub(super) struct Distribution {
    /// Nodes of the ratio of prints, by rising ratio; at least one.
    nodes: Vec<Node>,
    /// Map from a prior score of the ratio to its score given own readings; `None` where nothing moved it.
    tilt: Option<Box<Transport>>,
    /// Map of the spread: its degrees of freedom.
    pub(super) chi: Arc<ChiRoot>,
    /// Variance shared by the mean and every part (reading a curve past its end).
    pub(super) shared: f64,
}

/// One piece of a mixture.
enum Piece {
    Student {
        weight: f64,
        at: f64,
        scale: f64,
    },
    Normal {
        weight: f64,
        at: f64,
        sd: f64,
    },
    Map {
        weight: f64,
        sd: f64,
        map: Box<Transport>,
    },
}

impl Distribution {
    /// Nodes with their log evidence: the weights are the prior's times it.
    pub(super) fn new(
        mut nodes: Vec<Node>,
        ln_evidence: &[f64],
        chi: Arc<ChiRoot>,
        shared: f64,
    ) -> Self {
        let top = ln_evidence
            .iter()
            .copied()
            .fold(f64::NEG_INFINITY, f64::max);
        let moved = ln_evidence.iter().any(|l| top - l > 1e-9);
        let mut tilt = None;
        if moved && top.is_finite() && nodes.len() == ln_evidence.len() {
            let scores: Vec<f64> = nodes.iter().map(|n| n.score).collect();
            tilt = tilted(&scores, ln_evidence).map(Box::new);
            let total: f64 = nodes
                .iter()
                .zip(ln_evidence)
                .map(|(n, l)| n.weight * (l - top).exp())
                .sum();
            for (n, l) in nodes.iter_mut().zip(ln_evidence) {
                n.weight *= (l - top).exp() / total;
            }
        }
        Distribution {
            nodes,
            tilt,
            chi,
            shared,
        }
    }

    /// A normal opinion of the centre with the scatter of others.
    pub(super) fn opinion(scatter: &Scatter, chi: Arc<ChiRoot>, at: f64, variance: f64) -> Self {
        let nodes = scatter
            .ratios
            .nodes
            .iter()
            .map(|n| {
                Node::of(
                    n,
                    scatter.variance.sqrt(),
                    scatter.ratios.at(n),
                    Centre::Normal {
                        at,
                        per_s2: 0.0,
                        own: variance,
                    },
                )
            })
            .collect();
        Distribution::new(nodes, &[], chi, 0.0)
    }

    /// A figure that every part of a material shares: normal with no scatter between parts.
    pub(super) fn certain(chi: Arc<ChiRoot>, at: f64, variance: f64) -> Self {
        Distribution {
            nodes: vec![Node {
                score: 0.0,
                weight: 1.0,
                s: 0.0,
                ratios: Ratios::default(),
                centre: Centre::Normal {
                    at,
                    per_s2: 0.0,
                    own: variance,
                },
            }],
            tilt: None,
            chi,
            shared: 0.0,
        }
    }

    /// The nodes of the ratio of prints, with their weights given all readings.
    pub(super) fn nodes(&self) -> &[Node] {
        &self.nodes
    }

    /// How many standard normal scores a draw takes.
    pub(super) fn scores(&self) -> usize {
        if self.nodes.len() > 1 { 4 } else { 3 }
    }

    /// Mean and next part on the natural scale from standard normal scores: of the spread, the mean,
    /// the part, the ratio of prints, and of what is shared where the centre is a grid.
    pub(super) fn draw(&self, z: [f64; 4], shared: f64) -> (f64, f64) {
        let (even, aside) = if self.draws_shared() {
            (0.0, shared * self.shared.sqrt())
        } else {
            (self.shared, 0.0)
        };
        let score = self.tilt.as_ref().map_or(z[3], |t| t.at(z[3]));
        let above = self.nodes.partition_point(|n| n.score <= score);
        let below = above.saturating_sub(1);
        let (Some(a), Some(last)) = (self.nodes.get(below), self.nodes.last()) else {
            return (f64::NAN, f64::NAN);
        };
        let (s, mut mean) = a.draw(&self.chi, [z[0], z[1]], even);
        let mut sd = s * a.ratios.next_part().sqrt();
        let b = self.nodes.get(above).unwrap_or(last);
        if b.score > a.score && score > a.score {
            let t = (score - a.score) / (b.score - a.score);
            let (s_b, mean_b) = b.draw(&self.chi, [z[0], z[1]], even);
            sd += t * (s_b * b.ratios.next_part().sqrt() - sd);
            mean += t * (mean_b - mean);
        }
        mean += aside;
        (mean, mean + sd * z[2])
    }

    /// Whether a draw takes a score of its own for what is shared.
    pub(super) fn draws_shared(&self) -> bool {
        self.shared > 0.0
            && self
                .nodes
                .first()
                .is_some_and(|n| matches!(n.centre, Centre::Grid(_)))
    }

    /// Quantile on the natural scale, with `bias` more variance.
    pub(super) fn quantile(&self, p: f64, of: Of, bias: f64) -> f64 {
        let even = self.shared + bias;
        if let ([one], true) = (self.nodes.as_slice(), even <= 0.0)
            && let Some((at, scale)) = one.student(of)
        {
            return if scale > 0.0 {
                at + scale * t_quantile(p, self.chi.dof())
            } else {
                at
            };
        }
        if let (Some(at), true) = (self.even_about(of), (p - 0.5).abs() < f64::EPSILON) {
            return at;
        }
        let pieces = self.pieces(of, even);
        let Some((low, high)) = span(&pieces) else {
            return f64::NAN;
        };
        if high <= low {
            return low;
        }
        let dof = self.chi.dof();
        let inner: Vec<(f64, f64)> = score_nodes(FINE_STRIDE)
            .filter(|n| n.1 > NEGLIGIBLE)
            .collect();
        transport_invert(low, high, p, |x| {
            pieces.iter().map(|piece| piece.below(x, dof, &inner)).sum()
        })
    }

    /// Where mean and part lie evenly about one figure whatever the spread and the ratio, that figure.
    fn even_about(&self, of: Of) -> Option<f64> {
        let middle = |n: &Node| match &n.centre {
            Centre::Normal { at, .. } => Some(*at),
            Centre::Grid(_) => None,
        };
        let first = self.nodes.first().and_then(middle)?;
        let all = || self.nodes.iter().all(|n| middle(n) == Some(first));
        (!matches!(of, Of::Score(_)) && all()).then_some(first)
    }

    /// Weights, places and deviations of the normals that it is a mixture of, for the mean or a part.
    pub(super) fn normals(&self, of: Of) -> Vec<(f64, f64, f64)> {
        let mut out = Vec::new();
        for n in self.nodes.iter().filter(|n| n.weight > NEGLIGIBLE) {
            let part = match of {
                Of::Part => n.ratios.next_part(),
                Of::Mean | Of::Score(_) => 0.0,
            };
            let mut add = |w: f64, at: f64, variance: f64| {
                if w > NEGLIGIBLE {
                    out.push((w, at, (variance + self.shared).sqrt()));
                }
            };
            match &n.centre {
                Centre::Normal { at, per_s2, own } => {
                    for (z, w) in score_nodes(1) {
                        let s2 = (n.s * self.chi.spread(z)).powi(2);
                        add(n.weight * w, *at, s2 * (per_s2 + part) + own);
                    }
                }
                Centre::Grid(g) => {
                    for ((s, w), map) in g.spreads.iter().zip(&g.weights).zip(&g.maps) {
                        for (z, v) in score_nodes(FINE_STRIDE) {
                            add(n.weight * w * v, map.at(z), s * s * part);
                        }
                    }
                }
            }
        }
        out
    }

    fn pieces(&self, of: Of, even: f64) -> Vec<Piece> {
        let mut pieces = Vec::new();
        for n in self.nodes.iter().filter(|n| n.weight > NEGLIGIBLE) {
            if even <= 0.0
                && let Some((at, scale)) = n.student(of)
            {
                pieces.push(Piece::Student {
                    weight: n.weight,
                    at,
                    scale,
                });
                continue;
            }
            // How far from the mean, and the part's own variance, in spreads within a print.
            let (away, part) = match of {
                Of::Mean => (0.0, 0.0),
                Of::Part => (0.0, n.ratios.next_part()),
                Of::Score(z) => (z * n.ratios.next_part().sqrt(), 0.0),
            };
            match &n.centre {
                Centre::Normal { at, per_s2, own } => {
                    // Where the spread itself decides the figure, it wants every knot.
                    let stride = if away.abs() > 0.0 { 1 } else { FINE_STRIDE };
                    for (z, w) in score_nodes(stride) {
                        let s = n.s * self.chi.spread(z);
                        pieces.push(Piece::Normal {
                            weight: n.weight * w,
                            at: at + away * s,
                            sd: (s * s * (per_s2 + part) + own + even).sqrt(),
                        });
                    }
                }
                Centre::Grid(g) => {
                    let mut add = |weight: f64, s: f64, mut map: Transport| {
                        for y in &mut map.0 {
                            *y += away * s;
                        }
                        pieces.push(Piece::Map {
                            weight: n.weight * weight,
                            sd: (s * s * part + even).sqrt(),
                            map: Box::new(map),
                        });
                    };
                    if away.abs() > 0.0 {
                        for (z, w) in score_nodes(1) {
                            let score = g.warp.at(z);
                            if let Some((map, s)) = g.map(score) {
                                add(w, s, map);
                            }
                        }
                    } else {
                        // At the nodes themselves: nothing is interpolated.
                        for ((s, w), map) in g.spreads.iter().zip(&g.weights).zip(&g.maps) {
                            add(*w, *s, map.clone());
                        }
                    }
                }
            }
        }
        pieces.retain(|p| p.weight() > NEGLIGIBLE);
        pieces
    }
}

impl Node {
    /// A node of these ratios.
    pub(super) fn of(ratio: &RatioNode, s: f64, ratios: Ratios, centre: Centre) -> Self {
        Node {
            score: ratio.score,
            weight: ratio.weight,
            s,
            ratios,
            centre,
        }
    }

    /// Centre and scale of Student's t where mean and part have it.
    fn student(&self, of: Of) -> Option<(f64, f64)> {
        let part = match of {
            Of::Mean => 0.0,
            Of::Part => self.ratios.next_part(),
            Of::Score(_) => return None,
        };
        match &self.centre {
            Centre::Normal { at, per_s2, own } if *own <= 0.0 => {
                Some((*at, self.s * (per_s2 + part).sqrt()))
            }
            _ => None,
        }
    }
}

impl Piece {
    /// Its share of the chance to lie at or below `x`.
    fn below(&self, x: f64, dof: f64, inner: &[(f64, f64)]) -> f64 {
        let normal = |x: f64, at: f64, sd: f64| {
            if sd > 0.0 {
                normal_cdf((x - at) / sd)
            } else {
                f64::from(u8::from(x >= at))
            }
        };
        match self {
            Piece::Student { weight, at, scale } => {
                weight
                    * if *scale > 0.0 {
                        t_cdf((x - at) / scale, dof)
                    } else {
                        f64::from(u8::from(x >= *at))
                    }
            }
            Piece::Normal { weight, at, sd } => weight * normal(x, *at, *sd),
            Piece::Map { weight, sd, map } => {
                weight
                    * if *sd > 0.0 {
                        inner
                            .iter()
                            .map(|(z, v)| v * normal(x, map.at(*z), *sd))
                            .sum()
                    } else {
                        normal_cdf(map.score(x))
                    }
            }
        }
    }

    fn weight(&self) -> f64 {
        match self {
            Piece::Student { weight, .. }
            | Piece::Normal { weight, .. }
            | Piece::Map { weight, .. } => *weight,
        }
    }

    /// Ends that hold all but a trace of it.
    fn span(&self) -> (f64, f64) {
        match self {
            Piece::Student { at, scale, .. } => (at - 1e3 * scale, at + 1e3 * scale),
            Piece::Normal { at, sd, .. } => (at - 40.0 * sd, at + 40.0 * sd),
            Piece::Map { sd, map, .. } => (map.at(-6.0) - 10.0 * sd, map.at(6.0) + 10.0 * sd),
        }
    }
}

fn span(pieces: &[Piece]) -> Option<(f64, f64)> {
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for p in pieces {
        let (a, b) = p.span();
        low = low.min(a);
        high = high.max(b);
    }
    (low.is_finite() && high.is_finite()).then_some((low, high))
}

/// Map of a prior score, standard normal, to its score given the log evidence at a few scores: the prior
/// times the evidence, straight between them and level beyond.
fn tilted(scores: &[f64], ln_evidence: &[f64]) -> Option<Transport> {
    const STEP: f64 = 0.5;
    let first = knot(0);
    let points = (-2.0 * first / STEP) as usize + 1;
    let log: Vec<f64> = (0..points)
        .map(|i| {
            let z = first + STEP * i as f64;
            -0.5 * z * z + between(scores, ln_evidence, z)
        })
        .collect();
    let (step, fine) = refine(STEP, &log, 4);
    Transport::from_log_density(first, step, &fine)
}

fn between(x: &[f64], y: &[f64], at: f64) -> f64 {
    let above = x.partition_point(|x| *x <= at);
    let below = above.saturating_sub(1);
    let ya = y.get(below).copied().unwrap_or(f64::NEG_INFINITY);
    match (x.get(below), x.get(above), y.get(above)) {
        (Some(a), Some(b), Some(yb)) if b > a && at > *a => ya + (yb - ya) * (at - a) / (b - a),
        _ => ya,
    }
}
