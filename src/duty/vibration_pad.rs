//! The vibration-pad part kind: pads under a machine that shakes, so that little of it is passed on.
//!
//! A pad must be soft to isolate and firm to stand: the natural frequency comes from the elastic,
//! dynamic stiffness with the lightest load, the sag from the creeping one with the heaviest.

mod docs;
mod inputs;
mod shaken;

use self::inputs::{HEAT_MARGIN_K, VibrationPad};
use self::shaken::Pads;
use crate::duty::mechanics::block::GRAVITY;
use crate::duty::mechanics::pad::carried_needs;
use crate::duty::mechanics::pushed::pushed;
use crate::duty::mechanics::surroundings::{
    End, ask, ends, plain_ask, stiffer_is_worse, usual_end,
};
use crate::duty::mechanics::usual;
use crate::duty::mechanics::vibration::{ISOLATES_FROM, NEAR_RESONANCE};
use crate::duty::part::read_inputs;
use crate::duty::{
    Deed, Duty, LiesOnBed, Limit, LimitSense, Lying, Part, PartKind, Promise, Setting, ValueScale,
};
use crate::policy::Class;
use crate::problem::Fault;
use crate::quantity::Length;

/// Share passed on below which less gives nothing, as a part of the share allowed (ours).
const ISOLATED_ENOUGH: f64 = 0.15;

impl Part for VibrationPad {
    fn kind(&self) -> &'static str {
        "vibration-pad"
    }

    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        let class = setting.class_of(Class::Damage);
        let factor = usual::loads_factor(setting, class, duty);
        let pads = self.settle(setting, factor)?;
        self.note_defaults(&pads, duty);
        for end in ends(setting) {
            self.isolate(pads, end, setting, class, duty);
            self.stand(pads, end, setting, class, duty);
        }
        let heat = usual::heat_margin(setting, duty, HEAT_MARGIN_K, class);
        duty.limits.push(heat);
        duty.promise = Some(Promise {
            parts: "pads",
            deeds: vec![
                Deed::new("pass on at most", pads.passed, "1", "of the shaking"),
                Deed::new("sag at most", pads.sag_mm, Length::UNIT, ""),
            ],
        });
        let room = usual_end(setting).temperature_c;
        let mut needs = pads.spring_needs(setting, duty, room);
        needs.push(vec![duty.ask(ask(setting, "rebound", room))]);
        let isolation = usual::aim(
            "isolation",
            "1",
            ValueScale {
                zero: pads.passed,
                one: ISOLATED_ENOUGH * pads.passed,
                log: true,
            },
            needs,
            pads.transmitted(),
        );
        duty.aims.push(isolation);
        let volume = pads.solid.area_mm2 * pads.solid.height_mm * pads.number;
        let everyday = usual::everyday_aims(setting, duty, HEAT_MARGIN_K, volume);
        duty.aims.extend(everyday);
        duty.preference = usual::points(&[
            ("isolation", 50.0),
            ("heat-reserve", 10.0),
            ("easy-print", 20.0),
            ("cost", 20.0),
        ]);
        Ok(())
    }

    pushed!(
        Load mass,
        Load shaking,
        Thickness height,
    );

    fn words(&self) -> Vec<String> {
        [&self.under, &self.note]
            .into_iter()
            .filter(|w| !w.is_empty())
            .cloned()
            .collect()
    }
}

