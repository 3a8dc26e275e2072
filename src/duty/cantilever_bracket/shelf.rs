//! What a load on an arm does to its root, its tip and its screws.

use super::{Spread, docs};
use crate::duty::mechanics::beam::{Arm, Notch, Way};
use crate::duty::mechanics::bent::{Bent, strength, strength_across};
use crate::duty::mechanics::fatigue::{left_after, used_up};
use crate::duty::mechanics::hub::ROOT_3;
use crate::duty::mechanics::pad::{carried, carried_needs, pressed, pressed_needs};
use crate::duty::mechanics::surroundings::{End, plain_ask};
use crate::duty::{Duty, Limit, LimitSense, Performance, Trace};
use crate::num::shape::ring_area_mm2;
use crate::policy::Class;
use crate::property::Lies;
use std::f64::consts::PI;

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

    /// Shear of the plate round the rim of the head, MPa.
    fn through_mpa(self, pull_n: f64) -> f64 {
        pull_n / (PI * self.head_mm * self.plate_mm)
    }

    /// Pressure of the screw on the wall of its hole, MPa.
    fn hole_mpa(self, shear_n: f64) -> f64 {
        shear_n / (self.hole_mm * self.plate_mm)
    }
}

/// A load as the upper screws feel it.
#[derive(Clone, Copy, Debug)]
struct Pulled {
    screws: Screws,
    load_n: f64,
    reach_mm: f64,
    /// On one upper screw, out of the wall, N.
    pull_n: f64,
    /// On one upper screw, down the wall, N.
    shear_n: f64,
}

impl Pulled {
    fn of(shelf: Shelf, screws: Screws, load_n: f64) -> Self {
        let reach_mm = shelf.reach_mm();
        Pulled {
            screws,
            load_n,
            reach_mm,
            pull_n: screws.pull_n(load_n, reach_mm),
            shear_n: screws.shear_n(load_n),
        }
    }

    fn pulled(self, t: &mut Trace) {
        t.step("B6", "load", self.load_n, "N");
        t.step("B6", "how far out it acts", self.reach_mm, "mm");
        t.step("B6", "screws above the heel", self.screws.to_heel_mm, "mm");
        t.step("B6", "pull on an upper screw", self.pull_n, "N");
    }

    fn under_head(self, t: &mut Trace) {
        self.pulled(t);
        let pressure = self.screws.head_mpa(self.pull_n);
        t.step("B6", "pressure under its head", pressure, "MPa");
    }

    fn round_head(self, t: &mut Trace) {
        self.pulled(t);
        t.step("B6", "diameter of its head", self.screws.head_mm, "mm");
        t.step("B6", "thickness of the plate", self.screws.plate_mm, "mm");
        let shear = self.screws.through_mpa(self.pull_n);
        t.step("B6", "shear of the plate round its head", shear, "MPa");
    }

    fn at_hole(self, t: &mut Trace) {
        t.step("B6", "load on an upper screw", self.shear_n, "N");
        let pressure = self.screws.hole_mpa(self.shear_n);
        t.step("B6", "pressure on the hole's wall", pressure, "MPa");
    }
}

