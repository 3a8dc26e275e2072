//! The sliding-wear test.

use crate::bench::{BenchTest, Column, Outcome, Reduction, Specimen};

/// The sliding-wear test.
pub(super) struct SlidingWear;

impl BenchTest for SlidingWear {
    fn id(&self) -> &'static str {
        "sliding-wear"
    }
    fn title(&self) -> &'static str {
        "sliding-wear"
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
