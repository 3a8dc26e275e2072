//! Straps and stretched bands: stress and stretch of a narrow strip, what a wrap and a band hold.

use std::f64::consts::{PI, TAU};

/// Stretch up to which stress is modulus times strain (linear to about 10 %, G4).
const LINEAR_TO: f64 = 0.10;
/// Stretch over which the linear answer gives way to the neo-Hookean one.
const GIVES_WAY_OVER: f64 = 0.05;
/// Stretch beyond which the neo-Hookean law in one direction says nothing more (G4).
pub(in crate::duty) const MOST_STRETCH: f64 = 0.3;
/// What the stress of a tight loop is multiplied by beside a pin as thick as the strap, and round a
/// wide one: 20 to 100 % more (from memory, not verified); between them by thickness over diameter (ours).
const BENT_ROUND: (f64, f64) = (2.0, 1.2);

/// Stress over modulus of a strip stretched by the share `strain`, on its area before stretching:
/// the strain itself to 10 % (K5), neo-Hookean (l - l^-2)/3 from 15 % (G4 on the area before
/// stretching; derived), mixed between (ours).
pub(in crate::duty) fn stress_over_modulus(strain: f64) -> f64 {
    if strain <= LINEAR_TO {
        return strain;
    }
    let l = 1.0 + strain;
    let bent = (l - (l * l).recip()) / 3.0;
    let share = ((strain - LINEAR_TO) / GIVES_WAY_OVER).min(1.0);
    (1.0 - share) * strain + share * bent
}

/// The stretch of a strip under a stress over its modulus, by halving; 1, as good as endless,
/// where it lies past the law's 30 %.
pub(in crate::duty) fn stretch_of(stress_over: f64) -> f64 {
    if stress_over <= LINEAR_TO {
        return stress_over;
    }
    if stress_over > stress_over_modulus(MOST_STRETCH) {
        return 1.0;
    }
    let (mut low, mut high) = (LINEAR_TO, MOST_STRETCH);
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if stress_over_modulus(middle) < stress_over {
            low = middle;
        } else {
            high = middle;
        }
    }
    // NaN falls through to here and must stay one.
    if stress_over.is_nan() {
        f64::NAN
    } else {
        0.5 * (low + high)
    }
}

/// K3: how much more than F/(2 w t) a leg of a loop bears where it bends round a pin.
pub(in crate::duty) fn bent_round(thickness_mm: f64, pin_mm: f64) -> f64 {
    let tight = (thickness_mm / pin_mm).min(1.0);
    BENT_ROUND.1 + (BENT_ROUND.0 - BENT_ROUND.1) * tight
}

/// K18: strain of the outside of a flat strip bent round a post of this diameter: t/(D + t), the
/// middle of its thickness keeping its length (derived).
pub(in crate::duty) fn bend_strain(thickness_mm: f64, post_mm: f64) -> f64 {
    thickness_mm / (post_mm + thickness_mm)
}

/// K4: pull held over the pull on the loose end, exp(mu theta), theta in degrees (Euler's rope; derived).
pub(in crate::duty) fn capstan(friction: f64, wrap_deg: f64) -> f64 {
    (friction * wrap_deg.to_radians()).exp()
}

/// K5: pressure of a band on its drum, MPa: T/(r w) (derived).
pub(in crate::duty) fn drum_pressure_mpa(tension_n: f64, radius_mm: f64, width_mm: f64) -> f64 {
    tension_n / (radius_mm * width_mm)
}

/// K6: torque at which a full turn of a band slips on its drum, N.m: 2 pi mu T r (derived).
pub(in crate::duty) fn slip_torque_nm(friction: f64, tension_n: f64, radius_mm: f64) -> f64 {
    TAU * friction * tension_n * radius_mm * 1e-3
}

/// Volume of a band of this free diameter, mm3.
pub(in crate::duty) fn ring_volume_mm3(free_mm: f64, width_mm: f64, thickness_mm: f64) -> f64 {
    PI * (free_mm + thickness_mm) * width_mm * thickness_mm
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn stretch_is_the_inverse_of_stress_and_both_rise(a in 0.0..0.3_f64, b in 0.0..0.3_f64) {
            prop_assert!((stretch_of(stress_over_modulus(a)) - a).abs() < 1e-9);
            if a < b {
                prop_assert!(stress_over_modulus(a) < stress_over_modulus(b));
            }
        }
    }

    #[test]
    fn past_the_law_it_gives_without_end_and_an_unknown_stays_unknown() {
        assert!((stretch_of(0.5) - 1.0).abs() < 1e-12);
        assert!(stretch_of(f64::NAN).is_nan());
    }
}
