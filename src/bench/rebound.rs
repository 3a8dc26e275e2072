//! The rebound test.

use crate::bench::{BenchTest, Column, Outcome, Reduction, Specimen};

/// The rebound test.
pub(super) struct Rebound;

impl BenchTest for Rebound {
    fn id(&self) -> &'static str {
        "rebound"
    }
    fn title(&self) -> &'static str {
        "rebound"
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
