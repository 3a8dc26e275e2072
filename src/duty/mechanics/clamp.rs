//! A bolted joint with a washer that gives: areas, stiffnesses, and the clamp load that stays.
//!
//! Forces in N, lengths in mm, moduli in MPa, stiffnesses in N/mm, temperatures in K.

use crate::property::bolt::Bolt;
use std::f64::consts::{FRAC_PI_6, TAU};

/// Which way the nut turns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::duty) enum Turning {
    /// Tightening.
    On,
    /// Loosening.
    Off,
}

/// Torque over clamp load and nominal diameter of a joint whose friction is known; tightening,
/// this is the nut factor K (W6, inclined plane with V-thread of 60 degrees; derived).
///
/// With friction 0.15 throughout, a fresh M6 loosens at 0.76 of the torque that tightened it.
pub(in crate::duty) fn turning_factor(
    bolt: &Bolt,
    thread_friction: f64,
    head_friction: f64,
    rubbing_mm: f64,
    turning: Turning,
) -> f64 {
    let lift = bolt.pitch_mm / TAU;
    let lift = match turning {
        Turning::On => lift,
        Turning::Off => -lift,
    };
    (lift
        + thread_friction * bolt.pitch_diameter_mm() / (2.0 * FRAC_PI_6.cos())
        + head_friction * rubbing_mm / 2.0)
        / bolt.d_mm
}

/// Stiffness of the bolt, N/mm: E A_s / L_g, threads and head left out
/// (W7; derived; real bolts are up to a third softer, from memory, not verified).
pub(in crate::duty) fn bolt_stiffness(modulus_mpa: f64, area_mm2: f64, length_mm: f64) -> f64 {
    modulus_mpa * area_mm2 / length_mm
}

/// Stiffness of the washer, N/mm: E A / t (W7; derived).
pub(in crate::duty) fn washer_stiffness(modulus_mpa: f64, area_mm2: f64, height_mm: f64) -> f64 {
    modulus_mpa * area_mm2 / height_mm
}

/// Stiffness of a bolt with a spring in series, N/mm (W9; derived).
pub(in crate::duty) fn in_series(k_bolt: f64, k_spring: Option<f64>) -> f64 {
    match k_spring {
        Some(s) => 1.0 / (1.0 / k_bolt + 1.0 / s),
        None => k_bolt,
    }
}

/// Share of the clamp load that stays when the washer's modulus falls to the share `r`
/// (W8; derived, quasi-elastic, closure fixed).
pub(in crate::duty) fn kept_after_relaxation(k_bolt: f64, k_washer: f64, r: f64) -> f64 {
    (1.0 / k_bolt + 1.0 / k_washer) / (1.0 / k_bolt + 1.0 / (r * k_washer))
}

/// Share of the clamp load that stays when the share `set` of the washer's deflection is lost
/// (W10; derived); 0 where more is lost than the joint has closed.
pub(in crate::duty) fn kept_after_set(k_bolt: f64, k_washer: f64, set: f64) -> f64 {
    let kept = 1.0 - set * (1.0 / k_washer) / (1.0 / k_washer + 1.0 / k_bolt);
    if kept < 0.0 { 0.0 } else { kept }
}

/// Lengths and expansions of a clamped stack.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::duty) struct Stack {
    /// Washer, mm.
    pub(in crate::duty) washer_mm: f64,
    /// Everything clamped, the washer included, mm.
    pub(in crate::duty) clamped_mm: f64,
    /// Expansion of the clamped members, um/(m.K).
    pub(in crate::duty) member: f64,
    /// Expansion of the bolt, um/(m.K).
    pub(in crate::duty) bolt: f64,
}

impl Stack {
    /// Change of the clamp load, N, for a change of temperature, K (W11; derived).
    pub(in crate::duty) fn thermal_change_n(
        &self,
        change_k: f64,
        washer_expansion: f64,
        k_bolt: f64,
        k_washer: f64,
    ) -> f64 {
        let per_kelvin = 1e-6
            * (washer_expansion * self.washer_mm
                + self.member * (self.clamped_mm - self.washer_mm)
                - self.bolt * self.clamped_mm);
        change_k * per_kelvin / (1.0 / k_bolt + 1.0 / k_washer)
    }
}
