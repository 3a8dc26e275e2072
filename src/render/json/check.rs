//! `dutyfit.check/1`.

use super::case::{
    CaseOut, CautionOut, DeclinedOut, LoosenedOut, StandingWord, cautions, loosened,
};
use super::computed;
use super::direction::DirectionOut;
use super::shortlist::CandidateOut;
use crate::advise::UseLimit;
use crate::catalog::Origin;
use crate::duty::LeverKind;
use crate::render::answer::Check;
use schemars::JsonSchema;
use serde::Serialize;

/// `dutyfit.check/1`: one material against each limit of a case.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct CheckFile {
    /// `dutyfit.check/1`.
    #[schemars(extend("const" = "dutyfit.check/1"))]
    format: &'static str,
    /// The case as it was judged.
    case: CaseOut,
    /// Whether all numbers are the demo's, invented.
    demo: bool,
    /// Whether all numbers are handbook ranges of polymers, and of no measured material.
    handbook: bool,
    /// Start of the draws.
    seed: u64,
    /// Number of draws; 0 where the case is declined.
    draws: usize,
    /// The material asked about.
    material: String,
    /// Why no answer is given; null where there is one.
    declined: Option<DeclinedOut>,
    /// Demands above `nuisance` that this workspace has made weaker.
    policy_loosened: Vec<LoosenedOut>,
    /// The material judged, its place among all candidates; null where declined.
    candidate: Option<CandidateOut>,
    /// How it should lie on the bed; null where declined, or the part kind has no ways.
    direction: Option<DirectionOut>,
    /// How far each load, temperature, life and thickness could be pushed.
    limits_of_use: Vec<UseOut>,
    /// Cautions, the gravest first.
    cautions: Vec<CautionOut>,
}

/// What can be pushed.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
enum LeverWord {
    /// The largest value is sought.
    Load,
    /// The smallest value is sought.
    Thickness,
    /// The hottest service temperature is sought.
    Temperature,
    /// The longest life is sought.
    Life,
}

/// The end of one input.
#[derive(Debug, Serialize, JsonSchema)]
struct UseOut {
    /// Input.
    input: String,
    /// What kind of input.
    kind: LeverWord,
    /// Value in the case.
    now: Option<f64>,
    /// The last value at which the material is still fit; null where it is fit at none tried.
    limit: Option<f64>,
    /// Whether `limit` is only where the search stopped.
    open: bool,
    /// Unit.
    unit: String,
    /// Limit that ends it.
    ended_by: Option<String>,
    /// How the material stands just past `limit`; null where nothing ends it there.
    then: Option<StandingWord>,
}

impl From<&UseLimit> for UseOut {
    fn from(u: &UseLimit) -> Self {
        UseOut {
            input: u.lever.clone(),
            kind: match u.kind {
                LeverKind::Load => LeverWord::Load,
                LeverKind::Thickness => LeverWord::Thickness,
                LeverKind::Temperature => LeverWord::Temperature,
                LeverKind::Life => LeverWord::Life,
            },
            now: computed(u.now),
            limit: u.limit.and_then(super::drawn),
            open: u.open,
            unit: u.unit.clone(),
            ended_by: u.ended_by.clone(),
            then: u.then.as_ref().map(|t| t.0.into()),
        }
    }
}

impl Check<'_> {
    /// As JSON, `dutyfit.check/1`.
    pub fn json(&self, seed: u64) -> String {
        let asked = &self.asked;
        let raised = self.candidate.map_or(&[][..], |c| c.cautions);
        let cautions = cautions(asked, raised);
        let telling = crate::render::telling(asked);
        let declined = asked.duty.declined.as_ref().map(DeclinedOut::from);
        let checked = self.candidate.filter(|_| declined.is_none());
        super::written(&CheckFile {
            format: "dutyfit.check/1",
            case: CaseOut::new(asked),
            demo: asked.origin == Origin::Demo,
            handbook: asked.origin == Origin::Handbook,
            seed,
            draws: checked.map_or(0, |c| c.judgement.draws),
            material: self.material.to_owned(),
            declined,
            policy_loosened: loosened(asked),
            candidate: checked.map(|c| {
                CandidateOut::new(c.candidate, c.reasons, &cautions, telling, self.working)
            }),
            direction: checked
                .and_then(|c| c.direction)
                .and_then(|d| DirectionOut::new(d, telling)),
            limits_of_use: checked
                .map_or_else(Vec::new, |c| c.uses.iter().map(UseOut::from).collect()),
            cautions,
        })
    }
}
