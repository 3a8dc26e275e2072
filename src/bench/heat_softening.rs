//! The heat-softening test: warmed under a load in bending.

use crate::bench::{BenchTest, Column, Need, Outcome, Reduction, Specimen};

/// The heat-softening test.
pub(super) struct HeatSoftening;

const COLUMNS: &[Column] = &[
    Column::number("span", Need::Once, "mm", 0.1, 1.0, "between the supports"),
    Column::number("width", Need::Once, "mm", 0.01, 0.05, "across the bar"),
    Column::number("thickness", Need::Once, "mm", 0.01, 0.05, "along the load"),
    Column::number("load", Need::Once, "N", 0.0, 0.001, "at mid-span"),
    Column::number("rate", Need::Optional, "K/h", 0.0, 0.1, "heating rate"),
    Column::number(
        "temperature",
        Need::Each,
        "degC",
        0.5,
        -60.0,
        "of the bath or oven at this line",
    ),
    Column::number(
        "deflection",
        Need::Optional,
        "mm",
        0.01,
        -50.0,
        "at mid-span; the first line is the start",
    ),
];

impl BenchTest for HeatSoftening {
    fn id(&self) -> &'static str {
        "heat-softening"
    }
    fn title(&self) -> &'static str {
        "heat softening"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[
            Outcome::Stopped,
            Outcome::AboveRange,
            Outcome::Collapsed,
            Outcome::Melted,
        ]
    }
    fn gives(&self) -> &'static [&'static str] {
        &["softening-onset"]
    }
    fn formulas(&self) -> &'static [&'static str] {
        &[]
    }
    fn reduce(&self, _specimen: &Specimen, _out: &mut Reduction) {}
}
