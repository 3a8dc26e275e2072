//! What is drawn for one candidate: the beliefs behind each limit and aim, and which way each acts.

use crate::belief::{Belief, Evidence, Grade, Note, Side};
use crate::duty::{Aim, Duty, Inputs, Limit, LimitSense, StandIn};
use crate::judge::sample::{Bits, DrawnLimit};
use crate::quantity::Reading;

/// The beliefs behind one formula.
#[derive(Clone, Debug)]
pub(super) struct Wired {
    /// For each need, the place of its belief in [`Plan::beliefs`].
    pub(super) picks: Vec<usize>,
    /// For each need, which alternative serves it.
    pub(super) which: Vec<u8>,
    /// Whether some need has nothing behind it.
    pub(super) absent: bool,
    /// Properties that stand in for a wanted one, and that one.
    stand_ins: Vec<(String, Note)>,
}

/// One limit, ready to be drawn.
#[derive(Clone, Debug)]
pub(super) struct LimitPlan<'a> {
    pub(super) limit: &'a Limit,
    pub(super) wired: Wired,
    /// Medians of the next part, a figure a need.
    pub(super) medians: Vec<f64>,
    /// For each need, the worse 5 % of an auxiliary property; `None` for the others.
    pub(super) worse: Vec<Option<f64>>,
    /// What the bounds among its properties say of the performance.
    pub(super) bounds: Option<Bounds>,
}

/// From which side bounds hold a performance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Bounds {
    /// The performance is at least what the bounds give when taken as exact.
    Below,
    /// It is at most that.
    Above,
    /// Bounds of both kinds, or ranges, hold it from both sides.
    Around,
    /// Neither can be said.
    Unclear,
}

/// One candidate, ready to be drawn.
#[derive(Clone, Debug)]
pub(super) struct Plan<'a> {
    /// Beliefs in use, with the property each is of.
    pub(super) beliefs: Vec<(String, Belief)>,
    pub(super) limits: Vec<LimitPlan<'a>>,
    pub(super) aims: Vec<(&'a Aim, Wired)>,
}

impl<'a> Plan<'a> {
    /// Believes what the duty asks of a material and picks what serves each need.
    pub(super) fn new(duty: &'a Duty, evidence: &Evidence, material: &str) -> Self {
        let mut asked: Vec<Option<(String, Belief)>> = vec![None; duty.asks.len()];
        for need in duty
            .limits
            .iter()
            .flat_map(|l| &l.needs)
            .chain(duty.aims.iter().flat_map(|a| &a.needs))
        {
            for &i in need {
                if let (Some(slot), Some(ask)) = (asked.get_mut(i), duty.asks.get(i))
                    && slot.is_none()
                {
                    *slot = Some((
                        ask.property.as_str().to_owned(),
                        evidence.believe(material, ask),
                    ));
                }
            }
        }
        let mut shelf = Shelf {
            asked,
            place: vec![None; duty.asks.len()],
            beliefs: Vec::new(),
            stand_ins: &duty.stand_ins,
        };
        let limits: Vec<(&Limit, Wired)> = duty
            .limits
            .iter()
            .map(|l| (l, shelf.wire(&l.needs)))
            .collect();
        let aims = duty
            .aims
            .iter()
            .map(|a| (a, shelf.wire(&a.needs)))
            .collect();
        let beliefs = shelf.beliefs;
        let limits = limits
            .into_iter()
            .map(|(limit, wired)| LimitPlan::new(limit, wired, &beliefs))
            .collect();
        Plan {
            beliefs,
            limits,
            aims,
        }
    }
}

struct Shelf<'d> {
    asked: Vec<Option<(String, Belief)>>,
    place: Vec<Option<usize>>,
    beliefs: Vec<(String, Belief)>,
    stand_ins: &'d [StandIn],
}

