//! From a run to its observations: what is the same for every test.

use crate::bench::{
    BenchTest, Bias, BiasKind, Cell, Column, Kind, Need, Observation, Outcome, Reduction, Refusal,
    Rig, Run, Specimen, Step, Value, reduction::resolution_of,
};
use crate::property::{Properties, Scale};
use crate::quantity::Reading;
use std::sync::Arc;

/// One specimen, reduced.
#[derive(Clone, Debug)]
pub struct ReducedSpecimen {
    /// Number within the run.
    pub specimen: u32,
    /// How it ended.
    pub outcome: Outcome,
    /// Observations.
    pub observations: Vec<Observation>,
    /// Refusals.
    pub refused: Vec<Refusal>,
    /// Steps.
    pub working: Vec<Step>,
}

/// One run, reduced.
#[derive(Clone, Debug)]
pub struct ReducedRun {
    /// The run as it was read.
    pub run: Arc<Run>,
    /// Its specimens.
    pub specimens: Vec<ReducedSpecimen>,
}

/// Reduces every specimen of a run: rig correction, bounds, formula, resolution, bias.
pub fn reduce_run(test: &dyn BenchTest, run: &Arc<Run>, properties: &Properties) -> ReducedRun {
    ReducedRun {
        run: Arc::clone(run),
        specimens: reduce_specimens(test, run, properties, Steps::Kept),
    }
}

/// The same without the steps of the working: what a whole catalog of evidence needs.
pub fn reduce_figures(test: &dyn BenchTest, run: &Arc<Run>, properties: &Properties) -> ReducedRun {
    ReducedRun {
        run: Arc::clone(run),
        specimens: reduce_specimens(test, run, properties, Steps::Left),
    }
}

/// The same without what the calibration leaves open: figures to be held beside others, not to be believed.
pub(crate) fn reduce_bare(
    test: &dyn BenchTest,
    run: &Arc<Run>,
    properties: &Properties,
) -> ReducedRun {
    ReducedRun {
        run: Arc::clone(run),
        specimens: reduce_specimens(test, run, properties, Steps::Bare),
    }
}

/// Whether the steps of the working are kept or left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Steps {
    Kept,
    Left,
    /// Left out, and no observation has a bias.
    Bare,
}

/// The specimens of a run, reduced.
pub(crate) fn reduce_specimens(
    test: &dyn BenchTest,
    run: &Run,
    properties: &Properties,
    steps: Steps,
) -> Vec<ReducedSpecimen> {
    run.specimens
        .iter()
        .map(|s| reduce_specimen(test, s, &run.rig, properties, steps))
        .collect()
}

/// The steps by which a specimen of a run was reduced; none where its test is not known here.
pub(crate) fn working_of(run: &Run, number: u32) -> Vec<Step> {
    let specimen = run.specimens.iter().find(|s| s.number == number);
    let (Some(test), Some(s)) = (crate::bench::find(run.test), specimen) else {
        return Vec::new();
    };
    if s.outcome().no_evidence() {
        return Vec::new();
    }
    let mut steps = Reduction::on(test, &run.rig, false);
    test.reduce(&correct(s, &run.rig, test.columns()), &mut steps);
    steps.working
}

/// A reading closer to zero than this many standard uncertainties of the rig is only a bound.
const SEEN_ABOVE_U: f64 = 3.0;
/// The bound put on it: the reading and this many standard uncertainties.
const BOUND_AT_U: f64 = 2.0;

fn reduce_specimen(
    test: &dyn BenchTest,
    specimen: &Specimen,
    rig: &Rig,
    properties: &Properties,
    steps: Steps,
) -> ReducedSpecimen {
    let outcome = specimen.outcome();
    let mut done = ReducedSpecimen {
        specimen: specimen.number,
        outcome,
        observations: Vec::new(),
        refused: Vec::new(),
        working: Vec::new(),
    };
    if outcome.no_evidence() {
        return done;
    }
    let mut corrected = correct(specimen, rig, test.columns());
    let mut base = Reduction::on(test, rig, steps != Steps::Kept);
    test.reduce(&corrected, &mut base);
    // What is seen of the specimen with a cell or a channel moved.
    let mut seen = base.silent();
    apply_bounded_cells(test, &mut corrected, &mut base, &mut seen);
    add_resolution(test, &mut corrected, &mut base, &mut seen);
    if steps != Steps::Bare {
        add_bias(test, &mut corrected, rig, properties, &mut base, &mut seen);
    }
    // A figure that its natural scale cannot hold is outside the formula's domain, never a value.
    base.observations.retain(|o| {
        let figure = o.value.figure();
        let scale = properties
            .get(o.property.as_str())
            .map_or(Scale::Plain, |p| p.scale);
        let holds = scale.forward(figure).is_finite();
        if !holds {
            done.refused.push(Refusal {
                property: o.property.clone(),
                code: "bench::no-figure".to_owned(),
                why: format!("the formula gives {figure} for these readings"),
            });
        }
        holds
    });
    // A catalog holds hundreds of thousands of these: no room to spare.
    for o in &mut base.observations {
        o.bias.shrink_to_fit();
    }
    base.observations.shrink_to_fit();
    done.observations = base.observations;
    done.refused.extend(base.refused);
    done.working = base.working;
    done
}