impl VibrationPad {
    fn isolate(&self, pads: Pads, end: End, setting: &Setting, class: Class, duty: &mut Duty) {
        let at_c = end.temperature_c;
        let needs = pads.spring_needs(setting, duty, at_c);
        let needs = stiffer_is_worse(&needs, duty);
        let mut damped = needs.clone();
        damped.push(vec![duty.ask(ask(setting, "rebound", at_c))]);
        duty.limits.push(Limit {
            id: end.id("passed-on"),
            title: "share of the shaking passed on".to_owned(),
            failure: "passes on too much of the shaking",
            class,
            sense: LimitSense::AtMost(pads.passed),
            unit: "1".to_owned(),
            needs: damped,
            performance: pads.transmitted(),
            source: "F11, F12: natural frequency and transmissibility (verified in source); dynamic stiffness (from memory, not verified); F14 damping by the rebound (derived)",
        });
        if pads.passed < 1.0 {
            duty.limits.push(Limit {
                id: end.id("isolates"),
                title: "running speed over the natural frequency".to_owned(),
                failure: "is too stiff to isolate",
                class,
                sense: LimitSense::AtLeast(ISOLATES_FROM),
                unit: "1".to_owned(),
                needs: needs.clone(),
                performance: pads.ratio(),
                source: "F11, F12: whatever the damping, less than the whole is passed on only above sqrt 2 (verified in source)",
            });
        }
        duty.limits.push(Limit {
            id: end.id("resonance"),
            title: "distance of the running speed from resonance".to_owned(),
            failure: "runs near its resonance",
            class,
            sense: LimitSense::AtLeast(NEAR_RESONANCE),
            unit: "1".to_owned(),
            needs,
            performance: pads.off_resonance(),
            source: "F11: natural frequency of the softest and the stiffest that it can be (verified in source); within a fifth the answer is damping's (common practice, no source)",
        });
    }

    fn stand(&self, pads: Pads, end: End, setting: &Setting, class: Class, duty: &mut Duty) {
        let at_c = end.temperature_c;
        let at_life = |p| ask(setting, p, at_c).after(setting.life_h);
        let creep = duty.ask(at_life("creep-modulus").under(pads.stress_mpa()));
        let new = duty.ask(ask(setting, "compression-modulus", at_c));
        let kept = duty.ask(at_life("force-retained"));
        let mut needs = vec![vec![creep, new], vec![creep, kept]];
        if pads.bonded {
            needs.push(vec![duty.ask(plain_ask("bulk-modulus"))]);
        }
        duty.limits.push(Limit {
            id: end.id("sag"),
            title: "sag of the most loaded pad".to_owned(),
            failure: "sinks too far",
            class,
            sense: LimitSense::AtMost(pads.sag_mm),
            unit: "mm".to_owned(),
            needs,
            performance: pads.sag(),
            source: "F5 to F10: shape factor (derived), bonded faces and bulk limit (verified in source), larger squeeze neo-Hookean (derived, common use); creep modulus, or the modulus when new times the share of force kept (quasi-elastic, derived)",
        });
        let takes = carried_needs(setting, at_c, duty);
        duty.limits.push(Limit {
            id: end.id("crushing"),
            title: "pressure that the pad takes".to_owned(),
            failure: "is crushed under the load",
            class,
            sense: LimitSense::AtLeast(pads.stress_mpa()),
            unit: "MPa".to_owned(),
            needs: vec![takes],
            performance: pads.crushing(),
            source: "F8: load over area of the most loaded pad (derived from mechanics); the order of evidence is ours, a third of the yield strength is common practice, no source",
        });
        if let Some(shaking_n) = pads.shaking_n {
            let floor = setting.counterface.clone().unwrap_or_default();
            let mu = duty.ask(ask(setting, "static-friction", at_c).on(floor));
            duty.limits.push(Limit {
                id: end.id("walking"),
                title: "sideways hold while it is shaken".to_owned(),
                failure: "walks across the floor",
                class,
                sense: LimitSense::AtLeast(shaking_n),
                unit: "N".to_owned(),
                needs: vec![vec![mu]],
                performance: pads.walking(shaking_n),
                source: "F1: friction on what weight is left when the shaking lifts (derived from mechanics)",
            });
        }
    }
}

/// Weight of a mass, N.
pub(super) fn weight_n(kg: f64) -> f64 {
    kg * GRAVITY
}

/// The row of the registry.
pub(super) const KIND: PartKind = PartKind {
    id: "vibration-pad",
    title: "pads that isolate a machine that shakes",
    read: read_inputs::<VibrationPad>,
    schema: || schemars::schema_for!(VibrationPad),
    example: docs::EXAMPLE,
    formulas: docs::FORMULAS,
    limits: &[
        ("passed-on", "1"),
        ("isolates", "1"),
        ("resonance", "1"),
        ("sag", "mm"),
        ("crushing", "MPa"),
        ("walking", "N"),
        ("heat-margin", "K"),
    ],
    lying: Some(Lying {
        flat: "lying on its foot or its top face, squeezed across the layers",
        edge: "lying on its side, squeezed along the layers",
        upright: "standing on its foot, squeezed across the layers",
        open: LiesOnBed::Flat,
    }),
};