impl Shelf<'_> {
    /// Picks, for each need, the first alternative with own readings, else the first stated,
    /// else the first borrowed, else the first.
    fn wire(&mut self, needs: &[Vec<usize>]) -> Wired {
        let mut wired = Wired {
            picks: Vec::with_capacity(needs.len()),
            which: Vec::with_capacity(needs.len()),
            absent: false,
            stand_ins: Vec::new(),
        };
        for need in needs {
            let grade = |i: usize| {
                self.asked
                    .get(i)
                    .and_then(Option::as_ref)
                    .map_or(Grade::Absent, |b| b.1.grade)
            };
            let first = |ok: fn(Grade) -> bool| need.iter().position(|i| ok(grade(*i)));
            let alternative = first(|g| g >= Grade::Bounded)
                .or_else(|| first(|g| g == Grade::Stated))
                .or_else(|| first(|g| g == Grade::Borrowed))
                .unwrap_or(0);
            let Some(&ask) = need.get(alternative) else {
                wired.absent = true;
                continue;
            };
            let Some(pick) = self.place_of(ask) else {
                wired.absent = true;
                continue;
            };
            wired.absent |= self.beliefs[pick].1.grade == Grade::Absent;
            if let Some(told) = self.stands_in(ask, need) {
                wired.stand_ins.push(told);
            }
            wired.picks.push(pick);
            wired
                .which
                .push(u8::try_from(alternative).unwrap_or(u8::MAX));
        }
        wired
    }

    /// What is told where the ask that serves a need stands in for a wanted one of it.
    fn stands_in(&self, ask: usize, need: &[usize]) -> Option<(String, Note)> {
        let pair = self
            .stand_ins
            .iter()
            .find(|s| s.used == ask && need.contains(&s.wanted))?;
        let name = |i: usize| Some(self.asked.get(i)?.as_ref()?.0.clone());
        let wanted = name(pair.wanted)?;
        Some((name(ask)?, Note::StandsIn { wanted }))
    }

    fn place_of(&mut self, ask: usize) -> Option<usize> {
        if let Some(Some(p)) = self.place.get(ask) {
            return Some(*p);
        }
        let belief = self.asked.get(ask)?.clone()?;
        self.beliefs.push(belief);
        let p = self.beliefs.len() - 1;
        *self.place.get_mut(ask)? = Some(p);
        Some(p)
    }
}

/// Quantiles at which the way a property acts is looked at.
const LOOK_AT: [f64; 5] = [0.05, 0.25, 0.5, 0.75, 0.95];
/// Least step to each side, on the natural scale, where a belief has no spread.
const LEAST_STEP: f64 = 0.02;

impl<'a> LimitPlan<'a> {
    fn new(limit: &'a Limit, wired: Wired, beliefs: &[(String, Belief)]) -> Self {
        let n = wired.picks.len();
        if wired.absent {
            return LimitPlan {
                limit,
                wired,
                medians: vec![f64::NAN; n],
                worse: vec![None; n],
                bounds: None,
            };
        }
        let of = |j: usize| &beliefs[wired.picks[j]].1;
        let medians: Vec<f64> = (0..n)
            .map(|j| of(j).next_quantile(0.5).unwrap_or(f64::NAN))
            .collect();
        let perform = |j: usize, x: f64| {
            let mut at = medians.clone();
            at[j] = x;
            limit.performance.of(Inputs {
                x: &at,
                which: &wired.which,
            })
        };
        let worse = (0..n)
            .map(|j| {
                if !of(j).auxiliary {
                    return None;
                }
                let ends = [of(j).next_quantile(0.05)?, of(j).next_quantile(0.95)?];
                let [low, high] = ends.map(|x| margin(limit.sense, perform(j, x)));
                Some(if low <= high { ends[0] } else { ends[1] })
            })
            .collect();
        let bounds = (0..n)
            .filter(|j| of(*j).grade == Grade::Bounded)
            .filter_map(|j| {
                let looked = look(of(j)).map(|x| perform(j, x));
                bound_of(of(j).side, &looked)
            })
            .reduce(|a, b| if a == b { a } else { Bounds::Unclear });
        let bounded = (0..n).any(|j| of(j).grade == Grade::Bounded);
        LimitPlan {
            limit,
            medians,
            worse,
            bounds: if bounded {
                Some(bounds.unwrap_or(Bounds::Unclear))
            } else {
                None
            },
            wired,
        }
    }

    /// What bounds from one side say of a performance of `typical` with them taken as exact.
    pub(super) fn one_sided(&self, typical: f64) -> Option<Reading> {
        match self.bounds? {
            Bounds::Below => Some(Reading::AtLeast(typical)),
            Bounds::Above => Some(Reading::AtMost(typical)),
            Bounds::Around | Bounds::Unclear => None,
        }
    }

    /// The draws that an answer counts: with bounds from one side, those taken as exact.
    pub(super) fn shown<'d>(&self, drawn: &'d DrawnLimit) -> &'d Bits {
        match &drawn.as_exact {
            Some((met, typical)) if self.one_sided(*typical).is_some() => met,
            _ => &drawn.met,
        }
    }

    /// Whether the bounds hold the performance on the failing side of the limit, for a
    /// performance of `typical` with the bounds taken as exact.
    pub(super) fn bounds_against(&self, typical: f64) -> bool {
        match (self.bounds, self.limit.sense) {
            (Some(Bounds::Above), LimitSense::AtLeast(_))
            | (Some(Bounds::Below), LimitSense::AtMost(_)) => true,
            (Some(Bounds::Above), LimitSense::Between(a, _)) => typical < a,
            (Some(Bounds::Below), LimitSense::Between(_, b)) => typical > b,
            (Some(Bounds::Around), _) => true,
            _ => false,
        }
    }
}

