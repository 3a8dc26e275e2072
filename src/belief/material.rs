//! Materials and stated values, as their files describe them.

use crate::property::{Condition, PropertyId};
use crate::quantity::Reading;
use serde::Serialize;

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
    /// One standard deviation on the natural scale, 0 for an exact figure; `None` for the policy's.
    pub sd: Option<f64>,
    /// Conditions.
    pub condition: Condition,
    /// Standard it was taken by.
    pub standard: String,
    /// Source.
    pub source: String,
}
