//! How far a prediction is from its bound.

use crate::advise::nearer_bound;
use crate::duty::LimitSense;
use crate::judge::LimitResult;

/// The distance of the median prediction from the bound it comes nearest to; positive is good.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margin {
    /// Prediction minus bound, turned so that more is better, in the limit's unit.
    pub difference: f64,
    /// Prediction over bound for at-least, bound over prediction for at-most;
    /// `None` for temperatures, ranges and figures that are not positive.
    pub factor: Option<f64>,
}

/// The margin of a limit at its median; `None` where nothing can be said.
pub fn margin(l: &LimitResult) -> Option<Margin> {
    let x = l.predicted.map(|p| p.median).filter(|x| x.is_finite())?;
    let bound = nearer_bound(l.sense, x);
    let ratio = |over: f64, under: f64| {
        (over > 0.0 && under > 0.0 && l.unit != "degC").then(|| over / under)
    };
    Some(match l.sense {
        LimitSense::AtLeast(_) => Margin {
            difference: x - bound,
            factor: ratio(x, bound),
        },
        LimitSense::AtMost(_) => Margin {
            difference: bound - x,
            factor: ratio(bound, x),
        },
        LimitSense::Between(a, b) => Margin {
            difference: (x - a).min(b - x),
            factor: None,
        },
    })
}
