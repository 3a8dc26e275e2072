//! Cases, weights and policy: JSON with every fault placed.

use crate::catalog::WeightsFile;
use crate::duty::Case;
use crate::policy::Policy;
use crate::problem::Problem;

/// Reads a case; `sets` are `--set KEY=VALUE` changes of its inputs, setting or life.
///
/// # Errors
/// Every Problem of the file at once.
pub fn read_case(
    file: &str,
    text: &str,
    sets: &[(String, String)],
    policy: &Policy,
) -> Result<Case, Vec<Problem>> {
    let _ = (file, text, sets, policy);
    Err(Vec::new())
}

/// Reads a weights file.
///
/// # Errors
/// Every Problem of the file at once.
pub fn read_weights(file: &str, text: &str) -> Result<WeightsFile, Vec<Problem>> {
    let _ = (file, text);
    Err(Vec::new())
}

/// Reads a policy file.
///
/// # Errors
/// Every Problem of the file at once.
pub fn read_policy(file: &str, bytes: &[u8]) -> Result<Policy, Vec<Problem>> {
    let _ = (file, bytes);
    Ok(Policy::default())
}
