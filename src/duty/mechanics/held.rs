//! What a stretched sleeve, cap or tyre holds when new and when relaxed, and what its own wall bears.

use crate::duty::mechanics::fatigue;
use crate::duty::mechanics::sleeve::{Elastic, Fit};
use crate::duty::mechanics::surroundings::{End, ask, plain_ask};
use crate::duty::{Duty, Inputs, Limit, LimitSense, Performance, Setting, Trace};
use crate::policy::Class;
use crate::property::{Ask, Lies, Moisture};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Break strain asked over the hoop strain: bead ends and the stretch of mounting take the
/// rest (ours, no source).
pub(in crate::duty) const STRAIN_RESERVE: f64 = 2.0;

/// What the round thing inside is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(in crate::duty) enum Bar {
    /// Steel.
    Steel,
    /// Steel with paint or powder on it.
    PaintedSteel,
    /// Aluminium.
    Aluminium,
    /// Wood.
    Wood,
}

impl Bar {
    /// Thermal expansion, um/(m.K); wood across the grain (all from memory, not verified).
    pub(in crate::duty) fn expansion(self) -> f64 {
        match self {
            Bar::Steel | Bar::PaintedSteel => 12.0,
            Bar::Aluminium => 23.0,
            Bar::Wood => 40.0,
        }
    }
    /// The surface that friction was measured on.
    pub(in crate::duty) fn surface(self) -> &'static str {
        match self {
            Bar::Steel => "steel-smooth",
            Bar::PaintedSteel => "steel-painted",
            Bar::Aluminium => "aluminium",
            Bar::Wood => "wood",
        }
    }
    /// The bar that a surface speaks of; steel for one that speaks of none.
    pub(in crate::duty) fn of_surface(surface: Option<&str>) -> Self {
        match surface {
            Some("steel-painted") => Bar::PaintedSteel,
            Some("aluminium") => Bar::Aluminium,
            Some("wood" | "painted-wood") => Bar::Wood,
            _ => Bar::Steel,
        }
    }
}

/// The sleeve with every default filled in.
#[derive(Clone, Copy, Debug)]
pub(in crate::duty) struct Sleeve {
    pub(in crate::duty) fit: Fit,
    /// Screw force of the collar, N.
    pub(in crate::duty) collar_n: Option<f64>,
    /// How the hoop stress lies to the layers.
    pub(in crate::duty) hoop: Lies,
}

/// Whether a holding force is read when new or at the end of the life.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::duty) enum Age {
    New,
    /// Relaxed at the hot end, degC, for the life, h.
    Old {
        hot_c: f64,
        life_h: f64,
    },
}

/// What a holding force is read as.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::duty) enum Read {
    Pull,
    Torque,
    /// One force against a pull, N, and a torque, N.m, together.
    Both(f64, f64),
}

impl Sleeve {
    pub(in crate::duty) fn interferes(&self) -> bool {
        self.fit.interferes()
    }

    /// Friction with nothing to press it: no property can help.
    pub(in crate::duty) fn holds_nothing(&self) -> bool {
        !self.interferes() && self.collar_n.is_none()
    }

