//! What new readings changed: standings and first three of every case, which run did it, and how.

use crate::belief::{Belief, Evidence};
use crate::duty::{Duty, LimitSense, Preference};
use crate::judge::{
    Candidate, Cause, DRAWS, LimitResult, Request, Standing, in_order, judge_alone,
};
use crate::num::normal_cdf;
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

/// How many of a case's first materials are watched.
const FIRST: usize = 3;
/// 95 % quantile of the normal distribution.
const Z95: f64 = 1.644_853_626_951_472_6;
/// A chance that falls by less than this does not fall: Monte-Carlo errors are as large.
const UNMOVED: f64 = 0.005;
/// Materials judged at a time by one thread.
const AT_A_TIME: usize = 8;

/// A case as it is put to the judge.
#[derive(Clone, Copy, Debug)]
pub struct Posed<'a> {
    /// Its name.
    pub name: &'a str,
    /// Its duty.
    pub duty: &'a Duty,
    /// The preference in force.
    pub preference: &'a Preference,
}

/// Which runs made a move, found by leaving each of them out.
#[derive(Clone, Debug, PartialEq)]
pub enum Doers {
    /// Without any one of these it would not stand as it does.
    Each(Vec<String>),
    /// No one is needed: each of these alone makes the same move.
    AnyOne(Vec<String>),
    /// Leaving out one changes nothing, and none alone makes the move.
    Together(Vec<String>),
}

impl Doers {
    /// The runs.
    pub fn runs(&self) -> &[String] {
        match self {
            Doers::Each(r) | Doers::AnyOne(r) | Doers::Together(r) => r,
        }
    }
}

/// What of the governing limit's prediction moved the standing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Driver {
    /// More or better evidence, or less: what was lacking is there now, or the other way round.
    Evidence,
    /// The typical figure.
    Level,
    /// The spread alone: the typical figure by itself would not have moved it.
    SpreadAlone,
    /// The spread more than the typical figure.
    SpreadMostly,
}

/// One material that stands otherwise in a case.
#[derive(Clone, Debug, PartialEq)]
pub struct Moved {
    /// Material.
    pub material: String,
    /// Standing before.
    pub before: Standing,
    /// Standing now.
    pub after: Standing,
    /// Which runs did it.
    pub by: Doers,
    /// Whether one of them tested this material; else it moved through what materials share.
    pub own: bool,
    /// What moved it.
    pub driver: Driver,
    /// The governing limit before, and now: of a fall that of now, of a rise that of before.
    pub limit: Option<(LimitResult, LimitResult)>,
    /// The weightiest cause of now.
    pub cause: Option<Cause>,
}

impl Moved {
    /// Whether it stands worse now.
    pub fn worse(&self) -> bool {
        self.after > self.before
    }
}

/// The first of a case, where they changed.
#[derive(Clone, Debug, PartialEq)]
pub struct FirstMoved {
    /// The first three before, less the ruled out.
    pub before: Vec<String>,
    /// And now.
    pub after: Vec<String>,
    /// Which runs did it.
    pub by: Doers,
}

/// What changed in one case.
#[derive(Clone, Debug, PartialEq)]
pub struct CaseMoves {
    /// Name of the case.
    pub case: String,
    /// Standings that changed, in the order of now.
    pub moves: Vec<Moved>,
    /// The first three, where they changed.
    pub first: Option<FirstMoved>,
}

/// Evidence before and after some runs, and how to leave some of them out.
#[derive(Clone, Copy)]
pub struct Change<'a> {
    /// Before.
    pub before: &'a Evidence,
    /// After.
    pub after: &'a Evidence,
    /// The runs that were added (or set aside, or taken in again).
    pub runs: &'a [String],
    /// The evidence as it would be had these of the runs not changed.
    pub without: &'a (dyn Fn(&[String]) -> Evidence + Sync),
}

/// What changed in every case that changed, in the order given.
///
/// Each candidate's figures are its own, so standings are those of the whole shortlist. Which runs did it is
/// found by leaving each out and judging again; where leaving out one changes nothing, by each alone.
pub fn moves(
    posed: &[Posed<'_>],
    among: &[String],
    change: Change<'_>,
    seed: u64,
) -> Vec<CaseMoves> {
    let mut left_out = LeftOut {
        change,
        kept: BTreeMap::new(),
    };
    posed
        .iter()
        .filter_map(|p| case_moves(p, among, change, seed, &mut left_out))
        .collect()
}

/// Evidence with some runs left out, each made once.
struct LeftOut<'a> {
    change: Change<'a>,
    kept: BTreeMap<Vec<String>, Evidence>,
}

