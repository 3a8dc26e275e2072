//! Outside checks: each names its source, or says `common practice, no source`, or `from memory`.

mod bench_a;
mod duty_a;
mod duty_b;
mod time_laws;
