//! The one table of properties. Formulas name its rows by id.

use serde::{Deserialize, Serialize};
use std::borrow::Cow;

/// Id of a property: a built-in one or one of the user's own.
#[derive(
    Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(transparent)]
pub struct PropertyId(Cow<'static, str>);

impl PropertyId {
    /// The id of a built-in property, known at compile time.
    pub const fn fixed(id: &'static str) -> Self {
        PropertyId(Cow::Borrowed(id))
    }
    /// An id read from a file.
    pub fn own(id: impl Into<String>) -> Self {
        PropertyId(Cow::Owned(id.into()))
    }
    /// The id as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl std::fmt::Display for PropertyId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

/// Which way is better.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Sense {
    /// More is better.
    More,
    /// Less is better.
    Less,
    /// Neither; the duty decides.
    Either,
}

/// The scale on which scatter is even.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Scale {
    /// Logarithm: positive quantities; spreads are shares.
    Log,
    /// The figure itself: temperatures, hardness, percentages that may be 0 or pass 100.
    Plain,
}

impl Scale {
    /// The figure on this scale; a non-positive figure on `Log` gives negative infinity or NaN.
    pub fn forward(self, y: f64) -> f64 {
        match self {
            Scale::Log => y.ln(),
            Scale::Plain => y,
        }
    }
    /// Back from the scale.
    pub fn back(self, g: f64) -> f64 {
        match self {
            Scale::Log => g.exp(),
            Scale::Plain => g,
        }
    }
}

/// How a property behaves away from its test temperature (the design's kinds).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Heat {
    /// Falls on a line to nothing at the softening onset; colder it keeps its figure, except where an
    /// ask says that stiffer is worse.
    Falls,
    /// Holds warmer; nothing is said more than the window colder than tested.
    Brittle,
    /// Counts only within the window.
    None,
}

/// Default within-print spread where no pool exists: one standard deviation on the natural scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// On the natural scale: a share for `Log`, the unit of the property for `Plain`.
    pub sd: f64,
    /// Where it comes from.
    pub status: &'static str,
}

/// One row of the table.
#[derive(Clone, Debug, PartialEq)]
pub struct Property {
    /// Id, kebab case.
    pub id: PropertyId,
    /// Title for people.
    pub title: Cow<'static, str>,
    /// Canonical unit.
    pub unit: Cow<'static, str>,
    /// Which way is better when nothing else is said.
    pub sense: Sense,
    /// Natural scale.
    pub scale: Scale,
    /// Direction that an unstated demand means; `None` where direction does not matter.
    pub direction: Option<crate::property::Direction>,
    /// Whether a figure counts only for its face.
    pub by_face: bool,
    /// Whether a figure counts only for its counterface.
    pub by_counterface: bool,
    /// Behaviour away from the test temperature.
    pub heat: Heat,
    /// Default within-print spread.
    pub spread: Spread,
    /// Plausible range in the canonical unit, low and high.
    pub plausible: (f64, f64),
    /// Standard that defines it.
    pub standard: &'static str,
    /// Bench test that gives it; `None` for auxiliary ones.
    pub test: Option<&'static str>,
    /// Whether no bench test here gives it.
    pub auxiliary: bool,
}

impl Property {
    /// Figures that the quantity cannot pass, canonical unit, low and high; infinite where there is no
    /// such end. A log scale cannot pass 0 by itself.
    ///
    /// A hardness scale and a rebound end at 0 and 100 by their definitions (ISO 48-4, ISO 4662; from
    /// memory, not verified). A set below 0 would be a piece that grew under its load. Water uptake has
    /// no end: what is washed out can be more than what is taken up. Coarse classes end with their scale.
    pub fn ends(&self) -> (f64, f64) {
        match self.id.as_str() {
            "shore-a" | "shore-d" | "rebound" => (0.0, 100.0),
            "compression-set" | "washer-set" | "stretch-set" => (0.0, f64::INFINITY),
            "sun-class" => (0.0, 2.0),
            attack if attack.starts_with("attack-") => (0.0, 4.0),
            _ => (f64::NEG_INFINITY, f64::INFINITY),
        }
    }
}

/// A property of the user's own, from `properties.csv`.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnProperty {
    /// Id.
    pub id: String,
    /// Title.
    pub title: String,
    /// Unit.
    pub unit: String,
    /// Sense.
    pub sense: Sense,
    /// Scale.
    pub scale: Scale,
    /// Plausible range.
    pub plausible: (f64, f64),
}

const OURS: &str = "assumed: our own guess for a home bench, no source";

