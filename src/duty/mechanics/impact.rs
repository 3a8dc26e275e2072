//! A blow taken by a block that springs or by a body that crushes.
//!
//! The blow is slow against the sound in the block, so that force and squeeze belong together as
//! they do at rest; the block's own mass is left out.

use crate::duty::Trace;
use crate::duty::mechanics::block::GRAVITY;
use crate::duty::mechanics::pad::{FLAT_FROM, LINEAR_TO, squeeze_energy, squeeze_stress};

/// Speed of a blow beyond which a block of polymer is no slow spring, m/s (ours): the squeeze that
/// the speed alone makes at the struck face, speed over the speed of sound in rubber of some
/// 100 m/s, reaches a tenth.
pub(in crate::duty) const FASTEST_BLOW: f64 = 10.0;

/// What strikes.
#[derive(Clone, Copy, Debug)]
pub(in crate::duty) struct Blow {
    /// Mass that strikes, kg.
    pub(in crate::duty) mass_kg: f64,
    /// How it comes.
    pub(in crate::duty) comes: Comes,
}

/// How a mass comes to strike.
#[derive(Clone, Copy, Debug)]
pub(in crate::duty) enum Comes {
    /// Along the level at a speed, m/s.
    At(f64),
    /// Dropped from a height above the block, m; its weight goes on pushing.
    From(f64),
}

impl Blow {
    /// Speed at the moment it strikes, m/s: sqrt(2 g H) of a drop (I1).
    pub(in crate::duty) fn speed_m_s(self) -> f64 {
        match self.comes {
            Comes::At(v) => v,
            Comes::From(height_m) => (2.0 * GRAVITY * height_m).sqrt(),
        }
    }

    /// Energy at the moment it strikes, J: m v^2/2, or m g H of a drop (I1).
    pub(in crate::duty) fn energy_j(self, t: &mut Trace) -> f64 {
        t.step("I1", "mass that strikes", self.mass_kg, "kg");
        t.step("I1", "speed of the blow", self.speed_m_s(), "m/s");
        let energy = match self.comes {
            Comes::At(v) => 0.5 * self.mass_kg * v * v,
            Comes::From(height_m) => self.mass_kg * GRAVITY * height_m,
        };
        t.step("I1", "energy of the blow", energy, "J")
    }

    /// Weight that goes on pushing while the block gives way, N: of a drop only.
    pub(in crate::duty) fn weight_n(self) -> f64 {
        match self.comes {
            Comes::At(_) => 0.0,
            Comes::From(_) => self.mass_kg * GRAVITY,
        }
    }
}

/// A block that springs: loaded area, height, and apparent modulus.
#[derive(Clone, Copy, Debug)]
pub(in crate::duty) struct Spring {
    /// Loaded area, mm2.
    pub(in crate::duty) area_mm2: f64,
    /// Height, mm.
    pub(in crate::duty) height_mm: f64,
    /// Apparent compression modulus, MPa.
    pub(in crate::duty) apparent_mpa: f64,
}

/// How far a block is squeezed and how hard it pushes back.
#[derive(Clone, Copy, Debug)]
pub(in crate::duty) struct Stop {
    /// Squeeze, 0 to 1; 1 where it is squeezed flat.
    pub(in crate::duty) squeeze: f64,
    /// Highest force, N; infinite where it is squeezed flat.
    pub(in crate::duty) force_n: f64,
}

