//! What the answers are made from: the core's results, gathered for one case.

use crate::advise::{Direction, MaterialCaution, Overview, Reason, UseLimit};
use crate::belief::Evidence;
use crate::catalog::Origin;
use crate::duty::{Case, Duty};
use crate::judge::{Candidate, Judgement};

/// A case and the duty it led to.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// The name it was asked by.
    pub name: &'a str,
    /// Whether it is a part kind's worked example, every input assumed.
    pub example: bool,
    /// The case.
    pub case: &'a Case,
    /// Its duty.
    pub duty: &'a Duty,
    /// The evidence it is judged by.
    pub evidence: &'a Evidence,
    /// Whose figures these are.
    pub origin: Origin,
    /// Where the weights come from, in words.
    pub weights_from: &'a str,
}

/// A ranked shortlist.
#[derive(Clone, Copy, Debug)]
pub struct Shortlist<'a> {
    /// The case.
    pub asked: Asked<'a>,
    /// The judgement; `None` where the case is declined.
    pub judged: Option<Judged<'a>>,
    /// Show every row.
    pub all: bool,
    /// Show each limit's steps.
    pub working: bool,
}

/// A judgement with what is advised on it.
#[derive(Clone, Copy, Debug)]
pub struct Judged<'a> {
    /// The judgement.
    pub judgement: &'a Judgement,
    /// Reasons, in the judgement's order.
    pub reasons: &'a [Vec<Reason>],
    /// The judgement at a glance.
    pub overview: &'a Overview,
    /// Cautions that materials raise.
    pub cautions: &'a [MaterialCaution],
    /// The input that would make the nearest material fit, where nothing is.
    pub turn: Option<&'a UseLimit>,
    /// What another way of lying on the bed is worth; `None` where the part kind has no ways.
    pub direction: Option<&'a Direction>,
}

/// One candidate against each limit.
#[derive(Clone, Copy, Debug)]
pub struct Check<'a> {
    /// The case.
    pub asked: Asked<'a>,
    /// The material that was asked about.
    pub material: &'a str,
    /// The candidate; `None` where the case is declined.
    pub candidate: Option<Checked<'a>>,
    /// Show each limit's steps.
    pub working: bool,
}

/// A candidate with what is advised on it.
#[derive(Clone, Copy, Debug)]
pub struct Checked<'a> {
    /// The candidate.
    pub candidate: &'a Candidate,
    /// The judgement it stands in.
    pub judgement: &'a Judgement,
    /// Reasons.
    pub reasons: &'a [Reason],
    /// Cautions that it raises.
    pub cautions: &'a [MaterialCaution],
    /// How far the use can be pushed.
    pub uses: &'a [UseLimit],
    /// What another way of lying on the bed is worth; `None` where the part kind has no ways.
    pub direction: Option<&'a Direction>,
}
