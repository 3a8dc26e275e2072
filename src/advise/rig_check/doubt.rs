//! Which runs a reference out of control puts in doubt, and what to write to rigs.csv.

use crate::advise::rig_check::chart::ending;
use crate::advise::rig_check::references;
use crate::advise::rig_check::series::{Gathered, Look, Stretch};
use crate::belief::Evidence;
use crate::bench::{self, BiasKind, Channel, Kind, ReducedRun};
use crate::quantity::significant;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeSet;

/// Digits of a calibration's new figure.
const DIGITS: usize = 5;

/// A check and its date.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct At {
    /// Run of the reference.
    pub run: String,
    /// Its date.
    pub date: String,
}

impl At {
    fn of(look: &Look<'_>) -> Self {
        At {
            run: look.run.to_owned(),
            date: look.date.to_owned(),
        }
    }
}

/// One stretch out of control, and the runs it puts in doubt.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Doubt {
    /// The last good check before it; `None` where it begins with the calibration.
    pub last_good: Option<At>,
    /// The first bad check.
    pub first_bad: At,
    /// The next good check; `None` where it lasts.
    pub next_good: Option<At>,
    /// Counted runs after the last good check and up to the first bad one: before the change, or after it.
    pub between: Vec<String>,
    /// Counted runs made while it lasted.
    pub during: Vec<String>,
    /// Counted runs without a date, which cannot be placed.
    pub undated: Vec<String>,
}

impl Doubt {
    /// All runs in doubt.
    pub fn runs(&self) -> impl Iterator<Item = &str> {
        self.between
            .iter()
            .chain(&self.during)
            .chain(&self.undated)
            .map(String::as_str)
    }
}

/// A line for rigs.csv that puts the reference back to its mean.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CalibrationLine {
    /// Instrument.
    pub rig: String,
    /// Raw column.
    pub channel: String,
    /// Offset or gain.
    pub part: BiasKind,
    /// The figure that the calibration has, canonical unit of the column.
    pub was: f64,
    /// The figure that puts the reference back, if this channel alone has moved.
    pub becomes: f64,
    /// By how many of the calibration's standard uncertainties it has moved.
    pub uncertainties: f64,
    /// Names of the columns of `line`.
    pub header: &'static str,
    /// The line.
    pub line: String,
}

const HEADER: &str =
    "rig,channel,from,unit,low,high,resolution,offset,offset_u,gain,gain_u,reference";

/// Every stretch of bad checks.
pub(super) fn doubts(
    evidence: &Evidence,
    of: &Gathered<'_>,
    s: &Stretch<'_>,
    bad: &[bool],
) -> Vec<Doubt> {
    let mut out = Vec::new();
    let mut i = 0;
    while i < bad.len() {
        if bad.get(i) != Some(&true) {
            i += 1;
            continue;
        }
        let length = bad.iter().skip(i).take_while(|b| **b).count();
        let next = i + length;
        let (Some(first), before) = (
            s.looks.get(i),
            i.checked_sub(1).and_then(|b| s.looks.get(b)),
        ) else {
            break;
        };
        out.push(doubt(evidence, of, s, before, first, s.looks.get(next)));
        i = next;
    }
    out
}

