//! The published shapes of JSON answers, and their schemas from the same types.
//!
//! Monte-Carlo figures carry 4 significant digits, deterministic ones 10; what
//! cannot be said is null.

mod case;
mod check;
mod problems;
mod shortlist;
mod show;

pub(crate) use check::CheckFile;
pub(crate) use problems::{ProblemsFile, problems};
pub(crate) use shortlist::{ShortlistFile, ShortlistsFile, folder};
pub(crate) use show::ShowFile;

use crate::render::words::significant;
use serde::Serialize;

/// Significant digits of a Monte-Carlo figure.
const DRAWN: usize = 4;
/// Significant digits of a deterministic figure.
const COMPUTED: usize = 10;

/// A Monte-Carlo figure; null for what is no figure.
fn drawn(x: f64) -> Option<f64> {
    significant(x, DRAWN)
}

/// A deterministic figure; null for what is no figure.
fn computed(x: f64) -> Option<f64> {
    significant(x, COMPUTED)
}

/// A whole answer, pretty, with its line end.
pub(crate) fn written<T: Serialize>(answer: &T) -> String {
    // Only maps with odd keys can fail, and there is none in these types.
    let mut text = serde_json::to_string_pretty(answer).unwrap_or_default();
    text.push('\n');
    text
}
