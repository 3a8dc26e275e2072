//! The draws: every candidate against common random numbers, block by block.

use crate::bench::BiasKind;
use crate::duty::Inputs;
use crate::judge::judgement::{
    AimResult, AimWeight, Candidate, Judgement, LimitResult, Request, Standing,
};
use crate::judge::plan::{Plan, basis, notes};
use crate::judge::rank::rank;
use crate::judge::region::region;
use crate::judge::sample::{Bits, Common, Drawn, Scratch, all_calibrations, calibrations_of, draw};
use crate::judge::standing::standing;
use crate::judge::weights::{WeightRegion, settle};
use rayon::prelude::*;
use std::collections::BTreeSet;

/// Judges all candidates of a request.
///
/// The same seed gives the same bytes whatever the thread count; leaving a
/// candidate out changes no other candidate's standing, score or chances.
pub fn judge(request: &Request<'_>) -> Judgement {
    let settled = settle(request.preference, &request.duty.aims);
    let weights = WeightRegion::new(&settled.preference, &request.duty.aims, request.seed);
    let calibrations = all_calibrations(request.evidence);
    let common = common(request, &weights, &calibrations);
    let mean_weights = common.mean_weights();

    // A candidate is judged by itself, whoever else is listed; the order of the results is
    // that of the candidates, whatever the threads do.
    let judged: Vec<(Candidate, Vec<f32>)> = request
        .among
        .par_iter()
        .map_init(Scratch::default, |scratch, material| {
            let plan = Plan::new(request.duty, request.evidence, material);
            let (candidate, drawn) =
                judge_one(request, &plan, &common, &mean_weights, material, scratch);
            let row = if candidate.standing == Standing::RuledOut {
                Vec::new()
            } else {
                drawn.row
            };
            (candidate, row)
        })
        .collect();

    let mut candidates = Vec::with_capacity(judged.len());
    let mut rows = Vec::new();
    let mut taking_part = Vec::new();
    for (i, (candidate, row)) in judged.into_iter().enumerate() {
        if candidate.standing != Standing::RuledOut {
            taking_part.push(i);
            rows.push(row);
        }
        candidates.push(candidate);
    }
    let ranked = rank(rows, request.draws);
    for ((i, share), range) in taking_part
        .iter()
        .zip(&ranked.best_share)
        .zip(&ranked.rank_range)
    {
        if let Some(c) = candidates.get_mut(*i) {
            c.best_share = *share;
            c.rank_range = Some(*range);
        }
    }
    in_order(&mut candidates);

    let region = region_of(request, &candidates, &weights);
    Judgement {
        seed: request.seed,
        draws: request.draws,
        nothing_serves: ranked.nothing,
        candidates,
        weights: request
            .duty
            .aims
            .iter()
            .zip(&mean_weights)
            .map(|(a, w)| AimWeight {
                id: a.id.clone(),
                weight: *w,
                zero: a.scale.zero,
                one: a.scale.one,
                unit: a.unit.clone(),
            })
            .collect(),
        region,
        skipped_aims: settled.skipped,
    }
}

/// Judges the candidates of a request without comparing them: standings, causes, chances and
/// scores are those of [`judge`]; shares and rank ranges are left empty.
pub fn judge_alone(request: &Request<'_>) -> Vec<Candidate> {
    let settled = settle(request.preference, &request.duty.aims);
    let weights = WeightRegion::new(&settled.preference, &request.duty.aims, request.seed);
    let plans: Vec<Plan<'_>> = request
        .among
        .iter()
        .map(|m| Plan::new(request.duty, request.evidence, m))
        .collect();
    let calibrations = plans.iter().flat_map(calibrations_of).collect();
    let common = common(request, &weights, &calibrations);
    let mean_weights = common.mean_weights();
    let mut scratch = Scratch::default();
    request
        .among
        .iter()
        .zip(&plans)
        .map(|(m, plan)| judge_one(request, plan, &common, &mean_weights, m, &mut scratch).0)
        .collect()
}

fn common(
    request: &Request<'_>,
    weights: &WeightRegion,
    calibrations: &BTreeSet<(&str, BiasKind)>,
) -> Common {
    Common::new(
        request.seed,
        request.draws,
        request.duty.aims.len(),
        weights,
        calibrations,
    )
}

