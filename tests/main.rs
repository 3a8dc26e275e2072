//! One test binary; behaviour first.
#![allow(missing_docs, reason = "tests are read, not linked")]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::float_cmp,
    clippy::type_complexity,
    clippy::print_stderr,
    unreachable_pub,
    reason = "helpers of tests, where a panic is a failed test"
)]

mod advice;
mod answers;
mod append;
mod as_of;
mod assumptions;
mod bad_input;
mod beliefs;
mod bench_edges;
mod bench_loads;
mod bench_more;
mod books;
mod calibration;
mod cautions;
mod climate;
mod codes;
mod compare;
mod demo;
mod describe;
mod direction;
mod doubts;
mod duty;
mod edits;
mod forms;
mod handbook;
mod init;
mod judging;
mod killed;
mod kills;
mod laws;
mod moved;
mod near_names;
mod promise;
mod published;
mod readers;
mod record;
mod record_books;
mod reduce_sheet;
mod rig_check;
mod rig_range;
mod round_trip;
mod runs;
mod saved;
mod schema;
mod scope;
mod sheet;
mod simulate;
mod skip_bad;
mod support;
mod synthetic;
mod time_coverage;
mod transcripts;
mod why;
