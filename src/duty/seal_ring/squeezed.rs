//! What a squeezed seal presses, follows, costs to close and bears.

use crate::duty::mechanics::block::Solid;
use crate::duty::mechanics::pad::squeeze_stress;
use crate::duty::mechanics::seal::{
    HARD_FROM, bolt_loads_n, bulge_into_gap, design_values, follows_mm, moduli_of_shore_a,
    round_section_n_mm, squeeze,
};
use crate::duty::mechanics::surroundings::ask;
use crate::duty::{Duty, Inputs, Performance, Setting, Trace};
use crate::property::Lies;
use std::f64::consts::{FRAC_PI_4, PI};

/// Stress that a seal must press with where the fluid asks for less, MPa: enough to bed into the
/// layer lines of a print (ours, no source).
const LEAST_MPA: f64 = 0.1;
/// Hardness between which the relation to a modulus was published, Shore A (F13; verified in source).
const GENT_HOLDS: (f64, f64) = (20.0, 80.0);

/// A ring in a groove, or flat.
#[derive(Clone, Copy, Debug)]
pub(super) enum Form {
    /// Round section in a groove; the fluid presses it against the gap.
    Ring {
        /// Mean diameter of the ring, mm.
        diameter_mm: f64,
    },
    /// Between two faces.
    Flat {
        /// The body.
        solid: Solid,
        /// Mean diameter, mm.
        mean_mm: f64,
        /// Effective width for the bolt loads, mm.
        width_mm: f64,
    },
}

/// The seal with every default filled in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Seal {
    pub(super) form: Form,
    /// Section or thickness, free and closed, mm.
    pub(super) free_mm: f64,
    pub(super) closed_mm: f64,
    /// Gauge pressure, MPa, the class's factor on it.
    pub(super) fluid_mpa: f64,
    /// How far the joint opens, mm.
    pub(super) opening_mm: f64,
    /// What bolts or clamp give, N.
    pub(super) bolts_n: Option<f64>,
    /// How the stretch of the bulging side lies to the layers.
    pub(super) rim: Lies,
}

impl Seal {
    /// Squeeze, as a share of the free section.
    pub(super) fn squeeze(&self) -> f64 {
        squeeze(self.free_mm, self.closed_mm)
    }

    /// Polymer of the seal, mm3.
    pub(super) fn volume_mm3(&self) -> f64 {
        match self.form {
            Form::Ring { diameter_mm } => {
                FRAC_PI_4 * self.free_mm * self.free_mm * PI * diameter_mm
            }
            Form::Flat { solid, .. } => solid.area_mm2 * solid.height_mm,
        }
    }

    /// The modulus, of a squeeze, else of a pull.
    pub(super) fn modulus(&self, at_c: f64, setting: &Setting, duty: &mut Duty) -> Vec<usize> {
        duty.need_or(
            ask(setting, "compression-modulus", at_c),
            ask(setting, "tensile-modulus", at_c),
        )
    }

    /// Shore A, else Shore D, whose scale begins where A counts as hard.
    pub(super) fn hardness(&self, at_c: f64, setting: &Setting, duty: &mut Duty) -> Vec<usize> {
        ["shore-a", "shore-d"]
            .map(|p| duty.ask(ask(setting, p, at_c)))
            .to_vec()
    }

    /// Needs of [`Seal::sealing`].
    pub(super) fn sealing_needs(
        &self,
        at_c: f64,
        setting: &Setting,
        duty: &mut Duty,
    ) -> Vec<Vec<usize>> {
        let kept = ask(setting, "force-retained", at_c).after(setting.life_h);
        let mut needs = vec![self.modulus(at_c, setting, duty), vec![duty.ask(kept)]];
        if let Form::Flat { .. } = self.form {
            needs.push(self.hardness(at_c, setting, duty));
        }
        needs
    }

    fn squeezed(&self, t: &mut Trace) -> f64 {
        t.step("E1", "free section", self.free_mm, "mm");
        t.step("E1", "closed section", self.closed_mm, "mm");
        t.step("E1", "squeeze", self.squeeze(), "1")
    }

    /// Factor m and seating stress y, MPa, of a flat gasket by the hardness in need `at`.
    fn design(&self, i: Inputs<'_>, at: usize, t: &mut Trace) -> Option<(f64, f64)> {
        let (hardness, from) = (*i.x.get(at)?, *i.which.get(at)?);
        let hard = if from == 0 {
            t.step("E4", "Shore A hardness", hardness, "shoreA");
            if hardness >= GENT_HOLDS.0 && hardness <= GENT_HOLDS.1 {
                let [gent, ten, e] = moduli_of_shore_a(hardness);
                t.step(
                    "F13",
                    "modulus by hardness, Gent, for comparison only",
                    gent,
                    "MPa",
                );
                t.step("F13", "the same, 10^(0.0235 S - 0.6403)", ten, "MPa");
                t.step("F13", "the same, exp(0.0235 S - 0.6403)", e, "MPa");
            }
            hardness >= HARD_FROM
        } else {
            t.step("E4", "Shore D hardness", hardness, "shoreD");
            true
        };
        let (m, y) = design_values(hard);
        t.step("E4", "gasket factor m", m, "1");
        t.step("E4", "seating stress y", y, "MPa");
        Some((m, y))
    }

