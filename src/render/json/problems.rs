//! `dutyfit.problems/1` and `dutyfit.lint/1`.

use crate::catalog::Skipped;
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

/// What bad lines left out of an answer; there only where something was.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SkippedOut<'a> {
    /// The errors; the lines they stand on count for nothing.
    problems: &'a [Problem],
    /// What was left out besides, because those lines may have belonged to it.
    besides: &'a [String],
}

/// An answer with what bad lines left out as its last entry, `skipped`.
///
/// Every answer is one object, written by [`written`](super::written).
pub(crate) fn with_skipped(answer: &str, skipped: &Skipped) -> String {
    let entry = super::written(&SkippedOut {
        problems: &skipped.problems,
        besides: &skipped.besides,
    });
    match answer.trim_end().strip_suffix('}') {
        Some(open) => format!(
            "{},\n  \"skipped\": {}\n}}\n",
            open.trim_end(),
            entry.trim_end().replace('\n', "\n  ")
        ),
        None => answer.to_owned(),
    }
}
