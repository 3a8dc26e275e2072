//! What two groups of readings, taken at two conditions, say of a condition between them.
//!
//! Exact readings on both sides: the mean lies on the straight line between their means on the
//! property's natural scale (`closed`), moved by `bend` where more than two temperatures show a
//! curve. Where a side holds bounds or ranges only, each reading is taken to the asked condition
//! with its partner of the other side (the strongest with the strongest, an exact side by its mean),
//! end by end: `>= a` and `>= b` give `>=` the figure between, taken back by 1.645 standard deviations
//! of the line's error (below). A property that can only fall, or only rise, from one condition to the
//! other keeps at the least what one side alone shows.
//!
//! # The line is an assumption
//!
//! So the mean, and every part with it, is unsure by more: by one standard deviation of
//!
//! > 4 w (1 - w) sqrt((d / 4)^2 + (q g / 40 K)^2)
//!
//! w being the place between the two, d the difference of their means and q the property's default
//! spread, both on the natural scale, and g the gap. Nothing at the tested conditions, most midway. A
//! quarter of the difference makes a 90 % band that reaches 0.41 of it to each side, which leaves out
//! only curves that keep to one end almost all the way; the other term is for a property that goes up
//! and down. Both figures are ours: chosen so that the 90 % interval of the mean, midway between two
//! runs of three specimens of one print each, holds the truth in at least nine of ten of every kind of
//! truth that was simulated (5 000 a cell, seed 1; the test that does it describes the kinds). In
//! brackets what the line alone held.
//!
//! | logarithm of the figure over temperature | 20 K | 40 K | 60 K |
//! |---|---|---|---|
//! | straight over the inverse absolute temperature (Arrhenius) | 0.98 (0.93) | 1.00 (0.91) | 1.00 (0.90) |
//! | the figure itself falls straight | 0.98 (0.92) | 1.00 (0.88) | 1.00 (0.63) |
//! | a transition up to 40 K past the warmer run | 0.96 (0.80) | 0.97 (0.76) | 0.99 (0.75) |
//! | a transition close past it, its shoulder between the runs | 0.92 (0.50) | 0.90 (0.35) | 0.95 (0.32) |
//! | up or down between equal ends | 0.93 (0.87) | 0.93 (0.74) | 0.92 (0.62) |
//!
//! It is wide for smooth truths because nobody can tell them from a shoulder by two runs; a third run
//! between makes both d and g smaller. A transition that is measured (the softening onset) is never
//! crossed on a line.

use crate::belief::natural::Found;
use crate::quantity::Reading;

/// Standard deviation of the line's own error midway, as a share of the difference of both ends.
const OF_DIFFERENCE: f64 = 0.25;

/// The way from the first group's condition to the second's.
#[derive(Clone, Copy, Debug)]
pub(super) struct Way {
    /// Where the asked condition lies, 0 to 1.
    pub(super) share: f64,
    /// Whether the property can only rise (`true`) or only fall along the way; `None` where neither
    /// can be said.
    pub(super) rising: Option<bool>,
    /// How far the curve through further groups lies above the line, natural scale.
    pub(super) bend: f64,
    /// Standard deviation midway where both ends are equal, natural scale.
    pub(super) wander: f64,
    /// Standard deviation of `share` itself.
    pub(super) share_sd: f64,
}

/// What was made of two groups.
#[derive(Clone, Debug)]
pub(super) struct Between<'a> {
    /// Readings, and whether each stands at the second condition.
    pub(super) picks: Vec<(Found<'a>, bool)>,
    /// Share of the second group, where both hold exact readings.
    pub(super) share: Option<f64>,
    /// One standard deviation added for the line, natural scale.
    pub(super) allowance: f64,
}

