//! The support-foot part kind: feet under something that stands, is pushed or stands on a slope.
//!
//! Whether it tips is plain geometry; whether it slides first is the feet's friction. More
//! grip is not always safer: the notes say from which friction on it tips before it slides.

mod inputs;
mod stand;

use self::inputs::{HEAT_MARGIN_K, SupportFoot};
use crate::duty::mechanics::pad::carried_needs;
use crate::duty::mechanics::pushed::pushed;
use crate::duty::mechanics::surroundings::{End, ask, ends, plain_ask, usual_end};
use crate::duty::mechanics::usual;
use crate::duty::part::read_inputs;
use crate::duty::{
    Deed, Duty, FormulaDoc, LiesOnBed, Limit, LimitSense, Lying, Part, PartKind, Performance,
    Promise, Setting, ValueScale,
};
use crate::policy::Class;
use crate::problem::Fault;
use crate::quantity::{Angle, Force, Length};

/// Friction from which more gives nothing, unless it would tip before.
const GRIP_ENOUGH: f64 = 1.0;
/// Share of the sag allowed below which a stiffer foot gives nothing.
const SAG_ENOUGH: f64 = 0.2;

impl Part for SupportFoot {
    fn kind(&self) -> &'static str {
        "support-foot"
    }

    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        let class = setting.class_of(Class::Damage);
        let factor = usual::loads_factor(setting, class, duty);
        let feet = self.settle(setting, factor)?;
        self.note_defaults(&feet, duty);
        let margin_k = self.heat_margin.map_or(HEAT_MARGIN_K, |m| m.0);
        let floor = setting.counterface.clone().unwrap_or_default();
        let friction = |duty: &mut Duty, end: End| {
            duty.ask(ask(setting, "static-friction", end.temperature_c).on(floor.clone()))
        };

        for end in ends(setting) {
            let mu = friction(duty, end);
            let mut push =
                |id: &str, title: &str, failure, sense, unit: &str, performance, source| {
                    duty.limits.push(Limit {
                        id: end.id(id),
                        title: title.to_owned(),
                        failure,
                        class,
                        sense,
                        unit: unit.to_owned(),
                        needs: vec![vec![mu]],
                        performance,
                        source,
                    });
                };
            if let Some(needed_n) = feet.push_n {
                push(
                    "hold",
                    "sideways hold on the level",
                    "slides when pushed",
                    LimitSense::AtLeast(needed_n),
                    "N",
                    feet.hold(),
                    "F1: friction times weight, all feet alike (derived from mechanics)",
                );
            }
            if let Some(slope_deg) = feet.slope_deg {
                push(
                    "slope",
                    "slope at which it slides",
                    "slides on the slope",
                    LimitSense::AtLeast(slope_deg),
                    "deg",
                    feet.slope(slope_deg),
                    "F2: slides where the tangent of the slope is the friction (derived from mechanics)",
                );
            }
            if let (Some(true), Some(ratio)) = (self.slide_first, feet.tips_from) {
                push(
                    "slides-first",
                    "friction, below the one that tips it",
                    "tips before it slides",
                    LimitSense::AtMost(ratio),
                    "1",
                    Performance::new(|i, t| match *i.x {
                        [mu] => t.step("F4", "static friction", mu, "1"),
                        _ => f64::NAN,
                    }),
                    "F4: slides before it tips where friction is below half width over push height (derived from mechanics)",
                );
            }
        }
        for end in ends(setting) {
            let stress = feet.stress_mpa() * factor;
            let at_life = |p| ask(setting, p, end.temperature_c).after(setting.life_h);
            let creep = duty.ask(at_life("creep-modulus").under(stress));
            let new = duty.ask(ask(setting, "compression-modulus", end.temperature_c));
            let kept = duty.ask(at_life("force-retained"));
            let mut needs = vec![vec![creep, new], vec![creep, kept]];
            if feet.bonded {
                needs.push(vec![duty.ask(plain_ask("bulk-modulus"))]);
            }
            let takes = carried_needs(setting, end.temperature_c, duty);
            duty.limits.push(Limit {
                id: end.id("crushing"),
                title: "pressure that the foot takes".to_owned(),
                failure: "is crushed under the load",
                class,
                sense: LimitSense::AtLeast(stress),
                unit: "MPa".to_owned(),
                needs: vec![takes],
                performance: feet.crushing(factor),
                source: "F8, F11: load over area of the most loaded foot (derived from mechanics); what it carries for the life in place of a bearing run is ours, a third of the yield strength is common practice, no source",
            });
            duty.limits.push(Limit {
                id: end.id("sag"),
                title: "sag of the most loaded foot".to_owned(),
                failure: "sinks too far",
                class,
                sense: LimitSense::AtMost(feet.sag_mm),
                unit: "mm".to_owned(),
                needs,
                performance: feet.sag(factor),
                source: "F5 to F9: shape factor (derived), bonded faces and bulk limit (verified in source), larger squeeze neo-Hookean (derived, common use); creep modulus, or the modulus when new times the share of force kept (quasi-elastic, derived)",
            });
        }
        duty.promise = Some(Promise {
            parts: "feet",
            deeds: feet
                .push_n
                .map(|n| Deed::new("hold", n, Force::UNIT, "sideways"))
                .into_iter()
                .chain(
                    feet.slope_deg
                        .map(|d| Deed::new("stand on", d, Angle::UNIT, "of slope")),
                )
                .chain([Deed::new("sag at most", feet.sag_mm, Length::UNIT, "")])
                .collect(),
        });
        let heat = usual::heat_margin(setting, duty, margin_k, class);
        duty.limits.push(heat);

        let least = [
            feet.push_n.map(|f| f / feet.weight_n),
            feet.slope_deg.map(|a| a.to_radians().tan()),
        ]
        .into_iter()
        .flatten()
        .fold(0.0, f64::max);
        let enough = feet.tips_from.map_or(GRIP_ENOUGH, |r| r.min(GRIP_ENOUGH));
        let mu = friction(duty, usual_end(setting));
        let grip = usual::aim(
            "grip",
            "1",
            ValueScale {
                zero: least,
                one: enough.max(1.5 * least),
                log: false,
            },
            vec![vec![mu]],
            Performance::new(|i, t| match *i.x {
                [mu] => t.step("F1", "static friction", mu, "1"),
                _ => f64::NAN,
            }),
        );
        let needs = duty
            .limits
            .iter()
            .find(|l| l.id.starts_with("sag"))
            .map_or_else(Vec::new, |l| l.needs.clone());
        let stiffness = usual::aim(
            "stiffness",
            "mm",
            ValueScale {
                zero: feet.sag_mm,
                one: SAG_ENOUGH * feet.sag_mm,
                log: true,
            },
            needs,
            feet.sag(1.0),
        );
        let volume = feet.foot.area_mm2 * feet.foot.height_mm * feet.number;
        duty.aims.extend([grip, stiffness]);
        let everyday = usual::everyday_aims(setting, duty, margin_k, volume);
        duty.aims.extend(everyday);
        duty.preference = usual::points(&[
            ("grip", 45.0),
            ("stiffness", 15.0),
            ("heat-reserve", 10.0),
            ("easy-print", 15.0),
            ("cost", 15.0),
        ]);
        Ok(())
    }

    pushed!(
        Load mass,
        Load mass_per_foot,
        Load push,
        Thickness diameter,
        Thickness length,
        Thickness width,
        Thickness height,
    );

    fn cautions(&self, _: &Setting) -> Vec<(&'static str, String)> {
        self.tips_easily()
            .into_iter()
            .map(|by| ("appliance-stability", by))
            .collect()
    }

    fn words(&self) -> Vec<String> {
        [&self.under, &self.note]
            .into_iter()
            .filter(|w| !w.is_empty())
            .cloned()
            .collect()
    }
}

