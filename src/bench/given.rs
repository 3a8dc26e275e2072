//! Readings of a property that were reduced elsewhere.

use crate::bench::{Observation, Outcome, ReducedRun, ReducedSpecimen, Rig, Run, Value};
use crate::property::{Condition, PropertyId};
use crate::quantity::Reading;
use std::sync::Arc;

impl ReducedRun {
    /// One print's readings of one property, a specimen each, as if a bench test here had given them:
    /// canonical unit, exact on an unlisted rig (no bias, no resolution), under `condition`.
    ///
    /// For a library's user who has figures but no sheets; runs of one material want different ids.
    /// A property that lies in a direction wants it in the condition.
    pub fn given(
        id: &str,
        material: &str,
        property: PropertyId,
        condition: &Condition,
        readings: &[Reading],
    ) -> Self {
        let specimen = |(i, value): (usize, &Reading)| ReducedSpecimen {
            specimen: u32::try_from(i).unwrap_or(u32::MAX).saturating_add(1),
            outcome: Outcome::Measured,
            observations: vec![Observation {
                property: property.clone(),
                value: Value::Now(*value),
                condition: condition.clone(),
                resolution: 0.0,
                bias: Vec::new(),
                early: false,
                stress_mpa: None,
                hours: None,
            }],
            refused: Vec::new(),
            working: Vec::new(),
        };
        ReducedRun {
            run: Arc::new(Run {
                id: id.to_owned(),
                test: "given",
                material: Some(material.to_owned()),
                lot: None,
                print: None,
                date: None,
                rig: Rig {
                    name: "unlisted".to_owned(),
                    ..Rig::default()
                }
                .into(),
                condition: condition.clone(),
                specimens: Vec::new(),
                set_aside: None,
            }),
            specimens: readings.iter().enumerate().map(specimen).collect(),
        }
    }
}
