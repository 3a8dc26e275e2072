//! The sliding-pad part kind: a pad, bush or groove that wears, heats and carries.
//!
//! Pressure, speed and their product are three limits and are judged apart.

mod contact;
mod docs;

use crate::duty::mechanics::pad::trusted_of_yield;
use crate::duty::mechanics::sliding::{Contact, heat_w, spot_rise_k, surface_conductivity};
use crate::duty::mechanics::surroundings::{End, ask, ends, plain_ask};
use crate::duty::mechanics::usual;
use crate::duty::part::read_inputs;
use crate::duty::{
    Deed, Duty, Lever, LeverKind, LiesOnBed, Limit, LimitSense, Lying, Part, PartKind, Performance,
    Preference, Promise, Setting, Trace, ValueScale,
};
use crate::policy::Class;
use crate::problem::Fault;
use crate::property::{Ask, Face};
use crate::quantity::{Area, FilmCoefficient, Flow, Force, Length, Speed, ThermalResistance};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Margin below the softening onset, K: the low end of common practice for lasting loads (no source).
const HEAT_MARGIN_K: f64 = 20.0;
/// Multiple of the life from which longer wear gives nothing (ours).
const WEAR_LIFE_ENOUGH: f64 = 10.0;
/// Rise of a contact spot over the rise to softening beyond which a figure is no prediction but
/// says that the pair melts (ours).
const MELTS: f64 = 10.0;
/// Rim speed from which spinning parts are dangerous, m/s (common practice, no source).
const RIM_SPEED: f64 = 20.0;

/// How the two bodies touch.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
enum ContactKind {
    /// A flat face on a flat.
    Flat,
    /// A bush round a shaft; the load stands still on the bush.
    BushLoadFixed,
    /// A bush round a shaft; the load goes round the bush, because the bush turns under it.
    BushLoadTurning,
    /// A round shaft across a flat face, wearing a groove.
    ShaftOnFlat,
}

/// A pad, bush or flat that something slides on.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct SlidingPad {
    /// How the two bodies touch.
    #[schemars(extend("why" = "decides how load turns into pressure, and which sizes are asked"))]
    contact: ContactKind,
    /// Load on one pad or bush.
    #[schemars(extend("why" = "decides wear and friction heat: twice the load wears twice as fast"))]
    load: Force,
    /// Area of a flat face; or give `width` and `length`.
    #[schemars(extend("why" = "decides the pressure on the sliding face, and how fast the depth wears"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    area: Option<Area>,
    /// Width of a flat face.
    #[schemars(extend("why" = "decides the pressure on the sliding face, and how fast the depth wears"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    width: Option<Length>,
    /// Length of a flat face, of a bush, or of the line that a shaft touches.
    #[schemars(extend("why" = "decides the pressure on the sliding face, and how fast the depth wears"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    length: Option<Length>,
    /// Bore of a bush.
    #[schemars(extend("why" = "decides the pressure in the bush, and the sliding speed of its shaft"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    bore: Option<Length>,
    /// Diameter of a shaft that lies across a flat.
    #[schemars(extend("why" = "decides how narrow the line is that carries the load, and the sliding speed"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    shaft_diameter: Option<Length>,
    /// Thickness of the pad, or wall of the bush.
    #[schemars(extend("why" = "decides how much there is to wear and to sink, and how the heat gets out"))]
    thickness: Length,
    /// Sliding speed while it slides; or give `turns`.
    #[schemars(extend("why" = "decides friction heat, and with the time the way slid"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    speed: Option<Speed>,
    /// Turns of the shaft or bush while it turns.
    #[schemars(extend("why" = "decides the sliding speed, and with the time the way slid"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    turns: Option<Flow>,
    /// Share of its life that it slides, above 0 to 1; 1 when left out. Or give strokes.
    #[schemars(extend("why" = "decides how far it slides in its life, and so how much wears away"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    share: Option<f64>,
    /// Strokes a day, each one way.
    #[schemars(extend("why" = "decides how far it slides in its life, and so how much wears away"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    strokes_per_day: Option<f64>,
    /// Length of one stroke, one way.
    #[schemars(extend("why" = "decides how far it slides in its life, and so how much wears away"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    stroke: Option<Length>,
    /// Share of the time that it slides in its busiest quarter of an hour, above 0 to 1: friction heat is averaged over it; 1 when left out.
    #[schemars(extend("why" = "decides how hot the face gets: heat of short bursts is averaged away"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    busy_share: Option<f64>,
    /// Depth that may wear away.
    #[schemars(extend("why" = "decides when the pad counts as worn out"))]
    wear_allowed: Length,
    /// Thermal resistance from the sliding face to the surroundings; or give `film`.
    #[schemars(extend("why" = "decides how hot the face gets for the heat that friction makes"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    thermal_resistance: Option<ThermalResistance>,
    /// Film coefficient of the surface that gives off the heat: still air gives 5 to 15 W/(m2.K).
    #[schemars(extend("why" = "decides how hot the face gets for the heat that friction makes"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    film: Option<FilmCoefficient>,
    /// Area that gives off the heat; the contact's when left out.
    #[schemars(extend("why" = "decides how hot the face gets for the heat that friction makes"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    cooled_area: Option<Area>,
    /// Highest speed that a handbook or maker allows this pair, where one is known; no bench test here gives it.
    #[schemars(extend("why" = "adds a limit that no bench test here gives"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    speed_allowed: Option<Speed>,
    /// Radius of the small spot that carries the load, where it is not the whole face: its own rise is judged.
    #[schemars(extend("why" = "decides how much hotter the small spot is that carries the load"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    contact_radius: Option<Length>,
    /// Depth that the pad may sink by creep under the load; not judged when left out.
    #[schemars(extend("why" = "adds a limit on creep under the load"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    sink_allowed: Option<Length>,
    /// Which printed face slides; any when left out.
    #[schemars(extend("why" = "the bottom, the top and the side of a print wear unlike each other: naming the face takes readings of that face alone"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    face: Option<Face>,
    /// How many such pads the use has; 1 when left out. Counts for cost.
    #[schemars(extend("why" = "decides how much polymer the use takes, which counts for cost and weight"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pads: Option<u32>,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

