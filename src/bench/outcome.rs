//! How a specimen's test ended.

use crate::quantity::Reading;
use serde::Serialize;

/// The outcome words of the sheets.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// Blank: measured.
    #[default]
    Measured,
    /// `no break`: held all that was given.
    NoBreak,
    /// `stopped`: ended before failure or before the end point.
    Stopped,
    /// `above range`: more than the rig or scale shows.
    AboveRange,
    /// `below range`: less than the rig or scale shows.
    BelowRange,
    /// `below resolution`: nothing could be seen.
    BelowResolution,
    /// `collapsed` at that line's load.
    Collapsed,
    /// `melted` at that line's load.
    Melted,
    /// `ruptured` at that line's load.
    Ruptured,
    /// `partial`: broke at least nine tenths through.
    Partial,
    /// `hinge`: broke but held by a skin.
    Hinge,
    /// `early failure`: a reading, footnoted.
    EarlyFailure,
    /// `slipped`: kept, no evidence.
    Slipped,
    /// `invalid`: kept, no evidence.
    Invalid,
    /// `not applicable`: no figure is possible.
    NotApplicable,
}

const WORDS: &[(&str, Outcome)] = &[
    ("", Outcome::Measured),
    ("no break", Outcome::NoBreak),
    ("stopped", Outcome::Stopped),
    ("above range", Outcome::AboveRange),
    ("below range", Outcome::BelowRange),
    ("below resolution", Outcome::BelowResolution),
    ("collapsed", Outcome::Collapsed),
    ("melted", Outcome::Melted),
    ("ruptured", Outcome::Ruptured),
    ("partial", Outcome::Partial),
    ("hinge", Outcome::Hinge),
    ("early failure", Outcome::EarlyFailure),
    ("slipped", Outcome::Slipped),
    ("invalid", Outcome::Invalid),
    ("not applicable", Outcome::NotApplicable),
];

impl Outcome {
    /// Outcomes that every test allows.
    pub const ALWAYS: &'static [Outcome] = &[
        Outcome::Measured,
        Outcome::EarlyFailure,
        Outcome::Slipped,
        Outcome::Invalid,
        Outcome::NotApplicable,
    ];

    /// The word in files; empty for measured.
    pub fn word(self) -> &'static str {
        WORDS.iter().find(|w| w.1 == self).map_or("", |w| w.0)
    }

    /// The outcome of a word in a file.
    pub fn from_word(word: &str) -> Option<Self> {
        WORDS.iter().find(|w| w.0 == word.trim()).map(|w| w.1)
    }

    /// All words that are not blank.
    pub fn words() -> impl Iterator<Item = &'static str> {
        WORDS.iter().map(|w| w.0).filter(|w| !w.is_empty())
    }

    /// Whether the line carries no evidence at all.
    pub fn no_evidence(self) -> bool {
        matches!(
            self,
            Outcome::Slipped | Outcome::Invalid | Outcome::NotApplicable
        )
    }

    /// A figure read under this outcome: `>=` where the specimen held or the
    /// test ended early, `<=` where nothing could be seen, else exact.
    pub fn reading(self, figure: f64) -> Reading {
        match self {
            Outcome::NoBreak | Outcome::Stopped | Outcome::AboveRange => Reading::AtLeast(figure),
            Outcome::BelowRange | Outcome::BelowResolution => Reading::AtMost(figure),
            _ => Reading::Exact(figure),
        }
    }
}