    /// How it lets go, in a few words.
    pub(in crate::duty) fn slips(&self, read: Read) -> &'static str {
        match (self.holds_nothing(), read) {
            (true, _) => "fits with clearance, holding 0 N by friction",
            (false, Read::Pull) => "slides off the bar",
            (false, Read::Torque) => "turns on the bar",
            (false, Read::Both(..)) => "creeps off the bar as it turns",
        }
    }

    /// Modulus, Poisson's ratio and expansion, in the order of [`elastic`].
    pub(in crate::duty) fn elastic_needs(
        &self,
        moisture: Moisture,
        at_c: f64,
        duty: &mut Duty,
    ) -> Vec<Vec<usize>> {
        let wanted = |p| Ask::room(p).at(at_c).moist(moisture);
        vec![
            vec![
                duty.ask(wanted("tensile-modulus").lying(self.hoop)),
                duty.ask(wanted("flexural-modulus").lying(self.hoop)),
                duty.ask(wanted("compression-modulus")),
            ],
            vec![duty.ask(plain_ask("poisson-ratio"))],
            vec![duty.ask(plain_ask("thermal-expansion"))],
        ]
    }

    /// G8: the share kept at fixed stretch, of a ring held stretched as the wall is; else of a squeeze.
    pub(in crate::duty) fn relaxation(
        &self,
        moisture: Moisture,
        hot_c: f64,
        life_h: f64,
        duty: &mut Duty,
    ) -> Vec<usize> {
        let wanted = |p| Ask::room(p).moist(moisture).at(hot_c).after(life_h);
        duty.need_or(
            wanted("stretch-retained").lying(self.hoop),
            wanted("force-retained"),
        )
    }

    /// Needs of [`Sleeve::holding`], in its order.
    pub(in crate::duty) fn holding_needs(
        &self,
        surface: &str,
        moisture: Moisture,
        at_c: f64,
        age: Age,
        duty: &mut Duty,
    ) -> Vec<Vec<usize>> {
        if self.holds_nothing() {
            return Vec::new();
        }
        let wanted = |p| Ask::room(p).moist(moisture);
        let mut needs = vec![vec![
            duty.ask(wanted("static-friction").at(at_c).on(surface)),
        ]];
        if let Age::Old { hot_c, life_h } = age {
            needs.push(self.relaxation(moisture, hot_c, life_h, duty));
        }
        if self.interferes() {
            needs.extend(self.elastic_needs(moisture, at_c, duty));
        }
        needs
    }

    /// Pull or torque that friction and collar hold at a temperature.
    pub(in crate::duty) fn holding(self, at_c: f64, age: Age, read: Read) -> Performance {
        Performance::new(move |i, t| {
            let fit = self.fit;
            if self.holds_nothing() {
                let gap = fit.bore_mm - fit.bar_mm;
                t.step("G2", "clearance: nothing presses on the bar", gap, "mm");
                return t.step("G5", "pull-off force", 0.0, "N");
            }
            let mut figures = i.x.iter().copied();
            let mut next = || figures.next().unwrap_or(f64::NAN);
            let friction = t.step("G5", "static friction on the bar", next(), "1");
            t.step("G5", "diameter of the bar", fit.bar_mm, "mm");
            let kept = match age {
                Age::New => 1.0,
                Age::Old { .. } => next().clamp(0.0, 1.0),
            };
            let mut new_n = 0.0;
            if self.interferes() {
                let elastic = elastic([next(), next(), next()]);
                let left = fit.interference_mm(at_c, elastic.expansion, t);
                let squeeze = fit.squeeze(left, elastic, t);
                let p = t.step("G5", "contact pressure", squeeze.pressure_mpa, "MPa");
                t.step("G5", "area in contact", fit.contact_mm2(), "mm2");
                new_n = t.step(
                    "G5",
                    "pull held by the squeeze",
                    fit.held_n(friction, p),
                    "N",
                );
            }
            if let Some(screw_n) = self.collar_n {
                let collar = fit.collar_nm(friction, screw_n, t) / fit.torque_nm(1.0);
                new_n += t.step("G9", "pull held by the collar", collar, "N");
            }
            t.step("G5", "pull held when new", new_n, "N");
            t.step("G5", "torque held when new", fit.torque_nm(new_n), "N.m");
            let mut left_n = new_n;
            if age != Age::New {
                t.step("G8", kept_by(i), kept, "1");
                left_n = t.step("G8", "pull held at the end of the life", kept * new_n, "N");
            }
            match read {
                Read::Pull => left_n,
                Read::Both(pull_n, twist_nm) => {
                    t.step("G10", "pull asked", pull_n, "N");
                    t.step("G10", "torque asked", twist_nm, "N.m");
                    let both = fit.together_n(pull_n, twist_nm);
                    t.step("G10", "force of both together", both, "N");
                    left_n
                }
                Read::Torque => t.step(
                    "G5",
                    "torque held at the end of the life",
                    fit.torque_nm(left_n),
                    "N.m",
                ),
            }
        })
    }

    /// G11: force that pushes it on over its whole length, and pulls it off while new, N: friction
    /// times the high end of the pressure (derived). Needs as [`Sleeve::holding_needs`] when new.
    pub(in crate::duty) fn pushing(self, at_c: f64) -> Performance {
        Performance::new(move |i, t| {
            let [friction, modulus, poisson, expansion] = *i.x else {
                return f64::NAN;
            };
            let elastic = elastic([modulus, poisson, expansion]);
            let left = self.fit.interference_mm(at_c, elastic.expansion, t);
            let squeeze = self.fit.squeeze(left, elastic, t);
            t.step("G11", "static friction", friction, "1");
            let p = t.step("G11", "highest contact pressure", squeeze.most_mpa, "MPa");
            t.step("G5", "area in contact", self.fit.contact_mm2(), "mm2");
            t.step(
                "G11",
                "force to push it on",
                self.fit.held_n(friction, p),
                "N",
            )
        })
    }

    /// Break strain over hoop strain at a temperature. A third need is the share of strength left to
    /// many stretchings, of which there are `times`.
    pub(in crate::duty) fn strain_reserve(self, at_c: f64, times: f64) -> Performance {
        Performance::new(move |i, t| {
            let [breaks, expansion, tired @ ..] = i.x else {
                return f64::NAN;
            };
            let left = self.fit.interference_mm(at_c, *expansion, t);
            let strain = 100.0 * self.fit.hoop_strain(left, t);
            let mut breaks = t.step("G1", "strain at break", *breaks, "%");
            if let [share] = tired {
                breaks = fatigue::left_after(times, (breaks, "%"), *share, t);
            }
            t.step(
                "G1",
                "strain at break over hoop strain",
                breaks / strain,
                "1",
            )
        })
    }

    /// Sustained strength over the hoop stress that is left at the end of the life.
    pub(in crate::duty) fn stress_reserve(self, at_c: f64) -> Performance {
        Performance::new(move |i, t| {
            let [carries, kept, modulus, poisson, expansion] = *i.x else {
                return f64::NAN;
            };
            let elastic = elastic([modulus, poisson, expansion]);
            let left = self.fit.interference_mm(at_c, expansion, t);
            let squeeze = self.fit.squeeze(left, elastic, t);
            let hoop = t.step("G3", "hoop stress when new", squeeze.hoop_mpa, "MPa");
            t.step("G8", kept_by(i), kept, "1");
            let lasting = t.step("G8", "hoop stress that lasts", kept * hoop, "MPa");
            t.step("G3", "stress carried for the life", carries, "MPa");
            t.step(
                "G3",
                "stress carried over hoop stress",
                carries / lasting,
                "1",
            )
        })
    }

    /// Glued: shear stress that the sleeve's own wall carries beside the glue, MPa.
    pub(in crate::duty) fn wall_shear() -> Performance {
        Performance::new(shear_carried)
    }

    /// Shear on the glue line, MPa, of a pull and a torque together.
    pub(in crate::duty) fn bond_shear_mpa(&self, pull_n: f64, twist_nm: f64) -> f64 {
        let area = std::f64::consts::PI * self.fit.bore_mm * self.fit.length_mm;
        let turning_n = twist_nm * 1e3 / (self.fit.bore_mm / 2.0);
        pull_n.hypot(turning_n) / area
    }
}

