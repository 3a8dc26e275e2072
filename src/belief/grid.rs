//! Bounds and ranges: the centre on a grid, at each of a few nodes of the spread.
//!
//! Given the spread s, mu has a normal density (from exact readings, a stated value or the
//! population; flat where only coarse readings stand) times the likelihood of each bound and range.
//! Those of one print share its effect u, which is integrated out: exact readings of that print shrink it
//! to a normal with mean k n (ybar - mu) and variance k s^2, k = rho^2 / (1 + rho^2 n); a lone bound is then
//! one normal chance, several are averaged over scores of u. What of the whole mass is left at each s is the
//! likelihood of s: bounds speak of the spread as well as of the centre.

use crate::belief::distribution::GridCentre;
use crate::num::{
    ChiRoot, Transport, knot, quick_ln_normal_cdf, quick_ln_normal_interval, quick_normal_cdf,
    refine, score_nodes,
};
use crate::quantity::Reading;

/// What mu rests on before the bounds, given s.
#[derive(Clone, Copy, Debug)]
pub(super) enum Base {
    /// Nothing; at least one range must stand.
    Flat,
    /// Normal about `at` with variance `per_s2 * s^2 + own`.
    Normal { at: f64, per_s2: f64, own: f64 },
}

/// Bounds and ranges of one print, and its exact readings.
#[derive(Clone, Debug, Default)]
pub(super) struct PrintTerms {
    /// Exact readings of the print.
    pub(super) exact: f64,
    /// Their mean.
    pub(super) mean: f64,
    /// Bounds and ranges, and how often each stands.
    pub(super) bounds: Vec<(Reading, f64)>,
}

impl PrintTerms {
    /// Adds a bound or range; equal ones that follow each other are kept once.
    pub(super) fn push(&mut self, bound: Reading) {
        match self.bounds.last_mut() {
            Some((b, times)) if *b == bound => *times += 1.0,
            _ => self.bounds.push((bound, 1.0)),
        }
    }
}

/// Scores at which the spread is first looked at, and a print's effect averaged: every fourth knot.
const SPREAD_STRIDE: usize = 4;
/// Points of the grid of mu, and how much finer it is made between them.
const POINTS: usize = 31;
const FINE: usize = 5;
/// Points of a first look.
const LOOK: usize = 21;
/// How much finer the density of the spread's score is made between its nodes.
const FINE_SCORES: usize = 16;
/// Scores of a print's effect beyond this weigh nothing (1 in 16 000).
const FAR: f64 = 4.5;
/// The grid ends where the density has fallen by this, in logarithms (6 standard deviations).
const FALL: f64 = 18.5;
/// A first look ends where a node of the spread has fallen this far behind, in logarithms.
const LEFT_OUT: f64 = 15.0;
/// Chances above this are multiplied as they are; where the greatest product has a smaller one, logarithms
/// are summed.
const PLAIN_FROM: f64 = 1e-3;
/// Above these ratios a print's effect is averaged at closer scores.
const WIDE: f64 = 1.2;
const WIDER: f64 = 2.6;

/// What bounds speak of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Speak {
    /// The centre and the spread, as the joint likelihood has it.
    OfBoth,
    /// The centre at each spread, and not of the spread: where the centre's prior is lent by others, its
    /// conflict with the bounds would pass for scatter (a model cut; Plummer 2015, from memory, not verified).
    OfCentre,
}

/// Where the score of the spread lies given the bounds: its middle and standard deviation.
#[derive(Clone, Copy, Debug)]
pub(super) struct Window {
    first: f64,
    step: f64,
    /// Spread of unit scale at each node.
    spreads: [f64; NODES],
}

/// Nodes of the spread: as many standard deviations to both sides of the window's middle.
const NODES: usize = 11;

impl Window {
    /// The window where bounds do not speak of the spread.
    pub(super) fn before(chi: &ChiRoot) -> Self {
        Window::about(0.0, 1.0, chi)
    }

    fn about(middle: f64, sd: f64, chi: &ChiRoot) -> Self {
        let first = middle - sd * 0.5 * (NODES - 1) as f64;
        let mut spreads = [1.0; NODES];
        for (i, s) in spreads.iter_mut().enumerate() {
            *s = chi.exact_spread(first + sd * i as f64);
        }
        Window {
            first,
            step: sd,
            spreads,
        }
    }
}

