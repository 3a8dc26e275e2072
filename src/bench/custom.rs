//! Readings of the user's own properties, as `properties.csv` declares them: a figure a specimen.
//!
//! The value is the figure; nothing is computed.

use crate::bench::{BenchTest, Column, HowTo, Kind, Need, Outcome, Reduction, Specimen, Value};
use crate::property::PropertyId;
use crate::quantity::Reading;

/// The test of own properties.
pub(super) struct Custom;

const COLUMNS: &[Column] = &[
    Column::of(
        "property",
        Need::Once,
        Kind::OwnProperty,
        "id of the property as in properties.csv",
    ),
    Column::of(
        "value",
        Need::Each,
        Kind::OwnFigure,
        "what was read, in the unit of the property",
    ),
    Column::of(
        "unit",
        Need::Optional,
        Kind::Text,
        "unit of the value where it is another one that fits",
    ),
];

impl BenchTest for Custom {
    fn id(&self) -> &'static str {
        "custom"
    }
    fn title(&self) -> &'static str {
        "own properties"
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
            Outcome::BelowResolution,
        ]
    }
    fn gives(&self) -> &'static [&'static str] {
        &[]
    }
    fn formulas(&self) -> &'static [&'static str] {
        &[
            "the value is the figure; `stopped`, `no break` and `above range` make it `>=`, `below range` and `below resolution` `<=` [own bench run]",
        ]
    }
    fn howto(&self) -> HowTo {
        HowTo {
            measure: [
                "Write the id of your property as in properties.csv, and what was read in its unit (or say another in `unit`).",
                "Measure every material alike: same piece, same way, same person; note how.",
            ],
            beware: [
                "A scale whose meaning drifts tells nothing: keep a reference piece and measure it every time.",
                "What could not be read is no zero: leave the line out, or write an outcome.",
            ],
            specimens: 3,
            lines: 1,
        }
    }

    fn reduce(&self, s: &Specimen, out: &mut Reduction) {
        let Some(id) = s.word("property") else {
            return;
        };
        let property = PropertyId::own(id.to_owned());
        let mut values = s.points.iter().filter_map(|p| Some((p.num("value")?, p)));
        let Some((value, point)) = values.next() else {
            out.refuse_own(
                property,
                "bench::missing-reading",
                "no value was read".to_owned(),
            );
            return;
        };
        if values.next().is_some() {
            out.refuse_own(
                property,
                "bench::two-values",
                "a specimen has one value: give each its own specimen".to_owned(),
            );
            return;
        }
        let reading: Reading = point.outcome.reading(value);
        out.give_own(s, property, Value::Now(reading));
    }
}
