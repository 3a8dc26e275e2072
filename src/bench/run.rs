//! A run as the reduction sees it: conditions, rig, specimens, raw cells in canonical units.

use crate::bench::{Cell, Outcome, RawCells};
use crate::property::Condition;
use std::sync::Arc;

/// One line of a specimen: a point of its curve, or its only line.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Point {
    /// RawCells by column name; blank cells are absent.
    pub cells: RawCells,
    /// The line's outcome.
    pub outcome: Outcome,
}

impl Point {
    /// The figure in a column; a bound counts as its figure.
    pub fn num(&self, column: &str) -> Option<f64> {
        match self.cells.get(column) {
            Some(Cell::Number(r)) => Some(r.as_exact()),
            _ => None,
        }
    }
    /// The word in a column.
    pub fn word(&self, column: &str) -> Option<&str> {
        match self.cells.get(column) {
            Some(Cell::Word(w)) => Some(w),
            _ => None,
        }
    }
}

/// One specimen.
#[derive(Clone, Debug, PartialEq)]
pub struct Specimen {
    /// Number within its run.
    pub number: u32,
    /// Who tested it, as the sheet has it; `None` where it does not say.
    pub operator: Option<String>,
    /// Lines in the order of their points; at least one.
    pub points: Vec<Point>,
    /// The run's conditions.
    pub condition: Condition,
    /// Material's density, g/cm3, where the reduction of a mass loss needs it.
    pub density_g_cm3: Option<f64>,
    /// The rig's greatest energy, J (impact hammers), where known.
    pub hammer_j: Option<f64>,
}

impl Specimen {
    /// The figure of a column given once: on the first line that has it.
    pub fn once(&self, column: &str) -> Option<f64> {
        self.points.iter().find_map(|p| p.num(column))
    }
    /// The word of a column given once.
    pub fn word(&self, column: &str) -> Option<&str> {
        self.points.iter().find_map(|p| p.word(column))
    }
    /// The outcome of the whole specimen: the last line's that is not blank.
    pub fn outcome(&self) -> Outcome {
        self.points
            .iter()
            .rev()
            .map(|p| p.outcome)
            .find(|o| *o != Outcome::Measured)
            .unwrap_or_default()
    }
    /// Pairs of two columns over the lines that have both.
    pub fn pairs(&self, x: &str, y: &str) -> Vec<(f64, f64)> {
        self.points
            .iter()
            .filter_map(|p| Some((p.num(x)?, p.num(y)?)))
            .collect()
    }
}

/// One calibrated channel of an instrument: reading = gain x true + offset.
#[derive(Clone, Debug, PartialEq)]
pub struct Channel {
    /// Id of the calibration (`frame-1/force/2026-01-10`): one draw of bias is shared by all under it.
    pub id: Arc<str>,
    /// Raw column it reads.
    pub column: String,
    /// Lowest reading, canonical unit of the column.
    pub low: Option<f64>,
    /// Highest reading.
    pub high: Option<f64>,
    /// Resolution.
    pub resolution: Option<f64>,
    /// Offset.
    pub offset: f64,
    /// Standard uncertainty of the offset.
    pub offset_u: f64,
    /// Gain.
    pub gain: f64,
    /// Standard uncertainty of the gain.
    pub gain_u: f64,
}

/// The rig a run was made on, at its date.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Rig {
    /// Name as written (`frame-1+caliper-2`), `unlisted` when blank.
    pub name: String,
    /// Kind, for pooling.
    pub kind: String,
    /// Channels with a calibration.
    pub channels: Vec<Channel>,
}

/// One run of one test.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// Id.
    pub id: String,
    /// Id of the test.
    pub test: &'static str,
    /// Material; `None` in a sheet reduced without a catalog.
    pub material: Option<String>,
    /// Lot; `None` for the unknown lot.
    pub lot: Option<String>,
    /// Print; `None` for one unnamed print of this run.
    pub print: Option<String>,
    /// Date, ISO 8601.
    pub date: Option<String>,
    /// Rig.
    pub rig: Arc<Rig>,
    /// Conditions.
    pub condition: Condition,
    /// Specimens in their order.
    pub specimens: Vec<Specimen>,
    /// Why it is set aside, if it is.
    pub set_aside: Option<String>,
}
