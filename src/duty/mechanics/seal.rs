//! A seal squeezed in a groove or between flanges: squeeze, sealing stress, bolt loads, extrusion.

use std::f64::consts::PI;

/// Largest squeeze of a seal that stands still, and of one that something slides on, as a share of
/// its section (E1; verified in source).
pub(in crate::duty) const MOST_SQUEEZE: (f64, f64) = (0.30, 0.16);
/// Squeeze of a ring below which it leaks once set has taken its share (E1; common practice, no source).
pub(in crate::duty) const LEAST_SQUEEZE: f64 = 0.10;
/// Shore A hardness from which a flat gasket counts as hard (E4; verified in source).
pub(in crate::duty) const HARD_FROM: f64 = 75.0;

/// E4: factor m on the fluid's pressure and seating stress y, MPa, of a flat elastomer gasket: 0.50
/// and 0 below 75 A, 1.00 and 200 psi from there (verified in source: non-mandatory design values
/// for flanges, no leak guarantee).
pub(in crate::duty) fn design_values(hard: bool) -> (f64, f64) {
    if hard {
        // 200 psi.
        (1.00, 200.0 * 4.448_221_615_260_5 / 645.16)
    } else {
        (0.50, 0.0)
    }
}

/// E1: squeeze of a section in a gap, as a share of the section: (section - gap)/section (derived).
pub(in crate::duty) fn squeeze(section_mm: f64, gap_mm: f64) -> f64 {
    (section_mm - gap_mm) / section_mm
}

/// E5: how far a seal with this set, as a share of the squeeze, follows an opening joint, mm:
/// (1 - C)(h - h_closed) (derived).
pub(in crate::duty) fn follows_mm(set: f64, free_mm: f64, closed_mm: f64) -> f64 {
    (1.0 - set) * (free_mm - closed_mm)
}

/// E6: bolt load, N, that keeps a ring gasket tight in service, and that seats it: pi/4 G^2 p +
/// 2 b pi G m p, and pi b G y, with the diameter of the ring and its effective width in mm,
/// pressures in MPa (from memory, not verified; the factor 2 is part of it).
pub(in crate::duty) fn bolt_loads_n(
    ring_mm: f64,
    width_mm: f64,
    fluid_mpa: f64,
    (m, y_mpa): (f64, f64),
) -> (f64, f64) {
    let open = PI / 4.0 * ring_mm * ring_mm * fluid_mpa;
    let keep = 2.0 * width_mm * PI * ring_mm * m * fluid_mpa;
    (open + keep, PI * width_mm * ring_mm * y_mpa)
}

/// E7: how far a seal bulges into a gap, as a share of the gap: 0.75 p/E, the opening of a slit in
/// an incompressible body under pressure, (1 - nu^2) p g/E at its middle (plane strain, crack
/// solution; derived).
pub(in crate::duty) fn bulge_into_gap(fluid_mpa: f64, modulus_mpa: f64) -> f64 {
    0.75 * fluid_mpa / modulus_mpa
}

/// E8: force that squeezes a ring of round section, N for each mm of its length: E d (1.25 e^1.5 +
/// 50 e^6) (Lindley 1966; from memory, not verified), with the section in mm.
pub(in crate::duty) fn round_section_n_mm(modulus_mpa: f64, section_mm: f64, squeeze: f64) -> f64 {
    modulus_mpa * section_mm * (1.25 * squeeze.powf(1.5) + 50.0 * squeeze.powi(6))
}

/// Young's modulus, MPa, that three published relations give for a Shore A hardness: Gent
/// 0.0981 (56 + 7.62336 S)/(0.137505 (254 - 2.54 S)) for 20 to 80 A, and exp or 10^ of
/// 0.0235 S - 0.6403, printed with both bases (F13; all verified in source). They differ by more
/// than two; none holds above 80 A, so no duty rests on them.
pub(in crate::duty) fn moduli_of_shore_a(shore_a: f64) -> [f64; 3] {
    let log = 0.0235 * shore_a - 0.6403;
    [
        0.0981 * (56.0 + 7.62336 * shore_a) / (0.137505 * (254.0 - 2.54 * shore_a)),
        10f64.powf(log),
        log.exp(),
    ]
}