/// Raw readings to true values by the calibration; outside the range, or lost in the rig's
/// uncertainty or resolution, a reading becomes a bound. A range from 0 or more is one of sizes: a
/// reading below nothing is no small size but a sign of something else (a piece that gained mass), which
/// the formula names, or it is lost in the rig's uncertainty.
fn correct(specimen: &Specimen, rig: &Rig, columns: &[Column]) -> Specimen {
    let mut s = specimen.clone();
    for ch in rig.channels.iter().filter(|c| c.gain > 0.0) {
        let is_point = |c: &Column| {
            c.name == &*ch.column && matches!(c.kind, Kind::Number { unit: "degC", .. })
        };
        let sizes = !columns.iter().any(is_point);
        for p in &mut s.points {
            let Some(Cell::Number(r)) = p.cells.get_mut(ch.column.as_str()) else {
                continue;
            };
            let truth = |y: f64| (y - ch.offset) / ch.gain;
            *r = match (*r, ch.low, ch.high) {
                (Reading::Exact(y), _, Some(h)) if y > h => Reading::AtLeast(truth(h)),
                (Reading::Exact(y), Some(l), _) if y < l && sizes && l >= 0.0 && truth(y) < 0.0 => {
                    Reading::Exact(truth(y))
                }
                (Reading::Exact(y), Some(l), _) if y < l => Reading::AtMost(truth(l)),
                (read, ..) => read.map(truth),
            };
        }
    }
    for column in columns {
        bound_lost(&mut s, rig, column);
    }
    s
}

/// Turns a column of which no reading stands clear of zero into bounds: within three standard
/// uncertainties u of the rig a reading y is `<= y + 2 u`, within half a step `<=` one step.
/// Small readings beside larger ones in a curve are left: there the shared offset is what
/// counts, and it enters as bias. Temperatures have no zero to be lost in,
/// a set value (a column without a resolution of its own) may be zero, as a disc's bore is, and
/// a size that every specimen has is not lost but wrong.
fn bound_lost(s: &mut Specimen, rig: &Rig, column: &Column) {
    let Kind::Number {
        unit, resolution, ..
    } = column.kind
    else {
        return;
    };
    if unit == "degC" || resolution <= 0.0 || column.need == Need::Once {
        return;
    }
    let channel = rig
        .channels
        .iter()
        .find(|c| c.column == column.name && c.gain > 0.0);
    let step = resolution_of(column, rig).unwrap_or(0.0);
    let bound = |t: f64| {
        let u = channel.map_or(0.0, |c| c.offset_u.hypot(c.gain_u * t) / c.gain);
        let by_u = (t.abs() < SEEN_ABOVE_U * u).then(|| t.max(0.0) + BOUND_AT_U * u);
        let by_step = (t.abs() < 0.5 * step).then_some(step);
        match (by_u, by_step) {
            (Some(a), Some(b)) => Some(a.max(b)),
            (a, b) => a.or(b),
        }
    };
    let exact: Vec<f64> = s
        .points
        .iter()
        .filter_map(|p| match p.cells.get(column.name) {
            Some(Cell::Number(Reading::Exact(t))) => Some(*t),
            _ => None,
        })
        .collect();
    if exact.is_empty() || exact.iter().any(|t| bound(*t).is_none()) {
        return;
    }
    for p in &mut s.points {
        if let Some(Cell::Number(r)) = p.cells.get_mut(column.name)
            && let Reading::Exact(t) = *r
            && let Some(b) = bound(t)
        {
            *r = Reading::AtMost(b);
        }
    }
}

