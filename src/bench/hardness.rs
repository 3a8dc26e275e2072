//! The hardness test.

use crate::bench::{BenchTest, Column, Outcome, Reduction, Specimen};

/// The hardness test.
pub(super) struct Hardness;

impl BenchTest for Hardness {
    fn id(&self) -> &'static str {
        "hardness"
    }
    fn title(&self) -> &'static str {
        "hardness"
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
