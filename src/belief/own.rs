//! A belief from selected observations of the material itself.

use crate::belief::believed::{Belief, Inner};
use crate::belief::closed::{self, Exact};
use crate::belief::distribution::{Centre, Distribution};
use crate::belief::grid::{self, Base, PrintTerms};
use crate::belief::pool::Scatter;
use crate::belief::select::{Picked, Selection};
use crate::belief::{Evidence, Grade, Note, Side, select};
use crate::bench::{Bias, BiasKind};
use crate::property::Property;
use crate::quantity::Reading;
use std::collections::BTreeMap;

/// A normal opinion of the centre: where, and its variance.
#[derive(Clone, Copy, Debug)]
pub(super) struct Prior {
    /// Natural scale.
    pub(super) at: f64,
    /// Natural scale squared.
    pub(super) variance: f64,
}

/// The belief that selected observations support; `prior` is asked for where all are bounds.
///
/// `None` where nothing was selected, or bounds stand without a prior.
pub(super) fn believe(
    evidence: &Evidence,
    row: &Property,
    scatter: Scatter,
    selection: &Selection<'_>,
    key: &str,
    prior: &dyn Fn() -> Option<Prior>,
) -> Option<Belief> {
    let picks = &selection.picks;
    if picks.is_empty() {
        return None;
    }
    let mut notes = selection.notes.clone();
    let exact = picks.iter().any(|p| p.y.is_exact());
    let (distribution, coarse) = distribution(
        evidence,
        scatter,
        selection,
        if exact { None } else { prior() },
        Learn::Scatter,
    )?;
    if coarse {
        select::add_note(&mut notes, Note::CoarseGauge);
    }
    let mut b = Belief::absent(row.scale, key.to_owned());
    b.grade = if exact {
        Grade::Measured
    } else {
        Grade::Bounded
    };
    b.specimens = u32::try_from(picks.len()).unwrap_or(u32::MAX);
    let prints = picks.chunk_by(|p, q| p.print == q.print).count();
    b.prints = u32::try_from(prints).unwrap_or(u32::MAX);
    b.bias = bias(picks, selection.warm_share, scatter.rho2);
    b.notes = notes;
    b.inner = Inner::Spread(Box::new(distribution));
    if !exact {
        b.side = side(picks);
        b.as_exact = taken_as_exact(evidence, scatter, selection, &b).map(Box::new);
    }
    Some(b)
}

/// The share of next parts at which the strongest bounds are chosen: the mildest requirement above
/// nuisance is met by this many parts of a hundred.
const STRONGEST_AT: f64 = 0.90;

/// `bounded` with its bounds taken as exact readings.
///
/// Bounds say where tests ended, not how specimens scatter: the spread is the pool's alone. Where all
/// bounds are of one side, k specimens that reached at least b count as k readings of b, for the k that
/// says most; so a stronger bound never says less, and a weak one beside it takes nothing away.
/// Ranges, and bounds of both sides, are taken at their figures.
fn taken_as_exact(
    evidence: &Evidence,
    scatter: Scatter,
    selection: &Selection<'_>,
    bounded: &Belief,
) -> Option<Belief> {
    let made = |picks: Vec<Picked<'_>>| {
        let bias = bias(&picks, selection.warm_share, scatter.rho2);
        let taken = Selection {
            picks,
            ..selection.clone()
        };
        let (d, _) = distribution(evidence, scatter, &taken, None, Learn::Nothing)?;
        Some(Belief {
            bias,
            inner: Inner::Spread(Box::new(d)),
            as_exact: None,
            ..bounded.clone()
        })
    };
    let whole: Vec<Picked<'_>> = selection
        .picks
        .iter()
        .map(|p| Picked {
            y: Reading::Exact(p.y.as_exact()),
            ..p.clone()
        })
        .collect();
    let one_side = matches!(bounded.side, Some(Side::AtLeast | Side::AtMost));
    if selection.warm_share.is_some() || !one_side {
        return made(whole);
    }
    let rising = bounded.side == Some(Side::AtLeast);
    let mut levels: Vec<f64> = whole.iter().map(|p| p.y.as_exact()).collect();
    levels.sort_by(f64::total_cmp);
    levels.dedup();
    levels
        .into_iter()
        .filter_map(|level| {
            let reached = whole
                .iter()
                .filter(|p| {
                    let y = p.y.as_exact();
                    if rising { y >= level } else { y <= level }
                })
                .map(|p| Picked {
                    y: Reading::Exact(level),
                    ..p.clone()
                })
                .collect();
            let b = made(reached)?;
            let says = if rising {
                b.next_quantile(1.0 - STRONGEST_AT)?
            } else {
                -b.next_quantile(STRONGEST_AT)?
            };
            Some((says, b))
        })
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, b)| b)
}

