//! What a hand does to a handle: bending, twisting, striking, pressing on its bolts.

use super::docs;
use crate::duty::mechanics::beam::Notch;
use crate::duty::mechanics::bent::{Bent, strength, strength_across};
use crate::duty::mechanics::fatigue::{left_after, used_up};
use crate::duty::mechanics::hub::{ROOT_3, torsion_mpa};
use crate::duty::mechanics::pad::{pressed, pressed_needs};
use crate::duty::mechanics::surroundings::{End, ask, plain_ask};
use crate::duty::{Duty, Limit, LimitSense, Performance, Setting, Trace};
use crate::num::shape::ring_area_mm2;
use crate::policy::Class;
use crate::property::Lies;
use std::f64::consts::PI;

/// The two bolts through a handle.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bolts {
    pub(super) diameter_mm: f64,
    pub(super) spacing_mm: f64,
}

/// What the hand must turn, and with what.
#[derive(Clone, Copy, Debug)]
pub(super) struct Twist {
    /// With the factor on loads, N.m.
    pub(super) torque_nm: f64,
    /// Force of the hand on each side, N.
    pub(super) grip_n: f64,
    /// Friction of the hand, where the case says it.
    pub(super) skin: Option<f64>,
}

/// The handle with every default filled in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shaft {
    pub(super) outer_mm: f64,
    pub(super) bore_mm: f64,
    pub(super) length_mm: f64,
    pub(super) pull_n: f64,
    pub(super) notch: Notch,
    pub(super) bolts: Option<Bolts>,
}

impl Shaft {
    /// Second moment of the section, mm4.
    fn second_moment_mm4(self) -> f64 {
        PI / 64.0 * (self.outer_mm.powi(4) - self.bore_mm.powi(4))
    }

    /// Stress at the root without the notch, MPa: F L c/I.
    fn nominal_mpa(self) -> f64 {
        self.pull_n * self.length_mm * 0.5 * self.outer_mm / self.second_moment_mm4()
    }

    fn highest_mpa(self) -> f64 {
        self.notch.bare() * self.nominal_mpa()
    }

    /// Highest stress at the root, MPa, and how it comes about.
    fn stress(self, t: &mut Trace) -> f64 {
        t.step("B1", "pull of the hand", self.pull_n, "N");
        t.step("B1", "lever of the pull", self.length_mm, "mm");
        t.step("B1", "diameter", self.outer_mm, "mm");
        t.step("B1", "diameter of the hole", self.bore_mm, "mm");
        t.step("B1", "stress at the root", self.nominal_mpa(), "MPa");
        self.notch.factor(t);
        t.step(
            "B1",
            "highest stress at the root",
            self.highest_mpa(),
            "MPa",
        )
    }

    /// Shear at the surface by a torque without the notch, MPa.
    fn shear_mpa(self, torque_nm: f64) -> f64 {
        torsion_mpa(torque_nm, self.outer_mm, self.bore_mm)
    }

    pub(super) fn volume_mm3(self) -> f64 {
        ring_area_mm2(self.outer_mm, self.bore_mm) * self.length_mm
    }

    /// How far the hand's place gives way under the pull, mm: F L^3/(3 E I).
    pub(super) fn give(self) -> Performance {
        Performance::new(move |i, t| {
            let [modulus] = *i.x else { return f64::NAN };
            t.step("B2", "pull of the hand", self.pull_n, "N");
            t.step("B2", "modulus", modulus, "MPa");
            let give =
                self.pull_n * self.length_mm.powi(3) / (3.0 * modulus * self.second_moment_mm4());
            t.step("B2", "give at the hand", give, "mm")
        })
    }

    pub(super) fn root_limits(self, bent: Bent<'_>, end: End, class: Class, duty: &mut Duty) {
        let needs = bent.strength_needs(duty).to_vec();
        duty.limits.push(Limit {
            id: end.id("bending"),
            title: "strength of the handle".to_owned(),
            failure: "breaks off at the tool",
            class,
            sense: LimitSense::AtLeast(self.highest_mpa()),
            unit: "MPa".to_owned(),
            needs: needs.clone(),
            performance: Performance::new(move |i, t| {
                self.stress(t);
                strength(i, t)
            }),
            source: docs::ROOT_SOURCE,
        });
        let Some(cycles) = bent.setting.cycles.filter(|n| *n > 1.0) else {
            return;
        };
        let mut needs = needs;
        needs.push(vec![duty.ask(plain_ask("fatigue-share"))]);
        duty.limits.push(Limit {
            id: end.id("fatigue"),
            title: "share of its endurance used up".to_owned(),
            failure: "cracks as the pull comes and goes",
            class,
            sense: LimitSense::AtMost(1.0),
            unit: "1".to_owned(),
            needs,
            performance: Performance::new(move |i, t| {
                let [_, _, share] = *i.x else { return f64::NAN };
                let half = 0.5 * self.stress(t);
                let new = strength(i, t);
                let left = left_after(cycles, (new, "MPa"), share, t);
                used_up(half, half, left, new, t)
            }),
            source: docs::FATIGUE_SOURCE,
        });
    }

