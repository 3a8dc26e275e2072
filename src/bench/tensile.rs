//! The tensile test: pulled until it breaks.

use crate::bench::{BenchTest, Column, Need, Outcome, Reduction, Specimen};

/// The tensile test.
pub(super) struct Tensile;

const COLUMNS: &[Column] = &[
    Column::number(
        "width",
        Need::Once,
        "mm",
        0.01,
        0.05,
        "width of the narrow part",
    ),
    Column::number(
        "thickness",
        Need::Once,
        "mm",
        0.01,
        0.05,
        "thickness of the narrow part",
    ),
    Column::number(
        "gauge",
        Need::Optional,
        "mm",
        0.1,
        1.0,
        "length over which the extension is read; the grip distance if the crosshead is read",
    ),
    Column::number(
        "force",
        Need::Each,
        "N",
        0.1,
        -5.0,
        "pull; of a single line, the largest",
    ),
    Column::number(
        "extension",
        Need::Optional,
        "mm",
        0.01,
        -1.0,
        "growth of the gauge length; of a single line, at the largest force",
    ),
];

impl BenchTest for Tensile {
    fn id(&self) -> &'static str {
        "tensile"
    }
    fn title(&self) -> &'static str {
        "tensile"
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
        &[
            "tensile-strength",
            "yield-strength",
            "tensile-modulus",
            "break-strain",
        ]
    }
    fn formulas(&self) -> &'static [&'static str] {
        &[]
    }
    fn reduce(&self, _specimen: &Specimen, _out: &mut Reduction) {}
}