macro_rules! rows {
    ($($id:literal, $title:literal, $unit:literal, $sense:ident, $scale:ident, $dir:expr, $face:literal, $counter:literal, $heat:ident, $sd:literal, [$lo:literal, $hi:literal], $std:literal, $test:expr;)*) => {
        &[$(Property {
            id: PropertyId::fixed($id), title: Cow::Borrowed($title), unit: Cow::Borrowed($unit),
            sense: Sense::$sense, scale: Scale::$scale, direction: $dir, by_face: $face, by_counterface: $counter,
            heat: Heat::$heat, spread: Spread { sd: $sd, status: OURS }, plausible: ($lo, $hi), standard: $std,
            test: $test, auxiliary: { let t: Option<&str> = $test; t.is_none() },
        }),*]
    };
}

use crate::property::Direction::{Across, Flat};

/// id, title, unit, sense, scale, default direction, by face, by counterface, heat,
/// default spread, plausible range, standard, test.
const BUILTIN: &[Property] = rows! {
    "tensile-strength", "tensile strength", "MPa", More, Log, Some(Across), false, false, Falls, 0.08, [0.3, 600.0], "ISO 527-1", Some("tensile");
    "yield-strength", "yield strength", "MPa", More, Log, Some(Flat), false, false, Falls, 0.05, [0.2, 600.0], "ISO 527-1", Some("tensile");
    "tensile-modulus", "tensile modulus", "MPa", Either, Log, Some(Flat), false, false, Falls, 0.06, [0.3, 60000.0], "ISO 527-1", Some("tensile");
    "break-strain", "strain at break", "%", More, Log, Some(Across), false, false, Brittle, 0.20, [0.1, 1500.0], "ISO 527-1", Some("tensile");
    "flexural-strength", "flexural strength", "MPa", More, Log, Some(Across), false, false, Falls, 0.08, [0.3, 900.0], "ISO 178", Some("flexure");
    "flexural-modulus", "flexural modulus", "MPa", Either, Log, Some(Flat), false, false, Falls, 0.06, [0.3, 60000.0], "ISO 178", Some("flexure");
    "impact-notched", "notched impact strength", "kJ/m2", More, Log, Some(Across), false, false, Brittle, 0.15, [0.2, 300.0], "ISO 179-1", Some("impact");
    "impact-plain", "unnotched impact strength", "kJ/m2", More, Log, Some(Across), false, false, Brittle, 0.20, [0.3, 500.0], "ISO 179-1", Some("impact");
    "creep-modulus", "creep modulus at the life", "MPa", Either, Log, Some(Flat), false, false, None, 0.10, [0.05, 40000.0], "ISO 899-1, ISO 899-2", Some("creep");
    "sustained-strength", "stress carried for the life", "MPa", More, Log, Some(Flat), false, false, None, 0.10, [0.05, 400.0], "ISO 899-1", Some("creep");
    "compression-modulus", "compression modulus", "MPa", Either, Log, Some(Flat), false, false, Falls, 0.08, [0.2, 20000.0], "ISO 604, ISO 7743", Some("compression-hold");
    "force-retained", "share of force kept at fixed squeeze", "1", More, Log, Some(Flat), false, false, None, 0.06, [0.01, 1.05], "ISO 3384-1", Some("compression-hold");
    "compression-set", "compression set", "%", Less, Plain, Some(Flat), false, false, None, 4.0, [-10.0, 110.0], "ISO 815-1", Some("compression-hold");
    "wear-rate", "specific wear rate", "mm3/(N.m)", Less, Log, Option::None, true, true, None, 0.25, [1e-10, 1e-1], "ASTM G77, ISO 7148-2", Some("sliding-wear");
    "kinetic-friction", "kinetic friction", "1", Less, Log, Option::None, true, true, None, 0.10, [0.01, 3.0], "ISO 8295", Some("sliding-wear");
    "pv-held", "pressure times speed held", "MPa.m/s", More, Log, Option::None, true, true, None, 0.15, [1e-5, 20.0], "ISO 7148-2", Some("sliding-wear");
    "static-friction", "static friction", "1", Either, Log, Option::None, true, true, None, 0.10, [0.01, 4.0], "ISO 8295", Some("static-friction");
    "rebound", "rebound resilience", "%", Either, Plain, Some(Flat), false, false, None, 2.0, [0.0, 100.0], "ISO 4662", Some("rebound");
    "softening-onset", "softening onset", "degC", More, Plain, Option::None, false, false, None, 2.5, [0.0, 300.0], "ISO 75-2", Some("heat-softening");
    "shore-a", "Shore A hardness", "shoreA", Either, Plain, Some(Flat), false, false, Falls, 1.2, [5.0, 95.0], "ISO 48-4", Some("hardness");
    "shore-d", "Shore D hardness", "shoreD", Either, Plain, Some(Flat), false, false, Falls, 1.2, [10.0, 95.0], "ISO 48-4", Some("hardness");
    "bearing-strength", "bearing pressure carried under a bolt", "MPa", More, Log, Some(Flat), false, false, Falls, 0.08, [0.3, 400.0], "own bench run", Some("bolted-washer");
    "clamp-retained", "share of clamp load kept", "1", More, Log, Some(Flat), false, false, None, 0.08, [0.01, 1.1], "own bench run", Some("bolted-washer");
    "washer-set", "thickness lost by the washer", "%", Less, Plain, Some(Flat), false, false, None, 0.5, [-5.0, 60.0], "own bench run", Some("bolted-washer");
    "stretch-retained", "share of hoop force kept at fixed stretch", "1", More, Log, Some(Flat), false, false, None, 0.06, [0.01, 1.05], "ISO 6914", Some("ring-stretch");
    "stretch-modulus", "modulus of a stretched ring", "MPa", Either, Log, Some(Flat), false, false, Falls, 0.08, [0.2, 20000.0], "ISO 37", Some("ring-stretch");
    "stretch-set", "stretch that stays after release", "%", Less, Plain, Some(Flat), false, false, None, 4.0, [-10.0, 110.0], "ISO 2285", Some("ring-stretch");
    "torque-retained", "share of tightening torque kept", "1", More, Log, Option::None, false, false, None, 0.10, [0.01, 1.1], "own bench run", Some("torque-hold");
    "layer-adhesion", "strength across the layers over strength flat", "1", More, Log, Option::None, false, false, None, 0.10, [0.01, 1.5], "own bench run", Some("layer-adhesion");
    "abrasion-loss", "volume lost on the abrasive drum", "mm3", Less, Log, Option::None, false, false, None, 0.10, [0.1, 2000.0], "ISO 4649", Some("abrasion");
    "abrasion-index", "drum resistance index", "%", More, Log, Option::None, false, false, None, 0.10, [5.0, 2000.0], "ISO 4649", Some("abrasion");
    "abrasion-rate", "volume abraded over the way", "mm3/m", Less, Log, Option::None, false, true, None, 0.20, [1e-6, 1e3], "own bench run", Some("abrasion");
    "abrasion-per-cycle", "volume abraded by a cycle", "mm3/cycles", Less, Log, Option::None, false, true, None, 0.20, [1e-7, 1e2], "own bench run", Some("abrasion");
    "density", "density", "g/cm3", Either, Log, Option::None, false, false, None, 0.01, [0.3, 8.0], "ISO 1183-1", Some("density");
    "water-uptake", "water uptake", "%", Less, Plain, Option::None, false, false, None, 0.15, [-1.0, 15.0], "ISO 62", Some("water-uptake");
    "price", "price", "per kg", Less, Log, Option::None, false, false, None, 0.05, [1.0, 5000.0], "from materials.csv", Option::None;
    "nozzle-temperature", "lowest nozzle temperature", "degC", Less, Plain, Option::None, false, false, None, 5.0, [150.0, 450.0], "from materials.csv", Option::None;
    "bed-temperature", "lowest bed temperature", "degC", Less, Plain, Option::None, false, false, None, 5.0, [15.0, 200.0], "from materials.csv", Option::None;
    "dry-time", "drying time before printing", "h", Less, Plain, Option::None, false, false, None, 1.0, [0.0, 72.0], "from materials.csv", Option::None;
    "thermal-expansion", "thermal expansion", "um/(m.K)", Either, Log, Option::None, false, false, None, 0.20, [5.0, 400.0], "ISO 11359-2", Option::None;
    "poisson-ratio", "Poisson's ratio", "1", Either, Plain, Option::None, false, false, None, 0.03, [0.0, 0.5], "ISO 527-1", Option::None;
    "bulk-modulus", "bulk modulus", "MPa", Either, Log, Option::None, false, false, None, 0.30, [100.0, 10000.0], "no standard named", Option::None;
    "conductivity", "thermal conductivity", "W/(m.K)", More, Log, Option::None, false, false, None, 0.25, [0.05, 20.0], "ISO 22007-2", Option::None;
    "fatigue-share", "share of the strength left to a load of ten million cycles", "1", More, Log, Option::None, false, false, None, 0.35, [0.01, 1.0], "ASTM D671", Option::None;
    "dynamic-stiffening", "stiffness in vibration over stiffness at rest", "1", Less, Log, Option::None, false, false, None, 0.20, [1.0, 5.0], "ISO 4664-1", Option::None;
    "sun-class", "class of sun resistance", "1", More, Plain, Option::None, false, false, None, 0.25, [0.0, 2.0], "coarse class, from memory", Option::None;
    "attack-aliphatic", "attack by paraffins (0 none, 4 severe)", "1", Less, Plain, Option::None, false, false, None, 0.5, [0.0, 4.0], "coarse class, ISO 175", Option::None;
    "attack-aromatic", "attack by aromatics and terpenes (0 none, 4 severe)", "1", Less, Plain, Option::None, false, false, None, 0.5, [0.0, 4.0], "coarse class, ISO 175", Option::None;
    "attack-chlorinated", "attack by chlorinated solvents (0 none, 4 severe)", "1", Less, Plain, Option::None, false, false, None, 0.5, [0.0, 4.0], "coarse class, ISO 175", Option::None;
    "attack-ester-ketone", "attack by esters and ketones (0 none, 4 severe)", "1", Less, Plain, Option::None, false, false, None, 0.5, [0.0, 4.0], "coarse class, ISO 175", Option::None;
    "attack-alcohol", "attack by alcohols and glycols (0 none, 4 severe)", "1", Less, Plain, Option::None, false, false, None, 0.5, [0.0, 4.0], "coarse class, ISO 175", Option::None;
    "attack-weak-acid", "attack by weak acids (0 none, 4 severe)", "1", Less, Plain, Option::None, false, false, None, 0.5, [0.0, 4.0], "coarse class, ISO 175", Option::None;
    "attack-strong-acid", "attack by strong acids (0 none, 4 severe)", "1", Less, Plain, Option::None, false, false, None, 0.5, [0.0, 4.0], "coarse class, ISO 175", Option::None;
    "attack-weak-base", "attack by weak bases (0 none, 4 severe)", "1", Less, Plain, Option::None, false, false, None, 0.5, [0.0, 4.0], "coarse class, ISO 175", Option::None;
    "attack-strong-base", "attack by strong bases (0 none, 4 severe)", "1", Less, Plain, Option::None, false, false, None, 0.5, [0.0, 4.0], "coarse class, ISO 175", Option::None;
    "attack-strong-oxidant", "attack by bleach and other oxidants (0 none, 4 severe)", "1", Less, Plain, Option::None, false, false, None, 0.5, [0.0, 4.0], "coarse class, ISO 175", Option::None;
    "attack-oil-grease", "attack by oil and grease (0 none, 4 severe)", "1", Less, Plain, Option::None, false, false, None, 0.5, [0.0, 4.0], "coarse class, ISO 175", Option::None;
    "attack-soap-detergent", "attack by soap and detergent (0 none, 4 severe)", "1", Less, Plain, Option::None, false, false, None, 0.5, [0.0, 4.0], "coarse class, ISO 175", Option::None;
    "attack-water", "attack by water (0 none, 4 severe)", "1", Less, Plain, Option::None, false, false, None, 0.5, [0.0, 4.0], "coarse class, ISO 175", Option::None;
};

