//! The knob part kind: a knob or hand wheel that a hand turns on a shaft.
//!
//! It must survive the strong and be turned by the weak.

mod docs;
mod inputs;

use self::inputs::{Knob, Seat, Turned, hand_nm};
use crate::duty::mechanics::bent::{Bent, strength};
use crate::duty::mechanics::fatigue::left_after;
use crate::duty::mechanics::held::{Age, Read, Sleeve};
use crate::duty::mechanics::hub::{
    ROOT_3, flat_pressure_mpa, flat_split_mpa, screw_pressure_mpa, spoke_mpa, torsion_mpa,
    wind_up_deg,
};
use crate::duty::mechanics::layers::Layers;
use crate::duty::mechanics::pad::{PRESSED, pressed_needs};
use crate::duty::mechanics::pushed::pushed;
use crate::duty::mechanics::surroundings::{End, ask, ends, plain_ask, usual_end};
use crate::duty::mechanics::usual;
use crate::duty::part::read_inputs;
use crate::duty::{
    Aim, Deed, Duty, LiesOnBed, Limit, LimitSense, Lying, Part, PartKind, Performance, Promise,
    Setting, Trace, ValueScale,
};
use crate::policy::Class;
use crate::problem::Fault;
use crate::property::Lies;
use crate::quantity::Torque;

/// Margin below the softening onset, K: the low end of common practice for lasting loads (no source).
const HEAT_MARGIN_K: f64 = 20.0;
/// Moduli, MPa, whose hubs feel as woolly as is just acceptable, and so firm that stiffer gives
/// nothing (ours, no source found for what hands like).
const FEEL_MPA: (f64, f64) = (300.0, 4000.0);
/// Poisson's ratio that the scale of that feel is reckoned with (usual for stiff polymers).
const POISSON: f64 = 0.38;

/// Hoop and spokes of a knob that lies flat run in its layers.
const ROUND: Layers = Layers {
    flat: Lies::InPlane,
    edge: Lies::Across,
    upright: Lies::Across,
};
const LYING: Lying = Lying {
    flat: "lying flat, the shaft's hole upright",
    edge: "standing on its rim, the shaft's hole lying",
    upright: "standing on its rim, the shaft's hole lying",
    // A knob on its rim would have seams across its hub: nobody prints one so who has the choice.
    open: LiesOnBed::Flat,
};

/// What every limit of a knob shares.
#[derive(Clone, Copy)]
struct Judged<'a> {
    setting: &'a Setting,
    end: End,
    class: Class,
    factor: f64,
}

impl Judged<'_> {
    /// A limit against a stress that the material must bear, MPa.
    fn bears(
        self,
        id: &str,
        (title, failure): (&str, &'static str),
        stress: f64,
        (needs, performance): (Vec<Vec<usize>>, Performance),
        source: &'static str,
    ) -> Limit {
        Limit {
            id: self.end.id(id),
            title: title.to_owned(),
            failure,
            class: self.class,
            sense: LimitSense::AtLeast(stress),
            unit: "MPa".to_owned(),
            needs,
            performance,
            source,
        }
    }

    fn ask(self, property: &'static str) -> crate::property::Ask {
        ask(self.setting, property, self.end.temperature_c)
    }

    /// What a short pressure may reach.
    fn pressed(self, duty: &mut Duty) -> Vec<usize> {
        pressed_needs(self.setting, self.end.temperature_c, duty)
    }
}

/// A performance that is a strength, after the steps that lead to the stress against it.
fn against(what: &'static str, steps: impl Fn(&mut Trace) + Send + Sync + 'static) -> Performance {
    Performance::new(move |i, t| {
        let [strength] = *i.x else { return f64::NAN };
        steps(t);
        t.step("", what, strength, "MPa")
    })
}

impl Turned {
    /// K7: shear stress of a torque in the hub, MPa.
    fn torsion(&self, torque_nm: f64, t: &mut Trace) -> f64 {
        t.step("K9", "mean torque of a hand", hand_nm().0, "N.m");
        t.step("K9", "torque of a strong hand", hand_nm().1, "N.m");
        t.step("K7", "torque", torque_nm, "N.m");
        t.step("K7", "outside of the hub", self.hub_mm, "mm");
        t.step("K7", "diameter of the shaft", self.shaft_mm, "mm");
        let tau = torsion_mpa(torque_nm, self.hub_mm, self.shaft_mm);
        t.step("K7", "shear stress in the hub", tau, "MPa")
    }