/// Finds the window. `s` and `chi` are the spread before the bounds; `None` where nothing is proper.
pub(super) fn window(
    base: Base,
    prints: &[PrintTerms],
    s: f64,
    chi: &ChiRoot,
    rho2: f64,
) -> Option<Window> {
    let ranges = prints
        .iter()
        .flat_map(|p| &p.bounds)
        .any(|b| matches!(b.0, Reading::Between(..)));
    if matches!(base, Base::Flat) && !ranges {
        return None;
    }
    let nodes: Vec<f64> = score_nodes(SPREAD_STRIDE).map(|(z, _)| z).collect();
    let middle = nodes.len() / 2;
    let mut log = vec![f64::NEG_INFINITY; nodes.len()];
    let mut best = f64::NEG_INFINITY;
    // From the middle outwards, each node starting from its neighbour's top.
    for side in [1, -1] {
        let mut start = None;
        for k in usize::from(side < 0)..=middle {
            let i = if side > 0 { middle + k } else { middle - k };
            let Some(z) = nodes.get(i) else {
                continue;
            };
            let behind = |j: usize| {
                let i = if side > 0 { i - j } else { i + j };
                log.get(i).copied().unwrap_or(f64::NEG_INFINITY)
            };
            if k > 1 && behind(1) < best - LEFT_OUT {
                // It goes on falling as it fell.
                let next = 2.0 * behind(1) - behind(2) - 1.0;
                if let Some(slot) = log.get_mut(i) {
                    *slot = next;
                }
                continue;
            }
            let given = Given::new(base, prints, s * chi.exact_spread(*z), rho2);
            let found = given.look(start)?;
            start = Some(found.top);
            let here = found.mass - 0.5 * z * z;
            best = best.max(here);
            if let Some(slot) = log.get_mut(i) {
                *slot = here;
            }
        }
    }
    let (step, fine) = refine(knot(SPREAD_STRIDE) - knot(0), &log, 4);
    let first = nodes.first().copied().unwrap_or(0.0);
    let (mut total, mut mean, mut square) = (0.0, 0.0, 0.0);
    for (i, l) in fine.iter().enumerate() {
        let z = first + step * i as f64;
        let w = (l - best).exp();
        total += w;
        mean += w * z;
        square += w * z * z;
    }
    mean /= total;
    let sd = (square / total - mean * mean).max(0.0).sqrt();
    (mean.is_finite() && sd.is_finite()).then(|| Window::about(mean, sd.clamp(0.1, 1.5), chi))
}

/// Finds the centre, and the logarithm of what the bounds leave of the whole mass. `s` is the
/// scale of the spread before the bounds, the window holds its score after them.
pub(super) fn centre(
    base: Base,
    prints: &[PrintTerms],
    s: f64,
    rho2: f64,
    window: &Window,
    speak: Speak,
) -> Option<(GridCentre, f64)> {
    let mut spreads = Vec::with_capacity(NODES);
    let mut maps = Vec::with_capacity(NODES);
    let mut log = Vec::with_capacity(NODES);
    let mut start = None;
    for (i, unit) in window.spreads.iter().enumerate() {
        let z = window.first + window.step * i as f64;
        let node = s * unit;
        let found = Given::new(base, prints, node, rho2).solve(start)?;
        start = Some(found.top);
        spreads.push(node);
        let mass = if speak == Speak::OfBoth {
            found.mass
        } else {
            0.0
        };
        log.push(mass - 0.5 * z * z);
        maps.push(found.map);
    }
    let top = log.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let total: f64 = log.iter().map(|l| (l - top).exp()).sum();
    let weights = log.iter().map(|l| (l - top).exp() / total).collect();
    let first = window.first;
    let (step, fine) = refine(window.step, &log, FINE_SCORES);
    let centre = GridCentre {
        first,
        step: window.step,
        spreads,
        weights,
        maps,
        warp: Box::new(Transport::from_log_density(first, step, &fine)?),
    };
    // The trapezoid rule over the prior of the score.
    let ln_evidence = top + (total * window.step / (2.0 * std::f64::consts::PI).sqrt()).ln();
    Some((centre, ln_evidence))
}

/// The density of mu at one spread.
struct Given<'a> {
    base: Base,
    /// Variance of the base.
    variance: f64,
    prints: Vec<Term<'a>>,
    s: f64,
}

/// One print's bounds at one spread.
struct Term<'a> {
    print: &'a PrintTerms,
    /// Share of the way from mu to the mean of the print's exact readings.
    pull: f64,
    /// Standard deviation of a reading about that, the print's effect integrated out.
    lone: f64,
    /// Standard deviation of the print's effect, and scores it is averaged at with their weights, in
    /// logarithms and plain.
    effect: f64,
    scores: Vec<(f64, f64, f64)>,
}

/// What a look at one spread finds.
struct Looked {
    mass: f64,
    top: f64,
}

/// What is found at one spread.
struct Solved {
    map: Transport,
    /// Log of the total mass.
    mass: f64,
    /// Where the density is greatest.
    top: f64,
}

