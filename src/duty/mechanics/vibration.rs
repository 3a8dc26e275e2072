//! Mass on a pad that is shaken: natural frequency, damping, the share passed on.

use crate::duty::mechanics::block::GRAVITY;
use std::f64::consts::PI;

/// Speed over natural frequency above which a pad passes on less than the whole: sqrt 2 (F12;
/// verified in source).
pub(in crate::duty) const ISOLATES_FROM: f64 = std::f64::consts::SQRT_2;
/// Distance from resonance within which the answer depends almost wholly on damping, as a share of
/// the natural frequency (a fifth; common practice, no source).
pub(in crate::duty) const NEAR_RESONANCE: f64 = 0.2;

/// F11: natural frequency, Hz, of a mass that sags so far, mm, under its own weight on a linear
/// spring: sqrt(g/sag)/(2 pi), 15.76/sqrt(sag) (verified in source). The sag is the elastic one:
/// creep moves the rest position and not the spring.
pub(in crate::duty) fn natural_hz(elastic_sag_mm: f64) -> f64 {
    (GRAVITY * 1e3 / elastic_sag_mm).sqrt() / (2.0 * PI)
}

/// F12: share of a shaking force that a spring with damping passes on, at a ratio of the shaking to
/// the natural frequency: sqrt[(1 + (2 z r)^2)/((1 - r^2)^2 + (2 z r)^2)] (verified in source).
pub(in crate::duty) fn passed_on(ratio: f64, damping: f64) -> f64 {
    let d = (2.0 * damping * ratio).powi(2);
    let n = (1.0 - ratio * ratio).powi(2);
    ((1.0 + d) / (n + d)).sqrt()
}

/// F14: damping, as a share of critical, of a material whose rebound height is this share (above 0
/// to 1) of the drop: speed falls by e = sqrt R = exp(-pi z/sqrt(1 - z^2)) over the half period in
/// which the ball touches, so z = L/sqrt(pi^2 + L^2), L = -ln e (derived, viscous damping; strictly
/// at the rate of the rebound, some milliseconds).
pub(in crate::duty) fn damping_of_rebound(share: f64) -> f64 {
    // No ball comes back from nothing; the floor keeps a draw of 0 from having no damping at all.
    let share = if share < 1e-6 { 1e-6 } else { share };
    let l = -0.5 * share.ln();
    let l = if l < 0.0 { 0.0 } else { l };
    l / PI.hypot(l)
}