    fn hub_limits(self, j: Judged<'_>, duty: &mut Duty) {
        let torque_nm = self.torque_nm * j.factor;
        // Torsion shears on every plane across and along: a seam is among them however it lies.
        let across = duty.ask(j.ask("tensile-strength").lying(Lies::Across));
        duty.limits.push(j.bears(
            "hub-torsion",
            ("shear that the hub bears", "twists off at the hub"),
            self.torsion(torque_nm, &mut Trace::off()),
            (
                vec![vec![across]],
                Performance::new(move |i, t| {
                    let [strength] = *i.x else { return f64::NAN };
                    self.torsion(torque_nm, t);
                    t.step("K7", "tensile strength across the layers", strength, "MPa");
                    t.step("K7", "shear strength", strength / ROOT_3, "MPa")
                }),
            ),
            "K7: round hub in torsion (derived from mechanics), against strength/sqrt(3) (von Mises; derived)",
        ));
        let (Some(everyday), Some(cycles)) = (self.everyday_nm, self.cycles) else {
            return;
        };
        let everyday = everyday * j.factor;
        let share = duty.ask(plain_ask("fatigue-share"));
        duty.limits.push(j.bears(
            "hub-fatigue",
            ("shear that the hub bears so often", "cracks at the hub after many turns"),
            self.torsion(everyday, &mut Trace::off()),
            (
                vec![vec![across], vec![share]],
                Performance::new(move |i, t| {
                    let [strength, share] = *i.x else {
                        return f64::NAN;
                    };
                    self.torsion(everyday, t);
                    t.step("K7", "tensile strength across the layers", strength, "MPa");
                    let left = left_after(cycles, (strength, "MPa"), share, t);
                    t.step("D7", "shear strength after so many turns", left / ROOT_3, "MPa")
                }),
            ),
            "K7 (derived from mechanics), D7 between one load and ten million (the lower line; the choice ours)",
        ));
    }

