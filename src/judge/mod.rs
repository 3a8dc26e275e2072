//! Limits and beliefs to standings, scores and shares, by common random draws.

mod draws;
mod judgement;
mod plan;
mod rank;
mod region;
mod sample;
mod standing;
mod weights;

pub use draws::{in_order, judge, judge_alone};
pub use judgement::{
    AimResult, AimWeight, Candidate, Cause, DRAWS, Judgement, LimitResult, Predicted, Region,
    Request, Standing,
};
pub use weights::{Settled, settle};
