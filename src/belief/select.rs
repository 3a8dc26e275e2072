//! Which own observations count for an ask: conditions, temperature, stress, time.

use crate::belief::Note;
use crate::belief::index::Seen;
use crate::bench::{Bias, TimeFit, Value, at_life};
use crate::policy::Policy;
use crate::property::{Ask, Condition, Face, Heat, Lies, Moisture, Property, Sense};
use crate::quantity::Reading;

/// Test temperatures closer than this are one temperature, K.
const SAME_TEMPERATURE_K: f64 = 2.0;
/// A creep modulus counts up to this many times its tested stress.
pub(super) const STRESS_REACH: f64 = 1.5;
/// A stress borne for a time counts for lives up to this many times as long.
const SUSTAINED_REACH: f64 = 10.0;

/// One observation that counts, on the natural scale.
#[derive(Clone, Debug)]
pub(super) struct Picked<'a> {
    /// Where it was read.
    pub(super) seen: Seen<'a>,
    /// The reading.
    pub(super) y: Reading,
    /// Print it came from.
    pub(super) print: (bool, &'a str),
    /// Kind of the rig.
    pub(super) rig_kind: &'a str,
    /// Resolution.
    pub(super) resolution: f64,
    /// Variance that reading a curve past its end adds.
    pub(super) added: f64,
    /// Bias terms.
    pub(super) bias: &'a [Bias],
    /// In an interpolation, whether it stands at the warmer temperature.
    pub(super) warm: bool,
}

/// The observations that count, and what has to be said of them.
#[derive(Clone, Debug, Default)]
pub(super) struct Selection<'a> {
    /// Observations, in an order that does not depend on files.
    pub(super) picks: Vec<Picked<'a>>,
    /// Share of the warmer runs in an interpolation.
    pub(super) warm_share: Option<f64>,
    /// Test temperature that the line with heat starts from, degC.
    pub(super) line_from: Option<f64>,
    /// Notes.
    pub(super) notes: Vec<Note>,
}

/// Whether figures of one moisture count at another, as the material's water uptake has it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Swelling {
    /// Measured uptake is below the policy's limit.
    pub(super) measured_low: bool,
    /// Measured uptake is not below it.
    pub(super) measured_high: bool,
    /// The polymer is known and takes up little.
    pub(super) polymer_low: bool,
}

impl Swelling {
    /// Whether a figure taken at `tested` counts at `asked`.
    ///
    /// The same moisture always does. Dried figures count wet only where the measured uptake is below
    /// the policy's limit. Between neighbours (dried and room, room and wet) a polymer that takes up
    /// little is enough, unless a measured uptake says otherwise.
    fn serves(self, tested: Moisture, asked: Moisture) -> bool {
        tested == asked
            || self.measured_low
            || (self.polymer_low
                && !self.measured_high
                && (tested == Moisture::Room || asked == Moisture::Room))
    }
}

/// Whether a property holds at any temperature and moisture: the onset names its own temperature,
/// the others barely move.
pub(super) fn any_climate(row: &Property) -> bool {
    matches!(
        row.id.as_str(),
        "softening-onset" | "density" | "water-uptake"
    )
}

/// How the load lies: as asked, else as the property's default direction has it.
pub(super) fn lies(row: &Property, ask: &Ask) -> Option<Lies> {
    row.direction.map(|d| ask.lies.unwrap_or(d.lies()))
}

/// Whether a condition serves an ask in all but temperature; a failing one says why.
fn serves(
    row: &Property,
    ask: &Ask,
    swelling: Swelling,
    c: &Condition,
    other_surface: bool,
) -> Result<Option<Note>, Note> {
    if let (Some(lies), Some(default)) = (lies(row, ask), row.direction)
        && !c.direction.unwrap_or(default).serves(lies)
    {
        return Err(Note::OtherDirection);
    }
    if let Some(kind) = &c.kind {
        return Err(Note::OtherKind(kind.clone()));
    }
    if let Some(a) = &c.annealed {
        return Err(Note::AnnealedOnly(a.clone()));
    }
    if row.by_counterface
        && let Some(want) = &ask.counterface
        && c.counterface.as_ref() != Some(want)
        && !other_surface
    {
        return Err(Note::OtherSurface(
            c.counterface.clone().unwrap_or_default(),
        ));
    }
    if row.by_face
        && let (Some(want), Some(have)) = (ask.face, c.face)
        && want != have
    {
        return Err(Note::OtherFace);
    }
    if any_climate(row) || c.moisture == ask.moisture {
        return Ok(None);
    }
    let note = if c.moisture == Moisture::Dried {
        Note::DryOnly
    } else {
        Note::OtherMoisture(c.moisture)
    };
    if swelling.serves(c.moisture, ask.moisture) {
        Ok(Some(note))
    } else {
        Err(note)
    }
}

