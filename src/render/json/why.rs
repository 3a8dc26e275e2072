//! `dutyfit.why/1`.

use crate::belief::Why;
use crate::catalog::Origin;
use crate::render::why::WhyShown;
use schemars::JsonSchema;
use serde::Serialize;

/// `dutyfit.why/1`: the way from readings to one belief, in words and figures.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct WhyFile<'a> {
    /// `dutyfit.why/1`.
    #[schemars(extend("const" = "dutyfit.why/1"))]
    format: &'static str,
    /// Whether all numbers are the demo's, invented.
    demo: bool,
    /// Whether all numbers are handbook ranges of polymers, and of no measured material.
    handbook: bool,
    /// The answer in a sentence.
    answer: String,
    /// The steps in words.
    steps: Vec<StepOut>,
    /// The steps in figures.
    #[serde(flatten)]
    why: &'a Why,
}

/// One step in words.
#[derive(Debug, Serialize, JsonSchema)]
struct StepOut {
    /// What it is about.
    title: &'static str,
    /// What it says.
    text: Vec<String>,
}

impl WhyShown<'_> {
    /// As JSON, `dutyfit.why/1`.
    pub fn json(&self) -> String {
        super::written_computed(&WhyFile {
            format: "dutyfit.why/1",
            demo: self.origin == Origin::Demo,
            handbook: self.origin == Origin::Handbook,
            answer: self.answer(),
            steps: self
                .steps()
                .into_iter()
                .map(|s| StepOut {
                    title: s.title,
                    text: s.text(),
                })
                .collect(),
            why: self.why,
        })
    }
}
