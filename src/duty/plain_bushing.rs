//! The plain-bushing part kind: a plain bearing of polymer round a shaft that turns or swings.
//!
//! Wear, pressure, speed and their product are judged as of any rubbing body; what a bush has
//! besides is its play, which heat, water and a press fit eat until it seizes.

mod docs;
mod inputs;
mod play;

use self::inputs::PlainBushing;
use self::play::Seat;
use crate::duty::mechanics::pushed::pushed;
use crate::duty::mechanics::rubbing::{Rubbing, fast_rotation};
use crate::duty::mechanics::surroundings::{End, ends, plain_ask};
use crate::duty::mechanics::usual;
use crate::duty::part::read_inputs;
use crate::duty::{
    Aim, Deed, Duty, LiesOnBed, Limit, LimitSense, Lying, Part, PartKind, Performance, Promise,
    Setting, ValueScale,
};
use crate::policy::Class;
use crate::problem::Fault;
use crate::property::Moisture;
use crate::quantity::{Force, Length, Torque};

/// Play that a running bush keeps, as a share of the shaft's diameter (ours, no source: a tenth
/// and more of the clearance that is common practice).
const PLAY_KEPT: f64 = 0.001;
/// Kinetic friction at which a bush turns as heavily as is just acceptable, and below which lighter
/// gives nothing: the range of dry unfilled and filled bearing plastics, and half as much again
/// (0.05 to 0.45 in a handbook table, in part verified in source; the ends are ours).
const FRICTION_SCALE: (f64, f64) = (0.6, 0.1);

/// A bush with every default filled in.
struct Bush {
    rubbing: Rubbing,
    seat: Seat,
    shaft_mm: f64,
}

impl Bush {
    /// Friction's torque on the shaft, N.m: mu F d/2.
    fn drag(&self, load_n: f64) -> Performance {
        let shaft_mm = self.shaft_mm;
        Performance::new(move |i, t| {
            let [friction] = *i.x else { return f64::NAN };
            t.step("A12", "kinetic friction", friction, "1");
            t.step("A12", "load on the contact", load_n, "N");
            t.step("A12", "diameter of the shaft", shaft_mm, "mm");
            let torque = friction * load_n * shaft_mm / 2.0 * 1e-3;
            t.step("A12", "torque of friction", torque, "N.m")
        })
    }

    /// The limit `play-left` at an end of the temperature range.
    fn play(
        &self,
        end: End,
        setting: &Setting,
        duty: &mut Duty,
        class: Class,
        load_n: f64,
    ) -> Limit {
        let hot = end
            .temperature_c
            .total_cmp(&setting.temperature_c.1)
            .is_eq();
        let expansion = duty.ask(plain_ask("thermal-expansion"));
        let mut needs = vec![vec![expansion]];
        needs.push(vec![duty.ask(plain_ask("poisson-ratio"))]);
        if hot {
            let friction = self
                .rubbing
                .pair(setting, "kinetic-friction", end.temperature_c);
            needs.push(vec![duty.ask(friction)]);
        }
        let moisture = setting.moisture;
        if moisture != Moisture::Dried {
            let mut uptake = vec![duty.ask(plain_ask("water-uptake").moist(Moisture::Wet))];
            if moisture == Moisture::Room {
                // Most plastics barely grow in a room: a measured expansion alone counts none, and the step says so.
                uptake.push(expansion);
            }
            needs.push(uptake);
        }
        let (seat, rubbing, at_c) = (self.seat, self.rubbing.clone(), end.temperature_c);
        Limit {
            id: end.id("play-left"),
            title: "play left on the shaft".to_owned(),
            failure: "closes on the shaft and seizes",
            class,
            sense: LimitSense::AtLeast(PLAY_KEPT * self.shaft_mm),
            unit: "mm".to_owned(),
            needs,
            performance: Performance::new(move |i, t| {
                let mut figures = i.x.iter().copied();
                let mut next = || figures.next().unwrap_or(f64::NAN);
                let (expansion, poisson) = (next(), next());
                let rise_k = if hot {
                    rubbing.rise_k(next(), load_n, t)
                } else {
                    0.0
                };
                let uptake = match moisture {
                    Moisture::Dried => 0.0,
                    Moisture::Wet => next(),
                    Moisture::Room => {
                        let known = i.which.last() == Some(&0);
                        play::room_uptake(known.then(next), t)
                    }
                };
                seat.play_mm(
                    at_c,
                    rise_k,
                    play::Bushes {
                        expansion,
                        poisson,
                        uptake,
                    },
                    t,
                )
            }),
            source: "A13: free growth by heat and water, pushed inwards by a rigid housing (thick ring under outside pressure, derived from mechanics); 0.3 % of length for each per cent of water (the high end of a range from memory, not verified), of which a room gives 0.4 (from memory, not verified); the play kept is ours",
        }
    }

