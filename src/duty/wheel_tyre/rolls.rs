//! The mechanics of a tyre: contact, sag, flat spot, wear, heat.

use crate::duty::mechanics::fatigue;
use crate::duty::mechanics::held::Sleeve;
use crate::duty::mechanics::pad::{carried, left_at_life};
use crate::duty::mechanics::rolling::{line_contact, resistance, tread_sag_mm};
use crate::duty::{Inputs, Performance, Trace};
use std::f64::consts::PI;

/// Share of the tread beyond which nothing is said but that it is squeezed flat (ours, as of a pad).
const FLAT_FROM: f64 = 0.5;

/// The tyre with every default filled in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tyre {
    /// Radius over the tread, mm.
    pub(super) radius_mm: f64,
    pub(super) tread_mm: f64,
    pub(super) width_mm: f64,
    /// Load on the wheel, N, the class's factor on it.
    pub(super) load_n: f64,
    pub(super) speed_m_s: f64,
    pub(super) distance_m: f64,
    /// Share of the way that it slides.
    pub(super) slip: f64,
    /// Force along the floor, N, the class's factor on it.
    pub(super) traction_n: f64,
    pub(super) stands_h: f64,
    pub(super) sag_mm: f64,
    pub(super) flat_mm: f64,
    pub(super) wear_mm: f64,
    /// W/(m2.K).
    pub(super) film: f64,
    /// The stretch that holds it; `None` where it is fixed.
    pub(super) held: Option<Sleeve>,
}

impl Tyre {
    /// Turns over the life.
    pub(super) fn turns(&self) -> f64 {
        self.distance_m * 1e3 / (2.0 * PI * self.radius_mm)
    }

    /// Half width of the contact, mm, and highest pressure, MPa.
    fn contact(&self, modulus: f64, poisson: f64, t: &mut Trace) -> (f64, f64) {
        t.step("R1", "load on the wheel", self.load_n, "N");
        t.step("R1", "radius over the tread", self.radius_mm, "mm");
        t.step("R1", "width on the floor", self.width_mm, "mm");
        t.step("R1", "modulus", modulus, "MPa");
        // A draw past incompressible would have a negative bulk modulus.
        let nu = if poisson > 0.5 { 0.5 } else { poisson };
        t.step("R1", "Poisson's ratio", nu, "1");
        let plane = modulus / (1.0 - nu * nu);
        let (b, p) = line_contact(self.load_n, self.radius_mm, self.width_mm, plane);
        let b = t.step("R1", "half width of the contact", b, "mm");
        t.step("R1", "highest pressure, thick tread", p, "MPa");
        let sag = tread_sag_mm(
            self.load_n,
            self.radius_mm,
            self.width_mm,
            self.tread_mm,
            plane,
        );
        let thin = t.step(
            "R2",
            "highest pressure, tread as springs",
            plane * sag / self.tread_mm,
            "MPa",
        );
        let most = if thin > p { thin } else { p };
        (b, t.step("R1", "highest pressure", most, "MPa"))
    }

    /// What the tread bears after all turns, over the highest pressure.
    pub(super) fn crushing(self) -> Performance {
        Performance::new(move |i, t| {
            let ([modulus, poisson, takes, share], [_, _, from, _]) = (i.x, i.which) else {
                return f64::NAN;
            };
            let (_, pressure) = self.contact(*modulus, *poisson, t);
            let one = Inputs {
                x: &[*takes],
                which: &[*from],
            };
            let bears = carried(one, t);
            let left = fatigue::left_after(self.turns(), (bears, "MPa"), *share, t);
            t.step(
                "R1",
                "pressure borne over the highest pressure",
                left / pressure,
                "1",
            )
        })
    }

