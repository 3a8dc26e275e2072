//! A share kept over time, as a hold test or a bolted joint gives it.

use crate::bench::{Cell, Curve, Point, Reduction, Specimen};
use crate::quantity::Reading;

/// One later reading: hours since loading, share of the start, whether it is exact.
pub(super) struct Seen {
    /// Hours since loading, above the start's.
    pub hours: f64,
    /// Share of the start.
    pub share: f64,
    /// Whether the cell behind it is exact.
    pub exact: bool,
}

/// Whether the cell of a column is a figure and no bound.
pub(super) fn is_exact(p: &Point, column: &str) -> bool {
    matches!(p.cells.get(column), Some(Cell::Number(r)) if r.is_exact())
}

/// Gives a share kept: a curve from 1 at `start_h` on, or a bound where the last reading is
/// only a bound or nothing was left to read.
pub(super) fn give(
    s: &Specimen,
    property: &'static str,
    start_h: f64,
    later: &[Seen],
    out: &mut Reduction,
) {
    let Some(last) = later.last() else {
        return;
    };
    if !last.exact {
        // A bound speaks for its time, not for a curve; the cell's side makes it `<=` or `>=`.
        out.give(s, property, Reading::Exact(last.share)).hours = Some(last.hours);
    } else if let Some(gone) = later.iter().position(|r| r.share <= 0.0) {
        let before = later.iter().take(gone).next_back().map_or(1.0, |r| r.share);
        let hours = later.get(gone).map(|r| r.hours);
        out.give(s, property, Reading::AtMost(before)).hours = hours;
    } else {
        let points = std::iter::once((start_h, 1.0))
            .chain(later.iter().map(|r| (r.hours, r.share)))
            .collect();
        out.give_curve(s, property, Curve::retained(points));
    }
}
