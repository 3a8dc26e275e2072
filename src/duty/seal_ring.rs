//! The seal-ring part kind: a ring in a groove, or a flat gasket between faces.
//!
//! It must press hard enough after years, follow the joint as it opens, not need more force than
//! the bolts have, and not split or creep into the gap. None of that proves a print tight.

mod docs;
mod inputs;
mod squeezed;

use self::inputs::{HEAT_MARGIN_K, SealRing};
use self::squeezed::{Form, Seal};
use crate::duty::mechanics::held::STRAIN_RESERVE;
use crate::duty::mechanics::pushed::pushed;
use crate::duty::mechanics::surroundings::{
    End, ask, ends, plain_ask, stiffer_is_worse, usual_end,
};
use crate::duty::mechanics::usual;
use crate::duty::part::read_inputs;
use crate::duty::{Deed, Duty, Limit, LimitSense, Part, PartKind, Promise, Setting, ValueScale};
use crate::policy::Class;
use crate::problem::Fault;
use crate::quantity::Length;

/// Bulge into the gap, as a share of the gap, from which a seal is nibbled away (ours).
const MOST_BULGE: f64 = 0.25;
/// Sealing stress over the one needed from which more gives nothing (ours).
const TIGHT_ENOUGH: f64 = 4.0;

impl Part for SealRing {
    fn kind(&self) -> &'static str {
        "seal-ring"
    }

    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        let class = setting.class_of(Class::Damage);
        let factor = usual::loads_factor(setting, class, duty);
        let seal = self.settle(setting, factor)?;
        self.note_defaults(&seal, duty);
        for end in ends(setting) {
            seal.press(end, setting, class, duty);
            seal.bear(end, setting, class, duty);
        }
        let heat = usual::heat_margin(setting, duty, HEAT_MARGIN_K, class);
        duty.limits.push(heat);
        duty.promise = Some(Promise {
            parts: "seals",
            deeds: vec![
                Deed::new("press enough for", seal.fluid_mpa, "MPa", ""),
                Deed::new("follow the joint by", seal.opening_mm, Length::UNIT, ""),
            ],
        });
        let needs = seal.sealing_needs(usual_end(setting).temperature_c, setting, duty);
        let tightness = usual::aim(
            "tightness",
            "1",
            ValueScale {
                zero: 1.0,
                one: TIGHT_ENOUGH,
                log: true,
            },
            needs,
            seal.sealing(),
        );
        duty.aims.push(tightness);
        let everyday = usual::everyday_aims(setting, duty, HEAT_MARGIN_K, seal.volume_mm3());
        duty.aims.extend(everyday);
        duty.preference = usual::points(&[
            ("tightness", 50.0),
            ("heat-reserve", 15.0),
            ("easy-print", 15.0),
            ("cost", 20.0),
        ]);
        Ok(())
    }

    pushed!(Load pressure);

    fn words(&self) -> Vec<String> {
        [&self.joint, &self.note]
            .into_iter()
            .filter(|w| !w.is_empty())
            .cloned()
            .collect()
    }

    fn cautions(&self, setting: &Setting) -> Vec<(&'static str, String)> {
        self.scope(setting)
    }
}

impl Seal {
    /// Sealing stress, follow-up and what it costs to close.
    fn press(self, end: End, setting: &Setting, class: Class, duty: &mut Duty) {
        let at_c = end.temperature_c;
        let needs = self.sealing_needs(at_c, setting, duty);
        duty.limits.push(Limit {
            id: end.id("sealing"),
            title: "sealing stress left, over the one needed".to_owned(),
            failure: "presses too little to seal",
            class,
            sense: LimitSense::AtLeast(1.0),
            unit: "1".to_owned(),
            needs,
            performance: self.sealing(),
            source: "E1, E3, E4: modulus times squeeze (derived), seating it when closed by y, and times the share of force kept, holding the fluid by m p; faces taken as sliding; m and y of a published flange rule (verified in source, non-mandatory there)",
        });
        let set = duty.ask(ask(setting, "compression-set", at_c));
        duty.limits.push(Limit {
            id: end.id("follow-up"),
            title: "how far it follows the joint".to_owned(),
            failure: "has set and no longer follows the joint",
            class,
            sense: LimitSense::AtLeast(self.opening_mm),
            unit: "mm".to_owned(),
            needs: vec![vec![set]],
            performance: self.follows(),
            source: "E2, E5: compression set of method B (verified in source), follow-up (derived)",
        });
        if let Some(most_n) = self.bolts_n {
            let modulus = self.modulus(at_c, setting, duty);
            let mut needs = vec![modulus];
            if let Form::Flat { .. } = self.form {
                needs.push(vec![duty.ask(plain_ask("bulk-modulus"))]);
                needs.push(self.hardness(at_c, setting, duty));
            }
            let needs = stiffer_is_worse(&needs, duty);
            duty.limits.push(Limit {
                id: end.id("bolt-load"),
                title: "load that closes it and keeps it closed".to_owned(),
                failure: "needs more load than the bolts give",
                class,
                sense: LimitSense::AtMost(most_n),
                unit: "N".to_owned(),
                needs,
                performance: self.closing(),
                source: "E6: seating and operating load of a ring gasket (from memory, not verified); E8 squeeze with held faces (Gent and Lindley, verified in source) or of a round section (Lindley, from memory, not verified)",
            });
        }
    }

    /// What it bears itself: extrusion into the gap and splitting.
    fn bear(self, end: End, setting: &Setting, class: Class, duty: &mut Duty) {
        let at_c = end.temperature_c;
        if self.fluid_mpa > 0.0 {
            let kept = ask(setting, "force-retained", at_c).after(setting.life_h);
            let needs = vec![self.modulus(at_c, setting, duty), vec![duty.ask(kept)]];
            duty.limits.push(Limit {
                id: end.id("extrusion"),
                title: "bulge into the gap behind it".to_owned(),
                failure: "is pushed out through the gap",
                class,
                sense: LimitSense::AtMost(MOST_BULGE),
                unit: "1".to_owned(),
                needs,
                performance: self.extrusion(),
                source: "E7: 0.75 p/E, a slit in an incompressible body under pressure (derived); a quarter of the gap is ours",
            });
        }
        let breaks = duty.ask(ask(setting, "break-strain", at_c).lying(self.rim));
        duty.limits.push(Limit {
            id: end.id("splitting"),
            title: "strain at break over the stretch of the bulging side".to_owned(),
            failure: "splits when it is squeezed",
            class,
            sense: LimitSense::AtLeast(STRAIN_RESERVE),
            unit: "1".to_owned(),
            needs: vec![vec![breaks]],
            performance: self.splitting(),
            source: "E9: side of a seal that keeps its volume and cannot lengthen, 1/(1 - e) - 1 (derived); twice that is ours",
        });
    }
}

/// The row of the registry.
pub(super) const KIND: PartKind = PartKind {
    id: "seal-ring",
    title: "a seal ring in a groove, or a flat gasket",
    read: read_inputs::<SealRing>,
    schema: || schemars::schema_for!(SealRing),
    example: docs::EXAMPLE,
    formulas: docs::FORMULAS,
    limits: &[
        ("sealing", "1"),
        ("follow-up", "mm"),
        ("bolt-load", "N"),
        ("extrusion", "1"),
        ("splitting", "1"),
        ("heat-margin", "K"),
    ],
    lying: Some(inputs::LYING),
};
