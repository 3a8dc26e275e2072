//! The creep test.

use crate::bench::{BenchTest, Column, Outcome, Reduction, Specimen};

/// The creep test.
pub(super) struct Creep;

impl BenchTest for Creep {
    fn id(&self) -> &'static str {
        "creep"
    }
    fn title(&self) -> &'static str {
        "creep"
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