/// Whether a stated value's condition serves an ask in all but temperature; what it leaves open fits.
pub(super) fn stated_serves(row: &Property, ask: &Ask, swelling: Swelling, c: &Condition) -> bool {
    let open = Condition {
        direction: c
            .direction
            .or_else(|| row.direction.filter(|d| lies(row, ask) == Some(d.lies())))
            .or(match lies(row, ask) {
                Some(Lies::Across) => Some(crate::property::Direction::Across),
                Some(Lies::InPlane) => Some(crate::property::Direction::Flat),
                None => None,
            }),
        counterface: c.counterface.clone().or_else(|| ask.counterface.clone()),
        ..c.clone()
    };
    serves(row, ask, swelling, &open, false).is_ok()
}

/// Selects what counts; with `other_surface` any counterface does.
pub(super) fn select<'a>(
    seen: &[Seen<'a>],
    row: &Property,
    ask: &Ask,
    swelling: Swelling,
    policy: &Policy,
    other_surface: bool,
) -> Selection<'a> {
    let mut out = Selection::default();
    let mut refused: Vec<Note> = Vec::new();
    let mut kept: Vec<(Seen<'a>, Option<Note>)> = Vec::new();
    for s in seen {
        match serves(row, ask, swelling, &s.observation.condition, other_surface) {
            Ok(note) => kept.push((*s, note)),
            Err(note) => add_note(&mut refused, note),
        }
    }
    keep_own_moisture(&mut kept, ask, row);
    let mut refused_later = Vec::new();
    kept.retain(|(s, _)| match stress_fits(s, ask) {
        Ok(()) => true,
        Err(n) => {
            add_note(&mut refused_later, n);
            false
        }
    });
    refused.append(&mut refused_later);
    worst_side(&mut kept, row, ask, &mut out.notes);
    let kept = by_temperature(kept, row, ask, policy, &mut out, &mut refused);
    let mut early = false;
    for (s, note, warm) in kept {
        match reading(&s, row, ask, policy) {
            Ok(Some((y, resolution, added, over_time))) => {
                if let Some(n) = note {
                    add_note(&mut out.notes, n);
                }
                for n in over_time {
                    note_most(&mut out.notes, n);
                }
                early |= s.observation.early;
                out.picks.push(Picked {
                    seen: s,
                    y,
                    print: s.print(),
                    rig_kind: &s.run.run.rig.kind,
                    resolution,
                    added,
                    bias: &s.observation.bias,
                    warm,
                });
            }
            Ok(None) => {}
            Err(n) => add_note(&mut refused, n),
        }
    }
    if early {
        out.notes.push(Note::EarlyFailure);
    }
    // What was refused is told where nothing counts, and break types always.
    for n in refused {
        if out.picks.is_empty() || matches!(n, Note::OtherKind(_)) {
            add_note(&mut out.notes, n);
        }
    }
    if out.picks.is_empty() {
        out.warm_share = None;
        out.line_from = None;
    }
    out.picks.sort_by(|a, b| {
        let figure = |p: &Picked<'_>| p.y.figures();
        (a.print, a.warm, figure(a))
            .partial_cmp(&(b.print, b.warm, figure(b)))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    out
}

/// Adds a note once.
pub(super) fn add_note(notes: &mut Vec<Note>, note: Note) {
    if !notes.contains(&note) {
        notes.push(note);
    }
}

/// Adds a note of time once, with the largest of its figures.
fn note_most(notes: &mut Vec<Note>, note: Note) {
    for n in notes.iter_mut() {
        match (n, &note) {
            (Note::BeyondDecades(a), Note::BeyondDecades(b))
            | (Note::SteadyFlow(a), Note::SteadyFlow(b)) => {
                *a = a.max(*b);
                return;
            }
            _ => {}
        }
    }
    add_note(notes, note);
}

/// Where some specimens were tested at the asked moisture, only they count.
fn keep_own_moisture(kept: &mut Vec<(Seen<'_>, Option<Note>)>, ask: &Ask, row: &Property) {
    let own = |s: &Seen<'_>| s.observation.condition.moisture == ask.moisture;
    if !any_climate(row) && kept.iter().any(|(s, _)| own(s)) {
        kept.retain(|(s, _)| own(s));
    }
}

fn stress_fits(s: &Seen<'_>, ask: &Ask) -> Result<(), Note> {
    match (s.observation.stress_mpa, ask.stress_mpa) {
        (Some(tested), Some(asked))
            if s.observation.property.as_str() == "creep-modulus"
                && asked > STRESS_REACH * tested =>
        {
            Err(Note::AboveTestedStress {
                tested_mpa: tested,
                asked_mpa: asked,
            })
        }
        _ => Ok(()),
    }
}

/// Face and surface that were rubbed.
type Rubbed = (Option<Face>, Option<String>);

/// Faces and surfaces that the ask leaves open are never averaged: the worst one stands for all,
/// the lowest for a property that is neither better high nor low.
fn worst_side(
    kept: &mut Vec<(Seen<'_>, Option<Note>)>,
    row: &Property,
    ask: &Ask,
    notes: &mut Vec<Note>,
) {
    if !row.by_face && !row.by_counterface {
        return;
    }
    let side = |s: &Seen<'_>| -> Rubbed {
        let c = &s.observation.condition;
        (
            c.face.filter(|_| row.by_face && ask.face.is_none()),
            c.counterface.clone().filter(|_| row.by_counterface),
        )
    };
    let mut sides: Vec<(Rubbed, f64, f64)> = Vec::new();
    for (s, _) in kept.iter() {
        let g = row.scale.forward(s.observation.value.figure());
        if !g.is_finite() {
            continue;
        }
        let key = side(s);
        match sides.iter_mut().find(|x| x.0 == key) {
            Some(x) => {
                x.1 += g;
                x.2 += 1.0;
            }
            None => sides.push((key, g, 1.0)),
        }
    }
    if sides.len() < 2 {
        return;
    }
    let up = if row.sense == Sense::Less { -1.0 } else { 1.0 };
    sides.sort_by(|a, b| {
        (up * a.1 / a.2)
            .total_cmp(&(up * b.1 / b.2))
            .then(a.0.cmp(&b.0))
    });
    let Some((worst, _, _)) = sides.into_iter().next() else {
        return;
    };
    kept.retain(|(s, _)| side(s) == worst);
    if let (Some(face), true) = (worst.0, ask.face.is_none()) {
        notes.push(Note::WorstFace(face));
    }
}

/// Runs at one temperature, and whether one of their readings is exact.
struct Cluster {
    low: f64,
    high: f64,
    exact: bool,
}

impl Cluster {
    fn middle(&self) -> f64 {
        0.5 * (self.low + self.high)
    }
    fn away(&self, t: f64) -> f64 {
        (self.low - t).max(t - self.high).max(0.0)
    }
}

type Kept<'a> = Vec<(Seen<'a>, Option<Note>, bool)>;

fn by_temperature<'a>(
    kept: Vec<(Seen<'a>, Option<Note>)>,
    row: &Property,
    ask: &Ask,
    policy: &Policy,
    out: &mut Selection<'a>,
    refused: &mut Vec<Note>,
) -> Kept<'a> {
    let asked = ask.temperature_c;
    if any_climate(row) || kept.is_empty() {
        return kept.into_iter().map(|(s, n)| (s, n, false)).collect();
    }
    let temperature = |s: &Seen<'_>| s.observation.condition.temperature_c;
    let mut sorted: Vec<(f64, bool)> = kept
        .iter()
        .map(|(s, _)| {
            let exact = match &s.observation.value {
                Value::Now(r) => r.is_exact(),
                Value::Curve(_) => true,
            };
            (temperature(s), exact)
        })
        .collect();
    sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut clusters: Vec<Cluster> = Vec::new();
    for (t, exact) in sorted {
        match clusters.last_mut() {
            Some(c) if t - c.low <= SAME_TEMPERATURE_K => {
                c.high = t;
                c.exact |= exact;
            }
            _ => clusters.push(Cluster {
                low: t,
                high: t,
                exact,
            }),
        }
    }
    let only = |c: &Cluster, kept: Vec<(Seen<'a>, Option<Note>)>| -> Kept<'a> {
        kept.into_iter()
            .filter(|(s, _)| c.low <= temperature(s) && temperature(s) <= c.high)
            .map(|(s, n)| (s, n, false))
            .collect()
    };
    let half = 0.5 * SAME_TEMPERATURE_K;
    if let Some(c) = clusters.iter().find(|c| c.away(asked) <= half) {
        return only(c, kept);
    }
    let below = clusters.iter().rfind(|c| c.high < asked);
    let above = clusters.iter().find(|c| c.low > asked);
    if let (Some(a), Some(b)) = (below, above)
        && a.exact
        && b.exact
    {
        let (low_c, high_c) = (a.middle(), b.middle());
        out.warm_share = Some((asked - low_c) / (high_c - low_c));
        out.notes.push(Note::Interpolated { low_c, high_c });
        return kept
            .into_iter()
            .filter_map(|(s, n)| {
                let t = temperature(&s);
                let cold = a.low <= t && t <= a.high;
                let warm = b.low <= t && t <= b.high;
                (cold || warm).then_some((s, n, warm))
            })
            .collect();
    }
    let nearest = match (below, above) {
        (Some(a), Some(b)) if b.away(asked) < a.away(asked) => Some(b),
        (Some(a), _) => Some(a),
        (None, b) => b,
    };
    let Some(nearest) = nearest else {
        return Vec::new();
    };
    if nearest.away(asked) <= policy.temperature_window_k {
        return only(nearest, kept);
    }
    match (row.heat, below, above) {
        (Heat::Falls, Some(a), _) => {
            out.line_from = Some(a.middle());
            only(a, kept)
        }
        (Heat::Falls, None, Some(b)) => only(b, kept),
        (Heat::Brittle, Some(a), _) => only(a, kept),
        _ => {
            add_note(
                refused,
                Note::OutsideTemperature {
                    tested_c: nearest.middle(),
                    asked_c: asked,
                },
            );
            Vec::new()
        }
    }
}

/// Reading on the natural scale, resolution, added variance, notes of what was assumed over time.
type Read = (Reading, f64, f64, Vec<Note>);

fn reading(s: &Seen<'_>, row: &Property, ask: &Ask, policy: &Policy) -> Result<Option<Read>, Note> {
    let o = s.observation;
    let (raw, added, notes) = match &o.value {
        Value::Now(r) => (over_hours(row, *r, o.hours, ask.life_h), 0.0, Vec::new()),
        Value::Curve(c) => match ask.life_h {
            Some(life) => {
                let Some(fit) = at_life(c, life, policy.drift_per_decade) else {
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
                (Some(r), fit.added_variance, over_time(&fit, policy))
            }
            None => (Some(Reading::Exact(o.value.figure())), 0.0, Vec::new()),
        },
    };
    let Some(raw) = raw else { return Ok(None) };
    Ok(natural(row, raw, o.resolution).map(|(y, resolution)| (y, resolution, added, notes)))
}

/// Steady flow that counts less than this is not worth a word.
const FLOW_NAMED: f64 = 0.1;

/// What a curve's figure at a life assumes; within the readings the laws only smooth them.
fn over_time(fit: &TimeFit, policy: &Policy) -> Vec<Note> {
    let beyond = fit.decades_beyond > 0.0;
    [
        (fit.decades_beyond > policy.time_flag_decades)
            .then_some(Note::BeyondDecades(fit.decades_beyond)),
        (beyond && fit.exponent_held).then_some(Note::ExponentHeld),
        (beyond && fit.correlation_held).then_some(Note::CorrelationAssumed),
        (fit.flow >= FLOW_NAMED).then_some(Note::SteadyFlow(fit.flow)),
    ]
    .into_iter()
    .flatten()
    .collect()
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
    use crate::property::Scale;
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
