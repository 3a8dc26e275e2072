//! The creep test: held under a constant load.

use crate::bench::{BenchTest, Column, Need, Outcome, Reduction, Specimen};

/// The creep test.
pub(super) struct Creep;

const COLUMNS: &[Column] = &[
    Column::word(
        "mode",
        Need::Once,
        &["bending", "tension", "compression"],
        "how it is loaded",
    ),
    Column::number(
        "span",
        Need::Once,
        "mm",
        0.1,
        1.0,
        "bending: between the supports; tension: gauge length; compression: height",
    ),
    Column::number(
        "width",
        Need::Once,
        "mm",
        0.01,
        0.05,
        "width of the section",
    ),
    Column::number(
        "thickness",
        Need::Once,
        "mm",
        0.01,
        0.05,
        "thickness of the section; in bending along the load",
    ),
    Column::number("load", Need::Once, "N", 0.0, 0.001, "the constant load"),
    Column::number(
        "time",
        Need::Each,
        "h",
        0.0,
        0.0,
        "since loading; 0 is the moment of loading",
    ),
    Column::number(
        "deflection",
        Need::Optional,
        "mm",
        0.01,
        -1.0,
        "sag, growth or shortening since before the load",
    ),
];

impl BenchTest for Creep {
    fn id(&self) -> &'static str {
        "creep"
    }
    fn title(&self) -> &'static str {
        "creep"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[
            Outcome::NoBreak,
            Outcome::Stopped,
            Outcome::Collapsed,
            Outcome::Ruptured,
        ]
    }
    fn needs_direction(&self) -> bool {
        true
    }
    fn gives(&self) -> &'static [&'static str] {
        &["creep-modulus", "sustained-strength"]
    }
    fn formulas(&self) -> &'static [&'static str] {
        &[]
    }
    fn reduce(&self, _specimen: &Specimen, _out: &mut Reduction) {}
}