impl Spring {
    /// The stop of a blow.
    ///
    /// Up to 10 % of squeeze the linear spring k = E_c A/h: I2 y = v sqrt(m/k), F = v sqrt(m k); with
    /// gravity I3 y = (W/k)(1 + sqrt(1 + 2 k H/W)) (derived). Beyond, the squeeze at which the block
    /// has taken the energy, E_c e^2 A h/2 to 10 % (I5), the integral of the neo-Hookean law from
    /// 15 % on (derived, common use), mixed between. Beyond a half nothing is said but that it is
    /// squeezed flat.
    pub(in crate::duty) fn stop(self, blow: Blow, t: &mut Trace) -> Stop {
        let energy = blow.energy_j(t);
        let k = self.apparent_mpa * self.area_mm2 / self.height_mm;
        t.step("I2", "spring rate of the block", k, "N/mm");
        let weight = blow.weight_n();
        // J are N.m: times 1000 for N.mm.
        let y = (weight + (weight * weight + 2.0 * k * energy * 1e3).sqrt()) / k;
        let linear = y / self.height_mm;
        let squeeze = if linear <= LINEAR_TO {
            linear
        } else {
            self.large(energy * 1e3, weight)
        };
        let label = if weight > 0.0 { "I3" } else { "I2" };
        t.step(label, "depth pushed in", squeeze * self.height_mm, "mm");
        t.step(label, "squeeze at the blow", squeeze, "1");
        let force_n = if squeeze >= 1.0 {
            f64::INFINITY
        } else {
            self.area_mm2 * self.apparent_mpa * squeeze_stress(squeeze)
        };
        t.step(label, "highest force", force_n, "N");
        Stop { squeeze, force_n }
    }

    /// Energy taken up to a squeeze, J (I5).
    pub(in crate::duty) fn energy_j(self, squeeze: f64) -> f64 {
        self.apparent_mpa * self.area_mm2 * self.height_mm * squeeze_energy(squeeze) * 1e-3
    }

    /// The squeeze at which energy, N.mm, and the weight that pushes on, N, are taken; by halving.
    fn large(self, energy_nmm: f64, weight_n: f64) -> f64 {
        let volume = self.area_mm2 * self.height_mm;
        let short = |e: f64| {
            self.apparent_mpa * volume * squeeze_energy(e)
                < energy_nmm + weight_n * self.height_mm * e
        };
        if !(energy_nmm.is_finite() && self.apparent_mpa.is_finite()) {
            return f64::NAN;
        }
        if short(FLAT_FROM) {
            return 1.0;
        }
        let (mut low, mut high) = (0.0, FLAT_FROM);
        // 40 halvings leave less than 1e-12 of the height.
        for _ in 0..40 {
            let middle = 0.5 * (low + high);
            if short(middle) {
                low = middle;
            } else {
                high = middle;
            }
        }
        0.5 * (low + high)
    }
}

/// I6: elastic energy that a material stores at a stress, kJ/m3: sigma^2/(2E), sigma and E in MPa.
pub(in crate::duty) fn stored_kj_m3(stress_mpa: f64, modulus_mpa: f64) -> f64 {
    // MPa are N/mm2: 1 MPa is 1000 kJ/m3.
    1e3 * stress_mpa * stress_mpa / (2.0 * modulus_mpa)
}

/// Share of that which an end-loaded cantilever of constant section stores as a mean: a third along
/// its length times a third through its depth (I6; derived).
pub(in crate::duty) const CANTILEVER_SHARE: f64 = 1.0 / 9.0;

/// I4: depth, mm, that a body crushing at a plateau stress gives to take a blow, and its force, N.
///
/// E = (F - W) y, W the weight of what was dropped, which goes on pushing; none of what comes along
/// the level (derived). A weight no less than the plateau force is never stopped: both are infinite.
pub(in crate::duty) fn crush(
    blow: Blow,
    plateau_mpa: f64,
    area_mm2: f64,
    t: &mut Trace,
) -> (f64, f64) {
    let energy = blow.energy_j(t);
    t.step("I4", "area struck", area_mm2, "mm2");
    let force = t.step("I4", "force at the plateau", plateau_mpa * area_mm2, "N");
    let mut left = force;
    if blow.weight_n() > 0.0 {
        t.step("I4", "weight that goes on pushing", blow.weight_n(), "N");
        left = t.step("I4", "left to stop it", force - blow.weight_n(), "N");
    }
    if left <= 0.0 {
        return (
            t.step("I4", "never stopped: depth crushed", f64::INFINITY, "mm"),
            f64::INFINITY,
        );
    }
    (
        t.step("I4", "depth crushed", energy * 1e3 / left, "mm"),
        force,
    )
}
