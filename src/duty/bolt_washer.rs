//! The bolt-washer part kind: a washer or spacer in a tightened joint.
//!
//! The torque is set for the slipperiest likely thread, because that one would
//! crush the plastic; the clamp load left is judged with the roughest. The
//! factor of the class goes onto the torque where it crushes and onto the
//! clamp load that must stay, not onto the torque that provides it.

mod inputs;
mod joint;

use self::inputs::{BoltWasher, HEAT_MARGIN_K, KEPT_SHARE};
use crate::duty::mechanics::layers::Layers;
use crate::duty::mechanics::pushed::pushed;
use crate::duty::mechanics::surroundings::{End, ask, ends, plain_ask};
use crate::duty::mechanics::usual;
use crate::duty::part::read_inputs;
use crate::duty::{
    Aim, Deed, Duty, FormulaDoc, LiesOnBed, Limit, LimitSense, Lying, Part, PartKind, Promise,
    Setting, ValueScale,
};
use crate::policy::Class;
use crate::problem::Fault;
use crate::property::bolt::REUSABLE_PROOF_SHARE;
use crate::property::{Ask, Lies};

/// How the squeeze lies to the layers. Specimens of compression tests are printed lying flat, and a
/// washer that lies so is squeezed as they are: their figures are those in the plane.
const SQUEEZE: Layers = Layers {
    flat: Lies::InPlane,
    edge: Lies::InPlane,
    upright: Lies::Across,
};

fn lying(setting: &Setting, ask: Ask) -> Ask {
    ask.lying(SQUEEZE.of(setting, LYING))
}

const CLAMP_SOURCE: &str = "W3 short torque equation (public fastener tables, verified in source); W7 to W9, W11 stiffnesses in series and expansion (derived from mechanics, quasi-elastic)";

