//! The handbook: what printed parts of each polymer commonly show, as stated values of the polymer.
//!
//! `handbook/stated.csv` holds a range for each polymer and property near room temperature, and in its
//! `source` cell how well it is known. As every stated range it counts as an opinion of the material's
//! mean with the range's own variance on the property's scale (width squared over 12), here with no
//! allowance beyond it: the low and the high figure are then the 4 and the 96 % of the mean. The
//! property table's spread of specimens comes on top for the next part.
//!
//! A figure of a property that counts only near its temperature (creep, force kept, friction, wear), or
//! not colder than tested (impact, break strain), is carried to other temperatures here, by rules of
//! ours (assumptions, no source) and always wider than at 23 degC:
//!
//! - what heat takes away (creep modulus, shares of force kept, pressure times speed) falls on a straight
//!   line from 38 degC to nothing at the softening onset: the low end to the onset's low figure, the high
//!   end to its high one; where the high end is gone nothing is said. Colder, the figure is kept;
//! - what grows brittle loses two fifths of its low end for each 30 K colder, and keeps its high end;
//! - any other range is kept, and made wider by a fifth of its width to both sides for each 30 K.

use crate::belief::{Stated, any_climate};
use crate::problem::Place;
use crate::property::{Heat, Properties, Property};
use crate::quantity::Reading;
use std::collections::BTreeMap;

/// Temperatures that figures are carried to, degC: each counts 15 K to both sides, as at 23 degC.
const CARRIED_TO_C: [f64; 6] = [-37.0, -7.0, 53.0, 83.0, 113.0, 143.0];
/// Temperature of the table, and the step of the rules, degC and K.
const TABLE_C: f64 = 23.0;
const STEP_K: f64 = 30.0;
/// Where the fall with heat begins, degC.
const FALL_FROM_C: f64 = 38.0;
/// Least share of the low end that is left while the high end still holds.
const LEAST_LEFT: f64 = 0.05;
/// Share of its low end that a brittle figure keeps for each step colder.
const BRITTLE_KEEPS: f64 = 0.6;
/// Share of its width by which a range grows to both sides for each step.
const WIDENS: f64 = 0.2;

/// The stated ranges, and what they come to at temperatures at which they do not count themselves.
pub(super) fn at_other_temperatures(
    stated: Vec<(Stated, Place)>,
    properties: &Properties,
) -> Vec<(Stated, Place)> {
    let onsets: BTreeMap<String, (f64, f64)> = stated
        .iter()
        .filter(|(s, _)| s.property.as_str() == "softening-onset")
        .filter_map(|(s, _)| Some((s.polymer.clone()?, range(s.value)?)))
        .collect();
    let mut carried = Vec::new();
    for (s, place) in &stated {
        let Some(row) = properties.get(s.property.as_str()) else {
            continue;
        };
        let onset = s.polymer.as_ref().and_then(|p| onsets.get(p)).copied();
        let Some(at_table) = range(s.value) else {
            continue;
        };
        for to_c in CARRIED_TO_C {
            let Some((low, high)) = carry(row, at_table, onset, to_c) else {
                continue;
            };
            let mut there = s.clone();
            there.value = Reading::Between(low, high);
            there.condition.temperature_c = to_c;
            there.source = format!("{}; carried from 23 to {to_c} degC by rule", s.source);
            carried.push((there, place.clone()));
        }
    }
    let mut all = stated;
    all.append(&mut carried);
    all
}

fn range(value: Reading) -> Option<(f64, f64)> {
    match value {
        Reading::Between(low, high) => Some((low, high)),
        _ => None,
    }
}

/// Whether heat takes a property away that the table lets count only near its temperature.
fn goes_with_heat(row: &Property) -> bool {
    matches!(
        row.id.as_str(),
        "creep-modulus" | "force-retained" | "clamp-retained" | "stretch-retained" | "pv-held"
    )
}

/// A range at another temperature; `None` where it counts there as it stands, or nothing is left.
fn carry(
    row: &Property,
    (low, high): (f64, f64),
    onset: Option<(f64, f64)>,
    to_c: f64,
) -> Option<(f64, f64)> {
    let steps = (to_c - TABLE_C).abs() / STEP_K;
    let colder = to_c < TABLE_C;
    if row.auxiliary || any_climate(row) {
        return None;
    }
    match row.heat {
        Heat::Falls => None,
        Heat::Brittle => colder.then(|| (low * BRITTLE_KEEPS.powf(steps), high)),
        Heat::None if goes_with_heat(row) => {
            if colder {
                return Some((low, high));
            }
            let (soft, firm) = onset?;
            let left = |onset_c: f64| (onset_c - to_c) / (onset_c - FALL_FROM_C);
            let high_left = left(firm);
            (high_left > 0.0).then(|| {
                let low_left = left(soft).clamp(LEAST_LEFT.min(high_left), 1.0);
                (low * low_left, high * high_left)
            })
        }
        Heat::None => {
            let (a, b) = (row.scale.forward(low), row.scale.forward(high));
            let more = WIDENS * steps * (b - a);
            let (first, last) = row.ends();
            let end = |g: f64| row.scale.back(g).clamp(first, last);
            Some((end(a - more), end(b + more)))
        }
    }
}
