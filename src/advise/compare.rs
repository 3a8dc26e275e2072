//! Materials side by side: each property under conditions that they were tested in alike.

use crate::belief::{Belief, Compared, Evidence, Further, Grade, TOLD, further};
use crate::bench::Observation;
use crate::property::{Ask, Face, Lies, Moisture, Property, PropertyId, Sense};
use crate::quantity::Reading;
use schemars::JsonSchema;
use serde::Serialize;

/// Specimens of a further print, as a sheet usually has them (assumed).
const USUAL_SPECIMENS: u32 = 3;

/// What one comparison is held to.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Wanted {
    /// Only these properties; all where none is named.
    pub properties: Vec<PropertyId>,
    /// Temperature, degC.
    pub temperature_c: Option<f64>,
    /// Surface.
    pub counterface: Option<String>,
    /// How the load lies.
    pub lies: Option<Lies>,
    /// Moisture.
    pub moisture: Option<Moisture>,
    /// Face.
    pub face: Option<Face>,
    /// Life at which curves are read, h.
    pub life_h: Option<f64>,
}

/// Materials side by side.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Comparison {
    /// The materials, in the order asked.
    pub materials: Vec<String>,
    /// Properties that two or more were tested for alike.
    pub rows: Vec<CompareRow>,
    /// Properties that some were tested for, and why they are not compared.
    pub not_compared: Vec<NotCompared>,
}

/// One property under one condition.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CompareRow {
    /// Property.
    pub property: PropertyId,
    /// Its title.
    pub title: String,
    /// Its canonical unit.
    pub unit: String,
    /// Which way is better.
    pub sense: Sense,
    /// The condition.
    pub condition: Alike,
    /// The materials that have own readings there.
    pub sides: Vec<Side>,
    /// Each of them against each later one.
    pub pairs: Vec<Pair>,
}

/// The condition of a comparison.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Alike {
    /// How the load lies to the layers; null where it does not matter.
    pub lies: Option<Lies>,
    /// Face.
    pub face: Option<Face>,
    /// Temperature, degC.
    pub temperature_c: f64,
    /// Moisture.
    pub moisture: Moisture,
    /// Surface.
    pub counterface: Option<String>,
    /// Hours at which curves are read: the longest that all of them reach.
    pub life_h: Option<f64>,
}

/// One material in a row.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Side {
    /// Material.
    pub material: String,
    /// Grade.
    pub grade: Grade,
    /// Own specimens.
    pub specimens: u32,
    /// Own prints.
    pub prints: u32,
    /// The bound that all its readings share, canonical unit; `None` where it has exact ones.
    #[serde(skip)]
    pub bound: Option<Reading>,
    /// What all its readings show at the least, where all are such bounds.
    pub at_least: Option<f64>,
    /// What they show at the most, likewise.
    pub at_most: Option<f64>,
    /// 5, 50 and 95 % of the mean, canonical unit.
    pub mean: Option<[f64; 3]>,
    /// 5, 50 and 95 % of the next part.
    pub next: Option<[f64; 3]>,
}

/// Two materials in a row.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Pair {
    /// The first.
    pub a: String,
    /// The second.
    pub b: String,
    /// Chance that the mean of the first is better; higher, where the sense is either.
    pub means: f64,
    /// Chance that its next part is.
    pub parts: f64,
    /// Whether the means are told apart: the chance is above 0.95 or below 0.05.
    pub told: bool,
    /// What would tell them apart.
    pub further: Further,
    /// Calibrations that both were read under.
    pub shared_calibrations: Vec<String>,
}

/// A property that is not compared.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct NotCompared {
    /// Property.
    pub property: PropertyId,
    /// Its title.
    pub title: String,
    /// Materials with own readings, and the conditions they were tested in.
    pub tested: Vec<Tested>,
    /// Materials without own readings.
    pub untested: Vec<String>,
}

