//! The impact test.

use crate::bench::{BenchTest, Column, Outcome, Reduction, Specimen};

/// The impact test.
pub(super) struct Impact;

impl BenchTest for Impact {
    fn id(&self) -> &'static str {
        "impact"
    }
    fn title(&self) -> &'static str {
        "impact"
    }
    fn columns(&self) -> &'static [Column] {
        &[]
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[]
    }
    fn gives(&self) -> &'static [&'static str] {
        &[]
    }
    fn formulas(&self) -> &'static [&'static str] {
        &[]
    }
    fn reduce(&self, _specimen: &Specimen, _out: &mut Reduction) {}
}
