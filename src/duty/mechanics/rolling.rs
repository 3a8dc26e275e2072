//! A wheel rolling on a flat: contact, sag, resistance and heat.

use std::f64::consts::PI;

/// R1: half width, mm, and highest pressure, MPa, of a cylinder pressed on a rigid flat: b =
/// sqrt(4 F R/(pi L E*)), p_0 = 2 F/(pi b L), E* = E/(1 - nu^2) (Hertz line contact; Johnson, Contact
/// Mechanics, section 4.2; from memory, not verified). Holds while b is small against radius and tread.
pub(in crate::duty) fn line_contact(
    load_n: f64,
    radius_mm: f64,
    width_mm: f64,
    plane_mpa: f64,
) -> (f64, f64) {
    let b = (4.0 * load_n * radius_mm / (PI * width_mm * plane_mpa)).sqrt();
    (b, 2.0 * load_n / (PI * b * width_mm))
}

/// R2: how far a wheel with a soft tread on a hard rim sinks, mm, the tread taken as springs side by
/// side: F = (4/3)(E/t) L d sqrt(2 R d), so d = (3 F t/(4 E L sqrt(2 R)))^(2/3) (elastic foundation;
/// derived). Springs that do not help each other sink further than the tread does.
pub(in crate::duty) fn tread_sag_mm(
    load_n: f64,
    radius_mm: f64,
    width_mm: f64,
    tread_mm: f64,
    modulus_mpa: f64,
) -> f64 {
    let x = 3.0 * load_n * tread_mm / (4.0 * modulus_mpa * width_mm * (2.0 * radius_mm).sqrt());
    x.cbrt().powi(2)
}

/// R3: rolling resistance, as a share of the load, of a line contact whose material loses this share
/// of the work put into it: 2 a b/(3 pi R) (Greenwood, Minshall and Tabor 1961; from memory, not
/// verified).
pub(in crate::duty) fn resistance(loss: f64, half_width_mm: f64, radius_mm: f64) -> f64 {
    2.0 * loss * half_width_mm / (3.0 * PI * radius_mm)
}