    fn seat_limits(self, j: Judged<'_>, surface: &str, duty: &mut Duty) {
        let torque_nm = self.torque_nm * j.factor;
        let hoop = ROUND.of(j.setting, LYING);
        match self.seat {
            Seat::Flat { half_width_mm } => {
                let length_mm = self.length_mm;
                let pressure = flat_pressure_mpa(torque_nm, half_width_mm, length_mm);
                let pressed = j.pressed(duty);
                let steps = move |t: &mut Trace| {
                    t.step("K8", "torque", torque_nm, "N.m");
                    t.step("K8", "half width of the flat", half_width_mm, "mm");
                    t.step("K8", "length of the hub", length_mm, "mm");
                    t.step("K8", "highest pressure of the flat", pressure, "MPa");
                };
                duty.limits.push(j.bears(
                    "flat-pressure",
                    ("pressure that the flat's seat bears", "is crushed by the flat and turns through"),
                    pressure,
                    (vec![pressed], against(PRESSED, steps)),
                    "K8: triangular pressure on half of the flat (derived from mechanics, an upper bound); the load is short, so that the yield strength is asked first and a bolted run stands in (ours)",
                ));
                let split = flat_split_mpa(torque_nm, half_width_mm, self.hub());
                let wall_mm = self.wall_mm();
                let steps = move |t: &mut Trace| {
                    t.step(
                        "K14",
                        "force of the flat",
                        1.5 * torque_nm * 1e3 / half_width_mm,
                        "N",
                    );
                    t.step("K14", "wall of the hub", wall_mm, "mm");
                    t.step("K14", "stress in the wall beside the flat", split, "MPa");
                };
                let strength = duty.ask(j.ask("tensile-strength").lying(hoop));
                duty.limits.push(j.bears(
                    "hub-split",
                    ("stress that the hub's wall bears", "splits at the hub"),
                    split,
                    (
                        vec![vec![strength]],
                        against("tensile strength round the hub", steps),
                    ),
                    "K14: the flat's force on one wall (derived from mechanics, an upper bound)",
                ));
            }
            Seat::Press { fit } => {
                let sleeve = Sleeve {
                    fit,
                    collar_n: None,
                    hoop,
                };
                let hot_c = j.setting.temperature_c.1;
                let old = Age::Old {
                    hot_c,
                    life_h: j.setting.life_h,
                };
                let at_c = j.end.temperature_c;
                let moisture = j.setting.moisture;
                let needs = sleeve.holding_needs(surface, moisture, at_c, old, duty);
                duty.limits.push(Limit {
                    id: j.end.id("press-hold"),
                    title: "torque that the press fit holds".to_owned(),
                    failure: "turns on its shaft",
                    class: j.class,
                    sense: LimitSense::AtLeast(torque_nm),
                    unit: Torque::UNIT.to_owned(),
                    needs,
                    performance: sleeve.holding(at_c, old, Read::Torque),
                    source: "G1 to G5, G7, G8: squeeze of a hub on a rigid shaft, relaxed as the force is (derived from mechanics)",
                });
                sleeve.stretched(j.end, 1.0, j.setting, duty, j.class);
            }
            Seat::Screw { screw_mm } => {
                let wall_mm = self.wall_mm();
                let shaft_mm = self.shaft_mm;
                let pressure = screw_pressure_mpa(torque_nm, shaft_mm, screw_mm, wall_mm);
                let pressed = j.pressed(duty);
                let steps = move |t: &mut Trace| {
                    t.step("K15", "torque", torque_nm, "N.m");
                    t.step(
                        "K15",
                        "force at the shaft's surface",
                        2.0 * torque_nm * 1e3 / shaft_mm,
                        "N",
                    );
                    t.step("K15", "diameter of the screw", screw_mm, "mm");
                    t.step("K15", "wall that it goes through", wall_mm, "mm");
                    t.step("K15", "pressure of the screw", pressure, "MPa");
                };
                duty.limits.push(j.bears(
                    "screw-pressure",
                    ("pressure that the screw's hole bears", "lets the screw tear through the hub"),
                    pressure,
                    (vec![pressed], against(PRESSED, steps)),
                    "K15: force at the shaft over the screw's projected area (derived from mechanics); the load is short, so that the yield strength is asked first and a bolted run stands in (ours)",
                ));
            }
        }
    }

    fn spoke_limit(self, j: Judged<'_>, duty: &mut Duty) {
        let Some((number, width_mm, thick_mm)) = self.spokes else {
            return;
        };
        let torque_nm = self.torque_nm * j.factor;
        let stress = spoke_mpa(
            torque_nm,
            number,
            self.hub_mm / self.rim_mm,
            (thick_mm, width_mm),
        );
        let [once, other] = Bent {
            setting: j.setting,
            at_c: j.end.temperature_c,
            lies: ROUND.of(j.setting, LYING),
        }
        .strength_needs(duty);
        duty.limits.push(j.bears(
            "spoke-bending",
            ("stress that the spokes bear", "breaks a spoke at the hub"),
            stress,
            (
                vec![once, other],
                Performance::new(move |i, t| {
                    t.step("K16", "torque of one spoke", torque_nm / number, "N.m");
                    t.step("K16", "stress at the root of a spoke", stress, "MPa");
                    strength(i, t)
                }),
            ),
            "K16: each spoke a cantilever from the hub, its share of the torque at the rim (derived from mechanics)",
        ));
    }

    /// The torque that a weak or wet hand reaches on a smooth rim.
    fn hand_limit(self, j: Judged<'_>, duty: &mut Duty) {
        let (Some(grip_n), Some(everyday)) = (self.grip_n, self.everyday_nm) else {
            return;
        };
        let rim_mm = self.rim_mm;
        let skin = duty.ask(j.ask("static-friction").on("skin"));
        duty.limits.push(Limit {
            id: j.end.id("hand-slip"),
            title: "torque that the hand reaches".to_owned(),
            failure: "slips in a weak or wet hand",
            class: j.class,
            // The hand's own limit: no factor makes a weak hand weaker.
            sense: LimitSense::AtLeast(everyday),
            unit: Torque::UNIT.to_owned(),
            needs: vec![vec![skin]],
            performance: Performance::new(move |i, t| {
                let [friction] = *i.x else { return f64::NAN };
                t.step("K17", "static friction on skin", friction, "1");
                t.step("K17", "force of the hand", grip_n, "N");
                t.step("K17", "diameter of the rim", rim_mm, "mm");
                t.step("K17", "torque that the hand reaches", friction * grip_n * rim_mm * 1e-3, "N.m")
            }),
            source: "K17: friction of thumb and fingers on both sides of the rim, mu F D (derived from mechanics)",
        });
    }

