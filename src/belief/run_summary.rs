//! What one run says of its properties, by itself: no catalog, no other material.

use crate::belief::{Evidence, Material};
use crate::bench::{Observation, ReducedRun};
use crate::policy::Policy;
use crate::property::{Ask, Properties, PropertyId};
use crate::quantity::Reading;
use std::sync::Arc;

/// One property of one run.
#[derive(Clone, Debug, PartialEq)]
pub struct RunSummary {
    /// Property.
    pub property: PropertyId,
    /// A kind that is never averaged with others (break type `partial`, `hinge`).
    pub kind: Option<String>,
    /// Specimens that gave a figure or bound.
    pub n: u32,
    /// Hours at which a curve was read: its longest common time.
    pub hours: Option<f64>,
    /// 5, 50 and 95 % of the mean, canonical unit; `None` where the readings do not say.
    pub mean: Option<[f64; 3]>,
    /// What every specimen showed at the least or at the most, where all readings are bounds
    /// from one side; then `mean` says nothing.
    pub bound: Option<Reading>,
}

/// Name of the one material of the evidence below; no catalog can hold it.
const ALONE: &str = "(this run)";

/// Sums up each property of a run from its own readings, table spreads and policy alone.
pub fn summarise_run(
    run: &ReducedRun,
    properties: &Properties,
    policy: &Policy,
) -> Vec<RunSummary> {
    let mut alone = run.clone();
    let own = Arc::make_mut(&mut alone.run);
    own.material = Some(ALONE.to_owned());
    own.set_aside = None;
    // Without a catalog a direction need not be said; then it is the property's default. A run is
    // summed up as it is, annealed or not.
    for s in &mut alone.specimens {
        for o in &mut s.observations {
            o.condition.annealed = None;
            if o.condition.direction.is_none() {
                o.condition.direction = properties
                    .get(o.property.as_str())
                    .and_then(|p| p.direction);
            }
        }
    }
    let mut groups: Vec<(PropertyId, Option<String>, Vec<Observation>)> = Vec::new();
    for o in alone.specimens.iter().flat_map(|s| &s.observations) {
        match groups
            .iter_mut()
            .find(|(p, k, _)| *p == o.property && *k == o.condition.kind)
        {
            Some((_, _, of)) => of.push(o.clone()),
            None => groups.push((
                o.property.clone(),
                o.condition.kind.clone(),
                vec![o.clone()],
            )),
        }
    }
    let material = Material {
        id: ALONE.to_owned(),
        ..Material::default()
    };
    let evidence = Evidence::new(
        vec![material],
        vec![alone],
        Vec::new(),
        policy.clone(),
        properties.clone(),
    );
    groups
        .into_iter()
        .map(|(property, kind, of)| {
            let hours = of
                .iter()
                .filter_map(|o| o.value.last_h())
                .min_by(f64::total_cmp);
            let now: Option<Vec<Reading>> = of.iter().map(|o| o.value.now()).collect();
            let bound = now.and_then(Reading::shared);
            let mean = of
                .first()
                .filter(|_| kind.is_none() && bound.is_none())
                .and_then(|first| mean_of(&evidence, first, hours));
            RunSummary {
                property,
                kind,
                n: u32::try_from(of.len()).unwrap_or(u32::MAX),
                hours,
                mean,
                bound,
            }
        })
        .collect()
}

fn mean_of(evidence: &Evidence, first: &Observation, hours: Option<f64>) -> Option<[f64; 3]> {
    let c = &first.condition;
    let ask = Ask {
        property: first.property.clone(),
        lies: c.direction.map(crate::property::Direction::lies),
        face: c.face,
        temperature_c: c.temperature_c,
        moisture: c.moisture,
        counterface: c.counterface.clone(),
        life_h: hours.or(first.hours),
        stiffer_is_worse: false,
        stress_mpa: None,
    };
    let belief = evidence.believe(ALONE, &ask);
    Some([
        belief.mean_quantile(0.05)?,
        belief.mean_quantile(0.5)?,
        belief.mean_quantile(0.95)?,
    ])
}
