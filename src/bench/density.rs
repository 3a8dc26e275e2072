//! The density test.

use crate::bench::{BenchTest, Column, Outcome, Reduction, Specimen};

/// The density test.
pub(super) struct Density;

impl BenchTest for Density {
    fn id(&self) -> &'static str {
        "density"
    }
    fn title(&self) -> &'static str {
        "density"
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
