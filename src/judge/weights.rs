//! A stated preference settled onto a duty's aims, and draws from its region.

use crate::duty::{Aim, Preference};
use crate::num::{Stream, stream};
use std::collections::BTreeMap;

/// A preference fitted to the aims of a duty.
#[derive(Clone, Debug, PartialEq)]
pub struct Settled {
    /// The preference over exactly the duty's aims.
    pub preference: Preference,
    /// Aims of the preference that the duty lacks.
    pub skipped: Vec<String>,
    /// Aims of the duty that the preference lacks.
    pub unweighted: Vec<String>,
}

/// Fits a preference to a duty's aims: what the part lacks is skipped; what the
/// profile lacks gets 0 in points, else shares the last place.
///
/// In an order the last place comes after all that were named. In ranges it reaches from 0
/// to the smallest upper end stated, or, where the weights could not sum to 1 so,
/// to all that the stated lower ends leave.
pub fn settle(preference: &Preference, aims: &[Aim]) -> Settled {
    let has = |id: &str| aims.iter().any(|a| a.id == id);
    let mut skipped = Vec::new();
    let mut named: Vec<String> = Vec::new();
    let fitted = match preference {
        Preference::Points(points) => {
            let mut kept = BTreeMap::new();
            for (id, p) in points {
                if has(id) {
                    named.push(id.clone());
                    kept.insert(id.clone(), *p);
                } else {
                    skipped.push(id.clone());
                }
            }
            for a in aims {
                kept.entry(a.id.clone()).or_insert(0.0);
            }
            Preference::Points(kept)
        }
        Preference::Order(groups) => {
            let mut kept: Vec<Vec<String>> = Vec::new();
            for group in groups {
                let mut inner = Vec::new();
                for id in group {
                    if !has(id) {
                        skipped.push(id.clone());
                    } else if !named.contains(id) {
                        named.push(id.clone());
                        inner.push(id.clone());
                    }
                }
                if !inner.is_empty() {
                    kept.push(inner);
                }
            }
            let rest: Vec<String> = aims
                .iter()
                .map(|a| a.id.clone())
                .filter(|id| !named.contains(id))
                .collect();
            if !rest.is_empty() {
                kept.push(rest);
            }
            Preference::Order(kept)
        }
        Preference::Ranges(ranges) => {
            let mut kept = BTreeMap::new();
            for (id, r) in ranges {
                if has(id) {
                    named.push(id.clone());
                    kept.insert(id.clone(), *r);
                } else {
                    skipped.push(id.clone());
                }
            }
            let rest: Vec<&Aim> = aims.iter().filter(|a| !kept.contains_key(&a.id)).collect();
            let high = last_place(&kept, rest.len());
            for a in rest {
                kept.insert(a.id.clone(), (0.0, high));
            }
            Preference::Ranges(kept)
        }
    };
    let unweighted = aims
        .iter()
        .map(|a| a.id.clone())
        .filter(|id| !named.contains(id))
        .collect();
    Settled {
        preference: fitted,
        skipped,
        unweighted,
    }
}

/// Upper end of the range of `count` aims that the ranges do not name.
fn last_place(stated: &BTreeMap<String, (f64, f64)>, count: usize) -> f64 {
    let smallest = stated.values().map(|r| r.1).fold(1.0, f64::min);
    let highs: f64 = stated.values().map(|r| r.1).sum();
    let lows: f64 = stated.values().map(|r| r.0).sum();
    if highs + smallest * count as f64 >= 1.0 {
        smallest
    } else {
        (1.0 - lows).max(0.0)
    }
}

/// The set of weight vectors a preference allows: entries >= 0 that sum to 1, in the
/// order of the duty's aims.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum WeightRegion {
    /// One vector.
    Point(Vec<f64>),
    /// Every weight of a group is at least every weight of the next.
    Order(Vec<Vec<usize>>),
    /// Each weight between its two ends.
    Ranges {
        /// Lower ends.
        low: Vec<f64>,
        /// Upper ends.
        high: Vec<f64>,
        /// Whether too few uniform proposals fall inside, so that a walk is used.
        walk: bool,
    },
}

/// Proposals of the trial that decides between rejection and a walk.
const TRIAL: usize = 2_000;
/// Least share of proposals that must fall inside for rejection to be used.
const LEAST_SHARE: f64 = 0.02;
/// Proposals for one vector before the walk takes over after all: at the least share, a run of
/// this many misses has a chance below 1e-17.
const MOST_TRIES: usize = 2_000;
/// Steps of the walk for each aim before its first vector, and between two vectors.
const BURN_IN_PER_AIM: usize = 64;
const STEPS_PER_AIM: usize = 8;
/// Rounding that the sum of weights may be off by.
const EPS: f64 = 1e-12;

