//! How far a prediction is from its bound.

use crate::advise::nearer_bound;
use crate::duty::LimitSense;
use crate::judge::LimitResult;
use crate::quantity::Reading;
use std::cmp::Ordering;

/// The distance of the median prediction from the bound it comes nearest to; positive is good.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margin {
    /// Prediction minus bound, turned so that more is better, in the limit's unit.
    pub difference: f64,
    /// Prediction over bound for at-least, bound over prediction for at-most;
    /// `None` for temperatures, ranges and figures that are not positive.
    pub factor: Option<f64>,
    /// `Equal`, or whether a bound on the prediction shows this much at the least (`Greater`)
    /// or at the most (`Less`).
    pub at: Ordering,
}

/// The margin of a limit at its median, or at the bound that stands for it; `None` where nothing
/// can be said, as of a range that a bound reaches into from one side.
pub fn margin(l: &LimitResult) -> Option<Margin> {
    let typical = l.typical()?;
    let x = typical.as_exact();
    let at = match (typical, l.sense) {
        (Reading::Exact(_), _) => Ordering::Equal,
        (_, LimitSense::Between(..)) => return None,
        (Reading::AtLeast(_), LimitSense::AtLeast(_))
        | (Reading::AtMost(_), LimitSense::AtMost(_)) => Ordering::Greater,
        _ => Ordering::Less,
    };
    let bound = nearer_bound(l.sense, x);
    let ratio = |over: f64, under: f64| {
        (over > 0.0 && under > 0.0 && l.unit != "degC").then(|| over / under)
    };
    Some(match l.sense {
        LimitSense::AtLeast(_) => Margin {
            difference: x - bound,
            factor: ratio(x, bound),
            at,
        },
        LimitSense::AtMost(_) => Margin {
            difference: bound - x,
            factor: ratio(bound, x),
            at,
        },
        LimitSense::Between(a, b) => Margin {
            difference: (x - a).min(b - x),
            factor: None,
            at,
        },
    })
}
