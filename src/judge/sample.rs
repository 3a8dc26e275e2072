//! The draws of one candidate: block by block, always in the same order.

use crate::belief::{BLOCK, BiasBlock, Evidence};
use crate::bench::BiasKind;
use crate::duty::{Inputs, Performance};
use crate::judge::judgement::Predicted;
use crate::judge::plan::{Plan, Wired};
use crate::judge::weights::WeightRegion;
use std::collections::BTreeSet;

/// What all candidates share: weight vectors, and one draw of each calibration's bias.
#[derive(Debug)]
pub(super) struct Common {
    pub(super) seed: u64,
    pub(super) draws: usize,
    /// Aims of the duty.
    pub(super) aims: usize,
    /// Weight vectors, one after another.
    pub(super) weights: Vec<f64>,
    /// Bias draws, a block each.
    bias: Vec<BiasBlock>,
}

impl Common {
    /// Draws what is shared: streams keyed by block and by calibration, never by candidate.
    pub(super) fn new(
        seed: u64,
        draws: usize,
        aims: usize,
        region: &WeightRegion,
        keys: &BTreeSet<(&str, BiasKind)>,
    ) -> Self {
        let mut weights = vec![0.0; draws * aims];
        if aims > 0 {
            for (block, out) in weights.chunks_mut(BLOCK * aims).enumerate() {
                region.draw_block(seed, block as u64, aims, out);
            }
        }
        let bias = (0..draws.div_ceil(BLOCK))
            .map(|block| BiasBlock::new(seed, block as u64, keys.iter().copied()))
            .collect();
        Common {
            seed,
            draws,
            aims,
            weights,
            bias,
        }
    }

    /// Mean weight of each aim.
    pub(super) fn mean_weights(&self) -> Vec<f64> {
        let mut sums = vec![0.0; self.aims];
        if self.aims > 0 {
            for row in self.weights.chunks_exact(self.aims) {
                for (s, w) in sums.iter_mut().zip(row) {
                    *s += w;
                }
            }
        }
        sums.iter().map(|s| s / self.draws as f64).collect()
    }
}

/// Every calibration behind some evidence.
pub(super) fn all_calibrations(evidence: &Evidence) -> BTreeSet<(&str, BiasKind)> {
    let observations = evidence
        .runs()
        .iter()
        .flat_map(|r| &r.specimens)
        .flat_map(|s| &s.observations);
    observations
        .flat_map(|o| &o.bias)
        .map(|b| (&*b.calibration, b.kind))
        .collect()
}

/// The calibrations behind one candidate.
pub(super) fn calibrations_of<'a>(plan: &'a Plan<'_>) -> BTreeSet<(&'a str, BiasKind)> {
    plan.beliefs
        .iter()
        .flat_map(|(_, b)| b.bias.iter().chain(b.as_exact.iter().flat_map(|e| &e.bias)))
        .map(|b| (&*b.calibration, b.kind))
        .collect()
}

/// One bit a draw.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Bits {
    words: Vec<u64>,
    len: usize,
}

impl Bits {
    pub(super) fn all(len: usize) -> Self {
        let mut words = vec![u64::MAX; len.div_ceil(64)];
        if let (Some(last), true) = (words.last_mut(), !len.is_multiple_of(64)) {
            *last = (1 << (len % 64)) - 1;
        }
        Bits { words, len }
    }
    pub(super) fn none(len: usize) -> Self {
        Bits {
            words: vec![0; len.div_ceil(64)],
            len,
        }
    }
    fn set(&mut self, i: usize) {
        if let Some(w) = self.words.get_mut(i / 64) {
            *w |= 1 << (i % 64);
        }
    }
    fn has(&self, i: usize) -> bool {
        self.words
            .get(i / 64)
            .is_some_and(|w| w >> (i % 64) & 1 == 1)
    }
    pub(super) fn and(&mut self, other: &Bits) {
        for (a, b) in self.words.iter_mut().zip(&other.words) {
            *a &= b;
        }
    }
    /// How many draws there are.
    pub(super) fn len(&self) -> usize {
        self.len
    }
    /// Share of draws that are set, with its Monte-Carlo standard error.
    pub(super) fn share(&self) -> (f64, f64) {
        let n = self.len.max(1) as f64;
        let p = f64::from(self.words.iter().map(|w| w.count_ones()).sum::<u32>()) / n;
        (p, (p * (1.0 - p) / n).sqrt())
    }
}

