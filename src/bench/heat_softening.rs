//! The heat-softening test.

use crate::bench::{BenchTest, Column, Outcome, Reduction, Specimen};

/// The heat-softening test.
pub(super) struct HeatSoftening;

impl BenchTest for HeatSoftening {
    fn id(&self) -> &'static str {
        "heat-softening"
    }
    fn title(&self) -> &'static str {
        "heat-softening"
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
