//! The compression-hold test.

use crate::bench::{BenchTest, Column, Outcome, Reduction, Specimen};

/// The compression-hold test.
pub(super) struct CompressionHold;

impl BenchTest for CompressionHold {
    fn id(&self) -> &'static str {
        "compression-hold"
    }
    fn title(&self) -> &'static str {
        "compression-hold"
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
