//! A curve through points that never overshoots them.

use crate::num::hermite;

/// Value at `x` of the piecewise cubic through `points`, which keeps between neighbours and rises
/// or falls only where they do.
///
/// Slopes inside are weighted harmonic means of the chords', zero where those turn; at the ends a
/// three-point formula held to the first chord's sign (Fritsch and Butland 1984, in the form that
/// Moler's `pchip` uses; from memory, checked against a reference library in the published tests).
/// Two points give the straight line. `points` must rise strictly in their first figure; `None`
/// with fewer than two, or outside them.
pub fn monotone_curve(points: &[(f64, f64)], x: f64) -> Option<f64> {
    let k = points
        .windows(2)
        .position(|w| matches!(w, [a, b] if a.0 <= x && x <= b.0))?;
    let (a, b) = (points.get(k)?, points.get(k + 1)?);
    let h = b.0 - a.0;
    let t = (x - a.0) / h;
    let (rise_a, rise_b) = (h * slope(points, k)?, h * slope(points, k + 1)?);
    Some(hermite(a.1, b.1, rise_a, rise_b, t))
}

/// Width and slope of the chord from point `k` to the next.
fn chord(points: &[(f64, f64)], k: usize) -> Option<(f64, f64)> {
    let (a, b) = (points.get(k)?, points.get(k + 1)?);
    Some((b.0 - a.0, (b.1 - a.1) / (b.0 - a.0)))
}

/// Slope of the curve at point `k`.
fn slope(points: &[(f64, f64)], k: usize) -> Option<f64> {
    let before = k.checked_sub(1).and_then(|i| chord(points, i));
    match (before, chord(points, k)) {
        (Some((h, d)), Some((g, e))) => Some(if d * e > 0.0 {
            let (v, w) = (2.0 * g + h, g + 2.0 * h);
            (v + w) / (v / d + w / e)
        } else {
            0.0
        }),
        (None, Some(first)) => Some(end(first, chord(points, k + 1))),
        (Some(last), None) => Some(end(last, k.checked_sub(2).and_then(|i| chord(points, i)))),
        (None, None) => None,
    }
}

/// Slope at an end whose chord is `first` and the one after it `second`.
fn end((h, d): (f64, f64), second: Option<(f64, f64)>) -> f64 {
    let Some((g, e)) = second else { return d };
    let m = ((2.0 * h + g) * d - h * e) / (h + g);
    if m * d <= 0.0 {
        0.0
    } else if d * e <= 0.0 && m.abs() > 3.0 * d.abs() {
        3.0 * d
    } else {
        m
    }
}