/// The row of the registry.
pub(super) const KIND: PartKind = PartKind {
    id: "support-foot",
    title: "feet under something that stands on a floor",
    read: read_inputs::<SupportFoot>,
    schema: || schemars::schema_for!(SupportFoot),
    example: EXAMPLE,
    formulas: FORMULAS,
    limits: &[
        ("hold", "N"),
        ("slope", "deg"),
        ("slides-first", "1"),
        ("crushing", "MPa"),
        ("sag", "mm"),
        ("heat-margin", "K"),
    ],
    lying: Some(Lying {
        flat: "on its foot or its top face, squeezed across the layers",
        edge: "lying on its side, squeezed along the layers",
        upright: "on its foot or its top face, squeezed across the layers",
        open: LiesOnBed::Flat,
    }),
};

const EXAMPLE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "Worked example: feet under a potting bench",
  "part": "support-foot",
  "inputs": {
    "mass": "40 kg",
    "feet": 4,
    "shape": "disc",
    "diameter": "40 mm",
    "height": "10 mm",
    "faces": "loose",
    "push": "60 N",
    "push_height": "800 mm",
    "half_width": "300 mm",
    "sag": "1 mm"
  },
  "surroundings": { "temperature": "10..35 degC", "moisture": "room", "counterface": "tile" },
  "life": "1 year",
  "harm": { "hurts": "nobody", "damages": "seedlings", "replaceable": true },
  "class": "damage",
  "assumed": ["mass", "feet", "shape", "diameter", "height", "faces", "push", "push_height", "half_width", "sag", "temperature", "moisture", "counterface", "life", "hurts", "damages", "replaceable", "class"]
}
"#;

