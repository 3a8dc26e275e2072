//! How often a material that clears its limit well is found to be fit.

use crate::simulate::catalog::{TENSILE, Tested, draw};
use crate::simulate::dice::Dice;
use crate::simulate::promise::duty;
use crate::simulate::tally::Share;
use crate::simulate::world::{Rho, Typical, World};
use dutyfit::duty::Preference;
use dutyfit::judge::{Request, Standing, judge_alone};
use dutyfit::policy::Class;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Scatter of specimens of one print.
const VARIATION: f64 = 0.10;
/// True centre over what the limit asks, factors included.
const MARGIN: f64 = 1.5;
/// Materials of a catalog.
const MATERIALS: usize = 12;

/// Share of materials that stand fit at `damage`: three specimens of one print each, spreads alike
/// and so pooled, true margin 1.5.
pub(crate) fn power(seeds: &[u64], catalogs: usize, draws: usize, rho: Rho) -> Share {
    let world = World {
        alike: f64::INFINITY,
        rho,
        typical: Typical::Of(VARIATION),
        ..World::default()
    };
    let jobs: Vec<(u64, usize)> = seeds
        .iter()
        .flat_map(|s| (0..catalogs).map(|c| (*s, c)))
        .collect();
    let all: Vec<f64> = jobs
        .par_iter()
        .map(|(seed, c)| one(&world, draws, &mut Dice::new(*seed, *c)))
        .collect();
    let mut share = Share::default();
    for found in all {
        share.catalog(found, MATERIALS as f64);
    }
    share
}

/// How many of a catalog's materials stand fit, each under its own limit.
fn one(world: &World, draws: usize, dice: &mut Dice) -> f64 {
    let tested = [Tested::Prints(&[3]); MATERIALS];
    let simulated = draw(world, &[TENSILE], &tested, dice);
    let mut found = 0.0;
    for t in &simulated.tried {
        let asked = t.truth.scale.back(t.truth.centre) / MARGIN;
        let duty = duty(t.tests.property, asked, Class::Damage);
        let judged = judge_alone(&Request {
            duty: &duty,
            evidence: &simulated.evidence,
            among: std::slice::from_ref(&t.material),
            preference: &Preference::Points(BTreeMap::new()),
            seed: 1,
            draws,
        });
        if judged.iter().any(|c| c.standing == Standing::Fit) {
            found += 1.0;
        }
    }
    found
}