/// One place of a specimen where a figure stands: point index and column.
fn bounded_cells(s: &Specimen) -> Vec<(usize, &'static str, Reading)> {
    let mut found = Vec::new();
    for (i, p) in s.points.iter().enumerate() {
        for (name, cell) in p.cells.iter() {
            if let Cell::Number(r) = cell
                && !r.is_exact()
            {
                found.push((i, name, *r));
            }
        }
    }
    found
}

/// What `look` sees with one cell at another figure; the cell is put back.
fn with_cell<T>(
    s: &mut Specimen,
    point: usize,
    column: &'static str,
    y: f64,
    look: impl FnOnce(&Specimen) -> T,
) -> T {
    let cell = Cell::Number(Reading::Exact(y));
    let was = s
        .points
        .get_mut(point)
        .and_then(|p| p.cells.insert(column, cell));
    let seen = look(s);
    if let (Some(p), Some(was)) = (s.points.get_mut(point), was) {
        p.cells.insert(column, was);
    }
    seen
}

/// The value in `moved` that answers to the `k`-th of `base`: the same occurrence of its property.
fn moved_value<'a>(base: &[Observation], k: usize, moved: &'a [Observation]) -> Option<&'a Value> {
    let property = &base.get(k)?.property;
    let same = |o: &&Observation| &o.property == property;
    let nth = base.iter().take(k).filter(same).count();
    moved.iter().filter(same).nth(nth).map(|o| &o.value)
}

/// Whether two values of one property differ by more than rounding, a curve in any of its points.
fn differs(a: &Value, b: &Value) -> bool {
    let apart = |x: f64, y: f64| (x - y).abs() > x.abs() * 1e-12;
    match (a, b) {
        (Value::Curve(a), Value::Curve(b)) => {
            let pairs = || a.points.iter().zip(&b.points);
            a.points.len() != b.points.len()
                || pairs().any(|(p, q)| apart(p.0, q.0) || apart(p.1, q.1))
        }
        (Value::Now(a), Value::Now(b)) => {
            apart(a.as_exact(), b.as_exact()) || a.is_exact() != b.is_exact()
        }
        _ => apart(a.figure(), b.figure()),
    }
}