impl LeftOut<'_> {
    fn without(&mut self, runs: Vec<String>) -> &Evidence {
        let make = self.change.without;
        self.kept.entry(runs).or_insert_with_key(|k| make(k))
    }
}

fn judged(
    posed: &Posed<'_>,
    evidence: &Evidence,
    materials: &[String],
    seed: u64,
) -> Vec<Candidate> {
    materials
        .par_chunks(AT_A_TIME)
        .flat_map_iter(|among| {
            judge_alone(&Request {
                duty: posed.duty,
                evidence,
                among,
                preference: posed.preference,
                seed,
                draws: DRAWS,
            })
        })
        .collect()
}

fn first_of(candidates: &[Candidate]) -> Vec<String> {
    let mut sorted = candidates.to_vec();
    in_order(&mut sorted);
    sorted
        .into_iter()
        .filter(|c| c.standing != Standing::RuledOut)
        .take(FIRST)
        .map(|c| c.material)
        .collect()
}

fn case_moves(
    posed: &Posed<'_>,
    among: &[String],
    change: Change<'_>,
    seed: u64,
    left_out: &mut LeftOut<'_>,
) -> Option<CaseMoves> {
    let touched: Vec<String> = among
        .iter()
        .filter(|m| touches(posed.duty, change, m))
        .cloned()
        .collect();
    if touched.is_empty() {
        return None;
    }
    let before = judged(posed, change.before, among, seed);
    let again = judged(posed, change.after, &touched, seed);
    let mut after = before.clone();
    for now in again {
        if let Some(slot) = after.iter_mut().find(|c| c.material == now.material) {
            *slot = now;
        }
    }
    let moved: Vec<(&Candidate, &Candidate)> = before
        .iter()
        .zip(&after)
        .filter(|(b, a)| b.standing != a.standing)
        .collect();
    let (first_before, first_after) = (first_of(&before), first_of(&after));
    let first_moved = first_before != first_after;
    if moved.is_empty() && !first_moved {
        return None;
    }

    let watched: BTreeSet<&String> = moved
        .iter()
        .map(|(_, a)| &a.material)
        .chain(
            first_before
                .iter()
                .chain(&first_after)
                .filter(|_| first_moved),
        )
        .collect();
    let mut trials = Trials {
        posed,
        watched: watched.into_iter().cloned().collect(),
        seed,
        left_out,
        judged: BTreeMap::new(),
    };
    let mut moves: Vec<Moved> = moved
        .into_iter()
        .map(|(b, a)| {
            let stands = |of: &[Candidate]| {
                let found = of.iter().find(|c| c.material == a.material);
                found.is_some_and(|c| c.standing == a.standing)
            };
            let by = trials.doers(&stands);
            Moved {
                material: a.material.clone(),
                before: b.standing,
                after: a.standing,
                own: change.after.runs().iter().any(|r| {
                    by.runs().contains(&r.run.id)
                        && r.run.material.as_deref() == Some(a.material.as_str())
                }),
                by,
                driver: driver(b, a),
                limit: governing_pair(b, a),
                cause: a.causes.first().cloned(),
            }
        })
        .collect();
    moves.sort_by_key(|m| m.after);
    let first = first_moved.then(|| FirstMoved {
        by: trials.doers(&|of| first_of(of) == first_after),
        before: first_before,
        after: first_after,
    });
    Some(CaseMoves {
        case: posed.name.to_owned(),
        moves,
        first,
    })
}

/// The watched candidates of a case with some of the runs left out.
struct Trials<'t, 'p, 'a> {
    posed: &'t Posed<'p>,
    watched: Vec<String>,
    seed: u64,
    left_out: &'t mut LeftOut<'a>,
    /// By what is left out.
    judged: BTreeMap<Vec<String>, Vec<Candidate>>,
}

impl Trials<'_, '_, '_> {
    fn without(&mut self, runs: Vec<String>) -> &[Candidate] {
        let (posed, watched, seed) = (self.posed, &self.watched, self.seed);
        let left_out = &mut *self.left_out;
        self.judged
            .entry(runs)
            .or_insert_with_key(|runs| judged(posed, left_out.without(runs.clone()), watched, seed))
    }

    /// Which runs did what `same` sees in the candidates of now; each alone is tried only where
    /// leaving out one changes nothing.
    fn doers(&mut self, same: &dyn Fn(&[Candidate]) -> bool) -> Doers {
        let runs = self.left_out.change.runs;
        if let [only] = runs {
            return Doers::Each(vec![only.clone()]);
        }
        let needed = |run: &&String| !same(self.without(vec![(*run).clone()]));
        let needed: Vec<String> = runs.iter().filter(needed).cloned().collect();
        if !needed.is_empty() {
            return Doers::Each(needed);
        }
        let alone = |run: &&String| {
            let others = runs.iter().filter(|r| r != run).cloned().collect();
            same(self.without(others))
        };
        let alone: Vec<String> = runs.iter().filter(alone).cloned().collect();
        if alone.is_empty() {
            Doers::Together(runs.to_vec())
        } else {
            Doers::AnyOne(alone)
        }
    }
}