/// Mean of the exact readings; `None` where there are none.
pub(super) fn exact_mean(group: &[Found<'_>]) -> Option<f64> {
    let mut n = 0.0;
    let mut sum = 0.0;
    for f in group.iter().filter(|f| f.y.is_exact()) {
        n += 1.0;
        sum += f.y.as_exact();
    }
    (n > 0.0).then(|| sum / n)
}

fn figure_mean(group: &[Found<'_>]) -> f64 {
    group.iter().map(|f| f.y.as_exact()).sum::<f64>() / group.len().max(1) as f64
}

/// Standard deviations by which a carried bound is taken back: the 5 % end of the line's error.
const TAKEN_BACK: f64 = 1.645;

impl Way {
    /// The line's error per difference of the ends, and what it is without one.
    fn errors(&self) -> (f64, f64) {
        let middle = 4.0 * self.share * (1.0 - self.share);
        (
            (middle * OF_DIFFERENCE).hypot(self.share_sd),
            middle * self.wander,
        )
    }

    /// One standard deviation of the line for ends that differ by this.
    fn allowance(&self, difference: f64) -> f64 {
        let (per, least) = self.errors();
        (per * difference).hypot(least)
    }

    /// What `>= a` at the first end and `>= b` at the second leave at the least.
    ///
    /// A bound holds a weaker one of its own, and that may say more where it is far above the other
    /// end and the line between them uncertain: the best of all is taken, so that a stronger bound
    /// never says less.
    fn least(&self, a: f64, b: f64) -> f64 {
        let (per, least) = self.errors();
        let of_higher = if b > a { self.share } else { 1.0 - self.share };
        let ratio = of_higher / (TAKEN_BACK * per);
        let most = if ratio < 1.0 {
            least / per * ratio / (1.0 - ratio * ratio).sqrt()
        } else {
            f64::INFINITY
        };
        let up = (b - a).abs().min(most);
        a.min(b) + of_higher * up - TAKEN_BACK * (per * up).hypot(least)
    }

    /// Ends of the figure between two intervals.
    fn ends(&self, a: (f64, f64), b: (f64, f64)) -> Option<Reading> {
        let straight = (
            if a.0.is_finite() && b.0.is_finite() {
                self.least(a.0, b.0)
            } else {
                f64::NEG_INFINITY
            },
            if a.1.is_finite() && b.1.is_finite() {
                -self.least(-a.1, -b.1)
            } else {
                f64::INFINITY
            },
        );
        let (mut low, mut high) = straight;
        match self.rising {
            Some(false) => {
                low = low.max(b.0);
                high = high.min(a.1);
            }
            Some(true) => {
                low = low.max(a.0);
                high = high.min(b.1);
            }
            None => {}
        }
        if low >= high {
            // The readings turn against the way; what the line says is left.
            (low, high) = straight;
        }
        match (low.is_finite(), high.is_finite()) {
            (true, true) if low < high => Some(Reading::Between(low, high)),
            (true, true) => None,
            (true, false) => Some(Reading::AtLeast(low)),
            (false, true) => Some(Reading::AtMost(high)),
            (false, false) => None,
        }
    }
}

/// Whether a reading leaves a figure open.
pub(super) fn allows(r: Reading, y: f64) -> bool {
    let (low, high) = r.ends();
    low <= y && y <= high
}

/// Joins two groups; `None` where they say nothing together.
pub(super) fn between<'a>(
    first: &[Found<'a>],
    second: &[Found<'a>],
    way: &Way,
) -> Option<Between<'a>> {
    if first.is_empty() || second.is_empty() {
        return None;
    }
    let means = (exact_mean(first), exact_mean(second));
    let of = |group: &[Found<'_>], mean: Option<f64>| mean.unwrap_or_else(|| figure_mean(group));
    let difference = of(second, means.1) - of(first, means.0);
    let allowance = way.allowance(difference);
    if means.0.is_some() && means.1.is_some() {
        let moved = |f: &Found<'a>| Found {
            y: f.y.map(|y| y + way.bend),
            added: f.added + allowance * allowance,
            ..*f
        };
        let cool = first.iter().map(|f| (moved(f), false));
        let warm = second.iter().map(|f| (moved(f), true));
        return Some(Between {
            picks: cool.chain(warm).collect(),
            share: Some(way.share),
            allowance,
        });
    }
    // The side that is not exact stands for both; of two, the nearer one.
    let first_stands = match means {
        (Some(_), None) => false,
        (None, Some(_)) => true,
        _ => way.share < 0.5,
    };
    let (own, other, mean) = if first_stands {
        (first, second, means.1)
    } else {
        (second, first, means.0)
    };
    let own = by_strength(own);
    let partners: Vec<(f64, f64)> = match mean {
        Some(m) => vec![(m, m)],
        None => by_strength(other).iter().map(|f| f.y.ends()).collect(),
    };
    let picks: Vec<(Found<'a>, bool)> = own
        .iter()
        .enumerate()
        .filter_map(|(i, f)| {
            let partner = *partners.get(i).or(partners.last())?;
            let here = f.y.ends();
            let y = if first_stands {
                way.ends(here, partner)
            } else {
                way.ends(partner, here)
            }?;
            Some((Found { y, ..*f }, false))
        })
        .collect();
    (!picks.is_empty()).then_some(Between {
        picks,
        share: None,
        allowance,
    })
}

/// The strongest first: the highest of `>=`, the lowest of `<=`.
fn by_strength<'a>(group: &[Found<'a>]) -> Vec<Found<'a>> {
    let mut sorted = group.to_vec();
    let up = if sorted.iter().any(|f| matches!(f.y, Reading::AtLeast(_))) {
        -1.0
    } else {
        1.0
    };
    sorted.sort_by(|a, b| {
        (up * a.y.as_exact())
            .total_cmp(&(up * b.y.as_exact()))
            .then(a.seen.print().cmp(&b.seen.print()))
    });
    sorted
}
