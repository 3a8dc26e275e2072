//! What judging asks for and what it answers.

use crate::belief::{Evidence, Grade, Note};
use crate::duty::{Duty, LimitSense, Preference};
use crate::policy::Class;
use crate::quantity::Reading;
use serde::Serialize;

/// Draws of the design.
pub const DRAWS: usize = 16_384;

/// What to judge.
#[derive(Clone, Copy, Debug)]
pub struct Request<'a> {
    /// The duty.
    pub duty: &'a Duty,
    /// The evidence.
    pub evidence: &'a Evidence,
    /// Candidate ids in listed order.
    pub among: &'a [String],
    /// Preference in force.
    pub preference: &'a Preference,
    /// Seed.
    pub seed: u64,
    /// Draws, a multiple of the block.
    pub draws: usize,
}

/// How a candidate stands.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    /// Meets the duty.
    Fit,
    /// Comes near.
    Borderline,
    /// The evidence does not reach.
    NotKnown,
    /// Fails.
    RuledOut,
}

/// Why a candidate stands as it does.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub enum Cause {
    /// A limit's chance is below the policy's on own or stated evidence.
    Fails {
        /// Limit.
        limit: String,
        /// Chance.
        chance: f64,
        /// Grade it was judged on.
        grade: Grade,
    },
    /// A limit rests on nothing.
    Absent {
        /// Limit.
        limit: String,
        /// Property id that is missing.
        property: String,
        /// Why, as belief notes.
        notes: Vec<Note>,
    },
    /// A limit rests on borrowed evidence.
    Borrowed {
        /// Limit.
        limit: String,
        /// Property id.
        property: String,
        /// Notes.
        notes: Vec<Note>,
    },
    /// A limit above nuisance rests on a stated value.
    Stated {
        /// Limit.
        limit: String,
        /// Property id.
        property: String,
    },
    /// A bound does not itself show the limit.
    BoundOpen {
        /// Limit.
        limit: String,
        /// Property id.
        property: String,
        /// Chance with the bound taken as exact.
        chance_as_exact: f64,
    },
    /// Too few own specimens.
    Specimens {
        /// Limit.
        limit: String,
        /// Property id.
        property: String,
        /// Have.
        have: u32,
        /// Asked.
        asked: u32,
    },
    /// Too few own prints.
    Prints {
        /// Limit.
        limit: String,
        /// Property id.
        property: String,
        /// Have.
        have: u32,
        /// Asked.
        asked: u32,
    },
    /// Rests on the assumed straight line with heat, at injury or above.
    OnLine {
        /// Limit.
        limit: String,
        /// Property id.
        property: String,
    },
    /// The standing turns when an auxiliary figure is put at its worse 5 %.
    Auxiliary {
        /// Limit.
        limit: String,
        /// Property id.
        property: String,
    },
    /// Chance of meeting a class's limits falls short of its requirement.
    Short {
        /// Class.
        class: Class,
        /// The limit with the lowest chance in it.
        limit: String,
        /// Chance for all limits of the class.
        chance: f64,
        /// Asked.
        asked: f64,
        /// Whether it is within two standard errors of it.
        within_error: bool,
    },
    /// Meets everything.
    Meets {
        /// Chance for all limits.
        chance: f64,
    },
}

impl Cause {
    /// The limit that it speaks of, where it speaks of one.
    pub fn limit(&self) -> Option<&str> {
        match self {
            Cause::Fails { limit, .. }
            | Cause::Absent { limit, .. }
            | Cause::Borrowed { limit, .. }
            | Cause::Stated { limit, .. }
            | Cause::BoundOpen { limit, .. }
            | Cause::Specimens { limit, .. }
            | Cause::Prints { limit, .. }
            | Cause::OnLine { limit, .. }
            | Cause::Auxiliary { limit, .. }
            | Cause::Short { limit, .. } => Some(limit),
            Cause::Meets { .. } => None,
        }
    }
}

/// 5, 50 and 95 % of the next part.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Predicted {
    /// 5 %.
    pub low: f64,
    /// 50 %.
    pub median: f64,
    /// 95 %.
    pub high: f64,
}