/// The arm with every default filled in, and its loads.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shelf {
    pub(super) arm: Arm,
    /// Middle radius of the quarter bend in which a hook leaves the plate, mm; nothing of a bracket.
    pub(super) bend_mm: f64,
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

    fn way(self) -> Way {
        Way::of(self.arm.length_mm, self.bend_mm)
    }

    pub(super) fn volume_mm3(self) -> f64 {
        let plate = self
            .screws
            .map_or(0.0, |s| s.plate_mm * s.to_heel_mm * 2.0 * s.head_mm);
        self.way().length_mm * self.arm.width_mm * self.arm.thickness_mm + plate
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
            let (arm, way) = (self.arm, self.way());
            // Spread evenly, the load beyond a place x bends it by F x^2/(2 L) and shears it by F x/L.
            let (squares, shears) = match self.spread {
                Spread::Tip => (way.squares_mm3, 1.0),
                Spread::Even => (0.5 * way.cubes_mm4 / arm.length_mm, 0.5),
            };
            self.stress(self.load_n, t);
            t.step("B5", "creep modulus at the life", modulus, "MPa");
            t.step("B3", "Poisson's ratio", poisson, "1");
            if self.bend_mm > 0.0 {
                t.step("B2", "middle radius of the bend", self.bend_mm, "mm");
                t.step("B2", "length of bend and arm", way.length_mm, "mm");
            }
            let bent = arm.bent_mm(self.load_n, squares, modulus);
            let bent = t.step("B2", "droop by bending", bent, "mm");
            let sheared = shears * arm.sheared_mm(self.load_n, way.length_mm, (modulus, poisson));
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

    pub(super) fn screw_limits(self, bent: Bent<'_>, end: End, class: Class, duty: &mut Duty) {
        let Some(screws) = self.screws else { return };
        let lasts = carried_needs(bent.setting, end.temperature_c, duty);
        let short = pressed_needs(bent.setting, end.temperature_c, duty);
        // The head shears the plate on every side of it: a seam is among them however it lies.
        let across = Bent {
            lies: Lies::Across,
            ..bent
        };
        let torn = across.pulled_needs(duty).to_vec();
        let torn_in_time = vec![across.held_needs(duty)];
        let (load, peak) = (
            Pulled::of(self, screws, self.load_n),
            Pulled::of(self, screws, self.peak_n),
        );
        let mut push = |id: &str, title: &str, failure, bound: f64, needs, performance| {
            duty.limits.push(Limit {
                id: end.id(id),
                title: title.to_owned(),
                failure,
                class,
                sense: LimitSense::AtLeast(bound),
                unit: "MPa".to_owned(),
                needs,
                performance,
                source: docs::SCREW_SOURCE,
            });
        };
        push(
            "head-crush",
            "pressure that the plate takes under a screw's head",
            "lets the screw's head sink in and comes off the wall",
            screws.head_mpa(load.pull_n),
            vec![lasts.clone()],
            Performance::new(move |i, t| {
                load.under_head(t);
                carried(i, t)
            }),
        );
        push(
            "head-press",
            "pressure that the plate bears under a screw's head at the peak",
            "is crushed under a screw's head at the peak",
            screws.head_mpa(peak.pull_n),
            vec![short.clone()],
            Performance::new(move |i, t| {
                peak.under_head(t);
                pressed(i, t)
            }),
        );
        push(
            "hole-crush",
            "pressure that the wall of a hole takes",
            "is torn through by its screws",
            screws.hole_mpa(load.shear_n),
            vec![lasts],
            Performance::new(move |i, t| {
                load.at_hole(t);
                carried(i, t)
            }),
        );
        push(
            "hole-press",
            "pressure that the wall of a hole bears at the peak",
            "is torn through by its screws at the peak",
            screws.hole_mpa(peak.shear_n),
            vec![short],
            Performance::new(move |i, t| {
                peak.at_hole(t);
                pressed(i, t)
            }),
        );
        push(
            "pull-through",
            "shear that the plate takes round a screw's head at the peak",
            "is pulled off over its screws' heads",
            screws.through_mpa(peak.pull_n),
            torn,
            Performance::new(move |i, t| {
                peak.round_head(t);
                let pulls = strength_across(i, t);
                t.step("B6", "shear that the plate takes", pulls / ROOT_3, "MPa")
            }),
        );
        push(
            "pull-through-in-time",
            "shear that the plate carries round a screw's head for the life",
            "is pulled off over its screws' heads in time",
            screws.through_mpa(load.pull_n),
            torn_in_time,
            Performance::new(move |i, t| {
                let [carried] = *i.x else { return f64::NAN };
                load.round_head(t);
                t.step("B4", "stress carried for the life", carried, "MPa");
                t.step(
                    "B6",
                    "shear that the plate carries",
                    carried / ROOT_3,
                    "MPa",
                )
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
