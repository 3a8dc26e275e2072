//! Which limits and aims an answer moves, found by trying others in its place.

use crate::describe::common;
use crate::describe::draft::{Draft, variants};
use crate::duty::{Case, Duty, Inputs, LimitSense};
use crate::property::{Properties, Property, Scale};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// Most values that are tried in place of an answer.
const MOST_TRIED: usize = 6;
/// Where between the ends of what is plausible the figures stand that formulas are tried with.
const AT: [f64; 2] = [0.35, 0.65];

/// What an answer moves.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Effect {
    /// Titles of limits.
    pub limits: Vec<String>,
    /// Titles of aims.
    pub aims: Vec<String>,
    /// Ids of cautions that some answer raises or clears.
    pub cautions: Vec<String>,
}

/// A limit or aim as far as answers can move it.
type Print = BTreeSet<String>;

/// A duty as far as answers can move it: limits and aims by title, cautions.
struct Shape {
    limits: BTreeMap<String, Print>,
    aims: BTreeMap<String, Print>,
    cautions: BTreeSet<String>,
}

/// What the entry at `key` moves, other values tried in its place.
pub(super) fn effect(draft: &Draft<'_>, key: &str) -> Effect {
    let base = draft.tried(&[]).case.and_then(|c| shape(&c));
    let mut others: Vec<Shape> = Vec::new();
    for v in tried(draft, key) {
        if others.len() == MOST_TRIED {
            break;
        }
        others.extend(draft.tried(&[(key, v)]).case.and_then(|c| shape(&c)));
    }
    let all: Vec<&Shape> = base.iter().chain(&others).collect();
    let ids: BTreeSet<&String> = all.iter().flat_map(|s| &s.cautions).collect();
    Effect {
        limits: moved(&all, |s| &s.limits),
        aims: moved(&all, |s| &s.aims),
        cautions: ids
            .into_iter()
            .filter(|id| !all.iter().all(|s| s.cautions.contains(*id)))
            .cloned()
            .collect(),
    }
}

/// Titles whose shape is not the same in all.
fn moved(all: &[&Shape], of: impl Fn(&Shape) -> &BTreeMap<String, Print>) -> Vec<String> {
    let titles: BTreeSet<&String> = all.iter().flat_map(|s| of(s).keys()).collect();
    titles
        .into_iter()
        .filter(|t| {
            let first = all.first().and_then(|s| of(s).get(*t));
            all.iter().any(|s| of(s).get(*t) != first)
        })
        .cloned()
        .collect()
}

/// Values to try at a key; `None` leaves it out.
fn tried(draft: &Draft<'_>, key: &str) -> Vec<Option<Value>> {
    if let Some(name) = key.strip_prefix("inputs.") {
        let Some(e) = draft.entry(name) else {
            return Vec::new();
        };
        // The worked example first, then others: two of one kind would show nothing.
        let some = draft.variants(e).into_iter().map(Some);
        return some.chain((!e.required).then_some(None)).collect();
    }
    let Some(row) = common::row(key) else {
        return Vec::new();
    };
    let takes = common::takes(key, draft.kind, draft.beside().surfaces);
    let more: Vec<Value> = match key {
        "surroundings.temperature" => vec!["0..60 degC".into(), "23 degC".into()],
        "surroundings.storage" => vec!["90 degC".into()],
        "surroundings.chemicals" => vec![Value::from(vec!["grease"]), Value::from(vec!["acetone"])],
        "life" => vec!["10 year".into(), "1 h".into()],
        "cycles" => vec![10.into(), 1_000_000.into()],
        _ => variants(Some(&takes), None, row.example),
    };
    more.into_iter().map(Some).chain([None]).collect()
}

fn shape(case: &Case) -> Option<Shape> {
    let duty = case.duty().ok()?;
    let properties = &case.setting.properties;
    let mut limits: BTreeMap<String, Print> = BTreeMap::new();
    for l in &duty.limits {
        let sense = match l.sense {
            LimitSense::AtLeast(b) => format!(">= {b}"),
            LimitSense::AtMost(b) => format!("<= {b}"),
            LimitSense::Between(a, b) => format!("{a} .. {b}"),
        };
        let print = format!(
            "{} {sense} {:?} {}",
            l.id,
            l.class,
            figures(&duty, &l.needs, &|i| l.performance.of(i), properties)
        );
        limits.entry(l.title.clone()).or_default().insert(print);
    }
    let mut aims: BTreeMap<String, Print> = BTreeMap::new();
    for a in &duty.aims {
        let print = format!(
            "{} {:?} {}",
            a.id,
            a.scale,
            figures(&duty, &a.needs, &|i| a.performance.of(i), properties)
        );
        aims.entry(a.title.clone()).or_default().insert(print);
    }
    let cautions = duty.cautions.iter().map(|c| c.caution.id.clone());
    Some(Shape {
        limits,
        aims,
        cautions: cautions
            .chain(duty.declined.iter().map(|d| d.caution.id.clone()))
            .collect(),
    })
}

/// What a formula asks, and what it says for plausible figures.
fn figures(
    duty: &Duty,
    needs: &[Vec<usize>],
    of: &dyn Fn(Inputs<'_>) -> f64,
    properties: &Properties,
) -> String {
    let asks: Vec<String> = needs
        .iter()
        .flatten()
        .filter_map(|i| duty.asks.get(*i))
        .map(|a| format!("{a:?}"))
        .collect();
    let which = vec![0; needs.len()];
    let says = AT.map(|at| {
        let x: Vec<f64> = needs
            .iter()
            .map(|n| {
                let ask = n.first().and_then(|i| duty.asks.get(*i));
                ask.and_then(|a| properties.get(a.property.as_str()))
                    .map_or(f64::NAN, |p| plausible(p, at))
            })
            .collect();
        of(Inputs {
            x: &x,
            which: &which,
        })
        .to_bits()
    });
    format!("{says:?} {}", asks.join(" "))
}

/// A plausible figure of a property, `at` of the way from its low end to its high end.
fn plausible(p: &Property, at: f64) -> f64 {
    let (low, high) = p.plausible;
    if p.scale == Scale::Log && low > 0.0 {
        low * (high / low).powf(at)
    } else {
        low + at * (high - low)
    }
}
