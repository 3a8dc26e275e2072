//! How often intervals hold the true mean and the next part.

use crate::simulate::catalog::{HARDNESS, IMPACT, TENSILE, Tested, Tests, Tried, draw};
use crate::simulate::dice::Dice;
use crate::simulate::tally::Share;
use crate::simulate::world::{Typical, World};
use dutyfit::belief::{Evidence, Grade, Note};
use dutyfit::property::Ask;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// What an interval rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Rests {
    /// Own readings without bounds, specimens by print.
    Exact(&'static [usize]),
    /// Readings of a rig with an end, none of which met it.
    Within,
    /// Readings on a gauge whose step is wider than the spread, said by a note of the belief.
    Coarse,
    /// Some readings exact, some bounds.
    Mixed,
    /// Bounds alone.
    Bounds,
    /// A stated value.
    Stated,
    /// The polymer.
    Borrowed,
}

impl Rests {
    /// For the tables.
    pub(crate) fn title(self) -> String {
        match self {
            Rests::Exact(&[n]) => format!("measured, one print, n = {n}"),
            Rests::Exact(prints) => {
                let n: Vec<String> = prints.iter().map(usize::to_string).collect();
                format!("measured, {} prints, n = {}", prints.len(), n.join(" + "))
            }
            Rests::Within => "measured, hammer that none met".to_owned(),
            Rests::Coarse => "measured, gauge coarser than the spread".to_owned(),
            Rests::Mixed => "measured, some of them bounds".to_owned(),
            Rests::Bounds => "bounded".to_owned(),
            Rests::Stated => "stated".to_owned(),
            Rests::Borrowed => "borrowed".to_owned(),
        }
    }
}

/// One print of 1, 2, 3, 5 and 10 specimens, and two and three prints.
pub(crate) const EXACT: [Tested; 7] = [
    Tested::Prints(&[1]),
    Tested::Prints(&[2]),
    Tested::Prints(&[3]),
    Tested::Prints(&[5]),
    Tested::Prints(&[10]),
    Tested::Prints(&[3, 3]),
    Tested::Prints(&[2, 2, 2]),
];

/// Coverage of one kind of evidence.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Covered {
    pub(crate) mean_50: Share,
    pub(crate) mean_90: Share,
    pub(crate) next_50: Share,
    pub(crate) next_90: Share,
}

/// Coverage by what intervals rest on.
pub(crate) type Table = BTreeMap<Rests, Covered>;

/// Size of a run.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Size {
    /// Catalogs for each seed.
    pub(crate) catalogs: usize,
    /// Materials of a catalog for each way of testing.
    pub(crate) each: usize,
}

/// Coverage over whole catalogs: every way of testing, a data sheet and nothing, for these properties.
pub(crate) fn whole(world: &World, tests: &[Tests], seeds: &[u64], size: Size) -> Table {
    let mut tested: Vec<Tested> = Vec::new();
    for _ in 0..size.each {
        tested.extend(EXACT);
        tested.extend([Tested::Stated, Tested::Untested]);
    }
    over(seeds, size.catalogs, |dice| {
        count(world, tests, &tested, dice)
    })
}

/// Coverage where no other material was ever tested: the table's spread, with its four degrees of
/// freedom, is then the truth too.
pub(crate) fn alone(seeds: &[u64], catalogs: usize) -> Table {
    let world = World {
        alike: 4.0,
        typical: Typical::Table,
        ..World::default()
    };
    over(seeds, catalogs, |dice| {
        let mut sums = BTreeMap::new();
        for tested in EXACT {
            for (cell, sum) in count(&world, &[TENSILE, HARDNESS], &[tested], dice) {
                sums.insert(cell, sum);
            }
        }
        sums
    })
}

/// Sums of one catalog: hits of the four intervals, and their number.
type Sums = BTreeMap<Rests, ([f64; 4], f64)>;

fn over(seeds: &[u64], catalogs: usize, one: impl Fn(&mut Dice) -> Sums + Sync) -> Table {
    let jobs: Vec<(u64, usize)> = seeds
        .iter()
        .flat_map(|s| (0..catalogs).map(|c| (*s, c)))
        .collect();
    let all: Vec<Sums> = jobs
        .par_iter()
        .map(|(seed, c)| one(&mut Dice::new(*seed, *c)))
        .collect();
    let mut table = Table::new();
    for (cell, (hits, n)) in all.into_iter().flatten() {
        let c = table.entry(cell).or_default();
        c.mean_50.catalog(hits[0], n);
        c.mean_90.catalog(hits[1], n);
        c.next_50.catalog(hits[2], n);
        c.next_90.catalog(hits[3], n);
    }
    table
}

fn count(world: &World, tests: &[Tests], tested: &[Tested], dice: &mut Dice) -> Sums {
    let simulated = draw(world, tests, tested, dice);
    let mut sums = Sums::new();
    for t in &simulated.tried {
        if let Some((cell, hits)) = look(&simulated.evidence, t) {
            let sum = sums.entry(cell).or_default();
            for (s, h) in sum.0.iter_mut().zip(hits) {
                *s += h;
            }
            sum.1 += 1.0;
        }
    }
    sums
}

/// What one belief rests on, and what its four intervals hold of the truth: the mean or not, and
/// what share of next parts.
fn look(evidence: &Evidence, tried: &Tried) -> Option<(Rests, [f64; 4])> {
    let belief = evidence.believe(&tried.material, &Ask::room(tried.tests.property));
    let hammer = tried.tests == IMPACT;
    let coarse = belief.notes.contains(&Note::CoarseGauge);
    let cell = match (belief.grade, tried.tested, tried.bounds) {
        (Grade::Measured, _, false) if coarse => Rests::Coarse,
        (Grade::Measured, Tested::Prints(p), false) if !hammer => Rests::Exact(p),
        (Grade::Measured, _, false) => Rests::Within,
        (Grade::Measured, _, true) if hammer => Rests::Mixed,
        (Grade::Bounded, ..) if hammer => Rests::Bounds,
        (Grade::Stated, ..) => Rests::Stated,
        // The policy's scatter of materials is far wider than the simulated one on plain scales.
        (Grade::Borrowed, ..) if tried.tests != HARDNESS => Rests::Borrowed,
        _ => return None,
    };
    let truth = &tried.truth;
    let natural = |q: Option<f64>| q.map(|y| truth.scale.forward(y));
    let mut hits = [0.0; 4];
    for (k, p) in [(0, 0.25), (1, 0.05)] {
        let mean = [
            natural(belief.mean_quantile(p))?,
            natural(belief.mean_quantile(1.0 - p))?,
        ];
        let next = [
            natural(belief.next_quantile(p))?,
            natural(belief.next_quantile(1.0 - p))?,
        ];
        hits[k] = f64::from(u8::from(mean[0] <= truth.centre && truth.centre <= mean[1]));
        hits[k + 2] = truth.below(next[1]) - truth.below(next[0]);
    }
    Some((cell, hits))
}