impl WeightRegion {
    /// The region of a settled preference over `aims`.
    ///
    /// Points that are all 0 mean equal weights. Ranges that no vector satisfies (as
    /// can happen where the part lacks an aim) are read as proportions: both ends are
    /// scaled so that the middles sum to 1.
    pub(super) fn new(preference: &Preference, aims: &[Aim], seed: u64) -> Self {
        let n = aims.len();
        let place = |id: &String| aims.iter().position(|a| &a.id == id);
        match preference {
            Preference::Points(points) => {
                let mut w = vec![0.0; n];
                for (id, p) in points {
                    if let Some(slot) = place(id).and_then(|i| w.get_mut(i)) {
                        *slot = if p.is_finite() { p.max(0.0) } else { 0.0 };
                    }
                }
                let sum: f64 = w.iter().sum();
                if sum > 0.0 {
                    w.iter_mut().for_each(|x| *x /= sum);
                } else {
                    w.fill(1.0 / n.max(1) as f64);
                }
                WeightRegion::Point(w)
            }
            Preference::Order(groups) => WeightRegion::Order(
                groups
                    .iter()
                    .map(|g| g.iter().filter_map(&place).collect::<Vec<usize>>())
                    .filter(|g| !g.is_empty())
                    .collect(),
            ),
            Preference::Ranges(ranges) => {
                let (mut low, mut high) = (vec![0.0; n], vec![1.0; n]);
                for (id, r) in ranges {
                    if let Some(i) = place(id) {
                        if let Some(l) = low.get_mut(i) {
                            *l = r.0.clamp(0.0, 1.0);
                        }
                        if let Some(h) = high.get_mut(i) {
                            *h = r.1.clamp(0.0, 1.0).max(r.0.clamp(0.0, 1.0));
                        }
                    }
                }
                let (lows, highs): (f64, f64) = (low.iter().sum(), high.iter().sum());
                if n > 0 && (lows > 1.0 + EPS || highs < 1.0 - EPS) {
                    let middles = 0.5 * (lows + highs);
                    if middles > 0.0 {
                        for x in low.iter_mut().chain(high.iter_mut()) {
                            *x = (*x / middles).min(1.0);
                        }
                    } else {
                        high.fill(1.0);
                    }
                }
                let walk = n > 1 && {
                    let mut s = stream(seed, "weights/trial", 0);
                    let mut w = vec![0.0; n];
                    let inside = (0..TRIAL)
                        .filter(|_| propose(&mut s, &low, &high, &mut w))
                        .count();
                    (inside as f64) < LEAST_SHARE * TRIAL as f64
                };
                WeightRegion::Ranges { low, high, walk }
            }
        }
    }

    /// Fills `out` with weight vectors, one after another, from the stream of a block.
    ///
    /// Vectors are uniform on the region; a point gives itself.
    pub(super) fn draw_block(&self, seed: u64, block: u64, n: usize, out: &mut [f64]) {
        if n == 0 {
            return;
        }
        let mut s = stream(seed, "weights", block);
        match self {
            WeightRegion::Point(w) => {
                for row in out.chunks_exact_mut(n) {
                    row.copy_from_slice(w);
                }
            }
            WeightRegion::Order(groups) => {
                let mut spacings = vec![0.0; n];
                for row in out.chunks_exact_mut(n) {
                    ordered(&mut s, groups, &mut spacings, row);
                }
            }
            WeightRegion::Ranges { low, high, walk } => {
                let mut at = middle(low, high);
                let mut walking = false;
                for row in out.chunks_exact_mut(n) {
                    if !*walk && (0..MOST_TRIES).any(|_| propose(&mut s, low, high, row)) {
                        continue;
                    }
                    if !walking {
                        step(&mut s, low, high, &mut at, BURN_IN_PER_AIM * n);
                        walking = true;
                    }
                    step(&mut s, low, high, &mut at, STEPS_PER_AIM * n);
                    row.copy_from_slice(&at);
                }
            }
        }
    }

    /// Least value of `w . d` over the region: the exact rule over its extreme points.
    ///
    /// An order's extreme points give equal weights to all groups before some group and
    /// to some aims of that group; ranges are filled greedily.
    pub(super) fn least(&self, d: &[f64]) -> f64 {
        match self {
            WeightRegion::Point(w) => w.iter().zip(d).map(|(a, b)| a * b).sum(),
            WeightRegion::Order(groups) => {
                let mut least = f64::INFINITY;
                let (mut sum, mut count) = (0.0, 0.0);
                for g in groups {
                    let mut inner: Vec<f64> = g.iter().filter_map(|i| d.get(*i).copied()).collect();
                    inner.sort_by(f64::total_cmp);
                    for x in inner {
                        sum += x;
                        count += 1.0;
                        least = least.min(sum / count);
                    }
                }
                if count > 0.0 { least } else { 0.0 }
            }
            WeightRegion::Ranges { low, high, .. } => {
                let mut order: Vec<usize> = (0..d.len().min(low.len())).collect();
                order.sort_by(|a, b| d[*a].total_cmp(&d[*b]));
                let mut left = 1.0 - low.iter().sum::<f64>();
                let mut total: f64 = low.iter().zip(d).map(|(l, x)| l * x).sum();
                for i in order {
                    let more = (high[i] - low[i]).min(left).max(0.0);
                    total += more * d[i];
                    left -= more;
                }
                total
            }
        }
    }
}

