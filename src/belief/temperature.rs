//! Which temperatures count for an asked one, and on what line.
//!
//! In this order, for readings of one moisture:
//!
//! 1. Runs at the asked temperature, within 1 K, as they stand.
//! 2. Between runs that are cooler and warmer, on the line between the nearest with exact readings, or
//!    between bounds (`between`). Where three temperatures or more hold exact readings, on the monotone
//!    curve through their means (`num::monotone_curve`), so that a third run bends the line. A measured
//!    softening onset is not crossed that way: a property that falls with heat takes the assumed line of
//!    the cooler run down to the onset (`heat`), or the warmer run's figure where that is more; any
//!    other is as if the farther run were not there.
//! 3. The nearest run within the policy's window, as it stands; not across the onset.
//! 4. By the property's kind: one that falls goes on the line to the onset when warmer and keeps its
//!    figure when colder, unless the ask says that stiffer is worse, for it stiffens there; one that is brittle when cold keeps its figure when warmer. Others say nothing.
//!
//! Warmer than all runs, a property that falls and was measured at two temperatures or more goes on
//! falling as it did between the warmest two, where that is steeper than the rest of these rules.

use crate::belief::Note;
use crate::belief::between::{Way, allows, between, exact_mean};
use crate::belief::heat::{Fall, LineFrom};
use crate::belief::natural::Found;
use crate::num::monotone_curve;
use crate::policy::Policy;
use crate::property::{Ask, Heat, Property};

/// Test temperatures closer than this are one temperature, K.
const SAME_TEMPERATURE_K: f64 = 2.0;
/// Gap over which a property may go up and down by its default spread between two runs, K (ours).
const WANDER_K: f64 = 40.0;

/// Whether an asked temperature this far from a run's, K, is the run's own.
pub(super) fn same_temperature(away_k: f64) -> bool {
    away_k <= 0.5 * SAME_TEMPERATURE_K
}

/// What is asked of readings, and by what rules.
#[derive(Clone, Copy)]
pub(super) struct Setting<'s> {
    pub(super) row: &'s Property,
    pub(super) ask: &'s Ask,
    pub(super) policy: &'s Policy,
    /// Low end of the measured softening onset, degC.
    pub(super) onset_c: &'s dyn Fn() -> Option<f64>,
}

/// Readings that count under a climate.
#[derive(Clone, Debug, Default)]
pub(super) struct Served<'a> {
    /// Readings, and whether each stands at the second end of an interpolation.
    pub(super) picks: Vec<(Found<'a>, bool)>,
    /// Share of the second end.
    pub(super) share: Option<f64>,
    /// Where a line warmer than the runs starts.
    pub(super) line_from: Option<LineFrom>,
    /// Whether the readings count as they stand, on no line.
    pub(super) direct: bool,
    /// What was assumed.
    pub(super) notes: Vec<Note>,
}

impl<'a> Served<'a> {
    /// Readings as they stand.
    pub(super) fn as_they_stand(found: Vec<Found<'a>>) -> Self {
        Served {
            picks: found.into_iter().map(|f| (f, false)).collect(),
            direct: true,
            ..Served::default()
        }
    }

    fn noted(mut self, note: Note) -> Self {
        self.notes.push(note);
        self
    }
}

/// Runs at one temperature.
struct Cluster<'a> {
    low: f64,
    high: f64,
    found: Vec<Found<'a>>,
    /// Mean of its exact readings.
    mean: Option<f64>,
}

impl<'a> Cluster<'a> {
    fn middle(&self) -> f64 {
        0.5 * (self.low + self.high)
    }
    fn away(&self, t: f64) -> f64 {
        (self.low - t).max(t - self.high).max(0.0)
    }
    fn serves(&self) -> Served<'a> {
        Served::as_they_stand(self.found.clone())
    }
}