/// Whether anything that a duty asks of a material is believed otherwise now.
fn touches(duty: &Duty, change: Change<'_>, material: &str) -> bool {
    duty.asks.iter().any(|ask| {
        let was = change.before.believe(material, ask);
        let is = change.after.believe(material, ask);
        !alike(&was, &is)
    })
}

/// Whether two beliefs of one ask say the same, as far as any answer can tell.
fn alike(a: &Belief, b: &Belief) -> bool {
    let figures = |x: &Belief| [0.05, 0.5, 0.95].map(|p| (x.mean_quantile(p), x.next_quantile(p)));
    let exact = match (a.as_exact.as_deref(), b.as_exact.as_deref()) {
        (Some(x), Some(y)) => figures(x) == figures(y),
        (None, None) => true,
        _ => false,
    };
    exact
        && a.grade == b.grade
        && a.specimens == b.specimens
        && a.prints == b.prints
        && a.side == b.side
        && a.notes == b.notes
        && a.on_line == b.on_line
        && a.bias == b.bias
        && figures(a) == figures(b)
}

/// The limit that speaks for a move, before and now.
fn governing_pair(before: &Candidate, after: &Candidate) -> Option<(LimitResult, LimitResult)> {
    let speaks = if after.standing > before.standing {
        after
    } else {
        before
    };
    let id = speaks.causes.iter().find_map(Cause::limit).or_else(|| {
        let least = |a: &&LimitResult, b: &&LimitResult| {
            a.chance.unwrap_or(0.0).total_cmp(&b.chance.unwrap_or(0.0))
        };
        speaks.limits.iter().min_by(least).map(|l| l.id.as_str())
    })?;
    let of = |c: &Candidate| c.limits.iter().find(|l| l.id == id).cloned();
    Some((of(before)?, of(after)?))
}

fn driver(before: &Candidate, after: &Candidate) -> Driver {
    let Some((was, is)) = governing_pair(before, after) else {
        return Driver::Evidence;
    };
    let unknown = Standing::NotKnown;
    if before.standing == unknown || after.standing == unknown {
        return Driver::Evidence;
    }
    let (Some(a), Some(b)) = (Shape::of(&was), Shape::of(&is)) else {
        return Driver::Evidence;
    };
    let start = a.chance(&was.sense);
    let by_level = Shape {
        spread: a.spread,
        ..b
    }
    .chance(&was.sense)
        - start;
    let by_spread = Shape {
        spread: b.spread,
        ..a
    }
    .chance(&was.sense)
        - start;
    let turn = if after.standing > before.standing {
        -1.0
    } else {
        1.0
    };
    let (by_level, by_spread) = (turn * by_level, turn * by_spread);
    if by_spread > UNMOVED && by_level < UNMOVED {
        Driver::SpreadAlone
    } else if by_spread > by_level {
        Driver::SpreadMostly
    } else {
        Driver::Level
    }
}

/// A prediction as a normal distribution, of logarithms where all is positive.
#[derive(Clone, Copy)]
struct Shape {
    log: bool,
    centre: f64,
    spread: f64,
}

impl Shape {
    fn of(l: &LimitResult) -> Option<Self> {
        let p = l.predicted?;
        let (a, b) = match l.sense {
            LimitSense::AtLeast(x) | LimitSense::AtMost(x) => (x, x),
            LimitSense::Between(a, b) => (a, b),
        };
        let log = p.low > 0.0 && a > 0.0 && b > 0.0;
        let t = |x: f64| if log { x.ln() } else { x };
        Some(Shape {
            log,
            centre: t(p.median),
            spread: (t(p.high) - t(p.low)) / (2.0 * Z95),
        })
        .filter(|s| s.spread > 0.0 && s.centre.is_finite())
    }

    /// Chance of meeting a bound.
    fn chance(self, sense: &LimitSense) -> f64 {
        let t = |x: f64| if self.log { x.ln() } else { x };
        let below = |x: f64| normal_cdf((t(x) - self.centre) / self.spread);
        match *sense {
            LimitSense::AtLeast(x) => 1.0 - below(x),
            LimitSense::AtMost(x) => below(x),
            LimitSense::Between(a, b) => below(b) - below(a),
        }
    }
}
