//! Bounds that other readings of the same material and condition stand against.
//!
//! Statistics takes such readings as they are, as very wide scatter; more often one of them is a slip,
//! so that they deserve a second look.

use crate::bench::{Observation, ReducedRun, Value};
use crate::catalog::load::RunPlace;
use crate::problem::{Fault, Place, Problem, Severity};
use crate::property::{Condition, Properties, Property};
use crate::quantity::{Reading, amount};
use std::collections::BTreeMap;

/// Within one run, a bound this many default spreads beyond the others is more than scatter.
const SPREADS_IN_A_RUN: f64 = 3.0;
/// Temperatures this near are one condition, K.
const SAME_TEMPERATURE_K: f64 = 2.0;

/// One reading and where it stands.
#[derive(Clone, Copy)]
struct Read<'a> {
    run: usize,
    id: &'a str,
    specimen: u32,
    at: &'a Place,
    observation: &'a Observation,
    reading: Reading,
}

impl Read<'_> {
    fn bears_on(&self, other: &Read<'_>) -> bool {
        let (a, b) = (self.observation, other.observation);
        a.stress_mpa == b.stress_mpa && same_condition(&a.condition, &b.condition)
    }
}

/// `reading::contradicts` once for each run whose bound the readings of another run, or far-off ones of
/// its own, stand against.
pub(super) fn contradictions(
    reduced: &[(ReducedRun, &RunPlace)],
    properties: &Properties,
    out: &mut Vec<Problem>,
) {
    let mut by_property: BTreeMap<(&str, &str), Vec<Read<'_>>> = BTreeMap::new();
    for (number, (r, place)) in reduced.iter().enumerate() {
        let Some(material) = r.run.material.as_deref() else {
            continue;
        };
        for s in &r.specimens {
            for o in &s.observations {
                // Curves have no one figure.
                let Value::Now(reading) = o.value else {
                    continue;
                };
                let key = (material, o.property.as_str());
                by_property.entry(key).or_default().push(Read {
                    run: number,
                    id: &r.run.id,
                    specimen: s.specimen,
                    at: place.specimens.get(&s.specimen).unwrap_or(&place.run),
                    observation: o,
                    reading,
                });
            }
        }
    }
    for ((material, property), reads) in by_property {
        let Some(row) = properties.get(property) else {
            continue;
        };
        let mut worst: BTreeMap<usize, (f64, Read<'_>, Read<'_>)> = BTreeMap::new();
        for bound in &reads {
            for other in against(bound, &reads, row) {
                let gap = gap(bound, &other, row);
                let held = worst.entry(bound.run).or_insert((0.0, *bound, other));
                if gap > held.0 {
                    *held = (gap, *bound, other);
                }
            }
        }
        out.extend(worst.values().map(|(_, b, o)| doubt(material, row, b, o)));
    }
}

/// What stands against a bound: of each run its nearest reading, where even that one does.
fn against<'a>(bound: &Read<'a>, reads: &[Read<'a>], row: &Property) -> Vec<Read<'a>> {
    if !matches!(bound.reading, Reading::AtLeast(_) | Reading::AtMost(_)) {
        return Vec::new();
    }
    let mut nearest: BTreeMap<usize, (f64, Read<'a>)> = BTreeMap::new();
    for other in reads.iter().filter(|o| bound.bears_on(o)) {
        let gap = gap(bound, other, row);
        // An open end of the same kind says nothing here.
        if gap.is_nan() {
            continue;
        }
        let held = nearest.entry(other.run).or_insert((gap, *other));
        if gap < held.0 {
            *held = (gap, *other);
        }
    }
    let allowed = |run: usize| {
        if run == bound.run {
            SPREADS_IN_A_RUN * row.spread.sd
        } else {
            0.0
        }
    };
    nearest
        .into_iter()
        .filter(|(run, (gap, other))| *gap > allowed(*run) && told_apart(bound, other))
        .map(|(_, (_, other))| other)
        .collect()
}

/// How far, on the natural scale, a reading lies on the wrong side of a bound; NaN where it is open
/// to the bound's side.
fn gap(bound: &Read<'_>, other: &Read<'_>, row: &Property) -> f64 {
    let g = |y: f64| row.scale.forward(y);
    let (low, high) = other.reading.ends();
    match (bound.reading, other.reading) {
        // Of two bounds the `>=` reports.
        (Reading::AtMost(_), Reading::AtLeast(_)) => f64::NAN,
        // A stress borne for a shorter time says nothing against one that ruptured later.
        (Reading::AtLeast(b), Reading::AtMost(_)) => {
            let borne = bound.observation.hours.unwrap_or(f64::INFINITY);
            let ruptured = other.observation.hours.unwrap_or(0.0);
            if borne >= ruptured {
                g(b) - g(high)
            } else {
                f64::NAN
            }
        }
        (Reading::AtLeast(b), _) if high.is_finite() => g(b) - g(high),
        (Reading::AtMost(b), _) if low.is_finite() => g(low) - g(b),
        _ => f64::NAN,
    }
}

/// Whether two figures differ by more than either can be read.
fn told_apart(bound: &Read<'_>, other: &Read<'_>) -> bool {
    let step = bound
        .observation
        .resolution
        .max(other.observation.resolution);
    let b = bound.reading.as_exact();
    let (low, high) = other.reading.ends();
    let y = if high.is_finite() { high } else { low };
    let y = if low.is_finite() && b < low { low } else { y };
    (b - y).abs() > step.max(1e-9 * b.abs())
}

fn same_condition(a: &Condition, b: &Condition) -> bool {
    let warmed = Condition {
        temperature_c: b.temperature_c,
        ..a.clone()
    };
    warmed == *b && (a.temperature_c - b.temperature_c).abs() <= SAME_TEMPERATURE_K
}

fn doubt(material: &str, row: &Property, bound: &Read<'_>, other: &Read<'_>) -> Problem {
    let shown = |r: Reading| match r {
        Reading::Exact(y) => amount(y, &row.unit),
        Reading::AtLeast(y) => format!(">= {}", amount(y, &row.unit)),
        Reading::AtMost(y) => format!("<= {}", amount(y, &row.unit)),
        Reading::Between(a, b) => {
            format!("{} to {}", amount(a, &row.unit), amount(b, &row.unit))
        }
    };
    let specimen = |r: &Read<'_>| format!("specimen {} of `{}`", r.specimen, r.id);
    let fault = Fault::new(
        "reading::contradicts",
        format!(
            "`{material}`: {} says a {} of {}, and {} under the same conditions {}",
            specimen(bound),
            row.title,
            shown(bound.reading),
            specimen(other),
            shown(other.reading)
        ),
        format!(
            "look at both sheets, and fill `set_aside` of a run that went wrong; \
             if both stand, the scatter is that wide: test again, to see how `{material}` scatters"
        ),
    );
    Problem {
        severity: Severity::Doubt,
        ..fault.at(bound.at.clone())
    }
}
