//! One test binary; behaviour first.
#![allow(missing_docs, reason = "tests are read, not linked")]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    reason = "a test may stumble, and brings its own files"
)]

mod advice;
mod answers;
mod bad_input;
mod beliefs;
mod bench_edges;
mod bench_loads;
mod calibration;
mod cautions;
mod duty;
mod judging;
mod laws;
mod promise;
mod published;
mod reduce_sheet;
mod runs;
mod schema;
mod support;
mod synthetic;
mod transcripts;
