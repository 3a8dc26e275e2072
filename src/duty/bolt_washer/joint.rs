//! The mechanics of one joint: what the washer carries, and the clamp load that stays.

use super::inputs::BoltClass;
use crate::duty::mechanics::clamp::{
    Stack, bolt_stiffness, in_series, kept_after_relaxation, kept_after_set, washer_stiffness,
};
use crate::duty::mechanics::surroundings::End;
use crate::duty::{Inputs, Performance, Trace};
use crate::property::bolt::Bolt;

const EXPANSION: &str = "um/(m.K)";

/// The joint with every default filled in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Joint {
    pub(super) bolt: &'static Bolt,
    pub(super) class: BoltClass,
    pub(super) k_low: f64,
    pub(super) k_high: f64,
    /// Factor of the torque that loosens a fresh joint, where its friction is known.
    pub(super) k_off: Option<f64>,
    pub(super) torque_nm: f64,
    /// Outside and bore of the loaded ring, mm.
    pub(super) ring_mm: (f64, f64),
    pub(super) area_mm2: f64,
    pub(super) stack: Stack,
    /// Stiffness of a spring in series with the bolt, N/mm.
    pub(super) spring: Option<f64>,
    pub(super) assembled_c: f64,
    pub(super) volume_mm3: f64,
}

impl Joint {
    /// Clamp load of the roughest likely thread, N.
    pub(super) fn least_n(&self) -> f64 {
        self.bolt.clamp_n(self.torque_nm, self.k_high)
    }
    /// Clamp load of the slipperiest likely thread, N.
    pub(super) fn most_n(&self) -> f64 {
        self.bolt.clamp_n(self.torque_nm, self.k_low)
    }

    /// Loaded ring with its diameters.
    fn area(&self, t: &mut Trace) {
        t.step("W4", "outside of the loaded ring", self.ring_mm.0, "mm");
        t.step("W4", "bore of the loaded ring", self.ring_mm.1, "mm");
        t.step("W4", "loaded area", self.area_mm2, "mm2");
    }

    /// Clamp load of the roughest likely thread with how it comes about, N.
    fn first_set(&self, t: &mut Trace) -> f64 {
        t.step("W3", "tightening torque", self.torque_nm, "N.m");
        t.step("W3", "diameter of the bolt", self.bolt.d_mm, "mm");
        t.step("W3", "highest likely nut factor", self.k_high, "1");
        t.step("W3", "clamp load first set", self.least_n(), "N")
    }

    /// Bolt and spring in series, N/mm.
    fn k_bolt(&self, t: &mut Trace) -> f64 {
        let (modulus, area) = (self.class.modulus_mpa(), self.bolt.stress_area_mm2);
        let length = self.stack.clamped_mm;
        t.step("W7", "modulus of the bolt", modulus, "MPa");
        t.step("W7", "stress area of the bolt", area, "mm2");
        t.step("W7", "clamped length", length, "mm");
        let alone = bolt_stiffness(modulus, area, length);
        if let Some(spring) = self.spring {
            t.step("W7", "stiffness of the bolt", alone, "N/mm");
            t.step("W9", "stiffness of the spring", spring, "N/mm");
        }
        t.step(
            "W7",
            "stiffness of the bolt and what is in series",
            in_series(alone, self.spring),
            "N/mm",
        )
    }

    fn k_washer(&self, modulus_mpa: f64, t: &mut Trace) -> f64 {
        t.step("W7", "modulus of the washer", modulus_mpa, "MPa");
        self.area(t);
        t.step("W7", "thickness of the washer", self.stack.washer_mm, "mm");
        t.step(
            "W7",
            "stiffness of the washer",
            washer_stiffness(modulus_mpa, self.area_mm2, self.stack.washer_mm),
            "N/mm",
        )
    }

    /// Change of the clamp load from tightening to `temperature_c`, N.
    fn thermal_n(
        &self,
        temperature_c: f64,
        modulus_mpa: f64,
        expansion: f64,
        t: &mut Trace,
    ) -> f64 {
        let k_bolt = self.k_bolt(t);
        let k_washer = self.k_washer(modulus_mpa, t);
        t.step("W11", "expansion of the washer", expansion, EXPANSION);
        t.step(
            "W11",
            "expansion of the members",
            self.stack.member,
            EXPANSION,
        );
        t.step("W11", "expansion of the bolt", self.stack.bolt, EXPANSION);
        let change_k = t.step(
            "W11",
            "warmer than at tightening by",
            temperature_c - self.assembled_c,
            "K",
        );
        self.stack
            .thermal_change_n(change_k, expansion, k_bolt, k_washer)
    }

    /// The torque that the plastic takes, N.m.
    pub(super) fn torque_taken(self) -> Performance {
        Performance::new(move |i, t| {
            let [strength] = *i.x else { return f64::NAN };
            self.area(t);
            t.step("W5", "bearing pressure carried", strength, "MPa");
            let most = t.step("W5", "clamp load carried", strength * self.area_mm2, "N");
            t.step("W3", "lowest likely nut factor", self.k_low, "1");
            t.step("W3", "diameter of the bolt", self.bolt.d_mm, "mm");
            t.step(
                "W5",
                "torque carried",
                self.bolt.torque_nm(most, self.k_low),
                "N.m",
            )
        })
    }

