//! The conditions under which a reading was taken, or is wanted.

use serde::{Deserialize, Serialize};

/// Room temperature of the trade, degC (ISO 291, class 2 atmosphere 23 degC).
pub const ROOM_C: f64 = 23.0;

/// How a specimen lay against its layers.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Direction {
    /// Printed lying flat, loaded in the plane of the layers.
    Flat,
    /// Printed on edge, loaded in the plane of the layers.
    Edge,
    /// Loaded across the layers.
    Across,
}

/// How a load lies to the layers of a part.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Lies {
    /// In the plane of the layers: flat and edge evidence counts.
    InPlane,
    /// Across the layers: only across evidence counts.
    Across,
}

impl Direction {
    /// Whether evidence taken in this direction counts for a load that lies so.
    pub fn serves(self, lies: Lies) -> bool {
        (self == Direction::Across) == (lies == Lies::Across)
    }
    /// How a load along this direction lies to the layers.
    pub fn lies(self) -> Lies {
        if self == Direction::Across {
            Lies::Across
        } else {
            Lies::InPlane
        }
    }
}

/// Which face of the print was rubbed or pressed.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Face {
    /// The last layer.
    Top,
    /// The face on the bed.
    Bottom,
    /// A wall.
    Side,
}

/// Moisture of a specimen or a use.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Moisture {
    /// Dried before the test, or kept dry in use.
    Dried,
    /// As it stands in a room.
    #[default]
    Room,
    /// Wet or soaked.
    Wet,
}

impl Moisture {
    /// Share of the saturated water uptake that is taken up in a room, where it was not measured:
    /// about 0.3 for PA 6 and PA 66 and 0.45 for PA 12 at 50 % relative humidity, near 0.5 for polymers
    /// that take up little (from memory, not verified).
    pub(crate) const ROOM_SHARE: f64 = 0.4;
}

/// Gives an enum of conditions its words in files, both ways.
macro_rules! words {
    ($kind:ident { $($variant:ident = $word:literal),* $(,)? }) => {
        impl $kind {
            /// The word in files.
            pub fn word(self) -> &'static str {
                match self {
                    $($kind::$variant => $word,)*
                }
            }
            /// What a word in a file means.
            pub fn from_word(word: &str) -> Option<Self> {
                match word {
                    $($word => Some($kind::$variant),)*
                    _ => None,
                }
            }
        }
    };
}

words!(Direction { Flat = "flat", Edge = "edge", Across = "across" });
words!(Face { Top = "top", Bottom = "bottom", Side = "side" });
words!(Moisture { Dried = "dried", Room = "room", Wet = "wet" });

/// The conditions a figure was taken under.
#[derive(Clone, Debug, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Condition {
    /// Against the layers; `None` where the test has no direction or none was said.
    pub direction: Option<Direction>,
    /// Which face; `None` where none was said.
    pub face: Option<Face>,
    /// Temperature, degC.
    pub temperature_c: f64,
    /// Moisture.
    pub moisture: Moisture,
    /// Annealing as written (`80 degC 4 h`), `None` for none.
    pub annealed: Option<String>,
    /// Surface rubbed against; `None` where the test has none.
    pub counterface: Option<String>,
    /// A kind that is never averaged with others: break type `partial`, `hinge`;
    /// `None` for the plain kind.
    pub kind: Option<String>,
}

impl Default for Condition {
    fn default() -> Self {
        Condition {
            direction: None,
            face: None,
            temperature_c: ROOM_C,
            moisture: Moisture::Room,
            annealed: None,
            counterface: None,
            kind: None,
        }
    }
}
