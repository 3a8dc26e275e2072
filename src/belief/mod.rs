//! Observations to beliefs: what the evidence supports of a property, for the mean and the next part.

mod evidence;
mod run_summary;

pub use evidence::{
    BLOCK, Belief, BiasBlock, Evidence, Grade, Material, MaterialKind, Note, Side, Stated,
};
pub use run_summary::{RunSummary, summarise_run};
