//! Which own observations count for an ask: conditions, stress and time here; what counts at its
//! moisture and temperature in `moisture` and `temperature`.

use crate::belief::Note;
use crate::belief::heat::LineFrom;
use crate::belief::index::Seen;
use crate::belief::moisture::{self, Swelling, any_climate};
use crate::belief::natural::{Found, read};
use crate::belief::temperature::Setting;
use crate::bench::{Bias, TimeFit, Told, Value};
use crate::property::{Ask, Condition, Face, Lies, Property, Sense};
use crate::quantity::Reading;

/// A creep modulus counts up to this many times its tested stress.
pub(super) const STRESS_REACH: f64 = 1.5;

/// One observation that counts, on the natural scale.
#[derive(Clone, Debug)]
pub(super) struct Picked<'a> {
    /// Where it was read.
    pub(super) seen: Seen<'a>,
    /// The reading.
    pub(super) y: Reading,
    /// Lot it came from; `None` for the unknown lot.
    pub(super) lot: Option<&'a str>,
    /// Print it came from.
    pub(super) print: (bool, &'a str),
    /// Kind of the rig.
    pub(super) rig_kind: &'a str,
    /// Resolution.
    pub(super) resolution: f64,
    /// Variance that reading curves at the life, or between two conditions, adds to the mean of all.
    pub(super) added: f64,
    /// The curve's fit at the life.
    pub(super) fit: Option<TimeFit>,
    /// Bias terms.
    pub(super) bias: &'a [Bias],
    /// In an interpolation, whether it stands at the second condition: warmer, or wetter.
    pub(super) warm: bool,
}

/// The observations that count, and what has to be said of them.
#[derive(Clone, Debug, Default)]
pub(super) struct Selection<'a> {
    /// Observations, in an order that does not depend on files.
    pub(super) picks: Vec<Picked<'a>>,
    /// Share of the second condition in an interpolation between exact readings.
    pub(super) warm_share: Option<f64>,
    /// Where a line warmer than the runs starts.
    pub(super) line_from: Option<LineFrom>,
    /// Notes.
    pub(super) notes: Vec<Note>,
}

/// How the load lies: as asked, else as the property's default direction has it.
pub(super) fn lies(row: &Property, ask: &Ask) -> Option<Lies> {
    row.direction.map(|d| ask.lies.unwrap_or(d.lies()))
}

/// Whether a condition serves an ask in all but temperature and moisture; a failing one says why.
fn serves(row: &Property, ask: &Ask, c: &Condition, other_surface: bool) -> Result<(), Note> {
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
    Ok(())
}

/// Whether evidence under a condition can count for an ask at all, temperature, moisture and the kind
/// of break left aside.
pub(crate) fn condition_serves(row: &Property, ask: &Ask, c: &Condition) -> bool {
    let whole = Condition {
        kind: None,
        ..c.clone()
    };
    serves(row, ask, &whole, false).is_ok()
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
    serves(row, ask, &open, false).is_ok()
        && (any_climate(row) || swelling.serves(c.moisture, ask.moisture))
}

/// Selects what counts; with `other_surface` any counterface does.
pub(super) fn select<'a>(
    seen: &[Seen<'a>],
    swelling: Swelling,
    setting: &Setting<'_>,
    other_surface: bool,
) -> Selection<'a> {
    let (row, ask) = (setting.row, setting.ask);
    let mut out = Selection::default();
    let mut refused: Vec<Note> = Vec::new();
    let mut kept: Vec<Seen<'a>> = Vec::new();
    for s in seen {
        let counts = serves(row, ask, &s.observation.condition, other_surface)
            .and_then(|()| stress_fits(s, ask));
        match counts {
            Ok(()) => kept.push(*s),
            Err(note) => add_note(&mut refused, note),
        }
    }
    worst_side(&mut kept, row, ask, &mut out.notes);
    let mut found: Vec<Found<'a>> = Vec::new();
    let told = told_by_others(&kept);
    for (s, others) in kept.into_iter().zip(told) {
        match read(s, row, ask, setting.policy, &others) {
            Ok(f) => found.extend(f),
            Err(note) => add_note(&mut refused, note),
        }
    }
    // Not in the order of the files, to the last bit.
    found.sort_by(|a, b| {
        (a.seen.print(), a.y.figures(), a.added)
            .partial_cmp(&(b.seen.print(), b.y.figures(), b.added))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    let mut served = moisture::serve(found, swelling, setting, &mut refused);
    out.warm_share = served.share;
    out.line_from = served.line_from;
    for n in served.notes.drain(..) {
        add_note(&mut out.notes, n);
    }
    let mut early = false;
    for (f, warm) in served.picks {
        for n in f.over_time.notes() {
            note_most(&mut out.notes, n);
        }
        early |= f.seen.observation.early;
        out.picks.push(Picked {
            seen: f.seen,
            y: f.y,
            lot: f.seen.run.run.lot.as_deref(),
            print: f.seen.print(),
            rig_kind: &f.seen.run.run.rig.kind,
            resolution: f.resolution,
            added: f.added,
            fit: f.fit,
            bias: &f.seen.observation.bias,
            warm,
        });
    }
    share_noise(&mut out.picks);
    if early {
        out.notes.push(Note::EarlyFailure);
    }
    // What was refused is told where nothing counts, and break types always.
    for n in refused {
        if out.picks.is_empty() || matches!(n, Note::OtherKind(_)) {
            add_note(&mut out.notes, n);
        }
    }
    out.picks.sort_by(|a, b| {
        let figure = |p: &Picked<'_>| p.y.figures();
        (a.lot, a.print, a.warm, figure(a))
            .partial_cmp(&(b.lot, b.print, b.warm, figure(b)))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    out
}

/// For each that is kept, what the other curves say of the exponent of time.
fn told_by_others(kept: &[Seen<'_>]) -> Vec<Told> {
    let each: Vec<Told> = kept
        .iter()
        .map(|s| match &s.observation.value {
            Value::Curve(c) => Told::by(c),
            Value::Now(_) => Told::default(),
        })
        .collect();
    let all = Told::all(&each);
    each.iter().map(|one| all.without(one)).collect()
}

/// What reading curves at the life adds: each one's own noise falls with the number of its fellows.
fn share_noise(picks: &mut [Picked<'_>]) {
    let count = |warm: bool| {
        picks
            .iter()
            .filter(|p| p.fit.is_some() && p.warm == warm)
            .fold(0.0, |n, _| n + 1.0)
    };
    let (cold, warm) = (count(false), count(true));
    for p in picks.iter_mut() {
        let n = if p.warm { warm } else { cold };
        p.added -= p.fit.map_or(0.0, |f| f.averaged_out(n));
    }
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
fn worst_side(kept: &mut Vec<Seen<'_>>, row: &Property, ask: &Ask, notes: &mut Vec<Note>) {
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
    // Where some were tested at the asked moisture, only they say which side is worst.
    let own = |s: &Seen<'_>| s.observation.condition.moisture == ask.moisture;
    let only_own = kept.iter().any(own);
    let mut sides: Vec<(Rubbed, f64, f64)> = Vec::new();
    for s in kept.iter().filter(|s| !only_own || own(s)) {
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
    kept.retain(|s| side(s) == worst);
    if let (Some(face), true) = (worst.0, ask.face.is_none()) {
        notes.push(Note::WorstFace(face));
    }
}
