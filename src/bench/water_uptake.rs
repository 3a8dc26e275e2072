//! The water-uptake test.

use crate::bench::{BenchTest, Column, Outcome, Reduction, Specimen};

/// The water-uptake test.
pub(super) struct WaterUptake;

impl BenchTest for WaterUptake {
    fn id(&self) -> &'static str {
        "water-uptake"
    }
    fn title(&self) -> &'static str {
        "water-uptake"
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
