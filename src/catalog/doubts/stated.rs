//! Stated values against what the bench says.

use super::{Reduced, doubt};
use crate::belief::Stated;
use crate::bench::{Observation, Value};
use crate::catalog::Catalog;
use crate::problem::Problem;
use crate::property::{Properties, Property, Scale};
use crate::quantity::{Reading, amount, figure};

/// A stated value further than this many of its own spreads from the measured mean is doubted.
const SPREADS_APART: f64 = 2.0;

pub(super) fn stated(
    catalog: &Catalog,
    reduced: &[Reduced<'_>],
    properties: &Properties,
    out: &mut Vec<Problem>,
) {
    for (s, at) in catalog.stated.iter().zip(&catalog.places.stated) {
        let (Some(material), Some(p)) = (&s.material, properties.get(s.property.as_str())) else {
            continue;
        };
        if !s.value.is_exact() {
            continue;
        }
        let own: Vec<Reading> = reduced
            .iter()
            .filter(|(r, _)| r.run.material.as_deref() == Some(material))
            .flat_map(|(r, _)| &r.specimens)
            .flat_map(|sp| &sp.observations)
            .filter(|o| o.property == s.property && counts_for(o, s, p, catalog))
            .filter_map(|o| match o.value {
                Value::Now(r) => Some(r),
                Value::Curve(_) => None,
            })
            .collect();
        let said = p.scale.forward(s.value.as_exact());
        let sd = s.sd.unwrap_or(match p.scale {
            Scale::Log => catalog.policy.stated_share,
            Scale::Plain => catalog.policy.stated_points,
        });
        if let Some(own) = disagreement(&own, said, SPREADS_APART * sd, p.scale) {
            out.push(doubt(
                "stated::disagrees",
                format!(
                    "`{material}` is stated with a {} of {}, and its own readings say {own}",
                    p.title,
                    amount(s.value.as_exact(), &p.unit),
                ),
                "trust the bench, and look whether both mean the same test and condition",
                at,
            ));
        }
    }
}

/// What own readings say where a stated figure lies further than `apart` from their mean, or, where all
/// are bounds, on the wrong side of one by as much; natural scale but for the words.
fn disagreement(own: &[Reading], said: f64, apart: f64, scale: Scale) -> Option<String> {
    let exact: Vec<f64> = own
        .iter()
        .filter(|r| r.is_exact())
        .map(|r| scale.forward(r.as_exact()))
        .collect();
    if !exact.is_empty() {
        let mean = exact.iter().sum::<f64>() / exact.len() as f64;
        return ((mean - said).abs() > apart).then(|| figure(scale.back(mean)));
    }
    let ends = || own.iter().map(|r| r.ends());
    let low = ends().map(|e| e.0).fold(f64::NEG_INFINITY, f64::max);
    let high = ends().map(|e| e.1).fold(f64::INFINITY, f64::min);
    if low.is_finite() && scale.forward(low) - said > apart {
        Some(format!(">= {}", figure(low)))
    } else if high.is_finite() && said - scale.forward(high) > apart {
        Some(format!("<= {}", figure(high)))
    } else {
        None
    }
}

/// Whether an observation was taken under the conditions that a stated value names.
fn counts_for(o: &Observation, s: &Stated, p: &Property, catalog: &Catalog) -> bool {
    let direction = s.condition.direction.or(p.direction);
    let near = (o.condition.temperature_c - s.condition.temperature_c).abs()
        <= catalog.policy.temperature_window_k;
    near && o.condition.moisture == s.condition.moisture
        && (direction.is_none() || o.condition.direction == direction)
        && (s.condition.counterface.is_none() || o.condition.counterface == s.condition.counterface)
        && o.condition.kind.is_none()
}