    /// The aim `positive-feel`: how far the hub winds up before the shaft turns.
    fn feel(self, setting: &Setting, duty: &mut Duty) -> Aim {
        let torque_nm = self.everyday_nm.unwrap_or(self.torque_nm);
        let at = |e| wind_up_deg(torque_nm, self.hub(), e, POISSON);
        let room = usual_end(setting).temperature_c;
        let modulus = duty.need_or(
            ask(setting, "tensile-modulus", room),
            ask(setting, "flexural-modulus", room),
        );
        let poisson = duty.ask(plain_ask("poisson-ratio"));
        usual::aim(
            "positive-feel",
            "deg",
            ValueScale {
                zero: at(FEEL_MPA.0),
                one: at(FEEL_MPA.1),
                log: true,
            },
            vec![modulus, vec![poisson]],
            Performance::new(move |i, t| {
                let [modulus, poisson] = *i.x else {
                    return f64::NAN;
                };
                t.step("K13", "torque", torque_nm, "N.m");
                t.step("K13", "modulus", modulus, "MPa");
                t.step("K13", "Poisson's ratio", poisson, "1");
                let wound = wind_up_deg(torque_nm, self.hub(), modulus, poisson);
                t.step("K13", "wind-up of the hub", wound, "deg")
            }),
        )
    }
}

impl Part for Knob {
    fn kind(&self) -> &'static str {
        "knob"
    }

    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        let knob = self.turned(setting)?;
        self.note_defaults(setting, duty);
        let class = setting.class_of(Class::Damage);
        let factor = usual::loads_factor(setting, class, duty);
        let surface = self.surface(setting);
        for end in ends(setting) {
            let j = Judged {
                setting,
                end,
                class,
                factor,
            };
            knob.hub_limits(j, duty);
            knob.seat_limits(j, &surface, duty);
            knob.spoke_limit(j, duty);
            knob.hand_limit(j, duty);
        }
        let heat = usual::heat_margin(setting, duty, HEAT_MARGIN_K, class);
        duty.limits.push(heat);
        duty.promise = Some(Promise {
            parts: "knobs",
            deeds: vec![Deed::new(
                "survive",
                knob.torque_nm * factor,
                Torque::UNIT,
                "",
            )],
        });
        let volume = self.volume_mm3(&knob) * f64::from(self.knobs.unwrap_or(1));
        let feel = knob.feel(setting, duty);
        duty.aims.push(feel);
        let everyday = usual::everyday_aims(setting, duty, HEAT_MARGIN_K, volume);
        duty.aims.extend(everyday);
        duty.preference = usual::points(&[
            ("positive-feel", 40.0),
            ("heat-reserve", 15.0),
            ("easy-print", 20.0),
            ("cost", 25.0),
        ]);
        Ok(())
    }

    pushed!(
        Load torque,
        Load everyday_torque,
        Thickness hub_diameter,
        Thickness hub_length,
        Thickness spoke_width,
        Thickness spoke_thickness,
    );

    fn words(&self) -> Vec<String> {
        vec![self.note.clone()]
    }
}

/// The row of the registry.
pub(super) const KIND: PartKind = PartKind {
    id: "knob",
    title: "a knob or hand wheel on a shaft",
    read: read_inputs::<Knob>,
    schema: || schemars::schema_for!(Knob),
    example: docs::EXAMPLE,
    formulas: docs::FORMULAS,
    limits: &[
        ("hub-torsion", "MPa"),
        ("hub-fatigue", "MPa"),
        ("flat-pressure", "MPa"),
        ("hub-split", "MPa"),
        ("press-hold", "N.m"),
        ("hoop-strain", "1"),
        ("hoop-stress", "1"),
        ("screw-pressure", "MPa"),
        ("spoke-bending", "MPa"),
        ("hand-slip", "N.m"),
        ("heat-margin", "K"),
    ],
    lying: Some(LYING),
};
