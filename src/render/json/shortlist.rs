//! `dutyfit.shortlist/1`.

use super::case::{
    CaseOut, CautionOut, DeclinedOut, LimitOut, LoosenedOut, StandingWord, cautions, loosened,
};
use super::direction::DirectionOut;
use super::{computed, drawn};
use crate::advise::Reason;
use crate::catalog::Origin;
use crate::judge::{AimResult, Candidate, Judgement};
use crate::problem::Problem;
use crate::render::answer::{Judged, Shortlist};
use crate::render::telling::{self, Telling};
use schemars::JsonSchema;
use serde::Serialize;

/// `dutyfit.shortlist/1`: the materials ranked for one case.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct ShortlistFile {
    /// `dutyfit.shortlist/1`.
    #[schemars(extend("const" = "dutyfit.shortlist/1"))]
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
    /// Share of draws in which no material meets all limits; null where declined.
    nothing_serves: Option<f64>,
    /// Why no pick is given; null where there is an answer.
    declined: Option<DeclinedOut>,
    /// Demands above `nuisance` that this workspace has made weaker.
    policy_loosened: Vec<LoosenedOut>,
    /// Aims of the weights that the part lacks, skipped.
    skipped_aims: Vec<String>,
    /// Where the weights come from.
    weights_from: String,
    /// Mean weight of each aim beside the swing it is for.
    weights: Vec<WeightOut>,
    /// What the weight region says, on medians.
    region: RegionOut,
    /// How it should lie on the bed; null where declined, or the part kind has no ways.
    direction: Option<DirectionOut>,
    /// Every material in listed order.
    candidates: Vec<CandidateOut>,
    /// Cautions, the gravest first.
    cautions: Vec<CautionOut>,
}

/// `dutyfit.shortlists/1`: a folder of cases.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct ShortlistsFile {
    /// `dutyfit.shortlists/1`.
    #[schemars(extend("const" = "dutyfit.shortlists/1"))]
    format: &'static str,
    /// The cases that could be read, by name.
    cases: Vec<ShortlistFile>,
    /// What is wrong with the others.
    problems: Vec<Problem>,
}

/// The weight of an aim and its swing.
#[derive(Debug, Serialize, JsonSchema)]
struct WeightOut {
    /// Aim id.
    id: String,
    /// Mean weight.
    weight: Option<f64>,
    /// Performance of value 0.
    zero: Option<f64>,
    /// Performance of value 1.
    one: Option<f64>,
    /// Unit.
    unit: String,
}

/// What the weight region says, on medians.
#[derive(Debug, Serialize, JsonSchema)]
struct RegionOut {
    /// Fit or borderline materials that are first for some allowed weights.
    can_be_best: Vec<String>,
    /// Those that never are.
    never_best: Vec<String>,
    /// Pairs: the first is at least as good as the second for all allowed weights.
    dominates: Vec<[String; 2]>,
}

/// One material.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct CandidateOut {
    /// Material id.
    material: String,
    /// Standing.
    standing: StandingWord,
    /// Its causes in words, the weightiest first.
    because: Vec<String>,
    /// Place from 1; null for the ruled out.
    rank: Option<u32>,
    /// Score.
    score: Option<f64>,
    /// Its Monte-Carlo standard error.
    score_se: Option<f64>,
    /// Chance of meeting all limits; null where some cannot be said.
    meets_all: Option<f64>,
    /// Share of draws led among materials not ruled out.
    best_share: Option<f64>,
    /// 90 % range of its place; null for the ruled out.
    rank_range: Option<[u32; 2]>,
    /// Limits in the duty's order.
    limits: Vec<LimitOut>,
    /// Aims in the duty's order.
    aims: Vec<AimOut>,
    /// Reasons for its place.
    reasons: Vec<ReasonOut>,
    /// Ids of the cautions that hold for it.
    cautions: Vec<String>,
}

/// One aim of one material.
#[derive(Debug, Serialize, JsonSchema)]
struct AimOut {
    /// Aim id.
    id: String,
    /// Mean weight.
    weight: Option<f64>,
    /// Mean value, 0 to 1.
    value: Option<f64>,
    /// Mean weight times value.
    contribution: Option<f64>,
    /// Median performance; null where nothing can be said.
    median: Option<f64>,
    /// Weakest grade it rests on.
    grade: crate::belief::Grade,
}

/// A reason in words.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct ReasonOut {
    /// `aim`, `limit`, `ruled-out-by` or `wants`.
    kind: &'static str,
    /// The reason.
    text: String,
}