fn clusters(mut found: Vec<Found<'_>>) -> Vec<Cluster<'_>> {
    let temperature = |f: &Found<'_>| f.seen.observation.condition.temperature_c;
    found.sort_by(|a, b| temperature(a).total_cmp(&temperature(b)));
    let mut all: Vec<Cluster<'_>> = Vec::new();
    for f in found {
        let t = temperature(&f);
        match all.last_mut() {
            Some(c) if t - c.low <= SAME_TEMPERATURE_K => {
                c.high = t;
                c.found.push(f);
            }
            _ => all.push(Cluster {
                low: t,
                high: t,
                found: vec![f],
                mean: None,
            }),
        }
    }
    for c in &mut all {
        c.mean = exact_mean(&c.found);
    }
    all
}

/// The readings that count at the asked temperature; `None` where none does, and why in `refused`.
pub(super) fn serve<'a>(
    found: Vec<Found<'a>>,
    s: &Setting<'_>,
    refused: &mut Vec<Note>,
) -> Option<Served<'a>> {
    let asked = s.ask.temperature_c;
    let all = clusters(found);
    let here = |c: &&Cluster<'_>| same_temperature(c.away(asked));
    let exact = |c: &&Cluster<'_>| c.mean.is_some();
    let cooler = || all.iter().filter(|c| c.high < asked && !here(c));
    let warmer = || all.iter().filter(|c| c.low > asked && !here(c));
    let ends = cooler()
        .rfind(exact)
        .zip(warmer().find(exact))
        .or_else(|| cooler().next_back().zip(warmer().next()));
    let crossed = ends.and_then(|(a, b)| {
        let onset_c = (s.onset_c)()?;
        (a.middle() < onset_c && onset_c < b.middle()).then_some((a, b, onset_c))
    });
    if let Some(c) = all.iter().find(here) {
        // A bound at the asked temperature says less than exact readings on both sides.
        let enclosed = ends.is_some_and(|(a, b)| a.mean.is_some() && b.mean.is_some());
        if c.mean.is_some() || !enclosed || crossed.is_some() {
            return Some(c.serves());
        }
    }
    let Some((a, b, onset_c)) = crossed else {
        return ends
            .and_then(|(a, b)| interpolated(&all, a, b, s))
            .or_else(|| outside(&all, s, refused));
    };
    let note = Note::AcrossOnset {
        low_c: a.middle(),
        high_c: b.middle(),
        onset_c,
    };
    let served = down_to_onset(&all, a, b, onset_c, s).or_else(|| outside(&all, s, refused));
    if served.is_none() {
        refused.push(note.clone());
    }
    served.map(|x| x.noted(note))
}

/// Between two runs, on the line or curve through them.
fn interpolated<'a>(
    all: &[Cluster<'a>],
    a: &Cluster<'a>,
    b: &Cluster<'a>,
    s: &Setting<'_>,
) -> Option<Served<'a>> {
    let (low_c, high_c) = (a.middle(), b.middle());
    let place = |t: f64| (t - low_c) / (high_c - low_c);
    let mut way = Way {
        share: place(s.ask.temperature_c),
        rising: match s.row.heat {
            Heat::Falls => Some(false),
            Heat::Brittle => Some(true),
            Heat::None => None,
        },
        bend: 0.0,
        wander: s.row.spread.sd * (high_c - low_c) / WANDER_K,
        share_sd: 0.0,
    };
    let mut first = a.found.clone();
    let mut runs = 2;
    if let (Some(cool), Some(warm)) = (a.mean, b.mean) {
        let points: Vec<(f64, f64)> = all
            .iter()
            .filter_map(|c| Some((c.middle(), c.mean?)))
            .collect();
        runs = points.len();
        let line = cool + way.share * (warm - cool);
        way.bend = monotone_curve(&points, s.ask.temperature_c).map_or(0.0, |y| y - line);
        // Bounds taken between the two runs, moved along the line as if at the cooler one.
        let inside = |c: &&Cluster<'_>| low_c < c.middle() && c.middle() < high_c;
        for c in all.iter().filter(inside) {
            let by = place(c.middle()) * (warm - cool);
            first.extend(c.found.iter().map(|f| Found {
                y: f.y.map(|y| y - by),
                ..*f
            }));
        }
    } else if let Some(near) = [a, b].into_iter().find(|c| c.mean.is_some())
        && near.away(s.ask.temperature_c) <= s.policy.temperature_window_k
    {
        let other = if std::ptr::eq(near, a) { b } else { a };
        if near
            .mean
            .is_some_and(|m| other.found.iter().all(|f| allows(f.y, m)))
        {
            // The bound shows no change from the run that counts as it stands.
            return Some(near.serves().noted(Note::WithinWindow {
                tested_c: near.middle(),
                asked_c: s.ask.temperature_c,
            }));
        }
    }
    let joined = between(&first, &b.found, &way)?;
    Some(
        Served {
            share: joined.share,
            picks: joined.picks,
            ..Served::default()
        }
        .noted(Note::Interpolated {
            low_c,
            high_c,
            runs,
            bend: way.bend,
            bounds: joined.share.is_none(),
            allowance: joined.allowance,
        }),
    )
}

