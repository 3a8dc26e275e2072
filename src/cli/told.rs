//! What new readings mean for every case of the workspace: asked by the commands that write.

use crate::advise::{Change, Posed, moves};
use crate::belief::Evidence;
use crate::catalog::{Catalog, load_named_cases};
use crate::cli::args::Common;
use crate::cli::find::{self, Workspace};
use crate::cli::output::Stop;
use crate::duty::{Duty, Preference};
use crate::render::{CaseTold, Told};
use std::collections::BTreeMap;

/// What the readings of some runs mean, given the catalog before them and the workspace after.
///
/// # Errors
/// [`Stop`] where the folder of cases cannot be read.
pub(super) fn told(
    common: &Common,
    before: &Catalog,
    after: &Workspace,
    runs: &[String],
) -> Result<Told, Stop> {
    let before = before.evidence();
    let mut told = Told {
        odd: after.evidence.odd(runs),
        beside: after.evidence.beside(runs),
        properties: after.evidence.properties().clone(),
        ..Told::default()
    };
    let mut judged: Vec<(String, Duty, Preference)> = Vec::new();
    for named in load_named_cases(&after.source, after.beside())? {
        let posed = named.content.and_then(|case| {
            let duty = case.duty().ok().filter(|d| d.declined.is_none())?;
            let (preference, _) =
                find::weights(after, common, &case, duty.preference.as_ref()).ok()?;
            Some((named.name.clone(), duty, preference))
        });
        match posed {
            Some(p) => judged.push(p),
            None => told.left_out.push(named.name),
        }
    }
    told.looked = judged.len();
    let posed: Vec<Posed<'_>> = judged
        .iter()
        .map(|(name, duty, preference)| Posed {
            name,
            duty,
            preference,
        })
        .collect();
    let without = |unchanged: &[String]| swapped(&before, &after.evidence, unchanged);
    let change = Change {
        before: &before,
        after: &after.evidence,
        runs,
        without: &without,
    };
    let found = moves(&posed, &after.candidates, change, common.seed);
    let mut duties: BTreeMap<String, Duty> = judged
        .into_iter()
        .map(|(name, duty, _)| (name, duty))
        .collect();
    for moves in found {
        if let Some(duty) = duties.remove(&moves.case) {
            told.moved.push(CaseTold { duty, moves });
        }
    }
    Ok(told)
}

/// The evidence of now, with some runs as they were before.
fn swapped(before: &Evidence, after: &Evidence, unchanged: &[String]) -> Evidence {
    let was: BTreeMap<&str, _> = before
        .runs()
        .iter()
        .map(|r| (r.run.id.as_str(), r))
        .collect();
    let runs = after
        .runs()
        .iter()
        .filter_map(|r| {
            if unchanged.contains(&r.run.id) {
                was.get(r.run.id.as_str()).map(|old| (*old).clone())
            } else {
                Some(r.clone())
            }
        })
        .collect();
    Evidence::new(
        after.materials().to_vec(),
        runs,
        after.stated().to_vec(),
        after.policy().clone(),
        after.properties().clone(),
    )
}
