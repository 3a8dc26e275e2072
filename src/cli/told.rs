//! What new readings mean for every case of the workspace: asked by the commands that write.

use crate::advise::{Change, Posed, moves};
use crate::belief::Evidence;
use crate::catalog::{Beside, Catalog, Source, load_named_cases};
use crate::cli::args::Common;
use crate::cli::find::{self, Workspace};
use crate::cli::output::Stop;
use crate::duty::{Duty, Preference};
use crate::property::Properties;
use crate::render::{CaseTold, Told};
use std::collections::BTreeMap;

/// What the readings of some runs mean, given the catalog before them, and the one after with where its cases stand.
///
/// # Errors
/// [`Stop`] where the folder of cases cannot be read.
pub(super) fn told(
    common: &Common,
    source: Source,
    before: &Catalog,
    after: Catalog,
    runs: &[String],
) -> Result<Told, Stop> {
    if runs.is_empty() {
        return Ok(Told::default());
    }
    let properties = Properties::with_own(&after.own_properties);
    let cases = load_named_cases(
        &source,
        Beside {
            policy: &after.policy,
            properties: &properties,
            surfaces: &after.surfaces(),
        },
    )?;
    if cases.is_empty() {
        // Nothing to judge: what the same tests gave is all that is looked at.
        let evidence = after.evidence_beside(runs);
        let told = beside_others(&evidence, runs);
        // A large book takes long to free: the answer does not wait for it.
        rayon::spawn(move || drop((evidence, after)));
        return Ok(told);
    }
    let before = before.evidence();
    let after = Workspace::of(source, after);
    let mut told = beside_others(&after.evidence, runs);
    let mut judged: Vec<(String, Duty, Preference)> = Vec::new();
    for named in cases {
        let posed = named.content.and_then(|case| {
            let duty = case.duty().ok().filter(|d| d.declined.is_none())?;
            let (preference, _) =
                find::weights(&after, common, &case, duty.preference.as_ref()).ok()?;
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

/// What sits oddly among the readings of some runs, and how they stand beside earlier ones.
fn beside_others(evidence: &Evidence, runs: &[String]) -> Told {
    Told {
        odd: evidence.odd(runs),
        beside: evidence.beside(runs),
        properties: evidence.properties().clone(),
        ..Told::default()
    }
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
