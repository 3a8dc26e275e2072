//! Outside checks: each names its source, or says `common practice, no source`, or `from memory`.

mod belief;
mod censored;
mod decision;
mod duty_a;
mod duty_b;
mod duty_b_printed;
mod prints;
pub(crate) mod sheets;
mod time_laws;
mod units;
