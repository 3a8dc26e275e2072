//! One thing a duty demands of the material.

use crate::bench::Step;
use crate::policy::Class;
use std::fmt;
use std::sync::Arc;

/// Which side of the bound is good.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LimitSense {
    /// Performance at least this.
    AtLeast(f64),
    /// Performance at most this.
    AtMost(f64),
    /// Performance between the two.
    Between(f64, f64),
}

impl LimitSense {
    /// Whether a performance meets it; NaN never does.
    pub fn met(self, x: f64) -> bool {
        match self {
            LimitSense::AtLeast(b) => x >= b,
            LimitSense::AtMost(b) => x <= b,
            LimitSense::Between(a, b) => x >= a && x <= b,
        }
    }
}

/// Property draws as a formula sees them: one figure a need, and which of the
/// need's alternatives it came from.
#[derive(Clone, Copy, Debug)]
pub struct Inputs<'a> {
    /// One figure a need, canonical unit.
    pub x: &'a [f64],
    /// Which alternative of each need was taken, from 0.
    pub which: &'a [u8],
}

/// Collects the steps of a formula when somebody asked to see them.
#[derive(Debug, Default)]
pub struct Trace {
    steps: Option<Vec<Step>>,
}

impl Trace {
    /// A trace that keeps nothing.
    pub fn off() -> Self {
        Trace { steps: None }
    }
    /// A trace that keeps every step.
    pub fn on() -> Self {
        Trace {
            steps: Some(Vec::new()),
        }
    }
    /// Notes a step, once where it is the same as one before, and returns its figure.
    #[inline]
    pub fn step(&mut self, label: &str, what: &str, value: f64, unit: &str) -> f64 {
        // Formulas run once a draw; the branch must cost nothing when nobody looks.
        if self.steps.is_some() {
            self.keep(label, what, value, unit);
        }
        value
    }
    #[cold]
    fn keep(&mut self, label: &str, what: &str, value: f64, unit: &str) {
        if let Some(s) = &mut self.steps {
            // Formulas share parts; what stands in the working already is not said twice.
            let told = |k: &Step| {
                k.what == what
                    && k.label == label
                    && k.unit == unit
                    && k.value.to_bits() == value.to_bits()
            };
            if s.iter().any(told) {
                return;
            }
            s.push(Step {
                label: label.to_owned(),
                what: what.to_owned(),
                value,
                unit: unit.to_owned(),
            });
        }
    }
    /// The steps kept.
    pub fn into_steps(self) -> Vec<Step> {
        self.steps.unwrap_or_default()
    }
}

type Formula = dyn Fn(Inputs<'_>, &mut Trace) -> f64 + Send + Sync;

/// A formula from property draws to one performance.
#[derive(Clone)]
pub struct Performance(Arc<Formula>);

impl Performance {
    /// Wraps a formula.
    pub fn new(f: impl Fn(Inputs<'_>, &mut Trace) -> f64 + Send + Sync + 'static) -> Self {
        Performance(Arc::new(f))
    }
    /// Its value for these draws.
    pub fn of(&self, inputs: Inputs<'_>) -> f64 {
        (self.0)(inputs, &mut Trace::off())
    }
    /// Its value with every step.
    pub fn worked(&self, inputs: Inputs<'_>) -> (f64, Vec<Step>) {
        let mut t = Trace::on();
        let y = (self.0)(inputs, &mut t);
        (y, t.into_steps())
    }
}

impl fmt::Debug for Performance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Performance")
    }
}

/// One limit.
#[derive(Clone, Debug)]
pub struct Limit {
    /// Id (`clamp-left`, `pull-off@hot`).
    pub id: String,
    /// Title for people, a noun phrase (`clamp load left`).
    pub title: String,
    /// Failure mode in a few words (`creeps away under the bolt`).
    pub failure: &'static str,
    /// Class.
    pub class: Class,
    /// Bound.
    pub sense: LimitSense,
    /// Unit of performance and bound.
    pub unit: String,
    /// Needs: for each, the asks (indices into [`Duty::asks`](crate::duty::Duty)) that
    /// can serve it, the wanted one first.
    pub needs: Vec<Vec<usize>>,
    /// Formula.
    pub performance: Performance,
    /// Formula labels and source with status, for people.
    pub source: &'static str,
}
