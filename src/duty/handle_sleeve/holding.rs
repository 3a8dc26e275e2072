//! What a sleeve holds when new and when relaxed, and what its own wall bears.

use super::Fixing;
use crate::duty::mechanics::sleeve::{Elastic, Fit};
use crate::duty::mechanics::surroundings::plain_ask;
use crate::duty::{Duty, Inputs, Performance, Trace};
use crate::property::{Ask, Lies, Moisture};

/// The sleeve with every default filled in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sleeve {
    pub(super) fit: Fit,
    pub(super) fixing: Fixing,
    /// Screw force of the collar, N.
    pub(super) collar_n: Option<f64>,
    /// How the hoop stress lies to the layers.
    pub(super) hoop: Lies,
}

/// Whether a holding force is read when new or at the end of the life.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Age {
    New,
    /// Relaxed at the hot end, degC, for the life, h.
    Old {
        hot_c: f64,
        life_h: f64,
    },
}

/// What a holding force is read as.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Read {
    Pull,
    Torque,
    /// One force against a pull, N, and a torque, N.m, together.
    Both(f64, f64),
}

impl Sleeve {
    pub(super) fn interferes(&self) -> bool {
        self.fit.interferes()
    }

    /// Friction with nothing to press it: no property can help.
    pub(super) fn holds_nothing(&self) -> bool {
        !self.interferes() && self.collar_n.is_none()
    }

    /// How it lets go, in a few words.
    pub(super) fn slips(&self, read: Read) -> &'static str {
        match (self.holds_nothing(), read) {
            (true, _) => "fits with clearance, holding 0 N by friction",
            (false, Read::Pull) => "slides off the bar",
            (false, Read::Torque) => "turns on the bar",
            (false, Read::Both(..)) => "creeps off the bar as it turns",
        }
    }

    /// Modulus, Poisson's ratio and expansion, in the order of [`elastic`].
    pub(super) fn elastic_needs(
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
    pub(super) fn relaxation(
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
    pub(super) fn holding_needs(
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
    pub(super) fn holding(self, at_c: f64, age: Age, read: Read) -> Performance {
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

    /// Break strain over hoop strain at a temperature.
    pub(super) fn strain_reserve(self, at_c: f64) -> Performance {
        Performance::new(move |i, t| {
            let [breaks, expansion] = *i.x else {
                return f64::NAN;
            };
            let left = self.fit.interference_mm(at_c, expansion, t);
            let strain = 100.0 * self.fit.hoop_strain(left, t);
            t.step("G1", "strain at break", breaks, "%");
            t.step(
                "G1",
                "strain at break over hoop strain",
                breaks / strain,
                "1",
            )
        })
    }

    /// Sustained strength over the hoop stress that is left at the end of the life.
    pub(super) fn stress_reserve(self, at_c: f64) -> Performance {
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
    pub(super) fn wall_shear() -> Performance {
        Performance::new(shear_carried)
    }

    /// Shear on the glue line, MPa, of a pull and a torque together.
    pub(super) fn bond_shear_mpa(&self, pull_n: f64, twist_nm: f64) -> f64 {
        let area = std::f64::consts::PI * self.fit.bore_mm * self.fit.length_mm;
        let turning_n = twist_nm * 1e3 / (self.fit.bore_mm / 2.0);
        pull_n.hypot(turning_n) / area
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
