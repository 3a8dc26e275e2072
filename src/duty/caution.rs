//! Safety cautions: what raises them, and which uses are declined.

use crate::duty::Case;
use serde::Serialize;

/// How loud a caution is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// No pick and no margin.
    Decline,
    /// Above the answer.
    Severe,
    /// With the answer.
    Injury,
    /// With the answer.
    Damage,
    /// Once.
    Note,
}

/// A standard or practice to defer to.
#[derive(Clone, Debug, PartialEq, Serialize, schemars::JsonSchema)]
pub struct DeferTo {
    /// Standard.
    pub standard: String,
    /// What it is about.
    pub about: String,
    /// Status of this reference.
    pub status: String,
}

/// A caution of the rule book.
#[derive(Clone, Debug, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Caution {
    /// Id.
    pub id: String,
    /// Severity.
    pub severity: Severity,
    /// Text.
    pub text: String,
    /// What to defer to.
    pub defer_to: Vec<DeferTo>,
    /// Whom to ask.
    pub ask: String,
}

/// A caution that a case raised, and by what.
#[derive(Clone, Debug, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Raised {
    /// The caution.
    pub caution: Caution,
    /// What raised it (`part bolt-washer`, `word "grease"`, `hot end 60 degC`).
    pub by: Vec<String>,
}

/// Why no pick is given.
#[derive(Clone, Debug, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Decline {
    /// The caution.
    pub caution: Caution,
    /// The word or condition.
    pub word: String,
    /// Whether the word has innocent meanings and one yes/no question can lift it.
    pub doubtful: bool,
    /// That question.
    pub question: Option<String>,
}

/// The rule book.
pub fn cautions() -> &'static [Caution] {
    &[]
}

/// The cautions and declines that a case raises by its words, part, persons and conditions.
pub fn raise(case: &Case) -> (Vec<Raised>, Vec<Decline>) {
    let _ = case;
    (Vec::new(), Vec::new())
}