/// The pad with every default filled in.
#[derive(Clone, Debug)]
struct Pad {
    contact: Contact,
    load_n: f64,
    speed_m_s: f64,
    /// Distance slid over the life, m.
    distance_m: f64,
    life_h: f64,
    allowed_mm: f64,
    thickness_mm: f64,
    /// From the sliding face to the surroundings, K/W.
    resistance_k_w: f64,
    busy: f64,
    surface: String,
    face: Option<Face>,
}

impl Pad {
    /// A property of the sliding pair at a temperature.
    fn pair(&self, setting: &Setting, property: &'static str, at_c: f64) -> Ask {
        Ask {
            face: self.face,
            ..ask(setting, property, at_c).on(self.surface.clone())
        }
    }

    /// Nominal pressure with how it comes about, MPa.
    fn pressure(&self, label: &str, load_n: f64, t: &mut Trace) -> f64 {
        t.step(label, "load on the contact", load_n, "N");
        t.step(
            label,
            "area of the contact",
            self.contact.nominal_mm2(),
            "mm2",
        );
        t.step(label, "pressure", self.contact.pressure_mpa(load_n), "MPa")
    }

    fn worn(&self, load_n: f64) -> Performance {
        let pad = self.clone();
        Performance::new(move |i, t| {
            let [k] = *i.x else { return f64::NAN };
            let worn = pad.contact.worn_mm(k, load_n, pad.distance_m, t);
            let life = pad.life_h * pad.contact.times_distance(pad.allowed_mm, worn);
            t.step("A2", "depth that may wear away", pad.allowed_mm, "mm");
            t.step("A2", "life of the case", pad.life_h, "h");
            t.step("A2", "life until the allowed wear", life, "h");
            worn
        })
    }

    fn wear_life(&self, load_n: f64) -> Performance {
        let pad = self.clone();
        Performance::new(move |i, t| {
            let [k] = *i.x else { return f64::NAN };
            let worn = pad.contact.worn_mm(k, load_n, pad.distance_m, t);
            let life = pad.life_h * pad.contact.times_distance(pad.allowed_mm, worn);
            t.step("A2", "depth that may wear away", pad.allowed_mm, "mm");
            t.step("A2", "life of the case", pad.life_h, "h");
            t.step("A2", "life until the allowed wear", life, "h")
        })
    }

    /// Pressure that the material carries: of a bolted run, else a third of its yield strength.
    fn carried(&self, load_n: f64) -> Performance {
        let pad = self.clone();
        Performance::new(move |i, t| {
            let ([strength], [from]) = (i.x, i.which) else {
                return f64::NAN;
            };
            pad.pressure("A5", load_n, t);
            t.step(
                "A6",
                "highest pressure",
                pad.contact.peak_mpa(load_n),
                "MPa",
            );
            if *from == 0 {
                return t.step("A9", "bearing pressure carried", *strength, "MPa");
            }
            trusted_of_yield("A9", *strength, t)
        })
    }

