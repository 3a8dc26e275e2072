//! Reasons, and how far a use can be pushed.

mod fitness;
mod reason;
mod use_limit;

pub use fitness::{Fitness, Missing, Served, Strength, fitness};
pub use reason::{Reason, reasons};
pub use use_limit::{UseLimit, limits_of_use};
