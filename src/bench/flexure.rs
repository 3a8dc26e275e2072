//! The flexure test: three-point bending.

use crate::bench::{BenchTest, Column, Need, Outcome, Reduction, Specimen};

/// The flexure test.
pub(super) struct Flexure;

const COLUMNS: &[Column] = &[
    Column::number("span", Need::Once, "mm", 0.1, 1.0, "between the supports"),
    Column::number("width", Need::Once, "mm", 0.01, 0.05, "across the bar"),
    Column::number(
        "thickness",
        Need::Once,
        "mm",
        0.01,
        0.05,
        "along the load; enters the modulus cubed",
    ),
    Column::number(
        "force",
        Need::Each,
        "N",
        0.1,
        -5.0,
        "at mid-span; of a single line, the largest",
    ),
    Column::number(
        "deflection",
        Need::Each,
        "mm",
        0.01,
        -1.0,
        "at mid-span; of a single line, at the largest force",
    ),
];

impl BenchTest for Flexure {
    fn id(&self) -> &'static str {
        "flexure"
    }
    fn title(&self) -> &'static str {
        "flexure"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[
            Outcome::NoBreak,
            Outcome::Stopped,
            Outcome::AboveRange,
            Outcome::BelowRange,
        ]
    }
    fn needs_direction(&self) -> bool {
        true
    }
    fn gives(&self) -> &'static [&'static str] {
        &["flexural-strength", "flexural-modulus"]
    }
    fn formulas(&self) -> &'static [&'static str] {
        &[]
    }
    fn reduce(&self, _specimen: &Specimen, _out: &mut Reduction) {}
}
