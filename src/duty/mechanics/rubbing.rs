//! A body of polymer that rubs on a surface for its life: wear, pressure, pressure times speed, heat.
//!
//! Pressure, speed and their product are three limits and are judged apart.

use crate::duty::mechanics::pad::trusted_of_yield;
use crate::duty::mechanics::sliding::{Contact, heat_w, spot_rise_k, surface_conductivity};
use crate::duty::mechanics::surroundings::{End, ask, plain_ask};
use crate::duty::mechanics::usual::{self, positive};
use crate::duty::{Aim, Duty, Limit, LimitSense, Performance, Setting, Trace, ValueScale};
use crate::policy::Class;
use crate::problem::Fault;
use crate::property::{Ask, Face};
use crate::quantity::{Area, FilmCoefficient, ThermalResistance};

/// Margin below the softening onset, K: the low end of common practice for lasting loads (no source).
pub(in crate::duty) const HEAT_MARGIN_K: f64 = 20.0;
/// Multiple of the life from which longer wear gives nothing (ours).
const WEAR_LIFE_ENOUGH: f64 = 10.0;
/// Rise of a contact spot over the rise to softening beyond which a figure is no prediction but
/// says that the pair melts (ours).
const MELTS: f64 = 10.0;
/// Rim speed from which spinning parts are dangerous, m/s (common practice, no source).
pub(in crate::duty) const RIM_SPEED: f64 = 20.0;

/// The caution that a speed in m/s raises, `what` naming the speed.
pub(in crate::duty) fn fast_rotation(what: &str, speed_m_s: f64) -> Vec<(&'static str, String)> {
    if speed_m_s >= RIM_SPEED {
        vec![("fast-rotation", format!("{what} {speed_m_s:.0} m/s"))]
    } else {
        Vec::new()
    }
}

/// How friction's heat gets away, as a case says it.
#[derive(Clone, Copy, Debug)]
pub(in crate::duty) struct HeatPath {
    /// From the rubbing face to the surroundings.
    pub(in crate::duty) resistance: Option<ThermalResistance>,
    /// Film coefficient of the surface that gives off the heat.
    pub(in crate::duty) film: Option<FilmCoefficient>,
    /// Area that gives off the heat.
    pub(in crate::duty) cooled: Option<Area>,
}

impl HeatPath {
    /// Thermal resistance, K/W: A10, given or 1/(h A), A the part's own area, mm2, where none is given.
    pub(in crate::duty) fn k_w(self, own_mm2: Option<f64>, faults: &mut Vec<Fault>) -> Option<f64> {
        match (self.resistance, self.film) {
            (Some(r), None) => {
                positive(faults, "thermal_resistance", r.0, "K/W");
                if self.cooled.is_some() {
                    faults.push(Fault::new(
                        "duty::heat-path",
                        "`cooled_area` belongs to `film`, and `thermal_resistance` is given",
                        "leave `cooled_area` out",
                    ));
                }
                Some(r.0)
            }
            (None, Some(h)) => {
                positive(faults, "film", h.0, "W/(m2.K)");
                if let Some(a) = self.cooled {
                    positive(faults, "cooled_area", a.0, "mm2");
                }
                let area = match self.cooled {
                    Some(a) => a.0,
                    None => own_mm2?,
                };
                Some(1.0 / (h.0 * area * 1e-6))
            }
            _ => {
                faults.push(Fault::new(
                    "duty::heat-path",
                    "one of `thermal_resistance` and `film` says how the friction heat gets away",
                    "write for example `\"thermal_resistance\": \"12 K/W\"`, or `\"film\": \"10 W/(m2.K)\"` with `cooled_area`",
                ));
                None
            }
        }
    }
}

/// A rubbing body with every default filled in.
#[derive(Clone, Debug)]
pub(in crate::duty) struct Rubbing {
    /// What it is called (`pad`).
    pub(in crate::duty) what: &'static str,
    /// How it touches.
    pub(in crate::duty) contact: Contact,
    /// Load of the case, N, without a class's factor.
    pub(in crate::duty) load_n: f64,
    /// Sliding speed while it slides, m/s.
    pub(in crate::duty) speed_m_s: f64,
    /// Distance slid over the life, m.
    pub(in crate::duty) distance_m: f64,
    /// Life, h.
    pub(in crate::duty) life_h: f64,
    /// Depth that may wear away, mm.
    pub(in crate::duty) allowed_mm: f64,
    /// Thickness under the load, mm.
    pub(in crate::duty) thickness_mm: f64,
    /// From the sliding face to the surroundings, K/W.
    pub(in crate::duty) resistance_k_w: f64,
    /// Share of a busy spell that it slides, above 0 to 1.
    pub(in crate::duty) busy: f64,
    /// Surface that it rubs on.
    pub(in crate::duty) surface: String,
    /// Printed face that rubs; any where not said.
    pub(in crate::duty) face: Option<Face>,
}