    /// Sealing stress after the life over the one needed then, or when closed over the one that seats
    /// it, the lesser.
    pub(super) fn sealing(self) -> Performance {
        Performance::new(move |i, t| {
            let [modulus, kept, ..] = *i.x else {
                return f64::NAN;
            };
            let e = self.squeezed(t);
            t.step("E3", "modulus, faces taken as sliding", modulus, "MPa");
            let closed = t.step("E3", "sealing stress when closed", modulus * e, "MPa");
            t.step("E3", "share of the force kept", kept, "1");
            let left = t.step("E3", "sealing stress after the life", closed * kept, "MPa");
            t.step(
                "E4",
                "pressure of the fluid, factor included",
                self.fluid_mpa,
                "MPa",
            );
            let (m, y) = match self.form {
                // The fluid presses a ring against the gap by itself.
                Form::Ring { .. } => (0.0, 0.0),
                Form::Flat { .. } => match self.design(i, 2, t) {
                    Some(values) => values,
                    None => return f64::NAN,
                },
            };
            let holds = (m * self.fluid_mpa).max(LEAST_MPA);
            t.step("E4", "sealing stress needed", holds, "MPa");
            let pressed = t.step(
                "E3",
                "sealing stress over the one needed",
                left / holds,
                "1",
            );
            if y <= 0.0 {
                return pressed;
            }
            // The seat is pressed once, on closing; in service the fluid's share is enough.
            let seated = t.step(
                "E4",
                "sealing stress when closed over the seating stress",
                closed / y,
                "1",
            );
            let least = if seated < pressed { seated } else { pressed };
            t.step("E3", "the lesser of the two", least, "1")
        })
    }

    /// How far it follows the joint, mm.
    pub(super) fn follows(self) -> Performance {
        Performance::new(move |i, t| {
            let [set] = *i.x else { return f64::NAN };
            self.squeezed(t);
            t.step("E2", "compression set, share of the squeeze", set, "%");
            t.step(
                "E5",
                "follows the joint by",
                follows_mm(set / 100.0, self.free_mm, self.closed_mm),
                "mm",
            )
        })
    }

    /// Load that closes it and keeps it closed, N: the largest of what squeezes, seats and holds it.
    pub(super) fn closing(self) -> Performance {
        Performance::new(move |i, t| {
            let e = self.squeezed(t);
            let Some(modulus) = i.x.first().copied() else {
                return f64::NAN;
            };
            t.step("E8", "modulus", modulus, "MPa");
            let load = match self.form {
                Form::Ring { diameter_mm } => {
                    let line = round_section_n_mm(modulus, self.free_mm, e);
                    t.step("E8", "force that squeezes it, per length", line, "N/mm");
                    let squeezes = PI * diameter_mm * line;
                    t.step("E8", "load that squeezes it", squeezes, "N");
                    let (opens, _) = bolt_loads_n(diameter_mm, 0.0, self.fluid_mpa, (0.0, 0.0));
                    t.step("E6", "load that the fluid opens it with", opens, "N");
                    squeezes + opens
                }
                Form::Flat {
                    solid,
                    mean_mm,
                    width_mm,
                } => {
                    let Some(bulk) = i.x.get(1).copied() else {
                        return f64::NAN;
                    };
                    let apparent = solid.apparent(modulus, Some(bulk), t);
                    let squeezes = solid.area_mm2 * apparent * squeeze_stress(e);
                    t.step("E8", "load that squeezes it, faces held", squeezes, "N");
                    let Some(values) = self.design(i, 2, t) else {
                        return f64::NAN;
                    };
                    let (operates, seats) = bolt_loads_n(mean_mm, width_mm, self.fluid_mpa, values);
                    t.step("E6", "mean diameter", mean_mm, "mm");
                    t.step("E6", "effective width", width_mm, "mm");
                    t.step("E6", "load that operates it", operates, "N");
                    t.step("E6", "load that seats it", seats, "N");
                    // Not `max`, which would hide a figure that is not known.
                    let most = if operates > seats { operates } else { seats };
                    if squeezes < most { most } else { squeezes }
                }
            };
            t.step("E6", "load needed", load, "N")
        })
    }

    /// Bulge into the gap behind it, as a share of the gap.
    pub(super) fn extrusion(self) -> Performance {
        Performance::new(move |i, t| {
            let [modulus, kept] = *i.x else {
                return f64::NAN;
            };
            t.step(
                "E7",
                "pressure of the fluid, factor included",
                self.fluid_mpa,
                "MPa",
            );
            t.step("E7", "modulus when new", modulus, "MPa");
            t.step("E7", "share of the force kept", kept, "1");
            let left = t.step("E7", "modulus left at the life", modulus * kept, "MPa");
            t.step(
                "E7",
                "bulge over the gap",
                bulge_into_gap(self.fluid_mpa, left),
                "1",
            )
        })
    }

    /// Strain at break over the stretch of the bulging side.
    pub(super) fn splitting(self) -> Performance {
        Performance::new(move |i, t| {
            let [breaks] = *i.x else { return f64::NAN };
            let e = self.squeezed(t);
            let stretch = 100.0 * ((1.0 - e).recip() - 1.0);
            t.step("E9", "stretch of the bulging side", stretch, "%");
            t.step("E9", "strain at break", breaks, "%");
            t.step(
                "E9",
                "strain at break over that stretch",
                breaks / stretch,
                "1",
            )
        })
    }
}
