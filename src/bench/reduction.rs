//! What a test's formula hands back for one specimen: observations, refusals, working.

use crate::bench::{BenchTest, Column, Curve, Kind, Outcome, Rig, Specimen};
use crate::property::{Condition, PropertyId};
use crate::quantity::Reading;
use serde::Serialize;
use std::sync::Arc;

/// A property's value from one specimen.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// One figure or bound, canonical unit.
    Now(Reading),
    /// A curve over time; the life of the duty picks the figure.
    Curve(Curve),
}

impl Value {
    /// The one figure or bound; `None` for a curve.
    pub fn now(&self) -> Option<Reading> {
        match self {
            Value::Now(r) => Some(*r),
            Value::Curve(_) => None,
        }
    }

    /// Hours after loading of a curve's last reading; `None` for what is no curve.
    pub fn last_h(&self) -> Option<f64> {
        match self {
            Value::Curve(c) => c.points.last().map(|p| p.0),
            Value::Now(_) => None,
        }
    }

    /// The figure that stands for it: of a curve, the last one.
    pub fn figure(&self) -> f64 {
        match self {
            Value::Now(r) => r.as_exact(),
            Value::Curve(c) => c.points.last().map_or(f64::NAN, |p| p.1),
        }
    }
}

/// Which part of a calibration a bias comes from.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum BiasKind {
    /// The offset.
    Offset,
    /// The gain.
    Gain,
}

/// How far one standard uncertainty of a calibration moves an observation on its natural scale.
#[derive(Clone, Debug, PartialEq)]
pub struct Bias {
    /// Calibration id; one draw is shared by everything under it.
    pub calibration: Arc<str>,
    /// Offset or gain.
    pub kind: BiasKind,
    /// Signed change on the natural scale per one standard uncertainty.
    pub slope: f64,
}

/// One property from one specimen.
#[derive(Clone, Debug, PartialEq)]
pub struct Observation {
    /// Property.
    pub property: PropertyId,
    /// Value in the canonical unit.
    pub value: Value,
    /// Conditions.
    pub condition: Condition,
    /// Resolution of the value, canonical unit of the property.
    pub resolution: f64,
    /// Bias terms.
    pub bias: Vec<Bias>,
    /// Whether the specimen failed early (footnoted).
    pub early: bool,
    /// Stress the figure was taken at, MPa, where it limits the figure's use (creep).
    pub stress_mpa: Option<f64>,
    /// Hours the figure speaks for (sustained strength).
    pub hours: Option<f64>,
}

/// Why no figure came out.
#[derive(Clone, Debug, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Refusal {
    /// Property that is refused.
    pub property: PropertyId,
    /// Code, `bench::...`.
    pub code: String,
    /// Why, with the figures.
    pub why: String,
}

/// One step of a reduction or of a limit, shown by `--working`.
#[derive(Clone, Debug, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Step {
    /// Formula label.
    pub label: String,
    /// What it is.
    pub what: String,
    /// Figure.
    pub value: f64,
    /// Unit.
    pub unit: String,
}

/// What a test's formula pushes for one specimen.
#[derive(Clone, Debug, Default)]
pub struct Reduction {
    /// Property, value, and notes on use.
    pub observations: Vec<Observation>,
    /// Refusals.
    pub refused: Vec<Refusal>,
    /// Steps.
    pub working: Vec<Step>,
    /// Smallest step of each raw column on this rig, in the column's canonical unit.
    pub(super) resolutions: Arc<[(&'static str, f64)]>,
    /// Whether steps are left out: only figures are asked for.
    silent: bool,
}

impl Reduction {
    pub(super) fn on(test: &dyn BenchTest, rig: &Rig, silent: bool) -> Self {
        let resolutions = test
            .columns()
            .iter()
            .filter_map(|column| Some((column.name, resolution_of(column, rig)?)))
            .collect();
        Reduction::with(resolutions, silent)
    }

    fn with(resolutions: Arc<[(&'static str, f64)]>, silent: bool) -> Self {
        Reduction {
            resolutions,
            silent,
            ..Reduction::default()
        }
    }

    /// An empty one on the same rig for figures alone.
    pub(super) fn silent(&self) -> Self {
        Reduction::with(Arc::clone(&self.resolutions), true)
    }

    /// Reduces another specimen with the room of the one before.
    pub(super) fn again(&mut self, test: &dyn BenchTest, s: &Specimen) -> &[Observation] {
        self.observations.clear();
        self.refused.clear();
        test.reduce(s, self);
        &self.observations
    }

    /// Smallest step that the rig shows in a raw column, in the column's canonical unit;
    /// 0 for set values and where nothing is known.
    pub fn resolution(&self, column: &str) -> f64 {
        self.resolutions
            .iter()
            .find(|r| r.0 == column)
            .map_or(0.0, |r| r.1)
    }

    /// Gives a property one figure or bound; returns it for notes (`stress_mpa`, `hours`, `condition.kind`).
    pub fn give(
        &mut self,
        s: &Specimen,
        property: &'static str,
        value: Reading,
    ) -> &mut Observation {
        self.push(s, property, Value::Now(value))
    }

    /// Gives a property a curve over time.
    pub fn give_curve(
        &mut self,
        s: &Specimen,
        property: &'static str,
        curve: Curve,
    ) -> &mut Observation {
        self.push(s, property, Value::Curve(curve))
    }

    fn push(&mut self, s: &Specimen, property: &'static str, value: Value) -> &mut Observation {
        self.give_own(s, PropertyId::fixed(property), value)
    }

    /// Gives any property, the user's own among them.
    pub fn give_own(
        &mut self,
        s: &Specimen,
        property: PropertyId,
        value: Value,
    ) -> &mut Observation {
        self.observations.push(Observation {
            property,
            value,
            condition: s.condition.clone(),
            resolution: 0.0,
            bias: Vec::new(),
            early: s.outcome() == Outcome::EarlyFailure,
            stress_mpa: None,
            hours: None,
        });
        let last = self.observations.len() - 1;
        &mut self.observations[last]
    }

    /// Refuses a property.
    pub fn refuse(&mut self, property: &'static str, code: &'static str, why: impl Into<String>) {
        self.refuse_own(PropertyId::fixed(property), code, why.into());
    }

    /// Refuses any property, the user's own among them.
    pub fn refuse_own(&mut self, property: PropertyId, code: &'static str, why: String) {
        self.refused.push(Refusal {
            property,
            code: code.to_owned(),
            why,
        });
    }

    /// Notes a step.
    pub fn step(
        &mut self,
        label: &'static str,
        what: &'static str,
        value: f64,
        unit: &'static str,
    ) {
        if self.silent {
            return;
        }
        self.working.push(Step {
            label: label.to_owned(),
            what: what.to_owned(),
            value,
            unit: unit.to_owned(),
        });
    }
}

/// Smallest step of a column's true values: the rig's (a step of its readings is less of the
/// truth where the gain is above 1), else the column's own; `None` for words.
pub(super) fn resolution_of(column: &Column, rig: &Rig) -> Option<f64> {
    let Kind::Number { resolution, .. } = column.kind else {
        return None;
    };
    let channel = rig
        .channels
        .iter()
        .find(|c| c.column == column.name && c.gain > 0.0);
    Some(match channel.and_then(|c| Some((c.resolution?, c.gain))) {
        Some((d, gain)) => d / gain,
        None => resolution,
    })
}
