//! What a belief rests on, and what was assumed on the way.

use crate::property::{Face, Moisture};
use serde::Serialize;

/// What a belief rests on, weakest first.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Grade {
    /// Nothing.
    Absent,
    /// The polymer's others, or another condition.
    Borrowed,
    /// A data sheet or handbook.
    Stated,
    /// Own readings, all of them bounds.
    Bounded,
    /// Own exact readings.
    Measured,
}

/// Which evidence a belief was made of, the first that speaks in this order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Road {
    /// A column of `materials.csv`.
    Column,
    /// Its own readings.
    Own,
    /// A value stated of the material, or else of its polymer.
    Stated,
    /// A policy share of its short-time strength.
    ShortTime,
    /// Other materials of the polymer.
    Polymer,
    /// Its own readings on another surface.
    OtherSurface,
    /// The polymer table.
    Table,
    /// Nothing.
    Nothing,
}

/// Where the centre of a belief comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Rests {
    /// Own exact readings alone: flat before them.
    OwnReadings,
    /// Stated values.
    Stated,
    /// Other materials of the polymer, pulled towards all polymers when few.
    Polymer,
    /// All polymers together.
    AllPolymers,
    /// The property table's plausible range.
    PlausibleRange,
    /// The polymer table.
    Table,
}

/// From which side a belief is bounded where its own readings are bounds only.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Side {
    /// All bounds are `>=`.
    AtLeast,
    /// All bounds are `<=`.
    AtMost,
    /// Both kinds, or ranges.
    Both,
}

/// Something assumed on the way to a belief, for people and for the judge.
#[derive(Clone, Debug, PartialEq, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Note {
    /// Read off the straight line to the softening onset: tested at, asked at, onset taken, share left.
    HeatLine {
        /// Test temperature, degC.
        tested_c: f64,
        /// Asked temperature, degC.
        asked_c: f64,
        /// Low 5 % of the softening onset, degC.
        onset_c: f64,
        /// Share of the figure that is left.
        share: f64,
    },
    /// Warmer than the window and no softening onset of its own was measured.
    NoOnset,
    /// Asked outside the temperatures the figure counts at.
    OutsideTemperature {
        /// Nearest test temperature, degC.
        tested_c: f64,
        /// Asked temperature, degC.
        asked_c: f64,
    },
    /// Interpolated between runs at two temperatures.
    Interpolated {
        /// Cooler run, degC.
        low_c: f64,
        /// Warmer run, degC.
        high_c: f64,
        /// Temperatures behind the line: 2, or more for a curve.
        runs: usize,
        /// How far the curve lies above the straight line, natural scale: readings are moved by it.
        bend: f64,
        /// Whether bounds or ranges were carried along it.
        bounds: bool,
        /// One standard deviation added for the line, natural scale.
        allowance: f64,
    },
    /// The softening onset lies between the run and the use, or between two runs: no line crosses it.
    AcrossOnset {
        /// Cooler run, degC.
        low_c: f64,
        /// Warmer run or use, degC.
        high_c: f64,
        /// Low 5 % of the softening onset, degC.
        onset_c: f64,
    },
    /// Warmer than all runs: falls on as it did between the warmest two, which is steeper than the
    /// straight line.
    MeasuredFall {
        /// Cooler run, degC.
        low_c: f64,
        /// Warmest run, degC.
        high_c: f64,
        /// Asked temperature, degC.
        asked_c: f64,
        /// Share of the warmest run's figure that is left.
        share: f64,
    },
    /// Counts as it stands, within the policy's window of its test temperature.
    WithinWindow {
        /// Test temperature, degC.
        tested_c: f64,
        /// Asked temperature, degC.
        asked_c: f64,
    },
    /// Past the window on the side where the property keeps its figure, or betters it.
    KeptOutside {
        /// Test temperature, degC.
        tested_c: f64,
        /// Asked temperature, degC.
        asked_c: f64,
    },
    /// Asked colder than the window where stiffer is worse: it stiffens in the cold, and by how much
    /// was not tested.
    StifferInCold {
        /// Nearest test temperature, degC.
        tested_c: f64,
        /// Asked temperature, degC.
        asked_c: f64,
    },
    /// Interpolated on the water uptake between dried and wet readings.
    BetweenMoistures {
        /// Where a room lies from dried (0) to wet (1).
        room: f64,
        /// Whether that was measured.
        measured: bool,
        /// Whether bounds or ranges were carried.
        bounds: bool,
        /// One standard deviation added for the line, natural scale.
        allowance: f64,
    },
    /// Tested at another moisture, and counted because little water is taken up.
    MoistureServes {
        /// Tested at.
        tested: Moisture,
        /// Whether a measured uptake says so, or the polymer table.
        measured: bool,
    },
    /// Tested moister than the use, and counted as a bound from below.
    MoisterTested(Moisture),
    /// Both moisture and temperature would have to be read between runs.
    TwoSteps,
    /// The life lies this many decades past the longest reading.
    BeyondDecades(f64),
    /// Readings over time were too few to tell the exponent of Findley's law: it was held.
    ExponentHeld,
    /// Readings over time were too few to tell how their errors hang together: it was assumed.
    CorrelationAssumed,
    /// The last readings over time rise as only steady flow does: its weight, from 0 to 1.
    SteadyFlow(f64),
    /// Only dried specimens were tested, and the duty is moister.
    DryOnly,
    /// Tested at another moisture than the duty's.
    OtherMoisture(Moisture),
    /// Another counterface than the duty's.
    OtherSurface(String),
    /// Another direction was tested, not the one asked.
    OtherDirection,
    /// Another face was tested, not the one asked.
    OtherFace,
    /// No face was asked and several were tested: the one that serves worst stands for all.
    WorstFace(Face),
    /// Only annealed specimens were tested (annealing as written), and the duty's part is not annealed.
    AnnealedOnly(String),
    /// Specimens of another kind, such as a break type, stand apart and were left out.
    OtherKind(String),
    /// The gauge's steps are coarser than the scatter: readings enter as ranges.
    CoarseGauge,
    /// Lent by the polymer (number of lending materials).
    BorrowedFrom {
        /// Polymer.
        polymer: String,
        /// How many materials lent.
        materials: usize,
    },
    /// A stated value, and its source.
    StatedBy(String),
    /// Sustained strength taken as a policy share of the short-time strength.
    SustainedAssumed(f64),
    /// A creep figure asked at more than 1.5 times its tested stress.
    AboveTestedStress {
        /// Tested, MPa.
        tested_mpa: f64,
        /// Asked, MPa.
        asked_mpa: f64,
    },
    /// Another kind of test than the wanted one, taken to say the same.
    StandsIn {
        /// The property that was wanted, and has no own reading.
        wanted: String,
    },
    /// An auxiliary figure from the polymer table.
    Assumed(String),
    /// Lots of this property's materials differ by more than prints do: the next part is one of a new lot.
    LotsDiffer {
        /// Standard deviation of lots, in spreads within a print.
        lots: f64,
        /// Of prints.
        prints: f64,
    },
    /// A reading so far from its fellows that its influence was bounded, canonical unit.
    Outlier {
        /// As read.
        figure: f64,
        /// As it entered.
        taken: f64,
    },
    /// A specimen failed early.
    EarlyFailure,
}
