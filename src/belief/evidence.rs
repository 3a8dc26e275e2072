//! The evidence on all materials, and the beliefs drawn from it.

use crate::bench::{Bias, BiasKind, ReducedRun};
use crate::policy::Policy;
use crate::property::{Ask, Condition, Properties, PropertyId, Scale};
use crate::quantity::Reading;
use serde::Serialize;
use std::collections::BTreeMap;

/// Draws in a block: the unit of streams and threads.
pub const BLOCK: usize = 256;

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

/// What a line of `materials.csv` is for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub enum MaterialKind {
    /// May be picked.
    #[default]
    Candidate,
    /// A rig's reference specimens: never ranked.
    Reference,
    /// A surface to rub against.
    Surface,
}

/// One material, as `materials.csv` describes it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Material {
    /// Id.
    pub id: String,
    /// Title.
    pub title: String,
    /// Polymer ids, larger share first; empty for `other`.
    pub polymers: Vec<String>,
    /// Hardness or filler grade as written.
    pub grade: String,
    /// What it is for.
    pub kind: MaterialKind,
    /// Price per kg.
    pub price_per_kg: Option<f64>,
    /// Spool, kg.
    pub spool_kg: Option<f64>,
    /// Drying temperature, degC.
    pub dry_temperature_c: Option<f64>,
    /// Drying time, h.
    pub dry_time_h: Option<f64>,
    /// Nozzle window, degC.
    pub nozzle_c: (Option<f64>, Option<f64>),
    /// Bed window, degC.
    pub bed_c: (Option<f64>, Option<f64>),
    /// Note.
    pub note: String,
}

/// A number from a data sheet or handbook.
#[derive(Clone, Debug, PartialEq)]
pub struct Stated {
    /// Of one material, or
    pub material: Option<String>,
    /// of a polymer.
    pub polymer: Option<String>,
    /// Property.
    pub property: PropertyId,
    /// Value, canonical unit.
    pub value: Reading,
    /// One standard deviation on the natural scale; `None` for the policy's.
    pub sd: Option<f64>,
    /// Conditions.
    pub condition: Condition,
    /// Standard it was taken by.
    pub standard: String,
    /// Source.
    pub source: String,
}

/// From which side a belief is bounded where its own readings are bounds only.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Side {
    /// All bounds are `>=`.
    AtLeast,
    /// All bounds are `<=`.
    AtMost,
    /// Both kinds, or ranges.
    Both,
}

/// Something assumed on the way to a belief, for people and for the judge.
#[derive(Clone, Debug, PartialEq, Serialize)]
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
    /// Warmer than the window and no softening onset is known.
    NoOnset,
    /// Asked outside the temperatures the figure counts at.
    OutsideTemperature {
        /// Nearest test temperature, degC.
        tested_c: f64,
        /// Asked temperature, degC.
        asked_c: f64,
    },
    /// Interpolated between runs at these temperatures, degC.
    Interpolated {
        /// Cooler run.
        low_c: f64,
        /// Warmer run.
        high_c: f64,
    },
    /// The life lies this many decades past the longest reading.
    BeyondDecades(f64),
    /// Dried figures used for a moister duty.
    DryOnly,
    /// Another counterface than the duty's.
    OtherSurface(String),
    /// Another direction was tested, not the one asked.
    OtherDirection,
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
    /// An auxiliary figure from the polymer table.
    Assumed(String),
    /// A specimen failed early.
    EarlyFailure,
}

/// One standard normal draw per calibration part, for each draw of a block.
#[derive(Clone, Debug, Default)]
pub struct BiasBlock {
    /// By calibration id and part.
    pub draws: BTreeMap<(String, BiasKind), Vec<f64>>,
}

/// What the evidence supports of one property of one material under one ask.
#[derive(Clone, Debug)]
pub struct Belief {
    /// Grade.
    pub grade: Grade,
    /// Own specimens behind it.
    pub specimens: u32,
    /// Own prints behind it.
    pub prints: u32,
    /// Natural scale.
    pub scale: Scale,
    /// Side of the bounds where the grade is bounded.
    pub side: Option<Side>,
    /// What was assumed.
    pub notes: Vec<Note>,
    /// Whether it rests on the assumed straight line with heat.
    pub on_line: bool,
    /// Whether the property is auxiliary.
    pub auxiliary: bool,
    /// Bias terms of the mean.
    pub bias: Vec<Bias>,
    /// Key of its random streams: material, property, condition.
    pub key: String,
    /// The same belief with its bounds taken as exact readings.
    pub as_exact: Option<Box<Belief>>,
}

impl Belief {
    /// Fills one block of draws, canonical unit: the mean, and one next part per draw.
    ///
    /// Both slices have [`BLOCK`] or fewer entries. An absent belief gives NaN.
    pub fn draw_block(
        &self,
        seed: u64,
        block: u64,
        bias: &BiasBlock,
        mean: &mut [f64],
        next: &mut [f64],
    ) {
        let _ = (seed, block, bias);
        mean.fill(f64::NAN);
        next.fill(f64::NAN);
    }

    /// Quantile `p` (0 < p < 1) of the mean, canonical unit, rig bias included; `None` if absent.
    pub fn mean_quantile(&self, p: f64) -> Option<f64> {
        let _ = p;
        None
    }

    /// Quantile `p` (0 < p < 1) of the next part, canonical unit, rig bias included; `None` if absent.
    pub fn next_quantile(&self, p: f64) -> Option<f64> {
        let _ = p;
        None
    }
}

/// All evidence of a workspace, and the policy it is read by.
#[derive(Clone, Debug, Default)]
pub struct Evidence {
    materials: Vec<Material>,
    runs: Vec<ReducedRun>,
    stated: Vec<Stated>,
    policy: Policy,
    properties: Properties,
}

impl Evidence {
    /// Gathers evidence; set-aside runs are kept for show and give nothing.
    pub fn new(
        materials: Vec<Material>,
        runs: Vec<ReducedRun>,
        stated: Vec<Stated>,
        policy: Policy,
        properties: Properties,
    ) -> Self {
        Evidence {
            materials,
            runs,
            stated,
            policy,
            properties,
        }
    }

    /// All materials.
    pub fn materials(&self) -> &[Material] {
        &self.materials
    }
    /// All reduced runs, set-aside ones among them.
    pub fn runs(&self) -> &[ReducedRun] {
        &self.runs
    }
    /// All stated values.
    pub fn stated(&self) -> &[Stated] {
        &self.stated
    }
    /// The policy.
    pub fn policy(&self) -> &Policy {
        &self.policy
    }
    /// The property table.
    pub fn properties(&self) -> &Properties {
        &self.properties
    }

    /// What is believed of a material under an ask.
    pub fn believe(&self, material: &str, ask: &Ask) -> Belief {
        Belief {
            grade: Grade::Absent,
            specimens: 0,
            prints: 0,
            scale: self
                .properties
                .get(ask.property.as_str())
                .map_or(Scale::Log, |p| p.scale),
            side: None,
            notes: Vec::new(),
            on_line: false,
            auxiliary: false,
            bias: Vec::new(),
            key: format!("{material}/{}", ask.property),
            as_exact: None,
        }
    }
}