    /// The limit `drag`, where the torque that friction may take is said.
    fn drag_limit(
        &self,
        end: End,
        setting: &Setting,
        duty: &mut Duty,
        (class, load_n, allowed_nm): (Class, f64, f64),
    ) -> Limit {
        let friction = self
            .rubbing
            .pair(setting, "kinetic-friction", end.temperature_c);
        Limit {
            id: end.id("drag"),
            title: "torque of friction".to_owned(),
            failure: "turns too heavily",
            class,
            sense: LimitSense::AtMost(allowed_nm),
            unit: "N.m".to_owned(),
            needs: vec![vec![duty.ask(friction)]],
            performance: self.drag(load_n),
            source: "A12: friction times load at the shaft's radius (derived from mechanics)",
        }
    }

    /// The aim `light-turning`.
    fn light(&self, setting: &Setting, duty: &mut Duty, allowed_nm: Option<f64>) -> Aim {
        let at_c = setting.temperature_c.1;
        let friction = self.rubbing.pair(setting, "kinetic-friction", at_c);
        let per_friction = self.rubbing.load_n * self.shaft_mm / 2.0 * 1e-3;
        let one = FRICTION_SCALE.1 * per_friction;
        let zero = allowed_nm.unwrap_or(FRICTION_SCALE.0 * per_friction);
        usual::aim(
            "light-turning",
            "N.m",
            ValueScale {
                zero,
                one: one.min(0.5 * zero),
                log: true,
            },
            vec![vec![duty.ask(friction)]],
            self.drag(self.rubbing.load_n),
        )
    }
}

impl Part for PlainBushing {
    fn kind(&self) -> &'static str {
        "plain-bushing"
    }

    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        let bush = self.bush(setting)?;
        self.note_defaults(&bush, setting, duty);
        let class = setting.class_of(Class::Damage);
        let rubbing = &bush.rubbing;
        let load_n = rubbing.load_n * usual::loads_factor(setting, class, duty);
        let sink_mm = self.sink_allowed.map(|l| l.0);
        for end in ends(setting) {
            rubbing.limits_at(end, setting, duty, (class, load_n, sink_mm));
            let play = bush.play(end, setting, duty, class, load_n);
            duty.limits.push(play);
            if let Some(allowed) = self.drag_allowed {
                let drag = bush.drag_limit(end, setting, duty, (class, load_n, allowed.0));
                duty.limits.push(drag);
            }
        }
        if let Some(allowed) = self.speed_allowed {
            duty.limits.push(rubbing.speed_limit(allowed.0, class));
        }
        rubbing.heat_limits(setting, duty, (class, load_n, None));
        duty.promise = Some(Promise {
            parts: "bushes",
            deeds: vec![
                Deed::new("carry", load_n, Force::UNIT, ""),
                Deed::new("wear at most", rubbing.allowed_mm, Length::UNIT, ""),
            ],
        });
        let number = f64::from(self.bushes.unwrap_or(1));
        let volume = rubbing.contact.volume_mm3(rubbing.thickness_mm) * number;
        let light = bush.light(setting, duty, self.drag_allowed.map(|m| m.0));
        let mut aims = rubbing.aims(setting, duty, load_n).to_vec();
        aims.extend([
            light,
            usual::easy_print(duty),
            usual::cost(duty, volume),
            usual::weight(duty, volume),
        ]);
        duty.aims.extend(aims);
        duty.preference = usual::points(&[
            ("wear-life", 40.0),
            ("light-turning", 25.0),
            ("heat-reserve", 10.0),
            ("easy-print", 10.0),
            ("cost", 15.0),
        ]);
        Ok(())
    }

    pushed!(Load load, Thickness length, Thickness wall);

    fn words(&self) -> Vec<String> {
        vec![self.note.clone()]
    }

    fn cautions(&self, _: &Setting) -> Vec<(&'static str, String)> {
        fast_rotation("sliding speed", self.speed_m_s())
    }
}

/// The row of the registry.
pub(super) const KIND: PartKind = PartKind {
    id: "plain-bushing",
    title: "a plain bush round a shaft that turns or swings",
    read: read_inputs::<PlainBushing>,
    schema: || schemars::schema_for!(PlainBushing),
    example: docs::EXAMPLE,
    formulas: docs::FORMULAS,
    limits: &[
        ("wear-depth", "mm"),
        ("pressure", "MPa"),
        ("pv", "MPa.m/s"),
        ("speed", "m/s"),
        ("play-left", "mm"),
        ("drag", Torque::UNIT),
        ("heat-margin", "K"),
        ("creep-sink", "mm"),
    ],
    lying: Some(Lying {
        flat: "lying on its side, the bore a tunnel through the layers",
        edge: "lying on its side, the bore a tunnel through the layers",
        upright: "standing on its end, the bore round in every layer",
        open: LiesOnBed::Upright,
    }),
};
