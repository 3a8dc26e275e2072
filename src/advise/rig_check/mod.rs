//! Whether the rigs still read what they read when they were calibrated.
//!
//! A rig's reference specimens (materials of kind `reference`) are tested now and then, in the same
//! sheets as everything else. Their readings go through the same reduction, so that what is watched is
//! the property with all its channels, on its natural scale. One run of one reference is one check.
//!
//! # The chart
//!
//! An individuals chart with moving ranges (ISO 7870-2) for every rig, test, property, reference and
//! condition, begun anew with every calibration. What is expected is the mean of the base period: the
//! first eight checks under the calibration, fewer where there are fewer or where a step ends them.
//! The scatter comes from the moving ranges of all checks. A further check in control passes the
//! limits with a chance of 0.27 % or less however few the checks (`num::control`); under five nothing
//! is said. The limits are never closer than twice the standard uncertainty that the calibration
//! states for the property: a smaller drift is in every interval already. Nor is the scatter taken
//! below that of rounding to the rig's resolution.
//!
//! # The rules
//!
//! 1. One check beyond the limits (ISO 7870-2; verified in source for the factor 2.66).
//! 2. Nine in a row on one side of the mean (test 2 of ISO 8258:1991 and rule 2 of Nelson 1984; verified in
//!    source: public descriptions of both), and, ours, the mean of the nine off by more than a third
//!    of the limits and than twice the calibration's standard uncertainty.
//! 3. Six in a row steadily rising or falling (test 3 of ISO 8258:1991, as above), and, ours, by more than that.
//! 4. A straight line through the checks that rules 1 to 3 leave that rises or falls, certain to 0.27 %, and has gone as far as
//!    that (ours: what a slow drift looks like with a dozen checks).
//!
//! What rules 2 to 4 see within the calibration's uncertainty, and a moving range beyond its limit, is
//! told as something to watch. The rules on zones within the limits (tests 4 to 8) are left out: with
//! a mean from eight checks they call too often (ours).
//!
//! Simulated with normal scatter and no calibration uncertainty (the tests hold this): of 100 series in
//! control 2 of 12 checks and 8 of 24 checks are called out. A step after the eighth of 12 checks is
//! found in 93 of 100 series if it is of 6 standard deviations of a check, in 63 of 4, in 39 of 3; one of 2
//! after the twelfth of 24 checks in 90. A drift of 0.4 standard deviations a check is found in 79 of
//! 100 series of 12 checks.
//!
//! A reference whose value is stated (stated.csv) is held against it too: the mean of the base period may
//! lie from it by twice what the statement, the calibration and the scatter leave open together.
//!
//! # Runs in doubt
//!
//! All counted runs that share one of the calibrations behind the property, dated after the last good
//! check and up to the next good one. Those up to the first bad check may have been made before the
//! change; those after it were made while it lasted.

mod chart;
mod doubt;
mod precision;
mod series;

pub use chart::{Chart, ControlState, Drift, Rule, Signal};
pub use doubt::{CalibrationLine, Doubt};
pub use precision::{Design, Factor, Precision};
pub use series::Check;

use crate::belief::{Evidence, MaterialKind, Stated};
use crate::property::{Condition, PropertyId, Scale};
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// What the reference specimens say of the rigs.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct RigCheck {
    /// One entry a rig, test, property, reference and condition.
    pub series: Vec<Series>,
    /// How well readings repeat.
    pub precision: Vec<Precision>,
    /// Rigs with runs that count and no reading of a reference.
    pub unchecked: Vec<Unchecked>,
}

/// A rig without a reference specimen.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Unchecked {
    /// The rig as the sheets name it.
    pub rig: String,
    /// How many runs rest on it.
    pub runs: usize,
}

/// The checks of one reference by one rig.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Series {
    /// The rig as the sheets name it, `frame-1+caliper-2`.
    pub rig: String,
    /// Test.
    pub test: &'static str,
    /// Property.
    pub property: PropertyId,
    /// Its title.
    pub title: String,
    /// Its canonical unit.
    pub unit: String,
    /// Its natural scale: shares of the figure on `log`.
    pub scale: Scale,
    /// The reference.
    pub reference: String,
    /// The conditions of its readings.
    pub condition: Condition,
    /// Readings that were only bounds, and so stand in no chart.
    pub bounds: usize,
    /// Runs of the reference that are set aside.
    pub set_aside: Vec<String>,
    /// Checks without a date, which stand in no chart.
    pub undated: usize,
    /// One entry a calibration, oldest first.
    pub segments: Vec<Segment>,
}

