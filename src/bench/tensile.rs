//! The tensile test.

use crate::bench::{BenchTest, Column, Outcome, Reduction, Specimen};

/// The tensile test.
pub(super) struct Tensile;

impl BenchTest for Tensile {
    fn id(&self) -> &'static str {
        "tensile"
    }
    fn title(&self) -> &'static str {
        "tensile"
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
