//! Cases, weights and policy: JSON with every fault placed.

mod case;
mod maps;
mod policy;
mod preference;
mod read;
mod rename;
mod set;
mod tree;

pub use case::Beside;
pub(crate) use case::CaseJson;
pub(crate) use maps::{MAPS, MapsJson, maps_text, read_maps};
pub(crate) use policy::PolicyJson;
pub(crate) use preference::WeightsJson;
pub use preference::read_weights;
pub(super) use rename::renamed_values;

use crate::duty::Case;
use crate::policy::Policy;
use crate::problem::Problem;

/// Reads a case; `sets` are `--set KEY=VALUE` changes of its inputs, surroundings or life.
///
/// A changed entry's Problems name the file `--set`.
///
/// # Errors
/// Every Problem of the file at once.
pub fn read_case(
    file: &str,
    text: &str,
    sets: &[(String, String)],
    beside: Beside<'_>,
) -> Result<Case, Vec<Problem>> {
    set::read_changed(file, text.trim_start_matches('\u{feff}'), sets, beside)
}

/// Reads a policy file.
///
/// # Errors
/// Every Problem of the file at once.
pub fn read_policy(file: &str, text: &str) -> Result<Policy, Vec<Problem>> {
    policy::read(file, text.trim_start_matches('\u{feff}'))
}
