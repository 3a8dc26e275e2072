//! The static-friction test.

use crate::bench::{BenchTest, Column, Outcome, Reduction, Specimen};

/// The static-friction test.
pub(super) struct StaticFriction;

impl BenchTest for StaticFriction {
    fn id(&self) -> &'static str {
        "static-friction"
    }
    fn title(&self) -> &'static str {
        "static-friction"
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
