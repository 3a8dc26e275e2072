//! The weight region by linear programmes: who can be best, who never, who dominates whom.

use crate::judge::judgement::Region;
use crate::judge::weights::WeightRegion;
use good_lp::{
    Expression, Solution, SolverModel, Variable, constraint, microlp, variable, variables,
};

/// Candidates looked at, in listed order: pairs grow with the square of their number.
pub(super) const MOST: usize = 100;
/// A margin above this counts as best; a tie (margin 0) counts too, so rounding must not lose it.
const TIE: f64 = 1e-9;
/// Rounds of one candidate's programme, each adding the rival that beats it most: there are
/// no more rivals than this among those looked at, and few are ever needed.
const MOST_ROUNDS: usize = 200;

/// What the region says of candidates with these values of the aims, in listed order.
///
/// A candidate can be best where some allowed weights put no other above it; a tie counts. One
/// dominates another where it is at least as good for all allowed weights and better for some.
pub(super) fn region(ids: &[&str], values: &[Vec<f64>], weights: &WeightRegion) -> Region {
    let looked_at = ids.len().min(MOST);
    let mut found = Region {
        left_out: ids.len() - looked_at,
        ..Region::default()
    };
    for (i, id) in ids.iter().enumerate().take(looked_at) {
        if margin(i, values, weights).is_none_or(|m| m >= -TIE) {
            found.can_be_best.push((*id).to_owned());
        } else {
            found.never_best.push((*id).to_owned());
        }
    }
    for a in 0..looked_at {
        for b in 0..looked_at {
            if a != b && dominates(&values[a], &values[b], weights) {
                found.dominates.push((ids[a].to_owned(), ids[b].to_owned()));
            }
        }
    }
    found
}

fn dominates(a: &[f64], b: &[f64], weights: &WeightRegion) -> bool {
    let ahead: Vec<f64> = a.iter().zip(b).map(|(x, y)| x - y).collect();
    let behind: Vec<f64> = ahead.iter().map(|d| -d).collect();
    // Never behind, and ahead somewhere.
    weights.least(&ahead) >= -TIE && weights.least(&behind) < -TIE
}

/// Largest lead that candidate `i` can have over its strongest rival for some allowed weights;
/// below 0 it is never best, 0 means best in a tie only. `None` without rivals or aims, or where
/// the programme found no answer.
///
/// Rivals enter the programme one by one, the one that beats the candidate most at the weights
/// found so far, until none beats the margin found: the answer is that of the whole programme.
pub(super) fn margin(i: usize, values: &[Vec<f64>], weights: &WeightRegion) -> Option<f64> {
    let own = values.get(i)?;
    if own.is_empty() || values.len() < 2 {
        return None;
    }
    let lead = |k: usize, w: &[f64]| -> f64 {
        own.iter()
            .zip(&values[k])
            .zip(w)
            .map(|((a, b), w)| w * (a - b))
            .sum()
    };
    let strongest = |w: &[f64]| -> (usize, f64) {
        (0..values.len())
            .filter(|k| *k != i)
            .map(|k| (k, lead(k, w)))
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .unwrap_or((i, 0.0))
    };
    if let WeightRegion::Point(w) = weights {
        return Some(strongest(w).1);
    }
    let mut rivals: Vec<usize> = Vec::new();
    let mut at = vec![1.0 / own.len() as f64; own.len()];
    let mut best = f64::INFINITY;
    for _ in 0..MOST_ROUNDS {
        let (rival, ahead) = strongest(&at);
        if ahead >= best - TIE {
            return Some(ahead);
        }
        if rivals.contains(&rival) {
            // Rounding: the programme already holds its strongest rival.
            return Some(best);
        }
        rivals.push(rival);
        let rows: Vec<Vec<f64>> = rivals
            .iter()
            .map(|k| own.iter().zip(&values[*k]).map(|(a, b)| a - b).collect())
            .collect();
        (best, at) = solve(&rows, weights)?;
    }
    Some(best)
}

/// Largest t with w . row >= t for all rows and some allowed w, and that w.
fn solve(rows: &[Vec<f64>], weights: &WeightRegion) -> Option<(f64, Vec<f64>)> {
    let n = rows.first()?.len();
    let mut vars = variables!();
    let w: Vec<Variable> = match weights {
        WeightRegion::Ranges { low, high, .. } => low
            .iter()
            .zip(high)
            .map(|(l, h)| vars.add(variable().min(*l).max(*h)))
            .collect(),
        _ => (0..n)
            .map(|_| vars.add(variable().min(0.0).max(1.0)))
            .collect(),
    };
    // Leads lie between -1 and 1, since values do.
    let t = vars.add(variable().min(-2.0).max(2.0));
    let mut model = vars.maximise(t).using(microlp);
    let sum: Expression = w.iter().copied().sum();
    model.add_constraint(constraint!(sum == 1.0));
    if let WeightRegion::Order(groups) = weights {
        for pair in groups.windows(2) {
            for a in &pair[0] {
                for b in &pair[1] {
                    let (above, below) = (*w.get(*a)?, *w.get(*b)?);
                    model.add_constraint(constraint!(above >= below));
                }
            }
        }
    }
    for row in rows {
        let lead: Expression = w.iter().zip(row).map(|(v, d)| *v * *d).sum();
        model.add_constraint(constraint!(lead >= t));
    }
    let solution = model.solve().ok()?;
    let found: Vec<f64> = w.iter().map(|v| solution.value(*v)).collect();
    // The margin is taken from the weights found, as the rows say it, not from the solver.
    let margin = rows
        .iter()
        .map(|row| row.iter().zip(&found).map(|(d, x)| d * x).sum::<f64>())
        .fold(f64::INFINITY, f64::min);
    Some((margin, found))
}
