//! The impact test: broken by a pendulum.

use crate::bench::{BenchTest, Column, Need, Outcome, Reduction, Specimen};

/// The impact test.
pub(super) struct Impact;

const COLUMNS: &[Column] = &[
    Column::number(
        "width",
        Need::Once,
        "mm",
        0.01,
        0.05,
        "across the blow: the length of the notch",
    ),
    Column::number(
        "depth",
        Need::Once,
        "mm",
        0.01,
        0.05,
        "along the blow: what is left under a notch, else all of it",
    ),
    Column::word("notch", Need::Once, &["none", "V"], "none or V"),
    Column::number(
        "energy",
        Need::Optional,
        "J",
        0.01,
        0.0,
        "taken up by the specimen; or give start and end",
    ),
    Column::number(
        "start",
        Need::Optional,
        "deg",
        0.5,
        0.0,
        "angle of the arm from hanging at release",
    ),
    Column::number(
        "end",
        Need::Optional,
        "deg",
        0.5,
        0.0,
        "angle reached behind the specimen",
    ),
    Column::number(
        "loss",
        Need::Optional,
        "J",
        0.0,
        0.0,
        "lost in a free swing between the two angles",
    ),
    Column::number(
        "hammer",
        Need::Optional,
        "J",
        0.0,
        0.001,
        "greatest energy of the hammer, from `start`; the rig's where blank",
    ),
];

impl BenchTest for Impact {
    fn id(&self) -> &'static str {
        "impact"
    }
    fn title(&self) -> &'static str {
        "impact"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[
            Outcome::NoBreak,
            Outcome::Partial,
            Outcome::Hinge,
            Outcome::AboveRange,
            Outcome::BelowRange,
        ]
    }
    fn needs_direction(&self) -> bool {
        true
    }
    fn gives(&self) -> &'static [&'static str] {
        &["impact-notched", "impact-plain"]
    }
    fn formulas(&self) -> &'static [&'static str] {
        &[]
    }
    fn reduce(&self, _specimen: &Specimen, _out: &mut Reduction) {}
}
