//! A sleeve stretched over a bar: stretch, contact pressure, hoop stress, and what friction holds.
//!
//! The bar is taken as rigid: right for an elastomer on metal, nearly so for rigid plastics.

use crate::duty::Trace;
use crate::duty::mechanics::usual::shown;
use crate::problem::Fault;
use std::f64::consts::PI;

/// Wall over bar diameter up to which a sleeve counts as thin (G1).
pub(in crate::duty) const THIN_WALL: f64 = 0.05;
/// Stretch from which a sleeve counts as largely stretched and the neo-Hookean law stands (G4):
/// "about 10 %", so that the worked case at 9.9 % is one.
pub(in crate::duty) const LARGE_STRETCH: f64 = 1.095;
/// Stretch beyond which the neo-Hookean law in one direction says nothing more (G4).
pub(in crate::duty) const MOST_STRETCH: f64 = 1.3;
/// Share of a thin band's torque that an end collar of two half-shells is trusted with (G9):
/// their contact arc is not known (ours, until tested).
pub(in crate::duty) const HALF_SHELLS: f64 = 0.5;

/// A sleeve and its bar as measured at one temperature.
#[derive(Clone, Copy, Debug)]
pub(in crate::duty) struct Fit {
    /// Diameter of the bar, mm.
    pub(in crate::duty) bar_mm: f64,
    /// Bore of the free sleeve, mm.
    pub(in crate::duty) bore_mm: f64,
    /// Outside diameter of the free sleeve, mm.
    pub(in crate::duty) outer_mm: f64,
    /// Length in contact, mm.
    pub(in crate::duty) length_mm: f64,
    /// Thermal expansion of the bar, um/(m.K).
    pub(in crate::duty) bar_expansion: f64,
    /// Temperature at which bar and bore were measured, degC.
    pub(in crate::duty) fitted_c: f64,
}

/// What a stretched sleeve does to the bar and to itself, MPa.
#[derive(Clone, Copy, Debug)]
pub(in crate::duty) struct Squeeze {
    /// Contact pressure, the low end of the models that hold: what it can be trusted with.
    pub(in crate::duty) pressure_mpa: f64,
    /// The same, the high end: what must be overcome.
    pub(in crate::duty) most_mpa: f64,
    /// Hoop stress at the bore, the high end.
    pub(in crate::duty) hoop_mpa: f64,
}

/// Elastic figures of the sleeve at the temperature judged.
#[derive(Clone, Copy, Debug)]
pub(in crate::duty) struct Elastic {
    /// Modulus, MPa.
    pub(in crate::duty) modulus_mpa: f64,
    /// Poisson's ratio.
    pub(in crate::duty) poisson: f64,
    /// Thermal expansion, um/(m.K).
    pub(in crate::duty) expansion: f64,
}

/// Refuses diameters of bar, bore and outside, mm, that leave no wall or stretch past the law;
/// `mend` says how a missing wall is mended.
pub(in crate::duty) fn wall_faults(
    (bar, bore, outer): (f64, f64, f64),
    mend: &str,
    faults: &mut Vec<Fault>,
) {
    if outer <= bore || outer <= bar {
        faults.push(Fault::new(
            "duty::sleeve-wall",
            format!(
                "an outside of {} mm leaves no wall over a bore of {bore} mm on a bar of {bar} mm",
                shown(outer)
            ),
            mend,
        ));
    }
    if bore > 0.0 && bar > MOST_STRETCH * bore {
        faults.push(Fault::new(
            "duty::sleeve-stretch",
            format!(
                "a bore of {bore} mm on a bar of {bar} mm is stretched {:.2} times, and the formulas end at {MOST_STRETCH}",
                bar / bore
            ),
            format!("make the bore at least {:.2} mm", bar / MOST_STRETCH),
        ));
    }
}

/// Refuses a bore that leaves clearance where nothing but its own stretch holds it.
pub(in crate::duty) fn clearance_fault(bar: f64, bore: f64, faults: &mut Vec<Fault>) {
    if bore >= bar {
        faults.push(Fault::new(
            "duty::held-by-nothing",
            format!("a `bore` of {bore} mm on {bar} mm leaves clearance, and only its own stretch would hold it"),
            format!("make the `bore` smaller than {bar} mm: 2 to 6 % for an elastomer"),
        ));
    }
}

