//! What folding, pulling and staying folded do to the web of a hinge.

use super::docs;
use crate::duty::mechanics::beam::{fold_strain, least_land_mm};
use crate::duty::mechanics::bent::{Bent, strength};
use crate::duty::mechanics::surroundings::{End, ask, stiffer_is_worse};
use crate::duty::{Duty, Limit, LimitSense, Performance, Setting, Trace};
use crate::policy::Class;
use crate::property::{Ask, PropertyId};

/// The workspace's own property that counts how often a printed sample folded before it split.
pub(super) const FOLDS: &str = "folds-outlived";
/// Moment of a web that yields through and through over one that yields at its faces: a rectangle (derived).
const YIELDED_THROUGH: f64 = 1.5;

/// Whether the workspace counts folds.
pub(super) fn counted(setting: &Setting) -> bool {
    setting.properties.get(FOLDS).is_some()
}

/// The web with every default filled in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Web {
    pub(super) web_mm: f64,
    pub(super) land_mm: f64,
    pub(super) width_mm: f64,
    pub(super) angle_deg: f64,
    /// How often it is folded.
    pub(super) folds: f64,
}

impl Web {
    /// Strain at the web's face, %.
    fn strain(self) -> f64 {
        100.0 * fold_strain(self.web_mm, self.land_mm, self.angle_deg)
    }

    /// The same, and how it comes about.
    fn folded(self, t: &mut Trace) -> f64 {
        t.step("N6", "web", self.web_mm, "mm");
        t.step("N6", "land", self.land_mm, "mm");
        t.step("N6", "angle of the fold", self.angle_deg, "deg");
        let radius = self.land_mm / self.angle_deg.to_radians();
        t.step(
            "N6",
            "radius of the fold at the middle of the web",
            radius,
            "mm",
        );
        t.step("N6", "strain at the face of the web", self.strain(), "%")
    }

    fn pulled_mpa(self, pull_n: f64) -> f64 {
        pull_n / (self.web_mm * self.width_mm)
    }

    fn pulled(self, pull_n: f64, t: &mut Trace) {
        t.step("B8", "pull across the web", pull_n, "N");
        t.step(
            "B8",
            "section of the web",
            self.web_mm * self.width_mm,
            "mm2",
        );
        t.step("B8", "stress in the web", self.pulled_mpa(pull_n), "MPa");
    }

    /// Strain at break over the strain of the fold.
    pub(super) fn reserve(self) -> Performance {
        Performance::new(move |i, t| {
            let [breaks] = *i.x else { return f64::NAN };
            t.step("N6", "strain at break", breaks, "%");
            let strain = self.folded(t);
            t.step(
                "N6",
                "strain at break over the strain of the fold",
                breaks / strain,
                "1",
            )
        })
    }

    pub(super) fn crack_limit(self, bent: Bent<'_>, end: End, class: Class, duty: &mut Duty) {
        let breaks = duty.ask(bent.along("break-strain"));
        duty.limits.push(Limit {
            id: end.id("fold-crack"),
            title: "strain that the web takes".to_owned(),
            failure: "cracks when folded",
            class,
            sense: LimitSense::AtLeast(self.strain()),
            unit: "%".to_owned(),
            needs: vec![vec![breaks]],
            performance: Performance::new(move |i, t| {
                let [breaks] = *i.x else { return f64::NAN };
                self.folded(t);
                let land = least_land_mm(self.web_mm, self.angle_deg, breaks / 100.0);
                t.step("N6", "least land at the strain it takes", land, "mm");
                t.step("N6", "strain at break", breaks, "%")
            }),
            source: docs::FOLD_SOURCE,
        });
    }

    /// Folding again and again: counted on printed samples, or not known.
    pub(super) fn folds_limit(self, class: Class, duty: &mut Duty) {
        let counted = duty.ask(Ask::of(PropertyId::fixed(FOLDS)));
        duty.limits.push(Limit {
            id: "folds".to_owned(),
            title: "folds outlived by printed samples".to_owned(),
            failure: "splits along the fold in time",
            class,
            sense: LimitSense::AtLeast(self.folds),
            unit: "1".to_owned(),
            needs: vec![vec![counted]],
            performance: Performance::new(|i, t| {
                let [counted] = *i.x else { return f64::NAN };
                t.step("", "folds outlived", counted, "1")
            }),
            source: docs::FOLDS_SOURCE,
        });
    }

    pub(super) fn tear_limit(
        self,
        bent: Bent<'_>,
        end: End,
        class: Class,
        pull_n: f64,
        duty: &mut Duty,
    ) {
        let needs = bent.pulled_needs(duty).to_vec();
        duty.limits.push(Limit {
            id: end.id("web-tear"),
            title: "strength of the web".to_owned(),
            failure: "tears at the web",
            class,
            sense: LimitSense::AtLeast(self.pulled_mpa(pull_n)),
            unit: "MPa".to_owned(),
            needs,
            performance: Performance::new(move |i, t| {
                self.pulled(pull_n, t);
                strength(i, t)
            }),
            source: docs::TEAR_SOURCE,
        });
    }