/// A bounded cell makes every property that moves with it a bound, on the side the formula's slope says.
/// A curve over time becomes a bound at its last time where its last lines are the bounded ones.
fn apply_bounded_cells(
    test: &dyn BenchTest,
    s: &mut Specimen,
    base: &mut Reduction,
    seen: &mut Reduction,
) {
    let mut refuse: Vec<(usize, &'static str, String)> = Vec::new();
    let cells = bounded_cells(s);
    for &(i, column, reading) in &cells {
        let at = reading.as_exact();
        let from_here = cells.iter().filter(|c| c.1 == column && c.0 >= i).count();
        let step = (at.abs() * 1e-4).max(1e-9);
        let mut at_figure = |y: f64| with_cell(s, i, column, y, |t| seen.again(test, t).to_vec());
        let up = at_figure(at + step);
        let ends = if let Reading::Between(a, b) = reading {
            Some((at_figure(a), at_figure(b)))
        } else {
            None
        };
        for k in 0..base.observations.len() {
            let moved = moved_value(&base.observations, k, &up);
            if let Some(o) = base.observations.get_mut(k)
                && let Some((bound, hours)) = end_of_curve(&o.value, moved, reading, from_here)
            {
                o.value = Value::Now(bound);
                o.hours = Some(hours);
                continue;
            }
            match bounded_value(base, k, reading, &up, ends.as_ref()) {
                Ok(Some(bound)) => {
                    if let Some(o) = base.observations.get_mut(k) {
                        o.value = Value::Now(bound);
                    }
                }
                Ok(None) => {}
                Err((code, why)) => {
                    refuse.push((k, code, format!("the bounded cell `{column}` {why}")));
                }
            }
        }
    }
    refuse.sort_by_key(|r| std::cmp::Reverse(r.0));
    refuse.dedup_by_key(|r| r.0);
    for (k, code, why) in refuse {
        let o = base.observations.remove(k);
        base.refuse_own(o.property, code, why);
    }
}

/// A curve whose last `bounded` points, and only they, rest on bounded cells: the bound at its last
/// time, and that time. What a modulus or a share is by then it is later too, or less.
fn end_of_curve(
    base: &Value,
    moved: Option<&Value>,
    cell: Reading,
    bounded: usize,
) -> Option<(Reading, f64)> {
    let (Value::Curve(base), Some(Value::Curve(moved))) = (base, moved) else {
        return None;
    };
    let same_times = base.points.len() == moved.points.len();
    let pairs = || base.points.iter().zip(&moved.points);
    let apart = |(a, b): (&(f64, f64), &(f64, f64))| (a.1 - b.1).abs() > a.1.abs() * 1e-12;
    let first = pairs().position(apart)?;
    let alone = pairs().filter(|p| apart(*p)).count() == 1;
    if !same_times || !alone || base.points.len() - first != bounded {
        return None;
    }
    let (a, b) = pairs().nth(first)?;
    let last = base.points.last()?;
    let bound = match (cell, b.1 > a.1) {
        (Reading::AtLeast(_), true) | (Reading::AtMost(_), false) => Reading::AtLeast(last.1),
        (Reading::AtLeast(_), false) | (Reading::AtMost(_), true) => Reading::AtMost(last.1),
        _ => return None,
    };
    Some((bound, last.0))
}

/// The `k`-th observation under one bounded cell: `None` where the cell does not move it.
///
/// # Errors
/// Code and reason where no bound follows.
fn bounded_value(
    base: &Reduction,
    k: usize,
    cell: Reading,
    up: &[Observation],
    ends: Option<&(Vec<Observation>, Vec<Observation>)>,
) -> Result<Option<Reading>, (&'static str, &'static str)> {
    const LEAVES: (&str, &str) = (
        "bench::bound-not-carried",
        "takes the formula out of its validity",
    );
    let Some(o) = base.observations.get(k) else {
        return Ok(None);
    };
    let moved = moved_value(&base.observations, k, up).ok_or(LEAVES)?;
    let ends = match ends {
        Some((a, b)) => Some((
            moved_value(&base.observations, k, a).ok_or(LEAVES)?,
            moved_value(&base.observations, k, b).ok_or(LEAVES)?,
        )),
        None => None,
    };
    if !differs(&o.value, moved) && !ends.is_some_and(|(a, b)| differs(a, b)) {
        return Ok(None);
    }
    let Value::Now(old) = o.value else {
        return Err((
            "bench::bound-in-curve",
            "stands in a curve over time, which takes exact readings: take a gauge with more range, or end the curve before it",
        ));
    };
    let here = old.as_exact();
    // At the end of a scale the next figure up is itself a bound.
    let ends_here = matches!(moved, Value::Now(Reading::AtLeast(x)) if *x >= here);
    let rises = ends_here || moved.figure() > here;
    let new = match (cell, ends) {
        (Reading::Between(..), Some((a, b))) => {
            let (a, b) = (a.figure(), b.figure());
            Reading::Between(a.min(b), a.max(b))
        }
        (Reading::AtLeast(_), _) if rises => Reading::AtLeast(here),
        (Reading::AtMost(_), _) if !rises => Reading::AtLeast(here),
        _ => Reading::AtMost(here),
    };
    combine(old, new).map(Some).ok_or((
        "bench::bounds-conflict",
        "and another bound pull the figure both ways",
    ))
}

/// Two bounds on one figure, each found with the other taken as exact.
fn combine(old: Reading, new: Reading) -> Option<Reading> {
    match (old, new) {
        (Reading::Exact(_), n) => Some(n),
        (Reading::AtLeast(a), Reading::AtLeast(b)) => Some(Reading::AtLeast(a.min(b))),
        (Reading::AtMost(a), Reading::AtMost(b)) => Some(Reading::AtMost(a.max(b))),
        (Reading::AtLeast(a), Reading::Between(b, _))
        | (Reading::Between(b, _), Reading::AtLeast(a)) => Some(Reading::AtLeast(a.min(b))),
        (Reading::AtMost(a), Reading::Between(_, b))
        | (Reading::Between(_, b), Reading::AtMost(a)) => Some(Reading::AtMost(a.max(b))),
        (Reading::Between(a, b), Reading::Between(c, d)) => {
            Some(Reading::Between(a.min(c), b.max(d)))
        }
        _ => None,
    }
}

/// Resolution of each column through the formula's slope, summed in squares.
fn add_resolution(
    test: &dyn BenchTest,
    s: &mut Specimen,
    base: &mut Reduction,
    seen: &mut Reduction,
) {
    let mut squares = vec![0.0; base.observations.len()];
    for &(column, d) in base.resolutions.iter() {
        if d <= 0.0 {
            continue;
        }
        for i in 0..s.points.len() {
            let Some(x) = s.points.get(i).and_then(|p| p.num(column)) else {
                continue;
            };
            with_cell(s, i, column, x + 0.5 * d, |t| {
                seen.again(test, t);
            });
            let mut down = None;
            for (k, square) in squares.iter_mut().enumerate() {
                let Some(here) = base.observations.get(k).map(|o| o.value.figure()) else {
                    continue;
                };
                // Where half a step up leaves the formula's validity, half a step down tells.
                let moved = moved_value(&base.observations, k, &seen.observations).or_else(|| {
                    let down = down.get_or_insert_with(|| {
                        let mut below = base.silent();
                        with_cell(s, i, column, x - 0.5 * d, |t| {
                            below.again(test, t);
                        });
                        below.observations
                    });
                    moved_value(&base.observations, k, down)
                });
                // Half a step moves it by this; the full width is twice that.
                let full: f64 = 2.0 * (moved.map_or(here, Value::figure) - here);
                if full.is_finite() {
                    *square += full * full;
                }
            }
        }
    }
    for (o, q) in base.observations.iter_mut().zip(squares) {
        o.resolution = o.resolution.hypot(q.sqrt());
    }
}

/// Offset and gain of each calibration, moved by one standard uncertainty in all its readings at once.
fn add_bias(
    test: &dyn BenchTest,
    s: &mut Specimen,
    rig: &Rig,
    properties: &Properties,
    base: &mut Reduction,
    seen: &mut Reduction,
) {
    for ch in rig.channels.iter().filter(|c| c.gain > 0.0) {
        for (kind, u) in [(BiasKind::Offset, ch.offset_u), (BiasKind::Gain, ch.gain_u)] {
            if u <= 0.0 {
                continue;
            }
            let by = |sign: f64| {
                move |x: f64| match kind {
                    BiasKind::Offset => x - sign * u / ch.gain,
                    BiasKind::Gain => x / (1.0 + sign * u / ch.gain),
                }
            };
            if !with_column(s, &ch.column, by(1.0), |t| {
                seen.again(test, t);
            }) {
                continue;
            }
            let mut down = None;
            for k in 0..base.observations.len() {
                let Some(o) = base.observations.get(k) else {
                    continue;
                };
                let scale = properties
                    .get(o.property.as_str())
                    .map_or(Scale::Log, |p| p.scale);
                let here = scale.forward(o.value.figure());
                // Where the shifted reading leaves the formula's validity, the other way tells.
                let slope = match moved_value(&base.observations, k, &seen.observations) {
                    Some(m) => scale.forward(m.figure()) - here,
                    None => {
                        let down = down.get_or_insert_with(|| {
                            let mut below = base.silent();
                            with_column(s, &ch.column, by(-1.0), |t| {
                                below.again(test, t);
                            });
                            below.observations
                        });
                        match moved_value(&base.observations, k, down) {
                            Some(m) => here - scale.forward(m.figure()),
                            None => continue,
                        }
                    }
                };
                if slope.is_finite()
                    && slope.abs() > 0.0
                    && let Some(o) = base.observations.get_mut(k)
                {
                    o.bias.push(Bias {
                        calibration: ch.id.clone(),
                        kind,
                        slope,
                    });
                }
            }
        }
    }
}

/// Shows `look` a specimen with every reading of a column moved; the column is put back.
/// Without such a reading there is nothing to see.
fn with_column(
    s: &mut Specimen,
    column: &str,
    by: impl Fn(f64) -> f64,
    look: impl FnOnce(&Specimen),
) -> bool {
    let mut was: Vec<(usize, Reading)> = Vec::with_capacity(s.points.len());
    for (i, p) in s.points.iter_mut().enumerate() {
        if let Some(Cell::Number(r)) = p.cells.get_mut(column) {
            was.push((i, *r));
            *r = match *r {
                Reading::Exact(x) => Reading::Exact(by(x)),
                Reading::AtLeast(x) => Reading::AtLeast(by(x)),
                Reading::AtMost(x) => Reading::AtMost(by(x)),
                Reading::Between(a, b) => Reading::Between(by(a), by(b)),
            };
        }
    }
    if was.is_empty() {
        return false;
    }
    look(s);
    for (i, before) in was {
        if let Some(Cell::Number(r)) = s.points.get_mut(i).and_then(|p| p.cells.get_mut(column)) {
            *r = before;
        }
    }
    true
}

#[cfg(test)]
#[path = "reduce_rig_tests.rs"]
mod rig_tests;

#[cfg(test)]
#[path = "reduce_bound_tests.rs"]
mod bound_tests;