impl From<&AimResult> for AimOut {
    fn from(a: &AimResult) -> Self {
        AimOut {
            id: a.id.clone(),
            weight: drawn(a.weight),
            value: drawn(a.value),
            contribution: drawn(a.contribution),
            median: a.median.and_then(drawn),
            grade: a.grade,
        }
    }
}

impl CandidateOut {
    pub(crate) fn new(
        c: &Candidate,
        reasons: &[Reason],
        cautions: &[CautionOut],
        telling: Telling<'_>,
        working: bool,
    ) -> Self {
        CandidateOut {
            material: c.material.clone(),
            standing: c.standing.into(),
            because: c.causes.iter().map(|x| telling.cause(x)).collect(),
            rank: c.rank,
            score: drawn(c.score),
            score_se: drawn(c.score_se),
            meets_all: c.meets_all.and_then(drawn),
            best_share: drawn(c.best_share),
            rank_range: c.rank_range.map(|(a, b)| [a, b]),
            limits: c
                .limits
                .iter()
                .map(|l| LimitOut::new(l, telling, working))
                .collect(),
            aims: c.aims.iter().map(AimOut::from).collect(),
            reasons: reasons
                .iter()
                .map(|r| ReasonOut {
                    kind: telling::reason_kind(r),
                    text: telling.reason(r),
                })
                .collect(),
            cautions: cautions
                .iter()
                .filter(|x| x.holds_for(&c.material))
                .map(|x| x.id().to_owned())
                .collect(),
        }
    }
}

fn weights(j: &Judgement) -> Vec<WeightOut> {
    j.weights
        .iter()
        .map(|w| WeightOut {
            id: w.id.clone(),
            weight: drawn(w.weight),
            zero: computed(w.zero),
            one: computed(w.one),
            unit: w.unit.clone(),
        })
        .collect()
}

fn region(j: &Judgement) -> RegionOut {
    RegionOut {
        can_be_best: j.region.can_be_best.clone(),
        never_best: j.region.never_best.clone(),
        dominates: j
            .region
            .dominates
            .iter()
            .map(|(a, b)| [a.clone(), b.clone()])
            .collect(),
    }
}

impl Shortlist<'_> {
    /// As the published shape `dutyfit.shortlist/1`.
    pub(crate) fn file(&self, seed: u64) -> ShortlistFile {
        let asked = &self.asked;
        let raised = self.judged.map_or(&[][..], |j: Judged<'_>| j.cautions);
        let cautions = cautions(asked, raised);
        let mut file = ShortlistFile {
            format: "dutyfit.shortlist/1",
            case: CaseOut::new(asked),
            demo: asked.origin == Origin::Demo,
            handbook: asked.origin == Origin::Handbook,
            seed,
            draws: 0,
            nothing_serves: None,
            declined: asked.duty.declined.as_ref().map(DeclinedOut::from),
            policy_loosened: loosened(asked),
            skipped_aims: Vec::new(),
            weights_from: asked.weights_from.to_owned(),
            weights: Vec::new(),
            region: RegionOut {
                can_be_best: Vec::new(),
                never_best: Vec::new(),
                dominates: Vec::new(),
            },
            direction: None,
            candidates: Vec::new(),
            cautions: Vec::new(),
        };
        if let (None, Some(judged)) = (&file.declined, &self.judged) {
            let j = judged.judgement;
            let telling = crate::render::telling(asked);
            file.draws = j.draws;
            file.nothing_serves = drawn(j.nothing_serves);
            file.skipped_aims.clone_from(&j.skipped_aims);
            file.weights = weights(j);
            file.region = region(j);
            file.direction = judged.direction.and_then(|d| DirectionOut::new(d, telling));
            file.candidates = j
                .candidates
                .iter()
                .zip(judged.reasons)
                .map(|(c, r)| CandidateOut::new(c, r, &cautions, telling, self.working))
                .collect();
        }
        file.cautions = cautions;
        file
    }

    /// As JSON, `dutyfit.shortlist/1`.
    pub fn json(&self, seed: u64) -> String {
        super::written(&self.file(seed))
    }
}

/// A folder of cases as JSON, `dutyfit.shortlists/1`.
pub(crate) fn folder(cases: Vec<ShortlistFile>, problems: Vec<Problem>) -> String {
    super::written(&ShortlistsFile {
        format: "dutyfit.shortlists/1",
        cases,
        problems,
    })
}
