//! The water-uptake test: weighed dry and after soaking.

use crate::bench::{BenchTest, Column, Need, Outcome, Reduction, Specimen};

/// The water-uptake test.
pub(super) struct WaterUptake;

const COLUMNS: &[Column] = &[
    Column::number(
        "mass_dry",
        Need::Once,
        "g",
        0.001,
        0.001,
        "after drying, before soaking",
    ),
    Column::number(
        "mass_wet",
        Need::Each,
        "g",
        0.001,
        0.001,
        "wiped dry after soaking",
    ),
    Column::number(
        "mass_redried",
        Need::Optional,
        "g",
        0.001,
        0.001,
        "dried again after soaking: shows what was washed out",
    ),
    Column::number(
        "thickness",
        Need::Optional,
        "mm",
        0.01,
        0.05,
        "smallest dimension",
    ),
    Column::number(
        "time",
        Need::Optional,
        "d",
        0.0,
        0.0,
        "in the water or damp air",
    ),
];

impl BenchTest for WaterUptake {
    fn id(&self) -> &'static str {
        "water-uptake"
    }
    fn title(&self) -> &'static str {
        "water uptake"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[]
    }
    fn gives(&self) -> &'static [&'static str] {
        &["water-uptake"]
    }
    fn formulas(&self) -> &'static [&'static str] {
        &[]
    }
    fn reduce(&self, _specimen: &Specimen, _out: &mut Reduction) {}
}
