//! Reasons, and how far a use can be pushed.

pub mod compare;
mod direction;
mod fitness;
mod holding;
mod margin;
mod moved;
mod overview;
mod reason;
pub mod rig_check;
pub mod summary;
mod use_limit;
mod warning;

pub use direction::{Direction, Stands, Turn, Way, direction};
pub use fitness::{Fitness, Missing, Served, Strength, fitness};
pub use holding::{Early, Holding, Holdings, LeftOut, Refused, StatedBeside, Trial, holdings};
pub use margin::{Margin, margin};
pub use moved::{CaseMoves, Change, Doers, Driver, FirstMoved, Moved, Posed, moves};
pub use overview::{
    Lead, Overview, RuledOutGroup, Want, WantGroup, governing, nearer_bound, overview, stem,
    turning_input, want,
};
pub use reason::{Reason, reasons};
pub use use_limit::{UseLimit, limits_of_use};
pub use warning::{MaterialCaution, material_cautions};
