//! The bolted-washer test.

use crate::bench::{BenchTest, Column, Outcome, Reduction, Specimen};

/// The bolted-washer test.
pub(super) struct BoltedWasher;

impl BenchTest for BoltedWasher {
    fn id(&self) -> &'static str {
        "bolted-washer"
    }
    fn title(&self) -> &'static str {
        "bolted-washer"
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