/// One vector of uniform spacings (normalised exponentials), sorted onto the groups; within a
/// group the spacings keep the order they were drawn in, which is random.
fn ordered(s: &mut Stream, groups: &[Vec<usize>], spacings: &mut [f64], row: &mut [f64]) {
    let mut sum = 0.0;
    for x in spacings.iter_mut() {
        *x = s.exponential();
        sum += *x;
    }
    let mut rank: Vec<usize> = (0..spacings.len()).collect();
    rank.sort_by(|a, b| spacings[*b].total_cmp(&spacings[*a]));
    let mut start = 0;
    for g in groups {
        let end = (start + g.len()).min(rank.len());
        let taken = &mut rank[start..end];
        taken.sort_unstable();
        for (aim, k) in g.iter().zip(taken.iter()) {
            row[*aim] = spacings[*k] / sum;
        }
        start = end;
    }
}

/// Proposes a vector uniform on the simplex above the lower ends; true if it is below the upper ones.
fn propose(s: &mut Stream, low: &[f64], high: &[f64], w: &mut [f64]) -> bool {
    let mut sum = 0.0;
    for x in w.iter_mut() {
        *x = s.exponential();
        sum += *x;
    }
    let left = (1.0 - low.iter().sum::<f64>()).max(0.0);
    let mut inside = true;
    for ((x, l), h) in w.iter_mut().zip(low).zip(high) {
        *x = l + left * *x / sum;
        inside &= *x <= h + EPS;
    }
    inside
}

/// The vector that stands equally far between the two ends in every aim, and sums to 1.
fn middle(low: &[f64], high: &[f64]) -> Vec<f64> {
    let (lows, highs): (f64, f64) = (low.iter().sum(), high.iter().sum());
    let t = if highs > lows {
        ((1.0 - lows) / (highs - lows)).clamp(0.0, 1.0)
    } else {
        0.0
    };
    low.iter().zip(high).map(|(l, h)| l + t * (h - l)).collect()
}

