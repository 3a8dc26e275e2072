//! Bounds and ranges: the centre on a grid, at each of a few nodes of the spread.
//!
//! Given the spread s, mu has a normal density (from exact readings, a stated value or the
//! population; flat where only coarse readings stand) times the likelihood of each bound. Bounds of
//! one print share its effect u, which is integrated out: exact readings of that print shrink it to a
//! normal with mean k n (ybar - mu) and variance k s^2, k = rho^2 / (1 + rho^2 n); a lone bound is then
//! one normal chance, several are averaged over scores of u.
//!
//! Ranges say how wide the scatter is, and move the weights of the nodes of s. One-sided bounds do
//! not: they move mu at each s, and the spread is left to the exact readings and the pool. A bound far
//! off would otherwise be read as scatter, and a stronger bound could make a material look worse. The
//! price is a spread a little short where many readings of one material are cut off.

use crate::belief::distribution::{GridCentre, SPREAD_STRIDE};
use crate::num::{ChiRoot, Transport, knot, ln_normal_cdf, ln_normal_interval, score_nodes};
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

/// Points of the grid of mu.
const POINTS: usize = 97;
/// Points of a first look.
const LOOK: usize = 33;
/// Scores of a print's effect beyond this weigh nothing (1 in 16 000).
const FAR: f64 = 4.5;
/// The grid ends where the density has fallen by this, in logarithms (6 standard deviations).
const FALL: f64 = 18.5;

/// Finds the centre. `s` and `chi` are the spread before the ranges; `None` where nothing is proper.
pub(super) fn centre(
    base: Base,
    prints: &[PrintTerms],
    s: f64,
    chi: &ChiRoot,
    rho2: f64,
) -> Option<GridCentre> {
    let ranges: Vec<PrintTerms> = only(prints, |r| matches!(r, Reading::Between(..)));
    let sided = prints.iter().any(|p| {
        p.bounds
            .iter()
            .any(|b| !matches!(b.0, Reading::Between(..)))
    });
    if matches!(base, Base::Flat) && ranges.is_empty() {
        return None;
    }
    let mut spreads = Vec::new();
    let mut maps = Vec::new();
    let mut evidence = Vec::new();
    for (score, _) in score_nodes(SPREAD_STRIDE) {
        let node = s * chi.spread(score);
        let all = Given {
            base,
            prints,
            s: node,
            rho2,
        };
        let (map, mut mass) = all.solve()?;
        if sided && !ranges.is_empty() {
            mass = Given {
                prints: &ranges,
                ..all
            }
            .solve()?
            .1;
        }
        spreads.push(node);
        maps.push(map);
        evidence.push(mass);
    }
    let warp = if ranges.is_empty() {
        None
    } else {
        warp(&evidence).map(Box::new)
    };
    Some(GridCentre {
        spreads,
        maps,
        warp,
    })
}

fn only(prints: &[PrintTerms], keep: impl Fn(&Reading) -> bool) -> Vec<PrintTerms> {
    prints
        .iter()
        .filter_map(|p| {
            let bounds: Vec<(Reading, f64)> =
                p.bounds.iter().copied().filter(|b| keep(&b.0)).collect();
            (!bounds.is_empty()).then_some(PrintTerms {
                bounds,
                ..p.clone()
            })
        })
        .collect()
}

/// Map of the spread's score given the log evidence at its nodes: prior times evidence, refined
/// between nodes along a cubic through the neighbours (Catmull and Rom).
fn warp(evidence: &[f64]) -> Option<Transport> {
    const FINE: usize = 16;
    let mut log = Vec::with_capacity(evidence.len() * FINE);
    let first = knot(0);
    let step = (knot(SPREAD_STRIDE) - first) / FINE as f64;
    let cells = evidence.len().saturating_sub(1);
    for (k, pair) in evidence.windows(2).enumerate() {
        let [a, b] = pair else { continue };
        let before = k.checked_sub(1).and_then(|i| evidence.get(i)).unwrap_or(a);
        let after = evidence.get(k + 2).unwrap_or(b);
        let (rise_a, rise_b) = (0.5 * (b - before), 0.5 * (after - a));
        let last = usize::from(k + 1 == cells);
        for i in 0..FINE + last {
            let t = i as f64 / FINE as f64;
            let z = first + step * (k * FINE + i) as f64;
            let cubic = a + t
                * (rise_a
                    + t * (3.0 * (b - a) - 2.0 * rise_a - rise_b
                        + t * (2.0 * (a - b) + rise_a + rise_b)));
            log.push(-0.5 * z * z + cubic);
        }
    }
    Transport::from_log_density(first, step, &log)
}