impl Part for BoltWasher {
    fn kind(&self) -> &'static str {
        "bolt-washer"
    }

    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        let joint = self.joint()?;
        self.note_defaults(&joint, duty);
        let class = setting.class_of(Class::Damage);
        let factor = usual::loads_factor(setting, class, duty);
        let hot_c = setting.temperature_c.1;
        let margin_k = self.heat_margin.map_or(HEAT_MARGIN_K, |m| m.0);
        let needed_n = self
            .clamp_needed
            .map_or(KEPT_SHARE * joint.least_n(), |f| f.0)
            * factor;
        duty.notes.push(format!(
            "clamp load at tightening {:.0} to {:.0} N, by the scatter of the nut factor",
            joint.least_n(),
            joint.most_n()
        ));
        let share = joint.most_n() / joint.class.proof_n(joint.bolt);
        if share > REUSABLE_PROOF_SHARE {
            duty.notes.push(format!(
                "the torque can use {:.0} % of what the bolt takes; joints that are opened again stay below 75 %",
                share * 100.0
            ));
        }

        let strength = duty.ask(lying(
            setting,
            ask(setting, "bearing-strength", joint.assembled_c),
        ));
        duty.limits.push(Limit {
            id: "torque".to_owned(),
            title: "torque that the washer takes".to_owned(),
            failure: "is crushed at tightening",
            class,
            sense: LimitSense::AtLeast(joint.torque_nm * factor),
            unit: "N.m".to_owned(),
            needs: vec![vec![strength]],
            performance: joint.torque_taken(),
            source: "W4, W5: pressure times area, with the lowest likely nut factor (derived from mechanics; ranges of the nut factor from public fastener tables, verified in source)",
        });
        for end in ends(setting) {
            let strength = duty.ask(lying(
                setting,
                ask(setting, "bearing-strength", end.temperature_c),
            ));
            let mut needs = vec![vec![strength]];
            if end.temperature_c > joint.assembled_c {
                needs.push(vec![duty.ask(lying(
                    setting,
                    ask(setting, "compression-modulus", end.temperature_c),
                ))]);
                needs.push(vec![duty.ask(plain_ask("thermal-expansion"))]);
            }
            duty.limits.push(Limit {
                id: end.id("bearing"),
                title: "bearing pressure that the washer takes".to_owned(),
                failure: "is crushed under the bolt",
                class,
                sense: LimitSense::AtLeast(joint.most_n() * factor / joint.area_mm2),
                unit: "MPa".to_owned(),
                needs,
                performance: joint.bearing(end),
                source: "W4, W11: clamp load over the loaded ring, less what expansion adds (derived from mechanics)",
            });
        }

        let retained = duty.ask(lying(
            setting,
            ask(setting, "clamp-retained", hot_c).after(setting.life_h),
        ));
        let relaxed = duty.ask(lying(
            setting,
            ask(setting, "force-retained", hot_c).after(setting.life_h),
        ));
        let modulus = duty.ask(lying(setting, ask(setting, "compression-modulus", hot_c)));
        // The bolted run had no spring: with one, the squeeze test says more.
        let retained_first = joint.spring.is_none();
        let kept_needs = if retained_first {
            [vec![retained, relaxed], vec![retained, modulus]]
        } else {
            [vec![relaxed, retained], vec![modulus, retained]]
        };
        for end in ends(setting) {
            let mut needs = kept_needs.to_vec();
            if end.temperature_c < hot_c.max(joint.assembled_c) {
                needs.push(vec![duty.ask(lying(
                    setting,
                    ask(setting, "compression-modulus", end.temperature_c),
                ))]);
                needs.push(vec![duty.ask(plain_ask("thermal-expansion"))]);
            }
            duty.limits.push(Limit {
                id: end.id("clamp-left"),
                title: "clamp load left".to_owned(),
                failure: "creeps away under the bolt",
                class,
                sense: LimitSense::AtLeast(needed_n),
                unit: "N".to_owned(),
                needs,
                performance: joint.clamp_left(end, hot_c, retained_first),
                source: CLAMP_SOURCE,
            });
        }

        let set = duty.ask(lying(setting, ask(setting, "compression-set", hot_c)));
        duty.limits.push(Limit {
            id: "clamp-after-set".to_owned(),
            title: "clamp load left after set".to_owned(),
            failure: "slackens by set",
            class,
            sense: LimitSense::AtLeast(needed_n),
            unit: "N".to_owned(),
            needs: vec![vec![set], vec![modulus]],
            performance: joint.clamp_after_set(),
            source: "W10: share of the squeeze lost, against the bolt's stretch (derived from mechanics)",
        });
        let heat = usual::heat_margin(setting, duty, margin_k, class);
        duty.limits.push(heat);

        duty.promise = Some(Promise {
            parts: "washers",
            deeds: vec![
                Deed::new("take", joint.torque_nm * factor, "N.m", ""),
                Deed::new("keep", needed_n, "N", "of clamp load"),
            ],
        });

        let hold = usual::aim(
            "hold",
            "N",
            ValueScale {
                zero: needed_n,
                one: joint.least_n().max(1.5 * needed_n),
                log: false,
            },
            kept_needs.to_vec(),
            joint.clamp_left(
                End {
                    suffix: "",
                    temperature_c: hot_c,
                },
                hot_c,
                retained_first,
            ),
        );
        let aims: Vec<Aim> = vec![
            hold,
            usual::heat_reserve(setting, duty, margin_k),
            usual::easy_print(duty),
            usual::cost(duty, joint.volume_mm3),
            usual::weight(duty, joint.volume_mm3),
        ];
        duty.aims.extend(aims);
        duty.preference = usual::points(&[
            ("hold", 45.0),
            ("heat-reserve", 20.0),
            ("easy-print", 15.0),
            ("cost", 20.0),
        ]);
        Ok(())
    }

    pushed!(
        Load torque,
        Load clamp,
        Load clamp_needed,
        Thickness outer_diameter,
        Thickness height,
    );

    fn words(&self) -> Vec<String> {
        vec![self.note.clone()]
    }
}

/// The row of the registry.
pub(super) const KIND: PartKind = PartKind {
    id: "bolt-washer",
    title: "a plastic washer or spacer in a tightened bolted joint",
    read: read_inputs::<BoltWasher>,
    schema: || schemars::schema_for!(BoltWasher),
    example: EXAMPLE,
    formulas: FORMULAS,
    limits: &[
        ("torque", "N.m"),
        ("bearing", "MPa"),
        ("clamp-left", "N"),
        ("clamp-after-set", "N"),
        ("heat-margin", "K"),
    ],
    lying: Some(LYING),
};