/// Puts candidates in their order and ranks them: by standing, then score; the ruled out by the chance of the limit that governs, the nearest
/// first. Equals stand in the order of their ids.
pub fn in_order(candidates: &mut [Candidate]) {
    let nearest = |c: &Candidate| c.limits.iter().filter_map(|l| l.chance).fold(1.0, f64::min);
    candidates.sort_by(|a, b| {
        a.standing
            .cmp(&b.standing)
            .then(b.score.total_cmp(&a.score))
            .then(nearest(b).total_cmp(&nearest(a)))
            .then(a.material.cmp(&b.material))
    });
    for (c, place) in candidates.iter_mut().zip(1_u32..) {
        c.rank = (c.standing != Standing::RuledOut).then_some(place);
    }
}

/// What the weight region says of the fit and borderline candidates at their median performances.
fn region_of(
    request: &Request<'_>,
    candidates: &[Candidate],
    weights: &WeightRegion,
) -> crate::judge::Region {
    let near: Vec<&Candidate> = candidates
        .iter()
        .filter(|c| c.standing <= Standing::Borderline)
        .collect();
    let ids: Vec<&str> = near.iter().map(|c| c.material.as_str()).collect();
    let values: Vec<Vec<f64>> = near
        .iter()
        .map(|c| {
            c.aims
                .iter()
                .zip(&request.duty.aims)
                .map(|(r, a)| r.median.map_or(0.0, |m| a.scale.value(m)))
                .collect()
        })
        .collect();
    region(&ids, &values, weights)
}

fn judge_one(
    request: &Request<'_>,
    plan: &Plan<'_>,
    common: &Common,
    mean_weights: &[f64],
    material: &str,
    scratch: &mut Scratch,
) -> (Candidate, Drawn) {
    let drawn = draw(plan, common, scratch);
    let (standing, causes) = standing(plan, &drawn, request.evidence.policy());
    let mut all = Bits::all(common.draws);
    let mut said = true;
    let limits = plan
        .limits
        .iter()
        .zip(&drawn.limits)
        .map(|(l, d)| {
            let said_here = !l.wired.absent;
            said &= said_here;
            all.and(l.shown(d));
            let (chance, se) = d.met.share();
            let rests = basis(&l.wired, &plan.beliefs);
            LimitResult {
                id: l.limit.id.clone(),
                class: l.limit.class,
                sense: l.limit.sense,
                unit: l.limit.unit.clone(),
                predicted: d.predicted,
                bounded: d.exact().and_then(|e| l.one_sided(e.1)),
                chance: said_here.then_some(chance),
                chance_se: said_here.then_some(se),
                chance_as_exact: d.exact().map(|e| e.0),
                grade: rests.grade,
                specimens: rests.specimens,
                prints: rests.prints,
                weakest: rests.weakest,
                notes: notes(&l.wired, &plan.beliefs),
                working: if said_here {
                    let which = &l.wired.which;
                    let x = &l.medians;
                    l.limit.performance.worked(Inputs { x, which }).1
                } else {
                    Vec::new()
                },
            }
        })
        .collect();
    let aims = plan
        .aims
        .iter()
        .zip(&drawn.aims)
        .zip(mean_weights)
        .map(|(((aim, wired), d), weight)| AimResult {
            id: aim.id.clone(),
            weight: *weight,
            value: d.value,
            contribution: d.contribution,
            median: d.median,
            grade: wired
                .picks
                .iter()
                .filter_map(|p| plan.beliefs.get(*p))
                .map(|b| b.1.grade)
                .min()
                .unwrap_or(if wired.absent {
                    crate::belief::Grade::Absent
                } else {
                    crate::belief::Grade::Measured
                }),
        })
        .collect();
    let candidate = Candidate {
        material: material.to_owned(),
        standing,
        causes,
        rank: None,
        score: drawn.score,
        score_se: drawn.score_se,
        meets_all: said.then(|| all.share().0),
        best_share: 0.0,
        rank_range: None,
        limits,
        aims,
    };
    (candidate, drawn)
}
