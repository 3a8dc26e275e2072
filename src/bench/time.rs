//! Readings over time: one specimen's curve reduced to one number at a life.

use serde::Serialize;

/// One specimen's readings over time.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Curve {
    /// Hours since loading and value, in order of time, times above zero.
    pub points: Vec<(f64, f64)>,
}

/// What a curve says at a life.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimeFit {
    /// Value at the life, the equal-weight mean of both laws on the natural (log) scale.
    pub value: f64,
    /// Variance added on the log scale: the laws' difference and the drift past the last reading.
    pub added_variance: f64,
    /// Decades from the last reading to the life; 0 within the data.
    pub decades_beyond: f64,
    /// Value by the Findley power law y = y0 + m t^n.
    pub findley: f64,
    /// Value by the log-time law y = a + b log10 t.
    pub log_time: f64,
}

/// One curve at `life_h` hours; `drift` is the policy's standard drift per decade past the last reading.
///
/// `None` with fewer than two points at positive times, or where neither law gives a positive value.
pub fn at_life(curve: &Curve, life_h: f64, drift: f64) -> Option<TimeFit> {
    let _ = (curve, life_h, drift);
    None
}
