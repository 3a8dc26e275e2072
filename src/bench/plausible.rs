//! Figures outside all that a property was ever seen at: most often a slip of unit.

use crate::bench::{ReducedSpecimen, Value};
use crate::problem::Fault;
use crate::property::Properties;
use crate::quantity::{Reading, amount, figure};

/// What is implausible in a reduced specimen: the figures no part of which can lie within the
/// range that the property table gives, `reading::implausible` each. A doubt refuses nothing.
pub fn implausible(specimen: &ReducedSpecimen, properties: &Properties) -> Vec<Fault> {
    let doubt = |o: &crate::bench::Observation| {
        let p = properties.get(o.property.as_str())?;
        let shown = match &o.value {
            Value::Now(r) => *r,
            Value::Curve(_) => Reading::Exact(o.value.figure()),
        };
        let (low, high) = p.plausible;
        // A bound is open to one side, and says nothing against a range that lies there.
        let (mark, x, outside) = match shown {
            Reading::Exact(x) => ("", x, x < low || x > high),
            Reading::AtLeast(x) => (">= ", x, x > high),
            Reading::AtMost(x) => ("<= ", x, x < low),
            Reading::Between(a, _) if a > high => (">= ", a, true),
            Reading::Between(_, b) => ("<= ", b, b < low),
        };
        outside.then(|| {
            Fault::new(
                "reading::implausible",
                format!(
                    "a {} of {mark}{} is outside {} to {}",
                    p.title,
                    amount(x, &p.unit),
                    figure(low),
                    figure(high)
                ),
                "look for a slip of unit or of the decimal point",
            )
        })
    };
    specimen.observations.iter().filter_map(doubt).collect()
}