/// One limit of one candidate.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitResult {
    /// Limit id.
    pub id: String,
    /// Class.
    pub class: Class,
    /// Bound.
    pub sense: LimitSense,
    /// Unit.
    pub unit: String,
    /// Prediction; `None` where nothing can be said. Where `bounded` stands beside it, it rests
    /// on what other materials showed and is not for people.
    pub predicted: Option<Predicted>,
    /// What bounds from one side say of the typical next part: at least, or at most, this figure,
    /// the median with the bounds taken as exact.
    pub bounded: Option<Reading>,
    /// Chance that the next part meets it; `None` where nothing can be said.
    pub chance: Option<f64>,
    /// Monte-Carlo standard error of the chance.
    pub chance_se: Option<f64>,
    /// Chance with bounds taken as exact, where the grade is bounded.
    pub chance_as_exact: Option<f64>,
    /// Weakest grade among its properties, auxiliary ones aside.
    pub grade: Grade,
    /// Fewest own specimens among them.
    pub specimens: u32,
    /// Fewest own prints among them.
    pub prints: u32,
    /// Property that is weakest.
    pub weakest: String,
    /// Everything assumed on the way, with the property.
    pub notes: Vec<(String, Note)>,
    /// The formula's steps at the medians of the next part.
    pub working: Vec<crate::bench::Step>,
}

impl LimitResult {
    /// The typical next part as the readings show it: the median, or the bound that is all they
    /// say; `None` where nothing can be said.
    pub fn typical(&self) -> Option<Reading> {
        self.bounded
            .or_else(|| self.predicted.map(|p| Reading::Exact(p.median)))
            .filter(|r| r.as_exact().is_finite())
    }

    /// The chance as the readings show it: with bounds from one side, what they come to when
    /// taken as exact, at least so where more is on the good side and at most so on the other.
    /// `None` where nothing can be said, or the bounds leave every chance open.
    pub fn shown_chance(&self) -> Option<Reading> {
        let Some(side) = self.bounded else {
            return self.chance.map(Reading::Exact);
        };
        let p = self.chance_as_exact?;
        match (side, self.sense) {
            (Reading::AtLeast(_), LimitSense::AtLeast(_))
            | (Reading::AtMost(_), LimitSense::AtMost(_)) => {
                (p > 0.0).then_some(Reading::AtLeast(p))
            }
            (Reading::AtLeast(_), LimitSense::AtMost(_))
            | (Reading::AtMost(_), LimitSense::AtLeast(_)) => {
                (p < 1.0).then_some(Reading::AtMost(p))
            }
            _ => None,
        }
    }
}

/// One aim of one candidate.
#[derive(Clone, Debug, PartialEq)]
pub struct AimResult {
    /// Aim id.
    pub id: String,
    /// Mean weight.
    pub weight: f64,
    /// Mean value.
    pub value: f64,
    /// Mean weight times value.
    pub contribution: f64,
    /// Median performance; `None` where nothing can be said (valued 0).
    pub median: Option<f64>,
    /// Weakest grade among its properties.
    pub grade: Grade,
}

/// One candidate judged.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// Material id.
    pub material: String,
    /// Standing.
    pub standing: Standing,
    /// Causes, the weightiest first.
    pub causes: Vec<Cause>,
    /// Rank from 1; `None` for the ruled out.
    pub rank: Option<u32>,
    /// Score.
    pub score: f64,
    /// Its Monte-Carlo standard error.
    pub score_se: f64,
    /// Chance of meeting all limits, bounds from one side taken as exact; `None` where some
    /// cannot be said.
    pub meets_all: Option<f64>,
    /// Share of draws led among materials not ruled out.
    pub best_share: f64,
    /// 90 % rank range; `None` for the ruled out.
    pub rank_range: Option<(u32, u32)>,
    /// Limits in the duty's order.
    pub limits: Vec<LimitResult>,
    /// Aims in the duty's order.
    pub aims: Vec<AimResult>,
}

/// Mean weight of an aim over the stated region.
#[derive(Clone, Debug, PartialEq)]
pub struct AimWeight {
    /// Aim id.
    pub id: String,
    /// Mean weight.
    pub weight: f64,
    /// Performance of value 0.
    pub zero: f64,
    /// Performance of value 1.
    pub one: f64,
    /// Unit.
    pub unit: String,
}

/// What the weight region says, by linear programmes on median values.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Region {
    /// Fit or borderline materials that are best for some allowed weights.
    pub can_be_best: Vec<String>,
    /// Those that never are.
    pub never_best: Vec<String>,
    /// Pairs: the first is at least as good as the second for all allowed weights.
    pub dominates: Vec<(String, String)>,
    /// Fit or borderline materials further down the list that were not looked at.
    pub left_out: usize,
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Judgement {
    /// Seed.
    pub seed: u64,
    /// Draws.
    pub draws: usize,
    /// Share of draws in which no material meets all limits.
    pub nothing_serves: f64,
    /// Candidates: by standing, then score, the ruled out last.
    pub candidates: Vec<Candidate>,
    /// Weights.
    pub weights: Vec<AimWeight>,
    /// Region.
    pub region: Region,
    /// Aim ids of the preference that the part lacks, skipped.
    pub skipped_aims: Vec<String>,
}