impl Rubbing {
    /// A property of the sliding pair at a temperature.
    pub(in crate::duty) fn pair(
        &self,
        setting: &Setting,
        property: &'static str,
        at_c: f64,
    ) -> Ask {
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

    /// Depth worn over the life, mm, with the life until the allowed depth among its steps.
    pub(in crate::duty) fn worn(&self, load_n: f64) -> Performance {
        let body = self.clone();
        Performance::new(move |i, t| body.wear(i.x, load_n, t).0)
    }

    /// Life until the allowed depth is worn, h.
    pub(in crate::duty) fn wear_life(&self, load_n: f64) -> Performance {
        let body = self.clone();
        Performance::new(move |i, t| body.wear(i.x, load_n, t).1)
    }

    /// Depth worn over the life, mm, and life until the allowed depth, h.
    fn wear(&self, x: &[f64], load_n: f64, t: &mut Trace) -> (f64, f64) {
        let [k] = *x else {
            return (f64::NAN, f64::NAN);
        };
        let worn = self.contact.worn_mm(k, load_n, self.distance_m, t);
        let life = self.life_h * self.contact.times_distance(self.allowed_mm, worn);
        t.step("A2", "depth that may wear away", self.allowed_mm, "mm");
        t.step("A2", "life of the case", self.life_h, "h");
        (worn, t.step("A2", "life until the allowed wear", life, "h"))
    }

    /// Pressure that the material carries: of a bolted run, else a third of its yield strength.
    fn carried(&self, load_n: f64) -> Performance {
        let body = self.clone();
        Performance::new(move |i, t| {
            let ([strength], [from]) = (i.x, i.which) else {
                return f64::NAN;
            };
            body.pressure("A5", load_n, t);
            t.step(
                "A6",
                "highest pressure",
                body.contact.peak_mpa(load_n),
                "MPa",
            );
            if *from == 0 {
                return t.step("A9", "bearing pressure carried", *strength, "MPa");
            }
            trusted_of_yield("A9", *strength, t)
        })
    }

    fn pv_held(&self, load_n: f64) -> Performance {
        let body = self.clone();
        Performance::new(move |i, t| {
            let [held] = *i.x else { return f64::NAN };
            let p = body.pressure("A5", load_n, t);
            let v = t.step("A5", "sliding speed", body.speed_m_s, "m/s");
            t.step("A9", "pressure times speed", p * v, "MPa.m/s");
            t.step("A9", "pressure times speed held", held, "MPa.m/s")
        })
    }

    /// A10: rise of the rubbing face above its surroundings, K: mu F v R_th, averaged over a busy spell.
    pub(in crate::duty) fn rise_k(&self, friction: f64, load_n: f64, t: &mut Trace) -> f64 {
        let heat = heat_w(friction, load_n, self.speed_m_s, t);
        t.step(
            "A10",
            "share of a busy spell that it slides",
            self.busy,
            "1",
        );
        let mean = t.step(
            "A10",
            "heat averaged over a busy spell",
            heat * self.busy,
            "W",
        );
        t.step(
            "A10",
            "thermal resistance to the surroundings",
            self.resistance_k_w,
            "K/W",
        );
        t.step("A10", "rise by friction", mean * self.resistance_k_w, "K")
    }

    /// Margin below softening with the rise by friction, or in storage without it, K.
    fn heat_margin(&self, load_n: f64, setting: &Setting) -> Performance {
        let body = self.clone();
        let service_c = setting.temperature_c.1;
        let storage_c = setting.hottest_c();
        Performance::new(move |i, t| {
            let [friction, onset] = *i.x else {
                return f64::NAN;
            };
            let rise = body.rise_k(friction, load_n, t);
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
        let body = self.clone();
        let counter = surface_conductivity(&self.surface);
        Performance::new(move |i, t| {
            let [friction, onset, conductivity] = *i.x else {
                return f64::NAN;
            };
            let heat = heat_w(friction, load_n, body.speed_m_s, t);
            t.step("A11", "radius of the contact spot", radius_mm, "mm");
            t.step(
                "A11",
                "conductivity of the polymer",
                conductivity,
                "W/(m.K)",
            );
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

    /// Depth that it sinks by creep, mm: p t/E at the life.
    fn sunk(&self, load_n: f64) -> Performance {
        let body = self.clone();
        Performance::new(move |i, t| {
            let [modulus] = *i.x else { return f64::NAN };
            let p = body.pressure("B5", load_n, t);
            t.step("B5", "creep modulus at the life", modulus, "MPa");
            t.step("B5", "thickness under the load", body.thickness_mm, "mm");
            t.step(
                "B5",
                "depth sunk by creep",
                p * body.thickness_mm / modulus,
                "mm",
            )
        })
    }
}

impl Rubbing {
    /// Kinetic friction and softening onset, in the order of [`Rubbing::heat_margin`].
    fn heat_needs(&self, setting: &Setting, duty: &mut Duty) -> Vec<Vec<usize>> {
        let hot_c = setting.temperature_c.1;
        vec![
            vec![duty.ask(self.pair(setting, "kinetic-friction", hot_c))],
            vec![duty.ask(plain_ask("softening-onset").moist(setting.moisture))],
        ]
    }

    /// The limits `wear-depth`, `pressure`, `pv` and, where `sink_mm` may sink, `creep-sink` at an
    /// end of the temperature range; `load_n` has the class's factor in it.
    pub(in crate::duty) fn limits_at(
        &self,
        end: End,
        setting: &Setting,
        duty: &mut Duty,
        (class, load_n, sink_mm): (Class, f64, Option<f64>),
    ) {
        let at_c = end.temperature_c;
        let k = duty.ask(self.pair(setting, "wear-rate", at_c));
        duty.limits.push(Limit {
            id: end.id("wear-depth"),
            title: "depth worn over the life".to_owned(),
            failure: "wears away",
            class,
            sense: LimitSense::AtMost(self.allowed_mm),
            unit: "mm".to_owned(),
            needs: vec![vec![k]],
            performance: self.worn(load_n),
            source: "A1, A2, A6 to A8: Archard's law (verified in source) with the contact's own spread of pressure (derived from mechanics)",
        });
        let strength = duty.ask(ask(setting, "bearing-strength", at_c));
        let yields = duty.ask(ask(setting, "yield-strength", at_c));
        duty.limits.push(Limit {
            id: end.id("pressure"),
            title: format!("pressure that the {} carries", self.what),
            failure: "is crushed under the load",
            class,
            sense: LimitSense::AtLeast(self.contact.peak_mpa(load_n)),
            unit: "MPa".to_owned(),
            needs: vec![vec![strength, yields]],
            performance: self.carried(load_n),
            source: "A5, A6, A9: load over area, a bush's highest at the load line (derived from mechanics); a third of the yield strength is common practice, no source",
        });
        let held = duty.ask(self.pair(setting, "pv-held", at_c));
        duty.limits.push(Limit {
            id: end.id("pv"),
            title: "pressure times speed held".to_owned(),
            failure: "runs hot and melts at this pressure and speed",
            class,
            sense: LimitSense::AtLeast(self.contact.pressure_mpa(load_n) * self.speed_m_s),
            unit: "MPa.m/s".to_owned(),
            needs: vec![vec![held]],
            performance: self.pv_held(load_n),
            source: "A5, A9: nominal pressure times speed, against what a run held (the rule verified in source)",
        });
        if let Some(sink) = sink_mm {
            let stress = self.contact.pressure_mpa(load_n);
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
                sense: LimitSense::AtMost(sink),
                unit: "mm".to_owned(),
                needs: vec![vec![creep]],
                performance: self.sunk(load_n),
                source: "B5: pressure over the creep modulus, times the thickness (the method verified in outline)",
            });
        }
    }

    /// The limit `speed` of a pair whose highest speed is known from elsewhere, m/s.
    pub(in crate::duty) fn speed_limit(&self, allowed: f64, class: Class) -> Limit {
        let speed = self.speed_m_s;
        Limit {
            id: "speed".to_owned(),
            title: "sliding speed".to_owned(),
            failure: "slides faster than the pair allows",
            class,
            sense: LimitSense::AtMost(allowed),
            unit: "m/s".to_owned(),
            needs: Vec::new(),
            performance: Performance::new(move |_, t| t.step("A9", "sliding speed", speed, "m/s")),
            source: "A9: the speed allowed is the case's own figure; no bench test here gives one",
        }
    }

    /// The limit `heat-margin` with friction's heat and, where the radius of a spot is known, `spot-heat`.
    pub(in crate::duty) fn heat_limits(
        &self,
        setting: &Setting,
        duty: &mut Duty,
        (class, load_n, spot_mm): (Class, f64, Option<f64>),
    ) {
        let needs = self.heat_needs(setting, duty);
        duty.limits.push(Limit {
            id: "heat-margin".to_owned(),
            title: "margin below softening while sliding".to_owned(),
            failure: "softens in the heat of friction",
            class,
            sense: LimitSense::AtLeast(HEAT_MARGIN_K),
            unit: "K".to_owned(),
            needs: needs.clone(),
            performance: self.heat_margin(load_n, setting),
            source: "A10: friction x load x speed x thermal resistance (derived from mechanics); the margin is common practice, no source",
        });
        if let Some(radius) = spot_mm {
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
                performance: self.spot(load_n, radius, setting.temperature_c.1),
                source: "A11: isothermal disc on two half-spaces (standard heat conduction; derived)",
            });
        }
    }

    /// The aims `wear-life` and `heat-reserve`.
    pub(in crate::duty) fn aims(
        &self,
        setting: &Setting,
        duty: &mut Duty,
        load_n: f64,
    ) -> [Aim; 2] {
        let k = duty.ask(self.pair(setting, "wear-rate", setting.temperature_c.1));
        let needs = self.heat_needs(setting, duty);
        let longer = ValueScale {
            zero: self.life_h,
            one: WEAR_LIFE_ENOUGH * self.life_h,
            log: true,
        };
        [
            usual::aim(
                "wear-life",
                "h",
                longer,
                vec![vec![k]],
                self.wear_life(load_n),
            ),
            usual::reserve_aim(HEAT_MARGIN_K, needs, self.heat_margin(load_n, setting)),
        ]
    }
}
