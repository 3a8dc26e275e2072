//! A loaded workspace.

use crate::belief::{Evidence, Material, MaterialKind, Stated};
use crate::bench::{BenchTest, ReducedRun, Run};
use crate::catalog::doubts::doubts;
use crate::catalog::json::{MAPS, read_maps};
use crate::catalog::load::Places;
use crate::catalog::source::{LARGEST_JSON, Unread};
use crate::catalog::text::json_text;
use crate::catalog::{Beside, FileFault, Print, Source, load_catalog, read_case, read_weights};
use crate::duty::{Case, Preference};
use crate::policy::Policy;
use crate::problem::Problem;
use crate::property::OwnProperty;
use crate::property::Properties;
use rayon::prelude::*;
use std::collections::BTreeSet;
use std::sync::Arc;

/// A catalog as read: plain structs for the core, and every Problem found.
#[derive(Clone, Debug, Default)]
pub struct Catalog {
    /// Materials in file order.
    pub materials: Vec<Material>,
    /// Runs of all tests, by test then file order of first appearance.
    pub runs: Vec<Arc<Run>>,
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
    /// Whose figures these are.
    pub origin: Origin,
}

/// Whose figures a workspace holds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Origin {
    /// The user's own.
    #[default]
    Own,
    /// The demo's inside the program, invented.
    Demo,
    /// Handbook ranges, one candidate a polymer: no measured material.
    Handbook,
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
    /// Why the file could not be read at all; it stands among the Problems too.
    pub fault: Option<FileFault>,
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
    /// Ids of the surfaces that the catalog declares.
    pub fn surfaces(&self) -> Vec<String> {
        self.materials
            .iter()
            .filter(|m| m.kind == MaterialKind::Surface)
            .map(|m| m.id.clone())
            .collect()
    }

    /// Reduces every run and gathers the evidence.
    pub fn evidence(&self) -> Evidence {
        self.evidence_of(|test, run, properties| {
            Some(crate::bench::reduce_figures(test, run, properties))
        })
    }

    /// The evidence of every test that gives what the tests of some runs give: all that their readings can
    /// be held beside. It knows nothing of calibrations, and is not to be believed by.
    pub(crate) fn evidence_beside(&self, runs: &[String]) -> Evidence {
        let of_runs: BTreeSet<&str> = self
            .runs
            .iter()
            .filter(|r| runs.contains(&r.id))
            .map(|r| r.test)
            .collect();
        let beside = tests_beside(&of_runs);
        self.evidence_of(|test, run, properties| {
            let counts = beside.contains(test.id());
            counts.then(|| crate::bench::reduce_bare(test, run, properties))
        })
    }

    fn evidence_of(
        &self,
        reduced: impl Fn(&dyn BenchTest, &Arc<Run>, &Properties) -> Option<ReducedRun> + Sync,
    ) -> Evidence {
        let properties = Properties::with_own(&self.own_properties);
        let runs = self
            .runs
            .par_iter()
            .filter_map(|r| reduced(crate::bench::find(r.test)?, r, &properties))
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

/// Some tests, and every other that gives what one of them gives.
pub(super) fn tests_beside(tests: &BTreeSet<&str>) -> BTreeSet<&'static str> {
    let given: BTreeSet<&str> = tests
        .iter()
        .filter_map(|id| crate::bench::find(id))
        .flat_map(|t| t.gives().iter().copied())
        .collect();
    crate::bench::tests()
        .iter()
        .filter(|t| tests.contains(t.id()) || t.gives().iter().any(|p| given.contains(p)))
        .map(|t| t.id())
        .collect()
}

/// Loads all cases of the workspace, by name.
///
/// # Errors
/// As [`load_catalog`](crate::catalog::load_catalog).
pub fn load_named_cases(
    source: &Source,
    beside: Beside<'_>,
) -> Result<Vec<Named<Case>>, FileFault> {
    load_all(source, "cases", |file, text| {
        read_case(file, text, &[], beside)
    })
}

/// Loads all weight profiles of the workspace, by name.
///
/// # Errors
/// As [`load_catalog`](crate::catalog::load_catalog).
pub fn load_weights(source: &Source) -> Result<Vec<Named<WeightsFile>>, FileFault> {
    load_all(source, "weights", read_weights)
}

/// Everything wrong or doubtful in a workspace on the day `today`: catalog, policy, cases, weights and
/// maps of headers.
///
/// # Errors
/// As [`load_catalog`].
pub fn lint(source: &Source, as_of: Option<&str>, today: &str) -> Result<Vec<Problem>, FileFault> {
    let mut catalog = load_catalog(source, as_of)?;
    let mut all = std::mem::take(&mut catalog.problems);
    let properties = Properties::with_own(&catalog.own_properties);
    let surfaces = catalog.surfaces();
    let beside = Beside {
        policy: &catalog.policy,
        properties: &properties,
        surfaces: &surfaces,
    };
    let mut duties = Vec::new();
    for named in load_named_cases(source, beside)? {
        duties.extend(named.content.and_then(|case| case.duty().ok()));
        all.extend(named.problems);
    }
    for named in load_weights(source)? {
        all.extend(named.problems);
    }
    all.extend(maps(source)?);
    all.extend(doubts(&catalog, &duties, today));
    all.sort_by(|a, b| (a.severity, &a.at).cmp(&(b.severity, &b.at)));
    Ok(all)
}

/// What is wrong in the headers that the workspace keeps of other people's sheets.
fn maps(source: &Source) -> Result<Vec<Problem>, FileFault> {
    let bytes = match source.read(MAPS, LARGEST_JSON) {
        Ok(Some(bytes)) => bytes,
        Ok(None) => return Ok(Vec::new()),
        Err(Unread::Fault(f)) => return Err(f),
        Err(Unread::Problems(p)) => return Ok(p),
    };
    let file = source.shown(MAPS);
    let read = json_text(&file, &bytes)
        .map_err(|p| vec![*p])
        .and_then(|text| read_maps(&file, text));
    Ok(read.err().unwrap_or_default())
}

fn load_all<T>(
    source: &Source,
    folder: &str,
    read: impl Fn(&str, &str) -> Result<T, Vec<Problem>>,
) -> Result<Vec<Named<T>>, FileFault> {
    let mut all = Vec::new();
    for name in source.list(folder, "json")? {
        let path = format!("{folder}/{name}");
        let file = source.shown(&path);
        let bytes = match source.read(&path, LARGEST_JSON) {
            Ok(Some(bytes)) => Ok(bytes),
            Ok(None) => continue,
            Err(unread) => Err(unread),
        };
        let fault = match &bytes {
            Err(Unread::Fault(f)) => Some(f.clone()),
            _ => None,
        };
        let bytes = bytes.map_err(Unread::into_problems);
        let text = bytes.and_then(|b| {
            json_text(&file, &b)
                .map(str::to_owned)
                .map_err(|p| vec![*p])
        });
        let (content, problems) = match text.as_deref().map(|t| read(&file, t)) {
            Ok(Ok(content)) => (Some(content), Vec::new()),
            Ok(Err(problems)) => (None, problems),
            Err(problems) => (None, problems.clone()),
        };
        all.push(Named {
            name: name.trim_end_matches(".json").to_owned(),
            file,
            text: text.unwrap_or_default(),
            content,
            problems,
            fault,
        });
    }
    Ok(all)
}
