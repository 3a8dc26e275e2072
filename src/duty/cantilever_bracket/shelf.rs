//! What a load on an arm does to its root, its tip and its screws.

use super::{Spread, docs};
use crate::duty::mechanics::beam::{Arm, Notch};
use crate::duty::mechanics::bent::{Bent, strength};
use crate::duty::mechanics::fatigue::{left_after, used_up};
use crate::duty::mechanics::pad::{carried, carried_needs};
use crate::duty::mechanics::surroundings::{End, plain_ask};
use crate::duty::{Duty, Limit, LimitSense, Performance, Setting, Trace};
use crate::num::shape::ring_area_mm2;
use crate::policy::Class;

/// The upper row of screws through the plate.
#[derive(Clone, Copy, Debug)]
pub(super) struct Screws {
    pub(super) number: f64,
    pub(super) to_heel_mm: f64,
    pub(super) head_mm: f64,
    pub(super) hole_mm: f64,
    pub(super) plate_mm: f64,
}

impl Screws {
    /// B6: pull on one upper screw, N: load times reach over the height above the heel, shared
    /// (moments about the plate's lower edge; derived).
    pub(super) fn pull_n(self, load_n: f64, reach_mm: f64) -> f64 {
        load_n * reach_mm / self.to_heel_mm / self.number
    }

    /// B6: sideways load on one upper screw, N; the lower ones are not counted on.
    pub(super) fn shear_n(self, load_n: f64) -> f64 {
        load_n / self.number
    }

    /// Pressure of the head on the plate, MPa.
    fn head_mpa(self, pull_n: f64) -> f64 {
        pull_n / ring_area_mm2(self.head_mm, self.hole_mm)
    }

    /// Pressure of the screw on the wall of its hole, MPa.
    fn hole_mpa(self, shear_n: f64) -> f64 {
        shear_n / (self.hole_mm * self.plate_mm)
    }
}

/// The arm with every default filled in, and its loads.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shelf {
    pub(super) arm: Arm,
    pub(super) spread: Spread,
    pub(super) notch: Notch,
    /// Load that hangs on it for good, N.
    pub(super) load_n: f64,
    /// Most load, N.
    pub(super) peak_n: f64,
    /// Factor on the loads that is in both.
    pub(super) factor: f64,
    pub(super) droop_mm: f64,
    pub(super) screws: Option<Screws>,
}

impl Shelf {
    /// The same with both loads times a factor.
    pub(super) fn times(self, factor: f64) -> Self {
        Shelf {
            load_n: factor * self.load_n,
            peak_n: factor * self.peak_n,
            factor,
            ..self
        }
    }

    /// How far out the load counts as acting, mm: half the arm where it is spread.
    pub(super) fn reach_mm(self) -> f64 {
        match self.spread {
            Spread::Tip => self.arm.length_mm,
            Spread::Even => 0.5 * self.arm.length_mm,
        }
    }

    /// Stress at the root without the notch, MPa.
    fn nominal_mpa(self, load_n: f64) -> f64 {
        load_n * self.reach_mm() / self.arm.resistance_mm3()
    }

    /// Highest stress at the root, MPa.
    fn highest_mpa(self, load_n: f64) -> f64 {
        self.notch.bare() * self.nominal_mpa(load_n)
    }

    /// The same, and how it comes about.
    fn stress(self, load_n: f64, t: &mut Trace) -> f64 {
        t.step("B1", "load", load_n, "N");
        t.step("B1", "how far out it acts", self.reach_mm(), "mm");
        t.step("B1", "width of the arm", self.arm.width_mm, "mm");
        t.step("B1", "height of the arm", self.arm.thickness_mm, "mm");
        t.step("B1", "stress at the root", self.nominal_mpa(load_n), "MPa");
        self.notch.factor(t);
        t.step(
            "B1",
            "highest stress at the root",
            self.highest_mpa(load_n),
            "MPa",
        )
    }

    pub(super) fn volume_mm3(self) -> f64 {
        let plate = self
            .screws
            .map_or(0.0, |s| s.plate_mm * s.to_heel_mm * 2.0 * s.head_mm);
        self.arm.length_mm * self.arm.width_mm * self.arm.thickness_mm + plate
    }

