//! Which evidence stands behind a belief, for tables that name it.

use crate::belief::{Belief, Evidence, Stated, auxiliary};
use crate::bench::{Outcome, ReducedRun};
use crate::property::Ask;
use crate::quantity::Reading;

/// One own reading that counts for an ask.
#[derive(Clone, Copy, Debug)]
pub struct Counted<'a> {
    /// Its run.
    pub run: &'a ReducedRun,
    /// Number of its specimen.
    pub specimen: u32,
    /// How the specimen's test ended.
    pub outcome: Outcome,
    /// Whether the specimen failed early.
    pub early: bool,
    /// The figure or bound that counts, canonical unit; of a curve at the life.
    pub value: Reading,
}

impl Evidence {
    /// The own readings that count for an ask, in an order that does not depend on files; none for an
    /// unknown material or property.
    pub fn counted(&self, material: &str, ask: &Ask) -> Vec<Counted<'_>> {
        let Some(row) = self.properties().get(ask.property.as_str()) else {
            return Vec::new();
        };
        let Some(number) = self.index.material(material) else {
            return Vec::new();
        };
        let Some(m) = self.materials().get(number) else {
            return Vec::new();
        };
        let picks = self.select(number, m, row, ask, false).picks;
        picks
            .iter()
            .filter_map(|p| {
                let run = p.seen.run;
                let o = p.seen.observation;
                let specimen = run
                    .specimens
                    .iter()
                    .find(|s| s.observations.iter().any(|x| std::ptr::eq(x, o)))?;
                Some(Counted {
                    run,
                    specimen: specimen.specimen,
                    outcome: specimen.outcome,
                    early: o.early,
                    value: p.y.map(|g| row.scale.back(g)),
                })
            })
            .collect()
    }

    /// The bound that every counted reading shares, with what heat leaves of it; `None` where one is
    /// exact, a range, or from the other side.
    pub fn shared_bound(&self, counted: &[Counted<'_>], belief: &Belief) -> Option<Reading> {
        let bound = Reading::shared(counted.iter().map(|c| c.value))?;
        Some(bound.map(|x| belief.share * x))
    }

    /// The values stated of the material itself that stand for it under an ask where nothing of its
    /// own counts.
    pub fn stated_of(&self, material: &str, ask: &Ask) -> Vec<&Stated> {
        let found = self
            .properties()
            .get(ask.property.as_str())
            .and_then(|row| {
                let m = self.materials().get(self.index.material(material)?)?;
                self.said(m, row, ask, self.swelling(m, row))
            });
        found.map_or_else(Vec::new, |said| {
            said.used
                .iter()
                .filter_map(|i| self.stated.get(*i))
                .filter(|s| s.material.is_some())
                .collect()
        })
    }

    /// The figure that `materials.csv` itself holds, canonical unit; the outer `None` where the
    /// property is none of its columns, the inner where the material's cell is blank.
    pub fn listed(&self, material: &str, property: &str) -> Option<Option<f64>> {
        let m = self.materials().get(self.index.material(material)?)?;
        auxiliary::column(m, property)
    }
}
