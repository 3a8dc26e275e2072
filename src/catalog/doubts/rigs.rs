//! Rigs: without a reference specimen, or apart from one another on one material.

use super::readings::first_few;
use super::{Reduced, doubt};
use crate::belief::MaterialKind;
use crate::bench::{Observation, Value};
use crate::catalog::Catalog;
use crate::problem::{Place, Problem};
use crate::property::{Condition, Properties, Property};
use crate::quantity::{Reading, amount};
use std::collections::{BTreeMap, BTreeSet};

/// Two rigs further apart than this many standard uncertainties of their difference are doubted.
const APART: f64 = 3.0;
/// Temperatures this near are one condition, K.
const SAME_TEMPERATURE_K: f64 = 2.0;
/// The rig of runs that name none.
const UNLISTED: &str = "unlisted";

/// Rigs on which no reference specimen was ever tested: one doubt, at the first run of the most used.
pub(super) fn no_reference(catalog: &Catalog, reduced: &[Reduced<'_>], out: &mut Vec<Problem>) {
    let references: BTreeSet<&str> = catalog
        .materials
        .iter()
        .filter(|m| m.kind == MaterialKind::Reference)
        .map(|m| m.id.as_str())
        .collect();
    let mut of: BTreeMap<&str, (usize, bool, &Place)> = BTreeMap::new();
    for (r, at) in reduced {
        let rig = r.run.rig.name.as_str();
        if rig == UNLISTED {
            continue;
        }
        let is = r
            .run
            .material
            .as_deref()
            .is_some_and(|m| references.contains(m));
        let entry = of.entry(rig).or_insert((0, false, &at.run));
        entry.0 += 1;
        entry.1 |= is;
    }
    let unchecked: Vec<(&str, usize, &Place)> = of
        .into_iter()
        .filter(|(_, (_, checked, _))| !checked)
        .map(|(rig, (runs, _, at))| (rig, runs, at))
        .collect();
    let Some((_, _, at)) = unchecked.iter().max_by_key(|(_, runs, _)| *runs) else {
        return;
    };
    let names: Vec<String> = unchecked
        .iter()
        .map(|(rig, runs, _)| {
            format!(
                "`{rig}` ({runs} {})",
                if *runs == 1 { "run" } else { "runs" }
            )
        })
        .collect();
    out.push(doubt(
        "rig::no-reference",
        format!("no reference specimen was ever tested on {}", first_few(&names)),
        "keep a specimen that does not change, list it in materials.csv as `reference`, and test it now and then",
        at,
    ));
}

/// The exact readings of one rig under one condition, natural scale.
struct Group<'a> {
    rig: &'a str,
    condition: &'a Condition,
    figures: Vec<f64>,
    prints: BTreeSet<(bool, &'a str)>,
    first: &'a Observation,
    run: &'a str,
    at: &'a Place,
}

/// Rigs that read one material under one condition further apart than scatter and bias allow.
pub(super) fn disagreeing(
    reduced: &[Reduced<'_>],
    properties: &Properties,
    out: &mut Vec<Problem>,
) {
    let mut of: BTreeMap<(&str, &str), Vec<Group<'_>>> = BTreeMap::new();
    for (r, at) in reduced {
        let Some(material) = r.run.material.as_deref() else {
            continue;
        };
        for (o, y) in r
            .specimens
            .iter()
            .flat_map(|s| &s.observations)
            .filter_map(exact)
        {
            let Some(row) = properties.get(o.property.as_str()) else {
                continue;
            };
            let groups = of.entry((material, o.property.as_str())).or_default();
            let print = match r.run.print.as_deref() {
                Some(p) => (true, p),
                None => (false, r.run.id.as_str()),
            };
            let rig = r.run.rig.name.as_str();
            let g = row.scale.forward(y);
            match groups
                .iter_mut()
                .find(|x| x.rig == rig && same(x.condition, &o.condition))
            {
                Some(x) => {
                    x.figures.push(g);
                    x.prints.insert(print);
                }
                None => groups.push(Group {
                    rig,
                    condition: &o.condition,
                    figures: vec![g],
                    prints: BTreeSet::from([print]),
                    first: o,
                    run: &r.run.id,
                    at: &at.run,
                }),
            }
        }
    }
    for ((material, property), groups) in &of {
        let Some(row) = properties.get(property) else {
            continue;
        };
        for (i, a) in groups.iter().enumerate() {
            for b in groups.iter().skip(i + 1) {
                if a.rig != b.rig && same(a.condition, b.condition) && apart(a, b, row) {
                    out.push(said(material, row, a, b));
                }
            }
        }
    }
}

fn exact(o: &Observation) -> Option<(&Observation, f64)> {
    match o.value {
        Value::Now(Reading::Exact(y)) => Some((o, y)),
        _ => None,
    }
}

fn same(a: &Condition, b: &Condition) -> bool {
    let warmed = Condition {
        temperature_c: b.temperature_c,
        ..a.clone()
    };
    warmed == *b && (a.temperature_c - b.temperature_c).abs() <= SAME_TEMPERATURE_K
}

/// Whether two means differ by more than specimens, prints and the bias of each rig explain.
///
/// The scatter is that of the readings themselves, and no less than the property's usual one; prints
/// scatter as specimens do (policy's rho of 1).
fn apart(a: &Group<'_>, b: &Group<'_>, row: &Property) -> bool {
    let n = |g: &Group<'_>| g.figures.len() as f64;
    if n(a) < 2.0 || n(b) < 2.0 {
        return false;
    }
    let mean = |g: &Group<'_>| g.figures.iter().sum::<f64>() / n(g);
    let squares = |g: &Group<'_>| {
        let m = mean(g);
        g.figures.iter().map(|x| (x - m) * (x - m)).sum::<f64>()
    };
    let own = (squares(a) + squares(b)) / (n(a) + n(b) - 2.0);
    let scatter = own.max(row.spread.sd * row.spread.sd);
    let of_mean = |g: &Group<'_>| scatter * (1.0 / n(g) + 1.0 / g.prints.len().max(1) as f64);
    let variance = of_mean(a) + of_mean(b) + bias(a, b) + bias(b, a);
    (mean(a) - mean(b)).abs() > APART * variance.sqrt()
}

/// What the calibrations of one rig alone add; one that both share cancels.
fn bias(a: &Group<'_>, other: &Group<'_>) -> f64 {
    let shared = |id: &str| other.first.bias.iter().any(|b| &*b.calibration == id);
    a.first
        .bias
        .iter()
        .filter(|b| !shared(&b.calibration))
        .map(|b| b.slope * b.slope)
        .sum()
}

fn said(material: &str, row: &Property, a: &Group<'_>, b: &Group<'_>) -> Problem {
    let middle = |g: &Group<'_>| {
        let n = g.figures.len() as f64;
        amount(row.scale.back(g.figures.iter().sum::<f64>() / n), &row.unit)
    };
    doubt(
        "rig::disagree",
        format!(
            "`{material}`: `{}` reads a {} of {} (`{}` first), and `{}` under the same conditions {} (`{}` first), further apart than scatter and calibration explain",
            a.rig,
            row.title,
            middle(a),
            a.run,
            b.rig,
            middle(b),
            b.run
        ),
        "test one reference specimen on both, and calibrate the one that is off",
        b.at,
    )
}
