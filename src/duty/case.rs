//! A described use, whatever the part: surroundings, life, harm, preferences.

use crate::duty::{Part, Preference};
use crate::policy::Class;
use crate::property::{Moisture, Properties};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// How the part lies on the bed.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum LiesOnBed {
    /// On its largest face.
    Flat,
    /// On an edge.
    Edge,
    /// Standing.
    Upright,
    /// Not decided.
    #[default]
    Open,
}

/// Sunlight.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Sun {
    /// None.
    #[default]
    None,
    /// Behind glass.
    Indoors,
    /// Outside.
    Outdoors,
}

/// Where the part is used.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Site {
    /// Under a roof.
    #[default]
    Indoors,
    /// In the open: rain, frost, dirt.
    Outdoors,
}

/// Who is hurt if the part fails.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Hurts {
    /// Nobody.
    #[default]
    Nobody,
    /// The one who uses it.
    User,
    /// Somebody near.
    Bystander,
    /// A child.
    Child,
}

/// What happens if the part fails.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Harm {
    /// Who is hurt.
    #[serde(default)]
    pub hurts: Hurts,
    /// What is damaged, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub damages: String,
    /// Whether the part can be replaced.
    #[serde(default = "yes")]
    pub replaceable: bool,
    /// Whether somebody can look at the part in use and see cracks, sag or wear in time.
    #[serde(default = "yes")]
    pub inspected: bool,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

impl Default for Harm {
    /// Nobody and nothing, by a part that can be seen and replaced.
    fn default() -> Self {
        Harm {
            hurts: Hurts::Nobody,
            damages: String::new(),
            replaceable: true,
            inspected: true,
            note: String::new(),
        }
    }
}

fn yes() -> bool {
    true
}

/// The answer to a doubtful word: the case is not about that.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NotAbout {
    /// Caution id.
    pub caution: String,
    /// The doubtful word.
    pub word: String,
    /// Why it is not meant.
    pub because: String,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// Everything about the use that is the same for every part kind.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// Service temperature, cold and hot end, degC.
    pub temperature_c: (f64, f64),
    /// Storage temperature, degC, where it goes past the service range.
    pub storage_c: Option<(f64, f64)>,
    /// Moisture.
    pub moisture: Moisture,
    /// Surface in contact.
    pub counterface: Option<String>,
    /// Sun.
    pub sun: Sun,
    /// Indoors or outdoors.
    pub place: Site,
    /// Chemicals named.
    pub chemicals: Vec<String>,
    /// Life, h.
    pub life_h: f64,
    /// How often the load comes and goes over the life; `None` where nobody said.
    pub cycles: Option<f64>,
    /// How the part lies on the bed.
    pub lies: LiesOnBed,
    /// Harm.
    pub harm: Harm,
    /// Class stated; it may raise what harm says, never lower it.
    pub class: Option<Class>,
    /// Notes on surroundings and bounds; they count for cautions.
    pub notes: Vec<String>,
    /// The policy's factor on loads, by class in the order of [`Class::ALL`].
    pub factors: [f64; 4],
    /// The property table, with the workspace's own properties.
    pub properties: Properties,
}

impl Default for Setting {
    /// A year at room temperature, nobody hurt; the factors of the default policy.
    fn default() -> Self {
        Setting {
            temperature_c: (23.0, 23.0),
            storage_c: None,
            moisture: Moisture::Room,
            counterface: None,
            sun: Sun::None,
            place: Site::Indoors,
            chemicals: Vec::new(),
            life_h: 8766.0,
            cycles: None,
            lies: LiesOnBed::Open,
            harm: Harm::default(),
            class: None,
            notes: Vec::new(),
            factors: crate::policy::Policy::default().classes.map(|c| c.factor),
            properties: Properties::default(),
        }
    }
}

impl Setting {
    /// The hottest the part gets, service or storage, degC.
    pub fn hottest_c(&self) -> f64 {
        self.storage_c
            .map_or(self.temperature_c.1, |s| s.1.max(self.temperature_c.1))
    }
    /// The factor on loads of a class.
    pub fn factor(&self, class: Class) -> f64 {
        self.factors[class as usize]
    }
    /// The class of a structural limit: the part's default, raised by harm, raised by a stated class.
    pub fn class_of(&self, default: Class) -> Class {
        self.class.unwrap_or(default).max(self.harm_floor())
    }
    /// The mildest class that a structural limit can have: at least `injury` where somebody is hurt,
    /// at least `damage` where nobody can see the failure coming.
    pub fn harm_floor(&self) -> Class {
        match (self.harm.hurts, self.harm.inspected) {
            (Hurts::Nobody, true) => Class::Nuisance,
            (Hurts::Nobody, false) => Class::Damage,
            _ => Class::Injury,
        }
    }
}

/// A bound that the case sets for a limit by id, in the limit's unit.
#[derive(Clone, Debug, PartialEq)]
pub struct BoundOverride {
    /// `>=`, as text with a unit.
    pub at_least: Option<String>,
    /// `<=`, as text with a unit.
    pub at_most: Option<String>,
    /// Class, where the case sets it.
    pub class: Option<Class>,
}

/// A case: a part with its inputs, its setting and its preferences.
#[derive(Debug)]
pub struct Case {
    /// Title.
    pub title: String,
    /// Note.
    pub note: String,
    /// Part kind with its inputs.
    pub part: Box<dyn Part>,
    /// Surroundings, life and harm.
    pub setting: Setting,
    /// Bounds set by limit id.
    pub limits: BTreeMap<String, BoundOverride>,
    /// Preferences of the case.
    pub preference: Option<Preference>,
    /// Doubtful words answered.
    pub not_about: Vec<NotAbout>,
    /// Names of inputs that were not known.
    pub assumed: Vec<String>,
    /// Fields left to their defaults, with the default, for the output.
    pub defaults: Vec<(String, String)>,
}
