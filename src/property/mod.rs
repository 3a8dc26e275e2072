//! What bench runs are reduced to: the table of properties, and the conditions they hold under.

mod ask;
pub mod bolt;
pub mod chemical;
mod condition;
mod handbook;
mod polymer;
mod table;

pub use ask::Ask;
pub use condition::{Condition, Direction, Face, Lies, Moisture, ROOM_C};
pub use handbook::{HandbookRange, handbook_range};
pub use polymer::{Polymer, PolymerKind, polymer, polymers, polymers_called};
pub use table::{
    Heat, OwnProperty, Properties, Property, PropertyId, Scale, Sense, Spread, builtin,
};