impl<'a> Given<'a> {
    fn new(base: Base, prints: &'a [PrintTerms], s: f64, rho2: f64) -> Self {
        let terms = prints
            .iter()
            .map(|p| {
                let k = rho2 / (1.0 + rho2 * p.exact);
                let alone = matches!(p.bounds.as_slice(), [(_, times)] if *times < 1.5);
                let stride = if k > WIDER {
                    SPREAD_STRIDE / 2
                } else if k > WIDE {
                    SPREAD_STRIDE - 1
                } else {
                    SPREAD_STRIDE
                };
                Term {
                    print: p,
                    pull: k * p.exact,
                    lone: s * (1.0 + k).sqrt(),
                    effect: s * k.sqrt(),
                    scores: if alone || k <= 0.0 {
                        Vec::new()
                    } else {
                        score_nodes(stride)
                            .filter(|(z, _)| z.abs() < FAR)
                            .map(|(z, w)| (z, w.ln(), w))
                            .collect()
                    },
                }
            })
            .collect();
        Given {
            base,
            variance: match base {
                Base::Flat => f64::INFINITY,
                Base::Normal { per_s2, own, .. } => per_s2 * s * s + own,
            },
            prints: terms,
            s,
        }
    }

    fn log_density(&self, mu: f64) -> f64 {
        let base = match self.base {
            Base::Flat => 0.0,
            Base::Normal { at, .. } => -0.5 * (mu - at) * (mu - at) / self.variance,
        };
        base + self
            .prints
            .iter()
            .map(|t| self.log_print(t, mu))
            .sum::<f64>()
    }

    fn log_print(&self, t: &Term<'_>, mu: f64) -> f64 {
        let mean = mu + t.pull * (t.print.mean - mu);
        if t.scores.is_empty() {
            return log_chances(&t.print.bounds, mean, t.lone);
        }
        // Several bounds share the print's effect: average their product over it, in logarithms only where
        // it is small.
        let (mut plain, mut greatest, mut least) = (0.0, 0.0, 0.0);
        for (z, _, w) in &t.scores {
            let (chance, factor) = chances(&t.print.bounds, mean + t.effect * z, 1.0 / self.s);
            let term = w * chance;
            plain += term;
            if term > greatest {
                (greatest, least) = (term, factor);
            }
        }
        if least > PLAIN_FROM {
            return plain.ln();
        }
        let mut terms = [f64::NEG_INFINITY; 32];
        let mut top = f64::NEG_INFINITY;
        for (slot, (z, w, _)) in terms.iter_mut().zip(&t.scores) {
            *slot = w + log_chances(&t.print.bounds, mean + t.effect * z, self.s);
            top = top.max(*slot);
        }
        if !top.is_finite() {
            return f64::NEG_INFINITY;
        }
        let sum: f64 = terms
            .iter()
            .take(t.scores.len())
            .map(|x| (x - top).exp())
            .sum();
        top + sum.ln()
    }

    /// Map of mu, the log of its total mass (of a proper base's own mass) and its top.
    fn solve(&self, start: Option<f64>) -> Option<Solved> {
        let (top, low, step, coarse) = self.values(start, POINTS)?;
        let (fine_step, fine) = refine(step, &coarse, FINE);
        Some(Solved {
            map: Transport::from_log_density(low, fine_step, &fine)?,
            mass: self.mass(step, &coarse),
            top,
        })
    }

    /// The log of the total mass and the top alone, less closely.
    fn look(&self, start: Option<f64>) -> Option<Looked> {
        let (top, _, step, coarse) = self.values(start, LOOK)?;
        Some(Looked {
            mass: self.mass(step, &coarse),
            top,
        })
    }

    fn mass(&self, step: f64, log: &[f64]) -> f64 {
        let greatest = log.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let sum: f64 = log.iter().map(|l| (l - greatest).exp()).sum();
        let own = match self.base {
            Base::Flat => 0.0,
            Base::Normal { .. } => 0.5 * (2.0 * std::f64::consts::PI * self.variance).ln(),
        };
        greatest + (step * sum).ln() - own
    }

    /// The log density over all that matters of it: its top, the first place, the step, the values.
    fn values(&self, start: Option<f64>, points: usize) -> Option<(f64, f64, f64, Vec<f64>)> {
        let scale = self.scale();
        let (top, height, sd) = self.climb(start.unwrap_or_else(|| self.middle()), scale)?;
        let left = self.reach(top, height, -sd);
        let right = self.reach(top, height, sd);
        let (low, high) = (top + left, top + right);
        let step = (high - low) / (points - 1) as f64;
        if step.is_nan() || step <= 0.0 {
            return None;
        }
        let values: Vec<f64> = (0..points)
            .map(|i| self.log_density(low + step * i as f64))
            .collect();
        values
            .iter()
            .any(|l| l.is_finite())
            .then_some((top, low, step, values))
    }

