//! A print trial: the settings of one print job and how it came out, in graded words.
//!
//! No property is made of it: grades are kept with the settings that gave them, read strictly and shown.

use crate::bench::{BenchTest, Column, HowTo, Kind, Need, Outcome, Reduction, Specimen};

/// The print trial.
pub(super) struct PrintTrial;

/// The grades, worst first: `failed` (the print was lost by it), `poor` (spoils the use), `fair` (seen,
/// and usable), `good` (hardly seen), `clean` (nothing to see). They always grade the outcome, so that
/// `clean` stringing is none and a `clean` layer bond cannot be peeled apart.
pub const GRADES: &[&str] = &["failed", "poor", "fair", "good", "clean"];

const CHAMBERS: &[&str] = &["open", "closed"];

const COLUMNS: &[Column] = &[
    Column::number(
        "nozzle",
        Need::Once,
        "degC",
        0.0,
        0.0,
        "temperature of the nozzle",
    ),
    Column::number(
        "bed",
        Need::Optional,
        "degC",
        0.0,
        0.0,
        "temperature of the bed",
    ),
    Column::number(
        "part_cooling",
        Need::Optional,
        "%",
        0.0,
        0.0,
        "fan on the part",
    ),
    Column::number(
        "side_cooling",
        Need::Optional,
        "%",
        0.0,
        0.0,
        "fan from the side",
    ),
    Column::of(
        "chamber",
        Need::Optional,
        Kind::NumberOr {
            unit: "degC",
            low: -50.0,
            words: CHAMBERS,
        },
        "temperature of the chamber, or `open` or `closed` where it is not heated",
    ),
    Column::number(
        "speed",
        Need::Optional,
        "mm/s",
        0.0,
        0.0,
        "speed of the outer wall",
    ),
    Column::number("flow", Need::Optional, "%", 0.0, 0.0, "flow"),
    Column::of(
        "plate",
        Need::Optional,
        Kind::Text,
        "what the bed is of: `glass`, `textured steel` ...",
    ),
    Column::of(
        "adhesive",
        Need::Optional,
        Kind::Text,
        "what was put on it, or `none`",
    ),
    Column::of(
        "dried",
        Need::Optional,
        Kind::Text,
        "how the filament was dried, as `55 degC 6 h`, or `no`",
    ),
    Column::number(
        "nozzle_size",
        Need::Optional,
        "mm",
        0.0,
        0.05,
        "bore of the nozzle",
    ),
    Column::number(
        "layer",
        Need::Optional,
        "mm",
        0.0,
        0.01,
        "height of a layer",
    ),
    Column::of(
        "object",
        Need::Optional,
        Kind::Text,
        "what was printed: `bridge tower`, `sleeve` ...",
    ),
    grade("stringing", "threads between parts"),
    grade("warping", "corners that lift or pull the part askew"),
    grade("layer_bond", "how layers hold together when bent by hand"),
    grade("surface", "walls and top"),
    grade("bridging", "spans in the air"),
    grade("feed", "filament taken in evenly, without grinding or jams"),
    grade("first_layer", "hold of the first layer on the bed"),
    Column::word(
        "overall",
        Need::Once,
        GRADES,
        "failed: lost; poor: spoils the use; fair: usable; good: hardly a fault; clean: none",
    ),
];

const fn grade(name: &'static str, about: &'static str) -> Column {
    Column::word(name, Need::Optional, GRADES, about)
}

impl BenchTest for PrintTrial {
    fn id(&self) -> &'static str {
        "print-trial"
    }
    fn title(&self) -> &'static str {
        "print trial"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[Outcome::Stopped]
    }
    fn gives(&self) -> &'static [&'static str] {
        &[]
    }
    fn gives_figures(&self) -> bool {
        false
    }
    fn formulas(&self) -> &'static [&'static str] {
        &[
            "no figure is made of a trial: settings and grades are kept as they are, from failed over poor, fair and good to clean",
        ]
    }
    fn howto(&self) -> HowTo {
        HowTo {
            measure: [
                "One line a print: set only what you changed on purpose, and write every setting as it was.",
                "Grade at once and in one light: failed, poor, fair, good, clean; `clean` is always the best grade, of stringing too.",
            ],
            beware: [
                "Two things changed at once tell nothing of either: change one, print again.",
                "Wet filament looks like bad settings: say how it was dried, and when.",
            ],
            specimens: 1,
            lines: 1,
        }
    }

    fn reduce(&self, _: &Specimen, _: &mut Reduction) {}
}