/// Across the softening onset: a falling property on the cooler run's line, or at the warmer run's
/// figure where that is more.
fn down_to_onset<'a>(
    all: &[Cluster<'a>],
    a: &Cluster<'a>,
    b: &Cluster<'a>,
    onset_c: f64,
    s: &Setting<'_>,
) -> Option<Served<'a>> {
    let (cool, warm) = (a.mean?, b.mean?);
    if s.row.heat != Heat::Falls {
        return None;
    }
    let asked_c = s.ask.temperature_c;
    let from = LineFrom {
        tested_c: a.middle(),
        fall: fall(all, a),
    };
    let left = from.share(s.row.scale, s.policy.temperature_window_k, onset_c, asked_c);
    if left > 0.0 && s.row.scale.forward(left * s.row.scale.back(cool)) >= warm {
        return Some(if left < 1.0 {
            on_line(a, from)
        } else {
            a.serves().noted(Note::WithinWindow {
                tested_c: a.middle(),
                asked_c,
            })
        });
    }
    Some(kept(b, s))
}

fn on_line<'a>(c: &Cluster<'a>, from: LineFrom) -> Served<'a> {
    Served {
        line_from: Some(from),
        direct: false,
        ..c.serves()
    }
}

/// A run's figure as it stands at another temperature.
fn kept<'a>(c: &Cluster<'a>, s: &Setting<'_>) -> Served<'a> {
    let (tested_c, asked_c) = (c.middle(), s.ask.temperature_c);
    c.serves()
        .noted(if c.away(asked_c) <= s.policy.temperature_window_k {
            Note::WithinWindow { tested_c, asked_c }
        } else {
            Note::KeptOutside { tested_c, asked_c }
        })
}

/// How the property fell from the next cooler exact run to `c`; `None` where it did not.
fn fall(all: &[Cluster<'_>], c: &Cluster<'_>) -> Option<Fall> {
    let before = all
        .iter()
        .rfind(|x| x.middle() < c.middle() && x.mean.is_some())?;
    let fall = Fall {
        cooler: (before.middle(), before.mean?),
        warmer: (c.middle(), c.mean?),
    };
    (fall.warmer.1 < fall.cooler.1).then_some(fall)
}

/// Beyond all runs, or where nothing lies between them.
fn outside<'a>(
    all: &[Cluster<'a>],
    s: &Setting<'_>,
    refused: &mut Vec<Note>,
) -> Option<Served<'a>> {
    let asked = s.ask.temperature_c;
    let below = all.iter().rfind(|c| c.high < asked);
    let above = all.iter().find(|c| c.low > asked);
    let nearest = match (below, above) {
        (Some(a), Some(b)) if b.away(asked) < a.away(asked) => b,
        (Some(a), _) => a,
        (None, b) => b?,
    };
    let falls = s.row.heat == Heat::Falls;
    if let (true, Some(a), None) = (falls, below, above)
        && let Some(f) = fall(all, a)
    {
        return Some(on_line(
            a,
            LineFrom {
                tested_c: a.middle(),
                fall: Some(f),
            },
        ));
    }
    if nearest.away(asked) <= s.policy.temperature_window_k {
        let softens = |o: &f64| nearest.middle() < *o && *o <= asked;
        let Some(onset_c) = (s.onset_c)().filter(softens) else {
            return Some(kept(nearest, s));
        };
        if s.row.heat == Heat::None {
            refused.push(Note::AcrossOnset {
                low_c: nearest.middle(),
                high_c: asked,
                onset_c,
            });
            return None;
        }
    }
    match (s.row.heat, below, above) {
        (Heat::Falls, Some(a), _) => Some(on_line(
            a,
            LineFrom {
                tested_c: a.middle(),
                fall: None,
            },
        )),
        (Heat::Falls, None, Some(c)) if s.ask.stiffer_is_worse => {
            refused.push(Note::StifferInCold {
                tested_c: c.middle(),
                asked_c: asked,
            });
            None
        }
        (Heat::Falls, None, Some(c)) | (Heat::Brittle, Some(c), _) => Some(kept(c, s)),
        _ => {
            refused.push(Note::OutsideTemperature {
                tested_c: nearest.middle(),
                asked_c: asked,
            });
            None
        }
    }
}