/// The built-in properties, in the table's order.
pub fn builtin() -> &'static [Property] {
    BUILTIN
}

/// The built-in table and the user's own properties.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Properties {
    own: Vec<Property>,
}

impl Properties {
    /// The built-in table with `own` added; ids that exist already are left out
    /// (the reader of `properties.csv` refuses them).
    pub fn with_own(own: &[OwnProperty]) -> Self {
        let own = own
            .iter()
            .filter(|o| !BUILTIN.iter().any(|p| p.id.as_str() == o.id))
            .map(|o| Property {
                id: PropertyId::own(o.id.clone()),
                title: Cow::Owned(o.title.clone()),
                unit: Cow::Owned(o.unit.clone()),
                sense: o.sense,
                scale: o.scale,
                direction: None,
                by_face: false,
                by_counterface: false,
                heat: Heat::None,
                spread: Spread {
                    sd: match o.scale {
                        Scale::Log => 0.15,
                        Scale::Plain => 0.05 * (o.plausible.1 - o.plausible.0).abs(),
                    },
                    status: OURS,
                },
                plausible: o.plausible,
                standard: "the user's own",
                test: Some("custom"),
                auxiliary: false,
            })
            .collect();
        Properties { own }
    }

    /// The rows of the user's own properties.
    pub fn own(&self) -> impl Iterator<Item = &Property> {
        self.own.iter()
    }

    /// All rows, built-in first.
    pub fn iter(&self) -> impl Iterator<Item = &Property> {
        BUILTIN.iter().chain(self.own.iter())
    }

    /// The row of an id.
    pub fn get(&self, id: &str) -> Option<&Property> {
        self.iter().find(|p| p.id.as_str() == id)
    }
}
