//! The mechanics of a mass on pads: natural frequency, what is passed on, sag, crushing, walking.

use super::weight_n;
use crate::duty::mechanics::block::Solid;
use crate::duty::mechanics::pad::{carried, left_at_life, squeeze, squeeze_slope};
use crate::duty::mechanics::surroundings::{ask, plain_ask};
use crate::duty::mechanics::vibration::{damping_of_rebound, natural_hz, passed_on};
use crate::duty::{Duty, Performance, Setting, Trace};
use crate::num::shape::bonded_face_factor;

/// The pads with every default filled in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pads {
    /// Weight on the most loaded pad, N, without the class's factor.
    pub(super) most_n: f64,
    /// Weight on the least loaded pad, N, of the lightest load.
    pub(super) least_n: f64,
    /// Lightest weight on all pads, N.
    pub(super) light_n: f64,
    /// The class's factor on loads.
    pub(super) factor: f64,
    /// Number of pads.
    pub(super) number: f64,
    /// One pad.
    pub(super) solid: Solid,
    /// Whether its faces are held.
    pub(super) bonded: bool,
    /// Running speed, Hz.
    pub(super) runs_hz: f64,
    /// Share of the shaking that may be passed on.
    pub(super) passed: f64,
    /// Peak of the shaking force, N, the class's factor on it.
    pub(super) shaking_n: Option<f64>,
    /// How far a pad may sink, mm.
    pub(super) sag_mm: f64,
}

/// Natural frequencies, Hz, of the softest and the stiffest that the pads can be.
#[derive(Clone, Copy, Debug)]
struct Natural {
    soft_hz: f64,
    stiff_hz: f64,
}

impl Pads {
    /// Pressure on the most loaded pad, MPa, the class's factor on it.
    pub(super) fn stress_mpa(&self) -> f64 {
        self.factor * self.most_n / self.solid.area_mm2
    }

    /// Modulus at rest, bulk modulus of bonded pads, dynamic over static stiffness: what
    /// [`Pads::natural`] reads.
    pub(super) fn spring_needs(
        &self,
        setting: &Setting,
        duty: &mut Duty,
        at_c: f64,
    ) -> Vec<Vec<usize>> {
        let mut needs = vec![duty.need_or(
            ask(setting, "compression-modulus", at_c),
            ask(setting, "tensile-modulus", at_c),
        )];
        if self.bonded {
            needs.push(vec![duty.ask(plain_ask("bulk-modulus"))]);
        }
        needs.push(vec![duty.ask(plain_ask("dynamic-stiffening"))]);
        needs
    }

    /// The natural frequency's two ends: stiffest with held faces, the dynamic stiffness and the least
    /// load; softest with the faces as they are, the stiffness at rest and the most load.
    fn natural(&self, x: &[f64], t: &mut Trace) -> Option<Natural> {
        let (modulus, bulk, stiffer) = match (x, self.bonded) {
            ([modulus, bulk, stiffer, ..], true) => (*modulus, Some(*bulk), *stiffer),
            ([modulus, stiffer, ..], false) => (*modulus, None, *stiffer),
            _ => return None,
        };
        t.step("F10", "modulus when new", modulus, "MPa");
        let soft = self.solid.apparent(modulus, bulk, t);
        let stiff = if self.bonded {
            soft
        } else {
            // A loose foot on a rough floor hardly slides: the stiff end is judged where stiff is worse.
            modulus * bonded_face_factor(self.solid.shape_factor)
        };
        let soft_hz = self.hertz(self.most_n, soft, 1.0, "of the softest, heaviest", t);
        let stiff_hz = self.hertz(self.least_n, stiff, stiffer, "of the stiffest, lightest", t);
        Some(Natural { soft_hz, stiff_hz })
    }

    /// Natural frequency, Hz, of a weight on one pad at an apparent modulus.
    fn hertz(&self, weight_n: f64, apparent: f64, stiffer: f64, which: &str, t: &mut Trace) -> f64 {
        let solid = self.solid;
        t.step("F8", "weight on one pad", weight_n, "N");
        let stress = t.step(
            "F8",
            "pressure on the pad",
            weight_n / solid.area_mm2,
            "MPa",
        );
        let strain = t.step("F8", "elastic squeeze", stress / apparent, "1");
        let sag = t.step("F8", "elastic sag", strain * solid.height_mm, "mm");
        let rate = apparent * solid.area_mm2 / solid.height_mm;
        t.step("F11", "spring rate of one pad", rate, "N/mm");
        let still = t.step(
            "F11",
            "natural frequency by elastic sag",
            natural_hz(sag),
            "Hz",
        );
        // A pad squeezed past its linear part is stiffer for what shakes it.
        let slope = squeeze_slope(squeeze(stress, apparent).min(0.5));
        t.step("F9", "stiffer about its squeeze by", slope, "1");
        t.step("F11", "stiffer in vibration than at rest by", stiffer, "1");
        let hz = still * (slope * stiffer).sqrt();
        // The words differ by which end, so that both stand in the working.
        match which {
            "of the softest, heaviest" => t.step(
                "F11",
                "natural frequency of the softest, heaviest",
                hz,
                "Hz",
            ),
            _ => t.step(
                "F11",
                "natural frequency of the stiffest, lightest",
                hz,
                "Hz",
            ),
        }
    }

