//! The draws: every candidate against common random numbers, block by block.

use crate::judge::{Judgement, Request};

/// Judges all candidates of a request.
///
/// The same seed gives the same bytes whatever the thread count; leaving a
/// candidate out changes no other candidate's standing, score or chances.
pub fn judge(request: &Request<'_>) -> Judgement {
    Judgement {
        seed: request.seed,
        draws: request.draws,
        nothing_serves: 1.0,
        candidates: Vec::new(),
        weights: Vec::new(),
        region: crate::judge::Region::default(),
        skipped_aims: Vec::new(),
    }
}