    fn pv_held(&self, load_n: f64) -> Performance {
        let pad = self.clone();
        Performance::new(move |i, t| {
            let [held] = *i.x else { return f64::NAN };
            let p = pad.pressure("A5", load_n, t);
            let v = t.step("A5", "sliding speed", pad.speed_m_s, "m/s");
            t.step("A9", "pressure times speed", p * v, "MPa.m/s");
            t.step("A9", "pressure times speed held", held, "MPa.m/s")
        })
    }

    /// Margin below softening with the rise by friction, or in storage without it, K.
    fn heat_margin(&self, load_n: f64, setting: &Setting) -> Performance {
        let pad = self.clone();
        let service_c = setting.temperature_c.1;
        let storage_c = setting.hottest_c();
        Performance::new(move |i, t| {
            let [friction, onset] = *i.x else {
                return f64::NAN;
            };
            let heat = heat_w(friction, load_n, pad.speed_m_s, t);
            t.step("A10", "share of a busy spell that it slides", pad.busy, "1");
            let mean = t.step(
                "A10",
                "heat averaged over a busy spell",
                heat * pad.busy,
                "W",
            );
            t.step(
                "A10",
                "thermal resistance to the surroundings",
                pad.resistance_k_w,
                "K/W",
            );
            let rise = t.step("A10", "rise by friction", mean * pad.resistance_k_w, "K");
            t.step("A10", "hottest surroundings in use", service_c, "degC");
            let face = t.step(
                "A10",
                "temperature of the sliding face",
                service_c + rise,
                "degC",
            );
            t.step("D2", "softening onset", onset, "degC");
            let hottest = if face < storage_c { storage_c } else { face };
            t.step("D2", "hottest moment", hottest, "degC");
            t.step("D2", "margin", onset - hottest, "K")
        })
    }

    /// Rise of the small contact spot over the rise to softening, capped at [`MELTS`].
    fn spot(&self, load_n: f64, radius_mm: f64, service_c: f64) -> Performance {
        let pad = self.clone();
        let counter = surface_conductivity(&self.surface);
        Performance::new(move |i, t| {
            let [friction, onset, conductivity] = *i.x else {
                return f64::NAN;
            };
            let heat = heat_w(friction, load_n, pad.speed_m_s, t);
            t.step("A11", "radius of the contact spot", radius_mm, "mm");
            t.step("A11", "conductivity of the pad", conductivity, "W/(m.K)");
            t.step(
                "A11",
                "conductivity of the surface",
                counter.unwrap_or(conductivity),
                "W/(m.K)",
            );
            let rise = spot_rise_k(
                heat,
                radius_mm,
                conductivity,
                counter.unwrap_or(conductivity),
            );
            t.step("A11", "rise of the contact spot", rise, "K");
            t.step("A11", "softening onset", onset, "degC");
            t.step("A11", "hottest surroundings in use", service_c, "degC");
            let room = t.step("A11", "rise to softening", onset - service_c, "K");
            let share = rise / room;
            // Past it, and where the surroundings alone soften it, the figure says "melts".
            let capped = if share > MELTS || room <= 0.0 {
                MELTS
            } else {
                share
            };
            t.step("A11", "rise over the rise to softening", capped, "1")
        })
    }

    /// Depth that the pad sinks by creep, mm: p t/E at the life.
    fn sunk(&self, load_n: f64) -> Performance {
        let pad = self.clone();
        Performance::new(move |i, t| {
            let [modulus] = *i.x else { return f64::NAN };
            let p = pad.pressure("B5", load_n, t);
            t.step("B5", "creep modulus at the life", modulus, "MPa");
            t.step("B5", "thickness of the pad", pad.thickness_mm, "mm");
            t.step(
                "B5",
                "depth sunk by creep",
                p * pad.thickness_mm / modulus,
                "mm",
            )
        })
    }
}