/// Hit-and-run along pairs of aims: one gains what the other loses, uniform on the chord inside
/// the region. Its stationary law is uniform on the region.
fn step(s: &mut Stream, low: &[f64], high: &[f64], w: &mut [f64], steps: usize) {
    let n = w.len();
    if n < 2 {
        return;
    }
    for _ in 0..steps {
        let i = ((s.uniform() * n as f64) as usize).min(n - 1);
        let mut j = ((s.uniform() * (n - 1) as f64) as usize).min(n - 2);
        if j >= i {
            j += 1;
        }
        let up = (high[i] - w[i]).min(w[j] - low[j]).max(0.0);
        let down = (w[i] - low[i]).min(high[j] - w[j]).max(0.0);
        let t = -down + (up + down) * s.uniform();
        w[i] += t;
        w[j] -= t;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::duty::{Performance, ValueScale};

    fn aims(ids: &[&str]) -> Vec<Aim> {
        ids.iter()
            .map(|id| Aim {
                id: (*id).to_owned(),
                title: String::new(),
                unit: "1".to_owned(),
                scale: ValueScale {
                    zero: 0.0,
                    one: 1.0,
                    log: false,
                },
                needs: Vec::new(),
                performance: Performance::new(|_, _| 0.5),
            })
            .collect()
    }

    fn draws(region: &WeightRegion, n: usize) -> Vec<Vec<f64>> {
        let mut all = Vec::new();
        for block in 0..64 {
            let mut out = vec![0.0; 256 * n];
            region.draw_block(7, block, n, &mut out);
            all.extend(out.chunks(n).map(<[f64]>::to_vec));
        }
        all
    }

    fn means(all: &[Vec<f64>]) -> Vec<f64> {
        (0..all[0].len())
            .map(|i| all.iter().map(|w| w[i]).sum::<f64>() / all.len() as f64)
            .collect()
    }

    /// The mean of an order without ties is the rank-order centroid, w_k = (1/n) sum_{i>=k} 1/i
    /// (Barron and Barrett; formula verified in source); ties share their mean.
    #[test]
    fn an_order_has_the_rank_order_centroid_as_its_mean() {
        let a = aims(&["a", "b", "c"]);
        let order = Preference::Order(vec![vec!["b".into()], vec!["a".into()], vec!["c".into()]]);
        let m = means(&draws(&WeightRegion::new(&order, &a, 1), 3));
        for (got, want) in m.iter().zip([5.0 / 18.0, 11.0 / 18.0, 1.0 / 9.0]) {
            assert!((got - want).abs() < 0.006, "{m:?}");
        }
        let tied = Preference::Order(vec![vec!["b".into(), "a".into()], vec!["c".into()]]);
        let m = means(&draws(&WeightRegion::new(&tied, &a, 1), 3));
        for (got, want) in m.iter().zip([4.0 / 9.0, 4.0 / 9.0, 1.0 / 9.0]) {
            assert!((got - want).abs() < 0.006, "{m:?}");
        }
    }

    #[test]
    fn ranges_are_kept_by_rejection_and_by_the_walk_alike() {
        let a = aims(&["a", "b", "c", "d", "e", "f"]);
        let narrow = |h: f64| {
            Preference::Ranges(
                ["a", "b", "c", "d", "e", "f"]
                    .iter()
                    .map(|id| ((*id).to_owned(), (0.1, h)))
                    .collect(),
            )
        };
        let walked = WeightRegion::new(&narrow(0.18), &a, 1);
        assert!(matches!(walked, WeightRegion::Ranges { walk: true, .. }));
        let all = draws(&walked, 6);
        for w in &all {
            assert!((w.iter().sum::<f64>() - 1.0).abs() < 1e-9);
            assert!(w.iter().all(|x| (0.1 - 1e-9..=0.18 + 1e-9).contains(x)));
        }
        for m in means(&all) {
            assert!((m - 1.0 / 6.0).abs() < 0.002);
        }
        // The same region by both roads has the same spread.
        let spread = |r: &WeightRegion| {
            let all = draws(r, 6);
            let m = means(&all)[0];
            (all.iter().map(|w| (w[0] - m).powi(2)).sum::<f64>() / all.len() as f64).sqrt()
        };
        let by_rejection = WeightRegion::new(&narrow(0.3), &a, 1);
        let WeightRegion::Ranges { low, high, walk } = by_rejection.clone() else {
            panic!("ranges expected");
        };
        assert!(!walk);
        let by_walk = WeightRegion::Ranges {
            low,
            high,
            walk: true,
        };
        let (x, y) = (spread(&by_rejection), spread(&by_walk));
        assert!((x / y - 1.0).abs() < 0.05, "{x} {y}");
    }

    #[test]
    fn what_the_part_lacks_is_skipped_and_what_the_profile_lacks_comes_last() {
        let a = aims(&["hold", "cost", "looks"]);
        let points = Preference::Points(
            [("hold".to_owned(), 60.0), ("grip".to_owned(), 40.0)]
                .into_iter()
                .collect(),
        );
        let s = settle(&points, &a);
        assert_eq!(s.skipped, ["grip"]);
        assert_eq!(s.unweighted, ["cost", "looks"]);
        assert_eq!(
            WeightRegion::new(&s.preference, &a, 1),
            WeightRegion::Point(vec![1.0, 0.0, 0.0])
        );
        let order = Preference::Order(vec![vec!["hold".into()], vec!["cost".into()]]);
        let s = settle(&order, &a);
        assert_eq!(
            s.preference,
            Preference::Order(vec![
                vec!["hold".into()],
                vec!["cost".into()],
                vec!["looks".into()]
            ])
        );
        // Settling twice changes nothing.
        assert_eq!(settle(&s.preference, &a).preference, s.preference);
        let ranges = Preference::Ranges([("hold".to_owned(), (0.2, 0.4))].into_iter().collect());
        let WeightRegion::Ranges { low, high, .. } =
            WeightRegion::new(&settle(&ranges, &a).preference, &a, 1)
        else {
            panic!("ranges expected");
        };
        assert_eq!((low[0], high[0]), (0.2, 0.4));
        assert_eq!((low[1], high[1]), (0.0, 0.4));
    }

    #[test]
    fn the_least_value_is_found_at_an_extreme_point() {
        let order = WeightRegion::Order(vec![vec![0], vec![1, 2]]);
        // Extreme points: (1,0,0), (1/2,1/2,0), (1/2,0,1/2), (1/3,1/3,1/3).
        assert!((order.least(&[1.0, 4.0, -3.0]) - -1.0).abs() < 1e-12);
        let ranges = WeightRegion::Ranges {
            low: vec![0.1, 0.1, 0.0],
            high: vec![0.5, 0.6, 0.3],
            walk: false,
        };
        // The cheapest aim is filled first: w = (0.1, 0.6, 0.3).
        assert!((ranges.least(&[3.0, 1.0, 2.0]) - 1.5).abs() < 1e-12);
    }
}
