//! The density test: weighed in air and in a liquid, or measured.

use crate::bench::{BenchTest, Column, Need, Outcome, Reduction, Specimen};

/// The density test.
pub(super) struct Density;

const COLUMNS: &[Column] = &[
    Column::number("mass", Need::Once, "g", 0.01, 0.0001, "in air"),
    Column::number(
        "mass_in_liquid",
        Need::Optional,
        "g",
        0.01,
        -10000.0,
        "hanging in the liquid; below zero where a sinker had to push it under",
    ),
    Column::number(
        "liquid_density",
        Need::Optional,
        "g/cm3",
        0.001,
        0.5,
        "of the liquid at its temperature",
    ),
    Column::number(
        "volume",
        Need::Optional,
        "cm3",
        0.01,
        0.0001,
        "where it is not weighed in a liquid",
    ),
];

impl BenchTest for Density {
    fn id(&self) -> &'static str {
        "density"
    }
    fn title(&self) -> &'static str {
        "density"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[]
    }
    fn gives(&self) -> &'static [&'static str] {
        &["density"]
    }
    fn formulas(&self) -> &'static [&'static str] {
        &[]
    }
    fn reduce(&self, _specimen: &Specimen, _out: &mut Reduction) {}
}
