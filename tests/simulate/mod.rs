//! Whole catalogs simulated from a known truth, read by dutyfit, and compared with that truth.
//!
//! A simulated workshop has materials of three polymers with true centres, spreads and print
//! effects, rigs with true offsets and gains, gauges with steps, hammers with an end, tests that
//! nobody made. Its raw cells go through dutyfit's own reduction; beliefs and judgements are then
//! held against the truth. Nothing is shared with `dutyfit::belief`: prints, specimens and biases
//! are drawn by plain formulas, and what the next part does is known from the truth alone.

pub(crate) mod catalog;
pub(crate) mod coverage;
pub(crate) mod dice;
pub(crate) mod power;
pub(crate) mod promise;
pub(crate) mod rigs;
pub(crate) mod tally;
pub(crate) mod truth;
pub(crate) mod world;

/// Seeds of every table and test: fixed in advance, none chosen.
pub(crate) const SEEDS: [u64; 3] = [1, 2, 3];
