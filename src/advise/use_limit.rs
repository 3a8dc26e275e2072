//! How far one candidate could be pushed before it stops meeting the duty.

use crate::belief::Evidence;
use crate::duty::{Case, LeverKind};

/// The end of one lever for one candidate.
#[derive(Clone, Debug, PartialEq)]
pub struct UseLimit {
    /// Input name (`torque`, `temperature`, `life`).
    pub lever: String,
    /// Kind.
    pub kind: LeverKind,
    /// Value in the case.
    pub now: f64,
    /// Largest (load, temperature, life) or smallest (thickness) value at which it is still fit;
    /// `None` where it is not fit at any value tried.
    pub limit: Option<f64>,
    /// Whether `limit` is only where the search stopped.
    pub open: bool,
    /// Unit.
    pub unit: String,
    /// Limit id that ends it.
    pub ended_by: Option<String>,
}

/// Limits of use of one material in a case, for every load, temperature, life and thickness.
pub fn limits_of_use(case: &Case, evidence: &Evidence, material: &str, seed: u64) -> Vec<UseLimit> {
    let _ = (case, evidence, material, seed);
    Vec::new()
}
