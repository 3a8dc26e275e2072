//! How often `fit` keeps its promise, and how often `ruled out` is wrong.

use crate::simulate::catalog::{HARDNESS, IMPACT, TENSILE, Tested, Tests, draw};
use crate::simulate::dice::Dice;
use crate::simulate::tally::Share;
use crate::simulate::world::World;
use dutyfit::duty::{Duty, Limit, LimitSense, Performance, Preference};
use dutyfit::judge::{Request, Standing, judge_alone};
use dutyfit::policy::{Class, Policy};
use dutyfit::property::{Ask, Scale};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Spread of polymers' centres in these catalogs: near each other, so that most materials lie near
/// the limit and few stand fit by a mile.
const POLYMERS_APART: f64 = 0.2;
/// How far the limit lies from the middle of the population at most, natural scale of logarithmic
/// properties.
const REACH: f64 = 0.4;
/// Points of hardness that answer to one unit of the logarithmic scale.
const POINTS: f64 = 25.0;

/// What became of a class.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Kept {
    /// Of materials that stand fit, the share of next parts that meet the limit.
    pub(crate) fit: Share,
    /// The same of those that only just stand fit: their stated chance lies in the lower half of what
    /// is left above the requirement.
    pub(crate) just: Share,
    /// Of materials whose next part truly meets the limit as often as asked, the share ruled out.
    pub(crate) ruled_out: Share,
    /// Of those with enough own readings, the share that stands fit.
    pub(crate) found: Share,
}

impl Kept {
    fn shares(&mut self) -> [&mut Share; 4] {
        [
            &mut self.fit,
            &mut self.just,
            &mut self.ruled_out,
            &mut self.found,
        ]
    }
}

/// Ways of testing that meet each class's demand, and some that do not.
const TESTED: [Tested; 9] = [
    Tested::Prints(&[1]),
    Tested::Prints(&[2]),
    Tested::Prints(&[3]),
    Tested::Prints(&[5]),
    Tested::Prints(&[3, 3]),
    Tested::Prints(&[2, 2, 2]),
    Tested::Prints(&[3, 3, 3]),
    Tested::Stated,
    Tested::Untested,
];

/// One class in one catalog: for each share of [`Kept`], the sum of its chances and their number.
type Sums = (Class, [(f64, f64); 4]);

/// A duty with one limit on one property.
pub(crate) fn duty(property: &'static str, at_least: f64, class: Class) -> Duty {
    let mut duty = Duty::default();
    let ask = duty.ask(Ask::room(property));
    duty.limits.push(Limit {
        id: "limit".to_owned(),
        title: "limit".to_owned(),
        failure: "gives way",
        class,
        sense: LimitSense::AtLeast(at_least),
        unit: "1".to_owned(),
        needs: vec![vec![ask]],
        performance: Performance::new(|i, _| i.x.first().copied().unwrap_or(f64::NAN)),
        source: "made up",
    });
    duty
}

/// Judges whole catalogs under one limit for each class and property, and compares with the truth.
pub(crate) fn kept(
    world: &World,
    seeds: &[u64],
    catalogs: usize,
    each: usize,
    draws: usize,
) -> BTreeMap<Class, Kept> {
    let world = World {
        apart: POLYMERS_APART,
        ..*world
    };
    let tested: Vec<Tested> = (0..each).flat_map(|_| TESTED).collect();
    let jobs: Vec<(u64, usize)> = seeds
        .iter()
        .flat_map(|s| (0..catalogs).map(|c| (*s, c)))
        .collect();
    let all: Vec<Vec<Sums>> = jobs
        .par_iter()
        .map(|(seed, c)| one(&world, &tested, draws, &mut Dice::new(*seed, *c)))
        .collect();
    let mut kept: BTreeMap<Class, Kept> = BTreeMap::new();
    for (class, sums) in all.into_iter().flatten() {
        let k = kept.entry(class).or_default();
        for (share, (hits, n)) in k.shares().into_iter().zip(sums) {
            share.catalog(hits, n);
        }
    }
    kept
}

fn one(world: &World, tested: &[Tested], draws: usize, dice: &mut Dice) -> Vec<Sums> {
    let tests: [Tests; 3] = [TENSILE, IMPACT, HARDNESS];
    let simulated = draw(world, &tests, tested, dice);
    let among: Vec<String> = simulated
        .evidence
        .materials()
        .iter()
        .map(|m| m.id.clone())
        .collect();
    let policy = Policy::default();
    let mut out = Vec::new();
    for class in Class::ALL {
        let rule = policy.rule(class);
        let mut sums = [(0.0, 0.0); 4];
        for t in tests {
            let at = t.middle + REACH * dice.between(-1.0, 1.0) * per(t.scale);
            let limit = t.scale.back(at);
            let duty = duty(t.property, limit, class);
            let judged = judge_alone(&Request {
                duty: &duty,
                evidence: &simulated.evidence,
                among: &among,
                preference: &Preference::Points(BTreeMap::new()),
                seed: 1,
                draws,
            });
            for c in &judged {
                let Some(tried) = simulated
                    .tried
                    .iter()
                    .find(|x| x.material == c.material && x.tests == t)
                else {
                    continue;
                };
                let meets = tried.truth.reaches(limit);
                let fit = c.standing == Standing::Fit;
                if fit {
                    sums[0].0 += meets;
                    sums[0].1 += 1.0;
                    let half = 0.5 * (1.0 + rule.chance);
                    if c.meets_all.is_some_and(|p| p < half) {
                        sums[1].0 += meets;
                        sums[1].1 += 1.0;
                    }
                }
                if meets >= rule.chance {
                    sums[2].0 += f64::from(u8::from(c.standing == Standing::RuledOut));
                    sums[2].1 += 1.0;
                    if enough(tried.tested, rule.specimens, rule.prints) {
                        sums[3].0 += f64::from(u8::from(fit));
                        sums[3].1 += 1.0;
                    }
                }
            }
        }
        out.push((class, sums));
    }
    out
}

/// One unit of the logarithmic scale on this scale.
fn per(scale: Scale) -> f64 {
    match scale {
        Scale::Log => 1.0,
        Scale::Plain => POINTS,
    }
}

/// Whether a material was tested as a class asks.
fn enough(tested: Tested, specimens: u32, prints: u32) -> bool {
    let Tested::Prints(p) = tested else {
        return false;
    };
    let n: usize = p.iter().sum();
    n >= specimens.max(1) as usize && p.len() >= prints.max(1) as usize
}
