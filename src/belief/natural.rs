//! One observation as a reading on its property's natural scale, at the life that is asked.

use crate::belief::Note;
use crate::belief::index::Seen;
use crate::bench::{TimeFit, Told, Value, at_life_beside};
use crate::policy::Policy;
use crate::property::{Ask, Property, Scale};
use crate::quantity::Reading;

/// A stress borne for a time counts for lives up to this many times as long.
const SUSTAINED_REACH: f64 = 10.0;
/// Steady flow that counts less than this is not worth a word.
const FLOW_NAMED: f64 = 0.1;

/// An observation that may count, read.
#[derive(Clone, Copy, Debug)]
pub(super) struct Found<'a> {
    /// Where it came from.
    pub(super) seen: Seen<'a>,
    /// On the natural scale.
    pub(super) y: Reading,
    /// Resolution, natural scale.
    pub(super) resolution: f64,
    /// Variance that reading a curve past its end, or between two conditions, adds.
    pub(super) added: f64,
    /// The curve's fit at the life.
    pub(super) fit: Option<TimeFit>,
    /// What its figure at the life assumes.
    pub(super) over_time: OverTime,
}

/// What a curve's figure at a life assumes; within the readings the laws only smooth them.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct OverTime {
    /// Decades past the last reading where that is far enough to be told.
    beyond: Option<f64>,
    exponent_held: bool,
    correlation_held: bool,
    /// Weight of steady flow where it is worth a word.
    flow: Option<f64>,
}

impl OverTime {
    fn of(fit: &TimeFit, policy: &Policy) -> Self {
        let beyond = fit.decades_beyond > 0.0;
        OverTime {
            beyond: Some(fit.decades_beyond).filter(|d| *d > policy.time_flag_decades),
            exponent_held: beyond && fit.exponent_held,
            correlation_held: beyond && fit.correlation_held,
            flow: Some(fit.flow).filter(|f| *f >= FLOW_NAMED),
        }
    }

    /// The same as notes.
    pub(super) fn notes(self) -> impl Iterator<Item = Note> {
        [
            self.beyond.map(Note::BeyondDecades),
            self.exponent_held.then_some(Note::ExponentHeld),
            self.correlation_held.then_some(Note::CorrelationAssumed),
            self.flow.map(Note::SteadyFlow),
        ]
        .into_iter()
        .flatten()
    }
}

/// Reads one observation at the asked life, `others` being what other curves say of the exponent of
/// time; `Ok(None)` where it says nothing there.
pub(super) fn read<'a>(
    s: Seen<'a>,
    row: &Property,
    ask: &Ask,
    policy: &Policy,
    others: &Told,
) -> Result<Option<Found<'a>>, Note> {
    let o = s.observation;
    let (raw, fit) = match &o.value {
        Value::Now(r) => (over_hours(row, *r, o.hours, ask.life_h), None),
        Value::Curve(c) => match ask.life_h {
            Some(life) => {
                let Some(fit) = at_life_beside(c, life, policy.drift_per_decade, others) else {
                    return Ok(None);
                };
                if fit.decades_beyond > policy.time_absent_decades {
                    return Err(Note::BeyondDecades(fit.decades_beyond));
                }
                let r = if fit.nothing_kept {
                    Reading::AtMost(fit.value)
                } else {
                    Reading::Exact(fit.value)
                };
                (Some(r), Some(fit))
            }
            None => (Some(Reading::Exact(o.value.figure())), None),
        },
    };
    let Some(raw) = raw else { return Ok(None) };
    Ok(
        natural(row, raw, o.resolution).map(|(y, resolution)| Found {
            seen: s,
            y,
            resolution,
            added: fit.map_or(0.0, |f| f.added_variance),
            fit,
            over_time: fit.map_or_else(OverTime::default, |f| OverTime::of(&f, policy)),
        }),
    )
}

/// A reading that speaks for a time, at a life.
///
/// A stress borne for some hours counts for lives up to ten times as long; one that ruptured bounds
/// the strength from above for lives as long, and from below for shorter ones, which it had borne.
/// What is kept of a force only falls: what was still there counts for shorter lives, what was no
/// longer there for longer ones.
fn over_hours(
    row: &Property,
    r: Reading,
    hours: Option<f64>,
    life_h: Option<f64>,
) -> Option<Reading> {
    let (Some(hours), Some(life)) = (hours, life_h) else {
        return Some(r);
    };
    let sustained = row.id.as_str() == "sustained-strength";
    match r {
        Reading::AtLeast(_) if sustained => (life <= SUSTAINED_REACH * hours).then_some(r),
        Reading::AtMost(s) if sustained && life < hours => Some(Reading::AtLeast(s)),
        Reading::AtLeast(_) if !sustained => (life <= hours).then_some(r),
        Reading::AtMost(_) if !sustained => (life >= hours).then_some(r),
        _ => Some(r),
    }
}

/// A reading and its resolution on the natural scale; `None` where it says nothing there.
///
/// On a log scale a figure at or below zero was lost in the resolution: it is `<=` one step.
pub(super) fn natural(row: &Property, r: Reading, resolution: f64) -> Option<(Reading, f64)> {
    let (a, b) = r.figures();
    if !a.is_finite() || b.is_some_and(|b| !b.is_finite()) {
        return None;
    }
    match row.scale {
        Scale::Plain => Some((r, resolution.max(0.0))),
        Scale::Log => {
            let y = match r {
                Reading::Exact(y) if y <= 0.0 && resolution > 0.0 => {
                    Reading::AtMost(resolution.ln())
                }
                Reading::Between(a, b) if a <= 0.0 && b > 0.0 => Reading::AtMost(b.ln()),
                _ if a <= 0.0 => return None,
                _ => r.map(f64::ln),
            };
            let at = r.as_exact();
            let step = if at > 0.0 {
                resolution.max(0.0) / at
            } else {
                0.0
            };
            Some((y, step))
        }
    }
}
