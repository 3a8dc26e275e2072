//! What a material is good for, among the others; what is missing of it.

use crate::belief::Evidence;
use crate::judge::{Judgement, Standing};

/// A case and how a material stands in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Served {
    /// Case title.
    pub case: String,
    /// Standing.
    pub standing: Standing,
    /// Rank.
    pub rank: Option<u32>,
}

/// A property in which a material is among the best or worst quarter, on measured figures only.
#[derive(Clone, Debug, PartialEq)]
pub struct Strength {
    /// Property id.
    pub property: String,
    /// Whether among the best quarter (else the worst), by the property's sense.
    pub best: bool,
    /// Median.
    pub median: f64,
    /// Unit.
    pub unit: String,
    /// Place from the best.
    pub place: usize,
    /// Of how many materials with measured figures.
    pub of: usize,
}

/// What is missing for which case.
#[derive(Clone, Debug, PartialEq)]
pub struct Missing {
    /// Test id, or the property id for auxiliary ones.
    pub test: String,
    /// Case titles that it would settle.
    pub cases: Vec<String>,
}

/// What a material is good for.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Fitness {
    /// Cases.
    pub cases: Vec<Served>,
    /// Best and worst quarters.
    pub strengths: Vec<Strength>,
    /// Missing tests.
    pub missing: Vec<Missing>,
}

/// What `material` is good for, given each case's title and judgement.
pub fn fitness(material: &str, evidence: &Evidence, judged: &[(String, &Judgement)]) -> Fitness {
    let _ = (material, evidence, judged);
    Fitness::default()
}
