//! Why a candidate is placed as it is, in figures; `render` turns them into words.

use crate::duty::Duty;
use crate::judge::Judgement;

/// One reason.
#[derive(Clone, Debug, PartialEq)]
pub enum Reason {
    /// An aim that decides the placing against the runner-up (or the leader).
    Aim {
        /// Aim id.
        aim: String,
        /// Median performance.
        here: f64,
        /// The other's median performance.
        there: Option<f64>,
        /// The other material.
        against: Option<String>,
        /// Median over all candidates not ruled out.
        middle: Option<f64>,
        /// Unit.
        unit: String,
        /// Difference of contributions to the score, here minus there.
        gain: f64,
    },
    /// The limit with the least margin.
    Limit {
        /// Limit id.
        limit: String,
        /// Title.
        title: String,
        /// Median predicted.
        predicted: f64,
        /// Needed (the nearer bound).
        needed: f64,
        /// Unit.
        unit: String,
        /// Chance.
        chance: f64,
        /// Own specimens.
        specimens: u32,
        /// Own prints.
        prints: u32,
    },
    /// Ruled out by this limit, by this factor.
    RuledOutBy {
        /// Limit id.
        limit: String,
        /// Title.
        title: String,
        /// Failure mode.
        failure: String,
        /// Median predicted; `None` where nothing can be computed.
        predicted: Option<f64>,
        /// Needed.
        needed: f64,
        /// Unit.
        unit: String,
        /// Needed over predicted (at-least) or predicted over needed (at-most).
        factor: Option<f64>,
    },
    /// Not known for want of this test.
    Wants {
        /// Limit id.
        limit: String,
        /// Title.
        title: String,
        /// Property id.
        property: String,
        /// Test that settles it; `None` for auxiliary properties.
        test: Option<String>,
        /// Conditions in words of the files (`across`, `wet`, `steel-smooth`, `45 degC`).
        condition: Vec<String>,
        /// Specimens still needed.
        specimens: u32,
        /// Bench minutes, from the policy.
        minutes: Option<f64>,
    },
}

/// Reasons for every candidate, in the judgement's order.
pub fn reasons(
    duty: &Duty,
    judgement: &Judgement,
    evidence: &crate::belief::Evidence,
) -> Vec<Vec<Reason>> {
    let _ = (duty, evidence);
    judgement.candidates.iter().map(|_| Vec::new()).collect()
}
