//! The flexure test.

use crate::bench::{BenchTest, Column, Outcome, Reduction, Specimen};

/// The flexure test.
pub(super) struct Flexure;

impl BenchTest for Flexure {
    fn id(&self) -> &'static str {
        "flexure"
    }
    fn title(&self) -> &'static str {
        "flexure"
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
