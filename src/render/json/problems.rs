//! `dutyfit.problems/1` and `dutyfit.lint/1`.

use crate::problem::{Problem, Severity};
use schemars::JsonSchema;
use serde::Serialize;

/// `dutyfit.problems/1`, and `dutyfit.lint/1` from `lint`: everything wrong or doubtful.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct ProblemsFile {
    /// `dutyfit.problems/1` or `dutyfit.lint/1`.
    #[schemars(extend("enum" = ["dutyfit.problems/1", "dutyfit.lint/1"]))]
    format: &'static str,
    /// How many are errors.
    errors: usize,
    /// How many are doubts.
    doubts: usize,
    /// The Problems, by file and place.
    problems: Vec<Problem>,
}

/// All Problems under a format name, as JSON.
pub(crate) fn problems(format: &'static str, all: &[Problem]) -> String {
    let errors = all.iter().filter(|p| p.severity == Severity::Error).count();
    super::written(&ProblemsFile {
        format,
        errors,
        doubts: all.len().saturating_sub(errors),
        problems: all.to_vec(),
    })
}