    pub(super) fn held_limit(
        self,
        bent: Bent<'_>,
        end: End,
        class: Class,
        held_n: f64,
        duty: &mut Duty,
    ) {
        let needs = vec![bent.held_needs(duty)];
        duty.limits.push(Limit {
            id: end.id("held-pull"),
            title: "stress that the web carries for the life".to_owned(),
            failure: "creeps and tears under the lasting pull",
            class,
            sense: LimitSense::AtLeast(self.pulled_mpa(held_n)),
            unit: "MPa".to_owned(),
            needs,
            performance: Performance::new(move |i, t| {
                let [carried] = *i.x else { return f64::NAN };
                self.pulled(held_n, t);
                t.step("B4", "stress carried for the life", carried, "MPa")
            }),
            source: docs::TEAR_SOURCE,
        });
    }

    /// Cracks in time because it stays folded.
    pub(super) fn stays_limit(self, bent: Bent<'_>, end: End, class: Class, duty: &mut Duty) {
        let mut needs = self.yield_needs(bent, duty);
        needs.push(bent.held_needs(duty));
        duty.limits.push(Limit {
            id: end.id("fold-held"),
            title: "stress carried for the life over the stress of the fold".to_owned(),
            failure: "cracks in time from staying folded",
            class,
            sense: LimitSense::AtLeast(1.0),
            unit: "1".to_owned(),
            needs,
            performance: Performance::new(move |i, t| {
                let [modulus, yields, carried] = *i.x else {
                    return f64::NAN;
                };
                let strain = self.folded(t) / 100.0;
                t.step("N11", "modulus", modulus, "MPa");
                let elastic = t.step(
                    "N11",
                    "stress if it stayed elastic",
                    modulus * strain,
                    "MPa",
                );
                t.step("N11", "yield strength", yields, "MPa");
                let stress = if elastic > yields { yields } else { elastic };
                t.step(
                    "N11",
                    "stress of the fold, before it relaxes",
                    stress,
                    "MPa",
                );
                t.step("B4", "stress carried for the life", carried, "MPa");
                t.step("B4", "carried over asked", carried / stress, "1")
            }),
            source: docs::STAYS_SOURCE,
        });
    }

    /// Modulus and yield strength, in the order of the formulas below.
    fn yield_needs(self, bent: Bent<'_>, duty: &mut Duty) -> Vec<Vec<usize>> {
        vec![
            bent.stiffness_needs(duty),
            vec![duty.ask(ask(bent.setting, "yield-strength", bent.at_c))],
        ]
    }

    /// Share of the angle by which it opens again: elastic up to its yield strain, beyond it
    /// 3/2 s - s^3/2, s the yield strain over the strain; less the set of a piece that was held.
    pub(super) fn spring_limit(
        self,
        bent: Bent<'_>,
        end: End,
        class: Class,
        share: f64,
        duty: &mut Duty,
    ) {
        let mut needs = self.yield_needs(bent, duty);
        needs.push(duty.need_or(
            ask(bent.setting, "stretch-set", bent.at_c),
            ask(bent.setting, "compression-set", bent.at_c),
        ));
        duty.limits.push(Limit {
            id: end.id("spring-back"),
            title: "share of the angle by which it opens again".to_owned(),
            failure: "stays folded",
            class,
            sense: LimitSense::AtLeast(share),
            unit: "1".to_owned(),
            needs,
            performance: Performance::new(move |i, t| {
                let [modulus, yields, set] = *i.x else {
                    return f64::NAN;
                };
                let strain = self.folded(t) / 100.0;
                t.step("N9", "modulus", modulus, "MPa");
                t.step("N9", "yield strength", yields, "MPa");
                let over = t.step(
                    "N9",
                    "strain at yield over the strain of the fold",
                    yields / modulus / strain,
                    "1",
                );
                let s = if over > 1.0 { 1.0 } else { over };
                let back = t.step(
                    "N9",
                    "springs back when new",
                    1.5 * s - 0.5 * s.powi(3),
                    "1",
                );
                t.step("N9", "set of a piece that was held", set, "%");
                let left = back * (1.0 - set / 100.0);
                t.step(
                    "N9",
                    "springs back after its life",
                    if left < 0.0 { 0.0 } else { left },
                    "1",
                )
            }),
            source: docs::SPRING_SOURCE,
        });
    }

    pub(super) fn torque_limit(self, bent: Bent<'_>, end: End, most_nm: f64, duty: &mut Duty) {
        let needs = self.yield_needs(bent, duty);
        let needs = stiffer_is_worse(&needs, duty);
        duty.limits.push(Limit {
            id: end.id("fold-torque"),
            title: "torque to fold it".to_owned(),
            failure: "takes too much torque to fold",
            class: Class::Nuisance,
            sense: LimitSense::AtMost(most_nm),
            unit: "N.m".to_owned(),
            needs,
            performance: Performance::new(move |i, t| {
                let [modulus, yields] = *i.x else {
                    return f64::NAN;
                };
                let strain = self.folded(t) / 100.0;
                let elastic = t.step(
                    "N10",
                    "stress if it stayed elastic",
                    modulus * strain,
                    "MPa",
                );
                let most = t.step(
                    "N10",
                    "stress of a web that yields through",
                    YIELDED_THROUGH * yields,
                    "MPa",
                );
                let stress = if elastic > most { most } else { elastic };
                let resistance = self.width_mm * self.web_mm.powi(2) / 6.0;
                t.step(
                    "N10",
                    "torque to fold it",
                    stress * resistance / 1000.0,
                    "N.m",
                )
            }),
            source: docs::TORQUE_SOURCE,
        });
    }
}