    /// The hand slips.
    pub(super) fn hand_limit(
        self,
        setting: &Setting,
        end: End,
        class: Class,
        twist: Twist,
        duty: &mut Duty,
    ) {
        let needs = if twist.skin.is_some() {
            Vec::new()
        } else {
            vec![vec![duty.ask(
                ask(setting, "static-friction", end.temperature_c).on("skin"),
            )]]
        };
        duty.limits.push(Limit {
            id: end.id("twist-hold"),
            title: "torque that the hand gives".to_owned(),
            failure: "slips round in the hand",
            class,
            sense: LimitSense::AtLeast(twist.torque_nm),
            unit: "N.m".to_owned(),
            needs,
            performance: Performance::new(move |i, t| {
                let mu = twist.skin.or(i.x.first().copied()).unwrap_or(f64::NAN);
                t.step("B7", "friction of the hand on the handle", mu, "1");
                t.step("B7", "force of the hand on each side", twist.grip_n, "N");
                t.step("B7", "diameter", self.outer_mm, "mm");
                let torque = mu * twist.grip_n * self.outer_mm / 1000.0;
                t.step("B7", "torque that the hand gives", torque, "N.m")
            }),
            source: docs::HAND_SOURCE,
        });
    }

    /// Shears between its layers.
    pub(super) fn torsion_limit(
        self,
        bent: Bent<'_>,
        end: End,
        class: Class,
        torque_nm: f64,
        duty: &mut Duty,
    ) {
        // However it lies, a twist shears it between layers too.
        let across = Bent {
            lies: Lies::Across,
            ..bent
        };
        let needs = across.pulled_needs(duty).to_vec();
        let shear = self.notch.bare() * self.shear_mpa(torque_nm);
        duty.limits.push(Limit {
            id: end.id("torsion"),
            title: "shear that the handle takes".to_owned(),
            failure: "shears between its layers when twisted",
            class,
            sense: LimitSense::AtLeast(shear),
            unit: "MPa".to_owned(),
            needs,
            performance: Performance::new(move |i, t| {
                t.step("K7", "torque", torque_nm, "N.m");
                t.step(
                    "K7",
                    "shear at the surface",
                    self.shear_mpa(torque_nm),
                    "MPa",
                );
                self.notch.factor(t);
                t.step("K7", "highest shear at the root", shear, "MPa");
                let pulls = strength_across(i, t);
                t.step("K7", "shear that it takes", pulls / ROOT_3, "MPa")
            }),
            source: docs::TORSION_SOURCE,
        });
    }

    /// Breaks under a blow across its length.
    pub(super) fn blow_limit(
        self,
        bent: Bent<'_>,
        end: End,
        class: Class,
        blow_j: f64,
        duty: &mut Duty,
    ) {
        let mut needs = bent.strength_needs(duty).to_vec();
        needs.push(bent.stiffness_needs(duty));
        needs.push(vec![duty.ask(bent.along("break-strain"))]);
        duty.limits.push(Limit {
            id: end.id("blow"),
            title: "energy that it takes in bending".to_owned(),
            failure: "snaps under the blow",
            class,
            sense: LimitSense::AtLeast(blow_j),
            unit: "J".to_owned(),
            needs,
            performance: Performance::new(move |i, t| {
                let [_, _, modulus, breaks] = *i.x else {
                    return f64::NAN;
                };
                let factor = self.notch.factor(t);
                let strong = strength(i, t);
                t.step("B9", "modulus", modulus, "MPa");
                t.step("B9", "strain at break", breaks, "%");
                // A strength keeps its figure in the cold, where many a polymer turns brittle.
                let brittle = t.step(
                    "B9",
                    "stress when that strain is reached",
                    modulus * breaks / 100.0,
                    "MPa",
                );
                let most = (if brittle < strong { brittle } else { strong }) / factor;
                t.step("B9", "stress beside the notch when it breaks", most, "MPa");
                // P^2 L^3/(6 E I) with P L c/I the stress; N.mm are thousandths of a joule.
                let energy = most.powi(2) * self.second_moment_mm4() * self.length_mm
                    / (6.0 * modulus * (0.5 * self.outer_mm).powi(2))
                    / 1000.0;
                t.step("B9", "energy that it takes in bending", energy, "J")
            }),
            source: docs::BLOW_SOURCE,
        });
    }

    pub(super) fn bolt_limit(self, setting: &Setting, end: End, class: Class, duty: &mut Duty) {
        let Some(bolts) = self.bolts else { return };
        let press_n = self.pull_n * (self.length_mm + bolts.spacing_mm) / bolts.spacing_mm;
        let pressure = press_n / (bolts.diameter_mm * (self.outer_mm - self.bore_mm));
        let needs = vec![pressed_needs(setting, end.temperature_c, duty)];
        duty.limits.push(Limit {
            id: end.id("bolt-crush"),
            title: "pressure that it takes at a bolt".to_owned(),
            failure: "is crushed at the bolts and works loose",
            class,
            sense: LimitSense::AtLeast(pressure),
            unit: "MPa".to_owned(),
            needs,
            performance: Performance::new(move |i, t| {
                t.step("B10", "distance of the bolts", bolts.spacing_mm, "mm");
                t.step("B10", "force on the nearer bolt", press_n, "N");
                t.step("B10", "pressure on the nearer bolt", pressure, "MPa");
                pressed(i, t)
            }),
            source: docs::BOLT_SOURCE,
        });
    }
}
