//! What every belief looks up, gathered once: own observations by material and property,
//! stated values, pooled spreads, calibrations.

use crate::belief::pool::Pool;
use crate::belief::{Material, MaterialKind, Stated};
use crate::bench::{BiasKind, Observation, ReducedRun};
use crate::policy::Policy;
use crate::property::{Properties, PropertyId};
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet, HashSet};
use std::sync::Arc;

/// Where an observation stands in the runs.
#[derive(Clone, Copy, Debug)]
struct Seat {
    run: usize,
    specimen: usize,
    observation: usize,
}

/// One observation and the run it came from.
#[derive(Clone, Copy, Debug)]
pub(super) struct Seen<'a> {
    /// The run.
    pub(super) run: &'a ReducedRun,
    /// The observation.
    pub(super) observation: &'a Observation,
}

impl<'a> Seen<'a> {
    /// Name of the print, or of the one unnamed print of the run.
    pub(super) fn print(&self) -> (bool, &'a str) {
        match &self.run.run.print {
            Some(p) => (true, p),
            None => (false, &self.run.run.id),
        }
    }
}

/// The look-ups.
#[derive(Clone, Debug, Default)]
pub(super) struct Index {
    materials: BTreeMap<String, usize>,
    own: Vec<BTreeMap<PropertyId, Vec<Seat>>>,
    stated_material: BTreeMap<(String, PropertyId), Vec<usize>>,
    stated_polymer: BTreeMap<(String, PropertyId), Vec<usize>>,
    calibrations: BTreeSet<(Arc<str>, BiasKind)>,
    pools: BTreeMap<PropertyId, Pool>,
}

impl Index {
    /// Gathers the look-ups; runs set aside, without a material or of an unknown one give nothing.
    pub(super) fn new(
        materials: &[Material],
        runs: &[ReducedRun],
        stated: &[Stated],
        properties: &Properties,
        policy: &Policy,
    ) -> Self {
        let mut index = Index {
            materials: materials
                .iter()
                .enumerate()
                .map(|(i, m)| (m.id.clone(), i))
                .collect(),
            own: vec![BTreeMap::new(); materials.len()],
            ..Index::default()
        };
        for (i, s) in stated.iter().enumerate() {
            if let Some(m) = &s.material {
                let key = (m.clone(), s.property.clone());
                index.stated_material.entry(key).or_default().push(i);
            } else if let Some(p) = &s.polymer {
                let key = (p.clone(), s.property.clone());
                index.stated_polymer.entry(key).or_default().push(i);
            }
        }
        let mut met: HashSet<(&str, BiasKind)> = HashSet::new();
        for (r, run) in runs.iter().enumerate() {
            if run.run.set_aside.is_some() {
                continue;
            }
            let Some(m) = run
                .run
                .material
                .as_ref()
                .and_then(|m| index.materials.get(m))
            else {
                continue;
            };
            let Some(own) = index.own.get_mut(*m) else {
                continue;
            };
            for (s, specimen) in run.specimens.iter().enumerate() {
                for (o, observation) in specimen.observations.iter().enumerate() {
                    own.entry(observation.property.clone())
                        .or_default()
                        .push(Seat {
                            run: r,
                            specimen: s,
                            observation: o,
                        });
                    for b in &observation.bias {
                        if met.insert((&*b.calibration, b.kind)) {
                            let id = Arc::clone(&b.calibration);
                            index.calibrations.insert((id, b.kind));
                        }
                    }
                }
            }
        }
        index.pools = index.gather_pools(materials, runs, properties, policy);
        index
    }

    fn gather_pools(
        &self,
        materials: &[Material],
        runs: &[ReducedRun],
        properties: &Properties,
        policy: &Policy,
    ) -> BTreeMap<PropertyId, Pool> {
        let mut lenders: BTreeMap<&PropertyId, Vec<(usize, &[Seat])>> = BTreeMap::new();
        // In the order of ids, so that sums do not depend on the order of files.
        for (id, m) in &self.materials {
            let candidate = materials
                .get(*m)
                .is_some_and(|x| x.kind == MaterialKind::Candidate && x.id == *id);
            for (property, seats) in self.own.get(*m).filter(|_| candidate).into_iter().flatten() {
                lenders.entry(property).or_default().push((*m, seats));
            }
        }
        lenders
            .into_par_iter()
            .filter_map(|(property, lenders)| {
                let row = properties.get(property.as_str())?;
                let mut pool = Pool::default();
                for (m, seats) in lenders {
                    let seen: Vec<Seen<'_>> = seats.iter().filter_map(|s| look(runs, *s)).collect();
                    pool.add(m, row.scale, &seen);
                }
                pool.finish(row, policy);
                Some((property.clone(), pool))
            })
            .collect()
    }

    /// Number of a material.
    pub(super) fn material(&self, id: &str) -> Option<usize> {
        self.materials.get(id).copied()
    }

    /// Materials in the order of their ids.
    pub(super) fn materials(&self) -> impl Iterator<Item = (&str, usize)> {
        self.materials.iter().map(|(id, m)| (id.as_str(), *m))
    }

    /// Own observations of a property.
    pub(super) fn own<'a>(
        &self,
        runs: &'a [ReducedRun],
        material: usize,
        property: &PropertyId,
    ) -> Vec<Seen<'a>> {
        self.own
            .get(material)
            .and_then(|p| p.get(property))
            .map(|seats| seats.iter().filter_map(|s| look(runs, *s)).collect())
            .unwrap_or_default()
    }

    /// Own observations of every property of a material.
    pub(super) fn all_own<'a>(
        &self,
        runs: &'a [ReducedRun],
        material: usize,
    ) -> impl Iterator<Item = (&PropertyId, Vec<Seen<'a>>)> {
        self.own
            .get(material)
            .into_iter()
            .flatten()
            .map(|(p, seats)| (p, seats.iter().filter_map(|s| look(runs, *s)).collect()))
    }

    /// Numbers of the values stated for a material.
    pub(super) fn stated_for_material(&self, id: &str, property: &PropertyId) -> &[usize] {
        self.stated_material
            .get(&(id.to_owned(), property.clone()))
            .map_or(&[], Vec::as_slice)
    }

    /// Numbers of the values stated for a polymer.
    pub(super) fn stated_for_polymer(&self, id: &str, property: &PropertyId) -> &[usize] {
        self.stated_polymer
            .get(&(id.to_owned(), property.clone()))
            .map_or(&[], Vec::as_slice)
    }

    /// The pool of a property.
    pub(super) fn pool(&self, property: &PropertyId) -> Option<&Pool> {
        self.pools.get(property)
    }

    /// All calibration parts behind the observations.
    pub(super) fn calibrations(&self) -> impl Iterator<Item = (&str, BiasKind)> {
        self.calibrations.iter().map(|(id, kind)| (&**id, *kind))
    }
}

fn look(runs: &[ReducedRun], seat: Seat) -> Option<Seen<'_>> {
    let run = runs.get(seat.run)?;
    let observation = run
        .specimens
        .get(seat.specimen)?
        .observations
        .get(seat.observation)?;
    Some(Seen { run, observation })
}