/// The mean of the base period against the reference's stated value.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Against {
    /// The stated value, canonical unit.
    pub value: f64,
    /// Where it stands.
    pub source: String,
    /// How far the mean lies from it, natural scale.
    pub off: f64,
    /// How far it may: twice the stated value's deviation, the calibration's uncertainty and the mean's own
    /// scatter together.
    pub allowed: f64,
    /// Whether it lies within that.
    pub holds: bool,
}

/// The checks under one calibration.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Segment {
    /// The calibrations in force, `rig/channel/from`; none for a rig that is not in rigs.csv.
    pub calibrations: Vec<String>,
    /// Checks by date.
    pub checks: Vec<Check>,
    /// How it stands.
    pub state: ControlState,
    /// The chart; `None` with too few checks.
    pub chart: Option<Chart>,
    /// The base mean against what the reference is stated to be, where it is.
    pub stated: Option<Against>,
    /// Stretches out of control, and the runs they put in doubt.
    pub doubts: Vec<Doubt>,
    /// What to write to rigs.csv if the last checks are right, likeliest cause first; empty where they
    /// are in control.
    pub calibration_lines: Vec<CalibrationLine>,
}

impl Segment {
    /// Every run in doubt, once.
    pub fn runs_in_doubt(&self) -> BTreeSet<&str> {
        self.doubts.iter().flat_map(Doubt::runs).collect()
    }

    /// Whether something has to be done: out of control now, runs in doubt, or a mean that is not what the
    /// reference is stated to be.
    pub fn calls(&self) -> bool {
        self.state == ControlState::OutOfControl
            || !self.runs_in_doubt().is_empty()
            || self.stated.as_ref().is_some_and(|s| !s.holds)
    }
}

impl Series {
    /// The checks under the newest calibration.
    pub fn latest(&self) -> Option<&Segment> {
        self.segments.last()
    }

    /// Whether something has to be done under any calibration.
    pub fn calls(&self) -> bool {
        self.segments.iter().any(Segment::calls)
    }
}

impl RigCheck {
    /// Whether a rig is out of control, or a run in doubt.
    pub fn calls(&self) -> bool {
        self.series.iter().any(Series::calls)
    }

    /// Every run in doubt, once.
    pub fn runs_in_doubt(&self) -> BTreeSet<&str> {
        self.series
            .iter()
            .flat_map(|s| &s.segments)
            .flat_map(Segment::runs_in_doubt)
            .collect()
    }
}

/// The rigs that runs name, each instrument of a joined name among them.
pub fn rigs(evidence: &Evidence) -> BTreeSet<&str> {
    evidence
        .runs()
        .iter()
        .map(|r| r.run.rig.name.as_str())
        .flat_map(|name| std::iter::once(name).chain(name.split('+').map(str::trim)))
        .collect()
}

/// Checks every rig, or those that are `rig` or hold it as one of their instruments.
pub fn rig_check(evidence: &Evidence, rig: Option<&str>) -> RigCheck {
    let wanted =
        |name: &str| rig.is_none_or(|r| name == r || name.split('+').any(|part| part.trim() == r));
    let gathered = series::gather(evidence, &wanted);
    let mut out = RigCheck::default();
    for g in &gathered {
        let segments = g.segments.iter().map(|s| segment(evidence, g, s)).collect();
        out.series.push(Series {
            rig: g.key.rig.to_owned(),
            test: g.key.test,
            property: g.key.property.clone(),
            title: g.title.clone(),
            unit: g.unit.clone(),
            scale: g.scale,
            reference: g.key.material.to_owned(),
            condition: g.condition.clone(),
            bounds: g.bounds,
            set_aside: g.set_aside.iter().map(|s| (*s).to_owned()).collect(),
            undated: g.undated,
            segments,
        });
    }
    out.precision = precision::precision(&gathered, &out.series);
    out.unchecked = unchecked(evidence, &out.series, &wanted);
    out
}

