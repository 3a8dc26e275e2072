//! A belief from selected observations of the material itself.

use crate::belief::believed::{Belief, Inner};
use crate::belief::closed::{self, Exact, Ratios};
use crate::belief::distribution::{Centre, Distribution, Node};
use crate::belief::grid::{self, Base, PrintTerms};
use crate::belief::outlier;
use crate::belief::pool::Scatter;
use crate::belief::select::{Picked, Selection};
use crate::belief::{Evidence, Grade, Note, Rests, Side, select};
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
    scatter: &Scatter,
    selection: &Selection<'_>,
    key: &str,
    prior: &dyn Fn() -> Option<(Prior, Rests)>,
) -> Option<Belief> {
    if selection.picks.is_empty() {
        return None;
    }
    let mut notes = selection.notes.clone();
    let pulled = pull_outliers(&selection.picks, scatter, row, &mut notes);
    let pulled = pulled.map(|picks| Selection {
        picks,
        ..selection.clone()
    });
    let selection = pulled.as_ref().unwrap_or(selection);
    let picks = &selection.picks;
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
    if scatter.ratios.lots > 0.0 {
        notes.push(Note::LotsDiffer {
            lots: scatter.ratios.lots.sqrt(),
            prints: scatter.ratios.middle().prints.sqrt(),
        });
    }
    let mut b = Belief::absent(row.scale, key.to_owned());
    b.grade = if exact {
        Grade::Measured
    } else {
        Grade::Bounded
    };
    b.specimens = u32::try_from(picks.len()).unwrap_or(u32::MAX);
    let prints = picks
        .chunk_by(|p, q| (p.lot, p.print) == (q.lot, q.print))
        .count();
    b.prints = u32::try_from(prints).unwrap_or(u32::MAX);
    b.bias = bias(picks, selection.warm_share, scatter.ratios.middle());
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
    scatter: &Scatter,
    selection: &Selection<'_>,
    bounded: &Belief,
) -> Option<Belief> {
    let made = |picks: Vec<Picked<'_>>| {
        let bias = bias(&picks, selection.warm_share, scatter.ratios.middle());
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

/// Exact readings with gross outliers pulled in, and a note of each; `None` where there are none.
pub(super) fn pull_outliers<'a>(
    picks: &[Picked<'a>],
    scatter: &Scatter,
    row: &Property,
    notes: &mut Vec<Note>,
) -> Option<Vec<Picked<'a>>> {
    if picks.len() < 3 {
        return None;
    }
    let floor = rounding(picks);
    let mut out = picks.to_vec();
    let mut moved = false;
    for warm in [false, true] {
        let places: Vec<usize> = picks
            .iter()
            .enumerate()
            .filter(|(_, p)| p.warm == warm && p.y.is_exact())
            .map(|(i, _)| i)
            .collect();
        let readings: Vec<(f64, _)> = places
            .iter()
            .filter_map(|i| picks.get(*i))
            .map(|p| (p.y.as_exact(), (p.lot, p.print)))
            .collect();
        let found = outlier::pulled(&readings, scatter, floor);
        for (i, pulled) in places.into_iter().zip(found) {
            let (Some(pulled), Some(p)) = (pulled, out.get_mut(i)) else {
                continue;
            };
            notes.push(Note::Outlier {
                figure: row.scale.back(p.y.as_exact()),
                taken: row.scale.back(pulled.to),
            });
            p.y = Reading::Exact(pulled.to);
            moved = true;
        }
    }
    moved.then_some(out)
}