impl Sleeve {
    /// The limits of a wall that is smaller than its bar and is stretched over it so often.
    pub(in crate::duty) fn stretched(
        &self,
        end: End,
        times: f64,
        setting: &Setting,
        duty: &mut Duty,
        class: Class,
    ) {
        let (at_c, hot_c) = (end.temperature_c, setting.temperature_c.1);
        let breaks = duty.ask(ask(setting, "break-strain", at_c).lying(self.hoop));
        let expansion = duty.ask(plain_ask("thermal-expansion"));
        let mut strains = vec![vec![breaks], vec![expansion]];
        if times > 1.0 {
            strains.push(vec![duty.ask(plain_ask("fatigue-share"))]);
        }
        duty.limits.push(Limit {
            id: end.id("hoop-strain"),
            title: "strain at break over the stretch on the bar".to_owned(),
            failure: "splits when stretched over the bar",
            class,
            sense: LimitSense::AtLeast(STRAIN_RESERVE),
            unit: "1".to_owned(),
            needs: strains,
            performance: self.strain_reserve(at_c, times),
            source: "G1, G7: interference over bore (derived from mechanics); twice the stretch is ours",
        });
        let carries = duty.ask(
            ask(setting, "sustained-strength", at_c)
                .lying(self.hoop)
                .after(setting.life_h),
        );
        let kept = self.relaxation(setting.moisture, hot_c, setting.life_h, duty);
        let mut needs = vec![vec![carries], kept];
        needs.extend(self.elastic_needs(setting.moisture, at_c, duty));
        duty.limits.push(Limit {
            id: end.id("hoop-stress"),
            title: "stress carried for the life over the hoop stress".to_owned(),
            failure: "splits under the lasting hoop stress",
            class,
            sense: LimitSense::AtLeast(1.0),
            unit: "1".to_owned(),
            needs,
            performance: self.stress_reserve(at_c),
            source: "G1 to G4, G7, G8: hoop stress at the bore, relaxed as the force is (derived from mechanics)",
        });
    }
}

/// Shear strength from tensile strength: strength/sqrt(3) (von Mises; derived for a ductile,
/// even material, so asked across the layers).
fn shear_carried(i: Inputs<'_>, t: &mut Trace) -> f64 {
    let [strength] = *i.x else { return f64::NAN };
    t.step("B1", "strength across the layers", strength, "MPa");
    t.step(
        "B1",
        "shear that the wall carries",
        strength / 3.0_f64.sqrt(),
        "MPa",
    )
}

fn elastic([modulus_mpa, poisson, expansion]: [f64; 3]) -> Elastic {
    Elastic {
        modulus_mpa,
        poisson,
        expansion,
    }
}

/// The test behind the share kept, which is the second need of both formulas that have one.
fn kept_by(i: Inputs<'_>) -> &'static str {
    if i.which.get(1) == Some(&0) {
        "share of the force kept: of a ring held stretched"
    } else {
        "share of the force kept: of a squeeze, for no ring was held stretched"
    }
}