const FORMULAS: &[FormulaDoc] = &[
    FormulaDoc {
        limit: "hold",
        formula: "F1 slides at mu W; F4 tips at W b/H",
        validity: "level floor, all feet alike; friction of elastomers falls with pressure, so a light sled flatters (from memory, not verified)",
        source: "F1, F4: derived from mechanics",
    },
    FormulaDoc {
        limit: "slope",
        formula: "F2 slides at arctan mu; F3 tips at arctan(b/h)",
        validity: "0 to 90 degrees, no push",
        source: "F2, F3: derived from mechanics; 10 degrees from IEC 60335-1 clause 20.1 (verified in source)",
    },
    FormulaDoc {
        limit: "slides-first",
        formula: "F4 mu < b/H",
        validity: "pushed sideways at the height H, tipping over the edge at b",
        source: "F4: derived from mechanics",
    },
    FormulaDoc {
        limit: "crushing",
        formula: "F8 p = F/A of the most loaded foot; F11 the pressure carried: of a bolted run, else the stress carried for the life, else a third of the yield strength",
        validity: "pressure even over the whole face, on a flat floor; a bolted run is short, so at a pressure near it the sag over the life says more",
        source: "F8: derived from mechanics; F11: the order of evidence is ours; a third of the yield strength for years at room temperature (common practice, no source)",
    },
    FormulaDoc {
        limit: "sag",
        formula: "F8 sag = (F/A)/E_a h; loose faces E_a = E; bonded F6, F7 1/E_a = 1/(E (1 + 2 S^2)) + 1/B; F5 S = D/(4h), (D_o - D_i)/(4h) or ab/(2h(a + b)); from 15 % F9 F/A = (E_a/3)(l^-2 - l); F10 E at the life: creep modulus, else the modulus when new times the share of force kept",
        validity: "solid feet, no foam, lattice or infill; mixed between 10 and 15 % of squeeze (linear to there: common practice, no source); squeezed flat beyond a half; a loose foot on a smooth floor lies between E and bonded, and the softer is judged",
        source: "F5, F8 (derived), F6, F7 (Gent and Lindley as cited in doi 10.5545/sv-jme.2013.1510, verified in source; B from memory, not verified), F9 (derived, common use), F10 (quasi-elastic, derived)",
    },
    FormulaDoc {
        limit: "heat-margin",
        formula: "D2 softening onset - hottest moment of service or storage",
        validity: "onset at the bench load, not a limit to design to",
        source: usual::HEAT_SOURCE,
    },
];