/// Signed distance inside a limit, in the limit's unit; NaN counts as far outside.
pub(super) fn margin(sense: LimitSense, x: f64) -> f64 {
    let m = match sense {
        LimitSense::AtLeast(b) => x - b,
        LimitSense::AtMost(b) => b - x,
        LimitSense::Between(a, b) => (x - a).min(b - x),
    };
    if m.is_nan() { f64::NEG_INFINITY } else { m }
}

/// Rising figures of a property around its bound, to see which way a formula goes.
fn look(belief: &Belief) -> [f64; 5] {
    let exact = belief.as_exact.as_deref().unwrap_or(belief);
    let mut at = LOOK_AT.map(|p| exact.next_quantile(p).unwrap_or(f64::NAN));
    let middle = exact.scale.forward(at[2]);
    for (k, x) in at.iter_mut().enumerate() {
        let least = (k as f64 - 2.0) * LEAST_STEP * middle.abs().max(1.0);
        let there = exact.scale.forward(*x) - middle;
        if !there.is_finite() || there.abs() < least.abs() {
            *x = exact.scale.back(middle + least);
        }
    }
    at
}

/// What a bound on a property says of a performance seen at rising figures of it; `None` where
/// the property does not move it.
fn bound_of(side: Option<Side>, looked: &[f64; 5]) -> Option<Bounds> {
    let rising = looked.windows(2).all(|w| w[1] >= w[0]);
    let falling = looked.windows(2).all(|w| w[1] <= w[0]);
    Some(match (rising, falling, side) {
        (true, true, _) => return None,
        (true, false, Some(Side::AtLeast)) | (false, true, Some(Side::AtMost)) => Bounds::Below,
        (true, false, Some(Side::AtMost)) | (false, true, Some(Side::AtLeast)) => Bounds::Above,
        (true, false, Some(Side::Both)) | (false, true, Some(Side::Both)) => Bounds::Around,
        _ => Bounds::Unclear,
    })
}

/// The weakest of the non-auxiliary properties of a limit; of the auxiliary ones where there are
/// no others.
#[derive(Clone, Debug)]
pub(super) struct Basis {
    /// `Measured` where a limit rests on geometry alone.
    pub(super) grade: Grade,
    pub(super) specimens: u32,
    pub(super) prints: u32,
    /// Property of the weakest grade, of fewest specimens, of fewest prints; empty for geometry.
    pub(super) weakest: String,
    pub(super) fewest_specimens: String,
    pub(super) fewest_prints: String,
    /// Whether every property is auxiliary, or there is none.
    pub(super) nothing_own: bool,
}

/// What a formula rests on.
pub(super) fn basis(wired: &Wired, beliefs: &[(String, Belief)]) -> Basis {
    let all = || wired.picks.iter().filter_map(|p| beliefs.get(*p));
    let own = || all().filter(|b| !b.1.auxiliary);
    let name = |b: Option<&(String, Belief)>| b.map(|x| x.0.clone()).unwrap_or_default();
    let least_specimens = own().min_by_key(|b| b.1.specimens);
    let least_prints = own().min_by_key(|b| b.1.prints);
    let weakest = own()
        .min_by_key(|b| (b.1.grade, b.1.specimens, b.1.prints))
        .or_else(|| all().min_by_key(|b| b.1.grade));
    // An auxiliary property without any figure leaves nothing to be said.
    let gap = all().find(|b| b.1.grade == Grade::Absent);
    let nothing_own = own().next().is_none();
    Basis {
        grade: gap.or(weakest).map_or(
            if wired.absent {
                Grade::Absent
            } else {
                Grade::Measured
            },
            |b| b.1.grade,
        ),
        specimens: least_specimens.map_or(0, |b| b.1.specimens),
        prints: least_prints.map_or(0, |b| b.1.prints),
        weakest: name(gap.or(weakest)),
        fewest_specimens: name(least_specimens),
        fewest_prints: name(least_prints),
        nothing_own,
    }
}

/// Everything assumed on the way to a formula's figures, with the property.
pub(super) fn notes(wired: &Wired, beliefs: &[(String, Belief)]) -> Vec<(String, Note)> {
    let mut all = wired.stand_ins.clone();
    for (property, belief) in wired.picks.iter().filter_map(|p| beliefs.get(*p)) {
        for note in &belief.notes {
            let pair = (property.clone(), note.clone());
            if !all.contains(&pair) {
                all.push(pair);
            }
        }
    }
    all
}