/// Where a material was tested.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Tested {
    /// Material.
    pub material: String,
    /// Conditions.
    pub conditions: Vec<Alike>,
}

/// Holds `materials` (two or more) side by side.
pub fn compare(evidence: &Evidence, materials: &[String], wanted: &Wanted) -> Comparison {
    let mut out = Comparison {
        materials: materials.to_vec(),
        rows: Vec::new(),
        not_compared: Vec::new(),
    };
    for row in evidence.properties().iter() {
        let asked = wanted.properties.is_empty() || wanted.properties.contains(&row.id);
        if row.auxiliary || !asked {
            continue;
        }
        let own: Vec<Vec<&Observation>> = materials
            .iter()
            .map(|m| own_observations(evidence, m, &row.id))
            .collect();
        if own.iter().all(Vec::is_empty) {
            continue;
        }
        let before = out.rows.len();
        for ask in asks(evidence, materials, row, &own, wanted) {
            out.rows.extend(compared(evidence, materials, row, ask));
        }
        if out.rows.len() == before {
            out.not_compared.push(not_compared(materials, row, &own));
        }
    }
    out
}

fn own_observations<'a>(
    evidence: &'a Evidence,
    material: &str,
    property: &PropertyId,
) -> Vec<&'a Observation> {
    evidence
        .runs()
        .iter()
        .filter(|r| r.run.material.as_deref() == Some(material) && r.run.set_aside.is_none())
        .flat_map(|r| &r.specimens)
        .flat_map(|s| &s.observations)
        .filter(|o| o.property == *property)
        .collect()
}

/// The condition of an observation as far as the property minds it; `None` for what no ask is
/// served by (annealed, or broken another way).
fn alike(row: &Property, o: &Observation) -> Option<Alike> {
    let c = &o.condition;
    if c.kind.is_some() || c.annealed.is_some() {
        return None;
    }
    Some(Alike {
        lies: row
            .direction
            .map(|default| c.direction.unwrap_or(default).lies()),
        face: c.face.filter(|_| row.by_face),
        temperature_c: c.temperature_c,
        moisture: c.moisture,
        counterface: c.counterface.clone().filter(|_| row.by_counterface),
        life_h: None,
    })
}

/// Conditions of some observations, each once.
fn conditions(row: &Property, own: &[&Observation]) -> Vec<Alike> {
    let mut all: Vec<Alike> = Vec::new();
    for a in own.iter().filter_map(|o| alike(row, o)) {
        if !all.contains(&a) {
            all.push(a);
        }
    }
    all
}

/// The conditions to compare under: what was wanted, else those that two or more were tested in,
/// else the first under which two or more have own figures all the same.
fn asks(
    evidence: &Evidence,
    materials: &[String],
    row: &Property,
    own: &[Vec<&Observation>],
    wanted: &Wanted,
) -> Vec<Ask> {
    let each: Vec<Vec<Alike>> = own.iter().map(|o| conditions(row, o)).collect();
    let mut all: Vec<Alike> = Vec::new();
    for a in each.iter().flatten() {
        let held = Alike {
            lies: wanted.lies.filter(|_| row.direction.is_some()).or(a.lies),
            face: wanted.face.filter(|_| row.by_face).or(a.face),
            temperature_c: wanted.temperature_c.unwrap_or(a.temperature_c),
            moisture: wanted.moisture.unwrap_or(a.moisture),
            counterface: wanted
                .counterface
                .clone()
                .filter(|_| row.by_counterface)
                .or_else(|| a.counterface.clone()),
            life_h: wanted.life_h,
        };
        if !all.contains(&held) {
            all.push(held);
        }
    }
    let ask = |a: &Alike| {
        let mut ask = Ask {
            lies: a.lies,
            face: a.face,
            temperature_c: a.temperature_c,
            moisture: a.moisture,
            counterface: a.counterface.clone(),
            ..Ask::of(row.id.clone())
        };
        ask.life_h = a.life_h.or_else(|| {
            let lives = materials
                .iter()
                .filter_map(|m| evidence.longest_life(m, &ask));
            lives.min_by(f64::total_cmp)
        });
        ask
    };
    let tested_alike = |a: &&Alike| each.iter().filter(|c| c.contains(a)).count() > 1;
    let exact: Vec<Ask> = all.iter().filter(tested_alike).map(ask).collect();
    if !exact.is_empty() {
        return exact;
    }
    let served = |a: &Ask| {
        let own = |m: &&String| evidence.believe(m, a).is_own();
        materials.iter().filter(own).count() > 1
    };
    all.iter().map(ask).find(served).into_iter().collect()
}

