//! Which of two materials lies higher, and what more testing would tell.
//!
//! Two beliefs of one property are mixtures of normals on its natural scale: over the ratio of prints,
//! the spread, and where bounds count the centre. The chance that one lies above the other is a double
//! sum of normal tails, without random draws. A calibration that both were read under moves both: only
//! the difference of its slopes counts, so that it cancels where both hang on it alike (JCGM 100, 5.2.2).
//! With own exact readings and nothing pooled it is the Behrens-Fisher posterior of the textbook (checked
//! in the published cases).

use crate::belief::believed::Inner;
use crate::belief::distribution::{Centre, Distribution, Of};
use crate::belief::{Belief, Grade};
use crate::bench::{Bias, BiasKind};
use crate::num::{normal_cdf, t_cdf};
use crate::property::Scale;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// A difference of means is told where its chance is at least this, or at most one less this.
pub const TOLD: f64 = 0.95;
/// Most further prints, or specimens of the prints there are, that are looked for.
const MOST: u32 = 60;

/// What of two materials is held against each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Compared {
    /// Their means.
    Means,
    /// One next part of each.
    Parts,
}

/// What would tell two means apart, if difference and scatter are what they are estimated at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "kind")]
pub enum Further {
    /// They are told apart already.
    Told,
    /// This many further specimens of the prints there are, for each material, and so many prints.
    More {
        /// Further specimens for each, of the prints there are; `None` where none would do.
        same_prints: Option<u32>,
        /// Further prints for each; `None` where more than sixty would be needed.
        prints: Option<u32>,
        /// Specimens of each such print.
        specimens: u32,
    },
    /// No number would: what their calibrations, curves or lines leave open is too large.
    Never,
    /// Bounds say too little of the difference to foretell it.
    Bounds,
}

/// What one belief brings to a plan.
struct Known {
    at: f64,
    /// Variance within a print, and between prints over it.
    s2: f64,
    ratio: f64,
    /// Variance that no specimen takes away.
    left: f64,
    dof: f64,
    specimens: f64,
    prints: f64,
}

impl Belief {
    /// Chance that this material's mean, or next part, lies above the other's; what is level counts half.
    ///
    /// `None` where either is absent. Both must be of one property.
    pub fn chance_above(&self, other: &Belief, of: Compared) -> Option<f64> {
        let (a, b) = (self.normals(of)?, other.normals(of)?);
        let bias = bias_apart(&self.bias, &other.bias);
        let mut chance = 0.0;
        for (w, at, sd) in &a {
            for (v, under, other_sd) in &b {
                let spread = (sd * sd + other_sd * other_sd + bias).sqrt();
                let below = if spread > 0.0 {
                    normal_cdf((at - under) / spread)
                } else {
                    // Infinities of one sign are level.
                    match at.partial_cmp(under) {
                        Some(std::cmp::Ordering::Greater) => 1.0,
                        Some(std::cmp::Ordering::Less) => 0.0,
                        _ => 0.5,
                    }
                };
                chance += w * v * below;
            }
        }
        let total: f64 = a.iter().map(|p| p.0).sum::<f64>() * b.iter().map(|p| p.0).sum::<f64>();
        let chance = chance / total;
        chance.is_finite().then_some(chance.clamp(0.0, 1.0))
    }

    /// Whether own readings, exact or bounds, stand behind it.
    pub fn is_own(&self) -> bool {
        self.specimens > 0 && self.grade >= Grade::Bounded
    }

    /// Calibrations that both were read under and that move both.
    pub fn shared_calibrations(&self, other: &Belief) -> Vec<String> {
        let mut shared: Vec<String> = self
            .bias
            .iter()
            .filter(|b| other.bias.iter().any(|o| o.calibration == b.calibration))
            .map(|b| b.calibration.to_string())
            .collect();
        shared.sort();
        shared.dedup();
        shared
    }