/// What the draws say of one limit.
#[derive(Clone, Debug)]
pub(super) struct DrawnLimit {
    pub(super) predicted: Option<Predicted>,
    /// Draws in which the next part meets it.
    pub(super) met: Bits,
    /// The same with auxiliary properties at their worse 5 %, where there are any.
    pub(super) met_at_worse: Option<Bits>,
    /// The same draws and the median performance with bounds taken as exact, where there are any.
    pub(super) as_exact: Option<(Bits, f64)>,
}

impl DrawnLimit {
    /// Chance and median performance with bounds taken as exact, where there are any.
    pub(super) fn exact(&self) -> Option<(f64, f64)> {
        self.as_exact.as_ref().map(|(met, y)| (met.share().0, *y))
    }
}

/// What the draws say of one aim.
#[derive(Clone, Debug)]
pub(super) struct DrawnAim {
    pub(super) value: f64,
    pub(super) contribution: f64,
    pub(super) median: Option<f64>,
}

/// What the draws say of one candidate.
#[derive(Clone, Debug)]
pub(super) struct Drawn {
    pub(super) limits: Vec<DrawnLimit>,
    pub(super) aims: Vec<DrawnAim>,
    pub(super) score: f64,
    pub(super) score_se: f64,
    /// Weighted value of each draw, [`NOT_MET`] where a limit is missed; single precision is
    /// kept for ranking only.
    pub(super) row: Vec<f32>,
}

/// Stands in [`Drawn::row`] for a draw in which some limit is missed.
pub(super) const NOT_MET: f32 = -1.0;

/// Buffers of a worker, used again for each candidate.
#[derive(Debug, Default)]
pub(super) struct Scratch {
    mean: Vec<Vec<f64>>,
    next: Vec<Vec<f64>>,
    exact: Vec<Vec<f64>>,
    spare: Vec<f64>,
    limits: Vec<Vec<f64>>,
    exact_limits: Vec<Vec<f64>>,
    aims: Vec<Vec<f64>>,
}

fn buffers(of: &mut Vec<Vec<f64>>, count: usize, len: usize) {
    of.resize_with(count, Vec::new);
    for b in of {
        b.clear();
        b.resize(len, f64::NAN);
    }
}

