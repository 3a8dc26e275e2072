//! What opening a clip and holding it open do to its material.

use super::docs;
use crate::duty::mechanics::beam::{Arm, Notch, Taper};
use crate::duty::mechanics::bent::{Bent, breaks_at, spring_left, trusted_strain};
use crate::duty::mechanics::ring::OpenRing;
use crate::duty::mechanics::surroundings::{End, plain_ask, stiffer_is_worse};
use crate::duty::{Duty, Limit, LimitSense, Performance, Trace};
use crate::policy::Class;

/// What springs, with its sizes.
#[derive(Clone, Copy, Debug)]
pub(super) enum Form {
    Ring(OpenRing),
    /// Two arms alike, and the notch at their roots.
    Arms(Arm, Notch),
}

impl Form {
    /// Highest strain, as a share, when the tips are opened by `mm`, without a notch.
    fn strain(self, mm: f64) -> f64 {
        match self {
            Form::Ring(ring) => ring.strain(mm),
            // Each arm goes half the way.
            Form::Arms(arm, _) => arm.strain(Taper::None, 0.5 * mm),
        }
    }

    /// Force between the tips, N.
    fn force_n(self, mm: f64, modulus_mpa: f64) -> f64 {
        match self {
            Form::Ring(ring) => ring.force_n(mm, modulus_mpa),
            Form::Arms(arm, _) => arm.tip_force_n(modulus_mpa * self.strain(mm)),
        }
    }

    /// Factor of the notch; a ring's curvature is in its strain.
    fn notch(self) -> f64 {
        match self {
            Form::Ring(_) => 1.0,
            Form::Arms(_, notch) => notch.bare(),
        }
    }

    pub(super) fn volume_mm3(self) -> f64 {
        match self {
            Form::Ring(ring) => ring.volume_mm3(),
            Form::Arms(arm, _) => 2.0 * arm.length_mm * arm.width_mm * arm.thickness_mm,
        }
    }
}

/// The clip with every default filled in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spring {
    pub(super) form: Form,
    /// Widest opening, mm.
    pub(super) opening_mm: f64,
    /// Opening while it grips, mm.
    pub(super) held_mm: f64,
    /// How often it is opened.
    pub(super) openings: f64,
}

impl Spring {
    /// Highest strain, %, the notch included, and how it comes about.
    fn strained(self, mm: f64, t: &mut Trace) -> f64 {
        t.step("N8", "the tips are apart by, beyond as printed", mm, "mm");
        match self.form {
            Form::Ring(ring) => {
                t.step("N8", "middle radius of the ring", ring.radius_mm, "mm");
                t.step("N8", "thickness of the wall", ring.thickness_mm, "mm");
                t.step("N8", "angle of the mouth", ring.mouth_deg, "deg");
            }
            Form::Arms(arm, _) => {
                t.step("N1", "length of an arm", arm.length_mm, "mm");
                t.step("N1", "thickness of an arm", arm.thickness_mm, "mm");
            }
        }
        let strain = t.step("N8", "strain", 100.0 * self.form.strain(mm), "%");
        let factor = match self.form {
            Form::Ring(_) => 1.0,
            Form::Arms(_, notch) => notch.factor(t),
        };
        t.step("N8", "highest strain", strain * factor, "%")
    }

    /// Strain at break over the highest strain of opening.
    pub(super) fn reserve(self) -> Performance {
        Performance::new(move |i, t| {
            let [breaks] = *i.x else { return f64::NAN };
            t.step("N8", "strain at break", breaks, "%");
            let strain = self.strained(self.opening_mm, t);
            t.step(
                "N8",
                "strain at break over the highest strain",
                breaks / strain,
                "1",
            )
        })
    }

