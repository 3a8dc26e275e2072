//! The hub of a knob on its shaft: torsion, and what a flat or a screw presses on.
//!
//! Torques in N.m, lengths in mm, stresses in MPa.

use std::f64::consts::PI;

/// Square root of 3: shear strength is tensile strength over it (von Mises).
pub(in crate::duty) const ROOT_3: f64 = 1.732_050_807_568_877_2;

/// Polar moment of a hub, mm4: pi (D^4 - d^4)/32.
fn polar_mm4(outer_mm: f64, bore_mm: f64) -> f64 {
    PI * (outer_mm.powi(4) - bore_mm.powi(4)) / 32.0
}

/// K7: highest shear stress of a round hub under a torque: 16 T D/(pi (D^4 - d^4)) (derived).
pub(in crate::duty) fn torsion_mpa(torque_nm: f64, outer_mm: f64, bore_mm: f64) -> f64 {
    torque_nm * 1e3 * outer_mm / 2.0 / polar_mm4(outer_mm, bore_mm)
}

/// K13: how far a hub winds up over its length, deg: T L/(G J), G = E/(2 (1 + nu)) (derived).
pub(in crate::duty) fn wind_up_deg(
    torque_nm: f64,
    (outer_mm, bore_mm, length_mm): (f64, f64, f64),
    modulus_mpa: f64,
    poisson: f64,
) -> f64 {
    let shear = modulus_mpa / (2.0 * (1.0 + poisson));
    (torque_nm * 1e3 * length_mm / (shear * polar_mm4(outer_mm, bore_mm))).to_degrees()
}

/// K8: highest pressure of a shaft's flat of half width w on a hub of length L, 3 T/(L w^2):
/// triangular over half of the flat. Derived, an upper bound; play raises it.
pub(in crate::duty) fn flat_pressure_mpa(
    torque_nm: f64,
    half_width_mm: f64,
    length_mm: f64,
) -> f64 {
    3.0 * torque_nm * 1e3 / (length_mm * half_width_mm * half_width_mm)
}

/// K14: stress in the wall beside the flat, MPa: the flat's force, K8's triangle T/(2 w/3), tears one
/// wall open along the hub (derived, an upper bound: the other wall helps).
pub(in crate::duty) fn flat_split_mpa(
    torque_nm: f64,
    half_width_mm: f64,
    (outer_mm, bore_mm, length_mm): (f64, f64, f64),
) -> f64 {
    let force_n = 1.5 * torque_nm * 1e3 / half_width_mm;
    force_n / (length_mm * 0.5 * (outer_mm - bore_mm))
}

/// K15: pressure of a grub screw or pin on the wall that it goes through, MPa: (2 T/d)/(s wall) (derived).
pub(in crate::duty) fn screw_pressure_mpa(
    torque_nm: f64,
    shaft_mm: f64,
    screw_mm: f64,
    wall_mm: f64,
) -> f64 {
    2.0 * torque_nm * 1e3 / shaft_mm / (screw_mm * wall_mm)
}

/// K16: stress at the root of a spoke, MPa: its share of the torque, taken at the rim, bends it as a
/// cantilever from the hub: 6 (T/n)(1 - D_hub/D_rim)/(b h^2), h along the rim (derived).
pub(in crate::duty) fn spoke_mpa(
    torque_nm: f64,
    spokes: f64,
    hub_over_rim: f64,
    (across_mm, along_mm): (f64, f64),
) -> f64 {
    6.0 * torque_nm * 1e3 / spokes * (1.0 - hub_over_rim) / (across_mm * along_mm * along_mm)
}