    pub(super) fn root_limits(self, bent: Bent<'_>, end: End, class: Class, duty: &mut Duty) {
        let needs = bent.strength_needs(duty).to_vec();
        duty.limits.push(Limit {
            id: end.id("root-break"),
            title: "strength of the arm".to_owned(),
            failure: "breaks off at the root",
            class,
            sense: LimitSense::AtLeast(self.highest_mpa(self.peak_n)),
            unit: "MPa".to_owned(),
            needs: needs.clone(),
            performance: Performance::new(move |i, t| {
                self.stress(self.peak_n, t);
                strength(i, t)
            }),
            source: docs::ROOT_SOURCE,
        });
        let held = bent.held_needs(duty);
        duty.limits.push(Limit {
            id: end.id("root-creep"),
            title: "stress that the arm carries for the life".to_owned(),
            failure: "cracks at the root in time",
            class,
            sense: LimitSense::AtLeast(self.highest_mpa(self.load_n)),
            unit: "MPa".to_owned(),
            needs: vec![held],
            performance: Performance::new(move |i, t| {
                let [carried] = *i.x else { return f64::NAN };
                self.stress(self.load_n, t);
                t.step("B4", "stress carried for the life", carried, "MPa");
                t.step("D6", "factor on loads", self.factor, "1");
                let allowed = carried / (self.factor * self.notch.bare());
                t.step(
                    "D6",
                    "stress allowed without notch and factor",
                    allowed,
                    "MPa",
                );
                carried
            }),
            source: docs::HELD_SOURCE,
        });
        if let Some(cycles) = bent.setting.cycles.filter(|n| *n > 1.0) {
            let mut needs = needs;
            needs.push(vec![duty.ask(plain_ask("fatigue-share"))]);
            duty.limits.push(Limit {
                id: end.id("root-fatigue"),
                title: "share of its endurance used up".to_owned(),
                failure: "cracks as the load comes and goes",
                class,
                sense: LimitSense::AtMost(1.0),
                unit: "1".to_owned(),
                needs,
                performance: Performance::new(move |i, t| {
                    let [_, _, share] = *i.x else { return f64::NAN };
                    let half = 0.5 * self.stress(self.peak_n, t);
                    let new = strength(i, t);
                    let left = left_after(cycles, (new, "MPa"), share, t);
                    used_up(half, half, left, new, t)
                }),
                source: docs::FATIGUE_SOURCE,
            });
        }
    }

    /// Needs of [`Shelf::droop`].
    pub(super) fn droop_needs(self, bent: Bent<'_>, duty: &mut Duty) -> Vec<Vec<usize>> {
        vec![
            bent.creep_needs(self.nominal_mpa(self.load_n), duty),
            vec![duty.ask(plain_ask("poisson-ratio"))],
        ]
    }

    /// How far the tip droops by the end of the life, mm.
    pub(super) fn droop(self) -> Performance {
        Performance::new(move |i, t| {
            let [modulus, poisson] = *i.x else {
                return f64::NAN;
            };
            let arm = self.arm;
            // A load spread evenly bends the tip 3/8 and shears it half as far as one at the tip.
            let (bends, shears) = match self.spread {
                Spread::Tip => (1.0, 1.0),
                Spread::Even => (0.375, 0.5),
            };
            self.stress(self.load_n, t);
            t.step("B5", "creep modulus at the life", modulus, "MPa");
            t.step("B3", "Poisson's ratio", poisson, "1");
            let bent = bends * arm.bent_mm(self.load_n, modulus);
            let bent = t.step("B2", "droop by bending", bent, "mm");
            let sheared = shears * arm.sheared_mm(self.load_n, modulus, poisson);
            let sheared = t.step("B3", "droop by shear", sheared, "mm");
            t.step("B3", "droop at the end of the life", bent + sheared, "mm")
        })
    }

    pub(super) fn droop_limit(self, bent: Bent<'_>, end: End, class: Class, duty: &mut Duty) {
        let needs = self.droop_needs(bent, duty);
        duty.limits.push(Limit {
            id: end.id("droop"),
            title: "droop of the tip".to_owned(),
            failure: "droops too far",
            class,
            sense: LimitSense::AtMost(self.droop_mm),
            unit: "mm".to_owned(),
            needs,
            performance: self.droop(),
            source: docs::DROOP_SOURCE,
        });
    }

    pub(super) fn screw_limits(self, setting: &Setting, end: End, class: Class, duty: &mut Duty) {
        let Some(screws) = self.screws else { return };
        let (pull_n, shear_n) = (
            screws.pull_n(self.load_n, self.reach_mm()),
            screws.shear_n(self.load_n),
        );
        let needs = vec![carried_needs(setting, end.temperature_c, duty)];
        let mut push = |id: &str, title: &str, failure, pressure_mpa: f64, performance| {
            duty.limits.push(Limit {
                id: end.id(id),
                title: title.to_owned(),
                failure,
                class,
                sense: LimitSense::AtLeast(pressure_mpa),
                unit: "MPa".to_owned(),
                needs: needs.clone(),
                performance,
                source: docs::SCREW_SOURCE,
            });
        };
        push(
            "head-crush",
            "pressure that the plate takes under a screw's head",
            "lets the screw's head sink in and comes off the wall",
            screws.head_mpa(pull_n),
            Performance::new(move |i, t| {
                t.step("B6", "load", self.load_n, "N");
                t.step("B6", "how far out it acts", self.reach_mm(), "mm");
                t.step("B6", "screws above the heel", screws.to_heel_mm, "mm");
                t.step("B6", "pull on an upper screw", pull_n, "N");
                t.step(
                    "B6",
                    "pressure under its head",
                    screws.head_mpa(pull_n),
                    "MPa",
                );
                carried(i, t)
            }),
        );
        push(
            "hole-crush",
            "pressure that the wall of a hole takes",
            "is torn through by its screws",
            screws.hole_mpa(shear_n),
            Performance::new(move |i, t| {
                t.step("B6", "load on an upper screw", shear_n, "N");
                t.step(
                    "B6",
                    "pressure on the hole's wall",
                    screws.hole_mpa(shear_n),
                    "MPa",
                );
                carried(i, t)
            }),
        );
    }

    /// How many times the load it carries for the life.
    pub(super) fn reserve(self) -> Performance {
        Performance::new(move |i, t| {
            let [carried] = *i.x else { return f64::NAN };
            let stress = self.stress(self.load_n, t);
            t.step("B4", "stress carried for the life", carried, "MPa");
            t.step("B4", "carried over asked", carried / stress, "1")
        })
    }
}