/// Number of each pick's print.
fn print_numbers(picks: &[Picked<'_>]) -> Vec<usize> {
    let mut numbers = Vec::with_capacity(picks.len());
    for (i, print) in picks.chunk_by(|p, q| p.print == q.print).enumerate() {
        numbers.extend(print.iter().map(|_| i));
    }
    numbers
}

fn exact_readings(picks: &[Picked<'_>], keep: impl Fn(&Picked<'_>) -> bool) -> Vec<Exact> {
    picks
        .iter()
        .zip(print_numbers(picks))
        .filter_map(|(p, print)| match p.y {
            Reading::Exact(y) if keep(p) => Some(Exact {
                y,
                print,
                warm: p.warm,
            }),
            _ => None,
        })
        .collect()
}

/// Whether the readings' own scatter counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Learn {
    /// It joins the pool's.
    Scatter,
    /// The pool's stands alone.
    Nothing,
}

/// The distribution, and whether coarse readings entered as ranges.
fn distribution(
    evidence: &Evidence,
    scatter: Scatter,
    selection: &Selection<'_>,
    prior: Option<Prior>,
    learn: Learn,
) -> Option<(Distribution, bool)> {
    let (picks, warm_share) = (&selection.picks, selection.warm_share);
    let n = picks.len() as f64;
    // The variance of a rounding error is a twelfth of its step squared (JCGM 100, 4.3.7).
    let floor = picks.iter().map(|p| p.resolution.powi(2)).sum::<f64>() / (12.0 * n);
    let spread = |f: Option<&closed::Fit>| {
        let (squares, dof) = f
            .filter(|_| learn == Learn::Scatter)
            .map_or((0.0, 0.0), |f| (f.squares, f.dof));
        let dof = scatter.dof + dof;
        let held = scatter.dof * scatter.variance.max(floor);
        (((held + squares) / dof).max(floor), dof)
    };
    let all = exact_readings(picks, |_| true);
    let whole = closed::fit(&all, scatter.rho2, warm_share);
    let (variance, _) = spread(whole.as_ref());
    let s = variance.sqrt();
    let is_coarse = |p: &Picked<'_>| warm_share.is_none() && p.y.is_exact() && p.resolution > s;
    let coarse = picks.iter().any(is_coarse);
    let bounded = picks.iter().any(|p| !p.y.is_exact());
    let fine = if coarse {
        closed::fit(
            &exact_readings(picks, |p| !is_coarse(p)),
            scatter.rho2,
            warm_share,
        )
    } else {
        whole
    };
    let (variance, dof) = spread(fine.as_ref());
    let s = variance.sqrt();
    let chi = evidence.chi(dof);
    let shared = shared_variance(picks, warm_share, scatter.rho2);
    let centre = match &fine {
        Some(f) if !coarse && !bounded => Centre::Normal {
            at: f.at,
            per_s2: f.per_s2,
            own: 0.0,
        },
        _ => {
            let base = match (&fine, prior) {
                (Some(f), _) => Base::Normal {
                    at: f.at,
                    per_s2: f.per_s2,
                    own: 0.0,
                },
                (None, Some(p)) => Base::Normal {
                    at: p.at,
                    per_s2: 0.0,
                    own: p.variance,
                },
                (None, None) => Base::Flat,
            };
            let carry = fine.as_ref().map_or([0.0; 2], |f| f.carry);
            let terms = print_terms(picks, &is_coarse, carry);
            Centre::Grid(grid::centre(base, &terms, s, &chi, scatter.rho2)?)
        }
    };
    Some((
        Distribution {
            s,
            chi,
            rho2: scatter.rho2,
            centre,
            shared,
        },
        coarse,
    ))
}

