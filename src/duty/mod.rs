//! A described use in, limits and aims out. One file a part kind.
//!
//! A part kind is a serde struct of inputs (its doc comments become the JSON
//! Schema), the mechanics that turn them into limits and aims, and a row in
//! [`parts`]. Duties ask properties by [`Ask`](crate::property::Ask); they
//! never see beliefs.

mod aim;
mod case;
mod caution;
mod limit;
mod part;
mod preference;
mod surroundings;
mod words;

mod mechanics;

mod bolt_washer;
mod cantilever_bracket;
mod clip;
mod handle_sleeve;
mod impact_guard;
mod knob;
mod living_hinge;
mod plain;
mod plain_bushing;
mod protective_cap;
mod seal_ring;
mod sliding_pad;
mod small_gear;
mod snap_hook;
mod strap;
mod support_foot;
mod tool_handle;
mod vibration_pad;
mod wheel_tyre;

pub use aim::{AIMS, Aim, AimKind, ValueScale};
pub use case::{BoundOverride, Case, Harm, Hurts, LiesOnBed, NotAbout, Setting, Site, Sun};
pub use caution::{
    Caution, Decline, DeferTo, Figure, MaterialFacts, Raised, SOFTENING_DISTANCE_K,
    Severity as CautionSeverity, always_raised, answer_faults, answered, cautions, innocent_use,
    material_cautions, raise,
};
pub use limit::{Inputs, Limit, LimitSense, Performance, Trace};
pub use part::{
    Deed, Duty, FormulaDoc, InputFault, Lever, LeverKind, Lying, Part, PartKind, Promise, StandIn,
    part, parts,
};
pub use plain::PLAIN_FAILURE;
pub use preference::Preference;
pub use surroundings::{EVERY_PART, cracking};