/// Draws a candidate.
pub(super) fn draw(plan: &Plan<'_>, common: &Common, scratch: &mut Scratch) -> Drawn {
    let n = common.draws;
    let s = scratch;
    buffers(&mut s.mean, plan.beliefs.len(), BLOCK);
    buffers(&mut s.next, plan.beliefs.len(), BLOCK);
    buffers(&mut s.exact, plan.beliefs.len(), BLOCK);
    buffers(&mut s.limits, plan.limits.len(), n);
    buffers(&mut s.exact_limits, plan.limits.len(), n);
    buffers(&mut s.aims, plan.aims.len(), n);
    s.spare.clear();
    s.spare.resize(BLOCK, f64::NAN);

    let wants_exact: Vec<bool> = (0..plan.beliefs.len())
        .map(|i| {
            plan.limits
                .iter()
                .any(|l| l.bounds.is_some() && l.wired.picks.contains(&i))
        })
        .collect();
    let wants_next: Vec<bool> = (0..plan.beliefs.len())
        .map(|i| plan.limits.iter().any(|l| l.wired.picks.contains(&i)))
        .collect();
    let wants_mean: Vec<bool> = (0..plan.beliefs.len())
        .map(|i| plan.aims.iter().any(|(_, w)| w.picks.contains(&i)))
        .collect();
    let mut met: Vec<Bits> = vec![Bits::none(n); plan.limits.len()];
    let mut worse: Vec<Option<Bits>> = plan
        .limits
        .iter()
        .map(|l| l.worse.iter().any(Option::is_some).then(|| Bits::none(n)))
        .collect();
    let mut exact_met: Vec<Bits> = vec![Bits::none(n); plan.limits.len()];

    for (block, bias) in common.bias.iter().enumerate() {
        let start = block * BLOCK;
        let len = BLOCK.min(n - start);
        for (i, (_, b)) in plan.beliefs.iter().enumerate() {
            b.draw_block(
                common.seed,
                block as u64,
                bias,
                &mut s.mean[i][..if wants_mean[i] { len } else { 0 }],
                &mut s.next[i][..if wants_next[i] { len } else { 0 }],
            );
            if !wants_exact[i] {
                continue;
            }
            match &b.as_exact {
                Some(e) => e.draw_block(
                    common.seed,
                    block as u64,
                    bias,
                    &mut [],
                    &mut s.exact[i][..len],
                ),
                None => s.exact[i].copy_from_slice(&s.next[i]),
            }
        }
        for (k, l) in plan.limits.iter().enumerate() {
            if l.wired.absent {
                continue;
            }
            let f = &l.limit.performance;
            let out = &mut s.limits[k][start..start + len];
            perform(f, &l.wired, &s.next, out);
            for (d, y) in out.iter().enumerate() {
                if l.limit.sense.met(*y) {
                    met[k].set(start + d);
                }
            }
            if l.bounds.is_some() {
                let out = &mut s.exact_limits[k][start..start + len];
                perform(f, &l.wired, &s.exact, out);
                for (d, y) in out.iter().enumerate() {
                    if l.limit.sense.met(*y) {
                        exact_met[k].set(start + d);
                    }
                }
            }
            if let Some(bits) = &mut worse[k] {
                let out = &mut s.spare[..len];
                perform_at(f, &l.wired, &s.next, &l.worse, out);
                for (d, y) in out.iter().enumerate() {
                    if l.limit.sense.met(*y) {
                        bits.set(start + d);
                    }
                }
            }
        }
        for (k, (aim, wired)) in plan.aims.iter().enumerate() {
            if !wired.absent {
                let out = &mut s.aims[k][start..start + len];
                perform(&aim.performance, wired, &s.mean, out);
            }
        }
    }

    let (value, aims) = value_aims(plan, common, &mut s.aims);
    let mut all = Bits::all(n);
    for m in &met {
        all.and(m);
    }
    let (mut sum, mut squares) = (0.0, 0.0);
    let row = value
        .iter()
        .enumerate()
        .map(|(d, v)| {
            if all.has(d) {
                sum += v;
                squares += v * v;
                *v as f32
            } else {
                NOT_MET
            }
        })
        .collect();
    let count = n.max(1) as f64;
    let score = sum / count;
    let variance = (squares / count - score * score).max(0.0);
    let limits = plan
        .limits
        .iter()
        .zip(met)
        .zip(worse)
        .zip(exact_met)
        .enumerate()
        .map(|(k, (((l, met), met_at_worse), exact_met))| DrawnLimit {
            predicted: predicted(&mut s.limits[k]),
            met,
            met_at_worse,
            as_exact: l.bounds.map(|_| {
                let typical = predicted(&mut s.exact_limits[k]).map_or(f64::NAN, |p| p.median);
                (exact_met, typical)
            }),
        })
        .collect();
    Drawn {
        limits,
        aims,
        score,
        score_se: (variance / count).sqrt(),
        row,
    }
}

/// Weighted value of each draw, and the means of each aim.
fn value_aims(
    plan: &Plan<'_>,
    common: &Common,
    performances: &mut [Vec<f64>],
) -> (Vec<f64>, Vec<DrawnAim>) {
    let n = common.draws;
    let count = n.max(1) as f64;
    // Without aims every part that meets its limits is worth the same.
    let mut value = vec![if plan.aims.is_empty() { 1.0 } else { 0.0 }; n];
    let mut aims = Vec::with_capacity(plan.aims.len());
    for (k, ((aim, wired), perf)) in plan.aims.iter().zip(performances).enumerate() {
        if wired.absent {
            aims.push(DrawnAim {
                value: 0.0,
                contribution: 0.0,
                median: None,
            });
            continue;
        }
        let (mut values, mut weighted) = (0.0, 0.0);
        let value_of = aim.scale.values();
        let weights = common.weights.iter().skip(k).step_by(common.aims);
        for ((y, w), total) in perf.iter().zip(weights).zip(value.iter_mut()) {
            let v = value_of(*y);
            values += v;
            weighted += w * v;
            *total += w * v;
        }
        aims.push(DrawnAim {
            value: values / count,
            contribution: weighted / count,
            median: median(perf),
        });
    }
    (value, aims)
}