    /// Weights, places and deviations of its normals on the natural scale, without rig bias.
    fn normals(&self, of: Compared) -> Option<Vec<(f64, f64, f64)>> {
        let d = match &self.inner {
            Inner::Absent => return None,
            Inner::Known(y) => return Some(vec![(1.0, self.scale.forward(self.share * y), 0.0)]),
            Inner::Spread(_) if self.share <= 0.0 => {
                return Some(vec![(1.0, self.scale.forward(0.0), 0.0)]);
            }
            Inner::Spread(d) => d,
        };
        let of = match of {
            Compared::Means => Of::Mean,
            Compared::Parts => Of::Part,
        };
        let share = self.share;
        let placed = d
            .normals(of)
            .into_iter()
            .map(|(w, at, sd)| match self.scale {
                Scale::Log => (w, at + share.ln(), sd),
                Scale::Plain => (w, share * at, share * sd),
            });
        Some(placed.collect())
    }

    fn estimated(&self) -> Option<Known> {
        let Inner::Spread(d) = &self.inner else {
            return None;
        };
        known_of(d, self)
    }
}

fn known_of(d: &Distribution, b: &Belief) -> Option<Known> {
    if b.specimens == 0 || b.share < 1.0 {
        return None;
    }
    let (mut at, mut s2, mut ratio, mut left) = (0.0, 0.0, 0.0, d.shared);
    for n in d.nodes() {
        let Centre::Normal { at: a, own, .. } = &n.centre else {
            return None;
        };
        at += n.weight * a;
        s2 += n.weight * n.s * n.s;
        ratio += n.weight * n.ratios.prints;
        left += n.weight * own;
    }
    Some(Known {
        at,
        s2,
        ratio,
        left,
        dof: d.chi.dof(),
        specimens: f64::from(b.specimens),
        prints: f64::from(b.prints.max(1)),
    })
}

impl Known {
    /// Variance of the mean with `more` further specimens spread over the prints there are, and `prints`
    /// further prints of `each` specimens; prints are taken as even.
    fn mean_variance(&self, more: f64, prints: f64, each: f64) -> f64 {
        let of_print = |n: f64| self.s2 * (self.ratio + 1.0 / n);
        let mut weight = self.prints / of_print((self.specimens + more) / self.prints);
        if prints > 0.0 {
            weight += prints / of_print(each);
        }
        1.0 / weight
    }
}

/// What would tell the means of two materials apart; further prints have `each` specimens (1 or more).
///
/// The chance foretold is Student's t at the present difference over the standard error that the plan
/// leaves, with the present degrees of freedom and one more a further specimen: right on the average
/// if difference and scatter are what they are estimated at (ours; derived from the balanced model).
pub fn further(a: &Belief, b: &Belief, each: u32) -> Further {
    let told = a
        .chance_above(b, Compared::Means)
        .is_some_and(|p| !(1.0 - TOLD..=TOLD).contains(&p));
    if told {
        return Further::Told;
    }
    let (Some(x), Some(y)) = (a.estimated(), b.estimated()) else {
        return Further::Bounds;
    };
    let apart = (x.at - y.at).abs();
    let left = x.left + y.left + bias_apart(&a.bias, &b.bias);
    let each_f = f64::from(each.max(1));
    let enough = |more: f64, prints: f64| {
        let variance =
            x.mean_variance(more, prints, each_f) + y.mean_variance(more, prints, each_f) + left;
        let added = more + prints * each_f;
        // Welch and Satterthwaite: the wider side's degrees of freedom count most; the smaller is safe.
        let dof = x.dof.min(y.dof) + added;
        t_cdf(apart / variance.sqrt(), dof) >= TOLD
    };
    let first = |try_it: &dyn Fn(f64) -> bool| (1..=MOST).find(|k| try_it(f64::from(*k)));
    if !enough(0.0, 1e12) {
        return Further::Never;
    }
    Further::More {
        same_prints: first(&|k| enough(k, 0.0)),
        prints: first(&|k| enough(0.0, k)),
        specimens: each.max(1),
    }
}

/// Variance that calibrations add to a difference: of each part the square of the difference of its slopes.
fn bias_apart(a: &[Bias], b: &[Bias]) -> f64 {
    // One calibration may stand in several terms: they are summed first.
    let mut slopes: BTreeMap<(&str, BiasKind), f64> = BTreeMap::new();
    for (of, sign) in [(a, 1.0), (b, -1.0)] {
        for x in of {
            *slopes.entry((&x.calibration, x.kind)).or_default() += sign * x.slope;
        }
    }
    slopes.values().map(|s| s * s).sum()
}
