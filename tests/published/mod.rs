//! Outside checks: each names its source, or says `common practice, no source`, or `from memory`.

mod belief;
mod bias;
mod censored;
mod comparison;
mod curves;
mod decision;
mod duties;
mod duty_a;
mod duty_b;
mod duty_b_printed;
mod duty_beam;
mod duty_soft;
mod duty_turning;
mod prints;
mod rigs;
pub(crate) mod sheets;
mod small_samples;
mod time_laws;
mod units;
