//! Runs under conditions that no case of the workspace asks for.

use super::{Reduced, doubt};
use crate::belief::condition_serves;
use crate::duty::Duty;
use crate::problem::{Place, Problem};
use crate::property::{Condition, Properties};
use std::collections::BTreeMap;

/// Tests done for nobody: of a property that cases ask for, under a condition that none does.
///
/// Temperature and moisture are left out: figures count within a window, and between two of them.
pub(super) fn unmatched(
    reduced: &[Reduced<'_>],
    duties: &[Duty],
    properties: &Properties,
    out: &mut Vec<Problem>,
) {
    let mut unmatched: BTreeMap<(&str, String), (usize, &str, &Place)> = BTreeMap::new();
    for (r, at) in reduced {
        let mut asked = false;
        let mut served = false;
        for o in r.specimens.iter().flat_map(|s| &s.observations) {
            let Some(row) = properties.get(o.property.as_str()) else {
                continue;
            };
            let asks = duties
                .iter()
                .flat_map(|d| &d.asks)
                .filter(|a| a.property == o.property);
            for ask in asks {
                asked = true;
                served |= condition_serves(row, ask, &o.condition);
            }
        }
        if asked && !served {
            let key = (r.run.test, told(&r.run.condition));
            unmatched.entry(key).or_insert((0, &r.run.id, &at.run)).0 += 1;
        }
    }
    for ((test, condition), (n, first, at)) in unmatched {
        let runs = if n == 1 {
            format!("the {test} run `{first}` was")
        } else {
            format!("{n} {test} runs were")
        };
        out.push(doubt(
            "run::unmatched",
            format!("{runs} taken {condition}, for which no case here asks"),
            "look whether the condition is right; if it is, nothing of it counts for a case yet",
            at,
        ));
    }
}

fn told(c: &Condition) -> String {
    let mut said = Vec::new();
    said.extend(c.direction.map(|d| d.word().to_owned()));
    said.extend(c.face.map(|f| format!("on the {} face", f.word())));
    said.extend(c.counterface.as_ref().map(|s| format!("on {s}")));
    said.extend(c.annealed.as_ref().map(|a| format!("annealed {a}")));
    if said.is_empty() {
        "as they stand".to_owned()
    } else {
        said.join(", ")
    }
}
