//! Bench runs: raw readings in, property observations out. One file a test.
//!
//! A test knows its columns, its outcome words and one pure function from a
//! specimen's exact figures to property values. Everything that is the same
//! for all tests is done once in [`reduce_run`]: the rig's calibration,
//! readings outside a rig's range, bounded cells, the resolution and the bias
//! of each property (through the slope of the test's own formula).

mod beam;
mod cells;
mod column;
mod curve;
mod howto;
mod kept;
mod outcome;
mod plausible;
mod reduce;
mod reduction;
mod run;
pub mod time;
mod written;

mod abrasion;
mod bolted_washer;
mod compression_hold;
mod creep;
mod custom;
mod density;
mod flexure;
mod given;
mod hardness;
mod heat_softening;
mod impact;
mod layer_adhesion;
mod print_trial;
mod rebound;
mod ring_stretch;
mod sliding_wear;
mod static_friction;
mod tensile;
mod torque_hold;
mod water_uptake;

pub use cells::{Cell, RawCells};
pub use column::{Column, Kind, LONGEST_TEXT, Need};
pub use howto::HowTo;
pub use outcome::Outcome;
pub use plausible::implausible;
pub use print_trial::GRADES;
pub(crate) use reduce::reduce_bare;
pub use reduce::{ReducedRun, ReducedSpecimen, reduce_figures, reduce_run};
pub(crate) use reduce::{Steps, reduce_specimens, working_of};
pub use reduction::{Bias, BiasKind, Observation, Reduction, Refusal, Step, Value};
pub use run::{Channel, Point, Rig, Run, Specimen};
pub use time::{Curve, HELD_EXPONENT, Law, RETAINED_FLOOR, TimeFit, Told, at_life, at_life_beside};
pub use written::{Stands, Written, written};

/// One kind of bench test.
pub trait BenchTest: Sync {
    /// Id as in `readings/ID.csv`.
    fn id(&self) -> &'static str;
    /// Title for people.
    fn title(&self) -> &'static str;
    /// The raw columns, in the order a sheet has them.
    fn columns(&self) -> &'static [Column];
    /// The outcome words it allows besides blank, `early failure`, `slipped`,
    /// `invalid` and `not applicable`, which every test allows.
    fn outcomes(&self) -> &'static [Outcome];
    /// Whether a blank direction is refused.
    fn needs_direction(&self) -> bool {
        false
    }
    /// Whether a blank counterface is refused.
    fn needs_counterface(&self) -> bool {
        false
    }
    /// Ids of the properties it gives.
    fn gives(&self) -> &'static [&'static str];
    /// Formulas with their labels, validity and source, a line each, for people.
    fn formulas(&self) -> &'static [&'static str];
    /// Whether figures are made of its readings at all; a test of which none is made keeps what was
    /// written, and that is shown.
    fn gives_figures(&self) -> bool {
        true
    }
    /// What its empty sheet says: how to measure, and what goes wrong. Common practice of the
    /// bench, no source.
    fn howto(&self) -> HowTo;
    /// Reduces one specimen whose cells are all exact figures.
    ///
    /// Pushes observations, refusals and working steps; a reading outside a
    /// formula's validity becomes a bound or a refusal, never a number.
    fn reduce(&self, specimen: &Specimen, out: &mut Reduction);
}

/// All tests, in the order the sheets are listed.
pub fn tests() -> &'static [&'static dyn BenchTest] {
    &[
        &tensile::Tensile,
        &flexure::Flexure,
        &impact::Impact,
        &creep::Creep,
        &compression_hold::CompressionHold,
        &sliding_wear::SlidingWear,
        &static_friction::StaticFriction,
        &rebound::Rebound,
        &heat_softening::HeatSoftening,
        &hardness::Hardness,
        &bolted_washer::BoltedWasher,
        &density::Density,
        &water_uptake::WaterUptake,
        &ring_stretch::RingStretch,
        &torque_hold::TorqueHold,
        &layer_adhesion::LayerAdhesion,
        &abrasion::Abrasion,
        &print_trial::PrintTrial,
        &custom::Custom,
    ]
}

/// The test of an id.
pub fn find(id: &str) -> Option<&'static dyn BenchTest> {
    tests().iter().copied().find(|t| t.id() == id)
}