/// The density of mu at one spread.
#[derive(Clone, Copy)]
struct Given<'a> {
    base: Base,
    prints: &'a [PrintTerms],
    s: f64,
    rho2: f64,
}

impl Given<'_> {
    fn log_density(&self, mu: f64) -> f64 {
        let base = match self.base {
            Base::Flat => 0.0,
            Base::Normal { at, per_s2, own } => {
                let v = per_s2 * self.s * self.s + own;
                -0.5 * (mu - at).powi(2) / v - 0.5 * v.ln()
            }
        };
        base + self
            .prints
            .iter()
            .map(|p| self.log_print(p, mu))
            .sum::<f64>()
    }

    fn log_print(&self, p: &PrintTerms, mu: f64) -> f64 {
        let s = self.s;
        let k = self.rho2 / (1.0 + self.rho2 * p.exact);
        let mean = mu + k * p.exact * (p.mean - mu);
        if let [(one, times)] = p.bounds.as_slice()
            && *times < 1.5
        {
            return log_chance(*one, mean, s * (1.0 + k).sqrt());
        }
        if k <= 0.0 {
            return log_chances(&p.bounds, mean, s);
        }
        // Several bounds share the print's effect: average their product over it.
        let sd = s * k.sqrt();
        let terms: Vec<f64> = score_nodes(SPREAD_STRIDE)
            .filter(|(z, _)| z.abs() < FAR)
            .map(|(z, w)| w.ln() + log_chances(&p.bounds, mean + sd * z, s))
            .collect();
        let top = terms.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        if top.is_finite() {
            top + terms.iter().map(|t| (t - top).exp()).sum::<f64>().ln()
        } else {
            f64::NEG_INFINITY
        }
    }

    /// Map of mu and the log of its total mass.
    fn solve(&self) -> Option<(Transport, f64)> {
        let (mut low, mut high) = self.span()?;
        // The density has one top (a product of log-concave terms): close in on it.
        for _ in 0..40 {
            let step = (high - low) / (LOOK - 1) as f64;
            let look: Vec<f64> = (0..LOOK)
                .map(|i| self.log_density(low + step * i as f64))
                .collect();
            let top = look.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            if !top.is_finite() {
                return None;
            }
            let seen = |l: &f64| *l >= top - FALL;
            let first = look.iter().position(seen)?;
            let last = look.iter().rposition(seen)?;
            let new_low = low + step * (first as f64 - 1.0);
            let new_high = low + step * (last as f64 + 1.0);
            let enough = 2 * (last - first) >= LOOK && first > 0 && last + 1 < LOOK;
            low = new_low;
            high = new_high;
            if enough {
                break;
            }
        }
        let step = (high - low) / (POINTS - 1) as f64;
        let log: Vec<f64> = (0..POINTS)
            .map(|i| self.log_density(low + step * i as f64))
            .collect();
        let top = log.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let mass = step * log.iter().map(|l| (l - top).exp()).sum::<f64>();
        Some((
            Transport::from_log_density(low, step, &log)?,
            top + mass.ln(),
        ))
    }

    /// A span that holds the top and some of its surroundings.
    fn span(&self) -> Option<(f64, f64)> {
        let mut points: Vec<f64> = Vec::new();
        let mut reach = self.s * (1.0 + self.rho2).sqrt();
        if let Base::Normal { at, per_s2, own } = self.base {
            points.push(at);
            reach = reach.max((per_s2 * self.s * self.s + own).sqrt());
        }
        for (r, _) in self.prints.iter().flat_map(|p| &p.bounds) {
            let (a, b) = r.figures();
            points.push(a);
            points.extend(b);
        }
        let low = points.iter().copied().fold(f64::INFINITY, f64::min) - 8.0 * reach;
        let high = points.iter().copied().fold(f64::NEG_INFINITY, f64::max) + 8.0 * reach;
        (low.is_finite() && high.is_finite() && high > low).then_some((low, high))
    }
}

fn log_chances(bounds: &[(Reading, f64)], mean: f64, sd: f64) -> f64 {
    bounds
        .iter()
        .map(|(r, times)| times * log_chance(*r, mean, sd))
        .sum()
}

fn log_chance(r: Reading, mean: f64, sd: f64) -> f64 {
    match r {
        Reading::AtLeast(b) => ln_normal_cdf((mean - b) / sd),
        Reading::AtMost(b) => ln_normal_cdf((b - mean) / sd),
        Reading::Between(a, b) => ln_normal_interval((a - mean) / sd, (b - mean) / sd),
        Reading::Exact(y) => -0.5 * ((y - mean) / sd).powi(2) - sd.ln(),
    }
}