impl Fit {
    /// Wall of the free sleeve, mm.
    pub(in crate::duty) fn wall_mm(&self) -> f64 {
        0.5 * (self.outer_mm - self.bore_mm)
    }

    /// Whether the sleeve is smaller than the bar where both were measured.
    pub(in crate::duty) fn interferes(&self) -> bool {
        self.bore_mm < self.bar_mm
    }

    /// Area in contact, mm2.
    pub(in crate::duty) fn contact_mm2(&self) -> f64 {
        PI * self.bar_mm * self.length_mm
    }

    /// G7: diametral interference left at a temperature, mm: delta + d (a_bar - a_sleeve)(T - T_fit),
    /// never below nothing. Derived: both grow with their own expansion.
    pub(in crate::duty) fn interference_mm(
        &self,
        temperature_c: f64,
        expansion: f64,
        t: &mut Trace,
    ) -> f64 {
        t.step("G7", "diameter of the bar", self.bar_mm, "mm");
        t.step("G7", "bore of the free sleeve", self.bore_mm, "mm");
        let fitted = t.step(
            "G7",
            "interference as fitted",
            self.bar_mm - self.bore_mm,
            "mm",
        );
        t.step("G7", "expansion of the bar", self.bar_expansion, "um/(m.K)");
        t.step("G7", "expansion of the sleeve", expansion, "um/(m.K)");
        let warmer = temperature_c - self.fitted_c;
        t.step("G7", "warmer than as fitted by", warmer, "K");
        let change = self.bar_mm * (self.bar_expansion - expansion) * 1e-6 * warmer;
        let left = fitted + change;
        let left = if left < 0.0 { 0.0 } else { left };
        t.step("G7", "interference at this temperature", left, "mm")
    }

    /// G1: hoop strain of the bore, delta/D_b, as a share.
    pub(in crate::duty) fn hoop_strain(&self, interference_mm: f64, t: &mut Trace) -> f64 {
        t.step("G1", "hoop strain", interference_mm / self.bore_mm, "1")
    }

    /// Contact pressure and hoop stress at an interference, by the models that hold there.
    ///
    /// Thin (w/d up to 0.05): G1. Thick: G2 free to shorten for the pressure, G3 held from
    /// shortening for the stress; the truth lies between. From 9.5 % stretch: G4, and where
    /// the wall is thick as well, G2 and G3 with the wall as mounted, because thin-wall theory
    /// overstates a thick wall's pressure.
    pub(in crate::duty) fn squeeze(
        &self,
        interference_mm: f64,
        elastic: Elastic,
        t: &mut Trace,
    ) -> Squeeze {
        let strain = self.hoop_strain(interference_mm, t);
        let e = t.step("G1", "modulus", elastic.modulus_mpa, "MPa");
        let wall = t.step("G1", "wall of the free sleeve", self.wall_mm(), "mm");
        let thin = wall / self.bar_mm <= THIN_WALL;
        let large = 1.0 + strain >= LARGE_STRETCH;
        let mut outer = self.outer_mm;
        let mut soft = None;
        if large {
            let stretch = t.step("G4", "stretch", 1.0 + strain, "1");
            let hoop = e / 3.0 * (stretch * stretch - stretch.recip());
            t.step("G4", "true hoop stress", hoop, "MPa");
            let mounted = t.step("G4", "wall as mounted", wall / stretch.sqrt(), "mm");
            outer = self.bar_mm + 2.0 * mounted;
            let pressure = wall_pressure(hoop, mounted, self.bar_mm);
            t.step("G4", "contact pressure, thin wall", pressure, "MPa");
            soft = Some(Squeeze {
                pressure_mpa: pressure,
                most_mpa: pressure,
                hoop_mpa: hoop,
            });
        }
        if thin {
            return soft.unwrap_or_else(|| {
                let hoop = t.step("G1", "hoop stress", e * strain, "MPa");
                let pressure = wall_pressure(hoop, wall, self.bar_mm);
                Squeeze {
                    pressure_mpa: t.step("G1", "contact pressure", pressure, "MPa"),
                    most_mpa: pressure,
                    hoop_mpa: hoop,
                }
            });
        }
        // A draw past incompressible would have a negative bulk modulus.
        let nu = if elastic.poisson > 0.5 {
            0.5
        } else {
            elastic.poisson
        };
        t.step("G2", "Poisson's ratio", nu, "1");
        t.step("G2", "outside diameter", outer, "mm");
        let (d, delta) = (self.bar_mm, interference_mm);
        let free = thick(e, nu, delta, d, outer);
        t.step(
            "G2",
            "contact pressure, free to shorten",
            free.pressure_mpa,
            "MPa",
        );
        t.step("G2", "hoop stress, free to shorten", free.hoop_mpa, "MPa");
        let held = thick(e / (1.0 - nu * nu), nu / (1.0 - nu), delta, d, outer);
        t.step(
            "G3",
            "contact pressure, held from shortening",
            held.pressure_mpa,
            "MPa",
        );
        t.step(
            "G3",
            "hoop stress, held from shortening",
            held.hoop_mpa,
            "MPa",
        );
        let soft = soft.unwrap_or(free);
        Squeeze {
            pressure_mpa: lower(free.pressure_mpa, soft.pressure_mpa),
            most_mpa: -lower(-held.pressure_mpa, -soft.pressure_mpa),
            hoop_mpa: -lower(-held.hoop_mpa, -soft.hoop_mpa),
        }
    }