const LYING: Lying = Lying {
    flat: "lying flat, as the washers of the bench runs are",
    edge: "lying on its rim, squeezed along the layers",
    upright: "standing on its end, squeezed across the layers",
    open: LiesOnBed::Flat,
};

const EXAMPLE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "Worked example: washer under an M6 bolt",
  "part": "bolt-washer",
  "inputs": {
    "bolt": "M6",
    "bolt_class": "8.8",
    "finish": "zinc-plated",
    "torque": "2 N.m",
    "clamp_needed": "300 N",
    "outer_diameter": "18 mm",
    "inner_diameter": "6.6 mm",
    "height": "5 mm",
    "clamped_length": "25 mm",
    "pressed_by": "wide-steel-washer",
    "members": "steel",
    "joints": 4
  },
  "surroundings": { "temperature": "10..35 degC", "moisture": "room" },
  "life": "1 year",
  "lies": "flat",
  "harm": { "hurts": "nobody", "damages": "a pane of glass", "replaceable": true },
  "class": "damage",
  "assumed": ["bolt", "bolt_class", "finish", "torque", "clamp_needed", "outer_diameter", "inner_diameter", "height", "clamped_length", "pressed_by", "members", "joints", "temperature", "moisture", "life", "lies", "hurts", "damages", "replaceable", "class"]
}
"#;

const FORMULAS: &[FormulaDoc] = &[
    FormulaDoc {
        limit: "torque",
        formula: "W4 A = pi/4 (D_o^2 - D_i^2), D_o the smaller of washer and what presses on it; W5 T = K_low p A d; W6 K from known friction = [P/(2 pi) + mu_t d2/(2 cos 30) + mu_h D_m/2]/d",
        validity: "coarse threads M3 to M12; below the bolt's proof load (W2); no head turning on bare plastic without a measured K",
        source: "W3 T = K F d and the ranges of K: public fastener tables (verified in source); proof loads: tables of ISO 898-1, ISO 3506-1 (verified in source); W4 to W6 derived from mechanics",
    },
    FormulaDoc {
        limit: "bearing",
        formula: "W4 p = (T/(K_low d) + dF)/A; W11 dF = dT [a_w t + a_m (L - t) - a_b L]/(1/k_b + 1/k_w) where heat adds to the clamp load",
        validity: "uniform pressure on the ring; quick warming, before the gain creeps away",
        source: "W4, W7, W11: derived from mechanics; expansions from memory, not verified",
    },
    FormulaDoc {
        limit: "clamp-left",
        formula: "F = R T/(K_high d) - (1 - R) dF_hot + dF_cold; R measured in a bolted run, else W8 R = (1/k_b + 1/k_w)/(1/k_b + 1/(r k_w)), r the share of force kept at fixed squeeze; W7 k_b = E_b A_s/L, k_w = E_w A/t; W9 1/k_b' = 1/k_b + 1/k_s with a spring",
        validity: "quasi-elastic, closure fixed; k_b without threads and head (real bolts are up to a third softer); relaxation at the hot end; a gain by heat creeps away and is never counted; with a spring the squeeze test comes first, for the bolted run had none; a torque-hold run is not taken: the shape and height under its head are not known, and they decide what is kept",
        source: "W3 (verified in source), W7 to W9, W11 (derived from mechanics); moduli of bolts from memory, not verified",
    },
    FormulaDoc {
        limit: "clamp-after-set",
        formula: "W10 F = T/(K_high d) [1 - C (1/k_w)/(1/k_w + 1/k_b)], C the share of the squeeze that does not come back",
        validity: "stiffness unchanged; set says what thickness comes back, not what force is left",
        source: "W10: derived from mechanics",
    },
    FormulaDoc {
        limit: "heat-margin",
        formula: "D2 softening onset - hottest moment of service or storage",
        validity: "onset at the bench load, not a limit to design to",
        source: usual::HEAT_SOURCE,
    },
];