impl Part for SlidingPad {
    fn kind(&self) -> &'static str {
        "sliding-pad"
    }

    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        let pad = self.pad(setting)?;
        self.note_defaults(&pad, setting, duty);
        let class = setting.class_of(Class::Damage);
        let load_n = pad.load_n * usual::loads_factor(setting, class, duty);
        duty.promise = Some(Promise {
            parts: match self.contact {
                ContactKind::Flat | ContactKind::ShaftOnFlat => "pads",
                ContactKind::BushLoadFixed | ContactKind::BushLoadTurning => "bushes",
            },
            deeds: vec![
                Deed::new("carry", load_n, "N", ""),
                Deed::new("wear at most", pad.allowed_mm, "mm", ""),
            ],
        });
        for end in ends(setting) {
            self.at_end(&pad, end, setting, duty, class, load_n);
        }
        if let Some(allowed) = self.speed_allowed {
            let speed = pad.speed_m_s;
            duty.limits.push(Limit {
                id: "speed".to_owned(),
                title: "sliding speed".to_owned(),
                failure: "slides faster than the pair allows",
                class,
                sense: LimitSense::AtMost(allowed.0),
                unit: "m/s".to_owned(),
                needs: Vec::new(),
                performance: Performance::new(move |_, t| {
                    t.step("A9", "sliding speed", speed, "m/s")
                }),
                source: "A9: the speed allowed is the case's own figure; no bench test here gives one",
            });
        }
        duty.promise = Some(Promise {
            parts: "pads",
            deeds: vec![
                Deed::new("carry", load_n, Force::UNIT, ""),
                Deed::new("wear at most", pad.allowed_mm, Length::UNIT, ""),
            ],
        });
        self.heat(&pad, setting, duty, class, load_n);
        self.aims(&pad, setting, duty, load_n);
        Ok(())
    }

    fn levers(&self) -> Vec<Lever> {
        let thickness = |name, l: Length| Lever {
            name,
            kind: LeverKind::Thickness,
            value: l.0,
            unit: Length::UNIT,
        };
        let mut levers = vec![Lever {
            name: "load",
            kind: LeverKind::Load,
            value: self.load.0,
            unit: Force::UNIT,
        }];
        levers.extend(self.width.map(|l| thickness("width", l)));
        levers.extend(self.length.map(|l| thickness("length", l)));
        levers.push(thickness("thickness", self.thickness));
        levers
    }

    fn with_lever(&self, name: &str, value: f64) -> Option<Box<dyn Part>> {
        let mut other = self.clone();
        match name {
            "load" => other.load = Force(value),
            "width" => other.width = Some(Length(value)),
            "length" => other.length = Some(Length(value)),
            "thickness" => other.thickness = Length(value),
            _ => return None,
        }
        Some(Box::new(other))
    }

    fn inputs(&self) -> serde_json::Value {
        serde_json::to_value(self).unwrap_or_default()
    }

    fn words(&self) -> Vec<String> {
        vec![self.note.clone()]
    }

    fn cautions(&self, _: &Setting) -> Vec<(&'static str, String)> {
        match self.speed_m_s() {
            Some(v) if v >= RIM_SPEED => {
                vec![("fast-rotation", format!("sliding speed {v:.0} m/s"))]
            }
            _ => Vec::new(),
        }
    }
}

impl SlidingPad {
    fn at_end(
        &self,
        pad: &Pad,
        end: End,
        setting: &Setting,
        duty: &mut Duty,
        class: Class,
        load_n: f64,
    ) {
        let at_c = end.temperature_c;
        let k = duty.ask(pad.pair(setting, "wear-rate", at_c));
        duty.limits.push(Limit {
            id: end.id("wear-depth"),
            title: "depth worn over the life".to_owned(),
            failure: "wears away",
            class,
            sense: LimitSense::AtMost(pad.allowed_mm),
            unit: "mm".to_owned(),
            needs: vec![vec![k]],
            performance: pad.worn(load_n),
            source: "A1, A2, A6 to A8: Archard's law (verified in source) with the contact's own spread of pressure (derived from mechanics)",
        });
        let strength = duty.ask(ask(setting, "bearing-strength", at_c));
        let yields = duty.ask(ask(setting, "yield-strength", at_c));
        duty.limits.push(Limit {
            id: end.id("pressure"),
            title: "pressure that the pad carries".to_owned(),
            failure: "is crushed under the load",
            class,
            sense: LimitSense::AtLeast(pad.contact.peak_mpa(load_n)),
            unit: "MPa".to_owned(),
            needs: vec![vec![strength, yields]],
            performance: pad.carried(load_n),
            source: "A5, A6, A9: load over area, a bush's highest at the load line (derived from mechanics); a third of the yield strength is common practice, no source",
        });
        let held = duty.ask(pad.pair(setting, "pv-held", at_c));
        duty.limits.push(Limit {
            id: end.id("pv"),
            title: "pressure times speed held".to_owned(),
            failure: "runs hot and melts at this pressure and speed",
            class,
            sense: LimitSense::AtLeast(pad.contact.pressure_mpa(load_n) * pad.speed_m_s),
            unit: "MPa.m/s".to_owned(),
            needs: vec![vec![held]],
            performance: pad.pv_held(load_n),
            source: "A5, A9: nominal pressure times speed, against what a run held (the rule verified in source)",
        });
        if let Some(sink) = self.sink_allowed {
            let stress = pad.contact.pressure_mpa(load_n);
            let creep = duty.ask(
                ask(setting, "creep-modulus", at_c)
                    .after(setting.life_h)
                    .under(stress),
            );
            duty.limits.push(Limit {
                id: end.id("creep-sink"),
                title: "depth sunk by creep".to_owned(),
                failure: "creeps thinner under the standing load",
                class,
                sense: LimitSense::AtMost(sink.0),
                unit: "mm".to_owned(),
                needs: vec![vec![creep]],
                performance: pad.sunk(load_n),
                source: "B5: pressure over the creep modulus, times the thickness (the method verified in outline)",
            });
        }
    }