fn segment(evidence: &Evidence, of: &series::Gathered<'_>, s: &series::Stretch<'_>) -> Segment {
    let judged = chart::judge(&s.looks, of.scale);
    let checks = s
        .looks
        .iter()
        .enumerate()
        .map(|(i, look)| look.shown(of.scale, judged.bad.get(i).copied().unwrap_or(false)))
        .collect();
    let doubts = doubt::doubts(evidence, of, s, &judged.bad);
    let calibration_lines = match &judged.chart {
        Some(c) if judged.state == ControlState::OutOfControl => {
            doubt::calibration_lines(of, s, &judged.bad, c.mean_natural)
        }
        _ => Vec::new(),
    };
    Segment {
        stated: judged.chart.as_ref().and_then(|c| against(evidence, of, c)),
        calibrations: s.calibrations.iter().map(|c| (*c).to_owned()).collect(),
        checks,
        state: judged.state,
        chart: judged.chart,
        doubts,
        calibration_lines,
    }
}

/// A chart's mean against the one exact value that is stated of the reference under its condition.
///
/// A chart sees change, not what was off from the first day on. The three deviations are independent and
/// add in squares, with a coverage factor of 2 (JCGM 100, 5.1.2 and 6.2.1; from memory, not verified).
fn against(evidence: &Evidence, of: &series::Gathered<'_>, c: &Chart) -> Option<Against> {
    let policy = evidence.policy();
    let near = |a: f64, b: f64| (a - b).abs() <= policy.temperature_window_k;
    let fits = |x: &&Stated| {
        x.material.as_deref() == Some(of.key.material)
            && x.property == *of.key.property
            && x.value.is_exact()
            && near(x.condition.temperature_c, of.condition.temperature_c)
            && (x.condition.counterface.is_none()
                || x.condition.counterface == of.condition.counterface)
    };
    let stated = evidence.stated().iter().find(fits)?;
    let value = stated.value.as_exact();
    let sd = stated.sd.unwrap_or(match of.scale {
        Scale::Log => policy.stated_share,
        Scale::Plain => policy.stated_points,
    });
    let own = c.sigma / (c.base as f64).sqrt();
    let allowed = 2.0 * (sd * sd + c.calibration_u.powi(2) + own * own).sqrt();
    let off = c.mean_natural - of.scale.forward(value);
    off.is_finite().then(|| Against {
        value,
        source: stated.source.clone(),
        off,
        allowed,
        holds: off.abs() <= allowed,
    })
}

/// Rigs of counted runs that no reference was read on.
fn unchecked(
    evidence: &Evidence,
    series: &[Series],
    wanted: &dyn Fn(&str) -> bool,
) -> Vec<Unchecked> {
    let references = references(evidence);
    let mut runs: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for r in evidence.runs() {
        let reference = r
            .run
            .material
            .as_deref()
            .is_some_and(|m| references.contains(m));
        if !reference && r.run.set_aside.is_none() && wanted(&r.run.rig.name) {
            runs.entry(&r.run.rig.name).or_default().insert(&r.run.id);
        }
    }
    runs.into_iter()
        .filter(|(rig, _)| !series.iter().any(|s| s.rig == *rig))
        .map(|(rig, runs)| Unchecked {
            rig: rig.to_owned(),
            runs: runs.len(),
        })
        .collect()
}

/// Ids of the reference specimens.
fn references(evidence: &Evidence) -> BTreeSet<&str> {
    evidence
        .materials()
        .iter()
        .filter(|m| m.kind == MaterialKind::Reference)
        .map(|m| m.id.as_str())
        .collect()
}

/// A difference on a natural scale as people say it: % of the figure on `log`, else the unit.
pub fn difference(scale: Scale, natural: f64) -> f64 {
    match scale {
        Scale::Log => 100.0 * natural.exp_m1(),
        Scale::Plain => natural,
    }
}

/// A standard deviation on a natural scale as people say it: % of the figure on `log`, else the unit.
pub fn deviation(scale: Scale, natural: f64) -> f64 {
    match scale {
        Scale::Log => 100.0 * natural,
        Scale::Plain => natural,
    }
}

/// The unit of [`difference`] and [`deviation`].
pub fn difference_unit(scale: Scale, unit: &str) -> &str {
    match scale {
        Scale::Log => "%",
        Scale::Plain => unit,
    }
}