    /// Cracks, stays open, or is too stiff, when it is opened.
    pub(super) fn opened_limits(
        self,
        bent: Bent<'_>,
        end: End,
        class: Class,
        open_n: f64,
        duty: &mut Duty,
    ) {
        let strain = 100.0 * self.form.strain(self.opening_mm);
        let mut needs = vec![vec![duty.ask(bent.along("break-strain"))]];
        if self.openings > 1.0 {
            needs.push(vec![duty.ask(plain_ask("fatigue-share"))]);
        }
        duty.limits.push(Limit {
            id: end.id("opening-crack"),
            title: "strain that the clip takes".to_owned(),
            failure: "cracks when opened",
            class,
            sense: LimitSense::AtLeast(strain * self.form.notch()),
            unit: "%".to_owned(),
            needs,
            performance: Performance::new(move |i, t| {
                self.strained(self.opening_mm, t);
                breaks_at("N8", self.openings, i.x, t)
            }),
            source: docs::CRACK_SOURCE,
        });
        let needs = bent.yield_needs(duty);
        duty.limits.push(Limit {
            id: end.id("opening-set"),
            title: "strain that the clip springs back from".to_owned(),
            failure: "stays open after being opened",
            class,
            sense: LimitSense::AtLeast(strain),
            unit: "%".to_owned(),
            needs,
            performance: Performance::new(move |i, t| {
                let [yields, modulus] = *i.x else {
                    return f64::NAN;
                };
                self.strained(self.opening_mm, t);
                trusted_strain((yields, modulus), self.openings, t)
            }),
            source: docs::SET_SOURCE,
        });
        let needs = vec![bent.stiffness_needs(duty)];
        let needs = stiffer_is_worse(&needs, duty);
        duty.limits.push(Limit {
            id: end.id("opening-force"),
            title: "force to open it".to_owned(),
            failure: "takes more force to open than a hand gives",
            class: Class::Nuisance,
            sense: LimitSense::AtMost(open_n),
            unit: "N".to_owned(),
            needs,
            performance: Performance::new(move |i, t| {
                let [modulus] = *i.x else { return f64::NAN };
                self.strained(self.opening_mm, t);
                t.step("N7", "modulus", modulus, "MPa");
                t.step(
                    "N7",
                    "force at the tips",
                    self.form.force_n(self.opening_mm, modulus),
                    "N",
                )
            }),
            source: docs::FORCE_SOURCE,
        });
    }

    /// Needs of [`Spring::grip_left`], and how many of each read a creep run.
    pub(super) fn grip_needs(self, bent: Bent<'_>, duty: &mut Duty) -> (Vec<Vec<usize>>, usize) {
        let (needs, crepts) = bent.spring_needs(duty);
        (needs.to_vec(), crepts)
    }

    /// Force between the tips at the end of the life, N.
    pub(super) fn grip_left(self, crepts: usize) -> Performance {
        Performance::new(move |i, t| {
            self.strained(self.held_mm, t);
            let modulus = spring_left(i, crepts, t);
            t.step(
                "N7",
                "grip at the end of the life",
                self.form.force_n(self.held_mm, modulus),
                "N",
            )
        })
    }

    /// Lets go, or cracks, while it is held open.
    pub(super) fn held_limits(
        self,
        bent: Bent<'_>,
        end: End,
        class: Class,
        grip_n: f64,
        duty: &mut Duty,
    ) {
        let (needs, crepts) = self.grip_needs(bent, duty);
        duty.limits.push(Limit {
            id: end.id("grip-left"),
            title: "grip left at the end of the life".to_owned(),
            failure: "grips too little after the years",
            class,
            sense: LimitSense::AtLeast(grip_n),
            unit: "N".to_owned(),
            needs,
            performance: self.grip_left(crepts),
            source: docs::GRIP_SOURCE,
        });
        let needs = vec![bent.held_needs(duty), bent.stiffness_needs(duty)];
        duty.limits.push(Limit {
            id: end.id("held-crack"),
            title: "stress carried for the life over the stress when put on".to_owned(),
            failure: "cracks in time from being held open",
            class,
            sense: LimitSense::AtLeast(1.0),
            unit: "1".to_owned(),
            needs,
            performance: Performance::new(move |i, t| {
                let [carried, modulus] = *i.x else {
                    return f64::NAN;
                };
                let strain = self.strained(self.held_mm, t) / 100.0;
                t.step("N7", "modulus", modulus, "MPa");
                let stress = t.step(
                    "N7",
                    "stress when put on, before it relaxes",
                    modulus * strain,
                    "MPa",
                );
                t.step("B4", "stress carried for the life", carried, "MPa");
                t.step("B4", "carried over asked", carried / stress, "1")
            }),
            source: docs::HELD_SOURCE,
        });
    }
}