/// Bounds, ranges and coarse readings by print. In an interpolation both temperatures are carried
/// along the line of the exact readings to the asked one.
fn print_terms(
    picks: &[Picked<'_>],
    is_coarse: &impl Fn(&Picked<'_>) -> bool,
    carry: [f64; 2],
) -> Vec<PrintTerms> {
    picks
        .chunk_by(|p, q| p.print == q.print)
        .map(|print| {
            let mut t = PrintTerms::default();
            for p in print {
                let by = carry[usize::from(p.warm)];
                match p.y {
                    Reading::Exact(y) if is_coarse(p) => {
                        let half = 0.5 * p.resolution;
                        t.push(Reading::Between(y - half, y + half));
                    }
                    Reading::Exact(y) => {
                        t.exact += 1.0;
                        t.mean += y + by;
                    }
                    bound => t.push(bound.map(|y| y + by)),
                }
            }
            if t.exact > 0.0 {
                t.mean /= t.exact;
            }
            t
        })
        .filter(|t| !t.bounds.is_empty())
        .collect()
}

/// Weight of each pick in the mean: of the exact ones where there are any, else even.
fn weights(picks: &[Picked<'_>], warm_share: Option<f64>, rho2: f64) -> Vec<f64> {
    match closed::fit(&exact_readings(picks, |_| true), rho2, warm_share) {
        Some(f) => {
            let mut w = f.weights.into_iter();
            picks
                .iter()
                .map(|p| {
                    if p.y.is_exact() {
                        w.next().unwrap_or(0.0)
                    } else {
                        0.0
                    }
                })
                .collect()
        }
        None => vec![1.0 / picks.len() as f64; picks.len()],
    }
}

/// The error of reading curves past their end is one material's, not one specimen's: it is shared.
fn shared_variance(picks: &[Picked<'_>], warm_share: Option<f64>, rho2: f64) -> f64 {
    if picks.iter().all(|p| p.added <= 0.0) {
        return 0.0;
    }
    let sd: f64 = weights(picks, warm_share, rho2)
        .iter()
        .zip(picks)
        .map(|(w, p)| w * p.added.max(0.0).sqrt())
        .sum();
    sd * sd
}

/// Bias terms of the mean: the weighted slopes of each calibration part.
fn bias(picks: &[Picked<'_>], warm_share: Option<f64>, rho2: f64) -> Vec<Bias> {
    if picks.iter().all(|p| p.bias.is_empty()) {
        return Vec::new();
    }
    let mut sums: BTreeMap<(&str, BiasKind), f64> = BTreeMap::new();
    for (w, p) in weights(picks, warm_share, rho2).iter().zip(picks) {
        for b in p.bias {
            *sums.entry((b.calibration.as_str(), b.kind)).or_default() += w * b.slope;
        }
    }
    sums.into_iter()
        .map(|((id, kind), slope)| Bias {
            calibration: id.to_owned(),
            kind,
            slope,
        })
        .collect()
}

fn side(picks: &[Picked<'_>]) -> Option<Side> {
    let least = picks.iter().all(|p| matches!(p.y, Reading::AtLeast(_)));
    let most = picks.iter().all(|p| matches!(p.y, Reading::AtMost(_)));
    Some(if least {
        Side::AtLeast
    } else if most {
        Side::AtMost
    } else {
        Side::Both
    })
}