/// The formula for each draw of a block.
fn perform(f: &Performance, wired: &Wired, x: &[Vec<f64>], out: &mut [f64]) {
    let which = wired.which.as_slice();
    match *wired.picks.as_slice() {
        [] => {
            let y = f.of(Inputs { x: &[], which });
            out.fill(y);
        }
        [a] => {
            for (y, x) in out.iter_mut().zip(&x[a]) {
                *y = f.of(Inputs { x: &[*x], which });
            }
        }
        _ => {
            let mut at = vec![0.0; wired.picks.len()];
            for (d, y) in out.iter_mut().enumerate() {
                for (slot, p) in at.iter_mut().zip(&wired.picks) {
                    *slot = x[*p][d];
                }
                *y = f.of(Inputs { x: &at, which });
            }
        }
    }
}

/// The formula for each draw of a block with some figures fixed.
fn perform_at(
    f: &Performance,
    wired: &Wired,
    x: &[Vec<f64>],
    fixed: &[Option<f64>],
    out: &mut [f64],
) {
    let which = wired.which.as_slice();
    let mut at = vec![0.0; wired.picks.len()];
    for (d, y) in out.iter_mut().enumerate() {
        for ((slot, p), held) in at.iter_mut().zip(&wired.picks).zip(fixed) {
            *slot = held.unwrap_or(x[*p][d]);
        }
        *y = f.of(Inputs { x: &at, which });
    }
}

/// 5, 50 and 95 % by exact selection over the draws that gave a number; `None` where most gave none.
///
/// Quantile p of n sorted draws is the one at place ceil(p n) (inverse of the empirical distribution).
fn predicted(draws: &mut Vec<f64>) -> Option<Predicted> {
    let n = numbers(draws)?;
    let (low, middle, high) = (place(0.05, n), place(0.5, n), place(0.95, n));
    let (lower, median, upper) = draws.select_nth_unstable_by(middle, f64::total_cmp);
    let median = *median;
    let high = if high > middle {
        *upper
            .select_nth_unstable_by(high - middle - 1, f64::total_cmp)
            .1
    } else {
        median
    };
    let low = if low < middle {
        *lower.select_nth_unstable_by(low, f64::total_cmp).1
    } else {
        median
    };
    Some(Predicted { low, median, high })
}

/// The median alone, as [`predicted`] has it.
fn median(draws: &mut Vec<f64>) -> Option<f64> {
    let n = numbers(draws)?;
    Some(
        *draws
            .select_nth_unstable_by(place(0.5, n), f64::total_cmp)
            .1,
    )
}

/// Drops the draws that gave no number; how many are left, `None` where most gave none.
fn numbers(draws: &mut Vec<f64>) -> Option<usize> {
    let asked = draws.len();
    draws.retain(|y| !y.is_nan());
    let n = draws.len();
    (n > 0 && 2 * n >= asked).then_some(n)
}

/// Place of quantile p among n sorted draws, from 0.
fn place(p: f64, n: usize) -> usize {
    ((p * n as f64).ceil() as usize).clamp(1, n) - 1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_are_those_of_the_sorted_draws() {
        let mut x: Vec<f64> = (1..=1000).map(|i| f64::from(i * 3 % 1001)).collect();
        let p = predicted(&mut x).expect("draws");
        let near = |a: f64, b: f64| (a - b).abs() < 1e-12;
        assert!(near(p.low, 50.0) && near(p.median, 500.0) && near(p.high, 950.0));
        assert_eq!(predicted(&mut vec![f64::NAN, f64::NAN, 1.0]), None);
        let one = predicted(&mut vec![2.5]).expect("one draw");
        assert!(near(one.low, 2.5) && near(one.median, 2.5) && near(one.high, 2.5));
    }

    #[test]
    fn bits_count_only_draws() {
        let mut b = Bits::all(70);
        assert!((b.share().0 - 1.0).abs() < 1e-12);
        let mut half = Bits::none(70);
        for i in 0..35 {
            half.set(i);
        }
        b.and(&half);
        assert!((b.share().0 - 0.5).abs() < 1e-12);
        assert!(b.has(34) && !b.has(35));
    }
}