/// The least variance that the gauges' steps allow: a rounding error has a twelfth of the step squared
/// (JCGM 100, 4.3.7).
fn rounding(picks: &[Picked<'_>]) -> f64 {
    picks.iter().map(|p| p.resolution.powi(2)).sum::<f64>() / (12.0 * picks.len() as f64)
}

/// The exact readings among the picks, prints and lots numbered; picks stand by lot, then print.
pub(super) fn exact_readings(
    picks: &[Picked<'_>],
    keep: impl Fn(&Picked<'_>) -> bool,
) -> Vec<Exact> {
    let mut out = Vec::with_capacity(picks.len());
    let (mut print, mut lot) = (0, 0);
    for (i, p) in picks.iter().enumerate() {
        if let Some(before) = i.checked_sub(1).and_then(|i| picks.get(i)) {
            lot += usize::from(before.lot != p.lot);
            print += usize::from(before.lot != p.lot || before.print != p.print);
        }
        if let Reading::Exact(y) = p.y
            && keep(p)
        {
            out.push(Exact {
                y,
                print,
                lot,
                warm: p.warm,
            });
        }
    }
    out
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
    scatter: &Scatter,
    selection: &Selection<'_>,
    prior: Option<(Prior, Rests)>,
    learn: Learn,
) -> Option<(Distribution, bool)> {
    let (picks, warm_share) = (&selection.picks, selection.warm_share);
    let floor = rounding(picks);
    let middle = scatter.ratios.middle();
    let all = exact_readings(picks, |_| true);
    let variance_of = |f: Option<&closed::Fit>, held: f64, floor: f64| {
        let (squares, dof) = f
            .filter(|_| learn == Learn::Scatter)
            .map_or((0.0, 0.0), |f| (f.squares, f.dof));
        let dof = scatter.dof + dof;
        (((scatter.dof * held + squares) / dof).max(floor), dof)
    };
    let whole = closed::fit(&all, middle, warm_share);
    let s = variance_of(whole.as_ref(), scatter.variance.max(floor), floor)
        .0
        .sqrt();
    let is_coarse = |p: &Picked<'_>| warm_share.is_none() && p.y.is_exact() && p.resolution > s;
    let coarse = picks.iter().any(is_coarse);
    let bounded = picks.iter().any(|p| !p.y.is_exact());
    let fine = if coarse {
        exact_readings(picks, |p| !is_coarse(p))
    } else {
        all
    };
    // Ranges hold their rounding themselves: what is left of the floor is the fine gauges'.
    let fine_floor = if coarse {
        let kept: Vec<Picked<'_>> = picks.iter().filter(|p| !is_coarse(p)).cloned().collect();
        if kept.is_empty() {
            0.0
        } else {
            rounding(&kept)
        }
    } else {
        floor
    };
    let held = scatter.variance.max(fine_floor);
    let variance_of = |f: Option<&closed::Fit>| variance_of(f, held, fine_floor);
    let fitted = closed::fit(&fine, middle, warm_share);
    let (_, dof) = variance_of(fitted.as_ref());
    let chi = evidence.chi(dof);
    let base = |fit: Option<&closed::Fit>| match (fit, prior) {
        (Some(f), _) => Base::Normal {
            at: f.at,
            per_s2: f.per_s2,
            own: 0.0,
        },
        (None, Some((p, _))) => Base::Normal {
            at: p.at,
            per_s2: 0.0,
            own: p.variance,
        },
        (None, None) => Base::Flat,
    };
    let terms = |fit: Option<&closed::Fit>| {
        let carry = fit.map_or([0.0; 2], |f| f.carry);
        print_terms(picks, &is_coarse, carry)
    };
    let closed = fitted.is_some() && !coarse && !bounded;
    // What others lend of the centre only makes bounds proper: that it lies elsewhere is no sign of scatter.
    let lent = fitted.is_none() && prior.is_some_and(|(_, from)| from != Rests::Stated);
    let ranges = picks.iter().any(|p| matches!(p.y, Reading::Between(..)));
    let speak = if lent && !coarse && !ranges {
        grid::Speak::OfCentre
    } else {
        grid::Speak::OfBoth
    };
    let window = if closed {
        None
    } else if speak == grid::Speak::OfCentre {
        Some(grid::Window::before(&chi))
    } else {
        let (f, s) = (fitted.as_ref(), variance_of(fitted.as_ref()).0.sqrt());
        // Lots of prints that hold bounds are told apart as prints are.
        let rho2 = middle.between();
        Some(grid::window(base(f), &terms(f), s, &chi, rho2)?)
    };
    let mut nodes = Vec::with_capacity(scatter.ratios.nodes.len());
    let mut ln_evidence = Vec::with_capacity(scatter.ratios.nodes.len());
    for ratio in &scatter.ratios.nodes {
        let ratios = scatter.ratios.at(ratio);
        let fit = closed::fit(&fine, ratios, warm_share);
        let s = variance_of(fit.as_ref()).0.sqrt();
        let mut ln = fit
            .as_ref()
            .map_or(0.0, |f| f.ln_likelihood(scatter.dof, held));
        let centre = match (&fit, &window) {
            (Some(f), None) => Centre::Normal {
                at: f.at,
                per_s2: f.per_s2,
                own: 0.0,
            },
            (f, Some(window)) => {
                let rho2 = ratios.between();
                let f = f.as_ref();
                let (grid, mass) = grid::centre(base(f), &terms(f), s, rho2, window, speak)?;
                ln += mass;
                Centre::Grid(Box::new(grid))
            }
            (None, None) => return None,
        };
        nodes.push(Node::of(ratio, s, ratios, centre));
        ln_evidence.push(ln);
    }
    if learn == Learn::Nothing {
        ln_evidence.clear();
    }
    let shared = shared_variance(picks, warm_share, middle);
    Some((Distribution::new(nodes, &ln_evidence, chi, shared), coarse))
}

/// Bounds, ranges and coarse readings by print. In an interpolation both temperatures are carried
/// along the line of the exact readings to the asked one.
fn print_terms(
    picks: &[Picked<'_>],
    is_coarse: &impl Fn(&Picked<'_>) -> bool,
    carry: [f64; 2],
) -> Vec<PrintTerms> {
    picks
        .chunk_by(|p, q| (p.lot, p.print) == (q.lot, q.print))
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
fn weights(picks: &[Picked<'_>], warm_share: Option<f64>, ratios: Ratios) -> Vec<f64> {
    match closed::fit(&exact_readings(picks, |_| true), ratios, warm_share) {
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
fn shared_variance(picks: &[Picked<'_>], warm_share: Option<f64>, ratios: Ratios) -> f64 {
    if picks.iter().all(|p| p.added <= 0.0) {
        return 0.0;
    }
    let sd: f64 = weights(picks, warm_share, ratios)
        .iter()
        .zip(picks)
        .map(|(w, p)| w * p.added.max(0.0).sqrt())
        .sum();
    sd * sd
}

/// Bias terms of the mean: the weighted slopes of each calibration part.
fn bias(picks: &[Picked<'_>], warm_share: Option<f64>, ratios: Ratios) -> Vec<Bias> {
    if picks.iter().all(|p| p.bias.is_empty()) {
        return Vec::new();
    }
    let mut sums: BTreeMap<(&str, BiasKind), f64> = BTreeMap::new();
    for (w, p) in weights(picks, warm_share, ratios).iter().zip(picks) {
        for b in p.bias {
            *sums.entry((&*b.calibration, b.kind)).or_default() += w * b.slope;
        }
    }
    sums.into_iter()
        .map(|((id, kind), slope)| Bias {
            calibration: id.into(),
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
