//! What an empty sheet says of its test.

use crate::bench::{Column, GRADES, Kind, Need};

/// Advice for the bench, from practice: how to measure, what goes wrong, how many lines.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HowTo {
    /// How to measure, two lines.
    pub measure: [&'static str; 2],
    /// What goes wrong, two lines.
    pub beware: [&'static str; 2],
    /// Specimens that are usual.
    pub specimens: u32,
    /// Lines that a specimen usually fills: readings of a curve, or steps.
    pub lines: u32,
}

/// Columns without a resolution of their own that are read at the bench all the same.
const READ: &[&str] = &[
    "time",
    "distance",
    "reference_distance",
    "cycles",
    "loss",
    "turns",
    "reference_loss",
];
/// Columns that an instrument reads once, when the rig is set up.
const SET_UP: &[&str] = &["gauge", "centres", "bar", "liquid_density"];

impl Column {
    /// Whether the cell is set before the test and may be as last time: geometry, loads, speeds;
    /// no reading, no grade.
    pub fn is_set(&self) -> bool {
        match self.kind {
            Kind::Word(words) => words != GRADES,
            Kind::Number { resolution, .. } => {
                self.need == Need::Once
                    || SET_UP.contains(&self.name)
                    || resolution <= 0.0 && !READ.contains(&self.name)
            }
            Kind::OwnFigure => false,
            Kind::NumberOr { .. } | Kind::Text | Kind::OwnProperty => true,
        }
    }
}
