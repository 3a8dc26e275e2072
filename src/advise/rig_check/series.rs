//! The readings of reference specimens, by rig and property, in the order of their dates.

use crate::advise::rig_check::references;
use crate::belief::Evidence;
use crate::bench::{Bias, Channel, Observation, ReducedRun, Value};
use crate::property::{Condition, PropertyId, Scale};
use crate::quantity::Reading;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// What parts one series from another.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Key<'a> {
    pub(super) rig: &'a str,
    pub(super) test: &'static str,
    pub(super) property: &'a PropertyId,
    pub(super) material: &'a str,
    /// The condition in words, for its order.
    condition: String,
}

/// One reading of a reference.
#[derive(Clone, Copy, Debug)]
pub(super) struct Single<'a> {
    /// On the natural scale.
    pub(super) g: f64,
    /// Who read it.
    pub(super) operator: Option<&'a str>,
}

/// One check: a run of the reference.
#[derive(Clone, Debug)]
pub(super) struct Look<'a> {
    pub(super) run: &'a str,
    pub(super) date: &'a str,
    /// Days since a fixed day.
    pub(super) day: f64,
    pub(super) singles: Vec<Single<'a>>,
    /// Standard uncertainty of the calibrations, natural scale.
    pub(super) u: f64,
    /// Step of a reading, natural scale.
    pub(super) step: f64,
    /// Bias terms of its first reading.
    pub(super) bias: &'a [Bias],
    /// Channels of the rig on that day.
    pub(super) channels: &'a [Channel],
}

impl Look<'_> {
    /// Mean of its readings, natural scale.
    pub(super) fn mean(&self) -> f64 {
        self.singles.iter().map(|s| s.g).sum::<f64>() / self.singles.len() as f64
    }

    pub(super) fn shown(&self, scale: Scale, bad: bool) -> Check {
        Check {
            run: self.run.to_owned(),
            date: self.date.to_owned(),
            readings: self.singles.len(),
            figure: scale.back(self.mean()),
            out: bad,
        }
    }
}

/// One check as it is shown.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Check {
    /// Run of the reference.
    pub run: String,
    /// Its date.
    pub date: String,
    /// How many readings it has; the figure is their mean on the natural scale.
    pub readings: usize,
    /// Figure, canonical unit.
    pub figure: f64,
    /// Whether it is part of what is out of control.
    pub out: bool,
}

/// The checks under one set of calibrations.
#[derive(Clone, Debug)]
pub(super) struct Stretch<'a> {
    pub(super) calibrations: Vec<&'a str>,
    pub(super) looks: Vec<Look<'a>>,
}

/// One series.
#[derive(Clone, Debug)]
pub(super) struct Gathered<'a> {
    pub(super) key: Key<'a>,
    pub(super) title: String,
    pub(super) unit: String,
    pub(super) scale: Scale,
    pub(super) condition: &'a Condition,
    pub(super) bounds: usize,
    pub(super) undated: usize,
    pub(super) set_aside: Vec<&'a str>,
    pub(super) segments: Vec<Stretch<'a>>,
}

/// Gathers the series of the rigs that are wanted, in the order of rig, test, property and reference.
pub(super) fn gather<'a>(
    evidence: &'a Evidence,
    wanted: &dyn Fn(&str) -> bool,
) -> Vec<Gathered<'a>> {
    let references = references(evidence);
    let mut all: BTreeMap<Key<'a>, (Gathered<'a>, Vec<Look<'a>>)> = BTreeMap::new();
    for run in evidence.runs() {
        let Some(material) = run.run.material.as_deref() else {
            continue;
        };
        if !references.contains(material) || !wanted(&run.run.rig.name) {
            continue;
        }
        for s in &run.specimens {
            let raw = run.run.specimens.iter().find(|r| r.number == s.specimen);
            let operator = raw.and_then(|r| r.operator.as_deref());
            for o in &s.observations {
                add(evidence, &mut all, run, material, operator, o);
            }
        }
    }
    all.into_values()
        .map(|(mut g, mut looks)| {
            looks.sort_by(|a, b| a.day.total_cmp(&b.day).then(a.run.cmp(b.run)));
            for look in looks {
                let ids: Vec<&str> = look.channels.iter().map(|c| &*c.id).collect();
                match g.segments.last_mut() {
                    Some(s) if s.calibrations == ids => s.looks.push(look),
                    _ => g.segments.push(Stretch {
                        calibrations: ids,
                        looks: vec![look],
                    }),
                }
            }
            g
        })
        .filter(|g| !g.segments.is_empty() || g.bounds > 0 || g.undated > 0)
        .collect()
}

fn add<'a>(
    evidence: &Evidence,
    all: &mut BTreeMap<Key<'a>, (Gathered<'a>, Vec<Look<'a>>)>,
    run: &'a ReducedRun,
    material: &'a str,
    operator: Option<&'a str>,
    o: &'a Observation,
) {
    let (Some(row), Value::Now(reading)) =
        (evidence.properties().get(o.property.as_str()), &o.value)
    else {
        return;
    };
    let key = Key {
        rig: &run.run.rig.name,
        test: run.run.test,
        property: &o.property,
        material,
        condition: format!("{:?}", o.condition),
    };
    let (g, looks) = all.entry(key.clone()).or_insert_with(|| {
        let g = Gathered {
            key,
            title: row.title.to_string(),
            unit: row.unit.to_string(),
            scale: row.scale,
            condition: &o.condition,
            bounds: 0,
            undated: 0,
            set_aside: Vec::new(),
            segments: Vec::new(),
        };
        (g, Vec::new())
    });
    if run.run.set_aside.is_some() {
        if !g.set_aside.contains(&run.run.id.as_str()) {
            g.set_aside.push(&run.run.id);
        }
        return;
    }
    let Reading::Exact(y) = *reading else {
        g.bounds += 1;
        return;
    };
    let Some((date, day)) = run.run.date.as_deref().and_then(|d| Some((d, day(d)?))) else {
        g.undated += 1;
        return;
    };
    let single = Single {
        g: row.scale.forward(y),
        operator,
    };
    // One run may stand in several pieces, one a print or lot.
    match looks.iter_mut().find(|l| l.run == run.run.id) {
        Some(look) => look.singles.push(single),
        None => looks.push(Look {
            run: &run.run.id,
            date,
            day,
            singles: vec![single],
            u: o.bias.iter().map(|b| b.slope * b.slope).sum::<f64>().sqrt(),
            step: match row.scale {
                Scale::Log => o.resolution / y,
                Scale::Plain => o.resolution,
            },
            bias: &o.bias,
            channels: &run.run.rig.channels,
        }),
    }
}

/// Days of an ISO date since 2000-01-01; `None` for what is no date.
pub(super) fn day(date: &str) -> Option<f64> {
    let date: jiff::civil::Date = date.parse().ok()?;
    let first = jiff::civil::date(2000, 1, 1);
    Some(f64::from(date.since(first).ok()?.get_days()))
}