    fn heat(&self, pad: &Pad, setting: &Setting, duty: &mut Duty, class: Class, load_n: f64) {
        let needs = pad.heat_needs(setting, duty);
        duty.limits.push(Limit {
            id: "heat-margin".to_owned(),
            title: "margin below softening while sliding".to_owned(),
            failure: "softens in the heat of friction",
            class,
            sense: LimitSense::AtLeast(HEAT_MARGIN_K),
            unit: "K".to_owned(),
            needs: needs.clone(),
            performance: pad.heat_margin(load_n, setting),
            source: "A10: friction x load x speed x thermal resistance (derived from mechanics); the margin is common practice, no source",
        });
        if let Some(radius) = self.contact_radius {
            let mut needs = needs;
            needs.push(vec![duty.ask(plain_ask("conductivity"))]);
            duty.limits.push(Limit {
                id: "spot-heat".to_owned(),
                title: "rise of the contact spot over the rise to softening".to_owned(),
                failure: "melts at the spot that carries the load",
                class,
                sense: LimitSense::AtMost(1.0),
                unit: "1".to_owned(),
                needs,
                performance: pad.spot(load_n, radius.0, setting.temperature_c.1),
                source: "A11: isothermal disc on two half-spaces (standard heat conduction; derived)",
            });
        }
    }

    fn aims(&self, pad: &Pad, setting: &Setting, duty: &mut Duty, load_n: f64) {
        let k = duty.ask(pad.pair(setting, "wear-rate", setting.temperature_c.1));
        let needs = pad.heat_needs(setting, duty);
        let pads = f64::from(self.pads.unwrap_or(1));
        let volume = pad.contact.volume_mm3(pad.thickness_mm) * pads;
        let aims = vec![
            usual::aim(
                "wear-life",
                "h",
                ValueScale {
                    zero: pad.life_h,
                    one: WEAR_LIFE_ENOUGH * pad.life_h,
                    log: true,
                },
                vec![vec![k]],
                pad.wear_life(load_n),
            ),
            usual::reserve_aim(HEAT_MARGIN_K, needs, pad.heat_margin(load_n, setting)),
            usual::easy_print(duty),
            usual::cost(duty, volume),
            usual::weight(duty, volume),
        ];
        duty.aims.extend(aims);
        duty.preference = Some(Preference::Points(
            [
                ("wear-life", 50.0),
                ("heat-reserve", 20.0),
                ("easy-print", 15.0),
                ("cost", 15.0),
            ]
            .into_iter()
            .map(|(k, v)| (k.to_owned(), v))
            .collect(),
        ));
    }
}

impl Pad {
    /// Kinetic friction and softening onset, in the order of [`Pad::heat_margin`].
    fn heat_needs(&self, setting: &Setting, duty: &mut Duty) -> Vec<Vec<usize>> {
        let hot_c = setting.temperature_c.1;
        vec![
            vec![duty.ask(self.pair(setting, "kinetic-friction", hot_c))],
            vec![duty.ask(plain_ask("softening-onset").moist(setting.moisture))],
        ]
    }
}

/// The row of the registry.
pub(super) const KIND: PartKind = PartKind {
    id: "sliding-pad",
    title: "a pad, bush or flat that something slides on",
    read: read_inputs::<SlidingPad>,
    schema: || schemars::schema_for!(SlidingPad),
    example: docs::EXAMPLE,
    formulas: docs::FORMULAS,
    limits: &[
        ("wear-depth", "mm"),
        ("pressure", "MPa"),
        ("pv", "MPa.m/s"),
        ("speed", "m/s"),
        ("heat-margin", "K"),
        ("spot-heat", "1"),
        ("creep-sink", "mm"),
    ],
    lying: Some(Lying {
        flat: "lying with the sliding face on the bed or on top",
        edge: "lying on its side, the sliding face a wall",
        upright: "standing on its end, the sliding face a wall",
        open: LiesOnBed::Flat,
    }),
};