    /// G5: force that friction holds along the bar, N: mu p pi d L. Edges and taper are ignored.
    pub(in crate::duty) fn held_n(&self, friction: f64, pressure_mpa: f64) -> f64 {
        friction * pressure_mpa * self.contact_mm2()
    }

    /// G5: torque of a force on the bar's surface, N.m: F d/2.
    pub(in crate::duty) fn torque_nm(&self, force_n: f64) -> f64 {
        force_n * self.bar_mm / 2.0 * 1e-3
    }

    /// G10: force that friction must hold, N, of a pull along the bar and a torque about it at
    /// once: sqrt(F^2 + (2 T/d)^2), for friction acts against one direction of sliding (derived).
    pub(in crate::duty) fn together_n(&self, pull_n: f64, twist_nm: f64) -> f64 {
        pull_n.hypot(twist_nm / self.torque_nm(1.0))
    }

    /// G9: torque that an end collar holds at a screw force, N.m: half of a thin flexible
    /// band's pi mu S d.
    pub(in crate::duty) fn collar_nm(&self, friction: f64, screw_n: f64, t: &mut Trace) -> f64 {
        t.step("G9", "force of the collar's screw", screw_n, "N");
        let band = PI * friction * screw_n * self.bar_mm * 1e-3;
        t.step("G9", "torque of a thin band", band, "N.m");
        t.step("G9", "torque of the end collar", HALF_SHELLS * band, "N.m")
    }
}

/// The lower of two figures; NaN where either is.
fn lower(a: f64, b: f64) -> f64 {
    if a.is_nan() || b.is_nan() {
        f64::NAN
    } else {
        a.min(b)
    }
}

/// Pressure of a thin wall under a hoop stress, MPa: sigma w/(d/2) (two wall forces balance the
/// pressure on a half ring; derived).
fn wall_pressure(hoop_mpa: f64, wall_mm: f64, bar_mm: f64) -> f64 {
    hoop_mpa * wall_mm / (bar_mm / 2.0)
}

/// G2: thick sleeve on a rigid bar, p = E (delta/d)/(C + nu), hoop stress p C at the bore,
/// C = (D_o^2 + d^2)/(D_o^2 - d^2).
fn thick(e: f64, nu: f64, delta: f64, bar: f64, outer: f64) -> Squeeze {
    let (o, b) = (outer * outer, bar * bar);
    let c = (o + b) / (o - b);
    let pressure_mpa = e * (delta / bar) / (c + nu);
    Squeeze {
        pressure_mpa,
        most_mpa: pressure_mpa,
        hoop_mpa: pressure_mpa * c,
    }
}
