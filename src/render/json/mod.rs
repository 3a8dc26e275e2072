//! The published shapes of JSON answers, and their schemas from the same types.
//!
//! Monte-Carlo figures carry 4 significant digits, deterministic ones 10; what
//! cannot be said is null.

mod case;
mod check;
mod direction;
mod duty;
mod problems;
mod sheet;
mod shortlist;
mod show;
mod told;
mod why;

pub(crate) use case::{BoundOut, CautionOut, DeclinedOut};
pub(crate) use check::CheckFile;
pub(crate) use duty::{AimOfCase, LimitOfCase};
pub(crate) use problems::{ProblemsFile, SkippedOut, problems, with_skipped};
pub(crate) use sheet::SheetFile;
pub(crate) use shortlist::{ShortlistFile, ShortlistsFile, folder};
pub(crate) use show::{CellOut, ShowFile};
pub(crate) use told::ToldOut;
pub(crate) use why::WhyFile;

use crate::render::words::significant;
use serde::Serialize;
use serde_json::ser::{Formatter, PrettyFormatter, Serializer};
use std::io::Write;

/// Significant digits of a Monte-Carlo figure.
const DRAWN: usize = 4;
/// Significant digits of a deterministic figure.
const COMPUTED: usize = 10;

/// A Monte-Carlo figure; null for what is no figure.
fn drawn(x: f64) -> Option<f64> {
    significant(x, DRAWN)
}

/// A deterministic figure; null for what is no figure.
pub(super) fn computed(x: f64) -> Option<f64> {
    significant(x, COMPUTED)
}

/// Writes every figure with [`COMPUTED`] significant digits, otherwise pretty.
#[derive(Default)]
struct Computed(PrettyFormatter<'static>);

impl Formatter for Computed {
    fn write_f64<W: ?Sized + Write>(&mut self, to: &mut W, x: f64) -> std::io::Result<()> {
        self.0.write_f64(to, computed(x).unwrap_or(x))
    }
    fn begin_array<W: ?Sized + Write>(&mut self, to: &mut W) -> std::io::Result<()> {
        self.0.begin_array(to)
    }
    fn end_array<W: ?Sized + Write>(&mut self, to: &mut W) -> std::io::Result<()> {
        self.0.end_array(to)
    }
    fn begin_array_value<W: ?Sized + Write>(
        &mut self,
        to: &mut W,
        first: bool,
    ) -> std::io::Result<()> {
        self.0.begin_array_value(to, first)
    }
    fn end_array_value<W: ?Sized + Write>(&mut self, to: &mut W) -> std::io::Result<()> {
        self.0.end_array_value(to)
    }
    fn begin_object<W: ?Sized + Write>(&mut self, to: &mut W) -> std::io::Result<()> {
        self.0.begin_object(to)
    }
    fn end_object<W: ?Sized + Write>(&mut self, to: &mut W) -> std::io::Result<()> {
        self.0.end_object(to)
    }
    fn begin_object_key<W: ?Sized + Write>(
        &mut self,
        to: &mut W,
        first: bool,
    ) -> std::io::Result<()> {
        self.0.begin_object_key(to, first)
    }
    fn begin_object_value<W: ?Sized + Write>(&mut self, to: &mut W) -> std::io::Result<()> {
        self.0.begin_object_value(to)
    }
    fn end_object_value<W: ?Sized + Write>(&mut self, to: &mut W) -> std::io::Result<()> {
        self.0.end_object_value(to)
    }
}

/// A whole answer of which every figure is computed, none drawn.
pub(super) fn written_computed<T: Serialize>(answer: &T) -> String {
    let mut text = Vec::new();
    let mut to = Serializer::with_formatter(&mut text, Computed::default());
    // Only maps with odd keys can fail, and there is none in these types.
    if answer.serialize(&mut to).is_err() {
        text.clear();
    }
    text.push(b'\n');
    String::from_utf8(text).unwrap_or_default()
}

/// A whole answer, pretty, with its line end.
pub(crate) fn written<T: Serialize>(answer: &T) -> String {
    // Only maps with odd keys can fail, and there is none in these types.
    let mut text = serde_json::to_string_pretty(answer).unwrap_or_default();
    text.push('\n');
    text
}