    /// How far it sinks while it stands, mm, of the needs of [`left_at_life`].
    fn sunk(&self, i: Inputs<'_>, t: &mut Trace) -> f64 {
        let ([modulus, kept, ..], [from, with, ..]) = (i.x, i.which) else {
            return f64::NAN;
        };
        let left = left_at_life([*modulus, *kept], [*from, *with], t);
        t.step("R2", "load on the wheel", self.load_n, "N");
        t.step("R2", "thickness of the tread", self.tread_mm, "mm");
        let sag = tread_sag_mm(
            self.load_n,
            self.radius_mm,
            self.width_mm,
            self.tread_mm,
            left,
        );
        let sag = if sag > FLAT_FROM * self.tread_mm {
            self.tread_mm
        } else {
            sag
        };
        t.step("R2", "sinks while it stands", sag, "mm")
    }

    pub(super) fn sag(self) -> Performance {
        Performance::new(move |i, t| self.sunk(i, t))
    }

    /// Depth of the flat spot that stays, mm.
    pub(super) fn flat_spot(self) -> Performance {
        Performance::new(move |i, t| {
            let sag = self.sunk(i, t);
            let set = i.x.get(2).copied().unwrap_or(f64::NAN);
            t.step("R4", "compression set, share of the squeeze", set, "%");
            t.step("R4", "flat spot that stays", set / 100.0 * sag, "mm")
        })
    }

    /// Depth worn from the tread, mm.
    pub(super) fn wear(self) -> Performance {
        Performance::new(move |i, t| {
            let [rate] = *i.x else { return f64::NAN };
            t.step("A1", "specific wear rate", rate, "mm3/(N.m)");
            t.step("A1", "load on the wheel", self.load_n, "N");
            let slid = t.step("A1", "way slid", self.slip * self.distance_m, "m");
            let volume = t.step("A1", "volume worn", rate * self.load_n * slid, "mm3");
            let tread = 2.0 * PI * self.radius_mm * self.width_mm;
            t.step("A1", "depth worn all round", volume / tread, "mm")
        })
    }

    /// Rolling resistance as a share of the load, of rebound, modulus and Poisson's ratio.
    fn drag(&self, [rebound, modulus, poisson]: [f64; 3], t: &mut Trace) -> f64 {
        let (b, _) = self.contact(modulus, poisson, t);
        let loss = t.step(
            "R3",
            "share of the work lost, 1 - rebound",
            1.0 - rebound / 100.0,
            "1",
        );
        t.step(
            "R3",
            "rolling resistance over the load",
            resistance(loss, b, self.radius_mm),
            "1",
        )
    }

    pub(super) fn rolling(self) -> Performance {
        Performance::new(move |i, t| {
            let [rebound, modulus, poisson] = *i.x else {
                return f64::NAN;
            };
            self.drag([rebound, modulus, poisson], t)
        })
    }

    /// Margin below softening while it rolls, K.
    pub(super) fn heat(self, hottest_c: f64) -> Performance {
        Performance::new(move |i, t| {
            let [rebound, modulus, poisson, onset] = *i.x else {
                return f64::NAN;
            };
            let drag = self.drag([rebound, modulus, poisson], t);
            t.step("R5", "rolling speed", self.speed_m_s, "m/s");
            let heat = t.step(
                "R5",
                "heat of rolling",
                drag * self.load_n * self.speed_m_s,
                "W",
            );
            // Tread and both sides of it.
            let (outer, inner) = (self.radius_mm, self.radius_mm - self.tread_mm);
            let cooled = 2.0 * PI * (outer * self.width_mm + outer * outer - inner * inner);
            t.step("R5", "surface that cools", cooled, "mm2");
            t.step("R5", "film coefficient", self.film, "W/(m2.K)");
            let rise = t.step(
                "R5",
                "rise by rolling",
                heat / (self.film * cooled * 1e-6),
                "K",
            );
            t.step("D2", "softening onset", onset, "degC");
            t.step("D2", "hottest moment", hottest_c, "degC");
            t.step("D2", "margin", onset - hottest_c - rise, "K")
        })
    }
}