    /// The bearing pressure left for the clamp load at an end, MPa.
    pub(super) fn bearing(self, end: End) -> Performance {
        Performance::new(move |i, t| {
            let strength = i.x.first().copied().unwrap_or(f64::NAN);
            t.step("W3", "tightening torque", self.torque_nm, "N.m");
            t.step("W3", "diameter of the bolt", self.bolt.d_mm, "mm");
            t.step("W3", "lowest likely nut factor", self.k_low, "1");
            t.step("W3", "highest likely clamp load", self.most_n(), "N");
            self.area(t);
            t.step(
                "W4",
                "pressure of that load",
                self.most_n() / self.area_mm2,
                "MPa",
            );
            t.step("W4", "bearing pressure carried", strength, "MPa");
            match *i.x {
                [_] => strength,
                [_, modulus, expansion] => {
                    let gain = self.thermal_n(end.temperature_c, modulus, expansion, t);
                    t.step("W11", "clamp load gained by heat", gain, "N");
                    let gain = if gain < 0.0 { 0.0 } else { gain };
                    t.step(
                        "W4",
                        "pressure left for the bolt",
                        strength - gain / self.area_mm2,
                        "MPa",
                    )
                }
                _ => f64::NAN,
            }
        })
    }

    /// Share of the clamp load kept at the hot end: measured in a bolted joint, or from the force
    /// kept at fixed squeeze. `i` holds the share and the modulus first, each by its alternative.
    fn kept(&self, i: Inputs<'_>, retained_first: bool, t: &mut Trace) -> f64 {
        let ([share, modulus, ..], [from, with, ..]) = (i.x, i.which) else {
            return f64::NAN;
        };
        let retained = u8::from(!retained_first);
        // What swelling may add is never counted.
        let share = if *share > 1.0 { 1.0 } else { *share };
        if *from == retained {
            return t.step(
                "W8",
                "share of the clamp load kept in the bolted run",
                share,
                "1",
            );
        }
        t.step("W8", "share of the force kept at fixed squeeze", share, "1");
        if *with == retained {
            // No modulus to go with it: a rigid bolt, which keeps least, stands in.
            return t.step("W8", "share kept under a rigid bolt", share, "1");
        }
        let k_bolt = self.k_bolt(t);
        let k_washer = self.k_washer(*modulus, t);
        t.step(
            "W8",
            "share of the clamp load kept",
            kept_after_relaxation(k_bolt, k_washer, share),
            "1",
        )
    }

    /// The clamp load left at an end, N.
    pub(super) fn clamp_left(self, end: End, hot_c: f64, retained_first: bool) -> Performance {
        Performance::new(move |i, t| {
            let set = self.first_set(t);
            if let Some(k_off) = self.k_off {
                t.step("W6", "nut factor when loosened", k_off, "1");
                let off = self.bolt.torque_nm(set, k_off);
                t.step("W6", "torque that loosens the fresh joint", off, "N.m");
            }
            let kept = self.kept(i, retained_first, t);
            let mut left = t.step("W8", "clamp load kept", kept * set, "N");
            if let [_, _, modulus, expansion] = *i.x {
                let hot = self.thermal_n(hot_c, modulus, expansion, t);
                t.step("W11", "change of the clamp load at the hot end", hot, "N");
                let here = self.thermal_n(end.temperature_c, modulus, expansion, t);
                // What heat adds relaxes too, and is missed when the joint cools.
                let lost_hot = if hot > 0.0 { (1.0 - kept) * hot } else { 0.0 };
                t.step("W11", "gain at the hot end that creeps away", lost_hot, "N");
                let here = if here > 0.0 { 0.0 } else { here };
                t.step("W11", "change by cooling", here, "N");
                left = left - lost_hot + here;
            }
            let left = if left < 0.0 { 0.0 } else { left };
            t.step("W8", "clamp load left", left, "N")
        })
    }

    /// The clamp load left once the washer has taken its set, N.
    pub(super) fn clamp_after_set(self) -> Performance {
        Performance::new(move |i, t| {
            let [lost, modulus] = *i.x else {
                return f64::NAN;
            };
            let set_n = self.first_set(t);
            let k_bolt = self.k_bolt(t);
            let k_washer = self.k_washer(modulus, t);
            t.step("W10", "squeeze of the washer", set_n / k_washer, "mm");
            let share = if lost < 0.0 { 0.0 } else { lost / 100.0 };
            t.step("W10", "share of the squeeze lost", share, "1");
            let kept = kept_after_set(k_bolt, k_washer, share);
            t.step("W10", "share of the clamp load kept", kept, "1");
            t.step("W10", "clamp load left after set", kept * set_n, "N")
        })
    }
}
