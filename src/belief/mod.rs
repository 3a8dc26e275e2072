//! Observations to beliefs: what the evidence supports of a property, for the mean and the next part.

mod auxiliary;
mod believed;
mod closed;
mod distribution;
mod evidence;
mod grade;
mod grid;
mod heat;
mod index;
mod lend;
mod material;
mod own;
mod pool;
mod run_summary;
mod select;
mod stated;

pub use believed::{BLOCK, Belief, BiasBlock};
pub use evidence::Evidence;
pub use grade::{Grade, Note, Side};
pub use material::{Material, MaterialKind, Stated};
pub use run_summary::{RunSummary, summarise_run};