fn compared(
    evidence: &Evidence,
    materials: &[String],
    row: &Property,
    ask: Ask,
) -> Option<CompareRow> {
    let condition = Alike {
        lies: ask.lies,
        face: ask.face,
        temperature_c: ask.temperature_c,
        moisture: ask.moisture,
        counterface: ask.counterface.clone(),
        life_h: ask.life_h,
    };
    let beliefs: Vec<(&String, Belief, Option<Reading>)> = materials
        .iter()
        .map(|m| {
            let belief = evidence.believe(m, &ask);
            let bound = evidence.shared_bound(&evidence.counted(m, &ask), &belief);
            (m, belief, bound)
        })
        .filter(|(_, b, _)| b.is_own())
        .collect();
    if beliefs.len() < 2 {
        return None;
    }
    let mut pairs = Vec::new();
    for (i, (a, x, _)) in beliefs.iter().enumerate() {
        for (b, y, _) in beliefs.iter().skip(i + 1) {
            pairs.extend(pair(row, a, x, b, y));
        }
    }
    let three = |q: &dyn Fn(f64) -> Option<f64>| Some([q(0.05)?, q(0.5)?, q(0.95)?]);
    Some(CompareRow {
        property: row.id.clone(),
        title: row.title.to_string(),
        unit: row.unit.to_string(),
        sense: row.sense,
        condition,
        sides: beliefs
            .iter()
            .map(|(m, b, bound)| Side {
                material: (*m).clone(),
                grade: b.grade,
                specimens: b.specimens,
                prints: b.prints,
                bound: *bound,
                at_least: match bound {
                    Some(Reading::AtLeast(x)) => Some(*x),
                    _ => None,
                },
                at_most: match bound {
                    Some(Reading::AtMost(x)) => Some(*x),
                    _ => None,
                },
                mean: three(&|p| b.mean_quantile(p)),
                next: three(&|p| b.next_quantile(p)),
            })
            .collect(),
        pairs,
    })
}

fn pair(row: &Property, a: &str, x: &Belief, b: &str, y: &Belief) -> Option<Pair> {
    let (means, parts) = if row.sense == Sense::Less {
        (
            y.chance_above(x, Compared::Means)?,
            y.chance_above(x, Compared::Parts)?,
        )
    } else {
        (
            x.chance_above(y, Compared::Means)?,
            x.chance_above(y, Compared::Parts)?,
        )
    };
    Some(Pair {
        a: a.to_owned(),
        b: b.to_owned(),
        means,
        parts,
        told: !(1.0 - TOLD..=TOLD).contains(&means),
        further: further(x, y, USUAL_SPECIMENS),
        shared_calibrations: x.shared_calibrations(y),
    })
}

fn not_compared(materials: &[String], row: &Property, own: &[Vec<&Observation>]) -> NotCompared {
    let mut tested = Vec::new();
    let mut untested = Vec::new();
    for (m, own) in materials.iter().zip(own) {
        if own.is_empty() {
            untested.push(m.clone());
        } else {
            tested.push(Tested {
                material: m.clone(),
                conditions: conditions(row, own),
            });
        }
    }
    NotCompared {
        property: row.id.clone(),
        title: row.title.to_string(),
        tested,
        untested,
    }
}