    /// Running speed over the natural frequency at its stiff end.
    pub(super) fn ratio(self) -> Performance {
        Performance::new(move |i, t| {
            self.natural(i.x, t)
                .map_or(f64::NAN, |natural| self.over(natural, t))
        })
    }

    fn over(&self, natural: Natural, t: &mut Trace) -> f64 {
        let runs = t.step("F12", "running speed", self.runs_hz, "Hz");
        t.step(
            "F12",
            "running speed over natural frequency",
            runs / natural.stiff_hz,
            "1",
        )
    }

    /// Share of the shaking that is passed on at the running speed.
    pub(super) fn transmitted(self) -> Performance {
        Performance::new(move |i, t| {
            let (Some(natural), Some(rebound)) = (self.natural(i.x, t), i.x.last()) else {
                return f64::NAN;
            };
            t.step(
                "F14",
                "rebound height, share of the drop",
                rebound / 100.0,
                "1",
            );
            let damping = t.step(
                "F14",
                "damping, share of critical, by the rebound",
                damping_of_rebound(rebound / 100.0),
                "1",
            );
            let ratio = self.over(natural, t);
            t.step(
                "F12",
                "share of the shaking passed on",
                passed_on(ratio, damping),
                "1",
            )
        })
    }

    /// Distance of the running speed from every natural frequency that the pads can have, as a share
    /// of it; 0 where it lies among them.
    pub(super) fn off_resonance(self) -> Performance {
        Performance::new(move |i, t| {
            let Some(natural) = self.natural(i.x, t) else {
                return f64::NAN;
            };
            let runs = t.step("F12", "running speed", self.runs_hz, "Hz");
            let low = t.step(
                "F12",
                "over the stiffest's natural frequency",
                runs / natural.stiff_hz,
                "1",
            );
            let high = t.step(
                "F12",
                "over the softest's natural frequency",
                runs / natural.soft_hz,
                "1",
            );
            let off = if low > 1.0 {
                low - 1.0
            } else if high < 1.0 {
                1.0 - high
            } else if low.is_nan() || high.is_nan() {
                f64::NAN
            } else {
                0.0
            };
            t.step("F12", "distance from resonance", off, "1")
        })
    }

    /// How far the most loaded pad sinks over the life, mm. Needs as of [`left_at_life`], and the
    /// bulk modulus where the faces are bonded.
    pub(super) fn sag(self) -> Performance {
        Performance::new(move |i, t| {
            let ([modulus, kept, bulk @ ..], [from, with, ..]) = (i.x, i.which) else {
                return f64::NAN;
            };
            let modulus = left_at_life([*modulus, *kept], [*from, *with], t);
            let bulk = bulk.first().copied().filter(|_| self.bonded);
            let apparent = self.solid.apparent(modulus, bulk, t);
            let stress = self.stress(t);
            let strain = t.step("F8", "squeeze", squeeze(stress, apparent), "1");
            t.step("F8", "height of a pad", self.solid.height_mm, "mm");
            t.step("F8", "sag", strain * self.solid.height_mm, "mm")
        })
    }

    /// Pressure that a pad takes, MPa.
    pub(super) fn crushing(self) -> Performance {
        Performance::new(move |i, t| {
            self.stress(t);
            carried(i, t)
        })
    }

    /// Pressure on the most loaded pad and how it comes about, MPa.
    fn stress(&self, t: &mut Trace) -> f64 {
        t.step("F8", "weight on the most loaded pad", self.most_n, "N");
        t.step("F8", "factor on loads", self.factor, "1");
        t.step("F8", "area of a pad", self.solid.area_mm2, "mm2");
        t.step(
            "F8",
            "pressure on the most loaded pad",
            self.stress_mpa(),
            "MPa",
        )
    }

    /// Sideways force that friction holds while the shaking lifts, N.
    pub(super) fn walking(self, shaking_n: f64) -> Performance {
        Performance::new(move |i, t| {
            let [mu] = *i.x else { return f64::NAN };
            t.step("F1", "lightest weight on all pads", self.light_n, "N");
            t.step("F1", "lifted by the shaking", shaking_n, "N");
            let left = t.step(
                "F1",
                "weight left on the floor",
                self.light_n - shaking_n,
                "N",
            );
            t.step("F1", "static friction", mu, "1");
            t.step("F1", "slides at", mu * left, "N")
        })
    }

    /// Lightest and heaviest weights of masses, kg.
    pub(super) fn weights(mass_kg: f64, least_kg: f64) -> (f64, f64) {
        (weight_n(least_kg), weight_n(mass_kg))
    }
}