    /// A length over which the density changes.
    fn scale(&self) -> f64 {
        let own = self.variance.sqrt();
        if own.is_finite() {
            own.max(f64::MIN_POSITIVE)
        } else {
            self.s
        }
    }

    /// A first guess of the top.
    fn middle(&self) -> f64 {
        if let Base::Normal { at, .. } = self.base {
            return at;
        }
        self.middle_of_bounds()
    }

    fn middle_of_bounds(&self) -> f64 {
        let (mut sum, mut count) = (0.0, 0.0);
        for (r, times) in self.prints.iter().flat_map(|t| &t.print.bounds) {
            sum += times * r.as_exact();
            count += times;
        }
        sum / count
    }

    /// The top of the density, which has one (a product of log-concave terms): its place, its height and a
    /// width by its bend.
    fn climb(&self, start: f64, scale: f64) -> Option<(f64, f64, f64)> {
        let mut at = start;
        let mut h = 0.1 * scale;
        let mut sd = scale;
        let mut best = self.log_density(at);
        for _ in 0..60 {
            let (a, c) = (self.log_density(at - h), self.log_density(at + h));
            let slope = (c - a) / (2.0 * h);
            let bend = (2.0 * best - a - c) / (h * h);
            let mut step = if !slope.is_finite() || !best.is_finite() {
                // Far below anything that is likely: towards the bounds.
                0.5 * (self.middle_of_bounds() - at)
            } else if bend > 1e-12 / (scale * scale) {
                sd = 1.0 / bend.sqrt();
                slope / bend
            } else {
                slope.signum() * 4.0 * h * f64::from(u8::from(slope.abs() * h > 1e-9))
            };
            step = step.clamp(-30.0 * sd.min(scale), 30.0 * sd.min(scale));
            if step.abs() < 0.2 * sd && best.is_finite() {
                break;
            }
            // Halve until it climbs.
            let mut next = self.log_density(at + step);
            for _ in 0..20 {
                if next >= best || !best.is_finite() {
                    break;
                }
                step *= 0.5;
                next = self.log_density(at + step);
            }
            at += step;
            best = next;
            h = 0.1 * sd.min(scale);
        }
        (best.is_finite() && sd > 0.0).then_some((at, best, sd.min(scale)))
    }

    /// How far from the top, in the direction of `step`, the density falls to a trace.
    fn reach(&self, top: f64, height: f64, step: f64) -> f64 {
        let mut reach = 6.2 * step;
        let fall = |r: f64| height - self.log_density(top + r);
        let mut fallen = fall(reach);
        for _ in 0..60 {
            if fallen >= FALL {
                break;
            }
            reach *= if fallen > 0.25 * FALL { 1.25 } else { 2.0 };
            fallen = fall(reach);
        }
        for _ in 0..20 {
            if fallen <= 2.5 * FALL {
                break;
            }
            let less = 0.7 * reach;
            let there = fall(less);
            if there < FALL {
                break;
            }
            (reach, fallen) = (less, there);
        }
        reach
    }
}

/// The chance of all bounds, and the least of their chances; `per_sd` is one over the standard deviation.
fn chances(bounds: &[(Reading, f64)], mean: f64, per_sd: f64) -> (f64, f64) {
    let (mut product, mut least) = (1.0, 1.0);
    for (r, times) in bounds {
        let p = match r {
            Reading::AtLeast(b) => quick_normal_cdf((mean - b) * per_sd),
            Reading::AtMost(b) => quick_normal_cdf((b - mean) * per_sd),
            Reading::Between(a, b) => {
                quick_normal_cdf((b - mean) * per_sd) - quick_normal_cdf((a - mean) * per_sd)
            }
            Reading::Exact(_) => 1.0,
        };
        least = p.min(least);
        product *= if *times > 1.5 {
            p.powi(times.round() as i32)
        } else {
            p
        };
    }
    (product, least)
}

fn log_chances(bounds: &[(Reading, f64)], mean: f64, sd: f64) -> f64 {
    bounds
        .iter()
        .map(|(r, times)| times * log_chance(*r, mean, sd))
        .sum()
}

fn log_chance(r: Reading, mean: f64, sd: f64) -> f64 {
    match r {
        Reading::AtLeast(b) => quick_ln_normal_cdf((mean - b) / sd),
        Reading::AtMost(b) => quick_ln_normal_cdf((b - mean) / sd),
        Reading::Between(a, b) => quick_ln_normal_interval((a - mean) / sd, (b - mean) / sd),
        Reading::Exact(y) => -0.5 * ((y - mean) / sd).powi(2) - sd.ln(),
    }
}
