//! What the reduction of a run needs from elsewhere in the catalog.

use crate::belief::{Material, Stated};
use crate::bench::{self, Run, Specimen, Steps, reduce_specimens};
use crate::catalog::rigs::Rigs;
use crate::problem::Place;
use crate::property::Properties;
use crate::quantity::Reading;
use rayon::prelude::*;
use std::collections::HashMap;
use std::sync::Arc;

/// Gives every specimen of a run its figure; a run that has it already is left as it is.
fn fill(run: &mut Arc<Run>, figure: Option<f64>, of: impl Fn(&mut Specimen) -> &mut Option<f64>) {
    // Where nobody shares the run, as in a first load, nothing is copied here.
    for s in &mut Arc::make_mut(run).specimens {
        *of(s) = figure;
    }
}

/// Puts each rig's greatest energy where the reduction of a blow looks for it.
pub(super) fn fill_hammers(runs: &mut [Arc<Run>], rigs: &Rigs, as_of: Option<&str>) {
    for run in runs.iter_mut().filter(|r| r.test == "impact") {
        let energy = rigs.hammer_j(&run.rig.name, run.date.as_deref().or(as_of));
        if run.specimens.iter().any(|s| s.hammer_j != energy) {
            fill(run, energy, |s| &mut s.hammer_j);
        }
    }
}

/// Puts each material's density where the reduction of a mass loss looks for it:
/// the mean of its own density runs, else its stated value, else its polymer's.
pub(super) fn fill_densities<'s>(
    runs: &mut [Arc<Run>],
    stated: impl Iterator<Item = &'s Stated>,
    materials: &[(Material, Place)],
    properties: &Properties,
) {
    let own = own_densities(runs, properties);
    let (mut of_material, mut of_polymer) = (HashMap::new(), HashMap::new());
    for s in stated.filter(|s| s.property.as_str() == "density" && s.value.is_exact()) {
        // The first line counts.
        if let Some(m) = s.material.as_deref() {
            of_material.entry(m).or_insert(s.value.as_exact());
        }
        if let Some(p) = s.polymer.as_deref() {
            of_polymer.entry(p).or_insert(s.value.as_exact());
        }
    }
    let density: HashMap<&str, f64> = materials
        .iter()
        .filter_map(|(m, _)| {
            let polymer = || of_polymer.get(m.polymers.first()?.as_str());
            let found = match own.get(&m.id) {
                Some((sum, n)) if *n > 0 => Some(sum / f64::from(*n)),
                _ => of_material.get(m.id.as_str()).or_else(polymer).copied(),
            };
            Some((m.id.as_str(), found?))
        })
        .collect();
    for run in runs {
        let d = run.material.as_deref().and_then(|m| density.get(m));
        if let Some(d) = d.copied()
            && run.specimens.iter().any(|s| s.density_g_cm3 != Some(d))
        {
            fill(run, Some(d), |s| &mut s.density_g_cm3);
        }
    }
}

/// Sum and number of each material's own measured densities, g/cm3.
fn own_densities(runs: &[Arc<Run>], properties: &Properties) -> HashMap<String, (f64, u32)> {
    let mut own: HashMap<String, (f64, u32)> = HashMap::new();
    let Some(test) = bench::find("density") else {
        return own;
    };
    let read: Vec<(&str, Vec<f64>)> = runs
        .par_iter()
        .filter(|r| r.test == "density" && r.set_aside.is_none())
        .filter_map(|run| {
            let reduced = reduce_specimens(test, run, properties, Steps::Bare);
            let figures = reduced
                .iter()
                .flat_map(|s| &s.observations)
                .filter(|o| o.property.as_str() == "density")
                .filter_map(|o| match o.value {
                    bench::Value::Now(Reading::Exact(x)) => Some(x),
                    _ => None,
                })
                .collect();
            Some((run.material.as_deref()?, figures))
        })
        .collect();
    for (material, figures) in read {
        let (sum, n) = own.entry(material.to_owned()).or_default();
        for x in figures {
            *sum += x;
            *n += 1;
        }
    }
    own
}