fn doubt(
    evidence: &Evidence,
    of: &Gathered<'_>,
    s: &Stretch<'_>,
    before: Option<&Look<'_>>,
    first: &Look<'_>,
    next: Option<&Look<'_>>,
) -> Doubt {
    let references = references(evidence);
    // What the property hangs on; all channels of the rig where no uncertainty is stated.
    let mut behind: BTreeSet<&str> = first.bias.iter().map(|b| &*b.calibration).collect();
    if behind.is_empty() {
        behind.extend(s.calibrations.iter().copied());
    }
    let shares = |r: &ReducedRun| {
        if behind.is_empty() {
            r.run.rig.name == of.key.rig && r.run.test == of.key.test
        } else {
            r.run.rig.channels.iter().any(|c| behind.contains(&*c.id))
        }
    };
    let mut between = BTreeSet::new();
    let mut during = BTreeSet::new();
    let mut undated = BTreeSet::new();
    for r in evidence.runs() {
        let reference = r
            .run
            .material
            .as_deref()
            .is_some_and(|m| references.contains(m));
        if reference || r.run.set_aside.is_some() || !shares(r) {
            continue;
        }
        let id = r.run.id.clone();
        match r.run.date.as_deref() {
            None => {
                undated.insert(id);
            }
            Some(d) if before.is_some_and(|b| d <= b.date) || next.is_some_and(|n| d >= n.date) => {
            }
            Some(d) if d <= first.date => {
                between.insert(id);
            }
            Some(_) => {
                during.insert(id);
            }
        }
    }
    let list = |s: BTreeSet<String>| s.into_iter().collect();
    Doubt {
        last_good: before.map(At::of),
        first_bad: At::of(first),
        next_good: next.map(At::of),
        between: list(between),
        during: list(during),
        undated: list(undated),
    }
}

/// For each channel that can have moved, the line that puts the reference back to its mean: the one
/// that would have moved by the fewest of its standard uncertainties first, since that one is the
/// likeliest to have.
pub(super) fn calibration_lines(
    of: &Gathered<'_>,
    s: &Stretch<'_>,
    bad: &[bool],
    mean: f64,
) -> Vec<CalibrationLine> {
    let y: Vec<f64> = s.looks.iter().map(Look::mean).collect();
    let shift = ending(&y, bad) - mean;
    let since = bad.iter().rev().take_while(|b| **b).count();
    let first = s
        .looks
        .len()
        .checked_sub(since)
        .and_then(|i| s.looks.get(i));
    let Some(look) = first else {
        return Vec::new();
    };
    let mut lines: Vec<CalibrationLine> = look
        .bias
        .iter()
        .filter_map(|b| {
            let channel = look.channels.iter().find(|c| c.id == b.calibration)?;
            let moved = -shift / b.slope;
            // A gain moves by factors, so that a large move of it is no more than it must be.
            let (was, becomes) = match b.kind {
                BiasKind::Offset => (channel.offset, channel.offset + moved * channel.offset_u),
                BiasKind::Gain => {
                    let factor = moved * (channel.gain_u / channel.gain).ln_1p();
                    (channel.gain, channel.gain * factor.exp())
                }
            };
            let becomes = significant(becomes, DIGITS)?;
            line_of(of, channel, b.kind, look.date, becomes).map(|(rig, line)| CalibrationLine {
                rig,
                channel: channel.column.clone(),
                part: b.kind,
                was,
                becomes,
                uncertainties: moved.abs(),
                header: HEADER,
                line,
            })
        })
        .collect();
    lines.sort_by(|a, b| a.uncertainties.total_cmp(&b.uncertainties));
    lines
}

fn line_of(
    of: &Gathered<'_>,
    c: &Channel,
    part: BiasKind,
    from: &str,
    becomes: f64,
) -> Option<(String, String)> {
    let rig = c.id.split('/').next()?.to_owned();
    let column = bench::find(of.key.test)?
        .columns()
        .iter()
        .find(|k| k.name == c.column)?;
    let Kind::Number { unit, .. } = column.kind else {
        return None;
    };
    let (offset, gain) = match part {
        BiasKind::Offset => (becomes, c.gain),
        BiasKind::Gain => (c.offset, becomes),
    };
    let cell = |x: Option<f64>| x.map_or_else(String::new, |x| x.to_string());
    let cells = [
        rig.clone(),
        c.column.clone(),
        from.to_owned(),
        unit.to_owned(),
        cell(c.low),
        cell(c.high),
        cell(c.resolution),
        offset.to_string(),
        c.offset_u.to_string(),
        gain.to_string(),
        c.gain_u.to_string(),
        of.key.material.to_owned(),
    ];
    Some((rig, cells.join(",")))
}
